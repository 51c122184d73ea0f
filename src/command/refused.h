/* refused.h - the records that were not taken, as typed, each with its reasons. */
#ifndef LW_COMMAND_REFUSED_H
#define LW_COMMAND_REFUSED_H

#include "text/diag.h"
#include "text/sbuf.h"

/* Where records were taken from, by file and line, in any order. */
struct taken {
    struct taken_at {
        size_t file; /* the caller's number of the file */
        long line;
    } * at;
    size_t count, cap;
};

bool taken_add(struct taken *t, size_t file, long line); /* false: out of memory */
void taken_free(struct taken *t);
void taken_sort(struct taken *t); /* before refused_list() */

/* Appends to `out` every record of the file `path` (text[0..n)) that was not taken or has an error
 * in d: its reasons, then its lines as they stand in the file. Errors that belong to no record come
 * first. Returns how many records it listed. */
unsigned long refused_list(const char *path, size_t file, const char *text, size_t n,
                           const struct taken *t, const struct diags *d, struct sbuf *out);

#endif
