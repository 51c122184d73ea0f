/* What a book may be, and what is refused: hostile and foreign files, and other hands on the book.
 */
#include "ledger_support.h"

#include <fcntl.h>

static void refused(const char *path, enum ledger_mode mode, const char *code)
{
    forget();
    ck_assert_ptr_null(ledger_open(path, mode, said));
    assert_heard(code);
}

/* Refused for reading, writing and making alike; and the file is byte for byte what it was. */
static void refused_every_way(const char *path, const char *code)
{
    struct stat before, after;
    ck_assert_int_eq(lstat(path, &before), 0);
    refused(path, LEDGER_READ, code);
    refused(path, LEDGER_WRITE, code);
    refused(path, LEDGER_CREATE, code);
    ck_assert_int_eq(lstat(path, &after), 0);
    ck_assert_int_eq(before.st_size, after.st_size);
    ck_assert_int_eq(before.st_mtim.tv_nsec, after.st_mtim.tv_nsec);
}

START_TEST(a_new_book_is_its_owners_alone)
{
    struct stat st;
    fresh();
    mode_t old = umask(0);
    make_book(0);
    umask(old);
    ck_assert_int_eq(stat(book, &st), 0);
    ck_assert_uint_eq(st.st_mode & 07777, 0600);
    ck_assert_uint_eq(st.st_nlink, 1);
    TIDY("book.lotward");
}
END_TEST

START_TEST(a_missing_book_is_only_made_when_asked)
{
    fresh();
    refused(book, LEDGER_READ, "book-missing");
    refused(book, LEDGER_WRITE, "book-missing");
    ck_assert_int_ne(access(book, F_OK), 0);
    refused("/nowhere-lw/at/all/book", LEDGER_CREATE, "book-missing");
    refused(folder, LEDGER_CREATE, "book-not-a-file");
    refused("", LEDGER_CREATE, "book-not-a-file");
    refused("/tmp/", LEDGER_CREATE, "book-not-a-file");
    TIDY(NULL);
}
END_TEST

/* "file:..." and ":memory:" are names like any other. */
START_TEST(a_name_is_never_a_uri)
{
    static const char *const names[] = {"file:x?mode=memory", ":memory:", "a?b#c%20d"};
    char here[PATH_MAX];
    fresh();
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    ck_assert_int_eq(chdir(folder), 0);
    for (size_t i = 0; i < LW_COUNT(names); i++) {
        struct ledger *l = ledger_open(names[i], LEDGER_CREATE, said);
        ck_assert_ptr_nonnull(l);
        ck_assert_int_eq(file_one(l, LEDGER_FILE, "R-1", NULL), LEDGER_ADDED);
        ledger_close(l);
        ck_assert_int_eq(access(names[i], F_OK), 0);
    }
    ck_assert_int_eq(chdir(here), 0);
    TIDY("file:x?mode=memory", ":memory:", "a?b#c%20d");
}
END_TEST

START_TEST(links_folders_and_pipes_are_refused)
{
    char path[160];
    fresh();
    make_book(1);
    snprintf(path, sizeof path, "%s/link", folder);
    ck_assert_int_eq(symlink(book, path), 0);
    refused_every_way(path, "book-not-a-file");
    snprintf(path, sizeof path, "%s/dangling", folder);
    ck_assert_int_eq(symlink("nothing-here", path), 0);
    refused_every_way(path, "book-not-a-file");
    snprintf(path, sizeof path, "%s/pipe", folder);
    ck_assert_int_eq(mkfifo(path, 0600), 0);
    refused_every_way(path, "book-not-a-file");
    refused("/dev/null", LEDGER_WRITE, "book-not-a-file");
    TIDY("book.lotward", "link", "dangling", "pipe");
}
END_TEST

/* A folder reached through a link is the user's own affair. */
START_TEST(a_linked_folder_is_followed)
{
    char path[160], inside[190];
    fresh();
    make_book(1);
    snprintf(path, sizeof path, "%s/here", folder);
    ck_assert_int_eq(symlink(folder, path), 0);
    snprintf(inside, sizeof inside, "%s/book.lotward", path);
    struct ledger *l = ledger_open(inside, LEDGER_READ, said);
    ck_assert_ptr_nonnull(l);
    ck_assert_str_eq(ledger_path(l), inside);
    ledger_close(l);
    TIDY("book.lotward", "here");
}
END_TEST

START_TEST(files_that_are_no_book_are_refused)
{
    char path[160];
    fresh();
    snprintf(path, sizeof path, "%s/other", folder);
    write_bytes(path, "", 0);
    refused_every_way(path, "book-damaged");
    write_bytes(path, "<records/>", 10);
    refused_every_way(path, "book-damaged");
    char text[4096];
    memset(text, 'x', sizeof text);
    write_bytes(path, text, sizeof text);
    refused_every_way(path, "book-foreign");
    ck_assert_int_eq(remove(path), 0);
    tamper(path, "create table t(a); pragma application_id=1196444487");
    refused_every_way(path, "book-foreign");
    ck_assert_int_eq(remove(path), 0);
    tamper(path, "create table t(a)");
    refused_every_way(path, "book-foreign");
    TIDY("other");
}
END_TEST

