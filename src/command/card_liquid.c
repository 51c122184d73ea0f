/* card_liquid.c - the card of a liquid of the catalogue. */
#include "text/base.h"

#include "command/card.h"
#include "command/rows.h"
#include "text/utf8.h"

static const char facts_sql[] =
    "select 'name in records', null, null, null, null, id, null, null from cat_liquid where id = ?1"
    " union all select 'also called', null, null, null, null, group_concat(alias, ', '), null, null"
    " from (select alias from cat_liquid_alias where liquid = ?1 order by alias)"
    " union all select 'kind', null, null, null, null, kind || ', ' || state, null, null"
    " from cat_liquid where id = ?1"
    " union all select 'CAS number', null, null, null, null, cas, null, null from cat_liquid where"
    " id = ?1"
    " union all select 'formula', null, null, null, null, formula, null, null from cat_liquid where"
    " id = ?1"
    " union all select 'molar mass', molar_mass_g_mol, null, null, 'g/mol', null, null, null"
    " from cat_liquid where id = ?1"
    " union all select 'density', density_kg_m3, density_high_kg_m3, null, 'kg/m3',"
    "  case when density_at_c is not null then 'at ' || printf('%g', density_at_c) || ' degC' end,"
    "  density_source, density_sure from cat_liquid where id = ?1 and density_kg_m3 is not null"
    " union all select 'flash point', flash_c, flash_high_c, flash_more, 'degC', flash_method,"
    "  flash_source, flash_sure from cat_liquid where id = ?1 and flash_c is not null"
    " union all select 'flash point', null, null, null, null, 'not known: not the same as not"
    " flammable', null, null from cat_liquid where id = ?1 and flash_c is null and id <> 'water'"
    " union all select 'boiling point', boil_c, boil_high_c, boil_more, 'degC', null, boil_source,"
    "  boil_sure from cat_liquid where id = ?1"
    " union all select 'LEL in air', lel_percent, lel_high_percent, null, 'vol %', null,"
    "  limits_source, limits_sure from cat_liquid where id = ?1"
    " union all select 'UEL in air', uel_low_percent, uel_percent, null, 'vol %', null,"
    "  limits_source, limits_sure from cat_liquid where id = ?1 and uel_low_percent is not null"
    " union all select 'UEL in air', uel_percent, null, null, 'vol %', null, limits_source,"
    "  limits_sure from cat_liquid where id = ?1 and uel_low_percent is null"
    " union all select 'autoignition', autoignition_c, autoignition_high_c, null, 'degC', null,"
    "  autoignition_source, autoignition_sure from cat_liquid where id = ?1"
    " union all select 'mixes with water', null, null, null, null, water_miscible, source, sure"
    " from cat_liquid where id = ?1"
    " union all select 'UN number', null, null, null, null, un_number, null, un_sure from "
    "cat_liquid"
    " where id = ?1 and un_number is not null"
    " union all select 'may heat of itself on cloth', null, null, null, null, self_heating, source,"
    "  sure from cat_liquid where id = ?1 and self_heating is not null"
    " union all select 'NFPA 704, ' || authority, null, null, null, null, 'health ' ||"
    "  cast(health as integer) || ', flammability ' || cast(flammability as integer) ||"
    "  ', instability ' || cast(instability as integer), source, sure from cat_nfpa704"
    " where liquid = ?1"
    " union all select 'hazard class', null, null, null, null, h.name || coalesce(', ' || h.code, "
    "'')"
    "  || case when c.at_least_mass_pct > 0 then ', from ' || printf('%g', c.at_least_mass_pct) ||"
    "  ' % by mass' else '' end || case when c.below_mass_pct is not null then ', below ' ||"
    "  printf('%g', c.below_mass_pct) || ' % by mass' else '' end || case c.answer when 'expected'"
    "  then '' when 'no' then ': not expected' else ': ask the supplier' end, c.source, c.sure"
    " from cat_substance_class c join cat_hazard_class h on h.id = c.hazard_class"
    " where c.substance = ?1"
    " union all select 'carriage, packing group ' || coalesce(t.packing_group, '-'), null, null,"
    "  null, null, 'UN ' || t.un || ' ' || t.name, t.source, t.sure from cat_transport_entry t"
    " join cat_liquid l on l.un_number = t.un where l.id = ?1"
    " union all select 'note', null, null, null, null, note, source, sure from cat_liquid"
    " where id = ?1 and note is not null";

static const char exposure_sql[] =
    "select authority || ' (' || country || ') ' || kind,"
    " case when ppm is not null then printf('%g ppm', ppm) else '' end"
    " || case when ppm is not null and mg_m3 is not null then ', ' else '' end"
    " || case when mg_m3 is not null then printf('%g mg/m3', mg_m3) else '' end, source, sure"
    " from cat_exposure_limit where liquid = ?1 order by authority, kind";

struct flash {
    double low, high, boil;
    bool known;
};

static void take_flash(struct session *s, sqlite3_stmt *st, void *user)
{
    struct flash *f = user;

    (void)s;
    f->known = sqlite3_column_type(st, 0) != SQLITE_NULL;
    f->low = sqlite3_column_double(st, 0);
    f->high = sqlite3_column_type(st, 1) == SQLITE_NULL ? f->low : sqlite3_column_double(st, 1);
    f->boil =
        sqlite3_column_type(st, 2) == SQLITE_NULL ? (double)NAN : sqlite3_column_double(st, 2);
}

bool card_liquid(struct session *s, const struct candidate *c)
{
    const double half = 2.0;
    struct flash f = {0};

    if (!card_facts(s, "facts", NULL, facts_sql, c) ||
        !rows_select(s, "select flash_c, flash_high_c, boil_c from cat_liquid where id = ?1", c->id,
                     NULL, take_flash, &f))
        return false;
    if (f.known)
        card_classes(s, (f.low + f.high) / half, (f.high - f.low) / half, f.boil);
    if (str_eq(c->id, "ethanol"))
        report_add_note(&s->report,
                        "Mixed with water it has another card: lotward card '96 %vol'.");
    report_add_note(&s->report, "The lot's own safety data sheet replaces these figures; natural "
                                "liquids differ from lot to lot.");
    return card_rows(s, "exposure-limits", "Exposure limits", "authority limit source sure",
                     exposure_sql, c);
}
