#include "text/base.h"

#include "report/page.h"
#include "report/trace_svg.h"
#include "text/mem.h"
#include "text/utf8.h"

/* Pixels. Wide enough for a lot number and a short name at 12 px. */
enum { BOX_W = 190, BOX_H = 50, GAP_X = 90, GAP_Y = 18, MARGIN = 24, HEAD = 40, CHARS = 24 };

struct place {
    double weight; /* mean row of what stands before it */
    int row;
};

struct drawing {
    const struct trace *t;
    struct place *places;
    size_t *order; /* nodes by level, then row */
    int levels, rows;
};

/* Light fills that stay apart in grey; the kind is also written in the box. */
static const char *fill_of(enum trace_kind k)
{
    static const char *const fills[TRACE_KINDS] = {
        [TRACE_SUPPLIER] = "#f3efe6", [TRACE_DOCUMENT] = "#ffffff", [TRACE_RECEIPT] = "#e3edf7",
        [TRACE_BATCH] = "#dff0e0",    [TRACE_SALE] = "#fbeeda",     [TRACE_BUYER] = "#f3efe6",
        [TRACE_WASTE] = "#ececec",
    };

    return fills[k];
}

static int compare_nodes(const struct drawing *d, size_t a, size_t b)
{
    const struct trace_node *x = &d->t->nodes[a], *y = &d->t->nodes[b];

    if (x->level != y->level)
        return x->level < y->level ? -1 : 1;
    if (d->places[a].weight < d->places[b].weight || d->places[a].weight > d->places[b].weight)
        return d->places[a].weight < d->places[b].weight ? -1 : 1;
    if (x->kind != y->kind)
        return x->kind < y->kind ? -1 : 1;
    return strcmp(x->id, y->id);
}

/* Heap sort: qsort cannot be told of the drawing. */
static void sift(struct drawing *d, size_t root, size_t n)
{
    for (size_t child; (child = 2 * root + 1) < n; root = child) {
        size_t swap;

        if (child + 1 < n && compare_nodes(d, d->order[child], d->order[child + 1]) < 0)
            child++;
        if (compare_nodes(d, d->order[root], d->order[child]) >= 0)
            return;
        swap = d->order[root];
        d->order[root] = d->order[child];
        d->order[child] = swap;
    }
}

static void sort_nodes(struct drawing *d)
{
    size_t n = d->t->node_count;

    for (size_t i = n / 2; i-- > 0;)
        sift(d, i, n);
    for (size_t i = n; i-- > 1;) {
        size_t swap = d->order[0];

        d->order[0] = d->order[i];
        d->order[i] = swap;
        sift(d, 0, i);
    }
}

static void number_rows(struct drawing *d)
{
    int level = -1, row = 0;

    d->levels = d->rows = 0;
    for (size_t i = 0; i < d->t->node_count; i++) {
        const struct trace_node *n = &d->t->nodes[d->order[i]];

        row = n->level == level ? row + 1 : 0;
        level = n->level;
        d->places[d->order[i]].row = row;
        d->levels = level + 1 > d->levels ? level + 1 : d->levels;
        d->rows = row + 1 > d->rows ? row + 1 : d->rows;
    }
}

/* Each node moves to the mean row of its neighbours; a few passes untangle most crossings. */
static void arrange(struct drawing *d, double *sum, unsigned *count)
{
    enum { PASSES = 4 };

    for (int pass = 0; pass <= PASSES; pass++) {
        sort_nodes(d);
        number_rows(d);
        memset(sum, 0, d->t->node_count * sizeof *sum);
        memset(count, 0, d->t->node_count * sizeof *count);
        for (size_t i = 0; i < d->t->edge_count; i++) {
            const struct trace_edge *e = &d->t->edges[i];
            size_t mine = pass % 2 == 0 ? e->to : e->from, other = pass % 2 == 0 ? e->from : e->to;

            sum[mine] += d->places[other].row;
            count[mine]++;
        }
        for (size_t i = 0; i < d->t->node_count; i++)
            d->places[i].weight = count[i] > 0 ? sum[i] / count[i] : d->places[i].row;
    }
}

static int left_of(const struct drawing *d, size_t node)
{
    return MARGIN + d->t->nodes[node].level * (BOX_W + GAP_X);
}

static int top_of(const struct drawing *d, size_t node)
{
    return MARGIN + HEAD + d->places[node].row * (BOX_H + GAP_Y);
}

/* At most CHARS characters, the rest told by three dots. */
static void put_short(struct sbuf *out, const char *s)
{
    struct sbuf b = SBUF_INIT;
    size_t n = strlen(s), at = 0;
    int chars = 0;

    while (at < n && chars < CHARS) {
        uint32_t cp = 0;
        size_t step = utf8_next(s + at, n - at, &cp);

        at += step > 0 ? step : 1;
        chars++;
    }
    sbuf_putn(&b, s, at);
    if (at < n)
        sbuf_puts(&b, "...");
    page_text(out, b.s);
    if (b.failed)
        out->failed = true;
    sbuf_free(&b);
}

static void put_line(struct sbuf *out, int x, int y, const char *class, const char *text)
{
    if (text == NULL || *text == '\0')
        return;
    sbuf_printf(out, "<text x=\"%d\" y=\"%d\" class=\"%s\">", x, y, class);
    put_short(out, text);
    sbuf_puts(out, "</text>\n");
}

