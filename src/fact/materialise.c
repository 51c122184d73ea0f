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
    bool *filled;           /* one a sheet */
    enum fact_state *state; /* the same; by the last refill */
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

/* Marks every fact that sql reads as fact_NAME. */
static void mark_mentioned(const struct fact_set *set, const char *sql, bool *wanted)
{
    static const char start[] = "fact_";
    for (const char *p = sql; (p = strstr(p, start)) != NULL;) {
        bool whole = p == sql || !(ascii_alnum(p[-1]) || p[-1] == '_');
        const char *name = p += sizeof start - 1;
        while (ascii_alnum(*p) || *p == '_')
            p++;
        for (size_t i = 0; whole && i < fact_set_count(set); i++) {
            const char *other = fact_set_at(set, i)->name;
            if (strncmp(other, name, (size_t)(p - name)) == 0 && other[p - name] == '\0')
                wanted[i] = true;
        }
    }
}

/* Marks the facts of a blank-separated list and all they read. Sheets stand behind what they read,
 * so one pass backwards is enough. */
static void mark_needed(const struct fact_set *set, const char *list, bool *wanted)
{
    for (size_t i = fact_set_count(set); i-- > 0;) {
        const struct fact_sheet *s = fact_set_at(set, i);
        wanted[i] = wanted[i] || listed(list, s->name);
        if (wanted[i])
            mark_mentioned(set, s->sql, wanted);
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
    mem_free(r->state);
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
        r->state = mem_calloc(n ? n : 1, sizeof *r->state);
    }
    if (!r || !wanted || !r->filled || !r->state) {
        diags_out_of_memory(d);
        goto out;
    }
    tables = fact_tables_of(s, set, d);
    if (tables && o->follow)
        fact_tables_follow(tables);
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

enum fact_state fact_run_state(const struct fact_run *r, size_t i)
{
    return r->state[i];
}

/* What the change means for sheet i, those before it having been brought up to date. */
static enum fact_state reach(const struct fact_run *r, const struct fact_tables *t,
                             const struct fact_change *c, size_t i)
{
    enum fact_state worst = FACT_KEPT;
    for (size_t k = 0; k < c->count && worst == FACT_KEPT; k++)
        if (fact_table_reads(t, i, c->what[k]))
            worst = FACT_LESS;
    for (size_t j = 0; j < i; j++)
        if (r->state[j] > worst && fact_table_reads_fact(t, i, j))
            worst = r->state[j];
    return worst == FACT_LESS && !(c->lots_gone && fact_set_at(r->set, i)->alone) ? FACT_ANEW
                                                                                  : worst;
}

/* As mark_needed, by what the compiled statements read. */
static void mark_read(const struct fact_run *r, const struct fact_tables *t, const char *list,
                      bool *wanted)
{
    size_t n = fact_set_count(r->set);
    for (size_t i = n; i-- > 0;) {
        wanted[i] = listed(list, fact_set_at(r->set, i)->name);
        for (size_t j = i + 1; j < n && !wanted[i]; j++)
            wanted[i] = wanted[j] && fact_table_reads_fact(t, j, i);
    }
}

static bool drop_lots(struct fact_run *r, size_t i, const char *lots, struct diags *d)
{
    const struct fact_sheet *s = fact_set_at(r->set, i);
    struct sbuf sql = SBUF_INIT;
    sbuf_printf(&sql, "delete from fact_%s where \"%s\" in (%s)", s->name, s->lot, lots);
    int rc = sql.failed ? SQLITE_NOMEM : sqlite3_exec(store_db(r->store), sql.s, NULL, NULL, NULL);
    sbuf_free(&sql);
    return step_told(r, s, rc == SQLITE_OK ? SQLITE_DONE : rc, d);
}

/* Facts of places, papers and the like are few and often come out as they were: then what reads
 * them is spared. */
static bool fill_anew(struct fact_run *r, struct fact_tables *t, size_t i, struct diags *d)
{
    uint64_t before = 0, after = 0;
    bool compare = !fact_set_at(r->set, i)->lot && fact_table_hash(t, i, &before);
    if (!fact_table_empty(t, i, d) || !fill(r, t, i, false, d))
        return false;
    if (compare && fact_table_hash(t, i, &after) && before == after)
        r->state[i] = FACT_KEPT;
    return true;
}

bool fact_refill(struct fact_run *r, const struct fact_change *c, struct diags *d)
{
    size_t n = fact_set_count(r->set);
    struct fact_tables *t = fact_tables_of(r->store, r->set, d);
    bool *wanted = mem_calloc(n ? n : 1, sizeof *wanted);
    bool ok = t && wanted;
    if (t && !wanted)
        diags_out_of_memory(d);
    if (ok && c->only)
        mark_read(r, t, c->only, wanted);
    budget_start(&r->budget, r->store);
    for (size_t i = 0; ok && i < n; i++) {
        r->state[i] = FACT_KEPT;
        if (r->filled[i] && (!c->only || wanted[i]))
            r->state[i] = reach(r, t, c, i);
        if (r->state[i] == FACT_LESS)
            ok = drop_lots(r, i, c->lots_gone, d);
        else if (r->state[i] == FACT_ANEW)
            ok = fill_anew(r, t, i, d);
    }
    budget_end(&r->budget);
    mem_free(wanted);
    return ok;
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
