/* page_inventory.c - the fire inspector's sheet from the report's tables. */
#include "text/base.h"

#include "report/page.h"
#include "report/page_inventory.h"
#include "text/date.h"
#include "text/utf8.h"

/* A4 and Letter, upright; grey only; each part begins where it fits. */
static const char style[] =
    "@page{margin:10mm}"
    "body{font-size:13px;line-height:1.3;max-width:62rem}"
    "table{font-size:.86rem;margin:.2rem 0 .5rem}"
    "th,td{padding:.12rem .5rem .12rem 0;overflow-wrap:break-word}"
    "h2{break-after:avoid;margin:1rem 0 .2rem}.m{margin:.2rem 0}"
    ".facts{columns:3;column-gap:1.4rem;margin:.3rem 0}.facts div{break-inside:avoid;display:flex;"
    "gap:.5rem}.facts dt{flex:0 0 6.5rem;font-weight:400;color:#444}.facts dd{margin:0}"
    ".legend "
    "dt{flex-basis:2.6rem;font-weight:700;color:#111}.u{white-space:nowrap}.bar{display:block;"
    "width:6.2rem;height:1.05rem}"
    "svg.plan{display:block;width:100%;max-height:17rem}.reached{font-size:.86em;color:#333}"
    ".pair{display:grid;grid-template-columns:2fr 3fr;gap:0 1.4rem}"
    ".sign{display:grid;grid-template-columns:2fr 2fr 1fr;gap:1.4rem;margin:1.7rem 0 .3rem}"
    ".sign span{border-top:1px solid #111;padding-top:.2rem}"
    "@media print{body{font-size:7.3pt;line-height:1.18}table{font-size:7.1pt;margin:.1rem 0 .3rem}"
    "th,td{padding:.06rem .4rem .06rem 0}p{margin:.2rem 0}h1{font-size:12pt}"
    "h2{font-size:9pt;margin:.55rem 0 .15rem}section{break-inside:auto}.keep,.keep "
    "section{break-inside:avoid}"
    "svg.plan{max-height:66mm}.bar{width:20mm}footer{break-inside:avoid}"
    "footer ul{columns:2;margin:.2rem 0}.defer{margin:.5rem 0;padding:.3rem .5rem}}"
    "@media (max-width:45rem){.facts{columns:1}.pair{display:block}}";

static const struct report_table *find(const struct report *r, const char *name)
{
    for (size_t i = 0; i < r->table_count; i++)
        if (str_eq(r->tables[i]->name, name))
            return r->tables[i];
    return NULL;
}

static const struct report_cell *cell(const struct report_table *t, size_t row, const char *column)
{
    for (size_t i = 0; i < t->column_count; i++)
        if (str_eq(t->columns[i].name, column))
            return &t->cells[row * t->column_count + i];
    return NULL;
}

static void put_cell(struct sbuf *out, const struct report_table *t, size_t row, const char *column)
{
    const struct report_cell *c = cell(t, row, column);

    page_text(out, c == NULL ? NULL : c->text);
}

/* "70.86 L (18.7 US gal)" with the US figure on a line of its own, neither broken. */
static void put_amount(struct sbuf *out, const struct report_table *t, size_t row,
                       const char *column)
{
    const struct report_cell *c = cell(t, row, column);
    const char *us = c == NULL || c->text == NULL ? NULL : strchr(c->text, '(');
    struct sbuf metric = SBUF_INIT;

    if (us == NULL) {
        put_cell(out, t, row, column);
        return;
    }
    sbuf_putn(&metric, c->text, (size_t)(us - c->text));
    sbuf_puts(out, "<span class=\"u\">");
    page_text(out, metric.s);
    sbuf_puts(out, "</span><br><span class=\"u\">");
    page_text(out, us);
    sbuf_puts(out, "</span>");
    if (metric.failed)
        out->failed = true;
    sbuf_free(&metric);
}

static void put_site(struct sbuf *out, const struct report *r)
{
    const struct report_table *t = find(r, "site");

    if (t == NULL)
        return;
    sbuf_puts(out, "<section class=\"keep\"><h2>Site</h2>\n<dl class=\"facts\">\n");
    for (size_t i = 0; i < report_row_count(t); i++) {
        sbuf_puts(out, "<div><dt>");
        put_cell(out, t, i, "field");
        sbuf_puts(out, "</dt><dd>");
        put_cell(out, t, i, "on-file");
        sbuf_puts(out, "</dd></div>\n");
    }
    sbuf_puts(out, "</dl></section>\n");
}

