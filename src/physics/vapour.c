/* Vapour pressures, activity coefficients, boiling points, headspace. */
#include "text/base.h"

#include "physics/constants.h"
#include "physics/root.h"
#include "physics/vapour.h"

/* Wagner 2.5-5, ethanol: Poling, Prausnitz, O'Connell (2001), App. A; 159.05 to 513.92 K. */
#define WAGNER_A     (-8.68587)
#define WAGNER_B     1.17831
#define WAGNER_C     (-4.8762)
#define WAGNER_D     1.588
#define WAGNER_TC_K  513.92
#define WAGNER_PC_PA 6132000.0
#define WAGNER_MIN_K 159.05

/* Stated uncertainty of the ethanol curve, share of the value. */
#define PSAT_PM_WORKROOM  0.01 /* 0 to 80 degC */
#define PSAT_PM_COOL      0.02 /* -10 to 0 degC */
#define PSAT_PM_FREEZER   0.05 /* below -10 degC: published equations differ by this much */
#define PSAT_WORKROOM_C   0.0
#define PSAT_FREEZER_C    (-10.0)
#define PSAT_STATED_MAX_C 80.0

/* NRTL-T, ethanol (1) - water (2): tau = a + b/T, a process-databank set; full digits from memory,
 * held against PM78, RT49, CL32 and WICH07 in tests/published. */
#define NRTL_A12   (-0.8009)
#define NRTL_B12_K 246.18
#define NRTL_A21   3.4578
#define NRTL_B21_K (-586.0809)
#define NRTL_ALPHA 0.3

/* Worst published deviation of a pressure is 2.8 % (50 degC); below the fit nothing was published.
 */
#define NRTL_PM_FITTED  0.03
#define NRTL_PM_CARRIED 0.10
#define BOILING_PM_K    0.9 /* worst published deviation 0.85 K */

/* ICAO Standard Atmosphere (ISO 2533), troposphere. */
#define ICAO_LAPSE_PER_M 2.25577e-5
#define ICAO_EXPONENT    5.25588

#define PA_PER_KPA     1000.0
#define MASS_G_MOL_MAX 2000.0
#define GAS_MIN_C      (-60.0)
#define GAS_MAX_C      250.0
#define PPM_MAX        1e6

#define REASON_FRACTION "a mole fraction is outside 0 to 1"
#define REASON_MIX_TEMP "the temperature is outside -20 to 101 degC, where the NRTL set is used"
#define REASON_PRESSURE "the pressure is outside 50 to 104 kPa"

/* DIPPR equation 101: P = exp(C1 + C2/T + C3 ln T + C4 T^C5), Pa and K. */
struct dippr101 {
    double c1, c2, c3, c4, c5;
    double min_k, max_k;
};

/* Perry, 8th ed., table 2-8. */
static const struct dippr101 DIPPR_WATER = {73.649, -7258.2,       -7.3037, 4.1653e-6,
                                            2.0,    273.16 - 1e-9, 647.096};
static const struct dippr101 DIPPR_ETHANOL = {73.304, -7122.3, -7.1424, 2.8853e-6,
                                              2.0,    159.05,  514.0};

/* --- pure liquids ----------------------------------------------------------------------------- */

static double wagner_kpa(double temp_k)
{
    const double tau = 1 - temp_k / WAGNER_TC_K;
    const double root = sqrt(tau);
    const double tau2 = tau * tau;
    const double sum =
        tau * (WAGNER_A + WAGNER_B * root + WAGNER_C * tau * root + WAGNER_D * tau2 * tau2);
    return WAGNER_PC_PA / PA_PER_KPA * exp(sum / (1 - tau));
}

static double dippr_kpa(const struct dippr101 *eq, double temp_k)
{
    return exp(eq->c1 + eq->c2 / temp_k + eq->c3 * log(temp_k) + eq->c4 * pow(temp_k, eq->c5)) /
           PA_PER_KPA;
}

