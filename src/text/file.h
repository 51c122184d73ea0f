/* file.h - bounded reading of files. */
#ifndef LW_TEXT_FILE_H
#define LW_TEXT_FILE_H

#include "text/base.h"
#include "text/diag.h"
#include "text/sbuf.h"

/* Reads the whole regular file `path` (at most `most` bytes) into b. Directories, devices, FIFOs
 * and sockets are refused (opened non-blocking, so a FIFO that never ends cannot hang the run).
 * "-" is not special here. false with a diagnostic (code "cannot-read", "not-a-file", "too-large").
 */
bool file_read(const char *path, size_t most, struct sbuf *b, struct diags *d);
/* The regular file `name` of an open folder, added to b; without a word when it cannot be read. */
bool file_read_in(int folder, const char *name, size_t most, struct sbuf *b);
/* Opens a regular file for reading, same refusals; -1 with a diagnostic. */
int file_open(const char *path, struct diags *d);
/* Sorted names in a folder that end in `suffix` (".xml"); dot files skipped. *names is an array of
 * *count strings, each and the array for mem_free. false with a diagnostic. */
bool file_list(const char *dir, const char *suffix, char ***names, size_t *count, struct diags *d);
bool file_is_dir(const char *path);

#endif
