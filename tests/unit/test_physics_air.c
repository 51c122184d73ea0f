/* Evaporation, room air and exposure limits: properties and refusals. */
#include "physics_bad.h"

#include "physics/constants.h"
#include "physics/evaporation.h"
#include "physics/exposure.h"
#include "physics/room_air.h"
#include "physics/vapour.h"

static const struct evap_source JAR = {.partial_kpa = 7.0,
                                       .molar_mass_g = PHYS_ETHANOL_G_MOL,
                                       .temp_c = 25,
                                       .area_m2 = 0.0079,
                                       .air_m_s = 0.25};

START_TEST(more_of_anything_evaporates_more)
{
    struct evap_source more = JAR;
    struct evap_estimate before = evap_surface(&JAR);
    ck_assert_ptr_null(before.reason);
    more.partial_kpa *= 1.1;
    struct evap_estimate after = evap_surface(&more);
    for (int i = 0; i < EVAP_MODEL_COUNT; i++)
        ck_assert_double_gt(after.rate_g_min[i].value, before.rate_g_min[i].value);
    more = JAR;
    more.area_m2 *= 2;
    after = evap_surface(&more);
    for (int i = 0; i < EVAP_MODEL_COUNT; i++)
        ck_assert_double_gt(after.rate_g_min[i].value, before.rate_g_min[i].value);
    more = JAR;
    more.air_m_s *= 1.5;
    after = evap_surface(&more);
    for (int i = 0; i < EVAP_MODEL_COUNT; i++)
        ck_assert_double_ge(after.rate_g_min[i].value, before.rate_g_min[i].value);
}
END_TEST

START_TEST(largest_is_the_largest)
{
    struct evap_estimate e = evap_surface(&JAR);
    for (int i = 0; i < EVAP_MODEL_COUNT; i++) {
        ck_assert_double_le(e.rate_g_min[i].value, e.largest_g_min);
        ck_assert_double_ge(e.rate_g_min[i].value, e.least_g_min);
        ck_assert_ptr_nonnull(evap_model_name((enum evap_model)i));
    }
    ck_assert_double_eq(e.rate_g_min[e.largest].value, e.largest_g_min);
    ck_assert_ptr_null(evap_model_name(EVAP_MODEL_COUNT));
}
END_TEST

START_TEST(still_air)
{
    struct evap_source still = JAR;
    still.air_m_s = 0;
    REFUSED(evap_rmp_g_min(&still));
    REFUSED(evap_mackay_g_min(&still));
    REFUSED(evap_oppt_g_min(&still));
    REFUSED(evap_oppt_transfer_g_min(&still));
    REFUSED(evap_oppt_penetration_g_min(&still));
    GIVEN(evap_crowl_g_min(&still));
    ck_assert_ptr_nonnull(evap_surface(&still).reason);
}
END_TEST

START_TEST(no_surface_gives_nothing)
{
    struct evap_source none = JAR;
    none.area_m2 = 0;
    struct evap_estimate e = evap_surface(&none);
    ck_assert_ptr_null(e.reason);
    ck_assert_double_eq(e.largest_g_min, 0);
}
END_TEST

START_TEST(high_volatility_correction)
{
    /* factor -ln(1 - p/P)/(p/P), 1.05 at 10 kPa; only above it */
    struct evap_source a = JAR, b = JAR;
    a.partial_kpa = 10;
    b.partial_kpa = 20;
    double share = 20 / 101.325;
    ck_assert_double_eq_tol(evap_mackay_g_min(&b).value / evap_mackay_g_min(&a).value,
                            2 * -log(1 - share) / share, 1e-9);
}
END_TEST

START_TEST(oppt_switches_at_100_feet_a_minute)
{
    struct evap_source slow = JAR, fast = JAR;
    slow.air_m_s = 100 * PHYS_FOOT_M / 60 - 1e-6;
    fast.air_m_s = 100 * PHYS_FOOT_M / 60 + 1e-6;
    ck_assert_double_eq(evap_oppt_g_min(&slow).value, evap_oppt_penetration_g_min(&slow).value);
    ck_assert_double_eq(evap_oppt_g_min(&fast).value, evap_oppt_transfer_g_min(&fast).value);
}
END_TEST

