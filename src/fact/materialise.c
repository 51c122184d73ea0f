#include "text/base.h"

#include "fact/fact.h"
#include "fact/guard.h"
#include "fact/run.h"
#include "fact/sqlfunc.h"
#include "text/mem.h"
#include "text/utf8.h"

/* Steps of the virtual machine one fact may take before it is stopped: a runaway recursive query in
 * a foreign sheet ends in seconds. A million lots need about a tenth of it. */
#define STEPS_PER_TICK 1000000
#define TICKS_MOST     20000

struct fact_run {
    struct store *store;
    const struct fact_set *set;
    bool *filled; /* one a sheet */
    long ticks;
};

struct store *fact_run_store(struct fact_run *r)
{
    return r->store;
}

const struct fact_set *fact_run_set(struct fact_run *r)
{
    return r->set;
}

bool fact_run_has(const struct fact_run *r, const char *name)
{
    for (size_t i = 0; i < fact_set_count(r->set); i++)
        if (str_eq(fact_set_at(r->set, i)->name, name))
            return r->filled[i];
    return false;
}

static int on_tick(void *user)
{
    struct fact_run *r = user;
    return ++r->ticks > TICKS_MOST;
}

/* Marks `name` and all it reads. Sheets stand behind what they read, so one pass backwards is
 * enough. */
static void mark_needed(const struct fact_set *set, const char *name, bool *wanted)
{
    size_t n = fact_set_count(set);
    for (size_t i = n; i-- > 0;) {
        const struct fact_sheet *s = fact_set_at(set, i);
        if (str_eq(s->name, name))
            wanted[i] = true;
        for (size_t j = i + 1; j < n && !wanted[i]; j++)
            wanted[i] = wanted[j] && fact_mentions(fact_set_at(set, j)->sql, s->name);
    }
}

static bool columns_agree(sqlite3 *db, const struct fact_sheet *s, const char *table,
                          struct diags *d)
{
    char sql[128];
    sqlite3_stmt *st = NULL;
    snprintf(sql, sizeof sql, "select * from %s", table);
    bool ok = sqlite3_prepare_v2(db, sql, -1, &st, NULL) == SQLITE_OK;
    int n = ok ? sqlite3_column_count(st) : 0;
    ok = ok && (size_t)n == s->column_count;
    for (int i = 0; ok && i < n; i++)
        ok = str_eq(sqlite3_column_name(st, i), s->columns[i].name);
    sqlite3_finalize(st);
    if (!ok)
        diags_add(d, DIAG_ERROR, "bad-fact", s->file, s->sql_line, 0,
                  "declare the columns in the order the SELECT gives them",
                  "fact '%s': the SELECT gives %d columns, %zu are declared, or their names differ",
                  s->name, n, s->column_count);
    return ok;
}

static bool step_told(struct fact_run *r, const struct fact_sheet *s, int rc, struct diags *d)
{
    if (rc == SQLITE_DONE)
        return true;
    if (rc == SQLITE_NOMEM)
        diags_out_of_memory(d);
    else if (rc == SQLITE_INTERRUPT)
        diags_add(d, DIAG_FATAL, "fact-too-long", s->file, s->sql_line, 0, NULL,
                  "fact '%s' was stopped: it takes too many steps", s->name);
    else
        diags_add(d, DIAG_FATAL, "bad-fact", s->file, s->sql_line, 0, NULL, "fact '%s': %s",
                  s->name, sqlite3_errmsg(store_db(r->store)));
    return false;
}

