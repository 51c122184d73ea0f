/* path.c - where a book may stand, and how a new one comes to be there whole or not at all. */
#define _GNU_SOURCE /* O_TMPFILE, realpath; where there is no O_TMPFILE the fallback is POSIX */
#include "text/base.h"

#include "ledger/private.h"
#include "text/mem.h"
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#define OWNER_ONLY 0600

char *ledger_real_path(const char *path, struct diags *d)
{
    char *folder = NULL, *real = NULL;
    char resolved[PATH_MAX];
    struct sbuf b = SBUF_INIT;
    const char *slash = strrchr(path, '/');
    const char *base = slash ? slash + 1 : path;
    if (*base == '\0' || strcmp(base, ".") == 0 || strcmp(base, "..") == 0) {
        diags_add(d, DIAG_FATAL, "book-not-a-file", path, 0, 0, "name the book's file",
                  "this names a folder, not a book");
        return NULL;
    }
    if (slash == NULL)
        folder = mem_strdup(".");
    else
        folder = slash == path ? mem_strdup("/") : mem_strndup(path, (size_t)(slash - path));
    if (folder == NULL) {
        diags_out_of_memory(d);
        goto out;
    }
    if (realpath(folder, resolved) == NULL) {
        diags_add(d, DIAG_FATAL, "book-missing", path, 0, 0, "make the folder first",
                  "the book's folder cannot be reached: %s", strerror(errno));
        goto out;
    }
    sbuf_puts(&b, resolved);
    if (strcmp(resolved, "/") != 0)
        sbuf_putc(&b, '/');
    sbuf_puts(&b, base);
    real = sbuf_take(&b);
    if (real == NULL)
        diags_out_of_memory(d);
out:
    sbuf_free(&b);
    mem_free(folder);
    return real;
}

int ledger_look(const char *path, const char *real, struct diags *d)
{
    struct stat st;
    if (lstat(real, &st) != 0) {
        if (errno == ENOENT)
            return 0;
        diags_add(d, DIAG_FATAL, "book-permission", path, 0, 0, NULL,
                  "the book cannot be looked at: %s", strerror(errno));
        return -1;
    }
    if (S_ISREG(st.st_mode))
        return 1;
    const char *what = S_ISLNK(st.st_mode)    ? "a symbolic link"
                       : S_ISDIR(st.st_mode)  ? "a folder"
                       : S_ISFIFO(st.st_mode) ? "a named pipe"
                       : S_ISSOCK(st.st_mode) ? "a socket"
                                              : "a device";
    diags_add(d, DIAG_FATAL, "book-not-a-file", path, 0, 0,
              S_ISLNK(st.st_mode) ? "name the file the link points to" : NULL,
              "a book is a plain file; this is %s", what);
    return -1;
}

/* The folder part of an absolute name, or NULL when out of memory. */
static char *folder_of(const char *real)
{
    size_t n = (size_t)(strrchr(real, '/') - real);
    return mem_strndup(real, n > 0 ? n : 1);
}

bool ledger_sync_folder(const char *real)
{
    char *folder = folder_of(real);
    if (folder == NULL)
        return false;
    int fd = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    mem_free(folder);
    if (fd < 0)
        return false;
    /* Some file systems cannot sync a folder; that is no reason to refuse a book there. */
    bool ok = fsync(fd) == 0 || errno == EINVAL;
    close(fd);
    return ok;
}

static bool write_all(int fd, const unsigned char *p, size_t n)
{
    while (n > 0) {
        ssize_t k = write(fd, p, n);
        if (k < 0 && errno == EINTR)
            continue;
        if (k <= 0)
            return false;
        p += k;
        n -= (size_t)k;
    }
    return true;
}

