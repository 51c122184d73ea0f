/* physics_bad.h - inputs every function of physics/ must refuse, and the check that it did. */
#ifndef LW_TESTS_PHYSICS_BAD_H
#define LW_TESTS_PHYSICS_BAD_H

#include "unit.h"

#include "physics/value.h"

static inline void refused_at(struct phys_value v, const char *call, int line)
{
    ck_assert_msg(v.reason != NULL && v.reason[0] != '\0', "line %d: %s gave %g, wanted a reason",
                  line, call, v.value);
    ck_assert_msg(isnan(v.value), "line %d: %s has a reason and the number %g", line, call,
                  v.value);
}

static inline void given_at(struct phys_value v, const char *call, int line)
{
    ck_assert_msg(v.reason == NULL, "line %d: %s refused: %s", line, call,
                  v.reason != NULL ? v.reason : "");
    ck_assert_msg(isfinite(v.value), "line %d: %s is not finite", line, call);
}

#define REFUSED(call) refused_at(call, #call, __LINE__)
#define GIVEN(call)   given_at(call, #call, __LINE__)

/* the call uses BAD once; it must be refused for NaN and both infinities */
#define REFUSED_NOT_FINITE(call_of_bad)                                                            \
    do {                                                                                           \
        static const double bads[] = {(double)NAN, HUGE_VAL, -HUGE_VAL};                           \
        for (size_t bad_i = 0; bad_i < LW_COUNT(bads); bad_i++) {                                  \
            double BAD = bads[bad_i];                                                              \
            refused_at(call_of_bad, #call_of_bad, __LINE__);                                       \
        }                                                                                          \
    } while (0)

#endif
