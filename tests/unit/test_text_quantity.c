#include "unit.h"

#include "text/quantity.h"
#include "text/utf8.h"

#undef setlocale /* banned in the program; here it must be shown to change nothing */

static const struct quantity_context plain = {UNITS_UNDECLARED, NUMBER_EITHER, false};
static const struct quantity_context us = {UNITS_US, NUMBER_EITHER, false};
static const struct quantity_context imperial = {UNITS_IMPERIAL, NUMBER_EITHER, false};
static const struct quantity_context liquid = {UNITS_UNDECLARED, NUMBER_EITHER, true};

static void is(const struct quantity_context *ctx, enum dimension dim, const char *s, double value,
               const char *unit)
{
    struct quantity q = quantity_parse(s, dim, ctx);
    ck_assert_msg(q.status == QUANTITY_OK, "'%s': %s", s, q.why);
    ck_assert_msg(fabs(q.value - value) <= 1e-12 * fabs(value), "'%s' is %.17g", s, q.value);
    ck_assert_str_eq(q.unit, unit);
}

/* Refused; the reason and the hint must hold these words. */
static void no(const struct quantity_context *ctx, enum dimension dim, const char *s,
               const char *why, const char *hint)
{
    struct quantity q = quantity_parse(s, dim, ctx);
    ck_assert_msg(q.status == QUANTITY_ERROR, "'%s' is taken as %g %s", s, q.value, q.unit);
    ck_assert_msg(strstr(q.why, why) != NULL, "'%s': why is '%s'", s, q.why);
    ck_assert_msg(strstr(q.hint, hint) != NULL, "'%s': hint is '%s'", s, q.hint);
}

START_TEST(short_metric_numbers_are_rounded_once)
{
    ck_assert(quantity_parse("35 mg", DIM_MASS, &plain).value == 0.035);
    ck_assert(quantity_parse("250 mL", DIM_VOLUME, &plain).value == 0.25);
    ck_assert(quantity_parse("0.7 kg", DIM_MASS, &plain).value == 700.0);
    ck_assert(quantity_parse("3.3 L", DIM_VOLUME, &plain).value == 3.3);
    ck_assert(quantity_parse("1 gal imp", DIM_VOLUME, &plain).value == 4.54609);
    ck_assert(quantity_parse("1 gal us", DIM_VOLUME, &plain).value == 3.785411784);
}
END_TEST

