/* layout.c - words into lines. Tables are in layout_table.c. */
#include "text/base.h"

#include "report/layout.h"
#include "text/utf8.h"

struct filler {
    struct sbuf *out;
    int width, indent;
    int column;   /* columns used on the current line */
    bool started; /* a word stands on the current line */
};

static void new_line(struct filler *f)
{
    sbuf_putc(f->out, '\n');
    f->column = 0;
    f->started = false;
}

static void put_word(struct filler *f, const char *word, size_t n)
{
    struct sbuf raw = SBUF_INIT, clean = SBUF_INIT;
    int columns;

    sbuf_putn(&raw, word, n);
    utf8_put_clean(&clean, raw.s, false);
    columns = (int)utf8_width(clean.s);
    if (f->started && f->column + 1 + columns > f->width)
        new_line(f);
    if (f->column < f->indent) {
        sbuf_pad(f->out, ' ', (size_t)(f->indent - f->column));
        f->column = f->indent;
    }
    if (f->started) {
        sbuf_putc(f->out, ' ');
        f->column++;
    }
    sbuf_puts(f->out, clean.s);
    f->column += columns;
    f->started = true;
    if (raw.failed || clean.failed)
        f->out->failed = true;
    sbuf_free(&raw);
    sbuf_free(&clean);
}

/* Skips white space; true when it held an empty line. */
static bool skip_space(const char **p)
{
    int lines = 0;

    while (ascii_space((unsigned char)**p)) {
        if (**p == '\n')
            lines++;
        (*p)++;
    }
    return lines > 1;
}

void layout_wrap(struct sbuf *out, int width, const char *first, int indent, const char *text)
{
    sbuf_puts(out, first);
    layout_wrap_from(out, width, first == NULL ? 0 : (int)utf8_width(first), indent, text);
}

void layout_wrap_from(struct sbuf *out, int width, int column, int indent, const char *text)
{
    struct filler f = {.out = out, .width = width, .indent = indent, .column = column};
    const char *p = text == NULL ? "" : text;

    skip_space(&p);
    while (*p != '\0') {
        const char *end = p;

        while (*end != '\0' && !ascii_space((unsigned char)*end))
            end++;
        put_word(&f, p, (size_t)(end - p));
        p = end;
        if (skip_space(&p) && *p != '\0') {
            new_line(&f);
            new_line(&f);
        }
    }
    sbuf_putc(out, '\n');
}

void layout_labelled(struct sbuf *out, int width, int margin, int indent, const char *label,
                     const char *text)
{
    struct sbuf first = SBUF_INIT;
    int used;

    if (text == NULL || text[0] == '\0')
        return;
    sbuf_pad(&first, ' ', (size_t)margin);
    sbuf_puts(&first, label);
    used = (int)utf8_width(first.s);
    /* A label too long for its column keeps one blank before the text. */
    sbuf_pad(&first, ' ', used < indent ? (size_t)(indent - used) : 1);
    if (first.failed)
        out->failed = true;
    layout_wrap(out, width, first.s, indent, text);
    sbuf_free(&first);
}

void layout_paint(struct sbuf *out, const struct report_style *style, enum layout_paint paint)
{
    /* ECMA-48 SGR: 0 off, 1 bold, 2 faint, 31 red, 33 yellow, 36 cyan */
    static const char *const codes[] = {
        [PAINT_NONE] = "\033[0m",   [PAINT_STRONG] = "\033[1m",   [PAINT_STOP] = "\033[1;31m",
        [PAINT_FIX] = "\033[1;33m", [PAINT_QUERY] = "\033[1;36m", [PAINT_DIM] = "\033[2m",
    };

    if (style->color)
        sbuf_puts(out, codes[paint]);
}

void layout_heading(struct sbuf *out, const struct report_style *style, const char *text)
{
    struct sbuf clean = SBUF_INIT;
    size_t columns;

    utf8_put_clean(&clean, text, false);
    layout_paint(out, style, PAINT_STRONG);
    layout_wrap(out, style->width, NULL, 0, clean.s);
    layout_paint(out, style, PAINT_NONE);
    columns = utf8_width(clean.s);
    sbuf_pad(out, '-', columns < (size_t)style->width ? columns : (size_t)style->width);
    sbuf_puts(out, "\n\n");
    if (clean.failed)
        out->failed = true;
    sbuf_free(&clean);
}
