/* fact.h - facts computed from records: sheets in DATADIR/facts, one view each. */
#ifndef LW_FACT_FACT_H
#define LW_FACT_FACT_H

#include "record/store.h"

struct fact_column {
    char *name, *unit, *meaning, *empty; /* unit NULL: none; empty: what NULL means */
    char *from;                          /* record attributes it leans on: "receipt@quantity batch@place" */
};

struct fact_sheet {
    char *name, *row;        /* row: what one row is */
    char *file;
    struct fact_column *columns;
    size_t column_count;
    char *sql;               /* the SELECT */
    char *subject_kind, *subject, *lot; /* columns (or literals in quotes) that name the subject */
    char *key;               /* further columns that make the row unique, space separated; NULL: none */
};

struct fact_set; /* sheets in dependency order; owns them */

struct fact_set *fact_set_read(const char *data_dir, struct diags *d);
void fact_set_free(struct fact_set *s);
size_t fact_set_count(const struct fact_set *s);
const struct fact_sheet *fact_set_at(const struct fact_set *s, size_t i);
const struct fact_sheet *fact_set_find(const struct fact_set *s, const char *name);

struct fact_run; /* a store with its facts materialised as TEMP tables */

struct fact_options {
    long as_of;            /* day number */
    const char *code_sets; /* overrides the premises' own; NULL: what the records say */
};

/* Registers the SQL functions, builds the `run` table, applies local-code records to lim, and fills every
 * fact table named fact_NAME in order. NULL with a diagnostic on failure. The store must outlive it. */
struct fact_run *fact_materialise(struct store *s, const struct fact_set *set,
                                  const struct fact_options *o, struct diags *d);
void fact_run_free(struct fact_run *r); /* drops the tables */
struct store *fact_run_store(struct fact_run *r);
const struct fact_set *fact_run_set(struct fact_run *r);

#endif
