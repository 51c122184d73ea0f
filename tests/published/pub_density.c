/* Density, strength and mixing against published tables. */
#include "published.h"

#include "physics/constants.h"
#include "physics/ethanol_water.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static struct pub_point point(double published, struct phys_value computed)
{
    return (struct pub_point){published, computed.value, 0};
}

static double p_of_proof(double us_proof)
{
    return ew_mass_fraction_from_us_proof(us_proof).value;
}

static double rho(double mass_fraction, double temp_c)
{
    return ew_density_kg_m3(mass_fraction, temp_c).value;
}

static struct pub_point density_20c(const struct pub_table *t, size_t r)
{
    return point(t->number[r][1], ew_density_at_vol_percent_kg_m3(t->number[r][0], 20));
}

static struct pub_point density_absolute(const struct pub_table *t, size_t r)
{
    return point(t->number[r][1], ew_density_kg_m3(1, t->number[r][0]));
}

static struct pub_point density_1913(const struct pub_table *t, size_t r)
{
    return point(t->number[r][2], ew_density_kg_m3(t->number[r][0] / 100, t->number[r][1]));
}

static struct pub_point density_weak(const struct pub_table *t, size_t r)
{
    return point(t->number[r][1] * 1000, ew_density_kg_m3(t->number[r][0] / 100, 20));
}

static struct pub_point usp_weight(const struct pub_table *t, size_t r)
{
    double p = p_of_proof(2 * t->number[r][0]);
    return point(t->number[r][1], phys_ok(100 * p));
}

static struct pub_point usp_volume(const struct pub_table *t, size_t r)
{
    double proof = ew_us_proof_from_mass_fraction(t->number[r][0] / 100).value;
    return point(t->number[r][1], phys_ok(proof / 2));
}

static struct pub_point apparent(const struct pub_table *t, size_t r)
{
    double d = ew_density_at_vol_percent_kg_m3(t->number[r][0], 20).value;
    return point(t->number[r][1], ew_apparent_density_kg_m3(d));
}

static struct pub_point stock_ml(const struct pub_table *t, size_t r)
{
    /* one litre of product; the stock of that text averaged 96.3 % vol */
    struct ew_dilution d = ew_dilute_want_l(96.3, t->number[r][0], 1);
    return point(t->number[r][1], phys_ok(1000 * d.stock_l));
}

static struct pub_point water_100(const struct pub_table *t, size_t r)
{
    struct ew_dilution d = ew_dilute_have_l(95, t->number[r][0], 100);
    return point(t->number[r][1], phys_ok(d.water_l));
}

static struct pub_point freezing(const struct pub_table *t, size_t r)
{
    return point(t->number[r][1], ew_freezing_point_c(t->number[r][0]));
}

/* --- 27 CFR gauging --------------------------------------------------------------------------- */

/* True kg of one pound read in air on a balance. */
static double pound_in_air(double density_kg_m3)
{
    return ew_true_mass_kg(PHYS_POUND_KG, density_kg_m3).value;
}

static double wine_per_lb(double proof)
{
    double p = p_of_proof(proof);
    return ew_wine_gallons_from_mass(pound_in_air(rho(p, PHYS_SIXTY_F_C)), p).value;
}

static double proof_per_lb(double proof)
{
    double p = p_of_proof(proof);
    return ew_proof_gallons_from_mass(pound_in_air(rho(p, PHYS_SIXTY_F_C)), p).value;
}

/* Parts of water in 100 volumes, at 60 degF. */
static double water_parts(double proof)
{
    double p = p_of_proof(proof);
    return 100 * (1 - p) * rho(p, PHYS_SIXTY_F_C) / rho(0, PHYS_SIXTY_F_C);
}

/* Gallons of water, at 60 degF, that take 100 wine gallons from one proof to another. */
static double water_gallons(double from, double to)
{
    double p = p_of_proof(from), q = p_of_proof(to);
    return 100 * rho(p, PHYS_SIXTY_F_C) * (p / q - 1) / rho(0, PHYS_SIXTY_F_C);
}

