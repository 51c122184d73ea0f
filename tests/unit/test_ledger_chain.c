/* The chain: the documented text and its hash, and that no change behind the program's back hides.
 */
#include "ledger_support.h"

START_TEST(hash_is_what_the_header_says)
{
    /* The row's text written out by hand from ledger.h, hashed as one string. */
    static const char zeros[] =
        "64:0000000000000000000000000000000000000000000000000000000000000000,";
    struct sbuf text = SBUF_INIT;
    struct sha256 h;
    unsigned char digest[SHA256_BYTES];
    char hex[SHA256_HEX + 1];
    struct record *r = receipt("R-1", "400 g");
    fresh();
    make_book(1);
    sbuf_puts(&text, "lotward-entry-1\n");
    sbuf_puts(&text, zeros);
    sbuf_puts(&text, "1:1,20:" NOON ",7:receipt,3:R-1,4:file,-,-,-,11:records.xml,1:7,");
    struct sbuf xml = SBUF_INIT;
    record_canonical_xml(r, &RECORD_CANONICAL, &xml);
    sbuf_printf(&text, "%zu:%s,", xml.len, xml.s);
    sha256_init(&h);
    sha256_add(&h, text.s, text.len);
    sha256_end(&h, digest);
    struct ledger_check c = verify(NULL);
    ck_assert(c.whole);
    ck_assert_str_eq(c.head, sha256_hex(digest, hex));
    sbuf_free(&text);
    sbuf_free(&xml);
    record_free(r);
    TIDY("book.lotward");
}
END_TEST

/* A book of five entries, the third an amendment of the first. */
static void five(void)
{
    fresh();
    make_book(2);
    struct ledger *l = ledger_open(book, LEDGER_WRITE, said);
    ck_assert_ptr_nonnull(l);
    ck_assert_int_eq(file_one(l, LEDGER_AMEND, "R-1", "450 g"), LEDGER_ADDED);
    ck_assert_int_eq(file_one(l, LEDGER_FILE, "R-3", "1 kg"), LEDGER_ADDED);
    ck_assert_int_eq(file_one(l, LEDGER_FILE, "R-4", "2 kg"), LEDGER_ADDED);
    ledger_close(l);
    struct ledger_check c = verify(NULL);
    ck_assert_msg(c.whole, "%s", c.why);
    ck_assert_int_eq(c.entries, 5);
    ck_assert_int_eq(c.records, 4);
}

START_TEST(every_column_is_held)
{
    static const char *const changes[] = {
        "update entry set filed='2026-03-04T12:00:01Z' where seq=3",
        "update entry set kind='sale' where seq=3",
        "update entry set id='R-9' where seq=3",
        "update entry set action='file' where seq=3",
        "update entry set amends=2 where seq=3",
        "update entry set amends=NULL where seq=3",
        "update entry set who='bert' where seq=3",
        "update entry set who=NULL where seq=3",
        "update entry set who='' where seq=3",
        "update entry set why='weighed agai', source_file='n'||source_file where seq=3",
        "update entry set source_file=NULL where seq=3",
        "update entry set source_line=8 where seq=3",
        "update entry set source_line=NULL where seq=3",
        "update entry set xml=replace(xml,'450','405') where seq=3",
        "update entry set xml=xml||char(0)||'x' where seq=3",
        "update entry set prev=substr(prev,2)||'0' where seq=3",
        "update entry set hash=upper(hash) where seq=3",
    };
    for (size_t i = 0; i < LW_COUNT(changes); i++) {
        five();
        tamper(book, changes[i]);
        struct ledger_check c = verify(NULL);
        ck_assert_msg(!c.whole, "not noticed: %s", changes[i]);
        ck_assert_msg(c.broken_seq == 3, "%s: said entry %lld", changes[i], c.broken_seq);
        ck_assert_int_eq(c.entries, 2);
        TIDY("book.lotward");
    }
}
END_TEST

START_TEST(a_zero_is_not_an_empty_field)
{
    five();
    tamper(book, "update entry set amends=0 where seq=4");
    ck_assert_int_eq(verify(NULL).broken_seq, 4);
    TIDY("book.lotward");
}
END_TEST