static struct phys_value dippr_value(const struct dippr101 *eq, double temp_c, const char *reason)
{
    if (!isfinite(temp_c))
        return phys_none(PHYS_NOT_A_NUMBER);
    const double temp_k = temp_c + PHYS_ZERO_C_K;
    if (temp_k < eq->min_k || temp_k > eq->max_k)
        return phys_none(reason);
    return phys_ok(dippr_kpa(eq, temp_k));
}

struct phys_value vap_ethanol_kpa(double temp_c)
{
    if (!isfinite(temp_c))
        return phys_none(PHYS_NOT_A_NUMBER);
    const double temp_k = temp_c + PHYS_ZERO_C_K;
    if (temp_k < WAGNER_MIN_K || temp_k > WAGNER_TC_K)
        return phys_none("the temperature is outside 159.05 to 513.92 K, the range of the Wagner "
                         "equation of ethanol");
    const double kpa = wagner_kpa(temp_k);
    double share = PSAT_PM_WORKROOM;
    if (temp_c < PSAT_FREEZER_C)
        share = PSAT_PM_FREEZER;
    else if (temp_c < PSAT_WORKROOM_C)
        share = PSAT_PM_COOL;
    else if (temp_c > PSAT_STATED_MAX_C)
        share = 0;
    return phys_ok_pm(kpa, kpa * share);
}

struct phys_value vap_ethanol_dippr_kpa(double temp_c)
{
    return dippr_value(&DIPPR_ETHANOL, temp_c,
                       "the temperature is outside 159.05 to 514 K, the range of the equation");
}

struct phys_value vap_water_kpa(double temp_c)
{
    return dippr_value(&DIPPR_WATER, temp_c,
                       "the temperature is outside 0.01 to 373.9 degC, the range of the vapour "
                       "pressure of water");
}

/* --- mixtures --------------------------------------------------------------------------------- */

struct gammas {
    double ethanol;
    double water;
};

static struct gammas nrtl(double x1, double temp_k)
{
    const double x2 = 1 - x1;
    const double tau12 = NRTL_A12 + NRTL_B12_K / temp_k;
    const double tau21 = NRTL_A21 + NRTL_B21_K / temp_k;
    const double g12 = exp(-NRTL_ALPHA * tau12);
    const double g21 = exp(-NRTL_ALPHA * tau21);
    const double d1 = x1 + x2 * g21;
    const double d2 = x2 + x1 * g12;
    const double r1 = g21 / d1;
    const double r2 = g12 / d2;
    return (struct gammas){
        exp(x2 * x2 * (tau21 * r1 * r1 + tau12 * g12 / (d2 * d2))),
        exp(x1 * x1 * (tau12 * r2 * r2 + tau21 * g21 / (d1 * d1))),
    };
}

static const char *mix_refusal(double mole_fraction, double temp_c)
{
    if (!isfinite(mole_fraction) || !isfinite(temp_c))
        return PHYS_NOT_A_NUMBER;
    if (mole_fraction < 0 || mole_fraction > 1)
        return REASON_FRACTION;
    return temp_c < VAP_MIX_MIN_C || temp_c > VAP_MIX_MAX_C ? REASON_MIX_TEMP : NULL;
}

static const char *pressure_refusal(double pressure_kpa)
{
    if (!isfinite(pressure_kpa))
        return PHYS_NOT_A_NUMBER;
    return pressure_kpa < VAP_PRESSURE_MIN_KPA || pressure_kpa > VAP_PRESSURE_MAX_KPA
               ? REASON_PRESSURE
               : NULL;
}

static double share_at(double temp_c)
{
    return temp_c < VAP_MIX_FITTED_C ? NRTL_PM_CARRIED : NRTL_PM_FITTED;
}

const char *vap_model_note(double temp_c)
{
    return temp_c < VAP_MIX_FITTED_C
               ? "the NRTL set was fitted at about 20 to 100 degC and is carried on below 20 degC "
                 "with a wider uncertainty (10 %)"
               : NULL;
}

