/* lot_table.c - records and facts as tables of a report. */
#include "text/base.h"

#include "command/lot_table.h"
#include "command/rows.h"
#include "text/mem.h"
#include "text/show.h"
#include "text/utf8.h"

/* A heading begins with a capital letter. */
static void begin_large(struct sbuf *b)
{
    if (b->len > 0 && ascii_lower(b->s[0]))
        b->s[0] = (char)(b->s[0] - 'a' + 'A');
}

static void put_attribute(struct session *s, struct report_table *t, const struct record *r,
                          const char *name)
{
    report_pair(&s->report, t, name, record_get(r, name));
}

/* "400 g of receipt R-12 (oakmoss)" */
static void put_charge(struct session *s, struct report_table *t, const struct record *charge)
{
    const char *quantity = record_get(charge, "quantity"), *receipt = record_get(charge, "receipt");
    const char *batch = record_get(charge, "from-batch"),
               *material = record_get(charge, "material");
    struct sbuf b = SBUF_INIT;

    sbuf_puts(&b, quantity == NULL ? "amount not given" : quantity);
    if (receipt != NULL)
        sbuf_printf(&b, " of receipt %s", receipt);
    if (batch != NULL)
        sbuf_printf(&b, " of lot %s", batch);
    if (material != NULL)
        sbuf_printf(&b, " of %s", material);
    if (b.failed)
        s->report.failed = true;
    report_pair(&s->report, t, "charge", b.s);
    sbuf_free(&b);
}

void lot_table_short(struct session *s, const char *lot)
{
    static const char *const shown[] = {
        "product",         "state",   "start",  "place",    "vessel-size",
        "vessel-material", "closure", "volume", "strength", "ratio"};
    struct record *r = store_get(s->store, "batch", lot);
    struct report_table *t;
    struct sbuf title = SBUF_INIT;

    if (r == NULL)
        return;
    sbuf_printf(&title, "Lot %s as planned", lot);
    t = report_add_table(&s->report, "plan", title.s, NULL, TABLE_PAIRS);
    for (size_t i = 0; i < LW_COUNT(shown); i++)
        put_attribute(s, t, r, shown[i]);
    for (size_t i = 0; i < r->child_count; i++)
        if (str_eq(r->children[i]->element->name, "charge"))
            put_charge(s, t, r->children[i]);
    sbuf_free(&title);
    record_free(r);
}

/* --- whole records ------------------------------------------------------------------------------
 */

/* Has any child of this kind a value for attribute i? */
static bool column_used(const struct record *r, const struct dict_element *e, size_t i)
{
    for (size_t k = 0; k < r->child_count; k++)
        if (r->children[k]->element == e && r->children[k]->values[i] != NULL)
            return true;
    return false;
}

static bool first_of_kind(const struct record *r, size_t k)
{
    for (size_t i = 0; i < k; i++)
        if (r->children[i]->element == r->children[k]->element)
            return false;
    return true;
}

static void put_children(struct session *s, const struct record *r, const struct dict_element *e)
{
    struct sbuf title = SBUF_INIT;
    struct report_table *t;

    sbuf_puts(&title, e->name);
    begin_large(&title);
    t = report_add_table(&s->report, e->name, title.s, e->meaning, TABLE_GRID);
    if (title.failed)
        s->report.failed = true;
    sbuf_free(&title);
    for (size_t i = 0; i < e->attr_count; i++)
        if (column_used(r, e, i))
            report_column(&s->report, t, e->attrs[i].name, e->attrs[i].name, NULL,
                          e->attrs[i].type == ATTR_QTY ? ALIGN_RIGHT : ALIGN_LEFT);
    for (size_t k = 0; k < r->child_count; k++) {
        if (r->children[k]->element != e)
            continue;
        for (size_t i = 0; i < e->attr_count; i++)
            if (column_used(r, e, i))
                report_cell(&s->report, t, r->children[k]->values[i]);
    }
}

