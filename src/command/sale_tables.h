/* sale_tables.h - what a sale report shows before its findings. */
#ifndef LW_COMMAND_SALE_TABLES_H
#define LW_COMMAND_SALE_TABLES_H

#include "command/session.h"

/* Each adds tables to s->report about the sales in temp.scope. false with a diagnostic when the
 * database failed. The first needs records alone; the second the facts. */
bool sale_table_lines(struct session *s);
bool sale_tables_papers(struct session *s);

#endif
