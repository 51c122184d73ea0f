/* layout.h - text laid out in columns of a terminal: wrapped paragraphs, headings, tables.
 *
 * Widths are terminal columns (utf8_width). Text from records passes through utf8_put_clean, so it
 * can never drive the terminal. A word longer than the line stands on its own line, unbroken, so
 * that paths and addresses can still be copied. */
#ifndef LW_REPORT_LAYOUT_H
#define LW_REPORT_LAYOUT_H

#include "report/format.h"

enum layout_paint { PAINT_NONE, PAINT_STRONG, PAINT_STOP, PAINT_FIX, PAINT_QUERY, PAINT_DIM };

/* Words of `text` filled to `width` columns. The first line starts with `first` (already clean, may
 * be NULL), the others are indented by `indent` columns. Runs of white space count as one blank; an
 * empty line in the text starts a new paragraph. Ends with a new line; empty text prints only
 * `first`. */
void layout_wrap(struct sbuf *out, int width, const char *first, int indent, const char *text);
/* The same when `column` columns of the first line are in `out` already. */
void layout_wrap_from(struct sbuf *out, int width, int column, int indent, const char *text);
/* "label   text" with the text wrapped from column `indent`. Nothing when text is NULL or empty. */
void layout_labelled(struct sbuf *out, int width, int margin, int indent, const char *label,
                     const char *text);
/* Starts and ends a colour when the style asks for it. */
void layout_paint(struct sbuf *out, const struct report_style *style, enum layout_paint paint);
void layout_heading(struct sbuf *out, const struct report_style *style, const char *text);
/* The table with its title and note, ended by an empty line. */
void layout_table(struct sbuf *out, const struct report_style *style, const struct report_table *t);

#endif