START_TEST(spellings)
{
    is(&plain, DIM_MASS, "400g", 400, "g");
    is(&plain, DIM_MASS, "1,2 Kg", 1200, "kg");
    is(&plain, DIM_MASS, "2 LBS", 2 * 453.59237, "lb");
    is(&plain, DIM_MASS, "8 oz. av.", 8 * 28.349523125, "oz");
    is(&plain, DIM_VOLUME, "1.5 Litres", 1.5, "L");
    is(&plain, DIM_VOLUME, "1\xC2\xA0L", 1, "L");
    is(&plain, DIM_VOLUME, "250 \xC2\xB5L", 250e-6, "uL");
    is(&plain, DIM_VOLUME, "250 \xCE\xBCL", 250e-6, "uL");
    is(&plain, DIM_VOLUME, "10 cc", 0.01, "mL");
    is(&plain, DIM_VOLUME, "2 US quarts", 2 * 0.946352946, "qt-us");
    is(&plain, DIM_VOLUME, "2 quarts (U.S.)", 2 * 0.946352946, "qt-us");
    is(&plain, DIM_VOLUME, "2 imperial pints", 2 * 0.56826125, "pt-imp");
    is(&plain, DIM_VOLUME, "2 UK fl. oz.", 2 * 0.0284130625, "fl-oz-imp");
    is(&plain, DIM_VOLUME, "2 qt-us", 2 * 0.946352946, "qt-us");
    is(&us, DIM_VOLUME, "2 GAL", 2 * 3.785411784, "gal-us");
    is(&imperial, DIM_VOLUME, "2 gallons", 2 * 4.54609, "gal-imp");
    is(&imperial, DIM_VOLUME, "2 gal us", 2 * 3.785411784, "gal-us"); /* the nearer word wins */
    is(&plain, DIM_VOLUME, "\xC2\xBD pt us", 0.473176473 / 2, "pt-us");
    is(&plain, DIM_AREA, "4 sq. ft.", 4 * 0.09290304, "ft2");
    is(&plain, DIM_AREA, "4 m\xC2\xB2", 4, "m2");
    is(&plain, DIM_AREA, "4 m^2", 4, "m2");
    is(&plain, DIM_SPACE, "30 m\xC2\xB3", 30, "m3");
    is(&plain, DIM_SPACE, "100 L", 0.1, "L");
    is(&plain, DIM_SPACE, "1000 cu ft", 28.316846592, "ft3");
    is(&plain, DIM_LENGTH, "10 feet", 3.048, "ft");
    is(&plain, DIM_TIME, "6 wk", 60480, "week");
    is(&plain, DIM_TIME, "28 d", 40320, "day");
    is(&plain, DIM_TIME, "90 sec", 1.5, "s");
    is(&plain, DIM_AIR_CHANGES, "6 ACH", 6, "per-hour");
    is(&plain, DIM_AIR_CHANGES, "6 /h", 6, "per-hour");
    is(&plain, DIM_AIR_CHANGES, "6/h", 6, "per-hour");
    is(&plain, DIM_AIR_CHANGES, "6 1/h", 6, "per-hour");
    is(&plain, DIM_SPEED, "100 fpm", 0.508, "ft/min");
    is(&plain, DIM_FLOW, "10 L/s", 36, "L/s");
    is(&plain, DIM_DENSITY, "0.8114 g/mL", 811.4, "g/mL");
    is(&plain, DIM_COUNT, "12", 12, "count");
    is(&plain, DIM_COUNT, "12 pcs", 12, "count");
    is(&plain, DIM_NONE, "12", 12, "");
    is(NULL, DIM_MASS, "1 g", 1, "g");
}
END_TEST

START_TEST(temperatures)
{
    is(&plain, DIM_TEMPERATURE, "20 degC", 20, "degC");
    is(&plain, DIM_TEMPERATURE,
       "-18 \xC2\xB0"
       "C",
       -18, "degC");
    is(&plain, DIM_TEMPERATURE,
       "\xE2\x88\x92"
       "18\xC2\xB0"
       "C",
       -18, "degC");
    is(&plain, DIM_TEMPERATURE, "20 \xE2\x84\x83", 20, "degC");
    is(&plain, DIM_TEMPERATURE, "20 C", 20, "degC");
    is(&plain, DIM_TEMPERATURE, "212 degF", 100, "degF");
    is(&plain, DIM_TEMPERATURE, "32 F", 0, "degF");
    is(&plain, DIM_TEMPERATURE, "-40 degrees F", -40, "degF");
    is(&plain, DIM_TEMPERATURE,
       "68 \xC2\xB0"
       "F",
       20, "degF");
    is(&plain, DIM_TEMPERATURE, "273.15 K", 0, "K");
    /* 60 degF, the US gauging temperature, is 15.5556 degC */
    ck_assert_double_eq_tol(quantity_parse("60 degF", DIM_TEMPERATURE, &plain).value, 15.5556,
                            5e-5);
    ck_assert_double_eq_tol(quantity_parse("60.0 degF", DIM_TEMPERATURE, &plain).resolution,
                            0.05 * 5 / 9, 1e-12);
    no(&plain, DIM_TEMPERATURE, "-274 degC", "absolute zero", "20 degC");
    no(&plain, DIM_TEMPERATURE, "-1 K", "absolute zero", "");
    no(&plain, DIM_TEMPERATURE, "20", "no unit", "type 20 degC or 20 degF");
    no(&plain, DIM_TEMPERATURE, "20 deg", "Celsius or Fahrenheit", "degC or degF");
    no(&plain, DIM_TEMPERATURE, "20 c", "not a known unit", "did you mean 20 degC?");
}
END_TEST

