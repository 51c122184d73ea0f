/* label_symbol.h - our own drawings of the public hazard and mark shapes, as SVG. */
#ifndef LW_REPORT_LABEL_SYMBOL_H
#define LW_REPORT_LABEL_SYMBOL_H

#include "text/sbuf.h"

/* The width, mm, that a symbol takes whose side measures side_mm: a square on a point is as wide as
 * its diagonal, an octagon as wide as its side figure. */
double label_symbol_width_mm(const char *code, double side_mm);
/* Draws it with its upper left corner at (x, y), user unit mm. False: no drawing for the code. */
bool label_symbol_draw(struct sbuf *out, const char *code, double x, double y, double side_mm);
/* "flame in a red square set on a point" and so on, for those who cannot see it; NULL: unknown. */
const char *label_symbol_words(const char *code);

#endif
