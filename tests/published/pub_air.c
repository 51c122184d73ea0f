/* Evaporation and room air against worked examples. */
#include "published.h"

#include <math.h>
#include <string.h>

#include "physics/constants.h"
#include "physics/ethanol_water.h"
#include "physics/evaporation.h"
#include "physics/exposure.h"
#include "physics/room_air.h"
#include "physics/vapour.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

#define KPA_PER_MMHG  0.133322387415
#define FT3_L         28.316846592 /* exact */
#define SQUARE_FT_M2  (PHYS_FOOT_M * PHYS_FOOT_M)
#define TOLUENE       92.0 /* g/mol, as in the worked example */
#define ACRYLONITRILE 53.06

static struct pub_point model(const struct pub_table *t, size_t r)
{
    const char *name = t->cell[r][0];
    const double temp_c = t->number[r][2];
    struct evap_source s = {.partial_kpa = vap_ethanol_kpa(temp_c).value,
                            .molar_mass_g = PHYS_ETHANOL_G_MOL,
                            .temp_c = temp_c,
                            .area_m2 = evap_circle_m2(t->number[r][1]).value,
                            .air_m_s = t->number[r][3],
                            .diameter_m = t->number[r][1]};
    struct phys_value v = phys_none("no such model");
    if (strcmp(name, "rmp") == 0)
        v = evap_rmp_g_min(&s);
    else if (strcmp(name, "crowl") == 0)
        v = evap_crowl_g_min(&s);
    else if (strcmp(name, "mackay") == 0)
        v = evap_mackay_g_min(&s);
    else if (strcmp(name, "penetration") == 0)
        v = evap_oppt_penetration_g_min(&s);
    else if (strcmp(name, "transfer") == 0)
        v = evap_oppt_transfer_g_min(&s);
    /* half of the last printed digit, or 0.5 % */
    const char *mark = strchr(t->cell[r][4], '.');
    double digit = pow(10, -(mark != NULL ? (double)strlen(mark + 1) : 0.0));
    return (struct pub_point){t->number[r][4], v.value, fmax(0.6 * digit, 0.005 * t->number[r][4])};
}

/* --- EPA RMP -----------------------------------------------------------------------------------
 */

static double round_to(double x, double step)
{
    return step * floor(x / step + 0.5);
}

static double rmp_g_min(double wind, double area_m2)
{
    struct evap_source s = {.partial_kpa = 108 * KPA_PER_MMHG,
                            .molar_mass_g = ACRYLONITRILE,
                            .temp_c = 298 - PHYS_ZERO_C_K,
                            .area_m2 = area_m2,
                            .air_m_s = wind};
    return evap_rmp_g_min(&s).value;
}
static double wind_15(void)
{
    return round_to(rmp_g_min(1.5, 1) / rmp_g_min(1, 1), 0.1);
}
static double wind_3(void)
{
    return round_to(rmp_g_min(3, 1) / rmp_g_min(1, 1), 0.1);
}
static double liquid_factor(void)
{
    return round_to(rmp_g_min(1, SQUARE_FT_M2) / 1000 / PHYS_POUND_KG, 0.001);
}
/* ft2 of pool one centimetre deep per pound of acrylonitrile, 0.800 kg/L */
static double density_factor(void)
{
    return round_to(evap_spill_m2(PHYS_POUND_KG / 0.800, EVAP_SPILL_DEPTH_M).value / SQUARE_FT_M2,
                    0.01);
}
static double acrylonitrile(void)
{
    return 20000 * wind_15() * liquid_factor() * density_factor();
}
static double acrylonitrile_min(void)
{
    return 20000 / acrylonitrile();
}
static double si_coefficient(void)
{
    struct evap_source s = {
        .partial_kpa = 1, .molar_mass_g = 64, .temp_c = 27, .area_m2 = 1, .air_m_s = 1};
    /* kg/s = c U^0.78 M^(2/3) A p/T; M^(2/3) = 16 */
    return evap_rmp_g_min(&s).value / 60 / 1000 * (27 + PHYS_ZERO_C_K) / 16 / 1000 * 1e6;
}

/* --- Crowl & Louvar ----------------------------------------------------------------------------
 */

static double sample(void)
{
    struct evap_source s = {
        .partial_kpa = 5, .molar_mass_g = 65, .temp_c = 300 - PHYS_ZERO_C_K, .area_m2 = 1};
    return evap_crowl_g_min(&s).value / 60;
}

