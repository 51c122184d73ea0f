/* store.c - the memory database: opening, adding, and what happens when an id comes twice. */
#include "text/base.h"

#include "record/dict_near.h"
#include "record/store_internal.h"
#include "text/mem.h"
#include "text/utf8.h"

enum { SAME_NOTES = 20 }; /* repeated records told of one by one */

struct store_kind *store_kind_of(struct store *s, const struct dict_element *e)
{
    size_t count = 0;

    return &s->kinds[e - dict_elements(&count)];
}

bool store_trouble(struct store *s, const char *doing, struct diags *d)
{
    int code = sqlite3_errcode(s->db);

    /* Nothing wrong in SQLite: it was an allocation of our own. */
    if (code == SQLITE_NOMEM || code == SQLITE_OK || code == SQLITE_ROW || code == SQLITE_DONE) {
        diags_out_of_memory(d);
    } else {
        diags_add(d, DIAG_FATAL, "store", NULL, 0, 0, NULL, "%s: %s", doing, sqlite3_errmsg(s->db));
    }
    return false;
}

bool store_prepare(struct store *s, sqlite3_stmt **stmt, const char *sql, struct diags *d)
{
    if (*stmt != NULL) {
        return true;
    }
    if (sqlite3_prepare_v3(s->db, sql, -1, SQLITE_PREPARE_PERSISTENT, stmt, NULL) != SQLITE_OK) {
        return store_trouble(s, "cannot prepare a statement", d);
    }
    return true;
}

static bool copy_database(sqlite3 *to, sqlite3 *from)
{
    sqlite3_backup *b = sqlite3_backup_init(to, "main", from, "main");

    bool copied = b != NULL && sqlite3_backup_step(b, -1) == SQLITE_DONE;

    /* Finished in any case: a source with an open backup cannot be closed. */
    return sqlite3_backup_finish(b) == SQLITE_OK && copied;
}

bool store_prepare_text(struct store *s, sqlite3_stmt **stmt, const struct sbuf *sql,
                        struct diags *d)
{
    if (sql->failed) {
        diags_out_of_memory(d);
        return false;
    }
    return store_prepare(s, stmt, sql->s, d);
}

struct store *store_new(struct diags *d)
{
    return store_new_from(NULL, d);
}

struct store *store_new_from(sqlite3 *source, struct diags *d)
{
    struct store *s = mem_calloc(1, sizeof *s);
    const int flags = SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE | SQLITE_OPEN_MEMORY |
                      SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_PRIVATECACHE;

    if (s == NULL) {
        diags_out_of_memory(d);
        return NULL;
    }
    s->d = d;
    s->origin = "file";
    s->scratch = (struct sbuf)SBUF_INIT;
    s->other = (struct sbuf)SBUF_INIT;
    if (sqlite3_open_v2(":memory:", &s->db, flags, NULL) != SQLITE_OK ||
        (source ? !copy_database(s->db, source) : false) ||
        !store_create_tables(s, source == NULL) ||
        sqlite3_exec(s->db, "PRAGMA journal_mode=OFF; PRAGMA temp_store=MEMORY; BEGIN", NULL, NULL,
                     NULL) != SQLITE_OK) {
        (void)store_trouble(s, "cannot open the memory tables", d);
        store_free(s);
        return NULL;
    }
    return s;
}

void store_free(struct store *s)
{
    if (s == NULL) {
        return;
    }
    if (s->companion != NULL) {
        s->companion_free(s->companion);
    }
    for (size_t i = 0; s->kinds != NULL && i < s->kind_count; i++) {
        mem_free(s->kinds[i].first);
        (void)sqlite3_finalize(s->kinds[i].insert);
        (void)sqlite3_finalize(s->kinds[i].find);
        (void)sqlite3_finalize(s->kinds[i].get);
    }
    for (size_t i = 0; i < s->pending_count; i++) {
        record_free(s->pending[i].r);
    }
    (void)sqlite3_finalize(s->link);
    (void)sqlite3_finalize(s->conflict);
    (void)sqlite3_close_v2(s->db);
    mem_free(s->pending);
    mem_free(s->kinds);
    sbuf_free(&s->scratch);
    sbuf_free(&s->other);
    mem_free(s);
}

