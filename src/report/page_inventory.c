/* page_inventory.c - the fire inspector's sheet from the report's tables. */
#include "text/base.h"

#include "report/page.h"
#include "report/page_inventory.h"
#include "text/date.h"
#include "text/utf8.h"

/* A4 and Letter, upright; grey only. A heading stays with what follows it, a short section stays in
 * one piece, and a table that runs over a side repeats its head. */
static const char style[] =
    "@page{margin:10mm}"
    "body{font:13px/1.3 Arial,Helvetica,'Liberation Sans','Nimbus Sans','DejaVu Sans Condensed',"
    "sans-serif;max-width:62rem}"
    "table{font-size:.88rem;margin:.2rem 0 .5rem}"
    "th,td{padding:.12rem .5rem .12rem 0;overflow-wrap:break-word}"
    "h2{margin:1rem 0 .2rem}h2,h2+.m,h2+.m+.m{break-after:avoid}.m{margin:.2rem 0}"
    "tbody tr:first-child{break-after:avoid}tbody tr:last-child{break-before:avoid}"
    ".facts{columns:3;column-gap:1.4rem;margin:.3rem 0}dl div{break-inside:avoid;display:flex;"
    "gap:.5rem}.facts dt,.words dt{flex:0 0 7rem;font-weight:400;color:#444}dd{margin:0}"
    ".legend{columns:2;column-gap:1.2rem;margin:0 0 .4rem}.legend dt{flex:0 0 1.7rem}"
    ".words{margin:0}div.plan{display:grid;grid-template-columns:2fr 3fr;gap:0 1.4rem}"
    ".u{white-space:nowrap}.wide{table-layout:fixed}.bar{display:block;width:100%;height:1.05rem}"
    "svg.plan{display:block;width:100%;max-height:20rem}"
    ".pair{display:grid;grid-template-columns:1fr 1fr;gap:0 1.4rem}.keep{break-inside:avoid}"
    ".sign{display:grid;grid-template-columns:2fr 2fr 1fr;gap:1.4rem;margin:1.7rem 0 .3rem}"
    ".sign span{border-top:1px solid #111;padding-top:.2rem}"
    "@media print{body{font-size:7.7pt;line-height:1.16}table{font-size:7.5pt;margin:.1rem 0 .3rem}"
    "th,td{padding:.05rem .4rem .05rem 0}p,.m{margin:.15rem 0}h1{font-size:12.5pt}"
    "h2{font-size:9.5pt;margin:.5rem 0 .12rem}svg.plan{max-height:74mm}"
    "footer{break-inside:avoid;font-size:7.2pt}footer ul{columns:3;column-gap:2.2rem;margin:.2rem "
    "0;padding-left:1rem}"
    ".defer{margin:.4rem 0;padding:.3rem .5rem}}"
    "@media (max-width:45rem){.facts,.legend{columns:1}.pair,div.plan{display:block}"
    ".scroll{overflow-x:auto}.wide{min-width:56rem}.pair .wide{min-width:28rem}}";

/* What a plan shows that has no place on the drawing. */
static bool beside_the_plan(const char *field)
{
    static const char *const fields[] = {"gas shut-off",   "electricity shut-off",
                                         "water shut-off", "drains",
                                         "assembly point", "north on the plan"};

    for (size_t i = 0; i < LW_COUNT(fields); i++)
        if (str_eq(field, fields[i]))
            return true;
    return false;
}

static void put_fields(struct sbuf *out, const struct report_table *t, bool plan)
{
    for (size_t i = 0; t != NULL && i < report_row_count(t); i++) {
        const struct report_cell *field = sheet_cell(t, i, "field");

        if (field == NULL || field->text == NULL || beside_the_plan(field->text) != plan)
            continue;
        sbuf_puts(out, "<div><dt>");
        page_text(out, field->text);
        sbuf_puts(out, "</dt><dd>");
        sheet_put(out, t, i, "on-file");
        sbuf_puts(out, "</dd></div>\n");
    }
}

static void put_site(struct sbuf *out, const struct report *r)
{
    const struct report_table *t = sheet_table(r, "site");

    if (t == NULL)
        return;
    sbuf_puts(out, "<section class=\"keep\"><h2>Site</h2>\n<dl class=\"facts\">\n");
    put_fields(out, t, false);
    sbuf_puts(out, "</dl></section>\n");
}

/* More rows than this may run over a side. */
enum { ROWS_KEPT = 16 };

static void table_named(struct sbuf *out, const struct report *r, const char *name)
{
    const struct report_table *t = sheet_table(r, name);

    if (t == NULL)
        return;
    if (report_row_count(t) <= ROWS_KEPT)
        sbuf_puts(out, "<div class=\"keep\">\n");
    page_table(out, t);
    if (report_row_count(t) <= ROWS_KEPT)
        sbuf_puts(out, "</div>\n");
}

/* The self-inspection list: item and figure in one cell, who asks for it left to the other
 * formats. */