static struct evap_source toluene(double diameter_ft)
{
    return (struct evap_source){.partial_kpa = 28.2 * KPA_PER_MMHG,
                                .molar_mass_g = TOLUENE,
                                .temp_c = 25,
                                .area_m2 = evap_circle_m2(diameter_ft * PHYS_FOOT_M).value};
}
static double tank_area(void)
{
    return toluene(5).area_m2 / SQUARE_FT_M2;
}
static double tank_g_min(void)
{
    struct evap_source s = toluene(5);
    return evap_crowl_g_min(&s).value;
}
static double tank_lb(void)
{
    return tank_g_min() / 1000 / PHYS_POUND_KG;
}

/* Steady state of a source in a room ventilated by cfm, ppm of a vapour of molar mass. */
static double steady_ppm(double g_min, double cfm, double mixing, double molar_mass_g)
{
    const double volume_m3 = 100; /* any: it does not enter the steady state */
    struct room_air room = {.volume_m3 = volume_m3,
                            .air_changes_h = cfm * FT3_L / 1000 * 60 / volume_m3,
                            .mixing = mixing,
                            .source_g_min = g_min,
                            .source_min = HUGE_VAL};
    return vap_ppm_from_mg_m3(1000 * room_steady_g_m3(&room).value, molar_mass_g, 25).value;
}
static double tank_ppm(void)
{
    return steady_ppm(tank_g_min(), 3000, 1, TOLUENE);
}
static double tank_air(void)
{
    double target = vap_mg_m3_from_ppm(50, TOLUENE, 25).value / 1000;
    return room_air_needed_m3_h(tank_g_min(), target, 0.1).value / 60 * 1000 / FT3_L;
}
static double drum_ppm(void)
{
    struct evap_source bung = toluene(2.0 / 12);
    double litres_min = 55 * PHYS_US_GALLON_L / 5;
    double rate = evap_filling_g_min(&bung, EVAP_PHI_SUBMERGED, litres_min).value;
    return steady_ppm(rate, 3000, 1, TOLUENE);
}

/* --- hand formulas -----------------------------------------------------------------------------
 */

static double chloroform(void)
{
    return room_acgih_health_cfm(1.32, 1.5 / 60, 133.4, 350, 1).value;
}
static double chloroform_5(void)
{
    return room_acgih_health_cfm(1.32, 1.5 / 60, 133.4, 350, 5).value;
}
static double xylol(void)
{
    return room_acgih_fire_cfm(0.88, 2.0 / 60, 106, 1, 10, 0.7).value;
}
static double ethanol_health(void)
{
    return room_acgih_health_cfm(0.789, 1, PHYS_ETHANOL_G_MOL, 1000, 3).value;
}
static double ethanol_fire(void)
{
    return room_acgih_fire_cfm(0.789, 1, PHYS_ETHANOL_G_MOL, 3.3, 4, 1).value;
}
static double osha_toluene(void)
{
    return room_osha_ft3_per_gallon(30.4, 1.4).value;
}
static double osha_ethanol(void)
{
    return room_osha_ft3_per_gallon(55.2, 3.3).value;
}
static double osha_vapour(void)
{
    /* moles in a gallon of absolute ethanol, as vapour at 70 degF */
    double g = ew_mass_kg(PHYS_US_GALLON_L, 1, 20).value * 1000;
    return g / PHYS_ETHANOL_G_MOL * vap_molar_volume_l(phys_f_to_c(70), PHYS_ATM_KPA).value / FT3_L;
}

/* --- room --------------------------------------------------------------------------------------
 */

static double room_ppm(double minutes, double mixing)
{
    struct room_air room = {.volume_m3 = 30,
                            .air_changes_h = 2,
                            .mixing = mixing,
                            .source_g_min = 5,
                            .source_min = HUGE_VAL};
    double g_m3 = isinf(minutes) ? room_steady_g_m3(&room).value : room_g_m3(&room, minutes).value;
    return vap_ppm_from_mg_m3(1000 * g_m3, PHYS_ETHANOL_G_MOL, 25).value;
}
static double room_5(void)
{
    return room_ppm(5, 1);
}
static double room_10(void)
{
    return room_ppm(10, 1);
}
static double room_15(void)
{
    return room_ppm(15, 1);
}
static double room_30(void)
{
    return room_ppm(30, 1);
}
static double room_60(void)
{
    return room_ppm(60, 1);
}
static double room_120(void)
{
    return room_ppm(120, 1);
}
static double room_inf(void)
{
    return room_ppm(HUGE_VAL, 1);
}
static double room_inf_half(void)
{
    return room_ppm(HUGE_VAL, 0.5);
}
static double filling(void)
{
    return evap_filling_g_l(vap_ethanol_kpa(25).value, PHYS_ETHANOL_G_MOL, 25, EVAP_PHI_SPLASH)
        .value;
}