START_TEST(evaporation_refuses)
{
    const double values[] = {(double)NAN, HUGE_VAL, -1};
    REFUSED(evap_rmp_g_min(NULL));
    REFUSED(evap_crowl_g_min(NULL));
    ck_assert_ptr_nonnull(evap_surface(NULL).reason);
    for (size_t i = 0; i < LW_COUNT(values); i++) {
        double bad = values[i];
        struct evap_source s[] = {JAR, JAR, JAR, JAR, JAR, JAR, JAR, JAR};
        s[0].partial_kpa = bad;
        s[1].molar_mass_g = bad;
        s[2].temp_c = bad < 0 ? -25 : bad;
        s[3].area_m2 = bad;
        s[4].air_m_s = bad;
        s[5].diameter_m = bad;
        s[6].schmidt = bad;
        s[7].pressure_kpa = bad;
        for (size_t k = 0; k < LW_COUNT(s); k++) {
            REFUSED(evap_rmp_g_min(&s[k]));
            REFUSED(evap_crowl_g_min(&s[k]));
            REFUSED(evap_mackay_g_min(&s[k]));
            REFUSED(evap_oppt_g_min(&s[k]));
            ck_assert_ptr_nonnull(evap_surface(&s[k]).reason);
        }
    }
}
END_TEST

/* The last value of each range is taken, the next one is not. */
START_TEST(evaporation_ranges)
{
    static const struct {
        size_t offset;
        double low, high;
    } ranges[] = {
        {offsetof(struct evap_source, partial_kpa), 0, 80},
        {offsetof(struct evap_source, molar_mass_g), 18, 400},
        {offsetof(struct evap_source, temp_c), -20, 60},
        {offsetof(struct evap_source, area_m2), 0, 10000},
        {offsetof(struct evap_source, air_m_s), 0, 10},
        {offsetof(struct evap_source, diameter_m), 0, 100},
        {offsetof(struct evap_source, schmidt), 0, 10},
        {offsetof(struct evap_source, pressure_kpa), 50, 110},
    };
    for (size_t i = 0; i < LW_COUNT(ranges); i++) {
        const double values[] = {ranges[i].low, ranges[i].high, ranges[i].low - 0.001,
                                 ranges[i].high + 0.001};
        for (size_t k = 0; k < LW_COUNT(values); k++) {
            struct evap_source s = JAR;
            memcpy((char *)&s + ranges[i].offset, &values[k], sizeof values[k]);
            if (k < 2)
                GIVEN(evap_crowl_g_min(&s));
            else
                REFUSED(evap_crowl_g_min(&s));
        }
    }
    GIVEN(evap_spill_m2(1e6, 0.1));
    REFUSED(evap_spill_m2(1.001e6, 0.01));
    GIVEN(evap_spill_m2(1, 0.0005));
    REFUSED(evap_spill_m2(1, 0.000499));
    REFUSED(evap_spill_m2(1, 0.1001));
}
END_TEST

START_TEST(areas)
{
    ck_assert_double_eq_tol(evap_circle_m2(0.1).value, 0.00785398, 1e-8);
    ck_assert_double_eq_tol(evap_wet_paper_m2(0.1).value, 2 * 0.00785398, 1e-7);
    ck_assert_double_eq_tol(evap_funnel_m2(0.1).value, 3 * 0.00785398, 1e-7);
    ck_assert_double_eq_tol(evap_spill_m2(1, EVAP_SPILL_DEPTH_M).value, 0.1, 1e-12);
    REFUSED(evap_circle_m2(-1));
    REFUSED(evap_spill_m2(-1, 0.01));
    REFUSED(evap_spill_m2(1, 0));
    REFUSED_NOT_FINITE(evap_circle_m2(BAD));
    REFUSED_NOT_FINITE(evap_wet_paper_m2(BAD));
    REFUSED_NOT_FINITE(evap_funnel_m2(BAD));
    REFUSED_NOT_FINITE(evap_spill_m2(BAD, 0.01));
    REFUSED_NOT_FINITE(evap_spill_m2(1, BAD));
}
END_TEST

