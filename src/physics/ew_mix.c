/* Mixing and dilution by mass balance, filling, excise units. */
#include "text/base.h"

#include "physics/ew_internal.h"

#define L_PER_M3 1000.0
#define DERIVATIVE_STEP_K                                                                          \
    0.01 /* central difference; truncation far below the formula's rounding                        \
          */

/* UN Model Regulations / ADR 4.1.1.4, option (a): boiling point from, degC -> % of capacity. */
static const struct {
    double below_c;
    double fill_percent;
} CARRIAGE_FILL[] = {{60, 90}, {100, 92}, {200, 94}, {300, 96}, {HUGE_VAL, 98}};

struct phys_value ew_mass_kg(double volume_l, double mass_fraction, double temp_c)
{
    struct phys_value rho = ew_density_kg_m3(mass_fraction, temp_c);
    if (!isfinite(volume_l))
        return phys_none(PHYS_NOT_A_NUMBER);
    if (volume_l < 0)
        return phys_none(EW_REASON_NEGATIVE);
    return phys_has(rho) ? phys_ok(volume_l * rho.value / L_PER_M3) : rho;
}

struct phys_value ew_volume_l(double mass_kg, double mass_fraction, double temp_c)
{
    struct phys_value rho = ew_density_kg_m3(mass_fraction, temp_c);
    if (!isfinite(mass_kg))
        return phys_none(PHYS_NOT_A_NUMBER);
    if (mass_kg < 0)
        return phys_none(EW_REASON_NEGATIVE);
    return phys_has(rho) ? phys_ok(mass_kg * L_PER_M3 / rho.value) : rho;
}

struct phys_value ew_volume_ratio(double mass_fraction, double temp_from_c, double temp_to_c)
{
    struct phys_value from = ew_density_kg_m3(mass_fraction, temp_from_c);
    struct phys_value to = ew_density_kg_m3(mass_fraction, temp_to_c);
    if (!phys_has(from))
        return from;
    return phys_has(to) ? phys_ok(from.value / to.value) : to;
}

struct phys_value ew_expansion_per_k(double mass_fraction, double temp_c)
{
    struct phys_value rho = ew_density_kg_m3(mass_fraction, temp_c);
    if (!phys_has(rho))
        return rho;
    /* The polynomial is smooth across the ends of its range, so the step may pass them. */
    const double slope = (ew_rho(mass_fraction, temp_c + DERIVATIVE_STEP_K) -
                          ew_rho(mass_fraction, temp_c - DERIVATIVE_STEP_K)) /
                         (2 * DERIVATIVE_STEP_K);
    return phys_ok(-slope / rho.value);
}

/* --- mixing ---------------------------------------------------------------------------------- */

static struct ew_mix mix_none(const char *reason)
{
    const double none = (double)NAN;
    return (struct ew_mix){none, none, none, none, none, none, none, none, reason};
}

struct ew_mix ew_mix_parts(const struct ew_part *parts, size_t count)
{
    if (parts == NULL || count == 0 || count > EW_MIX_PARTS_MAX)
        return mix_none("a mixture has 1 to 64 parts");
    struct ew_mix mix = {0, 0, 0, 0, 0, 0, 0, 0, NULL};
    for (size_t i = 0; i < count; i++) {
        struct phys_value volume =
            ew_volume_l(parts[i].mass_kg, parts[i].mass_fraction, PHYS_REFERENCE_C);
        if (!phys_has(volume))
            return mix_none(volume.reason);
        mix.mass_kg += parts[i].mass_kg;
        mix.ethanol_kg += parts[i].mass_kg * parts[i].mass_fraction;
        mix.water_kg += parts[i].mass_kg * (1 - parts[i].mass_fraction);
        mix.parts_volume_20_l += volume.value;
    }
    if (mix.mass_kg <= 0)
        return mix_none("the parts have no mass");
    mix.mass_fraction = fmin(mix.ethanol_kg / mix.mass_kg, 1);
    mix.vol_percent = ew_vol20(mix.mass_fraction);
    mix.volume_20_l = mix.mass_kg * L_PER_M3 / ew_rho(mix.mass_fraction, PHYS_REFERENCE_C);
    mix.contraction_l = mix.parts_volume_20_l - mix.volume_20_l;
    return mix;
}

