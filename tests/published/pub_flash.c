/* Flash points, flammable band and fire classes against published values. */
#include "published.h"

#include <math.h>
#include <string.h>

#include "physics/constants.h"
#include "physics/ethanol_water.h"
#include "physics/fireclass.h"
#include "physics/flash.h"

static double x_of_vol(double vol_percent)
{
    double p = ew_mass_fraction_from_vol_percent(vol_percent).value;
    return ew_mole_fraction_from_mass_fraction(p).value;
}

/* Allowed: the uncertainty the program itself states at that strength. */
static struct pub_point stated(double vol_percent, double published, struct phys_value computed)
{
    double allowed = vol_percent < 20 ? FLASH_WEAK_PM_K : FLASH_STRONG_PM_K;
    return (struct pub_point){published, computed.value, allowed};
}

static struct pub_point list_model(const struct pub_table *t, size_t r)
{
    double vol = t->number[r][0];
    return stated(vol, t->number[r][1],
                  flash_ethanol_water_model_c(x_of_vol(vol), FLASH_PURE_US_C));
}

static struct pub_point list_itself(const struct pub_table *t, size_t r)
{
    return (struct pub_point){t->number[r][1], flash_ethanol_water_list_c(t->number[r][0]).value,
                              0};
}

static struct pub_point list_used(const struct pub_table *t, size_t r)
{
    double vol = t->number[r][0];
    return stated(vol, t->number[r][1], flash_ethanol_water_c(vol));
}

static struct pub_point other(const struct pub_table *t, size_t r)
{
    return (struct pub_point){t->number[r][1], flash_ethanol_water_c(t->number[r][0]).value, 0};
}

static struct pub_point model_13(const struct pub_table *t, size_t r)
{
    return (struct pub_point){
        t->number[r][1],
        flash_ethanol_water_model_c(x_of_vol(t->number[r][0]), FLASH_PURE_US_C).value, 0};
}

static struct pub_point model_12(const struct pub_table *t, size_t r)
{
    return (struct pub_point){
        t->number[r][2],
        flash_ethanol_water_model_c(x_of_vol(t->number[r][0]), FLASH_PURE_CAUTIOUS_C).value, 0};
}

static struct pub_point use(const struct pub_table *t, size_t r)
{
    return (struct pub_point){t->number[r][3], flash_ethanol_water_c(t->number[r][0]).value, 0};
}

static struct flash_band band(const struct pub_table *t, size_t r, double lel)
{
    return flash_flammable_band(x_of_vol(t->number[r][0]), lel, FLASH_UEL, PHYS_ATM_KPA);
}

static struct pub_point lftl_33(const struct pub_table *t, size_t r)
{
    return (struct pub_point){t->number[r][1], band(t, r, FLASH_LEL_US).lower_c.value, 0};
}

static struct pub_point lftl_31(const struct pub_table *t, size_t r)
{
    return (struct pub_point){t->number[r][2], band(t, r, FLASH_LEL_CAUTIOUS).lower_c.value, 0};
}

static struct pub_point uftl(const struct pub_table *t, size_t r)
{
    return (struct pub_point){t->number[r][3], band(t, r, FLASH_LEL_US).upper_c.value, 0};
}

/* 1 = the published class, 0 = another one. */
static struct pub_point class_of(const struct pub_table *t, size_t r)
{
    enum fire_scheme scheme;
    const char *token = t->cell[r][2];
    struct pub_point p = {1, (double)NAN, 0};
    if (!fire_scheme_from_token(token, strlen(token), &scheme))
        return p;
    struct fire_class found = fireclass_of(scheme, t->number[r][0], t->number[r][1]);
    p.computed = found.token != NULL && strcmp(found.token, t->cell[r][3]) == 0;
    return p;
}

const struct pub_check pub_flash_checks[] = {
    {"flash_list.csv", "flash point, model with 13 degC", "K", list_model, 2, 0, true},
    {"flash_list.csv", "list as carried", "K", list_itself, 0, 1e-9, false},
    {"flash_list.csv", "flash point as used", "K", list_used, 2, 0, true},
    {"flash_other.csv", "flash point as used", "K", other, 0, 6, true},
    {"flash_model.csv", "model with 13 degC", "K", model_13, 0, 0.1, false},
    {"flash_model.csv", "model with 12 degC", "K", model_12, 0, 0.1, false},
    {"flash_model.csv", "lower of model and list", "K", use, 0, 0.1, false},
    {"flammable_band.csv", "lower temperature limit, LEL 3.3", "K", lftl_33, 0, 0.1, false},
    {"flammable_band.csv", "lower temperature limit, LEL 3.1", "K", lftl_31, 0, 0.1, false},
    {"flammable_band.csv", "upper temperature limit, UEL 19", "K", uftl, 0, 0.1, false},
    {"fire_classes.csv", "fire class", "", class_of, 0, 1e-9, false},
    {NULL, NULL, NULL, NULL, 0, 0, false},
};
