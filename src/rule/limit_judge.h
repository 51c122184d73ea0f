/* limit_judge.h - the named limits in force, and which of them speaks about a row. Inside rule/
 * only.
 *
 * A limit has conditions (class, container, ...); an empty one means any, and "IB+IC" means either.
 * For each code set the limit with most conditions met decides. A condition on something the record
 * does not say leaves several limits possible: when all of them agree the verdict stands, else it
 * cannot be told. */
#ifndef LW_RULE_LIMIT_JUDGE_H
#define LW_RULE_LIMIT_JUDGE_H

#include "rule/finding.h"
#include "text/diag.h"
#include "text/show.h"
#include <sqlite3.h>

enum { LIMIT_CONDITIONS = 7 };
extern const char *const limit_condition_names[LIMIT_CONDITIONS]; /* "class", "container", ... */

struct limit_row {
    char *codeset;
    char *when[LIMIT_CONDITIONS]; /* NULL: any */
    double value;
    char *unit, *words, *cite, *edition, *sure, *replaced, *note;
    double scale, offset; /* fact value * scale + offset is in the limit's unit */
};

struct limit_rows {
    char *name;
    struct limit_row *items;
    size_t count;
    bool uses[LIMIT_CONDITIONS]; /* some row has this condition */
};

/* Reads lim_in_force rows called `name` and prepares the conversion from `unit` (NULL: same unit).
 * Rows whose unit does not fit are left out. false with a diagnostic on failure; no rows is not
 * one. */
bool limit_rows_read(sqlite3 *db, const char *name, const char *unit, struct limit_rows *out,
                     struct diags *d);
/* The same for many names: the statement is compiled at the first (*kept NULL before) and finalized
 * by the caller after the last. */
bool limit_rows_read_next(sqlite3 *db, sqlite3_stmt **kept, const char *name, const char *unit,
                          struct limit_rows *out, struct diags *d);
void limit_rows_free(struct limit_rows *rows);

/* Does a limit called `name` exist in any shipped code set (in force or not)? */
bool limit_exists(sqlite3 *db, const char *name);

struct limit_verdict {
    enum verdict verdict;
    const struct limit_row *row;    /* the limit that decides (the tightest possible when untold) */
    bool unknown[LIMIT_CONDITIONS]; /* conditions that would have been needed */
};

/* One value against the limits of one code set.
 * values: the row's conditions as text, NULL where not known; has: the fact has such a column.
 * at_most: ceiling or floor. partial: values were left out of the sum. value NaN: not known. */
struct limit_verdict limit_judge(const struct limit_rows *rows, const char *codeset,
                                 const char *const values[LIMIT_CONDITIONS],
                                 const bool has[LIMIT_CONDITIONS], double value, bool partial,
                                 bool at_most);

/* "not more than 5 US gal (18.9 L)" */
char *limit_words(const struct limit_row *row, enum show_units units);
/* "IFC 2018 105.6.16, edition ... (two-sources)" */
char *limit_cite(const struct limit_row *row);

#endif
