/* label_make.h - the label a question is about: one on record, or a blank one made up in memory. */
#ifndef LW_COMMAND_LABEL_MAKE_H
#define LW_COMMAND_LABEL_MAKE_H

#include "command/session.h"

enum { LABEL_ID_MOST = 128 };

/* Finds the lot's latest label for --market and --use, or makes up a blank one, and lays --size
 * over it. Its id into label. STATUS_CLEAN, or why not. Before the facts are filled. */
enum exit_status label_make(struct session *s, const char *lot, char *label, size_t size);
/* Lays the capacity over an empty net quantity and fills the facts anew: for the draft, once the
 * label as it is has been judged. */
bool label_fill(struct session *s, const char *label);

#endif
