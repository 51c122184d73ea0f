/* Good and bad values of every type, what the tables get, and the canonical text.
 *
 * Unit definitions: 1 US quart = 0.946352946 L (NIST Handbook 44, appendix C); % vol of 190 US
 * proof by OIML R 22 (95 % vol at 60 degF is 94.96 % vol at 20 degC, computed with the formula
 * there). */
#include "unit.h"

#include "record/reader.h"
#include "record/value.h"
#include "text/mem.h"

static const struct record_context us_comma = {UNITS_US, NUMBER_COMMA, false};
static const struct record_context bare = {UNITS_UNDECLARED, NUMBER_EITHER, false};

static struct dict_attr attr(enum attr_type type, enum dimension dim, const char *words,
                             unsigned flags)
{
    return (struct dict_attr){"thing", type, dim, words, flags, "A thing."};
}

/* Reads text, and checks the canonical text and that it reads as itself. */
static struct value good(const struct dict_attr *a, const struct record_context *ctx,
                         const char *text, enum value_state state, const char *canonical)
{
    struct sbuf once = SBUF_INIT;
    struct sbuf twice = SBUF_INIT;
    struct value v;
    struct value again;

    value_read(a, text, ctx, &v);
    ck_assert_msg(v.state == state, "'%s': state %d, %s", text, (int)v.state,
                  v.state == VALUE_BAD ? v.why : "");
    value_canonical(a, text, ctx, &v, &once);
    ck_assert_str_eq(once.s, canonical);
    if (once.len > 0) {
        value_read(a, once.s, &RECORD_CANONICAL, &again);
        ck_assert_msg(again.state == state, "canonical '%s' reads otherwise", once.s);
        value_canonical(a, once.s, &RECORD_CANONICAL, &again, &twice);
        ck_assert_str_eq(twice.s, once.s);
        if (state == VALUE_NUMBER) {
            ck_assert_double_eq(again.number, v.number);
            ck_assert_double_eq_tol(again.resolution, v.resolution, 1e-12);
        }
    }
    sbuf_free(&once);
    sbuf_free(&twice);
    return v;
}

static void bad(const struct dict_attr *a, const struct record_context *ctx, const char *text,
                const char *why)
{
    struct value v;

    value_read(a, text, ctx, &v);
    ck_assert_msg(v.state == VALUE_BAD, "'%s' was taken", text);
    ck_assert_msg(strstr(v.why, why) != NULL, "'%s': %s", text, v.why);
    ck_assert_msg(v.hint[0] != '\0' || strstr(v.why, "type ") != NULL, "'%s': no hint", text);
}

START_TEST(tokens)
{
    struct dict_attr a = attr(ATTR_TOKEN, DIM_NONE, NULL, 0);
    char longest[66];

    good(&a, &bare, "R-2026.04_b/7+x", VALUE_TEXT, "R-2026.04_b/7+x");
    good(&a, &bare, "7", VALUE_TEXT, "7");
    memset(longest, 'a', 65);
    longest[65] = '\0';
    bad(&a, &bare, longest, "65 bytes");
    longest[64] = '\0';
    good(&a, &bare, longest, VALUE_TEXT, longest);
    bad(&a, &bare, "R 1", "character");
    bad(&a, &bare, "caf\xC3\xA9", "character");
    bad(&a, &bare, "=1+1", "begin");
    bad(&a, &bare, "-", "begin");
    bad(&a, &bare, "../x", "begin");
    bad(&a, &bare, "a\tb", "character");
    bad(&a, &bare, "a\"b", "character");
}
END_TEST

START_TEST(references)
{
    struct dict_attr one = attr(ATTR_REF, DIM_NONE, "place", 0);
    struct dict_attr many = attr(ATTR_REFS, DIM_NONE, "document", 0);

    good(&one, &bare, "bench", VALUE_TEXT, "bench");
    bad(&one, &bare, "bench cabinet", "character");
    good(&many, &bare, "D-1  D-2\n\tD-3", VALUE_TEXT, "D-1 D-2 D-3");
    bad(&many, &bare, "D-1, D-2", "character");
}
END_TEST

START_TEST(texts)
{
    struct dict_attr a = attr(ATTR_TEXT, DIM_NONE, NULL, 0);

    good(&a, &bare, "two\r\nlines\rand", VALUE_TEXT, "two\nlines\nand");
    good(&a, &bare, "\xC3\xA9t\xC3\xA9 \xF0\x9F\x8C\xB8", VALUE_TEXT,
         "\xC3\xA9t\xC3\xA9 \xF0\x9F\x8C\xB8");
    bad(&a, &bare, "bell \a", "U+0007");
    bad(&a, &bare, "esc \x1B[31m", "U+001B");
    bad(&a, &bare, "x \xEF\xBF\xBE", "control");
    char *big = mem_alloc(READER_ATTR_BYTES + 2);
    ck_assert_ptr_nonnull(big);
    memset(big, 'x', READER_ATTR_BYTES + 1);
    big[READER_ATTR_BYTES + 1] = '\0';
    bad(&a, &bare, big, "65537 bytes");
    big[READER_ATTR_BYTES] = '\0';
    good(&a, &bare, big, VALUE_TEXT, big);
    mem_free(big);
}
END_TEST

