#define _GNU_SOURCE
#include "folder.h"

#include <dirent.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static void join(char *out, size_t size, const char *dir, const char *name)
{
    snprintf(out, size, "%s/%s", dir, name);
}

static bool slurp(const char *path, unsigned char **bytes, size_t *size)
{
    struct stat st;
    int fd = open(path, O_RDONLY | O_CLOEXEC);
    bool ok = fd >= 0 && fstat(fd, &st) == 0;
    *bytes = ok ? malloc((size_t)st.st_size + 1) : NULL;
    *size = ok ? (size_t)st.st_size : 0;
    ok = *bytes && pread(fd, *bytes, *size, 0) == (ssize_t)*size;
    if (fd >= 0)
        close(fd);
    return ok;
}

static bool next_name(DIR *d, char *out, size_t size)
{
    const struct dirent *e;
    while ((e = readdir(d)) != NULL)
        if (strcmp(e->d_name, ".") != 0 && strcmp(e->d_name, "..") != 0 &&
            strlen(e->d_name) < size) {
            memcpy(out, e->d_name, strlen(e->d_name) + 1);
            return true;
        }
    return false;
}

bool folder_take(struct folder *f, const char *dir, const char *keep)
{
    char from[512], to[512];
    bool ok = true;
    DIR *d = opendir(dir);
    *f = (struct folder){0};
    while (d && ok && f->count < FOLDER_FILES &&
           next_name(d, f->files[f->count].name, sizeof f->files[0].name)) {
        struct folder_file *x = &f->files[f->count];
        struct stat st;
        join(from, sizeof from, dir, x->name);
        join(to, sizeof to, keep, x->name);
        if (stat(from, &st) != 0 || !S_ISREG(st.st_mode))
            continue;
        f->count++;
        ok = slurp(from, &x->bytes, &x->size) && link(from, to) == 0;
    }
    if (d)
        closedir(d);
    for (int fd = 0; fd < FOLDER_FDS; fd++) {
        struct stat st;
        bool printed = fd <= STDERR_FILENO || fd == FOLDER_LOG_FD;
        f->offsets[fd] = printed                                      ? -1
                         : fstat(fd, &st) == 0 && S_ISREG(st.st_mode) ? (long)lseek(fd, 0, SEEK_CUR)
                                                                      : -1;
    }
    return d && ok;
}

static const struct folder_file *find(const struct folder *f, const char *name)
{
    for (size_t i = 0; i < f->count; i++)
        if (strcmp(f->files[i].name, name) == 0)
            return &f->files[i];
    return NULL;
}

static bool same_bytes(const struct folder_file *x, const char *path)
{
    unsigned char *bytes;
    size_t size;
    bool same = slurp(path, &bytes, &size) && size == x->size && memcmp(bytes, x->bytes, size) == 0;
    free(bytes);
    return same;
}

static bool put_one(const struct folder_file *x, const char *path, const char *kept)
{
    struct stat a, b;
    if (stat(path, &a) != 0 || stat(kept, &b) != 0 || a.st_ino != b.st_ino) {
        (void)unlink(path);
        if (link(kept, path) != 0)
            return false;
    }
    if (same_bytes(x, path))
        return true;
    int fd = open(path, O_WRONLY | O_CLOEXEC);
    bool ok = fd >= 0 && pwrite(fd, x->bytes, x->size, 0) == (ssize_t)x->size &&
              ftruncate(fd, (off_t)x->size) == 0;
    if (fd >= 0)
        close(fd);
    return ok;
}

static void remove_tree(const char *path)
{
    struct stat st;
    if (lstat(path, &st) == 0 && S_ISDIR(st.st_mode)) {
        folder_empty(path);
        (void)rmdir(path);
    } else {
        (void)unlink(path);
    }
}

void folder_empty(const char *dir)
{
    char name[64], path[512];
    DIR *d = opendir(dir);
    while (d && next_name(d, name, sizeof name)) {
        join(path, sizeof path, dir, name);
        remove_tree(path);
        rewinddir(d);
    }
    if (d)
        closedir(d);
}

bool folder_put_back(struct folder *f, const char *dir, const char *keep)
{
    char name[64], path[512], kept[512];
    bool ok = true;
    DIR *d = opendir(dir);
    while (d && next_name(d, name, sizeof name)) {
        join(path, sizeof path, dir, name);
        if (!find(f, name)) {
            remove_tree(path);
            rewinddir(d);
        }
    }
    if (d)
        closedir(d);
    for (size_t i = 0; ok && i < f->count; i++) {
        join(path, sizeof path, dir, f->files[i].name);
        join(kept, sizeof kept, keep, f->files[i].name);
        ok = put_one(&f->files[i], path, kept);
    }
    for (int fd = 0; fd < FOLDER_FDS; fd++)
        if (f->offsets[fd] >= 0)
            (void)lseek(fd, f->offsets[fd], SEEK_SET);
    return ok;
}

void folder_forget(struct folder *f, const char *keep)
{
    for (size_t i = 0; i < f->count; i++)
        free(f->files[i].bytes);
    f->count = 0;
    folder_empty(keep);
}

static int by_name(const void *a, const void *b)
{
    return strcmp(a, b);
}

void folder_list(const char *dir, char *out, size_t size)
{
    char names[FOLDER_FILES][64];
    size_t n = 0, used = 0;
    DIR *d = opendir(dir);
    while (d && n < FOLDER_FILES && next_name(d, names[n], sizeof names[0]))
        n++;
    if (d)
        closedir(d);
    qsort(names, n, sizeof names[0], by_name);
    out[0] = '\0';
    for (size_t i = 0; i < n && used < size; i++)
        used += (size_t)snprintf(out + used, size - used, "%s%s", i > 0 ? " " : "", names[i]);
}

bool folder_copy(const char *from, const char *to)
{
    unsigned char *bytes;
    size_t size;
    bool ok = slurp(from, &bytes, &size);
    int fd = ok ? open(to, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0600) : -1;
    ok = fd >= 0 && write(fd, bytes, size) == (ssize_t)size;
    if (fd >= 0)
        close(fd);
    free(bytes);
    return ok;
}
