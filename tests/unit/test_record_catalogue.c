/* The shipped sheets load whole; a sheet with anything wrong is refused with file and line. */
#include "unit.h"

#include <sys/stat.h>
#include <unistd.h>

#include "record_support.h"

static char folder[256];

static const char *inside(const char *name)
{
    static char path[400];

    snprintf(path, sizeof path, "%s/%s", folder, name);
    return path;
}

static void write_sheet(const char *name, const char *text)
{
    FILE *out = fopen(inside(name), "wb");

    ck_assert_ptr_nonnull(out);
    fputs(text, out);
    fclose(out);
}

static void make_folder(void)
{
    const char *tmp = getenv("TMPDIR");

    snprintf(folder, sizeof folder, "%s/lotward-cat-XXXXXX", tmp != NULL ? tmp : "/tmp");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    ck_assert_int_eq(mkdir(inside("catalogue"), 0700), 0);
    ck_assert_int_eq(mkdir(inside("limits"), 0700), 0);
}

static void remove_folder(void)
{
    unlink(inside("catalogue/t.xml"));
    unlink(inside("limits/l.xml"));
    rmdir(inside("catalogue"));
    rmdir(inside("limits"));
    rmdir(folder);
}

static struct feed load(bool *good)
{
    struct feed f = feed_new();

    *good = catalogue_load(store_db(f.s), folder, f.d);
    return f;
}

#define COLUMNS                                                                                    \
    "<column name=\"id\" type=\"token\">Id.</column>\n"                                            \
    "<column name=\"flash_c\" type=\"number\" unit=\"degC\">Flash point.</column>\n"               \
    "<column name=\"count\" type=\"integer\">Count.</column>\n"                                    \
    "<column name=\"day\" type=\"date\">Day.</column>\n"                                           \
    "<column name=\"wet\" type=\"flag\">Wet.</column>\n"                                           \
    "<column name=\"land\" type=\"country\">Land.</column>\n"                                      \
    "<column name=\"source\" type=\"text\">Source.</column>\n"                                     \
    "<column name=\"sure\" type=\"sure\">Sure.</column>\n"
#define TABLE "<table name=\"t\" key=\"id\"><about>A table.</about>\n" COLUMNS

START_TEST(shipped_sheets_load)
{
    struct feed f = feed_new();
    struct sbuf data = SBUF_INIT;

    sbuf_printf(&data, "%s/data", getenv("LW_SRCDIR"));
    ck_assert_msg(catalogue_load(store_db(f.s), data.s, f.d), "%s", feed_message(&f, 0));
    ck_assert_uint_eq(diags_count(f.d), 0);
    ck_assert_double_ge(feed_number(&f, "SELECT count(*) FROM cat_country WHERE status='iso'"),
                        249);
    ck_assert_double_ge(feed_number(&f, "SELECT count(DISTINCT codeset) FROM lim"), 10);
    ck_assert_double_eq(feed_number(&f,
                                    "SELECT count(*) FROM lim l WHERE NOT EXISTS (SELECT 1 FROM "
                                    "codeset c WHERE c.id=l.codeset)"),
                        0);
    ck_assert_double_eq(feed_number(&f, "SELECT count(*) FROM lim WHERE (value IS NULL) <> "
                                        "(words='no-limit')"),
                        0);
    ck_assert_double_eq(
        feed_number(&f, "SELECT count(*) FROM lim WHERE cite IS NULL OR sure IS NULL"), 0);
    ck_assert_str_eq(feed_ask(&f, "SELECT unit FROM cat_column WHERE sheet='material' AND "
                                  "name='water_percent'"),
                     "%");
    sbuf_free(&data);
    feed_free(&f);
}
END_TEST

