/* Vapour of ethanol, of water and over their mixtures.
 *
 * Pure ethanol: Wagner 2.5-5 form (Poling, Prausnitz, O'Connell, 5th ed., App. A). Pure water:
 * DIPPR equation 101 (Perry, 8th ed., table 2-8). Activity coefficients: NRTL with
 * temperature-dependent parameters (NRTL-T), because sets regressed at 1 atm are wrong by up to
 * 18 % in pressure at room temperature. Ideal vapour.
 *
 * NRTL-T was fitted at about 20 to 100 degC. It is carried on down to -20 degC for cold storage,
 * with a wider stated uncertainty; vap_model_note() says so and must be printed with the value.
 */
#ifndef LW_PHYSICS_VAPOUR_H
#define LW_PHYSICS_VAPOUR_H

#include "physics/value.h"

#define VAP_MIX_MIN_C        (-20.0) /* lowest temperature at which NRTL-T is used */
#define VAP_MIX_FITTED_C     20.0    /* lower end of the fitted range */
#define VAP_PRESSURE_MIN_KPA 50.0    /* about 5.5 km up */
#define VAP_PRESSURE_MAX_KPA 104.0
#define VAP_MIX_MAX_C        101.0 /* upper end of the fitted range: boiling water at about 1 atm */
#define VAP_ALTITUDE_MAX_M   5000.0
#define VAP_ALTITUDE_MIN_M   (-200.0)
#define VAP_FORMULA_NAME     "NRTL (temperature dependent), Wagner ethanol, DIPPR 101 water"

/* Saturation pressure, kPa. Ethanol -114.1..240.7 degC (stated +/-1 % at 0..80 degC, 5 % below
 * -10 degC, 2 % between; not stated above 80). Water 0.01..373.9 degC. */
struct phys_value vap_ethanol_kpa(double temp_c);
struct phys_value vap_water_kpa(double temp_c);
/* Ethanol by DIPPR 101 (Perry), for comparison only; same range to 240.8 degC. */
struct phys_value vap_ethanol_dippr_kpa(double temp_c);

/* Activity coefficients, NRTL-T; mole_fraction of ethanol 0..1, VAP_MIX_MIN_C..VAP_MIX_MAX_C. */
struct phys_value vap_gamma_ethanol(double mole_fraction, double temp_c);
struct phys_value vap_gamma_water(double mole_fraction, double temp_c);

/* Text to print with a mixture value at temp_c, or NULL when inside the fitted range. */
const char *vap_model_note(double temp_c);

/* Partial pressures over a mixture at equilibrium, kPa. Uncertainty 3 % at 20 degC and above
 * (worst published deviation 2.8 %), 10 % below. Water has no value below 0.01 degC. */
struct phys_value vap_ethanol_partial_kpa(double mole_fraction, double temp_c);
struct phys_value vap_water_partial_kpa(double mole_fraction, double temp_c);
struct phys_value vap_total_kpa(double mole_fraction, double temp_c);

/* Ethanol in a closed, equilibrated headspace, vol % of the gas at pressure_kpa (50..104). A
 * mixture at or above its boiling point has no air left: no value. */
struct phys_value vap_headspace_vol_percent(double mole_fraction, double temp_c,
                                            double pressure_kpa);

struct vap_bubble {
    double temp_c;
    double vapour_mole_fraction; /* of ethanol */
    double gamma_ethanol;
    double gamma_water;
    const char *reason; /* NULL = all fields hold */
};

/* Bubble point of a mixture at pressure_kpa (50..104). */
struct vap_bubble vap_bubble_point(double mole_fraction, double pressure_kpa);
/* The same, temperature only, degC; +/-0.9 K (worst published deviation 0.85 K). */
struct phys_value vap_boiling_point_c(double mole_fraction, double pressure_kpa);

/* Air pressure at an altitude, kPa: ICAO Standard Atmosphere (ISO 2533), -200..5000 m. */
struct phys_value vap_pressure_at_altitude_kpa(double altitude_m);

/* Gas units. molar volume Vm = R T / P; 1 vol % = 10 000 ppm. */
struct phys_value vap_molar_volume_l(double temp_c, double pressure_kpa);
struct phys_value vap_mg_m3_from_ppm(double ppm, double molar_mass_g, double temp_c);
struct phys_value vap_ppm_from_mg_m3(double mg_m3, double molar_mass_g, double temp_c);

/* Density of air holding vol_percent of ethanol vapour, relative to air at the same temperature. */
struct phys_value vap_relative_density(double vol_percent);

#endif
