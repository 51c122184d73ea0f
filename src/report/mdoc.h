/* mdoc.h - a manual page in the mdoc language as plain text, so that the manual can be read where
 * no manual program is installed.
 *
 * The macros used under man/ are known, no others: a page with another is still printed, with the
 * macro's words as they stand, and a test compares every page with what mandoc prints. */
#ifndef LW_REPORT_MDOC_H
#define LW_REPORT_MDOC_H

#include "text/sbuf.h"

enum { MDOC_INDENT = 4 };

/* Appends the page, lines at most `width` columns where words allow. */
void mdoc_text_page(const char *page, int width, struct sbuf *out);

/* --- inside report/mdoc*.c --- */

/* One line of the language in words, appended to `para` with the blanks that belong between. */
struct mdoc_words {
    struct sbuf *para;
    const char *name; /* what a bare Nm stands for */
    bool glue;        /* the next word follows without a blank */
};

/* A text line: escapes undone. */
void mdoc_put_line(struct mdoc_words *w, const char *line, size_t n);
/* The arguments of a macro line; `macro` is its two or three letters. */
void mdoc_put_macro(struct mdoc_words *w, const char *macro, const char *args, size_t n);
/* Escapes undone: \& \- \e \(aq \(dq \[u20AC]. */
void mdoc_unescape(struct sbuf *out, const char *s, size_t n);

#endif
