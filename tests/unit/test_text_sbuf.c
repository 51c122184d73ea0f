#include "unit.h"

#include "text/mem.h"
#include "text/sbuf.h"

#undef setlocale /* banned in the program; here it must be shown to change nothing */

/* A locale with a decimal comma, when the machine has one; "" when it has none. */
static const char *comma_locale(void)
{
    static const char *const names[] = {"de_DE.UTF-8", "fr_FR.UTF-8", "nl_NL.UTF-8", "pl_PL.UTF-8"};
    for (size_t i = 0; i < LW_COUNT(names); i++)
        if (setlocale(LC_ALL, names[i]) != NULL && localeconv()->decimal_point[0] == ',')
            return names[i];
    setlocale(LC_ALL, "C");
    return "";
}

static const char *number(double v, int digits)
{
    static struct sbuf b = SBUF_INIT;
    static char out[512];
    sbuf_clear(&b);
    sbuf_number(&b, v, digits);
    snprintf(out, sizeof out, "%s", b.s);
    sbuf_free(&b);
    return out;
}

static const char *fixed(double v, int decimals)
{
    static struct sbuf b = SBUF_INIT;
    static char out[512];
    sbuf_clear(&b);
    sbuf_fixed(&b, v, decimals);
    snprintf(out, sizeof out, "%s", b.s);
    sbuf_free(&b);
    return out;
}

START_TEST(appends)
{
    struct sbuf b = SBUF_INIT;
    ck_assert_str_eq(b.s, "");
    sbuf_puts(&b, NULL);
    sbuf_puts(&b, "ab");
    sbuf_putc(&b, 'c');
    sbuf_putn(&b, "defgh", 2);
    sbuf_pad(&b, '.', 3);
    sbuf_pad(&b, '.', 0);
    sbuf_printf(&b, "%d-%s", 42, "x");
    ck_assert_str_eq(b.s, "abcde...42-x");
    ck_assert_uint_eq(b.len, strlen(b.s));
    sbuf_clear(&b);
    ck_assert_str_eq(b.s, "");
    sbuf_free(&b);
    ck_assert_str_eq(b.s, "");
    sbuf_free(&b);
    sbuf_free(NULL);
}
END_TEST

START_TEST(long_formatted_text_is_whole)
{
    struct sbuf b = SBUF_INIT;
    for (int i = 0; i < 1000; i++)
        sbuf_printf(&b, "%05d,", i);
    ck_assert_uint_eq(b.len, 6000);
    ck_assert_int_eq(strncmp(b.s + 5994, "00999,", 6), 0);
    sbuf_free(&b);
}
END_TEST

START_TEST(failure_sticks)
{
    struct sbuf b = SBUF_INIT;
    sbuf_puts(&b, "kept");
    mem_fail_at(1, 0);
    sbuf_pad(&b, 'x', 10000);
    mem_fail_at(0, 0);
    ck_assert(b.failed);
    sbuf_puts(&b, "more");
    ck_assert_str_eq(b.s, "kept");
    ck_assert_ptr_null(sbuf_take(&b));
    ck_assert(!b.failed);
    sbuf_puts(&b, "again");
    ck_assert_str_eq(b.s, "again");
    sbuf_free(&b);
}
END_TEST

START_TEST(take_gives_the_string_away)
{
    struct sbuf b = SBUF_INIT;
    char *s = sbuf_take(&b);
    ck_assert_str_eq(s, "");
    mem_free(s);
    sbuf_puts(&b, "mine");
    s = sbuf_take(&b);
    sbuf_free(&b);
    ck_assert_str_eq(s, "mine");
    mem_free(s);
}
END_TEST

START_TEST(numbers_in_plain_form)
{
    ck_assert_str_eq(number(0, 6), "0");
    ck_assert_str_eq(number(-0.0, 6), "0");
    ck_assert_str_eq(number(3.785411784, 10), "3.785411784");
    ck_assert_str_eq(number(3.785411784, 4), "3.785");
    ck_assert_str_eq(number(0.1, 17), "0.10000000000000001");
    ck_assert_str_eq(number(0.1, 6), "0.1");
    ck_assert_str_eq(number(-12.50, 6), "-12.5");
    ck_assert_str_eq(number(9.9996, 4), "10");
    ck_assert_str_eq(number(999999.5, 6), "1000000");
    ck_assert_str_eq(number(1234567, 3), "1230000");
    ck_assert_str_eq(number(5, 1), "5");
    ck_assert_str_eq(number(0.05, 1), "0.05");
    ck_assert_str_eq(number(NAN, 6), "-");
    ck_assert_str_eq(number(-INFINITY, 6), "-");
}
END_TEST

START_TEST(numbers_at_the_edge_of_plain_form)
{
    ck_assert_str_eq(number(1e-6, 6), "0.000001");
    ck_assert_str_eq(number(1.5e-7, 6), "1.5e-7");
    ck_assert_str_eq(number(1e14, 6), "100000000000000");
    ck_assert_str_eq(number(1e15, 6), "1e15");
    ck_assert_str_eq(number(DBL_MAX, 3), "1.8e308");
    ck_assert_str_eq(number(5e-324, 17), "4.9406564584124654e-324");
    ck_assert_str_eq(number(1.0, -5), "1");
    ck_assert_str_eq(number(0.3, 99), "0.29999999999999999");
}
END_TEST

START_TEST(fixed_decimals)
{
    ck_assert_str_eq(fixed(2.345, 2), "2.35"); /* the double nearest 2.345 lies above it */
    ck_assert_str_eq(fixed(2.5, 0), "2");      /* a true tie goes to the even digit */
    ck_assert_str_eq(fixed(3.5, 0), "4");
    ck_assert_str_eq(fixed(-0.004, 2), "0.00");
    ck_assert_str_eq(fixed(-0.005001, 2), "-0.01");
    ck_assert_str_eq(fixed(0.05, 1), "0.1");
    ck_assert_str_eq(fixed(1234567.891, 1), "1234567.9");
    ck_assert_str_eq(fixed(7, -3), "7");
    ck_assert_str_eq(fixed(NAN, 2), "-");
    ck_assert_uint_eq(strlen(fixed(DBL_MAX, 1)), 311);
}
END_TEST

/* The same bytes come out whatever mark the C library would write. */
START_TEST(decimal_comma_locale_changes_nothing)
{
    const char *name = comma_locale();
    if (name[0] == '\0') {
        fputs("note: no decimal-comma locale on this machine; that part is not shown here\n",
              stderr);
        return;
    }
    ck_assert_str_eq(number(1.5, 6), "1.5");
    ck_assert_str_eq(number(1.5e-9, 6), "1.5e-9");
    ck_assert_str_eq(number(0.001, 6), "0.001");
    ck_assert_str_eq(fixed(-1234.5, 2), "-1234.50");
    setlocale(LC_ALL, "C");
}
END_TEST

UNIT_MAIN("text/sbuf", appends, long_formatted_text_is_whole, failure_sticks,
          take_gives_the_string_away, numbers_in_plain_form, numbers_at_the_edge_of_plain_form,
          fixed_decimals, decimal_comma_locale_changes_nothing)
