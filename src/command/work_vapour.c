/* work_vapour.c - work vapour and work evaporate: what is over the liquid, and how fast it goes. */
#include "text/base.h"

#include "command/work.h"
#include "physics/constants.h"
#include "physics/evaporation.h"
#include "physics/flash.h"
#include "physics/vapour.h"
#include "text/utf8.h"

static void put_vle(struct work *w)
{
    answer_formula(w, VAP_FORMULA_NAME,
                   "Poling, Prausnitz & O'Connell, 5th ed.; Perry, 8th ed., table 2-8; NRTL with "
                   "temperature-dependent parameters",
                   "-20 to 101 degC; fitted at 20 to 100 degC; +/- 3 %, below 20 degC +/- 10 %");
}

/* --- chart -------------------------------------------------------------------------------------
 */

static bool draw(struct work *w, const struct strength *s, double at_c, struct phys_value head,
                 double kpa)
{
    enum { POINTS = 71 };
    const double coldest = -20.0, warmest = 50.0, top = 22.0;
    double x[POINTS], y[POINTS];
    struct sbuf title = SBUF_INIT, desc = SBUF_INIT, name = SBUF_INIT;
    struct chart c = {.x = {.label = "temperature, degC", .from = coldest, .to = warmest},
                      .y = {.label = "ethanol in the closed headspace, vol %", .to = top},
                      .note = "At equilibrium over the liquid. An opened jar passes through every "
                              "mixture below the line.",
                      .id = "vapour"};
    bool ok;

    for (size_t i = 0; i < POINTS; i++) {
        x[i] = coldest + (double)i * (warmest - coldest) / (POINTS - 1);
        y[i] = vap_headspace_vol_percent(s->mole_fraction, x[i], kpa).value;
    }
    c.series[c.series_count++] = (struct chart_series){"headspace", x, y, POINTS};
    c.levels[c.level_count++] = (struct chart_level){"LEL 3.1 vol %", FLASH_LEL_CAUTIOUS};
    c.levels[c.level_count++] = (struct chart_level){"UEL 19 vol %", FLASH_UEL};
    c.bands[c.band_count++] = (struct chart_band){"flammable", FLASH_LEL_CAUTIOUS, FLASH_UEL};
    sbuf_puts(&title, "Vapour in a closed jar of ");
    sbuf_number(&title, s->vol_percent, 4);
    sbuf_puts(&title, " %vol ethanol");
    sbuf_puts(&desc, "Line chart of the ethanol in the headspace against temperature, with the "
                     "lower and upper explosive limits, 3.1 and 19 vol %.");
    if (phys_has(head)) {
        sbuf_fixed(&name, head.value, 2);
        sbuf_puts(&name, " vol % at ");
        sbuf_number(&name, at_c, 4);
        sbuf_puts(&name, " degC");
        sbuf_printf(&desc, " Marked: %s.", name.s);
        c.marks[c.mark_count++] = (struct chart_mark){name.s, at_c, head.value, 0.0};
    }
    c.title = title.s;
    c.desc = desc.s;
    if (title.failed || desc.failed || name.failed)
        w->failed = true;
    ok = work_chart_write(w, &c);
    sbuf_free(&title);
    sbuf_free(&desc);
    sbuf_free(&name);
    return ok;
}

/* --- vapour ------------------------------------------------------------------------------------
 */

static void put_headspace(struct work *w, double x, double at_c, double kpa)
{
    struct phys_value head = vap_headspace_vol_percent(x, at_c, kpa);
    enum flash_headspace state = flash_headspace_state(x, at_c, kpa);

    answer_value(w, "headspace_vol_percent", "in a closed headspace", "vol %", head);
    answer_value(w, "lel_percent_of_limit", "  of the LEL, 3.1 %", "percent",
                 flash_headspace_percent_of_lel(x, at_c, FLASH_LEL_CAUTIOUS, kpa));
    answer_side(w, "lel_us_percent_of_limit", "  of the US LEL, 3.3 %", "percent",
                flash_headspace_percent_of_lel(x, at_c, FLASH_LEL_US, kpa));
    answer_text(w, "headspace_state", "a closed, settled jar is", flash_headspace_text(state));
    answer_side(w, "relative_vapour_density", "that gas, air = 1", "times air",
                phys_has(head) ? vap_relative_density(head.value) : head);
}

