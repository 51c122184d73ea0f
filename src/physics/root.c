/* Root finding shared by the physics modules. */
#include "text/base.h"

#include "physics/root.h"

double phys_root(double (*function)(double x, const void *context), const void *context,
                 double target, double low, double high)
{
    double at_low = function(low, context) - target;
    double at_high = function(high, context) - target;
    if (at_low == 0)
        return low;
    if (at_high == 0)
        return high;
    if ((at_low < 0) == (at_high < 0))
        return (double)NAN;
    int last_side = 0;
    double x = low;
    enum { ITERATIONS = 200 };
    for (int i = 0; i < ITERATIONS; i++) {
        double next = (low * at_high - high * at_low) / (at_high - at_low);
        if (fabs(next - x) <= DBL_EPSILON * fmax(1.0, fabs(next)))
            return next;
        x = next;
        double at_x = function(x, context) - target;
        if (at_x == 0)
            return x;
        if ((at_x < 0) == (at_low < 0)) {
            low = x;
            at_low = at_x;
            if (last_side < 0)
                at_high /= 2;
            last_side = -1;
        } else {
            high = x;
            at_high = at_x;
            if (last_side > 0)
                at_low /= 2;
            last_side = 1;
        }
    }
    return x;
}
