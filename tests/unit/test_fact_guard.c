/* What SQL from a sheet may and may not do. */
#include "unit.h"

#include "fact/guard.h"
#include "fact/pattern.h"
#include "fact/sqlfunc.h"

static sqlite3 *db;

static void open_db(void)
{
    ck_assert_int_eq(sqlite3_open(":memory:", &db), SQLITE_OK);
    guard_harden(db);
    ck_assert_int_eq(sqlfunc_register(db, NULL), SQLITE_OK);
    ck_assert_int_eq(sqlite3_exec(db,
                                  "create table rec_batch(id text, n real);"
                                  "create table secret(id text);"
                                  "create temp table fact_batch(id text, n real);"
                                  "create temp table fact_other(id text);"
                                  "insert into fact_batch values('L1', 4.5)",
                                  NULL, NULL, NULL),
                     SQLITE_OK);
}

static bool allowed(const char *sql, enum guard_scope scope)
{
    struct guard g = {.scope = scope, .table = "fact_batch"};
    struct diags *d = diags_new();
    sqlite3_stmt *st = guard_prepare(db, sql, &g, "sheet.xml", 3, d);
    bool ok = st != NULL;
    ck_assert_uint_eq(diags_count(d), ok ? 0 : 1);
    if (!ok)
        ck_assert_int_eq(diags_at(d, 0)->line, 3);
    sqlite3_finalize(st);
    diags_free(d);
    return ok;
}

START_TEST(reads_what_it_is_for)
{
    open_db();
    ck_assert(allowed("select id, n from rec_batch", GUARD_FACT));
    ck_assert(allowed("select sum(n), count(*), max(n) from fact_batch", GUARD_FACT));
    ck_assert(allowed("with a as (select n from fact_batch) select n from a", GUARD_FACT));
    ck_assert(allowed("select n > 3 from fact_batch", GUARD_RULE));
    ck_assert(allowed("select lw_at_most(n, 3) from fact_batch", GUARD_RULE));
    sqlite3_close(db);
}
END_TEST

START_TEST(refuses_the_rest)
{
    static const char *const hostile[] = {
        "select id from secret",
        "select name from sqlite_schema",
        "insert into rec_batch values('x', 1)",
        "delete from rec_batch",
        "drop table rec_batch",
        "create table t(x)",
        "attach 'other.db' as o",
        "pragma trusted_schema = on",
        "vacuum into 'copy.db'",
        "select n from rec_batch; drop table rec_batch",
        "select date('now')",
        "select datetime('now')",
        "select julianday('now')",
        "select strftime('%s', 'now')",
        "select current_timestamp",
        "select random()",
        "select randomblob(10)",
        "select load_extension('x')",
        "select printf('%1000000000s', 'x')",
        "select total(n) from rec_batch",
        "select zeroblob(1000000000)",
        "select n from rec_batch where n = ?1",
        "select \"no such column\" from rec_batch",
        "",
        "-- nothing",
    };
    open_db();
    for (size_t i = 0; i < LW_COUNT(hostile); i++)
        ck_assert_msg(!allowed(hostile[i], GUARD_FACT), "taken: %s", hostile[i]);
    sqlite3_close(db);
}
END_TEST

START_TEST(a_rule_reads_its_fact_alone)
{
    open_db();
    ck_assert(!allowed("select (select n from rec_batch) from fact_batch", GUARD_RULE));
    ck_assert(!allowed("select id from fact_other", GUARD_RULE));
    ck_assert(!allowed("select (select count(*) from fact_other) from fact_batch", GUARD_RULE));
    sqlite3_close(db);
}
END_TEST

