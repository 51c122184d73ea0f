/* rule_test.h - a rule against its own examples. */
#ifndef LW_COMMAND_RULE_TEST_H
#define LW_COMMAND_RULE_TEST_H

#include "command/session.h"

struct rule_test_result {
    unsigned long rules, examples, failed;
};

/* Judges every example of the rule in a fresh store with the catalogue of s->store. Each example
 * that does not give the verdict it promises adds a diagnostic "rule-example" at its file and line.
 * false only when memory or the database failed. */
bool rule_test(struct session *s, const struct rule *rule, struct rule_test_result *result);

#endif