void store_keep(struct store *s, void *companion, void (*free_it)(void *))
{
    assert(s->companion == NULL);
    s->companion = companion;
    s->companion_free = free_it;
}

void *store_companion(const struct store *s)
{
    return s->companion;
}

sqlite3 *store_db(struct store *s)
{
    return s->db;
}

void store_set_origin(struct store *s, const char *origin)
{
    s->origin = origin;
}

struct diags *store_diags(struct store *s)
{
    return s->d;
}

struct store_counts store_counts(const struct store *s)
{
    return s->counts;
}

bool store_find(struct store *s, struct store_kind *k, const char *id, struct store_place *at)
{
    char table[80];
    char sql[160];

    if (k->find == NULL) {
        dict_column(k->e->name, table, sizeof table);
        (void)snprintf(sql, sizeof sql, "SELECT rid,file,line FROM rec_%s WHERE id=?1", table);
        if (!store_prepare(s, &k->find, sql, s->d)) {
            return false;
        }
    }
    (void)sqlite3_reset(k->find);
    int rc = sqlite3_bind_text(k->find, 1, id, -1, SQLITE_TRANSIENT);
    rc = rc == SQLITE_OK ? sqlite3_step(k->find) : rc;
    if (rc != SQLITE_ROW) {
        if (rc != SQLITE_DONE) {
            (void)store_trouble(s, "cannot look for a record", s->d);
        }
        (void)sqlite3_reset(k->find);
        return false;
    }
    at->rid = sqlite3_column_int64(k->find, 0);
    at->file = (const char *)sqlite3_column_text(k->find, 1);
    at->line = (long)sqlite3_column_int64(k->find, 2);
    return true;
}

/* ---- an id that comes twice ---- */

/* The first attribute that differs, as " (mass: 400 g there, 500 g here)"; "" when it is a child.
 */
static void put_difference(const struct record *old, const struct record *r,
                           const struct record_context *ctx, struct sbuf *out)
{
    struct sbuf now = SBUF_INIT;

    for (size_t i = 0; i < r->element->attr_count; i++) {
        const struct dict_attr *a = &r->element->attrs[i];
        struct value v;

        sbuf_clear(&now);
        if (r->values[i] != NULL) {
            value_read(a, r->values[i], ctx, &v);
            value_canonical(a, r->values[i], ctx, &v, &now);
        }
        if (strcmp(now.s, old->values[i] != NULL ? old->values[i] : "") != 0) {
            sbuf_printf(out, " (%s: %.60s there, %.60s here)", a->name,
                        old->values[i] != NULL ? old->values[i] : "nothing",
                        now.len > 0 ? now.s : "nothing");
            break;
        }
    }
    sbuf_free(&now);
}

static bool keep_conflict(struct store *s, const struct record *r, const struct store_place *first)
{
    sqlite3_stmt *q = NULL;
    bool ok = false;

    if (!store_prepare(s, &s->conflict, "INSERT INTO rec_conflict VALUES (?1,?2,?3,?4,?5,?6)",
                       s->d)) {
        return false;
    }
    q = s->conflict;
    (void)sqlite3_bind_text(q, 1, r->element->name, -1, SQLITE_STATIC);
    (void)sqlite3_bind_text(q, 2, r->values[0], -1, SQLITE_STATIC);
    (void)sqlite3_bind_text(q, 3, r->file, -1, SQLITE_STATIC);
    (void)sqlite3_bind_int64(q, 4, r->line);
    (void)sqlite3_bind_text(q, 5, first->file, -1, SQLITE_STATIC);
    (void)sqlite3_bind_int64(q, 6, first->line);
    ok = sqlite3_step(q) == SQLITE_DONE;
    (void)sqlite3_reset(q);
    return ok || store_trouble(s, "cannot keep a conflict", s->d);
}