/* The bytes of an empty book (sqlite3_free), or NULL with a diagnostic. */
static unsigned char *empty_book(const char *path, sqlite3_int64 *size, struct diags *d)
{
    unsigned char *bytes = NULL;
    sqlite3 *db = NULL;
    char pragma[80];
    int rc = sqlite3_open_v2(":memory:", &db, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, NULL);
    if (rc == SQLITE_OK) {
        snprintf(pragma, sizeof pragma, "PRAGMA application_id=%d; PRAGMA user_version=%d",
                 LEDGER_APPLICATION_ID, LEDGER_VERSION);
        rc = sqlite3_exec(db, pragma, NULL, NULL, NULL);
    }
    for (size_t i = 0; rc == SQLITE_OK && ledger_ddl[i] != NULL; i++)
        rc = sqlite3_exec(db, ledger_ddl[i], NULL, NULL, NULL);
    if (rc == SQLITE_OK) {
        bytes = sqlite3_serialize(db, "main", size, 0);
        if (bytes == NULL)
            rc = SQLITE_NOMEM;
    }
    if (rc != SQLITE_OK)
        ledger_error(path, db, rc, "making a new book", d);
    sqlite3_close(db);
    return bytes;
}

/* Gives the unnamed file fd its name. */
static int name_unnamed(int fd, const char *real)
{
    char self[40];
    snprintf(self, sizeof self, "/proc/self/fd/%d", fd);
    return linkat(AT_FDCWD, self, AT_FDCWD, real, AT_SYMLINK_FOLLOW);
}

/* A file without a name until it is whole, so that a kill leaves nothing: 1 done, 0 not possible on
 * this file system, -1 failed (errno). */
static int make_unnamed(const char *real, const unsigned char *bytes, size_t n)
{
#ifdef O_TMPFILE
    char *folder = folder_of(real);
    if (folder == NULL) {
        errno = ENOMEM;
        return -1;
    }
    int fd = open(folder, O_TMPFILE | O_WRONLY | O_CLOEXEC, OWNER_ONLY);
    mem_free(folder);
    if (fd < 0)
        return errno == EACCES || errno == EROFS || errno == ENOSPC ? -1 : 0;
    int result = -1;
    if (write_all(fd, bytes, n) && fsync(fd) == 0) {
        if (name_unnamed(fd, real) == 0)
            result = 1;
        else if (errno != EEXIST && errno != EACCES && errno != ENOSPC)
            result = 0;
    }
    int kept = errno;
    close(fd);
    errno = kept;
    return result;
#else
    (void)real, (void)bytes, (void)n;
    return 0;
#endif
}

/* The same through a second name in the same folder: true, or false (errno). */
static bool make_named(const char *real, const unsigned char *bytes, size_t n)
{
    struct sbuf temp = SBUF_INIT;
    bool ok = false;
    sbuf_printf(&temp, "%s.new", real);
    if (temp.failed) {
        errno = ENOMEM;
        goto out;
    }
    int fd = open(temp.s, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, OWNER_ONLY);
    if (fd < 0)
        goto out;
    ok = write_all(fd, bytes, n) && fsync(fd) == 0;
    if (close(fd) != 0)
        ok = false;
    /* link() refuses to replace a file; a file system without links gets rename(). */
    if (ok && link(temp.s, real) != 0)
        ok = errno != EEXIST && access(real, F_OK) != 0 && rename(temp.s, real) == 0;
    int kept = errno;
    unlink(temp.s);
    errno = kept;
out:
    sbuf_free(&temp);
    return ok;
}

bool ledger_make(const char *path, const char *real, struct diags *d)
{
    sqlite3_int64 size = 0;
    unsigned char *bytes = empty_book(path, &size, d);
    if (bytes == NULL)
        return false;
    int made = make_unnamed(real, bytes, (size_t)size);
    if (made == 0)
        made = make_named(real, bytes, (size_t)size) ? 1 : -1;
    int kept = errno;
    sqlite3_free(bytes);
    if (made == 1) {
        if (ledger_sync_folder(real))
            return true;
        diags_add(d, DIAG_FATAL, "book-io", path, 0, 0, "try again",
                  "the new book's folder could not be written to disk");
        return false;
    }
    if (kept == EEXIST && access(real, F_OK) == 0)
        return true; /* another filing made it a moment ago: the checks of opening come next */
    if (kept == EEXIST)
        diags_add(d, DIAG_FATAL, "book-io", path, 0, 0,
                  "when no other filing is running, remove the file that ends in .new",
                  "a new book cannot be made: an earlier attempt left its file");
    else if (kept == ENOMEM)
        diags_out_of_memory(d);
    else
        diags_add(d, DIAG_FATAL, kept == ENOSPC || kept == EIO ? "book-io" : "book-permission",
                  path, 0, 0, NULL, "a new book cannot be made: %s", strerror(kept));
    return false;
}
