#include "text/base.h"

#include "fact/run.h"
#include "text/date.h"
#include "text/utf8.h"

/* The set that stands in when no premises names one. */
#define CODE_SET_GENERIC "generic-cautious"

static bool sql_ok(sqlite3 *db, int rc, struct diags *d)
{
    if (rc == SQLITE_OK || rc == SQLITE_DONE || rc == SQLITE_ROW)
        return true;
    if (rc == SQLITE_NOMEM)
        diags_out_of_memory(d);
    else
        diags_add(d, DIAG_FATAL, "database", NULL, 0, 0, NULL, "memory database: %s",
                  sqlite3_errmsg(db));
    return false;
}

/* Runs one statement with up to three text parameters. */
static bool run3(sqlite3 *db, const char *sql, const char *a, const char *b, const char *c,
                 struct diags *d)
{
    sqlite3_stmt *st = NULL;
    const char *const args[] = {a, b, c};
    int rc = sqlite3_prepare_v2(db, sql, -1, &st, NULL);
    int wanted = rc == SQLITE_OK ? sqlite3_bind_parameter_count(st) : 0;
    for (int i = 0; i < wanted && rc == SQLITE_OK; i++)
        rc = sqlite3_bind_text(st, i + 1, args[i], -1, SQLITE_TRANSIENT);
    if (rc == SQLITE_OK)
        rc = sqlite3_step(st);
    bool ok = sql_ok(db, rc, d);
    sqlite3_finalize(st);
    return ok;
}

static bool known_code_set(sqlite3 *db, const char *id)
{
    sqlite3_stmt *st = NULL;
    bool known = false;
    if (sqlite3_prepare_v2(db, "select 1 from codeset where id = ?", -1, &st, NULL) == SQLITE_OK &&
        sqlite3_bind_text(st, 1, id, -1, SQLITE_TRANSIENT) == SQLITE_OK)
        known = sqlite3_step(st) == SQLITE_ROW;
    sqlite3_finalize(st);
    return known;
}

/* Adds each blank-separated word of list; an unknown one is a warning and is left out. */
static bool add_code_sets(sqlite3 *db, const char *list, const char *file, long line,
                          struct diags *d)
{
    char word[65];
    bool ok = true;
    while (*list && ok) {
        while (ascii_space(*list))
            list++;
        size_t n = 0;
        for (; *list && !ascii_space(*list); list++)
            if (n + 1 < sizeof word)
                word[n++] = *list;
        word[n] = '\0';
        if (n == 0)
            break;
        if (known_code_set(db, word))
            ok = run3(db,
                      "insert or ignore into run_code_set "
                      "select id, title, scheme, units, always from codeset where id = ?",
                      word, NULL, NULL, d);
        else
            diags_add(d, DIAG_WARNING, "unknown-code-set", file, line, 0,
                      "'lotward card code-sets' lists those shipped", "no code set '%s'", word);
    }
    return ok;
}

static bool code_sets_of_premises(sqlite3 *db, struct diags *d)
{
    sqlite3_stmt *st = NULL;
    bool ok = true;
    int rc = sqlite3_prepare_v2(
        db,
        "select code_sets, file, line from rec_premises where code_sets is not null order by id",
        -1, &st, NULL);
    while (rc == SQLITE_OK && ok && (rc = sqlite3_step(st)) == SQLITE_ROW) {
        ok = add_code_sets(db, (const char *)sqlite3_column_text(st, 0),
                           (const char *)sqlite3_column_text(st, 1), sqlite3_column_int(st, 2), d);
        rc = SQLITE_OK;
    }
    ok = ok && sql_ok(db, rc, d);
    sqlite3_finalize(st);
    return ok;
}

/* Made once and emptied afterwards: a change of the layout would cost every compiled statement. */
static bool empty_tables(sqlite3 *db, struct diags *d)
{
    static const char sql[] =
        "create temp table if not exists run_code_set(id text primary key, title text,"
        " scheme text, units text, always integer);"
        "create temp table if not exists run(as_of text, as_of_day integer, premises text,"
        " code_sets text, assumed integer);"
        "create temp table if not exists lim_in_force as select * from lim limit 0;"
        "create index if not exists temp.lim_in_force_name on lim_in_force(name);"
        "create temp table if not exists waiver_idle(id text, rule text);"
        "delete from temp.run; delete from temp.run_code_set; delete from temp.lim_in_force; "
        "delete from temp.waiver_idle";
    return sql_ok(db, sqlite3_exec(db, sql, NULL, NULL, NULL), d);
}

bool run_tables_build(sqlite3 *db, const struct fact_options *o, struct diags *d)
{
    char as_of[11], day[24];
    snprintf(day, sizeof day, "%ld", o->as_of);
    if (!empty_tables(db, d))
        return false;
    bool ok =
        o->code_sets ? add_code_sets(db, o->code_sets, NULL, 0, d) : code_sets_of_premises(db, d);
    ok = ok && run3(db,
                    "insert into run select ?1, cast(?2 as integer),"
                    " (select id from rec_premises order by rid limit 1),"
                    " null, not exists(select 1 from run_code_set)",
                    date_format(o->as_of, as_of), day, NULL, d);
    ok = ok && run3(db,
                    "insert into run_code_set select id, title, scheme, units, always from codeset"
                    " where id = ?1 and not exists(select 1 from run_code_set)",
                    CODE_SET_GENERIC, NULL, NULL, d);
    ok = ok && run3(db,
                    "insert or ignore into run_code_set"
                    " select id, title, scheme, units, always from codeset where always = 1",
                    NULL, NULL, NULL, d);
    ok = ok && run3(db,
                    "update run set code_sets ="
                    " (select group_concat(id, ' ') from (select id from run_code_set where always "
                    "= 0 order by id))",
                    NULL, NULL, NULL, d);
    ok = ok && run3(db,
                    "insert into lim_in_force select * from lim"
                    " where codeset in (select id from run_code_set) order by codeset, name, line",
                    NULL, NULL, NULL, d);
    return ok && local_codes_apply(db, o, d);
}
