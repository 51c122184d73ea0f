/* page.c - the frame of a printable page, and its tables. */
#include "text/base.h"

#include "report/page.h"
#include "text/date.h"
#include "text/markup.h"
#include "text/utf8.h"

/* Black on white, two weights and one rule: it must come out of an old printer and a copier. */
static const char style[] =
    "@page{margin:16mm}"
    "*{box-sizing:border-box}"
    "body{font:15px/1.45 system-ui,sans-serif;color:#111;background:#fff;max-width:62rem;"
    "margin:2rem auto;padding:0 1.2rem}"
    "h1{font-size:1.5rem;line-height:1.2;margin:0 0 .3rem}"
    "h2{font-size:1.1rem;margin:1.8rem 0 .5rem;border-bottom:1px solid #111;padding-bottom:.15rem}"
    "h3{font-size:1rem;margin:1.2rem 0 .3rem}"
    "table{border-collapse:collapse;width:100%;margin:.4rem 0 1rem;font-size:.93rem}"
    "caption{text-align:left;color:#444;padding-bottom:.3rem}"
    "th,td{text-align:left;vertical-align:top;padding:.25rem .6rem .25rem 0;"
    "border-bottom:1px solid #ccc}"
    "th{font-weight:600}td.n,th.n{text-align:right;font-variant-numeric:tabular-nums}"
    "thead{display:table-header-group}tr{break-inside:avoid}"
    ".w{font-weight:700}.m{color:#444}dt{font-weight:600}dd{margin:0 0 .35rem 1.2rem}"
    ".p,section>dl:not([class]){display:grid;grid-template-columns:fit-content(16rem) 1fr;"
    "gap:.1rem 1rem}.p{font-size:.93rem}section>dl:not([class]){margin:.4rem 0 .8rem}"
    ".p dt,section>dl:not([class]) dt{grid-column:1}"
    ".p dd,section>dl:not([class]) dd{grid-column:2;margin:0}"
    ".defer{border:1px solid #111;padding:.6rem .8rem;margin:1.6rem 0}"
    ".box{display:inline-block;width:.85em;height:.85em;border:1px solid #111;margin-right:.5em}"
    "h2,h3,h2+p,h3+p{break-after:avoid-page}.k{white-space:nowrap}"
    "section:has(>h3){break-inside:avoid-page}li,dd{break-inside:avoid-page}"
    "figure{margin:0;break-inside:avoid-page}"
    "@media print{body{margin:0;max-width:none;font-size:10pt}"
    "th,td{padding-top:.1rem;padding-bottom:.1rem}h2{margin-top:1.2rem}}";

void page_text(struct sbuf *out, const char *s)
{
    struct sbuf clean = SBUF_INIT;

    if (s == NULL)
        return;
    utf8_put_clean(&clean, s, true);
    markup_put_text(out, clean.s);
    if (clean.failed)
        out->failed = true;
    sbuf_free(&clean);
}

void page_paragraph(struct sbuf *out, const char *class, const char *text)
{
    if (text == NULL || *text == '\0')
        return;
    if (class != NULL)
        sbuf_printf(out, "<p class=\"%s\">", class);
    else
        sbuf_puts(out, "<p>");
    page_text(out, text);
    sbuf_puts(out, "</p>\n");
}

static void put_pairs(struct sbuf *out, const struct report_table *t)
{
    sbuf_puts(out, "<dl class=\"p\">\n");
    for (size_t i = 0; i + 1 < t->cell_count; i += 2) {
        sbuf_puts(out, "<dt>");
        page_text(out, t->cells[i].text);
        sbuf_puts(out, "</dt><dd>");
        page_text(out, t->cells[i + 1].text);
        sbuf_puts(out, "</dd>\n");
    }
    sbuf_puts(out, "</dl>\n");
}

static void put_heads(struct sbuf *out, const struct report_table *t)
{
    struct sbuf head = SBUF_INIT;

    sbuf_puts(out, "<thead><tr>");
    for (size_t i = 0; i < t->column_count; i++) {
        const struct report_column *c = &t->columns[i];

        sbuf_puts(out, c->align == ALIGN_RIGHT ? "<th scope=\"col\" class=\"n\">"
                                               : "<th scope=\"col\">");
        sbuf_clear(&head);
        report_put_head(&head, c);
        if (head.failed)
            out->failed = true;
        page_text(out, head.s);
        if (c->unit != NULL) {
            sbuf_puts(out, ", ");
            page_text(out, c->unit);
        }
        sbuf_puts(out, "</th>");
    }
    sbuf_puts(out, "</tr></thead>\n");
    sbuf_free(&head);
}

