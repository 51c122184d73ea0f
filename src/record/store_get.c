/* store_get.c - records back out of the tables. */
#include "text/base.h"

#include "record/store_internal.h"
#include "text/mem.h"

enum { GET_RID, GET_SEQ, GET_FILE, GET_LINE, GET_FIRST_ATTR };

struct loaded {
    sqlite3_int64 seq;
    struct record *r;
};

struct loaded_list {
    struct loaded *items;
    size_t count, cap;
};

void store_put_texts(struct sbuf *sql, const struct dict_element *e)
{
    char name[80];

    for (size_t i = 0; i < e->attr_count; i++) {
        dict_column(e->attrs[i].name, name, sizeof name);
        if (e->attrs[i].type == ATTR_DATE) {
            sbuf_printf(sql,
                        ",\"%s\"||CASE WHEN \"%s_minute\" IS NULL THEN '' ELSE "
                        "printf('T%%02d:%%02d',\"%s_minute\"/60,\"%s_minute\"%%60) END",
                        name, name, name, name);
        } else {
            sbuf_printf(sql, ",\"%s\"", name);
        }
    }
}

static bool prepare_get(struct store *s, struct store_kind *k)
{
    struct sbuf sql = SBUF_INIT;
    char name[80];
    bool ok = false;

    if (k->get != NULL) {
        return true;
    }
    sbuf_puts(&sql, "SELECT rid,seq,file,line");
    store_put_texts(&sql, k->e);
    dict_column(k->e->name, name, sizeof name);
    sbuf_printf(&sql, " FROM rec_%s WHERE %s=?1 ORDER BY rid", name,
                k->parent >= 0 ? "parent" : "rid");
    ok = store_prepare_text(s, &k->get, &sql, s->d);
    sbuf_free(&sql);
    return ok;
}

static struct record *record_from_row(struct store_kind *k)
{
    sqlite3_stmt *q = k->get;
    struct record *r = record_new(k->e, (const char *)sqlite3_column_text(q, GET_FILE),
                                  (long)sqlite3_column_int64(q, GET_LINE));

    for (size_t i = 0; r != NULL && i < k->e->attr_count; i++) {
        int at = GET_FIRST_ATTR + (int)i;
        const char *text = (const char *)sqlite3_column_text(q, at);
        if (text != NULL && !record_set_at(r, i, text, (size_t)sqlite3_column_bytes(q, at))) {
            record_free(r);
            r = NULL;
        }
    }
    if (r != NULL) {
        r->checked = true;
    }
    return r;
}

static bool list_add(struct loaded_list *l, sqlite3_int64 seq, struct record *r)
{
    if (r == NULL) {
        return false;
    }
    if (l->count == l->cap) {
        struct loaded *grown = mem_grow(l->items, &l->cap, l->count + 1, sizeof *grown);
        if (grown == NULL) {
            record_free(r);
            return false;
        }
        l->items = grown;
    }
    l->items[l->count++] = (struct loaded){seq, r};
    return true;
}

static int by_seq(const void *a, const void *b)
{
    sqlite3_int64 x = ((const struct loaded *)a)->seq;
    sqlite3_int64 y = ((const struct loaded *)b)->seq;

    return (x > y) - (x < y);
}

static struct record *load_row(struct store *s, struct store_kind *k, sqlite3_int64 *rid,
                               sqlite3_int64 *seq, bool *more);

/* The children of one kind; rows are read before their own children are, as `get` is shared. */
static bool load_children_of_kind(struct store *s, struct store_kind *k, sqlite3_int64 parent,
                                  struct loaded_list *l)
{
    bool more = true;
    bool ok = prepare_get(s, k);

    if (!ok) {
        return false;
    }
    (void)sqlite3_bind_int64(k->get, 1, parent);
    while (ok && more) {
        sqlite3_int64 rid = 0;
        sqlite3_int64 seq = 0;
        struct record *r = load_row(s, k, &rid, &seq, &more);
        ok = !more || list_add(l, seq, r);
    }
    (void)sqlite3_reset(k->get);
    return ok;
}

/* Recursion is bounded by the dictionary's own depth. */
static bool load_children(struct store *s, struct store_kind *k, struct record *r,
                          sqlite3_int64 rid)
{
    struct loaded_list l = {NULL, 0, 0};
    bool ok = true;
    size_t given = 0;

    for (size_t i = 0; ok && i < s->kind_count; i++) {
        if (s->kinds[i].parent >= 0 && &s->kinds[s->kinds[i].parent] == k) {
            ok = load_children_of_kind(s, &s->kinds[i], rid, &l);
        }
    }
    if (l.count > 1) {
        qsort(l.items, l.count, sizeof *l.items, by_seq);
    }
    while (ok && given < l.count) {
        ok = record_add_child(r, l.items[given].r);
        given += ok ? 1u : 0u;
    }
    for (; given < l.count; given++) {
        record_free(l.items[given].r);
    }
    mem_free(l.items);
    return ok;
}

