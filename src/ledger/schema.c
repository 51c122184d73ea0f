/* schema.c - what a book looks like inside, and the refusal of everything else. */
#include "text/base.h"

#include "ledger/private.h"
#include <inttypes.h>

/* STRICT: a column never holds another type than declared. Compared byte for byte on opening, so a
 * change here is a new LEDGER_VERSION. */
const char *const ledger_ddl[] = {
    "CREATE TABLE entry(seq INTEGER PRIMARY KEY, filed TEXT NOT NULL, kind TEXT NOT NULL, "
    "id TEXT NOT NULL, action TEXT NOT NULL, amends INTEGER, who TEXT, why TEXT, source_file TEXT, "
    "source_line INTEGER, xml TEXT NOT NULL, prev TEXT NOT NULL, hash TEXT NOT NULL) STRICT",
    "CREATE INDEX entry_record ON entry(kind, id)",
    "CREATE UNIQUE INDEX entry_amends ON entry(amends) WHERE amends IS NOT NULL", NULL};

/* Offsets in the file header: SQLite database file format, section 1.3. */
#define HEADER_BYTES      100
#define AT_WRITE_VERSION  18
#define AT_READ_VERSION   19
#define AT_TEXT_ENCODING  56
#define AT_USER_VERSION   60
#define AT_APPLICATION_ID 68
#define ROLLBACK_JOURNAL  1
#define UTF_8             1

static uint32_t be32(const unsigned char *p)
{
    return (uint32_t)p[0] << 24 | (uint32_t)p[1] << 16 | (uint32_t)p[2] << 8 | (uint32_t)p[3];
}

bool ledger_harden(sqlite3 *db, const char *path, struct diags *d)
{
    static const struct {
        int option, on;
    } settings[] = {
        {SQLITE_DBCONFIG_DEFENSIVE, 1},       {SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0},
        {SQLITE_DBCONFIG_DQS_DML, 0},         {SQLITE_DBCONFIG_DQS_DDL, 0},
        {SQLITE_DBCONFIG_ENABLE_TRIGGER, 0},  {SQLITE_DBCONFIG_ENABLE_VIEW, 0},
        {SQLITE_DBCONFIG_WRITABLE_SCHEMA, 0}, {SQLITE_DBCONFIG_ENABLE_LOAD_EXTENSION, 0},
    };
    int rc = sqlite3_extended_result_codes(db, 1);
    for (size_t i = 0; rc == SQLITE_OK && i < LW_COUNT(settings); i++)
        rc = sqlite3_db_config(db, settings[i].option, settings[i].on, NULL);
    if (rc == SQLITE_OK)
        rc = sqlite3_busy_timeout(db, LEDGER_BUSY_MS);
    sqlite3_limit(db, SQLITE_LIMIT_ATTACHED, 0);
    sqlite3_limit(db, SQLITE_LIMIT_LENGTH, LEDGER_XML_BYTES + 1024 * 1024);
    /* Only settings that touch no page of the file: its header has not been judged yet. */
    if (rc == SQLITE_OK)
        rc = sqlite3_exec(db,
                          "PRAGMA cell_size_check=ON; PRAGMA mmap_size=0; PRAGMA temp_store=MEMORY",
                          NULL, NULL, NULL);
    if (rc != SQLITE_OK)
        ledger_error(path, db, rc, "opening the book", d);
    return rc == SQLITE_OK;
}

