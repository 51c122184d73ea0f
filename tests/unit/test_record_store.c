/* The memory tables: what an id given twice does, references, and records back out unchanged. */
#include "unit.h"

#include "record_support.h"

static const char two_batches[] =
    "<records units=\"us\">\n"
    "<premises id=\"shed\"/><place id=\"bench\" premises=\"shed\"/>\n"
    "<person id=\"ann\"/>\n"
    "<document id=\"D-1\"/><document id=\"D-2\"/>\n"
    "<receipt id=\"R-1\" material=\"orris\" quantity=\"1 kg\" documents=\"D-1  D-2\" "
    "place=\"bench\" "
    "water=\"9 %\" date=\"2026-01-05\"/>\n"
    "<receipt id=\"R-2\" material=\"ethanol\" quantity=\"1 gal\" strength=\"190 proof\"/>\n"
    "<batch id=\"B-1\" ratio=\"1:10\" fill=\"2 qt\" start=\"2026-01-06\" by=\"ann\">\n"
    "<charge receipt=\"R-1\" quantity=\"100 g\"/><charge receipt=\"R-2\" quantity=\"about 1 "
    "qt\"/>\n"
    "<step kind=\"shake\" date=\"2026-01-07 08:00\" place=\"bench\"/>\n"
    "<charge material=\"orris\" quantity=\"n/a\"/></batch>\n"
    "<batch id=\"B-2\" parent=\"B-1\" vessel-label=\"a &lt; b&#10;second line\"/>\n"
    "<sale id=\"S-1\"><line batch=\"B-1\"/></sale>\n"
    "</records>\n";

START_TEST(converts_every_quantity)
{
    struct feed f = feed_new();

    ck_assert(feed_xml(&f, two_batches));
    ck_assert(store_finish(f.s, f.d));
    ck_assert_msg(diags_count(f.d) == 0, "%s", feed_message(&f, 0));
    ck_assert_double_eq(feed_number(&f, "SELECT quantity_g FROM rec_receipt WHERE id='R-1'"),
                        1000.0);
    ck_assert(isnan(feed_number(&f, "SELECT quantity_l FROM rec_receipt WHERE id='R-1'")));
    /* US gallon: 231 cubic inches, 3.785411784 L (NIST Handbook 44, appendix C). */
    ck_assert_double_eq_tol(feed_number(&f, "SELECT quantity_l FROM rec_receipt WHERE id='R-2'"),
                            3.785411784, 1e-12);
    ck_assert(isnan(feed_number(&f, "SELECT quantity_g FROM rec_receipt WHERE id='R-2'")));
    ck_assert_double_eq_tol(feed_number(&f, "SELECT quantity_res FROM rec_receipt WHERE id='R-2'"),
                            0.5 * 3.785411784, 1e-12);
    ck_assert_double_eq(feed_number(&f, "SELECT water_percent FROM rec_receipt WHERE id='R-1'"),
                        9.0);
    ck_assert_double_eq(feed_number(&f, "SELECT ratio_parts FROM rec_batch"), 10.0);
    ck_assert_double_eq_tol(
        feed_number(&f, "SELECT strength_volpct FROM rec_receipt WHERE id='R-2'"), 95.0, 0.1);
    ck_assert_str_eq(feed_ask(&f, "SELECT date FROM rec_step"), "2026-01-07");
    ck_assert_double_eq(feed_number(&f, "SELECT date_minute FROM rec_step"), 480.0);
    ck_assert_str_eq(feed_ask(&f, "SELECT quantity FROM rec_charge WHERE receipt='R-2'"),
                     "about 1 qt-us");
    ck_assert(isnan(feed_number(&f, "SELECT quantity_l FROM rec_charge WHERE receipt='R-2'")));
    ck_assert_str_eq(feed_ask(&f, "SELECT quantity FROM rec_charge WHERE material='orris'"), "n/a");
    ck_assert_str_eq(feed_ask(&f, "SELECT group_concat(batch||':'||parent) FROM rec_charge"),
                     "B-1:1,B-1:1,B-1:1");
    ck_assert_str_eq(feed_ask(&f, "SELECT DISTINCT file||' '||origin FROM rec_batch"),
                     "a.xml file");
    feed_free(&f);
}
END_TEST

