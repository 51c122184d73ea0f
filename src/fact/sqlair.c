/* sqlair.c - vapour in a room, fill and excise amounts as SQL functions.
 *
 *   lw_evap_g_min(volpct, temp_c, area_m2, air_m_s)   largest of the published models, g/min;
 *                                                     no air speed: EVAP_INDOOR_AIR_M_S
 *   lw_filling_g_l(volpct, temp_c)                    vapour pushed out by splash filling, g/L
 *   lw_spill_m2(volume_l)                             area of a spill 1 cm deep
 *   lw_room_peak_g_m3(space_m3, air_changes_h, mixing, g_min, minutes, start_g_m3)
 *                                                     greatest room average reached, g/m3
 *   lw_room_end_g_m3(the same)                        at the end
 *   lw_room_mean_g_m3(the same, span_min)             average over the worst span
 *   lw_room_minutes_to(space_m3, air_changes_h, mixing, g_min, start_g_m3, target_g_m3)
 *                                                     were the source to go on; empty: never
 *   lw_lel_percent(g_m3, temp_c)                      ethanol vapour as a share of the cautious
 *                                                     lower explosive limit, per cent
 *   lw_lel_g_m3(percent, temp_c)                      and back
 *   lw_saturated_g_m3(volpct, temp_c)                 what the air over the liquid can hold, in
 * g/m3 of air at 20 degC lw_ppm(g_m3, temp_c)                              ethanol vapour, parts
 * per million lw_read_volpct(density_kg_m3, temp_c)             strength by a density reading
 *   lw_greatest_fill(volpct, filled_c, warmest_c)     fill just liquid-full when warmest, per cent
 *   lw_laa(volume_l, volpct)                          litres of absolute alcohol, 20 degC
 *   lw_us_proof(volpct)                               US proof, at 60 degF
 *   lw_proof_gal(volume_l, volpct)                    US proof gallons of a volume at 20 degC */
#include "text/base.h"

#include "fact/memo.h"
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

/* Each function has a memory, for the one step in it that has to be solved for. */
static struct phys_value mass_fraction(sqlite3_context *c, double volpct)
{
    bool known;
    struct phys_value *at = memo_place(sqlite3_user_data(c), &volpct, 1, &known);
    if (!known)
        *at = ew_mass_fraction_from_vol_percent(volpct);
    return *at;
}

/* Ethanol over a liquid, kPa. */
static struct phys_value partial_kpa(sqlite3_context *c, double volpct, double temp_c)
{
    const double args[] = {volpct, temp_c};
    bool known;
    struct phys_value *at = memo_place(sqlite3_user_data(c), args, LW_COUNT(args), &known);
    if (known)
        return *at;
    struct phys_value w = ew_mass_fraction_from_vol_percent(volpct);
    struct phys_value x = phys_has(w) ? ew_mole_fraction_from_mass_fraction(w.value) : w;
    *at = phys_has(x) ? vap_ethanol_partial_kpa(x.value, temp_c) : x;
    return *at;
}