struct ew_mix ew_mix_fresh_material(double spirit_kg, double mass_fraction, double material_kg,
                                    double moisture_fraction)
{
    if (!isfinite(material_kg) || !isfinite(moisture_fraction))
        return mix_none(PHYS_NOT_A_NUMBER);
    if (moisture_fraction < 0 || moisture_fraction > 1)
        return mix_none("a moisture content is outside 0 to 1");
    const struct ew_part parts[] = {{spirit_kg, mass_fraction},
                                    {material_kg * moisture_fraction, 0.0}};
    return ew_mix_parts(parts, sizeof parts / sizeof parts[0]);
}

static struct ew_dilution dilution_none(const char *reason)
{
    const double none = (double)NAN;
    return (struct ew_dilution){none, none, none, none, none, none, none, reason};
}

/* Fills a dilution of stock_kg; the strengths are % vol. */
static struct ew_dilution dilute(double from, double to, double stock_kg)
{
    const double p_from = ew_mass_fraction_from_vol_percent(from).value;
    const double p_to = ew_mass_fraction_from_vol_percent(to).value;
    struct ew_dilution d = {0, 0, 0, 0, 0, 0, 0, NULL};
    d.stock_kg = stock_kg;
    d.stock_l = stock_kg * L_PER_M3 / ew_rho(p_from, PHYS_REFERENCE_C);
    d.product_kg = stock_kg * p_from / p_to;
    d.product_l = d.product_kg * L_PER_M3 / ew_rho(p_to, PHYS_REFERENCE_C);
    d.water_kg = d.product_kg - stock_kg;
    d.water_l = d.water_kg * L_PER_M3 / ew_rho(0, PHYS_REFERENCE_C);
    d.contraction_l = d.stock_l + d.water_l - d.product_l;
    return d;
}

static const char *dilution_refusal(double from, double to, double quantity)
{
    if (!isfinite(from) || !isfinite(to) || !isfinite(quantity))
        return PHYS_NOT_A_NUMBER;
    if (from < 0 || from > 100 || to < 0 || to > 100)
        return EW_REASON_VOL;
    if (to == 0)
        return "nothing can be diluted to 0 % vol";
    if (to > from)
        return "water cannot make it stronger";
    return quantity < 0 ? EW_REASON_NEGATIVE : NULL;
}

struct ew_dilution ew_dilute_have_kg(double from_vol_percent, double to_vol_percent, double have_kg)
{
    const char *refusal = dilution_refusal(from_vol_percent, to_vol_percent, have_kg);
    if (refusal != NULL)
        return dilution_none(refusal);
    return dilute(from_vol_percent, to_vol_percent, have_kg);
}

struct ew_dilution ew_dilute_want_kg(double from_vol_percent, double to_vol_percent, double want_kg)
{
    const char *refusal = dilution_refusal(from_vol_percent, to_vol_percent, want_kg);
    if (refusal != NULL)
        return dilution_none(refusal);
    const double p_from = ew_mass_fraction_from_vol_percent(from_vol_percent).value;
    const double p_to = ew_mass_fraction_from_vol_percent(to_vol_percent).value;
    return dilute(from_vol_percent, to_vol_percent, want_kg * p_to / p_from);
}

struct ew_dilution ew_dilute_have_l(double from_vol_percent, double to_vol_percent, double have_l)
{
    const char *refusal = dilution_refusal(from_vol_percent, to_vol_percent, have_l);
    if (refusal != NULL)
        return dilution_none(refusal);
    const double p_from = ew_mass_fraction_from_vol_percent(from_vol_percent).value;
    return dilute(from_vol_percent, to_vol_percent,
                  have_l * ew_rho(p_from, PHYS_REFERENCE_C) / L_PER_M3);
}

