/* sqlfunc.h - the SQL functions facts and rules may call.
 *
 * Each is deterministic and direct-only; an empty (or non-numeric, where a number is wanted)
 * argument gives an empty result; a value outside the physics' range gives an empty result. None
 * reads the clock, the locale or the environment.
 *
 *   lw_days(date)                 day number of an ISO date
 *   lw_date(day)                  ISO date of a day number
 *   lw_add_months(date, n)        same day of the month n months on (last day where there is none)
 *   lw_unit(v, from, to)          unit conversion; empty when the units do not fit
 *   lw_sqrt(x)                    square root; empty below zero
 *   lw_at_most(a, b)              1 when a <= b within a relative 1e-9
 *   lw_at_least(a, b)             1 when a >= b within a relative 1e-9
 *   lw_matches(pattern, text)     1 or 0; empty when a matching limit was hit
 *   lw_has_word(list, word)       1 when word is one of the blank-separated words of list
 *   lw_take(state, names, amount) the state after `amount` was drawn on the permits of `names`, in
 *                                 their order; a state is "permit=left permit=left"
 *   lw_left(state, permit)        what is left on one of them
 * the running values of sqlrun.c, the words and numbers of labels of sqltext.c, and the physics
 * functions of sqlphys.c. */
#ifndef LW_FACT_SQLFUNC_H
#define LW_FACT_SQLFUNC_H

#include "fact/pattern.h"
#include <sqlite3.h>

/* Relative tolerance of every comparison with a limit: far above rounding in unit conversion, far
 * below any balance. */
#define COMPARE_TOLERANCE 1e-9

/* `patterns` must outlive db. 0, or an SQLite error code. */
int sqlfunc_register(sqlite3 *db, const struct pattern_set *patterns);
int sqlphys_register(sqlite3 *db);
int sqlaccount_register(sqlite3 *db);
int sqlair_register(sqlite3 *db);
int sqlrun_register(sqlite3 *db);
int sqltext_register(sqlite3 *db);

/* True with *v when the argument is a finite number. */
bool sqlfunc_number(sqlite3_value *arg, double *v);
/* The comparison behind lw_at_most, for limits compared in C: -1 a below b, 0 equal within the
 * tolerance, 1 above. */
int compare_tolerant(double a, double b);

#endif
