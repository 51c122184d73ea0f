/* blanks.c - what is missing, over a whole report: by entry and by lot. */
#include "text/base.h"

#include "report/blanks.h"
#include "text/mem.h"
#include "text/utf8.h"

/* One missing entry of one finding. */
struct piece {
    char *what;
    const struct finding *f;
};

struct pieces {
    struct piece *items;
    size_t count, cap;
};

static bool is_untold(const struct report *r, const struct finding *f)
{
    return f->verdict == VERDICT_CANNOT_TELL && f->waiver == NULL && report_shows(r, f);
}

bool blanks_are_many(const struct report *r)
{
    unsigned long n = 0;

    for (size_t i = 0; r->summary && r->findings != NULL && i < r->findings->count; i++)
        n += is_untold(r, &r->findings->items[i]);
    return n >= BLANKS_FROM;
}

/* "container material of batch '26-001' (batch vessel-material)" without the record it is about. */
static char *general(const struct finding *f, const char *text, size_t n)
{
    struct sbuf about = SBUF_INIT, b = SBUF_INIT;
    const char *end = text + n;

    sbuf_printf(&about, " of %s '%s'", f->subject_kind, f->subject);
    for (const char *p = text; p < end;) {
        if ((size_t)(end - p) >= about.len && memcmp(p, about.s, about.len) == 0)
            p += about.len;
        else
            sbuf_putc(&b, *p++);
    }
    if (about.failed)
        b.failed = true;
    sbuf_free(&about);
    return sbuf_take(&b);
}

static bool add_piece(struct pieces *all, const struct finding *f, const char *text, size_t n)
{
    void *p = mem_grow(all->items, &all->cap, all->count + 1, sizeof *all->items);

    if (p == NULL)
        return false;
    all->items = p;
    all->items[all->count].f = f;
    all->items[all->count].what = general(f, text, n);
    return all->items[all->count++].what != NULL;
}

static bool add_needs(struct pieces *all, const struct finding *f)
{
    const char *p = f->needs == NULL ? "something the rule does not name" : f->needs;

    for (;;) {
        const char *end = strstr(p, "; ");

        if (!add_piece(all, f, p, end == NULL ? strlen(p) : (size_t)(end - p)))
            return false;
        if (end == NULL)
            return true;
        p = end + 2;
    }
}

static int compare_record(const struct finding *a, const struct finding *b)
{
    int c = strcmp(a->subject_kind, b->subject_kind);

    return c != 0 ? c : strcmp(a->subject, b->subject);
}

static int by_what(const void *x, const void *y)
{
    const struct piece *a = x, *b = y;
    int c = strcmp(a->what, b->what);

    return c != 0 ? c : compare_record(a->f, b->f);
}

static int by_verdicts(const void *x, const void *y)
{
    const struct blank_entry *a = x, *b = y;

    if (a->verdicts != b->verdicts)
        return a->verdicts < b->verdicts ? 1 : -1;
    return strcmp(a->what, b->what);
}

static bool gather_entries(struct blanks *out, struct pieces *all)
{
    out->entries = mem_calloc(all->count + 1, sizeof *out->entries);
    if (out->entries == NULL)
        return false;
    qsort(all->items, all->count, sizeof *all->items, by_what);
    for (size_t i = 0; i < all->count; i++) {
        struct blank_entry *e = &out->entries[out->entry_count];

        if (i == 0 || strcmp(all->items[i - 1].what, all->items[i].what) != 0) {
            e->what = mem_strdup(all->items[i].what);
            if (e->what == NULL)
                return false;
            e->records = 1;
            out->entry_count++;
        } else {
            e--;
            e->records += compare_record(all->items[i - 1].f, all->items[i].f) != 0;
        }
        e->verdicts++;
    }
    qsort(out->entries, out->entry_count, sizeof *out->entries, by_verdicts);
    return true;
}

/* Lots before records that are in none. */
static int compare_lot(const struct finding *a, const struct finding *b)
{
    if ((a->lot == NULL) != (b->lot == NULL))
        return a->lot == NULL ? 1 : -1;
    return a->lot == NULL ? compare_record(a, b) : strcmp(a->lot, b->lot);
}

