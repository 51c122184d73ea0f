/* work_strength.c - work strength and work reading: what a strength or a density says. */
#include "text/base.h"

#include "command/work.h"
#include "physics/constants.h"
#include "physics/ethanol_water.h"
#include "text/utf8.h"

#define R22_SOURCE                                                                                 \
    "OIML R 22; the same formula in Council Directive 76/766/EEC, Annex, 4 (coefficients checked " \
    "in three transcriptions)"
#define R22_RANGE    "0 to 100 % by mass, -20 to 40 degC, not below the freezing line"
#define LANGE_SOURCE "Lange's Handbook of Chemistry, table 5.13 (upper rows from memory)"

static const double grams_per_kg = 1000.0;

static void put_scales(struct work *w, double mass_fraction)
{
    struct ew_strength e = ew_strength_of(mass_fraction);
    const char *why = e.reason;

#define FIELD(f) (why == NULL ? phys_ok(e.f) : phys_none(why))
    answer_value(w, "strength_vol_percent", "by volume at 20 degC", "%vol", FIELD(vol_percent));
    answer_side(w, "strength_vol_percent_60f", "by volume at 60 degF", "%vol",
                FIELD(vol_percent_60f));
    answer_value(w, "strength_mass_percent", "by mass", "%mas", FIELD(mass_percent));
    answer_value(w, "us_proof", "US proof", "proof", FIELD(us_proof));
    answer_value(w, "mole_fraction", "mole fraction of ethanol", "mole fraction",
                 FIELD(mole_fraction));
    answer_side(w, "ethanol_g_l", "ethanol in 1 L at 20 degC", "g", FIELD(ethanol_g_l));
#undef FIELD
}

static void put_amount(struct work *w, const struct quantity *have, const struct strength *s,
                       double at_c)
{
    double p = s->mass_fraction;
    struct phys_value mass = have->dim == DIM_MASS ? phys_ok(have->value / grams_per_kg)
                                                   : ew_mass_kg(have->value, p, at_c);
    struct phys_value volume =
        have->dim == DIM_MASS ? ew_volume_l(mass.value, p, at_c) : phys_ok(have->value);

#define OF_MASS(call) (phys_has(mass) ? (call) : mass)
    answer_value(w, "mass_kg", "mass", "kg", mass);
    answer_value(w, "volume_l", "volume there", "L", volume);
    answer_value(w, "volume_20_l", "volume at 20 degC", "L",
                 OF_MASS(ew_volume_l(mass.value, p, PHYS_REFERENCE_C)));
    answer_value(w, "ethanol_kg", "ethanol in it", "kg", OF_MASS(phys_ok(mass.value * p)));
    answer_value(w, "water_kg", "water in it", "kg", OF_MASS(phys_ok(mass.value * (1.0 - p))));
    answer_value(w, "absolute_alcohol_l", "absolute alcohol, 20 degC", "L",
                 OF_MASS(ew_laa_l_from_mass(mass.value, p)));
    answer_value(w, "wine_gallons", "wine gallons at 60 degF", "gal-us",
                 OF_MASS(ew_wine_gallons_from_mass(mass.value, p)));
    answer_value(w, "proof_gallons", "US proof gallons", "proof gallons",
                 OF_MASS(ew_proof_gallons_from_mass(mass.value, p)));
#undef OF_MASS
    answer_formula(w, "proof gallons = wine gallons at 60 degF x proof / 100", "27 CFR 30",
                   "0 to 200 proof");
    answer_caution(w, "the excise authority decides which figure, table and rounding counts");
}

