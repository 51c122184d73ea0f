/* inventory.c - lotward inventory: what flammable liquid is where, by fire class, for a fire
 * inspector. */
#include "text/base.h"

#include "command/plan.h"
#include "command/rows.h"
#include "text/show.h"
#include "text/utf8.h"

static void put_text(struct session *s, struct report_table *t, const char *text)
{
    report_cell(&s->report, t, text);
}

/* "21.6 L (5.71 US gal)"; the litres are the number for machines. */
static void put_volume(struct session *s, struct report_table *t, sqlite3_stmt *st, int i)
{
    struct sbuf b = SBUF_INIT;

    if (sqlite3_column_type(st, i) == SQLITE_NULL) {
        report_cell(&s->report, t, "not known");
        return;
    }
    show_quantity(&b, sqlite3_column_double(st, i), "L", SHOW_BOTH);
    if (b.failed)
        s->report.failed = true;
    report_cell_number(&s->report, t, sqlite3_column_double(st, i), 1, b.s);
    sbuf_free(&b);
}

static void put_count(struct session *s, struct report_table *t, sqlite3_stmt *st, int i)
{
    report_cell_count(&s->report, t, (unsigned long)sqlite3_column_int64(st, i));
}

static void columns(struct session *s, struct report_table *t, const char *const *names, size_t n)
{
    for (size_t i = 0; i < n; i++)
        report_column(&s->report, t, names[i], NULL, NULL, ALIGN_LEFT);
}

static void place_row(struct session *s, sqlite3_stmt *st, void *user)
{
    struct report_table *t = user;

    put_text(s, t, rows_text(st, 0));
    put_text(s, t, rows_text(st, 1));
    put_text(s, t, rows_text(st, 2));
    put_volume(s, t, st, 3);
    put_volume(s, t, st, 4);
    put_volume(s, t, st, 5);
    put_count(s, t, st, 6);
    put_count(s, t, st, 7);
}

/* One row a place, code set and class. Sums leave out amounts that are not known; the last column
 * counts those, so that a short sum cannot pass for a whole one. */
static bool by_place(struct session *s)
{
    static const char *const names[] = {"place", "code-set", "class", "held", "if-full", "largest"};
    struct report_table *t = report_add_table(
        &s->report, "stock-by-place", "Flammable liquid by place and class",
        "Held: liquid there on the day. If full: every vessel at its capacity. Largest: the "
        "largest single container. Amounts that are not known are counted, not added.",
        TABLE_GRID);

    columns(s, t, names, LW_COUNT(names));
    report_column(&s->report, t, "holdings", NULL, NULL, ALIGN_RIGHT);
    report_column(&s->report, t, "amounts-not-known", "unknown", NULL, ALIGN_RIGHT);
    return rows_select(s,
                       "select coalesce(p.name, c.place, 'place not recorded'), c.code_set,"
                       " coalesce(c.class, 'none'), sum(c.volume_l), sum(c.full_l), max(c.size_l),"
                       " count(*), sum(c.volume_l is null)"
                       " from fact_container c left join rec_place p on p.id = c.place"
                       " group by c.place, c.code_set, c.class"
                       " order by c.place is null, c.place, c.code_set, c.class",
                       NULL, NULL, place_row, t);
}

static void total_row(struct session *s, sqlite3_stmt *st, void *user)
{
    struct report_table *t = user;

    put_text(s, t, rows_text(st, 0));
    put_text(s, t, rows_text(st, 1));
    put_volume(s, t, st, 2);
    put_volume(s, t, st, 3);
    put_count(s, t, st, 4);
}

static bool totals(struct session *s)
{
    static const char *const names[] = {"code-set", "class", "held", "if-full"};
    struct report_table *t =
        report_add_table(&s->report, "stock-by-class", "All places together", NULL, TABLE_GRID);

    columns(s, t, names, LW_COUNT(names));
    report_column(&s->report, t, "amounts-not-known", "unknown", NULL, ALIGN_RIGHT);
    return rows_select(s,
                       "select code_set, coalesce(class, 'none'), sum(volume_l), sum(full_l),"
                       " sum(volume_l is null) from fact_container"
                       " group by code_set, class order by code_set, class",
                       NULL, NULL, total_row, t);
}

