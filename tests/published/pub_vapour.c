/* Vapour pressure, vapour-liquid equilibrium and headspace against published tables. */
#include "published.h"

#include <math.h>
#include <string.h>

#include "physics/constants.h"
#include "physics/ethanol_water.h"
#include "physics/flash.h"
#include "physics/vapour.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))
#define KPA_PER_MMHG 0.133322387415

static struct pub_point point(double published, double computed)
{
    return (struct pub_point){published, computed, 0};
}

static double x_of_vol(double vol_percent)
{
    double p = ew_mass_fraction_from_vol_percent(vol_percent).value;
    return ew_mole_fraction_from_mass_fraction(p).value;
}

static struct pub_point pure(const struct pub_table *t, size_t r)
{
    struct phys_value v = strcmp(t->cell[r][0], "water") == 0 ? vap_water_kpa(t->number[r][1])
                                                              : vap_ethanol_kpa(t->number[r][1]);
    return point(t->number[r][2], v.value);
}

static struct pub_point ict(const struct pub_table *t, size_t r)
{
    return point(t->number[r][1], vap_ethanol_kpa(t->number[r][0]).value / KPA_PER_MMHG);
}

static struct pub_point bubble_t(const struct pub_table *t, size_t r)
{
    return point(t->number[r][2], vap_bubble_point(t->number[r][0], PHYS_ATM_KPA).temp_c);
}

static struct pub_point bubble_y(const struct pub_table *t, size_t r)
{
    return point(t->number[r][1],
                 vap_bubble_point(t->number[r][0], PHYS_ATM_KPA).vapour_mole_fraction);
}

static struct pub_point total_30(const struct pub_table *t, size_t r)
{
    return point(t->number[r][2], vap_total_kpa(t->number[r][0], 30).value);
}

static struct pub_point y_30(const struct pub_table *t, size_t r)
{
    return point(t->number[r][1], vap_ethanol_partial_kpa(t->number[r][0], 30).value /
                                      vap_total_kpa(t->number[r][0], 30).value);
}

static struct pub_point total_50(const struct pub_table *t, size_t r)
{
    return point(t->number[r][1], vap_total_kpa(t->number[r][0], 50).value);
}

static struct pub_point partial_25(const struct pub_table *t, size_t r)
{
    double x = ew_mole_fraction_from_mass_fraction(t->number[r][0]).value;
    return point(t->number[r][2], vap_ethanol_partial_kpa(x, 25).value / KPA_PER_MMHG);
}

static struct pub_point total_25(const struct pub_table *t, size_t r)
{
    double x = ew_mole_fraction_from_mass_fraction(t->number[r][0]).value;
    return point(t->number[r][3], vap_total_kpa(x, 25).value / KPA_PER_MMHG);
}

static struct pub_point headspace(const struct pub_table *t, size_t r)
{
    double x = x_of_vol(t->number[r][0]);
    return point(t->number[r][2],
                 vap_headspace_vol_percent(x, t->number[r][1], PHYS_ATM_KPA).value);
}

/* --- single values ---------------------------------------------------------------------------- */

static double wagner_20(void)
{
    return 1000 * vap_ethanol_kpa(20).value;
}
static double wagner_25(void)
{
    return 1000 * vap_ethanol_kpa(25).value;
}
static double wagner_m20(void)
{
    return 1000 * vap_ethanol_kpa(-20).value;
}
static double wagner_40(void)
{
    return 1000 * vap_ethanol_kpa(40).value;
}
static double water_25(void)
{
    return 1000 * vap_water_kpa(25).value;
}
static double water_100(void)
{
    return 1000 * vap_water_kpa(100).value;
}
static double g1_05(void)
{
    return vap_gamma_ethanol(0.5, 25).value;
}
static double g2_05(void)
{
    return vap_gamma_water(0.5, 25).value;
}
static double g1_08(void)
{
    return vap_gamma_ethanol(0.8, 20).value;
}
static double g2_08(void)
{
    return vap_gamma_water(0.8, 20).value;
}

