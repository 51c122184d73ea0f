/* inventory_sql_stock.c - the SELECTs about amounts, classes and the self-inspection list. */
#include "text/base.h"

#include "command/inventory_sql.h"

#define LINES_SQL                                                                                  \
    "select iif(l.area is null, coalesce(p.name, s.name, l.id), 'control area ' || l.area),"       \
    " case l.part when 'outside' then 'outside cabinets and safety cans, in one control area'"     \
    "   when 'closed' then 'in closed systems, in one control area'"                               \
    "   else lower(substr(n.meaning, 1, 1)) || rtrim(substr(n.meaning, 2, instr(n.meaning || "     \
    "';', ';') - 2), '.') end,"                                                                    \
    " l.code_set, coalesce(replace(l.class, '+', ', '), 'all'), l.amount, l.unit, l.full, l.unit," \
    " coalesce(l.figure, l.cautious), l.unit, l.share_percent,"                                    \
    " iif(l.figure is null, l.state || ': ' || 'the lowest figure it could be is shown', "         \
    "l.state),"                                                                                    \
    " l.unknown, iif(l.words <> '', l.words || '; ', '') || l.cite ||"                             \
    "  iif(l.sure = 'from-memory', ' (unconfirmed)', '')"                                          \
    " from (select *, row_number() over (partition by kind, id, area, code_set, limit_name,"       \
    "  case part when 'outside' then 1 when 'closed' then 2 else 0 end order by state = 'over' "   \
    "desc,"                                                                                        \
    "  share_percent desc, class) as nth from fact_line) l left join rec_place p on l.kind "       \
    "= 'place' and p.id = l.id"                                                                    \
    " left join rec_premises s on l.kind = 'premises' and s.id = l.id"                             \
    " left join cat_limit_name n on n.name = l.limit_name"                                         \
    " where l.nth = 1 or l.state <> 'within' order by l.kind desc, l.id, l.area, l.code_set, "     \
    "l.limit_name, l.part, l.class"

const char inventory_lines_sql[] = LINES_SQL;

const char inventory_short_lines_sql[] =
    "with x(place, what, code, class, now, nu, full, fu, figure, gu, share, state, unknown, "
    "reached)"
    " as (" LINES_SQL ") select place, what, code || ' ' || class, now, nu, full, fu, figure, gu,"
    " share, state || iif(unknown > 0, '; ' || unknown || ' amounts not known', '') from x";

/* One line a kind of liquid, place, container material and class; sizes as a range. */
const char inventory_materials_sql[] =
    "with h as ("
    " select h.*, case h.kind when 'receipt' then coalesce(k.name, r.name, h.liquid)"
    "   when 'waste' then 'alcohol-wet waste' else case h.what when 'vessel' then 'tinctures,"
    " steeping' when 'bulk' then 'tinctures, strained' when 'sample' then 'tinctures, samples kept'"
    "   when 'remainder' then 'tinctures, remainders' else 'tinctures, bottled' end end as product,"
    "  coalesce(q.name, h.liquid) as component, q.cas, q.un_number, r.material,"
    "  coalesce(nullif(lw_class('ifc', h.flash_c, h.flash_pm_k, h.boil_c), 'none'), 'none') as ifc,"
    "  coalesce(nullif(lw_class('ghs', h.flash_c, h.flash_pm_k, h.boil_c), 'none'), 'none') as ghs"
    " from fact_holding h left join rec_receipt r on h.kind = 'receipt' and r.id = h.id"
    " left join cat_material k on k.id = r.material left join cat_liquid q on q.id = h.liquid),"
    " opened as (select max(volume_l) v from fact_open_use),"
    " g as ("
    " select product, component, cas, place, container, ifc, ghs, un_number,"
    "  min(size_l) a, max(size_l) b, sum(containers) c, min(strength_volpct) s1,"
    "  max(strength_volpct) s2, sum(iif(situation = 'storage', volume_l, 0)) st,"
    "  sum(iif(situation = 'use-closed', volume_l, 0)) uc,"
    "  sum(iif(situation = 'use-open', volume_l, 0)) uo, sum(full_l) f, sum(volume_l is null) u,"
    "  min(material) as m, row_number() over (order by product, place, container) as n"
    " from h group by product, component, cas, place, container, ifc, ghs)"
    " select product || iif(u > 0, ' (' || u || ' amounts not known)', ''),"
    " component || iif(s1 is null, '', ', ' || round(s1, 1) || iif(round(s1, 1) = round(s2, 1), '',"
    "  ' to ' || round(s2, 1)) || ' %vol'), coalesce(cas, 'none'),"
    " coalesce(p.name, g.place, 'place not recorded'),"
    " coalesce(replace(g.container, '-', ' '), 'material not on file') || ', ' ||"
    "  iif(a is null, 'size not on file', iif(a < 1, cast(round(a * 1000.0, 0) as integer) || ' "
    "mL', round(a, 2) ||"
    "  ' L') || iif(b > a, ' to ' || iif(b < 1, cast(round(b * 1000.0, 0) as integer) || ' mL', "
    "round(b, 2) ||"
    "  ' L'), '')) || coalesce(', ' || cast(c as integer) || ' of them', ''),"
    " 'liquid ' || ifc || ' (IFC); category ' || ghs || ' (OSHA, GHS)',"
    " iif(u > 0 and st = 0, null, st), uc, uo + iif(g.n = 1, coalesce(opened.v, 0), 0), f,"
    " iif(component = 'Ethanol', 'UN 1170', coalesce('UN ' || un_number, 'not on file')),"
    " (select max(coalesce(d.issued, d.received, 'on file')) from rec_document d where"
    "  d.kind in ('sds', 'safety-data-sheet') and (d.material = g.m or (g.m is null and"
    "  d.material = 'ethanol')))"
    " from g left join rec_place p on p.id = g.place, opened order by g.n";