static void fn_evap(sqlite3_context *c, int n, sqlite3_value **v)
{
    double a[3], air_m_s = EVAP_INDOOR_AIR_M_S;
    (void)n;
    if (!numbers(v, 3, a))
        return;
    if (sqlite3_value_type(v[3]) != SQLITE_NULL && !sqlfunc_number(v[3], &air_m_s))
        return;
    struct phys_value p = partial_kpa(c, a[0], a[1]);
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

static void fn_filling(sqlite3_context *c, int n, sqlite3_value **v)
{
    double a[2];
    (void)n;
    if (!numbers(v, 2, a))
        return;
    struct phys_value p = partial_kpa(c, a[0], a[1]);
    if (phys_has(p))
        result(c, evap_filling_g_l(p.value, PHYS_ETHANOL_G_MOL, a[1], EVAP_PHI_SPLASH));
}

static void fn_spill(sqlite3_context *c, int n, sqlite3_value **v)
{
    double litres;
    (void)n;
    if (numbers(v, 1, &litres))
        result(c, evap_spill_m2(litres, EVAP_SPILL_DEPTH_M));
}

/* space, air changes, mixing, g/min, minutes, start */
static bool room_of(sqlite3_value **v, struct room_air *room)
{
    double a[6];
    if (!numbers(v, 6, a))
        return false;
    *room = (struct room_air){.volume_m3 = a[0],
                              .air_changes_h = a[1],
                              .mixing = a[2],
                              .source_g_min = a[3],
                              .source_min = a[4],
                              .start_g_m3 = a[5]};
    return true;
}

static void fn_room_peak(sqlite3_context *c, int n, sqlite3_value **v)
{
    struct room_air room;
    (void)n;
    if (room_of(v, &room))
        result(c, room_peak_g_m3(&room));
}

static void fn_room_end(sqlite3_context *c, int n, sqlite3_value **v)
{
    struct room_air room;
    (void)n;
    if (room_of(v, &room))
        result(c, room_g_m3(&room, room.source_min));
}

static void fn_room_mean(sqlite3_context *c, int n, sqlite3_value **v)
{
    struct room_air room;
    double span;
    if (room_of(v, &room) && sqlfunc_number(v[n - 1], &span))
        result(c, room_mean_g_m3(&room, span));
}

static void fn_room_minutes(sqlite3_context *c, int n, sqlite3_value **v)
{
    double a[6];
    (void)n;
    if (!numbers(v, 6, a))
        return;
    struct room_air room = {.volume_m3 = a[0],
                            .air_changes_h = a[1],
                            .mixing = a[2],
                            .source_g_min = a[3],
                            .source_min = HUGE_VAL,
                            .start_g_m3 = a[4]};
    result(c, room_minutes_to(&room, a[5]));
}

static void fn_lel_g_m3(sqlite3_context *c, int n, sqlite3_value **v)
{
    const double percent = 100.0;
    double a[2];
    (void)n;
    if (numbers(v, 2, a))
        result(c, room_g_m3_from_vol_percent(FLASH_LEL_CAUTIOUS * a[0] / percent,
                                             PHYS_ETHANOL_G_MOL, a[1]));
}

static void fn_saturated(sqlite3_context *c, int n, sqlite3_value **v)
{
    const double percent = 100.0;
    double a[2];
    (void)n;
    if (!numbers(v, 2, a))
        return;
    struct phys_value p = partial_kpa(c, a[0], a[1]);
    if (phys_has(p))
        result(c, room_g_m3_from_vol_percent(percent * p.value / PHYS_ATM_KPA, PHYS_ETHANOL_G_MOL,
                                             PHYS_REFERENCE_C));
}

static void fn_ppm(sqlite3_context *c, int n, sqlite3_value **v)
{
    const double ppm_per_percent = 1e4;
    double a[2];
    (void)n;
    if (!numbers(v, 2, a))
        return;
    struct phys_value vol = room_vol_percent_from_g_m3(a[0], PHYS_ETHANOL_G_MOL, a[1]);
    if (phys_has(vol))
        sqlite3_result_double(c, ppm_per_percent * vol.value);
}

static void fn_read(sqlite3_context *c, int n, sqlite3_value **v)
{
    double a[2];
    (void)n;
    if (!numbers(v, 2, a))
        return;
    struct phys_value w = ew_mass_fraction_from_density(a[0], a[1], EW_GLASS_SODA_LIME);
    if (phys_has(w))
        result(c, ew_vol_percent_from_mass_fraction(w.value));
}

static void fn_fill(sqlite3_context *c, int n, sqlite3_value **v)
{
    double a[3];
    (void)n;
    if (!numbers(v, 3, a))
        return;
    struct phys_value w = mass_fraction(c, a[0]);
    if (phys_has(w))
        result(c, ew_greatest_fill_percent(w.value, a[1], a[2], EW_GLASS_NONE));
}

static void excise(sqlite3_context *c, sqlite3_value **v, bool proof)
{
    double a[2];
    if (!numbers(v, 2, a))
        return;
    struct phys_value w = mass_fraction(c, a[1]);
    if (phys_has(w))
        result(c, proof ? ew_proof_gallons_from_volume(a[0], w.value, PHYS_REFERENCE_C)
                        : ew_laa_l_from_volume(a[0], w.value, PHYS_REFERENCE_C));
}

static void fn_laa(sqlite3_context *c, int n, sqlite3_value **v)
{
    (void)n;
    excise(c, v, false);
}

static void fn_us_proof(sqlite3_context *c, int n, sqlite3_value **v)
{
    double volpct;
    (void)n;
    if (!numbers(v, 1, &volpct))
        return;
    struct phys_value w = ew_mass_fraction_from_vol_percent(volpct);
    if (phys_has(w))
        result(c, ew_us_proof_from_mass_fraction(w.value));
}

static void fn_proof_gal(sqlite3_context *c, int n, sqlite3_value **v)
{
    (void)n;
    excise(c, v, true);
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
        {"lw_filling_g_l", 2, fn_filling},
        {"lw_spill_m2", 1, fn_spill},
        {"lw_room_peak_g_m3", 6, fn_room_peak},
        {"lw_room_end_g_m3", 6, fn_room_end},
        {"lw_room_mean_g_m3", 7, fn_room_mean},
        {"lw_room_minutes_to", 6, fn_room_minutes},
        {"lw_lel_g_m3", 2, fn_lel_g_m3},
        {"lw_saturated_g_m3", 2, fn_saturated},
        {"lw_ppm", 2, fn_ppm},
        {"lw_read_volpct", 2, fn_read},
        {"lw_greatest_fill", 3, fn_fill},
        {"lw_laa", 2, fn_laa},
        {"lw_us_proof", 1, fn_us_proof},
        {"lw_proof_gal", 2, fn_proof_gal},
        {"lw_lel_percent", 2, fn_lel_percent},
    };
    int rc = SQLITE_OK;
    for (size_t i = 0; i < LW_COUNT(table) && rc == SQLITE_OK; i++) {
        struct memo *m = memo_new(NULL);
        rc = m ? sqlite3_create_function_v2(db, table[i].name, table[i].args, PURE, m, table[i].fn,
                                            NULL, NULL, memo_free)
               : SQLITE_NOMEM;
    }
    return rc;
}