START_TEST(strengths_keep_their_basis)
{
    is(&plain, DIM_STRENGTH, "95 %vol", 95, "%vol");
    is(&plain, DIM_STRENGTH, "95 % vol.", 95, "%vol");
    is(&plain, DIM_STRENGTH, "95% v/v", 95, "%vol");
    is(&plain, DIM_STRENGTH, "95 % ABV", 95, "%vol");
    is(&plain, DIM_STRENGTH, "92,4 %mas", 92.4, "%mas");
    is(&plain, DIM_STRENGTH, "92.4 % w/w", 92.4, "%mas");
    is(&plain, DIM_STRENGTH, "190 proof", 190, "proof-us");
    is(&plain, DIM_STRENGTH, "190\xC2\xB0 proof", 190, "proof-us");
    is(&imperial, DIM_STRENGTH, "190 proof us", 190, "proof-us");
    is(&plain, DIM_STRENGTH, "0 %vol", 0, "%vol");
    is(&plain, DIM_STRENGTH, "100 %vol", 100, "%vol");
    is(&plain, DIM_STRENGTH, "200 proof", 200, "proof-us");
    no(&plain, DIM_STRENGTH, "95 %", "per cent of what", "%vol");
    no(&plain, DIM_STRENGTH, "95", "no unit", "type 95 %vol, 95 %mas or 95 proof");
    no(&plain, DIM_STRENGTH, "100.1 %vol", "between 0 and 100", "%vol");
    no(&plain, DIM_STRENGTH, "201 proof", "between 0 and 200", "");
    no(&plain, DIM_STRENGTH, "-1 %vol", "between 0 and 100", "");
    no(&imperial, DIM_STRENGTH, "70 proof", "Sikes", "%vol");
    no(&plain, DIM_STRENGTH, "70 proof uk", "Sikes", "%vol");
    no(&plain, DIM_STRENGTH, "10 %w/v", "no strength", "%vol");
}
END_TEST

START_TEST(what_is_missing_is_asked_for)
{
    no(&plain, DIM_MASS, "500", "'500' has no unit", "type 500 g, 500 kg or 500 oz");
    no(&plain, DIM_AMOUNT, "500", "no unit", "type 500 g, 500 mL or 500 qt us");
    no(&plain, DIM_VOLUME, "2 qt", "US and the imperial qt differ", "type 2 qt us or 2 qt imp");
    no(&plain, DIM_VOLUME, "1 gallon", "differ", "1 gal us or 1 gal imp");
    no(&plain, DIM_AMOUNT, "5 fl oz", "differ", "5 fl oz us or 5 fl oz imp");
    no(&plain, DIM_MONEY, "12.50", "needs its currency", "12.50 USD");
    no(&plain, DIM_MONEY, "$12.50", "does not say which currency", "12.50 USD");
    no(&plain, DIM_MONEY, "12.50 usd", "ISO 4217", "12.50 USD");
    no(&plain, DIM_MONEY, "12.50 ZZZ", "ISO 4217", "12.50 USD");
}
END_TEST

START_TEST(ounces)
{
    no(&plain, DIM_VOLUME, "8 oz", "an ounce is a weight", "fl oz us");
    no(&plain, DIM_VOLUME, "8 ounces", "an ounce is a weight", "fl oz us");
    no(&liquid, DIM_AMOUNT, "8 oz", "an ounce is a weight", "fl oz us");
    no(&liquid, DIM_AMOUNT, "8 Ounces", "an ounce is a weight", "fl oz us");
    no(&liquid, DIM_MASS, "8 oz.", "an ounce is a weight", "g for a weight");
    is(&liquid, DIM_AMOUNT, "8 oz av", 8 * 28.349523125, "oz"); /* said that it is a weight */
    is(&liquid, DIM_AMOUNT, "8 fl oz us", 8 * 0.0295735295625, "fl-oz-us");
    is(&plain, DIM_AMOUNT, "8 oz", 8 * 28.349523125, "oz");
    no(&plain, DIM_MASS, "8 oz t", "troy", "type g");
    no(&plain, DIM_MASS, "5 gr", "some read it as gram", "grain");
}
END_TEST

