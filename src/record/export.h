/* export.h - the records of a store as text again: one XML file, or one CSV file a kind.
 *
 * Values are in canonical form, so the text needs no declarations, and reading it gives the same
 * tables. */
#ifndef LW_RECORD_EXPORT_H
#define LW_RECORD_EXPORT_H

#include "record/store.h"

/* Receives the text in pieces. false stops the export. */
typedef bool export_write(const char *text, size_t n, void *user);

/* <records> with every record, one a line, in order of arrival; only those of `kind` unless NULL.
 * false when write said stop, or memory or SQLite failed (a diagnostic in the store's list). */
bool export_xml(struct store *s, const char *kind, export_write *write, void *user);

/* The rows of one kind (children too: their first column names the parent) as comma-separated
 * text: a header of the columns in use, then a row a record. Nothing is written when there is no
 * row. *rows (may be NULL) is their number. */
bool export_csv(struct store *s, const char *kind, export_write *write, void *user,
                unsigned long *rows);

#endif
