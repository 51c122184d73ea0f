#include "text/base.h"

#include "rule/evaluate.h"
#include "rule/example_records.h"
#include "rule/selftest.h"
#include "text/date.h"
#include "text/mem.h"
#include "text/utf8.h"

void selftest_free(struct selftest_results *r)
{
    if (!r)
        return;
    for (size_t i = 0; i < r->count; i++)
        mem_free(r->items[i].why);
    mem_free(r->items);
    mem_free(r);
}

struct bench {
    struct store *store;
    const struct fact_set *facts;
    const struct rule_set *rules;
};

/* Records in, verdict counts out. false with a diagnostic. */
static bool judge(const struct bench *b, const struct rule *r, const struct rule_example *e,
                  const struct example_records *x, unsigned long verdicts[4], struct diags *d)
{
    struct fact_options fo = {.only = r->fact};
    struct evaluate_options eo = {.only = r->id};
    struct fact_run *run = NULL;
    struct findings *f = NULL;
    bool ok =
        store_reset(b->store) && date_iso_days(e->as_of ? e->as_of : SELFTEST_AS_OF, &fo.as_of);
    for (size_t i = 0; ok && i < x->count; i++) {
        enum store_result s = store_add(b->store, x->items[i], &x->ctx, d);
        /* Two copies that differ are what some rules are about. */
        ok = s == STORE_ADDED || s == STORE_SAME || s == STORE_CONFLICT;
    }
    ok = ok && store_finish(b->store, d);
    if (ok)
        run = fact_materialise(b->store, b->facts, &fo, d);
    if (run)
        f = evaluate(run, b->rules, &eo, d);
    ok = f && f->tally_count == 1;
    for (size_t i = 0; ok && i < 4; i++)
        verdicts[i] = f->tallies[0].verdicts[i];
    findings_free(f);
    fact_run_free(run);
    return ok;
}

bool selftest_as_expected(enum verdict expect, const unsigned long v[4])
{
    switch (expect) {
    case VERDICT_FAILS:
        return v[VERDICT_FAILS] > 0;
    case VERDICT_HOLDS:
        return v[VERDICT_HOLDS] > 0 && v[VERDICT_FAILS] == 0 && v[VERDICT_CANNOT_TELL] == 0;
    case VERDICT_CANNOT_TELL:
        return v[VERDICT_CANNOT_TELL] > 0 && v[VERDICT_FAILS] == 0;
    case VERDICT_NOT_APPLICABLE:
        return v[VERDICT_NOT_APPLICABLE] > 0 && v[VERDICT_HOLDS] == 0 && v[VERDICT_FAILS] == 0 &&
               v[VERDICT_CANNOT_TELL] == 0;
    }
    return false;
}

static void tell(struct selftest_result *r, struct sbuf *b)
{
    sbuf_printf(b,
                "%s:%ld: rule '%s': this example should be '%s'; it gave %lu holds, %lu fails, "
                "%lu cannot tell, %lu does not apply",
                r->rule->file, r->example->line, r->rule->id, verdict_name(r->example->expect),
                r->verdicts[VERDICT_HOLDS], r->verdicts[VERDICT_FAILS],
                r->verdicts[VERDICT_CANNOT_TELL], r->verdicts[VERDICT_NOT_APPLICABLE]);
}

static void one(const struct bench *b, const struct example_records *first,
                struct selftest_result *r, struct diags *d)
{
    struct example_records x = {0};
    struct sbuf why = SBUF_INIT;
    struct diags *own = diags_new();
    bool built = own && example_records_build(r->rule, r->example, &x, own);
    bool judged = built && judge(b, r->rule, r->example, &x, r->verdicts, own);
    if (!judged) {
        for (size_t i = 0; own && i < diags_count(own); i++) {
            if (why.len > 0)
                sbuf_puts(&why, "; ");
            diag_format(diags_at(own, i), &why);
        }
        if (why.len == 0)
            sbuf_puts(&why, "out of memory");
    } else if (!selftest_as_expected(r->example->expect, r->verdicts)) {
        tell(r, &why);
    } else if (r->example->differs && example_records_differ(first, &x) != 1) {
        sbuf_printf(&why, "%s:%ld: rule '%s': this example must differ from the first in one thing",
                    r->rule->file, r->example->line, r->rule->id);
    }
    r->passed = judged && why.len == 0;
    if (!r->passed)
        r->why = sbuf_take(&why);
    if (!own || diags_oom(own) || (!r->passed && !r->why))
        diags_out_of_memory(d);
    sbuf_free(&why);
    diags_free(own);
    example_records_free(&x);
}

static bool run_rule(const struct bench *b, const struct rule *rule, struct selftest_results *out,
                     size_t *cap, struct diags *d)
{
    struct example_records first = {0};
    if (!example_records_build(rule, &rule->examples[0], &first, d))
        return false;
    for (size_t i = 0; i < rule->example_count; i++) {
        struct selftest_result *grown = mem_grow(out->items, cap, out->count + 1, sizeof *grown);
        if (!grown) {
            diags_out_of_memory(d);
            break;
        }
        out->items = grown;
        out->items[out->count] =
            (struct selftest_result){.rule = rule, .example = &rule->examples[i]};
        one(b, &first, &out->items[out->count], d);
        out->failed += out->items[out->count].passed ? 0 : 1;
        out->count++;
    }
    example_records_free(&first);
    return !diags_oom(d);
}

struct selftest_results *selftest_run(struct store *store, const struct fact_set *facts,
                                      const struct rule_set *rules, const char *only,
                                      struct diags *d)
{
    struct bench b = {store, facts, rules};
    struct selftest_results *out = mem_calloc(1, sizeof *out);
    size_t cap = 0;
    bool ok = out != NULL;
    if (!ok)
        diags_out_of_memory(d);
    for (size_t i = 0; ok && i < rule_set_count(rules); i++) {
        const struct rule *r = rule_set_at(rules, i);
        if (!only || str_eq(only, r->id))
            ok = run_rule(&b, r, out, &cap, d);
    }
    if (!ok) {
        selftest_free(out);
        out = NULL;
    }
    return out;
}
