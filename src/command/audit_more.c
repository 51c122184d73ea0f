/* audit_more.c - open items with their age, months, own history, corrections. */
#include "text/base.h"

#include "command/audit_more.h"
#include "command/rows.h"
#include "report/chart.h"
#include "report/page.h"
#include "text/date.h"
#include "text/mem.h"
#include "text/utf8.h"

static void column(struct session *s, struct report_table *t, const char *name, const char *head,
                   const char *unit, bool number)
{
    report_column(&s->report, t, name, head, unit, number ? ALIGN_RIGHT : ALIGN_LEFT);
}

/* --- open items ---------------------------------------------------------------------------------
 */

static void put_open_item(struct session *s, struct report_table *t, const struct finding *f,
                          const struct record_days *days)
{
    struct record_day d = {0};
    long day = 0;
    bool known;
    char who[64];

    record_days_find(days, f->subject_kind, f->subject, &d);
    known = d.day != NULL && date_iso_days(d.day, &day);
    report_cell(&s->report, t, severity_name(f->rule->severity));
    snprintf(who, sizeof who, "%.20s %.40s", f->subject_kind, f->subject);
    report_cell(&s->report, t, who);
    report_cell(&s->report, t, f->rule->id);
    report_cell(&s->report, t, known ? d.day : NULL);
    if (known)
        report_cell_number(&s->report, t, (double)(s->as_of - day), 0, NULL);
    else
        report_cell(&s->report, t, NULL);
}

void audit_open_items(struct session *s, const struct record_days *days)
{
    const struct findings *f = s->report.findings;
    struct report_table *t = report_add_table(
        &s->report, "open-items", "Open items",
        "What fails, worst first, with the day of its record and the days since.", TABLE_GRID);

    column(s, t, "severity", NULL, NULL, false);
    column(s, t, "record", NULL, NULL, false);
    report_column(&s->report, t, "rule", NULL, NULL, ALIGN_NAMES);
    column(s, t, "day", NULL, NULL, false);
    column(s, t, "age-days", "days", NULL, true);
    for (size_t i = 0; i < f->count; i++)
        if (f->items[i].verdict == VERDICT_FAILS && f->items[i].waiver == NULL &&
            report_shows(&s->report, &f->items[i]))
            put_open_item(s, t, &f->items[i], days);
}

/* --- months -------------------------------------------------------------------------------------
 */

enum { MONTHS_MOST = 60 };

struct month {
    char name[8]; /* "2026-03" */
    unsigned long lots, fails, untold;
};

struct months {
    struct month items[MONTHS_MOST];
    size_t count;
    bool more; /* earlier months that do not fit */
};

static void take_month(struct session *s, sqlite3_stmt *st, void *user)
{
    struct months *m = user;

    (void)s;
    if (m->count == MONTHS_MOST) {
        m->more = true;
        return;
    }
    snprintf(m->items[m->count].name, sizeof m->items[0].name, "%s", rows_text(st, 0));
    m->items[m->count].lots = (unsigned long)sqlite3_column_int64(st, 1);
    m->count++;
}

/* "2026-03" of "2026-03-14": the months are few, the findings many. */
static struct month *month_of_lot(struct months *m, const struct record_days *days, const char *lot)
{
    enum { MONTH_CHARS = 7 };
    struct record_day d;

    if (!record_days_find(days, "batch", lot, &d) || d.day == NULL)
        return NULL;
    for (size_t i = 0; i < m->count; i++)
        if (strncmp(m->items[i].name, d.day, MONTH_CHARS) == 0)
            return &m->items[i];
    return NULL;
}

static bool fill_months(struct session *s, struct months *m, const struct record_days *days)
{
    const struct findings *f = s->report.findings;

    if (!rows_select(s,
                     "select substr(start, 1, 7), count(*) from rec_batch where start is not "
                     "null and coalesce(state, '') <> 'planned' group by 1 order by 1 desc",
                     NULL, NULL, take_month, m))
        return false;
    for (size_t i = 0; i < f->count; i++) {
        const struct finding *x = &f->items[i];
        struct month *at;

        if (x->lot == NULL || x->waiver != NULL || !report_shows(&s->report, x) ||
            (at = month_of_lot(m, days, x->lot)) == NULL)
            continue;
        if (x->verdict == VERDICT_FAILS)
            at->fails++;
        else
            at->untold++;
    }
    return true;
}