static void put_node(struct sbuf *out, const struct drawing *d, size_t i)
{
    enum { PAD = 8, LINE = 15 };
    const struct trace_node *n = &d->t->nodes[i];
    int x = left_of(d, i), y = top_of(d, i);
    struct sbuf b = SBUF_INIT;

    sbuf_printf(out, "<g><title>");
    page_text(out, n->trouble != NULL ? n->trouble : n->name);
    sbuf_printf(out,
                "</title><rect x=\"%d\" y=\"%d\" width=\"%d\" height=\"%d\" rx=\"3\" fill=\"%s\""
                " stroke=\"#111\" stroke-width=\"%s\"%s/>\n",
                x, y, BOX_W, BOX_H, fill_of(n->kind), i < d->t->start_count ? "3" : "1",
                n->trouble != NULL || n->missing ? " stroke-dasharray=\"5 3\"" : "");
    sbuf_printf(&b, "%s %s", trace_kind_name(n->kind), n->id);
    put_line(out, x + PAD, y + LINE, "b", b.s);
    put_line(out, x + PAD, y + 2 * LINE, "t", n->missing ? "no such record" : n->name);
    sbuf_clear(&b);
    sbuf_printf(&b, "%s%s%s", n->date != NULL ? n->date : "",
                n->date != NULL && n->amount != NULL ? ", " : "",
                n->amount != NULL ? n->amount : "");
    put_line(out, x + PAD, y + 3 * LINE - 2, "s", n->trouble != NULL ? n->trouble : b.s);
    sbuf_puts(out, "</g>\n");
    if (b.failed)
        out->failed = true;
    sbuf_free(&b);
}

static void put_edge(struct sbuf *out, const struct drawing *d, const struct trace_edge *e)
{
    int x1 = left_of(d, e->from) + BOX_W, y1 = top_of(d, e->from) + BOX_H / 2;
    int x2 = left_of(d, e->to), y2 = top_of(d, e->to) + BOX_H / 2;
    int bend = GAP_X / 2;

    sbuf_printf(out, "<path d=\"M%d %dC%d %d %d %d %d %d\"/>\n", x1, y1, x1 + bend, y1, x2 - bend,
                y2, x2, y2);
}

/* After all the lines, so that its halo lies over them. Where several lines run into one box, their
 * amounts would lie on each other: an amount stands at the box it comes from when that gives only
 * this one. */
static void put_amount(struct sbuf *out, const struct drawing *d, const struct trace_edge *e)
{
    int x1 = left_of(d, e->from) + BOX_W, y1 = top_of(d, e->from) + BOX_H / 2;
    int x2 = left_of(d, e->to), y2 = top_of(d, e->to) + BOX_H / 2;
    size_t given = 0;

    if (e->amount == NULL)
        return;
    for (size_t i = 0; i < d->t->edge_count; i++)
        given += d->t->edges[i].from == e->from;
    if (given == 1)
        sbuf_printf(out, "<text x=\"%d\" y=\"%d\" class=\"s g\">", x1 + 4, y1 - 3);
    else
        sbuf_printf(out, "<text x=\"%d\" y=\"%d\" class=\"s e\">", x2 - 4, y2 - 3);
    put_short(out, e->amount);
    sbuf_puts(out, "</text>\n");
}

static void put_all(struct sbuf *out, const struct drawing *d, const char *title)
{
    int width = 2 * MARGIN + d->levels * BOX_W + (d->levels > 0 ? d->levels - 1 : 0) * GAP_X;
    int height = 2 * MARGIN + HEAD + d->rows * (BOX_H + GAP_Y);

    sbuf_printf(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%d\" height=\"%d\" viewBox=\"0 0 %d "
        "%d\" role=\"img\">\n<title>",
        width, height, width, height);
    page_text(out, title);
    sbuf_puts(out,
              "</title>\n<style>text{font-family:system-ui,sans-serif;fill:#111}"
              ".b{font-size:12px;font-weight:600}.t{font-size:12px}.s{font-size:11px;fill:#333}"
              ".e{text-anchor:end}.e,.g{paint-order:stroke;stroke:#fff;stroke-width:3px}"
              ".h{font-size:16px;font-weight:600}path{fill:none;stroke:#666}</style>\n"
              "<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n");
    sbuf_printf(out, "<text x=\"%d\" y=\"%d\" class=\"h\">", MARGIN, MARGIN + 14);
    page_text(out, title);
    sbuf_puts(out, "</text>\n");
    for (size_t i = 0; i < d->t->edge_count; i++)
        put_edge(out, d, &d->t->edges[i]);
    for (size_t i = 0; i < d->t->edge_count; i++)
        put_amount(out, d, &d->t->edges[i]);
    for (size_t i = 0; i < d->t->node_count; i++)
        put_node(out, d, i);
    sbuf_puts(out, "</svg>\n");
}

void trace_svg(const struct trace *t, const char *title, struct sbuf *out)
{
    size_t n = t->node_count;
    struct drawing d = {.t = t,
                        .places = mem_calloc(n + 1, sizeof *d.places),
                        .order = mem_calloc(n + 1, sizeof *d.order)};
    double *sum = mem_calloc(n + 1, sizeof *sum);
    unsigned *count = mem_calloc(n + 1, sizeof *count);

    if (d.places == NULL || d.order == NULL || sum == NULL || count == NULL) {
        out->failed = true;
    } else {
        for (size_t i = 0; i < n; i++)
            d.order[i] = i;
        arrange(&d, sum, count);
        put_all(out, &d, title);
    }
    mem_free(d.places);
    mem_free(d.order);
    mem_free(sum);
    mem_free(count);
}
