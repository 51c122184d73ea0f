/* error.c - what SQLite says, in the words of a person who keeps a book. */
#include "text/base.h"

#include "ledger/private.h"

static bool is_nomem(int rc)
{
    return (rc & 0xff) == SQLITE_NOMEM || rc == SQLITE_IOERR_NOMEM;
}

void ledger_error(const char *path, sqlite3 *db, int rc, const char *doing, struct diags *d)
{
    if (is_nomem(rc)) {
        diags_out_of_memory(d);
        return;
    }
    const char *code = "book-io", *hint = NULL, *what = sqlite3_errstr(rc);
    int system_error = 0;
    switch (rc & 0xff) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        code = "book-busy";
        what = "another program is using the book";
        hint = "try again when the other program has ended";
        break;
    case SQLITE_FULL:
        what = "no room left on the disk";
        hint = "nothing of this filing was kept; make room and file again";
        break;
    case SQLITE_NOTADB:
        code = "book-foreign";
        what = "the file is not a lotward book";
        break;
    case SQLITE_CORRUPT:
        code = "book-damaged";
        what = "the file is damaged or cut short";
        hint = "put back a backup; every good backup passes 'lotward book verify'";
        break;
    case SQLITE_READONLY:
    case SQLITE_PERM:
    case SQLITE_AUTH:
    case SQLITE_CANTOPEN:
        code = "book-permission";
        hint = "the book and its folder must be yours to read, and to write when filing";
        system_error = db ? sqlite3_system_errno(db) : 0;
        break;
    case SQLITE_IOERR:
        system_error = db ? sqlite3_system_errno(db) : 0;
        break;
    default:
        break;
    }
    if (system_error != 0)
        diags_add(d, DIAG_FATAL, code, path, 0, 0, hint, "%s: %s (%s)", doing, what,
                  strerror(system_error));
    else
        diags_add(d, DIAG_FATAL, code, path, 0, 0, hint, "%s: %s", doing, what);
}

bool ledger_prepare(struct ledger *l, const char *sql, sqlite3_stmt **stmt, struct diags *d)
{
    int rc = sqlite3_prepare_v2(l->db, sql, -1, stmt, NULL);
    if (rc == SQLITE_OK)
        return true;
    ledger_error(l->path, l->db, rc, "asking the book", d);
    return false;
}

bool ledger_exec(struct ledger *l, const char *sql, const char *doing, struct diags *d)
{
    int rc = sqlite3_exec(l->db, sql, NULL, NULL, NULL);
    if (rc == SQLITE_OK)
        return true;
    ledger_error(l->path, l->db, rc, doing, d);
    return false;
}
