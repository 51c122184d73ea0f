/* layout_table.c - tables in columns, narrowed by wrapping until they fit the line. */
#include "text/base.h"

#include "report/layout.h"
#include "text/mem.h"
#include "text/utf8.h"

enum {
    GAP = 2,          /* blanks between columns */
    GAP_LEAST = 1,    /* on a line too short for that */
    LEAST_COLUMN = 8, /* a wrapped column is never narrower */
    SHORT_CELL = 32,  /* a longer cell gets a line of its own when rows are stacked */
    STACK_INDENT = 4,
    FEW_ROWS = 2,         /* so few rows are stacked a cell a line */
    PAIR_MOST_LABEL = 24, /* in stacked rows a wider heading does not push the text column out */
    /* Labels of pairs take at most 9 twentieths of the line; a wider one stands above its text. */
    PAIR_PARTS = 9,
    PAIR_SHARE = 20
};

static const char *cell_text(const struct report_cell *c)
{
    return c->text == NULL ? "" : c->text;
}

/* "size (L)"; the unit stands in the heading so that the numbers stay bare. */
static void put_head(struct sbuf *b, const struct report_column *c)
{
    report_put_head(b, c);
    if (c->unit != NULL && c->unit[0] != '\0')
        sbuf_printf(b, " (%s)", c->unit);
}

static bool is_letter(char c)
{
    return ascii_alnum((unsigned char)c) && !ascii_digit((unsigned char)c);
}

/* May a line end after the hyphen s[i]? In a name of words, such as a rule's; not in a date, a lot
 * number or a path, which somebody may want to copy. */
static bool breaks_after(const char *s, size_t i)
{
    return s[i] == '-' && i > 0 && is_letter(s[i - 1]) && is_letter(s[i + 1]);
}

static bool is_name(const char *word, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (!is_letter(word[i]) && word[i] != '-')
            return false;
    return true;
}

/* A name of words too long for its column, in lines of as many of its words as fit. */
static void put_name(struct sbuf *b, const char *word, size_t n, size_t width)
{
    size_t start = 0, last = 0; /* last: where the line may end */

    for (size_t i = 0; i < n; i++) {
        if (i - start >= width && last > start) {
            sbuf_putn(b, word + start, last - start);
            sbuf_putc(b, ' ');
            start = last;
        }
        if (i + 1 < n && breaks_after(word, i))
            last = i + 1;
    }
    sbuf_putn(b, word + start, n - start);
}

/* The words of a cell, clean and on one line each: what layout_wrap gives for this width. */
static void fill_cell(struct sbuf *b, const char *text, int width, bool names)
{
    struct sbuf split = SBUF_INIT;

    for (const char *p = text; *p != '\0';) {
        size_t n = strcspn(p, " \n");

        if (names && n > (size_t)width && is_name(p, n))
            put_name(&split, p, n, (size_t)width);
        else
            sbuf_putn(&split, p, n);
        p += n;
        if (*p != '\0')
            sbuf_putc(&split, *p++);
    }
    layout_wrap(b, width, NULL, 0, split.s);
    b->failed = b->failed || split.failed;
    sbuf_free(&split);
    if (b->len > 0 && b->s[b->len - 1] == '\n') { /* the lines are split at new lines below */
        b->len--;
        b->s[b->len] = '\0';
    }
}

static int natural_width(const char *text)
{
    struct sbuf b = SBUF_INIT;
    int width;

    fill_cell(&b, text, INT_MAX / 2, false);
    width = (int)utf8_width(b.s);
    sbuf_free(&b);
    return width;
}

/* Columns of the longest word, or part of a name of words. */
static int word_width(const char *text, bool names)
{
    int longest = 0;

    while (*text != '\0') {
        size_t n = strcspn(text, " \n"), whole = n;
        struct sbuf word = SBUF_INIT;

        if (names && whole > 0 && is_name(text, whole))
            for (n = 1; n < whole && !breaks_after(text, n - 1);)
                n++;
        sbuf_putn(&word, text, n);
        if (natural_width(word.s) > longest)
            longest = natural_width(word.s);
        sbuf_free(&word);
        text += n + (text[n] == ' ' || text[n] == '\n');
    }
    return longest;
}

static int larger(int a, int b)
{
    return a > b ? a : b;
}

/* widths: what each column would like; least: what it needs so that no word overflows and no number
 * is broken. */
static void measure(const struct report_table *t, int *widths, int *least)
{
    size_t rows = report_row_count(t);

    for (size_t c = 0; c < t->column_count; c++) {
        bool left = t->columns[c].align != ALIGN_RIGHT, names = t->columns[c].align == ALIGN_NAMES;
        struct sbuf head = SBUF_INIT;

        put_head(&head, &t->columns[c]);
        widths[c] = natural_width(head.s);
        least[c] = larger(left ? LEAST_COLUMN : 0, word_width(head.s, false));
        sbuf_free(&head);
        for (size_t r = 0; r < rows; r++) {
            const char *text = cell_text(&t->cells[r * t->column_count + c]);

            widths[c] = larger(widths[c], natural_width(text));
            least[c] = larger(least[c], left ? word_width(text, names) : natural_width(text));
        }
    }
}

