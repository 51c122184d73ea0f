/* inventory_sql.c - the SELECTs about the site, its places and papers. */
#include "text/base.h"

#include "command/inventory_sql.h"

const char inventory_site_sql[] =
    "with p as (select * from rec_premises order by rid),"
    " d as (select p.id, d.number, d.expires, d.permit_quantity_l from p"
    "  left join rec_document d on d.id = p.permit)"
    " select f, v from ("
    " select p.rid r, 1 n, 'name' f, p.name v from p"
    " union all select rid, 2, 'trading as', trading_as from p where trading_as is not null"
    " union all select rid, 3, 'site address', address from p"
    " union all select rid, 4, 'postal address', mailing from p where mailing is not null"
    " union all select rid, 5, 'region and country', coalesce(region || ', ', '') || country from p"
    " union all select rid, 6, 'kind of building', replace(use, '-', ' ') from p"
    " union all select rid, 7, 'occupancy group', occupancy from p"
    " union all select rid, 8, 'industry code', industry_code from p"
    " union all select rid, 9, 'storey', storey from p"
    " union all select rid, 10, 'floor area', " SHOWN(
        "floor_area_m2",
        "m2") " from p"
              " union all select rid, 11, 'sprinklers', sprinklers from p"
              " union all select rid, 12, 'exits', exits from p"
              " union all select rid, 13, 'hours occupied', hours from p"
              " union all select rid, 14, 'employees', employees from p"
              " union all select p.rid, 15, 'fire permit', coalesce(d.number, p.permit) ||"
              "   coalesce(', until ' || d.expires, '') || coalesce(', for ' || " SHOWN(
                  "d.permit_quantity_l",
                  "L") ", '')"
                       "   from p join d on d.id = p.id"
                       " union all select rid, 16, 'zoning approval', zoning from p"
                       " union all select rid, 17, 'insurer''s letter', insurer_letter from p"
                       " union all select rid, 18, 'last sheet', sheet_date from p"
                       " union all select rid, 19, 'gas shut-off', gas_shut_off from p"
                       " union all select rid, 20, 'electricity shut-off', electricity_shut_off "
                       "from p"
                       " union all select rid, 21, 'water shut-off', water_shut_off from p"
                       " union all select rid, 22, 'drains', coalesce(drains, (select "
                       "group_concat(coalesce(name,"
                       "   id) || ': ' || drain, '; ') from rec_place where drain is not null)) "
                       "from p"
                       " union all select rid, 23, 'assembly point', assembly_point from p"
                       " union all select rid, 24, 'extinguisher practice', extinguisher_training "
                       "from p"
                       " union all select rid, 25, 'emergency plan', emergency_plan from p"
                       ") order by r, n";

const char inventory_contacts_sql[] =
    "with p as (select * from rec_premises order by rid limit 1)"
    " select role, name, fn, day, hours from ("
    " select 1 n, 'operator' role, q.name, q.title fn, q.phone day, q.phone_24h hours"
    "  from p left join rec_person q on q.id = p.operator"
    " union all select 2, 'first contact', q.name, q.title, q.phone, q.phone_24h"
    "  from p left join rec_person q on q.id = p.contact"
    " union all select 3, 'second contact', q.name, q.title, q.phone, q.phone_24h"
    "  from p left join rec_person q on q.id = p.second_contact"
    " union all select 4, 'landlord', q.name, null, q.phone, null"
    "  from p left join rec_party q on q.id = p.landlord"
    " union all select 5, 'alarm company', q.name, null, q.phone, null"
    "  from p left join rec_party q on q.id = p.alarm_company"
    " union all select 6, 'insurer', q.name, null, q.phone, null"
    "  from p left join rec_party q on q.id = p.insurer"
    ") order by n";

