#include "unit.h"

#include "text/date.h"

static void good(const char *s, int y, int m, int d, int minute)
{
    struct date r = date_parse(s);
    ck_assert_msg(r.status == DATE_OK, "'%s': %s", s, r.why);
    ck_assert_int_eq(r.year, y);
    ck_assert_int_eq(r.month, m);
    ck_assert_int_eq(r.day, d);
    ck_assert_int_eq(r.minute, minute);
}

/* Refused, and what is said must hold `hint`. */
static void bad(const char *s, enum date_status status, const char *hint)
{
    struct date r = date_parse(s);
    ck_assert_msg(r.status == status, "'%s' has status %d: %s", s, (int)r.status, r.why);
    ck_assert_msg(strstr(r.why, hint) != NULL, "'%s': '%s' does not say '%s'", s, r.why, hint);
}

START_TEST(forms_that_are_taken)
{
    good("2026-03-04", 2026, 3, 4, -1);
    good(" 2026-03-04 ", 2026, 3, 4, -1);
    good("2026-03-04T14:30", 2026, 3, 4, 870);
    good("2026-03-04 14:30", 2026, 3, 4, 870);
    good("2026-03-04T14:30:59", 2026, 3, 4, 870);
    good("2026-03-04T00:00", 2026, 3, 4, 0);
    good("2026-03-04T23:59", 2026, 3, 4, 1439);
    good("4 March 2026", 2026, 3, 4, -1);
    good("04 Mar 2026", 2026, 3, 4, -1);
    good("4  MARCH  2026", 2026, 3, 4, -1);
    good("Mar 4, 2026", 2026, 3, 4, -1);
    good("March 4 2026", 2026, 3, 4, -1);
    good("May 1, 2026", 2026, 5, 1, -1);
    good("1 Sept 2026", 2026, 9, 1, -1);
    good("2024-02-29", 2024, 2, 29, -1);
    good("29 Feb 2000", 2000, 2, 29, -1);
    good("1900-01-01", 1900, 1, 1, -1);
    good("2199-12-31", 2199, 12, 31, -1);
}
END_TEST

START_TEST(both_readings_are_offered)
{
    bad("03/04/2026", DATE_AMBIGUOUS, "2026-04-03 or 2026-03-04");
    bad("03.04.2026", DATE_AMBIGUOUS, "2026-04-03 or 2026-03-04");
    bad("3-4-2026", DATE_AMBIGUOUS, "2026-04-03 or 2026-03-04");
}
END_TEST

START_TEST(one_reading_is_the_hint)
{
    bad("13/04/2026", DATE_BAD, "type 2026-04-13");
    bad("04/13/2026", DATE_BAD, "type 2026-04-13");
    bad("31.12.2026", DATE_BAD, "type 2026-12-31");
    bad("04/04/2026", DATE_BAD, "type 2026-04-04");
    bad("2026-3-4", DATE_BAD, "type 2026-03-04");
    bad("2026/03/04", DATE_BAD, "type 2026-03-04");
    bad("2026.3.4", DATE_BAD, "type 2026-03-04");
    /* 29 February is a day of 2024 only: not ambiguous, and not real in 2026 */
    bad("29/02/2024", DATE_BAD, "type 2024-02-29");
    bad("29/02/2026", DATE_IMPOSSIBLE, "no day of the calendar");
}
END_TEST

START_TEST(days_that_do_not_exist)
{
    bad("2024-02-30", DATE_IMPOSSIBLE, "February of 2024 has no day 30");
    bad("2023-02-29", DATE_IMPOSSIBLE, "February of 2023 has no day 29");
    bad("2100-02-29", DATE_IMPOSSIBLE, "no day 29"); /* a century that is no leap year */
    bad("1900-02-29", DATE_IMPOSSIBLE, "no day 29");
    bad("2026-04-31", DATE_IMPOSSIBLE, "April of 2026 has no day 31");
    bad("2026-00-10", DATE_IMPOSSIBLE, "no month 0");
    bad("2026-13-10", DATE_IMPOSSIBLE, "no month 13");
    bad("2026-01-00", DATE_IMPOSSIBLE, "no day 0");
    bad("31 June 2026", DATE_IMPOSSIBLE, "June of 2026 has no day 31");
    bad("1899-12-31", DATE_IMPOSSIBLE, "1900 and 2199");
    bad("2200-01-01", DATE_IMPOSSIBLE, "1900 and 2199");
    bad("0000-01-01", DATE_IMPOSSIBLE, "1900 and 2199");
}
END_TEST