START_TEST(references_are_listed_one_by_one)
{
    struct feed f = feed_new();

    ck_assert(feed_xml(&f, two_batches));
    ck_assert(store_finish(f.s, f.d));
    ck_assert_str_eq(feed_ask(&f,
                              "SELECT group_concat(target) FROM rec_link WHERE kind='receipt' AND "
                              "id='R-1' AND attr='documents'"),
                     "D-1,D-2");
    ck_assert_str_eq(feed_ask(&f, "SELECT group_concat(id||'>'||target) FROM rec_link WHERE "
                                  "kind='charge' AND attr='receipt'"),
                     "B-1>R-1,B-1>R-2");
    ck_assert_str_eq(feed_ask(&f, "SELECT target FROM rec_link WHERE kind='line'"), "B-1");
    ck_assert_str_eq(feed_ask(&f, "SELECT target FROM rec_link WHERE attr='parent'"), "B-1");
    feed_free(&f);
}
END_TEST

START_TEST(dangling_references_are_told_with_a_near_name)
{
    struct feed f = feed_new();

    ck_assert(feed_xml(&f,
                       "<records><place id=\"bench\"/>\n<batch id=\"B-1\" place=\"bnech\"/>\n"
                       "<batch id=\"B-2\" parent=\"B-1 B-7\"><charge receipt=\"R-1\"/></batch>\n"
                       "<receipt id=\"Q\" material=\"no-such-material\"/></records>"));
    ck_assert(store_finish(f.s, f.d));
    ck_assert_uint_eq(diags_count(f.d), 3);
    ck_assert_uint_eq(diags_count_level(f.d, DIAG_ERROR), 0);
    ck_assert_str_eq(feed_message(&f, 0), "a.xml:2: warning: element 'batch' 'B-1': 'place' names "
                                          "'bnech', and there is no place of that id (did you mean "
                                          "'bench'?)");
    ck_assert_str_eq(feed_message(&f, 1), "a.xml:3: warning: element 'batch' 'B-2': 'parent' names "
                                          "'B-7', and there is no batch of that id (did you mean "
                                          "'B-1'?)");
    ck_assert_str_eq(feed_message(&f, 2),
                     "a.xml:3: warning: element 'charge' 'B-2': 'receipt' names "
                     "'R-1', and there is no receipt of that id");
    feed_free(&f);
}
END_TEST

START_TEST(materials_may_stand_in_the_shipped_catalogue)
{
    struct feed f = feed_new();
    struct sbuf data = SBUF_INIT;

    sbuf_printf(&data, "%s/data", getenv("LW_SRCDIR"));
    ck_assert_msg(catalogue_load(store_db(f.s), data.s, f.d), "%s", feed_message(&f, 0));
    ck_assert(feed_xml(&f, "<records><material id=\"mine\"/>\n"
                           "<receipt id=\"R-1\" material=\"civet-african\"/>\n"
                           "<receipt id=\"R-2\" material=\"mine\"/>\n"
                           "<receipt id=\"R-3\" material=\"civett-african\"/></records>"));
    ck_assert(store_finish(f.s, f.d));
    ck_assert_uint_eq(diags_count(f.d), 1);
    ck_assert_int_eq(diags_at(f.d, 0)->line, 4);
    sbuf_free(&data);
    feed_free(&f);
}
END_TEST

START_TEST(many_dangling_references_are_counted)
{
    struct feed f = feed_new();
    struct sbuf text = SBUF_INIT;

    sbuf_puts(&text, "<records>");
    for (int i = 0; i < 500; i++) {
        sbuf_printf(&text, "<batch id=\"B-%d\" place=\"nowhere\"/>", i);
    }
    sbuf_puts(&text, "</records>");
    ck_assert(feed_xml(&f, text.s));
    ck_assert(store_finish(f.s, f.d));
    ck_assert_uint_eq(diags_count(f.d), 201);
    ck_assert_str_eq(feed_message(&f, 200),
                     "warning: 300 more references name records that are not there");
    sbuf_free(&text);
    feed_free(&f);
}
END_TEST

