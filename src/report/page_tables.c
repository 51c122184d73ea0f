/* page_tables.c - tables of the fire inspector's sheet: amounts in two lines, columns with widths
 * of their own, and totals as bars. */
#include "text/base.h"

#include "report/page.h"
#include "report/page_inventory.h"
#include "text/utf8.h"

const struct report_table *sheet_table(const struct report *r, const char *name)
{
    for (size_t i = 0; i < r->table_count; i++)
        if (str_eq(r->tables[i]->name, name))
            return r->tables[i];
    return NULL;
}

const struct report_cell *sheet_cell(const struct report_table *t, size_t row, const char *column)
{
    for (size_t i = 0; i < t->column_count; i++)
        if (str_eq(t->columns[i].name, column))
            return &t->cells[row * t->column_count + i];
    return NULL;
}

void sheet_put(struct sbuf *out, const struct report_table *t, size_t row, const char *column)
{
    const struct report_cell *c = sheet_cell(t, row, column);

    page_text(out, c == NULL ? NULL : c->text);
}

void sheet_open(struct sbuf *out, const struct report_table *t)
{
    sbuf_puts(out, "<section><h2>");
    page_text(out, t->title);
    sbuf_puts(out, "</h2>\n");
    page_paragraph(out, "m", t->note);
}

