/* quantity.h - numbers with a unit, converted by definition, never by guess. */
#ifndef LW_TEXT_QUANTITY_H
#define LW_TEXT_QUANTITY_H

#include "text/base.h"
#include "text/number.h"
#include "text/sbuf.h"

/* Canonical unit in brackets: what the tables hold. After it, the units that are taken. */
enum dimension {
    DIM_NONE,
    DIM_MASS,        /* [g] mg g kg t oz lb grain; gr is refused */
    DIM_VOLUME,      /* [L] uL mL cL L m3; fl oz, pt, qt, gal with us or imp; drop is refused */
    DIM_TEMPERATURE, /* [degC] degC degF K */
    DIM_LENGTH,      /* [m] mm cm m in ft */
    DIM_AREA,        /* [m2] cm2 m2 in2 ft2 */
    DIM_SPACE,       /* [m3] L m3 ft3, of rooms */
    DIM_TIME,        /* [min] s min h day week; months are refused */
    DIM_STRENGTH,    /* [%vol at 20 degC] %vol; %mas and proof-us keep their own number */
    DIM_DENSITY,     /* [kg/m3] g/mL g/cm3 kg/L kg/m3 */
    DIM_FLOW,        /* [m3/h] m3/h m3/min L/s cfm */
    DIM_AIR_CHANGES, /* [per-hour] /h ach */
    DIM_SPEED,       /* [m/s] m/s ft/min */
    DIM_MONEY,       /* [the currency; unit is an ISO 4217 code] */
    DIM_COUNT,       /* [count] a bare number is right here */
    DIM_AMOUNT       /* mass or volume: canonical unit follows the typed unit (g or L) */
};

enum unit_system { UNITS_UNDECLARED, UNITS_US, UNITS_IMPERIAL };

enum quantity_status {
    QUANTITY_OK,
    QUANTITY_APPROX,  /* counts as present, cannot feed arithmetic */
    QUANTITY_MISSING, /* "n/a" and friends */
    QUANTITY_ERROR    /* `why` and `hint` say what to type */
};

struct quantity {
    enum quantity_status status;
    enum dimension dim; /* DIM_MASS or DIM_VOLUME when DIM_AMOUNT was asked */
    double value;       /* canonical unit */
    double typed;       /* the number as typed */
    const char *unit;   /* canonical spelling of the typed unit, static, e.g. "qt-us" */
    double resolution;  /* half of the last typed digit, in the canonical unit (for bands) */
    char why[160];      /* QUANTITY_ERROR */
    char hint[160];
};

struct quantity_context {
    enum unit_system system; /* what the file declared for gal, qt, pt, fl oz */
    enum number_style style;
    bool liquid; /* the field is an amount of liquid: "oz" alone is refused */
};

/* Reads "2 qt", "1,5 L", "400 g", "190 proof", "60 degF" (also U+00B0 forms and unit stuck to the
 * number). For DIM_STRENGTH the value is in the typed basis and `unit` is "%vol", "%mas" or
 * "proof-us"; the physics layer converts. A number without a unit is an error except for DIM_COUNT.
 */
struct quantity quantity_parse(const char *s, enum dimension dim,
                               const struct quantity_context *ctx);

/* Past white space and the spaces that do not break (U+00A0, U+202F, U+2009): what may stand before
 * a quantity and between its number and its unit. */
const char *quantity_skip_spaces(const char *s);

const char *dimension_name(enum dimension dim); /* "mass" */
const char *dimension_unit(enum dimension dim); /* canonical unit, "g" */
bool dimension_from_name(const char *name, enum dimension *dim);
const char *dimension_examples(enum dimension dim); /* "400 g, 1.2 kg, 8 oz": for hints */

/* Converts v between two unit spellings of one dimension (temperature: true offsets).
 * false when a unit is unknown or the dimensions differ. */
bool unit_convert(double v, const char *from, const char *to, double *out);
bool unit_known(const char *unit, enum dimension *dim);

#endif
