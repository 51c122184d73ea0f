/* rows.c - questions to the memory database. */
#include "text/base.h"

#include "command/rows.h"

static bool broken(struct session *s)
{
    diags_add(s->diags, DIAG_FATAL, "database", NULL, 0, 0, NULL, "memory database: %s",
              sqlite3_errmsg(store_db(s->store)));
    return false;
}

const char *rows_text(sqlite3_stmt *st, int i)
{
    return (const char *)sqlite3_column_text(st, i);
}

bool rows_select(struct session *s, const char *sql, const char *a, const char *b, rows_each *each,
                 void *user)
{
    const char *const args[] = {a, b};
    sqlite3_stmt *st = NULL;
    int rc = sqlite3_prepare_v2(store_db(s->store), sql, -1, &st, NULL);
    int wanted = rc == SQLITE_OK ? sqlite3_bind_parameter_count(st) : 0;
    bool ok;

    assert(wanted <= (int)LW_COUNT(args));
    for (int i = 0; i < wanted && rc == SQLITE_OK; i++)
        rc = sqlite3_bind_text(st, i + 1, args[i], -1, SQLITE_TRANSIENT);
    while (rc == SQLITE_OK && (rc = sqlite3_step(st)) == SQLITE_ROW) {
        each(s, st, user);
        rc = SQLITE_OK;
    }
    ok = rc == SQLITE_DONE || broken(s);
    sqlite3_finalize(st);
    return ok;
}

static void first_count(struct session *s, sqlite3_stmt *st, void *user)
{
    long *n = user;

    (void)s;
    if (*n < 0)
        *n = (long)sqlite3_column_int64(st, 0);
}

long rows_count(struct session *s, const char *sql, const char *a, bool *ok)
{
    long n = -1;

    if (!rows_select(s, sql, a, NULL, first_count, &n))
        *ok = false;
    return n < 0 ? 0 : n;
}

bool rows_run(struct session *s, const char *sql)
{
    return sqlite3_exec(store_db(s->store), sql, NULL, NULL, NULL) == SQLITE_OK || broken(s);
}