static bool judge_header(const unsigned char *p, const char *path, struct diags *d)
{
    if (memcmp(p, "SQLite format 3", 16) != 0) {
        diags_add(d, DIAG_FATAL, "book-foreign", path, 0, 0,
                  "record files are named without --book", "the file is not a lotward book");
        return false;
    }
    if (be32(p + AT_APPLICATION_ID) != LEDGER_APPLICATION_ID) {
        diags_add(d, DIAG_FATAL, "book-foreign", path, 0, 0, NULL,
                  "the file belongs to another application (its mark is %08" PRIX32
                  ", a lotward book's is %08X)",
                  be32(p + AT_APPLICATION_ID), (unsigned)LEDGER_APPLICATION_ID);
        return false;
    }
    uint32_t version = be32(p + AT_USER_VERSION);
    if (version > LEDGER_VERSION) {
        diags_add(d, DIAG_FATAL, "book-newer", path, 0, 0, "use the newer lotward",
                  "the book was written by a newer lotward (form %" PRIu32
                  "; this one reads up to %d)",
                  version, LEDGER_VERSION);
        return false;
    }
    if (version != LEDGER_VERSION || p[AT_WRITE_VERSION] != ROLLBACK_JOURNAL ||
        p[AT_READ_VERSION] != ROLLBACK_JOURNAL || be32(p + AT_TEXT_ENCODING) != UTF_8) {
        diags_add(d, DIAG_FATAL, "book-changed", path, 0, 0,
                  "put back a backup made by 'lotward book backup'",
                  "the file's header was changed by another program");
        return false;
    }
    return true;
}

bool ledger_header_ok(sqlite3 *db, const char *path, struct diags *d)
{
    unsigned char p[HEADER_BYTES];
    sqlite3_file *f = NULL;
    int rc = sqlite3_file_control(db, "main", SQLITE_FCNTL_FILE_POINTER, &f);
    if (rc == SQLITE_OK && (f == NULL || f->pMethods == NULL))
        rc = SQLITE_CANTOPEN;
    if (rc == SQLITE_OK)
        rc = f->pMethods->xRead(f, p, HEADER_BYTES, 0);
    if (rc == SQLITE_IOERR_SHORT_READ) {
        diags_add(d, DIAG_FATAL, "book-damaged", path, 0, 0,
                  "put back a backup; a file that was never a book may be removed",
                  "the file is empty or cut short: too small to be a book");
        return false;
    }
    if (rc != SQLITE_OK) {
        ledger_error(path, db, rc, "opening the book", d);
        return false;
    }
    return judge_header(p, path, d);
}

static bool is_ours(const char *sql)
{
    for (size_t i = 0; sql != NULL && ledger_ddl[i] != NULL; i++)
        if (strcmp(sql, ledger_ddl[i]) == 0)
            return true;
    return false;
}

int ledger_schema_check(sqlite3 *db, const char *path, struct diags *d)
{
    sqlite3_stmt *s = NULL;
    size_t seen = 0, want = 0;
    while (ledger_ddl[want] != NULL)
        want++;
    int rc = sqlite3_prepare_v2(db, "SELECT type, name, sql FROM sqlite_schema", -1, &s, NULL);
    while (rc == SQLITE_OK || rc == SQLITE_ROW) {
        rc = sqlite3_step(s);
        if (rc != SQLITE_ROW)
            break;
        const char *type = (const char *)sqlite3_column_text(s, 0);
        const char *name = (const char *)sqlite3_column_text(s, 1);
        const char *sql = (const char *)sqlite3_column_text(s, 2);
        if (sqlite3_errcode(db) == SQLITE_NOMEM) {
            rc = SQLITE_NOMEM;
            break;
        }
        if (!is_ours(sql)) {
            diags_add(d, DIAG_FATAL, "book-changed", path, 0, 0,
                      "put back a backup made by 'lotward book backup'",
                      "the book holds a %s '%s' that lotward did not make", type ? type : "thing",
                      name ? name : "?");
            rc = SQLITE_SCHEMA;
            break;
        }
        seen++;
    }
    sqlite3_finalize(s);
    if (rc == SQLITE_DONE)
        rc = SQLITE_OK;
    if (rc == SQLITE_OK && seen != want) {
        diags_add(d, DIAG_FATAL, "book-changed", path, 0, 0,
                  "put back a backup made by 'lotward book backup'",
                  "the book lacks a table or an index that lotward made");
        rc = SQLITE_SCHEMA;
    }
    return rc;
}
