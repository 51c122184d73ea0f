/* mem.h - the one door to the heap.
 *
 * Every allocation of our own code, and (through mem_install) of SQLite, libxml2 and PCRE2, goes
 * through here, so that a test can make the n-th one fail and prove that every caller notices.
 * All functions return NULL on failure; none exits. */
#ifndef LW_TEXT_MEM_H
#define LW_TEXT_MEM_H

#include <stdbool.h>
#include <stddef.h>

void *mem_alloc(size_t n);                                      /* n may be 0: a unique pointer */
void *mem_calloc(size_t count, size_t size);                    /* overflow checked, zero filled */
void *mem_realloc(void *p, size_t n);                           /* on failure p is untouched */
void *mem_grow(void *p, size_t *cap, size_t want, size_t size); /* doubles *cap until >= want */
char *mem_strdup(const char *s);                                /* NULL in, NULL out */
char *mem_strndup(const char *s, size_t n);
void mem_free(void *p); /* NULL-safe */

/* Fail the n-th allocation from now (1 = the next), and with `sticky` all after it.  n = 0: never.
 * mem_count() is the number of allocations since the last mem_fail_at(). For tests. */
void mem_fail_at(unsigned long n, int sticky);
unsigned long mem_count(void);
/* True once any allocation has failed. A library may have told its caller something else (an XML
 * file "not well-formed"); the command layer looks here before it believes that. */
bool mem_ran_out(void);

/* From now on SQLite may take `more` bytes on top of what it holds (small blocks not counted); past
 * that its allocations fail, and mem_bound_hit() is true until the next call. 0: no bound. Does
 * nothing before mem_install(). */
void mem_bound(size_t more);
bool mem_bound_hit(void);

/* Who asked: our own code, or a library through the functions given to it. */
enum mem_owner { MEM_OWN, MEM_SQLITE, MEM_XML, MEM_PATTERN };
void *mem_alloc_for(enum mem_owner who, size_t n);
/* For tests, in place of mem_fail_at: asked before each allocation with its number (from 1); true
 * makes it fail. NULL: nobody is asked. */
void mem_ask(bool (*fails)(enum mem_owner who, unsigned long n));
/* Blocks handed out and not given back yet, those of the libraries included. */
long mem_outstanding(void);

/* Route SQLite and libxml2 through mem_alloc.  Call once, before either library is used.
 * Returns 0, or -1 when SQLite refused its configuration. Reads the documented environment
 * variable LOTWARD_FAIL_ALLOC=N[+] only in builds configured with --enable-fault. */
int mem_install(void);

#endif
