/* store_finish.c - after the last record: child rows to their parents, indexes, references. */
#include "text/base.h"

#include "record/dict_near.h"
#include "record/store_internal.h"
#include "text/mem.h"

enum {
    DANGLING_TOLD = 200, /* dangling references told of one by one */
    NEAR_SOUGHT = 20,    /* of these, how many get a near name */
    NEAR_ROWS = 20000    /* ids looked at for one near name */
};

/* ---- child rows ---- */

static void near_id(struct store *s, const char *kind, const char *id, struct near *n)
{
    char table[80];
    char sql[160];
    sqlite3_stmt *q = NULL;

    near_start(n, id);
    dict_column(kind, table, sizeof table);
    (void)snprintf(sql, sizeof sql, "SELECT id FROM rec_%s ORDER BY rid LIMIT %d", table,
                   NEAR_ROWS);
    if (!store_prepare(s, &q, sql, s->d)) {
        return;
    }
    while (sqlite3_step(q) == SQLITE_ROW) {
        near_offer(n, (const char *)sqlite3_column_text(q, 0), (size_t)sqlite3_column_bytes(q, 0));
    }
    (void)sqlite3_finalize(q);
}

static void tell_orphan(struct store *s, const struct record *r, const char *parent,
                        struct diags *d)
{
    struct near n;
    char hint[160];

    near_id(s, parent, r->parent_id, &n);
    if (n.best[0] != '\0') {
        (void)snprintf(hint, sizeof hint, "did you mean '%s'?", n.best);
    } else {
        (void)snprintf(hint, sizeof hint, "give the file with that %s too, or correct the id",
                       parent);
    }
    diags_add(d, DIAG_ERROR, "orphan", r->file, r->line, 0, hint,
              "row of '%s': its %s '%s' is not among the records read; the row is kept out",
              r->element->name, parent, r->parent_id);
    s->counts.refused++;
}

/* Is this row, of this file and line, there already? (The file was given twice.) */
static bool row_there(struct store *s, const struct store_kind *k, const struct record *r,
                      sqlite3_int64 parent, bool *there, struct diags *d)
{
    sqlite3_stmt *q = NULL;
    char sql[160];
    int rc = SQLITE_ERROR;

    (void)snprintf(sql, sizeof sql, "SELECT 1 FROM rec_%s WHERE parent=?1 AND file=?2 AND line=?3",
                   k->e->name);
    if (!store_prepare(s, &q, sql, d)) {
        return false;
    }
    (void)sqlite3_bind_int64(q, 1, parent);
    (void)sqlite3_bind_text(q, 2, r->file, -1, SQLITE_STATIC);
    (void)sqlite3_bind_int64(q, 3, r->line);
    rc = sqlite3_step(q);
    *there = rc == SQLITE_ROW;
    (void)sqlite3_finalize(q);
    return rc == SQLITE_ROW || rc == SQLITE_DONE || store_trouble(s, "cannot look for a row", d);
}

/* Rows that came by themselves are numbered where they now stand. */
static bool number_rows(struct store *s, const struct store_kind *k, struct diags *d)
{
    char sql[512], table[80];

    dict_column(k->e->name, table, sizeof table);
    (void)snprintf(sql, sizeof sql,
                   "UPDATE rec_%s SET n = (SELECT count(*) FROM rec_%s x"
                   " WHERE x.parent = rec_%s.parent AND x.rid <= rec_%s.rid)",
                   table, table, table, table);
    return sqlite3_exec(s->db, sql, NULL, NULL, NULL) == SQLITE_OK ||
           store_trouble(s, "cannot number the rows", d);
}

