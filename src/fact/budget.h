/* budget.h - how long the statements of one sheet may run, and how much memory they may take.
 *
 * Sheets and rules may come from elsewhere: a query that never ends, or that fills the memory, is
 * stopped. The bounds grow with the number of records; shipped sheets need less than a tenth of
 * them. */
#ifndef LW_FACT_BUDGET_H
#define LW_FACT_BUDGET_H

#include "record/store.h"

struct budget {
    sqlite3 *db;
    unsigned long ticks, most;
    size_t bytes;
    int length; /* SQLite's bound on one text before */
};

/* Sets the bounds by what the store holds, hardens its database (fact/guard.h), and starts. */
void budget_start(struct budget *b, struct store *s);
/* The next sheet: counted from nothing again. */
void budget_renew(struct budget *b);
/* No bound holds any more, on one text neither: a report may be read as one. */
void budget_end(struct budget *b);
/* Was the last statement, whose code was rc, stopped by the budget? Says so, with the name of the
 * fact or the rules' file. */
bool budget_told(const struct budget *b, int rc, const char *what, const char *name,
                 const char *file, long line, struct diags *d);

#endif