/* The widest column that can still give, of text or else, when that is not enough, of numbers whose
 * heading can be wrapped. */
static size_t find_widest(const struct report_table *t, const int *widths, const int *least)
{
    size_t widest = t->column_count;

    for (int right = 0; right <= 1 && widest == t->column_count; right++)
        for (size_t c = 0; c < t->column_count; c++)
            if ((t->columns[c].align == ALIGN_RIGHT) == right && widths[c] > least[c] &&
                (widest == t->column_count || widths[c] > widths[widest]))
                widest = c;
    return widest;
}

static int line_width(const struct report_table *t, const int *widths, int gap)
{
    int total = gap * ((int)t->column_count - 1);

    for (size_t c = 0; c < t->column_count; c++)
        total += widths[c];
    return total;
}

/* Takes a column off the widest until the line fits. The gap to put between columns; 0: no way. */
static int narrow(const struct report_table *t, int *widths, const int *least, int line)
{
    for (size_t widest; line_width(t, widths, GAP) > line; widths[widest]--) {
        widest = find_widest(t, widths, least);
        if (widest == t->column_count)
            return line_width(t, widths, GAP_LEAST) <= line ? GAP_LEAST : 0;
    }
    return GAP;
}

static bool stands_alone(const struct report_table *t, size_t row, size_t column)
{
    return report_row_count(t) <= FEW_ROWS || column == 0 ||
           natural_width(cell_text(&t->cells[row * t->column_count + column])) > SHORT_CELL;
}

/* "heading value unit" of the cells from `first` on that are short enough to share a line. Returns
 * the first one that is not. */
static size_t put_short_cells(struct sbuf *out, const struct report_style *style,
                              const struct report_table *t, size_t row, size_t first)
{
    struct sbuf b = SBUF_INIT;
    size_t c;

    for (c = first; c < t->column_count && !stands_alone(t, row, c); c++) {
        const char *text = cell_text(&t->cells[row * t->column_count + c]);

        if (text[0] == '\0')
            continue;
        sbuf_puts(&b, b.len > 0 ? "; " : "");
        report_put_head(&b, &t->columns[c]);
        sbuf_printf(&b, " %s", text);
        if (t->columns[c].unit != NULL && t->columns[c].unit[0] != '\0')
            sbuf_printf(&b, " %s", t->columns[c].unit);
    }
    if (b.len > 0) {
        sbuf_pad(out, ' ', STACK_INDENT);
        layout_wrap_from(out, style->width, STACK_INDENT, STACK_INDENT, b.s);
    }
    if (b.failed)
        out->failed = true;
    sbuf_free(&b);
    return c;
}

/* Columns of the widest heading that is given a line of its own, within reason. */
static int label_width(const struct report_table *t)
{
    int label = 0;

    for (size_t c = 0; report_row_count(t) <= FEW_ROWS && c < t->column_count; c++) {
        struct sbuf head = SBUF_INIT;

        put_head(&head, &t->columns[c]);
        label = larger(label, natural_width(head.s));
        sbuf_free(&head);
    }
    return (label < PAIR_MOST_LABEL ? label : PAIR_MOST_LABEL) + GAP;
}

/* A table too wide for the line even so. A few rows: "heading  value" lines. Many: each begins with
 * its first cell; of the others, in their order, short ones share a line and long ones get their
 * own. */
static void put_stacked(struct sbuf *out, const struct report_style *style,
                        const struct report_table *t)
{
    size_t rows = report_row_count(t);
    bool few = rows <= FEW_ROWS;
    int label = label_width(t);

    for (size_t r = 0; r < rows; r++) {
        sbuf_puts(out, r > 0 && few ? "\n" : "");
        for (size_t c = 0; c < t->column_count;) {
            struct sbuf head = SBUF_INIT;

            if (!stands_alone(t, r, c)) {
                c = put_short_cells(out, style, t, r, c);
                continue;
            }
            put_head(&head, &t->columns[c]);
            layout_labelled(out, style->width, few || c == 0 ? 0 : STACK_INDENT,
                            few || c == 0 ? label : STACK_INDENT + GAP, head.s,
                            cell_text(&t->cells[r * t->column_count + c]));
            if (head.failed)
                out->failed = true;
            sbuf_free(&head);
            c++;
        }
    }
}

/* One line of one cell, cut out of its wrapped text; false when the cell has no such line. */
static bool cell_line(const char *wrapped, int index, const char **start, size_t *n)
{
    const char *p = wrapped;

    for (; index > 0; index--) {
        p = strchr(p, '\n');
        if (p == NULL)
            return false;
        p++;
    }
    *start = p;
    *n = strcspn(p, "\n");
    return true;
}

static void put_aligned(struct sbuf *out, const char *s, size_t n, int width,
                        enum report_align align, bool last)
{
    struct sbuf line = SBUF_INIT;
    size_t used, pad;

