/* date.c - calendar dates of the proleptic Gregorian calendar, as day numbers. */
#include "text/base.h"

#include "text/date.h"
#include "text/number.h"
#include "text/utf8.h"

enum { YEAR_LEAST = 1900, YEAR_MOST = 2199, MONTHS = 12, MINUTES_A_HOUR = 60, NO_TIME = -1 };

static const char *const month_names[MONTHS] = {"January",   "February", "March",    "April",
                                                "May",       "June",     "July",     "August",
                                                "September", "October",  "November", "December"};

static bool leap(int year)
{
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

static int month_days(int year, int month)
{
    static const int days[MONTHS] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    return month == 2 && leap(year) ? 29 : days[month - 1];
}

bool date_valid(int year, int month, int day)
{
    return year >= 1 && year <= 9999 && month >= 1 && month <= MONTHS && day >= 1 &&
           day <= month_days(year, month);
}

/* Years are counted from March, so that the leap day is the last of its year; 400 years make an era
 * of 146,097 days (the Gregorian cycle). 719,468 days lie between 0000-03-01 and 1970-01-01. */
enum { ERA_YEARS = 400, ERA_DAYS = 146097, EPOCH_OFFSET = 719468 };

long date_to_days(int year, int month, int day)
{
    long y = month <= 2 ? (long)year - 1 : year;
    long era = (y >= 0 ? y : y - (ERA_YEARS - 1)) / ERA_YEARS;
    long year_of_era = y - era * ERA_YEARS;
    long day_of_year = (153 * ((long)month + (month > 2 ? -3 : 9)) + 2) / 5 + day - 1;
    long day_of_era = year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year;
    return era * ERA_DAYS + day_of_era - EPOCH_OFFSET;
}

void date_from_days(long days, int *year, int *month, int *day)
{
    long z = days + EPOCH_OFFSET;
    long era = (z >= 0 ? z : z - (ERA_DAYS - 1)) / ERA_DAYS;
    long doe = z - era * ERA_DAYS;
    long yoe = (doe - doe / 1460 + doe / 36524 - doe / (ERA_DAYS - 1)) / 365;
    long doy = doe - (365 * yoe + yoe / 4 - yoe / 100);
    long m = (5 * doy + 2) / 153;
    *day = (int)(doy - (153 * m + 2) / 5 + 1);
    *month = (int)(m < 10 ? m + 3 : m - 9);
    *year = (int)(yoe + era * ERA_YEARS + (*month <= 2));
}

char *date_format(long days, char out[11])
{
    int y, m, d;

    if (days < date_to_days(1, 1, 1) || days > date_to_days(9999, 12, 31)) {
        out[0] = '-';
        out[1] = '\0';
        return out;
    }
    date_from_days(days, &y, &m, &d);
    snprintf(out, 11, "%04u-%02u-%02u", (unsigned)y % 10000U, (unsigned)m % 100U,
             (unsigned)d % 100U);
    return out;
}

long date_add_months(long days, int months)
{
    int y, m, d;

    date_from_days(days, &y, &m, &d);
    long count = (long)y * MONTHS + (m - 1) + months;
    long year = (count >= 0 ? count : count - (MONTHS - 1)) / MONTHS;
    m = (int)(count - year * MONTHS) + 1;
    y = (int)year;
    return date_to_days(y, m, d <= month_days(y, m) ? d : month_days(y, m));
}

long date_today(void)
{
    enum { SECONDS_A_DAY = 86400 };
    return (long)(time(NULL) / SECONDS_A_DAY);
}

/* At most `most` digits at *s, moved past; -1 when there is none. */
static int take_int(const char **s, int most, int *digits)
{
    int v = 0, n = 0;

    while (n < most && ascii_digit((*s)[n]))
        v = v * 10 + ((*s)[n++] - '0');
    *digits = n;
    *s += n;
    return n > 0 ? v : -1;
}

/* "T14:30[:00]" or " 14:30[:00]", or nothing, to the end. */
static bool take_time(const char *s, int *minute)
{
    int n;

    *minute = NO_TIME;
    if (*s == '\0')
        return true;
    if (*s != 'T' && *s != ' ')
        return false;
    s++;
    int h = take_int(&s, 2, &n);
    if (n != 2 || h > 23 || *s++ != ':')
        return false;
    int m = take_int(&s, 2, &n);
    if (n != 2 || m > 59)
        return false;
    if (*s == ':') {
        s++;
        int sec = take_int(&s, 2, &n);
        if (n != 2 || sec > 59)
            return false;
    }
    if (*s != '\0')
        return false;
    *minute = h * MINUTES_A_HOUR + m;
    return true;
}

static struct date failed(enum date_status status, const char *fmt, ...) LW_PRINTF(2, 3);
static struct date failed(enum date_status status, const char *fmt, ...)
{
    struct date r = {status, 0, 0, 0, NO_TIME, ""};
    va_list ap;

    va_start(ap, fmt);
    vsnprintf(r.why, sizeof r.why, fmt, ap);
    va_end(ap);
    return r;
}

/* A date whose parts are known: is it a day of the calendar, and of our years? */
static struct date finish(int year, int month, int day, int minute)
{
    struct date r = {DATE_OK, year, month, day, minute, ""};

    if (month < 1 || month > MONTHS)
        return failed(DATE_IMPOSSIBLE, "there is no month %d: type YYYY-MM-DD", month);
    if (!date_valid(year > 0 ? year : 1, month, day))
        return failed(DATE_IMPOSSIBLE, "%s of %d has no day %d", month_names[month - 1], year, day);
    if (year < YEAR_LEAST || year > YEAR_MOST)
        return failed(DATE_IMPOSSIBLE, "the year %d is not between %d and %d", year, YEAR_LEAST,
                      YEAR_MOST);
    return r;
}

/* 1 to 12 for a month's name or its first three letters ("sept" too) at s[0..n); else 0. */
static int month_number(const char *s, size_t n)
{
    for (int i = 0; i < MONTHS; i++) {
        size_t full = strlen(month_names[i]);
        bool same = n == full || n == 3 || (n == 4 && i == 8);
        for (size_t k = 0; same && k < n; k++)
            same = k < full && ascii_tolower(s[k]) == ascii_tolower(month_names[i][k]);
        if (same)
            return i + 1;
    }
    return 0;
}

static const char *skip_space(const char *s)
{
    while (ascii_space(*s))
        s++;
    return s;
}

/* A month's name at *s, moved past with the white space after it; 0 when there is none. */
static int take_month(const char **s)
{
    size_t n = 0;

    while (ascii_alpha((*s)[n]))
        n++;
    int month = month_number(*s, n);
    if (month == 0 || !ascii_space((*s)[n]))
        return 0;
    *s = skip_space(*s + n);
    return month;
}

/* "4 March 2026", "Mar 4, 2026", "March 4 2026". False when it has not that form. */
static bool parse_worded(const char *s, struct date *r)
{
    int n, day, month;

    if (ascii_digit(*s)) {
        day = take_int(&s, 2, &n);
        if (!ascii_space(*s))
            return false;
        s = skip_space(s);
        month = take_month(&s);
    } else {
        month = take_month(&s);
        day = take_int(&s, 2, &n);
        if (day < 0 || (*s != ',' && !ascii_space(*s)))
            return false;
        s = skip_space(s + (*s == ','));
    }
    if (month == 0)
        return false;
    int year = take_int(&s, 4, &n);
    if (*s != '\0' || (n != 4 && n != 2))
        return false;
    if (n == 2)
        *r = failed(DATE_BAD, "a year has four digits: type YYYY-MM-DD");
    else
        *r = finish(year, month, day, NO_TIME);
    return true;
}

/* Two numbers and a year: which is the month? */
static struct date explain_day_month(const char *typed, int a, int b, int year)
{
    bool a_month = date_valid(year, a, b), b_month = date_valid(year, b, a);

    if (a_month && b_month && a != b)
        return failed(DATE_AMBIGUOUS,
                      "%.20s can be read two ways: type %04d-%02d-%02d or "
                      "%04d-%02d-%02d",
                      typed, year, b, a, year, a, b);
    if (a_month || b_month)
        return failed(DATE_BAD, "%.20s is not taken in this order: type %04d-%02d-%02d", typed,
                      year, a_month ? a : b, a_month ? b : a);
    return failed(DATE_IMPOSSIBLE, "%.20s is no day of the calendar: type YYYY-MM-DD", typed);
}

/* Digits and / . - in another order than ISO's: says what to type. */
static struct date explain_numeric(const char *typed)
{
    const char *s = typed;
    int n[3] = {0, 0, 0}, v[3];

    v[0] = take_int(&s, 4, &n[0]);
    char mark = *s;
    if (n[0] == 0 || (mark != '/' && mark != '.' && mark != '-'))
        return failed(DATE_BAD, "not a date: type YYYY-MM-DD, or 4 March 2026");
    s++;
    v[1] = take_int(&s, 4, &n[1]);
    if (*s == mark) {
        s++;
        v[2] = take_int(&s, 4, &n[2]);
    }
    if (n[1] == 0 || n[2] == 0 || *s != '\0' || n[1] > 2)
        return failed(DATE_BAD, "not a date: type YYYY-MM-DD, or 4 March 2026");
    if (n[0] == 4 && n[2] <= 2) {
        if (date_valid(v[0] > 0 ? v[0] : 1, v[1], v[2]))
            return failed(DATE_BAD, "%.20s: type %04d-%02d-%02d", typed, v[0], v[1], v[2]);
        return finish(v[0], v[1], v[2], NO_TIME);
    }
    if (n[0] <= 2 && n[2] == 4)
        return explain_day_month(typed, v[0], v[1], v[2]);
    return failed(DATE_BAD, "a year has four digits: type YYYY-MM-DD");
}

/* Starts like 2026-03-04? */
static bool iso_shape(const char *s)
{
    for (int i = 0; i < 10; i++)
        if (i == 4 || i == 7 ? s[i] != '-' : !ascii_digit(s[i]))
            return false;
    return true;
}

static struct date parse_iso(const char *s)
{
    int n, minute;

    int year = take_int(&s, 4, &n);
    s++;
    int month = take_int(&s, 2, &n);
    s++;
    int day = take_int(&s, 2, &n);
    if (!take_time(s, &minute))
        return failed(DATE_BAD, "after the day comes nothing, or a time such as T14:30");
    return finish(year, month, day, minute);
}

struct date date_parse(const char *s)
{
    enum { LONGEST = 40 };
    char text[LONGEST + 1];

    if (number_is_missing(s))
        return failed(DATE_MISSING, "no date given");
    s = skip_space(s);
    size_t n = strlen(s);
    while (n > 0 && ascii_space(s[n - 1]))
        n--;
    if (n > LONGEST)
        return failed(DATE_BAD, "not a date: type YYYY-MM-DD, or 4 March 2026");
    memcpy(text, s, n);
    text[n] = '\0';
    if (iso_shape(text))
        return parse_iso(text);
    struct date r;
    return parse_worded(text, &r) ? r : explain_numeric(text);
}

bool date_iso_days(const char *s, long *days)
{
    if (s == NULL || !iso_shape(s))
        return false;
    struct date r = parse_iso(s);
    if (r.status != DATE_OK)
        return false;
    *days = date_to_days(r.year, r.month, r.day);
    return true;
}
