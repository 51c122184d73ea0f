#include "unit.h"

#include <libxml/parser.h>
#include <sqlite3.h>

#include "text/mem.h"

START_TEST(nth_allocation_fails_once)
{
    mem_fail_at(2, 0);
    void *a = mem_alloc(8), *b = mem_alloc(8), *c = mem_alloc(8);
    ck_assert_ptr_nonnull(a);
    ck_assert_ptr_null(b);
    ck_assert_ptr_nonnull(c);
    ck_assert_uint_eq(mem_count(), 3);
    mem_fail_at(0, 0);
    mem_free(a);
    mem_free(c);
}
END_TEST

START_TEST(sticky_failure_stays)
{
    mem_fail_at(1, 1);
    ck_assert_ptr_null(mem_alloc(8));
    ck_assert_ptr_null(mem_calloc(2, 8));
    ck_assert_ptr_null(mem_strdup("x"));
    mem_fail_at(0, 0);
    void *p = mem_alloc(1);
    ck_assert_ptr_nonnull(p);
    mem_free(p);
}
END_TEST

START_TEST(failed_realloc_leaves_the_block)
{
    char *p = mem_strdup("kept");
    mem_fail_at(1, 0);
    ck_assert_ptr_null(mem_realloc(p, 1000));
    mem_fail_at(0, 0);
    ck_assert_str_eq(p, "kept");
    mem_free(p);
}
END_TEST

START_TEST(grow_doubles_and_checks_overflow)
{
    size_t cap = 0;
    int *p = mem_grow(NULL, &cap, 1, sizeof *p);
    ck_assert_ptr_nonnull(p);
    ck_assert_uint_ge(cap, 1);
    size_t before = cap;
    int *q = mem_grow(p, &cap, before + 1, sizeof *p);
    ck_assert_ptr_nonnull(q);
    ck_assert_uint_eq(cap, before * 2);
    before = cap;
    ck_assert_ptr_null(mem_grow(q, &cap, SIZE_MAX / 2, sizeof *q));
    ck_assert_ptr_null(mem_grow(q, &cap, SIZE_MAX, 1));
    ck_assert_uint_eq(cap, before);
    ck_assert_ptr_eq(mem_grow(q, &cap, 3, sizeof *q), q);
    mem_free(q);
}
END_TEST

START_TEST(calloc_refuses_an_overflowing_product)
{
    volatile size_t many = SIZE_MAX / 2;
    ck_assert_ptr_null(mem_calloc(many, 3));
}
END_TEST

START_TEST(calloc_is_zero)
{
    unsigned char *p = mem_calloc(64, 3);
    ck_assert_ptr_nonnull(p);
    for (size_t i = 0; i < 192; i++)
        ck_assert_uint_eq(p[i], 0);
    mem_free(p);
}
END_TEST

START_TEST(strndup_stops_at_nul_and_at_n)
{
    char *a = mem_strndup("abc", 2), *b = mem_strndup("abc", 100);
    ck_assert_str_eq(a, "ab");
    ck_assert_str_eq(b, "abc");
    ck_assert_ptr_null(mem_strdup(NULL));
    ck_assert_ptr_null(mem_strndup(NULL, 4));
    mem_free(a);
    mem_free(b);
    mem_free(NULL);
}
END_TEST

START_TEST(sqlite_allocates_through_the_door)
{
    ck_assert_int_eq(mem_install(), 0);
    mem_fail_at(0, 0);
    sqlite3 *db = NULL;
    ck_assert_int_eq(sqlite3_open(":memory:", &db), SQLITE_OK);
    ck_assert_uint_gt(mem_count(), 0);
    ck_assert_int_eq(sqlite3_exec(db,
                                  "create table t(a); insert into t values(zeroblob(10000));"
                                  "select hex(a) from t;",
                                  NULL, NULL, NULL),
                     SQLITE_OK);
    mem_fail_at(1, 1);
    ck_assert_int_eq(sqlite3_exec(db, "create table u(a, b, c)", NULL, NULL, NULL), SQLITE_NOMEM);
    mem_fail_at(0, 0);
    /* A bound on what SQLite may take on top of what it holds; it says so and can be lifted. */
    mem_bound(1024 * 1024);
    ck_assert(!mem_bound_hit());
    ck_assert_int_eq(sqlite3_exec(db, "insert into t values(zeroblob(100000))", NULL, NULL, NULL),
                     SQLITE_OK);
    ck_assert(!mem_bound_hit());
    ck_assert_int_eq(sqlite3_exec(db, "insert into t values(zeroblob(2000000))", NULL, NULL, NULL),
                     SQLITE_NOMEM);
    ck_assert(mem_bound_hit());
    mem_bound(0);
    ck_assert(!mem_bound_hit());
    ck_assert_int_eq(sqlite3_exec(db, "insert into t values(zeroblob(2000000))", NULL, NULL, NULL),
                     SQLITE_OK);
    ck_assert_int_eq(sqlite3_close(db), SQLITE_OK);
    /* After SQLite has started it refuses a new configuration, and mem_install() must say so. */
    ck_assert_int_eq(mem_install(), -1);
    ck_assert_int_eq(sqlite3_shutdown(), SQLITE_OK);
}
END_TEST

START_TEST(libxml2_allocates_through_the_door)
{
    static const char text[] = "<records><receipt id='a'/></records>";
    mem_fail_at(0, 0);
    xmlDocPtr doc = xmlReadMemory(text, (int)strlen(text), NULL, NULL, XML_PARSE_NONET);
    ck_assert_ptr_nonnull(doc);
    ck_assert_uint_gt(mem_count(), 5);
    xmlFreeDoc(doc);
    mem_fail_at(1, 1);
    ck_assert_ptr_null(xmlReadMemory(text, (int)strlen(text), NULL, NULL,
                                     XML_PARSE_NONET | XML_PARSE_NOERROR | XML_PARSE_NOWARNING));
    mem_fail_at(0, 0);
    xmlCleanupParser();
}
END_TEST

UNIT_MAIN("text/mem", nth_allocation_fails_once, sticky_failure_stays,
          failed_realloc_leaves_the_block, grow_doubles_and_checks_overflow,
          calloc_refuses_an_overflowing_product, calloc_is_zero, strndup_stops_at_nul_and_at_n,
          sqlite_allocates_through_the_door, libxml2_allocates_through_the_door)
