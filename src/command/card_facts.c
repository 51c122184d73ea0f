/* card_facts.c - tables of facts: property, value, source and how sure. */
#include "text/base.h"

#include "command/card.h"
#include "command/rows.h"
#include "physics/fireclass.h"
#include "text/show.h"
#include "text/utf8.h"

struct report_table *card_fact_table(struct session *s, const char *name, const char *title)
{
    struct report_table *t = report_add_table(&s->report, name, title, NULL, TABLE_GRID);

    report_column(&s->report, t, "property", NULL, NULL, ALIGN_LEFT);
    report_column(&s->report, t, "value", NULL, NULL, ALIGN_LEFT);
    report_column(&s->report, t, "source", NULL, NULL, ALIGN_LEFT);
    return t;
}

#define SAME_SOURCE "as above"

/* The source said last, looking past those that were the same. */
static const char *last_source(const struct report_table *t)
{
    for (size_t i = t->cell_count; i >= t->column_count; i -= t->column_count)
        if (!str_eq(t->cells[i - 1].text, SAME_SOURCE))
            return t->cells[i - 1].text;
    return NULL;
}

void card_fact(struct session *s, struct report_table *t, const char *property, const char *value,
               const char *source, const char *sure)
{
    struct sbuf b = SBUF_INIT;
    const char *last;

    if (t == NULL || value == NULL || value[0] == '\0' || s->report.failed)
        return; /* a report that failed is not printed, and its tables may be short of columns */
    last = last_source(t);
    report_cell(&s->report, t, property);
    report_cell(&s->report, t, value);
    sbuf_puts(&b, source);
    if (sure != NULL)
        sbuf_printf(&b, "%s(%s)", b.len > 0 ? " " : "", report_sureness(sure));
    if (b.failed)
        s->report.failed = true;
    /* for people a source is said once, so that the card fits a screen */
    report_cell(&s->report, t,
                b.len > 0 && str_eq(last, b.s) &&
                        !str_eq(option_text(&s->options, "format"), "json")
                    ? SAME_SOURCE
                    : b.s);
    sbuf_free(&b);
}

/* What a row gives: a number with its unit and range, then words. */
static void put_value(struct sbuf *b, sqlite3_stmt *st, enum show_units units)
{
    enum { LOW = 1, HIGH, MORE, UNIT, TEXT };
    const char *unit = rows_text(st, UNIT);

    if (sqlite3_column_type(st, LOW) != SQLITE_NULL) {
        if (str_eq(rows_text(st, MORE), "yes"))
            sbuf_puts(b, "above ");
        show_quantity(b, sqlite3_column_double(st, LOW), unit, units);
        if (sqlite3_column_type(st, HIGH) != SQLITE_NULL &&
            sqlite3_column_double(st, HIGH) > sqlite3_column_double(st, LOW)) {
            sbuf_puts(b, " to ");
            show_quantity(b, sqlite3_column_double(st, HIGH), unit, units);
        }
    }
    if (rows_text(st, TEXT) != NULL)
        sbuf_printf(b, "%s%s", b->len > 0 ? ", " : "", rows_text(st, TEXT));
}

struct facts {
    struct report_table *table;
    const char *name, *title;
};

static void fact_row(struct session *s, sqlite3_stmt *st, void *user)
{
    enum { SOURCE = 6, SURE };
    struct facts *f = user;
    struct sbuf b = SBUF_INIT;

    put_value(&b, st, session_units(s));
    if (b.failed)
        s->report.failed = true;
    if (b.len > 0) {
        if (f->table == NULL)
            f->table = card_fact_table(s, f->name, f->title);
        card_fact(s, f->table, rows_text(st, 0), b.s, rows_text(st, SOURCE), rows_text(st, SURE));
    }
    sbuf_free(&b);
}

bool card_facts(struct session *s, const char *name, const char *title, const char *sql,
                const struct candidate *c)
{
    struct facts f = {.name = name, .title = title};

    return rows_select(s, sql, c->id, c->part, fact_row, &f);
}

struct plain {
    struct report_table *table;
    const char *name, *title, *heads;
};

static void plain_row(struct session *s, sqlite3_stmt *st, void *user)
{
    struct plain *p = user;

    if (p->table == NULL) { /* made with the first row: no empty table is printed */
        p->table = report_add_table(&s->report, p->name, p->title, NULL, TABLE_GRID);
        for (const char *h = p->heads; *h != '\0';) {
            size_t n = strcspn(h, " ");
            char head[CARD_ID_SIZE];

            snprintf(head, sizeof head, "%.*s", (int)n, h);
            report_column(&s->report, p->table, head, NULL, NULL, ALIGN_LEFT);
            h += n + (h[n] == ' ' ? 1 : 0);
        }
    }
    for (int i = 0; i < sqlite3_column_count(st) && !s->report.failed; i++) {
        const char *text = rows_text(st, i);
        bool sure = text != NULL && str_eq(p->table->columns[i].name, "sure");

        report_cell(&s->report, p->table, sure ? report_sureness(text) : text);
    }
}

bool card_rows(struct session *s, const char *name, const char *title, const char *heads,
               const char *sql, const struct candidate *c)
{
    struct plain p = {.name = name, .title = title, .heads = heads};

    return rows_select(s, sql, c->id, c->part, plain_row, &p);
}

void card_classes(struct session *s, double flash_c, double uncertainty_k, double boil_c)
{
    struct report_table *t = report_add_table(
        &s->report, "classes", "Fire classes",
        "Where two are possible, the cautious one is the class to use. Boundaries in words: "
        "lotward card SCHEME CLASS.",
        TABLE_GRID);

    report_column(&s->report, t, "scheme", NULL, NULL, ALIGN_LEFT);
    report_column(&s->report, t, "class", "class to use", NULL, ALIGN_LEFT);
    report_column(&s->report, t, "other-possible-class", "also possible", NULL, ALIGN_LEFT);
    for (unsigned i = 0; i < FIRE_SCHEME_COUNT; i++) {
        struct fire_band band = fireclass_band((enum fire_scheme)i, flash_c, uncertainty_k, boil_c);

        report_cell(&s->report, t, fire_scheme_title((enum fire_scheme)i));
        report_cell(&s->report, t,
                    band.reason != NULL          ? band.reason
                    : band.cautious.name == NULL ? band.cautious.reason
                                                 : band.cautious.name);
        report_cell(&s->report, t,
                    band.reason == NULL && band.two_possible ? band.other.name : NULL);
    }
}
