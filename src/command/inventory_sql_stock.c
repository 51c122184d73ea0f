/* inventory_sql_stock.c - the SELECTs about quantity lines, inventory lines and classes. */
#include "text/base.h"

#include "command/inventory_sql.h"

#define LINES_SQL                                                                                  \
    "select iif(l.area is null, coalesce(p.name, s.name, l.id), 'control area ' || l.area),"       \
    " case l.part when 'outside' then 'outside cabinets and safety cans, in one control area'"     \
    " when 'closed' then 'in closed systems, in one control area'"                                 \
    " else lower(substr(n.meaning, 1, 1)) || rtrim(substr(n.meaning, 2, instr(n.meaning || "       \
    "';', ';') - 2), '.') end,"                                                                    \
    " l.code_set, coalesce(replace(l.class, '+', ', '), 'all'), l.amount, l.unit, l.full, l.unit," \
    " coalesce(l.figure, l.cautious), l.unit, l.share_percent,"                                    \
    " iif(l.figure is null, l.state || ': ' || 'the lowest figure it could be is shown', "         \
    "l.state),"                                                                                    \
    " l.unknown, iif(l.words <> '', l.words || '; ', '') || l.cite ||"                             \
    " iif(l.sure = 'from-memory', ' (unconfirmed)', '')"                                           \
    " from (select *, row_number() over (partition by kind, id, area, code_set, limit_name,"       \
    " case part when 'outside' then 1 when 'closed' then 2 else 0 end order by state = 'over' "    \
    "desc,"                                                                                        \
    " share_percent desc, class) as nth from fact_line) l left join rec_place p on l.kind "        \
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
    " select h.*, case h.kind when 'receipt' then coalesce(k.name, r.name, h.liquid) when"
    " 'waste' then 'alcohol-wet waste' else case h.what when 'vessel' then 'tinctures,"
    " steeping' when 'bulk' then 'tinctures, strained' when 'sample' then 'tinctures, samples"
    " kept' when 'remainder' then 'tinctures, remainders' else 'tinctures, bottled' end end as"
    " product, coalesce(q.name, h.liquid) as component, q.cas, q.un_number, r.material,"
    " coalesce(nullif(lw_class('ifc', h.flash_c, h.flash_pm_k, h.boil_c), 'none'), 'none') as"
    " ifc, coalesce(nullif(lw_class('ghs', h.flash_c, h.flash_pm_k, h.boil_c), 'none'), 'none')"
    " as ghs"
    " from fact_holding h left join rec_receipt r on h.kind = 'receipt' and r.id = h.id"
    " left join cat_material k on k.id = r.material left join cat_liquid q on q.id = h.liquid),"
    " opened as (select max(volume_l) v from fact_open_use),"
    " g as ("
    " select product, component, cas, place, container, ifc, ghs, un_number, min(size_l) a,"
    " max(size_l) b, sum(containers) c, min(strength_volpct) s1, max(strength_volpct) s2,"
    " sum(iif(situation = 'storage', volume_l, 0)) st, sum(iif(situation = 'use-closed',"
    " volume_l, 0)) uc, sum(iif(situation = 'use-open', volume_l, 0)) uo, sum(full_l) f,"
    " sum(volume_l is null) u, min(material) as m, row_number() over (order by product, place,"
    " container) as n"
    " from h group by product, component, cas, place, container, ifc, ghs)"
    " select product || iif(u > 0, ' (' || u || ' amounts not known)', ''), component || iif(s1"
    " is null, '', ' ' || round(s1, 1) || iif(round(s1, 1) = round(s2, 1), '', ' to ' ||"
    " round(s2, 1)) || ' %vol'), coalesce(cas, 'none'), coalesce(p.name, g.place, 'place not"
    " recorded'), coalesce(cast(c as integer) || ' x ', '') || iif(a is null, 'a size not on"
    " file', lw_shown(a, 'L') || iif(b > a, ' to ' || lw_shown(b, 'L'), '')) || ', ' ||"
    " coalesce(replace(g.container, '-', ' '), 'material not on file'), 'IFC ' || ifc || ';"
    " OSHA, GHS ' || ghs, iif(u > 0 and st = 0, null, st), uc, uo + iif(g.n = 1,"
    " coalesce(opened.v, 0), 0), f, iif(component = 'Ethanol', 'UN 1170', coalesce('UN ' ||"
    " un_number, 'not on file')), (select max(coalesce(d.issued, d.received, 'on file'))"
    " from rec_document d"
    " where d.kind in ('sds', 'safety-data-sheet') and (d.material = g.m or (g.m is null and"
    " d.material = 'ethanol')))"
    " from g left join rec_place p on p.id = g.place, opened order by g.n";

const char inventory_classes_sql[] =
    "with k as (select h.liquid, q.name, round(h.strength_volpct, 0) as s, min(h.flash_c) f,"
    " max(h.flash_pm_k) u, min(h.boil_c) b, max(h.assumed) as assumed, iif(h.liquid ="
    " 'ethanol', 'calculated at the strength', coalesce(q.flash_source, 'material record')) src"
    " from fact_holding h left join cat_liquid q on q.id = h.liquid"
    " group by h.liquid, round(h.strength_volpct, 0))"
    " select coalesce(name, liquid), iif(s is null, iif(assumed, 'not known: 95 %vol taken',"
    " ''), cast(s as integer) || ' %vol'), round(f, 1) || ' +/- ' || round(u, 1) || ' degC ('"
    " || round(f * 1.8 + 32, 1) || ' degF)', src, coalesce(round(b, 1) || ' degC (' || round(b"
    " * 1.8 + 32, 1) || ' degF)', 'not on file'), (select group_concat(t || ' ' || c || iif(c"
    " = o, '', ' or ' || o), '; ')"
    " from ("
    " select v.t, lw_class(v.s, f, u, b) c, lw_class_other(v.s, f, u, b) o from ("
    " select 1 n, 'IFC/NFPA' t, 'ifc' s"
    " union all"
    " select 2, 'OSHA', 'osha'"
    " union all"
    " select 3, 'GHS', 'ghs'"
    " union all"
    " select 4, 'CLP', 'clp'"
    " union all"
    " select 5, 'UN PG', 'un'"
    " union all"
    " select 6, 'Canada', 'canada'"
    " union all"
    " select 7, 'AS 1940', 'australia') v"
    " order by n)), coalesce((select health || '-' || flammability || '-' || instability || '"
    " (health ' || (select min(health) || ' to ' || max(health)"
    " from cat_nfpa704 a where a.liquid = k.liquid) || ' by source)' from cat_nfpa704 x"
    " where x.liquid = k.liquid and x.advised = 'yes'), 'flammability ' || lw_class('nfpa-704',"
    " f, u, b))"
    " from k order by liquid, s desc";
