/* Every file operation of SQLite under the ledger failed, once and from then on: reads, writes,
 * syncs, truncations, locks, opens and deletes, with an I/O error and with a full disk. What was
 * promised holds: true means the new book is on disk, false means the old one is there; and
 * something was said. */
#include "ledger_support.h"

/* ---- a file system that fails when told: SQLite's own one with a counter before each operation
 * ---- */

static struct {
    unsigned long at, seen; /* fail the at-th operation; 0: none */
    bool sticky;
    int code; /* what a failed write returns */
} fault;

static bool fails(void)
{
    fault.seen++;
    return fault.at != 0 && (fault.seen == fault.at || (fault.sticky && fault.seen > fault.at));
}

struct shim {
    sqlite3_file base;
    sqlite3_file *real;
};

#define REAL(f) (((struct shim *)(f))->real)

static int shim_close(sqlite3_file *f)
{
    return REAL(f)->pMethods != NULL ? REAL(f)->pMethods->xClose(REAL(f)) : SQLITE_OK;
}
static int shim_read(sqlite3_file *f, void *p, int n, sqlite3_int64 at)
{
    return fails() ? SQLITE_IOERR_READ : REAL(f)->pMethods->xRead(REAL(f), p, n, at);
}
static int shim_write(sqlite3_file *f, const void *p, int n, sqlite3_int64 at)
{
    if (!fails())
        return REAL(f)->pMethods->xWrite(REAL(f), p, n, at);
    /* Half of it gets there, as on a disk that fills up. */
    (void)REAL(f)->pMethods->xWrite(REAL(f), p, n / 2, at);
    return fault.code;
}
static int shim_truncate(sqlite3_file *f, sqlite3_int64 size)
{
    return fails() ? SQLITE_IOERR_TRUNCATE : REAL(f)->pMethods->xTruncate(REAL(f), size);
}
static int shim_sync(sqlite3_file *f, int flags)
{
    return fails() ? SQLITE_IOERR_FSYNC : REAL(f)->pMethods->xSync(REAL(f), flags);
}
static int shim_size(sqlite3_file *f, sqlite3_int64 *size)
{
    return fails() ? SQLITE_IOERR_FSTAT : REAL(f)->pMethods->xFileSize(REAL(f), size);
}
static int shim_lock(sqlite3_file *f, int level)
{
    return fails() ? SQLITE_IOERR_LOCK : REAL(f)->pMethods->xLock(REAL(f), level);
}
static int shim_unlock(sqlite3_file *f, int level)
{
    return REAL(f)->pMethods->xUnlock(REAL(f), level);
}
static int shim_reserved(sqlite3_file *f, int *out)
{
    return fails() ? SQLITE_IOERR_CHECKRESERVEDLOCK
                   : REAL(f)->pMethods->xCheckReservedLock(REAL(f), out);
}
static int shim_control(sqlite3_file *f, int op, void *arg)
{
    return REAL(f)->pMethods->xFileControl(REAL(f), op, arg);
}
static int shim_sector(sqlite3_file *f)
{
    return REAL(f)->pMethods->xSectorSize(REAL(f));
}
static int shim_characteristics(sqlite3_file *f)
{
    return REAL(f)->pMethods->xDeviceCharacteristics(REAL(f));
}

static const sqlite3_io_methods shim_methods = {.iVersion = 1,
                                                .xClose = shim_close,
                                                .xRead = shim_read,
                                                .xWrite = shim_write,
                                                .xTruncate = shim_truncate,
                                                .xSync = shim_sync,
                                                .xFileSize = shim_size,
                                                .xLock = shim_lock,
                                                .xUnlock = shim_unlock,
                                                .xCheckReservedLock = shim_reserved,
                                                .xFileControl = shim_control,
                                                .xSectorSize = shim_sector,
                                                .xDeviceCharacteristics = shim_characteristics};

static sqlite3_vfs *real_vfs;
static sqlite3_vfs shim_vfs;

