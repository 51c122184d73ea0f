/* selftest.h - every rule's own examples, run. */
#ifndef LW_RULE_SELFTEST_H
#define LW_RULE_SELFTEST_H

#include "fact/fact.h"
#include "rule/rule.h"

/* Day the examples are judged on when they name none: 2026-06-30. */
#define SELFTEST_AS_OF "2026-06-30"

struct selftest_result {
    const struct rule *rule;
    const struct rule_example *example;
    bool passed;
    unsigned long verdicts[4]; /* what came out */
    char *why;                 /* NULL when passed; owned */
};

struct selftest_results {
    struct selftest_result *items;
    size_t count;
    size_t failed;
};

/* Runs the examples of every rule (or of `only`) in `store`, whose catalogue is loaded and whose
 * records are thrown away. A failing example must give at least one failure; a holding one at least
 * one "holds" and neither a failure nor a "cannot tell"; an untold one at least one "cannot tell"
 * and no failure; one the rule does not apply to nothing but such rows. An example derived from the
 * failing one differs from it in one attribute by construction; one written out is checked for it.
 * NULL with a diagnostic when memory or the database failed. */
struct selftest_results *selftest_run(struct store *store, const struct fact_set *facts,
                                      const struct rule_set *rules, const char *only,
                                      struct diags *d);
/* Do these verdict counts (by enum verdict) fit an example that expects `expect`? */
bool selftest_as_expected(enum verdict expect, const unsigned long v[4]);
void selftest_free(struct selftest_results *r); /* NULL-safe */

#endif
