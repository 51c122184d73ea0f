/* Mixing, instruments, filling and excise units against worked examples. */
#include "published.h"

#include "physics/constants.h"
#include "physics/ethanol_water.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static double p_of_vol(double vol_percent)
{
    return ew_mass_fraction_from_vol_percent(vol_percent).value;
}

static double rho(double mass_fraction, double temp_c)
{
    return ew_density_kg_m3(mass_fraction, temp_c).value;
}

static double dac_80(void)
{
    return ew_dilute_want_kg(96, 80, 0.1).stock_kg * 1000;
}
static double dac_70(void)
{
    return ew_dilute_want_kg(96, 70, 0.1).stock_kg * 1000;
}
static double mass_96(void)
{
    return 100 * p_of_vol(96);
}
static double mass_70(void)
{
    return 100 * p_of_vol(70);
}

/* Alcohol USP is 92.3 to 93.8 % by weight; the label figure 94.9 to 96.0 % vol at 15.56 degC. */
static double usp_total(void)
{
    const double p = 0.93, t = 25;
    struct ew_part parts[] = {{ew_mass_kg(0.5, p, t).value, p}, {ew_mass_kg(0.5, 0, t).value, 0}};
    struct ew_mix mix = ew_mix_parts(parts, COUNT(parts));
    return 1000 * ew_volume_l(mix.mass_kg, mix.mass_fraction, t).value;
}
static double usp_vol_41(void)
{
    return ew_us_proof_from_mass_fraction(0.41).value / 2;
}
static double usp_vol_42(void)
{
    return ew_us_proof_from_mass_fraction(0.42).value / 2;
}
static double usp_sg_41(void)
{
    return rho(0.41, PHYS_SIXTY_F_C) / rho(0, PHYS_SIXTY_F_C);
}
static double usp_sg_42(void)
{
    return rho(0.42, PHYS_SIXTY_F_C) / rho(0, PHYS_SIXTY_F_C);
}

static struct ew_mix equal_volumes(double vol_percent, double each_l)
{
    double p = p_of_vol(vol_percent);
    struct ew_part parts[] = {{ew_mass_kg(each_l, p, 20).value, p},
                              {ew_mass_kg(each_l, 0, 20).value, 0}};
    return ew_mix_parts(parts, COUNT(parts));
}
static double sheet_total(void)
{
    return 1000 * equal_volumes(96, 0.05).volume_20_l;
}
static double sheet_vol(void)
{
    return equal_volumes(96, 0.05).vol_percent;
}
static double glossary_total(void)
{
    return equal_volumes(100, 100).volume_20_l;
}
static double glossary_vol(void)
{
    return equal_volumes(100, 100).vol_percent;
}
static double belgian(void)
{
    return ew_dilute_want_kg(96.2, 40, 0.1).stock_kg * 1000;
}
static double azeotrope(void)
{
    return ew_vol_percent_from_mass_fraction(0.9557).value;
}
static double uk_proof(void)
{
    /* weights in air at 51 degF; undo the buoyancy to get the density of the spirit */
    const double t = phys_f_to_c(51);
    double target = 12.0 / 13 * ew_apparent_density_kg_m3(rho(0, t)).value;
    double zero = ew_apparent_density_kg_m3(900).value, one = ew_apparent_density_kg_m3(901).value;
    double density = 900 + (target - zero) / (one - zero);
    double p = ew_mass_fraction_from_density(density, t, EW_GLASS_NONE).value;
    return ew_vol_percent_from_mass_fraction(p).value;
}
static double uk_duty(void)
{
    return ew_uk_duty_vol_percent(7.59).value;
}
static double landolt(void)
{
    return ew_ethanol_density_landolt_kg_m3(20).value;
}
static double hydro_96(void)
{
    return ew_vol_percent_from_hydrometer(96, 15, EW_GLASS_SODA_LIME).value;
}
static double hydro_70(void)
{
    return ew_vol_percent_from_hydrometer(70, 25, EW_GLASS_SODA_LIME).value;
}
static double hydro_40(void)
{
    return ew_vol_percent_from_hydrometer(40, 10, EW_GLASS_SODA_LIME).value;
}
static double laa_96(void)
{
    return ew_laa_l_from_volume(1, p_of_vol(96), 5).value;
}
static double laa_gallon(void)
{
    double p = ew_mass_fraction_from_us_proof(100).value;
    return ew_laa_l_from_volume(PHYS_US_GALLON_L, p, PHYS_SIXTY_F_C).value;
}
static double proof_96(void)
{
    return ew_us_proof_from_mass_fraction(p_of_vol(96)).value;
}
static double mass_190(void)
{
    return 100 * ew_mass_fraction_from_us_proof(190).value;
}
static double vol_80(void)
{
    return ew_vol_percent_from_mass_fraction(ew_mass_fraction_from_us_proof(80).value).value;
}
static double fill_96(void)
{
    return ew_greatest_fill_percent(p_of_vol(96), -20, 40, EW_GLASS_SODA_LIME).value;
}
static double fill_70(void)
{
    return ew_greatest_fill_percent(p_of_vol(70), 5, 40, EW_GLASS_SODA_LIME).value;
}
static double growth_96(void)
{
    return ew_volume_ratio(p_of_vol(96), -20, 40).value;
}
static double growth_70(void)
{
    return ew_volume_ratio(p_of_vol(70), -18, 20).value;
}
static double expansion_96(void)
{
    return ew_expansion_per_k(p_of_vol(96), 20).value;
}
static double expansion_0(void)
{
    return ew_expansion_per_k(0, 20).value;
}
static double liquid_20(void)
{
    return ew_least_liquid_vol_percent(-20).value;
}
static double liquid_25(void)
{
    return ew_least_liquid_vol_percent(-25).value;
}

