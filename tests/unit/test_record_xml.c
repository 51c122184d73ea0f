/* XML record files: what is read, the messages to the letter, and hostile files. */
#include "unit.h"

#include <sys/stat.h>
#include <unistd.h>

#include "record_support.h"

#define HEAD "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"

/* One fatal message that holds `code` and `words`, nothing kept from after the trouble. */
static void refuse_n(const char *text, size_t n, const char *code, const char *words)
{
    struct feed f = feed_new();

    (void)feed_xml_n(&f, text, n);
    ck_assert_msg(!f.counts.whole, "%s: read whole", code);
    ck_assert_uint_eq(diags_count_level(f.d, DIAG_FATAL), 1);
    ck_assert_str_eq(diags_at(f.d, diags_count(f.d) - 1)->code, code);
    ck_assert_msg(strstr(feed_message(&f, diags_count(f.d) - 1), words) != NULL, "%s", f.text.s);
    feed_free(&f);
}

static void refuse(const char *text, const char *code, const char *words)
{
    refuse_n(text, strlen(text), code, words);
}

/* The first error message, whole. */
static void told(const char *body, const char *message)
{
    struct feed f = feed_new();
    struct sbuf text = SBUF_INIT;

    sbuf_printf(&text, "<records>\n%s</records>\n", body);
    ck_assert(feed_xml(&f, text.s));
    ck_assert(f.counts.whole);
    ck_assert_uint_eq(f.counts.refused, 1);
    ck_assert_str_eq(feed_message(&f, 0), message);
    sbuf_free(&text);
    feed_free(&f);
}

START_TEST(reads_records_and_their_children)
{
    struct feed f = feed_new();

    ck_assert(feed_xml(&f,
                       HEAD "<records units=\"us\" decimal=\"comma\">\n"
                            "<!-- a note -->\n"
                            "<place id='bench'/>\n"
                            "<batch id=\"B-1\" fill=\"1,5 qt\" product=\"a &amp; &#98; &lt;c&gt; "
                            "&quot;&apos; &#38;amp;\"\n   place=\"bench\">\n"
                            "  <charge material=\"orris\"\n    quantity=\"400 g\"/>\n"
                            "  <step kind=\"shake\" date=\"2026-03-05 09:05\"/>\n"
                            "  <charge material=\"ethanol\" quantity=\"2 qt\"/>\n"
                            "</batch></records>"));
    ck_assert(f.counts.whole);
    ck_assert_uint_eq(f.counts.read, 2);
    ck_assert_uint_eq(f.counts.refused, 0);
    ck_assert(store_finish(f.s, f.d));
    ck_assert_uint_eq(diags_count_level(f.d, DIAG_ERROR), 0);
    ck_assert_str_eq(feed_dump(&f),
                     "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<records>\n"
                     "<place id=\"bench\"/>\n"
                     "<batch id=\"B-1\" product=\"a &amp; b &lt;c&gt; &quot;' &amp;amp;\" "
                     "place=\"bench\" fill=\"1.5 qt-us\">"
                     "<charge material=\"orris\" quantity=\"400 g\"/>"
                     "<step kind=\"shake\" date=\"2026-03-05T09:05\"/>"
                     "<charge material=\"ethanol\" quantity=\"2 qt-us\"/></batch>\n</records>\n");
    ck_assert_str_eq(feed_ask(&f, "SELECT group_concat(line) FROM rec_charge"), "7,10");
    ck_assert_str_eq(feed_ask(&f, "SELECT line FROM rec_batch"), "5");
    feed_free(&f);
}
END_TEST