static enum store_result add_again(struct store *s, const struct record *r,
                                   const struct record_context *ctx,
                                   const struct store_place *first, struct diags *d)
{
    struct record *old = store_load(s, store_kind_of(s, r->element), first->rid);
    struct sbuf difference = SBUF_INIT;
    const char *file = first->file != NULL ? first->file : "the book";
    enum store_result result = STORE_FAILED;

    sbuf_clear(&s->scratch);
    sbuf_clear(&s->other);
    record_canonical_xml(r, ctx, &s->scratch);
    if (old != NULL) {
        record_canonical_xml(old, &RECORD_CANONICAL, &s->other);
    }
    if (old == NULL || s->scratch.failed || s->other.failed) {
        diags_out_of_memory(d);
    } else if (strcmp(s->scratch.s, s->other.s) == 0) {
        result = STORE_SAME;
        if (s->counts.same++ < SAME_NOTES) {
            diags_add(d, DIAG_NOTE, "same-record", r->file, r->line, 0, NULL,
                      "%s '%s' is the same, word for word, as at %s:%ld; read once",
                      r->element->name, r->values[0], file, first->line);
        }
    } else if (keep_conflict(s, r, first)) {
        result = STORE_CONFLICT;
        s->counts.conflict++;
        put_difference(old, r, ctx, &difference);
        diags_add(d, DIAG_ERROR, "conflict", r->file, r->line, 0,
                  "give one of them another id, or take one out",
                  "%s '%s' is already at %s:%ld, with other content%s; this one is kept out",
                  r->element->name, r->values[0], file, first->line, difference.s);
    }
    sbuf_free(&difference);
    record_free(old);
    return result;
}

/* ---- adding ---- */

static struct record *copy_record(const struct record *r)
{
    struct record *c = record_new(r->element, r->file, r->line);

    for (size_t i = 0; c != NULL && i < r->element->attr_count; i++) {
        if (r->values[i] != NULL && !record_set_at(c, i, r->values[i], strlen(r->values[i]))) {
            record_free(c);
            c = NULL;
        }
    }
    if (c != NULL && r->parent_id != NULL && (c->parent_id = mem_strdup(r->parent_id)) == NULL) {
        record_free(c);
        c = NULL;
    }
    return c;
}

/* Takes ownership of r. */
static enum store_result wait_for_parent(struct store *s, struct record *r,
                                         const struct record_context *ctx, struct diags *d)
{
    if (r != NULL && s->pending_count == s->pending_cap) {
        struct pending *grown =
            mem_grow(s->pending, &s->pending_cap, s->pending_count + 1, sizeof *grown);
        if (grown == NULL) {
            record_free(r);
            r = NULL;
        } else {
            s->pending = grown;
        }
    }
    if (r == NULL) {
        diags_out_of_memory(d);
        return STORE_FAILED;
    }
    s->pending[s->pending_count++] = (struct pending){r, *ctx, s->origin};
    return STORE_ADDED;
}

static enum store_result add_top(struct store *s, const struct record *r,
                                 const struct record_context *ctx, struct diags *d)
{
    struct store_kind *k = store_kind_of(s, r->element);
    struct store_place first;

    if (store_find(s, k, r->values[0], &first)) {
        return add_again(s, r, ctx, &first, d);
    }
    if (!store_insert(s, r, ctx, 0, NULL, r->values[0], d)) {
        return STORE_FAILED;
    }
    s->counts.added++;
    return STORE_ADDED;
}

static bool usable(struct store *s, const struct record *r, const struct record_context *ctx,
                   struct diags *d)
{
    bool ok = r->checked || record_check(r, ctx, d);

    if (ok && !dict_top_level(r->element) && r->parent_id == NULL) {
        diags_add(d, DIAG_ERROR, "misplaced-element", r->file, r->line, 0, NULL,
                  "'%s' stands in '%s': it is no record of its own", r->element->name,
                  r->element->parent != NULL ? r->element->parent : "nothing");
        ok = false;
    }
    if (!ok) {
        s->counts.refused++;
    }
    return ok;
}

enum store_result store_add(struct store *s, const struct record *r,
                            const struct record_context *ctx, struct diags *d)
{
    if (!usable(s, r, ctx, d)) {
        return STORE_REFUSED;
    }
    return r->parent_id != NULL ? wait_for_parent(s, copy_record(r), ctx, d)
                                : add_top(s, r, ctx, d);
}

bool store_sink(struct record *r, const struct record_context *ctx, void *user)
{
    struct store *s = user;
    enum store_result result = STORE_REFUSED;

    if (usable(s, r, ctx, s->d)) {
        if (r->parent_id != NULL) {
            return wait_for_parent(s, r, ctx, s->d) != STORE_FAILED;
        }
        result = add_top(s, r, ctx, s->d);
    }
    record_free(r);
    return result != STORE_FAILED;
}
