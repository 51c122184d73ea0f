/* report_json.c - the report as one JSON document.  docs/report-json.md describes the members. */
#include "text/base.h"

#include "report/format.h"
#include "report/json.h"
#include "text/date.h"

enum { FORMAT_VERSION = 1 }; /* raised when a member changes its meaning or goes away */

static void put_strings(struct json *j, const char *key, char *const *strings, size_t count)
{
    json_open(j, key, '[');
    for (size_t i = 0; i < count; i++)
        json_string(j, NULL, strings[i]);
    json_close(j, ']');
}

static void put_inputs(struct json *j, const struct report *r)
{
    json_open(j, "inputs", '[');
    for (size_t i = 0; i < r->input_count; i++) {
        const struct report_input *in = &r->inputs[i];

        json_open(j, NULL, '{');
        json_string(j, "name", in->name);
        json_string(j, "kind", in->book ? "book" : "file");
        json_count(j, "read", in->read);
        json_count(j, "refused", in->refused);
        json_bool(j, "whole", in->whole);
        json_close(j, '}');
    }
    json_close(j, ']');
}

static void put_code_sets(struct json *j, const struct report *r)
{
    json_open(j, "code_sets", '[');
    for (size_t i = 0; i < r->code_set_count; i++) {
        const struct report_code_set *c = &r->code_sets[i];

        json_open(j, NULL, '{');
        json_string(j, "id", c->id);
        json_maybe(j, "title", c->title);
        json_maybe(j, "edition", c->edition);
        json_close(j, '}');
    }
    json_close(j, ']');
    json_bool(j, "code_sets_by_default", r->code_sets_default);
    put_strings(j, "local_limits", r->replacements, r->replacement_count);
}

static void put_verdicts(struct json *j, const char *key, const unsigned long counts[4])
{
    json_open(j, key, '{');
    json_count(j, "holds", counts[VERDICT_HOLDS]);
    json_count(j, "fails", counts[VERDICT_FAILS]);
    json_count(j, "cannot_tell", counts[VERDICT_CANNOT_TELL]);
    json_count(j, "does_not_apply", counts[VERDICT_NOT_APPLICABLE]);
    json_close(j, '}');
}

static void put_summary(struct json *j, const struct report *r)
{
    struct report_totals n = report_count(r);

    json_open(j, "summary", '{');
    json_count(j, "records_read", n.read);
    json_count(j, "records_refused", n.refused);
    if (r->findings != NULL) {
        json_count(j, "rules_run", n.rules_run);
        put_verdicts(j, "rules", n.rules);
        put_verdicts(j, "rows", n.rows);
        json_open(j, "fails_by_severity", '{');
        for (int s = SEVERITY_STOP; s >= SEVERITY_NOTE; s--)
            json_count(j, severity_name((enum severity)s), n.fails[s]);
        json_close(j, '}');
        json_count(j, "could_not_be_told", n.untold);
        json_count(j, "waived", n.waived);
        if (r->before != NULL)
            json_count(j, "new_with_plan", n.fresh);
        json_count(j, "not_shown", r->hidden);
    }
    json_close(j, '}');
}

static void put_sources(struct json *j, const struct rule *rule)
{
    json_open(j, "sources", '[');
    for (size_t i = 0; i < rule->source_count; i++) {
        const struct rule_source *s = &rule->sources[i];

        json_open(j, NULL, '{');
        json_maybe(j, "work", s->work);
        json_maybe(j, "section", s->section);
        json_maybe(j, "edition", s->edition);
        json_maybe(j, "sure", s->sure);
        json_bool(j, "confirmed", !report_unconfirmed(s->sure));
        json_close(j, '}');
    }
    json_close(j, ']');
}

static void put_where(struct json *j, const struct finding *f)
{
    json_open(j, "subject", '{');
    json_string(j, "kind", f->subject_kind);
    json_string(j, "id", f->subject);
    json_close(j, '}');
    json_maybe(j, "lot", f->lot);
    json_maybe(j, "file", f->file);
    if (f->file != NULL && f->line > 0)
        json_count(j, "line", (unsigned long)f->line);
}

static void put_finding(struct json *j, const struct report *r, const struct finding *f)
{
    const struct finding *before = report_before(r, f);

    json_open(j, NULL, '{');
    json_string(j, "key", f->key);
    json_string(j, "rule", f->rule->id);
    json_string(j, "topic", f->rule->topic);
    json_string(j, "severity", severity_name(f->rule->severity));
    json_string(j, "verdict", verdict_name(f->verdict));
    json_string(j, "title", f->rule->title);
    json_maybe(j, "message", f->message);
    put_where(j, f);
    json_maybe(j, "value", f->value);
    json_maybe(j, "limit", f->limit);
    json_maybe(j, "limit_source", f->limit_source);
    json_maybe(j, "needs", f->needs);
    json_maybe(j, "waiver", f->waiver);
    json_maybe(j, "waiver_reason", f->waiver_reason);
    json_maybe(j, "baseline", f->baseline);
    if (r->before != NULL) {
        json_bool(j, "new_with_plan", f->is_new);
        if (before != NULL)
            json_maybe(j, "value_before_plan", before->value);
    }
    json_close(j, '}');
}

