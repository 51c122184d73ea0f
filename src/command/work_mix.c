/* work_mix.c - work mix, dilute, ratio and fill: amounts by mass balance, never by adding litres.
 */
#include "text/base.h"

#include "command/work.h"
#include "physics/constants.h"
#include "physics/ethanol_water.h"
#include "physics/vapour.h"
#include "text/utf8.h"

static const double grams_per_kg = 1000.0, percent = 100.0;

static void put_balance(struct work *w)
{
    answer_formula(w, "mass balance of ethanol and water; volumes from " EW_FORMULA_NAME,
                   "conservation of mass; OIML R 22", "0 to 100 %, litres at 20 degC");
    answer_caution(w, "holds for ethanol and water only; litres do not add up, so weigh, or fill "
                      "up to the final volume after it has cooled");
}

static void put_mix(struct work *w, const struct ew_mix *m)
{
#define FIELD(f) (m->reason == NULL ? phys_ok(m->f) : phys_none(m->reason))
    answer_value(w, "strength_vol_percent", "by volume at 20 degC", "%vol", FIELD(vol_percent));
    answer_value(w, "strength_mass_percent", "by mass", "%mas", FIELD(mass_fraction * percent));
    answer_value(w, "us_proof", "US proof", "proof",
                 m->reason == NULL ? ew_us_proof_from_mass_fraction(m->mass_fraction)
                                   : phys_none(m->reason));
    answer_value(w, "final_mass_kg", "mass", "kg", FIELD(mass_kg));
    answer_value(w, "final_volume_l", "volume at 20 degC", "L", FIELD(volume_20_l));
    answer_value(w, "parts_volume_l", "volumes of the parts", "L", FIELD(parts_volume_20_l));
    answer_value(w, "contraction_l", "lost by contraction", "L", FIELD(contraction_l));
    answer_value(w, "ethanol_kg", "ethanol in it", "kg", FIELD(ethanol_kg));
    answer_value(w, "water_kg", "water in it", "kg", FIELD(water_kg));
#undef FIELD
}

static bool part_mass(struct work *w, const struct part *p, double at_c, struct phys_value *mass)
{
    if (!p->is_strength)
        return arg_refuse(w,
                          "mix takes strengths and water; lotward work flash takes other liquids",
                          "'%s' is not a strength of ethanol", p->what);
    *mass = p->amount.dim == DIM_MASS
                ? phys_ok(p->amount.value / grams_per_kg)
                : ew_mass_kg(p->amount.value, p->strength.mass_fraction, at_c);
    return true;
}

bool work_mix(struct work *w)
{
    struct ew_part parts[EW_MIX_PARTS_MAX];
    size_t count = 0;
    struct ew_mix mix;
    double at_c;

    if (!arg_option(w, "at", DIM_TEMPERATURE, PHYS_REFERENCE_C, &at_c))
        return false;
    if (w->s->name_count - 1 > EW_MIX_PARTS_MAX)
        return arg_refuse(w, NULL, "at most %u parts", EW_MIX_PARTS_MAX);
    for (size_t i = 1; i < w->s->name_count; i++) {
        struct part p;
        struct phys_value mass = phys_none(PHYS_NOT_A_NUMBER);
        bool ok = arg_part(w, w->s->names[i], &p) && part_mass(w, &p, at_c, &mass);

        if (ok)
            parts[count++] = (struct ew_part){mass.value, p.strength.mass_fraction};
        part_free(&p);
        if (!ok)
            return false;
        if (!phys_has(mass)) {
            answer_value(w, "strength_vol_percent", "strength by volume", "%vol", mass);
            answer_value(w, "final_volume_l", "volume at 20 degC", "L", mass);
            put_balance(w);
            return true;
        }
    }
    mix = ew_mix_parts(parts, count);
    answer_number(w, "temperature_c", "litres read at", "degC", at_c);
    put_mix(w, &mix);
    put_balance(w);
    return true;
}

