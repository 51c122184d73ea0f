/* csv_split.c - CSV text to cells. */
#include "text/base.h"

#include "record/csv_split.h"
#include "record/reader.h"
#include "text/utf8.h"

void csv_start(struct csv_split *c, const char *text, size_t n, char separator)
{
    memset(c, 0, sizeof *c);
    c->text = (struct sbuf)SBUF_INIT;
    c->s = text;
    c->end = text + n;
    c->separator = separator;
    c->line = 1;
}

void csv_free(struct csv_split *c)
{
    sbuf_free(&c->text);
}

const char *csv_cell(const struct csv_split *c, size_t i)
{
    return c->text.s + c->starts[i];
}

static bool at_break(const struct csv_split *c)
{
    return c->s == c->end || *c->s == '\n' || *c->s == '\r';
}

static void skip_break(struct csv_split *c)
{
    if (c->s < c->end && *c->s == '\r') {
        c->s++;
        if (c->s < c->end && *c->s == '\n') {
            c->s++;
        }
        c->line++;
    } else if (c->s < c->end) {
        c->s++;
        c->line++;
    }
}

static enum csv_status bad_quote(struct csv_split *c)
{
    while (!at_break(c)) {
        c->s++;
    }
    skip_break(c);
    return CSV_BAD_QUOTE;
}

/* c->s stands behind the opening quote. */
static enum csv_status quoted_cell(struct csv_split *c)
{
    size_t start = c->text.len;

    for (;;) {
        if (c->s == c->end) {
            return CSV_OPEN_QUOTE;
        }
        if (*c->s == '"') {
            c->s++;
            if (c->s == c->end || *c->s != '"') {
                break;
            }
        } else if (*c->s == '\n' || (*c->s == '\r' && (c->s + 1 == c->end || c->s[1] != '\n'))) {
            c->line++;
        }
        sbuf_putc(&c->text, *c->s++);
        if (c->text.len - start > READER_ATTR_BYTES) {
            return CSV_TOO_LARGE;
        }
    }
    return at_break(c) || *c->s == c->separator ? CSV_ROW : bad_quote(c);
}

static enum csv_status plain_cell(struct csv_split *c)
{
    const char *start = c->s;

    while (!at_break(c) && *c->s != c->separator) {
        if (*c->s == '"') {
            return bad_quote(c);
        }
        c->s++;
    }
    if (c->s - start > READER_ATTR_BYTES) {
        return CSV_TOO_LARGE;
    }
    sbuf_putn(&c->text, start, (size_t)(c->s - start));
    return CSV_ROW;
}

enum csv_status csv_next(struct csv_split *c)
{
    enum csv_status status = CSV_ROW;

    sbuf_clear(&c->text);
    c->count = 0;
    c->row_line = c->line;
    if (c->s == c->end) {
        return CSV_END;
    }
    for (;;) {
        c->column = c->count + 1;
        if (c->count == CSV_COLUMNS_MAX) {
            return CSV_TOO_LARGE;
        }
        c->starts[c->count++] = c->text.len;
        if (c->s < c->end && *c->s == '"') {
            c->s++;
            status = quoted_cell(c);
        } else {
            status = plain_cell(c);
        }
        if (status != CSV_ROW) {
            return status;
        }
        sbuf_putc(&c->text, '\0');
        if (at_break(c)) {
            break;
        }
        c->s++;
    }
    skip_break(c);
    return c->text.failed ? CSV_NO_MEMORY : CSV_ROW;
}

char csv_guess_separator(const char *text, size_t n)
{
    static const char separators[] = "\t;,";
    size_t counts[sizeof separators - 1] = {0};
    size_t best = 0;
    bool quoted = false;

    for (size_t i = 0; i < n && (quoted || (text[i] != '\n' && text[i] != '\r')); i++) {
        const char *at = text[i] != '\0' ? strchr(separators, text[i]) : NULL;
        if (text[i] == '"') {
            quoted = !quoted;
        } else if (!quoted && at != NULL) {
            counts[at - separators]++;
        }
    }
    for (size_t k = 1; k < LW_COUNT(counts); k++) {
        if (counts[k] > counts[best]) {
            best = k;
        }
    }
    return counts[best] > 0 ? separators[best] : ',';
}

/* Past sign, digits and a unit; NULL when there are no digits. A hyphen only in a unit after a
 * blank:
 * "-2-cmd" is a formula. */
static const char *after_amount(const char *s)
{
    const char *digits = s + (*s == '-' || *s == '+' ? 1 : 0);
    bool blank = false;

    s = digits + strspn(digits, "0123456789.,");
    if (s == digits) {
        return NULL;
    }
    if (*s == ' ' && s[1] != '(') {
        blank = true;
        s++;
    }
    while (ascii_alnum((unsigned char)*s) || *s == '%' || *s == '/' || (blank && *s == '-')) {
        s++;
    }
    return s;
}

/* "-18 degC", "-18 degC (-0.4 degF)". */
static bool is_signed_number(const char *s)
{
    s = after_amount(s);
    if (s != NULL && str_starts(s, " (")) {
        s = after_amount(s + 2);
        s = s != NULL && *s == ')' ? s + 1 : NULL;
    }
    return s != NULL && *s == '\0';
}

static bool starts_formula(const char *s)
{
    return *s != '\0' && strchr("=+-@\t\r\n", *s) != NULL;
}

bool csv_needs_guard(const char *cell)
{
    const char *s = cell + strspn(cell, "'");

    return starts_formula(s) && (s > cell || (*s != '+' && *s != '-') || !is_signed_number(s));
}

void csv_put_cell(struct sbuf *out, const char *text)
{
    if (text == NULL) {
        return;
    }
    if (strpbrk(text, ",;\t\"\r\n#") == NULL) {
        sbuf_puts(out, csv_needs_guard(text) ? "'" : "");
        sbuf_puts(out, text);
        return;
    }
    sbuf_puts(out, csv_needs_guard(text) ? "\"'" : "\"");
    for (const char *s = text; *s != '\0'; s++) {
        if (*s == '"') {
            sbuf_putc(out, '"');
        }
        sbuf_putc(out, *s);
    }
    sbuf_putc(out, '"');
}

const char *csv_unguarded(const char *cell)
{
    return cell[0] == '\'' && starts_formula(cell + strspn(cell, "'")) ? cell + 1 : cell;
}
