/* places.h - which of the many calls of a run are made to fail. */
#ifndef LW_TESTS_FAULT_PLACES_H
#define LW_TESTS_FAULT_PLACES_H

#include "sites.h"
#include <stddef.h>

enum { PATHS_MOST = 1 << 15, CHOSEN_MOST = 1 << 16 };

struct places {
    unsigned long calls[SITES], total;
    struct {
        unsigned long hash, n; /* n: first call on this path; 0: free */
        enum site site;
    } paths[PATHS_MOST];
    size_t path_count;
    unsigned long chosen[CHOSEN_MOST]; /* in order */
    size_t chosen_count;
};

void places_start(void);
/* Notes one call, with the path of calls that led to it. */
void places_note(struct places *p, enum site where, unsigned long n);
/* Chooses `even` calls spread over the run and the first call on up to `paths` paths: those of our
 * own code and of the smaller libraries before SQLite's. */
void places_choose(struct places *p, unsigned long even, unsigned long paths, unsigned long *calls);

#endif
