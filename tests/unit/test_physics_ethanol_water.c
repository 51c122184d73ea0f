/* Ethanol-water: properties that must hold whatever the coefficients, refusals, and a few exact
 * values. The published tables are held in tests/published. */
#include "physics_bad.h"

#include "physics/constants.h"
#include "physics/ethanol_water.h"

static const double ROUND_TRIP = 1e-9;

START_TEST(strengths_round_trip)
{
    for (int i = 0; i <= 1000; i++) {
        const double p = i / 1000.0;
        double vol = ew_vol_percent_from_mass_fraction(p).value;
        double proof = ew_us_proof_from_mass_fraction(p).value;
        double mole = ew_mole_fraction_from_mass_fraction(p).value;
        ck_assert_double_eq_tol(ew_mass_fraction_from_vol_percent(vol).value, p, ROUND_TRIP);
        ck_assert_double_eq_tol(ew_mass_fraction_from_us_proof(proof).value, p, ROUND_TRIP);
        ck_assert_double_eq_tol(ew_mass_fraction_from_mole_fraction(mole).value, p, ROUND_TRIP);
    }
}
END_TEST

START_TEST(readings_round_trip)
{
    for (int i = 0; i <= 100; i++)
        for (int t = 0; t <= 40; t += 5) {
            const double p = i / 100.0;
            double rho = ew_density_kg_m3(p, t).value;
            ck_assert_double_eq_tol(ew_mass_fraction_from_density(rho, t, EW_GLASS_NONE).value, p,
                                    ROUND_TRIP);
        }
    /* at the temperature of graduation a hydrometer reads true */
    for (int vol = 0; vol <= 100; vol += 5) {
        ck_assert_double_eq_tol(ew_vol_percent_from_hydrometer(vol, 20, EW_GLASS_SODA_LIME).value,
                                vol, 1e-7);
        ck_assert_double_eq_tol(ew_us_proof_from_hydrometer(2 * vol, 60, EW_GLASS_SODA_LIME).value,
                                2 * vol, 1e-7);
    }
}
END_TEST

START_TEST(density_falls_with_strength)
{
    for (int t = -20; t <= 40; t++) {
        double before = HUGE_VAL;
        for (int i = 0; i <= 500; i++) {
            struct phys_value rho = ew_density_kg_m3(i / 500.0, t);
            if (!phys_has(rho))
                continue; /* frozen */
            ck_assert_double_lt(rho.value, before);
            before = rho.value;
        }
        ck_assert(isfinite(before));
    }
}
END_TEST

START_TEST(density_of_the_ends)
{
    /* coefficient A1 of OIML R 22; 789.24 is printed for absolute ethanol */
    ck_assert_double_eq_tol(ew_density_kg_m3(0, 20).value, 998.20123, 1e-5);
    ck_assert_double_eq_tol(ew_density_kg_m3(1, 20).value, 789.2391, 5e-4);
    ck_assert_double_eq_tol(ew_density_kg_m3(0, 4).value, 999.9688, 5e-4);
    ck_assert_double_eq_tol(ew_density_kg_m3(1, -20).value, 823.1202, 5e-4);
    ck_assert_double_eq_tol(ew_density_kg_m3(1, 40).value, 771.9323, 5e-4);
}
END_TEST

START_TEST(density_refuses)
{
    REFUSED(ew_density_kg_m3(0.5, -25));
    REFUSED(ew_density_kg_m3(0.5, -20.001));
    REFUSED(ew_density_kg_m3(0.5, 45));
    REFUSED(ew_density_kg_m3(0.5, 40.001));
    REFUSED(ew_density_kg_m3(-0.01, 20));
    REFUSED(ew_density_kg_m3(1.001, 20));
    REFUSED(ew_density_at_vol_percent_kg_m3(-1, 20));
    REFUSED(ew_density_at_vol_percent_kg_m3(100.1, 20));
    REFUSED_NOT_FINITE(ew_density_kg_m3(BAD, 20));
    REFUSED_NOT_FINITE(ew_density_kg_m3(0.5, BAD));
    REFUSED_NOT_FINITE(ew_ethanol_density_landolt_kg_m3(BAD));
    REFUSED(ew_ethanol_density_landolt_kg_m3(130));
    GIVEN(ew_density_kg_m3(0.5, -20));
    GIVEN(ew_density_kg_m3(0.5, 40));
}
END_TEST