START_TEST(dates)
{
    struct dict_attr a = attr(ATTR_DATE, DIM_NONE, NULL, 0);
    struct value v = good(&a, &bare, "2026-03-04", VALUE_DATE, "2026-03-04");

    ck_assert_str_eq(v.date, "2026-03-04");
    ck_assert_int_eq(v.minute, -1);
    v = good(&a, &bare, "2026-03-04 14:30", VALUE_DATE, "2026-03-04T14:30");
    ck_assert_int_eq(v.minute, 870);
    good(&a, &bare, "4 March 2026", VALUE_DATE, "2026-03-04");
    good(&a, &bare, "Mar 4, 2026", VALUE_DATE, "2026-03-04");
    good(&a, &bare, "n/a", VALUE_ABSENT, "");
    good(&a, &bare, "unknown", VALUE_ABSENT, "");
    bad(&a, &bare, "03/04/2026", "two ways");
    bad(&a, &bare, "2025-02-29", "no day 29");
    bad(&a, &bare, "spring", "");
    bad(&a, &bare, "2026-13-01", "no month 13");
}
END_TEST

START_TEST(quantities)
{
    struct dict_attr volume = attr(ATTR_QTY, DIM_VOLUME, NULL, ATTR_LIQUID);
    struct dict_attr amount = attr(ATTR_QTY, DIM_AMOUNT, NULL, 0);
    struct dict_attr cold = attr(ATTR_QTY, DIM_TEMPERATURE, NULL, 0);
    struct dict_attr count = attr(ATTR_QTY, DIM_COUNT, NULL, 0);
    struct dict_attr money = attr(ATTR_QTY, DIM_MONEY, NULL, 0);
    struct value v = good(&volume, &us_comma, "1,5 qt", VALUE_NUMBER, "1.5 qt-us");

    ck_assert_double_eq_tol(v.number, 1.5 * 0.946352946, 1e-12);
    ck_assert_double_eq_tol(v.resolution, 0.05 * 0.946352946, 1e-12);
    v = good(&amount, &bare, "400 g", VALUE_NUMBER, "400 g");
    ck_assert_int_eq(v.dim, DIM_MASS);
    v = good(&amount, &bare, "1.500 L", VALUE_NUMBER, "1.500 L");
    ck_assert_int_eq(v.dim, DIM_VOLUME);
    ck_assert_double_eq_tol(v.resolution, 0.0005, 1e-15);
    v = good(&cold, &bare, "-18 degC", VALUE_NUMBER, "-18 degC");
    ck_assert_double_eq(v.number, -18.0);
    v = good(&cold, &bare,
             "60 \xC2\xB0"
             "F",
             VALUE_NUMBER, "60 degF");
    ck_assert_double_eq_tol(v.number, 15.0 + 5.0 / 9.0, 1e-9);
    good(&count, &bare, "12", VALUE_NUMBER, "12");
    good(&money, &bare, "12.50 EUR", VALUE_NUMBER, "12.50 EUR");
    /* Spaces that do not break, before the number and before the unit (U+202F, U+00A0). */
    v = good(&volume, &us_comma,
             "\xE2\x80\xAF"
             "5\xC2\xA0gal",
             VALUE_NUMBER, "5 gal-us");
    ck_assert_double_eq_tol(v.number, 5 * 3.785411784, 1e-12);
    good(&volume, &us_comma, "about 2 qt", VALUE_WORD, "about 2 qt-us");
    good(&volume, &bare, "n/a", VALUE_WORD, "n/a");
    bad(&volume, &bare, "400", "no unit");
    bad(&volume, &bare, "2 qt", "US and the imperial");
    bad(&volume, &bare, "4 oz", "ounce");
    bad(&volume, &bare, "1,500 L", "two ways");
    bad(&volume, &bare, "some", "");
    bad(&count, &bare, "-3", "below 0");
    bad(&money, &bare, "12.50", "currency");
    bad(&cold, &bare, "-300 degC", "absolute zero");
}
END_TEST

