/* private.h - what the files of ledger/ share; nothing outside includes it. */
#ifndef LW_LEDGER_PRIVATE_H
#define LW_LEDGER_PRIVATE_H

#include "ledger/ledger.h"
#include "text/sbuf.h"
#include <sqlite3.h>

struct ledger {
    char *path; /* as given: for messages */
    char *real; /* absolute, folder resolved: what SQLite is given, so that it is never a URI */
    sqlite3 *db;
    bool writable;

    /* The open filing. */
    bool filing, dry;
    enum ledger_action action;
    char *filed, *who, *why;
    long long head_seq;
    char head[SHA256_HEX + 1], next[SHA256_HEX + 1];
    sqlite3_stmt *find;   /* version in force of one record */
    sqlite3_stmt *insert; /* one row */
    struct sbuf xml;      /* scratch: canonical XML */
};

/* ---- error.c ---- */

/* One fatal diagnostic for a SQLite result: which code, what it means to the user, what to do. */
void ledger_error(const char *path, sqlite3 *db, int rc, const char *doing, struct diags *d);
bool ledger_prepare(struct ledger *l, const char *sql, sqlite3_stmt **stmt, struct diags *d);
bool ledger_exec(struct ledger *l, const char *sql, const char *doing, struct diags *d);

/* ---- path.c ---- */

/* Absolute name of `path` with its folder resolved (mem_free), or NULL with a diagnostic. */
char *ledger_real_path(const char *path, struct diags *d);
/* What stands at `real`: 0 nothing, 1 a regular file, -1 anything else or trouble (diagnosed). */
int ledger_look(const char *path, const char *real, struct diags *d);
/* Makes an empty book at `real` in one step; false with a diagnostic. */
bool ledger_make(const char *path, const char *real, struct diags *d);
/* fsync of the folder that holds `real`, so that a new name survives a power cut. */
bool ledger_sync_folder(const char *real);

/* ---- schema.c ---- */

extern const char *const ledger_ddl[]; /* NULL-terminated */
/* Defensive settings of a handle that has not read anything yet. false with a diagnostic. */
bool ledger_harden(sqlite3 *db, const char *path, struct diags *d);
/* Reads the file's first bytes through SQLite's own handle; true when they are a book's. */
bool ledger_header_ok(sqlite3 *db, const char *path, struct diags *d);
/* SQLITE_OK: exactly our schema. SQLITE_SCHEMA: another, diagnosed. Else the error, not diagnosed.
 */
int ledger_schema_check(sqlite3 *db, const char *path, struct diags *d);

/* ---- chain.c ---- */

extern const char ledger_genesis[SHA256_HEX + 1];

/* The row's hash by the rule in ledger.h; e->hash is not used. */
void ledger_hash(const struct ledger_entry *e, char out[SHA256_HEX + 1]);
/* The columns of a row as ledger_row() wants them: those that are stored, then who took its place.
 */
#define LEDGER_STORED                                                                              \
    "e.seq, e.filed, e.kind, e.id, e.action, e.amends, e.who, e.why, e.source_file, "              \
    "e.source_line, e.xml, e.prev, e.hash"
#define LEDGER_ROW LEDGER_STORED ", (SELECT a.seq FROM entry a WHERE a.amends = e.seq)"
/* Fills e from a statement that selects LEDGER_ROW. false when SQLite ran out of memory. */
bool ledger_row(sqlite3_stmt *s, struct ledger_entry *e);
/* NULL when e follows (seq, prev) and its hash is right; else why not (static text). */
const char *ledger_link_wrong(const struct ledger_entry *e, long long last_seq, const char *last);

#endif
