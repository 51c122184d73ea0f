/* manual_facts.c - the fact sheets as mdoc lists. */
#include "text/base.h"

#include "manual/manual.h"

static void put_column(struct sbuf *out, const struct fact_column *c)
{
    mdoc_macro(out, "It Va", c->name, NULL);
    mdoc_text(out, c->meaning);
    if (c->unit != NULL) {
        struct sbuf unit = SBUF_INIT;

        sbuf_printf(&unit, "Unit: %s.", c->unit);
        mdoc_text(out, unit.s);
        sbuf_free(&unit);
    }
    if (c->empty != NULL) {
        struct sbuf empty = SBUF_INIT;
        size_t n = strlen(c->empty);

        sbuf_printf(&empty, "Empty: %s%s", c->empty, n > 0 && c->empty[n - 1] == '.' ? "" : ".");
        mdoc_text(out, empty.s);
        sbuf_free(&empty);
    }
    if (c->partial != NULL) {
        sbuf_puts(out, "A sum; what it had to leave out is counted in\n");
        mdoc_macro(out, "Va", c->partial, ".", NULL);
    }
    if (c->from != NULL) {
        sbuf_puts(out, "Read from:\n");
        mdoc_text(out, c->from);
    }
}

static void put_fact(struct manual *m, const struct fact_sheet *f, struct sbuf *out)
{
    size_t judged = 0;

    mdoc_macro(out, "Ss", f->name, NULL);
    if (f->row != NULL) {
        struct sbuf row = SBUF_INIT;
        size_t n = strlen(f->row);

        sbuf_printf(&row, "One row: %s%s", f->row, n > 0 && f->row[n - 1] == '.' ? "" : ".");
        mdoc_text(out, row.s);
        sbuf_free(&row);
    }
    sbuf_puts(out, ".Bl -tag -width Ds\n");
    for (size_t i = 0; i < f->column_count; i++)
        put_column(out, &f->columns[i]);
    sbuf_puts(out, ".El\n");
    for (size_t i = 0; i < rule_set_count(m->rules); i++) {
        const struct rule *r = rule_set_at(m->rules, i);

        if (strcmp(r->fact, f->name) != 0)
            continue;
        sbuf_puts(out, judged++ == 0 ? ".Pp\nJudged by:\n" : "");
        mdoc_text(out, r->id);
    }
}

void manual_facts(struct manual *m, struct sbuf *out)
{
    for (size_t i = 0; i < fact_set_count(m->facts); i++)
        put_fact(m, fact_set_at(m->facts, i), out);
}
