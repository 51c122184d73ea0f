/* work_args.c - the arguments of `lotward work`: read strictly, refused with what to type. */
#include "text/base.h"

#include "command/work.h"
#include "physics/constants.h"
#include "physics/ethanol_water.h"
#include "physics/vapour.h"
#include "text/mem.h"
#include "text/number.h"
#include "text/utf8.h"

bool arg_refuse(struct work *w, const char *hint, const char *fmt, ...)
{
    struct sbuf b = SBUF_INIT;
    va_list ap;

    va_start(ap, fmt);
    sbuf_vprintf(&b, fmt, ap);
    va_end(ap);
    if (w->name == NULL) /* lotward card */
        session_usage(w->s, hint, "%s", b.s);
    else
        session_usage(w->s, hint, "work %s: %s", w->name, b.s);
    sbuf_free(&b);
    return false;
}

bool arg_given(const struct work *w, const char *name)
{
    return option_flag(&w->s->options, name);
}

bool arg_quantity(struct work *w, const char *what, const char *text, enum dimension dim,
                  struct quantity *q)
{
    static const struct quantity_context liquid = {.liquid = true}, any = {.liquid = false};
    char hint[200];

    *q = quantity_parse(text, dim, dim == DIM_VOLUME ? &liquid : &any);
    snprintf(hint, sizeof hint, "type %s", dimension_examples(dim));
    switch (q->status) {
    case QUANTITY_OK:
        return true;
    case QUANTITY_ERROR:
        return arg_refuse(w, q->hint[0] == '\0' ? hint : q->hint, "%s: %s", what, q->why);
    case QUANTITY_APPROX:
        return arg_refuse(w, hint, "%s: '%s' is not exact enough to work with", what, text);
    case QUANTITY_MISSING:
        break;
    }
    return arg_refuse(w, hint, "%s is missing", what);
}

/* The rest of a strength from its mass fraction. */
static bool fill_strength(struct work *w, const char *what, struct phys_value mass_fraction,
                          struct strength *out)
{
    struct phys_value vol, mole;

    if (!phys_has(mass_fraction))
        return arg_refuse(w, NULL, "%s: %s", what, mass_fraction.reason);
    vol = ew_vol_percent_from_mass_fraction(mass_fraction.value);
    mole = ew_mole_fraction_from_mass_fraction(mass_fraction.value);
    if (!phys_has(vol) || !phys_has(mole))
        return arg_refuse(w, NULL, "%s: %s", what, phys_has(vol) ? mole.reason : vol.reason);
    out->mass_fraction = mass_fraction.value;
    out->vol_percent = vol.value;
    out->mole_fraction = mole.value;
    return true;
}

bool arg_strength(struct work *w, const char *what, const char *text, struct strength *out)
{
    const double percent = 100.0;
    struct quantity q;
    struct phys_value fraction;

    out->typed = text;
    if (text != NULL && ascii_casecmp(text, "water") == 0)
        return fill_strength(w, what, phys_ok(0.0), out);
    if (!arg_quantity(w, what, text, DIM_STRENGTH, &q))
        return false;
    if (str_eq(q.unit, "%mas"))
        fraction = phys_ok(q.value / percent);
    else if (str_eq(q.unit, "proof-us"))
        fraction = ew_mass_fraction_from_us_proof(q.value);
    else
        fraction = ew_mass_fraction_from_vol_percent(q.value);
    if (!fill_strength(w, what, fraction, out))
        return false;
    if (str_eq(q.unit, "%vol")) /* as typed, so that 24 %vol is not a hair more */
        out->vol_percent = q.value;
    return true;
}

bool arg_part(struct work *w, const char *text, struct part *out)
{
    const char *at = strchr(text, '@');
    struct quantity probe;
    char *amount;
    bool ok;

    *out = (struct part){0};
    if (at == NULL || at[1] == '\0')
        return arg_refuse(w, "type \"500 mL@96 %vol\", \"20 g@acetone\" or \"1 L@water\"",
                          "'%s' is not an amount, an @ and what it is", text);
    amount = mem_strndup(text, (size_t)(at - text));
    out->what = mem_strdup(at + 1);
    if (amount == NULL || out->what == NULL) {
        mem_free(amount);
        diags_out_of_memory(w->s->diags);
        return false;
    }
    ok = arg_quantity(w, "amount", amount, DIM_AMOUNT, &out->amount);
    mem_free(amount);
    if (ok && out->amount.value < 0)
        ok = arg_refuse(w, NULL, "'%s': an amount is not negative", text);
    probe = quantity_parse(out->what, DIM_STRENGTH, NULL);
    out->is_strength = probe.status != QUANTITY_ERROR || ascii_casecmp(out->what, "water") == 0 ||
                       ascii_digit(out->what[0]) || out->what[0] == '-';
    return ok && (!out->is_strength || arg_strength(w, "strength", out->what, &out->strength));
}

