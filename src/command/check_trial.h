/* check_trial.h - the plan with one thing changed, judged again; the records are put back after.
 *
 * Between trial_open and trial_close the store keeps a journal in memory. A trial fills only those
 * facts anew that lean on what its lever sets, and judges only the rules over the target's fact. */
#ifndef LW_COMMAND_CHECK_TRIAL_H
#define LW_COMMAND_CHECK_TRIAL_H

#include "command/session.h"

enum { TRIAL_RULES_MOST = 3 };

/* A group of rules that one lever may bring under their limits together. */
struct target {
    const char *words;
    const char *fact;
    const char *rules[TRIAL_RULES_MOST];
    const char
        *number; /* SQL: the number of the plan and its limit, to guess from; the rules decide */
    bool alone;  /* only the plan matters: the other lots may be left out while searching */
};

struct outcome {
    int verdict;         /* 1 all rules of the target hold for the plan, 0 one fails, -1 untold */
    double value, limit; /* what target->number says; NaN: nothing */
    char seen[96];       /* the value of the first finding that fails, in its own words */
};

struct trial; /* one target under search */

/* The journal on and off. */
bool trial_open(struct session *s);
bool trial_close(struct session *s);
/* Leaves the other lots, and what was done with them, out until trial_rejoin: they only cost time.
 * The facts named are brought up to date. */
bool trial_leave_plan(struct session *s, const char *facts);
bool trial_rejoin(struct session *s);

/* NULL with a diagnostic. */
struct trial *trial_new(struct session *s, const struct target *t);
void trial_free(struct trial *t); /* NULL-safe */
/* The plan as it stands. false with a diagnostic. */
bool trial_as_planned(struct trial *t, struct outcome *out);
/* The statements of a lever, with ?1 for the share of what was planned and ?2 for the value itself.
 */
bool trial_lever(struct trial *t, const char *sql);
/* The plan with the lever set. */
bool trial_run(struct trial *t, double share, double value, struct outcome *out);

/* Is this rule one of the target's? */
bool target_has(const struct target *t, const char *rule);
/* Does the finding concern the plan? Findings about places count for every plan. *ok false:
 * trouble. */
bool trial_concerns(struct session *s, const struct finding *f, bool *ok);

#endif