START_TEST(cells_take_their_declared_type)
{
    bool good = false;
    struct feed f;

    make_folder();
    write_sheet("catalogue/t.xml",
                TABLE "<row id=\"a\" flash_c=\"-12.5\" count=\"7\" day=\"2026-01-02\" wet=\"yes\" "
                      "land=\"FR\" source=\"a &amp; b\" sure=\"verified\"/>\n"
                      "<row id=\"b\" source=\"s\" sure=\"from-memory\"/></table>");
    write_sheet("limits/l.xml",
                "<codeset id=\"c\" title=\"C\" edition=\"2020\" scheme=\"nfpa\" region=\"US\" "
                "units=\"us\"><about>About.</about>\n"
                "<limit name=\"n\" class=\"IB+IC\" value=\"60\" unit=\"gal-us\" "
                "words=\"not-more-than\" cite=\"1.2\" sure=\"verified\">A\n  note.</limit>\n"
                "<limit name=\"m\" storey=\"-1\" unit=\"gal-us\" words=\"no-limit\" cite=\"1.3\" "
                "edition=\"2021\" sure=\"secondary\"/></codeset>");
    f = load(&good);
    ck_assert_msg(good, "%s", feed_message(&f, 0));
    ck_assert_double_eq(feed_number(&f, "SELECT flash_c FROM cat_t WHERE id='a'"), -12.5);
    ck_assert_str_eq(feed_ask(&f, "SELECT typeof(count) FROM cat_t WHERE id='a'"), "integer");
    ck_assert_str_eq(feed_ask(&f, "SELECT source FROM cat_t WHERE id='a'"), "a & b");
    ck_assert_str_eq(feed_ask(&f, "SELECT typeof(flash_c)||typeof(wet) FROM cat_t WHERE id='b'"),
                     "nullnull");
    ck_assert_double_eq(feed_number(&f, "SELECT value FROM lim WHERE name='n'"), 60.0);
    ck_assert_str_eq(feed_ask(&f, "SELECT note FROM lim WHERE name='n'"), "A note.");
    ck_assert_str_eq(feed_ask(&f, "SELECT group_concat(edition) FROM lim"), "2020,2021");
    ck_assert_str_eq(feed_ask(&f, "SELECT group_concat(class) FROM lim_class"), "IB,IC");
    ck_assert_double_eq(feed_number(&f, "SELECT storey FROM lim WHERE name='m'"), -1.0);
    feed_free(&f);
    remove_folder();
}
END_TEST

/* A table whose text is `body`: refused, with a message that holds `words` at `line`. */
static void refuse_text(const char *name, const char *text, long line, const char *words)
{
    bool good = true;
    struct feed f;

    make_folder();
    write_sheet(name, text);
    f = load(&good);
    ck_assert_msg(!good, "taken, without '%s'", words);
    ck_assert_uint_ge(diags_count_level(f.d, DIAG_ERROR), 1);
    ck_assert_msg(strstr(feed_message(&f, 0), words) != NULL, "wanted '%s': %s", words, f.text.s);
    ck_assert_int_eq(diags_at(f.d, 0)->line, line);
    ck_assert_ptr_nonnull(strstr(diags_at(f.d, 0)->file, name));
    feed_free(&f);
    remove_folder();
}

static void refuse_row(const char *row, const char *words)
{
    struct sbuf text = SBUF_INIT;

    sbuf_printf(&text, "%s%s</table>", TABLE, row);
    refuse_text("catalogue/t.xml", text.s, 10, words);
    sbuf_free(&text);
}

#define END "source=\"s\" sure=\"verified\"/>"

START_TEST(bad_rows_are_refused)
{
    refuse_row("<row id=\"a\" colour=\"red\" " END, "'colour' is no column");
    refuse_row("<row id=\"a\" flash_c=\"\" " END, "'flash_c' is empty");
    refuse_row("<row id=\"A\" " END, "'id' is 'A': it must be a short name");
    refuse_row("<row id=\"a\" flash_c=\"1,5\" " END, "it must be a number");
    refuse_row("<row id=\"a\" flash_c=\"13 C\" " END, "it must be a number");
    refuse_row("<row id=\"a\" count=\"1.5\" " END, "it must be a whole number");
    refuse_row("<row id=\"a\" day=\"1 May 2026\" " END, "it must be a date");
    refuse_row("<row id=\"a\" day=\"2025-02-29\" " END, "it must be a date");
    refuse_row("<row id=\"a\" wet=\"true\" " END, "it must be yes or no");
    refuse_row("<row id=\"a\" land=\"UK\" " END, "ISO 3166-1");
    refuse_row("<row id=\"a\" source=\"s\"/>", "'sure' is missing");
    refuse_row("<row id=\"a\" sure=\"verified\"/>", "'source' is missing");
    refuse_row("<row id=\"a\" source=\"s\" sure=\"certain\"/>", "it must be one of: verified");
    refuse_row("<row " END, "the key (id) '-' is missing or stands twice");
    refuse_row("<raw/>", "unexpected element 'raw'");
}
END_TEST

START_TEST(repeated_keys_are_refused)
{
    refuse_text("catalogue/t.xml",
                TABLE "<row id=\"a\" " END "\n<row id=\"b\" " END "\n<row id=\"a\" " END "</table>",
                12, "'a' is missing or stands twice");
    refuse_text("catalogue/t.xml",
                "<table name=\"t\" key=\"id wet\"><about>A table.</about>\n" COLUMNS
                "<row id=\"a\" wet=\"yes\" " END "<row id=\"a\" wet=\"no\" " END
                "<row id=\"a\" " END "\n<row id=\"a\" " END "</table>",
                11, "the key (id wet) 'a -' is missing or stands twice");
}
END_TEST

