#include "text/base.h"

#include "report/label_layout.h"
#include "report/label_symbol.h"
#include "report/page.h"
#include "text/utf8.h"

/* Height of the small x and of the capitals as a share of the type size, Helvetica. */
#define X_HEIGHT          0.523
#define CAP_HEIGHT        0.718
#define LINE_SPACING      1.2 /* Regulation (EU) 2024/2865 */
#define BOLD_WIDTH        1.08
#define MARGIN_MM         1.0
#define GAP_MM            0.6
#define STEP_MM           0.02 /* of the x-height, while a size is looked for */
#define X_HEIGHT_MOST_MM  2.2  /* larger gains nothing */
#define X_HEIGHT_FLOOR_MM 0.8  /* common practice, no source: below it nobody reads it */
#define ASCII_FIRST       32
#define NO_BREAK_SPACE    0xA0
#define WIDE              1.0 /* of the type size: Han, kana, Hangul */
#define OTHER             0.62

/* Adobe Helvetica, thousandths of the type size, U+0020 to U+007E. */
static const unsigned short widths[] = {
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333,  278, 278, 556, 556, 556,
    556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667,
    611, 778, 722, 278, 500, 667, 556, 833, 722, 778, 667, 778, 722, 667,  611, 722, 667, 944, 667,
    667, 611, 278, 278, 278, 469, 556, 333, 556, 556, 500, 556, 556, 278,  556, 556, 222, 222, 500,
    222, 833, 556, 556, 556, 556, 333, 500, 278, 556, 500, 722, 500, 500,  500, 334, 260, 334, 584};

/* Scripts whose letters join, stack or run the other way: their width is not a sum of letters. */
static bool joins(uint32_t cp)
{
    return (cp >= 0x0590 && cp < 0x1100) || (cp >= 0x1200 && cp < 0x1E00) ||
           (cp >= 0xFB1D && cp < 0xFE00) || (cp >= 0xFE70 && cp < 0xFF00);
}

/* Width of s[0..n) in type sizes. */
static double width_of(const char *s, size_t n, uint32_t *unmeasured)
{
    double width = 0;

    for (size_t i = 0; i < n;) {
        uint32_t cp = 0;
        size_t length = utf8_next(s + i, n - i, &cp);
        char one[8] = "";

        if (length == 0)
            break;
        memcpy(one, s + i, length);
        if (cp >= ASCII_FIRST && cp < ASCII_FIRST + LW_COUNT(widths))
            width += widths[cp - ASCII_FIRST] / 1000.0;
        else if (cp == NO_BREAK_SPACE)
            width += widths[0] / 1000.0;
        else
            width += utf8_width(one) > 1 ? WIDE : utf8_width(one) == 0 ? 0 : OTHER;
        if (joins(cp) && unmeasured != NULL)
            *unmeasured = cp;
        i += length;
    }
    return width;
}

struct pen {
    struct sbuf *out; /* NULL: measure only */
    double x, y, room_mm, size_mm;
    bool bold;
    bool over; /* one word alone is wider than the room */
    uint32_t unmeasured;
};

static void put_line(struct pen *p, const char *s, size_t n)
{
    double em = p->size_mm * (p->bold ? BOLD_WIDTH : 1.0);
    double width = width_of(s, n, &p->unmeasured) * em;
    char line[512];

    p->y += p->size_mm * LINE_SPACING;
    p->over |= width > p->room_mm * 1.0001;
    if (p->out == NULL || n == 0 || n >= sizeof line)
        return;
    memcpy(line, s, n);
    line[n] = '\0';
    sbuf_puts(p->out, "<text x=\"");
    sbuf_fixed(p->out, p->x, 3);
    sbuf_puts(p->out, "\" y=\"");
    sbuf_fixed(p->out, p->y - p->size_mm * (LINE_SPACING - CAP_HEIGHT) / 2, 3);
    sbuf_puts(p->out, "\" font-size=\"");
    sbuf_fixed(p->out, p->size_mm, 3);
    if (n > 1) {
        sbuf_puts(p->out, "\" textLength=\"");
        sbuf_fixed(p->out, width, 3);
        sbuf_puts(p->out, "\" lengthAdjust=\"spacingAndGlyphs");
    }
    sbuf_puts(p->out, p->bold ? "\" font-weight=\"700\">" : "\">");
    page_text(p->out, line);
    sbuf_puts(p->out, "</text>");
}

/* One block in lines; words part at blanks, and between wide characters, which have none. */
static void put_block(struct pen *p, const char *text)
{
    double em = p->size_mm * (p->bold ? BOLD_WIDTH : 1.0);
    const char *start = text, *good = NULL;

    for (const char *at = text;;) {
        uint32_t cp = 0;
        size_t n = *at == '\0' ? 0 : utf8_next(at, strlen(at), &cp);
        bool wide = n > 2 && !joins(cp);

        if (n == 0 || *at == ' ' || wide) {
            const char *end = wide ? at + n : at;

            if (good != NULL && width_of(start, (size_t)(end - start), NULL) * em > p->room_mm) {
                put_line(p, start, (size_t)(good - start));
                start = good;
                while (*start == ' ')
                    start++;
            }
            good = end;
        }
        if (n == 0)
            break;
        at += n;
    }
    if (*start != '\0')
        put_line(p, start, strlen(start));
}

struct placing {
    double side_mm, x_height_mm;
    bool across;
};

static double symbols_width(const struct label_content *c, double side)
{
    double width = 0;

    for (size_t i = 0; i < c->symbol_count; i++)
        width += label_symbol_width_mm(c->symbols[i], side) + (i > 0 ? GAP_MM : 0);
    return width;
}

