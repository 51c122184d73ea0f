/* Wrapping and tables: no line is wider than asked unless one word is, and no word is lost. */
#include "unit.h"

#include "report/layout.h"
#include "text/utf8.h"

static const char *const prose =
    "A jar of twenty litres stands beside the bench; its lid is loose, and nobody wrote down when "
    "the window was last opened, nor for how long, although the card has a box for both.";

/* Widest line of text, in columns. */
static size_t widest(const char *text)
{
    size_t most = 0;

    for (const char *p = text; *p != '\0';) {
        size_t n = strcspn(p, "\n");
        char line[512];

        ck_assert_uint_lt(n, sizeof line);
        memcpy(line, p, n);
        line[n] = '\0';
        if (utf8_width(line) > most)
            most = utf8_width(line);
        p += n + (p[n] == '\n');
    }
    return most;
}

/* The same words in the same order, whatever the white space between them. */
static void check_words(const char *a, const char *b)
{
    for (;;) {
        size_t n, m;

        a += strspn(a, " \n");
        b += strspn(b, " \n");
        n = strcspn(a, " \n");
        m = strcspn(b, " \n");
        ck_assert_uint_eq(n, m);
        ck_assert(memcmp(a, b, n) == 0);
        if (n == 0)
            return;
        a += n;
        b += m;
    }
}

START_TEST(wraps_at_every_width)
{
    for (int width = REPORT_WIDTH_LEAST; width <= REPORT_WIDTH_MOST; width++) {
        struct sbuf b = SBUF_INIT;

        layout_wrap(&b, width, NULL, 6, prose);
        ck_assert_uint_le(widest(b.s), (size_t)width);
        check_words(prose, b.s);
        ck_assert(strstr(b.s, " \n") == NULL);
        sbuf_free(&b);
    }
}
END_TEST

START_TEST(wide_characters_count_two_columns)
{
    struct sbuf b = SBUF_INIT;

    /* U+9999 is East Asian Wide (Unicode Standard Annex 11) */
    layout_wrap(&b, 9, NULL, 0, "\xe9\xa6\x99\xe9\xa6\x99 \xe9\xa6\x99\xe9\xa6\x99 x");
    ck_assert_str_eq(b.s, "\xe9\xa6\x99\xe9\xa6\x99 \xe9\xa6\x99\xe9\xa6\x99\nx\n");
    sbuf_free(&b);
}
END_TEST

START_TEST(long_words_stay_whole)
{
    struct sbuf b = SBUF_INIT;

    layout_wrap(&b, 10, "- ", 2, "see /a/very/long/path/name.xml now");
    ck_assert_str_eq(b.s, "- see\n  /a/very/long/path/name.xml\n  now\n");
    sbuf_free(&b);
}
END_TEST

START_TEST(paragraphs_are_kept_and_lines_are_not)
{
    struct sbuf b = SBUF_INIT;

    layout_wrap(&b, 60, NULL, 0, "  one\n two\n\n three\n");
    ck_assert_str_eq(b.s, "one two\n\nthree\n");
    sbuf_free(&b);
}
END_TEST

/* ECMA-48: ESC starts a control sequence; a record must not be able to print one. */
START_TEST(records_cannot_drive_the_terminal)
{
    struct sbuf b = SBUF_INIT;

    layout_wrap(&b, 60, NULL, 0, "red \x1b[31m text");
    ck_assert(strchr(b.s, 0x1b) == NULL);
    ck_assert(strstr(b.s, "<U+001B>") != NULL);
    sbuf_free(&b);
}
END_TEST

START_TEST(labels_line_up)
{
    struct sbuf b = SBUF_INIT;

    layout_labelled(&b, 60, 2, 8, "why", "because");
    layout_labelled(&b, 60, 2, 8, "too long", "text");
    layout_labelled(&b, 60, 2, 8, "none", "");
    layout_labelled(&b, 60, 2, 8, "none", NULL);
    ck_assert_str_eq(b.s, "  why   because\n  too long text\n");
    sbuf_free(&b);
}
END_TEST

