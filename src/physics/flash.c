/* Flash point of ethanol-water and the flammable band of its headspace. */
#include "text/base.h"

#include "physics/constants.h"
#include "physics/ethanol_water.h"
#include "physics/flash.h"
#include "physics/root.h"
#include "physics/vapour.h"

#define MODEL_MAX_C        80.0 /* the published list ends at 62 degC; no claim far above it */
#define PURE_MIN_C         5.0
#define PURE_MAX_C         20.0
#define WEAKEST_VOL        4.0  /* 1 % vol below the end of the list */
#define STRONG_FROM_VOL    20.0 /* where the stated uncertainty narrows */
#define WATER_ALONE_VOL    0.0
#define TEST_PRESSURE_KPA  101.3 /* reference pressure of closed-cup standards */
#define PRESSURE_K_PER_KPA 0.25  /* form of ISO 2719; from memory */
#define TEST_MIN_KPA       70.0
#define TEST_MAX_KPA       105.0

/* Modified Burgess-Wheeler law: 0.75 / net heat of combustion of the vapour, 305.4 kcal/mol
 * (computed from heats of formation: 1277.7 kJ/mol). */
#define LIMIT_SHIFT_PER_K (0.75 / 305.4)
#define LIMIT_BASE_C      25.0
#define LIMIT_MAX_C       100.0
#define LEL_MIN_VOL       0.1
#define UEL_MAX_VOL       60.0

struct list_row {
    double percent;
    double flash_c;
};

/* Closed-cup flash points printed for "ethyl alcohol, NN % in water" (tables of NFPA 325 type; an
 * engineering data page and a 2015 copy on a chemical-safety list agree, 5 to 96 %). The pages
 * disagree whether % is by mass or by volume; read at % vol it gives the lower, cautious value. */
static const struct list_row LIST[] = {
    {5, 62},  {10, 49}, {20, 36}, {30, 29}, {40, 26}, {50, 24},
    {60, 22}, {70, 21}, {80, 20}, {90, 17}, {96, 17}, {100, 13},
};
static const size_t LIST_COUNT = sizeof LIST / sizeof LIST[0];

static double log_ethanol_partial(double temp_c, const void *mole_fraction)
{
    return log(vap_ethanol_partial_kpa(*(const double *)mole_fraction, temp_c).value);
}

struct phys_value flash_ethanol_water_model_c(double mole_fraction, double pure_flash_c)
{
    if (!isfinite(mole_fraction) || !isfinite(pure_flash_c))
        return phys_none(PHYS_NOT_A_NUMBER);
    if (mole_fraction < 0 || mole_fraction > 1)
        return phys_none("a mole fraction is outside 0 to 1");
    if (pure_flash_c < PURE_MIN_C || pure_flash_c > PURE_MAX_C)
        return phys_none("the flash point of pure ethanol is outside 5 to 20 degC");
    if (mole_fraction == 0)
        return phys_none("water has no flash point");
    if (mole_fraction == 1)
        return phys_ok(pure_flash_c);
    const double target = log(vap_ethanol_kpa(pure_flash_c).value);
    const double flash_c =
        phys_root(log_ethanol_partial, &mole_fraction, target, pure_flash_c, MODEL_MAX_C);
    return isfinite(flash_c) ? phys_ok(flash_c)
                             : phys_none("too weak: the model gives no flash point below 80 degC");
}

struct phys_value flash_ethanol_water_list_c(double vol_percent)
{
    if (!isfinite(vol_percent))
        return phys_none(PHYS_NOT_A_NUMBER);
    if (vol_percent < LIST[0].percent || vol_percent > LIST[LIST_COUNT - 1].percent)
        return phys_none("the strength is outside 5 to 100 %, the range of the published list");
    size_t i = 1;
    while (vol_percent > LIST[i].percent)
        i++;
    const struct list_row *a = &LIST[i - 1], *b = &LIST[i];
    const double share = (vol_percent - a->percent) / (b->percent - a->percent);
    return phys_ok(a->flash_c + share * (b->flash_c - a->flash_c));
}

