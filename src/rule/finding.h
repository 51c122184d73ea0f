/* finding.h - what the evaluation says, for the reports. */
#ifndef LW_RULE_FINDING_H
#define LW_RULE_FINDING_H

#include "text/base.h"

enum verdict { VERDICT_HOLDS, VERDICT_FAILS, VERDICT_CANNOT_TELL, VERDICT_NOT_APPLICABLE };
enum severity { SEVERITY_NOTE, SEVERITY_QUERY, SEVERITY_FIX, SEVERITY_STOP };

struct rule; /* rule/rule.h */

/* One verdict on one row of a fact. All strings are owned by the findings list. */
struct finding {
    const struct rule *rule;
    enum verdict verdict;
    char *subject_kind; /* record kind, "batch", "place", "premises" ... */
    char *subject;      /* its id */
    char *lot;          /* the lot it belongs to; NULL when none */
    char *file;         /* where the record stands; NULL: book or computed */
    long line;
    char *message;      /* the rule's <say> with the row's values filled in */
    char *value;        /* "21.6 L (5.71 gal)" ; NULL when the rule compares nothing */
    char *limit;        /* "not more than 5 gal (18.9 L)"; NULL when none */
    char *limit_source; /* "IFC 2018 105.6.16 (two-sources)" or "own town, 2026-02-01: ..." */
    char *needs;        /* VERDICT_CANNOT_TELL: the empty inputs in words */
    char *key; /* stable identity: rule|subject_kind|subject|discriminator (for compare, waivers) */
    bool is_new;          /* arises only because of the planned records */
    char *waiver;         /* id of the waiver that answers it; NULL: none */
    char *waiver_reason;  /* its reason, who answers for it and its last day, in words */
    const char *baseline; /* against an earlier report: "new" "unchanged" "updated"; static; NULL:
                             not compared */
};

struct rule_tally {
    const struct rule *rule;
    unsigned long verdicts[4]; /* by enum verdict; rows not selected count as not applicable */
};

/* The whole result of one run; everything a report may print is here. Sorted: severity (worst
 * first), rule id, subject, key; only fails and cannot-tells are kept as findings, holds are
 * tallied. */
struct findings {
    struct finding *items;
    size_t count;
    struct rule_tally *tallies; /* one a rule, in id order */
    size_t tally_count;
};

const char *verdict_name(enum verdict v);   /* "holds" "fails" "cannot tell" "does not apply" */
const char *severity_name(enum severity s); /* "note" "query" "fix" "stop" */
void findings_free(struct findings *f);     /* NULL-safe: frees the contents and f */

#endif
