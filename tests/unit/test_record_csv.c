/* CSV record files: separators, line ends, quotes, headers, kinds, and child rows.
 *
 * Quoting as in RFC 4180; semicolon, tab and the byte order mark as spreadsheets write them (common
 * practice, no source). */
#include "unit.h"

#include "record/csv_split.h"
#include "record_support.h"

static void split(const char *text, char separator, const char *want)
{
    struct csv_split c;
    struct sbuf got = SBUF_INIT;
    enum csv_status status = CSV_ROW;

    csv_start(&c, text, strlen(text), separator);
    while ((status = csv_next(&c)) == CSV_ROW) {
        sbuf_printf(&got, "%ld:", c.row_line);
        for (size_t i = 0; i < c.count; i++) {
            sbuf_printf(&got, "[%s]", csv_cell(&c, i));
        }
    }
    sbuf_puts(&got, status == CSV_END ? "." : status == CSV_BAD_QUOTE ? "bad" : "open");
    ck_assert_str_eq(got.s, want);
    sbuf_free(&got);
    csv_free(&c);
}

START_TEST(splits_rows_and_cells)
{
    split("", ',', ".");
    split("a", ',', "1:[a].");
    split("a,b\nc,d\n", ',', "1:[a][b]2:[c][d].");
    split("a,b\r\nc,d\r\n", ',', "1:[a][b]2:[c][d].");
    split("a,b\rc,d", ',', "1:[a][b]2:[c][d].");
    split("a,,\n,\n", ',', "1:[a][][]2:[][].");
    split("\n\nx", ',', "1:[]2:[]3:[x].");
    split("\"a\"\"b\",\"c,d\",\"\"\n", ',', "1:[a\"b][c,d][].");
    split("\"two\nlines\",x\ny", ',', "1:[two\nlines][x]3:[y].");
    split("\"two\r\nlines\"\r\ny", ',', "1:[two\r\nlines]3:[y].");
    split("a;b,c", ';', "1:[a][b,c].");
    split("a\tb;c", '\t', "1:[a][b;c].");
    split("a\"b,c\nd", ',', "bad");
    split("\"a\"b,c\nd", ',', "bad");
    split("\"a", ',', "open");
    split("x\n\"a\"\"", ',', "1:[x]open");
}
END_TEST

START_TEST(guesses_the_separator_of_the_header)
{
    static const struct {
        const char *text;
        char want;
    } cases[] = {{"id,name\n;;;;", ','},
                 {"id;name,first\n", ';'},
                 {"id;name;x,y\n", ';'},
                 {"id\tname\n", '\t'},
                 {"id\n", ','},
                 {"", ','},
                 {"\"a,b,c\";\"d\"\n", ';'},
                 {"a\tb,c;d\n", '\t'}};

    for (size_t i = 0; i < LW_COUNT(cases); i++) {
        ck_assert_msg(csv_guess_separator(cases[i].text, strlen(cases[i].text)) == cases[i].want,
                      "%s", cases[i].text);
    }
}
END_TEST

/* The same two places, however the file is written. */
START_TEST(every_spelling_of_a_file_reads_the_same)
{
    static const struct {
        const char *name, *text;
    } files[] = {
        {"place.csv", "id,name,floor-area\np,Bench,\"2,5 m2\"\nq,\"The \"\"cold\"\" one\",\n"},
        {"place-2026.csv", "id;name;floor-area\np;Bench;2,5 m2\nq;\"The \"\"cold\"\" one\";\n"},
        {"place.tsv", "id\tname\tfloor-area\np\tBench\t2,5 m2\nq\t\"The \"\"cold\"\" one\"\t\n"},
        {"/a/b.c/Place_list.csv",
         "\xEF\xBB\xBFID;Name;Floor area\r\np;Bench;2,5 m2\r\nq;\"The \"\"cold\"\" "
         "one\";\r\n"},
        {"x.csv", "#kind,place\n#decimal,comma\nid;NAME; Floor_Area \n p ;Bench;2,5 m2\n;;\n"
                  "q;\"The \"\"cold\"\" one\";\n\n"},
        {"x.csv",
         "#kind place\nname,id,floor-area,,\nBench,p,2.5 m2,,\n\"The \"\"cold\"\" one\",q,,,\n"},
    };

    for (size_t i = 0; i < LW_COUNT(files); i++) {
        struct feed f = feed_new();
        ck_assert_msg(feed_csv(&f, files[i].name, files[i].text), "%zu: %s", i,
                      feed_message(&f, 0));
        ck_assert(f.counts.whole);
        ck_assert_uint_eq(f.counts.read, 2);
        ck_assert_msg(diags_count(f.d) == 0, "%zu: %s", i, feed_message(&f, 0));
        ck_assert_str_eq(feed_dump(&f), "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<records>\n"
                                        "<place id=\"p\" name=\"Bench\" floor-area=\"2.5 m2\"/>\n"
                                        "<place id=\"q\" name=\"The &quot;cold&quot; one\"/>\n"
                                        "</records>\n");
        feed_free(&f);
    }
}
END_TEST

