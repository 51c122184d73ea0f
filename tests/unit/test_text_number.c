#include "unit.h"

#include "text/number.h"
#include "text/utf8.h"

#undef strtod /* banned in the program; here the C library is the second opinion */
#undef setlocale

static struct number either(const char *s)
{
    return number_parse(s, NUMBER_EITHER);
}

#define ok(text, want)                                                                             \
    do {                                                                                           \
        struct number n_ = either(text);                                                           \
        ck_assert_msg(n_.status == NUMBER_OK, "'%s' has status %d", text, (int)n_.status);         \
        ck_assert_msg(n_.value == (want), "'%s' is %.17g", text, n_.value);                        \
        ck_assert_uint_eq(n_.len, strlen(text));                                                   \
    } while (0)

static void status(const char *s, enum number_style style, enum number_status want)
{
    struct number n = number_parse(s, style);
    ck_assert_msg(n.status == want, "'%s' has status %d, not %d", s, (int)n.status, (int)want);
}

START_TEST(plain_numbers)
{
    ok("0", 0.0);
    ok("42", 42.0);
    ok("007", 7.0);
    ok("-18", -18.0);
    ok("+3", 3.0);
    ok("\xE2\x88\x92"
       "18",
       -18.0); /* U+2212 minus sign */
    ok("1.5", 1.5);
    ok("1,5", 1.5);
    ok(".5", 0.5);
    ok("1e-3", 0.001);
    ok("2E3", 2000.0);
    ok("1.25e+2", 125.0);
    ok("1.500", 1.5);
    ok("  12", 12.0);
    ok("0,500", 0.5);       /* no group of thousands starts with 0 */
    ok("1234,500", 1234.5); /* nor has it four digits before the mark */
    ok("1,50", 1.5);
    ok("1,5000", 1.5);
    ck_assert(!signbit(either("-0").value));
}
END_TEST

START_TEST(fractions)
{
    ok("1/2", 0.5);
    ok("1 1/2", 1.5);
    ok("2 3/4", 2.75);
    ok("1/3", 1.0 / 3.0);
    ok("-1/2", -0.5);
    ok("\xC2\xBD", 0.5);
    ok("1\xC2\xBD", 1.5);
    ok("1 \xC2\xBC", 1.25);
    ok("\xC2\xBE", 0.75);
    ok("\xE2\x85\x94", 2.0 / 3.0);
    status("1/0", NUMBER_EITHER, NUMBER_BAD);
    status("1/2/3", NUMBER_EITHER, NUMBER_BAD);
    status("1 5/4", NUMBER_EITHER, NUMBER_BAD); /* whole and more than a whole: a slip */
    ck_assert_double_eq(either("1/4").half_step, 0.125);
}
END_TEST

START_TEST(marks_that_can_be_read_two_ways)
{
    status("1,500", NUMBER_EITHER, NUMBER_AMBIGUOUS);
    status("12,500", NUMBER_EITHER, NUMBER_AMBIGUOUS);
    status("123,456", NUMBER_EITHER, NUMBER_AMBIGUOUS);
    status("1.500,0", NUMBER_EITHER, NUMBER_AMBIGUOUS);
    status("1,500.0", NUMBER_EITHER, NUMBER_AMBIGUOUS);
    status("1,500,000", NUMBER_EITHER, NUMBER_AMBIGUOUS);
    status("1 500", NUMBER_EITHER, NUMBER_AMBIGUOUS);
    status("1\xC2\xA0"
           "500",
           NUMBER_EITHER, NUMBER_AMBIGUOUS);
    status("12'500", NUMBER_EITHER, NUMBER_AMBIGUOUS);
    ck_assert_uint_eq(either("1,500 g").len, 5);
    ck_assert_uint_eq(either("1 500 000 g").len, 9);
}
END_TEST

START_TEST(declared_marks)
{
    ck_assert_double_eq(number_parse("1,500", NUMBER_COMMA).value, 1.5);
    ck_assert_double_eq(number_parse("1.500", NUMBER_POINT).value, 1.5);
    status("1,5", NUMBER_POINT, NUMBER_AMBIGUOUS);
    status("1,500", NUMBER_POINT, NUMBER_AMBIGUOUS);
    status("1.5", NUMBER_COMMA, NUMBER_AMBIGUOUS);
    status("1.500,5", NUMBER_COMMA, NUMBER_AMBIGUOUS);
}
END_TEST

START_TEST(approximate)
{
    static const char *const words[] = {
        "about 200", "approx 200", "approx. 200", "~200",      "~ 200", "ca. 200",         "ca 200",
        "circa 200", "<200",       "> 200",       "ABOUT 200", "<=200", "\xE2\x89\x88 200"};
    for (size_t i = 0; i < LW_COUNT(words); i++) {
        struct number n = either(words[i]);
        ck_assert_msg(n.status == NUMBER_APPROX, "%s", words[i]);
        ck_assert_double_eq(n.value, 200.0);
        ck_assert_uint_eq(n.len, strlen(words[i]));
    }
    status("about", NUMBER_EITHER, NUMBER_BAD);
    status("cat 5", NUMBER_EITHER, NUMBER_BAD);
    status("about 1,500", NUMBER_EITHER, NUMBER_AMBIGUOUS);
}
END_TEST

