/* program.h - the rules over one fact, compiled to one SELECT. Inside rule/ only.
 *
 * Scan columns: rowid; one state a rule (STATE_*: the whole three-valued verdict for rules without
 * a limit); then for each rule with a limit its value and, where the value is a partial sum, the
 * count of what was left out; then the limit conditions the fact has, and its code_set. */
#ifndef LW_RULE_PROGRAM_H
#define LW_RULE_PROGRAM_H

#include "fact/fact.h"
#include "rule/limit_judge.h"
#include "rule/rule.h"

/* Values of a rule's state column in the scan, equal to enum verdict; for a rule with a limit
 * STATE_JUDGE means that `where` holds and the value must be compared. */
enum { STATE_HOLDS, STATE_FAILS, STATE_CANNOT_TELL, STATE_SKIP, STATE_JUDGE };

struct rule_program {
    const struct rule *rule; /* borrowed from the set */
    size_t tally;            /* its place in findings->tallies */
    bool limit;              /* compares with a named limit */
    struct limit_rows limits;
    const char *unit;   /* of the value, for show; NULL: none */
    int value_scan;     /* scan column of the value; -1: none */
    int partial_scan;   /* scan column of the count of values left out; -1: none */
    int partial_column; /* the same as a column of the sheet; -1: none */
    bool *where_reads;  /* one a column of the sheet; NULL until program_reads */
    bool *must_reads;
    sqlite3_stmt *untold; /* is `where` null on a row? compiled at first need */
};

struct fact_program {
    const struct fact_sheet *sheet;
    struct rule_program *rules;
    size_t count;
    sqlite3_stmt *scan;
    sqlite3_stmt *row;    /* select * from fact_X where rowid = ?1; compiled at first need */
    sqlite3_int64 at_row; /* the row it stands on; 0: none */
    sqlite3_stmt *place;  /* file and line of a record of placed_kind */
    const struct dict_element *placed_kind;
    sqlite3_int64 placed_row;             /* the row whose record it was asked for */
    bool placed;                          /* and it stands on that record */
    int kind, subject, lot, file, line;   /* columns of the sheet; -1: none */
    int condition_scan[LIMIT_CONDITIONS]; /* -1: the fact has no such column */
    int codeset_scan;                     /* -1: the fact has no code_set column */
};

/* Compiles the chosen rules (all over the same fact) under the guard. NULL with diagnostics that
 * name the rule's file. limits: as in limit_rows_read_next. */
struct fact_program *program_compile(sqlite3 *db, sqlite3_stmt **limits,
                                     const struct fact_sheet *sheet,
                                     const struct rule *const *rules, const size_t *tallies,
                                     size_t count, struct diags *d);
/* Finds which columns the rule reads, once and only when asked: it costs two compilations. */
bool program_reads(sqlite3 *db, const struct fact_program *p, struct rule_program *rp);
/* Was it the rule's own condition that could not be decided on this row? */
bool program_where_untold(sqlite3 *db, const struct fact_program *p, struct rule_program *rp,
                          sqlite3_int64 rowid);
/* The statement on that row of the fact; it stays there for the next rule that has something to say
 * of it. NULL: no such row, or the database failed. */
sqlite3_stmt *program_row(sqlite3 *db, struct fact_program *p, sqlite3_int64 rowid);
/* After the last row: nothing stands on the tables any more. */
void program_rest(struct fact_program *p);
void program_free(struct fact_program *p); /* NULL-safe */

#endif
