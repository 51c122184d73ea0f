/* Evaporation of a liquid surface by four published models. */
#include "text/base.h"

#include "physics/constants.h"
#include "physics/evaporation.h"

/* EPA RMP guidance, appendix D: QR [lb/min] = 0.284 U^0.78 MW^(2/3) A VP / (82.05 T), U m/s, A ft2,
 * VP mmHg, T K. From memory; it reproduces the published liquid factors. */
#define RMP_COEFFICIENT   0.284
#define RMP_GAS           82.05
#define RMP_WIND_EXPONENT 0.78

/* Crowl & Louvar, chapter 3: mass transfer coefficient of water and its molar mass as used there.
 */
#define CROWL_K0_M_S   0.0083
#define CROWL_M0_G_MOL 18.0

/* Kawamura & Mackay (1987): k [m/s] = 0.0048 u^(7/9) d^(-1/9) Sc^(-2/3). */
#define MACKAY_COEFFICIENT  0.0048
#define MACKAY_VOLATILE_KPA 10.0 /* above this the high-volatility correction applies */

/* EPA/OPPT (Hummel and co-workers), small open surfaces indoors; g/s, torr, ft/min, cm, atm. */
#define OPPT_PENETRATION  8.24e-8
#define OPPT_TRANSFER     1.93e-7
#define OPPT_SWITCH_FTMIN 100.0
#define OPPT_AIR_G_MOL    29.0
#define OPPT_ROOT_SHIFT   5.87

#define PA_PER_MMHG     133.322387415 /* exact to the digits given */
#define PA_PER_KPA      1000.0
#define S_PER_MIN       60.0
#define CM_PER_M        100.0
#define G_PER_KG        1000.0
#define L_PER_M3        1000.0
#define PI              3.14159265358979323846
#define CONE_OVER_MOUTH 2.0 /* a 60 degree cone: slant = 2 r, area = pi r 2r */

#define PARTIAL_MAX_KPA 80.0
#define TEMP_MIN_C      (-20.0)
#define TEMP_MAX_C      60.0
#define AREA_MAX_M2     10000.0
#define AIR_MAX_M_S     10.0
#define MOLAR_MIN_G     18.0
#define MOLAR_MAX_G     400.0
#define DIAMETER_MAX_M  100.0
#define SCHMIDT_MAX     10.0
#define PRESSURE_MIN    50.0
#define PRESSURE_MAX    110.0
#define VOLUME_MAX_L    1e6
#define DEPTH_MIN_M     0.0005
#define DEPTH_MAX_M     0.1

#define REASON_STILL "the model needs an air speed above zero"

static bool within(double x, double low, double high)
{
    return x >= low && x <= high;
}

static const char *source_refusal(const struct evap_source *s)
{
    if (s == NULL || !isfinite(s->partial_kpa) || !isfinite(s->molar_mass_g) ||
        !isfinite(s->temp_c) || !isfinite(s->area_m2) || !isfinite(s->air_m_s) ||
        !isfinite(s->diameter_m) || !isfinite(s->schmidt) || !isfinite(s->pressure_kpa))
        return PHYS_NOT_A_NUMBER;
    if (!within(s->partial_kpa, 0, PARTIAL_MAX_KPA))
        return "the partial pressure is outside 0 to 80 kPa";
    if (!within(s->molar_mass_g, MOLAR_MIN_G, MOLAR_MAX_G))
        return "the molar mass is outside 18 to 400 g/mol";
    if (!within(s->temp_c, TEMP_MIN_C, TEMP_MAX_C))
        return "the liquid temperature is outside -20 to 60 degC";
    if (!within(s->area_m2, 0, AREA_MAX_M2))
        return "the area is outside 0 to 10 000 m2";
    if (!within(s->air_m_s, 0, AIR_MAX_M_S))
        return "the air speed is outside 0 to 10 m/s";
    if (!within(s->diameter_m, 0, DIAMETER_MAX_M) || !within(s->schmidt, 0, SCHMIDT_MAX))
        return "the diameter is outside 0 to 100 m or the Schmidt number outside 0 to 10";
    if (s->pressure_kpa != 0 && !within(s->pressure_kpa, PRESSURE_MIN, PRESSURE_MAX))
        return "the air pressure is outside 50 to 110 kPa";
    return NULL;
}

