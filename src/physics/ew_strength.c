/* Strength conversions and instruments. */
#include "text/base.h"

#include "physics/ew_internal.h"

#define PROOF_PER_VOL_60F 2.0    /* 27 CFR 30: proof is twice the % by volume at 60 degF */
#define AIR_KG_M3         1.2    /* conventional air density of weighing, OIML D 28 */
#define WEIGHTS_KG_M3     8000.0 /* conventional density of weights, OIML D 28 */
#define LIQUID_MIN_KG_M3  500.0  /* wide sense check for buoyancy */
#define LIQUID_MAX_KG_M3  2500.0
#define GLASS_PER_K_MAX   1e-4 /* no hydrometer material expands more */
#define UK_STEPS_PER_VOL  10.0 /* HMRC: one decimal, rounded down */
#define UK_ROUNDING_SLACK 1e-9 /* so that 7.5 stored as 7.4999... stays 7.5 */

static double vol20_for_root(double mass_fraction, const void *unused)
{
    (void)unused;
    return ew_vol20(mass_fraction);
}

static double vol60f_for_root(double mass_fraction, const void *unused)
{
    (void)unused;
    return ew_vol60f(mass_fraction);
}

static double rho_for_root(double mass_fraction, const void *temp_c)
{
    return ew_rho(mass_fraction, *(const double *)temp_c);
}

/* The ratio is taken first, so that absolute ethanol is 100 exactly. */
double ew_vol20(double mass_fraction)
{
    return 100 * (mass_fraction *
                  (ew_rho(mass_fraction, PHYS_REFERENCE_C) / ew_rho(1, PHYS_REFERENCE_C)));
}

double ew_vol60f(double mass_fraction)
{
    return 100 *
           (mass_fraction * (ew_rho(mass_fraction, PHYS_SIXTY_F_C) / ew_rho(1, PHYS_SIXTY_F_C)));
}

/* Reason if x is not a number in low..high. */
static const char *outside(double x, double low, double high, const char *reason)
{
    if (!isfinite(x))
        return PHYS_NOT_A_NUMBER;
    return x < low || x > high ? reason : NULL;
}

struct phys_value ew_vol_percent_from_mass_fraction(double mass_fraction)
{
    const char *refusal = outside(mass_fraction, 0, 1, EW_REASON_FRACTION);
    return refusal != NULL ? phys_none(refusal) : phys_ok(ew_vol20(mass_fraction));
}

struct phys_value ew_mass_fraction_from_vol_percent(double vol_percent)
{
    const char *refusal = outside(vol_percent, 0, 100, EW_REASON_VOL);
    if (refusal != NULL)
        return phys_none(refusal);
    return phys_ok(phys_root(vol20_for_root, NULL, vol_percent, 0, 1));
}

struct phys_value ew_us_proof_from_mass_fraction(double mass_fraction)
{
    const char *refusal = outside(mass_fraction, 0, 1, EW_REASON_FRACTION);
    if (refusal != NULL)
        return phys_none(refusal);
    return phys_ok(PROOF_PER_VOL_60F * ew_vol60f(mass_fraction));
}

struct phys_value ew_mass_fraction_from_us_proof(double us_proof)
{
    const char *refusal = outside(us_proof, 0, 200, "a US proof is outside 0 to 200");
    if (refusal != NULL)
        return phys_none(refusal);
    return phys_ok(phys_root(vol60f_for_root, NULL, us_proof / PROOF_PER_VOL_60F, 0, 1));
}

struct phys_value ew_mole_fraction_from_mass_fraction(double mass_fraction)
{
    const char *refusal = outside(mass_fraction, 0, 1, EW_REASON_FRACTION);
    if (refusal != NULL)
        return phys_none(refusal);
    const double ethanol = mass_fraction / PHYS_ETHANOL_G_MOL;
    const double water = (1 - mass_fraction) / PHYS_WATER_G_MOL;
    return phys_ok(ethanol / (ethanol + water));
}

struct phys_value ew_mass_fraction_from_mole_fraction(double mole_fraction)
{
    const char *refusal = outside(mole_fraction, 0, 1, "a mole fraction is outside 0 to 1");
    if (refusal != NULL)
        return phys_none(refusal);
    const double ethanol = mole_fraction * PHYS_ETHANOL_G_MOL;
    const double water = (1 - mole_fraction) * PHYS_WATER_G_MOL;
    return phys_ok(ethanol / (ethanol + water));
}

struct phys_value ew_ethanol_g_l(double mass_fraction)
{
    const char *refusal = outside(mass_fraction, 0, 1, EW_REASON_FRACTION);
    if (refusal != NULL)
        return phys_none(refusal);
    return phys_ok(mass_fraction * ew_rho(mass_fraction, PHYS_REFERENCE_C)); /* kg/m3 = g/L */
}

struct phys_value ew_uk_duty_vol_percent(double vol_percent)
{
    const char *refusal = outside(vol_percent, 0, 100, EW_REASON_VOL);
    if (refusal != NULL)
        return phys_none(refusal);
    return phys_ok(floor(vol_percent * UK_STEPS_PER_VOL + UK_ROUNDING_SLACK) / UK_STEPS_PER_VOL);
}

