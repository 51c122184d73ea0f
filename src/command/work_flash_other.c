/* work_flash_other.c - work flash of a liquid of the catalogue, and of mixtures: the cautious
 * bound.
 */
#include "text/base.h"

#include "command/work.h"
#include "physics/constants.h"
#include "physics/ethanol_water.h"
#include "physics/flash.h"
#include "text/mem.h"
#include "text/utf8.h"

static const double grams_per_kg = 1000.0;

/* --- one liquid --------------------------------------------------------------------------------
 */

/* The middle of the printed range, with half of it as uncertainty: the classes then cover it. */
static struct phys_value range_of(const struct liquid *l)
{
    const double half = 2.0;

    if (isnan(l->flash_c))
        return phys_none(
            "no flash point in the catalogue; not known does not mean that it does not burn");
    if (isnan(l->flash_high_c))
        return phys_ok(l->flash_c);
    return phys_ok_pm((l->flash_c + l->flash_high_c) / half, (l->flash_high_c - l->flash_c) / half);
}

static void put_liquid(struct work *w, const struct liquid *l)
{
    struct phys_value flash = range_of(l);
    struct sbuf b = SBUF_INIT;

    answer_text(w, "liquid", "liquid", l->name);
    answer_value(w, "flash_point_c", l->flash_floor ? "flash point, above" : "flash point, lowest",
                 "degC", phys_has(flash) ? phys_ok(l->flash_c) : flash);
    answer_side(w, "flash_uncertainty_k", NULL, "K",
                phys_has(flash) ? phys_ok(flash.uncertainty) : flash);
    if (!isnan(l->flash_high_c))
        answer_number(w, "flash_point_high_c", "  highest figure", "degC", l->flash_high_c);
    answer_side(w, "boiling_point_c", "boiling point", "degC",
                isnan(l->boil_c) ? phys_none("not in the catalogue") : phys_ok(l->boil_c));
    answer_side(w, "lel_vol_percent", "LEL in air", "vol %",
                isnan(l->lel_percent) ? phys_none("not in the catalogue")
                                      : phys_ok(l->lel_percent));
    answer_side(w, "uel_vol_percent", "UEL in air", "vol %",
                isnan(l->uel_percent) ? phys_none("not in the catalogue")
                                      : phys_ok(l->uel_percent));
    if (l->flash_source != NULL)
        sbuf_printf(&b, "%s, %s (%s)", l->flash_method == NULL ? "" : l->flash_method,
                    l->flash_source, report_sureness(l->flash_sure));
    answer_text(w, "flash_source", "flash point read in", b.s);
    if (b.failed)
        w->failed = true;
    sbuf_free(&b);
    if (l->note != NULL)
        answer_text(w, "note", "note", l->note);
    work_classes(w, flash, l->boil_c, false);
    answer_formula(w, "figures of the catalogue, nothing computed", "see the card of this liquid",
                   "the printed figures");
    answer_caution(w, "natural liquids vary from lot to lot and supplier to supplier, by 5 to 20 K "
                      "in flash point; the lot's own safety data sheet replaces these figures");
}

bool work_flash_named(struct work *w, const char *name)
{
    struct liquid l;

    if (arg_given(w, "svg"))
        return arg_refuse(w, "type a strength: \"96 %vol\"", "--svg draws strengths of ethanol");
    if (!work_liquid(w, name, &l))
        return false;
    put_liquid(w, &l);
    liquid_free(&l);
    return true;
}

/* --- mixtures ----------------------------------------------------------------------------------
 */

struct mixture {
    struct flash_part parts[FLASH_PARTS_MAX];
    double mass_g[FLASH_PARTS_MAX]; /* of the same parts */
    size_t count;
    double total_g;
    bool floor;        /* a part's flash point is only known to lie above its figure */
    bool only_ethanol; /* nothing but ethanol and water */
    double ethanol_g;
    const char *unknown; /* why there is no bound; NULL: all is known */
};

static const double ethanol_boil_c = 78.3; /* as flash.h asks for ethanol as a part */

static void add_flammable(struct mixture *m, double g, double flash_c, double boil_c)
{
    if (g <= 0)
        return;
    m->mass_g[m->count] = g;
    m->parts[m->count++] = (struct flash_part){0.0, flash_c, boil_c};
}

static void mixture_row(struct work *w, struct report_table *t, const char *name, double g,
                        struct phys_value flash, const char *source)
{
    report_cell(&w->s->report, t, name);
    answer_cell(w, t, phys_ok(g), "g");
    answer_cell(w, t, flash, "degC");
    report_cell(&w->s->report, t, source);
}

