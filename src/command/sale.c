/* sale.c - lotward sale: the papers, labels and carriage of a sale, before the goods leave.
 *
 * A sale reaches back through its lines to lots, labels, what the lots were made from, and the
 * documents that cover it. All that is the sale's scope; findings about anything in it are shown.
 */
#include "text/base.h"

#include "command/audit_tables.h"
#include "command/plan.h"
#include "command/rows.h"
#include "command/sale_tables.h"
#include "command/sale_what_if.h"
#include "command/scope.h"
#include "record/country.h"
#include "text/utf8.h"

enum { SALE_ID_MOST = 96 };

static const struct option_spec options[] = {
    {"to", 't', OPTION_TEXT, "COUNTRY", NULL,
     "Ask what this country would want, whatever the sale says; lots may be named too", 0, 0},
};

/* A finding about another sale of the same lot is not about this one. */
static bool in_scope(const struct finding *f, const void *user)
{
    const struct scope *scope = user;

    if (str_eq(f->subject_kind, "sale") || str_eq(f->subject_kind, "line"))
        return scope_has(scope, f->subject);
    return scope_has(scope, f->subject) || scope_has(scope, f->lot);
}

/* The sale that an operand stands for: itself, or one made up for --to. */
static enum exit_status find_sale(struct session *s, const char *name, char *sale, size_t size)
{
    const char *to = option_text(&s->options, "to");
    bool ok = true;

    if (to != NULL)
        return sale_what_if(s, name, to, sale, size);
    snprintf(sale, size, "%s", name);
    if (rows_count(s, "select count(*) from rec_sale where id = ?1", name, &ok) > 0)
        return STATUS_CLEAN;
    return ok ? session_usage(s, "with --to COUNTRY a lot may be named too",
                              "there is no sale '%s' in these records", name)
              : session_trouble(s);
}

static enum exit_status fill(struct session *s, struct scope *scope)
{
    bool ok = scope_open(s, scope);

    for (size_t i = 0; ok && i < s->name_count; i++) {
        char sale[SALE_ID_MOST];
        enum exit_status status = find_sale(s, s->names[i], sale, sizeof sale);

        if (status != STATUS_CLEAN)
            return status;
        ok = scope_add(s, sale, false);
    }
    return ok ? STATUS_CLEAN : session_trouble(s);
}

static enum exit_status check_country(struct session *s)
{
    const char *to = option_text(&s->options, "to");
    const char *instead = to == NULL ? NULL : country_instead(to);
    char hint[64];

    if (to == NULL || (strlen(to) == 2 && country_status(to, 2) == COUNTRY_ISO))
        return STATUS_CLEAN;
    snprintf(hint, sizeof hint, "did you mean '%s'?", instead == NULL ? "" : instead);
    return session_usage(s, instead == NULL ? "two capital letters, as in ISO 3166-1" : hint,
                         "--to: '%s' is no country code", to);
}

static void make_title(struct session *s)
{
    struct sbuf b = SBUF_INIT;

    sbuf_puts(&b, "Papers, label and carriage of sale");
    for (size_t i = 0; i < s->name_count; i++)
        sbuf_printf(&b, "%s %s", i > 0 ? "," : "", s->names[i]);
    if (option_text(&s->options, "to") != NULL)
        sbuf_printf(&b, ", if it went to %s", option_text(&s->options, "to"));
    report_set_title(&s->report, b.s);
    if (b.failed)
        s->report.failed = true;
    sbuf_free(&b);
}

static enum exit_status run(struct session *s)
{
    struct evaluate_options o = {0};
    struct scope scope = {0};
    struct findings *findings = NULL;
    struct record_days *days = NULL;
    enum exit_status status;

    if (s->name_count == 0)
        return session_usage(s, "lotward sale SALE FILES...", "name the sale");
    status = check_country(s);
    if (status == STATUS_CLEAN)
        status = fill(s, &scope);
    if (status != STATUS_CLEAN)
        goto out;
    make_title(s);
    if (!plan_leave_out(s, NULL) || !sale_table_lines(s) ||
        (findings = session_evaluate(s, &o)) == NULL || !sale_tables_papers(s)) {
        status = session_trouble(s);
        goto out;
    }
    session_describe(s);
    s->report.findings = findings;
    s->report.shows = in_scope;
    s->report.shows_user = &scope;
    for (size_t i = 0; i < findings->count; i++)
        s->report.hidden += !in_scope(&findings->items[i], &scope);
    days = record_days_read(s);
    status = days != NULL && audit_by_lot(s, days) ? session_report(s) : session_trouble(s);
out:
    record_days_free(days);
    s->report.findings = NULL;
    findings_free(findings);
    scope_close(&scope);
    return status;
}

const struct command command_sale = {
    .name = "sale",
    .summary = "check the papers, label and carriage of a sale",
    .operands = "SALE... FILES...",
    .about = "Shows what a sale needs before the goods leave: its lines, what went into each lot, "
             "the listing of every animal and plant in it, the papers each country asks for, those "
             "held and those still to get, the chain back to receipts and documents, and what is "
             "open about labels and carriage. An operand that is a file, or ends in .xml, .csv or "
             ".tsv, is read; the others name sales.\n\n"
             "With --to the question is what if: the sale is judged as if it went to that country, "
             "and a lot or a received lot may be named in place of a sale. Nothing is recorded.",
    .examples = "  lotward sale S-2026-014 records/\n"
                "  lotward sale --to CH L-2026-012 records/\n"
                "  lotward sale --format page S-2026-014 records/ > packing.html\n",
    .options = options,
    .option_count = LW_COUNT(options),
    .facts = "permit_account sale_origin sale_paper",
    .flags = NEEDS_RECORDS | NEEDS_FACTS | NEEDS_RULES | MAY_BOOK | MAKES_REPORT | SHOWS_UNITS,
    .run = run,
};