START_TEST(kinds_of_two_words_and_declared_units)
{
    struct feed f = feed_new();

    ck_assert(feed_csv(&f, "local-code-2026.csv", "id,limit,value\nx,container-size,1 L\n"));
    ck_assert_str_eq(feed_ask(&f, "SELECT value FROM rec_local_code"), "1 L");
    ck_assert(feed_csv(&f, "batch.csv", "#units,us\nid,fill\nb,2 qt\n"));
    ck_assert_str_eq(feed_ask(&f, "SELECT fill FROM rec_batch"), "2 qt-us");
    feed_free(&f);
}
END_TEST

static void refuse(const char *name, const char *text, const char *message)
{
    struct feed f = feed_new();

    (void)feed_csv(&f, name, text);
    ck_assert(!f.counts.whole);
    ck_assert_uint_eq(f.counts.read, 0);
    ck_assert_uint_ge(diags_count_level(f.d, DIAG_FATAL), 1);
    ck_assert_str_eq(feed_message(&f, 0), message);
    feed_free(&f);
}

START_TEST(headers_are_refused_with_a_name)
{
    refuse(
        "place.csv", "id,colour\np,red\n",
        "place.csv:1:2: fatal: header of 'place': unknown column 'colour'; nothing was read (take "
        "the column out)");
    refuse("place.csv", "id,flor-area\np,1 m2\n",
           "place.csv:1:2: fatal: header of 'place': unknown column 'flor-area'; nothing was read "
           "(did you "
           "mean 'floor-area'?)");
    refuse(
        "place.csv", "id,id\np,q\n",
        "place.csv:1:2: fatal: header of 'place': column 'id' stands twice; nothing was read (take "
        "one out)");
    refuse(
        "place.csv", "name\nBench\n",
        "place.csv:1: fatal: header of 'place': column 'id' is missing; nothing was read (add the "
        "column)");
    refuse(
        "charge.csv", "receipt,quantity\nR-1,4 g\n",
        "charge.csv:1: fatal: header of 'charge': column 'batch' is missing; nothing was read (add "
        "the column: it names the record each row belongs to)");
    refuse("stuff.csv", "id\np\n",
           "stuff.csv: fatal: which kind of record the rows are is not said (begin the file's name "
           "with a record kind (receipt-2026.csv), or its text with '#kind,receipt')");
    refuse(
        "x.csv", "#kind,spell\nid\np\n",
        "x.csv:1:1: fatal: '#kind' 'spell' is not understood: nothing was read (a leading row is "
        "#kind and a record kind, #units and us or imperial, or #decimal and point or comma)");
    refuse("place.csv", "\n\n",
           "place.csv: fatal: there is no header line (begin with a line of column names)");
}
END_TEST

START_TEST(one_bad_row_does_not_stop_the_rest)
{
    struct feed f = feed_new();

    ck_assert(feed_csv(&f, "place.csv",
                       "id,name,floor-area\n"
                       "a,A,1 m2\n"
                       "b,B\n"
                       "c,C,1 m2,extra\n"
                       "d,D,12\n"
                       "e,5\" pipe,1 m2\n"
                       ",F,1 m2\n"
                       "g,G,1 m2\n"));
    ck_assert(f.counts.whole);
    ck_assert_uint_eq(f.counts.read, 2);
    ck_assert_uint_eq(f.counts.refused, 5);
    ck_assert_str_eq(feed_ask(&f, "SELECT group_concat(id) FROM rec_place"), "a,g");
    ck_assert_str_eq(
        feed_message(&f, 0),
        "place.csv:3: error: row of 'place' has 2 cells, the header has 3 (give every row "
        "as many cells as the header)");
    ck_assert_str_eq(
        feed_message(&f, 1),
        "place.csv:4:4: error: row of 'place': cell 4, 'extra', stands under no column "
        "name (quote a cell that holds the separator, or name the column in the header)");
    ck_assert_str_eq(feed_message(&f, 2),
                     "place.csv:5: error: row of 'place' 'd': column 'floor-area' is "
                     "'12': '12' has no unit (type 12 m2, 12 ft2 or 12 in2)");
    ck_assert_str_eq(
        feed_message(&f, 3),
        "place.csv:6:2: error: cell 2 has a quote where none may stand: the row is not "
        "read (write the whole cell in quotes, and a quote inside it twice: \"5 \"\" "
        "pipe\")");
    ck_assert_str_eq(feed_message(&f, 4),
                     "place.csv:7: error: row of 'place': column 'id' is missing "
                     "(add id=\"...\": Short name used by other records.)");
    feed_free(&f);
}
END_TEST