START_TEST(strengths_become_volume_per_cent_at_20_degc)
{
    struct dict_attr a = attr(ATTR_QTY, DIM_STRENGTH, NULL, 0);
    struct value v = good(&a, &bare, "96 %vol", VALUE_NUMBER, "96 %vol");

    ck_assert_double_eq(v.number, 96.0);
    ck_assert_double_eq_tol(v.resolution, 0.5, 1e-12);
    v = good(&a, &bare, "190 proof", VALUE_NUMBER, "190 proof-us");
    ck_assert_double_eq_tol(v.number, 95.0, 0.1);
    ck_assert(v.number != 95.0);
    ck_assert_double_eq_tol(v.resolution, 0.25, 0.02);
    /* OIML R 22 table IIIa: 50 % by mass is 57.89 % by volume at 20 degC. */
    v = good(&a, &bare, "50 %mas", VALUE_NUMBER, "50 %mas");
    ck_assert_double_eq_tol(v.number, 57.89, 0.01);
    v = good(&a, &bare, "100 %vol", VALUE_NUMBER, "100 %vol");
    ck_assert_double_eq(v.number, 100.0);
    v = good(&a, &bare, "0 %mas", VALUE_NUMBER, "0 %mas");
    ck_assert_double_eq_tol(v.number, 0.0, 1e-9);
    ck_assert_double_ge(v.resolution, 0.0);
    bad(&a, &bare, "101 %vol", "");
    bad(&a, &bare, "210 proof", "");
    bad(&a, &bare, "96 %", "");
    bad(&a, &bare, "96", "");
}
END_TEST

START_TEST(per_cents_and_ratios)
{
    struct dict_attr p = attr(ATTR_PERCENT, DIM_NONE, NULL, 0);
    struct dict_attr r = attr(ATTR_RATIO, DIM_NONE, NULL, 0);
    struct value v = good(&p, &us_comma, "28,5%", VALUE_NUMBER, "28.5 %");

    ck_assert_double_eq_tol(v.number, 28.5, 1e-12);
    good(&p, &bare, "0 %", VALUE_NUMBER, "0 %");
    good(&p, &bare, "about 30 %", VALUE_WORD, "about 30 %");
    good(&p, &bare, "n/a", VALUE_WORD, "n/a");
    bad(&p, &bare, "28", "no per cent sign");
    bad(&p, &bare, "101 %", "outside");
    bad(&p, &bare, "-1 %", "outside");
    bad(&p, &bare, "28 % m/m", "not a per cent");
    v = good(&r, &bare, "1:40", VALUE_NUMBER, "1:40");
    ck_assert_double_eq(v.number, 40.0);
    v = good(&r, &bare, "2 : 5", VALUE_NUMBER, "2:5");
    ck_assert_double_eq_tol(v.number, 2.5, 1e-12);
    v = good(&r, &us_comma, "1:2,5", VALUE_NUMBER, "1:2.5");
    ck_assert_double_eq_tol(v.number, 2.5, 1e-12);
    good(&r, &bare, "unknown", VALUE_WORD, "unknown");
    bad(&r, &bare, "40", "not a ratio");
    bad(&r, &bare, "1/40", "not a ratio");
    bad(&r, &bare, "1:0", "above 0");
    bad(&r, &bare, "1:40:2", "not a ratio");
}
END_TEST

START_TEST(words_flags_and_countries)
{
    struct dict_attr c = attr(ATTR_CHOICE, DIM_NONE, "planned steeping strained", 0);
    struct dict_attr f = attr(ATTR_FLAG, DIM_NONE, NULL, 0);
    struct dict_attr n = attr(ATTR_COUNTRY, DIM_NONE, NULL, 0);
    struct value v;

    good(&c, &bare, "steeping", VALUE_TEXT, "steeping");
    bad(&c, &bare, "Steeping", "not one of");
    value_read(&c, "steping", &bare, &v);
    ck_assert_str_eq(v.hint, "did you mean 'steeping'? one of: planned steeping strained");
    value_read(&c, "zzzzzz", &bare, &v);
    ck_assert_str_eq(v.hint, "type one of: planned steeping strained");
    good(&f, &bare, "yes", VALUE_TEXT, "yes");
    bad(&f, &bare, "true", "neither yes nor no");
    good(&n, &bare, "IN", VALUE_TEXT, "IN");
    good(&n, &bare, "XX", VALUE_TEXT, "XX");
    bad(&n, &bare, "India", "not a country code");
    value_read(&n, "uk", &bare, &v);
    ck_assert_str_eq(v.hint, "did you mean 'GB'?");
    value_read(&n, "fr", &bare, &v);
    ck_assert_str_eq(v.hint, "did you mean 'FR'?");
}
END_TEST

UNIT_MAIN("record values", tokens, references, texts, dates, quantities,
          strengths_become_volume_per_cent_at_20_degc, per_cents_and_ratios,
          words_flags_and_countries)