/* Steps k->get. NULL with *more true: failed; with *more false: no further row. */
static struct record *load_row(struct store *s, struct store_kind *k, sqlite3_int64 *rid,
                               sqlite3_int64 *seq, bool *more)
{
    int rc = sqlite3_step(k->get);
    struct record *r = NULL;

    *more = rc != SQLITE_DONE;
    if (rc != SQLITE_ROW) {
        return NULL;
    }
    *rid = sqlite3_column_int64(k->get, GET_RID);
    *seq = sqlite3_column_int64(k->get, GET_SEQ);
    r = record_from_row(k);
    if (r != NULL && !load_children(s, k, r, *rid)) {
        record_free(r);
        r = NULL;
    }
    return r;
}

struct record *store_load(struct store *s, struct store_kind *k, sqlite3_int64 rid)
{
    sqlite3_int64 seq = 0;
    bool more = false;
    struct record *r = NULL;

    if (!prepare_get(s, k)) {
        return NULL;
    }
    (void)sqlite3_bind_int64(k->get, 1, rid);
    r = load_row(s, k, &rid, &seq, &more);
    if (r == NULL && more) {
        (void)store_trouble(s, "cannot read a record", s->d);
    }
    (void)sqlite3_reset(k->get);
    return r;
}

struct record *store_get(struct store *s, const char *kind, const char *id)
{
    const struct dict_element *e = dict_find(kind);
    struct store_kind *k = e != NULL ? store_kind_of(s, e) : NULL;
    struct store_place at;

    if (k == NULL || e->parent == NULL || k->parent >= 0 || id == NULL ||
        !store_find(s, k, id, &at)) {
        return NULL;
    }
    /* An active statement would keep SQL functions from being registered anew. */
    (void)sqlite3_reset(k->find);
    return store_load(s, k, at.rid);
}

/* Which of the kinds' next rows came first; false at the end. */
static bool next_of(sqlite3_stmt **rows, size_t count, size_t *which)
{
    sqlite3_int64 least = 0;
    bool found = false;

    for (size_t i = 0; i < count; i++) {
        if (rows[i] != NULL && (!found || sqlite3_column_int64(rows[i], 1) < least)) {
            least = sqlite3_column_int64(rows[i], 1);
            *which = i;
            found = true;
        }
    }
    return found;
}

static bool step_rows(struct store *s, sqlite3_stmt **row)
{
    int rc = sqlite3_step(*row);

    if (rc == SQLITE_DONE) {
        (void)sqlite3_finalize(*row);
        *row = NULL;
    }
    return rc == SQLITE_DONE || rc == SQLITE_ROW ||
           store_trouble(s, "cannot read the records", s->d);
}

static bool open_rows(struct store *s, const struct store_kind *k, sqlite3_stmt **row)
{
    char name[80];
    char sql[160];

    dict_column(k->e->name, name, sizeof name);
    (void)snprintf(sql, sizeof sql, "SELECT rid,seq FROM rec_%s ORDER BY rid", name);
    return store_prepare(s, row, sql, s->d) && step_rows(s, row);
}

bool store_each(struct store *s, const char *kind, bool (*fn)(const struct record *r, void *user),
                void *user)
{
    sqlite3_stmt **rows = mem_calloc(s->kind_count, sizeof *rows);
    size_t which = 0;
    bool ok = rows != NULL || store_trouble(s, "cannot read the records", s->d);

    for (size_t i = 0; ok && i < s->kind_count; i++) {
        const struct store_kind *k = &s->kinds[i];
        if (k->e->parent != NULL && k->parent < 0 &&
            (kind == NULL || strcmp(kind, k->e->name) == 0)) {
            ok = open_rows(s, k, &rows[i]);
        }
    }
    while (ok && next_of(rows, s->kind_count, &which)) {
        struct record *r = store_load(s, &s->kinds[which], sqlite3_column_int64(rows[which], 0));
        ok = r != NULL && fn(r, user) && step_rows(s, &rows[which]);
        record_free(r);
    }
    for (size_t i = 0; rows != NULL && i < s->kind_count; i++) {
        (void)sqlite3_finalize(rows[i]);
    }
    mem_free(rows);
    return ok;
}
