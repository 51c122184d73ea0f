/* backup.c - a copy that was verified before it was called a copy. */
#define _XOPEN_SOURCE 700
#include "text/base.h"

#include "ledger/private.h"
#include "text/mem.h"
#include <fcntl.h>
#include <unistd.h>

#define OWNER_ONLY 0600

/* Takes the name, so that nothing that stands there is ever overwritten. */
static bool claim(const char *dest, const char *real, struct diags *d)
{
    int fd = open(real, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, OWNER_ONLY);
    if (fd >= 0 && close(fd) == 0)
        return true;
    if (fd >= 0) {
        diags_add(d, DIAG_FATAL, "book-io", dest, 0, 0, "try again",
                  "the backup cannot be made: %s", strerror(errno));
        (void)unlink(real);
    } else if (errno == EEXIST)
        diags_add(d, DIAG_FATAL, "exists", dest, 0, 0, "give a name that is not in use",
                  "a backup never overwrites: this exists");
    else
        diags_add(d, DIAG_FATAL, "book-permission", dest, 0, 0, NULL,
                  "the backup cannot be made: %s", strerror(errno));
    return false;
}

static bool copy_pages(struct ledger *l, const char *dest, const char *real, struct diags *d)
{
    sqlite3 *to = NULL;
    int rc = sqlite3_open_v2(
        real, &to, SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_NOFOLLOW, NULL);
    if (rc == SQLITE_OK)
        rc = sqlite3_extended_result_codes(to, 1);
    if (rc == SQLITE_OK)
        rc = sqlite3_exec(to, "PRAGMA synchronous=FULL", NULL, NULL, NULL);
    if (rc == SQLITE_OK) {
        sqlite3_backup *b = sqlite3_backup_init(to, "main", l->db, "main");
        if (b == NULL) {
            rc = sqlite3_extended_errcode(to);
        } else {
            rc = sqlite3_backup_step(b, -1);
            int end = sqlite3_backup_finish(b);
            if (rc == SQLITE_DONE)
                rc = end;
        }
    }
    if (rc != SQLITE_OK)
        ledger_error(dest, to, rc, "making the backup", d);
    sqlite3_close_v2(to);
    return rc == SQLITE_OK;
}

static bool check_copy(const char *dest, struct ledger_check *out, struct diags *d)
{
    struct ledger *copy = ledger_open(dest, LEDGER_READ, d);
    if (copy == NULL)
        return false;
    bool ok = ledger_verify(copy, NULL, out, d);
    if (ok && !out->whole) {
        diags_add(d, DIAG_FATAL, "book-broken", dest, (long)out->broken_seq, 0,
                  "look at the book itself with 'lotward book verify'",
                  "the copy does not verify and was removed: %s", out->why);
        ok = false;
    }
    ledger_close(copy);
    return ok;
}

bool ledger_backup(struct ledger *l, const char *dest, struct ledger_check *out, struct diags *d)
{
    *out = (struct ledger_check){0};
    char *real = ledger_real_path(dest, d);
    if (real == NULL)
        return false;
    bool ok = claim(dest, real, d);
    if (ok) {
        ok = copy_pages(l, dest, real, d) && check_copy(dest, out, d);
        if (ok && !ledger_sync_folder(real)) {
            diags_add(d, DIAG_FATAL, "book-io", dest, 0, 0, "try again",
                      "the backup's folder could not be written to disk");
            ok = false;
        }
        if (!ok)
            unlink(real);
    }
    mem_free(real);
    return ok;
}
