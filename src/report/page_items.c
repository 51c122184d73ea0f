/* page_items.c - findings as a list of open items: a few lines a rule, worst first, so that a year
 * of like findings does not fill a sheet; the other formats have every one. */
#include "text/base.h"

#include "report/format.h"
#include "report/page.h"

/* So many findings of one rule and verdict are written out. */
enum { SHOWN_OF_A_RULE = 3 };

static bool alike(const struct finding *a, const struct finding *b)
{
    return a->rule == b->rule && a->verdict == b->verdict &&
           (a->waiver == NULL) == (b->waiver == NULL);
}

static bool listed(const struct report *r, const struct finding *f, bool waived)
{
    return report_shows(r, f) && waived == (f->waiver != NULL);
}

/* Which record it is about, without the file it stands in: the sheet leaves the house. */
static void put_one(struct sbuf *out, const struct finding *f)
{
    page_text(out, f->verdict == VERDICT_CANNOT_TELL ? f->needs : f->message);
    if (f->subject != NULL && *f->subject != '\0') {
        sbuf_puts(out, " <span class=\"m\">(");
        page_text(out, f->subject_kind);
        sbuf_putc(out, ' ');
        page_text(out, f->subject);
        sbuf_puts(out, ")</span>");
    }
    if (f->waiver != NULL) {
        sbuf_puts(out, " Waiver ");
        page_text(out, f->waiver);
        if (f->waiver_reason != NULL) {
            sbuf_puts(out, ": ");
            page_text(out, f->waiver_reason);
        }
    }
}

/* One row for all findings like the one at `first`. */
static void put_row(struct sbuf *out, const struct report *r, size_t first, bool waived)
{
    const struct finding *f = &r->findings->items[first];
    unsigned long n = 0;

    sbuf_printf(out, "<tr><td>%s</td><td>",
                f->verdict == VERDICT_CANNOT_TELL ? "cannot tell"
                                                  : severity_name(f->rule->severity));
    page_text(out, f->rule->title);
    sbuf_puts(out, "</td><td>");
    for (size_t i = first; i < r->findings->count; i++) {
        const struct finding *other = &r->findings->items[i];

        if (!listed(r, other, waived) || !alike(f, other))
            continue;
        if (++n > SHOWN_OF_A_RULE)
            continue;
        if (n > 1)
            sbuf_puts(out, "<br>");
        put_one(out, other);
    }
    if (n > SHOWN_OF_A_RULE)
        sbuf_printf(out, "<br>%d of %lu are written out here; the text and JSON formats have all.",
                    SHOWN_OF_A_RULE, n);
    sbuf_puts(out, "</td></tr>\n");
}

static bool seen_before(const struct report *r, size_t at, bool waived)
{
    for (size_t i = 0; i < at; i++)
        if (listed(r, &r->findings->items[i], waived) &&
            alike(&r->findings->items[i], &r->findings->items[at]))
            return true;
    return false;
}

static bool put_items(struct sbuf *out, const struct report *r, bool waived)
{
    bool any = false;

    for (size_t i = 0; i < r->findings->count; i++) {
        const struct finding *f = &r->findings->items[i];

        if (!listed(r, f, waived) || (i > 0 && alike(f, f - 1) && listed(r, f - 1, waived)) ||
            seen_before(r, i, waived))
            continue;
        if (!any)
            sbuf_puts(out,
                      "<table><colgroup><col style=\"width:7%\"><col style=\"width:25%\"><col>"
                      "</colgroup><thead><tr><th scope=\"col\">severity</th><th scope=\"col\">rule"
                      "</th><th scope=\"col\">what the records say</th></tr></thead>\n"
                      "<tbody>\n");
        any = true;
        put_row(out, r, i, waived);
    }
    if (any)
        sbuf_puts(out, "</tbody></table>\n");
    return any;
}

static bool any_waived(const struct report *r)
{
    for (size_t i = 0; i < r->findings->count; i++)
        if (listed(r, &r->findings->items[i], true))
            return true;
    return false;
}

void page_open_items(struct sbuf *out, const struct report *r)
{
    if (r->findings == NULL)
        return;
    sbuf_puts(out, "<section><h2>Open items</h2>\n");
    if (!put_items(out, r, false))
        sbuf_puts(out, "<p>None.</p>\n");
    sbuf_puts(out, "</section>\n");
    if (!any_waived(r))
        return;
    sbuf_puts(out, "<section><h2>Answered by a waiver</h2>\n");
    put_items(out, r, true);
    sbuf_puts(out, "</section>\n");
}