static double diameter_of(const struct evap_source *s)
{
    return s->diameter_m > 0 ? s->diameter_m : sqrt(4 * s->area_m2 / PI);
}

static double pressure_of(const struct evap_source *s)
{
    return s->pressure_kpa > 0 ? s->pressure_kpa : PHYS_ATM_KPA;
}

/* g/min through area_m2 with a mass transfer coefficient. */
static double transfer_g_min(const struct evap_source *s, double coefficient_m_s)
{
    const double g_m3 = s->partial_kpa * PA_PER_KPA * s->molar_mass_g /
                        (PHYS_GAS_J_MOL_K * (s->temp_c + PHYS_ZERO_C_K));
    return coefficient_m_s * s->area_m2 * g_m3 * S_PER_MIN;
}

struct phys_value evap_rmp_g_min(const struct evap_source *source)
{
    const char *refusal = source_refusal(source);
    if (refusal != NULL)
        return phys_none(refusal);
    if (source->air_m_s == 0)
        return phys_none(REASON_STILL);
    const double area_ft2 = source->area_m2 / (PHYS_FOOT_M * PHYS_FOOT_M);
    const double mmhg = source->partial_kpa * PA_PER_KPA / PA_PER_MMHG;
    const double lb_min = RMP_COEFFICIENT * pow(source->air_m_s, RMP_WIND_EXPONENT) *
                          pow(source->molar_mass_g, 2.0 / 3) * area_ft2 * mmhg /
                          (RMP_GAS * (source->temp_c + PHYS_ZERO_C_K));
    return phys_ok(lb_min * PHYS_POUND_KG * G_PER_KG);
}

struct phys_value evap_crowl_g_min(const struct evap_source *source)
{
    const char *refusal = source_refusal(source);
    if (refusal != NULL)
        return phys_none(refusal);
    return phys_ok(
        transfer_g_min(source, CROWL_K0_M_S * cbrt(CROWL_M0_G_MOL / source->molar_mass_g)));
}

struct phys_value evap_mackay_g_min(const struct evap_source *source)
{
    const char *refusal = source_refusal(source);
    if (refusal != NULL)
        return phys_none(refusal);
    if (source->air_m_s == 0)
        return phys_none(REASON_STILL);
    if (source->area_m2 == 0)
        return phys_ok(0);
    const double schmidt = source->schmidt > 0 ? source->schmidt : EVAP_SCHMIDT_ETHANOL;
    const double k = MACKAY_COEFFICIENT * pow(source->air_m_s, 7.0 / 9) *
                     pow(diameter_of(source), -1.0 / 9) * pow(schmidt, -2.0 / 3);
    const double share = source->partial_kpa / pressure_of(source);
    if (share >= 1)
        return phys_none("the liquid is at or above its boiling point");
    const double volatile_factor =
        source->partial_kpa > MACKAY_VOLATILE_KPA ? -log1p(-share) / share : 1;
    return phys_ok(transfer_g_min(source, k) * volatile_factor);
}

struct oppt_units {
    double speed_ft_min, area_cm2, diameter_cm, torr, atm, temp_k;
};

static struct oppt_units oppt_units_of(const struct evap_source *s)
{
    return (struct oppt_units){
        .speed_ft_min = s->air_m_s * S_PER_MIN / PHYS_FOOT_M,
        .area_cm2 = s->area_m2 * CM_PER_M * CM_PER_M,
        .diameter_cm = diameter_of(s) * CM_PER_M,
        .torr = s->partial_kpa * PA_PER_KPA / PA_PER_MMHG,
        .atm = pressure_of(s) / PHYS_ATM_KPA,
        .temp_k = s->temp_c + PHYS_ZERO_C_K,
    };
}