START_TEST(messages_say_where_what_and_what_to_type)
{
    told("<receipt id=\"R-1\" quanttiy=\"4 g\"/>",
         "a.xml:2: error: element 'receipt': unknown attribute 'quanttiy' (did you mean "
         "'quantity'?)");
    told("<bacth id=\"B-1\"><charge/></bacth>",
         "a.xml:2: error: unknown element 'bacth' in 'records' (did you mean 'batch'?)");
    told("<charge material=\"x\"/>",
         "a.xml:2: error: misplaced element 'charge' in 'records' ('charge' stands in 'batch')");
    told("<place id=\"p\"><place id=\"q\"/></place>",
         "a.xml:2: error: misplaced element 'place' in 'place' ('place' stands in 'records')");
    told("<place/>", "a.xml:2: error: element 'place': attribute 'id' is missing (add id=\"...\": "
                     "Short name used by other records.)");
    told("<batch id=\"B-1\" state=\"Planned\"/>",
         "a.xml:2: error: element 'batch' 'B-1': attribute 'state' is 'Planned': not one of the "
         "words "
         "it may be (did you mean 'planned'? one of: planned steeping strained bottled released "
         "void)");
    told("<batch id=\"B-1\">a note</batch>", "a.xml:2: error: element 'batch' holds text: records "
                                             "are written in attributes (write it in "
                                             "an attribute, such as note=\"...\")");
    told("<batch id=\"B-1\"><![CDATA[a note]]></batch>",
         "a.xml:2: error: element 'batch' holds text: records are written in attributes (write it "
         "in "
         "an attribute, such as note=\"...\")");
    told("<x:batch id=\"B-1\"/>",
         "a.xml:2: error: unknown element 'x:batch' in 'records' (did you mean 'batch'?)");
}
END_TEST

START_TEST(a_control_character_never_reaches_the_terminal)
{
    told(
        "<batch id=\"B&#x9B;1\"/>",
        "a.xml:2: error: element 'batch' 'B<U+009B>1': attribute 'id' is 'B<U+009B>1': has a "
        "character that an id cannot hold (use letters A-Z a-z, digits and . _ - / + only, with no "
        "spaces)");
}
END_TEST

START_TEST(one_bad_record_does_not_stop_the_rest)
{
    struct feed f = feed_new();

    ck_assert(feed_xml(&f,
                       "<records><place id=\"a\"/>\n"
                       "<place id=\"b\" colour=\"red\" airless=\"yes\"/>\n"
                       "<batch id=\"c\"><charge quantity=\"4\"/><spell><spell/></spell></batch>\n"
                       "stray words\n"
                       "<place id=\"d\"/></records>"));
    ck_assert(f.counts.whole);
    ck_assert_uint_eq(f.counts.read, 2);
    ck_assert_uint_eq(f.counts.refused, 2);
    ck_assert_uint_eq(diags_count_level(f.d, DIAG_ERROR), 5);
    ck_assert_str_eq(feed_ask(&f, "SELECT group_concat(id) FROM rec_place"), "a,d");
    ck_assert_str_eq(feed_ask(&f, "SELECT count(*) FROM rec_batch"), "0");
    feed_free(&f);
}
END_TEST

START_TEST(lines_beyond_65535_are_right)
{
    struct feed f = feed_new();
    struct sbuf text = SBUF_INIT;

    sbuf_puts(&text, "<records>");
    sbuf_pad(&text, '\n', 70000);
    sbuf_puts(&text, "<place id=\"p\" in=\"nowhere\"\n\n/><place\n id=\"q\" oops=\"\"/></records>");
    ck_assert(feed_xml(&f, text.s));
    ck_assert_str_eq(feed_ask(&f, "SELECT line FROM rec_place"), "70001");
    ck_assert_int_eq(diags_at(f.d, 0)->line, 70003);
    sbuf_free(&text);
    feed_free(&f);
}
END_TEST

START_TEST(doctypes_entities_and_includes_are_refused)
{
    refuse(HEAD "<!DOCTYPE records [<!ENTITY a \"aaaaaaaaaa\"><!ENTITY b \"&a;&a;&a;&a;&a;&a;\">"
                "<!ENTITY c \"&b;&b;&b;&b;&b;&b;\"><!ENTITY d \"&c;&c;&c;&c;&c;&c;\">]>"
                "<records><place id=\"p\" note=\"&d;\"/></records>",
           "doctype", "a.xml:2: ");
    refuse("<!DOCTYPE records SYSTEM \"file:///etc/passwd\"><records/>", "doctype", "DOCTYPE");
    refuse("<!DOCTYPE r [<!ENTITY x SYSTEM \"file:///etc/passwd\">]><records>&x;</records>",
           "doctype", "DOCTYPE");
    refuse("<records><place id=\"p\" note=\"&x;\"/></records>", "entity", "'&x;'");
    refuse("<records>&x;</records>", "entity", "'&x;'");
    refuse("<records><?php echo 1 ?></records>", "processing-instruction", "'php'");
    refuse("<?xml-stylesheet href=\"a.xsl\"?><records/>", "processing-instruction",
           "xml-stylesheet");
    refuse("<records xmlns:xi=\"http://www.w3.org/2001/XInclude\"><xi:include "
           "href=\"/etc/passwd\"/></records>",
           "namespace", "namespace");
    refuse("<records><xi:include xmlns:xi=\"http://www.w3.org/2001/XInclude\" "
           "href=\"/etc/passwd\" parse=\"text\"/></records>",
           "xinclude", "include another file");
    refuse("<records xmlns=\"urn:x\"/>", "namespace", "namespace");
}
END_TEST