START_TEST(wrong_units)
{
    no(&plain, DIM_VOLUME, "5 kg", "a unit of mass, and volume is wanted", "type 5 mL, 5 L");
    no(&plain, DIM_MASS, "5 mL", "a unit of volume, and mass is wanted", "type 5 g, 5 kg");
    no(&plain, DIM_MASS, "5 gal", "a unit of volume, and mass is wanted", "type 5 g");
    no(&plain, DIM_TIME, "5 degC", "a unit of temperature", "type 5 min, 5 h");
    no(&plain, DIM_COUNT, "5 kg", "a unit of mass", "type the number alone: 5");
    no(&plain, DIM_AMOUNT, "5 degC", "temperature", "type 5 g, 5 mL or 5 qt us");
    no(&plain, DIM_MASS, "500 mgg", "not a known unit", "500 g");
    no(&plain, DIM_VOLUME, "500 mililitres", "not a known unit", "did you mean 500 mL?");
    no(&plain, DIM_VOLUME, "500 ML", "megalitre", "mL");
    no(&plain, DIM_MASS, "5 G", "no unit of mass", "type g");
    no(&plain, DIM_VOLUME, "20 drops", "a drop is no measure", "mL");
    no(&plain, DIM_VOLUME, "2 cups", "cups differ", "mL");
    no(&plain, DIM_VOLUME, "2 jars", "jars differ", "mL");
    no(&plain, DIM_TIME, "2 m", "metre", "min");
    no(&plain, DIM_TIME, "2 months", "months differ", "days");
    no(&plain, DIM_TIME, "2 years", "years differ", "days");
    no(&plain, DIM_NONE, "5 %", "a unit of proportion", "type the number alone: 5");
}
END_TEST

START_TEST(two_readings)
{
    no(&plain, DIM_MASS, "1,500 g", "'1,500' can be read two ways", "type 1500 or 1.500");
    no(&plain, DIM_MASS, "about 1,500 g", "two ways", "type about 1500 or about 1.500");
    no(&plain, DIM_MASS, "1.500,0 g", "two ways", "without a mark");
    no(&plain, DIM_MASS, "1 500 g", "two ways", "without a mark or a space");
    const struct quantity_context point = {UNITS_UNDECLARED, NUMBER_POINT, false};
    const struct quantity_context comma = {UNITS_UNDECLARED, NUMBER_COMMA, false};
    no(&point, DIM_MASS, "1,5 g", "two ways", "type 1.5");
    no(&comma, DIM_MASS, "1.5 g", "two ways", "type 1,5");
    is(&comma, DIM_MASS, "1,500 g", 1.5, "g");
    is(&point, DIM_MASS, "1.500 g", 1.5, "g");
}
END_TEST

START_TEST(one_value_and_nothing_after_it)
{
    no(&plain, DIM_VOLUME, "5-10 mL", "more than one value", "one number and one unit");
    no(&plain, DIM_VOLUME, "5 to 10 mL", "more than one value", "");
    no(&plain, DIM_VOLUME, "5 \xE2\x80\x93 10 mL", "more than one value", "");
    no(&plain, DIM_MASS, "2 lb 3 oz", "more than one value", "");
    no(&plain, DIM_VOLUME, "2 x 500 mL", "more than one value", "");
    no(&plain, DIM_MASS, "5 +/- 1 g", "more than one value", "");
    static const char *const tails[] = {"5 g)",  "5 g-", "5 (g)", "5 g..", "5 g,",    "5 g us",
                                        "5 g x", "5 g!", "5 -g",  "5 g/",  "5 g\xFF", "5 g g",
                                        "5 us",  "5 ()", "5 \"",  "5 g'"};
    for (size_t i = 0; i < LW_COUNT(tails); i++)
        no(&plain, DIM_MASS, tails[i], "", "");
    no(&plain, DIM_VOLUME, "2 qt us imp", "not a known unit", "");
    no(&plain, DIM_VOLUME, "2 us qt us", "not a known unit", "");
    no(&plain, DIM_VOLUME, "2 (us qt", "not a known unit", "");
}
END_TEST