START_TEST(an_id_given_twice)
{
    static const char second[] =
        "<records decimal=\"comma\">\n\n<batch start=\"2026-03-04\" id=\"B-1\" "
        "fill=\"2 qt us\"><charge quantity=\" 4 g\"/></batch></records>";
    struct feed f = feed_new();

    ck_assert(feed_xml(&f,
                       "<records units=\"us\">\n<batch id=\"B-1\" fill=\"2 qt\" start=\"4 March "
                       "2026\"><charge quantity=\"4 g\"/></batch></records>"));
    ck_assert(reader_xml("b.xml", second, strlen(second), store_sink, f.s, &f.counts, f.d));
    ck_assert_uint_eq(store_counts(f.s).same, 1);
    ck_assert_uint_eq(store_counts(f.s).conflict, 0);
    ck_assert_str_eq(feed_message(&f, 0),
                     "b.xml:3: note: batch 'B-1' is the same, word for word, as "
                     "at a.xml:2; read once");
    ck_assert(feed_xml(&f,
                       "<records>\n\n<batch id=\"B-1\" fill=\"2.0 qt us\" start=\"2026-03-04\"/>"
                       "</records>"));
    ck_assert_uint_eq(store_counts(f.s).conflict, 1);
    ck_assert_str_eq(
        feed_message(&f, 1),
        "a.xml:3: error: batch 'B-1' is already at a.xml:2, with other content (fill: 2 "
        "qt-us there, 2.0 qt-us here); this one is kept out (give one of them another "
        "id, or take one out)");
    ck_assert_str_eq(feed_ask(&f, "SELECT kind||id||file||line||first_file||first_line FROM "
                                  "rec_conflict"),
                     "batchB-1a.xml3a.xml2");
    ck_assert(feed_xml(&f, "<records><batch id=\"B-1\" fill=\"2 qt us\" start=\"2026-03-04\">"
                           "<charge quantity=\"5 g\"/></batch></records>"));
    ck_assert_uint_eq(store_counts(f.s).conflict, 2);
    ck_assert_str_eq(feed_ask(&f, "SELECT count(*) FROM rec_batch"), "1");
    ck_assert_str_eq(feed_ask(&f, "SELECT count(*) FROM rec_charge"), "1");
    /* Another kind may have the same id. */
    ck_assert(feed_xml(&f, "<records><receipt id=\"B-1\"/></records>"));
    ck_assert_uint_eq(store_counts(f.s).conflict, 2);
    ck_assert_uint_eq(store_counts(f.s).added, 2);
    feed_free(&f);
}
END_TEST

START_TEST(add_checks_what_no_reader_checked)
{
    struct feed f = feed_new();
    struct record *r = record_new(dict_find("batch"), NULL, 0);
    struct record *c = record_new(dict_find("charge"), NULL, 0);

    ck_assert_int_eq(store_add(f.s, r, &RECORD_CANONICAL, f.d), STORE_REFUSED);
    ck_assert(record_set(r, "id", "  B-1 "));
    ck_assert(!record_set(r, "colour", "red"));
    ck_assert_str_eq(record_id(r), "B-1");
    ck_assert_int_eq(store_add(f.s, r, &RECORD_CANONICAL, f.d), STORE_ADDED);
    ck_assert_int_eq(store_add(f.s, r, &RECORD_CANONICAL, f.d), STORE_SAME);
    ck_assert(record_set(r, "fill", "2"));
    ck_assert_int_eq(store_add(f.s, r, &RECORD_CANONICAL, f.d), STORE_REFUSED);
    ck_assert(record_set(r, "fill", "2 L"));
    ck_assert_int_eq(store_add(f.s, r, &RECORD_CANONICAL, f.d), STORE_CONFLICT);
    ck_assert_int_eq(store_add(f.s, c, &RECORD_CANONICAL, f.d), STORE_REFUSED);
    c->parent_id = mem_strdup("B-1");
    ck_assert_int_eq(store_add(f.s, c, &RECORD_CANONICAL, f.d), STORE_ADDED);
    ck_assert(store_finish(f.s, f.d));
    ck_assert_str_eq(feed_ask(&f, "SELECT count(*) FROM rec_charge"), "1");
    record_free(r);
    record_free(c);
    record_free(NULL);
    feed_free(&f);
}
END_TEST

/* XML to tables to XML to tables: the second text is the first, and so are the tables. */
START_TEST(export_and_read_again)
{
    struct feed f = feed_new();
    struct feed g = feed_new();
    char *first = NULL;

    ck_assert(feed_xml(&f, two_batches));
    ck_assert(store_finish(f.s, f.d));
    first = mem_strdup(feed_dump(&f));
    ck_assert_ptr_nonnull(strstr(first, "vessel-label=\"a &lt; b&#10;second line\""));
    ck_assert(feed_xml(&g, first));
    ck_assert(store_finish(g.s, g.d));
    ck_assert_uint_eq(diags_count(g.d), 0);
    ck_assert_str_eq(feed_dump(&g), first);
    mem_free(first);
    feed_free(&f);
    feed_free(&g);
}
END_TEST

