/* store_internal.h - the inside of the store; for store*.c and export*.c only. */
#ifndef LW_RECORD_STORE_INTERNAL_H
#define LW_RECORD_STORE_INTERNAL_H

#include "record/store.h"
#include "record/value.h"

#define STORE_ATTR_COLUMNS 4 /* most columns one attribute fills */

struct attr_column {
    const char *suffix; /* "", "_g", "_res" ... */
    const char *type;   /* TEXT, REAL, INTEGER */
};

/* The columns of one attribute, the typed text first. Returns how many. */
size_t store_attr_columns(const struct dict_attr *a, struct attr_column out[STORE_ATTR_COLUMNS]);

struct store_kind {
    const struct dict_element *e;
    int parent;           /* index of the parent kind; -1: top-level */
    int *first;           /* bind parameter of each attribute's first column */
    sqlite3_stmt *insert; /* prepared at first use, as the others */
    sqlite3_stmt *find;   /* rid, file, line by id; top-level kinds */
    sqlite3_stmt *get;    /* the record by rid (top-level) or by parent (children) */
    sqlite3_int64 last_rid;
    sqlite3_int64 last_parent, n; /* children: the parent of the last row, and which of its rows */
};

struct pending {
    struct record *r;
    struct record_context ctx;
    const char *origin;
};

struct store {
    sqlite3 *db;
    struct diags *d;
    const char *origin;
    struct store_kind *kinds; /* one an element of the dictionary, same order; [0] is <records> */
    size_t kind_count;
    sqlite3_stmt *link;
    sqlite3_stmt *conflict;
    sqlite3_int64 seq;
    struct store_counts counts;
    struct pending *pending; /* child rows that wait for store_finish */
    size_t pending_count, pending_cap;
    struct sbuf scratch, other;
    void *companion; /* NULL: none */
    void (*companion_free)(void *);
};

struct store_kind *store_kind_of(struct store *s, const struct dict_element *e);
/* Adds SQLite's own words as a fatal diagnostic; returns false. */
bool store_trouble(struct store *s, const char *doing, struct diags *d);
/* A store that starts as a copy of `source`, which has the record tables already; NULL: an empty
 * one. */
struct store *store_new_from(sqlite3 *source, struct diags *d);
/* Sets up the kinds and, with `create`, their tables. */
bool store_create_tables(struct store *s, bool create);
/* Prepares *stmt once. */
bool store_prepare(struct store *s, sqlite3_stmt **stmt, const char *sql, struct diags *d);
/* The same from a buffer, which may have failed. */
bool store_prepare_text(struct store *s, sqlite3_stmt **stmt, const struct sbuf *sql,
                        struct diags *d);

/* The first row with that id: rid, file and line (valid until the next call). false: none. */
struct store_place {
    sqlite3_int64 rid;
    const char *file;
    long line;
};
bool store_find(struct store *s, struct store_kind *k, const char *id, struct store_place *at);

/* Inserts r and its children under row parent_rid (0: top-level) of record top_id. */
bool store_insert(struct store *s, const struct record *r, const struct record_context *ctx,
                  sqlite3_int64 parent_rid, const char *parent_id, const char *top_id,
                  struct diags *d);

/* The record in row rid of a top-level kind, children included. NULL: memory or SQLite failed. */
struct record *store_load(struct store *s, struct store_kind *k, sqlite3_int64 rid);

/* Appends ",column" for the canonical text of every attribute, in dictionary order. */
void store_put_texts(struct sbuf *sql, const struct dict_element *e);

bool store_attach_pending(struct store *s, struct diags *d);
bool store_resolve(struct store *s, struct diags *d);

#endif