START_TEST(gaps_and_swaps_are_noticed)
{
    static const struct {
        const char *sql;
        long long seq;
    } changes[] = {
        {"delete from entry where seq=2", 3},
        {"delete from entry where seq=1", 2},
        {"update entry set seq=seq+1 where seq=5", 6},
        {"update entry set seq=99 where seq=4; update entry set seq=4 where seq=5; "
         "update entry set seq=5 where seq=99",
         4},
        {"insert into entry select 6, filed, kind, 'R-7', action, amends, who, why, source_file, "
         "source_line, xml, prev, hash from entry where seq=5",
         6},
    };
    for (size_t i = 0; i < LW_COUNT(changes); i++) {
        five();
        tamper(book, changes[i].sql);
        struct ledger_check c = verify(NULL);
        ck_assert_msg(!c.whole && c.broken_seq == changes[i].seq, "%s: entry %lld", changes[i].sql,
                      c.broken_seq);
        TIDY("book.lotward");
    }
}
END_TEST

/* What the chain alone cannot show, the noted hash does. */
START_TEST(a_cut_end_is_noticed_by_the_noted_hash)
{
    five();
    struct ledger_check before = verify(NULL);
    tamper(book, "delete from entry where seq=5");
    ck_assert(verify(NULL).whole);
    struct ledger_check c = verify(before.head);
    ck_assert(!c.whole);
    ck_assert_int_eq(c.expected_seq, 0);
    ck_assert_int_eq(c.broken_seq, 0);
    ck_assert_ptr_nonnull(strstr(c.why, "cut off"));
    TIDY("book.lotward");
}
END_TEST

START_TEST(a_noted_hash_may_be_older_short_and_spaced)
{
    char noted[40];
    fresh();
    make_book(1);
    struct ledger_check old = verify(NULL);
    struct ledger *l = ledger_open(book, LEDGER_WRITE, said);
    ck_assert_int_eq(file_one(l, LEDGER_FILE, "R-2", NULL), LEDGER_ADDED);
    ledger_close(l);
    snprintf(noted, sizeof noted, "%.4s-%.4s %.4s %.4s", old.head, old.head + 4, old.head + 8,
             old.head + 12);
    for (char *p = noted; *p; p++)
        if (*p >= 'a' && *p <= 'f')
            *p = (char)(*p - 'a' + 'A');
    struct ledger_check c = verify(noted);
    ck_assert_msg(c.whole, "%s", c.why);
    ck_assert_int_eq(c.expected_seq, 1);
    ck_assert_int_eq(c.entries, 2);
    TIDY("book.lotward");
}
END_TEST

START_TEST(a_hash_that_is_none_is_refused)
{
    static const char *const bad[] = {"", "0123456789abcde", "0123456789abcdeg",
                                      ("00000000000000000000000000000000"
                                       "000000000000000000000000000000000")};
    fresh();
    make_book(1);
    struct ledger *l = ledger_open(book, LEDGER_READ, said);
    for (size_t i = 0; i < LW_COUNT(bad); i++) {
        struct ledger_check c;
        forget();
        ck_assert(!ledger_verify(l, bad[i], &c, said));
        assert_heard("bad-hash");
    }
    ledger_close(l);
    TIDY("book.lotward");
}
END_TEST

START_TEST(an_empty_book_is_whole)
{
    fresh();
    make_book(0);
    struct ledger_check c = verify("0000000000000000");
    ck_assert(c.whole);
    ck_assert_int_eq(c.entries, 0);
    TIDY("book.lotward");
}
END_TEST

/* Someone who can compute hashes still cannot file a record twice or amend what was not in force.
 */
