/* audit_more.h - what an audit adds to its summaries: open items with their age, months, own
 * history, corrections of the book, changes since an earlier audit, and its own mark in the book.
 */
#ifndef LW_COMMAND_AUDIT_MORE_H
#define LW_COMMAND_AUDIT_MORE_H

#include "command/record_days.h"
#include "command/session.h"

/* Each adds a table to s->report. false with a diagnostic when the database or memory failed. */
/* Worst first, with the record's day and age. */
void audit_open_items(struct session *s, const struct record_days *days);
/* Lots by the month they were begun in. */
bool audit_by_month(struct session *s, const struct record_days *days);
bool audit_balances(struct session *s);     /* a line a strained lot */
bool audit_own_history(struct session *s);  /* bands of products with enough earlier lots */
bool audit_late_filings(struct session *s); /* a note on lots typed long after; only with a book */
/* Against the JSON report of an earlier audit: what is new, unchanged, cleared. */
enum exit_status audit_since(struct session *s, struct findings *findings, const char *path);
/* The page: tables, the chart of the months, the findings. For report.page_body. */
void audit_page(const struct report *r, const void *user, struct sbuf *out);
/* Puts digest, rule-set hash and counts of the audit into the book named by --book. */
enum exit_status audit_into_book(struct session *s);

#endif
