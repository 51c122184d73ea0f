/* memo.h - remembers the last results of a pure function of numbers.
 *
 * A year's records hold a few dozen strengths and temperatures, and each is asked for thousands of
 * times: solving for it once is enough. The same bits in give the same bits out, so a remembered
 * answer is the answer. Inside fact/ only. */
#ifndef LW_FACT_MEMO_H
#define LW_FACT_MEMO_H

#include "physics/value.h"

enum { MEMO_ARGS = 4, MEMO_SLOTS = 512 }; /* slots: a power of two */

struct memo {
    const void *what; /* which function; for the caller */
    struct memo_slot {
        double args[MEMO_ARGS];
        struct phys_value value;
        bool filled;
    } slots[MEMO_SLOTS];
};

struct memo *memo_new(const void *what); /* NULL when memory failed */
void memo_free(void *memo);              /* NULL-safe; a destructor for SQLite */
/* The place of the result for these args (n of them, at most MEMO_ARGS). *known: it is there
 * already; otherwise the caller puts it there. */
struct phys_value *memo_place(struct memo *m, const double *args, size_t n, bool *known);

#endif