START_TEST(density_stops_at_the_freezing_line)
{
    /* Lange's Handbook: 14.0 % vol freezes at -5 degC, 40.5 % vol at -23.6 degC */
    REFUSED(ew_density_kg_m3(0, -0.5));
    GIVEN(ew_density_kg_m3(0, 0));
    REFUSED(ew_density_at_vol_percent_kg_m3(13, -5));
    GIVEN(ew_density_at_vol_percent_kg_m3(15, -5));
    GIVEN(ew_density_at_vol_percent_kg_m3(40, -20));
    REFUSED(ew_density_at_vol_percent_kg_m3(35, -20));
    ck_assert_ptr_nonnull(strstr(ew_density_at_vol_percent_kg_m3(35, -20).reason, "ice"));
}
END_TEST

START_TEST(freezing_line)
{
    ck_assert_double_eq_tol(ew_freezing_point_c(14).value, -5, 1e-9);
    ck_assert_double_gt(ew_freezing_point_c(14).uncertainty, 1);
    for (int vol = 0; vol < 78; vol++) {
        double cold = ew_freezing_point_c(vol).value;
        ck_assert_double_ge(cold, ew_freezing_point_c(vol + 1).value);
        ck_assert_double_eq_tol(ew_least_liquid_vol_percent(cold).value, vol, 1e-9);
    }
    REFUSED(ew_freezing_point_c(90));
    REFUSED(ew_freezing_point_c(-1));
    REFUSED(ew_least_liquid_vol_percent(-60));
    REFUSED_NOT_FINITE(ew_freezing_point_c(BAD));
    REFUSED_NOT_FINITE(ew_least_liquid_vol_percent(BAD));
    /* a freezer at -25 degC: 40 % vol may freeze, 60 % vol does not */
    ck_assert_double_gt(ew_least_liquid_vol_percent(-25).value, 40);
    ck_assert_double_lt(ew_least_liquid_vol_percent(-25).value, 60);
}
END_TEST

START_TEST(strength_refuses)
{
    REFUSED(ew_mass_fraction_from_vol_percent(-1));
    REFUSED(ew_mass_fraction_from_vol_percent(100.1));
    REFUSED(ew_mass_fraction_from_us_proof(-0.1));
    REFUSED(ew_mass_fraction_from_us_proof(200.1));
    REFUSED(ew_vol_percent_from_mass_fraction(1.01));
    REFUSED(ew_mole_fraction_from_mass_fraction(-0.1));
    REFUSED(ew_mass_fraction_from_mole_fraction(1.1));
    REFUSED(ew_ethanol_g_l(2));
    REFUSED(ew_uk_duty_vol_percent(101));
    REFUSED_NOT_FINITE(ew_mass_fraction_from_vol_percent(BAD));
    REFUSED_NOT_FINITE(ew_mass_fraction_from_us_proof(BAD));
    REFUSED_NOT_FINITE(ew_vol_percent_from_mass_fraction(BAD));
    REFUSED_NOT_FINITE(ew_us_proof_from_mass_fraction(BAD));
    REFUSED_NOT_FINITE(ew_mole_fraction_from_mass_fraction(BAD));
    REFUSED_NOT_FINITE(ew_mass_fraction_from_mole_fraction(BAD));
    REFUSED_NOT_FINITE(ew_ethanol_g_l(BAD));
    REFUSED_NOT_FINITE(ew_uk_duty_vol_percent(BAD));
    ck_assert_ptr_nonnull(ew_strength_of(1.5).reason);
    ck_assert(isnan(ew_strength_of(1.5).vol_percent));
    ck_assert_ptr_nonnull(ew_strength_of((double)NAN).reason);
}
END_TEST

