/* manual_works.c - the works that rules, limits and tables lean on, shortly, for
 * lotward-sources(7). */
#include "text/base.h"

#include "manual/manual.h"
#include "text/mem.h"
#include "text/utf8.h"

struct work {
    const char *title, *edition;
    size_t rules, unconfirmed;
};

static int by_title(const void *a, const void *b)
{
    const struct work *x = a, *y = b;
    int order = strcmp(x->title, y->title);

    return order != 0 ? order : strcmp(x->edition, y->edition);
}

static size_t count_sources(struct manual *m)
{
    size_t n = 0;

    for (size_t i = 0; i < rule_set_count(m->rules); i++)
        n += rule_set_at(m->rules, i)->source_count;
    return n;
}

static void put_work(struct sbuf *out, const struct work *w)
{
    struct sbuf text = SBUF_INIT;

    if (w->edition[0] != '\0')
        sbuf_printf(&text, "Edition: %s. ", w->edition);
    sbuf_printf(&text, "Citations by rules: %zu", w->rules);
    if (w->unconfirmed > 0)
        sbuf_printf(&text, "; from memory, unconfirmed: %zu", w->unconfirmed);
    sbuf_putc(&text, '.');
    mdoc_macro(out, "It", w->title, NULL);
    mdoc_text(out, text.s);
    sbuf_free(&text);
}

void manual_works(struct manual *m, struct sbuf *out)
{
    size_t n = count_sources(m), used = 0;
    struct work *works = mem_calloc(n + 1, sizeof *works);

    if (works == NULL) {
        m->failed = true;
        return;
    }
    for (size_t i = 0; i < rule_set_count(m->rules); i++) {
        const struct rule *r = rule_set_at(m->rules, i);

        for (size_t k = 0; k < r->source_count; k++)
            works[used++] =
                (struct work){.title = r->sources[k].work,
                              .edition = r->sources[k].edition == NULL ? "" : r->sources[k].edition,
                              .rules = 1,
                              .unconfirmed = str_eq(r->sources[k].sure, sureness_order[0])};
    }
    qsort(works, used, sizeof *works, by_title);
    for (size_t i = 0; i < used; i++) {
        if (i + 1 < used && by_title(&works[i], &works[i + 1]) == 0) {
            works[i + 1].rules += works[i].rules;
            works[i + 1].unconfirmed += works[i].unconfirmed;
        } else {
            put_work(out, &works[i]);
        }
    }
    mem_free(works);
}

static void put_set(sqlite3_stmt *st, void *user)
{
    struct sbuf text = SBUF_INIT;

    mdoc_macro(user, "It Cm", manual_column(st, 0), NULL);
    sbuf_printf(&text, "%s. %s%s%sLimits, by how sure: %s.", manual_column(st, 1),
                manual_column(st, 2)[0] != '\0' ? "Edition: " : "", manual_column(st, 2),
                manual_column(st, 2)[0] != '\0' ? ". " : "", manual_column(st, 3));
    mdoc_text(user, text.s);
    sbuf_free(&text);
}

void manual_set_sureness(struct manual *m, struct sbuf *out)
{
    manual_query(m,
                 "select c.id, c.title, c.edition, (select group_concat(sure || ' ' || n, ', ')"
                 " from (select sure, count(*) n from lim where codeset = c.id group by sure"
                 " order by sure)) from codeset c order by c.id",
                 NULL, put_set, out);
}

struct tables {
    struct manual *m;
    struct sbuf *out;
};

static void put_sureness(sqlite3_stmt *st, void *user)
{
    sbuf_printf(user, " %s %s,", manual_column(st, 0), manual_column(st, 1));
}

static void put_table(sqlite3_stmt *st, void *user)
{
    struct tables *t = user;
    struct sbuf sql = SBUF_INIT, text = SBUF_INIT;

    sbuf_printf(&sql, "select sure, count(*) from cat_%s group by sure order by sure",
                manual_column(st, 0));
    sbuf_puts(&text, "Rows, by how sure:");
    manual_query(t->m, sql.s, NULL, put_sureness, &text);
    if (text.len > 0 && text.s[text.len - 1] == ',')
        text.s[text.len - 1] = '.';
    mdoc_macro(t->out, "It Cm", manual_column(st, 0), NULL);
    mdoc_text(t->out, text.s);
    sbuf_free(&sql);
    sbuf_free(&text);
}

void manual_tables(struct manual *m, struct sbuf *out)
{
    struct tables t = {m, out};

    manual_query(m, "select distinct sheet from cat_column where name = 'sure' order by sheet",
                 NULL, put_table, &t);
}