START_TEST(not_dates)
{
    static const char *const words[] = {"yesterday",
                                        "March 2026",
                                        "2026",
                                        "2026-03",
                                        "20260304",
                                        "4 Foo 2026",
                                        "4March2026",
                                        "2026-03-04x",
                                        "2026-03-04Z",
                                        "2026-03-04T",
                                        "2026-03-04T24:00",
                                        "2026-03-04T12:60",
                                        "2026-03-04T1:00",
                                        "2026-03-04T12",
                                        "2026-W10-3",
                                        "2026-03-04T12:00:60",
                                        "2026-03-04T12:00+01:00",
                                        "3/4/26",
                                        "26-03-04",
                                        "4 Mar 26",
                                        "2026--03-04",
                                        "/",
                                        "1/2/3/4",
                                        "2026-03-04-05",
                                        "4th March 2026",
                                        "12345-01-01"};
    for (size_t i = 0; i < LW_COUNT(words); i++)
        bad(words[i], DATE_BAD, "");
    bad("3/4/26", DATE_BAD, "four digits");
    bad("4 Mar 26", DATE_BAD, "four digits");
    bad("n/a", DATE_MISSING, "");
    bad("", DATE_MISSING, "");
    ck_assert_int_eq(date_parse(NULL).status, DATE_MISSING);
}
END_TEST

/* Day numbers: 1970-01-01 is 0; the Gregorian calendar began on 1582-10-15, which is Julian day
 * number 2,299,161, and 1970-01-01 is 2,440,588; 2000-01-01 is 2,451,545 (US Naval Observatory's
 * calendar tables, from memory). */
START_TEST(day_numbers)
{
    ck_assert_int_eq(date_to_days(1970, 1, 1), 0);
    ck_assert_int_eq(date_to_days(1969, 12, 31), -1);
    ck_assert_int_eq(date_to_days(2000, 1, 1), 2451545 - 2440588);
    ck_assert_int_eq(date_to_days(1582, 10, 15), 2299161 - 2440588);
    /* differences a calendar gives: February of a leap year and of a common year */
    ck_assert_int_eq(date_to_days(2024, 3, 1) - date_to_days(2024, 2, 1), 29);
    ck_assert_int_eq(date_to_days(2023, 3, 1) - date_to_days(2023, 2, 1), 28);
    ck_assert_int_eq(date_to_days(2001, 1, 1) - date_to_days(2000, 1, 1), 366);
    ck_assert_int_eq(date_to_days(2101, 1, 1) - date_to_days(2100, 1, 1), 365);
}
END_TEST

