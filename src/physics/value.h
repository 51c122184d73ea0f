/* A computed number, or the reason why there is none.
 *
 * Every function in physics/ that can refuse returns a struct phys_value. A value outside the
 * published range of its formula is never given: `reason` says why in one static English clause
 * without a full stop, fit for "no value: <reason>". NaN and infinite inputs are refused.
 */
#ifndef LW_PHYSICS_VALUE_H
#define LW_PHYSICS_VALUE_H

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

struct phys_value {
    double value;       /* NaN when there is none */
    double uncertainty; /* same unit as value; 0 = not stated */
    const char *reason; /* static text; NULL = there is a value */
};

/* Reasons shared by all modules. */
#define PHYS_NOT_A_NUMBER "an input is missing or not a finite number"

static inline struct phys_value phys_ok(double value)
{
    return (struct phys_value){value, 0.0, NULL};
}

static inline struct phys_value phys_ok_pm(double value, double uncertainty)
{
    return (struct phys_value){value, uncertainty, NULL};
}

static inline struct phys_value phys_none(const char *reason)
{
    return (struct phys_value){(double)NAN, 0.0, reason};
}

static inline bool phys_has(struct phys_value v)
{
    return v.reason == NULL;
}

#endif