static bool fill(struct fact_run *r, const struct fact_sheet *s, struct diags *d)
{
    sqlite3 *db = store_db(r->store);
    char table[96];
    struct sbuf sql = SBUF_INIT;
    snprintf(table, sizeof table, "fact_%.80s", s->name);
    struct guard g = {.scope = GUARD_FACT, .creates = table};
    sbuf_printf(&sql, "create temp table %s as %s", table, s->sql);
    sqlite3_stmt *st = NULL;
    if (sql.failed)
        diags_out_of_memory(d);
    else
        st = guard_prepare(db, sql.s, &g, s->file, s->sql_line, d);
    bool ok = st != NULL;
    if (ok) {
        r->ticks = 0;
        sqlite3_progress_handler(db, STEPS_PER_TICK, on_tick, r);
        ok = step_told(r, s, sqlite3_step(st), d);
        sqlite3_progress_handler(db, 0, NULL, NULL);
    }
    sqlite3_finalize(st);
    sbuf_free(&sql);
    return ok && columns_agree(db, s, table, d);
}

/* Sheets further on look facts up by subject and lot; without an index SQLite scans, or builds one
 * for each statement. */
static bool index_fact(sqlite3 *db, const struct fact_sheet *s, struct diags *d)
{
    char sql[400];
    const char *const columns[] = {s->subject,
                                   s->lot && !str_eq(s->lot, s->subject) ? s->lot : NULL};
    for (size_t i = 0; i < LW_COUNT(columns); i++) {
        if (!columns[i])
            continue;
        snprintf(sql, sizeof sql, "create index temp.fact_%.80s_%zu on fact_%.80s(\"%.64s\")",
                 s->name, i, s->name, columns[i]);
        if (sqlite3_exec(db, sql, NULL, NULL, NULL) != SQLITE_OK) {
            diags_add(d, DIAG_FATAL, "bad-fact", s->file, s->sql_line, 0, NULL, "fact '%s': %s",
                      s->name, sqlite3_errmsg(db));
            return false;
        }
    }
    return true;
}

static bool read_later(const struct fact_set *set, size_t i)
{
    for (size_t j = i + 1; j < fact_set_count(set); j++)
        if (fact_mentions(fact_set_at(set, j)->sql, fact_set_at(set, i)->name))
            return true;
    return false;
}

static void drop_facts(struct fact_run *r)
{
    char sql[128];
    for (size_t i = 0; i < fact_set_count(r->set); i++)
        if (r->filled[i]) {
            snprintf(sql, sizeof sql, "drop table if exists temp.fact_%.64s",
                     fact_set_at(r->set, i)->name);
            sqlite3_exec(store_db(r->store), sql, NULL, NULL, NULL);
        }
}

void fact_run_free(struct fact_run *r)
{
    if (!r)
        return;
    if (r->filled)
        drop_facts(r);
    run_tables_drop(store_db(r->store));
    mem_free(r->filled);
    mem_free(r);
}

struct fact_run *fact_materialise(struct store *s, const struct fact_set *set,
                                  const struct fact_options *o, struct diags *d)
{
    size_t n = fact_set_count(set);
    struct fact_run *r = mem_calloc(1, sizeof *r);
    bool *wanted = mem_calloc(n ? n : 1, sizeof *wanted);
    bool ok = false;
    if (r) {
        r->store = s;
        r->set = set;
        r->filled = mem_calloc(n ? n : 1, sizeof *r->filled);
    }
    if (!r || !wanted || !r->filled) {
        diags_out_of_memory(d);
        goto out;
    }
    if (sqlfunc_register(store_db(s), fact_set_patterns(set)) != SQLITE_OK) {
        diags_out_of_memory(d);
        goto out;
    }
    ok = run_tables_build(store_db(s), o, d);
    for (size_t i = 0; i < n; i++)
        wanted[i] = !o->only;
    if (o->only)
        mark_needed(set, o->only, wanted);
    for (size_t i = 0; ok && i < n; i++)
        if (wanted[i])
            ok = r->filled[i] =
                fill(r, fact_set_at(set, i), d) &&
                (!read_later(set, i) || index_fact(store_db(s), fact_set_at(set, i), d));
out:
    mem_free(wanted);
    if (!ok) {
        fact_run_free(r);
        r = NULL;
    }
    return r;
}