/* Every table of `f` and `g` has the same rows, but for where and when they were read. */
static void same_tables(struct feed *f, struct feed *g)
{
    size_t count = 0;
    const struct dict_element *all = dict_elements(&count);

    for (size_t i = 1; i < count; i++) {
        struct sbuf sql = SBUF_INIT;
        char table[80];
        char *want = NULL;

        dict_column(all[i].name, table, sizeof table);
        sbuf_puts(&sql, "SELECT group_concat(x,char(10)) FROM (SELECT ''");
        sqlite3_stmt *q = NULL;
        char info[200];
        snprintf(info, sizeof info,
                 "SELECT name FROM pragma_table_info('rec_%s') WHERE name NOT IN "
                 "('rid','file','line','seq')",
                 table);
        ck_assert_int_eq(sqlite3_prepare_v2(store_db(f->s), info, -1, &q, NULL), SQLITE_OK);
        while (sqlite3_step(q) == SQLITE_ROW) {
            sbuf_printf(&sql, "||'|'||quote(\"%s\")", (const char *)sqlite3_column_text(q, 0));
        }
        sqlite3_finalize(q);
        sbuf_printf(&sql, " AS x FROM rec_%s ORDER BY rid)", table);
        want = mem_strdup(feed_ask(f, sql.s));
        ck_assert_str_eq(feed_ask(g, sql.s), want);
        mem_free(want);
        sbuf_free(&sql);
    }
}

START_TEST(csv_gives_the_same_tables_as_xml)
{
    struct feed f = feed_new();
    struct feed g = feed_new();
    size_t count = 0;
    const struct dict_element *all = dict_elements(&count);
    unsigned long total = 0;

    ck_assert(feed_xml(&f, two_batches));
    ck_assert(store_finish(f.s, f.d));
    for (size_t i = count - 1; i > 0; i--) { /* children before their parents */
        struct sbuf text = SBUF_INIT;
        char name[80];
        unsigned long rows = 0;

        ck_assert(export_csv(f.s, all[i].name, feed_append, &text, &rows));
        snprintf(name, sizeof name, "%s.csv", all[i].name);
        ck_assert_int_eq(rows == 0, text.len == 0);
        if (rows > 0) {
            ck_assert_msg(feed_csv(&g, name, text.s), "%s", feed_message(&g, 0));
        }
        total += rows;
        sbuf_free(&text);
    }
    ck_assert(store_finish(g.s, g.d));
    ck_assert_msg(diags_count(g.d) == 0, "%s", feed_message(&g, 0));
    ck_assert_uint_eq(total, 15);
    ck_assert_uint_eq(store_counts(g.s).added, 15);
    same_tables(&f, &g);
    feed_free(&f);
    feed_free(&g);
}
END_TEST

START_TEST(csv_export_to_the_letter)
{
    struct feed f = feed_new();
    struct sbuf text = SBUF_INIT;
    unsigned long rows = 0;

    ck_assert(feed_xml(&f, two_batches));
    ck_assert(export_csv(f.s, "charge", feed_append, &text, &rows));
    ck_assert_uint_eq(rows, 3);
    ck_assert_str_eq(text.s, "batch,receipt,material,quantity\nB-1,R-1,,100 g\nB-1,R-2,,about 1 "
                             "qt-us\nB-1,,orris,n/a\n");
    sbuf_clear(&text);
    ck_assert(export_csv(f.s, "batch", feed_append, &text, NULL));
    ck_assert_str_eq(text.s,
                     "id,ratio,start,fill,vessel-label,parent,by\n"
                     "B-1,1:10,2026-01-06,2 qt-us,,,ann\nB-2,,,,\"a < b\nsecond line\",B-1,\n");
    ck_assert(!export_csv(f.s, "spell", feed_append, &text, NULL));
    ck_assert(!export_csv(f.s, "records", feed_append, &text, NULL));
    sbuf_free(&text);
    feed_free(&f);
}
END_TEST

/* What a spreadsheet would run is written as text, and reads back as it was. The characters are
 * those of the OWASP page "CSV Injection". */
