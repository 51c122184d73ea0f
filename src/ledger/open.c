/* open.c - opening a book: look, check, recover when a filing was cut off, check again. */
#include "text/base.h"

#include "ledger/private.h"
#include "text/mem.h"
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

/* The last eight bytes of a journal that names a super-journal: SQLite file format, section 3. */
static const unsigned char journal_magic[8] = {0xd9, 0xd5, 0x05, 0xf9, 0x20, 0xa1, 0x63, 0xd7};

const char *ledger_path(const struct ledger *l)
{
    return l->path;
}

void ledger_close(struct ledger *l)
{
    if (l == NULL)
        return;
    ledger_rollback(l);
    sqlite3_close_v2(l->db);
    sbuf_free(&l->xml);
    mem_free(l->path);
    mem_free(l->real);
    mem_free(l);
}

/* A rollback journal beside the book is data too. Ours never names a super-journal (nothing is ever
 * attached); replaying one that does would let it name files for SQLite to delete. */
static bool journal_ok(const struct ledger *l, struct diags *d)
{
    struct sbuf name = SBUF_INIT;
    struct stat st;
    bool ok = true;
    sbuf_printf(&name, "%s-journal", l->real);
    if (name.failed) {
        diags_out_of_memory(d);
        ok = false;
    } else if (lstat(name.s, &st) == 0 && !S_ISREG(st.st_mode)) {
        ok = false;
        diags_add(d, DIAG_FATAL, "book-changed", name.s, 0, 0, "look at it, then remove it",
                  "the book's journal is not a plain file");
    } else {
        unsigned char tail[sizeof journal_magic];
        int fd = open(name.s, O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);
        if (fd >= 0 && lseek(fd, -(off_t)sizeof tail, SEEK_END) >= 0 &&
            read(fd, tail, sizeof tail) == (ssize_t)sizeof tail &&
            memcmp(tail, journal_magic, sizeof tail) == 0) {
            ok = false;
            diags_add(d, DIAG_FATAL, "book-changed", name.s, 0, 0,
                      "keep both files and put back a backup",
                      "the book's journal was not written by lotward");
        }
        if (fd >= 0)
            close(fd);
    }
    sbuf_free(&name);
    return ok;
}

/* A hardened handle whose header is a book's. */
static bool connect_book(struct ledger *l, bool writable, struct diags *d)
{
    int flags = writable ? SQLITE_OPEN_READWRITE : SQLITE_OPEN_READONLY;
    int rc =
        sqlite3_open_v2(l->real, &l->db, flags | SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_NOFOLLOW, NULL);
    if (rc != SQLITE_OK) {
        ledger_error(l->path, l->db, rc, "opening the book", d);
        return false;
    }
    return ledger_harden(l->db, l->path, d) && ledger_header_ok(l->db, l->path, d);
}

static void disconnect(struct ledger *l)
{
    sqlite3_close_v2(l->db);
    l->db = NULL;
}

/* A filing was cut off and its journal must be played back, which a read-only handle may not do. */
static bool recover(struct ledger *l, struct diags *d)
{
    disconnect(l);
    if (!connect_book(l, true, d))
        return false;
    int rc = ledger_schema_check(l->db, l->path, d);
    if (rc != SQLITE_OK && rc != SQLITE_SCHEMA)
        ledger_error(l->path, l->db, rc, "putting back the book after a filing that was cut off",
                     d);
    disconnect(l);
    if (rc != SQLITE_OK)
        return false;
    diags_add(d, DIAG_NOTE, "book-recovered", l->path, 0, 0, NULL,
              "an earlier filing was cut off; the book is as it was before that filing");
    return true;
}

static bool open_reading(struct ledger *l, struct diags *d)
{
    if (!connect_book(l, false, d))
        return false;
    int rc = ledger_schema_check(l->db, l->path, d);
    if (rc == SQLITE_READONLY_ROLLBACK) {
        if (!recover(l, d) || !connect_book(l, false, d))
            return false;
        rc = ledger_schema_check(l->db, l->path, d);
    }
    if (rc != SQLITE_OK && rc != SQLITE_SCHEMA)
        ledger_error(l->path, l->db, rc, "opening the book", d);
    return rc == SQLITE_OK &&
           ledger_exec(l, "PRAGMA query_only=ON; PRAGMA cache_size=-8192", "opening the book", d);
}

static bool open_writing(struct ledger *l, struct diags *d)
{
    if (!connect_book(l, true, d))
        return false;
    if (sqlite3_db_readonly(l->db, "main") != 0) {
        diags_add(d, DIAG_FATAL, "book-permission", l->path, 0, 0,
                  "filing needs a book that its user may write",
                  "the book cannot be written: it or its disk is read-only");
        return false;
    }
    int rc = ledger_schema_check(l->db, l->path, d);
    if (rc != SQLITE_OK && rc != SQLITE_SCHEMA)
        ledger_error(l->path, l->db, rc, "opening the book", d);
    return rc == SQLITE_OK &&
           ledger_exec(
               l, "PRAGMA journal_mode=DELETE; PRAGMA synchronous=FULL; PRAGMA cache_size=-8192",
               "opening the book", d);
}

struct ledger *ledger_open(const char *path, enum ledger_mode mode, struct diags *d)
{
    struct ledger *l = mem_calloc(1, sizeof *l);
    if (l == NULL) {
        diags_out_of_memory(d);
        return NULL;
    }
    l->xml = (struct sbuf)SBUF_INIT;
    l->path = mem_strdup(path);
    if (l->path == NULL) {
        diags_out_of_memory(d);
        goto fail;
    }
    l->real = ledger_real_path(path, d);
    if (l->real == NULL)
        goto fail;
    int there = ledger_look(path, l->real, d);
    if (there < 0)
        goto fail;
    if (there == 0 && mode != LEDGER_CREATE) {
        diags_add(d, DIAG_FATAL, "book-missing", path, 0, 0, "'lotward file' makes a new book",
                  "there is no book of this name");
        goto fail;
    }
    if (there == 0 && (!ledger_make(path, l->real, d) || ledger_look(path, l->real, d) != 1))
        goto fail;
    /* Always read-only first: a file that is not a book is never opened for writing. */
    if (!journal_ok(l, d) || !open_reading(l, d))
        goto fail;
    if (mode != LEDGER_READ) {
        disconnect(l);
        if (!open_writing(l, d))
            goto fail;
        l->writable = true;
    }
    return l;
fail:
    ledger_close(l);
    return NULL;
}
