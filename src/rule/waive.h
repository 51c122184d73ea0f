/* waive.h - waivers in force mark the findings they answer. Inside rule/ only.
 *
 * A waiver counts when it names rule, reason, person and end date and the as-of date lies within
 * it. */
#ifndef LW_RULE_WAIVE_H
#define LW_RULE_WAIVE_H

#include "rule/finding.h"
#include "text/diag.h"
#include <sqlite3.h>

/* What was judged: decides whether a waiver that answers nothing can be called idle. */
enum waiver_reach { WAIVER_ALL_RULES, WAIVER_SOME_RULES, WAIVER_SOME_RECORDS };

/* Sets finding.waiver where one answers it, and lists those in force that answer nothing in
 * temp.waiver_idle(id, rule). false with a diagnostic when memory or the database failed. */
bool waivers_apply(sqlite3 *db, struct findings *f, enum waiver_reach reach, struct diags *d);

#endif