static void table_named(struct sbuf *out, const struct report *r, const char *name)
{
    page_table(out, find(r, name));
}

/* --- totals as bars ----------------------------------------------------------------------------
 */

enum { BAR_WIDTH = 150, BAR_FIGURE = 100, BAR_HEIGHT = 16 };

static double share_of(double amount, double figure)
{
    double x;

    if (!isfinite(amount) || !isfinite(figure))
        return 0;
    if (figure <= 0)
        return amount > 0 ? BAR_WIDTH : 0;
    x = amount / figure * BAR_FIGURE;
    return x > BAR_WIDTH ? BAR_WIDTH : x;
}

/* Now: solid. With every vessel full: outline. The stroke is the figure; what runs past the right
 * edge is cut off there, and the numbers stand beside it. */
static void put_bar(struct sbuf *out, const struct report_table *t, size_t row)
{
    const struct report_cell *now = cell(t, row, "now"), *full = cell(t, row, "full"),
                             *figure = cell(t, row, "figure");

    if (now == NULL || full == NULL || figure == NULL)
        return;
    sbuf_printf(out, "<svg class=\"bar\" viewBox=\"0 0 %d %d\" aria-hidden=\"true\">", BAR_WIDTH,
                BAR_HEIGHT);
    sbuf_puts(out, "<rect x=\"0.5\" y=\"2.5\" height=\"11\" fill=\"#fff\" stroke=\"#555\" "
                   "stroke-dasharray=\"3 2\" width=\"");
    sbuf_number(out, share_of(full->number, figure->number), 4);
    sbuf_puts(out, "\"/><rect x=\"0\" y=\"5\" height=\"6\" fill=\"#333\" width=\"");
    sbuf_number(out, share_of(now->number, figure->number), 4);
    sbuf_printf(out, "\"/><path d=\"M%d 0v%d\" stroke=\"#000\" stroke-width=\"2\"/></svg>",
                isfinite(figure->number) && figure->number > 0 ? BAR_FIGURE : 1, BAR_HEIGHT);
}

static void put_line(struct sbuf *out, const struct report_table *t, size_t row)
{
    const struct report_cell *state = cell(t, row, "state");
    bool over = state != NULL && str_eq(state->text, "over");

    sbuf_puts(out, "<tr><td><span class=\"w\">");
    put_cell(out, t, row, "where");
    sbuf_puts(out, "</span><br>");
    put_cell(out, t, row, "figure-name");
    sbuf_puts(out, "</td><td>");
    put_cell(out, t, row, "code-set");
    sbuf_puts(out, "<br>");
    put_cell(out, t, row, "class");
    sbuf_puts(out, "</td><td>");
    put_bar(out, t, row);
    sbuf_puts(out, "</td><td class=\"n\">");
    put_amount(out, t, row, "now");
    sbuf_puts(out, "</td><td class=\"n\">");
    put_amount(out, t, row, "full");
    sbuf_puts(out, "</td><td class=\"n\">");
    put_amount(out, t, row, "figure");
    sbuf_printf(out, "</td><td class=\"n\"><span class=\"%s\">", over ? "w" : "m");
    put_cell(out, t, row, "share");
    sbuf_puts(out, "<br>");
    put_cell(out, t, row, "state");
    sbuf_puts(out, "</span></td><td class=\"reached\">");
    put_cell(out, t, row, "reached");
    const struct report_cell *unknown = cell(t, row, "unknown");
    if (unknown != NULL && unknown->number > 0) {
        sbuf_puts(out, "; amounts not known: ");
        put_cell(out, t, row, "unknown");
    }
    sbuf_puts(out, "</td></tr>\n");
}