START_TEST(filling)
{
    double splash = evap_filling_g_l(7, PHYS_ETHANOL_G_MOL, 25, EVAP_PHI_SPLASH).value;
    double under = evap_filling_g_l(7, PHYS_ETHANOL_G_MOL, 25, EVAP_PHI_SUBMERGED).value;
    ck_assert_double_eq_tol(splash, 2 * under, 1e-12);
    ck_assert_double_eq_tol(evap_filling_g_min(&JAR, 1, 2).value,
                            2 * splash + evap_crowl_g_min(&JAR).value, 1e-12);
    REFUSED(evap_filling_g_l(7, 46, 25, 1.1));
    REFUSED(evap_filling_g_l(-7, 46, 25, 1));
    REFUSED(evap_filling_g_min(NULL, 1, 2));
    REFUSED(evap_filling_g_min(&JAR, 1, -2));
    REFUSED(evap_filling_g_min(&JAR, 2, 2));
    REFUSED(evap_grams_to_lel(-1, 3.3, 46, 20));
    REFUSED(evap_grams_to_lel(1, 101, 46, 20));
    REFUSED_NOT_FINITE(evap_filling_g_l(7, 46, 25, BAD));
    REFUSED_NOT_FINITE(evap_filling_g_min(&JAR, 1, BAD));
    REFUSED_NOT_FINITE(evap_grams_to_lel(BAD, 3.3, 46, 20));
}
END_TEST

/* --- room --------------------------------------------------------------------------------------
 */

static const struct room_air ROOM = {.volume_m3 = 30,
                                     .air_changes_h = 2,
                                     .mixing = 0.5,
                                     .source_g_min = 5,
                                     .source_min = HUGE_VAL,
                                     .start_g_m3 = 0};

START_TEST(rises_to_its_limit)
{
    double limit = room_steady_g_m3(&ROOM).value, before = -1;
    for (int t = 0; t <= 600; t += 10) {
        double now = room_g_m3(&ROOM, t).value;
        ck_assert_double_gt(now, before);
        ck_assert_double_lt(now, limit);
        before = now;
    }
    ck_assert_double_eq_tol(room_g_m3(&ROOM, 20000).value, limit, 1e-9);
    ck_assert_double_eq_tol(room_peak_g_m3(&ROOM).value, limit, 1e-12);
}
END_TEST

START_TEST(more_air_never_raises_the_vapour)
{
    for (int t = 0; t <= 300; t += 15) {
        double before = HUGE_VAL;
        for (int n = 0; n <= 60; n++) {
            struct room_air room = ROOM;
            room.air_changes_h = n / 3.0;
            room.source_min = 90;
            room.start_g_m3 = 3;
            double now = room_g_m3(&room, t).value;
            ck_assert_double_le(now, before);
            before = now;
        }
    }
    double needed = HUGE_VAL;
    for (int target = 1; target < 50; target++) {
        double air = room_air_needed_m3_h(5, target, 0.5).value;
        ck_assert_double_lt(air, needed);
        needed = air;
    }
}
END_TEST

START_TEST(mass_is_kept_without_ventilation)
{
    struct room_air closed = ROOM;
    closed.air_changes_h = 0;
    closed.source_min = 60;
    closed.start_g_m3 = 1;
    ck_assert_double_eq_tol(room_g_m3(&closed, 60).value, 1 + 300.0 / 30, 1e-12);
    ck_assert_double_eq_tol(room_g_m3(&closed, 500).value, 1 + 300.0 / 30, 1e-12);
    ck_assert_double_eq_tol(room_minutes_to(&closed, 6).value, 30, 1e-12);
    REFUSED(room_steady_g_m3(&closed));
    closed.source_min = HUGE_VAL;
    REFUSED(room_peak_g_m3(&closed));
}
END_TEST

START_TEST(time_to_a_level)
{
    struct room_air room = ROOM;
    room.source_min = 60;
    for (double target = 0.5; target < room_peak_g_m3(&room).value; target += 0.5) {
        double t = room_minutes_to(&room, target).value;
        ck_assert_double_eq_tol(room_g_m3(&room, t).value, target, 1e-9);
    }
    REFUSED(room_minutes_to(&room, room_peak_g_m3(&room).value + 0.01));
    ck_assert_double_eq(room_minutes_to(&room, 0).value, 0);
    room.source_g_min = 0;
    REFUSED(room_minutes_to(&room, 1));
    double purge = room_purge_min(&ROOM, 8, 2).value;
    room.start_g_m3 = 8;
    ck_assert_double_eq_tol(room_g_m3(&room, purge).value, 2, 1e-9);
    ck_assert_double_eq(room_purge_min(&ROOM, 1, 2).value, 0);
    REFUSED(room_purge_min(&ROOM, 2, 0));
}
END_TEST

START_TEST(air_needed_gives_the_target)
{
    double air = room_air_needed_m3_h(5, 4, 0.5).value;
    struct room_air room = ROOM;
    room.air_changes_h = air / room.volume_m3;
    ck_assert_double_eq_tol(room_steady_g_m3(&room).value, 4, 1e-9);
}
END_TEST

