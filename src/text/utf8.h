/* utf8.h - strict UTF-8 and locale-free ASCII classes. */
#ifndef LW_TEXT_UTF8_H
#define LW_TEXT_UTF8_H

#include "text/base.h"
#include "text/sbuf.h"

/* Length in bytes of the well-formed sequence at s (n bytes available), code point in *cp; 0 when
 * ill-formed: overlong, surrogate, above U+10FFFF, truncated (Unicode 15, table 3-7). */
size_t utf8_next(const char *s, size_t n, uint32_t *cp);
/* True when all n bytes are well formed; else *bad is the offset of the first bad byte. */
bool utf8_valid(const char *s, size_t n, size_t *bad);
/* Terminal columns of s: combining marks and zero-width 0, East Asian wide 2, others 1.
 * Ill-formed bytes count 1. */
size_t utf8_width(const char *s);
/* Appends s with control characters (C0, DEL, C1, bidi overrides, line separators) written as
 * <U+001B>, so that a record can never drive the terminal. Newline kept only with keep_nl. */
void utf8_put_clean(struct sbuf *b, const char *s, bool keep_nl);

/* Does the character act on the terminal, or on the order of the text, instead of showing? */
bool utf8_drives_terminal(uint32_t cp);
/* Appends n bytes of XML with those characters, tab and newline apart, as references ("&#x9B;"):
 * the same document, and nothing in it acts on a terminal it is printed to. */
void utf8_put_references(struct sbuf *b, const char *s, size_t n);

static inline bool ascii_digit(int c)
{
    return c >= '0' && c <= '9';
}
static inline bool ascii_upper(int c)
{
    return c >= 'A' && c <= 'Z';
}
static inline bool ascii_lower(int c)
{
    return c >= 'a' && c <= 'z';
}
static inline bool ascii_alpha(int c)
{
    return ascii_upper(c) || ascii_lower(c);
}
static inline bool ascii_alnum(int c)
{
    return ascii_alpha(c) || ascii_digit(c);
}
static inline bool ascii_space(int c)
{
    return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\f' || c == '\v';
}
static inline int ascii_tolower(int c)
{
    return ascii_upper(c) ? c - 'A' + 'a' : c;
}
int ascii_casecmp(const char *a, const char *b);
bool str_starts(const char *s, const char *prefix);
bool str_eq(const char *a, const char *b); /* NULL equals only NULL */
/* Damerau-Levenshtein (optimal string alignment) distance in bytes, ASCII case folded, capped at
 * `most` + 1; for "did you mean". Strings above 64 bytes return most + 1. */
unsigned str_distance(const char *a, const char *b, unsigned most);

#endif