START_TEST(one_strength_agrees_with_itself)
{
    struct ew_strength s = ew_strength_of(0.938384); /* 96 % vol */
    ck_assert_ptr_null(s.reason);
    ck_assert_double_eq_tol(s.vol_percent, 96, 1e-4);
    ck_assert_double_eq_tol(s.us_proof, 191.990, 1e-3);
    ck_assert_double_eq_tol(s.us_proof, 2 * s.vol_percent_60f, 1e-12);
    ck_assert_double_eq_tol(s.mass_percent, 93.8384, 1e-9);
    ck_assert_double_eq_tol(s.density_20_kg_m3, 807.42, 0.005);
    ck_assert_double_eq_tol(s.ethanol_g_l, 757.67, 0.005);
    ck_assert_double_eq_tol(s.mole_fraction, 0.8562, 2e-4);
}
END_TEST

START_TEST(duty_strength_rounds_down)
{
    /* HMRC technical guide, section 11: 7.59 counts as 7.5 */
    ck_assert_double_eq_tol(ew_uk_duty_vol_percent(7.59).value, 7.5, 1e-12);
    ck_assert_double_eq_tol(ew_uk_duty_vol_percent(7.5).value, 7.5, 1e-12);
    ck_assert_double_eq_tol(ew_uk_duty_vol_percent(96.3).value, 96.3, 1e-12);
    ck_assert_double_eq_tol(ew_uk_duty_vol_percent(0.1 + 0.2).value, 0.3, 1e-12);
}
END_TEST

START_TEST(instruments_refuse)
{
    REFUSED(ew_mass_fraction_from_density(700, 20, 0));
    REFUSED(ew_mass_fraction_from_density(1005, 20, 0));
    REFUSED(ew_mass_fraction_from_density(900, 45, 0));
    REFUSED(ew_mass_fraction_from_density(900, -25, 0));
    REFUSED(ew_mass_fraction_from_density(900, 20, -1e-6));
    REFUSED(ew_mass_fraction_from_density(999, -10, 0)); /* would be ice */
    GIVEN(ew_mass_fraction_from_density(850, -10, 0));
    REFUSED(ew_vol_percent_from_hydrometer(101, 20, 0));
    GIVEN(ew_vol_percent_from_hydrometer(90, 0, 0));
    REFUSED(ew_vol_percent_from_hydrometer(100, 0, 0)); /* lighter than absolute at 0 degC */
    REFUSED(ew_us_proof_from_hydrometer(201, 60, 0));
    REFUSED(ew_us_proof_from_hydrometer(100, 110, 0));
    REFUSED_NOT_FINITE(ew_mass_fraction_from_density(BAD, 20, 0));
    REFUSED_NOT_FINITE(ew_mass_fraction_from_density(900, BAD, 0));
    REFUSED_NOT_FINITE(ew_mass_fraction_from_density(900, 20, BAD));
    REFUSED_NOT_FINITE(ew_vol_percent_from_hydrometer(BAD, 20, 0));
    REFUSED_NOT_FINITE(ew_us_proof_from_hydrometer(BAD, 60, 0));
    REFUSED_NOT_FINITE(ew_true_mass_kg(BAD, 800));
    REFUSED_NOT_FINITE(ew_true_mass_kg(1, BAD));
    REFUSED(ew_true_mass_kg(-1, 800));
    REFUSED(ew_true_mass_kg(1, 1.2));
    REFUSED(ew_apparent_density_kg_m3(10));
    REFUSED_NOT_FINITE(ew_apparent_density_kg_m3(BAD));
}
END_TEST

START_TEST(buoyancy)
{
    /* factors for 96 % vol, 70 % vol and water; computed from the conventional values */
    ck_assert_double_eq_tol(ew_true_mass_kg(1, 807.42).value, 1.00134, 1e-5);
    ck_assert_double_eq_tol(ew_true_mass_kg(1, 885.56).value, 1.00121, 1e-5);
    ck_assert_double_eq_tol(ew_true_mass_kg(1, 998.20).value, 1.00105, 1e-5);
}
END_TEST

