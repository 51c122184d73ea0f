/* audit_tables.h - the summaries of an audit: by topic, by rule, by lot. */
#ifndef LW_COMMAND_AUDIT_TABLES_H
#define LW_COMMAND_AUDIT_TABLES_H

#include "command/record_days.h"
#include "command/session.h"

/* Each adds a table to s->report from s->report.findings. */
bool audit_lots(struct session *s); /* how many lots, by state */
void audit_by_topic(struct session *s);
void audit_by_rule(struct session *s); /* only rules with something open */
/* Only lots with something open; false: out of memory. */
bool audit_by_lot(struct session *s, const struct record_days *days);

#endif
