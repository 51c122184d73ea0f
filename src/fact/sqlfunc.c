#include "text/base.h"

#include "fact/sqlfunc.h"
#include "text/date.h"
#include "text/quantity.h"
#include "text/utf8.h"

#define PURE (SQLITE_UTF8 | SQLITE_DETERMINISTIC | SQLITE_DIRECTONLY)

int compare_tolerant(double a, double b)
{
    double slack = COMPARE_TOLERANCE * fmax(fabs(a), fabs(b));
    if (fabs(a - b) <= slack)
        return 0;
    return a < b ? -1 : 1;
}

bool sqlfunc_number(sqlite3_value *arg, double *v)
{
    int type = sqlite3_value_type(arg);
    if (type != SQLITE_INTEGER && type != SQLITE_FLOAT)
        return false;
    *v = sqlite3_value_double(arg);
    return isfinite(*v) != 0;
}

static const char *text_arg(sqlite3_value *arg)
{
    return sqlite3_value_type(arg) == SQLITE_TEXT ? (const char *)sqlite3_value_text(arg) : NULL;
}

static void fn_days(sqlite3_context *c, int n, sqlite3_value **v)
{
    long days = 0;
    const char *s = text_arg(v[0]);
    (void)n;
    if (s && date_iso_days(s, &days))
        sqlite3_result_int64(c, days);
}

static void result_date(sqlite3_context *c, long days)
{
    char out[11];
    sqlite3_result_text(c, date_format(days, out), -1, SQLITE_TRANSIENT);
}

/* Day numbers of 1900-01-01 and 2199-12-31, the span of text/date.h. */
enum { DAY_FIRST = -25567, DAY_LAST = 84005 };

static void fn_date(sqlite3_context *c, int n, sqlite3_value **v)
{
    double day = 0;
    (void)n;
    if (sqlfunc_number(v[0], &day) && day >= DAY_FIRST && day <= DAY_LAST)
        result_date(c, (long)floor(day));
}

static void fn_add_months(sqlite3_context *c, int n, sqlite3_value **v)
{
    enum { MONTHS_MOST = 1200 };
    long days = 0;
    double months = 0;
    const char *s = text_arg(v[0]);
    (void)n;
    if (s && date_iso_days(s, &days) && sqlfunc_number(v[1], &months) &&
        fabs(months) <= MONTHS_MOST)
        result_date(c, date_add_months(days, (int)months));
}

static void fn_unit(sqlite3_context *c, int n, sqlite3_value **v)
{
    double from = 0, to = 0;
    const char *a = text_arg(v[1]), *b = text_arg(v[2]);
    (void)n;
    if (a && b && sqlfunc_number(v[0], &from) && unit_convert(from, a, b, &to))
        sqlite3_result_double(c, to);
}

static void fn_at_most(sqlite3_context *c, int n, sqlite3_value **v)
{
    double a = 0, b = 0;
    (void)n;
    if (sqlfunc_number(v[0], &a) && sqlfunc_number(v[1], &b))
        sqlite3_result_int(c, compare_tolerant(a, b) <= 0);
}

static void fn_at_least(sqlite3_context *c, int n, sqlite3_value **v)
{
    double a = 0, b = 0;
    (void)n;
    if (sqlfunc_number(v[0], &a) && sqlfunc_number(v[1], &b))
        sqlite3_result_int(c, compare_tolerant(a, b) >= 0);
}

static void fn_sqrt(sqlite3_context *c, int n, sqlite3_value **v)
{
    double x = 0;
    (void)n;
    if (sqlfunc_number(v[0], &x) && x >= 0)
        sqlite3_result_double(c, sqrt(x));
}

static void fn_matches(sqlite3_context *c, int n, sqlite3_value **v)
{
    const struct pattern_set *set = sqlite3_user_data(c);
    const char *name = text_arg(v[0]), *text = text_arg(v[1]);
    (void)n;
    if (!name || !text)
        return;
    int index = pattern_index(set, name);
    if (index < 0) {
        sqlite3_result_error(c, "unknown pattern name", -1);
        return;
    }
    enum pattern_result r = pattern_match(set, index, text, (size_t)sqlite3_value_bytes(v[1]));
    if (r != PATTERN_CANNOT_TELL)
        sqlite3_result_int(c, r == PATTERN_YES);
}

static void fn_has_word(sqlite3_context *c, int n, sqlite3_value **v)
{
    const char *list = text_arg(v[0]), *word = text_arg(v[1]);
    (void)n;
    if (!list || !word)
        return;
    size_t len = strlen(word);
    for (const char *p = list; *p;) {
        while (ascii_space(*p))
            p++;
        const char *start = p;
        while (*p && !ascii_space(*p))
            p++;
        if ((size_t)(p - start) == len && len > 0 && strncmp(start, word, len) == 0) {
            sqlite3_result_int(c, 1);
            return;
        }
    }
    sqlite3_result_int(c, 0);
}

int sqlfunc_register(sqlite3 *db, const struct pattern_set *patterns)
{
    static const struct {
        const char *name;
        int args;
        void (*fn)(sqlite3_context *, int, sqlite3_value **);
    } table[] = {
        {"lw_days", 1, fn_days},
        {"lw_date", 1, fn_date},
        {"lw_add_months", 2, fn_add_months},
        {"lw_unit", 3, fn_unit},
        {"lw_sqrt", 1, fn_sqrt},
        {"lw_at_most", 2, fn_at_most},
        {"lw_at_least", 2, fn_at_least},
        {"lw_matches", 2, fn_matches},
        {"lw_has_word", 2, fn_has_word},
    };
    int rc = SQLITE_OK;
    for (size_t i = 0; i < LW_COUNT(table) && rc == SQLITE_OK; i++)
        rc = sqlite3_create_function_v2(db, table[i].name, table[i].args, PURE, (void *)patterns,
                                        table[i].fn, NULL, NULL, NULL);
    if (rc == SQLITE_OK)
        rc = sqlaccount_register(db);
    if (rc == SQLITE_OK)
        rc = sqlrun_register(db);
    if (rc == SQLITE_OK)
        rc = sqlphys_register(db);
    if (rc == SQLITE_OK)
        rc = sqltext_register(db);
    return rc == SQLITE_OK ? sqlair_register(db) : rc;
}