static bool add_strength(struct work *w, struct report_table *t, struct mixture *m,
                         const struct part *p)
{
    struct phys_value kg =
        p->amount.dim == DIM_MASS
            ? phys_ok(p->amount.value / grams_per_kg)
            : ew_mass_kg(p->amount.value, p->strength.mass_fraction, PHYS_REFERENCE_C);
    double g, ethanol;

    if (!phys_has(kg))
        return arg_refuse(w, NULL, "%s", kg.reason);
    g = kg.value * grams_per_kg;
    ethanol = g * p->strength.mass_fraction;
    m->total_g += g;
    m->ethanol_g += ethanol;
    add_flammable(m, ethanol, FLASH_PURE_CAUTIOUS_C, ethanol_boil_c);
    if (ethanol > 0)
        mixture_row(w, t, "ethanol", ethanol, phys_ok(FLASH_PURE_CAUTIOUS_C),
                    "IEC 60079-20-1:2010");
    if (g > ethanol)
        mixture_row(w, t, "water", g - ethanol, phys_none("does not burn"), NULL);
    return true;
}

static bool add_liquid(struct work *w, struct report_table *t, struct mixture *m,
                       const struct part *p)
{
    struct liquid l;
    double g = p->amount.value;
    struct sbuf b = SBUF_INIT;

    if (!work_liquid(w, p->what, &l))
        return false;
    m->only_ethanol = false;
    if (p->amount.dim == DIM_VOLUME)
        g *= l.density_kg_m3; /* L x kg/m3 = g */
    if (isnan(g)) {
        arg_refuse(w, "weigh it and type g", "the density of %s is not in the catalogue", l.name);
        liquid_free(&l);
        return false;
    }
    m->total_g += g;
    if (isnan(l.flash_c) && !str_eq(l.kind, "water"))
        m->unknown = "the flash point of a part is not in the catalogue";
    if (!isnan(l.flash_c))
        add_flammable(m, g, l.flash_c, l.boil_c);
    m->floor = m->floor || l.flash_floor;
    if (l.flash_source != NULL)
        sbuf_printf(&b, "%s (%s)", l.flash_source, report_sureness(l.flash_sure));
    if (b.failed)
        w->failed = true;
    mixture_row(w, t, l.name, g, isnan(l.flash_c) ? phys_none("not known") : phys_ok(l.flash_c),
                b.len > 0 ? b.s : NULL);
    sbuf_free(&b);
    liquid_free(&l);
    return true;
}

static void put_mixture(struct work *w, struct mixture *m)
{
    struct phys_value bound, rule;

    for (size_t i = 0; i < m->count; i++)
        m->parts[i].mass_fraction = m->mass_g[i] / m->total_g;
    bound = m->unknown != NULL ? phys_none(m->unknown) : flash_mixture_bound_c(m->parts, m->count);
    rule = m->unknown != NULL ? phys_none(m->unknown) : flash_mixture_lowest_c(m->parts, m->count);
    answer_number(w, "mass_g", "mixture", "g", m->total_g);
    answer_side(w, "flash_point_c", "flash point", "degC",
                phys_none("not estimated for mixtures: only the cautious bound is given"));
    answer_value(w, "flash_point_bound_c", "cautious bound", "degC", bound);
    answer_side(w, "flash_point_lowest_part_c", "lowest part from 5 %", "degC", rule);
    work_classes(w, bound, (double)NAN, false);
    answer_formula(w,
                   "no mixture of these liquids flashes below the bound, whatever their activity",
                   "Liaw's sum rule at the limit of liquids that do not mix; Trouton's rule",
                   "flammable parts with a known flash point");
    answer_formula(w, "the lowest-flashing part of 5 % by mass or more governs",
                   "rule of the coatings trade, one secondary source", "an estimate");
    answer_caution(w, "the bound is not the flash point: it counts traces in full and can lie far "
                      "below. The classes are those of the bound. Have the mixture measured before "
                      "it is classed otherwise");
    if (m->floor)
        answer_caution(w, "the flash point of a part is only known to lie above its figure, which "
                          "was taken");
}

bool work_flash_parts(struct work *w)
{
    static const char *const columns[] = {"part", "mass_g", "flash_point_c", "cited_from"};
    static const char *const heads[] = {"part", "mass", "flash point", "cited from"};
    struct mixture m = {.only_ethanol = true};
    struct report_table *t = answer_table(w, "parts", "Parts", NULL);

    if (arg_given(w, "svg"))
        return arg_refuse(w, "type a strength: \"96 %vol\"", "--svg draws strengths of ethanol");
    for (size_t i = 0; i < LW_COUNT(columns); i++)
        report_column(&w->s->report, t, columns[i], heads[i], NULL, ALIGN_LEFT);
    for (size_t i = 1; i < w->s->name_count; i++) {
        struct part p;
        bool ok;

        if (m.count >= FLASH_PARTS_MAX)
            return arg_refuse(w, NULL, "at most %u parts", FLASH_PARTS_MAX);
        ok = arg_part(w, w->s->names[i], &p) &&
             (p.is_strength ? add_strength(w, t, &m, &p) : add_liquid(w, t, &m, &p));
        part_free(&p);
        if (!ok)
            return false;
    }
    if (m.total_g <= 0)
        return arg_refuse(w, NULL, "the mixture weighs nothing");
    if (m.only_ethanol)
        answer_caution(w,
                       "this is ethanol and water only: lotward work mix gives its strength, and "
                       "lotward work flash of that strength its flash point");
    put_mixture(w, &m);
    return true;
}
