/* Flash points, flammable band, bounds for mixtures. */
#include "physics_bad.h"

#include "physics/constants.h"
#include "physics/ethanol_water.h"
#include "physics/flash.h"
#include "physics/vapour.h"

static double x_of_vol(double vol_percent)
{
    double p = ew_mass_fraction_from_vol_percent(vol_percent).value;
    return ew_mole_fraction_from_mass_fraction(p).value;
}

START_TEST(pure_ethanol_gives_back_its_flash_point)
{
    for (double pure = 10; pure < 20; pure += 0.37)
        ck_assert_double_eq_tol(flash_ethanol_water_model_c(1, pure).value, pure, 1e-9);
}
END_TEST

START_TEST(flash_falls_with_strength)
{
    double model = HUGE_VAL, used = HUGE_VAL;
    for (int i = 40; i <= 1000; i++) {
        const double vol = i / 10.0;
        double m = flash_ethanol_water_model_c(x_of_vol(vol), FLASH_PURE_CAUTIOUS_C).value;
        double u = flash_ethanol_water_c(vol).value;
        ck_assert_double_lt(m, model);
        ck_assert_double_lt(u, used);
        ck_assert_double_le(u, m);
        model = m;
        used = u;
    }
}
END_TEST

START_TEST(never_above_the_list)
{
    for (int vol = 5; vol <= 100; vol++)
        ck_assert_double_le(flash_ethanol_water_c(vol).value,
                            flash_ethanol_water_list_c(vol).value);
    ck_assert_double_eq_tol(flash_ethanol_water_list_c(55).value, 23, 1e-9);
}
END_TEST

START_TEST(stated_uncertainty)
{
    ck_assert_double_eq(flash_ethanol_water_c(20).uncertainty, 3);
    ck_assert_double_eq(flash_ethanol_water_c(19.9).uncertainty, 5);
    ck_assert_double_eq(flash_ethanol_water_c(96).uncertainty, 3);
}
END_TEST

START_TEST(mass_fraction_form_agrees)
{
    for (int vol = 5; vol <= 100; vol += 5) {
        double p = ew_mass_fraction_from_vol_percent(vol).value;
        ck_assert_double_eq_tol(flash_ethanol_water_at_mass_fraction_c(p).value,
                                flash_ethanol_water_c(vol).value, 1e-6);
    }
}
END_TEST

START_TEST(strength_at_a_flash_point)
{
    for (double c = 12.5; c < 60; c += 1.3) {
        double vol = flash_vol_percent_at_c(c).value;
        ck_assert_double_eq_tol(flash_ethanol_water_c(vol).value, c, 1e-9);
    }
    REFUSED(flash_vol_percent_at_c(5));
    REFUSED(flash_vol_percent_at_c(90));
    REFUSED_NOT_FINITE(flash_vol_percent_at_c(BAD));
}
END_TEST

START_TEST(flash_refuses)
{
    REFUSED(flash_ethanol_water_c(-1));
    REFUSED(flash_ethanol_water_c(0));
    REFUSED(flash_ethanol_water_c(3.9));
    REFUSED(flash_ethanol_water_c(100.1));
    REFUSED(flash_ethanol_water_list_c(4.9));
    REFUSED(flash_ethanol_water_list_c(100.1));
    REFUSED(flash_ethanol_water_model_c(0, 12));
    REFUSED(flash_ethanol_water_model_c(0.001, 12)); /* would be above 80 degC */
    REFUSED(flash_ethanol_water_model_c(1.1, 12));
    REFUSED(flash_ethanol_water_model_c(0.5, 30));
    REFUSED(flash_ethanol_water_at_mass_fraction_c(1.1));
    REFUSED_NOT_FINITE(flash_ethanol_water_c(BAD));
    REFUSED_NOT_FINITE(flash_ethanol_water_list_c(BAD));
    REFUSED_NOT_FINITE(flash_ethanol_water_model_c(BAD, 12));
    REFUSED_NOT_FINITE(flash_ethanol_water_model_c(0.5, BAD));
    REFUSED_NOT_FINITE(flash_ethanol_water_at_mass_fraction_c(BAD));
}
END_TEST

