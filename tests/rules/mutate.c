/* mutate - plants one small wrong at a time in every rule and sees whether its own examples notice.
 *
 *   mutate [--rule ID] [--every N] [--suggest] [--list] SRCDIR SURVIVORS
 *
 * SURVIVORS (tests/rules/survivors.tsv) lists, tab-separated, the rule, the mutant and why no
 * example can or need tell it from the rule. The run fails when fewer than 95 of 100 mutants are
 * killed, when one survives that is not listed, and when one is listed that does not survive. A
 * mutant that does not compile is none. --list prints the survivors as lines for that file;
 * --suggest prints examples that would kill them; --every N takes each N-th rule. */
#include "mutate_bench.h"
#include "rule/selftest.h"
#include "text/file.h"
#include "text/mem.h"
#include "text/number.h"
#include "text/utf8.h"

#define KILLED_LEAST 0.95

struct tally {
    unsigned long made, killed, stillborn;
};

struct run {
    const char *rule, *srcdir, *survivors;
    long long every;
    bool suggest, list;
    struct bench bench;
    struct sbuf listed; /* the file */
    struct tally kinds[MUTANT_KINDS];
    unsigned long rules, unlisted, stale, broken;
};

/* Judges every mutant still alive on one example. */
static bool on_example(struct bench *b, const struct rule *r, size_t at, struct mutants *m)
{
    const struct rule_example *e = &r->examples[at];
    unsigned long v[4];
    struct fact_run *run = bench_fill(b, r, e);
    bool ok = run && bench_judge(b, run, r, NULL, v) && selftest_as_expected(e->expect, v);
    for (size_t i = 0; ok && i < m->count; i++) {
        struct mutant *x = &m->items[i];
        if (x->killed || x->stillborn)
            continue;
        if (!bench_judge(b, run, r, x, v))
            x->stillborn = true;
        else if (!selftest_as_expected(e->expect, v)) {
            x->killed = true;
            x->killed_by = at;
        }
    }
    fact_run_free(run);
    return ok;
}

/* Is "rule<TAB>mutant<TAB>" a line of the file? */
static bool is_listed(const struct run *run, const struct rule *r, const struct mutant *m)
{
    struct sbuf b = SBUF_INIT;
    sbuf_printf(&b, "\n%s\t%s\t", r->id, m->what);
    bool found = !b.failed && strstr(run->listed.s, b.s) != NULL;
    sbuf_free(&b);
    return found;
}

static void tell(struct run *run, const struct rule *r, const struct mutants *m)
{
    for (size_t i = 0; i < m->count; i++) {
        const struct mutant *x = &m->items[i];
        struct tally *t = &run->kinds[x->kind];
        bool listed = is_listed(run, r, x);
        if (x->stillborn) {
            t->stillborn++;
            continue;
        }
        t->made++;
        t->killed += x->killed;
        if (!x->killed && run->list)
            printf("%s\t%s\t\n", r->id, x->what);
        if (!x->killed && !listed) {
            run->unlisted++;
            if (!run->list)
                printf("survives: %s: %s\n", r->id, x->what);
        }
        if (x->killed && listed) {
            run->stale++;
            printf("listed as a survivor, but killed: %s: %s\n", r->id, x->what);
        }
    }
}

static void one_rule(struct run *run, const struct rule *r)
{
    struct mutants m;
    struct fact_run *first = bench_fill(&run->bench, r, &r->examples[0]);
    bool limit = bench_is_limit(&run->bench, r);
    char *other = limit ? bench_other_limit(&run->bench, r) : NULL;
    bool ok = first && mutants_make(r, limit, other, &m);
    fact_run_free(first);
    mem_free(other);
    run->rules++;
    for (size_t i = 0; ok && i < r->example_count; i++)
        ok = on_example(&run->bench, r, i, &m);
    if (!ok) {
        run->broken++;
        printf("%s: its own examples do not pass\n", r->id);
    } else {
        tell(run, r, &m);
        if (run->suggest)
            near_miss_suggest(&run->bench, r, &m);
    }
    if (first)
        mutants_free(&m);
}

static int summary(const struct run *run)
{
    struct tally all = {0};
    printf("%-12s %8s %8s %8s %8s\n", "mutants of", "made", "killed", "survive", "per cent");
    for (int k = 0; k <= MUTANT_KINDS; k++) {
        const struct tally *t = k < MUTANT_KINDS ? &run->kinds[k] : &all;
        printf("%-12s %8lu %8lu %8lu %8.1f\n",
               k < MUTANT_KINDS ? mutant_kind_name((enum mutant_kind)k) : "all", t->made, t->killed,
               t->made - t->killed,
               t->made > 0 ? 100.0 * (double)t->killed / (double)t->made : 0.0);
        if (k < MUTANT_KINDS) {
            all.made += t->made;
            all.killed += t->killed;
            all.stillborn += t->stillborn;
        }
    }
    printf("%lu rules; %lu more did not compile and are not counted; %lu survivors not listed, %lu "
           "listed in vain\n",
           run->rules, all.stillborn, run->unlisted, run->stale);
    bool enough = (double)all.killed >= KILLED_LEAST * (double)all.made && all.made > 0;
    if (!enough)
        printf("too few are killed\n");
    return enough && run->unlisted == 0 && run->stale == 0 && run->broken == 0 ? 0 : 1;
}

static bool arguments(struct run *run, int argc, char **argv)
{
    int i = 1;
    run->every = 1;
    for (; i < argc && argv[i][0] == '-'; i++) {
        if (str_eq(argv[i], "--suggest"))
            run->suggest = true;
        else if (str_eq(argv[i], "--list"))
            run->list = true;
        else if (str_eq(argv[i], "--rule") && i + 1 < argc)
            run->rule = argv[++i];
        else if (str_eq(argv[i], "--every") && i + 1 < argc &&
                 number_integer(argv[i + 1], &run->every) && run->every > 0)
            i++;
        else
            return false;
    }
    if (argc - i != 2)
        return false;
    run->srcdir = argv[i];
    run->survivors = argv[i + 1];
    return true;
}

int main(int argc, char **argv)
{
    enum { SURVIVORS_MOST = 1 << 20 };
    struct run run = {.listed = SBUF_INIT};
    const char *builddir = getenv("LW_BUILDDIR");
    char image[4096];
    snprintf(image, sizeof image, "%s/catalogue.db", builddir ? builddir : ".");
    if (mem_install() != 0 || !arguments(&run, argc, argv)) {
        fprintf(stderr,
                "usage: mutate [--rule ID] [--every N] [--suggest] [--list] SRCDIR SURVIVORS\n");
        return 2;
    }
    sbuf_putc(&run.listed, '\n');
    if (!file_read(run.survivors, SURVIVORS_MOST, &run.listed, NULL) && !run.list) {
        fprintf(stderr, "mutate: %s cannot be read\n", run.survivors);
        return 2;
    }
    if (!bench_open(&run.bench, run.srcdir, image))
        return 2;
    for (size_t i = 0; i < rule_set_count(run.bench.rules); i++) {
        const struct rule *r = rule_set_at(run.bench.rules, i);
        if (run.rule ? str_eq(r->id, run.rule) : i % (size_t)run.every == 0)
            one_rule(&run, r);
    }
    int status = summary(&run);
    bench_close(&run.bench);
    sbuf_free(&run.listed);
    return status;
}
