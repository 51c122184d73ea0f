/* Fire class from flash point and boiling point. */
#include "text/base.h"

#include "physics/constants.h"
#include "physics/fireclass.h"

#define RELATIVE_TOLERANCE 1e-9

/* At its flash point a liquid gives vapour at about its lower flammable limit, a few per cent of an
 * atmosphere. With a heat of vaporisation of 30 kJ/mol, one that boils at 37.8 degC gives 20 % at 0
 * degC. So a liquid that flashes at 0 degC or above boils above 100 degF, and its boiling point
 * need not be known. */
#define BOIL_MATTERS_BELOW_C 0.0

/* Criteria of GHS 2.6.4.2 and CLP Annex I 2.6.4. */
#define CRITERION_CATEGORY_3_C 23.0
#define CRITERION_LIMIT_C      60.0

#define NAME_NONE "not classified"

static const struct fire_class NO_CLASS = {FIRE_CLASS_NONE, NAME_NONE, NULL};

static struct fire_class class_unknown(const char *reason)
{
    return (struct fire_class){NULL, NULL, reason};
}

/* -1, 0, 1 with the relative tolerance. */
static int compare(double x, double bound)
{
    if (isinf(bound) || isinf(x))
        return x < bound ? -1 : x > bound;
    if (fabs(x - bound) <= RELATIVE_TOLERANCE * fmax(1, fabs(bound)))
        return 0;
    return x < bound ? -1 : 1;
}

static bool inside(double x, double from, bool from_incl, double to, bool to_incl)
{
    const int low = compare(x, from);
    const int high = compare(x, to);
    return (low > 0 || (low == 0 && from_incl)) && (high < 0 || (high == 0 && to_incl));
}

static bool row_holds(const struct fire_row *row, double flash_c, double boil_c)
{
    const double flash = row->fahrenheit ? phys_c_to_f(flash_c) : flash_c;
    const double boil = row->fahrenheit ? phys_c_to_f(boil_c) : boil_c;
    return inside(flash, row->flash_from, row->flash_from_incl, row->flash_to,
                  row->flash_to_incl) &&
           inside(boil, row->boil_from, row->boil_from_incl, row->boil_to, row->boil_to_incl);
}

static struct fire_class find(enum fire_scheme scheme, double flash_c, double boil_c)
{
    size_t count;
    const struct fire_row *rows = fireclass_rows(scheme, &count);
    for (size_t i = 0; i < count; i++)
        if (row_holds(&rows[i], flash_c, boil_c))
            return (struct fire_class){rows[i].token, rows[i].name, NULL};
    return NO_CLASS;
}

/* With boil NaN the two ends: boils at once, never boils. */
static double boil_low(double flash_c, double boil_c)
{
    if (!isnan(boil_c))
        return boil_c;
    return compare(flash_c, BOIL_MATTERS_BELOW_C) < 0 ? -HUGE_VAL : HUGE_VAL;
}

static double boil_high(double boil_c)
{
    return isnan(boil_c) ? HUGE_VAL : boil_c;
}

static bool same_class(struct fire_class a, struct fire_class b)
{
    return a.token != NULL && b.token != NULL && strcmp(a.token, b.token) == 0;
}

static const char *refusal(enum fire_scheme scheme, double flash_c, double boil_c)
{
    if ((unsigned)scheme >= FIRE_SCHEME_COUNT)
        return "the classification scheme is not known";
    if (!isfinite(flash_c) || isinf(boil_c))
        return PHYS_NOT_A_NUMBER;
    return NULL;
}

struct fire_class fireclass_of(enum fire_scheme scheme, double flash_c, double boil_c)
{
    const char *why = refusal(scheme, flash_c, boil_c);
    if (why != NULL)
        return class_unknown(why);
    const struct fire_class low = find(scheme, flash_c, boil_low(flash_c, boil_c));
    const struct fire_class high = find(scheme, flash_c, boil_high(boil_c));
    return same_class(low, high) ? low : class_unknown("the boiling point is needed");
}

struct fire_band fireclass_band(enum fire_scheme scheme, double flash_c, double uncertainty_k,
                                double boil_c)
{
    struct fire_band band;
    band.reason = refusal(scheme, flash_c, boil_c);
    if (band.reason == NULL && (!isfinite(uncertainty_k) || uncertainty_k < 0))
        band.reason = "the uncertainty of the flash point is missing or below zero";
    if (band.reason != NULL) {
        band.cautious = band.central = band.other = class_unknown(band.reason);
        band.two_possible = false;
        return band;
    }
    const double coldest = flash_c - uncertainty_k;
    band.cautious = find(scheme, coldest, boil_low(coldest, boil_c));
    band.central = fireclass_of(scheme, flash_c, boil_c);
    band.other = find(scheme, flash_c + uncertainty_k, boil_high(boil_c));
    band.two_possible = !same_class(band.cautious, band.other);
    return band;
}

struct fire_class fireclass_of_calculated(enum fire_scheme scheme, double calculated_flash_c,
                                          double boil_c)
{
    const char *why = refusal(scheme, calculated_flash_c, boil_c);
    if (why != NULL)
        return class_unknown(why);
    if (scheme != FIRE_GHS && scheme != FIRE_CLP)
        return class_unknown("the rule for calculated flash points is in GHS and CLP only");
    double flash_c = calculated_flash_c;
    const double to_3 = CRITERION_CATEGORY_3_C + FIRE_CALCULATED_MARGIN_K;
    const double to_none = CRITERION_LIMIT_C + FIRE_CALCULATED_MARGIN_K;
    if (compare(flash_c, CRITERION_CATEGORY_3_C) >= 0 && compare(flash_c, to_3) < 0)
        flash_c =
            CRITERION_CATEGORY_3_C - FIRE_CALCULATED_MARGIN_K; /* not shown to be category 3 */
    else if (compare(flash_c, CRITERION_LIMIT_C) > 0 && compare(flash_c, to_none) < 0)
        flash_c = CRITERION_LIMIT_C;
    return fireclass_of(scheme, flash_c, boil_c);
}

const char *fireclass_hazard_code(enum fire_scheme scheme, const char *token)
{
    /* CLP Annex I, table 2.6.2 (H224 to H226); GHS for H227, which CLP does not have */
    static const char *const codes[] = {"H224", "H225", "H226", "H227"};
    if ((scheme != FIRE_GHS && scheme != FIRE_CLP && scheme != FIRE_OSHA) || token == NULL)
        return NULL;
    if (token[0] < '1' || token[0] > '4' || token[1] != '\0')
        return NULL;
    return scheme == FIRE_CLP && token[0] == '4' ? NULL : codes[token[0] - '1'];
}