START_TEST(makes_its_own_table_and_no_other)
{
    static const struct {
        const char *sql;
        bool taken;
    } cases[] = {
        {"create table fact_x as select id, n from rec_batch", true},
        {"create table fact_x as select id from fact_other", true},
        {"create temp table fact_y as select id from rec_batch", false},
        {"create temp table fact_x as select id from rec_batch", false},
        {"insert into fact_x select id from rec_batch", false},
        {"insert into fact_other select id from rec_batch", false},
        {"create table fact_x as select id from secret", false},
        {"create table fact_x as select name from sqlite_schema", false},
        {"create table fact_x as select sql from sqlite_temp_schema", false},
        {"create table fact_x as select date('now') as d", false},
        {"create table fact_x as select 1 as a; delete from rec_batch", false},
        {"create temp view fact_x as select id from rec_batch", false},
        {"insert into rec_batch values('x', 1)", false},
        {"drop table fact_other", false},
    };
    open_db();
    for (size_t i = 0; i < LW_COUNT(cases); i++) {
        struct guard g = {.scope = GUARD_FACT, .creates = "fact_x"};
        struct diags *d = diags_new();
        sqlite3_stmt *st = guard_prepare(db, cases[i].sql, &g, "sheet.xml", 3, d);
        ck_assert_msg((st != NULL) == cases[i].taken, "%s", cases[i].sql);
        sqlite3_finalize(st);
        diags_free(d);
    }
    sqlite3_close(db);
}
END_TEST

static const char *text_of(const char *sql)
{
    static char out[128];
    sqlite3_stmt *st = NULL;
    ck_assert_int_eq(sqlite3_prepare_v2(db, sql, -1, &st, NULL), SQLITE_OK);
    ck_assert_int_eq(sqlite3_step(st), SQLITE_ROW);
    const char *s = (const char *)sqlite3_column_text(st, 0);
    snprintf(out, sizeof out, "%s", s ? s : "(null)");
    sqlite3_finalize(st);
    return out;
}

START_TEST(functions_give_nothing_for_nothing)
{
    static const struct {
        const char *sql, *want;
    } cases[] = {
        {"select lw_days(null)", "(null)"},
        {"select lw_days('2024-02-30')", "(null)"},
        {"select lw_days('1970-01-02')", "1"},
        {"select lw_date(lw_days('2024-02-29'))", "2024-02-29"},
        {"select lw_add_months('2024-01-31', 1)", "2024-02-29"},
        {"select lw_add_months(null, 1)", "(null)"},
        {"select lw_unit(5, 'gal-us', 'L')", "18.92705892"},
        {"select lw_unit(5, 'gal-us', 'degC')", "(null)"},
        {"select lw_unit('5', 'gal-us', 'L')", "(null)"},
        {"select lw_at_most(1, null)", "(null)"},
        {"select lw_at_most(1.0000000001, 1)", "1"},
        {"select lw_at_most(1.00000001, 1)", "0"},
        {"select lw_at_least(0.9999999999, 1)", "1"},
        {"select lw_has_word('osha ifc', 'ifc')", "1"},
        {"select lw_has_word('osha ifc', 'if')", "0"},
        {"select lw_has_word(null, 'if')", "(null)"},
        {"select lw_flash_c(null)", "(null)"},
        {"select lw_flash_c(1)", "(null)"},
        {"select lw_flash_c(101)", "(null)"},
        {"select lw_class('nfpa', 13, 0, 78)", "IB"},
        {"select lw_class('nfpa', null, 0, 78)", "(null)"},
        {"select lw_class('no-such', 13, 0, 78)", "(null)"},
    };
    open_db();
    for (size_t i = 0; i < LW_COUNT(cases); i++)
        ck_assert_msg(strcmp(text_of(cases[i].sql), cases[i].want) == 0, "%s gave %s", cases[i].sql,
                      text_of(cases[i].sql));
    sqlite3_close(db);
}
END_TEST

UNIT_MAIN("fact/guard", reads_what_it_is_for, refuses_the_rest, a_rule_reads_its_fact_alone,
          makes_its_own_table_and_no_other, functions_give_nothing_for_nothing)
