/* store_insert.c - one record into its table. */
#include "text/base.h"

#include "record/store_internal.h"

static bool prepare_insert(struct store *s, struct store_kind *k, struct diags *d)
{
    struct sbuf sql = SBUF_INIT;
    char table[80];
    bool ok = false;

    if (k->insert != NULL) {
        return true;
    }
    dict_column(k->e->name, table, sizeof table);
    sbuf_printf(&sql, "INSERT INTO rec_%s VALUES (?1", table);
    for (int i = 2; i < k->first[k->e->attr_count]; i++) {
        sbuf_printf(&sql, ",?%d", i);
    }
    sbuf_putc(&sql, ')');
    ok = store_prepare_text(s, &k->insert, &sql, d);
    sbuf_free(&sql);
    return ok;
}

static bool add_link(struct store *s, const char *kind, sqlite3_int64 rid, const char *top_id,
                     const char *attr, const char *target, size_t n)
{
    static const char sql[] = "INSERT INTO rec_link VALUES (?1,?2,?3,?4,?5)";
    sqlite3_stmt *q = NULL;

    if (!store_prepare(s, &s->link, sql, s->d)) {
        return false;
    }
    q = s->link;
    (void)sqlite3_bind_text(q, 1, kind, -1, SQLITE_STATIC);
    (void)sqlite3_bind_int64(q, 2, rid);
    (void)sqlite3_bind_text(q, 3, top_id, -1, SQLITE_STATIC);
    (void)sqlite3_bind_text(q, 4, attr, -1, SQLITE_STATIC);
    (void)sqlite3_bind_text(q, 5, target, (int)n, SQLITE_STATIC);
    bool ok = sqlite3_step(q) == SQLITE_DONE;
    (void)sqlite3_reset(q);
    return ok;
}

static bool add_links(struct store *s, const struct record *r, sqlite3_int64 rid,
                      const char *top_id)
{
    for (size_t i = 0; i < r->element->attr_count; i++) {
        const struct dict_attr *a = &r->element->attrs[i];
        const char *t = r->values[i];

        if (t == NULL || (a->type != ATTR_REF && a->type != ATTR_REFS)) {
            continue;
        }
        while (*t != '\0') {
            size_t n = strcspn(t, " \t\r\n\f\v");
            if (n > 0 && !add_link(s, r->element->name, rid, top_id, a->name, t, n)) {
                return false;
            }
            t += n;
            t += strspn(t, " \t\r\n\f\v");
        }
    }
    return true;
}

static bool bind_value(struct store *s, struct store_kind *k, size_t i, const char *text,
                       const struct record_context *ctx)
{
    const struct dict_attr *a = &k->e->attrs[i];
    sqlite3_stmt *q = k->insert;
    int at = k->first[i];
    struct value v;
    int rc = SQLITE_OK;

    value_read(a, text, ctx, &v);
    if (v.state == VALUE_BAD || v.state == VALUE_ABSENT) {
        return true;
    }
    if (a->type == ATTR_TOKEN || a->type == ATTR_CHOICE || a->type == ATTR_REF) {
        return sqlite3_bind_text(q, at, text, -1, SQLITE_STATIC) == SQLITE_OK;
    }
    if (v.state == VALUE_DATE) {
        if (v.minute >= 0) {
            (void)sqlite3_bind_int(q, at + 1, v.minute);
        }
        return sqlite3_bind_text(q, at, v.date, -1, SQLITE_TRANSIENT) == SQLITE_OK;
    }
    sbuf_clear(&s->scratch);
    value_canonical(a, text, ctx, &v, &s->scratch);
    rc = sqlite3_bind_text(q, at, s->scratch.s, (int)s->scratch.len, SQLITE_TRANSIENT);
    if (v.state == VALUE_NUMBER) {
        bool amount = a->type == ATTR_QTY && a->dim == DIM_AMOUNT;
        (void)sqlite3_bind_double(q, amount && v.dim == DIM_VOLUME ? at + 2 : at + 1, v.number);
        (void)sqlite3_bind_double(q, amount ? at + 3 : at + 2, v.resolution);
        if (a->type == ATTR_QTY && a->dim == DIM_MONEY && v.unit != NULL) {
            (void)sqlite3_bind_text(q, at + 3, v.unit, -1, SQLITE_STATIC);
        }
    }
    return rc == SQLITE_OK && !s->scratch.failed;
}

static bool insert_row(struct store *s, struct store_kind *k, const struct record *r,
                       const struct record_context *ctx, sqlite3_int64 parent_rid,
                       const char *parent_id, struct diags *d)
{
    sqlite3_stmt *q = NULL;
    int at = 1;
    bool ok = true;

    if (!prepare_insert(s, k, d)) {
        return false;
    }
    q = k->insert;
    (void)sqlite3_clear_bindings(q);
    (void)sqlite3_bind_int64(q, at++, ++k->last_rid);
    if (k->parent >= 0) {
        (void)sqlite3_bind_int64(q, at++, parent_rid);
        (void)sqlite3_bind_text(q, at++, parent_id, -1, SQLITE_STATIC);
    }
    (void)sqlite3_bind_text(q, at++, r->file, -1, SQLITE_STATIC);
    if (r->line > 0) {
        (void)sqlite3_bind_int64(q, at, r->line);
    }
    at++;
    (void)sqlite3_bind_text(q, at++, s->origin, -1, SQLITE_STATIC);
    (void)sqlite3_bind_int64(q, at++, ++s->seq);
    if (k->parent >= 0) {
        k->n = k->last_parent == parent_rid ? k->n + 1 : 1;
        k->last_parent = parent_rid;
        (void)sqlite3_bind_int64(q, at, k->n);
    }
    for (size_t i = 0; ok && i < k->e->attr_count; i++) {
        if (r->values[i] != NULL) {
            ok = bind_value(s, k, i, r->values[i], ctx);
        }
    }
    ok = ok && sqlite3_step(q) == SQLITE_DONE;
    if (!ok) {
        (void)store_trouble(s, "cannot keep a record", d);
    }
    (void)sqlite3_reset(q);
    return ok;
}

/* Recursion is bounded by the dictionary's own depth. */
bool store_insert(struct store *s, const struct record *r, const struct record_context *ctx,
                  sqlite3_int64 parent_rid, const char *parent_id, const char *top_id,
                  struct diags *d)
{
    struct store_kind *k = store_kind_of(s, r->element);

    if (!insert_row(s, k, r, ctx, parent_rid, parent_id, d)) {
        return false;
    }
    sqlite3_int64 rid = k->last_rid;
    if (!add_links(s, r, rid, top_id)) {
        return store_trouble(s, "cannot keep a reference", d);
    }
    for (size_t i = 0; i < r->child_count; i++) {
        if (!store_insert(s, r->children[i], ctx, rid, r->values[0], top_id, d)) {
            return false;
        }
    }
    return true;
}
