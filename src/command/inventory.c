/* inventory.c - lotward inventory: what flammable liquid is where, against every figure, for a fire
 * inspector. */
#include "text/base.h"

#include "command/inventory_tables.h"
#include "command/plan.h"
#include "report/page_inventory.h"
#include "text/date.h"
#include "text/utf8.h"

enum { AHEAD_MOST = 3650, YEAR_LEAST = 1900, YEAR_MOST = 2999 };

static const struct option_spec options[] = {
    {"on", 0, OPTION_DATE, "DATE", NULL, "The sheet of this day; the same as --as-of", 0, 0},
    {"peak-of", 0, OPTION_INTEGER, "YEAR", NULL,
     "The sheet of the day of that year on which most liquid was held", YEAR_LEAST, YEAR_MOST},
    {"ahead", 0, OPTION_TEXT, "DAYS", NULL,
     "Say which figures the plans and dated records would pass within so many days, as in 90d", 0,
     0},
};

/* "90d" or "90": days. -1 when it is neither. */
static long days_of(const char *text)
{
    long n = 0;
    const char *p = text;

    for (; *p >= '0' && *p <= '9' && n <= AHEAD_MOST; p++)
        n = n * 10 + (*p - '0');
    if (p == text || (*p == 'd' ? p[1] : *p) != '\0' || n < 1 || n > AHEAD_MOST)
        return -1;
    return n;
}

static void peak_row(struct session *s, sqlite3_stmt *st, void *user)
{
    long *day = user;

    (void)s;
    date_iso_days(rows_text(st, 0), day);
}

/* The first day of the greatest holding in the year. A level counts until it changes, so one that
 * began earlier counts from 1 January. */
static bool find_peak(struct session *s, long year, long *day)
{
    char first[11], last[11];

    snprintf(first, sizeof first, "%04ld-01-01", year);
    snprintf(last, sizeof last, "%04ld-12-31", year);
    if (!date_iso_days(last, &s->as_of) || !session_facts(s, "stock_day"))
        return false;
    *day = s->as_of;
    return rows_select(s,
                       "with total as (select day, sum(volume_l) as l from fact_stock_day"
                       "  group by day),"
                       " span as (select day, l, lead(day) over (order by day) as next from total)"
                       " select max(day, ?1) from span where day <= ?2 and (next is null or next >"
                       " ?1) order by l desc, day limit 1",
                       first, last, peak_row, day);
}

static enum exit_status choose_day(struct session *s)
{
    const struct option_value *on = option_get(&s->options, "on");
    const struct option_value *peak = option_get(&s->options, "peak-of");
    struct sbuf b = SBUF_INIT;
    char text[11];
    long day = 0;

    if (on->given && peak->given)
        return session_usage(s, NULL, "--on and --peak-of cannot both choose the day");
    if (on->given && option_get(&s->options, "as-of")->given)
        return session_usage(s, NULL, "--on and --as-of are the same; give one");
    if (on->given)
        s->as_of = on->number;
    if (!peak->given)
        return STATUS_CLEAN;
    if (!find_peak(s, peak->number, &day))
        return session_trouble(s);
    s->as_of = day;
    sbuf_printf(&b, "The day is the one of %ld on which most liquid was held: %s.", peak->number,
                date_format(day, text));
    report_add_note(&s->report, b.s);
    if (b.failed)
        s->report.failed = true;
    sbuf_free(&b);
    return STATUS_CLEAN;
}

/* The storage rules, and only the facts they and the tables need. */
static struct findings *judge(struct session *s)
{
    struct evaluate_options o = {.topic = "storage", .units = session_units(s)};
    struct sbuf only = SBUF_INIT;
    struct findings *f = NULL;

    sbuf_puts(&only, "line vessel");
    for (size_t i = 0; i < rule_set_count(s->rules); i++)
        if (str_eq(rule_set_at(s->rules, i)->topic, o.topic))
            sbuf_printf(&only, " %s", rule_set_at(s->rules, i)->fact);
    if (only.failed)
        diags_out_of_memory(s->diags);
    else if (session_facts(s, only.s))
        f = evaluate(s->run, s->rules, &o, s->diags);
    sbuf_free(&only);
    return f;
}

static enum exit_status run(struct session *s)
{
    const char *ahead = option_text(&s->options, "ahead");
    struct findings *findings = NULL;
    const char *format = option_text(&s->options, "format");
    bool whole = format != NULL && !str_eq(format, "text");
    enum exit_status status;

    if (ahead != NULL && days_of(ahead) < 0)
        return session_usage(s, "a number of days, as in 90d", "--ahead: '%s' is no such number",
                             ahead);
    s->facts_again = ahead != NULL;
    report_set_title(&s->report, "Storage and quantity summary");
    s->report.page = page_inventory;
    status = choose_day(s);
    if (status != STATUS_CLEAN)
        return status;
    if (!inventory_shown_register(s))
        return session_trouble(s);
    if ((ahead != NULL && !inventory_ahead(s, days_of(ahead))) || !plan_leave_out(s, NULL) ||
        (findings = judge(s)) == NULL || !inventory_add_all(s, whole)) {
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
    .about =
        "Says how much flammable liquid of which fire class is in which place on the day, against "
        "every quantity figure of the code sets in force; the hazardous materials inventory; "
        "controls, waste, changes since the last sheet, a storage plan and a self-inspection list; "
        "and the findings of the storage rules. Planned batches are left out, except by "
        "--ahead.\n\n"
        "The page format is one file to print on A4 or Letter and to hand over.",
    .examples = "  lotward inventory --as-of 2026-12-31 records/\n"
                "  lotward inventory --on 2026-12-31 --format page records/ >sheet.html\n"
                "  lotward inventory --peak-of 2026 records/\n"
                "  lotward inventory --as-of 2026-12-31 --ahead 90d records/\n"
                "  lotward inventory --book workroom.book --format json\n",
    .options = options,
    .option_count = LW_COUNT(options),
    .flags = NEEDS_RECORDS | NEEDS_FACTS | NEEDS_RULES | MAY_BOOK | TAKES_FILES | MAKES_REPORT |
             SHOWS_UNITS,
    .run = run,
};
