/* sites.h - the places where a run can be made to fail: allocations (text/mem.h) and the calls of
 * the C library that touch files, which interpose.c stands in front of, for SQLite and libxml2 too.
 */
#ifndef LW_TESTS_FAULT_SITES_H
#define LW_TESTS_FAULT_SITES_H

#include <stdbool.h>

enum site {
    SITE_OWN, /* the first four as enum mem_owner */
    SITE_SQLITE,
    SITE_XML,
    SITE_PATTERN,
    SITE_OPEN,
    SITE_READ,
    SITE_WRITE,
    SITE_SYNC,
    SITE_TRUNCATE,
    SITE_LOCK,
    SITE_DELETE,
    SITE_LINK, /* rename and link */
    SITE_LOOK, /* stat and its kin, folders */
    SITE_CLOSE,
    SITES,
    SITE_FIRST_IO = SITE_OPEN
};

extern const char *const site_names[SITES];

/* Must this call fail? In forkserver.c; it may come back twice or more, in a child each time. */
bool fault_at(enum site where);

/* While set, calls on files are let through and not counted. */
extern bool interpose_asleep;
/* The program that is run: what /proc/self/exe is said to be. */
extern const char *interpose_exe;

#endif
