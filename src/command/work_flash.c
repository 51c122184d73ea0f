/* work_flash.c - work flash: flash point, flammable band and fire classes of a strength, and what
 * the provisions about weak alcohol say and do not say. */
#include "text/base.h"

#include "command/rows.h"
#include "command/work.h"
#include "physics/constants.h"
#include "physics/ethanol_water.h"
#include "physics/fireclass.h"
#include "physics/flash.h"
#include "physics/vapour.h"
#include "text/mem.h"
#include "text/utf8.h"

/* Strengths of the provisions about weak alcohol, and up to where they are worth a word. */
#define WEAK_LIMIT_VOL 24.0
#define WEAK_TOLD_VOL  30.0

static const double percent = 100.0;

static void put_flash(struct work *w, const struct strength *s)
{
    struct phys_value flash = flash_ethanol_water_c(s->vol_percent);

    answer_value(w, "flash_point_c", "flash point, closed cup", "degC", flash);
    answer_side(w, "flash_uncertainty_k", NULL, "K",
                phys_has(flash) ? phys_ok(flash.uncertainty) : phys_none(flash.reason));
    answer_side(w, "flash_model_c", "  by the model", "degC",
                flash_ethanol_water_model_c(s->mole_fraction, FLASH_PURE_CAUTIOUS_C));
    answer_side(w, "flash_list_c", "  by the published list", "degC",
                flash_ethanol_water_list_c(s->vol_percent));
}

static void put_band(struct work *w, const struct strength *s, double kpa)
{
    struct flash_band cautious =
        flash_flammable_band(s->mole_fraction, FLASH_LEL_CAUTIOUS, FLASH_UEL, kpa);
    struct flash_band us = flash_flammable_band(s->mole_fraction, FLASH_LEL_US, FLASH_UEL, kpa);

    answer_side(w, "headspace_flammable_from_c", "jar flammable from", "degC", cautious.lower_c);
    answer_side(w, "headspace_flammable_from_us_c", "  by the US LEL, 3.3 %", "degC", us.lower_c);
    answer_side(w, "headspace_flammable_to_c", "jar too rich above", "degC", cautious.upper_c);
    answer_formula(w,
                   "headspace at the LEL (3.1 vol %) and the UEL (19 vol %), corrected for "
                   "temperature",
                   "limits: IEC 60079-20-1:2010, NFPA 497; modified Burgess-Wheeler law",
                   "-20 to 100 degC");
}

static void provision_row(struct session *s, sqlite3_stmt *st, void *user)
{
    struct report_table *t = user;
    struct sbuf b = SBUF_INIT;

    report_cell(&s->report, t, rows_text(st, 0));
    report_cell(&s->report, t, rows_text(st, 1));
    sbuf_puts(&b, rows_text(st, 2));
    for (char *p = b.s; *p != '\0'; p++)
        if (*p == '-')
            *p = ' ';
    sbuf_putc(&b, ' ');
    sbuf_number(&b, sqlite3_column_double(st, 3), 4);
    sbuf_puts(&b, " %");
    report_cell(&s->report, t, b.s);
    report_cell(&s->report, t, rows_text(st, 4));
    sbuf_clear(&b);
    sbuf_printf(&b, "%s (%s)", rows_text(st, 5), report_sureness(rows_text(st, 6)));
    report_cell(&s->report, t, b.s);
    if (b.failed)
        s->report.failed = true;
    sbuf_free(&b);
}