static const struct pub_example MIXING[] = {
    {"dac-80-from-96-g-per-100g", dac_80},
    {"dac-70-from-96-g-per-100g", dac_70},
    {"mass-percent-of-96", mass_96},
    {"mass-percent-of-70", mass_70},
    {"usp-500-plus-500-total-ml", usp_total},
    {"usp-diluted-41.0-vol", usp_vol_41},
    {"usp-diluted-42.0-vol", usp_vol_42},
    {"usp-diluted-41.0-gravity", usp_sg_41},
    {"usp-diluted-42.0-gravity", usp_sg_42},
    {"worksheet-50-plus-50-total-ml", sheet_total},
    {"worksheet-50-plus-50-vol", sheet_vol},
    {"belgian-100g-of-40-from-96.2", belgian},
    {"glossary-100-plus-100-total-l", glossary_total},
    {"glossary-100-plus-100-vol", glossary_vol},
    {"azeotrope-vol", azeotrope},
    {"uk-proof-spirit-vol", uk_proof},
    {"uk-duty-7.59", uk_duty},
    {"landolt-absolute-20c", landolt},
    {"hydrometer-96-at-15c", hydro_96},
    {"hydrometer-70-at-25c", hydro_70},
    {"hydrometer-40-at-10c", hydro_40},
    {"laa-1l-96-at-5c", laa_96},
    {"laa-of-proof-gallon", laa_gallon},
    {"proof-of-96", proof_96},
    {"mass-percent-of-190-proof", mass_190},
    {"vol-of-80-proof", vol_80},
    {"fill-96-from-minus20-to-40", fill_96},
    {"fill-70-from-5-to-40", fill_70},
    {"growth-96-minus20-to-40", growth_96},
    {"growth-70-minus18-to-20", growth_70},
    {"expansion-96-at-20", expansion_96},
    {"expansion-0-at-20", expansion_0},
    {"least-liquid-minus20", liquid_20},
    {"least-liquid-minus25", liquid_25},
};

struct pub_point pub_mixing_point(const struct pub_table *t, size_t r)
{
    return (struct pub_point){t->number[r][1],
                              pub_example_value(MIXING, COUNT(MIXING), t->cell[r][0]),
                              t->number[r][2] > 0 ? t->number[r][2] : 1e-12};
}
