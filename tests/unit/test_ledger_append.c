/* Filing, amending, waiving, evidence, history, loading, backing up. */
#include "ledger_support.h"

#include "ledger/diff.h"
#include "ledger/private.h"

static struct ledger *open_for(enum ledger_mode mode)
{
    struct ledger *l = ledger_open(book, mode, said);
    ck_assert_ptr_nonnull(l);
    return l;
}

/* What loading gives, as "id=quantity@seq " each. */
static void assert_loads(struct ledger *l, const char *want)
{
    struct sbuf got = SBUF_INIT;
    struct ledger_load_counts counts;
    ck_assert(ledger_load(l, list_sink, &got, &counts, said));
    ck_assert_str_eq(got.s, want);
    sbuf_free(&got);
}

START_TEST(the_same_record_again_adds_nothing)
{
    fresh();
    struct ledger *l = open_for(LEDGER_CREATE);
    ck_assert_int_eq(file_one(l, LEDGER_FILE, "R-1", "400 g"), LEDGER_ADDED);
    ck_assert_int_eq(file_one(l, LEDGER_FILE, "R-1", "400 g"), LEDGER_SAME);
    ck_assert_int_eq(file_one(l, LEDGER_AMEND, "R-1", "400 g"), LEDGER_SAME);
    assert_loads(l, "R-1=400 g@1 ");
    ledger_close(l);
    ck_assert_int_eq(verify(NULL).entries, 1);
    TIDY("book.lotward");
}
END_TEST

START_TEST(a_changed_record_is_refused_with_the_way_out)
{
    fresh();
    make_book(1);
    struct ledger *l = open_for(LEDGER_WRITE);
    ck_assert_int_eq(file_one(l, LEDGER_FILE, "R-1", "450 g"), LEDGER_CHANGED);
    assert_heard("already-filed");
    const struct diag *x = diags_at(said, 0);
    ck_assert_ptr_nonnull(strstr(x->message, "quantity '400 g' now '450 g'"));
    ck_assert_ptr_nonnull(strstr(x->hint, "lotward amend"));
    ck_assert_str_eq(x->file, "records.xml");
    ck_assert_int_eq(x->line, 7);
    assert_loads(l, "R-1=400 g@1 ");
    ledger_close(l);
    TIDY("book.lotward");
}
END_TEST

START_TEST(an_amendment_is_a_new_row_that_names_the_old)
{
    fresh();
    make_book(2);
    struct ledger *l = open_for(LEDGER_WRITE);
    ck_assert_int_eq(file_one(l, LEDGER_AMEND, "R-1", "450 g"), LEDGER_ADDED);
    ck_assert_int_eq(file_one(l, LEDGER_AMEND, "R-1", "455 g"), LEDGER_ADDED);
    assert_loads(l, "R-2=400 g@2 R-1=455 g@4 ");
    /* The first version again, long after: said to be an old one. */
    forget();
    ck_assert_int_eq(file_one(l, LEDGER_FILE, "R-1", "400 g"), LEDGER_CHANGED);
    assert_heard("already-amended");
    /* Back to the first content is an amendment like any other. */
    ck_assert_int_eq(file_one(l, LEDGER_AMEND, "R-1", "400 g"), LEDGER_ADDED);
    assert_loads(l, "R-2=400 g@2 R-1=400 g@5 ");
    ledger_close(l);
    struct ledger_check c = verify(NULL);
    ck_assert_msg(c.whole, "%s", c.why);
    ck_assert_int_eq(c.records, 2);
    TIDY("book.lotward");
}
END_TEST

static bool tell(const struct ledger_entry *e, void *user)
{
    sbuf_printf(user, "%lld %s %s %lld>%lld %s %s; ", e->seq, e->action, e->id, e->amends,
                e->amended_by, e->who ? e->who : "-", e->why ? e->why : "-");
    return true;
}

