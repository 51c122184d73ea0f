#include "text/base.h"

#include "command/label_make.h"
#include "command/rows.h"
#include "text/date.h"
#include "text/number.h"
#include "text/quantity.h"
#include "text/utf8.h"

struct found {
    char *id;
    size_t size;
};

static void take_id(struct session *s, sqlite3_stmt *st, void *user)
{
    struct found *f = user;

    (void)s;
    if (rows_text(st, 0) != NULL)
        snprintf(f->id, f->size, "%s", rows_text(st, 0));
}

static void ignore(struct session *s, sqlite3_stmt *st, void *user)
{
    (void)s;
    (void)st;
    (void)user;
}

static bool set(struct session *s, const char *sql, const char *a, const char *b)
{
    return rows_select(s, sql, a, b, ignore, NULL);
}

/* A market word of the catalogue, or a country of the EU. */
static bool market_known(struct session *s, const char *market, bool *ok)
{
    static const char *const words[] = {"EU", "NI", "GB", "UK", "US", "CA"};

    for (size_t i = 0; i < LW_COUNT(words); i++)
        if (ascii_casecmp(words[i], market) == 0)
            return true;
    return rows_count(s,
                      "select count(*) from cat_region_member where region = 'eu' and country ="
                      " upper(?1)",
                      market, ok) > 0;
}

static enum exit_status check_market(struct session *s, const char *market)
{
    bool ok = true;

    if (market == NULL || market_known(s, market, &ok))
        return STATUS_CLEAN;
    return ok ? session_usage(s, "EU, NI, GB, US, CA, or a country of the EU",
                              "--market: no label regime is known for '%s'", market)
              : session_trouble(s);
}

/* The latest label of the lot that names the market; any, when none is asked for. */
static bool find(struct session *s, const char *lot, const char *market, struct found *f)
{
    return rows_select(s,
                       "select id from (select * from rec_label where batch = ?1 and (?2 is null or"
                       " instr(' ' || upper(market) || ' ', ' ' || upper(?2) || ' ') > 0) order by "
                       "printed is null, printed"
                       " desc, rid desc limit 1)",
                       lot, market, take_id, f);
}

static bool make_up(struct session *s, const char *lot, const char *market, struct found *f)
{
    snprintf(f->id, f->size, "%s-%s", lot, market);
    return set(s, "insert into rec_label(id, batch, origin, market) values (?2, ?1, 'plan', null)",
               lot, f->id) &&
           set(s, "update rec_label set market = upper(?2) where id = ?1", f->id, market) &&
           set(s,
               "insert into rec_link(kind, rid, id, attr, target) select 'label', rid, id, 'batch',"
               " batch from rec_label where id = ?1",
               f->id, NULL) &&
           /* what another label of the lot says of the firm and the numbers holds here too */
           set(s,
               "update rec_label set (product_name, identity, party_name, party_address,"
               " party_phone, party_country, contact, ufi, languages, origin_text, origin_country,"
               " scientific_name, solvent, sds, capacity, capacity_l, capacity_res, net_quantity,"
               " net_quantity_l, net_quantity_g, net_quantity_res) = (select product_name,"
               " identity, party_name, party_address, party_phone, party_country, contact, ufi,"
               " languages, origin_text, origin_country, scientific_name, solvent, sds, capacity,"
               " capacity_l, capacity_res, net_quantity, net_quantity_l, net_quantity_g,"
               " net_quantity_res from rec_label o where o.batch = rec_label.batch and o.id <> ?1"
               " order by o.rid desc limit 1) where id = ?1",
               f->id, NULL);
}

static bool set_use(struct session *s, const char *label, const char *use)
{
    return set(s,
               use != NULL
                   ? "update rec_label set intended_use = ?2 where id = ?1"
                   : "update rec_label set intended_use = (select case product_kind when 'cosmetic'"
                     " then 'cosmetic' when 'consumer-chemical' then 'consumer-chemical' when"
                     " 'workroom' then 'workroom-vessel' else 'maker-material' end from rec_batch"
                     " where rec_batch.id = rec_label.batch) where id = ?1 and intended_use is null"
                     " and ?2 is null",
               label, use);
}

