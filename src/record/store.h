/* store.h - the memory database: one table a record kind, and the shipped catalogue.
 *
 * Table rec_KIND has: rid INTEGER PRIMARY KEY, parent INTEGER (rid of the parent row, children
 * only), PARENTKIND TEXT (the parent's id, children only, e.g. rec_charge.batch), file TEXT, line
 * INTEGER, origin TEXT ('file' | 'book' | 'plan'), seq INTEGER (order of arrival), n INTEGER (which
 * of its parent's rows of the kind, from 1; children only), then a column an
 * attribute: the typed text made free of the file's declarations ("1,5 qt" of a US file is "1.5
 * qt-us"), and beside each quantity its converted value (dict_suffix) and NAME_res, half of the
 * last typed digit. Money also has NAME_currency. Names that are SQL words ("from", "to") need
 * double quotes. Approximate or missing words ("about 200 g", "n/a") leave the converted column
 * NULL. Dates are ISO text; a time of day, when given, is in NAME_minute. Strengths are % vol at 20
 * degC whatever was typed (conversion by OIML R 22). rec_link(kind, rid, id, attr, target) holds
 * every reference, one row each; id is that of the top-level record the reference stands in.
 * rec_entry(seq, kind, id, filed, action, amends, amended_by, who, why, change) holds the rows of
 * the book, when one was read; change says what an amendment put in place of what. Catalogue sheets
 * become cat_NAME; limits become lim (see catalogue.h). */
#ifndef LW_RECORD_STORE_H
#define LW_RECORD_STORE_H

#include "record/record.h"
#include <sqlite3.h>

struct store;

/* NULL with a diagnostic when memory or SQLite failed. */
struct store *store_new(struct diags *d);
void store_free(struct store *s);   /* NULL-safe */
sqlite3 *store_db(struct store *s); /* owned by the store */
/* Where the next records come from: "file", "book" or "plan" (static string). */
void store_set_origin(struct store *s, const char *origin);

/* record_sink for the readers (user = struct store *): checks, then inserts the record and its
 * children. The same id again: byte-identical canonical form is skipped with a note; a different
 * one is kept out with an error that names both places, and a row in rec_conflict(kind, id, file,
 * line, first_file, first_line). */
bool store_sink(struct record *r, const struct record_context *ctx, void *user);
/* As store_sink, but tells what happened and does not take ownership. */
enum store_result { STORE_ADDED, STORE_SAME, STORE_CONFLICT, STORE_REFUSED, STORE_FAILED };
enum store_result store_add(struct store *s, const struct record *r,
                            const struct record_context *ctx, struct diags *d);
/* Builds indexes and resolves references: each dangling one is a warning with a near name.
 * Call once after the last record. */
bool store_finish(struct store *s, struct diags *d);
/* Throws every record away and keeps the catalogue and the settings. false with a diagnostic. */
bool store_reset(struct store *s);
struct diags *store_diags(struct store *s); /* the list given to store_new */

/* One thing of the caller's that lives as long as the store and is freed just before it, such as
 * statements compiled for its database. Replaces nothing: call once. */
void store_keep(struct store *s, void *companion, void (*free_it)(void *));
void *store_companion(const struct store *s); /* NULL: none */

struct store_counts {
    unsigned long added;    /* top-level records, and child rows attached */
    unsigned long same;     /* skipped: already there, byte for byte */
    unsigned long conflict; /* kept out: the id is taken by a different record */
    unsigned long refused;  /* kept out: errors in the record, or a child row without its parent */
};
struct store_counts store_counts(const struct store *s);
/* Rebuilds the record with that id, children included; values in canonical form (context
 * RECORD_CANONICAL). NULL when there is none or memory failed. The caller frees it. */
struct record *store_get(struct store *s, const char *kind, const char *id);
/* Calls fn for each top-level record in order of arrival (all kinds when kind is NULL); the record
 * is freed afterwards. false when fn returned false or memory failed. */
bool store_each(struct store *s, const char *kind, bool (*fn)(const struct record *r, void *user),
                void *user);

#endif