const char inventory_controls_sql[] =
    "select p.mark, coalesce(p.name, p.id), replace(p.kind, '-', ' '),"
    " case when p.kind = 'cabinet' then case p.approved when 'yes' then 'approved' when 'no' then"
    "   'not approved' end when p.kind in ('freezer', 'refrigerator') then replace(p.rating, '-', "
    "' ') else 'room' end,"
    " " SHOWN(
        "p.capacity_l",
        "L") ", coalesce((select sum(h.volume_l) from fact_holding h where h.place = p.id), "
             "0),"
             " case when p.kind in ('cabinet', 'freezer', 'refrigerator') then 'as its room' else"
             "   p.ventilation || coalesce(', ' || p.air_changes_per_h || ' air changes an hour', "
             "'') ||"
             "   coalesce(', ' || " SHOWN(
                 "p.exhaust_m3_h",
                 "m3/h") ", '') ||"
                         "   coalesce(', drawn from ' || p.exhaust_height, '') end,"
                         " case when p.kind in ('cabinet', 'freezer', 'refrigerator') then 'as its "
                         "room' else"
                         "   p.extinguisher || coalesce(' at ' || " SHOWN(
                             "p.extinguisher_distance_m",
                             "m") ", '') end,"
                                  " case when p.kind in ('cabinet', 'freezer', 'refrigerator') "
                                  "then 'as its room' else"
                                  "   p.extinguisher_serviced end,"
                                  " iif(p.kind in ('cabinet', 'freezer', 'refrigerator'), 'as its "
                                  "room', 'no smoking: ' || "
                                  "coalesce(p.no_smoking_sign, 'not on file') || '; spill kit: ' ||"
                                  "   coalesce(p.spill_kit, 'not on file'))"
                                  " from rec_place p where p.kind in ('room', 'cabinet', "
                                  "'freezer', 'refrigerator', 'shed',"
                                  " 'garage', 'basement', 'closet') order by p.rid";

const char inventory_ignition_sql[] =
    "select coalesce(p.name, i.place), replace(i.kind, '-', ' '), i.state, i.distance_m"
    " from rec_ignition i left join rec_place p on p.id = i.place, temp.run"
    " where coalesce(i.\"from\", '') <= run.as_of and coalesce(i.until, '9999') >= run.as_of"
    " order by i.rid";

const char inventory_waste_sql[] =
    "select coalesce(p.name, w.place, 'place not recorded'), w.kind,"
    " replace(w.container, '-', ' '), sum(h.volume_l), min(w.date), count(*)"
    " from fact_holding h join rec_waste w on h.kind = 'waste' and w.id = h.id"
    " left join rec_place p on p.id = w.place group by w.place, w.kind, w.container"
    " order by 1, 2, 3";

const char inventory_changes_sql[] =
    "with p as (select coalesce(sheet_date, '') as d from rec_premises order by rid limit 1),"
    " day as (select as_of from temp.run),"
    " now as (select max(volume_l) v from fact_stock_day s, p, day where s.day > p.d"
    "  and s.day <= day.as_of),"
    " before as (select max(volume_l) v from fact_stock_day s, p where s.day <= p.d),"
    " used as (select s.place, min(s.begin) b from fact_stay s where s.place is not null"
    "  and s.planned = 0 group by s.place),"
    " kinds as (select s.liquid, min(s.begin) b from fact_stay s where s.planned = 0"
    "  group by s.liquid)"
    " select what, detail from ("
    " select 1 n, 'last sheet' what, iif(p.d = '', 'not on file', p.d) detail from p"
    " union all select 2, 'greatest holding before it', " SHOWN(
        "before.v",
        "L") " from before"
             "  where before.v is not null"
             " union all select 3, 'greatest holding since', " SHOWN(
                 "now.v",
                 "L") " from now"
                      "  where now.v is not null"
                      " union all select 4, 'place used since, not before', coalesce(q.name, "
                      "u.place) || ', from ' ||"
                      "  u.b from used u left join rec_place q on q.id = u.place, p, day where u.b "
                      "> p.d and"
                      "  u.b <= day.as_of and p.d <> ''"
                      " union all select 5, 'liquid held since, not before', coalesce(q.name, "
                      "k.liquid) || ', from '"
                      "  || k.b from kinds k left join cat_liquid q on q.id = k.liquid, p, day "
                      "where k.b > p.d and"
                      "  k.b <= day.as_of and p.d <> ''"
                      " union all select 6, 'received since', count(*) || ' received lots of "
                      "flammable liquid'"
                      "  from fact_stock_item i, p, day where i.kind = 'receipt' and i.begin > p.d"
                      "  and i.begin <= day.as_of having count(*) > 0"
                      " union all select 7, 'moved since', count(*) || ' moves' from rec_move m, "
                      "p, day"
                      "  where m.date > p.d and m.date <= day.as_of having count(*) > 0"
                      " union all select 8, 'change on record', changed || ' (premises record)' "
                      "from rec_premises"
                      "  where changed is not null"
                      ") order by n, detail";

const char inventory_plan_sql[] =
    "select coalesce(p.mark, p.id), coalesce(p.name, p.id), replace(p.kind, '-', ' '),"
    " coalesce(q.name, p.\"in\"), p.x_m, p.y_m, p.width_m, p.depth_m,"
    " coalesce((select sum(h.volume_l) from fact_holding h where h.place = p.id), 0)"
    " from rec_place p left join rec_place q on q.id = p.\"in\""
    " order by p.\"in\" is not null, p.rid";

