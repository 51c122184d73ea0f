#include "text/base.h"

#include "fact/budget.h"
#include "rule/detail.h"
#include "rule/evaluate.h"
#include "rule/waive.h"
#include "text/mem.h"
#include "text/utf8.h"

struct evaluation {
    sqlite3 *db;
    struct findings *out;
    size_t cap;
    const struct evaluate_options *o;
    struct budget budget;
    char **code_sets; /* in force, sorted */
    size_t code_set_count;
    sqlite3_stmt *limits; /* reads limits by name; compiled at the first */
    struct diags *d;
};

static bool keep(struct evaluation *ev, struct fact_program *p, struct rule_program *rp,
                 sqlite3_int64 rowid, enum verdict verdict, const struct limit_row *limit,
                 const bool *unknown, bool where_untold)
{
    struct finding f = {.rule = rp->rule, .verdict = verdict};
    struct finding *grown =
        mem_grow(ev->out->items, &ev->cap, ev->out->count + 1, sizeof *ev->out->items);
    if (grown)
        ev->out->items = grown;
    if (!grown ||
        !detail_fill(ev->db, p, rp, rowid, limit, unknown, where_untold, ev->o->units, &f)) {
        finding_clear(&f);
        diags_out_of_memory(ev->d);
        return false;
    }
    if (ev->o->lot && !str_eq(f.lot, ev->o->lot)) {
        finding_clear(&f);
        return true;
    }
    ev->out->items[ev->out->count++] = f;
    return true;
}

/* One value against every code set in force (or the row's own). */
static bool judge(struct evaluation *ev, struct fact_program *p, struct rule_program *rp,
                  sqlite3_int64 rowid)
{
    const char *values[LIMIT_CONDITIONS] = {NULL};
    bool has[LIMIT_CONDITIONS] = {false};
    const char *own =
        p->codeset_scan >= 0 ? (const char *)sqlite3_column_text(p->scan, p->codeset_scan) : NULL;
    double value = sqlite3_column_type(p->scan, rp->value_scan) == SQLITE_NULL
                       ? (double)NAN
                       : sqlite3_column_double(p->scan, rp->value_scan);
    bool partial = rp->partial_scan >= 0 && sqlite3_column_double(p->scan, rp->partial_scan) > 0;
    unsigned long *tally = ev->out->tallies[rp->tally].verdicts;
    bool any = false, ok = true;
    for (int c = 0; c < LIMIT_CONDITIONS; c++)
        if (p->condition_scan[c] >= 0) {
            has[c] = true;
            values[c] = (const char *)sqlite3_column_text(p->scan, p->condition_scan[c]);
        }
    for (size_t i = 0; ok && i < ev->code_set_count; i++) {
        if (own && !str_eq(own, ev->code_sets[i]))
            continue;
        struct limit_verdict v = limit_judge(&rp->limits, ev->code_sets[i], values, has, value,
                                             partial, rp->rule->form == MUST_AT_MOST);
        if (v.verdict == VERDICT_NOT_APPLICABLE)
            continue;
        any = true;
        tally[v.verdict]++;
        if (v.verdict == VERDICT_FAILS || v.verdict == VERDICT_CANNOT_TELL)
            ok = keep(ev, p, rp, rowid, v.verdict, v.row, v.unknown, false);
    }
    if (!any)
        tally[VERDICT_NOT_APPLICABLE]++;
    return ok;
}

static bool one_row(struct evaluation *ev, struct fact_program *p)
{
    sqlite3_int64 rowid = sqlite3_column_int64(p->scan, 0);
    bool ok = true;
    for (size_t i = 0; ok && i < p->count; i++) {
        struct rule_program *rp = &p->rules[i];
        int state = sqlite3_column_int(p->scan, (int)i + 1);
        if (state == STATE_JUDGE) {
            ok = judge(ev, p, rp, rowid);
            continue;
        }
        assert(state >= STATE_HOLDS && state <= STATE_SKIP);
        ev->out->tallies[rp->tally].verdicts[state]++;
        if (state == STATE_FAILS || state == STATE_CANNOT_TELL) {
            bool where_untold = false;
            if (state == STATE_CANNOT_TELL && rp->rule->where)
                where_untold = program_where_untold(ev->db, p, rp, rowid);
            ok = keep(ev, p, rp, rowid, (enum verdict)state, NULL, NULL, where_untold);
        }
    }
    return ok;
}