struct ew_dilution ew_dilute_want_l(double from_vol_percent, double to_vol_percent, double want_l)
{
    const char *refusal = dilution_refusal(from_vol_percent, to_vol_percent, want_l);
    if (refusal != NULL)
        return dilution_none(refusal);
    const double p_to = ew_mass_fraction_from_vol_percent(to_vol_percent).value;
    return ew_dilute_want_kg(from_vol_percent, to_vol_percent,
                             want_l * ew_rho(p_to, PHYS_REFERENCE_C) / L_PER_M3);
}

/* --- filling ---------------------------------------------------------------------------------- */

struct phys_value ew_greatest_fill_percent(double mass_fraction, double filled_at_c,
                                           double warmest_c, double glass_per_k)
{
    struct phys_value ratio = ew_volume_ratio(mass_fraction, warmest_c, filled_at_c);
    if (!isfinite(glass_per_k))
        return phys_none(PHYS_NOT_A_NUMBER);
    if (!phys_has(ratio))
        return ratio;
    if (warmest_c < filled_at_c)
        return phys_none("the warmest temperature is below the filling temperature");
    if (glass_per_k < 0)
        return phys_none("the expansion of the vessel is below zero");
    const double percent = 100 * ratio.value * (1 + glass_per_k * (warmest_c - filled_at_c));
    return phys_ok(fmin(percent, 100));
}

struct phys_value ew_transport_fill_percent(double boiling_point_c)
{
    if (!isfinite(boiling_point_c))
        return phys_none(PHYS_NOT_A_NUMBER);
    size_t i = 0;
    while (boiling_point_c >= CARRIAGE_FILL[i].below_c)
        i++;
    return phys_ok(CARRIAGE_FILL[i].fill_percent);
}

/* --- excise units ----------------------------------------------------------------------------- */

struct phys_value ew_laa_l_from_mass(double mass_kg, double mass_fraction)
{
    struct phys_value volume = ew_volume_l(mass_kg, mass_fraction, PHYS_REFERENCE_C);
    if (!phys_has(volume))
        return volume;
    return phys_ok(mass_kg * mass_fraction * L_PER_M3 / ew_rho(1, PHYS_REFERENCE_C));
}

struct phys_value ew_laa_l_from_volume(double volume_l, double mass_fraction, double temp_c)
{
    struct phys_value mass = ew_mass_kg(volume_l, mass_fraction, temp_c);
    return phys_has(mass) ? ew_laa_l_from_mass(mass.value, mass_fraction) : mass;
}

struct phys_value ew_wine_gallons_from_mass(double mass_kg, double mass_fraction)
{
    struct phys_value volume = ew_volume_l(mass_kg, mass_fraction, PHYS_SIXTY_F_C);
    return phys_has(volume) ? phys_ok(volume.value / PHYS_US_GALLON_L) : volume;
}

struct phys_value ew_proof_gallons_from_mass(double mass_kg, double mass_fraction)
{
    struct phys_value wine = ew_wine_gallons_from_mass(mass_kg, mass_fraction);
    struct phys_value proof = ew_us_proof_from_mass_fraction(mass_fraction);
    return phys_has(wine) ? phys_ok(wine.value * proof.value / 100) : wine;
}

struct phys_value ew_wine_gallons_from_volume(double volume_l, double mass_fraction, double temp_c)
{
    struct phys_value mass = ew_mass_kg(volume_l, mass_fraction, temp_c);
    return phys_has(mass) ? ew_wine_gallons_from_mass(mass.value, mass_fraction) : mass;
}

struct phys_value ew_proof_gallons_from_volume(double volume_l, double mass_fraction, double temp_c)
{
    struct phys_value mass = ew_mass_kg(volume_l, mass_fraction, temp_c);
    return phys_has(mass) ? ew_proof_gallons_from_mass(mass.value, mass_fraction) : mass;
}