START_TEST(history_tells_every_version)
{
    struct sbuf got = SBUF_INIT;
    fresh();
    make_book(2);
    struct ledger *l = open_for(LEDGER_WRITE);
    ck_assert_int_eq(file_one(l, LEDGER_AMEND, "R-1", "450 g"), LEDGER_ADDED);
    ck_assert(ledger_history(l, "receipt", "R-1", tell, &got, said));
    ck_assert_str_eq(got.s, "1 file R-1 0>3 - -; 3 amend R-1 1>0 anna weighed again; ");
    sbuf_clear(&got);
    ck_assert(ledger_history(l, NULL, "R-2", tell, &got, said));
    ck_assert_str_eq(got.s, "2 file R-2 0>0 - -; ");
    sbuf_clear(&got);
    ck_assert(ledger_history(l, "sale", NULL, tell, &got, said));
    ck_assert_str_eq(got.s, "");
    ck_assert(ledger_history(l, NULL, NULL, tell, &got, said));
    ck_assert_str_eq(got.s, "1 file R-1 0>3 - -; 2 file R-2 0>0 - -; "
                            "3 amend R-1 1>0 anna weighed again; ");
    sbuf_clear(&got);
    ck_assert(ledger_current(l, tell, &got, said));
    ck_assert_str_eq(got.s, "2 file R-2 0>0 - -; 3 amend R-1 1>0 anna weighed again; ");
    ledger_close(l);
    sbuf_free(&got);
    TIDY("book.lotward");
}
END_TEST

START_TEST(an_amendment_needs_an_id_in_the_book_and_who_and_why)
{
    fresh();
    make_book(1);
    struct ledger *l = open_for(LEDGER_WRITE);
    ck_assert_int_eq(file_one(l, LEDGER_AMEND, "R-7", "1 g"), LEDGER_UNKNOWN);
    assert_heard("not-filed");
    static const struct {
        const char *who, *why;
    } lacking[] = {{NULL, "w"}, {"w", NULL}, {"", "w"}, {"w", ""}, {NULL, NULL}};
    for (size_t i = 0; i < LW_COUNT(lacking); i++) {
        struct ledger_stamp s = stamp(LEDGER_AMEND);
        s.who = lacking[i].who;
        s.why = lacking[i].why;
        forget();
        ck_assert(!ledger_begin(l, &s, said));
        assert_heard("who-and-why");
        s.action = LEDGER_WAIVE;
        ck_assert(!ledger_begin(l, &s, said));
    }
    ledger_close(l);
    TIDY("book.lotward");
}
END_TEST

START_TEST(a_stamp_is_a_utc_time)
{
    static const char *const bad[] = {NULL,
                                      "",
                                      "2026-03-04",
                                      "2026-03-04 12:00:00Z",
                                      "2026-03-04T12:00:00",
                                      "2026-02-30T12:00:00Z",
                                      "2026-03-04T24:00:00Z",
                                      "2026-03-04T12:60:00Z",
                                      "2026-03-04T12:00:00+01",
                                      "2026-03-04T12:00:00Z "};
    fresh();
    struct ledger *l = open_for(LEDGER_CREATE);
    for (size_t i = 0; i < LW_COUNT(bad); i++) {
        struct ledger_stamp s = stamp(LEDGER_FILE);
        s.filed = bad[i];
        forget();
        ck_assert_msg(!ledger_begin(l, &s, said), "%s", bad[i]);
        assert_heard("bad-stamp");
    }
    struct ledger_stamp s = stamp(LEDGER_AMEND);
    s.who = "a\xff";
    ck_assert(!ledger_begin(l, &s, said));
    assert_heard("bad-utf8");
    ledger_close(l);
    TIDY("book.lotward");
}
END_TEST