START_TEST(a_newer_book_is_refused_as_newer)
{
    fresh();
    make_book(1);
    tamper(book, "pragma user_version=2");
    refused_every_way(book, "book-newer");
    tamper(book, "pragma user_version=0");
    refused_every_way(book, "book-changed");
    TIDY("book.lotward");
}
END_TEST

START_TEST(anything_planted_is_refused)
{
    static const char *const planted[] = {
        "create trigger t after insert on entry begin delete from entry; end",
        "create view v as select * from entry",
        "create table extra(a)",
        "create index i on entry(who)",
        "alter table entry add column note text",
        "alter table entry rename column who to whom",
        "drop index entry_record",
        "drop table entry",
        "drop table entry; create table entry(seq integer primary key, filed, kind, id, action, "
        "amends, "
        "who, why, source_file, source_line, xml, prev, hash)",
        "drop table entry; create view entry as select 1 as seq",
        "analyze",
        "create virtual table f using fts5(a)",
        "pragma writable_schema=1; update sqlite_schema set sql=replace(sql,'STRICT','') "
        "where name='entry'",
        "pragma writable_schema=1; update sqlite_schema set sql='CREATE TABLE entry(seq INTEGER' "
        "where name='entry'",
    };
    for (size_t i = 0; i < LW_COUNT(planted); i++) {
        fresh();
        make_book(2);
        tamper(book, planted[i]);
        forget();
        struct ledger *l = ledger_open(book, LEDGER_READ, said);
        ck_assert_msg(l == NULL, "opened after: %s", planted[i]);
        ck_assert_msg(heard("book-changed") || heard("book-damaged"), "%s", planted[i]);
        refused(book, LEDGER_WRITE, diags_at(said, 0)->code);
        TIDY("book.lotward");
    }
}
END_TEST

START_TEST(a_write_ahead_header_is_refused)
{
    fresh();
    make_book(1);
    tamper(book, "pragma journal_mode=wal; pragma wal_checkpoint(truncate)");
    refused_every_way(book, "book-changed");
    TIDY("book.lotward");
}
END_TEST

START_TEST(a_truncated_book_is_damaged)
{
    struct stat st;
    fresh();
    make_book(40);
    ck_assert_int_eq(stat(book, &st), 0);
    /* Every page boundary, and a byte on either side of it. */
    for (off_t cut = 0; cut < st.st_size; cut += 4096) {
        for (off_t at = cut > 0 ? cut - 1 : 0; at <= cut + 1 && at < st.st_size; at++) {
            char path[160];
            struct sbuf b = SBUF_INIT;
            FILE *f = fopen(book, "rb");
            for (off_t k = 0; k < at; k++)
                sbuf_putc(&b, (char)fgetc(f));
            ck_assert_int_eq(fclose(f), 0);
            snprintf(path, sizeof path, "%s/cut", folder);
            write_bytes(path, b.s, b.len);
            sbuf_free(&b);
            forget();
            struct ledger *l = ledger_open(path, LEDGER_READ, said);
            if (l != NULL) {
                struct ledger_check c = {0};
                bool ran = ledger_verify(l, NULL, &c, said);
                ck_assert_msg(!ran || !c.whole, "verified when cut at %ld", (long)at);
                ledger_close(l);
            } else {
                ck_assert_uint_gt(diags_count_level(said, DIAG_FATAL), 0);
            }
            ck_assert_int_eq(remove(path), 0);
        }
    }
    TIDY("book.lotward");
}
END_TEST

/* Each byte of the small book turned over, one at a time: refused, or noticed by verify, or a byte
 * that holds nothing of what was filed. Never a crash, never a record that reads otherwise. */
START_TEST(no_turned_byte_changes_a_record)
{
    struct sbuf good = SBUF_INIT, want = SBUF_INIT, got = SBUF_INIT;
    struct ledger_load_counts counts;
    char path[160];
    fresh();
    make_book(3);
    FILE *f = fopen(book, "rb");
    for (int c = fgetc(f); c != EOF; c = fgetc(f))
        sbuf_putc(&good, (char)c);
    ck_assert_int_eq(fclose(f), 0);
    struct ledger *l = ledger_open(book, LEDGER_READ, said);
    ck_assert(ledger_load(l, list_sink, &want, &counts, said));
    ledger_close(l);
    snprintf(path, sizeof path, "%s/turned", folder);
    for (size_t i = 0; i < good.len; i++) {
        if (good.s[i] == 0)
            continue;
        good.s[i] = (char)(good.s[i] ^ 0x15);
        write_bytes(path, good.s, good.len);
        good.s[i] = (char)(good.s[i] ^ 0x15);
        forget();
        sbuf_clear(&got);
        l = ledger_open(path, LEDGER_READ, said);
        if (l != NULL && ledger_load(l, list_sink, &got, &counts, said))
            ck_assert_msg(strcmp(got.s, want.s) == 0, "byte %zu: '%s'", i, got.s);
        ledger_close(l);
    }
    sbuf_free(&good);
    sbuf_free(&want);
    sbuf_free(&got);
    TIDY("book.lotward", "turned");
}
END_TEST

