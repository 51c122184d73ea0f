/* inventory_sql.c - the SELECTs about the site, its places and papers. */
#include "text/base.h"

#include "command/inventory_sql.h"

const char inventory_site_sql[] =
    "with p as (select * from rec_premises order by rid),"
    " d as (select p.id, d.number, d.expires, d.permit_quantity from p"
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
    " union all select rid, 10, 'floor area', floor_area from p"
    " union all select rid, 11, 'sprinklers', sprinklers from p"
    " union all select rid, 12, 'exits', exits from p"
    " union all select rid, 13, 'hours occupied', hours from p"
    " union all select rid, 14, 'employees', employees from p"
    " union all select p.rid, 15, 'fire permit', coalesce(d.number, p.permit) ||"
    "   coalesce(', until ' || d.expires, '') || coalesce(', for ' || d.permit_quantity, '')"
    "   from p join d on d.id = p.id"
    " union all select rid, 16, 'zoning approval', zoning from p"
    " union all select rid, 17, 'insurer''s letter', insurer_letter from p"
    " union all select rid, 18, 'last sheet', sheet_date from p"
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
    " p.capacity, coalesce((select sum(h.volume_l) from fact_holding h where h.place = p.id), "
    "0),"
    " case when p.kind in ('cabinet', 'freezer', 'refrigerator') then 'as its room' else"
    "   p.ventilation || coalesce(', ' || p.air_changes, '') || coalesce(', ' || p.exhaust, '') ||"
    "   coalesce(', drawn from ' || p.exhaust_height, '') end,"
    " case when p.kind in ('cabinet', 'freezer', 'refrigerator') then 'as its room' else"
    "   p.extinguisher || coalesce(' at ' || p.extinguisher_distance, '') end,"
    " case when p.kind in ('cabinet', 'freezer', 'refrigerator') then 'as its room' else"
    "   p.extinguisher_serviced end,"
    " iif(p.kind in ('cabinet', 'freezer', 'refrigerator'), 'as its room', 'no smoking: ' || "
    "coalesce(p.no_smoking_sign, 'not on file') || '; spill kit: ' ||"
    "   coalesce(p.spill_kit, 'not on file'))"
    " from rec_place p where p.kind in ('room', 'cabinet', 'freezer', 'refrigerator', 'shed',"
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
    " union all select 2, 'greatest holding before it', round(before.v, 2) || ' L (' || "
    "round(lw_unit(before.v, 'L', 'gal-us'), 2) || ' US gal)' from before"
    "  where before.v is not null"
    " union all select 3, 'greatest holding since', round(now.v, 2) || ' L (' || "
    "round(lw_unit(now.v, 'L', 'gal-us'), 2) || ' US gal)' from now"
    "  where now.v is not null"
    " union all select 4, 'place used since, not before', coalesce(q.name, u.place) || ', from ' ||"
    "  u.b from used u left join rec_place q on q.id = u.place, p, day where u.b > p.d and"
    "  u.b <= day.as_of and p.d <> ''"
    " union all select 5, 'liquid held since, not before', coalesce(q.name, k.liquid) || ', from '"
    "  || k.b from kinds k left join cat_liquid q on q.id = k.liquid, p, day where k.b > p.d and"
    "  k.b <= day.as_of and p.d <> ''"
    " union all select 6, 'received since', count(*) || ' received lots of flammable liquid'"
    "  from fact_stock_item i, p, day where i.kind = 'receipt' and i.begin > p.d"
    "  and i.begin <= day.as_of having count(*) > 0"
    " union all select 7, 'moved since', count(*) || ' moves' from rec_move m, p, day"
    "  where m.date > p.d and m.date <= day.as_of having count(*) > 0"
    " union all select 8, 'change on record', changed || ' (premises record)' from rec_premises"
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
