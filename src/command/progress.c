/* progress.c - a sign of life on a terminal when a run takes long.
 *
 * A timer signal does the work, so that reading, judging and writing need not know of it. The
 * handler only calls write(2), which POSIX lists as safe there. */
#include "text/base.h"

#include <signal.h>
#include <sys/time.h>
#include <unistd.h>

#include "command/progress.h"

static volatile sig_atomic_t seconds;

static void tick(int sig)
{
    /* "lotward: working, 0000 s" with the digits filled in. */
    char line[] = "\rlotward: working, 0000 s";
    enum { DIGITS_AT = 19, DIGITS = 4, TEN = 10 };
    int kept = errno, left = seconds + 1;

    (void)sig;
    seconds = left;
    for (int i = DIGITS - 1; i >= 0; i--, left /= TEN)
        line[DIGITS_AT + i] = (char)('0' + left % TEN);
    if (write(STDERR_FILENO, line, sizeof line - 1) < 0)
        seconds = left;
    errno = kept;
}

static void set_timer(long s)
{
    struct itimerval t = {.it_interval = {.tv_sec = s}, .it_value = {.tv_sec = s}};

    setitimer(ITIMER_REAL, &t, NULL);
}

void progress_start(void)
{
    struct sigaction a = {.sa_handler = tick, .sa_flags = SA_RESTART};

    if (isatty(STDERR_FILENO) != 1)
        return;
    seconds = 0;
    sigemptyset(&a.sa_mask);
    if (sigaction(SIGALRM, &a, NULL) == 0)
        set_timer(1);
}

void progress_stop(void)
{
    static const char wipe[] = "\r\033[K";

    if (isatty(STDERR_FILENO) != 1)
        return;
    set_timer(0);
    if (seconds > 0 && write(STDERR_FILENO, wipe, sizeof wipe - 1) < 0)
        return;
    seconds = 0;
}
