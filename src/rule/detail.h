/* detail.h - from a row of a fact to a finding in words. Inside rule/ only. */
#ifndef LW_RULE_DETAIL_H
#define LW_RULE_DETAIL_H

#include "rule/program.h"
#include "text/show.h"

/* Fills f (verdict and rule already set) from the row `rowid`. `limit` is the limit that decided,
 * or NULL; `unknown` the limit conditions that were missing, or NULL; `where_untold` tells that the
 * rule's own condition could not be decided; `units` are those of amounts in words. false when out
 * of memory or the database failed. */
bool detail_fill(sqlite3 *db, struct fact_program *p, struct rule_program *rp, sqlite3_int64 rowid,
                 const struct limit_row *limit, const bool *unknown, bool where_untold,
                 enum show_units units, struct finding *f);
void finding_clear(struct finding *f);
/* to becomes a copy of f with strings of its own; false: out of memory, and to holds nothing. */
bool finding_copy(const struct finding *f, struct finding *to);

#endif