static const char *oppt_refusal(const struct evap_source *source)
{
    const char *refusal = source_refusal(source);
    if (refusal != NULL)
        return refusal;
    return source->air_m_s == 0 ? REASON_STILL : NULL;
}

struct phys_value evap_oppt_penetration_g_min(const struct evap_source *source)
{
    const char *refusal = oppt_refusal(source);
    if (refusal != NULL)
        return phys_none(refusal);
    if (source->area_m2 == 0)
        return phys_ok(0);
    const struct oppt_units u = oppt_units_of(source);
    const double masses = 1 / OPPT_AIR_G_MOL + 1 / source->molar_mass_g;
    const double g_s = OPPT_PENETRATION * pow(source->molar_mass_g, 0.835) * u.torr *
                       pow(masses, 0.25) * sqrt(u.speed_ft_min) * u.area_cm2 /
                       (pow(u.temp_k, 0.05) * sqrt(u.diameter_cm) * sqrt(u.atm));
    return phys_ok(g_s * S_PER_MIN);
}

struct phys_value evap_oppt_transfer_g_min(const struct evap_source *source)
{
    const char *refusal = oppt_refusal(source);
    if (refusal != NULL)
        return phys_none(refusal);
    if (source->area_m2 == 0)
        return phys_ok(0);
    const struct oppt_units u = oppt_units_of(source);
    const double masses = 1 / OPPT_AIR_G_MOL + 1 / source->molar_mass_g;
    const double g_s = OPPT_TRANSFER * pow(source->molar_mass_g, 0.78) * u.torr *
                       pow(masses, 0.33) * pow(u.speed_ft_min, 0.78) * u.area_cm2 /
                       (pow(u.temp_k, 0.4) * pow(u.diameter_cm, 0.11) *
                        pow(sqrt(u.temp_k) - OPPT_ROOT_SHIFT, 2.0 / 3));
    return phys_ok(g_s * S_PER_MIN);
}

struct phys_value evap_oppt_g_min(const struct evap_source *source)
{
    const char *refusal = oppt_refusal(source);
    if (refusal != NULL)
        return phys_none(refusal);
    return oppt_units_of(source).speed_ft_min > OPPT_SWITCH_FTMIN
               ? evap_oppt_transfer_g_min(source)
               : evap_oppt_penetration_g_min(source);
}

const char *evap_model_name(enum evap_model model)
{
    static const char *const names[EVAP_MODEL_COUNT] = {
        "EPA RMP guidance, appendix D", "Crowl & Louvar, chapter 3", "Mackay & Matsugu (1973)",
        "EPA/OPPT (Hummel)"};
    return (unsigned)model < EVAP_MODEL_COUNT ? names[model] : NULL;
}

struct evap_estimate evap_surface(const struct evap_source *source)
{
    struct evap_estimate e = {
        .rate_g_min = {evap_rmp_g_min(source), evap_crowl_g_min(source), evap_mackay_g_min(source),
                       evap_oppt_g_min(source)},
        .largest = EVAP_CROWL,
        .largest_g_min = (double)NAN,
        .least_g_min = (double)NAN,
        .reason = source_refusal(source),
    };
    if (e.reason != NULL)
        return e;
    size_t held = 0;
    for (int i = 0; i < EVAP_MODEL_COUNT; i++) {
        if (!phys_has(e.rate_g_min[i]))
            continue;
        const double rate = e.rate_g_min[i].value;
        if (held == 0 || rate > e.largest_g_min) {
            e.largest = (enum evap_model)i;
            e.largest_g_min = rate;
        }
        e.least_g_min = held == 0 ? rate : fmin(e.least_g_min, rate);
        held++;
    }
    if (held < 2)
        e.reason = "fewer than two models apply: give an air speed above zero";
    return e;
}

/* --- areas ------------------------------------------------------------------------------------ */

