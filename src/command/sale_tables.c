/* sale_tables.c - lines, papers to enclose, papers still to get, materials and their chain. */
#include "text/base.h"

#include "command/rows.h"
#include "command/sale_tables.h"

struct fill {
    struct report_table *table;
    int columns;
};

static void put_row(struct session *s, sqlite3_stmt *st, void *user)
{
    const struct fill *f = user;

    for (int i = 0; i < f->columns; i++)
        report_cell(&s->report, f->table, rows_text(st, i));
}

struct column {
    const char *name, *head;
};

/* One table from one SELECT: a column a head, all text. */
static bool put_table(struct session *s, const char *name, const char *title, const char *note,
                      const struct column *columns, size_t count, const char *sql)
{
    struct fill f = {report_add_table(&s->report, name, title, note, TABLE_GRID), (int)count};

    for (size_t i = 0; i < count; i++)
        report_column(&s->report, f.table, columns[i].name, columns[i].head, NULL, ALIGN_LEFT);
    return rows_select(s, sql, NULL, NULL, put_row, &f);
}

#define IN_SCOPE " where id in (select id from temp.scope) "

bool sale_table_lines(struct session *s)
{
    static const struct column columns[] = {
        {"sale", "sale"},           {"lot", "lot"}, {"product", "product"}, {"bottles", "bottles"},
        {"size", "size or amount"}, {"to", "to"},   {"by", "by"},
    };

    return put_table(
        s, "lines", "What is sold", NULL, columns, LW_COUNT(columns),
        "select l.sale, coalesce(l.batch, l.receipt),"
        " coalesce(b.product, r.name, r.material, l.description),"
        " l.bottles, coalesce(l.bottle_size, l.quantity), s.\"to\", s.mode"
        " from rec_line l join rec_sale s on s.id = l.sale"
        " left join rec_batch b on b.id = l.batch left join rec_receipt r on r.id = l.receipt"
        " where s.id in (select id from temp.scope) order by s.id, l.rid");
}

static bool table_enclose(struct session *s)
{
    static const struct column columns[] = {
        {"in", "in"},
        {"document", "document"},
        {"kind", "kind"},
        {"number", "number"},
        {"good-until", "good until"},
        {"for", "for"},
        {"copy-kept", "copy kept"},
    };

    return put_table(s, "enclose", "Papers to enclose",
                     "Those the sale names. Tick each as it goes in.", columns, LW_COUNT(columns),
                     "select '[ ]', d.id, coalesce(k.name, d.kind), d.number, d.expires, "
                     "group_concat(distinct l.id),"
                     " d.copy_kept from rec_link l join rec_document d on d.id = l.target"
                     " left join cat_document_kind k on k.id = d.kind"
                     " where l.kind = 'sale' and l.attr in ('documents', 'licence-copy')"
                     " and l.id in (select id from temp.scope) group by d.id order by d.id");
}

static bool table_missing(struct session *s)
{
    static const struct column columns[] = {
        {"line", "line"},        {"paper", "paper"},
        {"for", "for"},          {"asked-by", "asked for by"},
        {"issuer", "issued by"}, {"by", "by"},
        {"state", "state"},      {"where-read", "where it is read"},
    };

    return put_table(s, "to-get", "Papers still to get",
                     "Each must be there on the day the goods leave. An authority may take weeks.",
                     columns, LW_COUNT(columns),
                     "select id || ', ' || group_concat(distinct line), paper_name,"
                     " group_concat(distinct name), layer_name, issuer, \"by\","
                     " case when available = 0 and needed is null then 'no such paper can be had, "
                     "if it is covered'"
                     "  when available = 0 then 'no such paper can be had'"
                     "  when held > 0 and good = 0 then 'held, not good on that day'"
                     "  when held > 0 then 'held, its dates are not known'"
                     "  when needed is null then 'not held; whether it is needed cannot be told'"
                     "  else 'not held' end || sure_note as state, cite"
                     " from fact_sale_paper" IN_SCOPE
                     " and ((held = 0 and needed is not 0) or good is null or good = 0)"
                     " group by id, layer, paper, state order by id, treaty desc, layer, paper");
}

static bool table_materials(struct session *s)
{
    static const struct column columns[] = {
        {"line", "line"},       {"lot", "lot"},           {"material", "material"},
        {"species", "species"}, {"raw-mass", "raw mass"}, {"origin", "origin"},
        {"source", "source"},   {"appendix", "App."},     {"covered", "as sold"},
    };

    return put_table(
        s, "materials", "What went into it", NULL, columns, LW_COUNT(columns),
        "select id || ', ' || line, lot || coalesce(' < ' || nullif(receipt, lot), ''), name,"
        " species, round(raw_g, 2) || ' g', origin, coalesce(source_code, 'not known'),"
        " coalesce(appendix, '?') || coalesce(nullif(' ' || annotation, ' none'), ''),"
        " case covered when 1 then 'covered' when 0 then iif(appendix = 'none', 'not listed',"
        " 'left out') else 'cannot be told' end || ' (' || coalesce(movement, '?') || ')' || "
        "sure_note"
        " from fact_sale_origin" IN_SCOPE " and biological is not 0 order by id, line, receipt");
}

static bool table_chain(struct session *s)
{
    static const struct column columns[] = {
        {"receipt", "received lot"}, {"date", "came"},           {"from", "from"},
        {"quantity", "quantity"},    {"documents", "documents"}, {"accounts", "permit accounts"},
    };

    return put_table(
        s, "chain", "Back to the papers", NULL, columns, LW_COUNT(columns),
        "select r.id, r.date, coalesce(p.name, r.supplier), r.quantity,"
        " (select group_concat(d.id || ' (' || coalesce(k.name, d.kind, '?') || coalesce(', ' ||"
        " d.number, '') || ')', '; ') from rec_link l join rec_document d on d.id = l.target"
        " left join cat_document_kind k on k.id = d.kind"
        " where l.kind = 'receipt' and l.rid = r.rid and l.attr = 'documents'),"
        " (select group_concat(a.permit || ': ' || coalesce(round(a.left_own, 3) || ' ' || a.unit "
        "||"
        " ' left', 'quantity not known'), '; ') from rec_link l join fact_permit_account a"
        " on a.permit = l.target where l.kind = 'receipt' and l.rid = r.rid and l.attr = "
        "'documents')"
        " from rec_receipt r left join rec_party p on p.id = r.supplier where r.id in"
        " (select receipt from fact_sale_origin" IN_SCOPE ") order by r.id");
}

bool sale_tables_papers(struct session *s)
{
    return table_enclose(s) && table_missing(s) && table_materials(s) && table_chain(s);
}