bool store_attach_pending(struct store *s, struct diags *d)
{
    const char *origin = s->origin;
    bool *met = mem_calloc(s->kind_count, sizeof *met);
    bool ok = met != NULL;

    if (!ok) {
        diags_out_of_memory(d);
    }

    for (size_t i = 0; ok && i < s->pending_count; i++) {
        struct record *r = s->pending[i].r;
        struct store_kind *k = store_kind_of(s, r->element);
        struct store_place at;

        if (!store_find(s, &s->kinds[k->parent], r->parent_id, &at)) {
            tell_orphan(s, r, s->kinds[k->parent].e->name, d);
            continue;
        }
        bool there = false;
        if (!row_there(s, k, r, at.rid, &there, d)) {
            ok = false;
            break;
        }
        if (there) {
            s->counts.same++;
            continue;
        }
        s->origin = s->pending[i].origin;
        ok = store_insert(s, r, &s->pending[i].ctx, at.rid, r->parent_id, r->parent_id, d);
        s->counts.added += ok ? 1u : 0u;
        met[k - s->kinds] = true;
    }
    for (size_t i = 0; ok && i < s->kind_count; i++) {
        ok = !met[i] || number_rows(s, &s->kinds[i], d);
    }
    mem_free(met);
    for (size_t i = 0; i < s->pending_count; i++) {
        record_free(s->pending[i].r);
    }
    s->pending_count = 0;
    s->origin = origin;
    return ok;
}

/* ---- references ---- */

static bool has_table(struct store *s, const char *table)
{
    return sqlite3_table_column_metadata(s->db, NULL, table, "id", NULL, NULL, NULL, NULL, NULL) ==
           SQLITE_OK;
}

/* Appends " AND NOT EXISTS (...)" for every place the target may stand. false: cannot be judged,
 * as it may name a row of the catalogue and no catalogue was loaded. */
static bool put_absent(struct store *s, const struct dict_attr *a, struct sbuf *sql)
{
    const char *words = a->words;
    const char *w = NULL;
    size_t n = 0;
    bool catalogue = (a->flags & ATTR_CATALOGUE) == 0;

    while (dict_next_word(&words, &w, &n)) {
        char kind[80];
        char table[80];
        char shipped[90];

        (void)snprintf(kind, sizeof kind, "%.*s", (int)n, w);
        dict_column(kind, table, sizeof table);
        (void)snprintf(shipped, sizeof shipped, "cat_%s", table);
        sbuf_printf(sql, " AND NOT EXISTS (SELECT 1 FROM rec_%s r WHERE r.id=target)", table);
        if ((a->flags & ATTR_CATALOGUE) != 0 && has_table(s, shipped)) {
            sbuf_printf(sql, " AND NOT EXISTS (SELECT 1 FROM %s c WHERE c.id=target)", shipped);
            catalogue = true;
        }
    }
    return catalogue;
}

static void tell_dangling(struct store *s, const struct store_kind *k, const struct dict_attr *a,
                          sqlite3_stmt *q, unsigned long *told, struct diags *d)
{
    const char *target = (const char *)sqlite3_column_text(q, 0);
    const char *id = (const char *)sqlite3_column_text(q, 3);
    const char *words = a->words;
    const char *w = NULL;
    size_t len = 0;
    struct near n;
    char hint[120];

    if ((*told)++ >= DANGLING_TOLD) {
        return;
    }
    n.best[0] = '\0';
    while (*told <= NEAR_SOUGHT && n.best[0] == '\0' && dict_next_word(&words, &w, &len)) {
        char kind[80];
        (void)snprintf(kind, sizeof kind, "%.*s", (int)len, w);
        near_id(s, kind, target, &n);
    }
    if (n.best[0] != '\0') {
        (void)snprintf(hint, sizeof hint, "did you mean '%s'?", n.best);
    } else if ((a->flags & ATTR_CATALOGUE) != 0 && strlen(target) < sizeof hint / 2) {
        (void)snprintf(hint, sizeof hint, "lotward card '%s' looks for it", target);
    } else {
        hint[0] = '\0';
    }
    diags_add(d, DIAG_WARNING, "dangling-reference", (const char *)sqlite3_column_text(q, 1),
              (long)sqlite3_column_int64(q, 2), 0, hint[0] != '\0' ? hint : NULL,
              "element '%s' '%s': '%s' names '%s', and there is no %s of that id", k->e->name,
              id != NULL ? id : "", a->name, target, a->words);
}

