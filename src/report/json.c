/* json.c - a small JSON writer: two spaces a level, one member a line. */
#include "text/base.h"

#include "report/json.h"
#include "text/number.h"
#include "text/utf8.h"

void json_init(struct json *j, struct sbuf *out)
{
    *j = (struct json){.out = out};
}

static void put_escaped(struct sbuf *out, uint32_t cp)
{
    switch (cp) {
    case '"':
        sbuf_puts(out, "\\\"");
        break;
    case '\\':
        sbuf_puts(out, "\\\\");
        break;
    case '\n':
        sbuf_puts(out, "\\n");
        break;
    case '\r':
        sbuf_puts(out, "\\r");
        break;
    case '\t':
        sbuf_puts(out, "\\t");
        break;
    default:
        sbuf_printf(out, "\\u%04x", (unsigned)cp);
    }
}

/* RFC 8259 asks for U+0000..U+001F, the quote and the backslash. What drives a terminal or turns
 * the order of the text is escaped too. */
static bool must_escape(uint32_t cp)
{
    return cp == '"' || cp == '\\' || utf8_drives_terminal(cp);
}

void json_quote(struct sbuf *out, const char *s)
{
    size_t n = strlen(s), i = 0;

    sbuf_putc(out, '"');
    while (i < n) {
        uint32_t cp = 0;
        size_t len = utf8_next(s + i, n - i, &cp);

        if (len == 0) {
            sbuf_puts(out, "\\ufffd");
            len = 1;
        } else if (must_escape(cp)) {
            put_escaped(out, cp);
        } else {
            sbuf_putn(out, s + i, len);
        }
        i += len;
    }
    sbuf_putc(out, '"');
}

static void begin(struct json *j, const char *key)
{
    if (j->depth > 0) {
        sbuf_puts(j->out, j->filled[j->depth - 1] ? ",\n" : "\n");
        sbuf_pad(j->out, ' ', 2 * (size_t)j->depth);
        j->filled[j->depth - 1] = true;
    }
    if (key != NULL) {
        json_quote(j->out, key);
        sbuf_puts(j->out, ": ");
    }
}

void json_open(struct json *j, const char *key, char bracket)
{
    assert(j->depth < JSON_DEPTH);
    begin(j, key);
    sbuf_putc(j->out, bracket);
    j->filled[j->depth++] = false;
}

void json_close(struct json *j, char bracket)
{
    assert(j->depth > 0);
    if (j->filled[--j->depth]) {
        sbuf_putc(j->out, '\n');
        sbuf_pad(j->out, ' ', 2 * (size_t)j->depth);
    }
    sbuf_putc(j->out, bracket);
    if (j->depth == 0)
        sbuf_putc(j->out, '\n');
}

void json_string(struct json *j, const char *key, const char *value)
{
    begin(j, key);
    if (value == NULL)
        sbuf_puts(j->out, "null");
    else
        json_quote(j->out, value);
}

void json_maybe(struct json *j, const char *key, const char *value)
{
    if (value != NULL)
        json_string(j, key, value);
}

void json_number(struct json *j, const char *key, double value)
{
    enum { DIGITS_SURE = 15, DIGITS_ENOUGH = 17 }; /* IEEE 754 binary64: 17 always read back */
    struct sbuf b = SBUF_INIT;

    begin(j, key);
    if (!isfinite(value)) {
        sbuf_puts(j->out, "null");
        return;
    }
    for (int digits = DIGITS_SURE; digits <= DIGITS_ENOUGH; digits++) {
        double back = 0;

        sbuf_clear(&b);
        sbuf_number(&b, value, digits);
        if (number_exact(b.s, &back) && back >= value && back <= value)
            break;
    }
    if (b.failed)
        j->out->failed = true;
    sbuf_puts(j->out, b.s);
    sbuf_free(&b);
}

void json_count(struct json *j, const char *key, unsigned long value)
{
    begin(j, key);
    sbuf_printf(j->out, "%lu", value);
}

void json_bool(struct json *j, const char *key, bool value)
{
    begin(j, key);
    sbuf_puts(j->out, value ? "true" : "false");
}
