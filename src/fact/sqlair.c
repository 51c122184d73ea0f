/* sqlair.c - vapour in a room as SQL functions.
 *
 *   lw_evap_g_min(volpct, temp_c, area_m2, air_m_s)   largest of the published models, g/min;
 *                                                     no air speed: EVAP_INDOOR_AIR_M_S
 *   lw_room_peak_g_m3(space_m3, air_changes_h, mixing, g_min, minutes)
 *                                                     greatest room average reached, g/m3
 *   lw_lel_percent(g_m3, temp_c)                      ethanol vapour as a share of the cautious
 *                                                     lower explosive limit, per cent */
#include "text/base.h"

#include "fact/sqlfunc.h"
#include "physics/constants.h"
#include "physics/ethanol_water.h"
#include "physics/evaporation.h"
#include "physics/flash.h"
#include "physics/room_air.h"
#include "physics/vapour.h"

#define PURE (SQLITE_UTF8 | SQLITE_DETERMINISTIC | SQLITE_DIRECTONLY)

static void result(sqlite3_context *c, struct phys_value v)
{
    if (phys_has(v))
        sqlite3_result_double(c, v.value);
}

/* All of v[0..n) as numbers; false when one is empty. */
static bool numbers(sqlite3_value **v, int n, double *out)
{
    for (int i = 0; i < n; i++)
        if (!sqlfunc_number(v[i], &out[i]))
            return false;
    return true;
}

static void fn_evap(sqlite3_context *c, int n, sqlite3_value **v)
{
    double a[3], air_m_s = EVAP_INDOOR_AIR_M_S;
    (void)n;
    if (!numbers(v, 3, a))
        return;
    if (sqlite3_value_type(v[3]) != SQLITE_NULL && !sqlfunc_number(v[3], &air_m_s))
        return;
    struct phys_value w = ew_mass_fraction_from_vol_percent(a[0]);
    struct phys_value x = phys_has(w) ? ew_mole_fraction_from_mass_fraction(w.value) : w;
    struct phys_value p = phys_has(x) ? vap_ethanol_partial_kpa(x.value, a[1]) : x;
    if (!phys_has(p))
        return;
    struct evap_source source = {.partial_kpa = p.value,
                                 .molar_mass_g = PHYS_ETHANOL_G_MOL,
                                 .temp_c = a[1],
                                 .area_m2 = a[2],
                                 .air_m_s = air_m_s};
    struct evap_estimate e = evap_surface(&source);
    if (!e.reason)
        sqlite3_result_double(c, e.largest_g_min);
}

static void fn_room_peak(sqlite3_context *c, int n, sqlite3_value **v)
{
    double a[5];
    (void)n;
    if (!numbers(v, 5, a))
        return;
    struct room_air room = {.volume_m3 = a[0],
                            .air_changes_h = a[1],
                            .mixing = a[2],
                            .source_g_min = a[3],
                            .source_min = a[4]};
    result(c, room_peak_g_m3(&room));
}

static void fn_lel_percent(sqlite3_context *c, int n, sqlite3_value **v)
{
    const double percent = 100.0;
    double a[2];
    (void)n;
    if (!numbers(v, 2, a))
        return;
    struct phys_value vol = room_vol_percent_from_g_m3(a[0], PHYS_ETHANOL_G_MOL, a[1]);
    if (phys_has(vol))
        sqlite3_result_double(c, percent * vol.value / FLASH_LEL_CAUTIOUS);
}

int sqlair_register(sqlite3 *db)
{
    static const struct {
        const char *name;
        int args;
        void (*fn)(sqlite3_context *, int, sqlite3_value **);
    } table[] = {
        {"lw_evap_g_min", 4, fn_evap},
        {"lw_room_peak_g_m3", 5, fn_room_peak},
        {"lw_lel_percent", 2, fn_lel_percent},
    };
    int rc = SQLITE_OK;
    for (size_t i = 0; i < LW_COUNT(table) && rc == SQLITE_OK; i++)
        rc = sqlite3_create_function_v2(db, table[i].name, table[i].args, PURE, NULL, table[i].fn,
                                        NULL, NULL, NULL);
    return rc;
}