bool audit_by_month(struct session *s, const struct record_days *days)
{
    struct months *m = mem_calloc(1, sizeof *m);
    struct report_table *t;
    bool ok = m != NULL && fill_months(s, m, days);

    if (m == NULL)
        diags_out_of_memory(s->diags);
    if (ok) {
        t = report_add_table(&s->report, "by-month", "By month",
                             m->more ? "By the month a lot was begun in; the last 60."
                                     : "By the month a lot was begun in.",
                             TABLE_GRID);
        column(s, t, "month", NULL, NULL, false);
        column(s, t, "lots", NULL, NULL, true);
        column(s, t, "failed", NULL, NULL, true);
        column(s, t, "could-not-be-told", "untold", NULL, true);
        for (size_t i = m->count; i > 0; i--) {
            report_cell(&s->report, t, m->items[i - 1].name);
            report_cell_count(&s->report, t, m->items[i - 1].lots);
            report_cell_count(&s->report, t, m->items[i - 1].fails);
            report_cell_count(&s->report, t, m->items[i - 1].untold);
        }
    }
    mem_free(m);
    return ok;
}

static void put_chart(const struct report_table *t, struct sbuf *out)
{
    enum { COLUMNS = 4, LOTS = 1, FAILED = 2, UNTOLD = 3 };
    size_t n = report_row_count(t);
    double x[MONTHS_MOST], y[COLUMNS][MONTHS_MOST], top = 1;
    const char *names[MONTHS_MOST];
    bool one_year = n > 0 && strncmp(t->cells[0].text, t->cells[(n - 1) * COLUMNS].text, 4) == 0;
    char label[32] = "month of the first day";
    struct sbuf desc = SBUF_INIT;
    struct chart c = {.title = "Lots begun and findings, month by month",
                      .x = {.label = label, .from = 1, .names = names},
                      .y = {.label = "count", .from = 0},
                      .series = {{"lots begun", x, y[LOTS], n},
                                 {"failed", x, y[FAILED], n},
                                 {"could not be told", x, y[UNTOLD], n}},
                      .series_count = 3,
                      .id = "months"};

    if (n < 2 || n > MONTHS_MOST || t->column_count != COLUMNS)
        return;
    for (size_t i = 0; i < n; i++) {
        x[i] = (double)i + 1;
        /* "03" within one year, else "26-03" */
        names[i] = t->cells[i * COLUMNS].text + (one_year ? strlen("2026-") : strlen("20"));
        sbuf_printf(&desc, "%s%s:", i > 0 ? "; " : "", t->cells[i * COLUMNS].text);
        for (size_t k = LOTS; k < COLUMNS; k++) {
            y[k][i] = t->cells[i * COLUMNS + k].number;
            top = fmax(top, y[k][i]);
            sbuf_printf(&desc, " %.0f", y[k][i]);
        }
    }
    if (one_year)
        snprintf(label, sizeof label, "month of %.4s", t->cells[0].text);
    c.x.to = (double)n;
    c.x.name_count = n;
    c.y.to = top + fmax(1, ceil(top / 10)); /* air above the highest point */
    c.desc = desc.s;
    sbuf_puts(out, "<figure>\n");
    chart_svg(&c, false, out);
    sbuf_puts(out, "</figure>\n");
    if (desc.failed)
        out->failed = true;
    sbuf_free(&desc);
}

void audit_page(const struct report *r, const void *user, struct sbuf *out)
{
    static const char *const first[] = {"since", "lots", "by-topic", "by-month"};
    const struct report_table *months = report_table_find(r, "by-month");

    (void)user;
    page_headline(out, r);
    for (size_t i = 0; i < LW_COUNT(first); i++)
        page_table(out, report_table_find(r, first[i]));
    if (months != NULL)
        put_chart(months, out);
    for (size_t i = 0; i < r->table_count; i++) {
        bool done = false;

        for (size_t k = 0; k < LW_COUNT(first); k++)
            done = done || str_eq(r->tables[i]->name, first[k]);
        if (!done)
            page_table(out, r->tables[i]);
    }
    page_findings_list(out, r);
}

/* --- mass balance -------------------------------------------------------------------------------
 */

static void put_balance(struct session *s, sqlite3_stmt *st, void *user)
{
    enum { AMOUNTS = 7, SHARES = 2 };
    const char *lot = option_text(&s->options, "lot");
    struct sbuf id = SBUF_INIT;
    struct finding f = {0};

    sbuf_puts(&id, rows_text(st, 0));
    f.lot = id.s;
    if (!id.failed && (lot == NULL || str_eq(lot, f.lot)) && report_shows(&s->report, &f)) {
        report_cell(&s->report, user, f.lot);
        for (int i = 1; i <= AMOUNTS + SHARES; i++)
            report_cell_number(
                &s->report, user,
                sqlite3_column_type(st, i) == SQLITE_NULL ? NAN : sqlite3_column_double(st, i),
                i <= AMOUNTS ? 0 : 1, NULL);
    }
    s->report.failed = s->report.failed || id.failed;
    sbuf_free(&id);
}