/* What the codes print about weak alcohol, with the conditions that are not looked at here. */
static bool put_weak(struct work *w, const struct strength *s, struct phys_value flash)
{
    static const char *const columns[] = {"code_set", "about", "words", "note", "cited_from"};
    bool below = s->vol_percent <= WEAK_LIMIT_VOL;
    struct report_table *t;

    if (s->vol_percent > WEAK_TOLD_VOL || s->vol_percent <= 0)
        return true;
    answer_text(w, "weak_alcohol", "the 24 % provisions",
                below ? "the strength is not above 24 % vol: some codes have provisions for such "
                        "solutions, below; whether one applies here is not decided by the strength "
                        "alone, and none of them changes when the liquid catches fire"
                      : "the strength is above 24 % vol: the provisions below do not reach it");
    answer_value(w, "water_mass_percent", "water in it, by mass", "%mas",
                 phys_ok((1.0 - s->mass_fraction) * percent));
    t = answer_table(
        w, "weak_alcohol_provisions", "Provisions about weak alcohol, as printed",
        "Each lifts a duty of its own code, on its own conditions: ethanol and water "
        "only, no other hazardous material, all flammable alcohols counted together, "
        "often at least half water, a test for sustained combustion (UN Manual of "
        "Tests and Criteria, L.2, at 60.5 and 75 degC), a beverage. Liquids that flash "
        "above 35 degC and do not sustain combustion have provisions of their own "
        "(ADR 2.2.3.1.1, note 1; 49 CFR 173.120(a); CLP, Annex I, 2.6.4.5).");
    for (size_t i = 0; i < LW_COUNT(columns); i++)
        report_column(&w->s->report, t, columns[i], NULL, NULL, ALIGN_LEFT);
    if (!rows_select(w->s,
                     "select codeset, coalesce(situation, name), words, value, note, cite, sure"
                     " from lim where name in ('transport-exempt-strength',"
                     " 'beverage-exempt-strength', 'ignitable-waste-strength') and value = 24"
                     " order by codeset, name, situation",
                     NULL, NULL, provision_row, t)) {
        w->failed = true;
        return false;
    }
    if (phys_has(flash))
        answer_caution(w,
                       "a provision lifts a duty, it does not change the liquid: from about %.0f "
                       "degC up it still gives a vapour that a spark lights. No exemption is "
                       "claimed here; the authority of each code decides",
                       flash.value - flash.uncertainty);
    return true;
}

/* --- chart -------------------------------------------------------------------------------------
 */

enum { CURVE_POINTS = 97 }; /* 4 to 100 %vol by one */

/* The stripes of NFPA 30 that a liquid boiling like ethanol can be in. */
static void add_stripes(struct chart *c)
{
    static char names[CHART_BANDS_MOST][40];
    size_t count;
    const struct fire_row *rows = fireclass_rows(FIRE_NFPA, &count);
    const double ethanol_boils_f = 172.0;

    for (size_t i = 0; i < count && c->band_count < CHART_BANDS_MOST; i++) {
        const struct fire_row *r = &rows[i];

        if (r->boil_to < ethanol_boils_f || c->y.to <= phys_f_to_c(r->flash_from))
            continue;
        if (isinf(r->flash_from))
            snprintf(names[i], sizeof names[i], "%s, below %.1f", r->name,
                     phys_f_to_c(r->flash_to));
        else
            snprintf(names[i], sizeof names[i], "%s, from %.1f", r->name,
                     phys_f_to_c(r->flash_from));
        c->bands[c->band_count++] = (struct chart_band){
            names[i], isinf(r->flash_from) ? c->y.from : phys_f_to_c(r->flash_from),
            isinf(r->flash_to) ? c->y.to : phys_f_to_c(r->flash_to)};
    }
}

