/* Fire class of a liquid from closed-cup flash point and boiling point, under the codes' schemes.
 *
 * Each scheme is compared in its own unit and with its own words at the boundary ("below",
 * "at or below"), relative tolerance 1e-9; a rounded metric figure printed beside a degF figure is
 * never used. Rows with their citations: fireclass_rows().
 *
 * Tokens (`class`): nfpa, ifc and canada IA IB IC II IIIA IIIB; osha and ghs 1 2 3 4; clp 1 2
 * 3; un and canada-tdg I II III; australia I II III C1 C2; nfpa-704 4 3 2 1. "none" = outside every
 * class of the scheme.
 *
 * Not looked at here: sustained combustion, water content, "24 % alcohol" provisions, viscosity,
 * heating above the flash point. The local authority decides.
 */
#ifndef LW_PHYSICS_FIRECLASS_H
#define LW_PHYSICS_FIRECLASS_H

#include "physics/value.h"

enum fire_scheme {
    FIRE_NFPA,       /* NFPA 30 */
    FIRE_IFC,        /* International Fire Code 2018 */
    FIRE_OSHA,       /* 29 CFR 1910.106(a)(19) */
    FIRE_GHS,        /* UN GHS chapter 2.6; Australian work health and safety regulations */
    FIRE_CLP,        /* Regulation (EC) 1272/2008, Annex I, table 2.6.1 */
    FIRE_CANADA,     /* National Fire Code of Canada, Div. B, 4.1.2.1 */
    FIRE_UN,         /* UN Model Regulations / ADR / 49 CFR 173.121 packing groups */
    FIRE_CANADA_TDG, /* Canada, Transportation of Dangerous Goods, class 3 */
    FIRE_AUSTRALIA,  /* AS 1940:2017 */
    FIRE_NFPA_704,   /* NFPA 704 flammability number */
    FIRE_SCHEME_COUNT
};

#define FIRE_CLASS_NONE "none"

/* Token of a scheme: nfpa ifc osha ghs clp canada un canada-tdg australia nfpa-704. NULL if out of
 * range. */
const char *fire_scheme_token(enum fire_scheme scheme);
/* Title with the code's name, for print. NULL if out of range. */
const char *fire_scheme_title(enum fire_scheme scheme);
/* Finds a scheme by its token (length bytes, not NUL-terminated). false = unknown. */
bool fire_scheme_from_token(const char *token, size_t length, enum fire_scheme *scheme);

/* One class of one scheme, as its code words it. All text is static. */
struct fire_row {
    enum fire_scheme scheme;
    const char *token;    /* "IB" */
    const char *name;     /* "Class IB" */
    const char *words;    /* condition in the code's unit and sense of words */
    const char *citation; /* where it stands */
    const char *sure;     /* verified | two-sources | secondary | from-memory */
    bool fahrenheit;      /* unit of the four bounds */
    double flash_from;    /* -HUGE_VAL = no bound */
    bool flash_from_incl; /* bound itself belongs to the class */
    double flash_to;      /* HUGE_VAL = no bound */
    bool flash_to_incl;
    double boil_from; /* -HUGE_VAL = no condition */
    bool boil_from_incl;
    double boil_to; /* HUGE_VAL = no condition */
    bool boil_to_incl;
};

/* Rows of a scheme, most hazardous first; *count is set. NULL and 0 if out of range. */
const struct fire_row *fireclass_rows(enum fire_scheme scheme, size_t *count);

struct fire_class {
    const char *token;  /* static; FIRE_CLASS_NONE outside all classes; NULL when unknown */
    const char *name;   /* "Class IB", "Category 2", "Packing group II", "not classified" */
    const char *reason; /* why there is no class; NULL = there is one */
};

/* Class of an exactly known liquid. boil_c NaN = not known: below a flash point of 0 degC a class
 * that depends on it has no value ("the boiling point is needed"); from 0 degC up a liquid cannot
 * boil at or below 100 degF, so it is not needed. */
struct fire_class fireclass_of(enum fire_scheme scheme, double flash_c, double boil_c);

struct fire_band {
    struct fire_class cautious; /* at flash_c - uncertainty_k: the one to use */
    struct fire_class central;  /* at flash_c */
    struct fire_class other;    /* at flash_c + uncertainty_k */
    bool two_possible;          /* cautious and other differ */
    const char *reason;         /* NULL = holds */
};

/* Both possible classes of a liquid whose flash point is known to +/- uncertainty_k. With
 * boil_c NaN, `cautious` takes the low-boiling class and `other` the high-boiling one. */
struct fire_band fireclass_band(enum fire_scheme scheme, double flash_c, double uncertainty_k,
                                double boil_c);

/* GHS 2.6.4.2 and CLP Annex I 2.6.4: a CALCULATED flash point may stand in for a measurement only
 * when it is at least 5 K above the criterion (23 or 60 degC). Gives the class to use for a
 * calculated value: within 5 K above a criterion, the class below it. Only FIRE_GHS, FIRE_CLP. */
#define FIRE_CALCULATED_MARGIN_K 5.0
struct fire_class fireclass_of_calculated(enum fire_scheme scheme, double calculated_flash_c,
                                          double boil_c);

/* Hazard statement code of a GHS or CLP class: "H224" .. "H227", NULL if none. */
const char *fireclass_hazard_code(enum fire_scheme scheme, const char *token);

#endif
