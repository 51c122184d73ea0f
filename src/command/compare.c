/* compare.c - lotward file --compare: two keyings of the same cards.
 *
 * Keying twice and comparing finds most slips of typing: Paulsen et al. 2012 (PLoS ONE 7(4):e35087)
 * count 0.370 errors in 1,000 fields keyed once, and 0.046 keyed twice. Records are matched by kind
 * and id, rows of a child kind by their parent and their order. Values are compared as they would
 * be filed, so that "1,5 L" and "1.5 L" are the same. */
#include "text/base.h"

#include "command/compare.h"
#include "ledger/diff.h"
#include "record/csv_map.h"
#include "record/reader.h"
#include "text/mem.h"
#include "text/utf8.h"

struct keyed {
    char *name; /* "receipt R-1" or "charge of 26-001, row 2" */
    char *xml;  /* canonical */
    char *file;
    long line;
};

struct keying {
    struct session *s;
    struct keyed *items;
    size_t count, cap;
    char *parent; /* of the row before, with its kind: rows of one parent stand together */
    size_t row;
    bool failed;
};

/* Rows are numbered within a run of the same parent. */
static bool make_name(struct keying *k, const struct record *r, struct sbuf *out)
{
    if (r->parent_id == NULL) {
        sbuf_printf(out, "%s %s", r->element->name, record_id(r));
        return !out->failed;
    }
    sbuf_printf(out, "%s of %s, row ", r->element->name, r->parent_id);
    if (out->failed)
        return false;
    k->row = str_eq(k->parent, out->s) ? k->row + 1 : 1;
    mem_free(k->parent);
    k->parent = mem_strdup(out->s);
    sbuf_printf(out, "%06zu", k->row);
    return k->parent != NULL && !out->failed;
}

/* record_sink */
static bool take(struct record *r, const struct record_context *ctx, void *user)
{
    struct keying *k = user;
    struct sbuf name = SBUF_INIT, xml = SBUF_INIT;
    void *p = mem_grow(k->items, &k->cap, k->count + 1, sizeof *k->items);

    record_canonical_xml(r, ctx, &xml);
    k->failed = p == NULL || !make_name(k, r, &name) || xml.failed;
    if (p != NULL)
        k->items = p;
    if (!k->failed) {
        k->items[k->count].file = mem_strdup(r->file != NULL ? r->file : "");
        k->items[k->count].line = r->line;
        k->items[k->count].name = sbuf_take(&name);
        k->items[k->count].xml = sbuf_take(&xml);
        k->failed = k->items[k->count].file == NULL;
        k->count++;
    }
    sbuf_free(&name);
    sbuf_free(&xml);
    record_free(r);
    return !k->failed;
}

static void free_keying(struct keying *k)
{
    for (size_t i = 0; i < k->count; i++) {
        mem_free(k->items[i].name);
        mem_free(k->items[i].xml);
        mem_free(k->items[i].file);
    }
    mem_free(k->items);
    mem_free(k->parent);
}

static int by_name(const void *a, const void *b)
{
    return strcmp(((const struct keyed *)a)->name, ((const struct keyed *)b)->name);
}

/* true when all of it could be read. */
static bool read_one(struct keying *k, const char *path, const struct csv_map *map)
{
    struct reader_counts counts = {.whole = true};

    return reader_file_mapped(path, map, take, k, &counts, k->s->diags) && counts.whole &&
           counts.refused == 0;
}

static void tell(struct session *s, const struct keyed *a, const struct keyed *b)
{
    struct sbuf line = SBUF_INIT, what = SBUF_INIT;
    const struct keyed *one = a != NULL ? a : b;

    if (a != NULL && b != NULL)
        ledger_diff(a->xml, b->xml, &what);
    else
        sbuf_puts(&what, a != NULL ? "only in the first keying" : "only in the second keying");
    if (what.len == 0 && a != NULL && b != NULL) /* a row of a child kind */
        sbuf_printf(&what, "%s in the second: %s", a->xml, b->xml);
    sbuf_printf(&line, "%s:%ld: ", one->file, one->line);
    utf8_put_clean(&line, one->name, false);
    sbuf_puts(&line, ": ");
    utf8_put_clean(&line, what.s, false);
    sbuf_putc(&line, '\n');
    if (line.failed || what.failed)
        diags_out_of_memory(s->diags);
    session_write(s, line.s, line.len);
    sbuf_free(&line);
    sbuf_free(&what);
}

static size_t tell_differences(struct session *s, const struct keying *a, const struct keying *b)
{
    size_t i = 0, k = 0, different = 0;

    while (i < a->count || k < b->count) {
        int c = 0;

        if (i == a->count)
            c = 1;
        else if (k == b->count)
            c = -1;
        else
            c = strcmp(a->items[i].name, b->items[k].name);
        if (c != 0 || strcmp(a->items[i].xml, b->items[k].xml) != 0) {
            different++;
            tell(s, c <= 0 ? &a->items[i] : NULL, c >= 0 ? &b->items[k] : NULL);
        }
        if (c <= 0)
            i++;
        if (c >= 0)
            k++;
    }
    return different;
}

static enum exit_status finish(struct session *s, struct keying *a, struct keying *b, bool whole)
{
    struct sbuf end = SBUF_INIT;
    size_t different;

    if (a->count > 0)
        qsort(a->items, a->count, sizeof *a->items, by_name);
    if (b->count > 0)
        qsort(b->items, b->count, sizeof *b->items, by_name);
    session_show_diags(s);
    different = tell_differences(s, a, b);
    sbuf_printf(&end, "%zu records in the first keying, %zu in the second: %zu differ%s\n",
                a->count, b->count, different, whole ? "" : "; some rows could not be read");
    session_write(s, end.s, end.len);
    sbuf_free(&end);
    if (!whole)
        return STATUS_TROUBLE;
    return different > 0 ? STATUS_FINDINGS : STATUS_CLEAN;
}

enum exit_status compare_keyings(struct session *s, const char *other, const char *map)
{
    struct keying a = {.s = s}, b = {.s = s};
    struct csv_map *m = NULL;
    enum exit_status status;
    bool whole = true;

    if (s->file_count == 0)
        return session_usage(s, "lotward file --compare second.csv first.csv",
                             "name the files of the first keying");
    if (map != NULL && (m = csv_map_read(map, s->diags)) == NULL)
        return diags_oom(s->diags) ? STATUS_TROUBLE : STATUS_INPUT;
    for (size_t i = 0; i < s->file_count; i++)
        whole = read_one(&a, s->files[i], m) && whole;
    whole = read_one(&b, other, m) && whole;
    if (a.failed || b.failed || diags_oom(s->diags)) {
        diags_out_of_memory(s->diags);
        status = session_trouble(s);
    } else {
        status = finish(s, &a, &b, whole);
    }
    free_keying(&a);
    free_keying(&b);
    csv_map_free(m);
    return status;
}
