/* export.c - the records of a store as XML or CSV. */
#include "text/base.h"

#include "record/dict_near.h"
#include "record/csv_split.h"
#include "record/export.h"
#include "record/store_internal.h"
#include "text/mem.h"

struct xml_out {
    struct sbuf line;
    export_write *write;
    void *user;
    struct diags *d;
};

static bool put_record(const struct record *r, void *user)
{
    struct xml_out *x = user;

    sbuf_clear(&x->line);
    record_canonical_xml(r, &RECORD_CANONICAL, &x->line);
    sbuf_putc(&x->line, '\n');
    if (x->line.failed) {
        diags_out_of_memory(x->d);
        return false;
    }
    return x->write(x->line.s, x->line.len, x->user);
}

bool export_xml(struct store *s, const char *kind, export_write *write, void *user)
{
    static const char head[] = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<records>\n";
    static const char tail[] = "</records>\n";
    struct xml_out x = {SBUF_INIT, write, user, s->d};
    bool ok = write(head, sizeof head - 1, user) && store_each(s, kind, put_record, &x) &&
              write(tail, sizeof tail - 1, user);

    sbuf_free(&x.line);
    return ok;
}

/* ---- CSV ---- */

/* used[i]: some row has a value for attribute i. false with a diagnostic. */
static bool find_used(struct store *s, const struct store_kind *k, bool *used)
{
    struct sbuf sql = SBUF_INIT;
    sqlite3_stmt *q = NULL;
    char name[80];
    bool ok = false;

    sbuf_puts(&sql, "SELECT 0");
    for (size_t i = 0; i < k->e->attr_count; i++) {
        dict_column(k->e->attrs[i].name, name, sizeof name);
        sbuf_printf(&sql, ",count(\"%s\")", name);
    }
    dict_column(k->e->name, name, sizeof name);
    sbuf_printf(&sql, " FROM rec_%s", name);
    if (store_prepare_text(s, &q, &sql, s->d) && sqlite3_step(q) == SQLITE_ROW) {
        for (size_t i = 0; i < k->e->attr_count; i++) {
            used[i] = sqlite3_column_int64(q, (int)i + 1) > 0;
        }
        ok = true;
    }
    (void)sqlite3_finalize(q);
    sbuf_free(&sql);
    return ok;
}

static void put_header(struct sbuf *b, const struct store_kind *k, const bool *used)
{
    const char *comma = "";

    if (k->parent >= 0) {
        sbuf_puts(b, k->e->parent);
        comma = ",";
    }
    for (size_t i = 0; i < k->e->attr_count; i++) {
        if (used[i]) {
            sbuf_printf(b, "%s%s", comma, k->e->attrs[i].name);
            comma = ",";
        }
    }
    sbuf_putc(b, '\n');
}

static void put_row(struct sbuf *b, const struct store_kind *k, const bool *used, sqlite3_stmt *q)
{
    const char *comma = "";

    if (k->parent >= 0) {
        csv_put_cell(b, (const char *)sqlite3_column_text(q, 0));
        comma = ",";
    }
    for (size_t i = 0; i < k->e->attr_count; i++) {
        if (used[i]) {
            sbuf_puts(b, comma);
            csv_put_cell(b, (const char *)sqlite3_column_text(q, (int)i + 1));
            comma = ",";
        }
    }
    sbuf_putc(b, '\n');
}

static bool put_rows(struct store *s, const struct store_kind *k, const bool *used,
                     export_write *write, void *user, unsigned long *rows)
{
    struct sbuf text = SBUF_INIT;
    sqlite3_stmt *q = NULL;
    char table[80];
    int rc = SQLITE_ERROR;

    dict_column(k->e->name, table, sizeof table);
    sbuf_printf(&text, "SELECT %s%s%s", k->parent >= 0 ? "\"" : "",
                k->parent >= 0 ? k->e->parent : "0", k->parent >= 0 ? "\"" : "");
    store_put_texts(&text, k->e);
    sbuf_printf(&text, " FROM rec_%s ORDER BY rid", table);
    if (store_prepare_text(s, &q, &text, s->d)) {
        rc = SQLITE_ROW;
    }
    while (rc == SQLITE_ROW && (rc = sqlite3_step(q)) == SQLITE_ROW) {
        sbuf_clear(&text);
        if ((*rows)++ == 0) {
            put_header(&text, k, used);
        }
        put_row(&text, k, used, q);
        if (text.failed) {
            diags_out_of_memory(s->d);
        }
        if (text.failed || !write(text.s, text.len, user)) {
            rc = SQLITE_ABORT;
        }
    }
    if (rc != SQLITE_DONE && rc != SQLITE_ABORT) {
        (void)store_trouble(s, "cannot read the records", s->d);
    }
    (void)sqlite3_finalize(q);
    sbuf_free(&text);
    return rc == SQLITE_DONE;
}

bool export_csv(struct store *s, const char *kind, export_write *write, void *user,
                unsigned long *rows)
{
    const struct dict_element *e = dict_find(kind);
    unsigned long count = 0;
    bool *used = NULL;
    bool ok = false;

    if (e == NULL || e->parent == NULL) {
        diags_add(s->d, DIAG_FATAL, "unknown-kind", NULL, 0, 0, NULL, "no record kind '%s'",
                  kind != NULL ? kind : "");
        return false;
    }
    used = mem_calloc(e->attr_count, sizeof *used);
    if (used == NULL) {
        diags_out_of_memory(s->d);
        return false;
    }
    ok = find_used(s, store_kind_of(s, e), used) &&
         put_rows(s, store_kind_of(s, e), used, write, user, &count);
    if (rows != NULL) {
        *rows = count;
    }
    mem_free(used);
    return ok;
}
