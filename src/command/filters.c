/* filters.c - --topic and --rule. */
#include "text/base.h"

#include "command/filters.h"
#include "text/utf8.h"

enum {
    NEAR_MOST = 4,   /* edits within which an id is offered */
    PREFIX_LEAST = 5 /* or so many first letters alike */
};

static size_t common_prefix(const char *a, const char *b)
{
    size_t n = 0;

    while (a[n] != '\0' && a[n] == b[n])
        n++;
    return n;
}

/* The rule that was probably meant: few edits away, or else the longest beginning in common. */
const struct rule *filter_near_rule(const struct session *s, const char *id)
{
    const struct rule *near = NULL, *alike = NULL;
    unsigned best = NEAR_MOST + 1;
    size_t longest = PREFIX_LEAST - 1;

    for (size_t i = 0; i < rule_set_count(s->rules); i++) {
        const struct rule *rule = rule_set_at(s->rules, i);
        unsigned distance = str_distance(id, rule->id, NEAR_MOST);
        size_t prefix = common_prefix(id, rule->id);

        if (distance < best) {
            best = distance;
            near = rule;
        }
        if (prefix > longest) {
            longest = prefix;
            alike = rule;
        }
    }
    return near != NULL ? near : alike;
}

static bool topic_known(const struct session *s, const char *topic)
{
    for (size_t i = 0; i < rule_set_count(s->rules); i++)
        if (str_eq(rule_set_at(s->rules, i)->topic, topic))
            return true;
    return false;
}

enum exit_status filter_rules(struct session *s, struct evaluate_options *o)
{
    const char *topic = option_text(&s->options, "topic"), *id = option_text(&s->options, "rule");
    const struct rule *rule = id == NULL ? NULL : rule_set_find(s->rules, id);
    const struct rule *near = id == NULL || rule != NULL ? NULL : filter_near_rule(s, id);
    char hint[120];

    if (topic != NULL && !topic_known(s, topic))
        return session_usage(s, "`lotward rules` lists the topics", "there is no topic '%s'",
                             topic);
    if (near != NULL)
        snprintf(hint, sizeof hint, "did you mean '%s'?", near->id);
    if (id != NULL && rule == NULL)
        return session_usage(s, near == NULL ? "`lotward rules` lists them" : hint,
                             "there is no rule '%s'", id);
    if (rule != NULL && topic != NULL && !str_eq(rule->topic, topic))
        return session_usage(s, NULL, "rule '%s' is of topic '%s', not '%s'", rule->id, rule->topic,
                             topic);
    o->topic = topic;
    o->only = rule == NULL ? NULL : rule->id;
    return STATUS_CLEAN;
}