static bool dilution_amount(struct work *w, struct quantity *q, bool *have)
{
    bool want = arg_given(w, "want");

    *have = arg_given(w, "have");
    if (*have == want)
        return arg_refuse(w,
                          "type --have and what you have of the stronger one, or --want and "
                          "what you want of the weaker one",
                          "one of --have and --want is needed");
    return arg_quantity(w, want ? "--want" : "--have",
                        option_text(&w->s->options, want ? "want" : "have"), DIM_AMOUNT, q);
}

bool work_dilute(struct work *w)
{
    struct strength from, to;
    struct quantity q;
    struct ew_dilution d;
    bool have;
    double a, b;

    if (!arg_strength_option(w, "from", &from) || !arg_strength_option(w, "to", &to) ||
        !dilution_amount(w, &q, &have))
        return false;
    a = from.vol_percent;
    b = to.vol_percent;
    if (q.dim == DIM_MASS)
        d = have ? ew_dilute_have_kg(a, b, q.value / grams_per_kg)
                 : ew_dilute_want_kg(a, b, q.value / grams_per_kg);
    else
        d = have ? ew_dilute_have_l(a, b, q.value) : ew_dilute_want_l(a, b, q.value);
    answer_number(w, "from_vol_percent", "from", "%vol", a);
    answer_number(w, "strength_vol_percent", "to", "%vol", b);
#define FIELD(f) (d.reason == NULL ? phys_ok(d.f) : phys_none(d.reason))
    answer_value(w, "stock_kg", "take of the stronger", "kg", FIELD(stock_kg));
    answer_value(w, "stock_l", "  which is, at 20 degC", "L", FIELD(stock_l));
    answer_value(w, "water_to_add_kg", "add water", "kg", FIELD(water_kg));
    answer_value(w, "water_to_add_l", "  which is, at 20 degC", "L", FIELD(water_l));
    answer_value(w, "final_mass_kg", "makes", "kg", FIELD(product_kg));
    answer_value(w, "final_volume_l", "  which is, at 20 degC", "L", FIELD(product_l));
    answer_value(w, "contraction_l", "lost by contraction", "L", FIELD(contraction_l));
#undef FIELD
    put_balance(w);
    return true;
}

/* "1:5", "1:2.5", "1 : 10" */
static bool read_ratio(struct work *w, double *parts)
{
    static const char hint[] = "type 1:5 for five parts of solvent to one of material";
    const double most = 1000.0;
    const char *text = option_text(&w->s->options, "ratio");
    struct number one, many;
    const char *p;

    if (text == NULL)
        return arg_refuse(w, hint, "--ratio is needed");
    one = number_parse(text, NUMBER_POINT);
    p = text + one.len;
    while (ascii_space((unsigned char)*p))
        p++;
    if (one.status == NUMBER_OK && one.value == 1.0 && *p == ':') {
        p++;
        many = number_parse(p, NUMBER_POINT);
        if (many.status == NUMBER_OK && p[many.len] == '\0' && many.value > 0 &&
            many.value <= most) {
            *parts = many.value;
            return true;
        }
    }
    return arg_refuse(w, hint, "--ratio: '%s' is not 1:N", text);
}

/* The weakest the steep can become, when fresh material gives all its water. */
static void put_moisture(struct work *w, double spirit_kg, const struct strength *s,
                         double material_kg, double moisture)
{
    struct ew_mix m =
        ew_mix_fresh_material(spirit_kg, s->mass_fraction, material_kg, moisture / percent);

    answer_number(w, "moisture_percent", "water in the material", "percent", moisture);
    answer_value(w, "water_from_material_kg", "water it can bring in", "kg",
                 phys_ok(material_kg * moisture / percent));
    answer_value(w, "weakest_vol_percent", "solvent weakest at", "%vol",
                 m.reason == NULL ? phys_ok(m.vol_percent) : phys_none(m.reason));
    answer_value(w, "weakest_mass_percent", "  by mass", "%mas",
                 m.reason == NULL ? phys_ok(m.mass_fraction * percent) : phys_none(m.reason));
    answer_caution(w, "weakest: as if the material gave all its water; the true strength lies "
                      "between that and that of the solvent");
}