static void limit_row(struct session *s, sqlite3_stmt *st, void *user)
{
    struct report_table *t = user;
    struct sbuf b = SBUF_INIT;

    put_text(s, t, rows_text(st, 0));
    put_text(s, t, rows_text(st, 1));
    for (int i = 2; i <= 7; i++)
        if (rows_text(st, i) != NULL)
            sbuf_printf(&b, "%s%s", b.len > 0 ? ", " : "", rows_text(st, i));
    put_text(s, t, b.s);
    sbuf_clear(&b);
    show_quantity(&b, sqlite3_column_double(st, 8), rows_text(st, 9), SHOW_BOTH);
    put_text(s, t, b.s);
    sbuf_clear(&b);
    sbuf_puts(&b, rows_text(st, 10));
    if (report_unconfirmed(rows_text(st, 11)))
        sbuf_printf(&b, " (%s)", report_sureness(rows_text(st, 11)));
    put_text(s, t, b.s);
    if (b.failed)
        s->report.failed = true;
    sbuf_free(&b);
}

/* The quantity limits in force for the classes that are there; which of them applies to a place,
 * the rules say below. */
static bool limits(struct session *s)
{
    static const char *const names[] = {"limit", "class", "where", "quantity", "cited-from"};
    struct report_table *t = report_add_table(
        &s->report, "limits", "Quantity limits in force for these classes", NULL, TABLE_GRID);

    columns(s, t, names, LW_COUNT(names));
    return rows_select(
        s,
        "select l.name, l.class, l.codeset, l.occupancy, l.situation, 'storey ' || l.storey,"
        " 'sprinklers ' || l.sprinklers, l.cond, l.value, l.unit, l.cite, l.sure"
        " from temp.lim_in_force l join cat_limit_name n on n.name = l.name"
        " where n.topic in ('quantity', 'permit') and exists(select 1 from fact_container c"
        "  where c.code_set = l.codeset and instr('+' || l.class || '+', '+' || c.class || '+'))"
        " order by l.codeset, l.name, l.class, l.rowid",
        NULL, NULL, limit_row, t);
}

static void holding_row(struct session *s, sqlite3_stmt *st, void *user)
{
    struct report_table *t = user;
    struct sbuf b = SBUF_INIT;

    for (int i = 0; i < 3; i++)
        put_text(s, t, rows_text(st, i));
    put_volume(s, t, st, 3);
    put_volume(s, t, st, 4);
    put_text(s, t, rows_text(st, 5));
    if (sqlite3_column_type(st, 6) != SQLITE_NULL) {
        sbuf_number(&b, sqlite3_column_double(st, 6), 4);
        sbuf_puts(&b, " %vol");
    } else {
        sbuf_puts(&b, "not known");
    }
    if (b.failed)
        s->report.failed = true;
    put_text(s, t, b.s);
    sbuf_free(&b);
}

static bool holdings(struct session *s)
{
    static const char *const names[] = {"place", "id",        "what",    "held",
                                        "size",  "container", "strength"};
    struct report_table *t =
        report_add_table(&s->report, "holdings", "Each holding", NULL, TABLE_GRID);

    columns(s, t, names, LW_COUNT(names));
    return rows_select(s,
                       "select coalesce(place, 'not recorded'), id, what, volume_l, size_l,"
                       " container, strength_volpct from fact_holding"
                       " order by place is null, place, id, what",
                       NULL, NULL, holding_row, t);
}

static enum exit_status run(struct session *s)
{
    struct evaluate_options o = {.topic = "storage"};
    struct findings *findings = NULL;
    enum exit_status status;

    report_set_title(&s->report, "Storage and quantity summary");
    if (!plan_leave_out(s, NULL) || (findings = session_evaluate(s, &o)) == NULL || !by_place(s) ||
        !totals(s) || !limits(s) || !holdings(s)) {
        status = session_trouble(s);
        goto out;
    }
    session_describe(s);
    s->report.findings = findings;
    status = session_report(s);
out:
    s->report.findings = NULL;
    findings_free(findings);
    return status;
}

const struct command command_inventory = {
    .name = "inventory",
    .summary = "storage and quantity summary for a fire inspector",
    .operands = "FILES...",
    .about = "Says how much flammable liquid of which fire class is in which place on the day, "
             "under every code set in force; the quantity limits in force for those classes; each "
             "holding; and the findings of the storage rules. Planned batches are left out.",
    .examples = "  lotward inventory --as-of 2026-12-31 records/\n"
                "  lotward inventory --book workroom.book --format json\n",
    .flags = NEEDS_RECORDS | NEEDS_FACTS | NEEDS_RULES | MAY_BOOK | TAKES_FILES | MAKES_REPORT,
    .run = run,
};
