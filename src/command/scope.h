/* scope.h - what a record reaches: the records it names, those they name, and so on.
 *
 * A sale reaches back through its lines to lots, labels, what the lots were made from, and the
 * papers that cover it; a plan to the received lots it takes from. Places and people are named by a
 * record but lead no further: a sale does not answer for the shelf. */
#ifndef LW_COMMAND_SCOPE_H
#define LW_COMMAND_SCOPE_H

#include "command/session.h"

struct scope {
    sqlite3_stmt *has;
};

/* An empty scope; one at a time. false with a diagnostic. */
bool scope_open(struct session *s, struct scope *scope);
/* Adds the record and all it reaches, as the references are now. direct: also the places, people
 * and instruments that it names itself. */
bool scope_add(struct session *s, const char *id, bool direct);
bool scope_has(const struct scope *scope, const char *id); /* NULL: false */
void scope_close(struct scope *scope);

#endif