START_TEST(below_zero)
{
    no(&plain, DIM_MASS, "-5 g", "cannot be below zero", "400 g");
    no(&plain, DIM_VOLUME, "-5 mL", "cannot be below zero", "");
    no(&plain, DIM_AMOUNT, "-5 mL", "a volume cannot be below zero", "");
    no(&plain, DIM_TIME, "-5 min", "cannot be below zero", "");
    is(&plain, DIM_COUNT, "-5", -5, "count"); /* a correction of a count may be */
    is(&plain, DIM_MONEY, "-5.00 EUR", -5, "EUR");
    is(&plain, DIM_MASS, "0 g", 0, "g");
}
END_TEST

START_TEST(approximate_and_missing)
{
    struct quantity q = quantity_parse("about 200 g", DIM_MASS, &plain);
    ck_assert_int_eq(q.status, QUANTITY_APPROX);
    ck_assert_double_eq(q.value, 200);
    q = quantity_parse("~1,5 L", DIM_AMOUNT, &plain);
    ck_assert_int_eq(q.status, QUANTITY_APPROX);
    ck_assert_int_eq(q.dim, DIM_VOLUME);
    ck_assert_int_eq(quantity_parse("n/a", DIM_MASS, &plain).status, QUANTITY_MISSING);
    ck_assert_int_eq(quantity_parse("", DIM_MASS, &plain).status, QUANTITY_MISSING);
    ck_assert_int_eq(quantity_parse(NULL, DIM_MASS, &plain).status, QUANTITY_MISSING);
    no(&plain, DIM_MASS, "about 200", "'about 200' has no unit", "about 200 g"); /* still a unit */
    no(&plain, DIM_MASS, "about", "does not start with a number", "400 g");
    no(&plain, DIM_MASS, "a handful", "does not start with a number", "400 g");
}
END_TEST

START_TEST(amount_follows_the_unit)
{
    ck_assert_int_eq(quantity_parse("400 g", DIM_AMOUNT, &plain).dim, DIM_MASS);
    ck_assert_int_eq(quantity_parse("400 mL", DIM_AMOUNT, &plain).dim, DIM_VOLUME);
    struct quantity q = quantity_parse("1.50 kg", DIM_AMOUNT, &plain);
    ck_assert_double_eq(q.typed, 1.5);
    ck_assert_double_eq_tol(q.resolution, 5.0, 1e-12);
}
END_TEST

START_TEST(long_and_odd_texts_are_quoted_whole)
{
    char s[300];
    memset(s, 'x', sizeof s);
    s[sizeof s - 1] = '\0';
    no(&plain, DIM_MASS, s, "too long", "400 g");
    memcpy(s, "5 ", 2);
    s[100] = '\0';
    no(&plain, DIM_MASS, s, "...", "");
    /* cut between characters: 60 two-byte letters */
    char letters[124] = "5 ";
    for (size_t i = 2; i + 1 < 120; i += 2)
        memcpy(letters + i, "\xC3\xA9", 3);
    struct quantity q = quantity_parse(letters, DIM_MASS, &plain);
    ck_assert_int_eq(q.status, QUANTITY_ERROR);
    ck_assert(utf8_valid(q.why, strlen(q.why), NULL));
}
END_TEST

/* Every example that a hint offers must be taken, or the hint is no help. */
START_TEST(examples_are_taken)
{
    for (int i = DIM_NONE; i <= DIM_AMOUNT; i++) {
        const char *e = dimension_examples((enum dimension)i);
        while (*e != '\0') {
            char one[40];
            const char *end = strstr(e, ", ");
            size_t n = end != NULL ? (size_t)(end - e) : strlen(e);
            snprintf(one, sizeof one, "%.*s", (int)n, e);
            struct quantity q = quantity_parse(one, (enum dimension)i, &plain);
            ck_assert_msg(q.status == QUANTITY_OK, "'%s': %s", one, q.why);
            e += n + (end != NULL ? 2 : 0);
        }
    }
}
END_TEST