START_TEST(all_or_nothing)
{
    struct record *r[4] = {receipt("R-8", NULL), receipt("R-1", "9 g"), receipt("R-9", NULL),
                           receipt("R-9", "2 g")};
    struct ledger_item items[4];
    struct ledger_stamp s = stamp(LEDGER_FILE);
    fresh();
    make_book(1);
    struct ledger_check before = verify(NULL);
    for (size_t i = 0; i < 4; i++)
        items[i] = (struct ledger_item){.record = r[i], .ctx = RECORD_CANONICAL};
    struct ledger *l = open_for(LEDGER_WRITE);
    ck_assert(!ledger_append(l, &s, items, 4, said));
    ck_assert_int_eq(items[0].outcome, LEDGER_ADDED);
    ck_assert_int_eq(items[1].outcome, LEDGER_CHANGED);
    ck_assert_int_eq(items[2].outcome, LEDGER_ADDED);
    ck_assert_int_eq(items[3].outcome, LEDGER_CHANGED); /* against its own call */
    ck_assert_uint_eq(diags_count_level(said, DIAG_ERROR), 2);
    assert_loads(l, "R-1=400 g@1 ");
    /* Left out, the rest lands; and the handle still works. */
    ck_assert(ledger_begin(l, &s, said));
    ck_assert_int_eq(ledger_add(l, r[0], &items[0].ctx, said), LEDGER_ADDED);
    ck_assert_int_eq(ledger_add(l, r[1], &items[0].ctx, said), LEDGER_CHANGED);
    ck_assert_int_eq(ledger_add(l, r[2], &items[0].ctx, said), LEDGER_ADDED);
    ck_assert(ledger_commit(l, said));
    assert_loads(l, "R-1=400 g@1 R-8=@2 R-9=@3 ");
    ledger_close(l);
    ck_assert_str_ne(verify(NULL).head, before.head);
    for (size_t i = 0; i < 4; i++)
        record_free(r[i]);
    TIDY("book.lotward");
}
END_TEST

START_TEST(closing_without_commit_keeps_nothing)
{
    struct record *r = receipt("R-2", NULL);
    struct ledger_stamp s = stamp(LEDGER_FILE);
    fresh();
    make_book(1);
    struct ledger *l = open_for(LEDGER_WRITE);
    ck_assert(ledger_begin(l, &s, said));
    ck_assert_int_eq(ledger_add(l, r, &RECORD_CANONICAL, said), LEDGER_ADDED);
    ledger_close(l);
    ck_assert_int_eq(verify(NULL).entries, 1);
    record_free(r);
    TIDY("book.lotward");
}
END_TEST

START_TEST(a_bad_record_is_refused)
{
    struct record *bad = receipt("R-2", "400"),
                  *nameless = record_new(dict_find("receipt"), "f", 1);
    struct record *child = record_new(dict_find("charge"), "f", 2);
    struct ledger_stamp s = stamp(LEDGER_FILE);
    fresh();
    struct ledger *l = open_for(LEDGER_CREATE);
    ck_assert(ledger_begin(l, &s, said));
    ck_assert_int_eq(ledger_add(l, bad, &RECORD_CANONICAL, said), LEDGER_REFUSED);
    ck_assert_int_eq(ledger_add(l, nameless, &RECORD_CANONICAL, said), LEDGER_REFUSED);
    assert_heard("no-id");
    ck_assert_int_eq(ledger_add(l, child, &RECORD_CANONICAL, said), LEDGER_REFUSED);
    ck_assert(ledger_commit(l, said));
    ledger_close(l);
    ck_assert_int_eq(verify(NULL).entries, 0);
    record_free(bad);
    record_free(nameless);
    record_free(child);
    TIDY("book.lotward");
}
END_TEST

START_TEST(a_clock_that_went_back_is_said)
{
    struct record *r = receipt("R-2", NULL);
    struct ledger_stamp s = stamp(LEDGER_FILE);
    fresh();
    make_book(1);
    s.filed = "2026-03-04T11:59:59Z";
    struct ledger *l = open_for(LEDGER_WRITE);
    ck_assert(ledger_begin(l, &s, said));
    assert_heard("clock-behind");
    ck_assert_int_eq(ledger_add(l, r, &RECORD_CANONICAL, said), LEDGER_ADDED);
    ck_assert(ledger_commit(l, said));
    ledger_close(l);
    ck_assert(verify(NULL).whole);
    record_free(r);
    TIDY("book.lotward");
}
END_TEST

