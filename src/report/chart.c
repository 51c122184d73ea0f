/* chart.c - a line chart as SVG 1.1. */
#include "text/base.h"

#include "report/chart.h"
#include "text/markup.h"
#include "text/utf8.h"

/* Pixels of the drawing. The right margin holds the names of lines and bands. */
enum {
    WIDTH = 760,
    HEIGHT = 480,
    LEFT = 70,
    RIGHT = 200,
    TOP = 56,
    BOTTOM = 76,
    TICK = 5,
    LINE_GAP = 15 /* least distance of two names one under the other */
};

static const double plot_w = WIDTH - LEFT - RIGHT, plot_h = HEIGHT - TOP - BOTTOM;

struct view {
    const struct chart *c;
    struct sbuf *out;
    struct chart_axis x, y;
    double names[CHART_LEVELS_MOST + CHART_BANDS_MOST + CHART_SERIES_MOST]; /* rows taken */
    size_t name_count;
};

static void put_text(struct sbuf *out, const char *s)
{
    struct sbuf clean = SBUF_INIT;

    utf8_put_clean(&clean, s == NULL ? "" : s, false);
    markup_put_text(out, clean.s);
    if (clean.failed)
        out->failed = true;
    sbuf_free(&clean);
}

static void put_attr(struct sbuf *out, const char *name, double v)
{
    sbuf_printf(out, " %s=\"", name);
    sbuf_fixed(out, v, 1);
    sbuf_putc(out, '"');
}

static double clip(double v, double from, double to)
{
    return v < from ? from : v > to ? to : v;
}

static double at_x(const struct view *v, double x)
{
    return LEFT + plot_w * (x - v->x.from) / (v->x.to - v->x.from);
}

static double at_y(const struct view *v, double y)
{
    return TOP + plot_h * (v->y.to - y) / (v->y.to - v->y.from);
}

static struct chart_axis sound(struct chart_axis a)
{
    if (!isfinite(a.from) || !isfinite(a.to) || !(a.from < a.to)) {
        a.from = isfinite(a.from) ? a.from : 0.0;
        a.to = a.from + 1.0;
    }
    return a;
}

/* Text over lines and hatching keeps a white rim, so that it stays readable. */
static void put_label(struct view *v, double x, double y, const char *anchor, const char *text)
{
    sbuf_puts(v->out, "<text fill=\"#000\" stroke=\"#fff\" stroke-width=\"4\" "
                      "paint-order=\"stroke\"");
    put_attr(v->out, "x", x);
    put_attr(v->out, "y", y);
    if (anchor != NULL)
        sbuf_printf(v->out, " text-anchor=\"%s\"", anchor);
    sbuf_putc(v->out, '>');
    put_text(v->out, text);
    sbuf_puts(v->out, "</text>\n");
}

/* A name beside the plot, moved off the names that are there, with a thin line to its place. */
static void put_name(struct view *v, double y, const char *text)
{
    enum { LEAD = 8, TEXT_X = WIDTH - RIGHT + 22 };
    const double drop = 4.0;
    double row = y;

    for (size_t tries = 0; tries <= v->name_count; tries++)
        for (size_t i = 0; i < v->name_count; i++)
            if (fabs(v->names[i] - row) < LINE_GAP)
                row = v->names[i] + LINE_GAP;
    if (v->name_count < LW_COUNT(v->names))
        v->names[v->name_count++] = row;
    sbuf_puts(v->out, "<path fill=\"none\" stroke=\"#888\" d=\"M");
    sbuf_fixed(v->out, LEFT + plot_w, 1);
    sbuf_putc(v->out, ' ');
    sbuf_fixed(v->out, y, 1);
    sbuf_puts(v->out, " L");
    sbuf_fixed(v->out, LEFT + plot_w + LEAD, 1);
    sbuf_putc(v->out, ' ');
    sbuf_fixed(v->out, row, 1);
    sbuf_puts(v->out, " h8\"/>\n");
    put_label(v, TEXT_X, row + drop, NULL, text);
}

