/* page_findings.c - findings and closing lines of a printable page; and the page of any report. */
#include "text/base.h"

#include "report/blanks.h"
#include "report/format.h"
#include "report/page.h"
#include "report/text_parts.h"
#include "text/mem.h"
#include "text/utf8.h"

static void put_pair(struct sbuf *out, const char *label, const char *text)
{
    if (text == NULL || *text == '\0')
        return;
    sbuf_printf(out, "<dt>%s</dt><dd>", label);
    page_text(out, text);
    sbuf_puts(out, "</dd>\n");
}

static void put_where(struct sbuf *out, const struct finding *f)
{
    struct sbuf b = SBUF_INIT;

    text_where(&b, f);
    sbuf_puts(out, " <span class=\"m\">(");
    page_text(out, b.s);
    sbuf_puts(out, ")</span>");
    if (b.failed)
        out->failed = true;
    sbuf_free(&b);
}

static void put_measure(struct sbuf *out, const struct finding *f)
{
    if (f->value == NULL || f->limit == NULL)
        return;
    sbuf_puts(out, "<br><span class=\"m\">");
    page_text(out, f->value);
    sbuf_puts(out, "; limit: ");
    page_text(out, f->limit);
    if (f->limit_source != NULL) {
        sbuf_puts(out, " [");
        page_text(out, f->limit_source);
        sbuf_puts(out, "]");
    }
    sbuf_puts(out, "</span>");
}

static void put_sources(struct sbuf *out, const struct rule *rule)
{
    sbuf_puts(out, "<dt>Source</dt>");
    for (size_t i = 0; i < rule->source_count; i++) {
        const struct rule_source *s = &rule->sources[i];

        sbuf_puts(out, "<dd>");
        page_text(out, s->work);
        if (s->section != NULL) {
            sbuf_putc(out, ' ');
            page_text(out, s->section);
        }
        if (s->edition != NULL) {
            sbuf_puts(out, ", ");
            page_text(out, s->edition);
        }
        sbuf_puts(out, " (");
        page_text(out, report_sureness(s->sure));
        sbuf_puts(out, ")</dd>\n");
    }
}

static void rule_tail(struct sbuf *out, const struct rule *rule)
{
    char decider[64];

    sbuf_puts(out, "</ul><dl class=\"p\">\n");
    put_pair(out, "Why", rule->why);
    put_pair(out, "What to do", rule->todo);
    put_sources(out, rule);
    put_pair(out, "Who decides", report_decider(rule->decides, decider, sizeof decider));
    sbuf_puts(out, "</dl></section>\n");
}

static void put_failures(struct sbuf *out, const struct report *r)
{
    const struct rule *rule = NULL;

    for (size_t i = 0; i < r->findings->count; i++) {
        const struct finding *f = &r->findings->items[i];

        if (f->verdict != VERDICT_FAILS || f->waiver != NULL || !report_shows(r, f))
            continue;
        if (rule != f->rule) {
            if (rule != NULL)
                rule_tail(out, rule);
            else
                sbuf_puts(out, "<h2>Findings</h2>\n");
            rule = f->rule;
            sbuf_printf(out, "<section><h3><span class=\"w\">%s</span> ",
                        severity_name(rule->severity));
            page_text(out, rule->title);
            sbuf_puts(out, " <span class=\"m\">[");
            page_text(out, rule->id);
            sbuf_puts(out, "]</span></h3>\n<ul>\n");
        }
        sbuf_puts(out, "<li>");
        page_text(out, f->message != NULL ? f->message : f->rule->title);
        put_where(out, f);
        put_measure(out, f);
        sbuf_puts(out, "</li>\n");
    }
    if (rule != NULL)
        rule_tail(out, rule);
}

/* Verdicts left open and findings answered by a waiver: one line each. */
static void put_rest(struct sbuf *out, const struct report *r, bool waived, const char *title)
{
    bool any = false;

    for (size_t i = 0; i < r->findings->count; i++) {
        const struct finding *f = &r->findings->items[i];

        if (waived != (f->waiver != NULL) || !report_shows(r, f) ||
            (!waived && f->verdict != VERDICT_CANNOT_TELL))
            continue;
        if (!any)
            sbuf_printf(out, "<h2>%s</h2>\n<ul>\n", title);
        any = true;
        sbuf_puts(out, "<li>");
        page_text(out, f->rule->title);
        sbuf_puts(out, f->verdict == VERDICT_CANNOT_TELL ? "; needs: " : ": ");
        page_text(out, f->verdict == VERDICT_CANNOT_TELL ? f->needs : f->message);
        if (waived) {
            sbuf_puts(out, " Waiver ");
            page_text(out, f->waiver);
            sbuf_puts(out, ": ");
            page_text(out, f->waiver_reason);
        }
        put_where(out, f);
        sbuf_puts(out, "</li>\n");
    }
    if (any)
        sbuf_puts(out, "</ul>\n");
}

