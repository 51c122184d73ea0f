/* explain.c - lotward explain: what a rule asks, why, what to do, who says so. */
#include "text/base.h"

#include "command/filters.h"
#include "command/rows.h"
#include "text/utf8.h"

static void put_asks(struct session *s, struct report_table *t, const struct rule *rule)
{
    struct sbuf b = SBUF_INIT;

    sbuf_printf(&b, "%s %s", rule->value == NULL ? "the row" : rule->value, must_name(rule->form));
    if (rule->against != NULL)
        sbuf_printf(&b, " %s%s", rule->against_limit ? "the limit " : "", rule->against);
    report_pair(&s->report, t, "asks", b.s);
    sbuf_clear(&b);
    sbuf_printf(&b, "each row of the fact '%s'", rule->fact);
    if (rule->where != NULL)
        sbuf_printf(&b, " where %s", rule->where);
    report_pair(&s->report, t, "looks at", b.s);
    if (b.failed)
        s->report.failed = true;
    sbuf_free(&b);
}

static void put_sources(struct session *s, struct report_table *t, const struct rule *rule)
{
    for (size_t i = 0; i < rule->source_count; i++) {
        const struct rule_source *source = &rule->sources[i];
        struct sbuf b = SBUF_INIT;

        sbuf_puts(&b, source->work);
        if (source->section != NULL)
            sbuf_printf(&b, " %s", source->section);
        if (source->edition != NULL)
            sbuf_printf(&b, ", %s", source->edition);
        sbuf_printf(&b, " (%s)", report_sureness(source->sure));
        if (b.failed)
            s->report.failed = true;
        report_pair(&s->report, t, "source", b.s);
        sbuf_free(&b);
    }
}

static void put_examples(struct session *s, struct report_table *t, const struct rule *rule)
{
    for (size_t i = 0; i < rule->example_count; i++) {
        const struct rule_example *e = &rule->examples[i];
        struct sbuf b = SBUF_INIT;

        sbuf_printf(&b, "%s", verdict_name(e->expect));
        if (e->differs != NULL)
            sbuf_printf(&b, ", for it differs in %s", e->differs);
        if (e->blank != NULL)
            sbuf_printf(&b, ", for %s is blank", e->blank);
        sbuf_printf(&b, " (%s:%ld)", rule->file, e->line);
        if (b.failed)
            s->report.failed = true;
        report_pair(&s->report, t, "example", b.s);
        sbuf_free(&b);
    }
}

static void put_limit(struct session *s, sqlite3_stmt *st, void *user)
{
    struct report_table *t = user;
    struct sbuf b = SBUF_INIT;

    report_cell(&s->report, t, rows_text(st, 0));
    for (int i = 1; i <= 8; i++) /* the conditions */
        if (rows_text(st, i) != NULL)
            sbuf_printf(&b, "%s%s", b.len > 0 ? ", " : "", rows_text(st, i));
    report_cell(&s->report, t, b.s);
    sbuf_clear(&b);
    sbuf_puts(&b, rows_text(st, 9));
    for (char *p = b.s; *p != '\0'; p++)
        if (*p == '-')
            *p = ' ';
    sbuf_putc(&b, ' ');
    sbuf_number(&b, sqlite3_column_double(st, 10), 6);
    sbuf_printf(&b, " %s", rows_text(st, 11) == NULL ? "" : rows_text(st, 11));
    report_cell_number(&s->report, t, NAN, 0, b.s);
    sbuf_clear(&b);
    sbuf_puts(&b, rows_text(st, 12));
    if (report_unconfirmed(rows_text(st, 13)))
        sbuf_printf(&b, " (%s)", report_sureness(rows_text(st, 13)));
    report_cell(&s->report, t, b.s);
    if (b.failed)
        s->report.failed = true;
    sbuf_free(&b);
}