START_TEST(mixing_conserves_mass)
{
    struct ew_part parts[] = {{0.8, 0.9384}, {1.7, 0.2}, {0.05, 0}, {0, 0.5}, {3, 1}};
    struct ew_mix mix = ew_mix_parts(parts, LW_COUNT(parts));
    double ethanol = 0, water = 0;
    for (size_t i = 0; i < LW_COUNT(parts); i++) {
        ethanol += parts[i].mass_kg * parts[i].mass_fraction;
        water += parts[i].mass_kg * (1 - parts[i].mass_fraction);
    }
    ck_assert_ptr_null(mix.reason);
    ck_assert_double_eq_tol(mix.ethanol_kg, ethanol, 1e-12);
    ck_assert_double_eq_tol(mix.water_kg, water, 1e-12);
    ck_assert_double_eq_tol(mix.mass_kg, ethanol + water, 1e-12);
    ck_assert_double_eq_tol(mix.mass_fraction * mix.mass_kg, ethanol, 1e-12);
    ck_assert_double_gt(mix.contraction_l, 0);
    ck_assert_double_eq_tol(mix.parts_volume_20_l - mix.contraction_l, mix.volume_20_l, 1e-12);
}
END_TEST

START_TEST(contraction_is_never_negative)
{
    double largest = 0;
    for (int i = 1; i < 100; i++) {
        /* i parts of absolute ethanol by volume and 100 - i of water */
        struct ew_part parts[] = {{ew_mass_kg(i, 1, 20).value, 1},
                                  {ew_mass_kg(100 - i, 0, 20).value, 0}};
        struct ew_mix mix = ew_mix_parts(parts, LW_COUNT(parts));
        ck_assert_double_gt(mix.contraction_l, 0);
        largest = fmax(largest, mix.contraction_l);
    }
    /* up to 3.55 % of the summed volumes, at 52 parts to 48 */
    ck_assert_double_eq_tol(largest, 3.55, 0.02);
}
END_TEST

START_TEST(fresh_material_weakens)
{
    double p = ew_mass_fraction_from_vol_percent(96).value;
    struct ew_mix same = ew_mix_fresh_material(1, p, 0.5, 0);
    ck_assert_double_eq_tol(same.vol_percent, 96, 1e-9);
    struct ew_mix mix = ew_mix_fresh_material(1, p, 0.5, 0.8);
    ck_assert_double_eq_tol(mix.mass_fraction, p / 1.4, 1e-12); /* 0.4 kg of water */
    ck_assert_double_lt(mix.vol_percent, 96);
    ck_assert_ptr_nonnull(ew_mix_fresh_material(1, p, 0.5, 1.2).reason);
    ck_assert_ptr_nonnull(ew_mix_fresh_material(1, p, (double)NAN, 0.5).reason);
    ck_assert_ptr_nonnull(ew_mix_fresh_material(1, p, -1, 0.5).reason);
}
END_TEST

START_TEST(mixing_refuses)
{
    struct ew_part bad[] = {{1, 0.5}, {-1, 0.5}};
    struct ew_part strong[] = {{1, 1.5}};
    struct ew_part nothing[] = {{0, 0.5}};
    struct ew_part nan[] = {{(double)NAN, 0.5}};
    ck_assert_ptr_nonnull(ew_mix_parts(bad, 2).reason);
    ck_assert_ptr_nonnull(ew_mix_parts(strong, 1).reason);
    ck_assert_ptr_nonnull(ew_mix_parts(nothing, 1).reason);
    ck_assert_ptr_nonnull(ew_mix_parts(nan, 1).reason);
    ck_assert_ptr_nonnull(ew_mix_parts(NULL, 1).reason);
    ck_assert_ptr_nonnull(ew_mix_parts(bad, 0).reason);
    ck_assert_ptr_nonnull(ew_mix_parts(bad, EW_MIX_PARTS_MAX + 1).reason);
    ck_assert(isnan(ew_mix_parts(bad, 2).mass_kg));
}
END_TEST

