/* card_material.c - the card of a material: what it is, how it is listed, what it is steeped at. */
#include "text/base.h"

#include "command/card.h"
#include "text/utf8.h"

static const char facts_sql[] =
    "select 'name in records', null, null, null, null, id, null, null from cat_material"
    " where id = ?1"
    " union all select 'scientific name', null, null, null, null, scientific_name, source, sure"
    " from cat_material where id = ?1"
    " union all select 'also called', null, null, null, null, group_concat(alias, ', '), null, null"
    " from (select alias from cat_material_alias where material = ?1 order by alias)"
    " union all select 'kind', null, null, null, null, kind || coalesce(', ' || part, ''), null,"
    " null from cat_material where id = ?1"
    " union all select 'usual form', null, null, null, null, form, null, null from cat_material"
    " where id = ?1"
    " union all select 'water in it', water_percent, null, null, 'percent', 'by mass', "
    "water_source,"
    "  water_sure from cat_material where id = ?1 and water_percent is not null"
    " union all select 'strengths met', ratio_low_percent, ratio_high_percent, null, 'percent',"
    "  ratio_basis, ratio_source, ratio_sure from cat_material where id = ?1"
    "  and ratio_low_percent is not null"
    " union all select 'steeped', p.low_percent, p.high_percent, null, 'percent', p.basis ||"
    "  coalesce(' in ' || p.strength, '') || coalesce(', ' || p.days_low ||"
    "  case when p.days_high > p.days_low then ' to ' || p.days_high else '' end || ' days', '') "
    "|| coalesce('. ' || p.note, ''), p.source, p.sure from cat_material_practice"
    "  p where p.material = ?1"
    " union all select 'customs heading, ' || form, null, null, null, null, hs || coalesce('. ' ||"
    "  note, ''), source, sure from cat_hs_material where material = ?1"
    " union all select 'note', null, null, null, null, note, source, sure from cat_material"
    " where id = ?1";

/* The listing of its taxon: what a border asks for. */
static const char listing_sql[] =
    "with t as (select t.* from cat_taxon t join cat_material m on m.taxon = t.id where m.id = ?1)"
    " select 'CITES Appendix', null, null, null, null, case when listed = 'yes' then cites_appendix"
    "  || coalesce(', ' || scope, '') else 'not listed' end, source, sure from t"
    " union all select 'annotation', null, null, null, null, a.annotation || ': ' || a.covers ||"
    "  coalesce('; not: ' || nullif(a.excludes, 'nothing'), ''), a.source, a.sure from t"
    "  join cat_annotation a on a.annotation = t.annotation where t.listed = 'yes'"
    " union all select 'origin decides', null, null, null, null, 'by population; not known: reckon"
    " with Appendix ' || unknown_origin_appendix, source, sure from t where population_matters ="
    " 'yes'"
    " union all select 'population', null, null, null, null, 'Appendix ' || p.cites_appendix ||"
    "  coalesce(', ' || p.country, '') || coalesce(', ' || p.region, '') || coalesce('. ' || "
    "p.note,"
    "  ''), p.source, p.sure from t join cat_taxon_population p on p.taxon = t.id"
    " union all select 'EU Annex', null, null, null, null, eu_annex, null, eu_annex_sure from t"
    "  where eu_annex is not null"
    " union all select 'listed', null, null, null, null, listed_text, listed_source, listed_sure"
    "  from t where listed_text is not null"
    " union all select 'state of the lists', null, null, null, null, 'after ' || edition ||"
    "  coalesce('; check again from ' || verify_after, ''), source, sure from t"
    " union all select 'to be checked', null, null, null, null, list_check_why, source, sure from t"
    "  where list_check = 'yes'"
    " union all select 'Red List', null, null, null, null, iucn || ', for display only',"
    "  iucn_source, iucn_sure from t where iucn is not null"
    " union all select 'note', null, null, null, null, note, source, sure from t"
    " union all select 'in ' || coalesce(r.country, r.layer), null, null, null, null, r.text,"
    "  r.source, r.sure from t join cat_taxon_regime r on r.taxon = t.id"
    " union all select 'rule, ' || n.layer, null, null, null, null, n.text, n.source, n.sure"
    "  from cat_national_rule n where n.material = ?1 or n.taxon in (select id from t)";

bool card_material(struct session *s, const struct candidate *c)
{
    report_add_note(&s->report, "Listings change; the wildlife authority and the text in force "
                                "decide. What a record must show: lotward rules.");
    return card_facts(s, "facts", NULL, facts_sql, c) &&
           card_facts(s, "listing", "Listing and national rules", listing_sql, c);
}
