/* label.c - lotward label: what a lot's label must carry, what it lacks, and the text that would
 * be complete. */
#include "text/base.h"

#include "command/label_draft.h"
#include "command/label_make.h"
#include "command/label_proof.h"
#include "command/label_tables.h"
#include "command/plan.h"
#include "command/rows.h"
#include "text/utf8.h"

static const struct option_spec options[] = {
    {"market", 'm', OPTION_TEXT, "MARKET", NULL,
     "Where it is sold: EU, NI, GB, US, CA or a country of the EU; else that of its label", 0, 0},
    {"use", 'u', OPTION_CHOICE, "USE", "cosmetic consumer-chemical maker-material workroom-vessel",
     "What it is sold as; else that of its label, or what the lot is sold as", 0, 0},
    {"size", 's', OPTION_TEXT, "VOLUME", NULL,
     "Judge a bottle of this size, for example 10 mL, whatever the label says", 0, 0},
    {"copies", 0, OPTION_INTEGER, "N", NULL, "Proofs on the page", 1, 40},
    {"record", 0, OPTION_FLAG, NULL, NULL,
     "Print the complete label as a record alone, ready to put in a file", 0, 0},
};

static bool about_label(const struct finding *f, const void *user)
{
    return str_eq(f->subject_kind, "label") && str_eq(f->subject, user);
}

static bool title(struct session *s, const char *lot)
{
    struct sbuf b = SBUF_INIT;
    const char *market = option_text(&s->options, "market");

    sbuf_printf(&b, "Label of lot %s%s%s", lot, market != NULL ? " for " : "",
                market != NULL ? market : "");
    report_set_title(&s->report, b.s);
    sbuf_free(&b);
    return !s->report.failed;
}

static enum exit_status report(struct session *s, const char *label, struct label_draft *draft,
                               struct findings *findings)
{
    struct sbuf proof = SBUF_INIT;
    enum exit_status status;

    label_tables_text(s, draft);
    if (!label_proof(s, label, draft, &proof)) {
        sbuf_free(&proof);
        return session_trouble(s);
    }
    s->report.failed = s->report.failed || proof.failed;
    s->report.page_body = label_proof_page;
    s->report.page_user = proof.s;
    session_describe(s);
    s->report.findings = findings;
    s->report.shows = about_label;
    s->report.shows_user = label;
    for (size_t i = 0; i < findings->count; i++)
        s->report.hidden += !about_label(&findings->items[i], label);
    status = session_report(s);
    s->report.page_user = NULL;
    sbuf_free(&proof);
    return status;
}

static enum exit_status record(struct session *s, const struct label_draft *draft)
{
    struct sbuf b = SBUF_INIT;

    label_draft_record(draft, &b);
    if (b.failed)
        diags_out_of_memory(s->diags);
    else
        session_write(s, b.s, b.len);
    sbuf_free(&b);
    session_show_diags(s);
    return b.failed ? STATUS_TROUBLE : STATUS_CLEAN;
}

static enum exit_status run(struct session *s)
{
    struct evaluate_options o = {.topic = "label"};
    struct findings *findings = NULL;
    struct label_draft draft = {0};
    char label[LABEL_ID_MOST];
    enum exit_status status;

    if (s->name_count != 1)
        return session_usage(s, "lotward label LOT --market M FILES...", "name one lot");
    status = label_make(s, s->names[0], label, sizeof label);
    if (status != STATUS_CLEAN)
        return status;
    if (!title(s, s->names[0]) || !plan_leave_out(s, s->names[0]) ||
        (findings = session_evaluate(s, &o)) == NULL || !label_tables_asked(s, label) ||
        !label_fill(s, label) || !label_draft_make(s, label, &draft))
        status = session_trouble(s);
    else if (option_flag(&s->options, "record"))
        status = record(s, &draft);
    else
        status = report(s, label, &draft, findings);
    s->report.findings = NULL;
    findings_free(findings);
    label_draft_free(&draft);
    return status;
}

const struct command command_label = {
    .name = "label",
    .summary = "what a lot's label must carry, what it lacks, the text that would be complete",
    .operands = "LOT FILES...",
    .about = "Works out the hazard classes of the lot, lists what each label regime of the market "
             "asks for, ticks what the label record has, and prints the text that would be "
             "complete, ready to paste. With --format page it prints proofs at true size with a "
             "ruler. A lot without a label for the market is judged as if a blank one were "
             "there. Nothing is recorded.",
    .examples = "  lotward label 26-001 --market US records/\n"
                "  lotward label 26-001 --market FR --use cosmetic --size \"10 mL\" records/\n"
                "  lotward label 26-001 --format page records/ > proof.html\n",
    .options = options,
    .option_count = LW_COUNT(options),
    .flags = NEEDS_RECORDS | NEEDS_FACTS | NEEDS_RULES | MAY_BOOK | MAKES_REPORT | SHOWS_UNITS,
    .run = run,
};
