/* Fire classes: both sides of every boundary, bands, unknown boiling points. The classes of single
 * liquids are held in tests/published/fire_classes.csv. */
#include "unit.h"

#include "physics/ethanol_water.h"
#include "physics/fireclass.h"
#include "physics/flash.h"

static const double NOT_KNOWN = (double)NAN;

static void is(struct fire_class c, const char *token)
{
    ck_assert_ptr_nonnull(c.token);
    ck_assert_str_eq(c.token, token);
    ck_assert_ptr_nonnull(c.name);
    ck_assert_ptr_null(c.reason);
}

START_TEST(scheme_names)
{
    for (int i = 0; i < FIRE_SCHEME_COUNT; i++) {
        enum fire_scheme found = FIRE_SCHEME_COUNT;
        const char *token = fire_scheme_token((enum fire_scheme)i);
        ck_assert(fire_scheme_from_token(token, strlen(token), &found));
        ck_assert_int_eq(found, i);
        ck_assert_ptr_nonnull(fire_scheme_title((enum fire_scheme)i));
    }
    enum fire_scheme untouched = FIRE_GHS;
    ck_assert(!fire_scheme_from_token("nfp", 3, &untouched));
    ck_assert(!fire_scheme_from_token("nfpa30", 6, &untouched));
    ck_assert(!fire_scheme_from_token(NULL, 0, &untouched));
    ck_assert_int_eq(untouched, FIRE_GHS);
    ck_assert_ptr_null(fire_scheme_token(FIRE_SCHEME_COUNT));
    ck_assert_ptr_null(fire_scheme_title((enum fire_scheme)99));
}
END_TEST

/* Every liquid has exactly one class or none; rows never overlap, and their order is that of
 * falling hazard as the flash point rises. */
START_TEST(rows_do_not_overlap)
{
    static const double boils[] = {20, 34.9, 35, 36, 37.7, 37.8, 50, 78.3, 200};
    for (int s = 0; s < FIRE_SCHEME_COUNT; s++) {
        size_t count;
        const struct fire_row *rows = fireclass_rows((enum fire_scheme)s, &count);
        ck_assert_uint_gt(count, 2);
        for (size_t i = 0; i < count; i++) {
            ck_assert_int_eq((int)rows[i].scheme, s);
            ck_assert_ptr_nonnull(rows[i].words);
            ck_assert_ptr_nonnull(rows[i].citation);
            ck_assert_double_lt(rows[i].flash_from, rows[i].flash_to);
            ck_assert_double_lt(rows[i].boil_from, rows[i].boil_to);
        }
        for (size_t b = 0; b < LW_COUNT(boils); b++) {
            size_t before = 0;
            for (int f = -500; f <= 1500; f++) {
                struct fire_class c = fireclass_of((enum fire_scheme)s, f / 10.0, boils[b]);
                size_t at = 0;
                while (at < count && strcmp(rows[at].token, c.token) != 0)
                    at++;
                ck_assert_uint_ge(at, before);
                before = at;
            }
        }
    }
}
END_TEST

START_TEST(native_unit_at_the_boundary)
{
    /* 73 degF = 22.777... degC: the printed 22.8 is never used */
    is(fireclass_of(FIRE_NFPA, 22.777, 80), "IB");
    is(fireclass_of(FIRE_NFPA, 22.778, 80), "IC");
    is(fireclass_of(FIRE_NFPA, 22.79, 80), "IC");
    is(fireclass_of(FIRE_CANADA, 22.79, 80), "IB");
    is(fireclass_of(FIRE_CANADA, 22.8, 80), "IC");
    /* 100 degF, typed as a temperature in degF and converted, is on the line */
    is(fireclass_of(FIRE_NFPA, (100 - 32.0) * 5 / 9, 200), "II");
    is(fireclass_of(FIRE_NFPA, (100 - 32.0) * 5 / 9 - 1e-6, 200), "IC");
    is(fireclass_of(FIRE_OSHA, (73.4 - 32) * 5 / 9, 80), "3");
    is(fireclass_of(FIRE_OSHA, 22.99999, 80), "2");
    is(fireclass_of(FIRE_OSHA, (199.4 - 32) * 5 / 9, 250), "4");
    is(fireclass_of(FIRE_OSHA, 93.001, 250), "none");
    is(fireclass_of(FIRE_NFPA, (200 - 32.0) * 5 / 9, 250), "IIIB");
    /* within the relative tolerance of 1e-9 the liquid is on the line */
    is(fireclass_of(FIRE_GHS, 23 - 1e-9, 80), "3");
    is(fireclass_of(FIRE_GHS, 23 - 1e-6, 80), "2");
}
END_TEST

START_TEST(unknown_boiling_point)
{
    struct fire_class c = fireclass_of(FIRE_NFPA, -20, NOT_KNOWN);
    ck_assert_ptr_null(c.token);
    ck_assert_ptr_nonnull(strstr(c.reason, "boiling point"));
    is(fireclass_of(FIRE_NFPA, 12, NOT_KNOWN), "IB"); /* cannot boil below 100 degF */
    is(fireclass_of(FIRE_UN, 45, NOT_KNOWN), "III");
    is(fireclass_of(FIRE_GHS, 45, NOT_KNOWN), "3");
    struct fire_band band = fireclass_band(FIRE_NFPA, -20, 3, NOT_KNOWN);
    is(band.cautious, "IA");
    is(band.other, "IB");
    ck_assert(band.two_possible);
}
END_TEST

