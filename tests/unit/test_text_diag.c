#include "unit.h"

#include "text/diag.h"
#include "text/mem.h"

static const char *formatted(const struct diags *d, size_t i)
{
    static char out[512];
    struct sbuf b = SBUF_INIT;
    diag_format(diags_at(d, i), &b);
    snprintf(out, sizeof out, "%s", b.s);
    sbuf_free(&b);
    return out;
}

START_TEST(keeps_order_and_copies)
{
    char file[] = "a.xml", hint[] = "type 5 g";
    struct diags *d = diags_new();
    diags_add(d, DIAG_ERROR, "bare-number", file, 12, 7, hint, "'%d' has no unit", 5);
    diags_add(d, DIAG_NOTE, "note", NULL, 0, 0, NULL, "read");
    file[0] = hint[0] = '!';
    ck_assert_uint_eq(diags_count(d), 2);
    ck_assert_str_eq(formatted(d, 0), "a.xml:12:7: error: '5' has no unit (type 5 g)");
    ck_assert_str_eq(formatted(d, 1), "note: read");
    ck_assert_str_eq(diags_at(d, 0)->code, "bare-number");
    diags_free(d);
}
END_TEST

START_TEST(place_is_as_known)
{
    struct diags *d = diags_new();
    diags_add(d, DIAG_WARNING, "x", "f", 3, 0, NULL, "m");
    diags_add(d, DIAG_FATAL, "x", "f", 0, 9, NULL, "m");
    ck_assert_str_eq(formatted(d, 0), "f:3: warning: m");
    ck_assert_str_eq(formatted(d, 1), "f: fatal: m");
    diags_free(d);
}
END_TEST

START_TEST(levels_are_counted)
{
    struct diags *d = diags_new();
    diags_add(d, DIAG_NOTE, "x", NULL, 0, 0, NULL, "m");
    diags_add(d, DIAG_WARNING, "x", NULL, 0, 0, NULL, "m");
    diags_add(d, DIAG_ERROR, "x", NULL, 0, 0, NULL, "m");
    diags_add(d, DIAG_FATAL, "x", NULL, 0, 0, NULL, "m");
    ck_assert_uint_eq(diags_count_level(d, DIAG_NOTE), 4);
    ck_assert_uint_eq(diags_count_level(d, DIAG_ERROR), 2);
    ck_assert_uint_eq(diags_count_level(d, DIAG_FATAL), 1);
    diags_free(d);
}
END_TEST

START_TEST(control_characters_show)
{
    struct diags *d = diags_new();
    diags_add(d, DIAG_ERROR, "x", "a\nb", 1, 0, "h\x1B[2J", "m\rn");
    ck_assert_str_eq(formatted(d, 0), "a<U+000A>b:1: error: m<U+000D>n (h<U+001B>[2J)");
    diags_free(d);
}
END_TEST

START_TEST(null_list_keeps_nothing)
{
    diags_add(NULL, DIAG_ERROR, "x", "f", 1, 1, "h", "m");
    diags_out_of_memory(NULL);
    ck_assert(!diags_oom(NULL));
    ck_assert_uint_eq(diags_count(NULL), 0);
    diags_free(NULL);
}
END_TEST

/* Every allocation of diags_add() fails in turn: nothing leaks, nothing is half kept, and the list
 * says that something is missing. */
START_TEST(out_of_memory_is_fatal_and_shown)
{
    for (unsigned long n = 1; n <= 10; n++) {
        struct diags *d = diags_new();
        ck_assert_ptr_nonnull(d);
        mem_fail_at(n, 0);
        diags_add(d, DIAG_NOTE, "x", "file", 1, 1, "hint", "message");
        bool reached = mem_count() >= n;
        mem_fail_at(0, 0);
        ck_assert_int_eq(diags_oom(d), reached);
        if (reached) {
            ck_assert_uint_eq(diags_count(d), 1);
            ck_assert_uint_eq(diags_count_level(d, DIAG_FATAL), 1);
            ck_assert_str_eq(formatted(d, 0), "fatal: out of memory: some messages are missing");
        } else {
            ck_assert_uint_eq(diags_count_level(d, DIAG_FATAL), 0);
        }
        diags_free(d);
        if (!reached)
            return;
    }
    ck_abort_msg("more allocations than expected");
}
END_TEST

UNIT_MAIN("text/diag", keeps_order_and_copies, place_is_as_known, levels_are_counted,
          control_characters_show, null_list_keeps_nothing, out_of_memory_is_fatal_and_shown)