START_TEST(missing)
{
    static const char *const words[] = {"",      " ",   "-",    "--",          "n/a",
                                        "N/A",   "na",  "?",    "unknown",     "Unknown",
                                        "trace", " - ", "n.a.", "\xE2\x80\x94"};
    for (size_t i = 0; i < LW_COUNT(words); i++) {
        status(words[i], NUMBER_EITHER, NUMBER_MISSING);
        ck_assert(number_is_missing(words[i]));
    }
    ck_assert(number_is_missing(NULL));
    ck_assert_int_eq(number_parse(NULL, NUMBER_EITHER).status, NUMBER_MISSING);
    ck_assert(!number_is_missing("0"));
    ck_assert(!number_is_missing("nail"));
    ck_assert(!number_is_missing("-5"));
    ck_assert(!number_is_missing("trace of"));
}
END_TEST

START_TEST(not_numbers)
{
    static const char *const bad[] = {"x",  "g 5",   "- 5",    "--5",           "+-5",   "e5",
                                      ".",  ",",     "-.",     "nan",           "inf",   "NaN",
                                      "$5", "1e100", "1e-100", "1e99999999999", "1e9999"};
    for (size_t i = 0; i < LW_COUNT(bad); i++)
        status(bad[i], NUMBER_EITHER, NUMBER_BAD);
    /* hexadecimal: the number ends before the x, which no caller takes */
    ck_assert_uint_eq(either("0x10").len, 1);
    ck_assert_uint_eq(either("1.2.3").status == NUMBER_AMBIGUOUS, 1);
}
END_TEST

START_TEST(only_the_number_is_taken)
{
    ck_assert_uint_eq(either("5 mL").len, 1);
    ck_assert_uint_eq(either("5mL").len, 1);
    ck_assert_uint_eq(either("5 eq").len, 1);
    ck_assert_uint_eq(either("5e").len, 1);
    ck_assert_uint_eq(either("5e-").len, 1);
    ck_assert_uint_eq(either("5.").len, 1);
    ck_assert_uint_eq(either("5, 6").len, 1);
    ck_assert_uint_eq(either("5/").len, 1);
    ck_assert_uint_eq(either("6 1/h").len, 1);
    ck_assert_uint_eq(either("5-10").len, 1);
}
END_TEST

START_TEST(digits_and_exponent_are_bounded)
{
    ok("1234567890123456789012345678901234567890", 1234567890123456789012345678901234567890.0);
    status("12345678901234567890123456789012345678901", NUMBER_EITHER, NUMBER_BAD);
    ok("1e99", 1e99);
    ok("1e-99", 1e-99);
    status("1e100", NUMBER_EITHER, NUMBER_BAD);
}
END_TEST

START_TEST(last_place)
{
    ck_assert_int_eq(either("1.50").decimals, 2);
    ck_assert_double_eq(either("1.50").half_step, 0.005);
    ck_assert_int_eq(either("200").decimals, 0);
    ck_assert_double_eq(either("200").half_step, 0.5);
    ck_assert_int_eq(either("2.0e3").decimals, -2);
    ck_assert_double_eq(either("2.0e3").half_step, 50.0);
}
END_TEST

/* Cases known to be hard for decimal to binary conversion: halfway between two doubles, and a digit
 * to either side of it. */
START_TEST(ties_and_near_ties)
{
    ok("9007199254740993", 9007199254740992.0);                      /* 2^53 + 1: tie, to even */
    ok("9007199254740995", 9007199254740996.0);                      /* 2^53 + 3: tie, to even */
    ok("9007199254740993.00000000000000000001", 9007199254740994.0); /* above the tie */
    ok("9007199254740992.99999999999999999999", 9007199254740992.0); /* below it */
    ok("0.1", 0.1);
    ok("0.30000000000000004", 0.30000000000000004);
    ok("8.5e-99", 8.5e-99);
    ok("1.7976931348623157e98", 1.7976931348623157e98);
    ok("123456789012345678e-20", 123456789012345678e-20);
}
END_TEST

/* A small generator of our own: the same cases on every machine. */
static uint64_t seed = UINT64_C(0x9E3779B97F4A7C15);

static unsigned draw(unsigned below)
{
    seed ^= seed << 13;
    seed ^= seed >> 7;
    seed ^= seed << 17;
    return (unsigned)(seed >> 33) % below;
}

/* The GNU C library's strtod() is correctly rounded; in the "C" locale it must give the same. */
START_TEST(agrees_with_the_c_library)
{
    enum { CASES = 200000 };
    for (int i = 0; i < CASES; i++) {
        char s[64];
        size_t n = 0;
        unsigned whole = 1 + draw(20), part = draw(20);
        for (unsigned k = 0; k < whole; k++)
            s[n++] = (char)('0' + draw(10));
        if (part > 0)
            s[n++] = '.';
        for (unsigned k = 0; k < part; k++)
            s[n++] = (char)('0' + draw(10));
        s[n] = '\0';
        if (draw(2) == 0)
            snprintf(s + n, sizeof s - n, "e%d", (int)draw(199) - 99);
        double got;
        if (!number_exact(s, &got) || got != strtod(s, NULL))
            ck_abort_msg("%s: %.17g, not %.17g", s, got, strtod(s, NULL));
    }
}
END_TEST

