/* mem.c - the one door to the heap, with a latch that tests can close. */
#include "config.h"
#include "text/base.h"

#include <libxml/xmlerror.h>
#include <libxml/xmlmemory.h>
#include <sqlite3.h>

#include "text/mem.h"
#include "text/utf8.h"

static unsigned long count;   /* allocations since the last mem_fail_at() */
static unsigned long fail_at; /* 0: never */
static int fail_sticky;
static bool ran_out;

void mem_fail_at(unsigned long n, int sticky)
{
    count = 0;
    fail_at = n;
    fail_sticky = sticky;
}

unsigned long mem_count(void)
{
    return count;
}

/* Counts one allocation; true when it is one that must fail. */
static bool must_fail(void)
{
    count++;
    if (fail_at == 0)
        return false;
    return fail_sticky ? count >= fail_at : count == fail_at;
}

bool mem_ran_out(void)
{
    return ran_out;
}

static void *noted(void *p)
{
    if (p == NULL)
        ran_out = true;
    return p;
}

void *mem_alloc(size_t n)
{
    return noted(must_fail() ? NULL : malloc(n > 0 ? n : 1));
}

void *mem_calloc(size_t n, size_t size)
{
    if (n == 0 || size == 0)
        n = size = 1;
    if (must_fail() || n > SIZE_MAX / size)
        return noted(NULL);
    return noted(calloc(n, size));
}

void *mem_realloc(void *p, size_t n)
{
    return noted(must_fail() ? NULL : realloc(p, n > 0 ? n : 1));
}

void *mem_grow(void *p, size_t *cap, size_t want, size_t size)
{
    enum { FIRST = 16 };
    size_t n = *cap > 0 ? *cap : FIRST;

    if (want <= *cap && p != NULL)
        return p;
    while (n < want) {
        if (n > SIZE_MAX / 2)
            return NULL;
        n *= 2;
    }
    if (size > 0 && n > SIZE_MAX / size)
        return NULL;
    p = mem_realloc(p, n * size);
    if (p != NULL)
        *cap = n;
    return p;
}

char *mem_strndup(const char *s, size_t n)
{
    if (s == NULL)
        return NULL;
    const char *end = memchr(s, '\0', n);
    size_t len = end != NULL ? (size_t)(end - s) : n;
    if (len == SIZE_MAX)
        return NULL;
    char *copy = mem_alloc(len + 1);
    if (copy == NULL)
        return NULL;
    memcpy(copy, s, len);
    copy[len] = '\0';
    return copy;
}

char *mem_strdup(const char *s)
{
    return s != NULL ? mem_strndup(s, strlen(s)) : NULL;
}

void mem_free(void *p)
{
    free(p);
}

/* SQLite asks a block for its size, which C does not tell: a header in front of the block holds it.
 * The union keeps what follows aligned for anything. */
union block {
    int size;
    max_align_t align;
};

static void *lite_alloc(int n)
{
    union block *b = mem_alloc((size_t)n + sizeof *b);
    if (b == NULL)
        return NULL;
    b->size = n;
    return b + 1;
}

static void lite_free(void *p)
{
    if (p != NULL)
        mem_free((union block *)p - 1);
}

static void *lite_realloc(void *p, int n)
{
    union block *b = mem_realloc((union block *)p - 1, (size_t)n + sizeof *b);
    if (b == NULL)
        return NULL;
    b->size = n;
    return b + 1;
}

static int lite_size(void *p)
{
    return p != NULL ? ((union block *)p - 1)->size : 0;
}

static int lite_roundup(int n)
{
    enum { STEP = 8 };
    return n > INT_MAX - STEP ? n : (n + STEP - 1) / STEP * STEP;
}

static int lite_init(void *unused)
{
    (void)unused;
    return SQLITE_OK;
}

static void lite_shutdown(void *unused)
{
    (void)unused;
}

#ifdef LW_FAULT
/* LOTWARD_FAIL_ALLOC=N fails the N-th allocation, N+ all from the N-th on. */
static void fault_from_environment(void)
{
    const char *s = getenv("LOTWARD_FAIL_ALLOC");
    unsigned long n = 0;
    enum { MOST = 100000000 };

    if (s == NULL)
        return;
    for (; ascii_digit(*s) && n < MOST; s++)
        n = n * 10 + (unsigned long)(*s - '0');
    mem_fail_at(n, *s == '+');
}
#endif

/* Size of a slot as SQLite has it; enough slots for one large SELECT's parse tree. */
enum { LOOKASIDE_BYTES = 1200, LOOKASIDE_SLOTS = 1000 };

/* libxml2's own words about a failed allocation would go to standard error: the callers say it. */
static void LW_PRINTF(2, 3) hush(void *user, const char *fmt, ...)
{
    (void)user;
    (void)fmt;
}

int mem_install(void)
{
    static const sqlite3_mem_methods methods = {lite_alloc,   lite_free, lite_realloc,  lite_size,
                                                lite_roundup, lite_init, lite_shutdown, NULL};

    if (sqlite3_config(SQLITE_CONFIG_MALLOC, &methods) != SQLITE_OK)
        return -1;
    /* Statistics take a lock an allocation. The small-object pool halves the time SQLite spends in
     * the heap; a fault build goes without it, so that every allocation can be failed. */
    if (sqlite3_config(SQLITE_CONFIG_MEMSTATUS, 0) != SQLITE_OK)
        return -1;
#ifdef LW_FAULT
    if (sqlite3_config(SQLITE_CONFIG_LOOKASIDE, 0, 0) != SQLITE_OK)
        return -1;
#else
    if (sqlite3_config(SQLITE_CONFIG_LOOKASIDE, LOOKASIDE_BYTES, LOOKASIDE_SLOTS) != SQLITE_OK)
        return -1;
#endif
    if (xmlMemSetup(mem_free, mem_alloc, mem_realloc, mem_strdup) != 0)
        return -1;
    xmlSetGenericErrorFunc(NULL, hush);
#ifdef LW_FAULT
    fault_from_environment();
#endif
    return 0;
}
