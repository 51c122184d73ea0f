/* sbuf.c - a growing string with a sticky failure flag. */
#include "text/base.h"

#include "text/mem.h"
#include "text/sbuf.h"
#include "text/utf8.h"

char sbuf_empty[1] = "";

void sbuf_free(struct sbuf *b)
{
    if (b == NULL)
        return;
    if (b->cap > 0)
        mem_free(b->s);
    *b = (struct sbuf)SBUF_INIT;
}

void sbuf_clear(struct sbuf *b)
{
    b->len = 0;
    b->failed = false;
    if (b->cap > 0)
        b->s[0] = '\0';
}

/* Makes room for n more bytes and the NUL; false (and the flag set) when it cannot. */
static bool make_room(struct sbuf *b, size_t n)
{
    if (b->failed)
        return false;
    if (n >= SIZE_MAX - b->len) {
        b->failed = true;
        return false;
    }
    if (b->len + n + 1 <= b->cap)
        return true;
    char *s = mem_grow(b->cap > 0 ? b->s : NULL, &b->cap, b->len + n + 1, 1);
    if (s == NULL) {
        b->failed = true;
        return false;
    }
    b->s = s;
    b->s[b->len] = '\0';
    return true;
}

void sbuf_putn(struct sbuf *b, const char *s, size_t n)
{
    if (!make_room(b, n))
        return;
    if (n > 0)
        memcpy(b->s + b->len, s, n);
    b->len += n;
    b->s[b->len] = '\0';
}

void sbuf_putc(struct sbuf *b, char c)
{
    sbuf_putn(b, &c, 1);
}

void sbuf_puts(struct sbuf *b, const char *s)
{
    if (s != NULL)
        sbuf_putn(b, s, strlen(s));
}

void sbuf_pad(struct sbuf *b, char c, size_t n)
{
    if (!make_room(b, n))
        return;
    memset(b->s + b->len, c, n);
    b->len += n;
    b->s[b->len] = '\0';
}

void sbuf_vprintf(struct sbuf *b, const char *fmt, va_list ap)
{
    va_list again;

    va_copy(again, ap);
    int n = vsnprintf(NULL, 0, fmt, ap);
    if (n < 0)
        b->failed = true;
    else if (make_room(b, (size_t)n)) {
        vsnprintf(b->s + b->len, (size_t)n + 1, fmt, again);
        b->len += (size_t)n;
    }
    va_end(again);
}

void sbuf_printf(struct sbuf *b, const char *fmt, ...)
{
    va_list ap;

    va_start(ap, fmt);
    sbuf_vprintf(b, fmt, ap);
    va_end(ap);
}

/* The C library writes LC_NUMERIC's decimal mark, which may be any bytes: take the digits and leave
 * the mark.  Stops at 'e'.  Returns the count of digits put in out. */
static size_t take_digits(const char *s, char *out)
{
    size_t n = 0;

    for (; *s != '\0' && *s != 'e'; s++)
        if (ascii_digit(*s))
            out[n++] = *s;
    out[n] = '\0';
    return n;
}

/* The exponent after the 'e' of a "%e" text. */
static int read_exponent(const char *s)
{
    const char *e = strchr(s, 'e');
    int v = 0;

    if (e == NULL)
        return 0;
    bool minus = e[1] == '-';
    for (e += 2; ascii_digit(*e); e++)
        v = v * 10 + (*e - '0');
    return minus ? -v : v;
}

enum {
    DIGITS_MOST = 17,    /* what tells any two doubles apart (DBL_DECIMAL_DIG) */
    EXPONENT_LEAST = -6, /* plain notation from 1e-6 ... */
    EXPONENT_MOST = 15,  /* ... to below 1e15 */
    FIXED_MOST = 30
};

void sbuf_number(struct sbuf *b, double v, int digits)
{
    char raw[64], d[64];

    if (!isfinite(v)) {
        sbuf_putc(b, '-');
        return;
    }
    digits = digits < 1 ? 1 : digits > DIGITS_MOST ? DIGITS_MOST : digits;
    snprintf(raw, sizeof raw, "%.*e", digits - 1, v);
    size_t n = take_digits(raw, d);
    int e = read_exponent(raw);
    while (n > 1 && d[n - 1] == '0')
        d[--n] = '\0';
    if (d[0] == '0') {
        sbuf_putc(b, '0');
        return;
    }
    if (v < 0)
        sbuf_putc(b, '-');
    if (e < EXPONENT_LEAST || e >= EXPONENT_MOST) {
        sbuf_putc(b, d[0]);
        if (n > 1) {
            sbuf_putc(b, '.');
            sbuf_putn(b, d + 1, n - 1);
        }
        sbuf_printf(b, "e%d", e);
    } else if (e < 0) {
        sbuf_puts(b, "0.");
        sbuf_pad(b, '0', (size_t)(-e - 1));
        sbuf_putn(b, d, n);
    } else {
        size_t whole = (size_t)e + 1;
        sbuf_putn(b, d, n < whole ? n : whole);
        if (n < whole)
            sbuf_pad(b, '0', whole - n);
        if (n > whole) {
            sbuf_putc(b, '.');
            sbuf_putn(b, d + whole, n - whole);
        }
    }
}

void sbuf_fixed(struct sbuf *b, double v, int decimals)
{
    char raw[DBL_MAX_10_EXP + FIXED_MOST + 16], d[sizeof raw];

    if (!isfinite(v)) {
        sbuf_putc(b, '-');
        return;
    }
    decimals = decimals < 0 ? 0 : decimals > FIXED_MOST ? FIXED_MOST : decimals;
    snprintf(raw, sizeof raw, "%.*f", decimals, v);
    size_t n = take_digits(raw, d);
    size_t whole = n - (size_t)decimals;
    if (v < 0 && strspn(d, "0") < n) /* no "-0.00" */
        sbuf_putc(b, '-');
    sbuf_putn(b, d, whole);
    if (decimals > 0) {
        sbuf_putc(b, '.');
        sbuf_puts(b, d + whole);
    }
}

char *sbuf_take(struct sbuf *b)
{
    char *s = NULL;

    if (!b->failed && b->cap == 0)
        make_room(b, 0);
    if (!b->failed) {
        s = b->s;
        b->cap = 0; /* ours no more: sbuf_free() must leave it */
    }
    sbuf_free(b);
    return s;
}
