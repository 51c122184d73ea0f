/* lot_table.h - a record of the store as tables of a report, as it was written. */
#ifndef LW_COMMAND_LOT_TABLE_H
#define LW_COMMAND_LOT_TABLE_H

#include "command/session.h"

/* The main lines of one batch and what goes into it: for the head of a check. */
void lot_table_short(struct session *s, const char *lot);
/* Every attribute of one record, and a table for each kind of child. false when there is no such
 * record. */
bool lot_table_full(struct session *s, const char *kind, const char *id);
/* What the facts say about one subject: every column of every fact row that is about it. */
bool lot_table_facts(struct session *s, const char *kind, const char *id);

#endif
