/* canonical.c - the one spelling of a record. */
#include "text/base.h"

#include "record/value.h"
#include "text/utf8.h"
#include "text/markup.h"

/* The number as typed, with a decimal point; without a leading plus and outer white space. */
static void put_number(struct sbuf *out, const char *text, size_t n)
{
    while (n > 0 && ascii_space((unsigned char)text[0])) {
        text++;
        n--;
    }
    while (n > 0 && ascii_space((unsigned char)text[n - 1])) {
        n--;
    }
    if (n > 0 && text[0] == '+') {
        text++;
        n--;
    }
    for (size_t i = 0; i < n; i++) {
        bool mark = text[i] == ',' && i + 1 < n && ascii_digit((unsigned char)text[i + 1]);
        sbuf_putc(out, mark ? '.' : text[i]);
    }
}

static void put_words(struct sbuf *out, const char *text)
{
    for (const char *s = text; *s != '\0';) {
        size_t n = 0;

        while (ascii_space((unsigned char)*s)) {
            s++;
        }
        while (s[n] != '\0' && !ascii_space((unsigned char)s[n])) {
            n++;
        }
        if (n > 0 && s != text) {
            sbuf_putc(out, ' ');
        }
        sbuf_putn(out, s, n);
        s += n;
    }
}

/* CRLF and lone CR become LF, as an XML parser would have it. */
static void put_lines(struct sbuf *out, const char *text)
{
    for (const char *s = text; *s != '\0'; s++) {
        if (*s == '\r') {
            if (s[1] != '\n') {
                sbuf_putc(out, '\n');
            }
        } else {
            sbuf_putc(out, *s);
        }
    }
}

static void put_quantity(struct sbuf *out, const char *text, const struct record_context *ctx,
                         const struct value *v)
{
    text = quantity_skip_spaces(text);
    struct number n = number_parse(text, ctx->style);

    if (n.status != NUMBER_OK && n.status != NUMBER_APPROX) {
        sbuf_puts(out, text);
        return;
    }
    put_number(out, text, n.len);
    if (v->dim != DIM_COUNT && v->dim != DIM_NONE && v->unit != NULL && v->unit[0] != '\0') {
        sbuf_putc(out, ' ');
        sbuf_puts(out, v->unit);
    }
}

static void put_ratio(struct sbuf *out, const char *text, const struct record_context *ctx)
{
    const char *colon = strchr(text, ':');
    struct number n;

    if (colon == NULL) {
        sbuf_puts(out, text);
        return;
    }
    put_number(out, text, (size_t)(colon - text));
    sbuf_putc(out, ':');
    n = number_parse(colon + 1, ctx->style);
    put_number(out, colon + 1, n.len);
}

static void put_percent(struct sbuf *out, const char *text, const struct record_context *ctx)
{
    struct number n = number_parse(text, ctx->style);

    if (n.status == NUMBER_MISSING) {
        sbuf_puts(out, text);
        return;
    }
    put_number(out, text, n.len);
    sbuf_puts(out, " %");
}

void value_canonical(const struct dict_attr *a, const char *text, const struct record_context *ctx,
                     const struct value *v, struct sbuf *out)
{
    if (v->state == VALUE_ABSENT || v->state == VALUE_BAD) {
        return;
    }
    switch (a->type) {
    case ATTR_DATE:
        sbuf_puts(out, v->date);
        if (v->minute >= 0) {
            sbuf_printf(out, "T%02d:%02d", v->minute / 60, v->minute % 60);
        }
        return;
    case ATTR_QTY:
        put_quantity(out, text, ctx, v);
        return;
    case ATTR_PERCENT:
        put_percent(out, text, ctx);
        return;
    case ATTR_RATIO:
        put_ratio(out, text, ctx);
        return;
    case ATTR_REFS:
        put_words(out, text);
        return;
    case ATTR_TEXT:
        put_lines(out, text);
        return;
    default:
        sbuf_puts(out, text);
    }
}

/* Recursion is bounded by the dictionary's own depth. */
static void put_record(const struct record *r, const struct record_context *ctx, struct sbuf *out,
                       struct sbuf *scratch)
{
    struct value v;

    sbuf_printf(out, "<%s", r->element->name);
    for (size_t i = 0; i < r->element->attr_count; i++) {
        const struct dict_attr *a = &r->element->attrs[i];

        if (r->values[i] == NULL) {
            continue;
        }
        value_read(a, r->values[i], ctx, &v);
        if (v.state == VALUE_ABSENT || v.state == VALUE_BAD) {
            continue;
        }
        sbuf_clear(scratch);
        value_canonical(a, r->values[i], ctx, &v, scratch);
        sbuf_printf(out, " %s=\"", a->name);
        markup_put_attribute(out, scratch->s);
        sbuf_putc(out, '"');
        out->failed = out->failed || scratch->failed;
    }
    if (r->child_count == 0) {
        sbuf_puts(out, "/>");
        return;
    }
    sbuf_putc(out, '>');
    for (size_t i = 0; i < r->child_count; i++) {
        put_record(r->children[i], ctx, out, scratch);
    }
    sbuf_printf(out, "</%s>", r->element->name);
}

void record_canonical_xml(const struct record *r, const struct record_context *ctx,
                          struct sbuf *out)
{
    struct sbuf scratch = SBUF_INIT;

    put_record(r, ctx, out, &scratch);
    sbuf_free(&scratch);
}
