/* site_plan.c - the storage plan as SVG: places as boxes with letter marks, from above.
 *
 * Black lines and grey only. Marks are the records' own; nothing is taken from a published symbol
 * set. */
#include "text/base.h"

#include "report/page.h"
#include "report/page_inventory.h"
#include "text/utf8.h"

/* One metre in the units of the drawing, and the margin round it. */
enum { METRE = 60, MARGIN = 24, SCALE_ROOM = 60 };
/* Never narrower than the words beside the scale. */
enum { WIDTH_LEAST = 560 };

struct box {
    const char *mark, *place;
    double x, y, w, d, held;
    bool inside;
};

static double number_at(const struct report_table *t, size_t row, size_t column)
{
    return t->cells[row * t->column_count + column].number;
}

static size_t column_of(const struct report_table *t, const char *name)
{
    size_t i = 0;

    while (i < t->column_count && !str_eq(t->columns[i].name, name))
        i++;
    return i;
}

static bool read_box(const struct report_table *t, size_t row, struct box *b)
{
    size_t mark = column_of(t, "mark"), place = column_of(t, "place"), in = column_of(t, "in");
    const struct report_cell *cells = t->cells + row * t->column_count;

    b->mark = cells[mark].text;
    b->place = cells[place].text;
    b->inside = cells[in].text != NULL && *cells[in].text != '\0';
    b->x = number_at(t, row, column_of(t, "left"));
    b->y = number_at(t, row, column_of(t, "top"));
    b->w = number_at(t, row, column_of(t, "width"));
    b->d = number_at(t, row, column_of(t, "depth"));
    b->held = number_at(t, row, column_of(t, "held"));
    return isfinite(b->x) && isfinite(b->y) && isfinite(b->w) && isfinite(b->d) && b->w > 0 &&
           b->d > 0;
}

struct extent {
    double left, top, right, bottom;
    size_t count;
};

static struct extent measure(const struct report_table *t)
{
    struct extent e = {0};
    struct box b;

    for (size_t i = 0; i < report_row_count(t); i++) {
        if (!read_box(t, i, &b))
            continue;
        e.left = e.count == 0 ? b.x : fmin(e.left, b.x);
        e.top = e.count == 0 ? b.y : fmin(e.top, b.y);
        e.right = e.count == 0 ? b.x + b.w : fmax(e.right, b.x + b.w);
        e.bottom = e.count == 0 ? b.y + b.d : fmax(e.bottom, b.y + b.d);
        e.count++;
    }
    return e;
}

static void put(struct sbuf *out, const char *name, double v)
{
    enum { DIGITS = 6 };

    sbuf_printf(out, " %s=\"", name);
    sbuf_number(out, v, DIGITS);
    sbuf_putc(out, '"');
}

static void put_box(struct sbuf *out, const struct box *b, const struct extent *e)
{
    enum { LETTER = 30, SMALL = 22, SMALL_BELOW = 40 };
    double x = MARGIN + (b->x - e->left) * METRE, y = MARGIN + (b->y - e->top) * METRE;
    double w = b->w * METRE, d = b->d * METRE;
    bool small = fmin(w, d) < SMALL_BELOW;

    sbuf_puts(out, "<rect");
    put(out, "x", x);
    put(out, "y", y);
    put(out, "width", w);
    put(out, "height", d);
    sbuf_printf(out, " fill=\"%s\" stroke=\"#000\" stroke-width=\"%s\"/>",
                b->held > 0 ? (b->inside ? "#ccc" : "#eee") : "#fff", b->inside ? "1" : "2.5");
    sbuf_puts(out, "<text");
    put(out, "x", b->inside ? x + w / 2 : x + w - SMALL);
    put(out, "y", b->inside ? y + d / 2 + (small ? SMALL : LETTER) * 0.35 : y + d - SMALL);
    sbuf_printf(out, " font-size=\"%d\" text-anchor=\"%s\">", small ? SMALL : LETTER,
                b->inside ? "middle" : "end");
    page_text(out, b->mark);
    sbuf_puts(out, "</text>\n");
}

/* An arrow with N at its head, in a square of ARROW units at (x, y). */
static void put_north(struct sbuf *out, double x, double y, const char *north)
{
    enum { ARROW = 48 };
    static const struct {
        const char *word;
        int turn;
    } turns[] = {{"up", 0}, {"right", 90}, {"down", 180}, {"left", 270}};

    for (size_t i = 0; i < LW_COUNT(turns); i++) {
        if (!str_eq(turns[i].word, north))
            continue;
        sbuf_puts(out, "<g transform=\"translate(");
        sbuf_number(out, x + ARROW / 2.0, 6);
        sbuf_putc(out, ' ');
        sbuf_number(out, y + ARROW / 2.0, 6);
        sbuf_printf(
            out,
            ")\"><path transform=\"rotate(%d)\" d=\"M0 20V-20m-7 10l7 -10l7 10\" stroke=\"#000\""
            " stroke-width=\"2\" fill=\"none\"/><text x=\"14\" y=\"8\" font-size=\"22\">N"
            "</text></g>\n",
            turns[i].turn);
    }
}

void site_plan_svg(const struct report_table *t, const char *north, struct sbuf *out)
{
    struct extent e;
    struct box b;

    if (t == NULL || column_of(t, "depth") == t->column_count)
        return;
    e = measure(t);
    if (e.count == 0)
        return;
    double width = fmax(WIDTH_LEAST, 2 * MARGIN + (e.right - e.left) * METRE);
    double height = 2 * MARGIN + (e.bottom - e.top) * METRE + SCALE_ROOM;

    sbuf_puts(out,
              "<svg class=\"plan\" role=\"img\" aria-labelledby=\"plan-title\" viewBox=\"0 0 ");
    sbuf_number(out, width, 6);
    sbuf_putc(out, ' ');
    sbuf_number(out, height, 6);
    sbuf_puts(out, "\" font-family=\"sans-serif\"><title id=\"plan-title\">Places seen from above; "
                   "the letters are explained in the legend below it.</title>\n");
    for (int pass = 0; pass < 2; pass++)
        for (size_t i = 0; i < report_row_count(t); i++)
            if (read_box(t, i, &b) && b.inside == (pass == 1))
                put_box(out, &b, &e);
    sbuf_puts(out, "<path d=\"M");
    sbuf_number(out, MARGIN, 6);
    sbuf_putc(out, ' ');
    sbuf_number(out, height - MARGIN, 6);
    sbuf_printf(out,
                "h%dm0 -5v10m-%d -10v10\" stroke=\"#000\" stroke-width=\"1.5\" fill=\"none\"/>",
                METRE, METRE);
    sbuf_puts(out, "<text");
    put(out, "x", MARGIN + METRE + 10);
    put(out, "y", height - MARGIN + 8);
    sbuf_printf(out, " font-size=\"24\">1 m (3.28 ft)%s</text>\n",
                north == NULL ? ". North is not on file." : "");
    if (north != NULL)
        put_north(out, MARGIN + 5 * METRE, height - SCALE_ROOM, north);
    sbuf_puts(out, "</svg>\n");
}
