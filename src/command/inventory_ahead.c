/* inventory_ahead.c - which quantity lines the plans and dated records on file would cross, and on
 * which day.
 *
 * Plans are taken as made on their day: for the look ahead they are put in state steeping in the
 * memory database and put back afterwards. Every day on which an amount changes is looked at; in
 * between nothing changes. */
#include "text/base.h"

#include "command/inventory_tables.h"
#include "text/date.h"
#include "text/mem.h"

#define LINE_KEY                                                                                   \
    "l.kind || '|' || l.id || '|' || coalesce(l.area, '') || '|' || l.code_set || '|' ||"          \
    " l.limit_name || '|' || coalesce(l.class, '') || '|' ||"                                      \
    " iif(l.limit_name = 'use-open-quantity', '', l.part)"

static const struct inventory_column crossing_columns[] = {
    {"day", NULL, CELL_TEXT},        {"what-happens", "what happens", CELL_TEXT},
    {"where", NULL, CELL_TEXT},      {"figure-name", "what the figure is for", CELL_TEXT},
    {"code-set", "code", CELL_TEXT}, {"class", NULL, CELL_TEXT},
    {"amount", NULL, CELL_AMOUNT},   {"figure", NULL, CELL_AMOUNT},
    {"share", NULL, CELL_PERCENT},
};

/* Lines whose state is another than before. */
static const char crossings_sql[] =
    "select run.as_of, case l.state when 'over' then 'over the figure' when 'within' then"
    " 'back within the figure' else 'can no longer be told' end,"
    " iif(l.area is null, coalesce(p.name, s.name, l.id), 'control area ' || l.area),"
    " lower(substr(n.meaning, 1, 1)) || rtrim(substr(n.meaning, 2, instr(n.meaning || ';', ';') - "
    "2), '.'),"
    " l.code_set, coalesce(l.class, 'all'), l.amount, l.unit, coalesce(l.figure, l.cautious), "
    "l.unit,"
    " l.share_percent"
    " from fact_line l left join temp.ahead_line a on a.key = " LINE_KEY
    " left join rec_place p on l.kind = 'place' and p.id = l.id"
    " left join rec_premises s on l.kind = 'premises' and s.id = l.id"
    " left join cat_limit_name n on n.name = l.limit_name, temp.run"
    " where l.state <> coalesce(a.state, 'within')"
    " order by l.kind desc, l.id, l.area, l.code_set, l.limit_name, l.part, l.class";

static bool remember(struct session *s)
{
    return rows_run(s, "drop table if exists temp.ahead_line; create temp table ahead_line as"
                       " select " LINE_KEY " as key, l.state from fact_line l");
}

static bool plans_put_by(struct session *s)
{
    return rows_run(s,
                    "drop table if exists temp.ahead_plan; create temp table ahead_plan as select"
                    " rid, start from rec_batch where state = 'planned'; update rec_batch set state"
                    " = 'void' where rid in (select rid from temp.ahead_plan)");
}

static bool plans_as_made(struct session *s)
{
    return rows_run(s, "update rec_batch set state = 'steeping' where rid in (select rid from"
                       " temp.ahead_plan)");
}

static bool plans_back(struct session *s)
{
    return rows_run(s, "update rec_batch set state = 'planned', start = (select start from"
                       " temp.ahead_plan p where p.rid = rec_batch.rid)"
                       " where rid in (select rid from temp.ahead_plan)");
}

struct days {
    long *items;
    size_t count, cap;
};

static void day_row(struct session *s, sqlite3_stmt *st, void *user)
{
    struct days *d = user;
    long *grown = mem_grow(d->items, &d->cap, d->count + 1, sizeof *grown);
    long day;

    if (grown == NULL) {
        s->report.failed = true;
        return;
    }
    d->items = grown;
    if (date_iso_days(rows_text(st, 0), &day))
        d->items[d->count++] = day;
}

static bool expected(struct session *s, const char *from, const char *to)
{
    static const struct inventory_column columns[] = {
        {"day", NULL, CELL_TEXT},
        {"lot", NULL, CELL_TEXT},
        {"expected", NULL, CELL_TEXT},
        {"place", NULL, CELL_TEXT},
    };
    struct sbuf sql = SBUF_INIT;
    bool ok;

    struct inventory_table t = {"expected", "Expected in that time", NULL,
                                columns,    LW_COUNT(columns),       NULL};
    /* Days that can be worked out from a lot's own plan; the amount stays until it is recorded. */
    sbuf_printf(&sql,
                "with lots as (select b.id, b.start, b.place, exists(select 1 from temp.ahead_plan"
                " p where p.rid = b.rid) as planned, lw_date(lw_days(b.start) + cast(b.days_min /"
                " 1440 as integer)) as strain, lw_date(lw_days(b.strained) + cast(b.hold_time_min /"
                " 1440 as integer)) as bottle, b.strained, b.bottled"
                " from rec_batch b where coalesce(b.state, '') <> 'void')"
                " select day, l, what, coalesce(p.name, place) from ("
                " select start day, id l, 'planned lot begins' what, place from lots where planned"
                " union all select strain, id, 'straining expected', place from lots where"
                " strained is null union all select bottle, id, 'bottling expected by', place from"
                " lots where bottled is null and strained is not null)"
                " left join rec_place p on p.id = place where day >= '%s' and day <= '%s'"
                " order by day, l",
                from, to);
    t.sql = sql.s;
    ok = !sql.failed && inventory_add(s, &t);
    sbuf_free(&sql);
    return ok;
}

static bool each_day(struct session *s, const struct days *days, const struct inventory_table *t)
{
    bool ok = true;

    for (size_t i = 0; ok && i < days->count; i++) {
        s->as_of = days->items[i];
        ok = session_facts(s, "line") && inventory_append(s, t) && remember(s);
    }
    return ok;
}

bool inventory_ahead(struct session *s, long count)
{
    const struct inventory_table t = {
        "ahead",
        "Look ahead",
        "Days on which a figure is passed, or no longer passed, by planned lots, receipts, sales "
        "and removals that are dated in the records. Liquid stays where it is until a record says "
        "otherwise.",
        crossing_columns,
        LW_COUNT(crossing_columns),
        crossings_sql};
    char from[11], to[11];
    struct sbuf sql = SBUF_INIT;
    struct days days = {0};
    long today = s->as_of;

    date_format(today, from);
    date_format(today + count, to);
    sbuf_printf(&sql,
                "select distinct d from (select begin d from fact_stay union select until from"
                " fact_stay union select substr(date, 1, 10) from rec_step) where d >= '%s' and"
                " d <= '%s' union select '%s' order by d",
                from, to, from);
    bool ok = plans_put_by(s) && session_facts(s, "line") && remember(s) && plans_as_made(s) &&
              session_facts(s, "line") && rows_select(s, sql.s, NULL, NULL, day_row, &days);
    ok = ok && inventory_start(s, &t) && each_day(s, &days, &t) && expected(s, from, to);
    s->as_of = today;
    ok = plans_back(s) && ok && !sql.failed;
    sbuf_free(&sql);
    mem_free(days.items);
    return ok;
}
