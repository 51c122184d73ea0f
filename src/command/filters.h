/* filters.h - --topic and --rule, the same for every command that has them. */
#ifndef LW_COMMAND_FILTERS_H
#define LW_COMMAND_FILTERS_H

#include "command/session.h"

/* Rows for a command's option table. */
#define FILTER_OPTIONS                                                                             \
    {"topic", 't', OPTION_TEXT, "TOPIC", NULL, "Only the rules of this topic", 0, 0},              \
    {                                                                                              \
        "rule", 'r', OPTION_TEXT, "RULE", NULL, "Only this rule", 0, 0                             \
    }

/* Sets o->topic and o->only. A topic or rule that is not there, or a rule of another topic, is
 * refused: judging by no rule at all must never look like finding nothing. */
enum exit_status filter_rules(struct session *s, struct evaluate_options *o);
/* The rule that was probably meant; NULL when none is near. */
const struct rule *filter_near_rule(const struct session *s, const char *id);

#endif