static int vfs_open(sqlite3_vfs *v, const char *name, sqlite3_file *f, int flags, int *out)
{
    struct shim *s = (struct shim *)f;
    (void)v;
    memset(s, 0, sizeof *s);
    if (fails())
        return SQLITE_CANTOPEN;
    s->real = (sqlite3_file *)(s + 1);
    int rc = real_vfs->xOpen(real_vfs, name, s->real, flags, out);
    if (rc == SQLITE_OK)
        s->base.pMethods = &shim_methods;
    return rc;
}
static int vfs_delete(sqlite3_vfs *v, const char *name, int sync)
{
    (void)v;
    return fails() ? SQLITE_IOERR_DELETE : real_vfs->xDelete(real_vfs, name, sync);
}
static int vfs_access(sqlite3_vfs *v, const char *name, int flags, int *out)
{
    (void)v;
    return fails() ? SQLITE_IOERR_ACCESS : real_vfs->xAccess(real_vfs, name, flags, out);
}

static void install_shim(void)
{
    real_vfs = sqlite3_vfs_find(NULL);
    ck_assert_ptr_nonnull(real_vfs);
    shim_vfs = *real_vfs;
    shim_vfs.zName = "shim";
    shim_vfs.pNext = NULL;
    shim_vfs.szOsFile = (int)sizeof(struct shim) + real_vfs->szOsFile;
    shim_vfs.xOpen = vfs_open;
    shim_vfs.xDelete = vfs_delete;
    shim_vfs.xAccess = vfs_access;
    ck_assert_int_eq(sqlite3_vfs_register(&shim_vfs, 1), SQLITE_OK);
}

/* ---- the operations ---- */

static int wanted_after; /* entries when the operation says it did it */

/* Large enough that the cache overflows and pages are written before the commit. */
static bool filing(void)
{
    enum { MANY = 40 };
    struct ledger_stamp s = stamp(LEDGER_FILE);
    struct ledger *l = ledger_open(book, LEDGER_WRITE, said);
    bool ok = l != NULL && ledger_begin(l, &s, said);
    wanted_after = 20 + MANY;
    for (int i = 0; ok && i < MANY; i++) {
        char id[16];
        snprintf(id, sizeof id, "N-%d", i);
        struct record *r = receipt(id, "1 kg");
        ok = ledger_add(l, r, &RECORD_CANONICAL, said) == LEDGER_ADDED;
        record_free(r);
    }
    ok = ok && ledger_commit(l, said);
    ledger_close(l);
    return ok;
}

static bool amending(void)
{
    struct ledger *l = ledger_open(book, LEDGER_WRITE, said);
    bool ok = l != NULL && file_one(l, LEDGER_AMEND, "R-3", "450 g") == LEDGER_ADDED;
    wanted_after = 21;
    ledger_close(l);
    return ok;
}

static bool count_sink(struct record *r, const struct record_context *ctx, void *user)
{
    (void)ctx;
    ++*(int *)user;
    record_free(r);
    return true;
}

static bool loading(void)
{
    struct ledger_load_counts counts;
    int n = 0;
    struct ledger *l = ledger_open(book, LEDGER_READ, said);
    bool ok = l != NULL && ledger_load(l, count_sink, &n, &counts, said);
    ledger_close(l);
    wanted_after = 20;
    ck_assert(!ok || n == 20);
    return ok;
}

static bool verifying(void)
{
    struct ledger_check c = {0};
    struct ledger *l = ledger_open(book, LEDGER_READ, said);
    bool ok = l != NULL && ledger_verify(l, NULL, &c, said);
    ledger_close(l);
    wanted_after = 20;
    /* A page that could not be read is trouble, or a damaged file, never a clean book. */
    ck_assert(!ok || !c.whole || c.entries == 20);
    if (ok && !c.whole)
        diags_add(said, DIAG_ERROR, "told", NULL, 0, 0, NULL, "%s", c.why);
    return ok && c.whole;
}

static bool backing_up(void)
{
    char path[160];
    struct ledger_check c;
    snprintf(path, sizeof path, "%s/copy", folder);
    struct ledger *l = ledger_open(book, LEDGER_READ, said);
    bool ok = l != NULL && ledger_backup(l, path, &c, said);
    ledger_close(l);
    wanted_after = 20;
    ck_assert(ok == (access(path, F_OK) == 0));
    if (ok)
        ck_assert_int_eq(remove(path), 0);
    snprintf(path, sizeof path, "%s/copy-journal", folder);
    (void)remove(path);
    return ok;
}

/* A book whose filing was cut off, opened for reading. */
static struct sbuf hot_book = SBUF_INIT, hot_journal = SBUF_INIT;

