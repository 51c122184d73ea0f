/* audit.c - lotward audit: every record, judged by every rule. */
#include "text/base.h"

#include "command/audit_more.h"
#include "command/audit_tables.h"
#include "command/corrections.h"
#include "command/filters.h"
#include "command/plan.h"
#include "command/rows.h"
#include "text/date.h"
#include "text/utf8.h"

static const struct option_spec options[] = {
    {"lot", 'l', OPTION_TEXT, "LOT", NULL, "Only the findings of this lot", 0, 0},
    FILTER_OPTIONS,
    {"from", 0, OPTION_DATE, "DATE", NULL, "Leave out lots begun, or received, before this day", 0,
     0},
    {"to", 0, OPTION_DATE, "DATE", NULL, "Leave out lots begun, or received, after this day", 0, 0},
    {"since", 0, OPTION_TEXT, "AUDIT-JSON", NULL,
     "Say what is new, unchanged and gone since the audit with this JSON report", 0, 0},
    {"file", 0, OPTION_FLAG, NULL, NULL,
     "Put the audit's digest, the rules' digest and the counts into the book", 0, 0},
};

/* Lots that lie outside --from and --to stand in temp.outside; asked once for each finding. */
struct period {
    sqlite3_stmt *is_outside;
};

static bool in_period(const struct finding *f, const void *user)
{
    const struct period *p = user;
    bool outside;

    if (p->is_outside == NULL || f->lot == NULL)
        return true;
    sqlite3_reset(p->is_outside);
    sqlite3_bind_text(p->is_outside, 1, f->lot, -1, SQLITE_TRANSIENT);
    outside = sqlite3_step(p->is_outside) == SQLITE_ROW;
    sqlite3_reset(p->is_outside);
    return !outside;
}

static void ignore_row(struct session *s, sqlite3_stmt *st, void *user)
{
    (void)s;
    (void)st;
    (void)user;
}

/* A lot without a date is never left out: it could belong to the period. */
static bool mark_outside(struct session *s, struct period *p)
{
    const struct option_value *from = option_get(&s->options, "from");
    const struct option_value *to = option_get(&s->options, "to");
    char first[11] = "0000-00-00", last[11] = "9999-99-99";

    if (!from->given && !to->given)
        return true;
    if (from->given)
        date_format(from->number, first);
    if (to->given)
        date_format(to->number, last);
    return rows_run(s, "create temp table outside(id text primary key) without rowid") &&
           rows_select(s,
                       "insert or ignore into temp.outside"
                       " select id from rec_batch where start < ?1 or start > ?2"
                       " union all select id from rec_receipt where date < ?1 or date > ?2",
                       first, last, ignore_row, NULL) &&
           sqlite3_prepare_v2(store_db(s->store), "select 1 from temp.outside where id = ?1", -1,
                              &p->is_outside, NULL) == SQLITE_OK;
}

static enum exit_status check_lot(struct session *s)
{
    const char *lot = option_text(&s->options, "lot");
    bool ok = true;

    if (lot != NULL && rows_count(s,
                                  "select (select count(*) from rec_batch where id = ?1) +"
                                  " (select count(*) from rec_receipt where id = ?1)",
                                  lot, &ok) == 0)
        return ok ? session_usage(s, NULL, "there is no lot '%s' in these records", lot)
                  : session_trouble(s);
    return ok ? STATUS_CLEAN : session_trouble(s);
}

static void make_title(struct session *s)
{
    const struct option_value *from = option_get(&s->options, "from");
    const struct option_value *to = option_get(&s->options, "to");
    const char *lot = option_text(&s->options, "lot"), *topic = option_text(&s->options, "topic");
    const char *rule = option_text(&s->options, "rule");
    struct sbuf b = SBUF_INIT;
    char day[11];

    sbuf_puts(&b, "Audit of the records");
    if (lot != NULL)
        sbuf_printf(&b, ", lot %s", lot);
    if (topic != NULL)
        sbuf_printf(&b, ", topic %s", topic);
    if (rule != NULL)
        sbuf_printf(&b, ", rule %s", rule);
    if (from->given)
        sbuf_printf(&b, ", from %s", date_format(from->number, day));
    if (to->given)
        sbuf_printf(&b, ", to %s", date_format(to->number, day));
    report_set_title(&s->report, b.s);
    if (b.failed)
        s->report.failed = true;
    sbuf_free(&b);
}

static bool fill_tables(struct session *s)
{
    struct record_days *days = record_days_read(s);
    bool ok = days != NULL && audit_lots(s);

    if (ok) {
        audit_by_topic(s);
        audit_by_rule(s);
        ok = audit_by_lot(s, days);
    }
    if (ok) {
        audit_open_items(s, days);
        ok = audit_by_month(s, days) && audit_balances(s) && audit_own_history(s) &&
             audit_late_filings(s) && corrections_add(s, option_text(&s->options, "lot"));
    }
    record_days_free(days);
    return ok;
}

static enum exit_status fill(struct session *s, struct findings *findings)
{
    const char *earlier = option_text(&s->options, "since");

    if (!fill_tables(s))
        return session_trouble(s);
    s->report.page_body = audit_page;
    return earlier == NULL ? STATUS_CLEAN : audit_since(s, findings, earlier);
}

static enum exit_status run(struct session *s)
{
    struct evaluate_options o = {.lot = option_text(&s->options, "lot")};
    struct period period = {0};
    struct findings *findings = NULL;
    enum exit_status status = filter_rules(s, &o);

    if (status == STATUS_CLEAN)
        status = check_lot(s);
    if (status == STATUS_CLEAN && option_flag(&s->options, "file") &&
        option_text(&s->options, "book") == NULL)
        status = session_usage(s, "--book workroom.book", "--file: name the book to write into");
    if (status != STATUS_CLEAN)
        return status;
    make_title(s);
    if (!mark_outside(s, &period) || !plan_leave_out(s, NULL) ||
        (findings = session_evaluate(s, &o)) == NULL) {
        status = session_trouble(s);
        goto out;
    }
    session_describe(s);
    s->report.findings = findings;
    s->report.shows = in_period;
    s->report.shows_user = &period;
    s->report.summary = o.lot == NULL;
    for (size_t i = 0; i < findings->count; i++)
        s->report.hidden += !in_period(&findings->items[i], &period);
    status = fill(s, findings);
    if (status == STATUS_CLEAN && option_flag(&s->options, "file"))
        status = audit_into_book(s);
    if (status == STATUS_CLEAN)
        status = session_report(s);
out:
    s->report.findings = NULL;
    findings_free(findings);
    sqlite3_finalize(period.is_outside);
    return status;
}

const struct command command_audit = {
    .name = "audit",
    .summary = "judge every record by every rule",
    .operands = "FILES...",
    .about =
        "Reads record files (and the book, with --book) and judges every record by every rule: "
        "what fails, what could not be told and why, by topic, by rule and by lot. Planned "
        "batches are left out.\n\n"
        "A folder stands for the .xml, .csv and .tsv files in it. Findings that belong to no lot "
        "(the premises, the places) are shown whatever the period.",
    .examples = "  lotward audit records/\n"
                "  lotward audit --as-of 2026-12-31 --from 2026-01-01 records/*.xml\n"
                "  lotward audit --book workroom.book --topic label\n",
    .options = options,
    .option_count = LW_COUNT(options),
    .facts = "lot_history",
    .flags = NEEDS_RECORDS | NEEDS_FACTS | NEEDS_RULES | MAY_BOOK | TAKES_FILES | MAKES_REPORT |
             SHOWS_UNITS,
    .run = run,
};
