/* rules.c - lotward rules: the list of rules, and their own examples as a test. */
#include "text/base.h"

#include "command/session.h"
#include "rule/selftest.h"
#include "text/utf8.h"

static const struct option_spec options[] = {
    {"topic", 't', OPTION_TEXT, "TOPIC", NULL, "Only the rules of this topic", 0, 0},
    {"test", 0, OPTION_FLAG, NULL, NULL, "Run every rule's own examples and say which go wrong", 0,
     0},
};

/* Rules named as operands, or all of them; then the topic. */
static bool chosen(const struct session *s, const struct rule *rule)
{
    const char *topic = option_text(&s->options, "topic");
    bool named = s->name_count == 0;

    for (size_t i = 0; !named && i < s->name_count; i++)
        named = rule_set_find(s->rules, s->names[i]) == rule;
    return named && (topic == NULL || str_eq(rule->topic, topic));
}

static enum exit_status check_names(struct session *s)
{
    for (size_t i = 0; i < s->name_count; i++)
        if (rule_set_find(s->rules, s->names[i]) == NULL)
            return session_usage(s, "`lotward rules` lists them", "there is no rule '%s'",
                                 s->names[i]);
    for (size_t i = 0; i < rule_set_count(s->rules); i++)
        if (chosen(s, rule_set_at(s->rules, i)))
            return STATUS_CLEAN;
    return session_usage(s, "`lotward rules` lists the topics", "no rule matches");
}

static void list_rules(struct session *s)
{
    struct report_table *t = report_add_table(&s->report, "rules", NULL, NULL, TABLE_GRID);
    char decider[64];

    report_column(&s->report, t, "rule", NULL, NULL, ALIGN_LEFT);
    report_column(&s->report, t, "topic", NULL, NULL, ALIGN_LEFT);
    report_column(&s->report, t, "severity", NULL, NULL, ALIGN_LEFT);
    report_column(&s->report, t, "title", NULL, NULL, ALIGN_LEFT);
    report_column(&s->report, t, "decides", "who decides", NULL, ALIGN_LEFT);
    for (size_t i = 0; i < rule_set_count(s->rules); i++) {
        const struct rule *rule = rule_set_at(s->rules, i);

        if (!chosen(s, rule))
            continue;
        report_cell(&s->report, t, rule->id);
        report_cell(&s->report, t, rule->topic);
        report_cell(&s->report, t, severity_name(rule->severity));
        report_cell(&s->report, t, rule->title);
        report_cell(&s->report, t, report_decider(rule->decides, decider, sizeof decider));
    }
}

/* Counts the results of the chosen rules; each failure is a diagnostic. */
static unsigned long tell_failures(struct session *s, const struct selftest_results *results,
                                   unsigned long *examples)
{
    unsigned long failed = 0;

    for (size_t i = 0; i < results->count; i++) {
        const struct selftest_result *r = &results->items[i];

        if (!chosen(s, r->rule))
            continue;
        (*examples)++;
        if (r->passed)
            continue;
        failed++;
        diags_add(s->diags, DIAG_ERROR, "rule-example", NULL, 0, 0, NULL, "%s", r->why);
    }
    return failed;
}

static enum exit_status test_rules(struct session *s)
{
    const char *only = s->name_count == 1 ? rule_set_find(s->rules, s->names[0])->id : NULL;
    struct selftest_results *results = selftest_run(s->store, s->sheets, s->rules, only, s->diags);
    unsigned long rules = 0, examples = 0, failed;
    struct report_table *t;
    enum exit_status status;

    if (results == NULL)
        return session_trouble(s);
    for (size_t i = 0; i < rule_set_count(s->rules); i++)
        rules += chosen(s, rule_set_at(s->rules, i));
    failed = tell_failures(s, results, &examples);
    t = report_add_table(&s->report, "test", "Rules against their own examples", NULL, TABLE_GRID);
    report_column(&s->report, t, "rules", NULL, NULL, ALIGN_RIGHT);
    report_column(&s->report, t, "examples", NULL, NULL, ALIGN_RIGHT);
    report_column(&s->report, t, "passed", NULL, NULL, ALIGN_RIGHT);
    report_column(&s->report, t, "failed", NULL, NULL, ALIGN_RIGHT);
    report_cell_count(&s->report, t, rules);
    report_cell_count(&s->report, t, examples);
    report_cell_count(&s->report, t, examples - failed);
    report_cell_count(&s->report, t, failed);
    status = session_report(s);
    selftest_free(results);
    return status == STATUS_CLEAN && failed > 0 ? STATUS_INPUT : status;
}

static enum exit_status run(struct session *s)
{
    enum exit_status status = check_names(s);

    if (status != STATUS_CLEAN)
        return status;
    if (option_flag(&s->options, "test"))
        return test_rules(s);
    list_rules(s);
    return session_report(s);
}

const struct command command_rules = {
    .name = "rules",
    .summary = "list the rules, or run their own examples",
    .operands = "[RULE...]",
    .about = "Lists every rule with its topic, severity and who decides. With --test, every "
             "rule's own examples are judged by it: those that must fail, hold and stay open.",
    .examples = "  lotward rules --topic storage\n"
                "  lotward rules --test\n",
    .options = options,
    .option_count = LW_COUNT(options),
    .flags = NEEDS_RULES | NEEDS_SHEETS | NEEDS_CATALOGUE | MAKES_REPORT,
    .run = run,
};