START_TEST(band_names_both_classes)
{
    struct phys_value flash = flash_ethanol_water_c(55);
    struct fire_band ghs = fireclass_band(FIRE_GHS, flash.value, flash.uncertainty, 80);
    is(ghs.cautious, "2");
    is(ghs.other, "3");
    ck_assert(ghs.two_possible);
    struct fire_band nfpa = fireclass_band(FIRE_NFPA, flash.value, flash.uncertainty, 80);
    is(nfpa.cautious, "IB");
    is(nfpa.other, "IC");
    flash = flash_ethanol_water_c(96);
    struct fire_band strong = fireclass_band(FIRE_GHS, flash.value, flash.uncertainty, 78);
    is(strong.cautious, "2");
    is(strong.other, "2");
    ck_assert(!strong.two_possible);
    struct fire_band exact = fireclass_band(FIRE_GHS, 23, 0, 80);
    is(exact.cautious, "3");
    ck_assert(!exact.two_possible);
}
END_TEST

START_TEST(calculated_flash_points)
{
    /* GHS 2.6.4.2, CLP Annex I 2.6.4: a margin of 5 K above the criterion */
    is(fireclass_of_calculated(FIRE_CLP, 26, 80), "2");
    is(fireclass_of_calculated(FIRE_CLP, 27.99, 80), "2");
    is(fireclass_of_calculated(FIRE_CLP, 28, 80), "3");
    is(fireclass_of_calculated(FIRE_CLP, 22, 80), "2");
    is(fireclass_of_calculated(FIRE_CLP, 23, 80), "2");
    is(fireclass_of_calculated(FIRE_CLP, 60, 200), "3");
    is(fireclass_of_calculated(FIRE_CLP, 62, 200), "3");
    is(fireclass_of_calculated(FIRE_CLP, 65, 200), "none");
    is(fireclass_of_calculated(FIRE_GHS, 64.9, 200), "3");
    is(fireclass_of_calculated(FIRE_GHS, 65, 200), "4");
    ck_assert_ptr_nonnull(fireclass_of_calculated(FIRE_NFPA, 26, 80).reason);
    ck_assert_ptr_nonnull(fireclass_of_calculated(FIRE_GHS, NOT_KNOWN, 80).reason);
}
END_TEST

START_TEST(hazard_codes)
{
    ck_assert_str_eq(fireclass_hazard_code(FIRE_CLP, "1"), "H224");
    ck_assert_str_eq(fireclass_hazard_code(FIRE_CLP, "2"), "H225");
    ck_assert_str_eq(fireclass_hazard_code(FIRE_CLP, "3"), "H226");
    ck_assert_str_eq(fireclass_hazard_code(FIRE_GHS, "4"), "H227");
    ck_assert_ptr_null(fireclass_hazard_code(FIRE_CLP, "4"));
    ck_assert_ptr_null(fireclass_hazard_code(FIRE_CLP, "none"));
    ck_assert_ptr_null(fireclass_hazard_code(FIRE_NFPA, "IB"));
    ck_assert_ptr_null(fireclass_hazard_code(FIRE_GHS, NULL));
    ck_assert_ptr_null(fireclass_hazard_code(FIRE_GHS, ""));
}
END_TEST

START_TEST(refusals)
{
    static const double bads[] = {(double)NAN, HUGE_VAL, -HUGE_VAL};
    for (size_t i = 0; i < LW_COUNT(bads); i++) {
        ck_assert_ptr_nonnull(fireclass_of(FIRE_GHS, bads[i], 80).reason);
        ck_assert_ptr_null(fireclass_of(FIRE_GHS, bads[i], 80).token);
        ck_assert_ptr_nonnull(fireclass_band(FIRE_GHS, bads[i], 3, 80).reason);
        ck_assert_ptr_nonnull(fireclass_band(FIRE_GHS, 20, bads[i], 80).reason);
    }
    ck_assert_ptr_nonnull(fireclass_of(FIRE_GHS, 20, HUGE_VAL).reason);
    ck_assert_ptr_nonnull(fireclass_band(FIRE_GHS, 20, -1, 80).reason);
    ck_assert_ptr_nonnull(fireclass_of((enum fire_scheme)77, 20, 80).reason);
    ck_assert_ptr_null(fireclass_band((enum fire_scheme)77, 20, 3, 80).cautious.token);
    size_t count = 9;
    ck_assert_ptr_null(fireclass_rows((enum fire_scheme)77, &count));
    ck_assert_uint_eq(count, 0);
}
END_TEST

UNIT_MAIN("physics: fire class", scheme_names, rows_do_not_overlap, native_unit_at_the_boundary,
          unknown_boiling_point, band_names_both_classes, calculated_flash_points, hazard_codes,
          refusals)
