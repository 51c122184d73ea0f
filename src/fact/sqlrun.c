/* sqlrun.c - running values over an ordered window, which plain SQL would need several sorts for.
 *
 *   lw_level(replaces, amount) over w   running sum of amount; where replaces is 1 the amount takes
 * the place of the sum. Never below zero, to 1e-9. Empty from an empty amount on, until the next
 * replacing one. lw_level_before(replaces, amount)   the same, before the current row
 *   lw_latest(value)                    the last value so far that is not empty
 *
 * They are meant for windows that begin at the first row of the partition. */
#include "text/base.h"

#include "fact/sqlfunc.h"

#define PURE (SQLITE_UTF8 | SQLITE_DETERMINISTIC | SQLITE_DIRECTONLY)

/* Levels are kept to a billionth: what is left below that after drawing everything off is rounding,
 * not liquid. */
#define LEVEL_GRAINS 1e9

struct level {
    double now, before;
    bool unknown, unknown_before;
};

static void level_step(sqlite3_context *c, int n, sqlite3_value **v)
{
    struct level *s = sqlite3_aggregate_context(c, sizeof *s);
    double amount = 0;
    (void)n;
    if (!s) {
        sqlite3_result_error_nomem(c);
        return;
    }
    bool has = sqlfunc_number(v[1], &amount);
    s->before = s->now;
    s->unknown_before = s->unknown;
    if (sqlite3_value_int(v[0]) != 0) {
        s->now = amount;
        s->unknown = !has;
    } else {
        s->now += amount;
        s->unknown = s->unknown || !has;
    }
}

static void put_level(sqlite3_context *c, double l, bool unknown)
{
    if (!unknown)
        sqlite3_result_double(c, l <= 0 ? 0.0 : round(l * LEVEL_GRAINS) / LEVEL_GRAINS);
}

static void level_value(sqlite3_context *c)
{
    const struct level *s = sqlite3_aggregate_context(c, 0);
    if (s)
        put_level(c, s->now, s->unknown);
}

static void before_value(sqlite3_context *c)
{
    const struct level *s = sqlite3_aggregate_context(c, 0);
    if (s)
        put_level(c, s->before, s->unknown_before);
}

struct latest {
    sqlite3_value *value; /* NULL: none so far */
};

static void latest_step(sqlite3_context *c, int n, sqlite3_value **v)
{
    struct latest *s = sqlite3_aggregate_context(c, sizeof *s);
    (void)n;
    if (!s) {
        sqlite3_result_error_nomem(c);
        return;
    }
    if (sqlite3_value_type(v[0]) == SQLITE_NULL)
        return;
    sqlite3_value_free(s->value);
    s->value = sqlite3_value_dup(v[0]);
    if (!s->value)
        sqlite3_result_error_nomem(c);
}

static void latest_value(sqlite3_context *c)
{
    const struct latest *s = sqlite3_aggregate_context(c, 0);
    if (s && s->value)
        sqlite3_result_value(c, s->value);
}

static void latest_final(sqlite3_context *c)
{
    struct latest *s = sqlite3_aggregate_context(c, 0);
    latest_value(c);
    if (s) {
        sqlite3_value_free(s->value);
        s->value = NULL;
    }
}

/* SQLite asks for it, and calls it only for windows whose first row moves. */
static void no_inverse(sqlite3_context *c, int n, sqlite3_value **v)
{
    (void)n;
    (void)v;
    sqlite3_result_error(c, "this window must begin at its first row", -1);
}

int sqlrun_register(sqlite3 *db)
{
    int rc = sqlite3_create_window_function(db, "lw_level", 2, PURE, NULL, level_step, level_value,
                                            level_value, no_inverse, NULL);
    if (rc == SQLITE_OK)
        rc = sqlite3_create_window_function(db, "lw_level_before", 2, PURE, NULL, level_step,
                                            before_value, before_value, no_inverse, NULL);
    if (rc == SQLITE_OK)
        rc = sqlite3_create_window_function(db, "lw_latest", 1, PURE, NULL, latest_step,
                                            latest_final, latest_value, no_inverse, NULL);
    return rc;
}
