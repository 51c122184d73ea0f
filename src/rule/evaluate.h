/* evaluate.h - rules over facts, to findings. */
#ifndef LW_RULE_EVALUATE_H
#define LW_RULE_EVALUATE_H

#include "fact/fact.h"
#include "rule/rule.h"
#include "text/show.h"

struct evaluate_options {
    const char *topic;     /* NULL: all */
    const char *only;      /* one rule id; NULL: all */
    const char *lot;       /* NULL: all; else only findings of this lot */
    enum show_units units; /* of the amounts in the words of findings */
};

/* Evaluates every rule in one pass a fact. Facts must have been materialised (fact_materialise).
 * NULL with a diagnostic when a rule does not compile or memory failed. */
struct findings *evaluate(struct fact_run *run, const struct rule_set *rules,
                          const struct evaluate_options *o, struct diags *d);
/* Marks findings of `with` whose key is not in `without` (both sorted) as new. */
void findings_mark_new(struct findings *with, const struct findings *without);

#endif