START_TEST(evidence_is_kept_but_is_no_record)
{
    struct sbuf got = SBUF_INIT;
    struct ledger_stamp s = stamp(LEDGER_AUDIT);
    struct record *r = receipt("R-2", NULL);
    fresh();
    make_book(1);
    struct ledger *l = open_for(LEDGER_WRITE);
    ck_assert(ledger_begin(l, &s, said));
    ck_assert_int_eq(ledger_add(l, r, &RECORD_CANONICAL, said), LEDGER_FAILED);
    ck_assert_int_eq(ledger_add_evidence(l, "audit", "2026", "<audit held=\"3\"/>", said),
                     LEDGER_ADDED);
    ck_assert_int_eq(ledger_add_evidence(l, "audit", "2026", "<audit held=\"4\"/>", said),
                     LEDGER_ADDED);
    ck_assert_int_eq(ledger_add_evidence(l, "receipt", "x", "<receipt/>", said), LEDGER_REFUSED);
    ck_assert(ledger_commit(l, said));
    assert_loads(l, "R-1=400 g@1 ");
    ck_assert(ledger_history(l, "audit", NULL, tell, &got, said));
    ck_assert_str_eq(got.s,
                     "2 audit 2026 0>0 anna weighed again; 3 audit 2026 0>0 anna weighed again; ");
    ledger_close(l);
    struct ledger_check c = verify(NULL);
    ck_assert_msg(c.whole, "%s", c.why);
    ck_assert_int_eq(c.records, 1);
    sbuf_free(&got);
    record_free(r);
    TIDY("book.lotward");
}
END_TEST

START_TEST(a_second_writer_waits_and_is_told)
{
    struct ledger_stamp s = stamp(LEDGER_FILE);
    fresh();
    make_book(1);
    struct ledger *one = open_for(LEDGER_WRITE), *two = open_for(LEDGER_WRITE);
    ck_assert(ledger_begin(one, &s, said));
    sqlite3_busy_timeout(two->db, 50); /* in place of LEDGER_BUSY_MS */
    ck_assert(!ledger_begin(two, &s, said));
    assert_heard("book-busy");
    ledger_rollback(one);
    ck_assert(ledger_begin(two, &s, said));
    ledger_close(two);
    ledger_close(one);
    TIDY("book.lotward");
}
END_TEST

/* More rows than one batch, texts with every character that XML treats specially, and children. */
START_TEST(many_records_come_back_as_they_went_in)
{
    enum { MANY = 3000 };
    struct ledger_stamp s = stamp(LEDGER_FILE);
    struct sbuf want = SBUF_INIT, got = SBUF_INIT;
    struct ledger_load_counts counts;
    fresh();
    struct ledger *l = open_for(LEDGER_CREATE);
    ck_assert(ledger_begin(l, &s, said));
    for (int i = 1; i <= MANY; i++) {
        char id[16], q[32];
        snprintf(id, sizeof id, "B-%d", i);
        snprintf(q, sizeof q, "%d g", i);
        struct record *r = receipt(id, q);
        ck_assert(record_set(r, "note", "<&>\"' line one\nline two\ttab \xc3\xa9"));
        ck_assert_int_eq(ledger_add(l, r, &RECORD_CANONICAL, said), LEDGER_ADDED);
        sbuf_printf(&want, "%s=%s@%d ", id, q, i);
        record_free(r);
    }
    ck_assert(ledger_commit(l, said));
    ck_assert(ledger_load(l, list_sink, &got, &counts, said));
    ck_assert_uint_eq(counts.rows, MANY);
    ck_assert_uint_eq(counts.records, MANY);
    ck_assert_uint_eq(counts.refused, 0);
    ck_assert_uint_eq(diags_count(said), 0);
    ck_assert_str_eq(got.s, want.s);
    ledger_close(l);
    sbuf_free(&want);
    sbuf_free(&got);
    TIDY("book.lotward");
}
END_TEST

static bool refile(struct record *r, const struct record_context *ctx, void *user)
{
    struct ledger *l = user;
    ck_assert_int_eq(ledger_add(l, r, ctx, said), LEDGER_SAME);
    ck_assert_str_eq(record_get(r, "note"), "a\nb <c>");
    record_free(r);
    return true;
}

