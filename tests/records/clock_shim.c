/* clock_shim.c - another day for a program under test: preloaded, it answers every question for the
 * time with LW_TEST_CLOCK (seconds since 1970). Only the tests build it. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <stdlib.h>
#include <sys/time.h>
#include <time.h>

static time_t test_clock(void)
{
    const char *s = getenv("LW_TEST_CLOCK");

    return s == NULL ? 0 : (time_t)strtoll(s, NULL, 10);
}

time_t time(time_t *out)
{
    time_t now = test_clock();

    if (out != NULL)
        *out = now;
    return now;
}

int gettimeofday(struct timeval *restrict out, void *restrict zone)
{
    (void)zone;
    *out = (struct timeval){.tv_sec = test_clock()};
    return 0;
}

int clock_gettime(clockid_t id, struct timespec *out)
{
    int (*real)(clockid_t, struct timespec *) =
        (int (*)(clockid_t, struct timespec *))dlsym(RTLD_NEXT, "clock_gettime");

    if (id != CLOCK_REALTIME && real != NULL)
        return real(id, out);
    *out = (struct timespec){.tv_sec = test_clock()};
    return 0;
}