/* Height that all takes when placed so; draws when out is given. *over: something is too wide. */
static double set_all(struct sbuf *out, const struct label_content *c, const struct placing *g,
                      bool *over, uint32_t *unmeasured)
{
    double across = symbols_width(c, g->side_mm), x = MARGIN_MM;
    double high = c->symbol_count > 0 ? label_symbol_width_mm(c->symbols[0], g->side_mm) : 0;
    double room = c->width_mm - 2 * MARGIN_MM;
    struct pen p = {.out = out, .x = MARGIN_MM, .y = MARGIN_MM, .room_mm = room};

    *over = across > room;
    for (size_t i = 0; i < c->symbol_count; i++) {
        if (out != NULL)
            label_symbol_draw(out, c->symbols[i], x, MARGIN_MM, g->side_mm);
        x += label_symbol_width_mm(c->symbols[i], g->side_mm) + GAP_MM;
    }
    if (c->symbol_count > 0 && g->across)
        p.y += high + GAP_MM;
    if (c->symbol_count > 0 && !g->across) {
        p.x = x;
        p.room_mm = room - across - GAP_MM;
    }
    if (p.room_mm < 4 * g->x_height_mm) {
        *over = true;
        return HUGE_VAL;
    }
    for (size_t i = 0; i < c->block_count; i++) {
        const struct label_block *b = &c->blocks[i];

        p.size_mm = fmax(g->x_height_mm / X_HEIGHT * b->scale, b->least_mm / CAP_HEIGHT);
        p.bold = b->bold;
        if (b->text != NULL)
            put_block(&p, b->text);
    }
    *over |= p.over;
    *unmeasured = p.unmeasured;
    return fmax(p.y, MARGIN_MM + high) + MARGIN_MM;
}

static double least_x_height(const struct label_content *c)
{
    return fmax(c->x_height_least_mm, X_HEIGHT_FLOOR_MM);
}

/* The largest letters that fit with these symbols; 0: none do. */
static double largest(const struct label_content *c, double side, bool across, uint32_t *unmeasured)
{
    for (double h = X_HEIGHT_MOST_MM; h >= least_x_height(c) - STEP_MM / 2; h -= STEP_MM) {
        bool over = false;
        struct placing g = {side, fmax(h, least_x_height(c)), across};

        if (set_all(NULL, c, &g, &over, unmeasured) <= c->height_mm && !over)
            return g.x_height_mm;
    }
    return 0;
}

struct label_fit label_layout_fit(const struct label_content *c)
{
    double sides[] = {fmax(c->symbol_wished_mm, c->symbol_least_mm), c->symbol_least_mm};
    struct label_fit fit = {
        .symbol_mm = c->symbol_least_mm, .x_height_mm = least_x_height(c), .across = true};
    bool over = false;

    for (size_t i = 0; i < LW_COUNT(sides); i++)
        for (int across = 0; across <= 1; across++) {
            double h = largest(c, sides[i], across == 1, &fit.unmeasured);

            if (h > 0) {
                fit.fits = true;
                fit.symbol_mm = sides[i];
                fit.x_height_mm = h;
                fit.across = across == 1;
                return fit;
            }
        }
    fit.needed_mm = set_all(NULL, c, &(struct placing){fit.symbol_mm, fit.x_height_mm, fit.across},
                            &over, &fit.unmeasured);
    return fit;
}

void label_layout_draw(struct sbuf *out, const struct label_content *c, const struct label_fit *fit,
                       const char *class)
{
    double height = fit->fits ? c->height_mm : fmax(fit->needed_mm, c->height_mm);
    bool over = false;
    uint32_t unmeasured = 0;
    const double numbers[] = {c->width_mm, height, c->width_mm, height, c->width_mm, height};
    static const char *const before[] = {"\" width=\"",
                                         "mm\" height=\"",
                                         "mm\" viewBox=\"0 0 ",
                                         " ",
                                         "\"><rect class=\"edge\" width=\"",
                                         "\" height=\""};

    sbuf_printf(out, "<svg class=\"label %s", class);
    for (size_t i = 0; i < LW_COUNT(numbers); i++) {
        sbuf_puts(out, before[i]);
        sbuf_fixed(out, numbers[i], 3);
    }
    sbuf_puts(out, "\" fill=\"#fff\" stroke=\"#999\" stroke-width=\"0.1\"/>");
    set_all(out, c, &(struct placing){fit->symbol_mm, fit->x_height_mm, fit->across}, &over,
            &unmeasured);
    sbuf_puts(out, "</svg>\n");
}

void label_layout_ruler(struct sbuf *out, unsigned length_mm)
{
    enum { HIGH = 9, FIVE = 5, TEN = 10 };

    sbuf_printf(out,
                "<svg class=\"ruler\" width=\"%umm\" height=\"%dmm\" viewBox=\"-1 0 %u %d\"><path "
                "d=\"M0 0.1H%u",
                length_mm + 6, HIGH, length_mm + 6, HIGH, length_mm);
    for (unsigned i = 0; i <= length_mm; i++)
        sbuf_printf(out, "M%u 0V%s", i, i % TEN == 0 ? "4" : i % FIVE == 0 ? "3" : "2");
    sbuf_puts(out, "\" stroke=\"#111\" stroke-width=\"0.12\" fill=\"none\"/>");
    for (unsigned i = 0; i <= length_mm; i += TEN)
        sbuf_printf(out,
                    "<text x=\"%u\" y=\"7.6\" font-size=\"3\" text-anchor=\"middle\">%u%s</text>",
                    i, i, i == length_mm ? " mm" : "");
    sbuf_puts(out, "</svg>\n");
}
