/* card.h - reference cards: what a name can mean, and what is known of each kind of thing. */
#ifndef LW_COMMAND_CARD_H
#define LW_COMMAND_CARD_H

#include "command/session.h"

enum card_kind {
    CARD_STRENGTH,
    CARD_LIQUID,
    CARD_MATERIAL,
    CARD_STATEMENT,
    CARD_FIRE_CLASS,
    CARD_LIMIT,
    CARD_GRADE,
    CARD_KIND_COUNT
};

/* "liquid", "fire-class": as --kind takes it. */
const char *card_kind_name(enum card_kind kind);
/* The words of --kind, separated by spaces. */
#define CARD_KINDS "strength liquid material statement fire-class limit grade"

enum { CARD_ID_SIZE = 96, CARD_TITLE_SIZE = 160, CANDIDATES_MOST = 64 };

struct candidate {
    enum card_kind kind;
    char id[CARD_ID_SIZE];
    char part[CARD_ID_SIZE]; /* fire class: the class, id being the scheme */
    char title[CARD_TITLE_SIZE];
};

struct candidates {
    struct candidate items[CANDIDATES_MOST];
    size_t count;
};

/* Everything that is called `name` (any case, blanks or hyphens); kind NULL: of any kind. false
 * with a diagnostic when the database failed. */
bool card_find(struct session *s, const char *name, const char *kind, struct candidates *out);
/* Names like this one, for a hint: "did you mean 'a', 'b' or 'c'?"; false: none is near. */
bool card_near(struct session *s, const char *name, struct sbuf *hint);
/* What to ask when a name misleads, from the catalogue; adds notes to the report. */
bool card_traps(struct session *s, const char *name);

/* Each fills the report; false with a diagnostic. */
bool card_strength(struct session *s, const char *text);
bool card_liquid(struct session *s, const struct candidate *c);
bool card_material(struct session *s, const struct candidate *c);
bool card_statement(struct session *s, const struct candidate *c);
bool card_fire_class(struct session *s, const struct candidate *c);
bool card_limit(struct session *s, const struct candidate *c);
bool card_grade(struct session *s, const struct candidate *c);

/* --- shared by the cards (card_facts.c) --- */

/* Adds a table of what the SELECT gives, a row each: property, low, high, more ('yes': a floor),
 * unit, text, source, sure. Rows without a number and without text are left out; nothing at all is
 * added when there is no row. id is bound to ?1, part to ?2. */
bool card_facts(struct session *s, const char *name, const char *title, const char *sql,
                const struct candidate *c);
/* A table of plain text columns; heads separated by one blank. */
bool card_rows(struct session *s, const char *name, const char *title, const char *heads,
               const char *sql, const struct candidate *c);
/* One row of such a table of facts, made by hand. */
struct report_table *card_fact_table(struct session *s, const char *name, const char *title);
void card_fact(struct session *s, struct report_table *t, const char *property, const char *value,
               const char *source, const char *sure);
/* Fire classes of a flash point known to +/- uncertainty. */
void card_classes(struct session *s, double flash_c, double uncertainty_k, double boil_c);

#endif