/* A date, a number with its unit or a lot number reads badly broken over two lines. */
static bool is_one_piece(const struct report_cell *cell)
{
    enum { LONGEST = 12 };
    const char *s = cell->text;

    return s != NULL && strlen(s) <= LONGEST && strpbrk(s, "0123456789") != NULL;
}

static void put_cell(struct sbuf *out, const struct report_column *c,
                     const struct report_cell *cell)
{
    enum { DIGITS = 6 };

    sbuf_puts(out, c->align == ALIGN_RIGHT ? "<td class=\"n\">"
                   : is_one_piece(cell)    ? "<td class=\"k\">"
                                           : "<td>");
    if (cell->text != NULL)
        page_text(out, cell->text);
    else if (isfinite(cell->number))
        sbuf_number(out, cell->number, DIGITS);
    sbuf_puts(out, "</td>");
}

/* More columns than a sheet is wide: each row as a line of "head value" pairs. */
static void put_wide(struct sbuf *out, const struct report_table *t)
{
    struct sbuf item = SBUF_INIT;

    sbuf_puts(out, "<ul>\n");
    for (size_t i = 0; i < t->cell_count; i++) {
        size_t column = i % t->column_count;
        const char *text = t->cells[i].text;

        if (text != NULL && text[0] != '\0') {
            sbuf_puts(&item, item.len > 0 ? "; " : "");
            report_put_head(&item, &t->columns[column]);
            sbuf_printf(&item, " %s", text);
        }
        if (column + 1 < t->column_count)
            continue;
        sbuf_puts(out, "<li>");
        page_text(out, item.s);
        sbuf_puts(out, "</li>\n");
        if (item.failed)
            out->failed = true;
        sbuf_clear(&item);
    }
    sbuf_puts(out, "</ul>\n");
    sbuf_free(&item);
}

void page_table(struct sbuf *out, const struct report_table *t)
{
    enum { COLUMNS_MOST = 13 };

    if (t == NULL || t->column_count == 0)
        return;
    sbuf_puts(out, "<section>\n");
    if (t->title != NULL) {
        sbuf_puts(out, "<h2>");
        page_text(out, t->title);
        sbuf_puts(out, "</h2>\n");
    }
    page_paragraph(out, "m", t->note);
    if (t->style == TABLE_PAIRS) {
        put_pairs(out, t);
    } else if (t->cell_count == 0) {
        page_paragraph(out, NULL, "None.");
    } else if (t->column_count > COLUMNS_MOST) {
        put_wide(out, t);
    } else {
        sbuf_puts(out, "<table>\n");
        put_heads(out, t);
        sbuf_puts(out, "<tbody>\n");
        for (size_t i = 0; i < t->cell_count; i++) {
            size_t column = i % t->column_count;

            if (column == 0)
                sbuf_puts(out, "<tr>");
            put_cell(out, &t->columns[column], &t->cells[i]);
            if (column + 1 == t->column_count)
                sbuf_puts(out, "</tr>\n");
        }
        sbuf_puts(out, "</tbody></table>\n");
    }
    sbuf_puts(out, "</section>\n");
}

void page_open(struct sbuf *out, const struct report *r)
{
    page_open_styled(out, r, NULL);
}

void page_open_styled(struct sbuf *out, const struct report *r, const char *own_style)
{
    char day[11];

    sbuf_puts(out, "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\n"
                   "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
                   "<title>");
    page_text(out, r->title != NULL ? r->title : r->command);
    sbuf_printf(out, "</title>\n<style>%s%s</style></head>\n<body>\n<header><h1>", style,
                own_style == NULL ? "" : own_style);
    page_text(out, r->title != NULL ? r->title : r->command);
    sbuf_puts(out, "</h1>\n");
    if (r->dated)
        sbuf_printf(out, "<p class=\"m\">As of %s.</p>\n", date_format(r->as_of, day));
    sbuf_puts(out, "</header>\n<main>\n");
}
