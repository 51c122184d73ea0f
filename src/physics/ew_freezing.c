/* Freezing line of ethanol-water. */
#include "text/base.h"

#include "physics/ew_internal.h"

/* The published tables disagree by up to this much near 30 % mass. */
#define FREEZING_PM_K 1.5

struct freezing_row {
    double vol_percent;
    double temp_c;
};

/* Lange's Handbook of Chemistry, table 5.13, "Freezing point of ethyl alcohol-water mixtures";
 * the pure water row is added; the last three rows are from memory. It is the warmer of the
 * published tables in the range of a freezer, so it errs towards "may freeze". */
static const struct freezing_row ROWS[] = {
    {0.0, 0.0},    {3.13, -1.0},  {6.0, -2.0},   {8.47, -3.0},  {14.0, -5.0},
    {17.0, -6.1},  {20.2, -7.5},  {21.5, -8.7},  {23.1, -9.4},  {24.8, -10.6},
    {27.0, -12.2}, {29.5, -14.0}, {32.4, -16.0}, {36.1, -18.9}, {40.5, -23.6},
    {46.3, -28.7}, {53.8, -33.9}, {63.6, -41.0}, {78.2, -51.3},
};
static const size_t ROW_COUNT = sizeof ROWS / sizeof ROWS[0];

struct phys_value ew_freezing_point_c(double vol_percent)
{
    if (!isfinite(vol_percent))
        return phys_none(PHYS_NOT_A_NUMBER);
    if (vol_percent < 0 || vol_percent > 100)
        return phys_none(EW_REASON_VOL);
    for (size_t i = 1; i < ROW_COUNT; i++) {
        const struct freezing_row *a = &ROWS[i - 1], *b = &ROWS[i];
        if (vol_percent <= b->vol_percent) {
            double share = (vol_percent - a->vol_percent) / (b->vol_percent - a->vol_percent);
            return phys_ok_pm(a->temp_c + share * (b->temp_c - a->temp_c), FREEZING_PM_K);
        }
    }
    return phys_none("above 78.2 % vol the published freezing points scatter; all lie below -50 "
                     "degC");
}

struct phys_value ew_least_liquid_vol_percent(double temp_c)
{
    if (!isfinite(temp_c))
        return phys_none(PHYS_NOT_A_NUMBER);
    if (temp_c >= 0)
        return phys_ok(0.0);
    for (size_t i = 1; i < ROW_COUNT; i++) {
        const struct freezing_row *a = &ROWS[i - 1], *b = &ROWS[i];
        if (temp_c >= b->temp_c) {
            double share = (temp_c - a->temp_c) / (b->temp_c - a->temp_c);
            return phys_ok(a->vol_percent + share * (b->vol_percent - a->vol_percent));
        }
    }
    return phys_none("the temperature is below -51.3 degC, the end of the freezing table");
}