START_TEST(hostile_text_is_refused)
{
    struct feed f = feed_new();
    struct sbuf text = SBUF_INIT;

    refuse("place.csv", "id,name\np,caf\xE9\n",
           "place.csv:2: fatal: the byte 0xE9 here is not UTF-8 text (save the file as UTF-8 (in a "
           "spreadsheet: 'CSV UTF-8'))");
    ck_assert(!reader_csv("place.csv", "id\np\0\n", 6, store_sink, f.s, &f.counts, f.d));
    ck_assert_str_eq(diags_at(f.d, 0)->code, "zero-byte");
    ck_assert(!reader_csv("place.csv", "\xFF\xFEi\0d\0", 6, store_sink, f.s, &f.counts, f.d));
    ck_assert_str_eq(diags_at(f.d, 1)->code, "not-utf8");
    ck_assert(!reader_csv("place.csv", "", 0, store_sink, f.s, &f.counts, f.d));
    sbuf_puts(&text, "id,name\np,ok\nq,\"never closed\n");
    sbuf_pad(&text, 'x', 1000);
    ck_assert(feed_csv(&f, "place.csv", text.s));
    ck_assert(!f.counts.whole);
    ck_assert_str_eq(diags_at(f.d, diags_count(f.d) - 1)->code, "cut-off");
    ck_assert_int_eq(diags_at(f.d, diags_count(f.d) - 1)->line, 3);
    sbuf_pad(&text, 'x', READER_ATTR_BYTES);
    ck_assert(feed_csv(&f, "place.csv", text.s));
    ck_assert_str_eq(diags_at(f.d, diags_count(f.d) - 1)->code, "too-large");
    sbuf_clear(&text);
    sbuf_puts(&text, "id");
    sbuf_pad(&text, ',', CSV_COLUMNS_MAX);
    ck_assert(!feed_csv(&f, "place.csv", text.s));
    ck_assert_str_eq(diags_at(f.d, diags_count(f.d) - 1)->code, "too-large");
    ck_assert(!f.counts.whole);
    sbuf_free(&text);
    feed_free(&f);
}
END_TEST

/* Child rows find their parents wherever these come: before, after, or in an XML file. */
START_TEST(child_rows_find_their_parents)
{
    struct feed f = feed_new();

    ck_assert(feed_csv(&f, "charge.csv",
                       "batch,material,quantity\nB-1,orris,4 g\nB-2,ethanol,5 mL\nB-9,orris,1 g\n"
                       ",orris,1 g\n"));
    ck_assert(feed_csv(&f, "batch.csv", "id\nB-1\n"));
    ck_assert(feed_xml(&f, "<records><batch id=\"B-2\"><charge material=\"vanilla\" quantity=\"1 "
                           "g\"/></batch></records>"));
    ck_assert(feed_csv(&f, "step.csv", "kind,batch\nshake,B-1\n"));
    ck_assert(store_finish(f.s, f.d));
    ck_assert_str_eq(feed_dump(&f),
                     "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<records>\n"
                     "<batch id=\"B-1\"><charge material=\"orris\" quantity=\"4 g\"/>"
                     "<step kind=\"shake\"/></batch>\n"
                     "<batch id=\"B-2\"><charge material=\"vanilla\" quantity=\"1 g\"/>"
                     "<charge material=\"ethanol\" quantity=\"5 mL\"/></batch>\n</records>\n");
    ck_assert_str_eq(feed_ask(&f, "SELECT batch FROM rec_step"), "B-1");
    ck_assert_str_eq(feed_ask(&f, "SELECT group_concat(batch || ' ' || n || ' ' || material, '; ')"
                                  " FROM (SELECT * FROM rec_charge ORDER BY batch, n)"),
                     "B-1 1 orris; B-2 1 vanilla; B-2 2 ethanol");
    ck_assert_str_eq(feed_message(&f, 0), "charge.csv:5: error: row of 'charge': column 'batch' is "
                                          "empty (write the id of the record the row belongs to)");
    ck_assert_str_eq(
        feed_message(&f, 1),
        "charge.csv:4: error: row of 'charge': its batch 'B-9' is not among the records "
        "read; the row is kept out (did you mean 'B-1'?)");
    ck_assert_uint_eq(store_counts(f.s).refused, 1);
    ck_assert_uint_eq(store_counts(f.s).added, 5);
    feed_free(&f);
}
END_TEST

