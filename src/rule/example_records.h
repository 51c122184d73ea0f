/* example_records.h - the records of one example, the derived ones included. Inside rule/ only. */
#ifndef LW_RULE_EXAMPLE_RECORDS_H
#define LW_RULE_EXAMPLE_RECORDS_H

#include "record/record.h"
#include "rule/rule.h"

struct example_records {
    struct record **items;
    size_t count, cap;
    struct record_context ctx;
    bool failed;
};

/* Reads the example's own records, or those of the rule's first example with one attribute changed
 * or left out. false with a diagnostic when they cannot be read or the attribute named is not
 * there. */
bool example_records_build(const struct rule *r, const struct rule_example *e,
                           struct example_records *out, struct diags *d);
void example_records_free(struct example_records *x);
/* How many attributes (or whole records) differ between two examples' records. */
size_t example_records_differ(const struct example_records *a, const struct example_records *b);

#endif