bool work_ratio(struct work *w)
{
    struct strength s;
    struct phys_value kg, litres;
    double material_g, parts = 0, moisture;
    const char *basis = option_text(&w->s->options, "basis");
    bool by_mass = str_eq(basis, "mass");

    if (!arg_needed(w, "material", DIM_MASS, &material_g) || !read_ratio(w, &parts) ||
        !arg_strength_option(w, "solvent", &s) || !arg_percent(w, "moisture", -1.0, &moisture))
        return false;
    if (basis == NULL)
        return arg_refuse(w,
                          "type --basis mass (g of solvent to g) or --basis mass-volume (mL to g)",
                          "--basis is needed");
    if (by_mass) {
        kg = phys_ok(material_g * parts / grams_per_kg);
        litres = ew_volume_l(kg.value, s.mass_fraction, PHYS_REFERENCE_C);
    } else {
        litres = phys_ok(material_g * parts / grams_per_kg); /* mL a gram = L a kilogram */
        kg = ew_mass_kg(litres.value, s.mass_fraction, PHYS_REFERENCE_C);
    }
    answer_number(w, "material_kg", "material", "kg", material_g / grams_per_kg);
    answer_number(w, "strength_vol_percent", "solvent", "%vol", s.vol_percent);
    answer_value(w, "solvent_kg", "weigh in of it", "kg", kg);
    answer_value(w, "solvent_l", "  which is, at 20 degC", "L", litres);
    if (arg_given(w, "moisture") && phys_has(kg))
        put_moisture(w, kg.value, &s, material_g / grams_per_kg, moisture);
    answer_formula(w,
                   by_mass ? "solvent mass = N x material mass"
                           : "solvent volume at 20 degC = N mL for each g of material",
                   by_mass ? "1:N by mass, common practice"
                           : "1:N mass to volume (w/v), common practice; some pharmacopoeias "
                             "count the volume of the finished tincture instead",
                   "N more than 0, at most 1000");
    answer_formula(w, EW_FORMULA_NAME, "OIML R 22", "0 to 100 %, 20 degC");
    answer_caution(w, "1:5 means different amounts on the two bases: write the basis beside the "
                      "ratio. Weighing does not depend on the temperature, measuring does");
    return true;
}

bool work_fill(struct work *w)
{
    struct strength s;
    double filled_c, warmest_c, glass = 0;
    struct phys_value boil;

    if (!arg_strength_option(w, "strength", &s) ||
        !arg_needed(w, "filled-at", DIM_TEMPERATURE, &filled_c) ||
        !arg_needed(w, "warmest", DIM_TEMPERATURE, &warmest_c) || !arg_glass(w, "none", &glass))
        return false;
    answer_number(w, "strength_vol_percent", "strength", "%vol", s.vol_percent);
    answer_number(w, "filled_at_c", "filled at", "degC", filled_c);
    answer_number(w, "warmest_c", "warmest later", "degC", warmest_c);
    answer_value(w, "greatest_fill_percent", "greatest fill", "percent",
                 ew_greatest_fill_percent(s.mass_fraction, filled_c, warmest_c, glass));
    answer_value(w, "volume_ratio", "the liquid grows to", "times its volume",
                 ew_volume_ratio(s.mass_fraction, filled_c, warmest_c));
    answer_side(w, "expansion_per_k", "cubic expansion", "per K",
                ew_expansion_per_k(s.mass_fraction, filled_c));
    boil = vap_boiling_point_c(s.mole_fraction, PHYS_ATM_KPA);
    answer_side(w, "transport_fill_percent", "for carriage, at 15 degC", "percent",
                phys_has(boil) ? ew_transport_fill_percent(boil.value) : boil);
    answer_formula(w, "fill = density when warmest / density when filled", EW_FORMULA_NAME,
                   "-20 to 40 degC, not below the freezing line");
    answer_formula(w, "degree of filling by boiling point",
                   "UN Model Regulations and ADR 4.1.1.4, option (a)", "at 15 degC");
    answer_caution(w, "the vessel is just full of liquid when warmest: no safety margin is in the "
                      "figure. Below freezing, ice needs more room than is counted here");
    return true;
}