bool audit_balances(struct session *s)
{
    const char *topic = option_text(&s->options, "topic");
    struct report_table *t;

    if (option_text(&s->options, "rule") != NULL || (topic != NULL && !str_eq(topic, "record")))
        return true;
    t = report_add_table(
        &s->report, "mass-balance", "Mass balance",
        "Unexplained: put in less all that came out; below 0, more came out. What may have "
        "evaporated is not taken off. Within the uncertainty it says nothing. An empty field: an "
        "amount is not known. Yield: strained liquid in per cent of the solvent.",
        TABLE_GRID);
    column(s, t, "lot", NULL, NULL, false);
    column(s, t, "in-g", "in", "g", true);
    column(s, t, "liquid-g", "liquid", "g", true);
    column(s, t, "marc-g", "marc", "g", true);
    column(s, t, "samples-and-waste-g", "other", "g", true);
    column(s, t, "evaporated-at-most-g", "air", "g", true);
    column(s, t, "unexplained-g", "unexplained", "g", true);
    column(s, t, "uncertainty-g", "+/-", "g", true);
    column(s, t, "unexplained-percent", "share", "%", true);
    column(s, t, "yield-percent", "yield", "%", true);
    return rows_select(s,
                       "select b.id, in_g, liquid_g, marc_g, samples_g + waste_g, evaporated_g,"
                       " unexplained_g, uncertainty_g, unexplained_percent, h.yield_percent"
                       " from fact_lot_balance b left join fact_lot_history h on h.id = b.id"
                       " order by b.id",
                       NULL, NULL, put_balance, t);
}

/* --- own history --------------------------------------------------------------------------------
 */

static void put_band(struct session *s, sqlite3_stmt *st, void *user)
{
    struct report_table *t = user;

    report_cell(&s->report, t, rows_text(st, 0));
    report_cell_count(&s->report, t, (unsigned long)sqlite3_column_int64(st, 1));
    for (int i = 2; i <= 4; i++)
        report_cell_number(&s->report, t, sqlite3_column_double(st, i), 1, NULL);
}

bool audit_own_history(struct session *s)
{
    bool ok = true;
    struct report_table *t;

    if (rows_count(s, "select count(*) from fact_lot_history where earlier >= 8", NULL, &ok) == 0)
        return ok;
    t = report_add_table(
        &s->report, "own-history", "Own history of the yield",
        "Offered as bounds once there are eight lots of a product: mean and three standard "
        "deviations of the lots so far. Not law; set your own.",
        TABLE_GRID);

    column(s, t, "product", NULL, NULL, false);
    column(s, t, "lots", NULL, NULL, true);
    column(s, t, "mean-percent", "mean", "%", true);
    column(s, t, "low-percent", "low", "%", true);
    column(s, t, "high-percent", "high", "%", true);
    /* The last lot of a product has the longest history. */
    return rows_select(s,
                       "select product, earlier, mean_percent, low_percent, high_percent from"
                       " (select *, row_number() over (partition by product order by earlier desc,"
                       " id desc) as k from fact_lot_history) where k = 1 and earlier >= 8"
                       " order by product",
                       NULL, NULL, put_band, t);
}

/* --- late filings -------------------------------------------------------------------------------
 */

/* Cards are written on the day and typed later: said once for the book, not lot by lot. */
static bool note_late_filings(struct session *s)
{
    bool ok = true;
    long n = rows_count(
        s,
        "select count(*) from rec_entry e join rec_batch b on b.id = e.id"
        " where e.kind = 'batch' and e.amended_by is null and e.action <> 'audit' and e.why is null"
        " and coalesce(b.state, '') <> 'planned' and lw_days(substr(e.filed, 1, 10)) -"
        " lw_days(max(coalesce(b.start, ''), coalesce(b.strained, ''), coalesce(b.bottled, ''),"
        " coalesce(b.released, ''))) >"
        " (select min(value) from lim_in_force where name = 'late-entry-days')",
        NULL, &ok);
    struct sbuf b = SBUF_INIT;

    if (n > 0) {
        sbuf_printf(&b,
                    "Late entries: %ld lot%s entered into the book more than a week after the "
                    "latest date on the card, and nothing says why (lotward file --why).",
                    n, n == 1 ? " was" : "s were");
        report_add_note(&s->report, b.s);
        s->report.failed = s->report.failed || b.failed;
    }
    sbuf_free(&b);
    return ok;
}

bool audit_late_filings(struct session *s)
{
    return option_text(&s->options, "book") == NULL || note_late_filings(s);
}
