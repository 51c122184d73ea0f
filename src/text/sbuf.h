/* sbuf.h - a growing string with a sticky failure flag.
 *
 * Append freely and look at `failed` once at the end: after a failed allocation every further
 * append is a no-op, so a half-written text is never taken for a whole one.
 * Start with `struct sbuf b = SBUF_INIT;`, end with sbuf_free(). `s` is always NUL terminated
 * (and never NULL) and may hold no other NUL. */
#ifndef LW_TEXT_SBUF_H
#define LW_TEXT_SBUF_H

#include "text/base.h"

struct sbuf {
    char *s;
    size_t len;
    size_t cap; /* 0: s points at a static empty string */
    bool failed;
};

extern char sbuf_empty[];
#define SBUF_INIT                                                                                  \
    {                                                                                              \
        sbuf_empty, 0, 0, false                                                                    \
    }

void sbuf_free(struct sbuf *b);  /* NULL-safe; leaves an empty buffer that may be used again */
void sbuf_clear(struct sbuf *b); /* keeps the memory; clears `failed` too */
void sbuf_putc(struct sbuf *b, char c);
void sbuf_puts(struct sbuf *b, const char *s); /* NULL adds nothing */
void sbuf_putn(struct sbuf *b, const char *s, size_t n);
void sbuf_printf(struct sbuf *b, const char *fmt, ...) LW_PRINTF(2, 3);
void sbuf_vprintf(struct sbuf *b, const char *fmt, va_list ap);
void sbuf_pad(struct sbuf *b, char c, size_t n); /* n times c */
/* A double in the shortest form that rounds to `digits` significant digits, decimal point always
 * '.', no exponent between 1e-6 and 1e15, no trailing zeros. NaN and infinity print "-". */
void sbuf_number(struct sbuf *b, double v, int digits);
/* Fixed number of decimals, same guarantees about the decimal point. */
void sbuf_fixed(struct sbuf *b, double v, int decimals);
/* Gives the string to the caller (mem_free), or NULL when failed; the buffer is empty again. */
char *sbuf_take(struct sbuf *b);

#endif