struct phys_value flash_ethanol_water_c(double vol_percent)
{
    struct phys_value p = ew_mass_fraction_from_vol_percent(vol_percent);
    if (!phys_has(p))
        return p;
    if (vol_percent == WATER_ALONE_VOL)
        return phys_none("water has no flash point");
    if (vol_percent < WEAKEST_VOL)
        return phys_none("weaker than 4 % vol: no published closed-cup value to hold a "
                         "calculation against");
    const double x1 = ew_mole_fraction_from_mass_fraction(p.value).value;
    struct phys_value model = flash_ethanol_water_model_c(x1, FLASH_PURE_CAUTIOUS_C);
    struct phys_value list = flash_ethanol_water_list_c(vol_percent);
    if (!phys_has(model))
        return model;
    const double lower = phys_has(list) ? fmin(model.value, list.value) : model.value;
    return phys_ok_pm(lower, vol_percent < STRONG_FROM_VOL ? FLASH_WEAK_PM_K : FLASH_STRONG_PM_K);
}

struct phys_value flash_ethanol_water_at_mass_fraction_c(double mass_fraction)
{
    struct phys_value vol = ew_vol_percent_from_mass_fraction(mass_fraction);
    return phys_has(vol) ? flash_ethanol_water_c(fmin(vol.value, 100)) : vol;
}

static double flash_for_root(double vol_percent, const void *unused)
{
    (void)unused;
    return flash_ethanol_water_c(vol_percent).value;
}

struct phys_value flash_vol_percent_at_c(double temp_c)
{
    if (!isfinite(temp_c))
        return phys_none(PHYS_NOT_A_NUMBER);
    const double vol = phys_root(flash_for_root, NULL, temp_c, WEAKEST_VOL, 100);
    return isfinite(vol) ? phys_ok(vol)
                         : phys_none("no strength from 4 to 100 % vol has this flash point");
}

struct phys_value flash_reading_at_pressure_c(double flash_c, double pressure_kpa)
{
    if (!isfinite(flash_c) || !isfinite(pressure_kpa))
        return phys_none(PHYS_NOT_A_NUMBER);
    if (pressure_kpa < TEST_MIN_KPA || pressure_kpa > TEST_MAX_KPA)
        return phys_none("the pressure is outside 70 to 105 kPa");
    return phys_ok(flash_c - PRESSURE_K_PER_KPA * (TEST_PRESSURE_KPA - pressure_kpa));
}

/* --- flammable limits ------------------------------------------------------------------------- */

static const char *limit_refusal(double limit_25, double temp_c)
{
    if (!isfinite(limit_25) || !isfinite(temp_c))
        return PHYS_NOT_A_NUMBER;
    if (limit_25 < LEL_MIN_VOL || limit_25 > UEL_MAX_VOL)
        return "a flammable limit is outside 0.1 to 60 vol %";
    if (temp_c < VAP_MIX_MIN_C || temp_c > LIMIT_MAX_C)
        return "the temperature is outside -20 to 100 degC, where limits are corrected";
    return NULL;
}

struct phys_value flash_lel_vol_percent(double lel_25, double temp_c)
{
    const char *refusal = limit_refusal(lel_25, temp_c);
    return refusal != NULL ? phys_none(refusal)
                           : phys_ok(lel_25 - LIMIT_SHIFT_PER_K * (temp_c - LIMIT_BASE_C));
}

struct phys_value flash_uel_vol_percent(double uel_25, double temp_c)
{
    const char *refusal = limit_refusal(uel_25, temp_c);
    return refusal != NULL ? phys_none(refusal)
                           : phys_ok(uel_25 + LIMIT_SHIFT_PER_K * (temp_c - LIMIT_BASE_C));
}

struct band_context {
    double mole_fraction;
    double limit_25;
    double pressure_kpa;
    double shift_sign; /* -1 for the LEL, +1 for the UEL */
};

