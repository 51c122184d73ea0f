/* mutants.h - small wrongs planted in a rule: a comparison turned, a limit moved, a condition
 * dropped.
 *
 * Every mutant is the rule with one change. A rule's own examples must notice each; one that they
 * do not notice is a line nobody would see break. */
#ifndef LW_TESTS_RULES_MUTANTS_H
#define LW_TESTS_RULES_MUTANTS_H

#include "text/base.h"

#include "rule/rule.h"

enum mutant_kind { MUTANT_COMPARISON, MUTANT_LIMIT, MUTANT_CONJUNCT, MUTANT_KINDS };

struct mutant {
    enum mutant_kind kind;
    char *what; /* in words, unique within the rule: "where: conjunct 2 dropped: x > 0" */
    bool has_where, has_must;
    char *where;         /* with has_where: the new condition, NULL: every row */
    enum must_form form; /* with has_must: the new requirement */
    char *value, *against;
    char *limit_sql; /* a change of lim_in_force for the limit ?1; NULL: none */
    /* of a run: */
    bool stillborn; /* does not compile: no mutant at all */
    bool killed;
    size_t killed_by; /* example */
};

struct mutants {
    struct mutant *items;
    size_t count, cap;
};

/* All mutants of a rule. `limit`: it compares with a named limit; `other`: another limit of the
 * same unit to take its place, NULL: there is none. false when out of memory. */
bool mutants_make(const struct rule *r, bool limit, const char *other, struct mutants *out);
void mutants_free(struct mutants *m);
const char *mutant_kind_name(enum mutant_kind k);

#endif
