/* inventory_shown.c - amounts in words for the sheet: US customary units first where the premises
 * are in the United States, as its forms ask, metric first elsewhere; both, unless --units
 * asks for one. */
#include "text/base.h"

#include "command/inventory_tables.h"
#include "text/quantity.h"
#include "text/show.h"
#include "text/utf8.h"

/* Units of the forms of US fire departments, by the unit an amount is kept in. */
static const struct {
    const char *kept, *us;
} customary[] = {{"L", "gal-us"}, {"kg", "lb"}, {"m", "ft"}, {"m2", "ft2"}, {"m3/h", "cfm"}};

/* Below this a gallon figure would start with zeros: fluid ounces are read more easily. */
#define FLUID_OUNCES_BELOW_L 1.0

static const char *first_unit(double value, const char *unit, bool us_first)
{
    if (!us_first || unit == NULL)
        return unit;
    if (str_eq(unit, "L") && value < FLUID_OUNCES_BELOW_L && value > 0)
        return "fl-oz-us";
    for (size_t i = 0; i < LW_COUNT(customary); i++)
        if (str_eq(unit, customary[i].kept))
            return customary[i].us;
    return unit;
}

void inventory_show(struct sbuf *b, double value, const char *unit, bool us_first,
                    enum show_units units)
{
    const char *first =
        first_unit(value, unit, units == SHOW_US || (units == SHOW_BOTH && us_first));

    if (value == 0.0) {
        sbuf_printf(b, "0 %s", show_unit(first));
        return;
    }
    if (first != unit && !unit_convert(value, unit, first, &value))
        first = unit;
    show_quantity(b, value, first, units);
}

bool inventory_us_first(struct session *s)
{
    bool ok = true;

    return rows_count(s, "select country = 'US' from rec_premises order by rid limit 1", NULL,
                      &ok) > 0;
}

/* lw_shown(value, unit, us_first): the words; empty for an empty value. */
static void shown(sqlite3_context *c, int n, sqlite3_value **v)
{
    struct sbuf b = SBUF_INIT;
    (void)n;

    if (sqlite3_value_type(v[0]) == SQLITE_NULL || sqlite3_value_type(v[1]) == SQLITE_NULL)
        return;
    inventory_show(&b, sqlite3_value_double(v[0]), (const char *)sqlite3_value_text(v[1]),
                   sqlite3_value_int(v[2]) != 0, session_units(sqlite3_user_data(c)));
    if (b.failed)
        sqlite3_result_error_nomem(c);
    else
        sqlite3_result_text(c, b.s, -1, SQLITE_TRANSIENT);
    sbuf_free(&b);
}

bool inventory_shown_register(struct session *s)
{
    if (sqlite3_create_function_v2(store_db(s->store), "lw_shown", 3,
                                   SQLITE_UTF8 | SQLITE_DETERMINISTIC | SQLITE_DIRECTONLY, s, shown,
                                   NULL, NULL, NULL) != SQLITE_OK) {
        diags_out_of_memory(s->diags);
        return false;
    }
    return rows_run(s, "create temp table if not exists sheet_units(us integer); delete from"
                       " temp.sheet_units; insert into temp.sheet_units values(coalesce((select"
                       " country = 'US' from rec_premises order by rid limit 1), 0))");
}