START_TEST(sizes_and_depths_are_bounded)
{
    struct feed f = feed_new();
    struct sbuf text = SBUF_INIT;

    sbuf_puts(&text, "<records>");
    for (int i = 0; i < 300; i++) {
        sbuf_puts(&text, "<batch>");
    }
    refuse(text.s, "too-deep", "more than 64 deep");
    sbuf_clear(&text);
    sbuf_puts(&text, "<records>\n<place id=\"p\" note=\"");
    sbuf_pad(&text, 'x', (size_t)20 * 1024 * 1024);
    sbuf_puts(&text, "\"/></records>");
    refuse_n(text.s, text.len, "too-large", "a.xml:2: fatal: attribute 'note' does not end");
    sbuf_clear(&text);
    sbuf_puts(&text, "<records><!--");
    sbuf_pad(&text, 'x', (size_t)20 * 1024 * 1024);
    refuse_n(text.s, text.len, "too-large", "tag or comment");
    sbuf_clear(&text);
    sbuf_puts(&text, "<records><place id=\"p\" note=\"");
    sbuf_pad(&text, 'x', READER_ATTR_BYTES + 1);
    sbuf_puts(&text, "\"/><place id=\"q\" note=\"");
    sbuf_pad(&text, 'x', READER_ATTR_BYTES);
    sbuf_puts(&text, "\"/></records>");
    ck_assert(feed_xml(&f, text.s));
    ck_assert_uint_eq(f.counts.read, 1);
    ck_assert_uint_eq(f.counts.refused, 1);
    ck_assert_str_eq(diags_at(f.d, 0)->code, "too-large");
    sbuf_free(&text);
    feed_free(&f);
}
END_TEST

/* A file of errors is told of a thousand times, not a million. */
START_TEST(messages_are_bounded)
{
    struct feed f = feed_new();
    struct sbuf text = SBUF_INIT;

    sbuf_puts(&text, "<records>");
    for (int i = 0; i < 5000; i++) {
        sbuf_puts(&text, "<oops/>\n");
    }
    sbuf_puts(&text, "<place id=\"p\"/></records>");
    ck_assert(feed_xml(&f, text.s));
    ck_assert_uint_eq(f.counts.refused, 5000);
    ck_assert_uint_eq(f.counts.read, 1);
    ck_assert_uint_eq(diags_count(f.d), 1001);
    sbuf_free(&text);
    feed_free(&f);
}
END_TEST

START_TEST(other_encodings_are_refused)
{
    static const char utf16[] = "\xFF\xFE<\0r\0e\0c\0o\0r\0d\0s\0/\0>\0";
    static const char bare16[] = "<\0r\0e\0c\0o\0r\0d\0s\0/\0>\0";

    refuse_n(utf16, sizeof utf16 - 1, "not-utf8", "UTF-16");
    refuse_n(bare16, sizeof bare16 - 1, "not-utf8", "UTF-16");
    refuse("<?xml version=\"1.0\" encoding=\"ISO-8859-1\"?><records/>", "not-utf8", "'ISO-8859-1'");
    refuse("<?xml version='1.0' encoding = 'windows-1252' ?><records/>", "not-utf8",
           "'windows-1252'");
    refuse("<?xml version=\"1.0\" encoding=\"UTF-7\"?><records/>", "not-utf8", "'UTF-7'");
    struct feed f = feed_new();
    ck_assert(feed_xml(&f, "\xEF\xBB\xBF" HEAD "<records><place id=\"p\"/></records>"));
    ck_assert_uint_eq(f.counts.read, 1);
    feed_free(&f);
}
END_TEST