struct phys_value vap_gamma_ethanol(double mole_fraction, double temp_c)
{
    const char *refusal = mix_refusal(mole_fraction, temp_c);
    return refusal != NULL ? phys_none(refusal)
                           : phys_ok(nrtl(mole_fraction, temp_c + PHYS_ZERO_C_K).ethanol);
}

struct phys_value vap_gamma_water(double mole_fraction, double temp_c)
{
    const char *refusal = mix_refusal(mole_fraction, temp_c);
    return refusal != NULL ? phys_none(refusal)
                           : phys_ok(nrtl(mole_fraction, temp_c + PHYS_ZERO_C_K).water);
}

struct phys_value vap_ethanol_partial_kpa(double mole_fraction, double temp_c)
{
    const char *refusal = mix_refusal(mole_fraction, temp_c);
    if (refusal != NULL)
        return phys_none(refusal);
    const double temp_k = temp_c + PHYS_ZERO_C_K;
    const double kpa = mole_fraction * nrtl(mole_fraction, temp_k).ethanol * wagner_kpa(temp_k);
    return phys_ok_pm(kpa, kpa * share_at(temp_c));
}

struct phys_value vap_water_partial_kpa(double mole_fraction, double temp_c)
{
    const char *refusal = mix_refusal(mole_fraction, temp_c);
    struct phys_value pure = vap_water_kpa(temp_c);
    if (refusal != NULL)
        return phys_none(refusal);
    if (!phys_has(pure))
        return pure;
    const double kpa =
        (1 - mole_fraction) * nrtl(mole_fraction, temp_c + PHYS_ZERO_C_K).water * pure.value;
    return phys_ok_pm(kpa, kpa * share_at(temp_c));
}

struct phys_value vap_total_kpa(double mole_fraction, double temp_c)
{
    struct phys_value ethanol = vap_ethanol_partial_kpa(mole_fraction, temp_c);
    struct phys_value water = vap_water_partial_kpa(mole_fraction, temp_c);
    if (!phys_has(ethanol))
        return ethanol;
    if (!phys_has(water))
        return water;
    return phys_ok_pm(ethanol.value + water.value, ethanol.uncertainty + water.uncertainty);
}

struct phys_value vap_headspace_vol_percent(double mole_fraction, double temp_c,
                                            double pressure_kpa)
{
    const char *refusal = pressure_refusal(pressure_kpa);
    struct phys_value ethanol = vap_ethanol_partial_kpa(mole_fraction, temp_c);
    if (!phys_has(ethanol))
        return ethanol;
    if (refusal != NULL)
        return phys_none(refusal);
    struct phys_value total = vap_total_kpa(mole_fraction, temp_c);
    const double present = phys_has(total) ? total.value : ethanol.value;
    if (present >= pressure_kpa)
        return phys_none("the liquid is at or above its boiling point");
    return phys_ok_pm(100 * ethanol.value / pressure_kpa, 100 * ethanol.uncertainty / pressure_kpa);
}

/* --- boiling ---------------------------------------------------------------------------------- */

static double log_total(double temp_c, const void *mole_fraction)
{
    const double x1 = *(const double *)mole_fraction;
    const double temp_k = temp_c + PHYS_ZERO_C_K;
    const struct gammas g = nrtl(x1, temp_k);
    return log(x1 * g.ethanol * wagner_kpa(temp_k) +
               (1 - x1) * g.water * dippr_kpa(&DIPPR_WATER, temp_k));
}

