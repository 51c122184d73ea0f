/* diag.h - what went wrong, where, and what to type instead.
 *
 * The library never prints: it adds to a list that the command shows. A diagnostic says
 * file:line:column, a stable code, a message, and a hint that names what to type. */
#ifndef LW_TEXT_DIAG_H
#define LW_TEXT_DIAG_H

#include "text/base.h"
#include "text/sbuf.h"

enum diag_level {
    DIAG_NOTE,    /* worth knowing; changes nothing */
    DIAG_WARNING, /* read, but doubtful */
    DIAG_ERROR,   /* this record (or option) was not taken; the rest goes on */
    DIAG_FATAL    /* nothing could be checked (exit 2) or the run is broken (exit 3) */
};

struct diag {
    enum diag_level level;
    const char *code; /* static, e.g. "unknown-attribute" */
    char *file;       /* NULL: no file */
    long line;        /* 0: not known; from 1 */
    long column;      /* 0: not known; for CSV the column number, for XML the byte column */
    char *message;
    char *hint; /* NULL: none */
};

struct diags; /* an ordered list; owns its diagnostics */

struct diags *diags_new(void);    /* NULL when out of memory */
void diags_free(struct diags *d); /* NULL-safe */
/* Adds one. `hint` may be NULL. All strings are copied. A failed allocation sets the list's
 * out-of-memory flag, which counts as a fatal diagnostic. d may be NULL (nothing is kept). */
void diags_add(struct diags *d, enum diag_level level, const char *code, const char *file,
               long line, long column, const char *hint, const char *fmt, ...) LW_PRINTF(8, 9);
void diags_out_of_memory(struct diags *d);
bool diags_oom(const struct diags *d);
size_t diags_count(const struct diags *d);
size_t diags_count_level(const struct diags *d, enum diag_level at_least);
const struct diag *diags_at(const struct diags *d, size_t i); /* i < diags_count */
/* "file:line:column: error: message (hint)" with control characters made visible; no newline. */
void diag_format(const struct diag *d, struct sbuf *out);

#endif