START_TEST(room_refuses)
{
    const double values[] = {(double)NAN, HUGE_VAL, -1};
    REFUSED(room_g_m3(NULL, 1));
    for (size_t i = 0; i < LW_COUNT(values); i++) {
        double bad = values[i];
        struct room_air r[] = {ROOM, ROOM, ROOM, ROOM, ROOM};
        r[0].volume_m3 = bad;
        r[1].air_changes_h = bad;
        r[2].mixing = bad;
        r[3].source_g_min = bad;
        r[4].start_g_m3 = bad;
        for (size_t k = 0; k < LW_COUNT(r); k++) {
            REFUSED(room_g_m3(&r[k], 1));
            REFUSED(room_steady_g_m3(&r[k]));
            REFUSED(room_peak_g_m3(&r[k]));
            REFUSED(room_minutes_to(&r[k], 1));
            REFUSED(room_purge_min(&r[k], 2, 1));
        }
        REFUSED(room_g_m3(&ROOM, bad));
        REFUSED(room_minutes_to(&ROOM, bad));
        REFUSED(room_purge_min(&ROOM, bad, 1));
        REFUSED(room_air_needed_m3_h(bad, 1, 1));
        REFUSED(room_air_needed_m3_h(1, bad, 1));
        REFUSED(room_air_needed_m3_h(1, 1, bad));
        REFUSED(room_vol_percent_from_g_m3(bad, 46, 25));
        REFUSED(room_g_m3_from_vol_percent(bad, 46, 25));
        REFUSED(room_closed_g_m3(bad, 30));
        REFUSED(room_closed_g_m3(1, bad));
        REFUSED(room_acgih_health_cfm(bad, 1, 46, 1000, 3));
        REFUSED(room_acgih_health_cfm(0.79, 1, 46, bad, 3));
        REFUSED(room_acgih_health_cfm(0.79, 1, 46, 1000, bad));
        REFUSED(room_acgih_fire_cfm(0.79, bad, 46, 3.3, 4, 1));
        REFUSED(room_acgih_fire_cfm(0.79, 1, 46, bad, 4, 1));
        REFUSED(room_acgih_fire_cfm(0.79, 1, 46, 3.3, bad, 1));
        REFUSED(room_acgih_fire_cfm(0.79, 1, 46, 3.3, 4, bad));
        REFUSED(room_osha_ft3_per_gallon(bad, 3.3));
        REFUSED(room_osha_ft3_per_gallon(55, bad));
    }
    struct room_air backwards = ROOM;
    backwards.source_min = -1;
    REFUSED(room_g_m3(&backwards, 1));
    backwards.source_min = (double)NAN;
    REFUSED(room_g_m3(&backwards, 1));
    REFUSED(room_vol_percent_from_g_m3(5000, 46, 25)); /* more than pure vapour */
}
END_TEST

/* The last value of each range is taken, the next one is not. */
START_TEST(room_ranges)
{
    static const struct {
        size_t offset;
        double low, high;
    } ranges[] = {
        {offsetof(struct room_air, volume_m3), 0.001, 1e5},
        {offsetof(struct room_air, air_changes_h), 0, 1000},
        {offsetof(struct room_air, mixing), 0.01, 1},
        {offsetof(struct room_air, source_g_min), 0, 1e6},
        {offsetof(struct room_air, start_g_m3), 0, 1e5},
    };
    for (size_t i = 0; i < LW_COUNT(ranges); i++) {
        const double values[] = {ranges[i].low, ranges[i].high, ranges[i].low - 0.0001,
                                 ranges[i].high + 0.0001};
        for (size_t k = 0; k < LW_COUNT(values); k++) {
            struct room_air room = ROOM;
            memcpy((char *)&room + ranges[i].offset, &values[k], sizeof values[k]);
            if (k < 2)
                GIVEN(room_g_m3(&room, 1));
            else
                REFUSED(room_g_m3(&room, 1));
        }
    }
    GIVEN(room_g_m3(&ROOM, 1e6));
    REFUSED(room_g_m3(&ROOM, 1.0001e6));
    GIVEN(room_acgih_health_cfm(0.79, 1, 46, 1000, 10));
    REFUSED(room_acgih_health_cfm(0.79, 1, 46, 1000, 10.1));
    GIVEN(room_acgih_fire_cfm(0.79, 1, 46, 3.3, 12, 0.7));
    REFUSED(room_acgih_fire_cfm(0.79, 1, 46, 3.3, 12.1, 1));
    REFUSED(room_acgih_fire_cfm(0.79, 1, 46, 3.3, 4, 0.69));
}
END_TEST

