/* trace_steps.c - how records follow one another, and what each says of itself. */
#include "text/base.h"

#include "record/trace_internal.h"
#include "text/mem.h"
#include "text/sbuf.h"

#define LINE_AMOUNT "coalesce(l.bottles || ' x ' || coalesce(l.bottle_size, '?'), l.quantity)"

const struct trace_step trace_steps[] = {
    {TRACE_SUPPLIER, TRACE_RECEIPT,
     "select r.id, r.quantity from rec_link k join rec_receipt r on r.rid = k.rid"
     " where k.target = ?1 and k.kind = 'receipt' and k.attr = 'supplier' order by r.date, r.id",
     "select supplier, quantity from rec_receipt where id = ?1 and supplier is not null", false},
    {TRACE_DOCUMENT, TRACE_DOCUMENT,
     "select d.id, null from rec_link k join rec_document d on d.rid = k.rid"
     " where k.target = ?1 and k.kind = 'document' and k.attr = 'extends' order by d.id",
     "select extends, null from rec_document where id = ?1 and extends is not null", false},
    {TRACE_DOCUMENT, TRACE_RECEIPT,
     "select id, null from rec_link where target = ?1 and kind = 'receipt' and attr = 'documents' "
     "order by id",
     "select documents, null from rec_receipt where id = ?1 and documents is not null", true},
    {TRACE_RECEIPT, TRACE_BATCH,
     "select c.batch, c.quantity from rec_link k join rec_charge c on c.rid = k.rid"
     " where k.target = ?1 and k.kind = 'charge' and k.attr = 'receipt' order by c.rid",
     "select c.receipt, c.quantity from rec_charge c join rec_batch b on b.rid = c.parent"
     " where b.id = ?1 and c.receipt is not null order by c.rid",
     false},
    {TRACE_BATCH, TRACE_BATCH,
     "select c.batch, c.quantity from rec_link k join rec_charge c on c.rid = k.rid"
     " where k.target = ?1 and k.kind = 'charge' and k.attr = 'from-batch' order by c.rid",
     "select c.from_batch, c.quantity from rec_charge c join rec_batch b on b.rid = c.parent"
     " where b.id = ?1 and c.from_batch is not null order by c.rid",
     false},
    {TRACE_BATCH, TRACE_BATCH,
     "select id, null from rec_link where target = ?1 and kind = 'batch' and attr = 'parent' order "
     "by id",
     "select parent, null from rec_batch where id = ?1 and parent is not null", true},
    {TRACE_BATCH, TRACE_SALE,
     "select l.sale, " LINE_AMOUNT " from rec_link k join rec_line l on l.rid = k.rid"
     " where k.target = ?1 and k.kind = 'line' and k.attr = 'batch' order by l.rid",
     "select l.batch, " LINE_AMOUNT " from rec_line l join rec_sale s on s.rid = l.parent"
     " where s.id = ?1 and l.batch is not null order by l.rid",
     false},
    {TRACE_RECEIPT, TRACE_SALE,
     "select l.sale, " LINE_AMOUNT " from rec_link k join rec_line l on l.rid = k.rid"
     " where k.target = ?1 and k.kind = 'line' and k.attr = 'receipt' order by l.rid",
     "select l.receipt, " LINE_AMOUNT " from rec_line l join rec_sale s on s.rid = l.parent"
     " where s.id = ?1 and l.receipt is not null order by l.rid",
     false},
    {TRACE_DOCUMENT, TRACE_SALE,
     "select distinct id, null from rec_link where target = ?1 and kind = 'sale'"
     " and attr in ('documents', 'licence-copy') order by id",
     "select coalesce(documents || ' ', '') || coalesce(licence_copy, ''), null from rec_sale "
     "where id = ?1"
     " and (documents is not null or licence_copy is not null)",
     true},
    {TRACE_SALE, TRACE_BUYER,
     "select buyer, null from rec_sale where id = ?1 and buyer is not null",
     "select s.id, null from rec_link k join rec_sale s on s.rid = k.rid"
     " where k.target = ?1 and k.kind = 'sale' and k.attr = 'buyer' order by s.date, s.id",
     false},
    {TRACE_BATCH, TRACE_WASTE,
     "select w.id, w.quantity from rec_link k join rec_waste w on w.rid = k.rid"
     " where k.target = ?1 and k.kind = 'waste' and k.attr = 'batch' order by w.date, w.id",
     "select batch, quantity from rec_waste where id = ?1 and batch is not null", false},
    {TRACE_RECEIPT, TRACE_WASTE,
     "select w.id, w.quantity from rec_link k join rec_waste w on w.rid = k.rid"
     " where k.target = ?1 and k.kind = 'waste' and k.attr = 'receipt' order by w.date, w.id",
     "select receipt, quantity from rec_waste where id = ?1 and receipt is not null", false},
};
const size_t trace_step_count = LW_COUNT(trace_steps);

