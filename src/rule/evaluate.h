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
    const char *over;      /* NULL: all; else only rules over this fact */
};

/* Evaluates every rule in one pass a fact. Facts must have been materialised (fact_materialise).
 * NULL with a diagnostic when a rule does not compile or memory failed. */
struct findings *evaluate(struct fact_run *run, const struct rule_set *rules,
                          const struct evaluate_options *o, struct diags *d);
/* The same in two steps, for who judges more than once: the rules are compiled once. The run and
 * the rules must outlive it; the run may be refilled in between, as long as the run tables stay. */
struct evaluator;
struct evaluator *evaluator_new(struct fact_run *run, const struct rule_set *rules,
                                const struct evaluate_options *o, struct diags *d);
void evaluator_free(struct evaluator *e); /* NULL-safe */
/* Judges every row by every rule; waived: waivers applied. */
struct findings *evaluator_all(struct evaluator *e, bool waived, struct diags *d);
/* Only what the last fact_refill filled anew is judged. What else stood in `earlier` is taken over,
 * but not the findings of the lots gone on facts that only lost their rows. The tallies count what
 * was judged now, and no waiver is applied. */
struct findings *evaluator_after(struct evaluator *e, const struct findings *earlier,
                                 const char *const *lots_gone, size_t lot_count, struct diags *d);
/* Marks findings of `with` whose key is not in `without` (both sorted) as new. */
void findings_mark_new(struct findings *with, const struct findings *without);

#endif
