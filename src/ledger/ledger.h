/* ledger.h - the book: filed records in an append-only SQLite file, each row chained to the one
 * before by its SHA-256.
 *
 * The file holds one table (docs in lotward-book(1)):
 *
 *   entry(seq, filed, kind, id, action, amends, who, why, source_file, source_line, xml, prev,
 * hash)
 *
 * seq counts 1, 2, 3 ... without gaps. `xml` is the record's canonical XML; typed tables are
 * derived on load and never stored. `hash` is the SHA-256 (hexadecimal) of the text
 *
 *   "lotward-entry-1\n" then prev, seq, filed, kind, id, action, amends, who, why, source_file,
 *   source_line, xml, each written as LENGTH ':' BYTES ',' (LENGTH: bytes, in decimal) or, for an
 *   empty (NULL) field, "-,"
 *
 * where numbers are written in decimal, and prev is the hash of row seq-1, for row 1 sixty-four
 * '0'.
 *
 * Nothing is overwritten or deleted: an amendment is a new row whose `amends` names the row it
 * takes the place of. The file is opened read-only for every question. A file that is not exactly
 * such a book (another application, a newer version, a planted trigger, view, index or column, a
 * WAL header, a symbolic link, a directory, a device, a FIFO) is refused with a diagnostic that
 * says which.
 *
 * No function prints, exits or reads the clock. A ledger is for one thread. */
#ifndef LW_LEDGER_LEDGER_H
#define LW_LEDGER_LEDGER_H

#include "record/record.h"
#include "text/diag.h"
#include "text/sha256.h"

#define LEDGER_APPLICATION_ID 0x4C57424B         /* "LWBK" at byte 68 of the file */
#define LEDGER_VERSION        1                  /* user_version, at byte 60 */
#define LEDGER_XML_BYTES      (16 * 1024 * 1024) /* most bytes of one record's XML */
#define LEDGER_BUSY_MS        5000               /* how long another program's lock is waited for */
#define LEDGER_HEAD_DIGITS    16 /* fewest digits of a noted hash that ledger_verify takes */

struct ledger;

enum ledger_mode {
    LEDGER_READ,  /* read-only; the file must exist */
    LEDGER_WRITE, /* the file must exist */
    LEDGER_CREATE /* as WRITE, but a missing book is made, readable by its owner only (0600) */
};

/* NULL with a diagnostic, one of: "book-missing", "book-not-a-file", "book-foreign", "book-newer",
 * "book-changed" (the schema is not ours), "book-damaged", "book-busy", "book-permission",
 * "book-io", "out-of-memory". The path is a plain file name, never a URI. A filing that was cut off
 * by a crash is rolled back here, with a note "book-recovered"; a read-only open does that too when
 * it must. */
struct ledger *ledger_open(const char *path, enum ledger_mode mode, struct diags *d);
void ledger_close(struct ledger *l); /* NULL-safe; an open filing is rolled back */
const char *ledger_path(const struct ledger *l);

/* ---- Writing: one filing is one transaction; all of it lands, or none. ---- */

enum ledger_action { LEDGER_FILE, LEDGER_AMEND, LEDGER_WAIVE, LEDGER_AUDIT };
const char *ledger_action_name(enum ledger_action a); /* "file", "amend", "waive", "audit" */

struct ledger_stamp {
    enum ledger_action action;
    const char *filed; /* UTC, "YYYY-MM-DDThh:mm:ssZ": the command's one reading of the clock */
    const char *who;   /* NULL or "": not given; LEDGER_AMEND and LEDGER_WAIVE need both */
    const char *why;
};

enum ledger_outcome {
    LEDGER_ADDED,   /* a new row */
    LEDGER_SAME,    /* byte-identical with the version in force: nothing added */
    LEDGER_CHANGED, /* refused: the id is in the book with other content; `amend` is the way */
    LEDGER_UNKNOWN, /* refused: an amendment of an id that is not in the book */
    LEDGER_REFUSED, /* refused: the record itself, or the stamp, cannot be kept */
    LEDGER_FAILED   /* trouble with the file or memory: the filing must be rolled back */
};

/* Takes the write lock (BEGIN IMMEDIATE) and walks the chain of hashes. false with a diagnostic. */
bool ledger_begin(struct ledger *l, const struct ledger_stamp *stamp, struct diags *d);
/* The same as a question: takes no lock to write, needs no right to write; ledger_add() then says
 * what would happen (records of the same filing are not seen), and ledger_commit() only ends it. */