static bool recovering(void)
{
    char journal[170];
    snprintf(journal, sizeof journal, "%s-journal", book);
    fault.seen = 0;
    unsigned long at = fault.at;
    fault.at = 0;
    write_bytes(book, hot_book.s, hot_book.len);
    write_bytes(journal, hot_journal.s, hot_journal.len);
    fault.at = at;
    fault.seen = 0;
    wanted_after = 20;
    struct ledger *l = ledger_open(book, LEDGER_READ, said);
    ledger_close(l);
    return l != NULL;
}

/* ---- the campaign ---- */

typedef bool operation(void);
static struct sbuf pristine = SBUF_INIT;

static void slurp(const char *path, struct sbuf *b)
{
    FILE *f = fopen(path, "rb");
    ck_assert_ptr_nonnull(f);
    for (int c = fgetc(f); c != EOF; c = fgetc(f))
        sbuf_putc(b, (char)c);
    ck_assert_int_eq(fclose(f), 0);
}

static void prepare(void)
{
    char journal[170];
    sqlite3 *db = NULL;
    fresh();
    make_book(20);
    slurp(book, &pristine);
    ck_assert_int_eq(sqlite3_open(book, &db), SQLITE_OK);
    ck_assert_int_eq(
        sqlite3_exec(db,
                     "pragma cache_size=5; begin immediate;"
                     "with n(i) as (select 100 union all select i+1 from n where i<160)"
                     "insert into entry select i, filed, kind, 'X-'||i, action, amends, who,"
                     "why, source_file, source_line, xml||hex(zeroblob(500)), prev, hash "
                     "from n, entry where seq=1",
                     NULL, NULL, NULL),
        SQLITE_OK);
    snprintf(journal, sizeof journal, "%s-journal", book);
    slurp(book, &hot_book);
    slurp(journal, &hot_journal);
    sqlite3_exec(db, "rollback", NULL, NULL, NULL);
    sqlite3_close(db);
    TIDY("book.lotward");
}

static void clear_folder(void)
{
    char journal[170];
    snprintf(journal, sizeof journal, "%s-journal", book);
    (void)remove(journal); /* a journal without content may be left by a failed delete */
    TIDY("book.lotward");
}

static void exhaust(operation *op, bool sticky, int code)
{
    bool failed_at_all = false;
    for (unsigned long n = 1;; n++) {
        fresh();
        write_bytes(book, pristine.s, pristine.len);
        fault.at = n;
        fault.seen = 0;
        fault.sticky = sticky;
        fault.code = code;
        bool ok = op();
        unsigned long used = fault.seen;
        fault.at = 0;
        if (!ok) {
            failed_at_all = true;
            ck_assert_msg(diags_count_level(said, DIAG_ERROR) > 0,
                          "operation %lu failed and nothing was said", n);
        }
        forget();
        struct ledger_check c = verify(NULL);
        ck_assert_msg(c.whole, "operation %lu: %s", n, c.why);
        ck_assert_msg(c.entries == (ok ? wanted_after : 20), "operation %lu: said %s, holds %lld",
                      n, ok ? "done" : "failed", c.entries);
        clear_folder();
        if (used < n) {
            ck_assert_msg(ok, "failed without a fault");
            break;
        }
    }
    ck_assert(failed_at_all);
}

static operation *const operations[] = {filing,    amending,   loading,
                                        verifying, backing_up, recovering};

START_TEST(one_failure)
{
    install_shim();
    prepare();
    for (size_t i = 0; i < LW_COUNT(operations); i++)
        exhaust(operations[i], false, SQLITE_IOERR_WRITE);
}
END_TEST

START_TEST(failures_from_then_on)
{
    for (size_t i = 0; i < LW_COUNT(operations); i++)
        exhaust(operations[i], true, SQLITE_IOERR_WRITE);
}
END_TEST

START_TEST(a_full_disk)
{
    for (size_t i = 0; i < 2; i++) {
        exhaust(operations[i], false, SQLITE_FULL);
        exhaust(operations[i], true, SQLITE_FULL);
    }
    sbuf_free(&pristine);
    sbuf_free(&hot_book);
    sbuf_free(&hot_journal);
}
END_TEST

UNIT_MAIN("ledger/io", one_failure, failures_from_then_on, a_full_disk)