START_TEST(no_cell_of_an_export_is_a_formula)
{
    static const struct {
        const char *note, *cell;
    } cases[] = {{"=1+1", "'=1+1"},
                 {"=cmd|' /C calc'!A0", "'=cmd|' /C calc'!A0"},
                 {"+1+1", "'+1+1"},
                 {"-2+3+cmd", "'-2+3+cmd"},
                 {"@SUM(A1)", "'@SUM(A1)"},
                 {"'=1", "''=1"},
                 {"''@x", "'''@x"},
                 {"'tis", "'tis"},
                 {"'", "'"},
                 {"=a,b", "\"'=a,b\""},
                 {"-18 degC", "-18 degC"},
                 {"+4", "+4"},
                 {"-", "'-"},
                 {"a=b", "a=b"}};
    for (size_t i = 0; i < LW_COUNT(cases); i++) {
        struct feed f = feed_new(), g = feed_new();
        struct sbuf text = SBUF_INIT, want = SBUF_INIT;
        struct record *r = record_new(dict_find("person"), "x", 1);

        ck_assert(record_set(r, "id", "p") && record_set(r, "name", cases[i].note));
        ck_assert_int_eq(store_add(f.s, r, &RECORD_CANONICAL, f.d), STORE_ADDED);
        record_free(r);
        ck_assert(export_csv(f.s, "person", feed_append, &text, NULL));
        sbuf_printf(&want, "id,name\np,%s\n", cases[i].cell);
        ck_assert_str_eq(text.s, want.s);
        ck_assert_msg(feed_csv(&g, "person.csv", text.s), "%s", feed_message(&g, 0));
        r = store_get(g.s, "person", "p");
        ck_assert_ptr_nonnull(r);
        ck_assert_str_eq(record_get(r, "name"), cases[i].note);
        record_free(r);
        sbuf_free(&text);
        sbuf_free(&want);
        feed_free(&f);
        feed_free(&g);
    }
}
END_TEST

START_TEST(get_one_record)
{
    struct feed f = feed_new();
    struct record *r = NULL;

    ck_assert(feed_xml(&f, two_batches));
    r = store_get(f.s, "batch", "B-1");
    ck_assert_ptr_nonnull(r);
    ck_assert_str_eq(record_get(r, "fill"), "2 qt-us");
    ck_assert_uint_eq(r->child_count, 4);
    ck_assert_str_eq(r->children[2]->element->name, "step");
    ck_assert_str_eq(record_get(r->children[2], "date"), "2026-01-07T08:00");
    ck_assert_int_eq(r->line, 7);
    ck_assert_str_eq(r->file, "a.xml");
    record_free(r);
    ck_assert_ptr_null(store_get(f.s, "batch", "B-9"));
    ck_assert_ptr_null(store_get(f.s, "charge", "R-1"));
    ck_assert_ptr_null(store_get(f.s, "spell", "x"));
    ck_assert_ptr_null(store_get(f.s, "records", "x"));
    ck_assert_ptr_null(store_get(f.s, "batch", NULL));
    feed_free(&f);
}
END_TEST

static bool stop_at_second(const struct record *r, void *user)
{
    (void)r;
    return ++*(int *)user < 2;
}

START_TEST(each_goes_in_order_of_arrival_and_can_be_stopped)
{
    struct feed f = feed_new();
    int calls = 0;

    ck_assert(
        feed_xml(&f, "<records><place id=\"a\"/><batch id=\"b\"/><place id=\"c\"/></records>"));
    ck_assert_str_eq(feed_dump(&f), "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<records>\n"
                                    "<place id=\"a\"/>\n<batch id=\"b\"/>\n<place id=\"c\"/>\n"
                                    "</records>\n");
    ck_assert(!store_each(f.s, NULL, stop_at_second, &calls));
    ck_assert_int_eq(calls, 2);
    sbuf_clear(&f.text);
    ck_assert(export_xml(f.s, "place", feed_append, &f.text));
    ck_assert_ptr_null(strstr(f.text.s, "batch"));
    feed_free(&f);
}
END_TEST

START_TEST(origins)
{
    struct feed f = feed_new();

    store_set_origin(f.s, "book");
    ck_assert(feed_xml(&f, "<records><batch id=\"a\"/></records>"));
    store_set_origin(f.s, "plan");
    ck_assert(feed_csv(&f, "charge.csv", "batch,quantity\na,4 g\n"));
    store_set_origin(f.s, "file");
    ck_assert(store_finish(f.s, f.d));
    ck_assert_str_eq(feed_ask(&f, "SELECT origin FROM rec_batch"), "book");
    ck_assert_str_eq(feed_ask(&f, "SELECT origin FROM rec_charge"), "plan");
    feed_free(&f);
}
END_TEST

UNIT_MAIN("record store", converts_every_quantity, references_are_listed_one_by_one,
          dangling_references_are_told_with_a_near_name,
          materials_may_stand_in_the_shipped_catalogue, many_dangling_references_are_counted,
          an_id_given_twice, add_checks_what_no_reader_checked, export_and_read_again,
          csv_gives_the_same_tables_as_xml, csv_export_to_the_letter,
          no_cell_of_an_export_is_a_formula, get_one_record,
          each_goes_in_order_of_arrival_and_can_be_stopped, origins)
