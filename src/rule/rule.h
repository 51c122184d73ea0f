/* rule.h - one requirement over one fact, read from rules/TOPIC/ID.xml. */
#ifndef LW_RULE_RULE_H
#define LW_RULE_RULE_H

#include "record/store.h"
#include "rule/finding.h"
#include "text/diag.h"

enum must_form {
    MUST_PRESENT,
    MUST_MATCHES,
    MUST_BEFORE,
    MUST_NOT_BEFORE,
    MUST_AT_MOST,
    MUST_AT_LEAST,
    MUST_TRUE
};

struct rule_source { /* all owned by the rule */
    char *work, *section, *edition, *sure;
};

struct rule_example {
    enum verdict expect; /* what the rule must say of it; the first one fails */
    char
        *records; /* a <records> document, as text; NULL: the first failing one, changed as below */
    char *differs; /* "batch@strength" or "batch:L1@strength": the one attribute that differs */
    char *to;      /* its value here */
    char *blank;   /* the one attribute left out, written alike */
    char *as_of;   /* ISO date the example is judged on; NULL: 2026-06-30 */
    long line;
};

struct rule {
    char *id, *topic, *title, *since, *file;
    enum severity severity;
    char *fact;  /* the fact it ranges over */
    char *where; /* SQL expression; NULL: every row */
    enum must_form form;
    char *value;        /* column or SQL expression looked at */
    char *against;      /* limit name, other column or expression, or pattern name */
    bool against_limit; /* `against` is a named limit */
    char *say, *why, *todo, *decides;
    struct rule_source *sources;
    size_t source_count;
    struct rule_example *examples;
    size_t example_count;
};

struct rule_set; /* all rules, sorted by id; owns them */

/* Reads every rules/TOPIC/ID.xml and retired.xml. A rule that is not whole (missing why, do,
 * decides, source, or one of the three kinds of example) is an error. NULL when any was refused. */
struct rule_set *rule_set_read(const char *rules_dir, struct diags *d);
/* From the image the store came from, and then without their examples; else as above. */
struct rule_set *rule_set_load(struct store *s, const char *rules_dir, struct diags *d);
/* Packs the rules of data_dir/../rules into a store that becomes an image. */
bool rule_set_keep(struct store *s, const char *data_dir, struct diags *d);
void rule_set_free(struct rule_set *s);
size_t rule_set_count(const struct rule_set *s);
const struct rule *rule_set_at(const struct rule_set *s, size_t i);
const struct rule *rule_set_find(const struct rule_set *s, const char *id); /* retired ids map on */
const char *must_name(enum must_form f);

#endif