START_TEST(ill_formed_utf8_is_refused_at_its_line)
{
    /* Unicode 15, table 3-7: overlong, surrogate, above the last code point, bare continuation. */
    static const char *const bytes[] = {"\xC0\xAF", "\xED\xA0\x80", "\xF4\x90\x80\x80",
                                        "\x80",     "\xE9",         "\xF8\x88\x80\x80\x80"};
    struct sbuf text = SBUF_INIT;

    for (size_t i = 0; i < LW_COUNT(bytes); i++) {
        sbuf_clear(&text);
        sbuf_printf(&text, "<records>\n\n<place id=\"p\" note=\"%s\"/></records>", bytes[i]);
        refuse(text.s, "not-utf8", "a.xml:3: ");
    }
    sbuf_clear(&text);
    sbuf_puts(&text, "<records><!-- \xE2\x82"); /* cut inside a character */
    refuse(text.s, "not-utf8", "not UTF-8");
    sbuf_free(&text);
}
END_TEST

/* Pieces may end anywhere, inside a character or a CRLF too. */
START_TEST(pieces_of_any_size_read_the_same)
{
    static const char text[] = HEAD "<records>\r\n<place id=\"p\" name=\"caf\xC3\xA9 \xE2\x82\xAC "
                                    "\xF0\x9F\x8C\xB8\"/>\r\n<place id=\"q\"/></records>";

    for (size_t piece = 1; piece < sizeof text; piece++) {
        struct feed f = feed_new();
        struct xml_reader *x = xml_reader_new("a.xml", store_sink, f.s, &f.counts, f.d);
        for (size_t at = 0; at < sizeof text - 1; at += piece) {
            size_t n = sizeof text - 1 - at < piece ? sizeof text - 1 - at : piece;
            ck_assert_msg(xml_reader_push(x, text + at, n), "piece %zu at %zu", piece, at);
        }
        ck_assert(xml_reader_end(x));
        xml_reader_free(x);
        ck_assert_str_eq(feed_ask(&f, "SELECT name FROM rec_place WHERE id='p'"),
                         "caf\xC3\xA9 \xE2\x82\xAC \xF0\x9F\x8C\xB8");
        ck_assert_str_eq(feed_ask(&f, "SELECT line FROM rec_place WHERE id='q'"), "4");
        feed_free(&f);
    }
}
END_TEST

START_TEST(truncated_files_say_so_and_keep_what_was_whole)
{
    static const char text[] = HEAD "<records>\n<place id=\"p\"/>\n<batch id=\"B-1\">\n"
                                    "<charge quantity=\"4 g\"/></batch>\n</records>";
    const char *batch_end = strstr(text, "</batch>") + strlen("</batch>");

    for (size_t n = 0; n < sizeof text - 1; n++) {
        struct feed f = feed_new();
        (void)feed_xml_n(&f, text, n);
        ck_assert_msg(!f.counts.whole, "%zu bytes read as whole", n);
        ck_assert_uint_ge(diags_count_level(f.d, DIAG_FATAL), 1);
        ck_assert_uint_eq(f.counts.refused, 0);
        ck_assert_str_eq(feed_ask(&f, "SELECT count(*) FROM rec_batch"),
                         text + n >= batch_end ? "1" : "0");
        feed_free(&f);
    }
    refuse("<records>\n<batch id=\"B-1\">\n", "cut-off", "batch is not closed");
    refuse("<records>\n<place id=\"p\"/>", "cut-off", "<records> is not closed");
}
END_TEST

START_TEST(files_that_are_no_record_files)
{
    refuse("", "empty", "empty");
    refuse("   \n", "not-well-formed", "");
    refuse("<html><body/></html>", "not-records", "'html'");
    refuse("<batch id=\"B-1\"/>", "not-records", "'batch'");
    refuse("not xml at all", "not-well-formed", "a.xml:1: ");
    refuse("<records><place id=\"p\"></records>", "not-well-formed", "mismatch");
    refuse("<records><place id=\"p\" id=\"q\"/></records>", "not-well-formed", "redefined");
    refuse("<records/><records/>", "not-well-formed", "");
    refuse("<records units=\"metric\"/>", "bad-declaration", "nothing was read");
    refuse("<records unit=\"us\"/>", "bad-declaration", "nothing was read");
    refuse_n("<records>\0</records>", 20, "zero-byte", "zero byte");
    refuse_n("\0\0\0\0\0\0", 6, "zero-byte", "zero byte");
}
END_TEST