struct vap_bubble vap_bubble_point(double mole_fraction, double pressure_kpa)
{
    const double none = (double)NAN;
    struct vap_bubble bubble = {none, none, none, none, NULL};
    const double coldest_c = 0.01; /* triple point of water, start of its equation */
    bubble.reason = mix_refusal(mole_fraction, coldest_c);
    if (bubble.reason == NULL)
        bubble.reason = pressure_refusal(pressure_kpa);
    if (bubble.reason != NULL)
        return bubble;
    const double temp_c =
        phys_root(log_total, &mole_fraction, log(pressure_kpa), coldest_c, VAP_MIX_MAX_C);
    if (!isfinite(temp_c)) {
        bubble.reason = "the boiling point is outside the range of the NRTL set";
        return bubble;
    }
    const double temp_k = temp_c + PHYS_ZERO_C_K;
    const struct gammas g = nrtl(mole_fraction, temp_k);
    bubble.temp_c = temp_c;
    bubble.gamma_ethanol = g.ethanol;
    bubble.gamma_water = g.water;
    bubble.vapour_mole_fraction = mole_fraction * g.ethanol * wagner_kpa(temp_k) / pressure_kpa;
    return bubble;
}

struct phys_value vap_boiling_point_c(double mole_fraction, double pressure_kpa)
{
    struct vap_bubble bubble = vap_bubble_point(mole_fraction, pressure_kpa);
    return bubble.reason != NULL ? phys_none(bubble.reason)
                                 : phys_ok_pm(bubble.temp_c, BOILING_PM_K);
}

struct phys_value vap_pressure_at_altitude_kpa(double altitude_m)
{
    if (!isfinite(altitude_m))
        return phys_none(PHYS_NOT_A_NUMBER);
    if (altitude_m < VAP_ALTITUDE_MIN_M || altitude_m > VAP_ALTITUDE_MAX_M)
        return phys_none("the altitude is outside -200 to 5000 m");
    return phys_ok(PHYS_ATM_KPA * pow(1 - ICAO_LAPSE_PER_M * altitude_m, ICAO_EXPONENT));
}

/* --- gas units -------------------------------------------------------------------------------- */

static const char *gas_refusal(double amount, double molar_mass_g, double temp_c)
{
    if (!isfinite(amount) || !isfinite(molar_mass_g) || !isfinite(temp_c))
        return PHYS_NOT_A_NUMBER;
    if (molar_mass_g <= 0 || molar_mass_g > MASS_G_MOL_MAX)
        return "a molar mass is outside 0 to 2000 g/mol";
    if (temp_c < GAS_MIN_C || temp_c > GAS_MAX_C)
        return "the gas temperature is outside -60 to 250 degC";
    return amount < 0 ? "an amount of vapour is below zero" : NULL;
}

struct phys_value vap_molar_volume_l(double temp_c, double pressure_kpa)
{
    const char *refusal = gas_refusal(0, 1, temp_c);
    if (refusal == NULL)
        refusal = pressure_refusal(pressure_kpa);
    if (refusal != NULL)
        return phys_none(refusal);
    return phys_ok(PHYS_GAS_J_MOL_K * (temp_c + PHYS_ZERO_C_K) / pressure_kpa); /* J/kPa = L */
}

struct phys_value vap_mg_m3_from_ppm(double ppm, double molar_mass_g, double temp_c)
{
    const char *refusal = gas_refusal(ppm, molar_mass_g, temp_c);
    if (refusal != NULL)
        return phys_none(refusal);
    if (ppm > PPM_MAX)
        return phys_none("a concentration is above 1 000 000 ppm");
    return phys_ok(ppm * molar_mass_g / vap_molar_volume_l(temp_c, PHYS_ATM_KPA).value);
}

struct phys_value vap_ppm_from_mg_m3(double mg_m3, double molar_mass_g, double temp_c)
{
    const char *refusal = gas_refusal(mg_m3, molar_mass_g, temp_c);
    if (refusal != NULL)
        return phys_none(refusal);
    return phys_ok(mg_m3 * vap_molar_volume_l(temp_c, PHYS_ATM_KPA).value / molar_mass_g);
}

struct phys_value vap_relative_density(double vol_percent)
{
    if (!isfinite(vol_percent))
        return phys_none(PHYS_NOT_A_NUMBER);
    if (vol_percent < 0 || vol_percent > 100)
        return phys_none("a share of the gas is outside 0 to 100 vol %");
    return phys_ok(1 + vol_percent / 100 * (PHYS_ETHANOL_G_MOL / PHYS_AIR_G_MOL - 1));
}