/* Walks every day of 1899 to 2200 beside a calendar kept by hand. */
START_TEST(every_day_follows_the_last)
{
    static const int lengths[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    long n = date_to_days(1899, 1, 1);
    for (int y = 1899; y <= 2200; y++) {
        bool leap = y % 400 == 0 || (y % 4 == 0 && y % 100 != 0);
        for (int m = 1; m <= 12; m++)
            for (int d = 1; d <= lengths[m - 1] + (m == 2 && leap); d++, n++) {
                int y2, m2, d2;
                date_from_days(n, &y2, &m2, &d2);
                if (date_to_days(y, m, d) != n || y2 != y || m2 != m || d2 != d ||
                    !date_valid(y, m, d))
                    ck_abort_msg("%d-%d-%d", y, m, d);
                char s[11];
                long back;
                if (y >= 1900 && y < 2200 &&
                    (!date_iso_days(date_format(n, s), &back) || back != n))
                    ck_abort_msg("%s", s);
            }
    }
}
END_TEST

START_TEST(formats)
{
    char s[11];
    ck_assert_str_eq(date_format(0, s), "1970-01-01");
    ck_assert_str_eq(date_format(date_to_days(2024, 2, 29), s), "2024-02-29");
    ck_assert_str_eq(date_format(date_to_days(1, 1, 1), s), "0001-01-01");
    ck_assert_str_eq(date_format(date_to_days(9999, 12, 31), s), "9999-12-31");
    ck_assert_str_eq(date_format(date_to_days(9999, 12, 31) + 1, s), "-");
    ck_assert_str_eq(date_format(LONG_MIN, s), "-");
}
END_TEST

static const char *plus(int y, int m, int d, int months)
{
    static char s[11];
    return date_format(date_add_months(date_to_days(y, m, d), months), s);
}

START_TEST(months_on)
{
    ck_assert_str_eq(plus(2024, 1, 31, 1), "2024-02-29");
    ck_assert_str_eq(plus(2023, 1, 31, 1), "2023-02-28");
    ck_assert_str_eq(plus(2024, 2, 29, 12), "2025-02-28");
    ck_assert_str_eq(plus(2024, 2, 29, 48), "2028-02-29");
    ck_assert_str_eq(plus(2025, 3, 10, 24), "2027-03-10"); /* 21 CFR 111.83: two years on */
    ck_assert_str_eq(plus(2026, 12, 15, 1), "2027-01-15");
    ck_assert_str_eq(plus(2026, 1, 15, -1), "2025-12-15");
    ck_assert_str_eq(plus(2026, 3, 31, -1), "2026-02-28");
    ck_assert_str_eq(plus(2026, 3, 31, 0), "2026-03-31");
}
END_TEST

START_TEST(strict_iso)
{
    static const char *const refused[] = {"2026-3-4",   " 2026-03-04",   "2026-03-04 ",
                                          "2026-02-30", "2026-03-04T",   "4 March 2026",
                                          "",           "2026-03-04junk"};
    long days = 7;
    ck_assert(date_iso_days("2026-03-04", &days) && days == date_to_days(2026, 3, 4));
    ck_assert(date_iso_days("2026-03-04T23:59", &days) && days == date_to_days(2026, 3, 4));
    for (size_t i = 0; i < LW_COUNT(refused); i++)
        ck_assert_msg(!date_iso_days(refused[i], &days), "'%s'", refused[i]);
    ck_assert(!date_iso_days(NULL, &days));
}
END_TEST

START_TEST(today_is_a_day_of_our_time)
{
    ck_assert_int_ge(date_today(), date_to_days(2024, 1, 1));
    ck_assert_int_lt(date_today(), date_to_days(2200, 1, 1));
}
END_TEST

/* Nothing crashes; whatever is taken is a real day, and typed in ISO form it is the same day. */
START_TEST(random_text)
{
    static const char *const pieces[] = {"2026", "-",     "03",  "4",    "/",     ".",
                                         " ",    "March", "mar", "T",    "14:30", ":",
                                         ",",    "29",    "02",  "2024", "31",    "\xC3"};
    enum { CASES = 300000, MOST_PIECES = 7 };
    uint64_t seed = 88172645463325252u;
    for (int i = 0; i < CASES; i++) {
        char s[64] = "", iso[11];
        size_t n = 0;
        seed ^= seed << 13;
        seed ^= seed >> 7;
        seed ^= seed << 17;
        uint64_t bits = seed;
        for (unsigned k = (unsigned)(bits % (MOST_PIECES + 1)); k > 0; k--) {
            bits = bits / 31 + (bits << 37);
            const char *piece = pieces[(bits >> 20) % LW_COUNT(pieces)];
            memcpy(s + n, piece, strlen(piece) + 1);
            n += strlen(piece);
        }
        struct date r = date_parse(s);
        if (r.status != DATE_OK) {
            if (r.why[0] == '\0' || strlen(r.why) >= sizeof r.why)
                ck_abort_msg("'%s' is refused without a reason", s);
            continue;
        }
        if (!date_valid(r.year, r.month, r.day))
            ck_abort_msg("'%s' is no day", s);
        struct date again = date_parse(date_format(date_to_days(r.year, r.month, r.day), iso));
        if (again.status != DATE_OK || again.day != r.day || again.month != r.month)
            ck_abort_msg("'%s' reads otherwise in ISO form", s);
    }
}
END_TEST

UNIT_MAIN("text/date", forms_that_are_taken, both_readings_are_offered, one_reading_is_the_hint,
          days_that_do_not_exist, not_dates, day_numbers, every_day_follows_the_last, formats,
          months_on, strict_iso, today_is_a_day_of_our_time, random_text)
