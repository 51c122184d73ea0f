/* report_text.c - the report for people at a terminal: head, tables, findings, closing lines.
 *
 * A finding reads in one order everywhere: what, where, by how much, why, what to do, source, who
 * decides. Findings of one rule stand together, so that why and source are said once. */
#include "text/base.h"

#include "report/layout.h"
#include "report/text_parts.h"
#include "text/date.h"
#include "text/utf8.h"

const char *text_severity(enum severity s)
{
    static const char *const words[] = {
        [SEVERITY_NOTE] = "NOTE",
        [SEVERITY_QUERY] = "QUERY",
        [SEVERITY_FIX] = "FIX",
        [SEVERITY_STOP] = "STOP",
    };

    return words[s];
}

static enum layout_paint severity_paint(enum severity s)
{
    static const enum layout_paint paints[] = {
        [SEVERITY_NOTE] = PAINT_STRONG,
        [SEVERITY_QUERY] = PAINT_QUERY,
        [SEVERITY_FIX] = PAINT_FIX,
        [SEVERITY_STOP] = PAINT_STOP,
    };

    return paints[s];
}

void text_where(struct sbuf *b, const struct finding *f)
{
    if (f->file != NULL) {
        sbuf_puts(b, f->file);
        if (f->line > 0)
            sbuf_printf(b, ":%ld", f->line);
        sbuf_puts(b, ", ");
    }
    if (f->subject_kind != NULL)
        sbuf_printf(b, "%s ", f->subject_kind);
    sbuf_puts(b, f->subject == NULL ? "(no id)" : f->subject);
    if (f->lot != NULL && !str_eq(f->lot, f->subject))
        sbuf_printf(b, ", lot %s", f->lot);
}

static void put_measure(struct sbuf *b, const struct report *r, const struct finding *f)
{
    const struct finding *before = report_before(r, f);

    sbuf_puts(b, f->value);
    if (before != NULL && before->value != NULL && !str_eq(before->value, f->value))
        sbuf_printf(b, " (before this plan: %s)", before->value);
    if (f->limit != NULL)
        sbuf_printf(b, "%slimit: %s", b->len > 0 ? "; " : "", f->limit);
    if (f->limit_source != NULL)
        sbuf_printf(b, " [%s]", f->limit_source);
}

static void put_item(struct sbuf *out, const struct report_style *style, const struct report *r,
                     const struct finding *f)
{
    struct sbuf b = SBUF_INIT;

    if (r->before != NULL)
        sbuf_puts(&b, f->is_new ? "NEW with this plan: " : "CHANGED by this plan: ");
    sbuf_puts(&b, f->message == NULL ? f->rule->title : f->message);
    layout_wrap(out, style->width, "    - ", TEXT_MARGIN, b.s);
    if (b.failed)
        out->failed = true;
    sbuf_clear(&b);
    text_where(&b, f);
    layout_labelled(out, style->width, TEXT_MARGIN, TEXT_INDENT, "where", b.s);
    if (b.failed)
        out->failed = true;
    sbuf_clear(&b);
    put_measure(&b, r, f);
    layout_labelled(out, style->width, TEXT_MARGIN, TEXT_INDENT, "by how much", b.s);
    if (b.failed)
        out->failed = true;
    sbuf_free(&b);
}

void text_sources(struct sbuf *out, int width, const struct rule *rule)
{
    for (size_t i = 0; i < rule->source_count; i++) {
        const struct rule_source *s = &rule->sources[i];
        struct sbuf b = SBUF_INIT;

        sbuf_puts(&b, s->work);
        if (s->section != NULL)
            sbuf_printf(&b, " %s", s->section);
        if (s->edition != NULL)
            sbuf_printf(&b, ", %s", s->edition);
        sbuf_printf(&b, " (%s)", report_sureness(s->sure));
        layout_labelled(out, width, TEXT_MARGIN, TEXT_INDENT, i == 0 ? "source" : "", b.s);
        if (b.failed)
            out->failed = true;
        sbuf_free(&b);
    }
}

static void put_rule_head(struct sbuf *out, const struct report_style *style,
                          const struct rule *rule)
{
    struct sbuf b = SBUF_INIT;
    const char *word = text_severity(rule->severity);

    layout_paint(out, style, severity_paint(rule->severity));
    sbuf_puts(out, word);
    layout_paint(out, style, PAINT_NONE);
    sbuf_pad(out, ' ', (size_t)TEXT_MARGIN - strlen(word));
    sbuf_printf(&b, "%s [%s]", rule->title, rule->id);
    layout_wrap_from(out, style->width, TEXT_MARGIN, TEXT_MARGIN, b.s);
    if (b.failed)
        out->failed = true;
    sbuf_free(&b);
}

