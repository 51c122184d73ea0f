/* Vapour pressures, activity coefficients, boiling points, headspace. */
#include "physics_bad.h"

#include "physics/constants.h"
#include "physics/vapour.h"

START_TEST(pure_pressures_rise)
{
    for (int t = -100; t < 240; t++)
        ck_assert_double_lt(vap_ethanol_kpa(t).value, vap_ethanol_kpa(t + 1).value);
    for (int t = 1; t < 373; t++)
        ck_assert_double_lt(vap_water_kpa(t).value, vap_water_kpa(t + 1).value);
    /* two equations of ethanol agree to 1 % in a workroom and to 5 % in a freezer */
    for (int t = -20; t <= 80; t++) {
        double share = vap_ethanol_dippr_kpa(t).value / vap_ethanol_kpa(t).value - 1;
        ck_assert_double_lt(fabs(share), t < -10 ? 0.05 : 0.01);
    }
}
END_TEST

START_TEST(pure_ranges)
{
    GIVEN(vap_ethanol_kpa(-114));
    REFUSED(vap_ethanol_kpa(-115));
    GIVEN(vap_ethanol_kpa(240));
    REFUSED(vap_ethanol_kpa(241));
    REFUSED(vap_ethanol_dippr_kpa(300));
    REFUSED(vap_water_kpa(-0.1));
    GIVEN(vap_water_kpa(0.01));
    REFUSED(vap_water_kpa(400));
    REFUSED_NOT_FINITE(vap_ethanol_kpa(BAD));
    REFUSED_NOT_FINITE(vap_ethanol_dippr_kpa(BAD));
    REFUSED_NOT_FINITE(vap_water_kpa(BAD));
}
END_TEST

START_TEST(uncertainty_grows_in_the_cold)
{
    struct phys_value warm = vap_ethanol_kpa(20), cool = vap_ethanol_kpa(-5),
                      cold = vap_ethanol_kpa(-18);
    ck_assert_double_eq_tol(warm.uncertainty / warm.value, 0.01, 1e-12);
    ck_assert_double_eq_tol(cool.uncertainty / cool.value, 0.02, 1e-12);
    ck_assert_double_eq_tol(cold.uncertainty / cold.value, 0.05, 1e-12);
    struct phys_value fitted = vap_ethanol_partial_kpa(0.5, 20);
    struct phys_value carried = vap_ethanol_partial_kpa(0.5, 19.9);
    ck_assert_double_eq_tol(fitted.uncertainty / fitted.value, 0.03, 1e-12);
    ck_assert_double_eq_tol(carried.uncertainty / carried.value, 0.10, 1e-12);
    ck_assert_double_eq(vap_ethanol_kpa(80.1).uncertainty, 0); /* not stated there */
    ck_assert_double_eq_tol(vap_ethanol_kpa(-10.1).uncertainty / vap_ethanol_kpa(-10.1).value, 0.05,
                            1e-12);
    ck_assert_ptr_null(vap_model_note(20));
    ck_assert_ptr_nonnull(vap_model_note(4));
}
END_TEST

START_TEST(activity_at_the_ends)
{
    for (int t = -20; t <= 100; t += 10) {
        ck_assert_double_eq_tol(vap_gamma_ethanol(1, t).value, 1, 1e-12);
        ck_assert_double_eq_tol(vap_gamma_water(0, t).value, 1, 1e-12);
        ck_assert_double_gt(vap_gamma_ethanol(0, t).value, 3);
        ck_assert_double_eq_tol(vap_ethanol_partial_kpa(1, t).value, vap_ethanol_kpa(t).value,
                                1e-12);
        ck_assert_double_eq(vap_ethanol_partial_kpa(0, t).value, 0);
    }
}
END_TEST

/* Gibbs-Duhem: x1 dln g1/dx1 + x2 dln g2/dx1 = 0 at one temperature. A slip in either expression
 * breaks it. */
