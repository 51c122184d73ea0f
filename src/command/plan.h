/* plan.h - planned batches: what has not been made yet.
 *
 * Every record is in the store, plans included, so that a plan can be judged as if made. Reports
 * about what is there take the plans out first; a check takes them out after the first judgement,
 * to learn what the plan alone brings. */
#ifndef LW_COMMAND_PLAN_H
#define LW_COMMAND_PLAN_H

#include "command/session.h"

/* Marks the batches in state planned (except: this lot is left unmarked; NULL: none is).
 * *count: how many. false with a diagnostic. */
bool plan_mark(struct session *s, const char *except, long *count);
/* Marks one lot, whatever its state. */
bool plan_mark_lot(struct session *s, const char *lot, long *count);
enum { PLAN_TABLES_MOST = 64, PLAN_NAME_BYTES = 64 };

/* Which tables lost rows, for fact_refill. */
struct plan_changes {
    char names[PLAN_TABLES_MOST][PLAN_NAME_BYTES];
    const char *what[PLAN_TABLES_MOST]; /* the same */
    size_t count;
    bool apart; /* no other record named the batches: nothing else went with them */
};

/* Takes the marked batches, what stands in them, and the records about them out of the store. The
 * facts must be filled again afterwards. changes: NULL, or what went. */
bool plan_remove(struct session *s, struct plan_changes *changes);
/* Marks and removes all plans (except this one; NULL: none), and says so in the report's notes. */
bool plan_leave_out(struct session *s, const char *except);

#endif