bool work_vapour(struct work *w)
{
    struct strength s;
    struct flash_band band;
    double at_c, kpa;

    if (!arg_strength(w, "strength", w->s->names[1], &s) ||
        !arg_needed(w, "at", DIM_TEMPERATURE, &at_c) || !arg_pressure(w, &kpa))
        return false;
    answer_text(w, "input", "typed", s.typed);
    answer_number(w, "strength_vol_percent", "by volume at 20 degC", "%vol", s.vol_percent);
    answer_number(w, "temperature_c", "temperature", "degC", at_c);
    answer_number(w, "air_pressure_kpa", "air pressure", "kPa", kpa);
    answer_value(w, "ethanol_partial_pressure_kpa", "ethanol vapour over it", "kPa",
                 vap_ethanol_partial_kpa(s.mole_fraction, at_c));
    answer_side(w, "water_partial_pressure_kpa", "water vapour over it", "kPa",
                vap_water_partial_kpa(s.mole_fraction, at_c));
    put_headspace(w, s.mole_fraction, at_c, kpa);
    band = flash_flammable_band(s.mole_fraction, FLASH_LEL_CAUTIOUS, FLASH_UEL, kpa);
    answer_side(w, "headspace_flammable_from_c", "jar flammable from", "degC", band.lower_c);
    answer_side(w, "headspace_flammable_to_c", "jar too rich above", "degC", band.upper_c);
    answer_side(w, "boiling_point_c", "boiling point", "degC",
                vap_boiling_point_c(s.mole_fraction, kpa));
    put_vle(w);
    answer_formula(w, "limits corrected for temperature (modified Burgess-Wheeler law)",
                   "IEC 60079-20-1:2010; NFPA 497 (2008)", "-20 to 100 degC");
    if (vap_model_note(at_c) != NULL)
        answer_caution(w, "%s", vap_model_note(at_c));
    answer_caution(w, "the mouth of an opened jar is never too rich: air mixes in. A warm jar put "
                      "into the cold stays flammable until its liquid has cooled");
    return draw(w, &s, at_c, vap_headspace_vol_percent(s.mole_fraction, at_c, kpa), kpa);
}

/* --- evaporate ---------------------------------------------------------------------------------
 */

/* Area from --area, or from --diameter and --surface. */
static bool read_area(struct work *w, struct phys_value *area, double *diameter_m)
{
    const char *surface = option_text(&w->s->options, "surface");
    bool by_area = arg_given(w, "area");
    double m2;

    *diameter_m = 0;
    if (by_area == arg_given(w, "diameter"))
        return arg_refuse(w,
                          "type --area 80 cm2, or --diameter 10 cm (and --surface open, funnel "
                          "or paper)",
                          "one of --area and --diameter is needed");
    if (by_area) {
        if (surface != NULL)
            return arg_refuse(w, "type --diameter instead of --area",
                              "--surface goes with --diameter");
        if (!arg_option(w, "area", DIM_AREA, 0.0, &m2))
            return false;
        *area = phys_ok(m2);
        return true;
    }
    if (!arg_option(w, "diameter", DIM_LENGTH, 0.0, diameter_m))
        return false;
    *area = str_eq(surface, "funnel")  ? evap_funnel_m2(*diameter_m)
            : str_eq(surface, "paper") ? evap_wet_paper_m2(*diameter_m)
                                       : evap_circle_m2(*diameter_m);
    return true;
}