static bool scan_fact(struct evaluation *ev, struct fact_program *p)
{
    int rc = SQLITE_ROW;
    bool ok = true;
    while (ok && (rc = sqlite3_step(p->scan)) == SQLITE_ROW)
        ok = one_row(ev, p);
    if (ok && rc != SQLITE_DONE) {
        if (budget_told(&ev->budget, rc, "the rules over fact", p->sheet->name, p->sheet->file, 0,
                        ev->d))
            ;
        else if (rc == SQLITE_NOMEM)
            diags_out_of_memory(ev->d);
        else
            diags_add(ev->d, DIAG_FATAL, "rule-failed", p->sheet->file, 0, 0, NULL,
                      "rules over fact '%s': %s", p->sheet->name, sqlite3_errmsg(ev->db));
        ok = false;
    }
    sqlite3_reset(p->scan);
    return ok;
}

/* Rules wanted over one fact, in id order. */
static bool run_fact(struct evaluation *ev, const struct fact_sheet *sheet)
{
    size_t n = ev->out->tally_count, count = 0;
    const struct rule **chosen = mem_calloc(n ? n : 1, sizeof *chosen);
    size_t *tallies = mem_calloc(n ? n : 1, sizeof *tallies);
    struct fact_program *p = NULL;
    bool ok = chosen && tallies;
    if (!ok)
        diags_out_of_memory(ev->d);
    for (size_t i = 0; ok && i < n; i++)
        if (str_eq(ev->out->tallies[i].rule->fact, sheet->name)) {
            tallies[count] = i;
            chosen[count++] = ev->out->tallies[i].rule;
        }
    if (ok && count > 0) {
        p = program_compile(ev->db, &ev->limits, sheet, chosen, tallies, count, ev->d);
        budget_renew(&ev->budget);
        ok = p && scan_fact(ev, p);
    }
    program_free(p);
    mem_free(chosen);
    mem_free(tallies);
    return ok;
}

static int by_worst(const void *a, const void *b)
{
    const struct finding *x = a, *y = b;
    if (x->rule->severity != y->rule->severity)
        return x->rule->severity > y->rule->severity ? -1 : 1;
    int c = strcmp(x->rule->id, y->rule->id);
    if (c == 0)
        c = strcmp(x->subject, y->subject);
    return c ? c : strcmp(x->key, y->key);
}

static bool choose_rules(struct evaluation *ev, const struct rule_set *rules,
                         const struct fact_run *run)
{
    size_t n = rule_set_count(rules);
    ev->out->tallies = mem_calloc(n ? n : 1, sizeof *ev->out->tallies);
    if (!ev->out->tallies) {
        diags_out_of_memory(ev->d);
        return false;
    }
    for (size_t i = 0; i < n; i++) {
        const struct rule *r = rule_set_at(rules, i);
        if ((ev->o->topic && !str_eq(ev->o->topic, r->topic)) ||
            (ev->o->only && !str_eq(ev->o->only, r->id)))
            continue;
        if (!fact_run_has(run, r->fact)) {
            diags_add(ev->d, DIAG_ERROR, "bad-rule", r->file, 0, 0, NULL,
                      "rule '%s': there is no fact '%s'", r->id, r->fact);
            return false;
        }
        ev->out->tallies[ev->out->tally_count++].rule = r;
    }
    return true;
}