/* Rows of two records by turns: each is numbered within its own. */
START_TEST(child_rows_are_numbered_within_their_parent)
{
    struct feed f = feed_new();

    ck_assert(feed_csv(&f, "charge.csv",
                       "batch,material\nB-1,orris\nB-2,tonka\nB-1,benzoin\nB-2,iris\n"));
    ck_assert(feed_xml(&f, "<records><batch id=\"B-1\"><charge material=\"vanilla\"/>"
                           "<step kind=\"shake\"/><charge material=\"ethanol\"/></batch>"
                           "<batch id=\"B-2\"/></records>"));
    ck_assert(store_finish(f.s, f.d));
    ck_assert_str_eq(feed_ask(&f, "SELECT group_concat(batch || ' ' || n || ' ' || material, '; ')"
                                  " FROM (SELECT * FROM rec_charge ORDER BY batch, n)"),
                     "B-1 1 vanilla; B-1 2 ethanol; B-1 3 orris; B-1 4 benzoin; "
                     "B-2 1 tonka; B-2 2 iris");
    ck_assert_str_eq(feed_ask(&f, "SELECT n FROM rec_step"), "1");
    feed_free(&f);
}
END_TEST

/* Two equal rows are two charges; the same file given twice is one file. */
START_TEST(a_file_of_child_rows_given_twice_counts_once)
{
    static const char rows[] = "batch,quantity\nB-1,4 g\nB-1,4 g\n";
    struct feed f = feed_new();

    ck_assert(feed_csv(&f, "batch.csv", "id\nB-1\n"));
    ck_assert(feed_csv(&f, "charge.csv", rows));
    ck_assert(feed_csv(&f, "charge.csv", rows));
    ck_assert(store_finish(f.s, f.d));
    ck_assert_str_eq(feed_ask(&f, "SELECT count(*) FROM rec_charge"), "2");
    ck_assert_uint_eq(store_counts(f.s).same, 2);
    feed_free(&f);
}
END_TEST

/* Which cells a spreadsheet would run: they begin with = + - @, tab or a line break (common
 * practice, no source). */
START_TEST(formulas_are_guarded_and_amounts_are_not)
{
    static const char *const formulas[] = {
        "=1+1",
        "=cmd|'/C calc'!A0",
        "@SUM(A1)",
        "+cmd",
        "-cmd",
        "-2+3+cmd|' /C calc'!A0",
        "-2-cmd",
        "\t=1",
        "\r=1",
        "\n=1",
        "'=1",
        "''@x",
        "-1 (A1)(B2)",
        "-18 degC (=1)",
        "-",
        "+",
        "-1 degC (2",
        "+1|A1",
        "-18 degC (-)",
        "-1\"x\"",
    };
    static const char *const plain[] = {
        "",         "text",          "a=1",        "-18 degC", "-18 degC (-0.4 degF)",
        "+5",       "-0.5 fl-oz-us", "-12.50 EUR", "-3 %",     "-5%",
        "'quoted'", "1-2",           "-1,5 L",
    };
    for (size_t i = 0; i < LW_COUNT(formulas); i++)
        ck_assert_msg(csv_needs_guard(formulas[i]), "taken for text: %s", formulas[i]);
    for (size_t i = 0; i < LW_COUNT(plain); i++)
        ck_assert_msg(!csv_needs_guard(plain[i]), "taken for a formula: %s", plain[i]);
}
END_TEST

UNIT_MAIN("record csv", formulas_are_guarded_and_amounts_are_not, splits_rows_and_cells,
          guesses_the_separator_of_the_header, every_spelling_of_a_file_reads_the_same,
          kinds_of_two_words_and_declared_units, headers_are_refused_with_a_name,
          one_bad_row_does_not_stop_the_rest, hostile_text_is_refused,
          child_rows_find_their_parents, child_rows_are_numbered_within_their_parent,
          a_file_of_child_rows_given_twice_counts_once)
