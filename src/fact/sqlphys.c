/* sqlphys.c - the physics as SQL functions.
 *
 *   lw_mass_fraction(volpct)        lw_volpct(mass_fraction)
 *   lw_density(volpct, temp_c)      kg/m3
 *   lw_flash_c(volpct)              lower of model and list, degC
 *   lw_flash_pm_k(volpct)           its uncertainty, K
 *   lw_boil_c(volpct)               at 101.325 kPa, degC
 *   lw_freeze_c(volpct)             freezing point, degC
 *   lw_headspace_volpct(volpct, temp_c)  ethanol over a closed, settled jar, vol %
 *   lw_class(scheme, flash_c, pm_k, boil_c)        cautious class token; 'none' outside all
 *   lw_class_other(scheme, flash_c, pm_k, boil_c)  the other possible class, or the same */
#include "text/base.h"

#include "fact/memo.h"
#include "fact/sqlfunc.h"
#include "physics/ethanol_water.h"
#include "physics/fireclass.h"
#include "physics/flash.h"
#include "physics/vapour.h"

#define PURE (SQLITE_UTF8 | SQLITE_DETERMINISTIC | SQLITE_DIRECTONLY)

/* Standard atmosphere, kPa (ISO 2533). */
#define ATMOSPHERE_KPA 101.325

static void result(sqlite3_context *c, struct phys_value v)
{
    if (phys_has(v))
        sqlite3_result_double(c, v.value);
}

static struct phys_value flash_uncertainty(double volpct)
{
    struct phys_value v = flash_ethanol_water_c(volpct);
    if (phys_has(v))
        v.value = v.uncertainty;
    return v;
}

static struct phys_value mole_fraction(double volpct)
{
    struct phys_value w = ew_mass_fraction_from_vol_percent(volpct);
    return phys_has(w) ? ew_mole_fraction_from_mass_fraction(w.value) : w;
}

static struct phys_value boil(double volpct)
{
    struct phys_value x = mole_fraction(volpct);
    return phys_has(x) ? vap_boiling_point_c(x.value, ATMOSPHERE_KPA) : x;
}

static struct phys_value headspace(double volpct, double temp_c)
{
    struct phys_value x = mole_fraction(volpct);
    return phys_has(x) ? vap_headspace_vol_percent(x.value, temp_c, ATMOSPHERE_KPA) : x;
}

typedef struct phys_value phys_fn1(double);
typedef struct phys_value phys_fn2(double, double);

struct phys1 {
    const char *name;
    phys_fn1 *fn;
};
struct phys2 {
    const char *name;
    phys_fn2 *fn;
};

static const struct phys1 ones[] = {
    {"lw_mass_fraction", ew_mass_fraction_from_vol_percent},
    {"lw_volpct", ew_vol_percent_from_mass_fraction},
    {"lw_flash_c", flash_ethanol_water_c},
    {"lw_flash_pm_k", flash_uncertainty},
    {"lw_boil_c", boil},
    {"lw_freeze_c", ew_freezing_point_c},
};

static const struct phys2 twos[] = {
    {"lw_density", ew_density_at_vol_percent_kg_m3},
    {"lw_headspace_volpct", headspace},
};

static void call1(sqlite3_context *c, int n, sqlite3_value **v)
{
    struct memo *m = sqlite3_user_data(c);
    const struct phys1 *f = m->what;
    double a = 0;
    bool known;
    (void)n;
    if (!sqlfunc_number(v[0], &a))
        return;
    struct phys_value *at = memo_place(m, &a, 1, &known);
    if (!known)
        *at = f->fn(a);
    result(c, *at);
}

static void call2(sqlite3_context *c, int n, sqlite3_value **v)
{
    struct memo *m = sqlite3_user_data(c);
    const struct phys2 *f = m->what;
    double a[2] = {0};
    bool known;
    (void)n;
    if (!sqlfunc_number(v[0], &a[0]) || !sqlfunc_number(v[1], &a[1]))
        return;
    struct phys_value *at = memo_place(m, a, 2, &known);
    if (!known)
        *at = f->fn(a[0], a[1]);
    result(c, *at);
}

static void class_of(sqlite3_context *c, sqlite3_value **v, bool other)
{
    double flash_c = 0, pm_k = 0, boil_c = 0;
    enum fire_scheme scheme;
    if (sqlite3_value_type(v[0]) != SQLITE_TEXT || !sqlfunc_number(v[1], &flash_c))
        return;
    if (!fire_scheme_from_token((const char *)sqlite3_value_text(v[0]),
                                (size_t)sqlite3_value_bytes(v[0]), &scheme))
        return;
    if (!sqlfunc_number(v[2], &pm_k))
        pm_k = 0;
    if (!sqlfunc_number(v[3], &boil_c))
        boil_c = (double)NAN;
    struct fire_band band = fireclass_band(scheme, flash_c, pm_k, boil_c);
    const char *token = other ? band.other.token : band.cautious.token;
    if (!band.reason && token)
        sqlite3_result_text(c, token, -1, SQLITE_STATIC);
}

static void fn_class(sqlite3_context *c, int n, sqlite3_value **v)
{
    (void)n;
    class_of(c, v, false);
}

static void fn_class_other(sqlite3_context *c, int n, sqlite3_value **v)
{
    (void)n;
    class_of(c, v, true);
}

/* With a memory of its own, which SQLite frees, also when it refuses the function. */
static int add(sqlite3 *db, const char *name, int args, const void *what,
               void (*call)(sqlite3_context *, int, sqlite3_value **))
{
    struct memo *m = memo_new(what);
    return m ? sqlite3_create_function_v2(db, name, args, PURE, m, call, NULL, NULL, memo_free)
             : SQLITE_NOMEM;
}

int sqlphys_register(sqlite3 *db)
{
    enum { CLASS_ARGS = 4 };
    int rc = SQLITE_OK;
    for (size_t i = 0; i < LW_COUNT(ones) && rc == SQLITE_OK; i++)
        rc = add(db, ones[i].name, 1, &ones[i], call1);
    for (size_t i = 0; i < LW_COUNT(twos) && rc == SQLITE_OK; i++)
        rc = add(db, twos[i].name, 2, &twos[i], call2);
    if (rc == SQLITE_OK)
        rc = sqlite3_create_function_v2(db, "lw_class", CLASS_ARGS, PURE, NULL, fn_class, NULL,
                                        NULL, NULL);
    if (rc == SQLITE_OK)
        rc = sqlite3_create_function_v2(db, "lw_class_other", CLASS_ARGS, PURE, NULL,
                                        fn_class_other, NULL, NULL, NULL);
    return rc;
}