const char inventory_classes_sql[] =
    "with k as (select h.liquid, q.name, round(h.strength_volpct, 0) as s, min(h.flash_c) f,"
    "  max(h.flash_pm_k) u, min(h.boil_c) b, max(h.assumed) as assumed,"
    "  iif(h.liquid = 'ethanol', 'calculated at the strength',"
    "   coalesce(q.flash_source, 'material record')) src"
    "  from fact_holding h left join cat_liquid q on q.id = h.liquid"
    "  group by h.liquid, round(h.strength_volpct, 0))"
    " select coalesce(name, liquid), iif(s is null, iif(assumed, 'not known: 95 %vol taken', ''),"
    "  cast(s as integer) || ' %vol'),"
    " round(f, 1) || ' +/- ' || round(u, 1) || ' degC (' || round(f * 1.8 + 32, 1) || ' degF)', "
    "src,"
    " (select group_concat(t || ' ' || c || iif(c = o, '', ' or ' || o), '; ') from ("
    "  select v.t, lw_class(v.s, f, u, b) c, lw_class_other(v.s, f, u, b) o from ("
    "   select 1 n, 'IFC/NFPA' t, 'ifc' s union all select 2, 'OSHA', 'osha' union all"
    "   select 3, 'GHS', 'ghs' union all select 4, 'CLP', 'clp' union all"
    "   select 5, 'UN PG', 'un' union all select 6, 'Canada', 'canada' union all"
    "   select 7, 'AS 1940', 'australia') v order by n)),"
    " coalesce((select health || '-' || flammability || '-' || instability || ' (health ' ||"
    "   (select min(health) || ' to ' || max(health) from cat_nfpa704 a where a.liquid = k.liquid)"
    "   || ' by source)' from cat_nfpa704 x where x.liquid = k.liquid and x.advised = 'yes'),"
    "  'flammability ' || lw_class('nfpa-704', f, u, b))"
    " from k order by liquid, s desc";

#define ITEM(n, item, figure, evidence, by)                                                        \
    " union all select " n ", '" item "', '" figure "', (" evidence "), '" by "'"