/* The average is held against the trapezium rule over the concentration itself; and by hand,
 * without ventilation, 2 g/min for 60 min into 20 m3 rises to 6 g/m3 and stays: over 480 min (60 x
 * 3 + 420 x 6) / 480 = 5.625. */
START_TEST(average_is_the_integral)
{
    struct room_air still = {.volume_m3 = 20, .mixing = 0.3, .source_g_min = 2, .source_min = 60};
    ck_assert_double_eq_tol(room_mean_g_m3(&still, 480).value, 5.625, 1e-12);
    const double changes[] = {0, 0.5, 4, 30};
    const double sources[] = {0, 20, 300, 480, 700};
    for (size_t i = 0; i < LW_COUNT(changes); i++)
        for (size_t k = 0; k < LW_COUNT(sources); k++) {
            struct room_air r = {.volume_m3 = 35,
                                 .air_changes_h = changes[i],
                                 .mixing = 0.3,
                                 .source_g_min = 3,
                                 .source_min = sources[k],
                                 .start_g_m3 = 0.2};
            const double span = 480;
            double from = sources[k] > span ? sources[k] - span : 0, sum = 0;
            enum { PARTS = 48000 };
            for (int n = 0; n < PARTS; n++) {
                double a = room_g_m3(&r, from + span * n / PARTS).value;
                double b = room_g_m3(&r, from + span * (n + 1) / PARTS).value;
                sum += (a + b) / 2 / PARTS;
            }
            GIVEN(room_mean_g_m3(&r, span));
            ck_assert_double_eq_tol(room_mean_g_m3(&r, span).value, sum, 1e-6 * sum + 1e-12);
        }
    REFUSED(room_mean_g_m3(&still, 0));
    REFUSED(room_mean_g_m3(NULL, 480));
    still.source_min = HUGE_VAL;
    REFUSED(room_mean_g_m3(&still, 480));
}
END_TEST

START_TEST(gas_units_round_trip)
{
    double g = room_g_m3_from_vol_percent(3.3, PHYS_ETHANOL_G_MOL, 20).value;
    ck_assert_double_eq_tol(g, 63.2, 0.05); /* 63.2 g/m3 at 20 degC for 3.3 vol % */
    ck_assert_double_eq_tol(room_vol_percent_from_g_m3(g, PHYS_ETHANOL_G_MOL, 20).value, 3.3,
                            1e-12);
}
END_TEST

START_TEST(exposure_table)
{
    size_t count;
    const struct exposure_limit *limits = exposure_limits(&count);
    ck_assert_uint_gt(count, 10);
    for (size_t i = 0; i < count; i++) {
        ck_assert_ptr_eq(exposure_find(limits[i].token, strlen(limits[i].token)), &limits[i]);
        ck_assert(!isnan(limits[i].ppm) || !isnan(limits[i].mg_m3));
        GIVEN(exposure_mg_m3(&limits[i], 25));
        /* where both are printed they agree to 3 % at 20 or 25 degC */
        if (!isnan(limits[i].ppm) && !isnan(limits[i].mg_m3)) {
            double mg = vap_mg_m3_from_ppm(limits[i].ppm, PHYS_ETHANOL_G_MOL, 22).value;
            ck_assert_double_lt(fabs(mg / limits[i].mg_m3 - 1), 0.03);
        }
    }
    ck_assert_double_eq(exposure_find("osha-pel", 8)->ppm, 1000); /* NIOSH 1994 */
    ck_assert_double_eq(exposure_find("niosh-idlh", 10)->ppm, 3300);
    ck_assert_ptr_null(exposure_find("osha", 4));
    ck_assert_ptr_null(exposure_find(NULL, 0));
    REFUSED(exposure_mg_m3(NULL, 20));
    REFUSED(exposure_mg_m3(exposure_find("niosh-idlh", 10), (double)NAN));
}
END_TEST

UNIT_MAIN("physics: evaporation and room air", more_of_anything_evaporates_more,
          largest_is_the_largest, still_air, no_surface_gives_nothing, high_volatility_correction,
          oppt_switches_at_100_feet_a_minute, evaporation_refuses, evaporation_ranges, areas,
          filling, rises_to_its_limit, more_air_never_raises_the_vapour,
          mass_is_kept_without_ventilation, time_to_a_level, air_needed_gives_the_target,
          room_refuses, room_ranges, average_is_the_integral, gas_units_round_trip, exposure_table)