bool ledger_begin_dry(struct ledger *l, const struct ledger_stamp *stamp, struct diags *d);
/* Adds one record to the open filing. Refusals are error diagnostics at the record's file and line
 * and leave the filing as it was; the caller decides whether to go on. ctx as given by the reader.
 */
enum ledger_outcome ledger_add(struct ledger *l, const struct record *r,
                               const struct record_context *ctx, struct diags *d);
/* Adds a row of evidence that is not a record (action LEDGER_AUDIT): its own element as XML text.
 * Such rows are in history and verify, never in load or export. */
enum ledger_outcome ledger_add_evidence(struct ledger *l, const char *kind, const char *id,
                                        const char *xml, struct diags *d);
/* Makes the filing durable (synchronous FULL). false: nothing of it was kept. */
bool ledger_commit(struct ledger *l, struct diags *d);
/* The hash that the last row has, or will have once the open filing is committed; out[] is filled.
 * Only while a filing is open. */
void ledger_head(const struct ledger *l, char out[SHA256_HEX + 1]);
void ledger_rollback(struct ledger *l); /* harmless when no filing is open */

struct ledger_item {
    const struct record *record;
    struct record_context ctx;
    enum ledger_outcome outcome; /* out */
};
/* begin, add each, commit; with any refusal nothing is kept (every item still gets its outcome, and
 * every refusal its diagnostic). true when all are ADDED or SAME and the book is on disk. */
bool ledger_append(struct ledger *l, const struct ledger_stamp *stamp, struct ledger_item *items,
                   size_t count, struct diags *d);

/* ---- Reading ---- */

struct ledger_entry { /* strings live until the callback returns; NULL where the column is empty */
    long long seq;
    const char *filed, *kind, *id, *action;
    long long amends;     /* 0: none */
    long long amended_by; /* the row that took its place; 0: in force */
    const char *who, *why;
    const char *source_file;
    long source_line; /* 0: not known */
    const char *xml;
    const char *prev, *hash;
};
typedef bool ledger_each(const struct ledger_entry *e, void *user); /* false: stop, not an error */

/* Every row, or those of one kind, or of one record, in order of seq. kind and id may be NULL. */
bool ledger_history(struct ledger *l, const char *kind, const char *id, ledger_each *each,
                    void *user, struct diags *d);
/* Only the version in force of every record, in order of the rows; evidence rows left out. */
bool ledger_current(struct ledger *l, ledger_each *each, void *user, struct diags *d);

struct ledger_load_counts {
    unsigned long rows;    /* rows walked */
    unsigned long records; /* handed to the sink */
    unsigned long refused; /* rows in force that this program's dictionary no longer reads */
};
/* Streams the version in force of every record to `sink` (which owns it), in the order of the rows,
 * with record.file = the book's path and record.line = seq. Walks the hash chain on the way: a
 * broken book is an error even when every record could be read ("book-broken"). The caller sets the
 * store's origin to "book". false with a diagnostic. */
bool ledger_load(struct ledger *l, record_sink *sink, void *user, struct ledger_load_counts *counts,
                 struct diags *d);

struct ledger_check {
    bool whole;        /* every row verified, and the expected hash found if one was given */
    long long entries; /* rows */
    long long records; /* records in force */
    char head[SHA256_HEX + 1]; /* hash of the last row that verified; 64 '0' for an empty book */
    long long broken_seq;      /* first row that is wrong; 0: none, or not tied to one row */
    long long expected_seq;    /* row that carries the expected hash; 0: not found or none given */
    char why[200];             /* when not whole */
};
/* SQLite's own integrity check, then the chain from row 1: hashes, links, gaps, amendments that
 * name a row of the same record in force at that time. `expect` (NULL: none) is a head noted
 * earlier, at least LEDGER_HEAD_DIGITS hexadecimal digits (spaces and hyphens ignored): some row
 * must carry it, or the book was cut or rewritten since. false with a diagnostic only for trouble;
 * a book that does not verify is true with whole = false. */
bool ledger_verify(struct ledger *l, const char *expect, struct ledger_check *out, struct diags *d);

/* Copies the book to `dest`, which must not exist (0600), through SQLite's backup interface, then
 * opens and verifies the copy. false with a diagnostic, and no file left behind. */
bool ledger_backup(struct ledger *l, const char *dest, struct ledger_check *out, struct diags *d);

#endif