START_TEST(bad_tables_are_refused)
{
    refuse_text("catalogue/t.xml", "<table key=\"id\"/>", 1, "'name' is missing");
    refuse_text("catalogue/t.xml", "<table name=\"T; drop\" key=\"id\"/>", 1, "no table name");
    refuse_text("catalogue/t.xml", "<list/>", 1, "not 'table' or 'codeset'");
    refuse_text("catalogue/t.xml", "<table name=\"t\" key=\"no\">\n" COLUMNS "</table>", 1,
                "'no' is not declared");
    refuse_text(
        "catalogue/t.xml",
        "<table name=\"t\" key=\"id\">\n<column name=\"id\" type=\"word\">Id.</column></table>", 2,
        "unknown type 'word'");
    refuse_text(
        "catalogue/t.xml",
        "<table name=\"t\" key=\"id\">\n<column name=\"i-d\" type=\"text\">Id.</column></table>", 2,
        "'i-d' is no column name");
    refuse_text("catalogue/t.xml",
                "<table name=\"t\" key=\"id\">\n<column name=\"id\" type=\"text\"/></table>", 2,
                "no meaning");
    refuse_text("catalogue/t.xml", "<!DOCTYPE table>\n<table/>", 1, "DOCTYPE");
    refuse_text("catalogue/t.xml", "<table>\n<x></table>", 2, "not well-formed");
    refuse_text("catalogue/t.xml", "<table>&x;</table>", 1, "");
    refuse_text("catalogue/t.xml", "<?php ?><table/>", 1, "processing instruction");
    refuse_text("catalogue/t.xml", "", 0, "empty");
    refuse_text("catalogue/t.xml", "<table>\xE9</table>", 1, "not UTF-8");
}
END_TEST

static void refuse_limit(const char *limit, const char *words)
{
    struct sbuf text = SBUF_INIT;

    sbuf_printf(&text,
                "<codeset id=\"c\" title=\"C\" edition=\"2020\" scheme=\"nfpa\" region=\"US\" "
                "units=\"us\"><about>About.</about>\n%s</codeset>",
                limit);
    refuse_text("limits/l.xml", text.s, 2, words);
    sbuf_free(&text);
}

START_TEST(bad_limits_are_refused)
{
    refuse_limit("<limit name=\"n\" value=\"1\" unit=\"gal\" words=\"less-than\" cite=\"c\" "
                 "sure=\"verified\"/>",
                 "'unit' is 'gal'");
    refuse_limit("<limit name=\"n\" value=\"1\" unit=\"L\" words=\"below\" cite=\"c\" "
                 "sure=\"verified\"/>",
                 "'words' is 'below'");
    refuse_limit("<limit name=\"n\" unit=\"L\" words=\"less-than\" cite=\"c\" sure=\"verified\"/>",
                 "a value is missing");
    refuse_limit("<limit name=\"n\" value=\"1\" unit=\"L\" words=\"no-limit\" cite=\"c\" "
                 "sure=\"verified\"/>",
                 "no-limit has no value");
    refuse_limit("<limit name=\"n\" value=\"1\" unit=\"L\" words=\"less-than\" sure=\"verified\"/>",
                 "'cite' is missing");
    refuse_limit("<limit name=\"n\" value=\"1\" unit=\"L\" words=\"less-than\" cite=\"c\"/>",
                 "'sure' is missing");
    refuse_limit("<limit name=\"n\" value=\"1\" unit=\"L\" words=\"less-than\" cite=\"c\" "
                 "sure=\"verified\" clas=\"IB\"/>",
                 "unknown attribute 'clas' (did you mean 'class'?)");
    refuse_limit("<limit name=\"n\" value=\"many\" unit=\"L\" words=\"less-than\" cite=\"c\" "
                 "sure=\"verified\"/>",
                 "it must be a number");
    refuse_limit("<rule/>", "unexpected element 'rule'");
    refuse_text("limits/l.xml", "<codeset id=\"c\"/>", 1, "is missing");
}
END_TEST

START_TEST(missing_folders_are_told)
{
    struct feed f = feed_new();

    ck_assert(!catalogue_load(store_db(f.s), "/nonexistent", f.d));
    ck_assert_uint_ge(diags_count_level(f.d, DIAG_ERROR), 1);
    feed_free(&f);
}
END_TEST

UNIT_MAIN("record catalogue", shipped_sheets_load, cells_take_their_declared_type,
          bad_rows_are_refused, repeated_keys_are_refused, bad_tables_are_refused,
          bad_limits_are_refused, missing_folders_are_told)
