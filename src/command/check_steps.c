#include "text/base.h"

#include "command/check_steps.h"
#include "command/rows.h"

struct table_fill {
    struct report_table *t;
    const int *decimals; /* by column; -1: text */
};

enum { TEXT = -1 };

static void add_row(struct session *s, sqlite3_stmt *st, void *user)
{
    struct table_fill *f = user;

    for (int i = 0; i < sqlite3_column_count(st); i++) {
        if (f->decimals[i] == TEXT)
            report_cell(&s->report, f->t, rows_text(st, i));
        else if (sqlite3_column_type(st, i) == SQLITE_NULL)
            report_cell_number(&s->report, f->t, (double)NAN, 0, NULL);
        else
            report_cell_number(&s->report, f->t, sqlite3_column_double(st, i), f->decimals[i],
                               NULL);
    }
}

struct column {
    const char *name, *head, *unit;
    int decimals;
};

enum { COLUMNS_MOST = 12 };

static bool fill(struct session *s, const char *name, const char *title, const char *note,
                 const struct column *columns, size_t count, const char *sql, const char *lot)
{
    struct report *r = &s->report;
    struct table_fill f;
    struct sbuf own = SBUF_INIT;
    int decimals[COLUMNS_MOST];
    bool ok = true;

    sbuf_puts(&own, title);
    if (rows_count(s, "select count(*) from temp.plan_batch", NULL, &ok) > 1)
        sbuf_printf(&own, ", lot %s", lot);
    f.t = report_add_table(r, name, own.s, note, TABLE_GRID);
    r->failed = r->failed || own.failed;
    sbuf_free(&own);
    if (!ok)
        return false;

    for (size_t i = 0; i < count; i++) {
        decimals[i] = columns[i].decimals;
        report_column(r, f.t, columns[i].name, columns[i].head, columns[i].unit,
                      columns[i].decimals == TEXT ? ALIGN_LEFT : ALIGN_RIGHT);
    }
    f.decimals = decimals;
    return rows_select(s, sql, lot, NULL, add_row, &f);
}

static const struct column step_columns[] = {
    {"step", NULL, NULL, TEXT},
    {"place", NULL, NULL, TEXT},
    {"liquid", NULL, "L", 2},
    {"strength", NULL, "%vol", 1},
    {"temperature", "is at", "degC", 1},
    {"flash-point", "flashes at", "degC", 1},
    {"sources-on", "sources on", NULL, 0},
    {"next-door", "next door", NULL, 0},
};

static const char step_sql[] =
    "select n || ' ' || coalesce(kind, '?'), place, quantity_l, strength_volpct, temperature_c,"
    " flash_c, ignition_on, next_on from fact_step where lot = ?1 order by n";

static const struct column vapour_columns[] = {
    {"step", NULL, NULL, TEXT},
    {"off", "gives off", "g/min", 2},
    {"for", NULL, "min", 0},
    {"at-end", "at end", "% LEL", 1},
    {"peak", NULL, "% LEL", 1},
    {"to-10", "10 % in", "min", 0},
    {"to-25", "25 % in", "min", 0},
    {"shift", "8 h mean", "ppm", 0},
    {"spill", NULL, "L", 2},
    {"spill-area", "covers", "m2", 2},
    {"spill-vapour", "comes to", "% LEL", 0},
    {"spill-minutes", "25 % in", "min", 1},
};

static const char vapour_sql[] =
    "select n || ' ' || kind, evaporation_g_min, minutes, end_percent, lel_percent, minutes_to_10,"
    " minutes_to_25, shift_ppm, spill_l, spill_m2, spill_lel_percent, spill_minutes"
    " from fact_step_vapour where lot = ?1 order by n";

static const struct column card_columns[] = {
    {"step", NULL, NULL, TEXT},
    {"when", NULL, NULL, TEXT},
    {"caution", NULL, NULL, TEXT},
};

/* One line a caution; what must be at hand first, then in the order of work. */
static const char card_sql[] =
    "select f.n || ' ' || coalesce(f.kind, '?'),"
    " case c.phase when 'hand' then 'at hand' else c.phase end, c.text"
    " from fact_step f join cat_step_caution c on c.kind in (f.kind, 'any') and case c.cond"
    " when 'always' then 1 when 'open' then f.open = 1 when 'large' then f.open = 1 and f.large = 1"
    " when 'metal' then f.open = 1 and (f.metal_to_metal = 1 or f.metal_one = 1)"
    " when 'insulating' then f.into_insulating = 1 when 'cold' then f.after_chill = 1"
    " when 'near-flash' then f.open = 1 and f.above_flash_k > -5"
    " when 'drain' then f.open = 1 and f.large = 1 and f.drain is not 'no'"
    " when 'alone' then f.alone is not 'no' and f.open = 1 end"
    " where f.lot = ?1 order by f.n, case c.phase when 'hand' then 0 when 'before' then 1"
    " when 'during' then 2 else 3 end, c.rank, c.id";

bool check_steps_tables(struct session *s, const char *lot)
{
    bool ok = true;

    if (rows_count(s, "select count(*) from fact_step where lot = ?1", lot, &ok) == 0)
        return ok;
    return fill(s, "steps", "Step by step",
                "Flash point +/- 3 K. Sources of ignition on, here and next door. Empty: could not "
                "be told.",
                step_columns, LW_COUNT(step_columns), step_sql, lot) &&
           fill(s, "vapour", "Vapour while it is open, and after a spill",
                "Room averages as a share of the cautious lower explosive limit, 3.1 vol %; the "
                "surface models differ by a factor of 3 and the largest is taken. The layer at "
                "the floor and round the vessel can burn while the average is low. Spill: the "
                "largest vessel, 1 cm deep. An empty time: never, or not known.",
                vapour_columns, LW_COUNT(vapour_columns), vapour_sql, lot) &&
           fill(s, "caution-card", "Caution card",
                "In the order of work. Cautions, not instructions: the rules of the place and the "
                "person in charge go first.",
                card_columns, LW_COUNT(card_columns), card_sql, lot);
}