/* The bottle of the last filling where the label has no size. */
static bool set_bottle(struct session *s, const char *label)
{
    return set(s,
               "update rec_label set (capacity, capacity_l) = (select bottle_size, bottle_size_l"
               " from rec_yield y where y.batch = rec_label.batch and bottle_size_l is not null"
               " order by y.rid desc limit 1) where id = ?1 and capacity is null and net_quantity"
               " is null",
               label, NULL);
}

bool label_fill(struct session *s, const char *label)
{
    return set(s,
               "update rec_label set (net_quantity, net_quantity_l) = (capacity, capacity_l) where"
               " id = ?1 and net_quantity is null",
               label, NULL) &&
           session_facts(s, NULL);
}

static enum exit_status set_size(struct session *s, const char *label, const char *text)
{
    struct quantity q;
    char litres[64];

    if (text == NULL)
        return STATUS_CLEAN;
    q = quantity_parse(text, DIM_VOLUME, &(struct quantity_context){UNITS_US, NUMBER_POINT, true});
    if (q.status != QUANTITY_OK || q.value <= 0)
        return session_usage(s, "a volume with its unit, for example 10 mL",
                             "--size: '%s' is not a volume", text);
    snprintf(litres, sizeof litres, "%.12g", q.value);
    return set(s,
               "update rec_label set capacity = ?2, net_quantity = iif(net_quantity is null, null,"
               " ?2), net_quantity_g = null,"
               " net_quantity_us = null, net_quantity_us_l = null, panel_width = null,"
               " panel_height = null, panel_width_m = null, panel_height_m = null where id = ?1",
               label, text) &&
                   set(s,
                       "update rec_label set capacity_l = cast(?2 as real), net_quantity_l ="
                       " iif(net_quantity is null, null, cast(?2 as real)), net_quantity_res = 0"
                       " where id = ?1",
                       label, litres)
               ? STATUS_CLEAN
               : session_trouble(s);
}

/* The panel of a common bottle of the size, where none is recorded. */
static bool set_panel(struct session *s, const char *label)
{
    return set(s,
               "update rec_label set (panel_width, panel_height, panel_width_m, panel_height_m) ="
               " (select width_mm || ' mm', height_mm || ' mm', width_mm / 1000.0, height_mm /"
               " 1000.0 from cat_bottle_panel p where p.capacity_not_over_ml is null or"
               " coalesce(capacity_l, net_quantity_l) * 1000 <= p.capacity_not_over_ml order by"
               " p.capacity_not_over_ml is null, p.capacity_not_over_ml limit 1)"
               " where id = ?1 and panel_width_m is null and coalesce(capacity_l, net_quantity_l)"
               " is not null",
               label, NULL);
}

enum exit_status label_make(struct session *s, const char *lot, char *label, size_t size)
{
    const char *market = option_text(&s->options, "market"), *use = option_text(&s->options, "use");
    struct found f = {label, size};
    bool ok = true;
    enum exit_status status = check_market(s, market);

    if (status != STATUS_CLEAN)
        return status;
    if (rows_count(s, "select count(*) from rec_batch where id = ?1", lot, &ok) == 0)
        return ok ? session_usage(s, NULL, "there is no lot '%s' in these records", lot)
                  : session_trouble(s);
    label[0] = '\0';
    if (!find(s, lot, market, &f))
        return session_trouble(s);
    if (label[0] == '\0' && market == NULL)
        return session_usage(s, "say where it is sold: --market US",
                             "lot '%s' has no label on record", lot);
    if ((label[0] == '\0' && !make_up(s, lot, market, &f)) || !set_use(s, label, use) ||
        !set_bottle(s, label))
        return session_trouble(s);
    status = set_size(s, label, option_text(&s->options, "size"));
    if (status != STATUS_CLEAN)
        return status;
    return set_panel(s, label) ? STATUS_CLEAN : session_trouble(s);
}
