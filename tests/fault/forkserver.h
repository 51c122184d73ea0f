/* forkserver.h - one scenario run once, and from each chosen place in it a child that fails there.
 *
 * The run stops inside the call that is to fail; a child goes on from there, fails it, and runs to
 * its end under a limit of processor time; the parent compares, puts the folder back as it was, and
 * goes on. So a thousand failures cost a thousand ends of a run, not a thousand runs. */
#ifndef LW_TESTS_FAULT_FORKSERVER_H
#define LW_TESTS_FAULT_FORKSERVER_H

#include "scenario.h"
#include "sites.h"

struct plan {
    bool io;             /* calls on files; else allocations */
    unsigned long even;  /* places taken evenly over the run */
    unsigned long paths; /* and at most so many first times of a call path */
    bool once_only;      /* leave the mode "from then on" out */
};

struct result {
    unsigned long calls[SITES]; /* what the run counted */
    unsigned long paths;        /* different call paths (of FRAMES frames) seen */
    unsigned long places;       /* failed */
    unsigned long children;
    unsigned long told; /* ended with 3 and a message */
    unsigned long
        refused; /* ended with 2 and a message: a file that could not be read is wrong input */
    unsigned long same; /* ended as if nothing had happened */
    unsigned long old_book, new_book;
    unsigned long journals; /* left for the next opening, which played them back */
    unsigned long wrong;
};

/* Makes the private folder with its book, and the process that verifies books. false: not possible.
 */
bool forkserver_start(const char *srcdir, const char *builddir);
void forkserver_stop(void);
/* Prints each wrong on standard error. false when the scenario itself did not run. */
bool forkserver_run(const struct scenario *s, const struct plan *p, struct result *out);

#endif