static void put_lines(struct sbuf *out, const struct report *r)
{
    const struct report_table *t = find(r, "lines");

    if (t == NULL)
        return;
    sbuf_puts(out, "<section><h2>");
    page_text(out, t->title);
    sbuf_puts(out, "</h2>\n");
    page_paragraph(out, "m", t->note);
    page_paragraph(out, "m",
                   "Bars: solid, now; dashed, with every vessel full; upright stroke, the figure.");
    if (report_row_count(t) == 0) {
        page_paragraph(out, NULL, "No figure of the code sets in force speaks about what is held.");
    } else {
        sbuf_puts(
            out,
            "<table><colgroup><col style=\"width:21%\"><col style=\"width:10%\"><col "
            "style=\"width:11%\"><col style=\"width:10%\"><col style=\"width:10%\"><col "
            "style=\"width:10%\"><col style=\"width:7%\"><col></colgroup><thead><tr><th "
            "scope=\"col\">where, and what the figure is for</th>"
            "<th scope=\"col\">code, class</th><th scope=\"col\">share of the figure</th>"
            "<th scope=\"col\" class=\"n\">now</th><th scope=\"col\" class=\"n\">if full</th>"
            "<th scope=\"col\" class=\"n\">figure</th><th scope=\"col\" class=\"n\">now, of "
            "it</th><th scope=\"col\">how reached, where printed</th></tr></thead>\n<tbody>\n");
        for (size_t i = 0; i < report_row_count(t); i++)
            put_line(out, t, i);
        sbuf_puts(out, "</tbody></table>\n");
    }
    sbuf_puts(out, "</section>\n");
}

/* --- the rest ----------------------------------------------------------------------------------
 */

/* The drawing with its legend; sizes and positions stay in the other formats. */
static void put_plan(struct sbuf *out, const struct report *r)
{
    const struct report_table *t = find(r, "plan");

    if (t == NULL)
        return;
    sbuf_puts(out, "<section class=\"keep\"><h2>");
    page_text(out, t->title);
    sbuf_puts(out, "</h2>\n");
    page_paragraph(out, "m", t->note);
    site_plan_svg(t, out);
    sbuf_puts(out, "<dl class=\"facts legend\">\n");
    for (size_t i = 0; i < report_row_count(t); i++) {
        const struct report_cell *in = cell(t, i, "in"), *held = cell(t, i, "held");

        sbuf_puts(out, "<div><dt>");
        put_cell(out, t, i, "mark");
        sbuf_puts(out, "</dt><dd>");
        put_cell(out, t, i, "place");
        if (in != NULL && in->text != NULL && *in->text != '\0') {
            sbuf_puts(out, ", in ");
            page_text(out, in->text);
        }
        if (held != NULL && held->number > 0) {
            sbuf_puts(out, ": holds ");
            page_text(out, held->text);
        }
        sbuf_puts(out, "</dd></div>\n");
    }
    sbuf_puts(out, "</dl></section>\n");
}

static void put_signature(struct sbuf *out, const struct report *r)
{
    char day[11];

    sbuf_puts(out, "<section class=\"keep\"><h2>Signature</h2>\n");
    page_paragraph(out, NULL,
                   "Drawn up from the records of the premises on the day named at the top. The "
                   "records are the maker's; what they leave out this sheet leaves out.");
    sbuf_puts(out, "<div class=\"sign\"><span>name and function</span><span>signature</span>"
                   "<span>date</span></div>\n");
    sbuf_printf(out, "<p class=\"m\">Sheet of %s.</p></section>\n", date_format(r->as_of, day));
}

void page_inventory(const struct report *r, struct sbuf *out)
{
    page_open_styled(out, r, style);
    put_site(out, r);
    table_named(out, r, "contacts");
    put_lines(out, r);
    table_named(out, r, "ahead");
    table_named(out, r, "expected");
    table_named(out, r, "hazardous-materials");
    sbuf_puts(out, "<div class=\"keep\">\n");
    table_named(out, r, "classes");
    table_named(out, r, "waste");
    sbuf_puts(out, "</div>\n");
    table_named(out, r, "controls");
    sbuf_puts(out, "<div class=\"keep\">\n");
    sbuf_puts(out, "<div class=\"pair\">\n");
    table_named(out, r, "ignition");
    table_named(out, r, "changes");
    sbuf_puts(out, "</div></div>\n");
    put_plan(out, r);
    table_named(out, r, "checklist");
    page_open_items(out, r);
    table_named(out, r, "corrections");
    put_signature(out, r);
    page_close(out, r);
}
