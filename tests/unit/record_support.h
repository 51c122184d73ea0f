/* record_support.h - a store fed from text, and what came of it; for the tests of record/. */
#ifndef LW_TESTS_RECORD_SUPPORT_H
#define LW_TESTS_RECORD_SUPPORT_H

#include "text/base.h"

#include "record/catalogue.h"
#include "record/export.h"
#include "record/reader.h"
#include "record/store.h"
#include "text/mem.h"
#include "text/utf8.h"

struct feed {
    struct diags *d;
    struct store *s;
    struct reader_counts counts;
    struct sbuf text; /* last message or dump */
};

static inline struct feed feed_new(void)
{
    struct feed f = {diags_new(), NULL, {0, 0, false}, SBUF_INIT};
    ck_assert_ptr_nonnull(f.d);
    f.s = store_new(f.d);
    ck_assert_ptr_nonnull(f.s);
    return f;
}

static inline void feed_free(struct feed *f)
{
    store_free(f->s);
    diags_free(f->d);
    sbuf_free(&f->text);
}

static inline bool feed_xml_n(struct feed *f, const char *text, size_t n)
{
    return reader_xml("a.xml", text, n, store_sink, f->s, &f->counts, f->d);
}

static inline bool feed_xml(struct feed *f, const char *text)
{
    return feed_xml_n(f, text, strlen(text));
}

static inline bool feed_csv(struct feed *f, const char *name, const char *text)
{
    return reader_csv(name, text, strlen(text), store_sink, f->s, &f->counts, f->d);
}

/* Message i as the user sees it. */
static inline const char *feed_message(struct feed *f, size_t i)
{
    ck_assert_msg(i < diags_count(f->d), "no message %zu", i);
    sbuf_clear(&f->text);
    diag_format(diags_at(f->d, i), &f->text);
    return f->text.s;
}

static inline bool feed_append(const char *text, size_t n, void *user)
{
    sbuf_putn(user, text, n);
    return true;
}

/* All records as XML. */
static inline const char *feed_dump(struct feed *f)
{
    sbuf_clear(&f->text);
    ck_assert(export_xml(f->s, NULL, feed_append, &f->text));
    return f->text.s;
}

/* The single value of a query; "" for NULL, "(no row)" for none. */
static inline const char *feed_ask(struct feed *f, const char *sql)
{
    sqlite3_stmt *q = NULL;

    sbuf_clear(&f->text);
    ck_assert_msg(sqlite3_prepare_v2(store_db(f->s), sql, -1, &q, NULL) == SQLITE_OK, "%s: %s", sql,
                  sqlite3_errmsg(store_db(f->s)));
    if (sqlite3_step(q) == SQLITE_ROW) {
        sbuf_puts(&f->text, (const char *)sqlite3_column_text(q, 0));
    } else {
        sbuf_puts(&f->text, "(no row)");
    }
    sqlite3_finalize(q);
    return f->text.s;
}

static inline double feed_number(struct feed *f, const char *sql)
{
    sqlite3_stmt *q = NULL;
    double v = (double)NAN;

    ck_assert_int_eq(sqlite3_prepare_v2(store_db(f->s), sql, -1, &q, NULL), SQLITE_OK);
    if (sqlite3_step(q) == SQLITE_ROW && sqlite3_column_type(q, 0) != SQLITE_NULL) {
        v = sqlite3_column_double(q, 0);
    }
    sqlite3_finalize(q);
    return v;
}

#endif
