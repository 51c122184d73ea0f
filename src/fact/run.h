/* run.h - the tables about the run itself. Inside fact/ only. */
#ifndef LW_FACT_RUN_H
#define LW_FACT_RUN_H

#include "fact/fact.h"

/* Builds run, run_code_set and lim_in_force. false with a diagnostic. */
bool run_tables_build(sqlite3 *db, const struct fact_options *o, struct diags *d);
/* Applies the local-code records in force to lim_in_force. false with a diagnostic only on failure
 * of the database; a record that cannot be applied is a warning. */
bool local_codes_apply(sqlite3 *db, const struct fact_options *o, struct diags *d);
/* Packs the set into a store that becomes an image. */
bool fact_set_keep(const struct fact_set *set, struct store *s, struct diags *d);
/* Tells two sets apart, also when one took the place of the other in memory. */
unsigned long fact_set_serial(const struct fact_set *s);
/* True when sql reads fact_NAME. */
bool fact_mentions(const char *sql, const char *name);

#endif