static void put_rule_tail(struct sbuf *out, const struct report_style *style,
                          const struct rule *rule, size_t items)
{
    char decider[64];

    if (items > 1) /* the reasons are those of all the items above, not of the last alone */
        sbuf_putc(out, '\n');
    layout_labelled(out, style->width, TEXT_MARGIN, TEXT_INDENT, "why", rule->why);
    layout_labelled(out, style->width, TEXT_MARGIN, TEXT_INDENT, "what to do", rule->todo);
    text_sources(out, style->width, rule);
    layout_labelled(out, style->width, TEXT_MARGIN, TEXT_INDENT, "who decides",
                    report_decider(rule->decides, decider, sizeof decider));
    sbuf_putc(out, '\n');
}

/* With a plan, what was so before it is told shortly, in a section of its own. */
static bool is_told_in_full(const struct report *r, const struct finding *f)
{
    return f->verdict == VERDICT_FAILS && f->waiver == NULL && report_shows(r, f) &&
           (r->before == NULL || report_by_plan(r, f));
}

/* The list is sorted by severity and rule, so the findings of a rule are neighbours. */
static void put_failures(struct sbuf *out, const struct report_style *style, const struct report *r)
{
    const struct rule *rule = NULL;
    size_t items = 0; /* of this rule */

    for (size_t i = 0; i < r->findings->count; i++) {
        const struct finding *f = &r->findings->items[i];

        if (!is_told_in_full(r, f))
            continue;
        if (rule != f->rule) {
            if (rule == NULL)
                layout_heading(out, style,
                               r->before == NULL ? "Findings" : "What this plan brings");
            else
                put_rule_tail(out, style, rule, items);
            rule = f->rule;
            items = 0;
            put_rule_head(out, style, rule);
        }
        put_item(out, style, r, f);
        items++;
    }
    if (rule != NULL)
        put_rule_tail(out, style, rule, items);
}

static void put_headline(struct sbuf *out, const struct report_style *style, const struct report *r)
{
    struct report_totals n = report_count(r);
    struct sbuf b = SBUF_INIT;

    sbuf_printf(&b, "%lu stop, %lu fix, %lu query, %lu note; %lu could not be told",
                n.fails[SEVERITY_STOP], n.fails[SEVERITY_FIX], n.fails[SEVERITY_QUERY],
                n.fails[SEVERITY_NOTE], n.untold);
    if (r->before != NULL)
        sbuf_printf(&b, "; %lu new with this plan", n.fresh);
    if (n.waived > 0)
        sbuf_printf(&b, "; %lu answered by a waiver", n.waived);
    if (r->hidden > 0)
        sbuf_printf(&b, ". %lu about other records not shown", r->hidden);
    sbuf_putc(&b, '.');
    layout_wrap(out, style->width, NULL, 0, b.s);
    if (b.failed)
        out->failed = true;
    sbuf_free(&b);
}

static void put_head(struct sbuf *out, const struct report_style *style, const struct report *r)
{
    char day[11];

    if (r->title != NULL) {
        struct sbuf clean = SBUF_INIT;

        utf8_put_clean(&clean, r->title, false);
        layout_paint(out, style, PAINT_STRONG);
        layout_wrap(out, style->width, NULL, 0, clean.s);
        layout_paint(out, style, PAINT_NONE);
        if (clean.failed)
            out->failed = true;
        sbuf_free(&clean);
    }
    if (r->dated)
        sbuf_printf(out, "As of %s.\n", date_format(r->as_of, day));
    if (r->findings != NULL)
        put_headline(out, style, r);
    if (r->title != NULL || r->dated || r->findings != NULL)
        sbuf_putc(out, '\n');
}

void report_text(const struct report *r, const struct report_style *style, struct sbuf *out)
{
    put_head(out, style, r);
    for (size_t i = 0; i < r->table_count; i++)
        layout_table(out, style, r->tables[i]);
    if (r->findings != NULL) {
        put_failures(out, style, r);
        text_untold(out, style, r);
        text_already(out, style, r);
        text_waived(out, style, r);
    }
    text_closing(out, style, r);
}