/* (name, date, amount) of a record. */
static const char *const describes[TRACE_KINDS] = {
    [TRACE_SUPPLIER] = "select name, null, null from rec_party where id = ?1",
    [TRACE_DOCUMENT] = ("select kind || coalesce(' ' || number, ''), issued, quantity from "
                        "rec_document where id = ?1"),
    [TRACE_RECEIPT] =
        "select coalesce(name, material), date, quantity from rec_receipt where id = ?1",
    [TRACE_BATCH] =
        ("select product || coalesce(' (' || state || ')', ''), start,"
         " (select coalesce(y.quantity, y.bottles || ' x ' || y.bottle_size) from rec_yield y"
         "  where y.parent = b.rid order by y.rid desc limit 1) from rec_batch b where id = ?1"),
    [TRACE_SALE] =
        "select 'to ' || \"to\", coalesce(shipped, date), null from rec_sale where id = ?1",
    [TRACE_BUYER] = "select name, null, null from rec_party where id = ?1",
    [TRACE_WASTE] =
        "select kind || coalesce(', ' || route, ''), date, quantity from rec_waste where id = ?1",
};

/* (in, out, unit, outs of no known amount): what does not add up when out is over in. */
static const char *const accounts[TRACE_KINDS] = {
    [TRACE_RECEIPT] =
        ("with k as (select kind, rid from rec_link where target = ?1 and attr = 'receipt'),"
         " x as (select c.quantity_g as g, c.quantity_l as l from k join rec_charge c on c.rid = "
         "k.rid"
         "  join rec_batch b on b.rid = c.parent"
         "  where k.kind = 'charge' and coalesce(b.state, '') not in ('void', 'planned')"
         " union all select l.quantity_g, coalesce(l.quantity_l, l.bottles_n * l.bottle_size_l)"
         "  from k join rec_line l on l.rid = k.rid where k.kind = 'line'"
         " union all select w.quantity_g, w.quantity_l from k join rec_waste w on w.rid = k.rid"
         "  where k.kind = 'waste')"
         " select coalesce(r.quantity_g, r.quantity_l),"
         "  iif(r.quantity_g is not null, (select sum(g) from x), (select sum(l) from x)),"
         "  iif(r.quantity_g is not null, 'g', 'L'),"
         "  (select count(*) from x where iif(r.quantity_g is not null, g, l) is null)"
         " from rec_receipt r where r.id = ?1"),
    [TRACE_BATCH] =
        ("with made as (select sum(y.bottles_n * y.bottle_size_l) as l from rec_yield y"
         "  join rec_batch b on b.rid = y.parent where b.id = ?1 and y.stage = 'bottled'),"
         " x as (select coalesce(l.quantity_l, l.bottles_n * l.bottle_size_l) as l from rec_link k"
         "  join rec_line l on l.rid = k.rid"
         "  where k.target = ?1 and k.kind = 'line' and k.attr = 'batch')"
         " select (select l from made), (select sum(l) from x), 'L',"
         "  (select count(*) from x where l is null)"),
};

