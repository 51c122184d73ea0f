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
                    enum show_units units, int digits)
{
    const char *first =
        first_unit(value, unit, units == SHOW_US || (units == SHOW_BOTH && us_first));

    if (value == 0.0) {
        sbuf_printf(b, "0 %s", show_unit(first));
        return;
    }
    if (first != unit && !unit_convert(value, unit, first, &value))
        first = unit;
    show_digits(b, value, first, units, digits);
}

bool inventory_us_first(struct session *s)
{
    bool ok = true;

    return rows_count(s, "select country = 'US' from rec_premises order by rid limit 1", NULL,
                      &ok) > 0;
}

/* What lw_shown needs to know; one session a run. */
struct wording {
    struct session *session;
    bool us_first;
};

/* lw_shown(value, unit): the words; empty for an empty value. */
static void shown(sqlite3_context *c, int n, sqlite3_value **v)
{
    const struct wording *w = sqlite3_user_data(c);
    struct sbuf b = SBUF_INIT;
    (void)n;

    if (sqlite3_value_type(v[0]) == SQLITE_NULL || sqlite3_value_type(v[1]) == SQLITE_NULL)
        return;
    inventory_show(&b, sqlite3_value_double(v[0]), (const char *)sqlite3_value_text(v[1]),
                   w->us_first, session_units(w->session), INVENTORY_DIGITS);
    if (b.failed)
        sqlite3_result_error_nomem(c);
    else
        sqlite3_result_text(c, b.s, -1, SQLITE_TRANSIENT);
    sbuf_free(&b);
}

bool inventory_shown_register(struct session *s)
{
    static struct wording words;

    words = (struct wording){s, inventory_us_first(s)};
    if (sqlite3_create_function_v2(store_db(s->store), "lw_shown", 2,
                                   SQLITE_UTF8 | SQLITE_DETERMINISTIC | SQLITE_DIRECTONLY, &words,
                                   shown, NULL, NULL, NULL) == SQLITE_OK)
        return true;
    diags_out_of_memory(s->diags);
    return false;
}
