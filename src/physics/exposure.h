/* Workplace exposure limits for ethanol vapour: a fixed table with source and sureness.
 * Limits change with editions; the reader is told to check the one in force. */
#ifndef LW_PHYSICS_EXPOSURE_H
#define LW_PHYSICS_EXPOSURE_H

#include "physics/value.h"

enum exposure_kind {
    EXPOSURE_LONG,  /* average over a shift, see hours */
    EXPOSURE_SHORT, /* short term, usually 15 min */
    EXPOSURE_IDLH   /* immediately dangerous to life or health */
};

struct exposure_limit {
    const char *token;  /* "osha-pel" */
    const char *region; /* ISO 3166 alpha-2 */
    const char *name;
    enum exposure_kind kind;
    double hours; /* averaging time, h; 0 = not an average */
    double ppm;   /* NaN = stated in mg/m3 only */
    double mg_m3; /* NaN = not printed */
    const char *source;
    const char *sure; /* verified | two-sources | secondary | from-memory */
};

/* All limits; *count is set. Static. */
const struct exposure_limit *exposure_limits(size_t *count);
/* Finds one by token (length bytes); NULL if unknown. */
const struct exposure_limit *exposure_find(const char *token, size_t length);
/* Limit in mg/m3 at temp_c: the printed one, else computed from ppm. */
struct phys_value exposure_mg_m3(const struct exposure_limit *limit, double temp_c);

#endif
