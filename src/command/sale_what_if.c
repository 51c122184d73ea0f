#include "text/base.h"

#include "command/rows.h"
#include "command/sale_what_if.h"
#include "text/date.h"

static void ignore_row(struct session *s, sqlite3_stmt *st, void *user)
{
    (void)s;
    (void)st;
    (void)user;
}

static bool run2(struct session *s, const char *sql, const char *a, const char *b)
{
    return rows_select(s, sql, a, b, ignore_row, NULL);
}

/* The bottle of the last filling; the label is chosen below, so that the sale is judged as it would
 * be made. */
static const char insert_batch_line[] =
    "insert into rec_line(parent, n, sale, batch, label, bottles, bottles_n, bottle_size, "
    "bottle_size_l)"
    " select s.rid, 1, s.id, ?2, null, iif(y.bottle_size_l"
    " is null, null, '1'), iif(y.bottle_size_l is null, null, 1.0), y.bottle_size, y.bottle_size_l"
    " from rec_sale s left join (select bottle_size, bottle_size_l, max(rid) from rec_yield"
    "  where batch = ?2 and bottle_size_l is not null) y where s.id = ?1";

static const char insert_receipt_line[] =
    "insert into rec_line(parent, n, sale, receipt, quantity, quantity_g, quantity_l)"
    " select s.rid, 1, s.id, r.id, r.quantity, r.quantity_g, r.quantity_l"
    " from rec_sale s, rec_receipt r where s.id = ?1 and r.id = ?2";

/* The references that the reader would have made of the new rows. */
static const char insert_links[] =
    "insert into rec_link(kind, rid, id, attr, target)"
    " select 'line', l.rid, l.sale, 'batch', l.batch from rec_line l where l.sale = ?1 and l.batch "
    "is not null"
    " union all select 'line', l.rid, l.sale, 'receipt', l.receipt from rec_line l"
    "  where l.sale = ?1 and l.receipt is not null"
    " union all select 'line', l.rid, l.sale, 'label', l.label from rec_line l"
    "  where l.sale = ?1 and l.label is not null";

/* Which label would go with each line: the one the line names, else the one of the lot made for
 * that market, else its latest. */
static const char chosen[] =
    "create temp table what_if_label as select (select coalesce(l.label, (select k.id from"
    " rec_label k where k.batch = l.batch order by instr(' ' || upper(coalesce(k.market, '')) ||"
    " ' ', ' ' || ?2 || ' ') = 0, not (instr(' ' || upper(coalesce(k.market, '')) || ' ', ' EU ')"
    " > 0 and exists (select 1 from cat_region_member m where m.region = 'eu' and m.country ="
    " ?2)), k.printed is null, k.printed desc, k.rid desc limit 1))) as id from rec_line l where"
    " l.sale = ?1";

/* A label says what it is made for by its market, or by its regime alone; where it does not say
 * what the bottle is sold as, its regime does, or what the lot is sold as. */
static const char judged_for[] =
    "update rec_label set market = ?1, intended_use = coalesce(intended_use,"
    " (select min(r.intended_use) from cat_regime_market r where r.regime = rec_label.regime"
    "  having count(distinct r.intended_use) = 1),"
    " (select case b.product_kind when 'material' then 'maker-material' when 'cosmetic' then"
    "  'cosmetic' when 'consumer-chemical' then 'consumer-chemical' when 'workroom' then"
    "  'workroom-vessel' end from rec_batch b where b.id = rec_label.batch))"
    " where id in (select id from temp.what_if_label)";

static const char give_label[] = "update rec_line set label = (select id from temp.what_if_label "
                                 "where id is not null) where sale ="
                                 " ?1 and batch is not null";

/* The label regimes of the country are asked about, not those of the market on record. */
static bool label_for(struct session *s, const char *sale, const char *to)
{
    return rows_run(s, "drop table if exists temp.what_if_label") && run2(s, chosen, sale, to) &&
           run2(s, judged_for, to, NULL);
}

static enum exit_status make_up(struct session *s, const char *name, const char *to, char *sale,
                                size_t size)
{
    bool ok = true;
    char day[11];
    bool batch = rows_count(s, "select count(*) from rec_batch where id = ?1", name, &ok) > 0;
    bool receipt = ok && !batch &&
                   rows_count(s, "select count(*) from rec_receipt where id = ?1", name, &ok) > 0;

    if (!ok)
        return session_trouble(s);
    if (!batch && !receipt)
        return session_usage(s, NULL, "there is no sale, lot or received lot '%s' in these records",
                             name);
    snprintf(sale, size, "what-if-%s", name);
    date_format(s->as_of, day);
    ok = run2(s, "insert into rec_sale(id, origin, \"to\") values (?1, 'plan', ?2)", sale, to) &&
         run2(s, "update rec_sale set date = ?2 where id = ?1", sale, day) &&
         run2(s, batch ? insert_batch_line : insert_receipt_line, sale, name);
    return ok ? STATUS_CLEAN : session_trouble(s);
}

enum exit_status sale_what_if(struct session *s, const char *name, const char *to, char *sale,
                              size_t size)
{
    bool ok = true;

    bool made = rows_count(s, "select count(*) from rec_sale where id = ?1", name, &ok) == 0;
    enum exit_status status = STATUS_CLEAN;

    if (made) {
        status = ok ? make_up(s, name, to, sale, size) : session_trouble(s);
    } else {
        snprintf(sale, size, "%s", name);
        if (!run2(s, "update rec_sale set \"to\" = ?2 where id = ?1", name, to))
            status = session_trouble(s);
    }
    if (status == STATUS_CLEAN &&
        (!label_for(s, sale, to) || (made && !run2(s, give_label, sale, NULL)) ||
         (made && !run2(s, insert_links, sale, NULL)) ||
         !rows_run(s, "drop table temp.what_if_label")))
        status = session_trouble(s);
    return status;
}
