/* text_short.c - sections that tell each finding in one entry: what was so before a plan, and what
 * a waiver answers. */
#include "text/base.h"

#include "report/layout.h"
#include "report/text_parts.h"

static void put_entry(struct sbuf *out, const struct report_style *style, const struct finding *f)
{
    struct sbuf b = SBUF_INIT;

    sbuf_printf(&b, "%s %s [%s]: ", text_severity(f->rule->severity), f->rule->title, f->rule->id);
    sbuf_puts(&b, f->verdict == VERDICT_CANNOT_TELL ? f->needs : f->message);
    sbuf_puts(&b, " (");
    text_where(&b, f);
    if (f->waiver != NULL)
        sbuf_printf(&b, "; waiver %s: %s", f->waiver, f->waiver_reason);
    sbuf_putc(&b, ')');
    layout_wrap(out, style->width, "  - ", 4, b.s);
    if (b.failed)
        out->failed = true;
    sbuf_free(&b);
}

void text_already(struct sbuf *out, const struct report_style *style, const struct report *r)
{
    bool any = false;

    if (r->before == NULL)
        return;
    for (size_t i = 0; i < r->findings->count; i++) {
        const struct finding *f = &r->findings->items[i];

        if (f->verdict != VERDICT_FAILS || f->waiver != NULL || !report_shows(r, f) ||
            report_by_plan(r, f))
            continue;
        if (!any) {
            layout_heading(out, style, "Already so before this plan");
            layout_wrap(out, style->width, NULL, 0,
                        "`lotward explain RULE` says why and what to do; `lotward audit` tells "
                        "these in full.");
            sbuf_putc(out, '\n');
        }
        any = true;
        put_entry(out, style, f);
    }
    if (any)
        sbuf_putc(out, '\n');
}

void text_waived(struct sbuf *out, const struct report_style *style, const struct report *r)
{
    bool any = false;

    for (size_t i = 0; i < r->findings->count; i++) {
        const struct finding *f = &r->findings->items[i];

        if (f->waiver == NULL || !report_shows(r, f))
            continue;
        if (!any)
            layout_heading(out, style, "Answered by a waiver");
        any = true;
        put_entry(out, style, f);
    }
    if (any)
        sbuf_putc(out, '\n');
}
