/* guard.h - what SQL from a sheet may do: read the tables it is for, call declared functions,
 * nothing else. */
#ifndef LW_FACT_GUARD_H
#define LW_FACT_GUARD_H

#include "text/base.h"
#include "text/diag.h"
#include <sqlite3.h>

/* Longest SQL of one sheet, and the number of virtual-machine steps one statement may take. The
 * largest shipped sheet stays below a tenth of either (tested). */
#define GUARD_SQL_MAX 32768

enum guard_scope {
    GUARD_FACT, /* rec_*, cat_*, lim, lim_in_force, codeset, run, run_code_set, fact_* */
    GUARD_RULE, /* fact_* alone */
    GUARD_WATCH /* a statement of our own: everything, and told what it writes */
};

struct guard {
    enum guard_scope scope;
    const char *table;   /* GUARD_RULE: the one table that may be read */
    const char *creates; /* GUARD_FACT: the one table the statement may make; NULL: none */
    const char *fills;   /* GUARD_FACT: the one table it may insert into; NULL: none */
    size_t sql_max;      /* longest SQL taken; 0: GUARD_SQL_MAX */
    /* Called for each column read, with "" for a table read without any; may be NULL. */
    void (*on_read)(const char *table, const char *column, void *user);
    void *user;
    char refused[160]; /* what was refused first; "" when nothing */
};

/* Compiles the first statement of sql, one of our own, with parameters or without; tells on_write
 * each column it sets, with "" for rows that come or go. *tail is what follows it. The authorizer
 * must be set: some statement was compiled under the guard before. NULL: sqlite3_errmsg(db). */
sqlite3_stmt *guard_watch(sqlite3 *db, const char *sql, const char **tail,
                          void (*on_write)(const char *table, const char *column, void *user),
                          void *user);

/* Compiles sql (one SELECT, or with g->creates one CREATE TABLE ... AS SELECT, or with g->fills one
 * INSERT INTO ... SELECT; no tail, no bound parameters) under the guard. NULL with a diagnostic
 * that names file and line. The authorizer stays and lets every other statement pass. */
sqlite3_stmt *guard_prepare(sqlite3 *db, const char *sql, struct guard *g, const char *file,
                            long line, struct diags *d);
/* Settings every connection of ours runs under: double-quoted strings off, defensive, limits on
 * length, depth, attached databases, triggers. */
void guard_harden(sqlite3 *db);

#endif
