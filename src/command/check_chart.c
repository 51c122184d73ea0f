/* check_chart.c - the vapour in the room against time, for the worst step of a planned lot. */
#include "text/base.h"

#include "command/check_steps.h"
#include "command/rows.h"
#include "physics/room_air.h"
#include "report/chart.h"
#include "report/page.h"

enum { POINTS = 121 };

struct worst {
    bool any, drawn;
    char step[48];
    double minutes, lel_g_m3, most_g_m3, peak;
    struct room_air room;
};

static double number(sqlite3_stmt *st, int i)
{
    return sqlite3_column_type(st, i) == SQLITE_NULL ? (double)NAN : sqlite3_column_double(st, i);
}

static const char worst_sql[] =
    "select n || ' ' || kind, space_m3, air_changes_per_h,"
    " (select max(value) from lim_in_force where name = 'vapour-mixing-factor'),"
    " evaporation_g_min, source_min, start_g_m3, minutes, lw_lel_g_m3(100, 20),"
    " lw_saturated_g_m3(strength_volpct, temperature_c), lel_percent"
    " from fact_step_vapour where lot = ?1 order by lel_percent desc, n limit 1";

static void take(struct session *s, sqlite3_stmt *st, void *user)
{
    struct worst *w = user;

    (void)s;
    w->any = true;
    snprintf(w->step, sizeof w->step, "%s", rows_text(st, 0) == NULL ? "?" : rows_text(st, 0));
    w->room = (struct room_air){.volume_m3 = number(st, 1),
                                .air_changes_h = number(st, 2),
                                .mixing = number(st, 3),
                                .source_g_min = number(st, 4),
                                .source_min = number(st, 5),
                                .start_g_m3 = number(st, 6)};
    w->minutes = number(st, 7);
    w->lel_g_m3 = number(st, 8);
    w->most_g_m3 = number(st, 9);
    w->peak = number(st, 10);
    w->drawn = isfinite(w->peak);
}

static void draw(const struct worst *w, struct sbuf *out)
{
    const double percent = 100.0, tail = 1.5, headroom = 1.15, quarter = 25, tenth = 10;
    double x[POINTS], y[POINTS];
    struct sbuf desc = SBUF_INIT, title = SBUF_INIT;
    char id[32]; /* several charts on one page: ids must differ */
    struct chart c = {.id = id};
    double last = w->minutes * tail;

    snprintf(id, sizeof id, "vapour%zu", out->len);
    for (int i = 0; i < POINTS; i++) {
        struct phys_value v;

        x[i] = last * i / (POINTS - 1);
        v = room_g_m3(&w->room, x[i]);
        y[i] = phys_has(v) ? percent * fmin(v.value, w->most_g_m3) / w->lel_g_m3 : (double)NAN;
    }
    sbuf_printf(&title, "Vapour in the room during step %s, per cent of the lower limit", w->step);
    sbuf_printf(&desc, "Room average from the start to half as long again as the step takes (");
    sbuf_number(&desc, w->minutes, 4);
    sbuf_puts(&desc, " min); greatest ");
    sbuf_number(&desc, w->peak, 3);
    sbuf_puts(&desc, " % of the lower explosive limit.");
    c.title = title.s;
    c.desc = desc.s;
    c.x = (struct chart_axis){.label = "minutes from the start", .from = 0, .to = last};
    c.y = (struct chart_axis){.label = "% of LEL", .to = fmax(w->peak, quarter) * headroom};
    c.series[c.series_count++] = (struct chart_series){"room average", x, y, POINTS};
    c.levels[c.level_count++] = (struct chart_level){"a quarter", quarter};
    c.levels[c.level_count++] = (struct chart_level){"a tenth", tenth};
    if (w->peak * headroom > percent)
        c.levels[c.level_count++] = (struct chart_level){"burns", percent};
    c.note = ROOM_CAUTION;
    chart_svg(&c, false, out);
    if (desc.failed || title.failed)
        out->failed = true;
    sbuf_free(&desc);
    sbuf_free(&title);
}

bool check_steps_chart(struct session *s, const char *lot, struct sbuf *out)
{
    struct worst w = {0};

    if (!rows_select(s, worst_sql, lot, NULL, take, &w))
        return false;
    if (!w.any)
        page_paragraph(out, "m", "No chart: no step with open liquid indoors is written down.");
    else if (!w.drawn)
        page_paragraph(out, "m",
                       "No chart: the vapour cannot be calculated; what is missing is named under "
                       "\"Could not be told\".");
    else
        draw(&w, out);
    return true;
}