bool lot_table_full(struct session *s, const char *kind, const char *id)
{
    struct record *r = store_get(s->store, kind, id);
    struct report_table *t;
    struct sbuf title = SBUF_INIT;

    if (r == NULL)
        return false;
    sbuf_printf(&title, "%s %s, as recorded", kind, id);
    begin_large(&title);
    t = report_add_table(&s->report, "record", title.s, NULL, TABLE_PAIRS);
    for (size_t i = 0; i < r->element->attr_count; i++)
        report_pair(&s->report, t, r->element->attrs[i].name, r->values[i]);
    for (size_t k = 0; k < r->child_count; k++)
        if (first_of_kind(r, k))
            put_children(s, r, r->children[k]->element);
    sbuf_free(&title);
    record_free(r);
    return true;
}

/* --- facts --------------------------------------------------------------------------------------
 */

struct fact_rows {
    const struct fact_sheet *sheet;
    unsigned long count;
};

/* The sheets word the meaning of a flag "1 where ...". */
static bool is_flag(const struct fact_column *c)
{
    return c->unit == NULL && str_starts(c->meaning, "1 ");
}

static void put_fact_cell(struct session *s, struct report_table *t, const char *label,
                          const struct fact_column *c, sqlite3_stmt *st, int i)
{
    struct sbuf b = SBUF_INIT;

    if (sqlite3_column_type(st, i) == SQLITE_NULL)
        sbuf_puts(&b, "not known");
    else if (sqlite3_column_type(st, i) == SQLITE_TEXT)
        sbuf_puts(&b, rows_text(st, i));
    else if (is_flag(c))
        sbuf_puts(&b, sqlite3_column_int(st, i) != 0 ? "yes" : "no");
    else
        show_quantity(&b, sqlite3_column_double(st, i), c->unit, session_units(s));
    if (b.failed)
        s->report.failed = true;
    report_pair(&s->report, t, label, b.s);
    sbuf_free(&b);
}

static void put_fact_row(struct session *s, sqlite3_stmt *st, void *user)
{
    struct fact_rows *rows = user;
    struct report_table *t;
    struct sbuf name = SBUF_INIT, title = SBUF_INIT;

    rows->count++;
    sbuf_puts(&name, rows->sheet->name);
    if (rows->count == 1) {
        sbuf_puts(&title, rows->sheet->row);
        begin_large(&title);
    } else {
        sbuf_printf(&name, "-%lu", rows->count);
    }
    t = report_add_table(&s->report, name.s, rows->count == 1 ? title.s : NULL, NULL, TABLE_PAIRS);
    if (name.failed || title.failed)
        s->report.failed = true;
    sbuf_free(&name);
    sbuf_free(&title);
    for (size_t i = 0; i < rows->sheet->column_count; i++) {
        const struct fact_column *c = &rows->sheet->columns[i];

        if (str_eq(c->name, rows->sheet->subject) || str_eq(c->name, rows->sheet->lot))
            continue;
        put_fact_cell(s, t, c->label, c, st, (int)i);
    }
}

bool lot_table_facts(struct session *s, const char *kind, const char *id)
{
    bool ok = true;

    for (size_t i = 0; ok && i < fact_set_count(s->sheets); i++) {
        const struct fact_sheet *sheet = fact_set_at(s->sheets, i);
        struct fact_rows rows = {.sheet = sheet};
        struct sbuf b = SBUF_INIT;

        if (!str_eq(sheet->kind, kind))
            continue;
        sbuf_puts(&b, "select ");
        for (size_t c = 0; c < sheet->column_count; c++)
            sbuf_printf(&b, "%s\"%s\"", c > 0 ? ", " : "", sheet->columns[c].name);
        sbuf_printf(&b, " from fact_%s where \"%s\" = ?1", sheet->name, sheet->subject);
        ok = !b.failed && rows_select(s, b.s, id, NULL, put_fact_row, &rows);
        sbuf_free(&b);
    }
    return ok;
}
