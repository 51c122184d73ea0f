#include "text/base.h"

#include "command/label_tables.h"
#include "command/rows.h"
#include "report/label_symbol.h"
#include "text/utf8.h"

static void pair_row(struct session *s, sqlite3_stmt *st, void *user)
{
    struct report_table *t = user;
    const char *text = rows_text(st, 1);

    report_pair(&s->report, t, rows_text(st, 0),
                text == NULL    ? "cannot be told"
                : *text == '\0' ? "none"
                                : text);
}

static const char demands_sql[] =
    "with d as (select * from fact_label_demand where id = ?1),"
    " r as (select * from fact_label_regime where id = ?1)"
    " select 'Regimes', group_concat(g.name || iif(r.given, '', ' (by market and use)'), '; ')"
    "  from r join cat_regime g on g.id = r.regime"
    " union all select 'Strength of the lot', round(max(volpct), 1) || ' %vol, ' ||"
    "  round(max(ethanol_pct), 1) || ' % ethanol by mass' from r"
    " union all select 'Flash point', round(max(flash_c), 1) || ' degC +/- ' || max(flash_pm_k)"
    "  || ' K' from r"
    " union all select 'Composition listed', max(composition) from r"
    " union all select g.name || ': hazard classes', coalesce(nullif((select group_concat(h.name,"
    "  '; ') from fact_label_hazard h where h.id = d.id and h.regime = d.regime), ''),"
    "  iif(d.classes is null, d.consumer_class, 'none found')) from d join cat_regime g on g.id ="
    "  d.regime where d.signal is not null"
    " union all select g.name || ': signal word', d.signal || coalesce(' (or ' || d.signal_or ||"
    "  ')', '') from d join cat_regime g on g.id = d.regime where d.signal is not null"
    " union all select g.name || ': symbols', d.pictograms from d join cat_regime g on g.id ="
    "  d.regime where d.pictograms is not null and d.signal is not null"
    " union all select g.name || ': hazard statements', d.codes || iif(d.codes_kept is not"
    "  d.codes, '; on this bottle: ' || coalesce(nullif(d.codes_kept, ''), 'may be left off'), '')"
    "  from d join cat_regime g on g.id = d.regime where d.codes <> ''"
    " union all select g.name || ': small package', case d.relief when 'none' then 'no relief"
    " at this capacity' else d.relief end from d join cat_regime g on g.id = d.regime"
    "  where d.relief is not null and d.regime in ('us-hcs', 'clp-eu', 'clp-gb', 'whmis')"
    " union all select 'Allergens above their thresholds', (select group_concat(distinct name ||"
    "  ' ' || round(share_pct * 10000) || ' ppm') from fact_label_allergen where id = ?1 and"
    "  above = 1) from r where r.regime like '%cosmetic' group by 1"
    " union all select 'Tactile warning', iif(sum(lw_has_word(holds,"
    "  'public-sale-tactile-class')) > 0, 'asked for', iif(sum(lw_has_word(open,"
    "  'public-sale-tactile-class')) > 0, null, 'not asked for')) from d"
    "  where d.regime like 'clp-%' group by d.regime"
    " union all select 'Carriage', (select 'UN' || t.un || ' ' || t.name || ', packing group ' ||"
    "  t.packing_group || ', limited quantity to ' || t.lq_inner_l || ' L a bottle, excepted"
    " quantity ' || upper(t.eq_code) from cat_transport_entry t where t.un = iif((select"
    "  product_kind from rec_batch where id = r.batch) = 'cosmetic', '1266', '1197') and"
    "  t.packing_group = iif(r.flash_c - r.flash_pm_k < 23, 'II', 'III')) from r"
    "  where r.volpct > 24 group by r.batch"
    " union all select 'Customs heading', coalesce((select group_concat(distinct l.hs_code) from"
    "  rec_line l where l.batch = (select max(batch) from r)), 'none recorded on a sale')";

static void element_row(struct session *s, sqlite3_stmt *st, void *user)
{
    for (int i = 0; i < 5; i++)
        report_cell(&s->report, user, rows_text(st, i));
}

static const char elements_sql[] =
    "select e.regime, e.name, case when e.need = 'advised' then 'advised' when e.needed = 1 then"
    "  'yes' when e.needed = 0 then 'no' when e.need = 'conditional' then 'a person decides' else"
    "  'cannot be told' end, iif(e.there, 'yes', 'no'),"
    "  case when e.there then '[x]' when e.needed = 0 then '[-]' when e.need <> 'required' then"
    "  '[?]' when e.needed is null then '[?]' else '[ ]' end"
    " from (select f.*, f.present and l.origin is not 'plan' as there from"
    "  fact_label_element f join rec_label l on l.id = f.id) e join cat_regime_element k on "
    "k.regime = e.regime and"
    "  k.element = e.element where e.id = ?1 order by e.regime = 'maker', e.regime, k.rank";

