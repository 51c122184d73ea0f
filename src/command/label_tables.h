/* label_tables.h - the tables of a label report. */
#ifndef LW_COMMAND_LABEL_TABLES_H
#define LW_COMMAND_LABEL_TABLES_H

#include "command/label_draft.h"

/* What the lot demands, the element lists with their ticks, the complete text, and what only a
 * person can supply. */
bool label_tables(struct session *s, const char *label, const struct label_draft *d);

#endif
