/* Density and strength of ethanol-water mixtures (OIML R 22).
 *
 * Holds for ethanol and water only. Dissolved resin, oil, sugar or denaturant shifts the density:
 * a strength read from the density of a tincture is then apparent, see EW_APPARENT_CAUTION.
 *
 * Source of the formula: OIML R 22 (edition 1975), the same formula as Council Directive
 * 76/766/EEC, Annex, 4: density in kg/m3 for mass fraction 0..1 and -20..40 degC, not below the
 * freezing line. 54 coefficients, see ethanol_water.c.
 *
 * Strengths: mass_fraction 0..1; vol_percent = % by volume at 20 degC, 0..100; us_proof = twice
 * the % by volume at 60 degF, 0..200; mole_fraction 0..1. The two volume bases differ by up to
 * 0.07 % vol and are never mixed.
 *
 * Errors: every function returns "no value" with a reason for NaN, infinity or out-of-range
 * input. Nothing here allocates, prints or reads a global.
 */
#ifndef LW_PHYSICS_ETHANOL_WATER_H
#define LW_PHYSICS_ETHANOL_WATER_H

#include "physics/value.h"

#define EW_TEMP_MIN_C      (-20.0) /* OIML R 22 range */
#define EW_TEMP_MAX_C      40.0    /* OIML R 22 range */
#define EW_GLASS_SODA_LIME 25e-6   /* cubic expansion per degC; two sources */
#define EW_GLASS_BORO      10e-6   /* borosilicate, cubic expansion per degC; from memory */
#define EW_GLASS_NONE      0.0     /* the reading is a true density already */
#define EW_MIX_PARTS_MAX   64u     /* most parts in one ew_mix_parts() call */
#define EW_FORMULA_NAME    "OIML R 22 (1975)"
#define EW_APPARENT_CAUTION                                                                        \
    "dissolved resin, oil, sugar or denaturant shifts the density; the strength read from it is "  \
    "only apparent"

/* --- density --------------------------------------------------------------------------------- */

/* Density, kg/m3. Range: mass_fraction 0..1, temp_c -20..40, at or above the freezing line of
 * ew_freezing_point_c() (below it part of the mixture is ice). Uncertainty: 0.005 kg/m3 agreement
 * with published tables is not a stated uncertainty; 0 = not stated. */
struct phys_value ew_density_kg_m3(double mass_fraction, double temp_c);

/* Same, with the strength as % by volume at 20 degC. */
struct phys_value ew_density_at_vol_percent_kg_m3(double vol_percent, double temp_c);

/* Density of absolute ethanol from an independent equation, kg/m3: Landolt-Boernstein, Group IV,
 * vol. 8G (2000), 191 K < T < 400 K. It lies 0.13 to 0.22 kg/m3 above R 22; for cross-checks only,
 * never mixed with R 22 in one calculation. */
struct phys_value ew_ethanol_density_landolt_kg_m3(double temp_c);

/* Freezing point, degC, of a mixture of vol_percent 0..78.2: Lange's Handbook of Chemistry, table
 * 5.13, linear between rows (rows above 46.3 % vol from memory). Of the published tables it is the
 * warmer one in the range of a freezer; they differ by up to 1.5 degC, the stated uncertainty.
 * Stronger: no value, the published points scatter, all far below any freezer. */
struct phys_value ew_freezing_point_c(double vol_percent);

/* Least % vol (20 degC) that stays liquid at temp_c, -51..0 degC, from the same table. */
struct phys_value ew_least_liquid_vol_percent(double temp_c);

/* --- strength conversions (all exact inverses of each other to 1e-9) ---------------------------
 */

struct phys_value ew_vol_percent_from_mass_fraction(double mass_fraction);
struct phys_value ew_mass_fraction_from_vol_percent(double vol_percent);
struct phys_value ew_us_proof_from_mass_fraction(double mass_fraction);
struct phys_value ew_mass_fraction_from_us_proof(double us_proof);
struct phys_value ew_mole_fraction_from_mass_fraction(double mass_fraction);
struct phys_value ew_mass_fraction_from_mole_fraction(double mole_fraction);
/* Mass concentration of ethanol at 20 degC, g/L. */
struct phys_value ew_ethanol_g_l(double mass_fraction);
/* Strength for UK duty: % vol rounded DOWN to one decimal (HMRC technical guide, section 11). */
struct phys_value ew_uk_duty_vol_percent(double vol_percent);

/* All of one strength at once. reason is NULL when every field holds. */
struct ew_strength {
    double mass_fraction;
    double mass_percent;
    double vol_percent;     /* 20 degC basis */
    double vol_percent_60f; /* 60 degF basis */
    double us_proof;
    double mole_fraction;
    double density_20_kg_m3;
    double ethanol_g_l; /* at 20 degC */
    const char *reason;
};
struct ew_strength ew_strength_of(double mass_fraction);

/* --- instruments ------------------------------------------------------------------------------ */

/* Mass fraction from a density, kg/m3, at temp_c (-20..40). glass_per_k: cubic expansion of the
 * hydrometer or pycnometer graduated at 20 degC (EW_GLASS_*): true density = reading *
 * (1 - glass_per_k * (temp_c - 20)). No value when the density is that of no liquid mixture. The
 * result carries EW_APPARENT_CAUTION wherever it is printed. */