static void same_dilution(struct ew_dilution a, struct ew_dilution b)
{
    ck_assert_ptr_null(a.reason);
    ck_assert_ptr_null(b.reason);
    ck_assert_double_eq_tol(a.stock_kg, b.stock_kg, 1e-9);
    ck_assert_double_eq_tol(a.stock_l, b.stock_l, 1e-9);
    ck_assert_double_eq_tol(a.water_kg, b.water_kg, 1e-9);
    ck_assert_double_eq_tol(a.product_l, b.product_l, 1e-9);
    ck_assert_double_eq_tol(a.contraction_l, b.contraction_l, 1e-9);
}

START_TEST(dilution_both_ways)
{
    struct ew_dilution have = ew_dilute_have_l(96, 70, 2);
    same_dilution(have, ew_dilute_want_l(96, 70, have.product_l));
    same_dilution(have, ew_dilute_have_kg(96, 70, have.stock_kg));
    same_dilution(have, ew_dilute_want_kg(96, 70, have.product_kg));
    ck_assert_double_eq_tol(have.stock_l, 2, 1e-12);
    ck_assert_double_eq_tol(have.product_l, 2 * 96.0 / 70, 1e-9); /* ethanol is conserved */
    /* 1 L of 96 % to 70 %: 0.4071 kg of water, contraction 0.0364 L; independent calculation */
    ck_assert_double_eq_tol(have.water_kg / 2, 0.4071, 5e-5);
    ck_assert_double_eq_tol(have.contraction_l / 2, 0.0364, 5e-5);
    struct ew_dilution none = ew_dilute_have_l(70, 70, 1);
    ck_assert_double_eq_tol(none.water_kg, 0, 1e-12);
}
END_TEST

START_TEST(dilution_refuses)
{
    ck_assert_ptr_nonnull(ew_dilute_have_l(70, 96, 1).reason);
    ck_assert_ptr_nonnull(ew_dilute_have_l(96, 0, 1).reason);
    ck_assert_ptr_nonnull(ew_dilute_have_l(96, -1, 1).reason);
    ck_assert_ptr_nonnull(ew_dilute_have_l(100.1, 50, 1).reason);
    ck_assert_ptr_nonnull(ew_dilute_want_l(96, 70, -1).reason);
    ck_assert_ptr_nonnull(ew_dilute_want_kg((double)NAN, 70, 1).reason);
    ck_assert_ptr_nonnull(ew_dilute_have_kg(96, 70, HUGE_VAL).reason);
    ck_assert_ptr_nonnull(ew_dilute_have_l(100, 100.1, 1).reason);
    ck_assert_ptr_null(ew_dilute_have_l(0.4, 0.2, 1).reason);
    ck_assert_ptr_null(ew_dilute_have_l(100, 100, 1).reason);
    ck_assert(isnan(ew_dilute_have_l(70, 96, 1).water_kg));
}
END_TEST