static bool draw(struct work *w, const struct strength *s, struct phys_value flash)
{
    double x[CURVE_POINTS], y[CURVE_POINTS];
    struct sbuf desc = SBUF_INIT, name = SBUF_INIT;
    const double weakest = 4.0, full = 100.0, coldest = 0.0, warmest = 70.0;
    struct chart c = {.title = "Flash point of ethanol and water, closed cup",
                      .x = {.label = "strength, % by volume at 20 degC", .to = full},
                      .y = {.label = "flash point, degC", .from = coldest, .to = warmest},
                      .note = "Stripes: classes of NFPA 30. A calculated flash point supports "
                              "cautions; a measured one replaces it.",
                      .id = "flash"};
    bool ok;

    for (size_t i = 0; i < CURVE_POINTS; i++) {
        x[i] = weakest + (double)i;
        y[i] = flash_ethanol_water_c(x[i]).value;
    }
    c.series[c.series_count++] = (struct chart_series){"flash point", x, y, CURVE_POINTS};
    add_stripes(&c);
    sbuf_puts(&desc, "Line chart. The flash point falls from about 63 degC at 4 % vol to 12 degC "
                     "for pure ethanol. Hatched stripes show the classes of NFPA 30.");
    if (phys_has(flash)) {
        sbuf_number(&name, s->vol_percent, 4);
        sbuf_puts(&name, " %vol: ");
        sbuf_fixed(&name, flash.value, 1);
        sbuf_printf(&name, " +/- %.0f degC", flash.uncertainty);
        sbuf_printf(&desc, " The liquid asked about is marked: %s.", name.s);
        c.marks[c.mark_count++] =
            (struct chart_mark){name.s, s->vol_percent, flash.value, flash.uncertainty};
    }
    c.desc = desc.s;
    if (desc.failed || name.failed)
        w->failed = true;
    ok = work_chart_write(w, &c);
    sbuf_free(&desc);
    sbuf_free(&name);
    return ok;
}

/* --- the command -------------------------------------------------------------------------------
 */

static bool of_strength(struct work *w, const char *text)
{
    struct strength s;
    struct phys_value flash, boil;
    double kpa;

    if (!arg_strength(w, "strength", text, &s) || !arg_pressure(w, &kpa))
        return false;
    flash = flash_ethanol_water_c(s.vol_percent);
    boil = vap_boiling_point_c(s.mole_fraction, kpa);
    answer_text(w, "input", "typed", s.typed);
    answer_number(w, "strength_vol_percent", "by volume at 20 degC", "%vol", s.vol_percent);
    answer_number(w, "strength_mass_percent", "by mass", "%mas", s.mass_fraction * percent);
    put_flash(w, &s);
    answer_side(w, "boiling_point_c", "boiling point", "degC", boil);
    answer_formula(w, "lower of " FLASH_MODEL_NAME " and the published closed-cup list",
                   "J. Loss Prev. Process Ind. 15 (2002) 429; NRTL activity; list of NFPA 325 "
                   "type, read at the % vol figure",
                   "4 to 100 % vol; +/- 3 K, below 20 % vol +/- 5 K");
    if (arg_given(w, "altitude") && phys_has(flash))
        answer_side(w, "flash_reading_there_c", "a closed cup reads there", "degC",
                    flash_reading_at_pressure_c(flash.value, kpa));
    put_band(w, &s, kpa);
    work_classes(w, flash, phys_has(boil) ? boil.value : (double)NAN, true);
    if (!put_weak(w, &s, flash))
        return false;
    answer_caution(w, "a calculated flash point of ethanol and water alone. Denaturants such as "
                      "acetone or ethyl acetate lower it sharply; a measured flash point of the "
                      "liquid itself replaces it");
    return draw(w, &s, flash);
}

bool work_flash(struct work *w)
{
    const char *text = w->s->names[1];
    struct quantity probe = quantity_parse(text, DIM_STRENGTH, NULL);

    if (strchr(text, '@') != NULL)
        return work_flash_parts(w);
    if (w->s->name_count > 2)
        return arg_refuse(w, "type a mixture as amounts: \"400 mL@96 %vol\" \"20 g@limonene\"",
                          "'%s' is one operand too many", w->s->names[2]);
    if (probe.status == QUANTITY_ERROR && ascii_alpha(text[0]) && ascii_casecmp(text, "nan") != 0 &&
        ascii_casecmp(text, "inf") != 0 && ascii_casecmp(text, "infinity") != 0)
        return work_flash_named(w, text);
    return of_strength(w, text);
}