/* m3 of closed room that one litre of ethanol brings to vol_percent at 25 degC */
static double spill_room_m3(double vol_percent)
{
    double g = ew_mass_kg(1, 1, 20).value * 1000;
    double in_one_m3 = room_closed_g_m3(g, 1).value;
    return in_one_m3 / room_g_m3_from_vol_percent(vol_percent, PHYS_ETHANOL_G_MOL, 25).value;
}
static double spill_lel(void)
{
    return spill_room_m3(3.3);
}
static double spill_1000(void)
{
    return spill_room_m3(0.1);
}
static double cabinet(void)
{
    return evap_grams_to_lel(200, 3.3, PHYS_ETHANOL_G_MOL, 20).value;
}

static const struct pub_example EXAMPLES[] = {
    {"rmp-wind-factor-1.5", wind_15},
    {"rmp-wind-factor-3", wind_3},
    {"rmp-liquid-factor-acrylonitrile", liquid_factor},
    {"rmp-density-factor-acrylonitrile", density_factor},
    {"rmp-acrylonitrile-lb-min", acrylonitrile},
    {"rmp-acrylonitrile-duration-min", acrylonitrile_min},
    {"rmp-si-coefficient-e-6", si_coefficient},
    {"crowl-coefficient-sample-g-s", sample},
    {"crowl-toluene-area-ft2", tank_area},
    {"crowl-toluene-lb-min", tank_lb},
    {"crowl-toluene-ppm", tank_ppm},
    {"crowl-toluene-air-50ppm-cfm", tank_air},
    {"crowl-drum-ppm", drum_ppm},
    {"acgih-methyl-chloroform-cfm", chloroform},
    {"acgih-methyl-chloroform-k5-cfm", chloroform_5},
    {"acgih-xylol-fire-cfm", xylol},
    {"acgih-ethanol-health-cfm", ethanol_health},
    {"acgih-ethanol-fire-cfm", ethanol_fire},
    {"osha-toluene-ft3-gal", osha_toluene},
    {"osha-ethanol-33-ft3-gal", osha_ethanol},
    {"osha-vapour-ethanol-ft3-gal", osha_vapour},
    {"room-5min-ppm", room_5},
    {"room-10min-ppm", room_10},
    {"room-15min-ppm", room_15},
    {"room-30min-ppm", room_30},
    {"room-60min-ppm", room_60},
    {"room-120min-ppm", room_120},
    {"room-steady-ppm", room_inf},
    {"room-steady-k05-ppm", room_inf_half},
    {"filling-ethanol-25c-g-l", filling},
    {"spill-1l-at-lel-m3", spill_lel},
    {"spill-1l-1000ppm-m3", spill_1000},
    {"cabinet-200l-to-lel-g", cabinet},
};

static struct pub_point example(const struct pub_table *t, size_t r)
{
    return (struct pub_point){t->number[r][1],
                              pub_example_value(EXAMPLES, COUNT(EXAMPLES), t->cell[r][0]),
                              t->number[r][2]};
}

/* --- exposure limits ---------------------------------------------------------------------------
 */

/* One figure of a limit; a blank cell must be a figure the program does not have either. */
static struct pub_point limit_figure(const struct pub_table *t, size_t r, size_t column)
{
    const struct exposure_limit *limit = exposure_find(t->cell[r][0], strlen(t->cell[r][0]));
    struct pub_point none = {1, (double)NAN, 0};
    if (limit == NULL)
        return none;
    const double carried[] = {limit->hours, limit->ppm, limit->mg_m3};
    if (t->cell[r][column][0] == '\0')
        return (struct pub_point){1, isnan(carried[column - 1]) ? 1 : 0, 0};
    return (struct pub_point){t->number[r][column], carried[column - 1], 0};
}

static struct pub_point limit_hours(const struct pub_table *t, size_t r)
{
    return limit_figure(t, r, 1);
}

static struct pub_point limit_ppm(const struct pub_table *t, size_t r)
{
    return limit_figure(t, r, 2);
}

static struct pub_point limit_mg(const struct pub_table *t, size_t r)
{
    return limit_figure(t, r, 3);
}

const struct pub_check pub_air_checks[] = {
    {"evaporation_models.csv", "evaporation rate", "g/min", model, 0, 0, false},
    {"air_examples.csv", "worked examples", "%", example, 0, 0, false},
    {"exposure_limits.csv", "averaging time", "h", limit_hours, 0, 1e-9, false},
    {"exposure_limits.csv", "limit", "ppm", limit_ppm, 0, 1e-9, false},
    {"exposure_limits.csv", "limit", "mg/m3", limit_mg, 0, 1e-9, false},
    {NULL, NULL, NULL, NULL, 0, 0, false},
};
