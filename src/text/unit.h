/* unit.h - the units of measure: one row each, by definition, and every way to write them.
 *
 * Used by quantity.c; other layers ask unit_convert() and unit_known() of text/quantity.h. */
#ifndef LW_TEXT_UNIT_H
#define LW_TEXT_UNIT_H

#include "text/base.h"
#include "text/quantity.h"

struct unit {
    const char *name; /* canonical spelling */
    enum dimension dim;
    double times, over; /* canonical value = (typed - offset) * times / over: whole numbers both,
                         * so that a short number is rounded once */
    double offset;
};

enum unit_found {
    UNIT_FOUND,
    UNIT_UNKNOWN,
    UNIT_UNDECLARED, /* gal, qt, pt, fl oz without us or imp */
    UNIT_REFUSED     /* a word that is no measure here; `refusal` says why and what to type */
};

struct unit_refusal {
    const char *word;
    enum dimension dim; /* DIM_NONE: whatever is wanted */
    const char *why, *hint;
};

struct unit_search {
    enum unit_found found;
    const struct unit *unit;            /* UNIT_FOUND */
    const struct unit_refusal *refusal; /* UNIT_REFUSED */
    const char *base;                   /* UNIT_UNDECLARED: "gal" */
    const char *near;                   /* UNIT_UNKNOWN: what may have been meant, or NULL */
};

/* Finds the unit written in s (all of it). A spelling that stands in several dimensions (L, m3) is
 * taken in `want` when it can be. */
struct unit_search unit_search(const char *s, enum dimension want, enum unit_system system);
double unit_to_canonical(const struct unit *u, double v);
double unit_from_canonical(const struct unit *u, double v);
/* Is a value of this dimension in `want` (DIM_AMOUNT takes mass and volume)? */
bool dimension_takes(enum dimension want, enum dimension have);
/* The ISO 4217 code at s[0..3), static, or NULL. */
const char *currency_code(const char *s);

#endif