/* Whatever comes in: no crash, a refusal always has a reason, both texts are valid UTF-8, and what
 * is taken is a number and a whole known unit: with any letter put after it, it is not taken. */
START_TEST(random_text)
{
    static const char *const pieces[] = {"1",
                                         "5",
                                         "500",
                                         ",",
                                         ".",
                                         "-",
                                         " ",
                                         "/",
                                         "e",
                                         "g",
                                         "mL",
                                         "L",
                                         "oz",
                                         "fl",
                                         "qt",
                                         "us",
                                         "imp",
                                         "gal",
                                         "%",
                                         "vol",
                                         "proof",
                                         "deg",
                                         "C",
                                         "\xC2\xB0",
                                         "(",
                                         ")",
                                         "U.S.",
                                         "\xC2",
                                         "\xE2\x84\x83",
                                         "about ",
                                         "^2",
                                         "m",
                                         "h",
                                         "ft",
                                         "\xC2\xBD",
                                         "USD",
                                         "min",
                                         "\xFF"};
    enum { CASES = 100000, MOST_PIECES = 7 };
    const struct quantity_context *const contexts[] = {&plain, &us, &imperial, &liquid};
    uint64_t seed = 0x243F6A8885A308D3u;
    long taken = 0;
    for (int i = 0; i < CASES; i++) {
        char s[64] = "1 ", more[80];
        size_t n = 2;
        for (int k = 0; k < MOST_PIECES; k++) {
            seed ^= seed << 13;
            seed ^= seed >> 7;
            seed ^= seed << 17;
            if (seed % 3 == 0)
                break;
            const char *piece = pieces[(seed >> 20) % LW_COUNT(pieces)];
            memcpy(s + n, piece, strlen(piece) + 1);
            n += strlen(piece);
        }
        enum dimension dim = (enum dimension)((seed >> 40) % (DIM_AMOUNT + 1));
        const struct quantity_context *ctx = contexts[(seed >> 50) % LW_COUNT(contexts)];
        struct quantity q = quantity_parse(s, dim, ctx);
        if (q.status == QUANTITY_ERROR) {
            if (q.why[0] == '\0' || q.hint[0] == '\0')
                ck_abort_msg("'%s' is refused without a reason or a hint", s);
            if (utf8_valid(s, n, NULL) && (!utf8_valid(q.why, strlen(q.why), NULL) ||
                                           !utf8_valid(q.hint, strlen(q.hint), NULL)))
                ck_abort_msg("'%s' gives a broken message", s);
            continue;
        }
        if (q.status == QUANTITY_MISSING)
            continue;
        taken++;
        if (!isfinite(q.value) || q.unit == NULL)
            ck_abort_msg("'%s' is taken without value or unit", s);
        snprintf(more, sizeof more, "%s~", s);
        if (quantity_parse(more, dim, ctx).status != QUANTITY_ERROR)
            ck_abort_msg("'%s' is taken with a tail", more);
    }
    ck_assert_int_gt(taken, 1000); /* the draw does reach what is taken */
}
END_TEST

START_TEST(decimal_comma_locale_changes_nothing)
{
    if (setlocale(LC_ALL, "de_DE.UTF-8") != NULL) {
        is(&plain, DIM_MASS, "1.5 kg", 1500, "kg");
        no(&plain, DIM_STRENGTH, "100.5 %vol", "between 0 and 100 %vol", "92.4 %mas");
    }
    setlocale(LC_ALL, "C");
    is(&plain, DIM_MASS, "1.5 kg", 1500, "kg");
}
END_TEST

UNIT_MAIN("text/quantity", short_metric_numbers_are_rounded_once, spellings, temperatures,
          strengths_keep_their_basis, what_is_missing_is_asked_for, ounces, wrong_units,
          two_readings, one_value_and_nothing_after_it, below_zero, approximate_and_missing,
          amount_follows_the_unit, long_and_odd_texts_are_quoted_whole, examples_are_taken,
          random_text, decimal_comma_locale_changes_nothing)
