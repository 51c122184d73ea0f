/* waive.h - waivers in force mark the findings they answer. Inside rule/ only.
 *
 * A waiver counts when it names rule, reason, person and end date and the as-of date lies within
 * it. */
#ifndef LW_RULE_WAIVE_H
#define LW_RULE_WAIVE_H

#include "rule/finding.h"
#include "text/diag.h"
#include <sqlite3.h>

/* Sets finding.waiver where one answers it. false with a diagnostic when memory or the database
 * failed. */
bool waivers_apply(sqlite3 *db, struct findings *f, struct diags *d);

#endif
