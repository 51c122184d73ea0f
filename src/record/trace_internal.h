/* trace_internal.h - the steps of a trace. Inside record/ only. */
#ifndef LW_RECORD_TRACE_INTERNAL_H
#define LW_RECORD_TRACE_INTERNAL_H

#include "record/trace.h"

/* One way records follow one another. Each SELECT takes an id and gives (id, amount). list: the id
 * column is a list of ids with blanks between. */
struct trace_step {
    enum trace_kind from, to;
    const char *forward, *back;
    bool back_is_list;
};

extern const struct trace_step trace_steps[];
extern const size_t trace_step_count;

struct tracer {
    sqlite3 *db;
    sqlite3_stmt *forward[24], *back[24];
    sqlite3_stmt *describe[TRACE_KINDS], *account[TRACE_KINDS];
};

/* Fills name, date, amount, trouble and missing. false when out of memory or the database failed.
 */
bool trace_describe(struct tracer *q, struct trace_node *n);

#endif
