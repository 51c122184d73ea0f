#include "text/base.h"

#include "fact/budget.h"
#include "rule/detail.h"
#include "rule/evaluate.h"
#include "rule/waive.h"
#include "text/mem.h"
#include "text/utf8.h"

/* Rules over one fact, compiled at first need. */
struct fact_rules {
    const struct rule **rules; /* in id order; borrowed */
    size_t *tallies;           /* their places in findings->tallies */
    size_t count;
    struct fact_program *program;
};

struct evaluator {
    struct fact_run *run;
    struct evaluate_options o;
    char **code_sets; /* in force, sorted */
    size_t code_set_count;
    const struct rule **rules; /* those chosen, in id order; borrowed */
    size_t rule_count;
    struct fact_rules *facts; /* one a sheet */
    sqlite3_stmt *limits;     /* reads limits by name; compiled at the first */
    bool once;                /* what was compiled is given back at once */
};

/* One judgement under way. */
struct evaluation {
    struct evaluator *e;
    sqlite3 *db;
    struct findings *out;
    size_t cap;
    struct budget budget;
    struct diags *d;
};

static bool out_of_memory(struct diags *d)
{
    diags_out_of_memory(d);
    return false;
}

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
        !detail_fill(ev->db, p, rp, rowid, limit, unknown, where_untold, ev->e->o.units, &f)) {
        finding_clear(&f);
        diags_out_of_memory(ev->d);
        return false;
    }
    if (ev->e->o.lot && !str_eq(f.lot, ev->e->o.lot)) {
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
    for (size_t i = 0; ok && i < ev->e->code_set_count; i++) {
        if (own && !str_eq(own, ev->e->code_sets[i]))
            continue;
        struct limit_verdict v = limit_judge(&rp->limits, ev->e->code_sets[i], values, has, value,
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
    program_rest(p);
    return ok;
}

static bool run_fact(struct evaluation *ev, size_t i)
{
    struct fact_rules *f = &ev->e->facts[i];
    if (f->count == 0)
        return true;
    if (!f->program)
        f->program =
            program_compile(ev->db, &ev->e->limits, fact_set_at(fact_run_set(ev->e->run), i),
                            f->rules, f->tallies, f->count, ev->d);
    budget_renew(&ev->budget);
    bool ok = f->program && scan_fact(ev, f->program);
    if (ev->e->once) {
        program_free(f->program);
        f->program = NULL;
    }
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

static bool choose_rules(struct evaluator *e, const struct rule_set *rules, struct diags *d)
{
    size_t n = rule_set_count(rules);
    e->rules = mem_calloc(n ? n : 1, sizeof *e->rules);
    if (!e->rules)
        return out_of_memory(d);
    for (size_t i = 0; i < n; i++) {
        const struct rule *r = rule_set_at(rules, i);
        if ((e->o.topic && !str_eq(e->o.topic, r->topic)) ||
            (e->o.only && !str_eq(e->o.only, r->id)) || (e->o.over && !str_eq(e->o.over, r->fact)))
            continue;
        if (!fact_run_has(e->run, r->fact)) {
            diags_add(d, DIAG_ERROR, "bad-rule", r->file, 0, 0, NULL,
                      "rule '%s': there is no fact '%s'", r->id, r->fact);
            return false;
        }
        e->rules[e->rule_count++] = r;
    }
    return true;
}

/* Sorts the chosen rules by the fact they are over. */
static bool sort_by_fact(struct evaluator *e, struct diags *d)
{
    const struct fact_set *set = fact_run_set(e->run);
    size_t n = fact_set_count(set);
    e->facts = mem_calloc(n ? n : 1, sizeof *e->facts);
    if (!e->facts)
        return out_of_memory(d);
    for (size_t i = 0; i < n; i++) {
        struct fact_rules *f = &e->facts[i];
        size_t count = 0;
        for (size_t k = 0; k < e->rule_count; k++)
            count += str_eq(e->rules[k]->fact, fact_set_at(set, i)->name);
        if (count == 0)
            continue;
        f->rules = mem_calloc(count, sizeof *f->rules);
        f->tallies = mem_calloc(count, sizeof *f->tallies);
        if (!f->rules || !f->tallies)
            return out_of_memory(d);
        for (size_t k = 0; k < e->rule_count; k++)
            if (str_eq(e->rules[k]->fact, fact_set_at(set, i)->name)) {
                f->tallies[f->count] = k;
                f->rules[f->count++] = e->rules[k];
            }
    }
    return true;
}

static bool read_code_sets(struct evaluator *e, struct diags *d)
{
    sqlite3_stmt *st = NULL;
    size_t cap = 0;
    int rc = sqlite3_prepare_v2(store_db(fact_run_store(e->run)),
                                "select id from run_code_set order by id", -1, &st, NULL);
    while (rc == SQLITE_OK && sqlite3_step(st) == SQLITE_ROW) {
        char *id = mem_strdup((const char *)sqlite3_column_text(st, 0));
        char **grown = mem_grow(e->code_sets, &cap, e->code_set_count + 1, sizeof *grown);
        if (grown)
            e->code_sets = grown;
        if (!grown || !id) {
            mem_free(id);
            rc = SQLITE_NOMEM;
            break;
        }
        e->code_sets[e->code_set_count++] = id;
    }
    sqlite3_finalize(st);
    return rc == SQLITE_OK || out_of_memory(d);
}

static bool patterns_known(const struct evaluator *e, struct diags *d)
{
    const struct pattern_set *set = fact_set_patterns(fact_run_set(e->run));
    bool ok = true;
    for (size_t i = 0; i < e->rule_count; i++) {
        const struct rule *r = e->rules[i];
        if (r->form == MUST_MATCHES && pattern_index(set, r->against) < 0) {
            diags_add(d, DIAG_ERROR, "bad-rule", r->file, 0, 0, NULL,
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
    return o->topic || o->only || o->over ? WAIVER_SOME_RULES : WAIVER_ALL_RULES;
}

void evaluator_free(struct evaluator *e)
{
    if (!e)
        return;
    for (size_t i = 0; e->facts && i < fact_set_count(fact_run_set(e->run)); i++) {
        mem_free(e->facts[i].rules);
        mem_free(e->facts[i].tallies);
        program_free(e->facts[i].program);
    }
    for (size_t i = 0; i < e->code_set_count; i++)
        mem_free(e->code_sets[i]);
    mem_free(e->code_sets);
    sqlite3_finalize(e->limits);
    mem_free(e->rules);
    mem_free(e->facts);
    mem_free(e);
}

struct evaluator *evaluator_new(struct fact_run *run, const struct rule_set *rules,
                                const struct evaluate_options *o, struct diags *d)
{
    struct evaluator *e = mem_calloc(1, sizeof *e);
    if (!e) {
        diags_out_of_memory(d);
        return NULL;
    }
    e->run = run;
    if (o)
        e->o = *o;
    if (!read_code_sets(e, d) || !choose_rules(e, rules, d) || !patterns_known(e, d) ||
        !sort_by_fact(e, d)) {
        evaluator_free(e);
        e = NULL;
    }
    return e;
}

static bool begin(struct evaluation *ev)
{
    ev->db = store_db(fact_run_store(ev->e->run));
    ev->out = mem_calloc(1, sizeof *ev->out);
    if (ev->out)
        ev->out->tallies =
            mem_calloc(ev->e->rule_count ? ev->e->rule_count : 1, sizeof *ev->out->tallies);
    if (!ev->out || !ev->out->tallies)
        return out_of_memory(ev->d);
    budget_start(&ev->budget, fact_run_store(ev->e->run));
    ev->out->tally_count = ev->e->rule_count;
    for (size_t i = 0; i < ev->e->rule_count; i++)
        ev->out->tallies[i].rule = ev->e->rules[i];
    return true;
}

static struct findings *end(struct evaluation *ev, bool ok)
{
    if (ev->budget.db)
        budget_end(&ev->budget);
    if (ok && ev->out->count > 1)
        qsort(ev->out->items, ev->out->count, sizeof *ev->out->items, by_worst);
    if (!ok) {
        findings_free(ev->out);
        ev->out = NULL;
    }
    return ev->out;
}

struct findings *evaluator_all(struct evaluator *e, bool waived, struct diags *d)
{
    struct evaluation ev = {.e = e, .d = d};
    bool ok = begin(&ev);
    for (size_t i = 0; ok && i < fact_set_count(fact_run_set(e->run)); i++)
        ok = run_fact(&ev, i);
    struct findings *out = end(&ev, ok);
    if (out && waived && !waivers_apply(ev.db, out, reach_of(&e->o), d)) {
        findings_free(out);
        out = NULL;
    }
    return out;
}

/* A copy of a finding of an earlier judgement. */
static bool take_over(struct evaluation *ev, const struct finding *f)
{
    struct findings *out = ev->out;
    struct finding *grown = mem_grow(out->items, &ev->cap, out->count + 1, sizeof *out->items);
    if (!grown)
        return out_of_memory(ev->d);
    out->items = grown;
    if (!finding_copy(f, &out->items[out->count]))
        return out_of_memory(ev->d);
    out->count++;
    return true;
}

static bool one_of(const char *const *list, size_t count, const char *text)
{
    for (size_t i = 0; text && i < count; i++)
        if (str_eq(list[i], text))
            return true;
    return false;
}

struct findings *evaluator_after(struct evaluator *e, const struct findings *earlier,
                                 const char *const *lots_gone, size_t lot_count, struct diags *d)
{
    struct evaluation ev = {.e = e, .d = d};
    const struct fact_set *set = fact_run_set(e->run);
    bool ok = begin(&ev);
    for (size_t i = 0; ok && i < fact_set_count(set); i++)
        ok = fact_run_state(e->run, i) != FACT_ANEW || run_fact(&ev, i);
    for (size_t k = 0; ok && k < earlier->count; k++) {
        const struct finding *f = &earlier->items[k];
        enum fact_state state = FACT_KEPT;
        for (size_t i = 0; i < fact_set_count(set); i++)
            if (str_eq(fact_set_at(set, i)->name, f->rule->fact))
                state = fact_run_state(e->run, i);
        if (state == FACT_KEPT || (state == FACT_LESS && !one_of(lots_gone, lot_count, f->lot)))
            ok = take_over(&ev, f);
    }
    return end(&ev, ok);
}

struct findings *evaluate(struct fact_run *run, const struct rule_set *rules,
                          const struct evaluate_options *o, struct diags *d)
{
    struct evaluator *e = evaluator_new(run, rules, o, d);
    if (e)
        e->once = true;
    struct findings *out = e ? evaluator_all(e, true, d) : NULL;
    evaluator_free(e);
    return out;
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