static bool resolve_attr(struct store *s, const struct store_kind *k, const struct dict_attr *a,
                         unsigned long *told, struct diags *d)
{
    struct sbuf sql = SBUF_INIT;
    sqlite3_stmt *q = NULL;
    char table[80];
    char column[80];
    int rc = SQLITE_DONE;

    dict_column(k->e->name, table, sizeof table);
    dict_column(a->name, column, sizeof column);
    if (a->type == ATTR_REFS) {
        sbuf_printf(&sql,
                    "SELECT l.target AS target, t.file, t.line, l.id FROM rec_link l"
                    " JOIN rec_%s t ON t.rid=l.rid WHERE l.kind='%s' AND l.attr='%s'",
                    table, k->e->name, a->name);
    } else {
        sbuf_printf(&sql,
                    "SELECT t.\"%s\" AS target, t.file, t.line, %s%s%s FROM rec_%s t"
                    " WHERE t.\"%s\" IS NOT NULL",
                    column, k->parent >= 0 ? "t.\"" : "t.", k->parent >= 0 ? k->e->parent : "id",
                    k->parent >= 0 ? "\"" : "", table, column);
    }
    if (put_absent(s, a, &sql)) {
        sbuf_puts(&sql, " ORDER BY t.rid");
        if (sql.failed || !store_prepare(s, &q, sql.s, d)) {
            rc = SQLITE_ERROR;
        }
        while (rc != SQLITE_ERROR && (rc = sqlite3_step(q)) == SQLITE_ROW) {
            tell_dangling(s, k, a, q, told, d);
        }
        (void)sqlite3_finalize(q);
    }
    sbuf_free(&sql);
    return rc == SQLITE_DONE || store_trouble(s, "cannot resolve references", d);
}

bool store_resolve(struct store *s, struct diags *d)
{
    unsigned long told = 0;

    for (size_t i = 0; i < s->kind_count; i++) {
        const struct store_kind *k = &s->kinds[i];

        for (size_t j = 0; k->e->parent != NULL && j < k->e->attr_count; j++) {
            const struct dict_attr *a = &k->e->attrs[j];
            if ((a->type == ATTR_REF || a->type == ATTR_REFS) && k->last_rid > 0 &&
                !resolve_attr(s, k, a, &told, d)) {
                return false;
            }
        }
    }
    if (told > DANGLING_TOLD) {
        diags_add(d, DIAG_WARNING, "dangling-reference", NULL, 0, 0, NULL,
                  "%lu more references name records that are not there", told - DANGLING_TOLD);
    }
    return true;
}

static bool create_indexes(struct store *s, struct diags *d)
{
    struct sbuf sql = SBUF_INIT;
    bool ok = true;

    sbuf_puts(&sql, "CREATE INDEX IF NOT EXISTS rec_link_target ON rec_link (target, attr, kind);"
                    "CREATE INDEX IF NOT EXISTS rec_link_attr ON rec_link (attr, kind);");
    for (size_t i = 0; i < s->kind_count; i++) {
        const struct store_kind *k = &s->kinds[i];
        if (k->parent >= 0) {
            sbuf_printf(&sql, "CREATE INDEX IF NOT EXISTS rec_%s_%s ON rec_%s (\"%s\");",
                        k->e->name, k->e->parent, k->e->name, k->e->parent);
        }
    }
    ok = !sql.failed && sqlite3_exec(s->db, sql.s, NULL, NULL, NULL) == SQLITE_OK;
    sbuf_free(&sql);
    return ok || store_trouble(s, "cannot index the records", d);
}

bool store_finish(struct store *s, struct diags *d)
{
    bool ok = store_attach_pending(s, d) && create_indexes(s, d);

    for (size_t i = 0; i < s->kind_count; i++) {
        if (s->kinds[i].find != NULL) {
            (void)sqlite3_reset(s->kinds[i].find);
        }
    }
    if (ok && !sqlite3_get_autocommit(s->db)) {
        ok = sqlite3_exec(s->db, "COMMIT", NULL, NULL, NULL) == SQLITE_OK ||
             store_trouble(s, "cannot finish the memory tables", d);
    }
    return ok && store_resolve(s, d);
}
