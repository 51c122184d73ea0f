#include "text/base.h"

#include "fact/budget.h"
#include "fact/fact.h"
#include "fact/run.h"
#include "fact/tables.h"
#include "text/mem.h"
#include "text/utf8.h"

struct fact_run {
    struct store *store;
    const struct fact_set *set;
    bool *filled; /* one a sheet */
    struct budget budget;
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

static bool listed(const char *list, const char *name)
{
    size_t n = strlen(name);
    for (const char *p = strstr(list, name); p; p = strstr(p + 1, name))
        if ((p == list || p[-1] == ' ') && (p[n] == ' ' || p[n] == '\0'))
            return true;
    return false;
}

/* Marks the facts of a blank-separated list and all they read. Sheets stand behind what they read,
 * so one pass backwards is enough. */
static void mark_needed(const struct fact_set *set, const char *list, bool *wanted)
{
    size_t n = fact_set_count(set);
    for (size_t i = n; i-- > 0;) {
        const struct fact_sheet *s = fact_set_at(set, i);
        wanted[i] = listed(list, s->name);
        for (size_t j = i + 1; j < n && !wanted[i]; j++)
            wanted[i] = wanted[j] && fact_mentions(fact_set_at(set, j)->sql, s->name);
    }
}

static bool step_told(struct fact_run *r, const struct fact_sheet *s, int rc, struct diags *d)
{
    if (rc == SQLITE_DONE)
        return true;
    if (budget_told(&r->budget, rc, "fact", s->name, s->file, s->sql_line, d))
        return false;
    if (rc == SQLITE_NOMEM)
        diags_out_of_memory(d);
    else
        diags_add(d, DIAG_FATAL, "bad-fact", s->file, s->sql_line, 0, NULL, "fact '%s': %s",
                  s->name, sqlite3_errmsg(store_db(r->store)));
    return false;
}

static bool fill(struct fact_run *r, struct fact_tables *t, size_t i, bool once, struct diags *d)
{
    sqlite3_stmt *st = fact_table_filler(t, i, d);
    if (!st)
        return false;
    budget_renew(&r->budget);
    bool ok = step_told(r, fact_set_at(r->set, i), sqlite3_step(st), d);
    fact_table_filled(t, i, once);
    return ok;
}

void fact_run_free(struct fact_run *r)
{
    if (!r)
        return;
    mem_free(r->filled);
    mem_free(r);
}

struct fact_run *fact_materialise(struct store *s, const struct fact_set *set,
                                  const struct fact_options *o, struct diags *d)
{
    size_t n = fact_set_count(set);
    struct fact_run *r = mem_calloc(1, sizeof *r);
    bool *wanted = mem_calloc(n ? n : 1, sizeof *wanted);
    struct fact_tables *tables = NULL;
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
    tables = fact_tables_of(s, set, d);
    ok = tables && run_tables_build(store_db(s), o, d);
    for (size_t i = 0; i < n; i++)
        wanted[i] = !o->only;
    if (o->only)
        mark_needed(set, o->only, wanted);
    budget_start(&r->budget, s);
    for (size_t i = 0; ok && i < n; i++)
        ok = !wanted[i] || fact_table_declare(tables, i, d);
    ok = ok && fact_tables_clear(tables, d);
    for (size_t i = 0; ok && i < n; i++)
        if (wanted[i])
            ok = r->filled[i] = fill(r, tables, i, o->once, d);
    budget_end(&r->budget);
out:
    mem_free(wanted);
    if (!ok) {
        fact_run_free(r);
        r = NULL;
    }
    return r;
}

bool fact_prepare(struct store *s, const char *data_dir, struct diags *d)
{
    struct fact_set *set = fact_set_read(data_dir, d);
    struct fact_options o = {0};
    struct fact_tables *t = set ? fact_tables_of(s, set, d) : NULL;
    bool ok = t && run_tables_build(store_db(s), &o, d);
    for (size_t i = 0; ok && i < fact_set_count(set); i++)
        ok = fact_table_declare(t, i, d);
    ok = ok && fact_set_keep(set, s, d);
    fact_set_free(set);
    return ok;
}
