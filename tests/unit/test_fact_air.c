/* The vapour functions rules may call: they agree with the physics, and empty in is empty out. */
#include "unit.h"

#include "fact/sqlfunc.h"
#include "physics/room_air.h"

static sqlite3 *db;

static void open_db(void)
{
    ck_assert_int_eq(sqlite3_open(":memory:", &db), SQLITE_OK);
    ck_assert_int_eq(sqlair_register(db), SQLITE_OK);
}

/* NaN: the expression is NULL. */
static double value(const char *expression)
{
    char sql[256];
    sqlite3_stmt *st = NULL;
    snprintf(sql, sizeof sql, "select %s", expression);
    ck_assert_int_eq(sqlite3_prepare_v2(db, sql, -1, &st, NULL), SQLITE_OK);
    ck_assert_int_eq(sqlite3_step(st), SQLITE_ROW);
    double v =
        sqlite3_column_type(st, 0) == SQLITE_NULL ? (double)NAN : sqlite3_column_double(st, 0);
    sqlite3_finalize(st);
    return v;
}

/* 3.1 % by volume is 100 % of the cautious lower limit of IEC 60079-20-1:2010. By the ideal gas law
 * 1 mol fills 24.055 L at 20 degC and 101.325 kPa, so that is 0.031 x 46.069 g / 0.024055 m3. */
START_TEST(share_of_the_lower_limit)
{
    open_db();
    ck_assert_double_eq_tol(value("lw_lel_percent(0.031 * 46.069 / 0.024055, 20)"), 100.0, 0.02);
    ck_assert_double_eq_tol(value("lw_lel_percent(0, 20)"), 0.0, 1e-12);
    sqlite3_close(db);
}
END_TEST

/* Without ventilation all that evaporates stays: 2 g/min for 30 min in 20 m3 is 3 g/m3. */
START_TEST(closed_room_keeps_all)
{
    open_db();
    ck_assert_double_eq_tol(value("lw_room_peak_g_m3(20, 0, 0.3, 2, 30, 0)"), 3.0, 1e-9);
    sqlite3_close(db);
}
END_TEST

/* With it the average nears G / (k Q): 2 g/min over 0.5 x 20 m3 x 6 /h is 2 g/m3 after long. */
START_TEST(aired_room_reaches_its_steady_state)
{
    open_db();
    ck_assert_double_eq_tol(value("lw_room_peak_g_m3(20, 6, 0.5, 2, 1000, 0)"), 2.0, 1e-6);
    sqlite3_close(db);
}
END_TEST

/* Evaporation grows with the area in proportion, and with warmth. No air speed: indoor air. */
START_TEST(evaporation_follows_area_and_warmth)
{
    open_db();
    double small = value("lw_evap_g_min(95, 20, 0.01, null)");
    ck_assert_double_gt(small, 0.0);
    ck_assert_double_gt(value("lw_evap_g_min(95, 30, 0.01, null)"), small);
    ck_assert_double_gt(value("lw_evap_g_min(95, 20, 0.02, null)"), 1.5 * small);
    ck_assert_double_lt(value("lw_evap_g_min(50, 20, 0.01, null)"), small);
    ck_assert_double_eq_tol(value("lw_evap_g_min(95, 20, 0.01, 0.508)"), small, 1e-12);
    sqlite3_close(db);
}
END_TEST

START_TEST(empty_in_empty_out)
{
    static const char *const empty[] = {
        "lw_evap_g_min(null, 20, 0.01, 0.5)",
        "lw_evap_g_min(95, null, 0.01, 0.5)",
        "lw_evap_g_min(95, 20, null, 0.5)",
        "lw_evap_g_min(95, 20, 0.01, 'brisk')",
        "lw_room_peak_g_m3(null, 0, 0.3, 2, 30, 0)",
        "lw_room_peak_g_m3(20, null, 0.3, 2, 30, 0)",
        "lw_room_peak_g_m3(20, 0, 0.3, null, 30, 0)",
        "lw_room_peak_g_m3(20, 0, 0.3, 2, null, 0)",
        "lw_lel_percent(null, 20)",
        "lw_lel_percent(3, null)",
        "lw_room_peak_g_m3(20, 0, 0.3, 2, 30, null)",
        "lw_room_peak_g_m3(-20, 0, 0.3, 2, 30, 0)",
    };
    open_db();
    for (size_t i = 0; i < LW_COUNT(empty); i++)
        ck_assert_msg(isnan(value(empty[i])), "%s is not empty", empty[i]);
    sqlite3_close(db);
}
END_TEST

UNIT_MAIN("fact air", share_of_the_lower_limit, closed_room_keeps_all,
          aired_room_reaches_its_steady_state, evaporation_follows_area_and_warmth,
          empty_in_empty_out)
