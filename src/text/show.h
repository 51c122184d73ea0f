/* show.h - quantities in words for people, in metric and US units. */
#ifndef LW_TEXT_SHOW_H
#define LW_TEXT_SHOW_H

#include "text/sbuf.h"

enum show_units { SHOW_BOTH, SHOW_METRIC, SHOW_US };

/* Appends value with a unit fit for its size: "21.6 L (5.71 gal-us)", "250 mL (8.45 fl-oz-us)",
 * "23 degC (73.4 degF)". `unit` is a unit name of text/quantity.h (NULL or "": the bare number).
 * A US unit comes first when that is how the value is kept ("5 gal-us (18.9 L)").
 * Units with no counterpart in the other system are shown once. At most four significant digits,
 * more only where a value is close to a limit and would read the same: see show_apart. */
void show_quantity(struct sbuf *b, double value, const char *unit, enum show_units units);
/* The same with so many significant digits, for a table with little room. */
void show_digits(struct sbuf *b, double value, const char *unit, enum show_units units, int digits);
/* Shows value with as many digits as are needed to tell it from `other` (same unit), up to nine. */
void show_apart(struct sbuf *b, double value, double other, const char *unit,
                enum show_units units);
/* "gal-us" -> "US gal", "degC" -> "°C" in plain words for a reader; unknown units as they are. */
const char *show_unit(const char *unit);

/* The words for a sureness: "two-sources" -> "two sources agree". */
const char *show_sure(const char *sure);

#endif
