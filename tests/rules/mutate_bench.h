/* mutate_bench.h - a rule and its mutants judged on one example after another. */
#ifndef LW_TESTS_RULES_MUTATE_BENCH_H
#define LW_TESTS_RULES_MUTATE_BENCH_H

#include "fact/fact.h"
#include "mutants.h"

struct bench {
    struct store *store;
    struct fact_set *facts;
    struct rule_set *rules;
    struct diags *said; /* of the set-up */
};

/* false with a word on standard error. */
bool bench_open(struct bench *b, const char *srcdir, const char *image);
void bench_close(struct bench *b);

/* Fills the facts of an example's records; NULL when they cannot be read or placed. */
struct fact_run *bench_fill(struct bench *b, const struct rule *r, const struct rule_example *e);
/* Judges what was filled by the rule, or by a mutant of it (NULL: the rule itself). false: it does
 * not compile. */
bool bench_judge(struct bench *b, struct fact_run *run, const struct rule *r,
                 const struct mutant *m, unsigned long verdicts[4]);

/* Does the rule compare with a named limit? */
bool bench_is_limit(const struct bench *b, const struct rule *r);
/* Another limit of the same unit, in force in the facts filled last when there is one (mem_free);
 * NULL: none. */
char *bench_other_limit(struct bench *b, const struct rule *r);

/* near_miss.c: prints examples that would kill mutants still alive: the first example with one
 * attribute changed. */
void near_miss_suggest(struct bench *b, const struct rule *r, struct mutants *m);

#endif