/* By entry, then a line a lot, as on the terminal. */
static void put_blanks(struct sbuf *out, const struct report *r)
{
    struct blanks *b = blanks_gather(r);

    if (b == NULL) {
        out->failed = true;
        return;
    }
    sbuf_printf(
        out,
        "<section><h2>Could not be told</h2>\n<p>What is not written down cannot be judged: "
        "%lu verdicts are open for want of these entries.</p>\n<table><thead><tr>"
        "<th scope=\"col\">missing</th><th scope=\"col\" class=\"n\">verdicts</th>"
        "<th scope=\"col\" class=\"n\">records</th></tr></thead>\n<tbody>\n",
        b->verdicts);
    for (size_t i = 0; i < b->entry_count; i++) {
        sbuf_puts(out, "<tr><td>");
        page_text(out, b->entries[i].what);
        sbuf_printf(out, "</td><td class=\"n\">%lu</td><td class=\"n\">%lu</td></tr>\n",
                    b->entries[i].verdicts, b->entries[i].records);
    }
    sbuf_puts(out, "</tbody></table>\n<table><thead><tr><th scope=\"col\">lot or record</th>"
                   "<th scope=\"col\" class=\"n\">open</th><th scope=\"col\" class=\"n\">blank"
                   "</th></tr></thead>\n<tbody>\n");
    for (size_t i = 0; i < b->lot_count; i++) {
        sbuf_printf(out, "<tr><td>%s ", b->lots[i].kind);
        page_text(out, b->lots[i].id);
        sbuf_printf(out, "</td><td class=\"n\">%lu</td><td class=\"n\">%zu</td></tr>\n",
                    b->lots[i].verdicts, b->lots[i].count);
    }
    sbuf_puts(out, "</tbody></table></section>\n");
    blanks_free(b);
}

void page_headline(struct sbuf *out, const struct report *r)
{
    struct report_totals n;

    if (r->findings == NULL)
        return;
    n = report_count(r);
    sbuf_printf(out, "<p class=\"w\">%lu stop, %lu fix, %lu query, %lu note; %lu could not be told",
                n.fails[SEVERITY_STOP], n.fails[SEVERITY_FIX], n.fails[SEVERITY_QUERY],
                n.fails[SEVERITY_NOTE], n.untold);
    if (n.waived > 0)
        sbuf_printf(out, "; %lu answered by a waiver", n.waived);
    if (r->hidden > 0)
        sbuf_printf(out, ". %lu about other records not shown", r->hidden);
    sbuf_puts(out, ".</p>\n");
}

void page_findings_list(struct sbuf *out, const struct report *r)
{
    if (r->findings == NULL)
        return;
    put_failures(out, r);
    if (blanks_are_many(r))
        put_blanks(out, r);
    else
        put_rest(out, r, false, "Could not be told");
    put_rest(out, r, true, "Answered by a waiver");
}

void page_findings(struct sbuf *out, const struct report *r)
{
    page_headline(out, r);
    page_findings_list(out, r);
}

void page_close(struct sbuf *out, const struct report *r)
{
    struct report_totals n;
    size_t start, first;

    sbuf_puts(out, "</main>\n<footer>\n");
    start = out->len;
    sbuf_puts(out, "<h2>What this page rests on</h2>\n<ul class=\"m\">\n");
    first = out->len;
    if (r->findings != NULL) {
        n = report_count(r);
        sbuf_printf(out, "<li>%lu rules run; %lu records read, %lu not read</li>\n", n.rules_run,
                    n.read, n.refused);
    }
    for (size_t i = 0; i < r->code_set_count; i++) {
        sbuf_puts(out, "<li>");
        page_text(out, r->code_sets[i].id);
        sbuf_puts(out, ": ");
        page_text(out, r->code_sets[i].title);
        sbuf_puts(out, "</li>\n");
    }
    if (r->code_sets_default)
        sbuf_puts(out, "<li>The premises record names no code set; the cautious generic one was "
                       "taken.</li>\n");
    for (size_t i = 0; i < r->replacement_count; i++) {
        sbuf_puts(out, "<li>");
        page_text(out, r->replacements[i]);
        sbuf_puts(out, "</li>\n");
    }
    for (size_t i = 0; i < r->note_count; i++) {
        sbuf_puts(out, "<li>");
        page_text(out, r->notes[i]);
        sbuf_puts(out, "</li>\n");
    }
    if (out->len > first) {
        sbuf_puts(out, "</ul>\n");
    } else if (!out->failed) { /* a heading over nothing is left out */
        out->len = start;
        out->s[start] = '\0';
    }
    page_paragraph(out, "defer", report_deferral());
    for (size_t i = 0; i < r->incomplete_count; i++) {
        sbuf_puts(out, "<p class=\"w\">Incomplete: ");
        page_text(out, r->incomplete[i]);
        sbuf_puts(out, "</p>\n");
    }
    sbuf_puts(out, "</footer>\n</body></html>\n");
}

void report_page(const struct report *r, const struct report_style *style, struct sbuf *out)
{
    (void)style;
    if (r->page != NULL) {
        r->page(r, out);
        return;
    }
    page_open(out, r);
    if (r->page_body != NULL) {
        r->page_body(r, r->page_user, out);
    } else {
        for (size_t i = 0; i < r->table_count; i++)
            page_table(out, r->tables[i]);
        page_findings(out, r);
    }
    page_close(out, r);
}
