/* Mass of vapour given off by a liquid surface.
 *
 * Published models differ by a factor of 2 to 4 for the same surface. evap_surface() computes all
 * that apply and marks the largest as the one to use; print it "within a factor of 3" and a spill
 * with one significant digit. Cooling and the weakening of the liquid are left out, which
 * overstates long evaporations.
 *
 * partial_kpa: partial pressure of the vapour over the liquid (vap_ethanol_partial_kpa());
 * molar_mass_g in g/mol; rates in g/min. Ranges: partial pressure 0..80 kPa, temp_c -20..60,
 * area 0..10000 m2, air speed 0..10 m/s, molar mass 18..400 g/mol.
 */
#ifndef LW_PHYSICS_EVAPORATION_H
#define LW_PHYSICS_EVAPORATION_H

#include "physics/value.h"

#define EVAP_FACTOR 3.0 /* "within a factor of" */
#define EVAP_SCHMIDT_ETHANOL                                                                       \
    1.2605                        /* kinematic viscosity of air / diffusivity, 25 degC; derived    \
                                   */
#define EVAP_SPILL_DEPTH_M  0.01  /* EPA RMP guidance: undiked pool 1 cm deep */
#define EVAP_PHI_SUBMERGED  0.5   /* Crowl & Louvar ch. 3: filling below the surface */
#define EVAP_PHI_SPLASH     1.0   /* Crowl & Louvar ch. 3: splash filling */
#define EVAP_INDOOR_AIR_M_S 0.508 /* EPA default indoor air speed, 100 ft/min; from memory */

struct evap_source {
    double partial_kpa;
    double molar_mass_g;
    double temp_c;       /* of the liquid */
    double area_m2;      /* evaporating area, both faces of a wet paper */
    double air_m_s;      /* air speed over it */
    double diameter_m;   /* of the opening or pool; 0 = that of a circle of area_m2 */
    double schmidt;      /* of the vapour in air; 0 = EVAP_SCHMIDT_ETHANOL */
    double pressure_kpa; /* 0 = 101.325 */
};

/* EPA RMP Offsite Consequence Analysis guidance, appendix D: 0.284 U^0.78 MW^(2/3) A VP/(82.05 T)
 * in lb/min. Zero air speed: no value. */
struct phys_value evap_rmp_g_min(const struct evap_source *source);
/* Crowl & Louvar ch. 3: m = M K A p/(R T), K = 0.83 cm/s (18/M)^(1/3); no air speed in it. */
struct phys_value evap_crowl_g_min(const struct evap_source *source);
/* Mackay & Matsugu (1973) in the form of Kawamura & Mackay (1987), with the high-volatility
 * correction above 10 kPa. Zero air speed: no value. */
struct phys_value evap_mackay_g_min(const struct evap_source *source);
/* EPA/OPPT (Hummel): penetration model up to 100 ft/min, mass-transfer model above. Zero air
 * speed: no value. */
struct phys_value evap_oppt_g_min(const struct evap_source *source);
struct phys_value evap_oppt_penetration_g_min(const struct evap_source *source);
struct phys_value evap_oppt_transfer_g_min(const struct evap_source *source);

enum evap_model { EVAP_RMP, EVAP_CROWL, EVAP_MACKAY, EVAP_OPPT, EVAP_MODEL_COUNT };
const char *evap_model_name(enum evap_model model);

struct evap_estimate {
    struct phys_value rate_g_min[EVAP_MODEL_COUNT]; /* each may have no value */
    enum evap_model largest;                        /* index of the one to use */
    double largest_g_min;
    double least_g_min;
    const char *reason; /* NULL = at least two models hold */
};

/* All models side by side. */
struct evap_estimate evap_surface(const struct evap_source *source);

/* Area, m2: open circular mouth; both faces of a wet round filter paper; funnel = its liquid
 * surface plus one wet face of the paper cone (slant area of a 60 degree cone = 2 x its mouth). */
struct phys_value evap_circle_m2(double diameter_m);
struct phys_value evap_wet_paper_m2(double diameter_m);
struct phys_value evap_funnel_m2(double mouth_diameter_m);
/* Area of a spill of volume_l spread depth_m deep (0.0005..0.1 m). */
struct phys_value evap_spill_m2(double volume_l, double depth_m);

/* Vapour pushed out by filling, g per litre filled: phi M p/(R T); phi EVAP_PHI_*. */
struct phys_value evap_filling_g_l(double partial_kpa, double molar_mass_g, double temp_c,
                                   double phi);
/* Filling at litres_min through an opening: displacement plus evaporation through opening_m2
 * (Crowl & Louvar ch. 3), g/min. */
struct phys_value evap_filling_g_min(const struct evap_source *opening, double phi,
                                     double litres_min);

/* Grams of vapour that fill volume_l of still air to lel_vol_percent at temp_c. */
struct phys_value evap_grams_to_lel(double volume_l, double lel_vol_percent, double molar_mass_g,
                                    double temp_c);

#endif