/* The last value of each range is taken, the next one is not. */
START_TEST(flash_ranges)
{
    GIVEN(flash_ethanol_water_model_c(0.9, 5));
    REFUSED(flash_ethanol_water_model_c(0.9, 4.99));
    GIVEN(flash_ethanol_water_model_c(0.9, 20));
    REFUSED(flash_ethanol_water_model_c(0.9, 20.01));
    GIVEN(flash_reading_at_pressure_c(20, 70));
    REFUSED(flash_reading_at_pressure_c(20, 69.9));
    GIVEN(flash_reading_at_pressure_c(20, 105));
    REFUSED(flash_reading_at_pressure_c(20, 105.1));
    GIVEN(flash_lel_vol_percent(0.1, -20));
    REFUSED(flash_lel_vol_percent(0.0999, 20));
    GIVEN(flash_uel_vol_percent(60, 100));
    REFUSED(flash_uel_vol_percent(60.1, 25));
    REFUSED(flash_uel_vol_percent(19, 100.1));
    GIVEN(flash_ethanol_water_c(4));
    GIVEN(flash_ethanol_water_c(100));
}
END_TEST

START_TEST(pressure_of_the_day)
{
    ck_assert_double_eq_tol(flash_reading_at_pressure_c(20, 101.3).value, 20, 1e-12);
    ck_assert_double_eq_tol(flash_reading_at_pressure_c(20, 97.3).value, 19, 1e-12);
    REFUSED(flash_reading_at_pressure_c(20, 50));
    REFUSED_NOT_FINITE(flash_reading_at_pressure_c(BAD, 100));
    REFUSED_NOT_FINITE(flash_reading_at_pressure_c(20, BAD));
}
END_TEST

START_TEST(limits_move_with_temperature)
{
    ck_assert_double_eq_tol(flash_lel_vol_percent(3.3, 25).value, 3.3, 1e-12);
    ck_assert_double_eq_tol(flash_uel_vol_percent(19, 25).value, 19, 1e-12);
    for (int t = -20; t < 100; t++) {
        ck_assert_double_gt(flash_lel_vol_percent(3.3, t).value,
                            flash_lel_vol_percent(3.3, t + 1).value);
        ck_assert_double_lt(flash_uel_vol_percent(19, t).value,
                            flash_uel_vol_percent(19, t + 1).value);
    }
    REFUSED(flash_lel_vol_percent(3.3, -25));
    REFUSED(flash_lel_vol_percent(0, 25));
    REFUSED(flash_uel_vol_percent(80, 25));
    REFUSED_NOT_FINITE(flash_lel_vol_percent(BAD, 25));
    REFUSED_NOT_FINITE(flash_uel_vol_percent(19, BAD));
}
END_TEST

