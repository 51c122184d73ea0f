#include "places.h"

#include <execinfo.h>
#include <stdlib.h>
#include <string.h>

enum { FRAMES = 14 };

void places_start(void)
{
    void *frames[2];
    (void)backtrace(frames, 2); /* the first one loads a library */
}

void places_note(struct places *p, enum site where, unsigned long n)
{
    void *frames[FRAMES];
    int count = backtrace(frames, FRAMES);
    unsigned long hash = 14695981039346656037u;
    for (int i = 0; i < count; i++)
        hash = (hash ^ (unsigned long)frames[i]) * 1099511628211u;
    p->calls[where]++;
    p->total++;
    if (p->path_count > PATHS_MOST * 3 / 4)
        return;
    size_t at = (hash ^ hash >> 32) % PATHS_MOST;
    while (p->paths[at].n != 0 && p->paths[at].hash != hash)
        at = (at + 1) % PATHS_MOST;
    if (p->paths[at].n == 0) {
        p->paths[at].hash = hash;
        p->paths[at].n = n;
        p->paths[at].site = where;
        p->path_count++;
    }
}

static void choose(struct places *p, unsigned long n)
{
    if (p->chosen_count < CHOSEN_MOST)
        p->chosen[p->chosen_count++] = n;
}

static int by_number(const void *a, const void *b)
{
    unsigned long x = *(const unsigned long *)a, y = *(const unsigned long *)b;
    return x < y ? -1 : x > y;
}

static size_t paths_of(const struct places *p, bool sqlite)
{
    size_t n = 0;
    for (size_t i = 0; i < PATHS_MOST; i++)
        n += p->paths[i].n != 0 && (p->paths[i].site == SITE_SQLITE) == sqlite;
    return n;
}

/* Up to `most` of the first calls, every so-manyth. */
static unsigned long choose_paths(struct places *p, bool sqlite, unsigned long most)
{
    size_t all = paths_of(p, sqlite), seen = 0;
    unsigned long taken = 0;
    if (most == 0 || all == 0)
        return 0;
    for (size_t i = 0; i < PATHS_MOST; i++) {
        if (p->paths[i].n == 0 || (p->paths[i].site == SITE_SQLITE) != sqlite)
            continue;
        if (all <= most || seen * most / all != (seen + 1) * most / all) {
            choose(p, p->paths[i].n);
            taken++;
        }
        seen++;
    }
    return taken;
}

void places_choose(struct places *p, unsigned long even, unsigned long paths, unsigned long *calls)
{
    size_t kept = 0;
    memcpy(calls, p->calls, sizeof p->calls);
    p->chosen_count = 0;
    for (unsigned long i = 0; i < even && i < p->total; i++)
        choose(p, p->total <= even ? i + 1 : 1 + i * (p->total - 1) / (even > 1 ? even - 1 : 1));
    if (p->total > even) {
        unsigned long taken = choose_paths(p, false, paths);
        (void)choose_paths(p, true, paths - taken);
    }
    qsort(p->chosen, p->chosen_count, sizeof p->chosen[0], by_number);
    for (size_t i = 0; i < p->chosen_count; i++)
        if (kept == 0 || p->chosen[kept - 1] != p->chosen[i])
            p->chosen[kept++] = p->chosen[i];
    p->chosen_count = kept;
}