static bool prepare(struct tracer *q)
{
    bool ok = true;

    for (size_t i = 0; ok && i < trace_step_count; i++)
        ok = sqlite3_prepare_v2(q->db, trace_steps[i].forward, -1, &q->forward[i], NULL) ==
                 SQLITE_OK &&
             sqlite3_prepare_v2(q->db, trace_steps[i].back, -1, &q->back[i], NULL) == SQLITE_OK;
    for (int i = 0; ok && i < TRACE_KINDS; i++) {
        ok = sqlite3_prepare_v2(q->db, describes[i], -1, &q->describe[i], NULL) == SQLITE_OK;
        if (ok && accounts[i] != NULL)
            ok = sqlite3_prepare_v2(q->db, accounts[i], -1, &q->account[i], NULL) == SQLITE_OK;
    }
    return ok;
}

struct tracer *tracer_new(struct store *s, struct diags *d)
{
    struct tracer *q = mem_calloc(1, sizeof *q);

    if (q == NULL) {
        diags_out_of_memory(d);
        return NULL;
    }
    assert(trace_step_count <= LW_COUNT(q->forward));
    q->db = store_db(s);
    if (!prepare(q)) {
        diags_add(d, DIAG_FATAL, "trace", NULL, 0, 0, NULL, "memory database: %s",
                  sqlite3_errmsg(q->db));
        tracer_free(q);
        return NULL;
    }
    return q;
}

void tracer_free(struct tracer *q)
{
    if (q == NULL)
        return;
    for (size_t i = 0; i < trace_step_count; i++) {
        sqlite3_finalize(q->forward[i]);
        sqlite3_finalize(q->back[i]);
    }
    for (int i = 0; i < TRACE_KINDS; i++) {
        sqlite3_finalize(q->describe[i]);
        sqlite3_finalize(q->account[i]);
    }
    mem_free(q);
}

static bool copy(char **out, sqlite3_stmt *st, int column)
{
    const char *s = (const char *)sqlite3_column_text(st, column);

    *out = mem_strdup(s);
    return s == NULL || *out != NULL;
}

/* Far above rounding, far below any balance. */
#define ADDS_UP 1e-9

static bool put_trouble(sqlite3_stmt *st, struct trace_node *n)
{
    struct sbuf b = SBUF_INIT;
    bool known = sqlite3_column_type(st, 0) != SQLITE_NULL;
    double in = sqlite3_column_double(st, 0), out = sqlite3_column_double(st, 1);
    const char *unit = (const char *)sqlite3_column_text(st, 2);
    int unknown = sqlite3_column_int(st, 3);

    if (known && out > in * (1 + ADDS_UP)) {
        sbuf_number(&b, out - in, 6);
        sbuf_printf(&b, " %s more went out than %s", unit,
                    n->kind == TRACE_RECEIPT ? "came in" : "was bottled");
    } else if (known && unknown > 0) {
        sbuf_printf(&b, "%d of no known amount went out", unknown);
    } else if (!known && (out > 0 || unknown > 0)) {
        sbuf_printf(&b, "how much %s is not recorded",
                    n->kind == TRACE_RECEIPT ? "came in" : "was bottled");
    }
    if (b.len == 0)
        return true;
    n->trouble = sbuf_take(&b);
    return n->trouble != NULL;
}

bool trace_describe(struct tracer *q, struct trace_node *n)
{
    sqlite3_stmt *st = q->describe[n->kind];
    bool ok = sqlite3_bind_text(st, 1, n->id, -1, SQLITE_STATIC) == SQLITE_OK;
    int rc = ok ? sqlite3_step(st) : SQLITE_ERROR;

    n->missing = rc == SQLITE_DONE;
    if (rc == SQLITE_ROW)
        ok = copy(&n->name, st, 0) && copy(&n->date, st, 1) && copy(&n->amount, st, 2);
    else
        ok = rc == SQLITE_DONE;
    sqlite3_reset(st);
    st = q->account[n->kind];
    if (!ok || st == NULL || n->missing)
        return ok;
    ok = sqlite3_bind_text(st, 1, n->id, -1, SQLITE_STATIC) == SQLITE_OK;
    rc = ok ? sqlite3_step(st) : SQLITE_ERROR;
    ok = rc == SQLITE_ROW ? put_trouble(st, n) : rc == SQLITE_DONE;
    sqlite3_reset(st);
    return ok;
}