START_TEST(band_is_where_the_state_changes)
{
    for (int vol = 10; vol <= 100; vol += 10) {
        const double x = x_of_vol(vol);
        struct flash_band low =
            flash_flammable_band(x, FLASH_LEL_CAUTIOUS, FLASH_UEL, PHYS_ATM_KPA);
        struct flash_band us = flash_flammable_band(x, FLASH_LEL_US, FLASH_UEL, PHYS_ATM_KPA);
        ck_assert_ptr_null(low.lower_c.reason);
        ck_assert_ptr_null(us.upper_c.reason);
        /* the lower figure of the limit trips no later */
        ck_assert_double_lt(low.lower_c.value, us.lower_c.value);
        const double a = low.lower_c.value, b = us.lower_c.value, c = us.upper_c.value;
        ck_assert_int_eq(flash_headspace_state(x, a - 0.01, PHYS_ATM_KPA), FLASH_HEADSPACE_LEAN);
        ck_assert_int_eq(flash_headspace_state(x, (a + b) / 2, PHYS_ATM_KPA),
                         FLASH_HEADSPACE_BORDERLINE);
        ck_assert_int_eq(flash_headspace_state(x, b + 0.01, PHYS_ATM_KPA),
                         FLASH_HEADSPACE_FLAMMABLE);
        ck_assert_int_eq(flash_headspace_state(x, c - 0.01, PHYS_ATM_KPA),
                         FLASH_HEADSPACE_FLAMMABLE);
        ck_assert_int_eq(flash_headspace_state(x, c + 0.01, PHYS_ATM_KPA), FLASH_HEADSPACE_RICH);
        ck_assert_double_eq_tol(
            flash_headspace_percent_of_lel(x, b, FLASH_LEL_US, PHYS_ATM_KPA).value, 100, 1e-6);
        /* flash point above the temperature that reaches the limit, and by no more than 4 K */
        double flash = flash_ethanol_water_model_c(x, FLASH_PURE_CAUTIOUS_C).value;
        ck_assert_double_gt(flash, a);
        ck_assert_double_lt(flash, a + 4);
    }
}
END_TEST

START_TEST(band_refuses)
{
    struct flash_band none = flash_flammable_band(0, 3.3, 19, PHYS_ATM_KPA);
    REFUSED(none.lower_c);
    REFUSED(none.upper_c);
    struct flash_band weak = flash_flammable_band(0.005, 3.3, 19, PHYS_ATM_KPA);
    REFUSED(weak.upper_c); /* boils first */
    struct flash_band bad = flash_flammable_band(0.5, (double)NAN, HUGE_VAL, PHYS_ATM_KPA);
    REFUSED(bad.lower_c);
    REFUSED(bad.upper_c);
    REFUSED(flash_flammable_band((double)NAN, 3.3, 19, PHYS_ATM_KPA).lower_c);
    REFUSED(flash_flammable_band(0.5, 3.3, 19, 20).lower_c);
    REFUSED(flash_headspace_percent_of_lel(0.5, -25, 3.3, PHYS_ATM_KPA));
    REFUSED(flash_headspace_percent_of_lel(0.5, 20, (double)NAN, PHYS_ATM_KPA));
    ck_assert_int_eq(flash_headspace_state(0.5, -25, PHYS_ATM_KPA), FLASH_HEADSPACE_UNKNOWN);
    ck_assert_int_eq(flash_headspace_state((double)NAN, 20, PHYS_ATM_KPA), FLASH_HEADSPACE_UNKNOWN);
    for (int s = FLASH_HEADSPACE_UNKNOWN; s <= FLASH_HEADSPACE_RICH; s++)
        ck_assert_ptr_nonnull(flash_headspace_text((enum flash_headspace)s));
}
END_TEST

static const double NOT_KNOWN = (double)NAN;

START_TEST(bound_of_a_mixture)
{
    struct flash_part ethanol = {0.8, 12, 78.3}, limonene = {0.1, 48, 178},
                      oil = {0.1, 60, NOT_KNOWN};
    struct flash_part one[] = {ethanol};
    struct flash_part two[] = {ethanol, limonene};
    struct flash_part three[] = {limonene, ethanol, oil};
    ck_assert_double_eq_tol(flash_mixture_bound_c(one, 1).value, 12, 1e-12);
    double b2 = flash_mixture_bound_c(two, 2).value;
    double b3 = flash_mixture_bound_c(three, 3).value;
    ck_assert_double_lt(b2, 12);
    ck_assert_double_gt(b2, 6);
    ck_assert_double_lt(b3, b2); /* every part lowers the bound */
    ck_assert_double_eq_tol(flash_mixture_lowest_c(three, 3).value, 12, 1e-12);
    struct flash_part trace[] = {{0.02, 12, 78.3}, {0.9, 60, 200}};
    ck_assert_double_eq_tol(flash_mixture_lowest_c(trace, 2).value, 60, 1e-12);
    ck_assert_double_lt(flash_mixture_bound_c(trace, 2).value, 12);
}
END_TEST