static struct phys_value circle(double diameter_m, double times)
{
    if (!isfinite(diameter_m))
        return phys_none(PHYS_NOT_A_NUMBER);
    if (!within(diameter_m, 0, DIAMETER_MAX_M))
        return phys_none("the diameter is outside 0 to 100 m");
    return phys_ok(times * PI * diameter_m * diameter_m / 4);
}

struct phys_value evap_circle_m2(double diameter_m)
{
    return circle(diameter_m, 1);
}

struct phys_value evap_wet_paper_m2(double diameter_m)
{
    return circle(diameter_m, 2);
}

struct phys_value evap_funnel_m2(double mouth_diameter_m)
{
    return circle(mouth_diameter_m, 1 + CONE_OVER_MOUTH);
}

struct phys_value evap_spill_m2(double volume_l, double depth_m)
{
    if (!isfinite(volume_l) || !isfinite(depth_m))
        return phys_none(PHYS_NOT_A_NUMBER);
    if (!within(volume_l, 0, VOLUME_MAX_L))
        return phys_none("the volume is outside 0 to 1 000 000 L");
    if (!within(depth_m, DEPTH_MIN_M, DEPTH_MAX_M))
        return phys_none("the depth of the spill is outside 0.5 to 100 mm");
    return phys_ok(volume_l / L_PER_M3 / depth_m);
}

/* --- filling ---------------------------------------------------------------------------------- */

static const char *gas_refusal(double partial_kpa, double molar_mass_g, double temp_c)
{
    const struct evap_source s = {
        .partial_kpa = partial_kpa, .molar_mass_g = molar_mass_g, .temp_c = temp_c};
    return source_refusal(&s);
}

struct phys_value evap_filling_g_l(double partial_kpa, double molar_mass_g, double temp_c,
                                   double phi)
{
    const char *refusal = gas_refusal(partial_kpa, molar_mass_g, temp_c);
    if (refusal != NULL)
        return phys_none(refusal);
    if (!isfinite(phi))
        return phys_none(PHYS_NOT_A_NUMBER);
    if (!within(phi, 0, 1))
        return phys_none("the saturation of the displaced gas is outside 0 to 1");
    return phys_ok(phi * partial_kpa * molar_mass_g /
                   (PHYS_GAS_J_MOL_K * (temp_c + PHYS_ZERO_C_K))); /* kPa L = J */
}

struct phys_value evap_filling_g_min(const struct evap_source *opening, double phi,
                                     double litres_min)
{
    struct phys_value surface = evap_crowl_g_min(opening);
    if (!phys_has(surface))
        return surface;
    if (!isfinite(litres_min))
        return phys_none(PHYS_NOT_A_NUMBER);
    if (!within(litres_min, 0, VOLUME_MAX_L))
        return phys_none("the filling rate is outside 0 to 1 000 000 L/min");
    struct phys_value per_l =
        evap_filling_g_l(opening->partial_kpa, opening->molar_mass_g, opening->temp_c, phi);
    return phys_has(per_l) ? phys_ok(per_l.value * litres_min + surface.value) : per_l;
}

struct phys_value evap_grams_to_lel(double volume_l, double lel_vol_percent, double molar_mass_g,
                                    double temp_c)
{
    const char *refusal = gas_refusal(0, molar_mass_g, temp_c);
    if (refusal != NULL)
        return phys_none(refusal);
    if (!isfinite(volume_l) || !isfinite(lel_vol_percent))
        return phys_none(PHYS_NOT_A_NUMBER);
    if (!within(volume_l, 0, VOLUME_MAX_L) || !within(lel_vol_percent, 0, 100))
        return phys_none("a volume is outside 0 to 1 000 000 L or a limit outside 0 to 100 vol %");
    return phys_ok(volume_l * lel_vol_percent / 100 * PHYS_ATM_KPA * molar_mass_g /
                   (PHYS_GAS_J_MOL_K * (temp_c + PHYS_ZERO_C_K)));
}
