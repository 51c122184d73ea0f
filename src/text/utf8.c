/* utf8.c - strict UTF-8, safe display, and word distance. */
#include "text/base.h"

#include "text/utf8.h"

/* Unicode 15.0, table 3-7: the second byte's range depends on the first; it is what shuts out
 * overlong forms, surrogates and code points above U+10FFFF. */
size_t utf8_next(const char *s, size_t n, uint32_t *cp)
{
    const unsigned char *u = (const unsigned char *)s;
    unsigned lo = 0x80, hi = 0xBF;
    size_t len;
    uint32_t c;

    if (n == 0)
        return 0;
    if (u[0] < 0x80) {
        *cp = u[0];
        return 1;
    }
    if (u[0] < 0xC2 || u[0] > 0xF4)
        return 0;
    if (u[0] < 0xE0) {
        len = 2;
        c = u[0] & 0x1FU;
    } else if (u[0] < 0xF0) {
        len = 3;
        c = u[0] & 0x0FU;
        lo = u[0] == 0xE0 ? 0xA0 : lo;
        hi = u[0] == 0xED ? 0x9F : hi;
    } else {
        len = 4;
        c = u[0] & 0x07U;
        lo = u[0] == 0xF0 ? 0x90 : lo;
        hi = u[0] == 0xF4 ? 0x8F : hi;
    }
    if (n < len || u[1] < lo || u[1] > hi)
        return 0;
    c = c << 6 | (u[1] & 0x3FU);
    for (size_t i = 2; i < len; i++) {
        if ((u[i] & 0xC0U) != 0x80)
            return 0;
        c = c << 6 | (u[i] & 0x3FU);
    }
    *cp = c;
    return len;
}

bool utf8_valid(const char *s, size_t n, size_t *bad)
{
    uint32_t cp;

    for (size_t i = 0; i < n;) {
        size_t len = utf8_next(s + i, n - i, &cp);
        if (len == 0) {
            if (bad != NULL)
                *bad = i;
            return false;
        }
        i += len;
    }
    return true;
}

/* Characters that act on the terminal or on the order of the text instead of showing: C0, DEL, C1,
 * line and paragraph separator, the bidirectional marks, embeddings, overrides and isolates, and
 * the byte order mark. */
bool utf8_drives_terminal(uint32_t cp)
{
    return cp < 0x20 || (cp >= 0x7F && cp <= 0x9F) || cp == 0x061C || cp == 0x200E ||
           cp == 0x200F || (cp >= 0x2028 && cp <= 0x202E) || (cp >= 0x2066 && cp <= 0x2069) ||
           cp == 0xFEFF;
}

void utf8_put_clean(struct sbuf *b, const char *s, bool keep_nl)
{
    size_t n = s != NULL ? strlen(s) : 0;
    uint32_t cp;

    for (size_t i = 0; i < n;) {
        size_t len = utf8_next(s + i, n - i, &cp);
        if (len == 0) {
            sbuf_printf(b, "<0x%02X>", (unsigned)(unsigned char)s[i]);
            i++;
            continue;
        }
        if (utf8_drives_terminal(cp) && !(keep_nl && cp == '\n'))
            sbuf_printf(b, "<U+%04X>", (unsigned)cp);
        else
            sbuf_putn(b, s + i, len);
        i += len;
    }
}

void utf8_put_references(struct sbuf *b, const char *s, size_t n)
{
    size_t from = 0;
    uint32_t cp;

    for (size_t i = 0; i < n;) {
        size_t len = utf8_next(s + i, n - i, &cp);
        if (len > 0 && utf8_drives_terminal(cp) && cp != '\n' && cp != '\t') {
            sbuf_putn(b, s + from, i - from);
            sbuf_printf(b, "&#x%X;", (unsigned)cp);
            from = i + len;
        }
        i += len > 0 ? len : 1;
    }
    sbuf_putn(b, s + from, n - from);
}

int ascii_casecmp(const char *a, const char *b)
{
    for (;; a++, b++) {
        int x = ascii_tolower((unsigned char)*a), y = ascii_tolower((unsigned char)*b);
        if (x != y || x == '\0')
            return x - y;
    }
}

bool str_starts(const char *s, const char *prefix)
{
    return strncmp(s, prefix, strlen(prefix)) == 0;
}

bool str_eq(const char *a, const char *b)
{
    if (a == NULL || b == NULL)
        return a == b;
    return strcmp(a, b) == 0;
}

static unsigned least(unsigned a, unsigned b)
{
    return a < b ? a : b;
}

enum { DISTANCE_LENGTH_MOST = 64 };

unsigned str_distance(const char *a, const char *b, unsigned most)
{
    unsigned rows[3][DISTANCE_LENGTH_MOST + 1];
    size_t na = strlen(a), nb = strlen(b);
    size_t gap = na > nb ? na - nb : nb - na;

    if (na > DISTANCE_LENGTH_MOST || nb > DISTANCE_LENGTH_MOST || gap > most)
        return most + 1;
    unsigned *two_up = rows[0], *up = rows[1], *row = rows[2];
    for (size_t j = 0; j <= nb; j++)
        row[j] = (unsigned)j;
    for (size_t i = 1; i <= na; i++) {
        unsigned *spare = two_up;
        two_up = up;
        up = row;
        row = spare;
        row[0] = (unsigned)i;
        for (size_t j = 1; j <= nb; j++) {
            int x = ascii_tolower(a[i - 1]), y = ascii_tolower(b[j - 1]);
            unsigned d = least(up[j] + 1, row[j - 1] + 1);
            d = least(d, up[j - 1] + (x != y));
            if (i > 1 && j > 1 && x == ascii_tolower(b[j - 2]) && y == ascii_tolower(a[i - 2]))
                d = least(d, two_up[j - 2] + 1);
            row[j] = d;
        }
    }
    return row[nb] <= most ? row[nb] : most + 1;
}