void part_free(struct part *p)
{
    mem_free(p->what);
    *p = (struct part){0};
}

bool arg_option(struct work *w, const char *name, enum dimension dim, double otherwise, double *out)
{
    const char *text = option_text(&w->s->options, name);
    struct quantity q;
    char what[32];

    *out = otherwise;
    if (text == NULL)
        return true;
    snprintf(what, sizeof what, "--%s", name);
    if (!arg_quantity(w, what, text, dim, &q))
        return false;
    *out = q.value;
    return true;
}

bool arg_needed(struct work *w, const char *name, enum dimension dim, double *out)
{
    char hint[200];

    if (arg_given(w, name))
        return arg_option(w, name, dim, (double)NAN, out);
    snprintf(hint, sizeof hint, "type --%s and one of: %s", name, dimension_examples(dim));
    return arg_refuse(w, hint, "--%s is needed", name);
}

bool arg_strength_option(struct work *w, const char *name, struct strength *out)
{
    const char *text = option_text(&w->s->options, name);
    char what[32], hint[200];

    snprintf(what, sizeof what, "--%s", name);
    if (text != NULL)
        return arg_strength(w, what, text, out);
    snprintf(hint, sizeof hint, "type --%s and one of: %s", name, dimension_examples(DIM_STRENGTH));
    return arg_refuse(w, hint, "--%s is needed", name);
}

bool arg_rate(struct work *w, const char *name, double *g_min)
{
    static const char hint[] = "type 5 g/min or 0.3 kg/h";
    const char *text = option_text(&w->s->options, name);
    const char *slash = text == NULL ? NULL : strrchr(text, '/');
    struct sbuf per = SBUF_INIT;
    struct quantity mass, time;
    char *amount;

    if (text == NULL)
        return arg_refuse(w, hint, "--%s is needed", name);
    if (slash == NULL)
        return arg_refuse(w, hint, "--%s: '%s' is not a mass in a time", name, text);
    amount = mem_strndup(text, (size_t)(slash - text));
    sbuf_printf(&per, "1 %s", slash + 1);
    if (amount == NULL || per.failed)
        diags_out_of_memory(w->s->diags);
    mass = quantity_parse(amount, DIM_MASS, NULL);
    time = quantity_parse(per.s, DIM_TIME, NULL);
    mem_free(amount);
    sbuf_free(&per);
    if (mass.status != QUANTITY_OK || time.status != QUANTITY_OK || time.value <= 0)
        return arg_refuse(w, hint, "--%s: '%s' is not a mass in a time", name, text);
    *g_min = mass.value / time.value;
    return true;
}

bool arg_percent(struct work *w, const char *name, double otherwise, double *out)
{
    static const char hint[] = "type a number from 0 to 100 and %: 60 %";
    const double most = 100.0;
    const char *text = option_text(&w->s->options, name);
    struct number n;
    const char *rest;

    *out = otherwise;
    if (text == NULL)
        return true;
    n = number_parse(text, NUMBER_EITHER);
    rest = text + n.len;
    while (ascii_space((unsigned char)*rest))
        rest++;
    if (n.status != NUMBER_OK || !(str_eq(rest, "%") || str_eq(rest, "percent")) || n.value < 0 ||
        n.value > most)
        return arg_refuse(w, hint, "--%s: '%s' is not a per cent", name, text);
    *out = n.value;
    return true;
}

bool arg_glass(struct work *w, const char *otherwise, double *per_k)
{
    static const struct {
        const char *name;
        double per_k;
    } glasses[] = {{"none", EW_GLASS_NONE},
                   {"soda-lime", EW_GLASS_SODA_LIME},
                   {"borosilicate", EW_GLASS_BORO}};
    const char *name = option_text(&w->s->options, "glass");

    if (name == NULL)
        name = otherwise;
    for (size_t i = 0; i < LW_COUNT(glasses); i++)
        if (str_eq(glasses[i].name, name))
            *per_k = glasses[i].per_k;
    return true;
}

bool arg_pressure(struct work *w, double *kpa)
{
    double altitude_m;
    struct phys_value p;

    if (!arg_option(w, "altitude", DIM_LENGTH, 0.0, &altitude_m))
        return false;
    *kpa = PHYS_ATM_KPA;
    if (!arg_given(w, "altitude"))
        return true;
    p = vap_pressure_at_altitude_kpa(altitude_m);
    if (!phys_has(p))
        return arg_refuse(w, "type a height from -200 m to 5000 m", "--altitude: %s", p.reason);
    *kpa = p.value;
    return true;
}
