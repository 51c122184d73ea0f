/* Cost of one density, one strength and one flash point; best of several rounds, in nanoseconds.
 * Fails past the bars: density 1 microsecond, flash point 20 microseconds. */
#include "text/base.h"

#include "physics/constants.h"
#include "physics/ethanol_water.h"
#include "physics/flash.h"
#include "physics/vapour.h"

#define DENSITY_BAR_NS 1000.0
#define FLASH_BAR_NS   20000.0

enum { ROUNDS = 5, CALLS = 20000 };

static double density(int i)
{
    return ew_density_kg_m3((i % 1000) / 1000.0, (i % 41)).value;
}

static double strength(int i)
{
    return ew_mass_fraction_from_vol_percent((i % 1000) / 10.0).value;
}

static double flash(int i)
{
    return flash_ethanol_water_c(5 + (i % 950) / 10.0).value;
}

static double boiling(int i)
{
    return vap_boiling_point_c((i % 1000) / 1000.0, PHYS_ATM_KPA).value;
}

static double now_ns(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec * 1e9 + (double)t.tv_nsec;
}

/* Prints ns per call; false past the bar (0 = none). */
static bool measure(const char *name, double (*function)(int), double bar_ns)
{
    double best = HUGE_VAL, sum = 0;
    for (int round = 0; round < ROUNDS; round++) {
        double start = now_ns();
        for (int i = 0; i < CALLS; i++)
            sum += function(i);
        best = fmin(best, (now_ns() - start) / CALLS);
    }
    bool good = isfinite(sum) && (bar_ns == 0 || best <= bar_ns);
    printf("%s %s: %.0f ns", good ? "ok  " : "FAIL", name, best);
    if (bar_ns > 0)
        printf(", bar %.0f ns", bar_ns);
    putchar('\n');
    return good;
}

int main(void)
{
    bool good = measure("one density", density, DENSITY_BAR_NS);
    good = measure("one strength inversion", strength, 0) && good;
    good = measure("one flash point", flash, FLASH_BAR_NS) && good;
    good = measure("one boiling point", boiling, 0) && good;
    return good ? EXIT_SUCCESS : EXIT_FAILURE;
}
