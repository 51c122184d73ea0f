/* compare.h - two keyings of the same cards. */
#ifndef LW_COMMAND_COMPARE_H
#define LW_COMMAND_COMPARE_H

#include "command/session.h"

/* Reads s->files and the file `other`, record by record, and prints where they say different
 * things. CLEAN when they agree, FINDINGS when they do not. map: mapping file or NULL. */
enum exit_status compare_keyings(struct session *s, const char *other, const char *map);

#endif
