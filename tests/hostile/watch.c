/* watch.c - put before the program with LD_PRELOAD: writes to descriptor 9 the name of every
 * environment variable the program or a library asks for, and every call that would start a program
 * or open a socket. Built by tests/hostile/permissions. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/types.h>
#include <unistd.h>

enum { LOG = 9 };

static void note(const char *what, const char *name)
{
    char line[256];
    size_t n = strlen(what), k = strlen(name);
    if (n + k + 2 > sizeof line)
        k = sizeof line - n - 2;
    memcpy(line, what, n);
    line[n] = ' ';
    memcpy(line + n + 1, name, k);
    line[n + 1 + k] = '\n';
    (void)!write(LOG, line, n + k + 2);
}

char *getenv(const char *name)
{
    static char *(*real)(const char *);
    if (real == NULL)
        real = (char *(*)(const char *))dlsym(RTLD_NEXT, "getenv");
    note("env", name);
    return real(name);
}

char *secure_getenv(const char *name)
{
    static char *(*real)(const char *);
    if (real == NULL)
        real = (char *(*)(const char *))dlsym(RTLD_NEXT, "secure_getenv");
    note("env", name);
    return real(name);
}

static int refuse(const char *what)
{
    note("call", what);
    errno = EPERM;
    return -1;
}

int socket(int domain, int type, int protocol)
{
    (void)domain, (void)type, (void)protocol;
    return refuse("socket");
}

int connect(int fd, const struct sockaddr *address, socklen_t n)
{
    (void)fd, (void)address, (void)n;
    return refuse("connect");
}

int execve(const char *path, char *const argv[], char *const envp[])
{
    (void)path, (void)argv, (void)envp;
    return refuse("execve");
}

int execvp(const char *file, char *const argv[])
{
    (void)file, (void)argv;
    return refuse("execvp");
}

int system(const char *command)
{
    (void)command;
    return refuse("system");
}

pid_t fork(void)
{
    return refuse("fork");
}
