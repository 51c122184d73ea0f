/* ledger_support.h - a private folder, a book in it, and a second hand that tampers with it. */
#ifndef LW_TESTS_LEDGER_SUPPORT_H
#define LW_TESTS_LEDGER_SUPPORT_H

#ifndef _XOPEN_SOURCE
#define _XOPEN_SOURCE 700
#endif
#include "unit.h"

#include "ledger/ledger.h"
#include "record/reader.h"
#include "text/mem.h"
#include <sqlite3.h>
#include <sys/stat.h>
#include <unistd.h>

#define NOON "2026-03-04T12:00:00Z"

static char folder[64];
static char book[96];
static struct diags *said;

static inline void fresh(void)
{
    /* In memory where there is such a place: thousands of small books are written to disk in full.
     */
    const char *base = access("/dev/shm", W_OK) == 0 ? "/dev/shm" : "/tmp";
    snprintf(folder, sizeof folder, "%s/lw-ledger-XXXXXX", base);
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(book, sizeof book, "%s/book.lotward", folder);
    said = diags_new();
    ck_assert_ptr_nonnull(said);
}

/* Removes the named files of the folder, then the folder, which must be empty: nothing was left
 * over. */
static inline void tidy(const char *const *names)
{
    char path[160];
    for (size_t i = 0; names != NULL && names[i] != NULL; i++) {
        snprintf(path, sizeof path, "%s/%s", folder, names[i]);
        ck_assert_msg(remove(path) == 0, "%s: %s", path, strerror(errno));
    }
    ck_assert_msg(rmdir(folder) == 0, "%s is not empty", folder);
    diags_free(said);
}
#define TIDY(...) tidy((const char *const[]){__VA_ARGS__, NULL})

static inline bool heard(const char *code)
{
    for (size_t i = 0; i < diags_count(said); i++)
        if (strcmp(diags_at(said, i)->code, code) == 0)
            return true;
    return false;
}

static inline void assert_heard(const char *code)
{
    struct sbuf b = SBUF_INIT;
    for (size_t i = 0; !heard(code) && i < diags_count(said); i++) {
        diag_format(diags_at(said, i), &b);
        sbuf_puts(&b, "\n");
    }
    ck_assert_msg(heard(code), "no '%s' among:\n%s", code, b.s);
    sbuf_free(&b);
}

static inline void forget(void)
{
    diags_free(said);
    said = diags_new();
    ck_assert_ptr_nonnull(said);
}

/* A receipt of a material; mass may be NULL. */
static inline struct record *receipt(const char *id, const char *mass)
{
    struct record *r = record_new(dict_find("receipt"), "records.xml", 7);
    ck_assert_ptr_nonnull(r);
    ck_assert(record_set(r, "id", id));
    ck_assert(record_set(r, "material", "tolu-balsam"));
    if (mass != NULL)
        ck_assert(record_set(r, "quantity", mass));
    return r;
}

static inline struct ledger_stamp stamp(enum ledger_action action)
{
    struct ledger_stamp s = {
        .action = action, .filed = NOON, .who = "anna", .why = "weighed again"};
    if (action == LEDGER_FILE)
        s.who = s.why = NULL;
    return s;
}

/* Files one receipt; the outcome. The book stays as it was unless ADDED. */
static inline enum ledger_outcome file_one(struct ledger *l, enum ledger_action action,
                                           const char *id, const char *mass)
{
    struct record *r = receipt(id, mass);
    struct ledger_stamp s = stamp(action);
    struct ledger_item item = {.record = r, .ctx = RECORD_CANONICAL};
    bool ok = ledger_append(l, &s, &item, 1, said);
    ck_assert(ok == (item.outcome == LEDGER_ADDED || item.outcome == LEDGER_SAME));
    record_free(r);
    return item.outcome;
}

/* A book with receipts R-1 to R-n. */
static inline void make_book(int n)
{
    char id[16];
    struct ledger *l = ledger_open(book, LEDGER_CREATE, said);
    ck_assert_ptr_nonnull(l);
    for (int i = 1; i <= n; i++) {
        snprintf(id, sizeof id, "R-%d", i);
        ck_assert_int_eq(file_one(l, LEDGER_FILE, id, "400 g"), LEDGER_ADDED);
    }
    ledger_close(l);
}

/* Another program's hand on a file of the folder. */
static inline void tamper(const char *path, const char *sql)
{
    sqlite3 *db = NULL;
    char *error = NULL;
    ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
    ck_assert_msg(sqlite3_exec(db, sql, NULL, NULL, &error) == SQLITE_OK, "%s: %s", sql,
                  error ? error : "");
    ck_assert_int_eq(sqlite3_close(db), SQLITE_OK);
}

static inline void write_bytes(const char *path, const void *p, size_t n)
{
    FILE *f = fopen(path, "wb");
    ck_assert_ptr_nonnull(f);
    ck_assert_uint_eq(fwrite(p, 1, n, f), n);
    ck_assert_int_eq(fclose(f), 0);
}

static inline struct ledger_check verify(const char *expect)
{
    struct ledger_check c;
    struct ledger *l = ledger_open(book, LEDGER_READ, said);
    ck_assert_ptr_nonnull(l);
    ck_assert(ledger_verify(l, expect, &c, said));
    ledger_close(l);
    return c;
}

/* All records in force, as one line of "id=quantity " each. */
static inline bool list_sink(struct record *r, const struct record_context *ctx, void *user)
{
    const char *q = record_get(r, "quantity");
    (void)ctx;
    sbuf_printf(user, "%s=%s@%ld ", record_id(r), q ? q : "", r->line);
    record_free(r);
    return true;
}

#endif
