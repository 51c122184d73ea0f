/* card_strength.c - the card of ethanol at a strength. */
#include "text/base.h"

#include "command/card.h"
#include "command/work.h"
#include "physics/constants.h"
#include "physics/ethanol_water.h"
#include "physics/fireclass.h"
#include "physics/flash.h"
#include "physics/vapour.h"
#include "text/utf8.h"

static const double room_c = 20.0, freezer_c = -18.0, percent = 100.0;

static void put(struct session *s, struct report_table *t, const char *property,
                struct phys_value v, const char *unit, const char *source, const char *sure)
{
    struct sbuf b = SBUF_INIT;

    if (phys_has(v)) {
        answer_show(&b, v.value, unit, session_units(s));
        answer_show_uncertainty(&b, v.uncertainty, unit, session_units(s));
    } else {
        sbuf_printf(&b, "no value: %s", v.reason);
    }
    if (b.failed)
        s->report.failed = true;
    card_fact(s, t, property, b.s, source, phys_has(v) ? sure : NULL);
    sbuf_free(&b);
}

static void put_scales(struct session *s, struct report_table *t, const struct strength *st)
{
    static const char source[] = EW_FORMULA_NAME;
    double p = st->mass_fraction;

    put(s, t, "by volume at 20 degC", phys_ok(st->vol_percent), "%vol", "as typed", NULL);
    put(s, t, "by mass", phys_ok(p * percent), "%mas", source, "computed");
    put(s, t, "US proof", ew_us_proof_from_mass_fraction(p), "proof", source, "computed");
    put(s, t, "density at 20 degC", ew_density_kg_m3(p, room_c), "kg/m3", source, "computed");
    put(s, t, "freezing begins at", ew_freezing_point_c(st->vol_percent), "degC",
        "Lange's Handbook, table 5.13", "from-memory");
}

static void put_vapour(struct session *s, struct report_table *t, const struct strength *st)
{
    static const char vle[] = "NRTL, Wagner, DIPPR 101";
    double x = st->mole_fraction;
    struct flash_band band = flash_flammable_band(x, FLASH_LEL_CAUTIOUS, FLASH_UEL, PHYS_ATM_KPA);

    put(s, t, "flash point, closed cup", flash_ethanol_water_c(st->vol_percent), "degC",
        "lower of " FLASH_MODEL_NAME " and the published list", "computed");
    put(s, t, "boiling point", vap_boiling_point_c(x, PHYS_ATM_KPA), "degC", vle, "computed");
    put(s, t, "LEL of its vapour", phys_ok(FLASH_LEL_CAUTIOUS), "vol %",
        "IEC 60079-20-1:2010; US papers say 3.3", "verified");
    put(s, t, "UEL of its vapour", phys_ok(FLASH_UEL), "vol %", "IEC 60079-20-1:2010; NFPA 497",
        "verified");
    put(s, t, "closed jar at 20 degC", vap_headspace_vol_percent(x, room_c, PHYS_ATM_KPA), "vol %",
        vle, "computed");
    put(s, t, "closed jar at -18 degC", vap_headspace_vol_percent(x, freezer_c, PHYS_ATM_KPA),
        "vol %", vle, "computed");
    put(s, t, "closed jar flammable from", band.lower_c, "degC", vle, "computed");
    put(s, t, "closed jar too rich above", band.upper_c, "degC", vle, "computed");
}

static void put_statements(struct session *s, struct report_table *t, struct phys_value flash,
                           double boil_c)
{
    struct fire_class ghs;

    if (!phys_has(flash))
        return;
    ghs = fireclass_of_calculated(FIRE_GHS, flash.value, boil_c);
    if (ghs.token == NULL)
        return;
    card_fact(s, t, "GHS class of the computed value", ghs.name, "UN GHS 2.6.4.2", "verified");
    card_fact(s, t, "hazard statement", fireclass_hazard_code(FIRE_GHS, ghs.token),
              "UN GHS, table 2.6.2", "verified");
}

bool card_strength(struct session *s, const char *text)
{
    struct work w = {.s = s};
    struct strength st;
    struct report_table *t;
    struct phys_value flash, boil;
    struct sbuf title = SBUF_INIT;

    if (!arg_strength(&w, "strength", text, &st))
        return false;
    sbuf_printf(&title, "Ethanol and water, %s", st.typed);
    report_set_title(&s->report, title.s);
    if (title.failed)
        s->report.failed = true;
    sbuf_free(&title);
    flash = flash_ethanol_water_c(st.vol_percent);
    boil = vap_boiling_point_c(st.mole_fraction, PHYS_ATM_KPA);
    t = card_fact_table(s, "facts", NULL);
    put_scales(s, t, &st);
    put_vapour(s, t, &st);
    put_statements(s, t, flash, boil.value);
    if (phys_has(flash))
        card_classes(s, flash.value, flash.uncertainty, boil.value);
    report_add_note(&s->report,
                    "Ethanol and water only: denaturants, dissolved resin and oil are "
                    "not in these figures. A measured flash point replaces the computed "
                    "one. More: lotward work flash, lotward work vapour.");
    report_add_note(&s->report, "The figures of pure ethanol: lotward card ethanol.");
    return true;
}