bool work_strength(struct work *w)
{
    struct strength s;
    struct quantity have;
    struct phys_value freezing;
    double at_c;

    if (!arg_strength(w, "strength", w->s->names[1], &s) ||
        !arg_option(w, "at", DIM_TEMPERATURE, PHYS_REFERENCE_C, &at_c) ||
        (arg_given(w, "have") &&
         !arg_quantity(w, "--have", option_text(&w->s->options, "have"), DIM_AMOUNT, &have)))
        return false;
    answer_text(w, "input", "typed", s.typed);
    put_scales(w, s.mass_fraction);
    answer_number(w, "temperature_c", "temperature", "degC", at_c);
    answer_value(w, "density_kg_m3", "density there", "kg/m3",
                 ew_density_kg_m3(s.mass_fraction, at_c));
    freezing = ew_freezing_point_c(s.vol_percent);
    answer_side(w, "freezing_point_c", "freezing begins at", "degC", freezing);
    if (arg_given(w, "have"))
        put_amount(w, &have, &s, at_c);
    answer_formula(w, EW_FORMULA_NAME, R22_SOURCE, R22_RANGE);
    answer_formula(w, "freezing points, linear between rows", LANGE_SOURCE,
                   "0 to 78.2 % vol; published tables differ by up to 1.5 degC");
    answer_caution(w, "holds for ethanol and water only; %s", EW_APPARENT_CAUTION);
    return true;
}

/* An alcohol hydrometer: a strength read off at a temperature that is not its own. */
static bool hydrometer(struct work *w, const struct quantity *q, double at_c, double glass,
                       struct phys_value *fraction)
{
    struct phys_value v;

    if (str_eq(q->unit, "%mas"))
        return arg_refuse(w, "type a density, %vol or proof", "no hydrometer for %%mas is known");
    if (str_eq(q->unit, "%vol")) {
        v = ew_vol_percent_from_hydrometer(q->value, at_c, glass);
        *fraction = phys_has(v) ? ew_mass_fraction_from_vol_percent(v.value) : v;
        answer_formula(w, "alcohol hydrometer graduated in % vol at 20 degC",
                       "R 22 density with the expansion of the glass", "-20 to 40 degC");
    } else {
        v = ew_us_proof_from_hydrometer(q->value, phys_c_to_f(at_c), glass);
        *fraction = phys_has(v) ? ew_mass_fraction_from_us_proof(v.value) : v;
        answer_formula(w, "proof hydrometer graduated at 60 degF", "27 CFR 30.61, Table 1",
                       "within the density formula");
    }
    return true;
}

bool work_reading(struct work *w)
{
    const char *text = w->s->names[1];
    struct quantity probe = quantity_parse(text, DIM_STRENGTH, NULL), q;
    bool is_strength = probe.status == QUANTITY_OK;
    struct phys_value fraction;
    double at_c, glass = 0;

    if (!arg_quantity(w, "reading", text, is_strength ? DIM_STRENGTH : DIM_DENSITY, &q) ||
        !arg_needed(w, "at", DIM_TEMPERATURE, &at_c) ||
        !arg_glass(w, is_strength ? "soda-lime" : "none", &glass))
        return false;
    answer_text(w, "input", "typed", text);
    answer_number(w, "temperature_c", "temperature", "degC", at_c);
    if (is_strength && !hydrometer(w, &q, at_c, glass, &fraction))
        return false;
    if (!is_strength)
        fraction = ew_mass_fraction_from_density(q.value, at_c, glass);
    answer_number(w, "glass_expansion_per_k", "expansion of the glass", "per K", glass);
    if (phys_has(fraction)) {
        put_scales(w, fraction.value);
        answer_side(w, "density_kg_m3", "true density there", "kg/m3",
                    ew_density_kg_m3(fraction.value, at_c));
        answer_side(w, "density_20_kg_m3", "density at 20 degC", "kg/m3",
                    ew_density_kg_m3(fraction.value, PHYS_REFERENCE_C));
    } else {
        answer_value(w, "strength_vol_percent", "by volume at 20 degC", "%vol", fraction);
        answer_value(w, "strength_mass_percent", "by mass", "%mas", fraction);
        answer_value(w, "us_proof", "US proof", "proof", fraction);
        answer_value(w, "mole_fraction", "mole fraction of ethanol", "mole fraction", fraction);
    }
    answer_formula(w, EW_FORMULA_NAME, R22_SOURCE, R22_RANGE);
    answer_caution(w, "%s", EW_APPARENT_CAUTION);
    if (!arg_given(w, "glass") && !is_strength)
        answer_caution(w, "the reading was taken as a true density; for a glass hydrometer or "
                          "pycnometer graduated at 20 degC add --glass soda-lime");
    return true;
}
