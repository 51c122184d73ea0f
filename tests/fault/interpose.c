/* interpose.c - in front of the C library's calls on files: each asks fault_at() first.
 *
 * The symbols of a program come before those of its libraries, so that SQLite's and libxml2's calls
 * arrive here as well. Record locks are granted without asking the kernel: a child of the fork
 * server does not inherit its parent's, and the two never run at the same time. */
#define _GNU_SOURCE
#include "sites.h"

#include <dirent.h>
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

bool interpose_asleep = true;
const char *interpose_exe;

/* The C library's own function of that name. A pointer to an object is turned into one to a
 * function the way POSIX shows for dlsym. */
#define REAL(result, name, ...)                                                                    \
    static result (*real)(__VA_ARGS__);                                                            \
    if (!real)                                                                                     \
    *(void **)(&real) = dlsym(RTLD_NEXT, #name)

static bool fails(enum site where, int code)
{
    if (interpose_asleep || !fault_at(where))
        return false;
    errno = code;
    return true;
}

#define DEFINE_OPEN(name)                                                                          \
    int name(const char *path, int flags, ...)                                                     \
    {                                                                                              \
        REAL(int, name, const char *, int, ...);                                                   \
        va_list ap;                                                                                \
        va_start(ap, flags);                                                                       \
        int mode = (flags & O_CREAT) || (flags & O_TMPFILE) == O_TMPFILE ? va_arg(ap, int) : 0;    \
        va_end(ap);                                                                                \
        return fails(SITE_OPEN, EIO) ? -1 : real(path, flags, mode);                               \
    }
DEFINE_OPEN(open)
DEFINE_OPEN(open64)

ssize_t read(int fd, void *p, size_t n)
{
    REAL(ssize_t, read, int, void *, size_t);
    return fails(SITE_READ, EIO) ? -1 : real(fd, p, n);
}

ssize_t pread64(int fd, void *p, size_t n, off64_t at)
{
    REAL(ssize_t, pread64, int, void *, size_t, off64_t);
    return fails(SITE_READ, EIO) ? -1 : real(fd, p, n, at);
}

/* Half of it gets there, as on a disk that fills up. */
ssize_t write(int fd, const void *p, size_t n)
{
    REAL(ssize_t, write, int, const void *, size_t);
    if (fd == STDERR_FILENO || !fails(SITE_WRITE, ENOSPC))
        return real(fd, p, n);
    (void)real(fd, p, n / 2);
    errno = ENOSPC;
    return -1;
}

ssize_t pwrite64(int fd, const void *p, size_t n, off64_t at)
{
    REAL(ssize_t, pwrite64, int, const void *, size_t, off64_t);
    if (!fails(SITE_WRITE, ENOSPC))
        return real(fd, p, n, at);
    (void)real(fd, p, n / 2, at);
    errno = ENOSPC;
    return -1;
}

int fsync(int fd)
{
    REAL(int, fsync, int);
    return fails(SITE_SYNC, EIO) ? -1 : real(fd);
}

int fdatasync(int fd)
{
    REAL(int, fdatasync, int);
    return fails(SITE_SYNC, EIO) ? -1 : real(fd);
}

int ftruncate64(int fd, off64_t n)
{
    REAL(int, ftruncate64, int, off64_t);
    return fails(SITE_TRUNCATE, EIO) ? -1 : real(fd, n);
}

static int granted(int cmd, void *arg)
{
    if (fails(SITE_LOCK, EIO))
        return -1;
    if (cmd == F_GETLK)
        ((struct flock *)arg)->l_type = F_UNLCK;
    return 0;
}

#define DEFINE_FCNTL(name)                                                                         \
    int name(int fd, int cmd, ...)                                                                 \
    {                                                                                              \
        REAL(int, name, int, int, ...);                                                            \
        va_list ap;                                                                                \
        va_start(ap, cmd);                                                                         \
        void *arg = va_arg(ap, void *);                                                            \
        va_end(ap);                                                                                \
        bool lock = cmd == F_SETLK || cmd == F_SETLKW || cmd == F_GETLK;                           \
        return lock ? granted(cmd, arg) : real(fd, cmd, arg);                                      \
    }
DEFINE_FCNTL(fcntl)
DEFINE_FCNTL(fcntl64)

int unlink(const char *path)
{
    REAL(int, unlink, const char *);
    return fails(SITE_DELETE, EIO) ? -1 : real(path);
}

int rename(const char *from, const char *to)
{
    REAL(int, rename, const char *, const char *);
    return fails(SITE_LINK, EIO) ? -1 : real(from, to);
}

int link(const char *from, const char *to)
{
    REAL(int, link, const char *, const char *);
    return fails(SITE_LINK, EIO) ? -1 : real(from, to);
}

int linkat(int from_fd, const char *from, int to_fd, const char *to, int flags)
{
    REAL(int, linkat, int, const char *, int, const char *, int);
    return fails(SITE_LINK, EIO) ? -1 : real(from_fd, from, to_fd, to, flags);
}

#define DEFINE_STAT(name, type)                                                                    \
    int name(const char *path, struct type *st)                                                    \
    {                                                                                              \
        REAL(int, name, const char *, struct type *);                                              \
        return fails(SITE_LOOK, EIO) ? -1 : real(path, st);                                        \
    }
DEFINE_STAT(stat, stat)
DEFINE_STAT(stat64, stat64)
DEFINE_STAT(lstat, stat)
DEFINE_STAT(lstat64, stat64)

int fstat(int fd, struct stat *st)
{
    REAL(int, fstat, int, struct stat *);
    return fails(SITE_LOOK, EIO) ? -1 : real(fd, st);
}

int fstat64(int fd, struct stat64 *st)
{
    REAL(int, fstat64, int, struct stat64 *);
    return fails(SITE_LOOK, EIO) ? -1 : real(fd, st);
}

DIR *opendir(const char *path)
{
    REAL(DIR *, opendir, const char *);
    return fails(SITE_LOOK, EIO) ? NULL : real(path);
}

struct dirent *readdir(DIR *d)
{
    REAL(struct dirent *, readdir, DIR *);
    return fails(SITE_LOOK, EIO) ? NULL : real(d);
}

int close(int fd)
{
    REAL(int, close, int);
    int rc = real(fd);
    return fails(SITE_CLOSE, EIO) ? -1 : rc;
}

/* ---- standard input and output of C ---- */

#define DEFINE_FOPEN(name)                                                                         \
    FILE *name(const char *restrict path, const char *restrict mode)                               \
    {                                                                                              \
        REAL(FILE *, name, const char *, const char *);                                            \
        return fails(SITE_OPEN, EIO) ? NULL : real(path, mode);                                    \
    }
DEFINE_FOPEN(fopen)
DEFINE_FOPEN(fopen64)

size_t fwrite(const void *restrict p, size_t size, size_t n, FILE *restrict f)
{
    REAL(size_t, fwrite, const void *, size_t, size_t, FILE *);
    if (f == stderr || !fails(SITE_WRITE, ENOSPC))
        return real(p, size, n, f);
    n = real(p, size, n / 2, f);
    errno = ENOSPC;
    return n;
}

int fflush(FILE *f)
{
    REAL(int, fflush, FILE *);
    int rc = real(f);
    return f != stderr && fails(SITE_WRITE, ENOSPC) ? EOF : rc;
}

int fclose(FILE *f)
{
    REAL(int, fclose, FILE *);
    int rc = real(f);
    return fails(SITE_CLOSE, ENOSPC) ? EOF : rc;
}

/* The program looks beside itself for its data. */
ssize_t readlink(const char *restrict path, char *restrict out, size_t size)
{
    REAL(ssize_t, readlink, const char *, char *, size_t);
    if (!interpose_exe || strcmp(path, "/proc/self/exe") != 0)
        return real(path, out, size);
    size_t n = strlen(interpose_exe);
    memcpy(out, interpose_exe, n < size ? n : size);
    return (ssize_t)(n < size ? n : size);
}