/* "70.86 L (18.7 US gal)" with the US figure on a line of its own, neither broken. */
static void put_amount(struct sbuf *out, const struct report_table *t, size_t row,
                       const char *column)
{
    const struct report_cell *c = sheet_cell(t, row, column);
    const char *us = c == NULL || c->text == NULL ? NULL : strchr(c->text, '(');
    struct sbuf metric = SBUF_INIT;

    if (us == NULL) {
        sheet_put(out, t, row, column);
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

/* A cell that is an amount in two unit systems takes two lines. */
static bool is_amount(const struct report_cell *c)
{
    return c->text != NULL && isfinite(c->number) && strchr(c->text, '(') != NULL;
}

/* On a narrow screen the table is moved sideways in its own box, by keyboard too. */
static void open_scroll(struct sbuf *out, const struct report_table *t)
{
    sbuf_puts(out, "<div class=\"scroll\" role=\"region\" tabindex=\"0\" aria-label=\"");
    page_text(out, t->title);
    sbuf_puts(out, "\">");
}

/* The next width of the list: a number, or "+" for a column that joins the one before it. */
static const char *next_width(const char *p, size_t *n, bool *joins)
{
    p += strspn(p, " ");
    *n = strcspn(p, " ");
    *joins = *n == 1 && *p == '+';
    return p;
}

static void put_widths(struct sbuf *out, const char *widths)
{
    bool joins;
    size_t n;

    sbuf_puts(out, "<colgroup>");
    for (const char *p = next_width(widths, &n, &joins); n > 0; p = next_width(p + n, &n, &joins))
        if (!joins)
            sbuf_printf(out, "<col style=\"width:%.*s%%\">", (int)n, p);
    sbuf_puts(out, "</colgroup>");
}

/* Does the cell say what the one before it said? Then it need not be said twice. */
static bool same_text(const struct report_table *t, size_t row, size_t i)
{
    const struct report_cell *c = &t->cells[row * t->column_count + i];

    return i > 0 && c->text != NULL && c[-1].text != NULL && str_eq(c->text, c[-1].text);
}

/* row < 0: the heads. */
static void put_wide_row(struct sbuf *out, const struct report_table *t, long row,
                         const char *widths)
{
    const char *p = widths;
    size_t n = 0;
    bool joins;

    sbuf_puts(out, "<tr>");
    for (size_t i = 0; i < t->column_count; i++) {
        const struct report_column *c = &t->columns[i];

        p = next_width(p + n, &n, &joins);
        if (joins && row >= 0 && same_text(t, (size_t)row, i))
            continue;
        if (i > 0 && !joins)
            sbuf_puts(out, row < 0 ? "</th>" : "</td>");
        if (joins)
            sbuf_puts(out, row < 0 ? ", " : "<br>");
        else
            sbuf_puts(out, row < 0 ? "<th scope=\"col\">" : "<td>");
        if (row < 0)
            page_text(out, c->head != NULL ? c->head : c->name);
        else if (is_amount(&t->cells[(size_t)row * t->column_count + i]))
            put_amount(out, t, (size_t)row, c->name);
        else
            sheet_put(out, t, (size_t)row, c->name);
    }
    sbuf_puts(out, row < 0 ? "</th></tr>" : "</td></tr>\n");
}

void sheet_wide_table(struct sbuf *out, const struct report_table *t, const char *widths)
{
    if (t == NULL)
        return;
    sheet_open(out, t);
    if (report_row_count(t) == 0) {
        sbuf_puts(out, "<p>None.</p>\n</section>\n");
        return;
    }
    open_scroll(out, t);
    sbuf_puts(out, "<table class=\"wide\">");
    put_widths(out, widths);
    sbuf_puts(out, "<thead>");
    put_wide_row(out, t, -1, widths);
    sbuf_puts(out, "</thead>\n<tbody>\n");
    for (size_t row = 0; row < report_row_count(t); row++)
        put_wide_row(out, t, (long)row, widths);
    sbuf_puts(out, "</tbody></table></div>\n</section>\n");
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
    const struct report_cell *now = sheet_cell(t, row, "now"), *full = sheet_cell(t, row, "full"),
                             *figure = sheet_cell(t, row, "figure");

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
    const struct report_cell *state = sheet_cell(t, row, "state"), *unknown;
    bool over = state != NULL && str_eq(state->text, "over");

    sbuf_puts(out, "<tr><td><span class=\"w\">");
    sheet_put(out, t, row, "where");
    sbuf_puts(out, "</span>: ");
    sheet_put(out, t, row, "figure-name");
    sbuf_puts(out, "<br><span class=\"m\">");
    sheet_put(out, t, row, "code-set");
    sbuf_puts(out, ", class ");
    sheet_put(out, t, row, "class");
    sbuf_puts(out, ": ");
    sheet_put(out, t, row, "reached");
    unknown = sheet_cell(t, row, "unknown");
    if (unknown != NULL && unknown->number > 0) {
        sbuf_puts(out, "; amounts not known: ");
        sheet_put(out, t, row, "unknown");
    }
    sbuf_puts(out, "</span></td><td>");
    put_bar(out, t, row);
    sbuf_puts(out, "</td><td class=\"n\">");
    put_amount(out, t, row, "now");
    sbuf_puts(out, "</td><td class=\"n\">");
    put_amount(out, t, row, "full");
    sbuf_puts(out, "</td><td class=\"n\">");
    put_amount(out, t, row, "figure");
    sbuf_printf(out, "</td><td class=\"n\"><span class=\"%s\">", over ? "w" : "m");
    sheet_put(out, t, row, "share");
    sbuf_puts(out, "<br>");
    sheet_put(out, t, row, "state");
    sbuf_puts(out, "</span></td></tr>\n");
}

void sheet_totals(struct sbuf *out, const struct report *r)
{
    const struct report_table *t = sheet_table(r, "lines");

    if (t == NULL)
        return;
    sheet_open(out, t);
    page_paragraph(out, "m",
                   "Bars: solid, now; dashed, with every vessel full; upright stroke, the figure.");
    if (report_row_count(t) == 0) {
        page_paragraph(out, NULL, "No figure of the code sets in force speaks about what is held.");
    } else {
        open_scroll(out, t);
        sbuf_puts(
            out,
            "<table class=\"wide\"><colgroup><col style=\"width:49%\"><col style=\"width:11%\">"
            "<col style=\"width:10.5%\"><col style=\"width:10.5%\"><col style=\"width:10.5%\"><col "
            "style=\"width:8.5%\"></colgroup><thead><tr><th scope=\"col\">where, and what the "
            "figure is for; how it is reached, where printed</th><th scope=\"col\">share of the "
            "figure</th><th scope=\"col\" class=\"n\">now</th><th scope=\"col\" class=\"n\">"
            "if full</th><th scope=\"col\" class=\"n\">figure</th><th scope=\"col\" "
            "class=\"n\">now, of it</th></tr></thead>\n<tbody>\n");
        for (size_t i = 0; i < report_row_count(t); i++)
            put_line(out, t, i);
        sbuf_puts(out, "</tbody></table></div>\n");
    }
    sbuf_puts(out, "</section>\n");
}
