/* label_tables.h - the tables of a label report. */
#ifndef LW_COMMAND_LABEL_TABLES_H
#define LW_COMMAND_LABEL_TABLES_H

#include "command/label_draft.h"

/* What the lot demands, and the element lists with their ticks. */
bool label_tables_asked(struct session *s, const char *label);
/* The complete text, and what only a person can supply. */
void label_tables_text(struct session *s, const struct label_draft *d);

#endif
