/* filing.h - what file and amend have in common: record files into the book. */
#ifndef LW_COMMAND_FILING_H
#define LW_COMMAND_FILING_H

#include "command/session.h"
#include "ledger/ledger.h"

/* Bytes of "2026-03-04T14:30:00Z" and its NUL. */
enum { UTC_STAMP_BYTES = 21 };
/* The clock, read once a run: UTC, to the second. Returns out. */
char *utc_stamp(char out[UTC_STAMP_BYTES]);

struct filing_options {
    enum ledger_action action; /* LEDGER_FILE or LEDGER_AMEND */
    const char *who, *why;     /* NULL: not given */
    bool dry;                  /* show what would be done, write nothing */
    const char *map;           /* mapping file of the CSV files; NULL: none */
    const char *keep_good;     /* file for the refused records; NULL: all or nothing */
};

/* Reads s->files and files them into the book named by --book; prints what was done. */
enum exit_status filing_run(struct session *s, const struct filing_options *o);

/* The book named by --book, or NULL with a diagnostic and *status set. */
struct ledger *open_book(struct session *s, enum ledger_mode mode, enum exit_status *status);
/* INPUT for what the user can correct by typing something else, TROUBLE for disk, lock and memory.
 */
enum exit_status book_status(const struct session *s);

#endif