const char inventory_places_sql[] =
    "select coalesce(p.name, h.place, 'place not recorded'), sum(h.volume_l), sum(h.full_l),"
    " max(h.size_l), count(*), sum(h.volume_l is null)"
    " from fact_holding h left join rec_place p on p.id = h.place"
    " group by h.place order by h.place is null, p.rid";

/* The year is the 365 days up to the day; before the first record nothing is averaged. */
const char inventory_amounts_sql[] =
    "with d as (select as_of, as_of_day, as_of_day - 364 as first from temp.run),"
    " lev as (select premises as p, day, volume_l as l, unknown as u,"
    "  lead(day) over (partition by premises order by day) as nx from fact_stock_day),"
    " span as (select p, l, u, max(coalesce(lw_days(nullif(day, '')), d.first), d.first) as a,"
    "  min(coalesce(lw_days(nx), d.as_of_day + 1), d.as_of_day + 1) as b from lev, d),"
    " year as (select p, l, u, a, b - a as n from span where b > a),"
    " top as (select p, l, a, row_number() over (partition by p order by l desc, a) as nth from"
    "  year),"
    " mean as (select p, sum(l * n) / sum(n) as l, sum(n) as n, max(u) as u from year group by p),"
    " big as (select size_l, container, place from fact_holding where size_l is not null"
    "  order by size_l desc, rowid limit 1),"
    " several as (select count(distinct premises) > 1 as many from fact_stock_day)"
    " select what, l, detail from ("
    " select 1 n, 'held on the day' what, coalesce(sum(volume_l), 0) l, 'places: ' ||"
    "  count(distinct place) || iif(sum(volume_l is null) > 0, '; ' || sum(volume_l is null) ||"
    "  ' amounts not known', '') detail from fact_holding"
    " union all select 2, 'with every vessel full', coalesce(sum(coalesce(full_l, volume_l)), 0),"
    "  null from fact_holding"
    " union all select 3, 'largest container', b.size_l, coalesce(replace(b.container, '-', ' '),"
    "  'material not on file') || ', ' || coalesce(p.name, b.place, 'place not recorded')"
    "  from big b left join rec_place p on p.id = b.place"
    " union all select 4, 'most on one day of the year' || iif(many, ', ' || t.p, ''), t.l,"
    "  lw_date(t.a) from top t, several where t.nth = 1"
    " union all select 5, 'daily average' || iif(many, ', ' || m.p, ''), m.l,"
    "  'over ' || m.n || ' days on record' || iif(m.u > 0, '; amounts not known on some', '')"
    "  from mean m, several"
    " union all select 6, 'most in open use on one day', volume_l, day from (select volume_l, day"
    "  from fact_open_use order by volume_l desc, day limit 1)"
    " union all select 7, 'alcohol-wet waste held', coalesce(sum(volume_l), 0), null from"
    "  fact_holding where kind = 'waste'"
    ") order by n, what";

/* What follows from either reading of closed macerating jars; nothing where none stands, or no code
 * in force has a figure for closed use. */
const char inventory_readings_sql[] =
    "with jars as (select sum(volume_l) as l, count(*) as n, max(situation = 'use-closed') as used,"
    "  sum(coalesce(closure in ('covered', 'unknown'), 1)) as loose from fact_holding"
    "  where what in ('vessel', 'bulk') and situation <> 'use-open'),"
    " said as (select maceration_reading as r from rec_premises order by rid limit 1),"
    " passed as (select 'storage' as r, sum(state = 'over') as o, sum(state = 'cannot tell') as u"
    "   from fact_line where area is not null and part in ('all', 'outside') and limit_name ="
    "   'control-area-quantity'"
    "  union all select 'use-closed', sum(state = 'over'), sum(state = 'cannot tell') from"
    "   fact_line where area is not null and (part = 'closed' or (part = 'all' and limit_name ="
    "   'control-area-quantity')))"
    " select iif(p.r = 'storage', 'storage in closed containers', 'use in closed vessels'),"
    "  case when said.r = p.r then 'yes, by the premises record' when said.r is not null then 'no'"
    "   when p.r = 'storage' then 'yes, the usual reading; no other is on file' else 'no; judged"
    " beside it' end,"
    "  jars.l,"
    "  case when p.o is null then 'not judged' when p.o = 0 and p.u = 0 then 'none' else p.o ||"
    "   iif(p.u > 0, '; ' || p.u || ' cannot be told', '') end,"
    "  iif(jars.loose > 0, jars.loose || ' of ' || jars.n || ' are not recorded as closed: an"
    " official may read them as open use', '')"
    " from passed p, jars left join said on 1 where jars.n > 0 and exists(select 1 from"
    "  lim_in_force where name = 'use-closed-quantity') order by p.r";
