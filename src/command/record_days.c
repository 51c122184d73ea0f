/* record_days.c - the day and the name of every record that has a day, read once. */
#include "text/base.h"

#include "command/record_days.h"
#include "command/rows.h"
#include "text/mem.h"

/* The day a record stands for, by kind. */
static const char days_sql[] =
    "select 'batch', id, start, product from rec_batch"
    " union all select 'receipt', id, date, coalesce(name, material) from rec_receipt"
    " union all select 'sale', id, date, null from rec_sale"
    " union all select 'waste', id, date, null from rec_waste"
    " union all select 'incident', id, date, null from rec_incident"
    " union all select 'document', id, issued, null from rec_document"
    " union all select 'label', id, printed, null from rec_label"
    " union all select 'count', id, date, null from rec_count"
    " union all select 'move', id, date, null from rec_move"
    " union all select 'instrument', id, calibrated, null from rec_instrument";

/* Offsets into the text, which moves while it grows. */
enum { KIND, ID, DAY, NAME, FIELDS };
struct item {
    size_t at[FIELDS]; /* 0: none */
    const char *text;  /* set once all are there */
};

struct record_days {
    struct sbuf text;
    struct item *items; /* by kind and id */
    size_t count, cap;
};

static size_t keep(struct sbuf *text, const char *s)
{
    size_t at = text->len;

    if (s == NULL)
        return 0;
    sbuf_putn(text, s, strlen(s) + 1);
    return at;
}

static void take(struct session *s, sqlite3_stmt *st, void *user)
{
    struct record_days *d = user;
    void *p = mem_grow(d->items, &d->cap, d->count + 1, sizeof *d->items);

    (void)s;
    if (p == NULL) {
        d->text.failed = true;
        return;
    }
    d->items = p;
    for (int i = 0; i < FIELDS; i++)
        d->items[d->count].at[i] = keep(&d->text, rows_text(st, i));
    d->count++;
}

static int compare(const void *x, const void *y)
{
    const struct item *a = x, *b = y;
    int c = strcmp(a->text + a->at[KIND], b->text + b->at[KIND]);

    return c != 0 ? c : strcmp(a->text + a->at[ID], b->text + b->at[ID]);
}

struct record_days *record_days_read(struct session *s)
{
    struct record_days *d = mem_calloc(1, sizeof *d);
    bool ok;

    if (d == NULL) {
        diags_out_of_memory(s->diags);
        return NULL;
    }
    sbuf_putc(&d->text, '\0'); /* no field is at 0 */
    ok = rows_select(s, days_sql, NULL, NULL, take, d);
    if (ok && d->text.failed) {
        diags_out_of_memory(s->diags);
        ok = false;
    }
    if (!ok) {
        record_days_free(d);
        return NULL;
    }
    for (size_t i = 0; i < d->count; i++)
        d->items[i].text = d->text.s;
    if (d->count > 1)
        qsort(d->items, d->count, sizeof *d->items, compare);
    return d;
}

void record_days_free(struct record_days *d)
{
    if (d == NULL)
        return;
    sbuf_free(&d->text);
    mem_free(d->items);
    mem_free(d);
}

bool record_days_find(const struct record_days *d, const char *kind, const char *id,
                      struct record_day *out)
{
    size_t low = 0, high = d->count;

    while (low < high) {
        size_t mid = low + (high - low) / 2;
        const struct item *m = &d->items[mid];
        int c = strcmp(m->text + m->at[KIND], kind);

        if (c == 0)
            c = strcmp(m->text + m->at[ID], id);
        if (c == 0) {
            out->day = m->at[DAY] == 0 ? NULL : m->text + m->at[DAY];
            out->name = m->at[NAME] == 0 ? NULL : m->text + m->at[NAME];
            return true;
        }
        if (c < 0)
            low = mid + 1;
        else
            high = mid;
    }
    return false;
}