START_TEST(activity_obeys_gibbs_duhem)
{
    const double step = 1e-5;
    for (int i = 1; i < 20; i++)
        for (int t = 0; t <= 80; t += 20) {
            const double x = i / 20.0;
            double d1 = log(vap_gamma_ethanol(x + step, t).value) -
                        log(vap_gamma_ethanol(x - step, t).value);
            double d2 =
                log(vap_gamma_water(x + step, t).value) - log(vap_gamma_water(x - step, t).value);
            ck_assert_double_eq_tol((x * d1 + (1 - x) * d2) / (2 * step), 0, 1e-6);
        }
}
END_TEST

START_TEST(partial_pressure_rises_with_strength_and_heat)
{
    for (int t = -20; t <= 80; t += 10)
        for (int i = 0; i < 100; i++)
            ck_assert_double_lt(vap_ethanol_partial_kpa(i / 100.0, t).value,
                                vap_ethanol_partial_kpa((i + 1) / 100.0, t).value);
    for (int t = -20; t < 80; t++)
        ck_assert_double_lt(vap_ethanol_partial_kpa(0.3, t).value,
                            vap_ethanol_partial_kpa(0.3, t + 1).value);
    /* no activity exceeds 1 */
    for (int i = 1; i <= 100; i++)
        ck_assert_double_le(vap_ethanol_partial_kpa(i / 100.0, 25).value,
                            vap_ethanol_kpa(25).value * (1 + 1e-12));
}
END_TEST

START_TEST(mixture_ranges)
{
    REFUSED(vap_gamma_ethanol(0.5, -25));
    REFUSED(vap_gamma_ethanol(0.5, 102));
    REFUSED(vap_gamma_water(1.1, 20));
    REFUSED(vap_ethanol_partial_kpa(-0.1, 20));
    REFUSED(vap_ethanol_partial_kpa(0.5, -20.1));
    REFUSED(vap_water_partial_kpa(0.5, -5));
    REFUSED(vap_total_kpa(0.5, -5));
    REFUSED_NOT_FINITE(vap_gamma_ethanol(BAD, 20));
    REFUSED_NOT_FINITE(vap_gamma_water(0.5, BAD));
    REFUSED_NOT_FINITE(vap_ethanol_partial_kpa(0.5, BAD));
    REFUSED_NOT_FINITE(vap_water_partial_kpa(BAD, 20));
    REFUSED_NOT_FINITE(vap_total_kpa(BAD, 20));
}
END_TEST

START_TEST(headspace)
{
    double kpa = vap_ethanol_partial_kpa(0.8, 20).value;
    ck_assert_double_eq_tol(vap_headspace_vol_percent(0.8, 20, PHYS_ATM_KPA).value,
                            100 * kpa / PHYS_ATM_KPA, 1e-12);
    /* less air above, more of it is vapour */
    ck_assert_double_gt(vap_headspace_vol_percent(0.8, 20, 80).value,
                        vap_headspace_vol_percent(0.8, 20, 101).value);
    GIVEN(vap_headspace_vol_percent(0.8, -18, PHYS_ATM_KPA));
    REFUSED(vap_headspace_vol_percent(1, 80, PHYS_ATM_KPA)); /* boils at 78.3 degC */
    REFUSED(vap_headspace_vol_percent(0.8, 20, 40));
    REFUSED(vap_headspace_vol_percent(0.8, 20, 120));
    REFUSED_NOT_FINITE(vap_headspace_vol_percent(0.8, 20, BAD));
    REFUSED_NOT_FINITE(vap_headspace_vol_percent(BAD, 20, 100));
}
END_TEST