static void put_rule(struct json *j, const struct rule_tally *t)
{
    json_open(j, NULL, '{');
    json_string(j, "id", t->rule->id);
    json_string(j, "title", t->rule->title);
    json_string(j, "topic", t->rule->topic);
    json_string(j, "severity", severity_name(t->rule->severity));
    json_maybe(j, "why", t->rule->why);
    json_maybe(j, "do", t->rule->todo);
    json_maybe(j, "decides", t->rule->decides);
    put_sources(j, t->rule);
    put_verdicts(j, "rows", t->verdicts);
    json_close(j, '}');
}

static void put_findings(struct json *j, const struct report *r)
{
    json_open(j, "findings", '[');
    for (size_t i = 0; i < r->findings->count; i++)
        if (report_shows(r, &r->findings->items[i]))
            put_finding(j, r, &r->findings->items[i]);
    json_close(j, ']');
    json_open(j, "rules", '[');
    for (size_t i = 0; i < r->findings->tally_count; i++)
        put_rule(j, &r->findings->tallies[i]);
    json_close(j, ']');
}

static void put_cell(struct json *j, const struct report_column *c, const struct report_cell *cell)
{
    if (isnan(cell->number))
        json_string(j, c->name, cell->text);
    else
        json_number(j, c->name, cell->number);
}

static void put_table(struct json *j, const struct report_table *t)
{
    size_t rows = report_row_count(t);

    json_open(j, NULL, '{');
    json_string(j, "name", t->name);
    json_maybe(j, "title", t->title);
    json_maybe(j, "note", t->note);
    json_open(j, "columns", '[');
    for (size_t c = 0; c < t->column_count; c++) {
        json_open(j, NULL, '{');
        json_string(j, "name", t->columns[c].name);
        json_maybe(j, "head", t->columns[c].head);
        json_maybe(j, "unit", t->columns[c].unit);
        json_close(j, '}');
    }
    json_close(j, ']');
    json_open(j, "rows", '[');
    for (size_t row = 0; row < rows; row++) {
        json_open(j, NULL, '{');
        for (size_t c = 0; c < t->column_count; c++)
            put_cell(j, &t->columns[c], &t->cells[row * t->column_count + c]);
        json_close(j, '}');
    }
    json_close(j, ']');
    json_close(j, '}');
}

static void put_problems(struct json *j, const struct diags *d)
{
    static const char *const levels[] = {"note", "warning", "error", "fatal"};

    json_open(j, "problems", '[');
    for (size_t i = 0; d != NULL && i < diags_count(d); i++) {
        const struct diag *p = diags_at(d, i);

        json_open(j, NULL, '{');
        json_string(j, "level", levels[p->level]);
        json_string(j, "code", p->code);
        json_maybe(j, "file", p->file);
        if (p->line > 0)
            json_count(j, "line", (unsigned long)p->line);
        if (p->column > 0)
            json_count(j, "column", (unsigned long)p->column);
        json_string(j, "message", p->message);
        json_maybe(j, "hint", p->hint);
        json_close(j, '}');
    }
    json_close(j, ']');
}

void report_json(const struct report *r, const struct report_style *style, struct sbuf *out)
{
    struct json j;
    char day[11];

    (void)style;
    json_init(&j, out);
    json_open(&j, NULL, '{');
    json_string(&j, "format", "lotward-report");
    json_count(&j, "format_version", FORMAT_VERSION);
    json_string(&j, "command", r->command);
    json_maybe(&j, "title", r->title);
    if (r->dated)
        json_string(&j, "as_of", date_format(r->as_of, day));
    json_bool(&j, "complete", r->incomplete_count == 0);
    put_strings(&j, "incomplete", r->incomplete, r->incomplete_count);
    put_inputs(&j, r);
    put_code_sets(&j, r);
    put_strings(&j, "notes", r->notes, r->note_count);
    put_summary(&j, r);
    if (r->findings != NULL)
        put_findings(&j, r);
    json_open(&j, "tables", '[');
    for (size_t i = 0; i < r->table_count; i++)
        put_table(&j, r->tables[i]);
    json_close(&j, ']');
    put_problems(&j, r->diags);
    json_string(&j, "deferral", report_deferral());
    json_close(&j, '}');
}