/* A step of 1, 2 or 5 times a power of ten that gives about `want` marks. */
static double tick_step(double span, double want)
{
    double raw = span / want, power = pow(10.0, floor(log10(raw))), lead = raw / power;

    return power * (lead <= 1.0 ? 1.0 : lead <= 2.0 ? 2.0 : lead <= 5.0 ? 5.0 : 10.0);
}

static void put_tick_label(struct view *v, double x, double y, const char *anchor, double value)
{
    enum { TICK_DIGITS = 6 };
    struct sbuf b = SBUF_INIT;

    sbuf_number(&b, fabs(value) < 1e-12 ? 0.0 : value, TICK_DIGITS);
    put_label(v, x, y, anchor, b.s);
    if (b.failed)
        v->out->failed = true;
    sbuf_free(&b);
}

/* As many of the names as have room beside each other. */
static void put_named_ticks(struct view *v, double base, double under)
{
    enum { MOST = 12 };
    size_t step = (v->c->x.name_count + MOST - 1) / MOST;

    for (size_t i = 0; i < v->c->x.name_count; i += step) {
        double x = at_x(v, v->c->x.from + (double)i);

        sbuf_puts(v->out, "<path d=\"M");
        sbuf_fixed(v->out, x, 1);
        sbuf_printf(v->out, " %d v%d\"/>\n", HEIGHT - BOTTOM, TICK);
        put_label(v, x, base + under, "middle", v->c->x.names[i]);
    }
}

static void put_axes(struct view *v)
{
    const double want = 8.0, slack = 1e-9, under = 18.0, middle = 2.0, aside = 4.0, title = 20.0;
    double step = tick_step(v->x.to - v->x.from, want);
    double base = TOP + plot_h;

    sbuf_puts(v->out, "<g stroke=\"#000\" fill=\"none\">\n<path d=\"M");
    sbuf_printf(v->out, "%d %d V%d H%d\"/>\n", LEFT, TOP, HEIGHT - BOTTOM, WIDTH - RIGHT);
    if (v->c->x.names != NULL)
        put_named_ticks(v, base, under);
    for (double t = ceil(v->x.from / step - slack) * step;
         v->c->x.names == NULL && t <= v->x.to + step * slack; t += step) {
        sbuf_puts(v->out, "<path d=\"M");
        sbuf_fixed(v->out, at_x(v, t), 1);
        sbuf_printf(v->out, " %d v%d\"/>\n", HEIGHT - BOTTOM, TICK);
        put_tick_label(v, at_x(v, t), base + under, "middle", t);
    }
    step = tick_step(v->y.to - v->y.from, want);
    for (double t = ceil(v->y.from / step - slack) * step; t <= v->y.to + step * slack; t += step) {
        sbuf_printf(v->out, "<path d=\"M%d ", LEFT);
        sbuf_fixed(v->out, at_y(v, t), 1);
        sbuf_printf(v->out, " h-%d\"/>\n", TICK);
        put_tick_label(v, LEFT - 2 * TICK, at_y(v, t) + aside, "end", t);
    }
    sbuf_puts(v->out, "</g>\n");
    put_label(v, LEFT + plot_w / middle, base + 2 * title, "middle", v->c->x.label);
    sbuf_printf(v->out, "<text transform=\"translate(%d %d) rotate(-90)\" text-anchor=\"middle\">",
                (int)title, TOP + (int)(plot_h / middle));
    put_text(v->out, v->c->y.label);
    sbuf_puts(v->out, "</text>\n");
}