/* ---- files ---- */

static char folder[256];

static const char *path_of(const char *name)
{
    static char path[400];

    snprintf(path, sizeof path, "%s/%s", folder, name);
    return path;
}

static void write_file(const char *name, const char *text)
{
    FILE *out = fopen(path_of(name), "wb");

    ck_assert_ptr_nonnull(out);
    fputs(text, out);
    fclose(out);
}

static void refuse_file(const char *path)
{
    struct feed f = feed_new();

    ck_assert_msg(!reader_file(path, store_sink, f.s, &f.counts, f.d), "%s", path);
    ck_assert(!f.counts.whole);
    ck_assert_uint_ge(diags_count_level(f.d, DIAG_ERROR), 1);
    ck_assert_msg(strstr(feed_message(&f, 0), path) != NULL, "%s", f.text.s);
    feed_free(&f);
}

START_TEST(only_regular_files_are_read)
{
    struct feed f = feed_new();
    const char *tmp = getenv("TMPDIR");

    snprintf(folder, sizeof folder, "%s/lotward-xml-XXXXXX", tmp != NULL ? tmp : "/tmp");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    refuse_file(folder);
    refuse_file("/dev/null");
    refuse_file("/dev/zero");
    refuse_file(path_of("absent.xml"));
    ck_assert_int_eq(mkfifo(path_of("pipe.xml"), 0600), 0);
    refuse_file(path_of("pipe.xml"));
    write_file("none.xml", "");
    refuse_file(path_of("none.xml"));
    write_file("word.doc", "PK not a record");
    refuse_file(path_of("word.doc"));
    write_file("good.txt", "  \n<records><place id=\"p\"/></records>");
    ck_assert(reader_file(path_of("good.txt"), store_sink, f.s, &f.counts, f.d));
    write_file("place.txt", "id,name\nq,Room\n");
    ck_assert(reader_file(path_of("place.txt"), store_sink, f.s, &f.counts, f.d));
    ck_assert_uint_eq(f.counts.read, 2);
    feed_free(&f);
    static const char *const names[] = {"pipe.xml", "none.xml", "word.doc", "good.txt",
                                        "place.txt"};
    for (size_t i = 0; i < LW_COUNT(names); i++) {
        unlink(path_of(names[i]));
    }
    rmdir(folder);
}
END_TEST

static bool stop_at_once(struct record *r, const struct record_context *ctx, void *user)
{
    (void)ctx;
    ++*(int *)user;
    record_free(r);
    return false;
}

START_TEST(a_sink_that_says_stop_is_obeyed)
{
    static const char text[] = "<records><place id=\"p\"/><place id=\"q\"/></records>";
    struct reader_counts counts = {0, 0, true};
    struct diags *d = diags_new();
    int calls = 0;

    (void)reader_xml("a.xml", text, sizeof text - 1, stop_at_once, &calls, &counts, d);
    ck_assert_int_eq(calls, 1);
    ck_assert(!counts.whole);
    calls = 0;
    (void)reader_csv("place.csv", "id\np\nq\n", 7, stop_at_once, &calls, &counts, d);
    ck_assert_int_eq(calls, 1);
    ck_assert(!counts.whole);
    diags_free(d);
}
END_TEST

UNIT_MAIN("record xml", reads_records_and_their_children, messages_say_where_what_and_what_to_type,
          a_control_character_never_reaches_the_terminal, one_bad_record_does_not_stop_the_rest,
          lines_beyond_65535_are_right, doctypes_entities_and_includes_are_refused,
          sizes_and_depths_are_bounded, messages_are_bounded, other_encodings_are_refused,
          ill_formed_utf8_is_refused_at_its_line, pieces_of_any_size_read_the_same,
          truncated_files_say_so_and_keep_what_was_whole, files_that_are_no_record_files,
          only_regular_files_are_read, a_sink_that_says_stop_is_obeyed)
