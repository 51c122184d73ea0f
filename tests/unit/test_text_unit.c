#include "unit.h"

#include "text/unit.h"

static const struct quantity_context plain = {UNITS_UNDECLARED, NUMBER_EITHER, false};
static const struct quantity_context us = {UNITS_US, NUMBER_EITHER, false};

static void is(const struct quantity_context *ctx, enum dimension dim, const char *s, double value,
               const char *unit)
{
    struct quantity q = quantity_parse(s, dim, ctx);
    ck_assert_msg(q.status == QUANTITY_OK, "'%s': %s", s, q.why);
    ck_assert_msg(fabs(q.value - value) <= 1e-12 * fabs(value), "'%s' is %.17g", s, q.value);
    ck_assert_str_eq(q.unit, unit);
}

/* NIST SP 811 (2008), appendix B.8: factors with seven figures, SI units; written from memory and
 * equal to those of scipy.constants 1.10 where it has them (gallon, fluid ounce, pound, ounce,
 * grain, inch, foot; imperial too). */
START_TEST(nist_sp_811_factors)
{
    static const struct {
        const char *unit, *si;
        double per_si, factor;
    } rows[] = {
        {"gal-us", "m3", 1, 3.785412e-3},
        {"gal-imp", "m3", 1, 4.546090e-3},
        {"qt-us", "m3", 1, 9.463529e-4},
        {"pt-us", "m3", 1, 4.731765e-4},
        {"fl-oz-us", "m3", 1, 2.957353e-5},
        {"fl-oz-imp", "m3", 1, 2.841306e-5},
        {"lb", "kg", 1, 4.535924e-1},
        {"oz", "kg", 1, 2.834952e-2},
        {"grain", "kg", 1, 6.479891e-5},
        {"ft", "m", 1, 3.048e-1},
        {"in", "m", 1, 2.54e-2},
        {"ft2", "m2", 1, 9.290304e-2},
        {"in2", "m2", 1, 6.4516e-4},
        {"ft3", "m3", 1, 2.831685e-2},
        {"cfm", "m3/h", 3600, 4.719474e-4},
        {"ft/min", "m/s", 1, 5.08e-3},
        {"t", "kg", 1, 1e3},
        {"L/s", "m3/h", 3600, 1e-3},
        {"g/cm3", "kg/m3", 1, 1e3},
        {"day", "s", 1, 8.64e4},
        {"h", "s", 1, 3.6e3},
        {"L", "m3", 1, 1e-3},
    };
    for (size_t i = 0; i < LW_COUNT(rows); i++) {
        double v = 0, want = rows[i].factor * rows[i].per_si;
        ck_assert_msg(unit_convert(1, rows[i].unit, rows[i].si, &v), "%s", rows[i].unit);
        ck_assert_msg(fabs(v - want) <= 5.5e-7 * want, "%s: %.17g", rows[i].unit, v);
    }
}
END_TEST

/* The definitions themselves. US gallon: 231 cubic inches (27 CFR 7.10 "Gallon"); inch 2.54 cm;
 * quart, pint and fluid ounce its quarter, eighth and 128th. Imperial: 4.54609 L, fluid ounce its
 * 160th. Pound 0.45359237 kg, ounce its sixteenth, grain its 7000th. */
START_TEST(definitions)
{
    double gal_us = 231 * 2.54 * 2.54 * 2.54 / 1000, gal_imp = 4.54609, lb = 453.59237;
    is(&plain, DIM_VOLUME, "1 gal us", gal_us, "gal-us");
    is(&plain, DIM_VOLUME, "1 qt us", gal_us / 4, "qt-us");
    is(&plain, DIM_VOLUME, "1 pt us", gal_us / 8, "pt-us");
    is(&plain, DIM_VOLUME, "1 fl oz us", gal_us / 128, "fl-oz-us");
    is(&plain, DIM_VOLUME, "1 gal imp", gal_imp, "gal-imp");
    is(&plain, DIM_VOLUME, "1 qt imp", gal_imp / 4, "qt-imp");
    is(&plain, DIM_VOLUME, "1 pt imp", gal_imp / 8, "pt-imp");
    is(&plain, DIM_VOLUME, "1 fl oz imp", gal_imp / 160, "fl-oz-imp");
    is(&plain, DIM_MASS, "1 lb", lb, "lb");
    is(&plain, DIM_MASS, "1 oz", lb / 16, "oz");
    is(&plain, DIM_MASS, "1 grain", lb / 7000, "grain");
    is(&plain, DIM_SPACE, "1 ft3", 0.3048 * 0.3048 * 0.3048, "ft3");
    is(&plain, DIM_AREA, "1 ft2", 0.3048 * 0.3048, "ft2");
    is(&plain, DIM_FLOW, "1 cfm", 0.3048 * 0.3048 * 0.3048 * 60, "cfm");
    /* 5 gal = 18.927 L, 1 qt = 946.353 mL, 16 fl oz = 473.176 mL, 60 gal = 227.125 L */
    ck_assert_double_eq_tol(quantity_parse("5 gal", DIM_VOLUME, &us).value, 18.927, 5e-4);
    ck_assert_double_eq_tol(quantity_parse("1 qt", DIM_VOLUME, &us).value, 0.946353, 5e-7);
    ck_assert_double_eq_tol(quantity_parse("16 fl oz", DIM_VOLUME, &us).value, 0.473176, 5e-7);
    ck_assert_double_eq_tol(quantity_parse("60 gal", DIM_VOLUME, &us).value, 227.125, 5e-4);
}
END_TEST

