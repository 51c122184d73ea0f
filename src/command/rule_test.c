/* rule_test.c - a rule against its own examples. */
#include "text/base.h"

#include "command/rule_test.h"
#include "record/reader.h"
#include "text/date.h"
#include "text/utf8.h"

/* The day examples are judged on when they name none. */
#define EXAMPLE_DAY "2026-06-30"

/* A store that starts with the tables and the catalogue of `from`, read once for all examples. */
static struct store *fresh_store(struct store *from, struct diags *d)
{
    struct store *to = store_new(d);
    sqlite3_backup *copy =
        to == NULL ? NULL : sqlite3_backup_init(store_db(to), "main", store_db(from), "main");
    int rc = copy == NULL ? SQLITE_ERROR : sqlite3_backup_step(copy, -1);

    if (copy != NULL && sqlite3_backup_finish(copy) == SQLITE_OK && rc == SQLITE_DONE)
        return to;
    if (to != NULL)
        diags_add(d, DIAG_FATAL, "database", NULL, 0, 0, NULL, "memory database: %s",
                  sqlite3_errmsg(store_db(to)));
    store_free(to);
    return NULL;
}

static bool read_records(struct store *store, const struct rule *rule, const struct rule_example *e,
                         struct diags *d)
{
    struct reader_counts counts = {.whole = true};
    struct store_counts stored;

    if (!reader_xml(rule->file, e->records, strlen(e->records), store_sink, store, &counts, d) ||
        !store_finish(store, d))
        return false;
    stored = store_counts(store);
    return counts.whole && counts.refused == 0 && stored.conflict == 0 && stored.refused == 0;
}

/* The verdicts the rule gave: what the example promises must be there, and nothing against it. */
static bool is_promised(const struct findings *f, const struct rule *rule, enum verdict expect)
{
    const struct rule_tally *t = NULL;

    for (size_t i = 0; i < f->tally_count; i++)
        if (f->tallies[i].rule == rule)
            t = &f->tallies[i];
    if (t == NULL || t->verdicts[expect] == 0)
        return false;
    if (expect == VERDICT_HOLDS)
        return t->verdicts[VERDICT_FAILS] == 0 && t->verdicts[VERDICT_CANNOT_TELL] == 0;
    return expect == VERDICT_FAILS || t->verdicts[VERDICT_FAILS] == 0;
}

static void describe_verdicts(const struct findings *f, const struct rule *rule, struct sbuf *b)
{
    for (size_t i = 0; i < f->tally_count; i++) {
        const unsigned long *v = f->tallies[i].verdicts;

        if (f->tallies[i].rule == rule)
            sbuf_printf(b, "it fails %lu, holds %lu, cannot tell %lu, does not apply %lu",
                        v[VERDICT_FAILS], v[VERDICT_HOLDS], v[VERDICT_CANNOT_TELL],
                        v[VERDICT_NOT_APPLICABLE]);
    }
    for (size_t i = 0; i < f->count && i < 3; i++)
        sbuf_printf(b, "; %s",
                    f->items[i].verdict == VERDICT_CANNOT_TELL ? f->items[i].needs
                                                               : f->items[i].message);
}

/* true when the example went as promised; otherwise `why` says what happened instead. */
static bool judge(struct session *s, const struct rule *rule, const struct rule_example *e,
                  struct diags *d, struct sbuf *why)
{
    struct evaluate_options eo = {.only = rule->id};
    struct fact_options fo = {.only = rule->fact};
    struct store *store = fresh_store(s->store, d);
    struct fact_run *run = NULL;
    struct findings *f = NULL;
    bool good = false;

    if (!date_iso_days(e->as_of == NULL ? EXAMPLE_DAY : e->as_of, &fo.as_of)) {
        sbuf_printf(why, "as-of '%s' is not a date", e->as_of);
        goto out;
    }
    if (store == NULL || !read_records(store, rule, e, d)) {
        sbuf_puts(why, "its records are refused");
        goto out;
    }
    run = fact_materialise(store, s->sheets, &fo, d);
    f = run == NULL ? NULL : evaluate(run, s->rules, &eo, d);
    if (f == NULL) {
        sbuf_puts(why, "it could not be judged");
        goto out;
    }
    good = is_promised(f, rule, e->expect);
    if (!good)
        describe_verdicts(f, rule, why);
out:
    findings_free(f);
    fact_run_free(run);
    store_free(store);
    return good;
}

bool rule_test(struct session *s, const struct rule *rule, struct rule_test_result *result)
{
    result->rules++;
    for (size_t i = 0; i < rule->example_count; i++) {
        const struct rule_example *e = &rule->examples[i];
        struct diags *d = diags_new();
        struct sbuf why = SBUF_INIT;
        bool good = d != NULL && judge(s, rule, e, d, &why);
        bool oom = d == NULL || diags_oom(d) || why.failed;

        result->examples++;
        if (!good && !oom) {
            result->failed++;
            for (size_t k = 0; k < diags_count(d); k++)
                if (diags_at(d, k)->level >= DIAG_ERROR)
                    sbuf_printf(&why, "; %s", diags_at(d, k)->message);
            diags_add(s->diags, DIAG_ERROR, "rule-example", rule->file, e->line, 0, NULL,
                      "rule %s: the example that must give '%s' does not: %s", rule->id,
                      verdict_name(e->expect), why.s);
        }
        sbuf_free(&why);
        diags_free(d);
        if (oom) {
            diags_out_of_memory(s->diags);
            return false;
        }
    }
    return true;
}
