/* date.h - calendar dates of the proleptic Gregorian calendar, as day numbers. */
#ifndef LW_TEXT_DATE_H
#define LW_TEXT_DATE_H

#include "text/base.h"

enum date_status { DATE_OK, DATE_MISSING, DATE_AMBIGUOUS, DATE_IMPOSSIBLE, DATE_BAD };

struct date {
    enum date_status status;
    int year, month, day;
    int minute;    /* minute of the day when a time was given (2026-03-01T14:30), else -1 */
    char why[120]; /* when not OK: what is wrong and the readings, e.g. both of 03/04/2026 */
};

/* Accepts 2026-03-04, 2026-03-04T14:30[:00] or a space for T, 4 March 2026, 4 Mar 2026, Mar 4,
 * 2026, March 4 2026. Refuses 03/04/2026 and 03.04.2026 (ambiguous unless one part is above 12:
 * then still refused, with the one reading as the hint), two-digit years, and 2024-02-30. Years
 * 1900 to 2199. */
struct date date_parse(const char *s);
bool date_valid(int year, int month, int day);
long date_to_days(int year, int month, int day); /* days since 1970-01-01 */
void date_from_days(long days, int *year, int *month, int *day);
/* "YYYY-MM-DD" into out[11]; returns out. */
char *date_format(long days, char out[11]);
/* Same day-of-month n months on; a day that does not exist becomes the month's last (2024-01-31 + 1
 * month = 2024-02-29). */
long date_add_months(long days, int months);
/* ISO date string straight to days; false unless exactly YYYY-MM-DD[...time] and real. */
bool date_iso_days(const char *s, long *days);
/* Today in UTC; the only reader of the clock in the library. For the default of --as-of. */
long date_today(void);

#endif
