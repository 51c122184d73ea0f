/* text_closing.c - the lines every report ends with. */
#include "text/base.h"

#include "report/layout.h"
#include "report/text_parts.h"

static void put_verdicts(struct sbuf *b, const unsigned long counts[4])
{
    sbuf_printf(b, "%lu held, %lu failed, %lu could not be told, %lu did not apply",
                counts[VERDICT_HOLDS], counts[VERDICT_FAILS], counts[VERDICT_CANNOT_TELL],
                counts[VERDICT_NOT_APPLICABLE]);
}

static void put_line(struct sbuf *out, const struct report_style *style, const char *label,
                     struct sbuf *b)
{
    layout_labelled(out, style->width, 0, TEXT_LABEL, label, b->s);
    if (b->failed)
        out->failed = true;
    sbuf_free(b);
}

/* Rules that failed or stayed open and rest on nothing better than memory. */
static unsigned long unconfirmed_rules(const struct report *r)
{
    unsigned long n = 0;

    for (size_t i = 0; i < r->findings->tally_count; i++) {
        const struct rule_tally *t = &r->findings->tallies[i];
        bool memory = false;

        for (size_t k = 0; k < t->rule->source_count; k++)
            memory = memory || report_unconfirmed(t->rule->sources[k].sure);
        if (memory && t->verdicts[VERDICT_FAILS] > 0)
            n++;
    }
    return n;
}

static void put_rules(struct sbuf *out, const struct report_style *style, const struct report *r)
{
    struct report_totals n = report_count(r);
    unsigned long doubtful = unconfirmed_rules(r);
    struct sbuf b = SBUF_INIT;

    sbuf_printf(&b, "%lu run: ", n.rules_run);
    put_verdicts(&b, n.rules);
    put_line(out, style, "Rules", &b);
    put_verdicts(&b, n.rows);
    put_line(out, style, "Verdicts", &b);
    if (doubtful > 0) {
        sbuf_printf(&b, "%lu of the rules that failed cite%s a source from memory; look it up.",
                    doubtful, doubtful == 1 ? "s" : "");
        put_line(out, style, "Unconfirmed", &b);
    }
}

static void put_records(struct sbuf *out, const struct report_style *style, const struct report *r)
{
    struct report_totals n = report_count(r);
    struct sbuf b = SBUF_INIT;
    size_t files = 0;
    bool book = false;

    for (size_t i = 0; i < r->input_count; i++) {
        if (r->inputs[i].book)
            book = true;
        else
            files++;
    }
    sbuf_printf(&b, "%lu read, %lu not read", n.read, n.refused);
    if (files > 0)
        sbuf_printf(&b, "; %zu file%s", files, files == 1 ? "" : "s");
    if (book)
        sbuf_puts(&b, files > 0 ? " and the book" : "; the book");
    put_line(out, style, "Records", &b);
}

static void put_code_sets(struct sbuf *out, const struct report_style *style,
                          const struct report *r)
{
    for (size_t i = 0; i < r->code_set_count; i++) {
        const struct report_code_set *c = &r->code_sets[i];
        struct sbuf b = SBUF_INIT;

        sbuf_puts(&b, c->id);
        if (c->title != NULL)
            sbuf_printf(&b, ": %s", c->title);
        if (c->edition != NULL)
            sbuf_printf(&b, ", %s", c->edition);
        put_line(out, style, i == 0 ? "Code sets" : "", &b);
    }
    if (r->code_sets_default)
        layout_labelled(out, style->width, 0, TEXT_LABEL, r->code_set_count == 0 ? "Code sets" : "",
                        "The premises record names none, so the cautious generic set was taken.");
    for (size_t i = 0; i < r->replacement_count; i++)
        layout_labelled(out, style->width, 0, TEXT_LABEL, i == 0 ? "Local limits" : "",
                        r->replacements[i]);
    if (r->findings != NULL && r->replacement_count == 0)
        layout_labelled(out, style->width, 0, TEXT_LABEL, "Local limits", "none in force");
}

void text_closing(struct sbuf *out, const struct report_style *style, const struct report *r)
{
    if (r->findings != NULL || r->input_count > 0)
        layout_heading(out, style, "What this report rests on");
    if (r->findings != NULL)
        put_rules(out, style, r);
    if (r->input_count > 0)
        put_records(out, style, r);
    put_code_sets(out, style, r);
    for (size_t i = 0; i < r->note_count; i++)
        layout_labelled(out, style->width, 0, TEXT_LABEL, i == 0 ? "Notes" : "", r->notes[i]);
    if (out->len > 0 && out->s[out->len - 1] == '\n' &&
        r->input_count + r->code_set_count + r->note_count > 0)
        sbuf_putc(out, '\n');
    layout_wrap(out, style->width, NULL, 0, report_deferral());
    for (size_t i = 0; i < r->incomplete_count; i++) {
        struct sbuf b = SBUF_INIT;

        sbuf_printf(&b, "INCOMPLETE: %s", r->incomplete[i]);
        layout_paint(out, style, PAINT_STOP);
        layout_wrap(out, style->width, NULL, 0, b.s);
        layout_paint(out, style, PAINT_NONE);
        if (b.failed)
            out->failed = true;
        sbuf_free(&b);
    }
}