START_TEST(conversions)
{
    double v;
    ck_assert(unit_convert(60, "degF", "degC", &v));
    ck_assert_double_eq_tol(v, 15.5556, 5e-5);
    ck_assert(unit_convert(100, "degC", "degF", &v));
    ck_assert_double_eq_tol(v, 212, 1e-12);
    ck_assert(unit_convert(0, "K", "degF", &v));
    ck_assert_double_eq_tol(v, -459.67, 1e-9);
    ck_assert(unit_convert(1, "gal-us", "qt-us", &v));
    ck_assert_double_eq_tol(v, 4, 1e-15);
    ck_assert(unit_convert(1, "gal-imp", "fl-oz-imp", &v));
    ck_assert_double_eq_tol(v, 160, 1e-12);
    ck_assert(unit_convert(1, "m3", "ft3", &v));
    ck_assert_double_eq_tol(v, 35.31467, 5e-6); /* NIST Handbook 44, appendix C, from memory */
    ck_assert(unit_convert(1, "ft3", "L", &v));
    ck_assert_double_eq_tol(v, 28.316846592, 1e-12);
    ck_assert(unit_convert(1, "ft3", "gal-us", &v));
    ck_assert_double_eq_tol(v, 1728.0 / 231.0, 1e-12); /* cubic inches in each */
    ck_assert(unit_convert(12.7, "percent", "percent", &v) && v == 12.7);
    ck_assert(unit_convert(0.1, "gal-us", "gal-us", &v) && v == 0.1);
    ck_assert(unit_convert(2, "day", "h", &v) && v == 48);
    ck_assert(!unit_convert(1, "gal", "L", &v));
    ck_assert(!unit_convert(1, "g", "L", &v));
    ck_assert(!unit_convert(1, "oz", "fl-oz-us", &v));
    ck_assert(!unit_convert(1, "%vol", "%mas", &v));
    ck_assert(!unit_convert(1, "proof-us", "%vol", &v));
    ck_assert(!unit_convert(1, "furlong", "m", &v));
    ck_assert(!unit_convert(1, NULL, "m", &v));
    ck_assert(!unit_convert(1, "m", NULL, &v));
}
END_TEST

START_TEST(dimension_names)
{
    enum dimension dim;
    for (int i = DIM_NONE; i <= DIM_AMOUNT; i++) {
        ck_assert(dimension_from_name(dimension_name((enum dimension)i), &dim));
        ck_assert_int_eq(dim, i);
        ck_assert_str_ne(dimension_examples((enum dimension)i), "");
    }
    ck_assert(!dimension_from_name("weight", &dim));
    ck_assert(!dimension_from_name(NULL, &dim));
    ck_assert_str_eq(dimension_unit(DIM_MASS), "g");
    ck_assert(unit_known("qt-us", &dim) && dim == DIM_VOLUME);
    ck_assert(unit_known("ft3", &dim) && dim == DIM_SPACE);
    ck_assert(unit_known("min", NULL));
    ck_assert(!unit_known("gal", &dim));
    ck_assert(!unit_known("", &dim));
    ck_assert(!unit_known(NULL, &dim));
}
END_TEST

/* A unit's canonical name reads as itself, and back and forth gives the number again. */
START_TEST(canonical_names_read_as_themselves)
{
    static const char *const names[] = {
        "g",        "kg",       "mg",     "t",         "lb",     "oz",    "grain",  "uL",
        "mL",       "cL",       "L",      "m3",        "gal-us", "qt-us", "pt-us",  "fl-oz-us",
        "gal-imp",  "qt-imp",   "pt-imp", "fl-oz-imp", "degC",   "degF",  "K",      "m",
        "cm",       "mm",       "in",     "ft",        "m2",     "cm2",   "in2",    "ft2",
        "ft3",      "s",        "min",    "h",         "day",    "week",  "%vol",   "%mas",
        "proof-us", "kg/m3",    "g/mL",   "g/cm3",     "kg/L",   "m3/h",  "m3/min", "L/s",
        "cfm",      "per-hour", "m/s",    "ft/min",    "count"};
    for (size_t i = 0; i < LW_COUNT(names); i++) {
        enum dimension dim;
        char s[40];
        double v;
        ck_assert_msg(unit_known(names[i], &dim), "%s", names[i]);
        snprintf(s, sizeof s, "3 %s", names[i]);
        struct quantity q = quantity_parse(s, dim, &plain);
        ck_assert_msg(q.status == QUANTITY_OK, "%s: %s", s, q.why);
        ck_assert_str_eq(q.unit, names[i]);
        const char *base = dimension_unit(dim);
        if (dim != DIM_STRENGTH) {
            ck_assert_msg(unit_convert(q.value, base, names[i], &v), "%s", names[i]);
            ck_assert_double_eq_tol(v, 3, 1e-12);
        }
    }
}
END_TEST

START_TEST(currencies)
{
    static const char *const some[] = {"AED", "CHF", "EUR", "GBP", "INR", "JPY", "USD", "ZWG"};
    for (size_t i = 0; i < LW_COUNT(some); i++)
        ck_assert_str_eq(currency_code(some[i]), some[i]);
    ck_assert_ptr_null(currency_code("AAA"));
    ck_assert_ptr_null(currency_code("ZZZ"));
    ck_assert_ptr_null(currency_code("XXX")); /* "no currency" */
    ck_assert_ptr_null(currency_code("usd"));
    ck_assert_ptr_null(currency_code(""));
    is(&plain, DIM_MONEY, "9,90 EUR", 9.9, "EUR");
    is(&plain, DIM_MONEY, "9.90 USD", 9.9, "USD");
}
END_TEST

UNIT_MAIN("text/unit", nist_sp_811_factors, definitions, conversions, dimension_names,
          canonical_names_read_as_themselves, currencies)
