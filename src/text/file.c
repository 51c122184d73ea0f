/* file.c - bounded reading of files. */
#include "text/base.h"

#include <dirent.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include "text/file.h"
#include "text/mem.h"
#include "text/utf8.h"

enum { CHUNK = 65536 };

static void cannot_read(const char *path, int error, struct diags *d)
{
    diags_add(d, DIAG_ERROR, "cannot-read", path, 0, 0, NULL, "cannot be read: %s",
              strerror(error));
}

static const char *kind_word(mode_t mode)
{
    if (S_ISDIR(mode))
        return "a folder";
    if (S_ISFIFO(mode))
        return "a pipe";
    if (S_ISSOCK(mode))
        return "a socket";
    return "a device";
}

static bool regular(const char *path, const struct stat *st, struct diags *d)
{
    if (S_ISREG(st->st_mode))
        return true;
    diags_add(d, DIAG_ERROR, "not-a-file", path, 0, 0, "name a plain file", "is %s, not a file",
              kind_word(st->st_mode));
    return false;
}

int file_open(const char *path, struct diags *d)
{
    struct stat st;

    /* Looked at before it is opened, since opening some devices does something; and again after,
     * since another file may have taken the name. O_NONBLOCK: a FIFO must not stop us there. */
    if (stat(path, &st) != 0) {
        cannot_read(path, errno, d);
        return -1;
    }
    if (!regular(path, &st, d))
        return -1;
    int fd = open(path, O_RDONLY | O_NONBLOCK | O_CLOEXEC | O_NOCTTY);
    if (fd < 0) {
        cannot_read(path, errno, d);
        return -1;
    }
    if (fstat(fd, &st) != 0) {
        cannot_read(path, errno, d);
        close(fd);
        return -1;
    }
    if (!regular(path, &st, d)) {
        close(fd);
        return -1;
    }
    return fd;
}

bool file_read(const char *path, size_t most, struct sbuf *b, struct diags *d)
{
    char chunk[CHUNK];
    size_t total = 0;
    bool ok = false;

    int fd = file_open(path, d);
    if (fd < 0)
        return false;
    for (;;) {
        ssize_t n = read(fd, chunk, sizeof chunk);
        if (n < 0 && errno == EINTR)
            continue;
        if (n < 0) {
            cannot_read(path, errno, d);
            goto out;
        }
        if (n == 0)
            break;
        if ((size_t)n > most - total) {
            diags_add(d, DIAG_ERROR, "too-large", path, 0, 0, "split the file",
                      "is larger than the %zu bytes that are read", most);
            goto out;
        }
        const char *nul = memchr(chunk, '\0', (size_t)n);
        if (nul != NULL) {
            diags_add(d, DIAG_ERROR, "not-text", path, 0, 0, "save it as UTF-8 text",
                      "is not a text file: byte %zu is zero", total + (size_t)(nul - chunk) + 1);
            goto out;
        }
        sbuf_putn(b, chunk, (size_t)n);
        total += (size_t)n;
    }
    if (b->failed)
        diags_out_of_memory(d);
    else
        ok = true;
out:
    close(fd);
    return ok;
}

bool file_read_in(int folder, const char *name, size_t most, struct sbuf *b)
{
    char chunk[CHUNK];
    struct stat st;
    size_t total = 0;
    int fd = openat(folder, name, O_RDONLY | O_NONBLOCK | O_CLOEXEC | O_NOCTTY);
    bool ok = fd >= 0 && fstat(fd, &st) == 0 && S_ISREG(st.st_mode) && st.st_size >= 0 &&
              (uintmax_t)st.st_size <= most;

    while (ok && total < (size_t)st.st_size) {
        ssize_t n = read(fd, chunk, sizeof chunk);
        if (n < 0 && errno == EINTR)
            continue;
        ok = n > 0;
        if (ok) {
            sbuf_putn(b, chunk, (size_t)n);
            total += (size_t)n;
        }
    }
    if (fd >= 0)
        close(fd);
    return ok && !b->failed;
}

static int compare_names(const void *a, const void *b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

static bool has_suffix(const char *name, const char *suffix)
{
    size_t n = strlen(name), m = strlen(suffix);
    return n >= m && strcmp(name + n - m, suffix) == 0;
}

bool file_list(const char *dir, const char *suffix, char ***names, size_t *count, struct diags *d)
{
    char **list = NULL;
    size_t n = 0, cap = 0;
    bool ok = false;

    *names = NULL;
    *count = 0;
    DIR *folder = opendir(dir);
    if (folder == NULL) {
        cannot_read(dir, errno, d);
        return false;
    }
    for (;;) {
        errno = 0;
        const struct dirent *e = readdir(folder);
        if (e == NULL && errno != 0) {
            cannot_read(dir, errno, d);
            goto out;
        }
        if (e == NULL)
            break;
        if (e->d_name[0] == '.' || !has_suffix(e->d_name, suffix))
            continue;
        char **more = mem_grow(list, &cap, n + 1, sizeof *list);
        char *name = more != NULL ? mem_strdup(e->d_name) : NULL;
        list = more != NULL ? more : list;
        if (name == NULL) {
            diags_out_of_memory(d);
            goto out;
        }
        list[n++] = name;
    }
    if (n > 0) /* folders are read in no order at all */
        qsort(list, n, sizeof *list, compare_names);
    *names = list;
    *count = n;
    list = NULL;
    n = 0;
    ok = true;
out:
    for (size_t i = 0; i < n; i++)
        mem_free(list[i]);
    mem_free(list);
    closedir(folder);
    return ok;
}

bool file_is_dir(const char *path)
{
    struct stat st;
    return stat(path, &st) == 0 && S_ISDIR(st.st_mode);
}