struct ew_strength ew_strength_of(double mass_fraction)
{
    const double none = (double)NAN;
    struct ew_strength s = {none, none, none, none, none, none, none, none, NULL};
    s.reason = outside(mass_fraction, 0, 1, EW_REASON_FRACTION);
    if (s.reason != NULL)
        return s;
    s.mass_fraction = mass_fraction;
    s.mass_percent = 100 * mass_fraction;
    s.vol_percent = ew_vol20(mass_fraction);
    s.vol_percent_60f = ew_vol60f(mass_fraction);
    s.us_proof = PROOF_PER_VOL_60F * s.vol_percent_60f;
    s.mole_fraction = ew_mole_fraction_from_mass_fraction(mass_fraction).value;
    s.density_20_kg_m3 = ew_rho(mass_fraction, PHYS_REFERENCE_C);
    s.ethanol_g_l = mass_fraction * s.density_20_kg_m3;
    return s;
}

/* --- instruments --------------------------------------------------------------------------- */

static const char *instrument_refusal(double reading, double temp_c, double glass_per_k)
{
    if (!isfinite(reading) || !isfinite(temp_c) || !isfinite(glass_per_k))
        return PHYS_NOT_A_NUMBER;
    if (temp_c < EW_TEMP_MIN_C || temp_c > EW_TEMP_MAX_C)
        return EW_REASON_TEMP;
    if (glass_per_k < 0 || glass_per_k > GLASS_PER_K_MAX)
        return "the expansion of the instrument is outside 0 to 0.0001 per degC";
    return NULL;
}

/* Mass fraction of the liquid mixture with true density density_kg_m3 at temp_c. */
static struct phys_value fraction_at(double density_kg_m3, double temp_c)
{
    double weakest = 0;
    if (temp_c < 0) {
        struct phys_value line = ew_least_liquid_vol_percent(temp_c);
        if (!phys_has(line))
            return line;
        weakest = ew_mass_fraction_from_vol_percent(line.value).value;
    }
    double fraction = phys_root(rho_for_root, &temp_c, density_kg_m3, weakest, 1);
    return isfinite(fraction) ? phys_ok(fraction) : phys_none(EW_REASON_UNREADABLE);
}

struct phys_value ew_mass_fraction_from_density(double reading_kg_m3, double temp_c,
                                                double glass_per_k)
{
    const char *refusal = instrument_refusal(reading_kg_m3, temp_c, glass_per_k);
    if (refusal != NULL)
        return phys_none(refusal);
    return fraction_at(reading_kg_m3 * (1 - glass_per_k * (temp_c - PHYS_REFERENCE_C)), temp_c);
}

struct phys_value ew_vol_percent_from_hydrometer(double reading_vol_percent, double temp_c,
                                                 double glass_per_k)
{
    const char *refusal = instrument_refusal(reading_vol_percent, temp_c, glass_per_k);
    struct phys_value p = ew_mass_fraction_from_vol_percent(reading_vol_percent);
    if (refusal != NULL)
        return phys_none(refusal);
    if (!phys_has(p))
        return p;
    /* The stem was marked with the density a mixture of that strength has at 20 degC. */
    const double marked = ew_rho(p.value, PHYS_REFERENCE_C);
    p = fraction_at(marked * (1 - glass_per_k * (temp_c - PHYS_REFERENCE_C)), temp_c);
    return phys_has(p) ? phys_ok(ew_vol20(p.value)) : p;
}

struct phys_value ew_us_proof_from_hydrometer(double reading_proof, double temp_f,
                                              double glass_per_k)
{
    const double temp_c = phys_f_to_c(temp_f);
    const char *refusal = instrument_refusal(reading_proof, temp_c, glass_per_k);
    struct phys_value p = ew_mass_fraction_from_us_proof(reading_proof);
    if (refusal != NULL)
        return phys_none(refusal);
    if (!phys_has(p))
        return p;
    const double marked = ew_rho(p.value, PHYS_SIXTY_F_C);
    p = fraction_at(marked * (1 - glass_per_k * (temp_c - PHYS_SIXTY_F_C)), temp_c);
    return phys_has(p) ? phys_ok(PROOF_PER_VOL_60F * ew_vol60f(p.value)) : p;
}

struct phys_value ew_true_mass_kg(double balance_kg, double density_kg_m3)
{
    if (!isfinite(balance_kg) || !isfinite(density_kg_m3))
        return phys_none(PHYS_NOT_A_NUMBER);
    if (balance_kg < 0)
        return phys_none(EW_REASON_NEGATIVE);
    if (density_kg_m3 < LIQUID_MIN_KG_M3 || density_kg_m3 > LIQUID_MAX_KG_M3)
        return phys_none("a density is outside 500 to 2500 kg/m3");
    return phys_ok(balance_kg * (1 - AIR_KG_M3 / WEIGHTS_KG_M3) / (1 - AIR_KG_M3 / density_kg_m3));
}

struct phys_value ew_apparent_density_kg_m3(double density_kg_m3)
{
    const char *refusal = outside(density_kg_m3, LIQUID_MIN_KG_M3, LIQUID_MAX_KG_M3,
                                  "a density is outside 500 to 2500 kg/m3");
    if (refusal != NULL)
        return phys_none(refusal);
    return phys_ok((density_kg_m3 - AIR_KG_M3) / (1 - AIR_KG_M3 / WEIGHTS_KG_M3));
}
