/* sqltext.h - the words of labels compared: lists, statements, check digits. Pure. */
#ifndef LW_FACT_SQLTEXT_H
#define LW_FACT_SQLTEXT_H

#include "text/sbuf.h"

/* The part of `printed` that the statement `template` matches: its first byte and *length; NULL
 * when it is nowhere whole. A template's openings: {a|b} one or more of them joined by strokes,
 * commas, "or" or "and"; {...} (the one-character ellipsis) any words; [x] may be left out. White
 * space and case are folded, the final full stop is ignored. A statement begins at the start, or
 * after a mark that ends another, or with a capital. */
const char *statement_find(const char *template, const char *printed, size_t *length);

/* Words of `printed` that come near the template without being it, as printed; "" when none do. */
void statement_near(const char *template, const char *printed, struct sbuf *out);

/* The template with its openings filled for printing: first choice of each, or `fill` where it is
 * one of them; `fill` for the blanks ("..." when NULL); options left out. */
void statement_fill(const char *template, const char *fill, struct sbuf *out);

/* Item number n (from 1) of a list parted by any of `separators` outside parentheses, trimmed:
 * its first byte and *length; NULL past the end. */
const char *list_item(const char *list, const char *separators, size_t n, size_t *length);

#endif