START_TEST(tables_fit_the_line)
{
    struct report r;
    struct report_style style = {.width = REPORT_WIDTH_LEAST};
    struct report_table *t;
    struct sbuf b = SBUF_INIT;

    report_init(&r, "test", NULL);
    t = report_add_table(&r, "stock", "Stock", NULL, TABLE_GRID);
    report_column(&r, t, "place", NULL, NULL, ALIGN_LEFT);
    report_column(&r, t, "held", NULL, "L", ALIGN_RIGHT);
    report_column(&r, t, "remark", NULL, NULL, ALIGN_LEFT);
    report_cell(&r, t, "bench");
    report_cell_number(&r, t, 7.25, 1, NULL);
    report_cell(&r, t, prose);
    report_cell(&r, t, "cabinet");
    report_cell_number(&r, t, 113.4, 1, NULL);
    report_cell(&r, t, NULL);
    ck_assert(!r.failed);
    ck_assert_uint_eq(report_row_count(t), 2);
    layout_table(&b, &style, t);
    ck_assert_uint_le(widest(b.s), (size_t)style.width);
    ck_assert(strstr(b.s, "place    held (L)  remark\n") != NULL);
    ck_assert(strstr(b.s, "bench         7.2  A jar") != NULL ||
              strstr(b.s, "bench         7.3  A jar") != NULL);
    ck_assert(strstr(b.s, "cabinet     113.4\n") != NULL);
    sbuf_free(&b);
    report_release(&r);
}
END_TEST

/* Identifiers are never broken, so a table of long ones gives up its columns. */
static void put_long_rows(struct sbuf *out, int rows)
{
    static const char *const names[] = {"a-name-of-forty-columns-that-cannot-wrap",
                                        "another-name-quite-as-long-as-the-first-",
                                        "and-a-third-one-of-just-the-same-length-"};
    struct report r;
    struct report_style style = {.width = REPORT_WIDTH_LEAST};
    struct report_table *t;

    report_init(&r, "test", NULL);
    t = report_add_table(&r, "stock", NULL, NULL, TABLE_GRID);
    report_column(&r, t, "rule", NULL, NULL, ALIGN_LEFT);
    report_column(&r, t, "held", NULL, "L", ALIGN_RIGHT);
    report_column(&r, t, "remark", NULL, NULL, ALIGN_LEFT);
    report_column(&r, t, "record", NULL, NULL, ALIGN_LEFT);
    for (int i = 0; i < rows; i++) {
        report_cell(&r, t, names[i]);
        report_cell_number(&r, t, 7.5, 1, NULL);
        report_cell(&r, t, i == 0 ? prose : NULL);
        report_cell(&r, t, "batch-with-a-name-of-28-here");
    }
    ck_assert(!r.failed);
    layout_table(out, &style, t);
    ck_assert_uint_le(widest(out->s), (size_t)style.width);
    report_release(&r);
}

START_TEST(a_few_rows_too_wide_are_stacked_a_cell_a_line)
{
    struct sbuf b = SBUF_INIT;

    put_long_rows(&b, 2);
    ck_assert(strstr(b.s, "rule      a-name-of-forty-columns-that-cannot-wrap\nheld (L)  7.5\n"
                          "remark    A jar") != NULL);
    ck_assert(strstr(b.s, "\n\nrule      another-name-quite-as-long-as-the-first-\nheld (L)  7.5\n"
                          "record    batch-with-a-name-of-28-here\n\n") != NULL);
    sbuf_free(&b);
}
END_TEST

START_TEST(many_rows_too_wide_keep_their_order_and_share_lines)
{
    struct sbuf b = SBUF_INIT;

    put_long_rows(&b, 3);
    ck_assert(strstr(b.s, "rule a-name-of-forty-columns-that-cannot-wrap\n"
                          "    held 7.5 L\n    remark A jar") != NULL);
    ck_assert(strstr(b.s, "\n    record batch-with-a-name-of-28-here\n"
                          "rule another-name-quite-as-long-as-the-first-\n") != NULL);
    ck_assert(strstr(b.s, "rule and-a-third-one-of-just-the-same-length-\n"
                          "    held 7.5 L; record batch-with-a-name-of-28-here\n\n") != NULL);
    sbuf_free(&b);
}
END_TEST

UNIT_MAIN("layout", wraps_at_every_width, wide_characters_count_two_columns, long_words_stay_whole,
          paragraphs_are_kept_and_lines_are_not, records_cannot_drive_the_terminal, labels_line_up,
          tables_fit_the_line, a_few_rows_too_wide_are_stacked_a_cell_a_line,
          many_rows_too_wide_keep_their_order_and_share_lines)