/* Whatever comes in, nothing crashes, no more is taken than there is, and what is taken as a plain
 * number reads again as the same number. */
START_TEST(random_text)
{
    static const char *const pieces[] = {
        "1", "5",        "0",    "500",          ",",      ".",   "e", "-", "+",  " ",
        "/", "\xC2\xBD", "\xC2", "\xE2\x88\x92", "about ", "n/a", "g", "~", "\t", "\xFF",
        "'", "\xC2\xA0"};
    enum { CASES = 200000, MOST_PIECES = 8 };
    for (int i = 0; i < CASES; i++) {
        char s[128] = "";
        size_t n = 0;
        for (unsigned k = draw(MOST_PIECES + 1); k > 0; k--) {
            const char *piece = pieces[draw(LW_COUNT(pieces))];
            memcpy(s + n, piece, strlen(piece) + 1);
            n += strlen(piece);
        }
        for (int style = NUMBER_EITHER; style <= NUMBER_COMMA; style++) {
            struct number r = number_parse(s, (enum number_style)style);
            if (r.len > n)
                ck_abort_msg("'%s': more taken than there is", s);
            if (r.status != NUMBER_OK)
                continue;
            if (r.len == 0 || !isfinite(r.value) || !(r.half_step > 0))
                ck_abort_msg("'%s' is %g", s, r.value);
            char again[128];
            snprintf(again, sizeof again, "%.*s", (int)r.len, s);
            struct number r2 = number_parse(again, (enum number_style)style);
            if (r2.status != NUMBER_OK || r2.value != r.value || r2.len != r.len)
                ck_abort_msg("'%s' reads otherwise again", s);
        }
        double exact;
        if (number_exact(s, &exact) && (n == 0 || strspn(s, "0123456789.e+-") != n))
            ck_abort_msg("'%s' is taken as exact", s);
    }
}
END_TEST

START_TEST(exact_takes_all_or_nothing)
{
    static const char *const bad[] = {"",   " ",  " 1",  "1 ",  "1g",   "1,5", "1/2",   "n/a",
                                      "~1", "1e", "0x1", "--1", "1..2", "nan", "1 500", "-"};
    double v = 7;
    ck_assert(number_exact("-12.5e1", &v));
    ck_assert_double_eq(v, -125.0);
    ck_assert(number_exact("0.25", &v) && v == 0.25);
    for (size_t i = 0; i < LW_COUNT(bad); i++)
        ck_assert_msg(!number_exact(bad[i], &v), "'%s'", bad[i]);
    ck_assert(!number_exact(NULL, &v));
    ck_assert_double_eq(v, 0.25);
}
END_TEST

START_TEST(integers)
{
    static const char *const bad[] = {"",
                                      "-",
                                      "1.0",
                                      "1 ",
                                      " 1",
                                      "9223372036854775808",
                                      "-9223372036854775809",
                                      "0x1",
                                      "1e3",
                                      "99999999999999999999"};
    long long v = 7;
    ck_assert(number_integer("9223372036854775807", &v) && v == LLONG_MAX);
    ck_assert(number_integer("-9223372036854775808", &v) && v == LLONG_MIN);
    ck_assert(number_integer("+12", &v) && v == 12);
    ck_assert(number_integer("0", &v) && v == 0);
    for (size_t i = 0; i < LW_COUNT(bad); i++)
        ck_assert_msg(!number_integer(bad[i], &v), "'%s'", bad[i]);
    ck_assert(!number_integer(NULL, &v));
}
END_TEST

START_TEST(decimal_comma_locale_changes_nothing)
{
    static const char *const names[] = {"de_DE.UTF-8", "fr_FR.UTF-8", "nl_NL.UTF-8"};
    for (size_t i = 0; i < LW_COUNT(names); i++) {
        if (setlocale(LC_ALL, names[i]) == NULL)
            continue;
        ok("1.5", 1.5);
        ok("1234567890123456789.5", 1234567890123456789.5);
        status("1,500", NUMBER_EITHER, NUMBER_AMBIGUOUS);
        double v;
        ck_assert(number_exact("2.5", &v) && v == 2.5);
        ck_assert(!number_exact("2,5", &v));
    }
    setlocale(LC_ALL, "C");
    ok("1.5", 1.5);
}
END_TEST

UNIT_MAIN("text/number", plain_numbers, fractions, marks_that_can_be_read_two_ways, declared_marks,
          approximate, missing, not_numbers, only_the_number_is_taken,
          digits_and_exponent_are_bounded, last_place, ties_and_near_ties,
          agrees_with_the_c_library, random_text, exact_takes_all_or_nothing, integers,
          decimal_comma_locale_changes_nothing)