const char inventory_checklist_sql[] =
    "with d as (select as_of from temp.run),"
    " hp as (select r.* from rec_place r where r.kind in ('room', 'garage', 'basement', 'shed',"
    "  'closet')),"
    " s as (select * from rec_premises order by rid limit 1)"
    " select item, figure, evidence, asked from (select 0 n, null item, null figure, null evidence,"
    " null asked where 0" ITEM(
        "1", "Address numbers readable from the street", "4 in high", "null",
        "city lists") ITEM("2", "Exit doors open from inside without a key", "", "null",
                           "city lists") ITEM("3", "Exit ways clear", "nothing stored",
                                              "select iif(sum(f.volume_l) > 0, 'records place "
                                              "liquid there', 'none placed there by the "
                                              "records') from fact_holding f join "
                                              "fact_place p on p.id = f.place"
                                              " where p.exit_path = 1",
                                              "city lists")
        ITEM("4", "Exits", "number", "select exits from s", "fire code, site plan") ITEM(
            "5", "Extinguisher rating", "2A:10B:C or more",
            "select group_concat(x, '; ') from (select distinct coalesce(name, id) || ' ' ||"
            " extinguisher x from hp where extinguisher is not null)",
            "city lists") ITEM("6", "Way to the extinguisher",
                               "75 ft; 10 ft at an inside storage area",
                               "select group_concat(x, '; ') from (select coalesce(name, id) || ' "
                               "' ||"
                               " extinguisher_distance x from hp where extinguisher_distance is "
                               "not null)",
                               "OSHA 2209 list")
            ITEM("7", "Extinguisher serviced", "within 12 months",
                 "select group_concat(x, '; ') from (select coalesce(name, id) || ' ' ||"
                 " extinguisher_serviced x from hp where extinguisher_serviced is not null)",
                 "city lists") ITEM("8", "Extinguisher mounted, visible, clear",
                                    "top not above 5 ft", "null", "city lists")
                ITEM("9", "Storage below the ceiling", "24 in; 18 in under sprinklers",
                     "select group_concat(x, '; ') from (select coalesce(name, id) || ' ' ||"
                     " ceiling_clearance x from rec_place where ceiling_clearance is not null)",
                     "city lists") ITEM("10", "Space before the electrical panel", "36 in", "null",
                                        "city lists") ITEM("11", "No extension cords as wiring", "",
                                                           "null", "city lists")
                    ITEM("12", "Heat sources away from storage", "36 in",
                         "select group_concat(x, '; ') from (select replace(kind, '-', ' ') || ' ' "
                         "|| coalesce("
                         "distance, 'distance not on file') x from rec_ignition, d where kind in "
                         "('heater',"
                         " 'boiler', 'hot-plate', 'oven', 'pilot-flame', 'burner') and "
                         "coalesce(\"from\", '') <="
                         " d.as_of and coalesce(until, '9999') >= d.as_of)",
                         "city lists") ITEM("13", "Flammable liquid in an approved cabinet", "",
                                            "select group_concat(coalesce(name, id) || ': ' || "
                                            "coalesce(approved, 'approval not on "
                                            "file'), '; ') from rec_place where kind = 'cabinet'",
                                            "city lists")
                        ITEM(
                            "14", "Wet rags and waste in covered metal", "removed daily",
                            "select count(*) || ' records held, ' || sum(container = "
                            "'covered-metal') || ' in covered "
                            "metal' from rec_waste w, d where w.date <= d.as_of and "
                            "coalesce(w.removed, '9999') >"
                            " d.as_of having count(*) > 0",
                            "OSHA 2209 list") ITEM("15", "Containers closed when not in use", "",
                                                   "select sum(closure in ('sealed', 'screw-cap')) "
                                                   "|| ' of ' || count(*) || ' vessels recorded "
                                                   "as closed' from fact_holding where what = "
                                                   "'vessel' having count(*) > 0",
                                                   "OSHA 2209 list")
                            ITEM(
                                "16", "Drums bonded while dispensing", "",
                                "select sum(bonded = 'yes') || ' yes, ' || sum(bonded = 'no') || ' "
                                "no on record' from "
                                "rec_step where bonded is not null having count(*) > 0",
                                "OSHA 2209 list") ITEM("17", "No smoking signs", "",
                                                       "select group_concat(coalesce(name, id) || "
                                                       "': ' || no_smoking_sign, '; ') from hp "
                                                       "where"
                                                       " no_smoking_sign is not null",
                                                       "OSHA 2209 list")
                                ITEM("18", "Alarm and sprinkler service", "within 12 months",
                                     "null",
                                     "city lists") ITEM("19", "Inventory current", "within a year",
                                                        "select max(date) from rec_count, d where "
                                                        "date <= d.as_of",
                                                        "institutional list")
                                    ITEM("20", "Safety data sheets", "one for each liquid",
                                         "select sum(h) || ' of ' || count(*) || ' kinds of liquid "
                                         "received' from (select"
                                         " exists(select 1 from rec_document x where x.material = "
                                         "r.material and x.kind in ('sds',"
                                         " 'safety-data-sheet')) h from rec_receipt r join "
                                         "fact_stock_item i on i.kind ="
                                         " 'receipt' and i.id = r.id group by r.material) having "
                                         "count(*) > 0",
                                         "OSHA HCS") ITEM("21", "Vessels labelled", "",
                                                          "select sum(label is not null) || ' of ' "
                                                          "|| count(*) || ' lots in vessels' from"
                                                          " fact_vessel having count(*) > 0",
                                                          "OSHA HCS")
                                        ITEM("22", "Gas and electric shut-offs marked", "", "null",
                                             "map lists")
                                            ITEM("23", "People practised with an extinguisher", "",
                                                 "select extinguisher_training from s",
                                                 "city lists") ITEM("24", "Emergency plan", "",
                                                                    "select emergency_plan from s",
                                                                    "city lists")
                                                ITEM("25", "Key box current", "", "null",
                                                     "city lists")
                                                    ITEM("26", "Spill kit", "",
                                                         "select group_concat(coalesce(name, id) "
                                                         "|| ': ' || spill_kit, '; ') from hp where"
                                                         " spill_kit is not null",
                                                         "responders") ") order by n";