/* A journal of another make could name files for SQLite to delete. */
START_TEST(a_journal_that_names_a_super_journal_is_not_played)
{
    static const unsigned char tail[] = {0xd9, 0xd5, 0x05, 0xf9, 0x20, 0xa1, 0x63, 0xd7};
    unsigned char journal[600] = {0};
    char path[160];
    fresh();
    make_book(1);
    snprintf(path, sizeof path, "%s-journal", book);
    memcpy(journal, tail, sizeof tail);
    memcpy(journal + sizeof journal - sizeof tail, tail, sizeof tail);
    write_bytes(path, journal, sizeof journal);
    refused_every_way(book, "book-changed");
    ck_assert_int_eq(remove(path), 0);
    ck_assert_int_eq(symlink("/etc/passwd", path), 0);
    refused_every_way(book, "book-changed");
    TIDY("book.lotward", "book.lotward-journal");
}
END_TEST

static void copy_file(const char *from, const char *to)
{
    FILE *in = fopen(from, "rb"), *out = fopen(to, "wb");
    ck_assert(in != NULL && out != NULL);
    for (int c = fgetc(in); c != EOF; c = fgetc(in))
        ck_assert_int_eq(fputc(c, out), c);
    ck_assert_int_eq(fclose(in), 0);
    ck_assert_int_eq(fclose(out), 0);
}

/* The book and its journal as a crash in the middle of a filing leaves them. */
static void cut_off(const char *copy)
{
    char journal[170], copied[170];
    sqlite3 *db = NULL;
    ck_assert_int_eq(sqlite3_open(book, &db), SQLITE_OK);
    ck_assert_int_eq(
        sqlite3_exec(db,
                     "pragma synchronous=off; pragma cache_size=10; begin immediate;"
                     "with n(i) as (select 10 union all select i+1 from n where i<400)"
                     "insert into entry select i, filed, kind, 'X-'||i, action, amends, who,"
                     "why, source_file, source_line, xml||hex(zeroblob(500)), prev, hash "
                     "from n, entry where seq=1",
                     NULL, NULL, NULL),
        SQLITE_OK);
    snprintf(journal, sizeof journal, "%s-journal", book);
    snprintf(copied, sizeof copied, "%s-journal", copy);
    copy_file(book, copy);
    copy_file(journal, copied);
    sqlite3_exec(db, "rollback", NULL, NULL, NULL);
    sqlite3_close(db);
}

START_TEST(a_filing_cut_off_is_put_back)
{
    static const enum ledger_mode modes[] = {LEDGER_READ, LEDGER_WRITE, LEDGER_CREATE};
    for (size_t i = 0; i < LW_COUNT(modes); i++) {
        char copy[160];
        struct ledger_check c;
        fresh();
        make_book(3);
        struct ledger_check before = verify(NULL);
        snprintf(copy, sizeof copy, "%s/copy", folder);
        cut_off(copy);
        struct ledger *l = ledger_open(copy, modes[i], said);
        ck_assert_ptr_nonnull(l);
        assert_heard("book-recovered");
        ck_assert(ledger_verify(l, before.head, &c, said));
        ck_assert_msg(c.whole, "%s", c.why);
        ck_assert_int_eq(c.entries, 3);
        ledger_close(l);
        TIDY("book.lotward", "copy");
    }
}
END_TEST

START_TEST(a_reader_cannot_write)
{
    fresh();
    make_book(1);
    struct ledger *l = ledger_open(book, LEDGER_READ, said);
    ck_assert_int_eq(file_one(l, LEDGER_FILE, "R-2", NULL), LEDGER_FAILED);
    assert_heard("book-permission");
    ledger_close(l);
    TIDY("book.lotward");
}
END_TEST

START_TEST(a_read_only_book_is_read_but_not_filed_into)
{
    if (geteuid() == 0)
        return; /* root may write anything: the command line cases cover an unprivileged user */
    fresh();
    make_book(1);
    ck_assert_int_eq(chmod(book, 0400), 0);
    struct ledger *l = ledger_open(book, LEDGER_READ, said);
    ck_assert_ptr_nonnull(l);
    ledger_close(l);
    refused(book, LEDGER_WRITE, "book-permission");
    TIDY("book.lotward");
}
END_TEST

UNIT_MAIN("ledger/open", a_new_book_is_its_owners_alone, a_missing_book_is_only_made_when_asked,
          a_name_is_never_a_uri, links_folders_and_pipes_are_refused, a_linked_folder_is_followed,
          files_that_are_no_book_are_refused, a_newer_book_is_refused_as_newer,
          anything_planted_is_refused, a_write_ahead_header_is_refused, a_truncated_book_is_damaged,
          no_turned_byte_changes_a_record, a_journal_that_names_a_super_journal_is_not_played,
          a_filing_cut_off_is_put_back, a_reader_cannot_write,
          a_read_only_book_is_read_but_not_filed_into)