/* Hatchings that stay apart in grey print: none and dots and strokes at three slants. */
static void put_patterns(struct view *v)
{
    static const char *const strokes[] = {"M0 8 L8 0", "M0 0 L8 8", "M0 4 H8", "M4 0 V8"};

    sbuf_puts(v->out, "<defs>\n");
    for (size_t i = 0; i < LW_COUNT(strokes); i++) {
        sbuf_puts(v->out, "<pattern id=\"");
        put_text(v->out, v->c->id);
        sbuf_printf(v->out,
                    "-h%zu\" width=\"8\" height=\"8\" patternUnits=\"userSpaceOnUse\">"
                    "<path d=\"%s\" stroke=\"#bbb\" fill=\"none\"/></pattern>\n",
                    i, strokes[i]);
    }
    sbuf_puts(v->out, "</defs>\n");
}

static void put_bands(struct view *v)
{
    enum { PATTERNS = 4 };
    const double middle = 2.0;

    for (size_t i = 0; i < v->c->band_count; i++) {
        const struct chart_band *b = &v->c->bands[i];
        double low = clip(b->from, v->y.from, v->y.to), high = clip(b->to, v->y.from, v->y.to);

        if (!(low < high))
            continue;
        sbuf_puts(v->out, "<rect stroke=\"#888\" stroke-width=\"0.5\"");
        put_attr(v->out, "x", LEFT);
        put_attr(v->out, "y", at_y(v, high));
        put_attr(v->out, "width", plot_w);
        put_attr(v->out, "height", at_y(v, low) - at_y(v, high));
        sbuf_puts(v->out, " fill=\"url(#");
        put_text(v->out, v->c->id);
        sbuf_printf(v->out, "-h%zu)\"/>\n", i % PATTERNS);
        put_name(v, (at_y(v, low) + at_y(v, high)) / middle, b->name);
    }
}

static void put_levels(struct view *v)
{
    for (size_t i = 0; i < v->c->level_count; i++) {
        const struct chart_level *l = &v->c->levels[i];

        if (!(l->y >= v->y.from && l->y <= v->y.to))
            continue;
        sbuf_printf(v->out, "<path fill=\"none\" stroke=\"#000\" stroke-dasharray=\"3 3\" d=\"M%d ",
                    LEFT);
        sbuf_fixed(v->out, at_y(v, l->y), 1);
        sbuf_printf(v->out, " H%d\"/>\n", WIDTH - RIGHT);
        put_name(v, at_y(v, l->y), l->name);
    }
}

/* The line is cut where it leaves the plot, by a clip path, so that it never bends at the edge. */
static void put_series(struct view *v, const struct chart_series *s, size_t index)
{
    static const char *const dashes[] = {"", "8 4", "2 3", "10 3 2 3"};
    double last_y = (double)NAN;
    bool down = false;

    sbuf_puts(v->out, "<path fill=\"none\" stroke=\"#000\" stroke-width=\"2.5\" clip-path=\"url(#");
    put_text(v->out, v->c->id);
    sbuf_puts(v->out, "-plot)\"");
    if (dashes[index][0] != '\0')
        sbuf_printf(v->out, " stroke-dasharray=\"%s\"", dashes[index]);
    sbuf_puts(v->out, " d=\"");
    for (size_t i = 0; i < s->count; i++) {
        if (!isfinite(s->x[i]) || !isfinite(s->y[i])) {
            down = false;
            continue;
        }
        sbuf_puts(v->out, down ? " L" : "M");
        sbuf_fixed(v->out, at_x(v, s->x[i]), 1);
        sbuf_putc(v->out, ' ');
        sbuf_fixed(v->out, at_y(v, s->y[i]), 1);
        last_y = s->y[i];
        down = true;
    }
    sbuf_puts(v->out, "\"/>\n");
    if (isfinite(last_y))
        put_name(v, at_y(v, clip(last_y, v->y.from, v->y.to)), s->name);
}

