/* manual_limits.c - the code sets and the names of limits as mdoc lists. */
#include "text/base.h"

#include "manual/manual.h"

static void put_set(sqlite3_stmt *st, void *user)
{
    struct sbuf *out = user;
    struct sbuf text = SBUF_INIT;

    mdoc_macro(out, "It Cm", manual_column(st, 0), NULL);
    sbuf_printf(&text, "%s. ", manual_column(st, 1));
    if (manual_column(st, 2)[0] != '\0')
        sbuf_printf(&text, "Edition: %s. ", manual_column(st, 2));
    if (manual_column(st, 3)[0] != '\0')
        sbuf_printf(&text, "Classes: %s. ", manual_column(st, 3));
    if (manual_column(st, 4)[0] != '\0')
        sbuf_printf(&text, "Region: %s. ", manual_column(st, 4));
    sbuf_printf(&text, "Number of limits: %s. ", manual_column(st, 6));
    if (sqlite3_column_int(st, 7) != 0)
        sbuf_puts(&text, "In force whatever the premises record names. ");
    sbuf_puts(&text, manual_column(st, 5));
    mdoc_text(out, text.s);
    sbuf_free(&text);
}

void manual_code_sets(struct manual *m, struct sbuf *out)
{
    manual_query(m,
                 "select c.id, c.title, c.edition, c.scheme, c.region, c.about,"
                 " (select count(*) from lim where codeset = c.id), c.always from codeset c"
                 " order by c.id",
                 NULL, put_set, out);
}

static void put_name(sqlite3_stmt *st, void *user)
{
    struct sbuf *out = user;
    struct sbuf text = SBUF_INIT;

    mdoc_macro(out, "It Cm", manual_column(st, 0), NULL);
    sbuf_printf(&text, "%s Topic %s; %s; %s bound%s. Code sets: %s.", manual_column(st, 4),
                manual_column(st, 1), manual_column(st, 2), manual_column(st, 3),
                strcmp(manual_column(st, 5), "yes") == 0 ? " of a sum" : "",
                manual_column(st, 6)[0] == '\0' ? "none yet" : manual_column(st, 6));
    mdoc_text(out, text.s);
    sbuf_free(&text);
}

void manual_limit_names(struct manual *m, struct sbuf *out)
{
    manual_query(m,
                 "select n.name, n.topic, n.dimension, n.bound, n.meaning, n.sum,"
                 " (select group_concat(codeset, ', ') from (select distinct codeset from lim"
                 "  where name = n.name order by codeset)) from cat_limit_name n order by n.name",
                 NULL, put_name, out);
}
