/* mkdtemp and nftw are newer than the C standard library. */
#define _XOPEN_SOURCE 700
#include "fuzz.h"

#include <ftw.h>
#include <sys/stat.h>
#include <unistd.h>

#include "text/utf8.h"

enum { PATH_BYTES = 256, PATHS = 8, OPEN_MOST = 16, OWNER_ONLY = 0700 };

void fuzz_show(const struct diags *d)
{
    struct sbuf line = SBUF_INIT;
    for (size_t i = 0; i < diags_count(d); i++) {
        sbuf_clear(&line);
        diag_format(diags_at(d, i), &line);
        fprintf(stderr, "%s\n", line.s);
    }
    sbuf_free(&line);
}

void fuzz_must(bool holds, const char *promise)
{
    if (holds)
        return;
    fprintf(stderr, "broken: %s\n", promise);
    abort();
}

static bool drives(uint32_t cp)
{
    return cp < 0x20 || (cp >= 0x7F && cp <= 0x9F) || (cp >= 0x202A && cp <= 0x202E) ||
           (cp >= 0x2066 && cp <= 0x2069);
}

void fuzz_check_diags(const struct diags *d)
{
    struct sbuf line = SBUF_INIT;
    if (getenv("LW_FUZZ_SHOW") != NULL)
        fuzz_show(d);
    for (size_t i = 0; i < diags_count(d); i++) {
        uint32_t cp = 0;
        sbuf_clear(&line);
        diag_format(diags_at(d, i), &line);
        fuzz_must(line.len > 0, "a diagnostic says something");
        for (size_t at = 0; at < line.len;) {
            size_t len = utf8_next(line.s + at, line.len - at, &cp);
            fuzz_must(len > 0, "a message is UTF-8");
            fuzz_must(!drives(cp), "a message holds no control character");
            at += len;
        }
    }
    sbuf_free(&line);
}

static char folder[PATH_BYTES / 2];

static int remove_one(const char *path, const struct stat *st, int type, struct FTW *ftw)
{
    (void)st;
    (void)type;
    (void)ftw;
    return remove(path);
}

static void remove_folder(void)
{
    (void)nftw(folder, remove_one, OPEN_MOST, FTW_DEPTH | FTW_PHYS);
}

const char *fuzz_path(const char *name)
{
    static char paths[PATHS][PATH_BYTES];
    static unsigned next;
    if (!folder[0]) {
        snprintf(folder, sizeof folder, "%s/lw-fuzz.XXXXXX",
                 access("/dev/shm", W_OK) == 0 ? "/dev/shm" : "/tmp");
        fuzz_must(mkdtemp(folder) != NULL, "a folder can be made");
        fuzz_must(atexit(remove_folder) == 0, "atexit");
    }
    char *path = paths[next++ % PATHS];
    fuzz_must(snprintf(path, PATH_BYTES, "%s/%s", folder, name) < PATH_BYTES, "a short path");
    return path;
}

void fuzz_make_folder(const char *name)
{
    fuzz_must(mkdir(fuzz_path(name), OWNER_ONLY) == 0, "a folder can be made");
}

void fuzz_write(const char *path, const char *text, size_t n)
{
    FILE *f = fopen(path, "wb");
    fuzz_must(f != NULL, "a file can be made");
    fuzz_must(fwrite(text, 1, n, f) == n, "a file can be written");
    fuzz_must(fclose(f) == 0, "a file can be written");
}