/* Two equal liquids that do not mix: each gives half of the limit, so the bound is where one alone
 * has half of its pressure at its flash point (Clausius-Clapeyron, Trouton 88 J/mol K). */
START_TEST(bound_of_two_equal_liquids)
{
    struct flash_part two[] = {{0.5, 20, 80}, {0.5, 20, 80}};
    double heat = 88 * (80 + 273.15);
    double expected = 1 / (1 / 293.15 + log(2) * 8.314462618 / heat) - 273.15;
    ck_assert_double_eq_tol(flash_mixture_bound_c(two, 2).value, expected, 1e-6);
}
END_TEST

START_TEST(bound_is_found_in_every_range)
{
    /* as many parts as allowed, boiling points unknown, from the lowest to the highest flash */
    for (double flash = -80; flash <= 400; flash += 40) {
        struct flash_part many[FLASH_PARTS_MAX];
        for (size_t i = 0; i < FLASH_PARTS_MAX; i++)
            many[i] = (struct flash_part){1.0 / FLASH_PARTS_MAX, flash, NOT_KNOWN};
        double bound = flash_mixture_bound_c(many, FLASH_PARTS_MAX).value;
        /* 27 kJ/mol, the heat of diethyl ether, where nothing is known */
        double expected =
            1 / (1 / (flash + 273.15) + log(FLASH_PARTS_MAX) * 8.314462618 / 27000) - 273.15;
        ck_assert_double_eq_tol(bound, expected, 1e-6);
    }
}
END_TEST

START_TEST(five_per_cent_governs)
{
    struct flash_part at[] = {{0.05, 12, 78.3}, {0.9, 60, 200}};
    struct flash_part below[] = {{0.0499, 12, 78.3}, {0.9, 60, 200}};
    ck_assert_double_eq_tol(flash_mixture_lowest_c(at, 2).value, 12, 1e-12);
    ck_assert_double_eq_tol(flash_mixture_lowest_c(below, 2).value, 60, 1e-12);
}
END_TEST

START_TEST(mixture_refuses)
{
    struct flash_part good[] = {{0.5, 20, 80}};
    struct flash_part nan_flash[] = {{0.5, NOT_KNOWN, 80}};
    struct flash_part inf_boil[] = {{0.5, 20, HUGE_VAL}};
    struct flash_part none[] = {{0, 20, 80}};
    struct flash_part cold[] = {{0.5, -90, 80}};
    struct flash_part boils[] = {{0.5, 20, 5}};
    struct flash_part much[] = {{0.7, 20, 80}, {0.7, 20, 80}};
    struct flash_part little[] = {{0.01, 20, 80}};
    REFUSED(flash_mixture_bound_c(NULL, 1));
    REFUSED(flash_mixture_bound_c(good, 0));
    REFUSED(flash_mixture_bound_c(good, FLASH_PARTS_MAX + 1));
    REFUSED(flash_mixture_bound_c(nan_flash, 1));
    REFUSED(flash_mixture_bound_c(inf_boil, 1));
    REFUSED(flash_mixture_bound_c(none, 1));
    REFUSED(flash_mixture_bound_c(cold, 1));
    REFUSED(flash_mixture_bound_c(boils, 1));
    REFUSED(flash_mixture_bound_c(much, 2));
    REFUSED(flash_mixture_lowest_c(little, 1));
    REFUSED(flash_mixture_lowest_c(NULL, 1));
}
END_TEST

UNIT_MAIN("physics: flash point", pure_ethanol_gives_back_its_flash_point,
          flash_falls_with_strength, never_above_the_list, stated_uncertainty,
          mass_fraction_form_agrees, strength_at_a_flash_point, flash_refuses, flash_ranges,
          pressure_of_the_day, limits_move_with_temperature, band_is_where_the_state_changes,
          band_refuses, bound_of_a_mixture, bound_of_two_equal_liquids,
          bound_is_found_in_every_range, five_per_cent_governs, mixture_refuses)