START_TEST(what_is_loaded_files_as_the_same)
{
    struct ledger_stamp s = stamp(LEDGER_FILE);
    struct ledger_load_counts counts;
    struct record *r = receipt("R-1", "2 qt-us");
    fresh();
    ck_assert(record_set(r, "note", "a\r\nb <c>"));
    struct ledger *l = open_for(LEDGER_CREATE), *reading;
    ck_assert(ledger_begin(l, &s, said));
    ck_assert_int_eq(ledger_add(l, r, &RECORD_CANONICAL, said), LEDGER_ADDED);
    ck_assert(ledger_commit(l, said));
    reading = open_for(LEDGER_READ);
    ck_assert(ledger_begin(l, &s, said));
    ck_assert(ledger_load(reading, refile, l, &counts, said));
    ck_assert(ledger_commit(l, said));
    ledger_close(reading);
    ledger_close(l);
    record_free(r);
    TIDY("book.lotward");
}
END_TEST

START_TEST(a_backup_is_a_verified_book)
{
    char copy[160];
    struct ledger_check c;
    struct stat st;
    fresh();
    make_book(30);
    struct ledger_check original = verify(NULL);
    snprintf(copy, sizeof copy, "%s/copy", folder);
    struct ledger *l = open_for(LEDGER_READ);
    ck_assert(ledger_backup(l, copy, &c, said));
    ck_assert(c.whole);
    ck_assert_str_eq(c.head, original.head);
    ck_assert_int_eq(stat(copy, &st), 0);
    ck_assert_uint_eq(st.st_mode & 07777, 0600);
    /* Never over another file, its own included. */
    forget();
    ck_assert(!ledger_backup(l, copy, &c, said));
    assert_heard("exists");
    ck_assert(!ledger_backup(l, book, &c, said));
    ck_assert(!ledger_backup(l, "/nowhere-lw/copy", &c, said));
    ledger_close(l);
    TIDY("book.lotward", "copy");
}
END_TEST

START_TEST(a_broken_book_is_not_backed_up_as_good)
{
    char copy[160];
    struct ledger_check c;
    fresh();
    make_book(3);
    tamper(book, "update entry set who='x' where seq=2");
    snprintf(copy, sizeof copy, "%s/copy", folder);
    struct ledger *l = open_for(LEDGER_READ);
    ck_assert(!ledger_backup(l, copy, &c, said));
    assert_heard("book-broken");
    ledger_close(l);
    ck_assert_int_ne(access(copy, F_OK), 0);
    TIDY("book.lotward");
}
END_TEST

START_TEST(differences_are_named)
{
    static const struct {
        const char *a, *b, *want;
    } cases[] = {
        {"<receipt id=\"R\" quantity=\"1 g\"/>", "<receipt id=\"R\" quantity=\"1 g\"/>", ""},
        {"<receipt id=\"R\" quantity=\"1 g\"/>", "<receipt id=\"R\"/>", "quantity '1 g' taken out"},
        {"<receipt id=\"R\"/>", "<receipt id=\"R\" quantity=\"1 g\"/>", "quantity now '1 g'"},
        {"<batch id=\"L\"><charge purpose=\"solvent\"/></batch>", "<batch id=\"L\"/>",
         "charge 1 taken out"},
        {"<batch id=\"L\"/>", "<batch id=\"L\"><charge purpose=\"solvent\"/></batch>",
         "charge 1 added"},
        {"<receipt id=\"R\"/>", "<batch id=\"R\"/>", ""},
        {"<receipt id=", "<receipt id=\"R\"/>", ""},
    };
    for (size_t i = 0; i < LW_COUNT(cases); i++) {
        struct sbuf b = SBUF_INIT;
        ledger_diff(cases[i].a, cases[i].b, &b);
        ck_assert_str_eq(b.s, cases[i].want);
        sbuf_free(&b);
    }
}
END_TEST

UNIT_MAIN("ledger/append", the_same_record_again_adds_nothing,
          a_changed_record_is_refused_with_the_way_out,
          an_amendment_is_a_new_row_that_names_the_old, history_tells_every_version,
          an_amendment_needs_an_id_in_the_book_and_who_and_why, a_stamp_is_a_utc_time,
          all_or_nothing, closing_without_commit_keeps_nothing, a_bad_record_is_refused,
          a_clock_that_went_back_is_said, evidence_is_kept_but_is_no_record,
          a_second_writer_waits_and_is_told, many_records_come_back_as_they_went_in,
          what_is_loaded_files_as_the_same, a_backup_is_a_verified_book,
          a_broken_book_is_not_backed_up_as_good, differences_are_named)