/* log(headspace / limit) at temp_c; rises with temperature. */
static double over_limit(double temp_c, const void *context)
{
    const struct band_context *c = context;
    const double limit = c->limit_25 + c->shift_sign * LIMIT_SHIFT_PER_K * (temp_c - LIMIT_BASE_C);
    const double partial = vap_ethanol_partial_kpa(c->mole_fraction, temp_c).value;
    return log(100 * partial / c->pressure_kpa / limit);
}

static struct phys_value band_edge(struct band_context context)
{
    if (context.mole_fraction == 0)
        return phys_none("water gives no flammable vapour");
    struct phys_value boiling = vap_boiling_point_c(context.mole_fraction, context.pressure_kpa);
    if (!phys_has(boiling))
        return boiling;
    const double highest = fmin(boiling.value, LIMIT_MAX_C);
    const double edge = phys_root(over_limit, &context, 0, VAP_MIX_MIN_C, highest);
    if (isfinite(edge))
        return phys_ok(edge);
    return phys_none(over_limit(highest, &context) < 0
                         ? "the headspace stays below this limit up to the boiling point"
                         : "the headspace is above this limit at -20 degC already");
}

struct flash_band flash_flammable_band(double mole_fraction, double lel_25, double uel_25,
                                       double pressure_kpa)
{
    struct flash_band band;
    const char *lel_refusal = limit_refusal(lel_25, LIMIT_BASE_C);
    const char *uel_refusal = limit_refusal(uel_25, LIMIT_BASE_C);
    band.lower_c = lel_refusal != NULL
                       ? phys_none(lel_refusal)
                       : band_edge((struct band_context){mole_fraction, lel_25, pressure_kpa, -1});
    band.upper_c = uel_refusal != NULL
                       ? phys_none(uel_refusal)
                       : band_edge((struct band_context){mole_fraction, uel_25, pressure_kpa, 1});
    return band;
}

enum flash_headspace flash_headspace_state(double mole_fraction, double temp_c, double pressure_kpa)
{
    struct phys_value gas = vap_headspace_vol_percent(mole_fraction, temp_c, pressure_kpa);
    struct phys_value low = flash_lel_vol_percent(FLASH_LEL_CAUTIOUS, temp_c);
    if (!phys_has(gas) || !phys_has(low))
        return FLASH_HEADSPACE_UNKNOWN;
    if (gas.value < low.value)
        return FLASH_HEADSPACE_LEAN;
    if (gas.value < flash_lel_vol_percent(FLASH_LEL_US, temp_c).value)
        return FLASH_HEADSPACE_BORDERLINE;
    return gas.value <= flash_uel_vol_percent(FLASH_UEL, temp_c).value ? FLASH_HEADSPACE_FLAMMABLE
                                                                       : FLASH_HEADSPACE_RICH;
}

const char *flash_headspace_text(enum flash_headspace state)
{
    switch (state) {
    case FLASH_HEADSPACE_LEAN:
        return "too lean to burn";
    case FLASH_HEADSPACE_BORDERLINE:
        return "at the lower limit (published limits disagree)";
    case FLASH_HEADSPACE_FLAMMABLE:
        return "flammable";
    case FLASH_HEADSPACE_RICH:
        return "too rich while closed; flammable as soon as it is opened";
    case FLASH_HEADSPACE_UNKNOWN:
        break;
    }
    return "not known";
}

struct phys_value flash_headspace_percent_of_lel(double mole_fraction, double temp_c, double lel_25,
                                                 double pressure_kpa)
{
    struct phys_value gas = vap_headspace_vol_percent(mole_fraction, temp_c, pressure_kpa);
    struct phys_value lel = flash_lel_vol_percent(lel_25, temp_c);
    if (!phys_has(gas))
        return gas;
    if (!phys_has(lel))
        return lel;
    return phys_ok_pm(100 * gas.value / lel.value, 100 * gas.uncertainty / lel.value);
}
