/* The committed schema is the printed one. After a change of the dictionary:
 *     lotward schema > docs/records.rng */
#include "unit.h"

#include "record/schema.h"
#include "text/file.h"

enum { SCHEMA_BYTES = 4 * 1024 * 1024 };

static void same_as(const char *name, void (*print)(struct sbuf *out))
{
    struct sbuf path = SBUF_INIT;
    struct sbuf committed = SBUF_INIT;
    struct sbuf printed = SBUF_INIT;
    struct diags *d = diags_new();

    sbuf_printf(&path, "%s/docs/%s", getenv("LW_SRCDIR"), name);
    ck_assert_msg(file_read(path.s, SCHEMA_BYTES, &committed, d), "%s cannot be read", path.s);
    print(&printed);
    ck_assert(!printed.failed);
    ck_assert_uint_gt(printed.len, 1000);
    ck_assert_msg(strcmp(committed.s, printed.s) == 0,
                  "%s is not what the dictionary gives: print it again", path.s);
    diags_free(d);
    sbuf_free(&path);
    sbuf_free(&committed);
    sbuf_free(&printed);
}

START_TEST(committed_schema_is_the_printed_one)
{
    same_as("records.rng", schema_print);
}
END_TEST

UNIT_MAIN("record schema", committed_schema_is_the_printed_one)
