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
static bool (*asked)(enum mem_owner who, unsigned long n);
static long outstanding;
static bool ran_out;

void mem_fail_at(unsigned long n, int sticky)
{
    count = 0;
    fail_at = n;
    fail_sticky = sticky;
    asked = NULL;
}

void mem_ask(bool (*fails)(enum mem_owner who, unsigned long n))
{
    mem_fail_at(0, 0);
    asked = fails;
    fail_at = fails != NULL;
}

long mem_outstanding(void)
{
    return outstanding;
}

unsigned long mem_count(void)
{
    return count;
}

/* Counts one allocation; true when it is one that must fail. */
static bool must_fail(enum mem_owner who)
{
    count++;
    if (fail_at == 0)
        return false;
    if (asked != NULL)
        return asked(who, count);
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

static void *handed(void *p)
{
    outstanding += p != NULL;
    return noted(p);
}

void *mem_alloc_for(enum mem_owner who, size_t n)
{
    return handed(must_fail(who) ? NULL : malloc(n > 0 ? n : 1));
}

void *mem_alloc(size_t n)
{
    return mem_alloc_for(MEM_OWN, n);
}

void *mem_calloc(size_t n, size_t size)
{
    if (n == 0 || size == 0)
        n = size = 1;
    if (must_fail(MEM_OWN) || n > SIZE_MAX / size)
        return noted(NULL);
    return handed(calloc(n, size));
}

static void *realloc_for(enum mem_owner who, void *p, size_t n)
{
    void *q = must_fail(who) ? NULL : realloc(p, n > 0 ? n : 1);
    outstanding += p == NULL && q != NULL;
    return noted(q);
}

void *mem_realloc(void *p, size_t n)
{
    return realloc_for(MEM_OWN, p, n);
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
    outstanding -= p != NULL;
    free(p);
}

static void *xml_alloc(size_t n)
{
    return mem_alloc_for(MEM_XML, n);
}

static void *xml_realloc(void *p, size_t n)
{
    return realloc_for(MEM_XML, p, n);
}

static char *xml_strdup(const char *s)
{
    size_t n = strlen(s) + 1;
    char *copy = xml_alloc(n);
    return copy == NULL ? NULL : memcpy(copy, s, n);
}

/* SQLite asks a block for its size, which C does not tell: a header in front of the block holds it.
 * The union keeps what follows aligned to eight bytes, which is what SQLite asks for; a header of
 * sixteen would cost a quarter of the processor's cache while a statement is compiled. */
union block {
    int size;
    union block *next; /* of a free block */
    int64_t align;
};

/* Compiling and running one statement takes thousands of small blocks, and gives them back at once.
 * Small ones are therefore kept in lists by size and handed out again. A build that looks for
 * misused memory goes without, so that it sees each block. */
#if defined(__has_feature) /* clang's way of telling */
#if __has_feature(address_sanitizer)
#define LW_NO_POOL 1
#endif
#endif
#if defined(LW_FAULT) || defined(__SANITIZE_ADDRESS__) || defined(LW_NO_POOL)
enum { POOL_MOST = 0 };
#else
enum { POOL_MOST = 1024 };
#endif
enum { POOL_STEP = 16, POOL_CHUNK = 64 * 1024 };

static union block *pool_free[POOL_MOST / POOL_STEP + 1];
static union block
    *pool_chunks;       /* chained by their first block; they stay until the program ends */
static char *pool_next; /* what is left of the last one */
static size_t pool_left;

static size_t pool_room(int n)
{
    return ((size_t)n + POOL_STEP - 1) / POOL_STEP * POOL_STEP;
}

static void *pool_take(int n)
{
    size_t room = pool_room(n), whole = room + sizeof(union block);
    union block *b = pool_free[room / POOL_STEP];
    if (b != NULL) {
        pool_free[room / POOL_STEP] = b->next;
    } else {
        if (pool_left < whole) {
            union block *chunk = malloc(POOL_CHUNK);
            if (chunk == NULL)
                return noted(NULL);
            chunk->next = pool_chunks;
            pool_chunks = chunk;
            pool_next = (char *)(chunk + 1);
            pool_left = POOL_CHUNK - sizeof *chunk;
        }
        b = (union block *)(void *)pool_next;
        pool_next += whole;
        pool_left -= whole;
    }
    b->size = n;
    outstanding++;
    return b + 1;
}

/* Large blocks SQLite holds, and the most it may. */
static size_t large_held, large_most = SIZE_MAX;
static bool large_hit;

void mem_bound(size_t more)
{
    large_most = more == 0 || more > SIZE_MAX - large_held ? SIZE_MAX : large_held + more;
    large_hit = false;
}

bool mem_bound_hit(void)
{
    return large_hit;
}

static bool large_fits(size_t held, int n)
{
    if (held <= large_most && (size_t)n <= large_most - held)
        return true;
    large_hit = true;
    return false;
}

static void *lite_alloc(int n)
{
    if (n > 0 && n <= POOL_MOST)
        return must_fail(MEM_SQLITE) ? noted(NULL) : pool_take(n);
    if (!large_fits(large_held, n))
        return NULL;
    union block *b = mem_alloc_for(MEM_SQLITE, (size_t)n + sizeof *b);
    if (b == NULL)
        return NULL;
    large_held += (size_t)n;
    b->size = n;
    return b + 1;
}

static void lite_free(void *p)
{
    union block *b = p;
    if (p == NULL)
        return;
    b--;
    if (b->size > 0 && b->size <= POOL_MOST) {
        size_t list = pool_room(b->size) / POOL_STEP;
        b->next = pool_free[list];
        pool_free[list] = b;
        outstanding--;
    } else {
        large_held -= (size_t)b->size;
        mem_free(b);
    }
}

static void *lite_realloc(void *p, int n)
{
    union block *b = (union block *)p - 1;
    int had = b->size;
    if (had > POOL_MOST && n > POOL_MOST) {
        if (!large_fits(large_held - (size_t)had, n))
            return NULL;
        b = realloc_for(MEM_SQLITE, b, (size_t)n + sizeof *b);
        if (b == NULL)
            return NULL;
        large_held += (size_t)n - (size_t)had;
        b->size = n;
        return b + 1;
    }
    if (had > 0 && n > 0 && n <= POOL_MOST && pool_room(had) == pool_room(n)) {
        if (must_fail(MEM_SQLITE))
            return noted(NULL);
        b->size = n;
        return p;
    }
    void *moved = lite_alloc(n);
    if (moved != NULL) {
        memcpy(moved, p, (size_t)(had < n ? had : n));
        lite_free(p);
    }
    return moved;
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
    if (xmlMemSetup(mem_free, xml_alloc, xml_realloc, xml_strdup) != 0)
        return -1;
    xmlSetGenericErrorFunc(NULL, hush);
#ifdef LW_FAULT
    fault_from_environment();
#endif
    return 0;
}
