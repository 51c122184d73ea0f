/* work.h - what the sub-commands of `lotward work` share: arguments in, one answer out.
 *
 * A sub-command reads its arguments with the arg_ functions, which say what to type when they
 * refuse, and fills the answer. The answer is printed as text (through the report) or as one JSON
 * object whose keys carry their unit. A value that cannot be told is null, with its reason. */
#ifndef LW_COMMAND_WORK_H
#define LW_COMMAND_WORK_H

#include "command/session.h"
#include "physics/value.h"
#include "report/chart.h"
#include "text/quantity.h"
#include "text/show.h"

enum { ANSWER_MOST = 64, FORMULAS_MOST = 8, CAUTIONS_MOST = 16 };

enum answer_kind { ANSWER_VALUE, ANSWER_TEXT, ANSWER_TABLE };

struct answer_item {
    enum answer_kind kind;
    const char *key;   /* static: the key in JSON, with its unit */
    const char *label; /* static: for people; NULL: in JSON only */
    const char *unit;  /* static: unit name of text/quantity.h, or plain words */
    double value;
    double uncertainty;         /* same unit; 0: not stated */
    const char *reason;         /* static: why there is no value */
    char *text;                 /* owned: ANSWER_TEXT; NULL: null */
    struct report_table *table; /* of the report: ANSWER_TABLE */
};

struct formula {
    const char *name, *source, *range; /* static */
};

struct work {
    struct session *s;
    const char *name; /* of the sub-command; NULL: the card of a strength */
    bool json;
    enum show_units units;
    struct answer_item items[ANSWER_MOST];
    size_t item_count;
    struct formula formulas[FORMULAS_MOST];
    size_t formula_count;
    char *cautions[CAUTIONS_MOST]; /* owned */
    size_t caution_count;
    bool untold; /* a value that was asked for has none: exit status 1 */
    bool failed; /* out of memory */
};

/* --- the answer (work_answer.c) --- */

/* A value that was asked for: without one the exit status is 1. */
void answer_value(struct work *w, const char *key, const char *label, const char *unit,
                  struct phys_value v);
/* A value told besides; without one the exit status stays. */
void answer_side(struct work *w, const char *key, const char *label, const char *unit,
                 struct phys_value v);
void answer_number(struct work *w, const char *key, const char *label, const char *unit, double v);
void answer_text(struct work *w, const char *key, const char *label, const char *text);
/* Columns are keys in JSON. Borrowed from the report; may be NULL. */
struct report_table *answer_table(struct work *w, const char *key, const char *title,
                                  const char *note);
void answer_formula(struct work *w, const char *name, const char *source, const char *range);
void answer_caution(struct work *w, const char *fmt, ...) LW_PRINTF(2, 3);
/* A cell with the number for machines and the quantity for people; reason: why there is none. */
void answer_cell(struct work *w, struct report_table *t, struct phys_value v, const char *unit);
/* Units of evaporation: two digits, or one, as the models are right within a factor of 3. */
#define WORK_RATE       "g/min, two digits"
#define WORK_RATE_ROUGH "g/min, one digit"
void answer_show(struct sbuf *b, double value, const char *unit, enum show_units units);
/* " +/- 3 K"; nothing when it is not above 0. */
void answer_show_uncertainty(struct sbuf *b, double uncertainty, const char *unit,
                             enum show_units units);
enum exit_status answer_print(struct work *w);
/* In JSON: the last diagnostic as the reason why there is no answer. */
void answer_refusal(struct work *w);
void answer_free(struct work *w);

/* --- arguments (work_args.c): false with a diagnostic that says what to type --- */

struct strength {
    double mass_fraction;
    double vol_percent; /* 20 degC */
    double mole_fraction;
    const char *typed;
};

/* An amount with its strength or its liquid: "500 mL@96 %vol", "20 g@acetone". */
struct part {
    struct quantity amount; /* g or L */
    char *what;             /* owned: the text behind the @ */
    bool is_strength;
    struct strength strength;
};

bool arg_quantity(struct work *w, const char *what, const char *text, enum dimension dim,
                  struct quantity *q);
bool arg_strength(struct work *w, const char *what, const char *text, struct strength *out);
bool arg_part(struct work *w, const char *text, struct part *out);
void part_free(struct part *p);
/* Option `name` in the canonical unit of dim; not given: `otherwise`. */
bool arg_option(struct work *w, const char *name, enum dimension dim, double otherwise,
                double *out);
/* The same, but it must be given. */
bool arg_needed(struct work *w, const char *name, enum dimension dim, double *out);
bool arg_strength_option(struct work *w, const char *name, struct strength *out);
/* "5 g/min", "0.3 kg/h" */
bool arg_rate(struct work *w, const char *name, double *g_min);
/* --glass: cubic expansion per degC; not given: that of `otherwise`. */
bool arg_glass(struct work *w, const char *otherwise, double *per_k);
/* --altitude to air pressure, kPa; not given: 101.325. */
bool arg_pressure(struct work *w, double *kpa);
bool arg_refuse(struct work *w, const char *hint, const char *fmt, ...) LW_PRINTF(3, 4);
bool arg_given(const struct work *w, const char *name);
/* A plain number with "%" or "percent" behind it. */
bool arg_percent(struct work *w, const char *name, double otherwise, double *out);

/* --- charts (work_chart.c): does nothing without --svg --- */

bool work_chart_write(struct work *w, const struct chart *c);

/* --- the sub-commands: false after a refusal --- */

typedef bool work_run(struct work *w);
work_run work_strength, work_reading, work_mix, work_dilute, work_ratio, work_fill, work_flash,
    work_vapour, work_evaporate, work_room;

/* work_flash_class.c: classes of a flash point under every scheme, as a table. */
void work_classes(struct work *w, struct phys_value flash, double boil_c, bool calculated);
/* work_flash_other.c: liquids of the catalogue and mixtures. */
bool work_flash_parts(struct work *w);
bool work_flash_named(struct work *w, const char *name);

/* One liquid of the catalogue; owned texts. */
struct liquid {
    char *id, *name;
    double molar_mass_g_mol, density_kg_m3, flash_c, boil_c, lel_percent, uel_percent; /* NaN */
    char *flash_source, *flash_sure, *flash_method, *kind;
    char *note;
    double flash_high_c, lel_high_percent;
    bool flash_floor; /* the flash point is above flash_c */
    bool failed;      /* out of memory */
};

/* By id, name, CAS number or other name. false with a diagnostic that names near ones. */
bool work_liquid(struct work *w, const char *name, struct liquid *out);
void liquid_free(struct liquid *l);

#endif