static void put_checklist(struct sbuf *out, const struct report *r)
{
    const struct report_table *t = sheet_table(r, "checklist");

    if (t == NULL)
        return;
    sheet_open(out, t);
    sbuf_puts(out, "<table><colgroup><col style=\"width:42%\"><col><col style=\"width:21%\">"
                   "</colgroup><thead><tr><th scope=\"col\">item, figure</th><th scope=\"col\">"
                   "the records say</th><th scope=\"col\">last looked at</th></tr></thead>\n"
                   "<tbody>\n");
    for (size_t i = 0; i < report_row_count(t); i++) {
        const struct report_cell *figure = sheet_cell(t, i, "figure");

        sbuf_puts(out, "<tr><td>");
        sheet_put(out, t, i, "item");
        if (figure != NULL && figure->text != NULL && *figure->text != '\0') {
            sbuf_puts(out, " <span class=\"m\">(");
            page_text(out, figure->text);
            sbuf_puts(out, ")</span>");
        }
        sbuf_puts(out, "</td><td>");
        sheet_put(out, t, i, "on-file");
        sbuf_puts(out, "</td><td>");
        sheet_put(out, t, i, "looked-at");
        sbuf_puts(out, "</td></tr>\n");
    }
    sbuf_puts(out, "</tbody></table></section>\n");
}

static void put_area(struct sbuf *out, const struct report_table *t, size_t row)
{
    const struct report_cell *area = sheet_cell(t, row, "control-area"),
                             *class = sheet_cell(t, row, "class");

    if (area != NULL && area->text != NULL) {
        sbuf_puts(out, ", control area ");
        page_text(out, area->text);
    }
    if (class != NULL && class->text != NULL) {
        sbuf_puts(out, ", class ");
        page_text(out, class->text);
    }
}

static const char *north_of(const struct report_table *site)
{
    for (size_t i = 0; site != NULL && i < report_row_count(site); i++) {
        const struct report_cell *field = sheet_cell(site, i, "field"),
                                 *word = sheet_cell(site, i, "on-file");

        if (str_eq(field->text, "north on the plan"))
            return str_eq(word->text, "not on file") ? NULL : word->text;
    }
    return NULL;
}

/* The drawing with its legend; sizes and positions stay in the other formats. */
static void put_plan(struct sbuf *out, const struct report *r)
{
    const struct report_table *t = sheet_table(r, "plan");

    if (t == NULL)
        return;
    sbuf_puts(out, "<section class=\"keep\"><h2>");
    page_text(out, t->title);
    sbuf_puts(out, "</h2>\n");
    page_paragraph(out, "m", t->note);
    sbuf_puts(out, "<div class=\"plan\">\n");
    site_plan_svg(t, north_of(sheet_table(r, "site")), out);
    sbuf_puts(out, "<div>\n<dl class=\"legend\">\n");
    for (size_t i = 0; i < report_row_count(t); i++) {
        const struct report_cell *in = sheet_cell(t, i, "in"), *held = sheet_cell(t, i, "held");

        sbuf_puts(out, "<div><dt>");
        sheet_put(out, t, i, "mark");
        sbuf_puts(out, "</dt><dd>");
        sheet_put(out, t, i, "place");
        if (in != NULL && in->text != NULL && *in->text != '\0') {
            sbuf_puts(out, ", in ");
            page_text(out, in->text);
        }
        put_area(out, t, i);
        if (held != NULL && held->number > 0) {
            sbuf_puts(out, ": holds ");
            page_text(out, held->text);
        }
        sbuf_puts(out, "</dd></div>\n");
    }
    sbuf_puts(out, "</dl>\n<dl class=\"words\">\n");
    put_fields(out, sheet_table(r, "site"), true);
    sbuf_puts(out, "</dl>\n</div>\n</div></section>\n");
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
    sbuf_puts(out, "<div class=\"pair keep\">\n");
    sheet_wide_table(out, sheet_table(r, "amounts"), "32 33 35");
    sheet_wide_table(out, sheet_table(r, "contacts"), "20 32 + 24 24");
    sbuf_puts(out, "</div>\n");
    sheet_totals(out, r);
    if (sheet_table(r, "readings") != NULL && report_row_count(sheet_table(r, "readings")) > 0)
        table_named(out, r, "readings");
    table_named(out, r, "ahead");
    table_named(out, r, "expected");
    sheet_wide_table(out, sheet_table(r, "hazardous-materials"),
                     "9 9.5 7 9.5 12 7.5 10 7.5 10 10 8 +");
    table_named(out, r, "classes");
    table_named(out, r, "waste");
    sheet_wide_table(out, sheet_table(r, "controls"), "5 14 9 11 10 10 19 13 + 9");
    sbuf_puts(out, "<div class=\"pair keep\">\n");
    table_named(out, r, "ignition");
    table_named(out, r, "changes");
    sbuf_puts(out, "</div>\n");
    put_plan(out, r);
    put_checklist(out, r);
    page_open_items(out, r);
    put_signature(out, r);
    page_close(out, r);
}