struct phys_value ew_mass_fraction_from_density(double reading_kg_m3, double temp_c,
                                                double glass_per_k);

/* True % vol (20 degC) from an alcohol hydrometer graduated in % vol at 20 degC and read at temp_c.
 */
struct phys_value ew_vol_percent_from_hydrometer(double reading_vol_percent, double temp_c,
                                                 double glass_per_k);

/* True US proof from a proof hydrometer graduated at 60 degF and read at temp_f (27 CFR 30.61,
 * Table 1). */
struct phys_value ew_us_proof_from_hydrometer(double reading_proof, double temp_f,
                                              double glass_per_k);

/* True mass, kg, of a liquid of density density_kg_m3 from a balance reading in air
 * (air 1.2 kg/m3, weights 8000 kg/m3: OIML D 28 conventional values). */
struct phys_value ew_true_mass_kg(double balance_kg, double density_kg_m3);

/* Apparent density (mass in air per volume) of pharmacopoeia monographs, kg/m3. */
struct phys_value ew_apparent_density_kg_m3(double density_kg_m3);

/* --- mass and volume -------------------------------------------------------------------------- */

struct phys_value ew_mass_kg(double volume_l, double mass_fraction, double temp_c);
struct phys_value ew_volume_l(double mass_kg, double mass_fraction, double temp_c);
/* Volume at temp_to_c of what fills 1 L at temp_from_c. */
struct phys_value ew_volume_ratio(double mass_fraction, double temp_from_c, double temp_to_c);
/* Cubic expansion coefficient at temp_c, per degC (central difference of the density formula). */
struct phys_value ew_expansion_per_k(double mass_fraction, double temp_c);

/* --- mixing and dilution (by mass balance; never by adding volumes) ----------------------------
 */

struct ew_part {
    double mass_kg; /* 0 or more */
    double mass_fraction;
};

struct ew_mix {
    double mass_kg;
    double ethanol_kg;
    double water_kg;
    double mass_fraction;
    double vol_percent;
    double volume_20_l;
    double parts_volume_20_l; /* sum of the volumes of the parts at 20 degC */
    double contraction_l;     /* parts_volume_20_l - volume_20_l */
    const char *reason;       /* NULL = all fields hold */
};

/* Mixes count parts (1..EW_MIX_PARTS_MAX). Mass of ethanol and of water are conserved. */
struct ew_mix ew_mix_parts(const struct ew_part *parts, size_t count);

/* Liquid after fresh material of moisture_fraction (0..1, mass of water per mass of material) has
 * given all its water to spirit_kg of spirit: the weakest the steep can become. */
struct ew_mix ew_mix_fresh_material(double spirit_kg, double mass_fraction, double material_kg,
                                    double moisture_fraction);

struct ew_dilution {
    double stock_kg;
    double stock_l; /* at 20 degC */
    double water_kg;
    double water_l; /* at 20 degC */
    double product_kg;
    double product_l; /* at 20 degC */
    double contraction_l;
    const char *reason; /* NULL = all fields hold */
};

/* Dilutes from_vol_percent to to_vol_percent (0 < to <= from <= 100) with water.
 * have: the stock is given; want: the product is given. Litres are at 20 degC. */
struct ew_dilution ew_dilute_have_l(double from_vol_percent, double to_vol_percent, double have_l);
struct ew_dilution ew_dilute_want_l(double from_vol_percent, double to_vol_percent, double want_l);
struct ew_dilution ew_dilute_have_kg(double from_vol_percent, double to_vol_percent,
                                     double have_kg);
struct ew_dilution ew_dilute_want_kg(double from_vol_percent, double to_vol_percent,
                                     double want_kg);

/* --- filling ---------------------------------------------------------------------------------- */

/* Greatest fill, % of capacity, at filled_at_c so that the vessel is just liquid-full at
 * warmest_c; glass_per_k 0 ignores the vessel's own growth. No safety margin is in it. */
struct phys_value ew_greatest_fill_percent(double mass_fraction, double filled_at_c,
                                           double warmest_c, double glass_per_k);

/* Carriage rule UN Model Regulations / ADR 4.1.1.4, option (a): greatest degree of filling, % of
 * capacity at 15 degC, from the initial boiling point, degC. */
struct phys_value ew_transport_fill_percent(double boiling_point_c);

/* --- excise units ----------------------------------------------------------------------------- */

/* Litres of absolute alcohol at 20 degC. */
struct phys_value ew_laa_l_from_volume(double volume_l, double mass_fraction, double temp_c);
struct phys_value ew_laa_l_from_mass(double mass_kg, double mass_fraction);
/* US wine gallons at 60 degF and proof gallons (27 CFR 30: wine gallons at 60 degF x proof/100). */
struct phys_value ew_wine_gallons_from_mass(double mass_kg, double mass_fraction);
struct phys_value ew_proof_gallons_from_mass(double mass_kg, double mass_fraction);
struct phys_value ew_wine_gallons_from_volume(double volume_l, double mass_fraction, double temp_c);
struct phys_value ew_proof_gallons_from_volume(double volume_l, double mass_fraction,
                                               double temp_c);

#endif
