/* work_flash_class.c - the fire classes of a flash point, under every scheme. */
#include "text/base.h"

#include "command/work.h"
#include "physics/constants.h"
#include "physics/fireclass.h"
#include "text/utf8.h"

static bool holds(const struct fire_row *r, double flash_c, double boil_c)
{
    double flash = r->fahrenheit ? phys_c_to_f(flash_c) : flash_c;
    double boil = r->fahrenheit ? phys_c_to_f(boil_c) : boil_c;

    return flash >= r->flash_from && flash <= r->flash_to &&
           (isnan(boil) || (boil >= r->boil_from && boil <= r->boil_to));
}

/* One class may stand in two rows (NFPA 704): the one whose bounds hold is the one to print. */
static const struct fire_row *row_of(enum fire_scheme scheme, const struct fire_class *class,
                                     double flash_c, double boil_c)
{
    size_t count;
    const struct fire_row *rows = fireclass_rows(scheme, &count), *found = NULL;

    for (size_t i = 0; i < count; i++) {
        if (!str_eq(rows[i].token, class->token) || !str_eq(rows[i].name, class->name))
            continue;
        if (found == NULL || (!holds(found, flash_c, boil_c) && holds(&rows[i], flash_c, boil_c)))
            found = &rows[i];
    }
    return found;
}

static void put_scheme(struct work *w, struct report_table *t, enum fire_scheme scheme,
                       const struct fire_band *band, double flash_c, double boil_c)
{
    struct report *r = &w->s->report;
    const struct fire_row *row = row_of(scheme, &band->cautious, flash_c, boil_c);
    struct sbuf b = SBUF_INIT;

    report_cell(r, t, fire_scheme_token(scheme));
    if (band->reason != NULL || band->cautious.name == NULL) {
        sbuf_printf(&b, "no value: %s",
                    band->reason != NULL ? band->reason : band->cautious.reason);
        report_cell(r, t, b.s);
        report_cell(r, t, NULL);
    } else {
        report_cell(r, t, band->cautious.name);
        report_cell(r, t, band->two_possible ? band->other.name : NULL);
    }
    report_cell(r, t, row == NULL ? NULL : row->words);
    sbuf_clear(&b);
    if (row != NULL)
        sbuf_printf(&b, "%s (%s)", row->citation, report_sureness(row->sure));
    report_cell(r, t, b.len > 0 ? b.s : NULL);
    if (b.failed)
        w->failed = true;
    sbuf_free(&b);
}

/* "Class IB or Class IC (NFPA 30); Category 2 or Category 3 (UN GHS)": near a boundary both. */
static void put_sentence(struct work *w, struct phys_value flash, double boil_c)
{
    static const enum fire_scheme told[] = {FIRE_NFPA, FIRE_GHS, FIRE_UN};
    struct sbuf b = SBUF_INIT;
    bool two = false;

    for (size_t i = 0; i < LW_COUNT(told) && phys_has(flash); i++) {
        struct fire_band band = fireclass_band(told[i], flash.value, flash.uncertainty, boil_c);

        if (band.reason != NULL || band.cautious.name == NULL)
            continue;
        sbuf_printf(&b, "%s%s", b.len > 0 ? "; " : "", band.cautious.name);
        if (band.two_possible)
            sbuf_printf(&b, " or %s", band.other.name);
        sbuf_printf(&b, " (%s)", fire_scheme_title(told[i]));
        two = two || band.two_possible;
    }
    if (two)
        sbuf_puts(&b, ". Both are possible within the uncertainty; the first is the cautious one "
                      "and is to be used");
    answer_text(w, "fire_class", "fire class", b.len > 0 ? b.s : "no value: no flash point");
    if (b.failed)
        w->failed = true;
    sbuf_free(&b);
}

void work_classes(struct work *w, struct phys_value flash, double boil_c, bool calculated)
{
    static const char *const columns[] = {"scheme", "class", "other_possible_class", "words",
                                          "cited_from"};
    static const char *const heads[] = {"scheme", "class to use", "also possible",
                                        "words of the class to use", "cited from"};
    struct report_table *t;

    put_sentence(w, flash, boil_c);
    if (!phys_has(flash))
        return;
    t = answer_table(w, "classes", "Fire classes, each in its code's own words and unit", NULL);
    for (size_t i = 0; i < LW_COUNT(columns); i++)
        report_column(&w->s->report, t, columns[i], heads[i], NULL, ALIGN_LEFT);
    for (unsigned i = 0; i < FIRE_SCHEME_COUNT; i++) {
        struct fire_band band =
            fireclass_band((enum fire_scheme)i, flash.value, flash.uncertainty, boil_c);

        put_scheme(w, t, (enum fire_scheme)i, &band, flash.value - flash.uncertainty, boil_c);
    }
    if (calculated) {
        struct fire_class ghs = fireclass_of_calculated(FIRE_GHS, flash.value, boil_c);

        answer_text(w, "ghs_class_of_calculated_value", "GHS and CLP, calculated",
                    ghs.name == NULL ? ghs.reason : ghs.name);
        answer_formula(w,
                       "a calculated flash point stands in for a measured one only when it is "
                       "at least 5 K above the boundary",
                       "UN GHS 2.6.4.2; Regulation (EC) No 1272/2008, Annex I, 2.6.4",
                       "boundaries 23 and 60 degC");
    }
}