static int by_lot(const void *x, const void *y)
{
    const struct piece *a = x, *b = y;
    int c = compare_lot(a->f, b->f);

    if (c == 0)
        c = strcmp(a->what, b->what);
    return c != 0 ? c : (a->f < b->f ? -1 : a->f > b->f);
}

static bool add_label(struct blanks *out, struct blank_lot *lot, const char *what)
{
    const char *paren = strstr(what, " (");
    char *label = mem_strndup(what, paren == NULL ? strlen(what) : (size_t)(paren - what));

    if (label != NULL && lot->count > 0 &&
        str_eq(out->of_lots[lot->first + lot->count - 1], label)) {
        mem_free(label);
        return true;
    }
    if (label == NULL)
        return false;
    out->of_lots[out->of_lot_count++] = label;
    lot->count++;
    return true;
}

static bool gather_lots(struct blanks *out, struct pieces *all)
{
    out->lots = mem_calloc(all->count + 1, sizeof *out->lots);
    out->of_lots = mem_calloc(all->count + 1, sizeof *out->of_lots);
    if (out->lots == NULL || out->of_lots == NULL)
        return false;
    qsort(all->items, all->count, sizeof *all->items, by_lot);
    for (size_t i = 0; i < all->count; i++) {
        const struct finding *f = all->items[i].f;
        struct blank_lot *lot;

        if (i == 0 || compare_lot(all->items[i - 1].f, f) != 0) {
            lot = &out->lots[out->lot_count++];
            lot->kind = f->lot == NULL ? f->subject_kind : "lot";
            lot->id = f->lot == NULL ? f->subject : f->lot;
            lot->first = out->of_lot_count;
        }
        lot = &out->lots[out->lot_count - 1];
        if (!add_label(out, lot, all->items[i].what))
            return false;
    }
    return true;
}

/* The verdicts of each lot; its findings need not stand together in the list. */
static int find_lot(const void *key, const void *item)
{
    const struct finding *f = key;
    const struct blank_lot *lot = item;

    if ((f->lot == NULL) != !str_eq(lot->kind, "lot"))
        return f->lot == NULL ? 1 : -1;
    if (f->lot != NULL)
        return strcmp(f->lot, lot->id);
    return strcmp(f->subject_kind, lot->kind) != 0 ? strcmp(f->subject_kind, lot->kind)
                                                   : strcmp(f->subject, lot->id);
}

struct blanks *blanks_gather(const struct report *r)
{
    struct blanks *out = mem_calloc(1, sizeof *out);
    struct pieces all = {0};
    bool ok = out != NULL;

    for (size_t i = 0; ok && i < r->findings->count; i++)
        if (is_untold(r, &r->findings->items[i])) {
            out->verdicts++;
            ok = add_needs(&all, &r->findings->items[i]);
        }
    ok = ok && gather_entries(out, &all) && gather_lots(out, &all);
    for (size_t i = 0; ok && i < r->findings->count; i++) {
        struct blank_lot *lot;

        if (!is_untold(r, &r->findings->items[i]))
            continue;
        lot =
            bsearch(&r->findings->items[i], out->lots, out->lot_count, sizeof *out->lots, find_lot);
        assert(lot != NULL);
        lot->verdicts++;
    }
    for (size_t i = 0; i < all.count; i++)
        mem_free(all.items[i].what);
    mem_free(all.items);
    if (!ok) {
        blanks_free(out);
        return NULL;
    }
    return out;
}

void blanks_free(struct blanks *b)
{
    if (b == NULL)
        return;
    for (size_t i = 0; i < b->entry_count; i++)
        mem_free(b->entries[i].what);
    for (size_t i = 0; i < b->of_lot_count; i++)
        mem_free(b->of_lots[i]);
    mem_free(b->entries);
    mem_free(b->lots);
    mem_free(b->of_lots);
    mem_free(b);
}