void work_models(struct work *w, const struct evap_estimate *e)
{
    struct report_table *t = answer_table(
        w, "evaporation_models", "Evaporation by each published model", "The largest is used.");

    report_column(&w->s->report, t, "model", NULL, NULL, ALIGN_LEFT);
    report_column(&w->s->report, t, "rate_g_min", "rate", NULL, ALIGN_LEFT);
    report_column(&w->s->report, t, "used", NULL, NULL, ALIGN_LEFT);
    for (unsigned i = 0; i < EVAP_MODEL_COUNT; i++) {
        report_cell(&w->s->report, t, evap_model_name((enum evap_model)i));
        answer_cell(w, t, e->rate_g_min[i], WORK_RATE);
        report_cell(&w->s->report, t, e->reason == NULL && e->largest == i ? "yes" : "no");
    }
    answer_formula(w, "largest of the models above; ethanol over the mixture by " VAP_FORMULA_NAME,
                   "EPA 550-B-99-009, appendix D; Crowl & Louvar, chapter 3; Can. J. Chem. Eng. 51 "
                   "(1973) 434; EPA/OPPT (equations partly from memory)",
                   "-20 to 60 degC, air 0 to 10 m/s; within a factor of 3");
    answer_caution(w, "evaporation models differ by a factor of 2 to 4: take the rate as right "
                      "within a factor of 3. Cooling and weakening are left out, which overstates "
                      "long evaporations");
}

static void put_filling(struct work *w, struct phys_value partial, double at_c)
{
    struct phys_value splash = partial, submerged = partial;

    if (phys_has(partial)) {
        splash = evap_filling_g_l(partial.value, PHYS_ETHANOL_G_MOL, at_c, EVAP_PHI_SPLASH);
        submerged = evap_filling_g_l(partial.value, PHYS_ETHANOL_G_MOL, at_c, EVAP_PHI_SUBMERGED);
    }
    answer_side(w, "filling_splash_g_l", "pushed out by filling", "g a litre filled", splash);
    answer_side(w, "filling_submerged_g_l", "  filled from below", "g a litre filled", submerged);
}

bool work_evaporate(struct work *w)
{
    struct strength s;
    struct phys_value area, partial;
    struct evap_source source = {.molar_mass_g = PHYS_ETHANOL_G_MOL};
    struct evap_estimate e;
    const char *why;

    if (!arg_strength_option(w, "strength", &s) ||
        !arg_needed(w, "at", DIM_TEMPERATURE, &source.temp_c) ||
        !read_area(w, &area, &source.diameter_m) ||
        !arg_needed(w, "air-speed", DIM_SPEED, &source.air_m_s))
        return false;
    partial = vap_ethanol_partial_kpa(s.mole_fraction, source.temp_c);
    source.partial_kpa = partial.value;
    source.area_m2 = area.value;
    e = evap_surface(&source);
    why = !phys_has(partial) ? partial.reason : !phys_has(area) ? area.reason : e.reason;
    if (why != NULL)
        for (unsigned i = 0; i < EVAP_MODEL_COUNT; i++)
            if (phys_has(e.rate_g_min[i]) && (!phys_has(partial) || !phys_has(area)))
                e.rate_g_min[i] = phys_none(why);
    answer_number(w, "strength_vol_percent", "strength", "%vol", s.vol_percent);
    answer_number(w, "temperature_c", "temperature", "degC", source.temp_c);
    answer_value(w, "area_m2", "evaporating area", "m2", area);
    answer_number(w, "air_speed_m_s", "air speed", "m/s", source.air_m_s);
    answer_side(w, "ethanol_partial_pressure_kpa", "ethanol vapour over it", "kPa", partial);
    answer_value(w, "rate_g_min", "evaporates", WORK_RATE,
                 why == NULL ? phys_ok(e.largest_g_min) : phys_none(why));
    answer_side(w, "least_rate_g_min", "  by the smallest model", WORK_RATE,
                why == NULL ? phys_ok(e.least_g_min) : phys_none(why));
    put_filling(w, partial, source.temp_c);
    work_models(w, &e);
    put_vle(w);
    return true;
}