START_TEST(filling)
{
    double p = ew_mass_fraction_from_vol_percent(96).value;
    ck_assert_double_eq_tol(ew_greatest_fill_percent(p, 20, 20, EW_GLASS_SODA_LIME).value, 100,
                            1e-9);
    double before = 0;
    for (int t = -20; t <= 40; t += 5) {
        double fill = ew_greatest_fill_percent(p, t, 40, EW_GLASS_NONE).value;
        ck_assert_double_gt(fill, before);
        before = fill;
    }
    REFUSED(ew_greatest_fill_percent(p, 20, 45, 0));
    REFUSED(ew_greatest_fill_percent(p, -25, 40, 0));
    REFUSED(ew_greatest_fill_percent(p, 30, 20, 0));
    REFUSED(ew_greatest_fill_percent(p, 20, 40, -1));
    REFUSED_NOT_FINITE(ew_greatest_fill_percent(BAD, 20, 40, 0));
    REFUSED_NOT_FINITE(ew_greatest_fill_percent(p, BAD, 40, 0));
    REFUSED_NOT_FINITE(ew_greatest_fill_percent(p, 20, BAD, 0));
    REFUSED_NOT_FINITE(ew_greatest_fill_percent(p, 20, 40, BAD));
    /* UN Model Regulations / ADR 4.1.1.4: boiling at 60 to below 100 degC, 92 % */
    ck_assert_double_eq(ew_transport_fill_percent(78.3).value, 92);
    ck_assert_double_eq(ew_transport_fill_percent(59.9).value, 90);
    ck_assert_double_eq(ew_transport_fill_percent(60).value, 92);
    ck_assert_double_eq(ew_transport_fill_percent(99.9).value, 92);
    ck_assert_double_eq(ew_transport_fill_percent(100).value, 94);
    ck_assert_double_eq(ew_transport_fill_percent(199.9).value, 94);
    ck_assert_double_eq(ew_transport_fill_percent(200).value, 96);
    ck_assert_double_eq(ew_transport_fill_percent(299.9).value, 96);
    ck_assert_double_eq(ew_transport_fill_percent(300).value, 98);
    REFUSED_NOT_FINITE(ew_transport_fill_percent(BAD));
}
END_TEST

START_TEST(volumes_and_duty_units)
{
    double p = ew_mass_fraction_from_vol_percent(96).value;
    double kg = ew_mass_kg(1.5, p, 5).value;
    ck_assert_double_eq_tol(ew_volume_l(kg, p, 5).value, 1.5, 1e-12);
    ck_assert_double_eq_tol(ew_laa_l_from_volume(1, p, 20).value, 0.96, 1e-9);
    ck_assert_double_eq_tol(ew_laa_l_from_mass(kg, p).value, ew_laa_l_from_volume(1.5, p, 5).value,
                            1e-12);
    /* 27 CFR 30: a wine gallon at 60 degF of 100 proof is one proof gallon */
    double half = ew_mass_fraction_from_us_proof(100).value;
    double gallon = PHYS_US_GALLON_L;
    ck_assert_double_eq_tol(ew_wine_gallons_from_volume(gallon, half, PHYS_SIXTY_F_C).value, 1,
                            1e-12);
    ck_assert_double_eq_tol(ew_proof_gallons_from_volume(gallon, half, PHYS_SIXTY_F_C).value, 1,
                            1e-9);
    REFUSED(ew_mass_kg(-1, p, 20));
    REFUSED(ew_volume_l(-1, p, 20));
    REFUSED(ew_laa_l_from_volume(1, p, 45));
    REFUSED(ew_laa_l_from_mass(1, 1.1));
    REFUSED(ew_wine_gallons_from_mass(-1, p));
    REFUSED(ew_proof_gallons_from_mass(1, -0.1));
    REFUSED(ew_proof_gallons_from_volume(1, p, -25));
    REFUSED(ew_volume_ratio(p, -25, 20));
    REFUSED(ew_volume_ratio(p, 20, 45));
    REFUSED(ew_expansion_per_k(p, 45));
    REFUSED_NOT_FINITE(ew_mass_kg(BAD, p, 20));
    REFUSED_NOT_FINITE(ew_volume_l(BAD, p, 20));
    REFUSED_NOT_FINITE(ew_laa_l_from_volume(1, BAD, 20));
    REFUSED_NOT_FINITE(ew_expansion_per_k(BAD, 20));
}
END_TEST

UNIT_MAIN("physics: ethanol-water", strengths_round_trip, readings_round_trip,
          density_falls_with_strength, density_of_the_ends, density_refuses,
          density_stops_at_the_freezing_line, freezing_line, strength_refuses,
          one_strength_agrees_with_itself, duty_strength_rounds_down, instruments_refuse, buoyancy,
          mixing_conserves_mass, contraction_is_never_negative, fresh_material_weakens,
          mixing_refuses, dilution_both_ways, dilution_refuses, filling, volumes_and_duty_units)