static bool elements(struct session *s, const char *label)
{
    static const char *const names[] = {"regime", "element", "asked-for", "on-the-label", "tick"};
    struct report_table *t =
        report_add_table(&s->report, "elements", "What it must carry",
                         "[x] on the label  [ ] missing  [-] need not be there  [?] a person or a "
                         "missing record decides",
                         TABLE_GRID);

    for (size_t i = 0; i < LW_COUNT(names); i++)
        report_column(&s->report, t, names[i], NULL, NULL, ALIGN_LEFT);
    return rows_select(s, elements_sql, label, NULL, element_row, t);
}

/* "GHS02 (flame in a red square set on a point)". */
static void name_symbols(struct sbuf *out, const char *codes)
{
    while (*codes != '\0') {
        size_t n = strcspn(codes, " ");
        char code[24] = "";

        if (n < sizeof code)
            memcpy(code, codes, n);
        sbuf_printf(out, "%s%s", out->len > 0 ? "; " : "", code);
        if (label_symbol_words(code) != NULL)
            sbuf_printf(out, " (%s)", label_symbol_words(code));
        codes += n;
        codes += *codes == ' ';
    }
}

/* The signal word as printed: "Extreme danger". */
static void put_words(struct sbuf *out, const struct label_line *l)
{
    bool signal = str_eq(l->attr, "signal-word");

    for (const char *p = l->text; *p != '\0'; p++)
        sbuf_putc(out, signal && p == l->text && ascii_lower(*p) ? (char)(*p - 'a' + 'A')
                       : signal && *p == '-'                     ? ' '
                                                                 : *p);
}

static void complete(struct session *s, const struct label_draft *d)
{
    struct report_table *t = report_add_table(
        &s->report, "complete-text", "The text that would be complete",
        "Ready to paste, in the order of the label. Official statements stand word for word; the "
        "rest is as the records have it.",
        TABLE_GRID);
    struct sbuf b = SBUF_INIT;

    report_column(&s->report, t, "line", NULL, NULL, ALIGN_LEFT);
    report_column(&s->report, t, "text", NULL, NULL, ALIGN_LEFT);
    report_column(&s->report, t, "field", NULL, NULL, ALIGN_LEFT);
    for (size_t i = 0; i < d->count; i++) {
        const struct label_line *l = &d->lines[i];

        if (!l->demanded || l->text == NULL)
            continue;
        sbuf_clear(&b);
        if (str_eq(l->attr, "pictograms"))
            name_symbols(&b, l->text);
        else
            put_words(&b, l);
        report_cell(&s->report, t, l->title);
        report_cell(&s->report, t, b.s);
        report_cell(&s->report, t, l->attr);
    }
    s->report.failed = s->report.failed || b.failed;
    sbuf_free(&b);
}

/* Which record would supply a line that is not printed as such. */
static const char *would_tell(const char *attr)
{
    if (str_eq(attr, "ingredients"))
        return "components of the lot with their shares, the perfume as one named parfum";
    if (str_eq(attr, "strength") || str_eq(attr, "signal-word") || str_eq(attr, "pictograms") ||
        str_eq(attr, "statements") || str_eq(attr, "statement-text"))
        return "the strength of the lot";
    return "the label record";
}

static void missing(struct session *s, const struct label_draft *d)
{
    struct report_table *t = NULL;

    for (size_t i = 0; i < d->count; i++) {
        const struct label_line *l = &d->lines[i];

        if (!l->demanded || l->text != NULL)
            continue;
        if (t == NULL) {
            t = report_add_table(&s->report, "left-to-you", "What only you can supply",
                                 "Asked for, or perhaps asked for, and not in the records.",
                                 TABLE_GRID);
            report_column(&s->report, t, "line", NULL, NULL, ALIGN_LEFT);
            report_column(&s->report, t, "field", NULL, NULL, ALIGN_LEFT);
            report_column(&s->report, t, "would-tell", NULL, NULL, ALIGN_LEFT);
        }
        report_cell(&s->report, t, l->title);
        report_cell(&s->report, t, l->attr);
        report_cell(&s->report, t, would_tell(l->attr));
    }
}

static void language_row(struct session *s, sqlite3_stmt *st, void *user)
{
    struct sbuf b = SBUF_INIT;

    (void)user;
    sbuf_printf(&b,
                "%s: the label is in %s. The official words are held here in English alone; the "
                "others stand in the text of the law in that language.",
                rows_text(st, 0), rows_text(st, 1));
    if (b.failed)
        s->report.failed = true;
    else
        report_add_note(&s->report, b.s);
    sbuf_free(&b);
}

static bool languages(struct session *s, const char *label)
{
    return rows_select(s,
                       "select g.name, g.language from fact_label_regime r join cat_regime g on"
                       " g.id = r.regime where r.id = ?1 and g.language <> 'English'"
                       " order by r.regime",
                       label, NULL, language_row, NULL);
}

bool label_tables_asked(struct session *s, const char *label)
{
    struct report_table *t =
        report_add_table(&s->report, "demands", "What the lot demands", NULL, TABLE_PAIRS);

    return rows_select(s, demands_sql, label, NULL, pair_row, t) && elements(s, label) &&
           languages(s, label);
}

void label_tables_text(struct session *s, const struct label_draft *d)
{
    complete(s, d);
    missing(s, d);
}
