/* example_read.h - the examples of a rule. Inside rule/ only. */
#ifndef LW_RULE_EXAMPLE_READ_H
#define LW_RULE_EXAMPLE_READ_H

#include "rule/rule.h"
#include "text/xmldoc.h"

/* Fills r->examples from <examples>; false with diagnostics unless each of the three kinds is
 * there. */
bool examples_read(struct rule *r, const xmlNode *root, struct diags *d);
void examples_free(struct rule_example *items, size_t count);

#endif
