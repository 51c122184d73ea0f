/* Flash point of ethanol-water, flammable limits and the flammable temperature band.
 *
 * Model: Liaw, Lee, Tang, Hsu, Liu, J. Loss Prev. Process Ind. 15 (2002) 429; Liaw & Chiu,
 * J. Hazard. Mater. A101 (2003) 83: x1 g1(x1,T) Psat1(T) = Psat1(Tfp of pure ethanol).
 * List: closed-cup values printed for "ethyl alcohol, NN % in water" (NFPA 325 type), read at the
 * % vol figure, which is the lower and so the cautious reading.
 *
 * These numbers support cautions. A measured flash point replaces them. Not covered: denaturants
 * more volatile than ethanol (lower it sharply), dissolved solids, essential oils beyond a few
 * per cent; see flash_mixture_bound_c().
 */
#ifndef LW_PHYSICS_FLASH_H
#define LW_PHYSICS_FLASH_H

#include "physics/value.h"

#define FLASH_PURE_CAUTIOUS_C 12.0 /* closed cup, IEC 60079-20-1:2010 */
#define FLASH_PURE_US_C       13.0 /* closed cup, NFPA 497 (2008), NIOSH */
#define FLASH_LEL_CAUTIOUS    3.1  /* vol %, IEC 60079-20-1:2010: used for cautions */
#define FLASH_LEL_US          3.3  /* vol %, NFPA 497, NIOSH (1994): when quoting US papers */
#define FLASH_UEL             19.0 /* vol %, IEC 60079-20-1:2010 and NFPA 497 */
#define FLASH_STRONG_PM_K     3.0  /* uncertainty from 20 % vol up */
#define FLASH_WEAK_PM_K       5.0  /* uncertainty below 20 % vol */
#define FLASH_PARTS_MAX       32u
#define FLASH_MODEL_NAME      "Liaw et al. (2002)"

/* Closed-cup flash point by the model alone, degC. mole_fraction 0..1 (0: no value, water has no
 * flash point; too weak to solve below 80 degC: no value), pure_flash_c 5..20 degC. */
struct phys_value flash_ethanol_water_model_c(double mole_fraction, double pure_flash_c);

/* Published list at a % by volume figure, 5..100, linear between rows, degC. */
struct phys_value flash_ethanol_water_list_c(double vol_percent);

/* Value to use, degC: the lower of the model with FLASH_PURE_CAUTIOUS_C and the list.
 * vol_percent 4..100 (20 degC basis). Uncertainty 3 K from 20 % vol, 5 K below. Weaker than 4 %:
 * no value, because there is no published closed-cup value to hold it against. */
struct phys_value flash_ethanol_water_c(double vol_percent);
struct phys_value flash_ethanol_water_at_mass_fraction_c(double mass_fraction);

/* % vol above which flash_ethanol_water_c() is below temp_c (12..60 degC). */
struct phys_value flash_vol_percent_at_c(double temp_c);

/* What a closed-cup test would read at pressure_kpa (70..105) for a flash point stated at
 * 101.3 kPa: 0.25 K per kPa lower (form of ISO 2719; from memory). */
struct phys_value flash_reading_at_pressure_c(double flash_c, double pressure_kpa);

/* Flammable limits of ethanol in air at temp_c (-20..100), vol %, from the value at 25 degC:
 * modified Burgess-Wheeler law (Zabetakis), 0.75/305.4 vol % per K. */
struct phys_value flash_lel_vol_percent(double lel_25, double temp_c);
struct phys_value flash_uel_vol_percent(double uel_25, double temp_c);

/* Temperatures between which a closed, equilibrated headspace is flammable. */
struct flash_band {
    struct phys_value lower_c; /* LFTL: headspace reaches the LEL */
    struct phys_value upper_c; /* UFTL: headspace passes the UEL */
};
struct flash_band flash_flammable_band(double mole_fraction, double lel_25, double uel_25,
                                       double pressure_kpa);

enum flash_headspace {
    FLASH_HEADSPACE_UNKNOWN,
    FLASH_HEADSPACE_LEAN,       /* below the lower LEL figure */
    FLASH_HEADSPACE_BORDERLINE, /* between LEL 3.1 and 3.3 */
    FLASH_HEADSPACE_FLAMMABLE,
    FLASH_HEADSPACE_RICH /* above the UEL: flammable again as soon as it is opened */
};
/* State of the gas over a closed liquid at equilibrium. */
enum flash_headspace flash_headspace_state(double mole_fraction, double temp_c,
                                           double pressure_kpa);
const char *flash_headspace_text(enum flash_headspace state);

/* Headspace as % of the LEL at that temperature (lel_25: FLASH_LEL_CAUTIOUS or FLASH_LEL_US). */
struct phys_value flash_headspace_percent_of_lel(double mole_fraction, double temp_c, double lel_25,
                                                 double pressure_kpa);

/* One flammable liquid in a mixture, by its pure-liquid properties. Ethanol is a part like any
 * other (12 degC, 78.3 degC). Water and other non-flammable parts are left out. */
struct flash_part {
    double mass_fraction; /* of the whole mixture, more than 0 */
    double flash_c;       /* closed cup, pure liquid */
    double boil_c;        /* NaN = not known: the least heat of vaporisation is assumed */
};

/* A lower bound, not an estimate: no mixture of these liquids can flash below it, whatever their
 * activity coefficients, because no activity exceeds 1 (Liaw's sum rule taken at the limit of
 * liquids that do not mix; heat of vaporisation from Trouton's rule, which is low and so cautious).
 * Even traces count fully, so it can be far below the true flash point. At most FLASH_PARTS_MAX. */
struct phys_value flash_mixture_bound_c(const struct flash_part *parts, size_t count);

/* Trade rule: the flash point is governed by the lowest-flash part present at 5 % by mass or more.
 * An estimate without stated uncertainty; no value if no part reaches 5 %. */
struct phys_value flash_mixture_lowest_c(const struct flash_part *parts, size_t count);

#endif
