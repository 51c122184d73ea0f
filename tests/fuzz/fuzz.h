/* fuzz.h - what the fuzz targets share.
 *
 * A target is LLVMFuzzerTestOneInput in fuzz_X.c. It is linked twice: with libFuzzer, which looks
 * for new inputs (`make fuzz`), and with replay.c, a plain main that runs files once each, so that
 * `make check` goes through the committed seeds with any compiler. A target does not only look for
 * crashes: it stops (fuzz_must) when what must hold for every input does not. */
#ifndef LW_TESTS_FUZZ_H
#define LW_TESTS_FUZZ_H

#include "text/base.h"
#include "text/diag.h"

int LLVMFuzzerTestOneInput(const uint8_t *p, size_t n);

/* Says which promise was broken, and stops. */
void fuzz_must(bool holds, const char *promise);

/* Prints them, for who looks at a broken promise. */
void fuzz_show(const struct diags *d);

/* Every message must be one line of well-formed UTF-8 that cannot drive a terminal. With
 * LW_FUZZ_SHOW in the environment they are printed. */
void fuzz_check_diags(const struct diags *d);

/* A folder of this process in memory (/dev/shm where there is one), made at the first call and
 * removed at the end. fuzz_path gives "FOLDER/name" in one of a few static buffers. */
const char *fuzz_path(const char *name);
void fuzz_make_folder(const char *name);
void fuzz_write(const char *path, const char *text, size_t n);

#endif