/* The mole fraction at which vapour and liquid agree, by halving. */
static double azeotrope_x(void)
{
    double low = 0.7, high = 0.99;
    for (int i = 0; i < 60; i++) {
        double x = (low + high) / 2;
        if (vap_bubble_point(x, PHYS_ATM_KPA).vapour_mole_fraction > x)
            low = x;
        else
            high = x;
    }
    return low;
}
static double azeotrope_t(void)
{
    return vap_bubble_point(azeotrope_x(), PHYS_ATM_KPA).temp_c;
}
static double boiling(void)
{
    return vap_boiling_point_c(1, PHYS_ATM_KPA).value;
}
static double ppm_20(void)
{
    return vap_mg_m3_from_ppm(1000, PHYS_ETHANOL_G_MOL, 20).value;
}
static double ppm_25(void)
{
    return vap_mg_m3_from_ppm(1000, PHYS_ETHANOL_G_MOL, 25).value;
}
static double heavy(double temp_c)
{
    return vap_relative_density(vap_headspace_vol_percent(1, temp_c, PHYS_ATM_KPA).value).value;
}
static double heavy_20(void)
{
    return heavy(20);
}
static double heavy_25(void)
{
    return heavy(25);
}
static double lel_cold(void)
{
    return flash_lel_vol_percent(FLASH_LEL_US, -20).value;
}
static double lel_warm(void)
{
    return flash_lel_vol_percent(FLASH_LEL_US, 40).value;
}
static double lftl(void)
{
    return flash_flammable_band(1, FLASH_LEL_US, FLASH_UEL, PHYS_ATM_KPA).lower_c.value;
}
static double uftl(void)
{
    return flash_flammable_band(1, FLASH_LEL_US, FLASH_UEL, PHYS_ATM_KPA).upper_c.value;
}

/* % vol at which the model with 12 degC for pure ethanol passes temp_c, by halving. */
static double vol_at(double temp_c)
{
    double low = 4, high = 100;
    for (int i = 0; i < 60; i++) {
        double vol = (low + high) / 2;
        if (flash_ethanol_water_model_c(x_of_vol(vol), FLASH_PURE_CAUTIOUS_C).value > temp_c)
            low = vol;
        else
            high = vol;
    }
    return low;
}
static double vol_23(void)
{
    return vol_at(23);
}
static double vol_22(void)
{
    return vol_at(22.8);
}
static double vol_37(void)
{
    return vol_at(37.8);
}
static double vol_60(void)
{
    return vol_at(60);
}

static const struct pub_example CHECKS[] = {
    {"wagner-20c-pa", wagner_20},
    {"wagner-25c-pa", wagner_25},
    {"wagner-minus20c-pa", wagner_m20},
    {"wagner-40c-pa", wagner_40},
    {"dippr-water-25c-pa", water_25},
    {"dippr-water-100c-pa", water_100},
    {"gamma1-0.5-25c", g1_05},
    {"gamma2-0.5-25c", g2_05},
    {"gamma1-0.8-20c", g1_08},
    {"gamma2-0.8-20c", g2_08},
    {"azeotrope-x", azeotrope_x},
    {"azeotrope-temp-c", azeotrope_t},
    {"boiling-absolute-c", boiling},
    {"ppm-1000-20c-mg", ppm_20},
    {"ppm-1000-25c-mg", ppm_25},
    {"relative-density-20c", heavy_20},
    {"relative-density-25c", heavy_25},
    {"lel-33-minus20", lel_cold},
    {"lel-33-40", lel_warm},
    {"lftl-33-absolute", lftl},
    {"uftl-absolute", uftl},
    {"vol-at-23c-model", vol_23},
    {"vol-at-22.8c-model", vol_22},
    {"vol-at-37.8c-model", vol_37},
    {"vol-at-60c-model", vol_60},
};

static struct pub_point checks(const struct pub_table *t, size_t r)
{
    return (struct pub_point){
        t->number[r][1], pub_example_value(CHECKS, COUNT(CHECKS), t->cell[r][0]), t->number[r][2]};
}

const struct pub_check pub_vapour_checks[] = {
    {"vapour_pure.csv", "vapour pressure", "%", pure, 0, 0.2, false},
    {"vapour_ict.csv", "vapour pressure of ethanol", "%", ict, 1, 2.5, false},
    {"vle_760mmhg_rt49.csv", "boiling point", "K", bubble_t, 0.3, 0.7, false},
    {"vle_760mmhg_rt49.csv", "vapour mole fraction", "", bubble_y, 0.012, 0.031, false},
    {"vle_101kpa_cl32.csv", "boiling point", "K", bubble_t, 0.3, 0.9, false},
    {"vle_101kpa_cl32.csv", "vapour mole fraction", "", bubble_y, 0.012, 0.015, false},
    {"vle_30c_pm78.csv", "total pressure", "%", total_30, 0.8, 2, false},
    {"vle_30c_pm78.csv", "vapour mole fraction", "", y_30, 0.006, 0.017, false},
    {"vle_50c_wich07.csv", "total pressure", "%", total_50, 1.0, 2.9, false},
    {"vle_25c_yang79.csv", "partial pressure of ethanol", "%", partial_25, 6, 11, false},
    {"vle_25c_yang79.csv", "total pressure", "%", total_25, 2.5, 4, false},
    {"headspace.csv", "headspace", "vol %", headspace, 0, 0.02, false},
    {"vapour_checks.csv", "single values", "", checks, 0, 0, false},
    {NULL, NULL, NULL, NULL, 0, 0, false},
};
