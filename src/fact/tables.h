/* tables.h - where facts are kept: one table fact_NAME a sheet, and the statement that fills it.
 *
 * The tables are made once for a store (or come with the catalogue's image, made at build time) and
 * the statements are compiled once; filling the facts anew, as `check` does, only runs them. Inside
 * fact/ only. */
#ifndef LW_FACT_TABLES_H
#define LW_FACT_TABLES_H

#include "fact/fact.h"

struct fact_tables;

/* Those of the store, which owns them; made at the first call, and the SQL functions registered.
 * The sheets may be others than at the last call. NULL with a diagnostic. */
struct fact_tables *fact_tables_of(struct store *s, const struct fact_set *set, struct diags *d);
/* Makes the table of sheet i unless it is there. The run tables and the facts it reads must be. */
bool fact_table_declare(struct fact_tables *t, size_t i, struct diags *d);
/* Empties every fact table that was ever filled. */
bool fact_tables_clear(struct fact_tables *t, struct diags *d);
/* The statement that fills the table of sheet i, compiled under the guard; NULL with a diagnostic.
 * Once it has run, fact_table_filled keeps it for the next time, or gives its memory to the next
 * statement when there is none. */
sqlite3_stmt *fact_table_filler(struct fact_tables *t, size_t i, struct diags *d);
void fact_table_filled(struct fact_tables *t, size_t i, bool once);
/* Empties the table of sheet i. */
bool fact_table_empty(struct fact_tables *t, size_t i, struct diags *d);
/* From here on, statements are compiled with a note of what they read. */
void fact_tables_follow(struct fact_tables *t);
/* Does sheet i read this: "rec_step.duration_min", or "rec_step" for any of its columns? Always
 * true of a statement that was not followed. */
bool fact_table_reads(const struct fact_tables *t, size_t i, const char *what);
/* The same of the table of sheet j. */
bool fact_table_reads_fact(const struct fact_tables *t, size_t i, size_t j);
/* A hash over the rows of sheet i in their order; false when it could not be taken. */
bool fact_table_hash(struct fact_tables *t, size_t i, uint64_t *out);

#endif
