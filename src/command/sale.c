/* sale.c - lotward sale: the papers, labels and carriage of a sale, before the goods leave.
 *
 * A sale reaches back through its lines to lots, labels, what the lots were made from, and the
 * documents that cover it. All that is the sale's scope; findings about anything in it are shown.
 */
#include "text/base.h"

#include "command/plan.h"
#include "command/rows.h"
#include "command/scope.h"
#include "text/utf8.h"

/* A finding about another sale of the same lot is not about this one. */
static bool in_scope(const struct finding *f, const void *user)
{
    const struct scope *scope = user;

    if (str_eq(f->subject_kind, "sale") || str_eq(f->subject_kind, "line"))
        return scope_has(scope, f->subject);
    return scope_has(scope, f->subject) || scope_has(scope, f->lot);
}

static void put_line(struct session *s, sqlite3_stmt *st, void *user)
{
    struct report_table *t = user;

    for (int i = 0; i < 7; i++)
        report_cell(&s->report, t, rows_text(st, i));
}

static bool put_lines(struct session *s)
{
    struct report_table *t =
        report_add_table(&s->report, "lines", "What is sold", NULL, TABLE_GRID);
    static const char *const heads[] = {"sale", "lot", "product", "bottles", "size", "to", "by"};

    for (size_t i = 0; i < LW_COUNT(heads); i++)
        report_column(&s->report, t, heads[i], NULL, NULL, ALIGN_LEFT);
    return rows_select(
        s,
        "select l.sale, coalesce(l.batch, l.receipt),"
        " coalesce(b.product, r.name, r.material, l.description),"
        " l.bottles, coalesce(l.bottle_size, l.quantity), s.\"to\", s.mode"
        " from rec_line l join rec_sale s on s.id = l.sale"
        " left join rec_batch b on b.id = l.batch left join rec_receipt r on r.id = l.receipt"
        " where s.id in (select id from temp.scope) order by s.id, l.rid",
        NULL, NULL, put_line, t);
}

static enum exit_status fill(struct session *s, struct scope *scope)
{
    bool ok = scope_open(s, scope);

    for (size_t i = 0; ok && i < s->name_count; i++) {
        if (rows_count(s, "select count(*) from rec_sale where id = ?1", s->names[i], &ok) == 0 &&
            ok)
            return session_usage(s, NULL, "there is no sale '%s' in these records", s->names[i]);
        ok = ok && scope_add(s, s->names[i], false);
    }
    return ok ? STATUS_CLEAN : session_trouble(s);
}

static void make_title(struct session *s)
{
    struct sbuf b = SBUF_INIT;

    sbuf_puts(&b, "Papers, label and carriage of sale");
    for (size_t i = 0; i < s->name_count; i++)
        sbuf_printf(&b, "%s %s", i > 0 ? "," : "", s->names[i]);
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
    enum exit_status status;

    if (s->name_count == 0)
        return session_usage(s, "lotward sale SALE FILES...", "name the sale");
    status = fill(s, &scope);
    if (status != STATUS_CLEAN)
        goto out;
    make_title(s);
    if (!plan_leave_out(s, NULL) || !put_lines(s) || (findings = session_evaluate(s, &o)) == NULL) {
        status = session_trouble(s);
        goto out;
    }
    session_describe(s);
    s->report.findings = findings;
    s->report.shows = in_scope;
    s->report.shows_user = &scope;
    for (size_t i = 0; i < findings->count; i++)
        s->report.hidden += !in_scope(&findings->items[i], &scope);
    status = session_report(s);
out:
    s->report.findings = NULL;
    findings_free(findings);
    scope_close(&scope);
    return status;
}

const struct command command_sale = {
    .name = "sale",
    .summary = "check the papers, label and carriage of a sale",
    .operands = "SALE... FILES...",
    .about = "Shows what is open about a sale before the goods leave: its lines, the lots and "
             "labels in them, the received materials those lots were made from, and the documents "
             "that cover all of it. An operand that is a file, or ends in .xml, .csv or .tsv, is "
             "read; the others name sales.",
    .examples = "  lotward sale S-2026-014 records/\n"
                "  lotward sale --book workroom.book S-2026-014\n",
    .flags = NEEDS_RECORDS | NEEDS_FACTS | NEEDS_RULES | MAY_BOOK | MAKES_REPORT,
    .run = run,
};