START_TEST(boiling_points)
{
    for (int i = 0; i <= 20; i++)
        for (int p = 60; p <= 100; p += 10) {
            const double x = i / 20.0;
            struct vap_bubble b = vap_bubble_point(x, p);
            ck_assert_ptr_null(b.reason);
            ck_assert_double_eq_tol(vap_total_kpa(x, b.temp_c).value, p, 1e-9);
            ck_assert_double_ge(b.vapour_mole_fraction, 0);
            ck_assert_double_le(b.vapour_mole_fraction, 1 + 1e-12);
            ck_assert_double_lt(b.temp_c, vap_bubble_point(x, p + 2).temp_c);
        }
    ck_assert_double_eq_tol(vap_boiling_point_c(0, PHYS_ATM_KPA).value, 100, 0.1);
    ck_assert_double_gt(vap_boiling_point_c(0.5, PHYS_ATM_KPA).uncertainty, 0);
    REFUSED(vap_boiling_point_c(0.5, 30));
    REFUSED(vap_boiling_point_c(1.5, 100));
    REFUSED_NOT_FINITE(vap_boiling_point_c(BAD, 100));
    REFUSED_NOT_FINITE(vap_boiling_point_c(0.5, BAD));
    ck_assert(isnan(vap_bubble_point(0.5, 30).temp_c));
}
END_TEST

START_TEST(altitude)
{
    /* ISO 2533, Standard Atmosphere: 89.875 kPa at 1000 m, 79.495 kPa at 2000 m (from memory) */
    ck_assert_double_eq_tol(vap_pressure_at_altitude_kpa(0).value, 101.325, 1e-9);
    ck_assert_double_eq_tol(vap_pressure_at_altitude_kpa(1000).value, 89.875, 0.01);
    ck_assert_double_eq_tol(vap_pressure_at_altitude_kpa(2000).value, 79.495, 0.01);
    GIVEN(vap_boiling_point_c(0.8, vap_pressure_at_altitude_kpa(5000).value));
    GIVEN(vap_boiling_point_c(0.8, vap_pressure_at_altitude_kpa(-200).value));
    REFUSED(vap_pressure_at_altitude_kpa(6000));
    REFUSED(vap_pressure_at_altitude_kpa(-300));
    REFUSED_NOT_FINITE(vap_pressure_at_altitude_kpa(BAD));
}
END_TEST

START_TEST(gas_units)
{
    /* 24.055, 24.465 L/mol at 20 and 25 degC */
    ck_assert_double_eq_tol(vap_molar_volume_l(20, PHYS_ATM_KPA).value, 24.055, 1e-3);
    ck_assert_double_eq_tol(vap_molar_volume_l(25, PHYS_ATM_KPA).value, 24.465, 1e-3);
    double mg = vap_mg_m3_from_ppm(1234, PHYS_ETHANOL_G_MOL, 25).value;
    ck_assert_double_eq_tol(vap_ppm_from_mg_m3(mg, PHYS_ETHANOL_G_MOL, 25).value, 1234, 1e-9);
    ck_assert_double_eq_tol(vap_relative_density(0).value, 1, 1e-12);
    REFUSED(vap_relative_density(101));
    REFUSED(vap_mg_m3_from_ppm(-1, 46, 25));
    REFUSED(vap_mg_m3_from_ppm(2e6, 46, 25));
    REFUSED(vap_mg_m3_from_ppm(1, 0, 25));
    REFUSED(vap_ppm_from_mg_m3(1, 46, -100));
    REFUSED(vap_molar_volume_l(20, 10));
    REFUSED_NOT_FINITE(vap_molar_volume_l(BAD, 100));
    REFUSED_NOT_FINITE(vap_mg_m3_from_ppm(BAD, 46, 25));
    REFUSED_NOT_FINITE(vap_ppm_from_mg_m3(1, BAD, 25));
    REFUSED_NOT_FINITE(vap_relative_density(BAD));
}
END_TEST

UNIT_MAIN("physics: vapour", pure_pressures_rise, pure_ranges, uncertainty_grows_in_the_cold,
          activity_at_the_ends, activity_obeys_gibbs_duhem,
          partial_pressure_rises_with_strength_and_heat, mixture_ranges, headspace, boiling_points,
          altitude, gas_units)
