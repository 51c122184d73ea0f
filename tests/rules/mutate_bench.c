#include "mutate_bench.h"
#include "record/image.h"
#include "rule/evaluate.h"
#include "rule/example_records.h"
#include "rule/selftest.h"
#include "text/date.h"
#include "text/mem.h"
#include "text/utf8.h"

static void tell(const struct diags *d)
{
    for (size_t i = 0; i < diags_count(d); i++) {
        struct sbuf b = SBUF_INIT;
        diag_format(diags_at(d, i), &b);
        fprintf(stderr, "%s\n", b.s);
        sbuf_free(&b);
    }
}

bool bench_open(struct bench *b, const char *srcdir, const char *image)
{
    char data[4096], rules[4096];
    snprintf(data, sizeof data, "%s/data", srcdir);
    snprintf(rules, sizeof rules, "%s/rules", srcdir);
    *b = (struct bench){.said = diags_new()};
    b->store = store_with_catalogue(data, image, b->said);
    b->facts = fact_set_read(data, b->said);
    b->rules = rule_set_read(rules, b->said);
    if (b->store && b->facts && b->rules)
        return true;
    tell(b->said);
    return false;
}

void bench_close(struct bench *b)
{
    store_free(b->store);
    fact_set_free(b->facts);
    rule_set_free(b->rules);
    diags_free(b->said);
}

struct fact_run *bench_fill(struct bench *b, const struct rule *r, const struct rule_example *e)
{
    struct fact_options o = {.only = r->fact};
    struct example_records x;
    struct diags *d = diags_new();
    struct fact_run *run = NULL;
    bool ok = d && example_records_build(r, e, &x, d);
    bool built = ok;
    ok = ok && store_reset(b->store) &&
         date_iso_days(e->as_of ? e->as_of : SELFTEST_AS_OF, &o.as_of);
    for (size_t i = 0; ok && i < x.count; i++) {
        enum store_result s = store_add(b->store, x.items[i], &x.ctx, d);
        ok = s == STORE_ADDED || s == STORE_SAME || s == STORE_CONFLICT;
    }
    if (ok && store_finish(b->store, d))
        run = fact_materialise(b->store, b->facts, &o, d);
    if (built)
        example_records_free(&x);
    diags_free(d);
    return run;
}

/* Runs sql with ?1 = text. */
static bool run1(sqlite3 *db, const char *sql, const char *text)
{
    sqlite3_stmt *st = NULL;
    bool ok = sqlite3_prepare_v2(db, sql, -1, &st, NULL) == SQLITE_OK &&
              (sqlite3_bind_parameter_count(st) == 0 ||
               sqlite3_bind_text(st, 1, text, -1, SQLITE_TRANSIENT) == SQLITE_OK) &&
              sqlite3_step(st) == SQLITE_DONE;
    sqlite3_finalize(st);
    return ok;
}

static bool move_limit(sqlite3 *db, const struct mutant *m, const char *name)
{
    return run1(db, "create temp table if not exists lim_kept(id integer, value, words)", NULL) &&
           run1(db, "delete from lim_kept", NULL) &&
           run1(db,
                "insert into lim_kept select rowid, value, words from lim_in_force where name = ?1",
                name) &&
           run1(db, m->limit_sql, name);
}

static bool put_limit_back(sqlite3 *db)
{
    return run1(db,
                "update lim_in_force set (value, words) ="
                " (select k.value, k.words from lim_kept k where k.id = lim_in_force.rowid)"
                " where rowid in (select id from lim_kept)",
                NULL);
}

bool bench_judge(struct bench *b, struct fact_run *run, const struct rule *r,
                 const struct mutant *m, unsigned long verdicts[4])
{
    struct evaluate_options o = {.only = r->id};
    struct rule *hand = (struct rule *)(uintptr_t)r; /* the set's own rule, changed for a moment */
    struct rule kept = *r;
    struct diags *d = diags_new();
    sqlite3 *db = store_db(b->store);
    bool ok = d != NULL;
    if (m && m->has_where)
        hand->where = m->where;
    if (m && m->has_must) {
        hand->form = m->form;
        hand->value = m->value;
        hand->against = m->against;
    }
    if (m && m->limit_sql)
        ok = ok && move_limit(db, m, r->against);
    struct findings *f = ok ? evaluate(run, b->rules, &o, d) : NULL;
    if (m && m->limit_sql)
        ok = put_limit_back(db) && ok;
    *hand = kept;
    ok = ok && f && f->tally_count == 1;
    for (size_t i = 0; ok && i < 4; i++)
        verdicts[i] = f->tallies[0].verdicts[i];
    findings_free(f);
    diags_free(d);
    return ok;
}

bool bench_is_limit(const struct bench *b, const struct rule *r)
{
    const struct fact_sheet *sheet = fact_set_find(b->facts, r->fact);
    return (r->form == MUST_AT_MOST || r->form == MUST_AT_LEAST) && sheet &&
           fact_column_index(sheet, r->against) < 0;
}

static char *one_text(sqlite3 *db, const char *sql, const char *arg)
{
    sqlite3_stmt *st = NULL;
    char *out = NULL;
    if (sqlite3_prepare_v2(db, sql, -1, &st, NULL) == SQLITE_OK &&
        sqlite3_bind_text(st, 1, arg, -1, SQLITE_TRANSIENT) == SQLITE_OK &&
        sqlite3_step(st) == SQLITE_ROW)
        out = mem_strdup((const char *)sqlite3_column_text(st, 0));
    sqlite3_finalize(st);
    return out;
}

char *bench_other_limit(struct bench *b, const struct rule *r)
{
    sqlite3 *db = store_db(b->store);
    char *out = one_text(db,
                         "select name from lim_in_force where name <> ?1 and value not in"
                         " (select value from lim_in_force where name = ?1) and unit in"
                         " (select unit from lim_in_force where name = ?1)"
                         " order by (codeset in (select codeset from lim_in_force where name = ?1))"
                         " desc, name limit 1",
                         r->against);
    return out ? out
               : one_text(db,
                          "select name from lim where name <> ?1 and unit in"
                          " (select unit from lim where name = ?1) order by name limit 1",
                          r->against);
}
