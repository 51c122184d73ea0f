/* csv_split.h - CSV text to cells (RFC 4180, with the separator as a parameter). */
#ifndef LW_RECORD_CSV_SPLIT_H
#define LW_RECORD_CSV_SPLIT_H

#include "text/base.h"
#include "text/sbuf.h"

enum csv_status {
    CSV_ROW,        /* a row; cells hold it */
    CSV_END,        /* no further row */
    CSV_BAD_QUOTE,  /* a quote stands where none may: the row was skipped to its end of line */
    CSV_OPEN_QUOTE, /* a quoted cell never ends: nothing after it can be read */
    CSV_TOO_LARGE,  /* a cell or row beyond the limits */
    CSV_NO_MEMORY
};

#define CSV_COLUMNS_MAX 1024

struct csv_split {
    const char *s, *end; /* what is left */
    char separator;
    long line;     /* of the next row */
    long row_line; /* on which the last row began */
    size_t column; /* CSV_BAD_QUOTE, CSV_OPEN_QUOTE, CSV_TOO_LARGE: cell it happened in, from 1 */
    struct sbuf text; /* the cells, one after another, each with its NUL */
    size_t starts[CSV_COLUMNS_MAX];
    size_t count;
};

/* text must live as long as the splitter. */
void csv_start(struct csv_split *c, const char *text, size_t n, char separator);
/* Reads a row. A line break is LF, CRLF or CR; inside quotes it belongs to the cell. */
enum csv_status csv_next(struct csv_split *c);
const char *csv_cell(const struct csv_split *c, size_t i); /* i < count */
void csv_free(struct csv_split *c);
/* The separator of a header line: the one of tab ; , met most often outside quotes (then in this
 * order); ',' when there is none. */
char csv_guess_separator(const char *text, size_t n);

/* A spreadsheet takes a cell that begins with = + - @, a tab or a line break for a formula, and a
 * formula can run programs. Written, such a cell gets an apostrophe in front, and so does one that
 * begins with apostrophes and then such a character; read, one such apostrophe is taken off again.
 * A signed number with or without a unit ("-18 degC") is no formula and is left as it is. */
bool csv_needs_guard(const char *cell);
/* A cell as it is written (RFC 4180): guarded, and in quotes where a separator, a quote, a line
 * break or a # stands in it. NULL: an empty cell. */
void csv_put_cell(struct sbuf *out, const char *text);
const char *csv_unguarded(const char *cell); /* cell, or one byte into it */

#endif