    sbuf_putn(&line, s, n);
    used = utf8_width(line.s);
    pad = used < (size_t)width ? (size_t)width - used : 0;
    if (align == ALIGN_RIGHT)
        sbuf_pad(out, ' ', pad);
    sbuf_puts(out, line.s);
    if (align != ALIGN_RIGHT && !last)
        sbuf_pad(out, ' ', pad);
    if (line.failed)
        out->failed = true;
    sbuf_free(&line);
}

/* Blanks at the end of a line say nothing. */
static void trim_line(struct sbuf *out)
{
    while (out->len > 0 && out->s[out->len - 1] == ' ') {
        out->len--;
        out->s[out->len] = '\0';
    }
}

/* Prints one row of cells given as text. */
static void put_row(struct sbuf *out, const struct report_table *t, const int *widths,
                    struct sbuf *wrapped, int gap)
{
    bool more = true;

    for (int line = 0; more; line++) {
        struct sbuf row = SBUF_INIT;

        more = false;
        for (size_t c = 0; c < t->column_count; c++) {
            const char *s = "";
            size_t n = 0;

            if (cell_line(wrapped[c].s, line, &s, &n))
                more = true;
            if (c > 0)
                sbuf_pad(&row, ' ', (size_t)gap);
            put_aligned(&row, s, n, widths[c], t->columns[c].align, c + 1 == t->column_count);
        }
        if (more) {
            trim_line(&row);
            sbuf_puts(out, row.s);
            sbuf_putc(out, '\n');
        }
        if (row.failed)
            out->failed = true;
        sbuf_free(&row);
    }
}

static void put_grid(struct sbuf *out, const struct report_style *style,
                     const struct report_table *t)
{
    size_t rows = report_row_count(t);
    int *widths = mem_calloc(t->column_count, sizeof *widths);
    int *least = mem_calloc(t->column_count, sizeof *least);
    struct sbuf *cells = mem_calloc(t->column_count, sizeof *cells);
    int gap;

    if (widths == NULL || least == NULL || cells == NULL) {
        out->failed = true;
        goto out;
    }
    for (size_t c = 0; c < t->column_count; c++)
        cells[c] = (struct sbuf)SBUF_INIT;
    measure(t, widths, least);
    gap = narrow(t, widths, least, style->width);
    if (gap == 0) {
        put_stacked(out, style, t);
        goto free_cells;
    }
    for (size_t r = 0; r <= rows; r++) { /* row 0 is the heading */
        for (size_t c = 0; c < t->column_count; c++) {
            struct sbuf head = SBUF_INIT;

            sbuf_clear(&cells[c]);
            if (r == 0)
                put_head(&head, &t->columns[c]);
            fill_cell(&cells[c],
                      r == 0 ? head.s : cell_text(&t->cells[(r - 1) * t->column_count + c]),
                      widths[c], t->columns[c].align == ALIGN_NAMES);
            if (head.failed || cells[c].failed)
                out->failed = true;
            sbuf_free(&head);
        }
        if (r == 0)
            layout_paint(out, style, PAINT_STRONG);
        put_row(out, t, widths, cells, gap);
        if (r == 0)
            layout_paint(out, style, PAINT_NONE);
    }
free_cells:
    for (size_t c = 0; c < t->column_count; c++)
        sbuf_free(&cells[c]);
out:
    mem_free(widths);
    mem_free(least);
    mem_free(cells);
}

static void put_pairs(struct sbuf *out, const struct report_style *style,
                      const struct report_table *t)
{
    size_t rows = report_row_count(t);
    int label = 0, most = style->width * PAIR_PARTS / PAIR_SHARE;

    for (size_t r = 0; r < rows; r++) {
        int w = (int)utf8_width(cell_text(&t->cells[2 * r])); /* labels are not wrapped */

        if (w > label && w <= most)
            label = w;
    }
    for (size_t r = 0; r < rows; r++) {
        struct sbuf clean = SBUF_INIT;

        utf8_put_clean(&clean, cell_text(&t->cells[2 * r]), false);
        if (utf8_width(clean.s) > (size_t)most) {
            layout_wrap(out, style->width, NULL, 0, clean.s);
            sbuf_clear(&clean);
        }
        layout_labelled(out, style->width, 0, label + GAP, clean.s,
                        cell_text(&t->cells[2 * r + 1]));
        if (clean.failed)
            out->failed = true;
        sbuf_free(&clean);
    }
}

void layout_table(struct sbuf *out, const struct report_style *style, const struct report_table *t)
{
    if (t->title != NULL)
        layout_heading(out, style, t->title);
    if (t->note != NULL) {
        layout_wrap(out, style->width, NULL, 0, t->note);
        sbuf_putc(out, '\n');
    }
    if (t->column_count == 0 || t->cell_count == 0) {
        sbuf_puts(out, "None.\n\n");
        return;
    }
    if (t->style == TABLE_PAIRS)
        put_pairs(out, style, t);
    else
        put_grid(out, style, t);
    sbuf_putc(out, '\n');
}
