#include "text/base.h"

#include "command/check_page.h"
#include "report/page.h"
#include "text/utf8.h"

static const char style[] =
    "<style>.verdict{font-size:1.25rem;font-weight:700;border:2px solid #111;padding:.5rem .8rem;"
    "margin:.6rem 0}.chart{float:right;width:44%;margin:0 0 .4rem 1rem}.chart svg{width:100%;"
    "height:auto}section{clear:both}.card{break-before:page}.card li{list-style:none;"
    "margin:.2rem 0}.card ul{padding-left:0;margin:.2rem 0 .6rem}.card section{break-inside:avoid}"
    "@media (max-width:40rem){.chart{float:none;width:100%;margin:0}}"
    "@media print{body{font-size:8pt;line-height:1.22}h1{font-size:13pt}.verdict{font-size:11pt;"
    "padding:.3rem .6rem;margin:.3rem 0}h2{font-size:10.5pt;margin:.5rem 0 .2rem}"
    "table{font-size:7.8pt;margin:.1rem 0 .3rem}th,td{padding:.1rem .5rem .1rem 0}"
    ".m{margin:.1rem 0;font-size:7pt}ul{margin:.1rem 0;padding-left:1.1rem}p{margin:.2rem 0}"
    ".chart{width:38%}.card{font-size:10.5pt}.card .m{font-size:9pt}}</style>\n";

/* Every table of this name: with several lots there is one for each. */
static void put_tables(struct sbuf *out, const struct report *r, const char *name)
{
    for (size_t i = 0; i < r->table_count; i++)
        if (str_eq(r->tables[i]->name, name))
            page_table(out, r->tables[i]);
}

static void put_verdict(struct sbuf *out, const struct report *r)
{
    struct report_totals n = report_count(r);

    sbuf_puts(out, "<p class=\"verdict\">");
    if (n.fails[SEVERITY_STOP] > 0)
        sbuf_printf(out,
                    "Stop. Not to be started before someone with authority has looked: %lu to "
                    "stop for, %lu to put right first.",
                    n.fails[SEVERITY_STOP], n.fails[SEVERITY_FIX]);
    else if (n.fails[SEVERITY_FIX] > 0)
        sbuf_printf(out, "Put right first: %lu.", n.fails[SEVERITY_FIX]);
    else if (n.untold > 0)
        sbuf_puts(out, "Cannot tell yet: something needed is not written down.");
    else
        sbuf_puts(out, "Nothing found that speaks against starting it as written.");
    if (n.untold > 0)
        sbuf_printf(out, " Could not be told: %lu.", n.untold);
    sbuf_printf(out, " Questions: %lu, notes: %lu.</p>\n", n.fails[SEVERITY_QUERY],
                n.fails[SEVERITY_NOTE]);
}

/* New with the plan, or its number moved by it. */
static bool by_plan(const struct report *r, const struct finding *f)
{
    const struct finding *before;

    if (f->is_new)
        return true;
    before = report_before(r, f);
    return before != NULL && !str_eq(before->value, f->value);
}

/* What stood before the plan, by name: the page is about the plan. */
static void put_older(struct sbuf *out, const struct report *r)
{
    const char *last = NULL;

    for (size_t i = 0; i < r->findings->count; i++) {
        const struct finding *f = &r->findings->items[i];

        if (f->verdict != VERDICT_FAILS || f->waiver != NULL || !report_shows(r, f) ||
            by_plan(r, f) || str_eq(last, f->rule->id))
            continue;
        sbuf_puts(out, last == NULL ? "<p>Open before this plan, and still: " : ", ");
        sbuf_printf(out, "<span class=\"w\">%s</span> ", severity_name(f->rule->severity));
        page_text(out, f->rule->id);
        last = f->rule->id;
    }
    if (last != NULL)
        sbuf_puts(out, ".</p>\n");
}

/* What fails, one line each: how grave, in its own words, number against limit. */
static void put_deciding(struct sbuf *out, const struct report *r)
{
    bool any = false;

    for (size_t i = 0; i < r->findings->count; i++) {
        const struct finding *f = &r->findings->items[i];

        if (f->verdict != VERDICT_FAILS || f->waiver != NULL || !report_shows(r, f) ||
            !by_plan(r, f))
            continue;
        if (!any)
            sbuf_puts(out, "<h2>What decides it</h2>\n<ul>\n");
        any = true;
        sbuf_printf(out, "<li><span class=\"w\">%s</span> ", severity_name(f->rule->severity));
        page_text(out, f->message != NULL ? f->message : f->rule->title);
        sbuf_puts(out, " <span class=\"m\">[");
        page_text(out, f->rule->id);
        sbuf_printf(out, "%s]</span></li>\n", f->is_new ? "; new" : "; changed");
    }
    if (any)
        sbuf_puts(out, "</ul>\n");
    put_older(out, r);
}

static void put_untold(struct sbuf *out, const struct report *r)
{
    bool any = false;

    for (size_t i = 0; i < r->findings->count; i++) {
        const struct finding *f = &r->findings->items[i];

        if (f->verdict != VERDICT_CANNOT_TELL || f->waiver != NULL || !report_shows(r, f))
            continue;
        if (!any)
            sbuf_puts(out, "<h2>Could not be told</h2>\n<ul>\n");
        any = true;
        sbuf_puts(out, "<li>");
        page_text(out, f->rule->title);
        sbuf_puts(out, "; needs: ");
        page_text(out, f->needs);
        sbuf_puts(out, "</li>\n");
    }
    if (any)
        sbuf_puts(out, "</ul>\n");
}

/* The card: a heading a step, what must be at hand with boxes to tick. Cells: step, when, caution.
 */
static void put_card(struct sbuf *out, const struct report_table *t)
{
    const char *step = NULL;

    if (t->cell_count == 0)
        return;
    sbuf_puts(out, "<div class=\"card\"><h2>");
    page_text(out, t->title);
    sbuf_puts(out, "</h2>\n");
    page_paragraph(out, "m", t->note);
    for (size_t i = 0; i + 2 < t->cell_count; i += 3) {
        const char *own = t->cells[i].text;

        if (step == NULL || !str_eq(step, own)) {
            if (step != NULL)
                sbuf_puts(out, "</ul></section>\n");
            sbuf_puts(out, "<section><h3>Step ");
            page_text(out, own);
            sbuf_puts(out, "</h3><ul>\n");
            step = own == NULL ? "" : own;
        }
        sbuf_puts(out, "<li><span class=\"box\"></span><span class=\"w\">");
        page_text(out, t->cells[i + 1].text);
        sbuf_puts(out, ":</span> ");
        page_text(out, t->cells[i + 2].text);
        sbuf_puts(out, "</li>\n");
    }
    sbuf_puts(out, "</ul></section></div>\n");
}

void check_page(const struct report *r, const void *user, struct sbuf *out)
{
    const char *chart = user;

    sbuf_puts(out, style);
    if (r->findings != NULL)
        put_verdict(out, r);
    if (chart != NULL)
        sbuf_printf(out, "<div class=\"chart\">%s</div>\n", chart);
    if (r->findings != NULL)
        put_deciding(out, r);
    put_tables(out, r, "vapour");
    put_tables(out, r, "what-would-pass");
    put_tables(out, r, "steps");
    put_tables(out, r, "corrections");
    if (r->findings != NULL)
        put_untold(out, r);
    for (size_t i = 0; i < r->table_count; i++)
        if (str_eq(r->tables[i]->name, "caution-card"))
            put_card(out, r->tables[i]);
}