static void put_mark(struct view *v, const struct chart_mark *m)
{
    const double radius = 5.0, off = 9.0, above = 8.0, room = 0.6;
    double x, y;
    bool left;

    if (!isfinite(m->x) || !isfinite(m->y))
        return;
    x = at_x(v, clip(m->x, v->x.from, v->x.to));
    y = at_y(v, clip(m->y, v->y.from, v->y.to));
    left = x > LEFT + plot_w * room;
    if (m->uncertainty > 0) {
        sbuf_puts(v->out, "<path fill=\"none\" stroke=\"#000\" stroke-width=\"2\" d=\"M");
        sbuf_fixed(v->out, x, 1);
        sbuf_putc(v->out, ' ');
        sbuf_fixed(v->out, at_y(v, clip(m->y - m->uncertainty, v->y.from, v->y.to)), 1);
        sbuf_puts(v->out, " V");
        sbuf_fixed(v->out, at_y(v, clip(m->y + m->uncertainty, v->y.from, v->y.to)), 1);
        sbuf_puts(v->out, "\"/>\n");
    }
    sbuf_puts(v->out, "<circle fill=\"#fff\" stroke=\"#000\" stroke-width=\"2.5\"");
    put_attr(v->out, "cx", x);
    put_attr(v->out, "cy", y);
    put_attr(v->out, "r", radius);
    sbuf_puts(v->out, "/>\n");
    put_label(v, left ? x - off : x + off, y - above, left ? "end" : "start", m->name);
}

static void put_head(struct view *v, bool standalone)
{
    const char *id = v->c->id;

    if (standalone)
        sbuf_puts(v->out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    sbuf_printf(v->out,
                "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %d %d\" width=\"%d\" "
                "height=\"%d\" role=\"img\" aria-labelledby=\"",
                WIDTH, HEIGHT, WIDTH, HEIGHT);
    put_text(v->out, id);
    sbuf_puts(v->out, "-title ");
    put_text(v->out, id);
    sbuf_puts(v->out, "-desc\">\n<title id=\"");
    put_text(v->out, id);
    sbuf_puts(v->out, "-title\">");
    put_text(v->out, v->c->title);
    sbuf_puts(v->out, "</title>\n<desc id=\"");
    put_text(v->out, id);
    sbuf_puts(v->out, "-desc\">");
    put_text(v->out, v->c->desc);
    /* no style sheet: inside a page it would reach the rest of the page */
    sbuf_puts(v->out, "</desc>\n<g font-family=\"sans-serif\" font-size=\"13\" fill=\"#000\">\n");
    sbuf_printf(v->out, "<rect width=\"%d\" height=\"%d\" fill=\"#fff\"/>\n<clipPath id=\"", WIDTH,
                HEIGHT);
    put_text(v->out, id);
    sbuf_printf(v->out, "-plot\"><rect x=\"%d\" y=\"%d\" width=\"%d\" height=\"%d\"/></clipPath>\n",
                LEFT, TOP, WIDTH - LEFT - RIGHT, HEIGHT - TOP - BOTTOM);
}

void chart_svg(const struct chart *c, bool standalone, struct sbuf *out)
{
    enum { TITLE_Y = 28, NOTE_Y = HEIGHT - 10 };
    struct view v = {.c = c, .out = out, .x = sound(c->x), .y = sound(c->y)};

    put_head(&v, standalone);
    put_patterns(&v);
    sbuf_puts(out, "<g font-size=\"16\" font-weight=\"bold\">\n");
    put_label(&v, LEFT, TITLE_Y, NULL, c->title);
    sbuf_puts(out, "</g>\n");
    put_bands(&v);
    put_levels(&v);
    put_axes(&v);
    for (size_t i = 0; i < c->series_count; i++)
        put_series(&v, &c->series[i], i % CHART_SERIES_MOST);
    for (size_t i = 0; i < c->mark_count; i++)
        put_mark(&v, &c->marks[i]);
    if (c->note != NULL)
        put_label(&v, LEFT, NOTE_Y, NULL, c->note);
    sbuf_puts(out, "</g>\n</svg>\n");
}