static bool put_limits(struct session *s, const struct rule *rule)
{
    struct report_table *t;

    if (!rule->against_limit || rule->against == NULL)
        return true;
    t = report_add_table(&s->report, "limits", "The limit in each code set",
                         "The premises record says which code sets apply.", TABLE_GRID);
    report_column(&s->report, t, "code-set", NULL, NULL, ALIGN_LEFT);
    report_column(&s->report, t, "for", NULL, NULL, ALIGN_LEFT);
    report_column(&s->report, t, "limit", NULL, NULL, ALIGN_LEFT);
    report_column(&s->report, t, "cited-from", "cited from", NULL, ALIGN_LEFT);
    return rows_select(s,
                       "select codeset, class, container, occupancy, situation,"
                       " 'storey ' || storey, 'sprinklers ' || sprinklers, 'cabinet ' || cabinet,"
                       " cond, words, value, unit, cite, sure from lim where name = ?1"
                       " order by codeset, class, line",
                       rule->against, NULL, put_limit, t);
}

/* The columns of the fact that the rule reads, so that its words can be looked up. */
static void put_columns(struct session *s, const struct rule *rule)
{
    const struct fact_sheet *sheet = fact_set_find(s->sheets, rule->fact);
    struct report_table *t;

    if (sheet == NULL)
        return;
    t = report_add_table(&s->report, "fact", "The fact it reads", sheet->row, TABLE_GRID);
    report_column(&s->report, t, "column", NULL, NULL, ALIGN_LEFT);
    report_column(&s->report, t, "unit", NULL, NULL, ALIGN_LEFT);
    report_column(&s->report, t, "meaning", NULL, NULL, ALIGN_LEFT);
    report_column(&s->report, t, "read-from", "read from", NULL, ALIGN_LEFT);
    for (size_t i = 0; i < sheet->column_count; i++) {
        const struct fact_column *c = &sheet->columns[i];

        report_cell(&s->report, t, c->name);
        report_cell(&s->report, t, c->unit);
        report_cell(&s->report, t, c->meaning);
        report_cell(&s->report, t, c->from);
    }
}

static bool put_rule(struct session *s, const struct rule *rule)
{
    struct report_table *t;
    struct sbuf title = SBUF_INIT;
    char decider[64];

    sbuf_printf(&title, "%s: %s", rule->id, rule->title);
    t = report_add_table(&s->report, "rule", title.s, NULL, TABLE_PAIRS);
    sbuf_free(&title);
    report_pair(&s->report, t, "topic", rule->topic);
    report_pair(&s->report, t, "severity", severity_name(rule->severity));
    put_asks(s, t, rule);
    report_pair(&s->report, t, "says", rule->say);
    report_pair(&s->report, t, "why", rule->why);
    report_pair(&s->report, t, "what to do", rule->todo);
    put_sources(s, t, rule);
    report_pair(&s->report, t, "who decides",
                report_decider(rule->decides, decider, sizeof decider));
    report_pair(&s->report, t, "since", rule->since);
    put_examples(s, t, rule);
    put_columns(s, rule);
    return put_limits(s, rule);
}

static enum exit_status run(struct session *s)
{
    if (s->name_count == 0)
        return session_usage(s, "`lotward rules` lists them", "name a rule to explain");
    for (size_t i = 0; i < s->name_count; i++) {
        const struct rule *rule = rule_set_find(s->rules, s->names[i]);
        const struct rule *near = rule == NULL ? filter_near_rule(s, s->names[i]) : NULL;
        char hint[120];

        if (rule == NULL) {
            snprintf(hint, sizeof hint,
                     near == NULL ? "`lotward rules` lists them%s" : "did you mean '%s'?",
                     near == NULL ? "" : near->id);
            return session_usage(s, hint, "there is no rule '%s'", s->names[i]);
        }
        if (!put_rule(s, rule))
            return session_trouble(s);
    }
    return session_report(s);
}

const struct command command_explain = {
    .name = "explain",
    .summary = "say what a rule asks, why, and who says so",
    .operands = "RULE...",
    .about = "Prints one rule, or several: what it asks of which record, why, what to do, the "
             "source and how sure it is, who decides, the limit in every code set that has it, "
             "and the fact it reads.",
    .examples = "  lotward explain container-too-large-for-class\n"
                "  lotward explain --format json container-too-large-for-class\n",
    .flags = NEEDS_RULES | NEEDS_SHEETS | NEEDS_CATALOGUE | MAKES_REPORT,
    .run = run,
};
