/* The catalogue's image holds what the sheets hold, and a stale one is not used. */
#include "unit.h"

#include <sys/stat.h>
#include <unistd.h>

#include "record/image.h"
#include "text/mem.h"

static char dir[] = "/tmp/lw-image-XXXXXX";

static void put(const char *name, const char *text)
{
    char path[256];
    snprintf(path, sizeof path, "%s/%s", dir, name);
    FILE *f = fopen(path, "w");
    ck_assert_ptr_nonnull(f);
    ck_assert_int_ge(fputs(text, f), 0);
    ck_assert_int_eq(fclose(f), 0);
}

/* Every row of every table and the layout, as one text. */
static char *dump(struct store *s)
{
    static const char tables[] = "select name, sql from sqlite_schema where name <> 'lw_image' and "
                                 "type = 'table' order by name";
    struct sbuf out = SBUF_INIT;
    sqlite3_stmt *list = NULL;
    ck_assert_int_eq(sqlite3_prepare_v2(store_db(s), tables, -1, &list, NULL), SQLITE_OK);
    while (sqlite3_step(list) == SQLITE_ROW) {
        const char *name = (const char *)sqlite3_column_text(list, 0);
        char sql[256];
        sqlite3_stmt *rows = NULL;
        sbuf_printf(&out, "%s\n", (const char *)sqlite3_column_text(list, 1));
        snprintf(sql, sizeof sql, "select * from \"%s\" order by rowid", name);
        ck_assert_int_eq(sqlite3_prepare_v2(store_db(s), sql, -1, &rows, NULL), SQLITE_OK);
        while (sqlite3_step(rows) == SQLITE_ROW) {
            for (int i = 0; i < sqlite3_column_count(rows); i++) {
                const char *v = (const char *)sqlite3_column_text(rows, i);
                sbuf_printf(&out, "%s|", v ? v : "(null)");
            }
            sbuf_putc(&out, '\n');
        }
        sqlite3_finalize(rows);
    }
    sqlite3_finalize(list);
    ck_assert(!out.failed);
    return sbuf_take(&out);
}

START_TEST(the_shipped_catalogue)
{
    const char *source = getenv("LW_SRCDIR");
    char data[512], image[256];
    struct diags *d = diags_new();
    snprintf(data, sizeof data, "%s/data", source ? source : LW_SRCDIR);
    snprintf(image, sizeof image, "%s/image.db", dir);
    ck_assert(image_write(data, image, NULL, d));
    ck_assert(image_fits(data, image));
    struct store *sheets = store_with_catalogue(data, NULL, d);
    struct store *quick = store_with_catalogue(data, image, d);
    ck_assert_ptr_nonnull(sheets);
    ck_assert_ptr_nonnull(quick);
    char *a = dump(sheets), *b = dump(quick);
    ck_assert_uint_gt(strlen(a), 500000);
    ck_assert(strcmp(a, b) == 0);
    mem_free(a);
    mem_free(b);
    store_free(sheets);
    store_free(quick);
    ck_assert_uint_eq(diags_count(d), 0);
    diags_free(d);
}
END_TEST

#define SHEET(value)                                                                               \
    "<table name=\"t\" key=\"id\"><about>A.</about><column name=\"id\" type=\"token\">I.</column>" \
    "<column name=\"v\" type=\"number\">V.</column>"                                               \
    "<column name=\"source\" type=\"text\">S.</column><column name=\"sure\" "                      \
    "type=\"sure\">S.</column>"                                                                    \
    "<row id=\"a\" v=\"" value "\" source=\"x\" sure=\"computed\"/></table>"

static double value_of(struct store *s)
{
    sqlite3_stmt *st = NULL;
    ck_assert_int_eq(sqlite3_prepare_v2(store_db(s), "select v from cat_t", -1, &st, NULL),
                     SQLITE_OK);
    ck_assert_int_eq(sqlite3_step(st), SQLITE_ROW);
    double v = sqlite3_column_double(st, 0);
    sqlite3_finalize(st);
    return v;
}

START_TEST(a_changed_figure_is_seen)
{
    char data[256], image[256];
    struct diags *d = diags_new();
    snprintf(data, sizeof data, "%s", dir);
    snprintf(image, sizeof image, "%s/small.db", dir);
    put("catalogue/t.xml", SHEET("5"));
    ck_assert(image_write(data, image, NULL, d));
    ck_assert(image_fits(data, image));
    /* One digit, the same length. */
    put("catalogue/t.xml", SHEET("6"));
    ck_assert(!image_fits(data, image));
    struct store *s = store_with_catalogue(data, image, d);
    ck_assert_ptr_nonnull(s);
    ck_assert_double_eq(value_of(s), 6);
    store_free(s);
    /* Damaged, empty, absent: the sheets are read. */
    put("small.db", "SQLite format 3, or not");
    s = store_with_catalogue(data, image, d);
    ck_assert_double_eq(value_of(s), 6);
    store_free(s);
    put("small.db", "");
    ck_assert(!image_fits(data, image));
    ck_assert(!image_fits(data, "/nonexistent/x.db"));
    diags_free(d);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {the_shipped_catalogue, a_changed_figure_is_seen};
    static const char *const folders[] = {"catalogue", "limits"};
    char path[256];
    if (!mkdtemp(dir))
        return EXIT_FAILURE;
    for (size_t i = 0; i < LW_COUNT(folders); i++) {
        snprintf(path, sizeof path, "%s/%s", dir, folders[i]);
        if (mkdir(path, 0700) != 0)
            return EXIT_FAILURE;
    }
    int status = unit_run("record/image", tests, LW_COUNT(tests));
    static const char *const files[] = {"image.db", "small.db", "catalogue/t.xml"};
    for (size_t i = 0; i < LW_COUNT(files); i++) {
        snprintf(path, sizeof path, "%s/%s", dir, files[i]);
        (void)unlink(path);
    }
    for (size_t i = 0; i < LW_COUNT(folders); i++) {
        snprintf(path, sizeof path, "%s/%s", dir, folders[i]);
        (void)rmdir(path);
    }
    (void)rmdir(dir);
    return status;
}