static bool read_code_sets(struct evaluation *ev)
{
    sqlite3_stmt *st = NULL;
    size_t cap = 0;
    int rc = sqlite3_prepare_v2(ev->db, "select id from run_code_set order by id", -1, &st, NULL);
    while (rc == SQLITE_OK && sqlite3_step(st) == SQLITE_ROW) {
        char *id = mem_strdup((const char *)sqlite3_column_text(st, 0));
        char **grown = mem_grow(ev->code_sets, &cap, ev->code_set_count + 1, sizeof *grown);
        if (grown)
            ev->code_sets = grown;
        if (!grown || !id) {
            mem_free(id);
            rc = SQLITE_NOMEM;
            break;
        }
        ev->code_sets[ev->code_set_count++] = id;
    }
    sqlite3_finalize(st);
    if (rc != SQLITE_OK)
        diags_out_of_memory(ev->d);
    return rc == SQLITE_OK;
}

static bool patterns_known(const struct evaluation *ev, struct fact_run *run)
{
    const struct pattern_set *set = fact_set_patterns(fact_run_set(run));
    bool ok = true;
    for (size_t i = 0; i < ev->out->tally_count; i++) {
        const struct rule *r = ev->out->tallies[i].rule;
        if (r->form == MUST_MATCHES && pattern_index(set, r->against) < 0) {
            diags_add(ev->d, DIAG_ERROR, "bad-rule", r->file, 0, 0, NULL,
                      "rule '%s': there is no pattern '%s'", r->id, r->against);
            ok = false;
        }
    }
    return ok;
}

static enum waiver_reach reach_of(const struct evaluate_options *o)
{
    if (o->lot)
        return WAIVER_SOME_RECORDS;
    return o->topic || o->only ? WAIVER_SOME_RULES : WAIVER_ALL_RULES;
}

struct findings *evaluate(struct fact_run *run, const struct rule_set *rules,
                          const struct evaluate_options *o, struct diags *d)
{
    static const struct evaluate_options all = {.topic = NULL};
    struct evaluation ev = {.db = store_db(fact_run_store(run)), .o = o ? o : &all, .d = d};
    const struct fact_set *set = fact_run_set(run);
    ev.out = mem_calloc(1, sizeof *ev.out);
    if (!ev.out) {
        diags_out_of_memory(d);
        return NULL;
    }
    budget_start(&ev.budget, fact_run_store(run));
    bool ok = read_code_sets(&ev) && choose_rules(&ev, rules, run) && patterns_known(&ev, run);
    for (size_t i = 0; ok && i < fact_set_count(set); i++)
        ok = run_fact(&ev, fact_set_at(set, i));
    if (ok && ev.out->count > 1)
        qsort(ev.out->items, ev.out->count, sizeof *ev.out->items, by_worst);
    budget_end(&ev.budget);
    ok = ok && waivers_apply(ev.db, ev.out, reach_of(ev.o), d);
    for (size_t i = 0; i < ev.code_set_count; i++)
        mem_free(ev.code_sets[i]);
    mem_free(ev.code_sets);
    sqlite3_finalize(ev.limits);
    if (!ok) {
        findings_free(ev.out);
        ev.out = NULL;
    }
    return ev.out;
}

static int by_key(const void *a, const void *b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

void findings_mark_new(struct findings *with, const struct findings *without)
{
    const char **keys = mem_calloc(without->count + 1, sizeof *keys);
    if (!keys)
        return; /* nothing is called new rather than everything */
    size_t n = 0;
    for (size_t i = 0; i < without->count; i++)
        if (without->items[i].verdict == VERDICT_FAILS)
            keys[n++] = without->items[i].key;
    if (n > 0)
        qsort(keys, n, sizeof *keys, by_key);
    for (size_t i = 0; i < with->count; i++) {
        const char *key = with->items[i].key;
        with->items[i].is_new = with->items[i].verdict == VERDICT_FAILS &&
                                (n == 0 || !bsearch(&key, keys, n, sizeof *keys, by_key));
    }
    mem_free(keys);
}