START_TEST(histories_that_cannot_be_are_noticed)
{
    fresh();
    make_book(1);
    struct ledger *l = ledger_open(book, LEDGER_WRITE, said);
    ck_assert_int_eq(file_one(l, LEDGER_FILE, "R-2", NULL), LEDGER_ADDED);
    ledger_close(l);
    /* Entry 2 becomes, with a right hash, a second filing of R-1. */
    struct sha256 h;
    unsigned char digest[SHA256_BYTES];
    char hex[SHA256_HEX + 1], sql[300];
    struct ledger_check first;
    sqlite3 *db = NULL;
    sqlite3_stmt *s = NULL;
    struct sbuf text = SBUF_INIT;
    ck_assert_int_eq(sqlite3_open(book, &db), SQLITE_OK);
    ck_assert_int_eq(
        sqlite3_prepare_v2(db, "select prev, xml from entry where seq=2", -1, &s, NULL), SQLITE_OK);
    ck_assert_int_eq(sqlite3_step(s), SQLITE_ROW);
    sbuf_printf(&text,
                "lotward-entry-1\n64:%s,1:2,20:" NOON
                ",7:receipt,3:R-1,4:file,-,-,-,11:records.xml,1:7,%d:%s,",
                sqlite3_column_text(s, 0), sqlite3_column_bytes(s, 1), sqlite3_column_text(s, 1));
    sqlite3_finalize(s);
    sqlite3_close(db);
    sha256_init(&h);
    sha256_add(&h, text.s, text.len);
    sha256_end(&h, digest);
    snprintf(sql, sizeof sql, "update entry set id='R-1', hash='%s' where seq=2",
             sha256_hex(digest, hex));
    tamper(book, sql);
    first = verify(NULL);
    ck_assert(!first.whole);
    ck_assert_ptr_nonnull(strstr(first.why, "second time"));
    /* And loading sees that the content is not the record the row names. */
    struct ledger_load_counts counts;
    struct sbuf got = SBUF_INIT;
    l = ledger_open(book, LEDGER_READ, said);
    forget();
    ck_assert(!ledger_load(l, list_sink, &got, &counts, said));
    assert_heard("book-broken");
    ledger_close(l);
    sbuf_free(&got);
    sbuf_free(&text);
    TIDY("book.lotward");
}
END_TEST

START_TEST(a_broken_book_is_not_loaded_as_if_whole)
{
    struct ledger_load_counts counts;
    struct sbuf got = SBUF_INIT;
    five();
    tamper(book, "update entry set xml=replace(xml,'1 kg','9 kg') where seq=4");
    struct ledger *l = ledger_open(book, LEDGER_READ, said);
    ck_assert(!ledger_load(l, list_sink, &got, &counts, said));
    assert_heard("book-broken");
    ck_assert_ptr_null(strstr(got.s, "9 kg"));
    ledger_close(l);
    sbuf_free(&got);
    TIDY("book.lotward");
}
END_TEST

/* An index that lost its entries, under the right declaration: the chain does not cover it. */
START_TEST(an_emptied_index_brings_nothing_back)
{
    struct ledger_load_counts counts;
    struct sbuf got = SBUF_INIT;
    five();
    tamper(book,
           "drop index entry_amends;"
           "create unique index entry_amends on entry(amends) where amends is null and seq < 0;"
           "pragma writable_schema=1;"
           "update sqlite_schema set sql='CREATE UNIQUE INDEX entry_amends ON entry(amends) "
           "WHERE amends IS NOT NULL' where name='entry_amends'");
    struct ledger *l = ledger_open(book, LEDGER_READ, said);
    ck_assert_ptr_nonnull(l);
    ck_assert(ledger_load(l, list_sink, &got, &counts, said));
    ck_assert_str_eq(got.s, "R-2=400 g@2 R-1=450 g@3 R-3=1 kg@4 R-4=2 kg@5 ");
    ledger_close(l);
    struct ledger_check c = verify(NULL);
    ck_assert(!c.whole);
    ck_assert_ptr_nonnull(strstr(c.why, "damaged"));
    sbuf_free(&got);
    TIDY("book.lotward");
}
END_TEST

START_TEST(nothing_is_hung_on_a_changed_last_entry)
{
    five();
    tamper(book, "update entry set xml=replace(xml,'2 kg','9 kg') where seq=5");
    struct ledger *l = ledger_open(book, LEDGER_WRITE, said);
    struct ledger_stamp st = stamp(LEDGER_FILE);
    ck_assert(!ledger_begin(l, &st, said));
    assert_heard("book-broken");
    ledger_close(l);
    TIDY("book.lotward");
}
END_TEST

UNIT_MAIN("ledger/chain", hash_is_what_the_header_says, every_column_is_held,
          a_zero_is_not_an_empty_field, gaps_and_swaps_are_noticed,
          a_cut_end_is_noticed_by_the_noted_hash, a_noted_hash_may_be_older_short_and_spaced,
          a_hash_that_is_none_is_refused, an_empty_book_is_whole,
          histories_that_cannot_be_are_noticed, a_broken_book_is_not_loaded_as_if_whole,
          an_emptied_index_brings_nothing_back, nothing_is_hung_on_a_changed_last_entry)