static double g_water_lb(void)
{
    double d = rho(0, PHYS_SIXTY_F_C);
    return PHYS_US_GALLON_L / 1000 * d / pound_in_air(d);
}
static double g_wine_190(void)
{
    return wine_per_lb(190);
}
static double g_proof_190(void)
{
    return proof_per_lb(190);
}
static double g_proof_200(void)
{
    return proof_per_lb(200);
}
static double g_parts_191(void)
{
    return water_parts(191);
}
static double g_parts_188(void)
{
    return water_parts(188);
}
static double g_parts_112(void)
{
    return water_parts(112);
}
static double g_parts_100(void)
{
    return water_parts(100);
}
static double g_gravity(void)
{
    return rho(1, PHYS_SIXTY_F_C) / rho(0, PHYS_SIXTY_F_C);
}
static double g_table_7(void)
{
    return ew_volume_ratio(p_of_proof(115), 20, PHYS_SIXTY_F_C).value; /* 68 degF = 20 degC */
}
static double g_hydrometer(void)
{
    return ew_us_proof_from_hydrometer(193, 75, EW_GLASS_SODA_LIME).value;
}
static double g_reduce(void)
{
    return 1000 * (1 / p_of_proof(190) - 1);
}
static double g_wine_81000(void)
{
    return 81000 * wine_per_lb(190);
}
static double g_proof_81000(void)
{
    return 81000 * proof_per_lb(190);
}
static double g_proof_60378(void)
{
    return 60378 * proof_per_lb(190);
}
static double g_proof_321(void)
{
    return 321.5 * proof_per_lb(86);
}
static double g_112_100(void)
{
    return water_gallons(112, 100);
}
static double g_191_188(void)
{
    return water_gallons(191, 188);
}

static const struct pub_example GAUGING[] = {
    {"water-lb-per-gallon", g_water_lb},
    {"wine-gallons-per-lb-190", g_wine_190},
    {"proof-gallons-per-lb-190", g_proof_190},
    {"proof-gallons-per-lb-200", g_proof_200},
    {"water-parts-191", g_parts_191},
    {"water-parts-188", g_parts_188},
    {"water-parts-112", g_parts_112},
    {"water-parts-100", g_parts_100},
    {"specific-gravity-absolute", g_gravity},
    {"table-7-115-proof-68f", g_table_7},
    {"hydrometer-193-at-75f", g_hydrometer},
    {"water-lb-1000lb-200-to-190", g_reduce},
    {"wine-gallons-81000lb-190", g_wine_81000},
    {"proof-gallons-81000lb-190", g_proof_81000},
    {"proof-gallons-60378lb-190", g_proof_60378},
    {"proof-gallons-321.5lb-86", g_proof_321},
    {"water-gallons-112-to-100", g_112_100},
    {"water-gallons-191-to-188", g_191_188},
};

static struct pub_point gauging(const struct pub_table *t, size_t r)
{
    return (struct pub_point){t->number[r][1],
                              pub_example_value(GAUGING, COUNT(GAUGING), t->cell[r][0]),
                              t->number[r][2]};
}

const struct pub_check pub_density_checks[] = {
    {"density_20c.csv", "density at 20 degC", "kg/m3", density_20c, 0, 0.0051, false},
    {"density_absolute.csv", "density of absolute ethanol", "kg/m3", density_absolute, 0, 0.0051,
     false},
    {"density_1913.csv", "density", "kg/m3", density_1913, 0.06, 0.15, false},
    {"density_weak.csv", "density", "kg/m3", density_weak, 0.04, 0.06, false},
    {"usp_weight_from_volume.csv", "% by weight", "% mass", usp_weight, 0, 0.006, false},
    {"usp_volume_from_weight.csv", "% by volume", "% vol", usp_volume, 0, 0.006, false},
    {"dilute_ethanols_density.csv", "apparent density", "kg/m3", apparent, 0, 0.1, false},
    {"dilute_ethanols_volume.csv", "stock for 1 L", "mL", stock_ml, 0, 1, false},
    {"water_per_100_of_95.csv", "water to add", "%", water_100, 0.2, 0.5, false},
    {"freezing.csv", "freezing point", "degC", freezing, 1.0, 2.5, false},
    {"gauging.csv", "US gauging", "", gauging, 0, 0, false},
    {"mixing.csv", "mixing and instruments", "", pub_mixing_point, 0, 0, false},
    {NULL, NULL, NULL, NULL, 0, 0, false},
};
