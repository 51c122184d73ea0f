/* lot.c - lotward lot: one lot, as recorded, as computed, and what is open about it. */
#include "text/base.h"

#include "command/lot_table.h"
#include "command/plan.h"
#include "text/utf8.h"

static bool about_lot(const struct finding *f, const void *user)
{
    const char *lot = user;

    return str_eq(f->lot, lot) || str_eq(f->subject, lot);
}

static enum exit_status run(struct session *s)
{
    struct evaluate_options o = {0};
    struct findings *findings = NULL;
    enum exit_status status;
    struct sbuf title = SBUF_INIT;
    const char *kind = "batch", *lot;

    if (s->name_count != 1)
        return session_usage(s, "lotward lot LOT FILES...", "name one lot");
    lot = s->names[0];
    if (!lot_table_full(s, kind, lot)) {
        kind = "receipt";
        if (!lot_table_full(s, kind, lot))
            return session_usage(s, NULL, "there is no lot '%s' in these records", lot);
    }
    sbuf_printf(&title, "Lot %s", lot);
    report_set_title(&s->report, title.s);
    if (title.failed)
        s->report.failed = true;
    sbuf_free(&title);
    if (!plan_leave_out(s, lot) || (findings = session_evaluate(s, &o)) == NULL ||
        !lot_table_facts(s, kind, lot)) {
        status = session_trouble(s);
        goto out;
    }
    session_describe(s);
    s->report.findings = findings;
    s->report.shows = about_lot;
    s->report.shows_user = lot;
    for (size_t i = 0; i < findings->count; i++)
        s->report.hidden += !about_lot(&findings->items[i], lot);
    status = session_report(s);
out:
    s->report.findings = NULL;
    findings_free(findings);
    return status;
}

const struct command command_lot = {
    .name = "lot",
    .summary = "show one lot: as recorded, as computed, what is open",
    .operands = "LOT FILES...",
    .about = "Prints everything recorded of one lot (a batch, or a receipt), what the facts make "
             "of it, and the findings about it. An operand that is a file, or ends in .xml, .csv "
             "or .tsv, is read; the other names the lot.",
    .examples = "  lotward lot L-2026-012 records/\n",
    .flags = NEEDS_RECORDS | NEEDS_FACTS | NEEDS_RULES | MAY_BOOK | MAKES_REPORT | SHOWS_UNITS,
    .run = run,
};
