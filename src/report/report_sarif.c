/* report_sarif.c - the findings as a SARIF 2.1.0 log (OASIS standard, errata 01), for programs that
 * gather the results of many checkers.
 *
 * A failing finding is kind "fail"; one that could not be told is kind "open" with level "none", as
 * section 3.27.10 asks; a waived one carries a suppression with its reason (3.35). Beside an
 * earlier report every result says its state, and what is gone is "absent" (3.27.24). What was
 * corrected in the book stands in the properties of the run. */
#include "text/base.h"

#include "config.h"

#include "report/format.h"
#include "report/json.h"
#include "text/date.h"
#include "text/utf8.h"

static const char *level_of(enum severity s)
{
    switch (s) {
    case SEVERITY_STOP:
    case SEVERITY_FIX:
        return "error";
    case SEVERITY_QUERY:
        return "warning";
    case SEVERITY_NOTE:
        break;
    }
    return "note";
}

static void put_text(struct json *j, const char *key, const char *text)
{
    if (text == NULL || *text == '\0')
        return;
    json_open(j, key, '{');
    json_string(j, "text", text);
    json_close(j, '}');
}

/* A file name as a URI reference (RFC 3986): unreserved characters and '/' stand, others are
 * percent-encoded. */
static void put_uri(struct json *j, const char *file)
{
    struct sbuf b = SBUF_INIT;

    if (*file == '/')
        sbuf_puts(&b, "file://");
    for (const char *p = file; *p; p++) {
        if (ascii_alnum((unsigned char)*p) || strchr("-._~/", *p) != NULL)
            sbuf_putc(&b, *p);
        else
            sbuf_printf(&b, "%%%02X", (unsigned)(unsigned char)*p);
    }
    json_open(j, "artifactLocation", '{');
    json_string(j, "uri", b.s);
    json_close(j, '}');
    if (b.failed)
        j->out->failed = true;
    sbuf_free(&b);
}

static bool from_book(const struct report *r, const char *file)
{
    for (size_t i = 0; i < r->input_count; i++)
        if (r->inputs[i].book && str_eq(r->inputs[i].name, file))
            return true;
    return false;
}

static void put_locations(struct json *j, const struct report *r, const struct finding *f)
{
    struct sbuf whole = SBUF_INIT;

    json_open(j, "locations", '[');
    json_open(j, NULL, '{');
    if (f->file != NULL) {
        json_open(j, "physicalLocation", '{');
        put_uri(j, f->file);
        if (f->line > 0 && !from_book(r, f->file)) {
            json_open(j, "region", '{');
            json_count(j, "startLine", (unsigned long)f->line);
            json_close(j, '}');
        }
        json_close(j, '}');
    }
    sbuf_printf(&whole, "%s/%s", f->subject_kind, f->subject);
    json_open(j, "logicalLocations", '[');
    json_open(j, NULL, '{');
    json_string(j, "name", f->subject);
    json_string(j, "fullyQualifiedName", whole.s);
    json_string(j, "kind", f->subject_kind);
    json_close(j, '}');
    json_close(j, ']');
    json_close(j, '}');
    json_close(j, ']');
    if (whole.failed)
        j->out->failed = true;
    sbuf_free(&whole);
}

static void put_result_text(struct json *j, const struct finding *f)
{
    struct sbuf b = SBUF_INIT;

    sbuf_puts(&b, f->message != NULL ? f->message : f->rule->title);
    if (f->verdict == VERDICT_CANNOT_TELL)
        sbuf_printf(&b, " Could not be told%s%s.", f->needs != NULL ? "; needs " : "",
                    f->needs != NULL ? f->needs : "");
    put_text(j, "message", b.s);
    if (b.failed)
        j->out->failed = true;
    sbuf_free(&b);
}

static void put_result(struct json *j, const struct report *r, const struct finding *f,
                       size_t index)
{
    bool untold = f->verdict == VERDICT_CANNOT_TELL;

    json_open(j, NULL, '{');
    json_string(j, "ruleId", f->rule->id);
    json_count(j, "ruleIndex", index);
    json_string(j, "kind", untold ? "open" : "fail");
    json_string(j, "level", untold ? "none" : level_of(f->rule->severity));
    json_maybe(j, "baselineState", f->baseline);
    put_result_text(j, f);
    put_locations(j, r, f);
    json_open(j, "partialFingerprints", '{');
    json_string(j, "lotwardKey/v1", f->key);
    json_close(j, '}');
    if (f->waiver != NULL) {
        json_open(j, "suppressions", '[');
        json_open(j, NULL, '{');
        json_string(j, "kind", "external");
        json_string(j, "status", "accepted");
        json_string(j, "justification", f->waiver_reason);
        json_open(j, "properties", '{');
        json_string(j, "waiver", f->waiver);
        json_close(j, '}');
        json_close(j, '}');
        json_close(j, ']');
    }
    json_open(j, "properties", '{');
    json_maybe(j, "lot", f->lot);
    json_maybe(j, "value", f->value);
    json_maybe(j, "limit", f->limit);
    json_maybe(j, "limitSource", f->limit_source);
    json_maybe(j, "needs", f->needs);
    json_close(j, '}');
    json_close(j, '}');
}

static void put_rule(struct json *j, const struct rule *rule)
{
    json_open(j, NULL, '{');
    json_string(j, "id", rule->id);
    put_text(j, "shortDescription", rule->title);
    put_text(j, "fullDescription", rule->why);
    put_text(j, "help", rule->todo);
    json_open(j, "defaultConfiguration", '{');
    json_string(j, "level", level_of(rule->severity));
    json_close(j, '}');
    json_open(j, "properties", '{');
    json_string(j, "topic", rule->topic);
    json_string(j, "severity", severity_name(rule->severity));
    json_maybe(j, "decides", rule->decides);
    json_close(j, '}');
    json_close(j, '}');
}

static void put_invocation(struct json *j, const struct report *r)
{
    json_open(j, "invocations", '[');
    json_open(j, NULL, '{');
    json_bool(j, "executionSuccessful", r->incomplete_count == 0);
    json_open(j, "toolExecutionNotifications", '[');
    for (size_t i = 0; i < r->incomplete_count; i++) {
        json_open(j, NULL, '{');
        put_text(j, "message", r->incomplete[i]);
        json_string(j, "level", "error");
        json_close(j, '}');
    }
    json_close(j, ']');
    json_close(j, '}');
    json_close(j, ']');
}

static size_t index_of(const struct findings *all, const struct rule *rule)
{
    size_t i = 0;

    while (i < all->tally_count && all->tallies[i].rule != rule)
        i++;
    return i;
}

/* What the earlier report had and this one has not: the rows "gone" of audit's table. */
static void put_absent(struct json *j, const struct report *r)
{
    enum { WHAT, RECORD, RULE, MESSAGE, COLUMNS };
    const struct report_table *t = report_table_find(r, "since");

    for (size_t i = 0; t != NULL && t->column_count == COLUMNS && i < report_row_count(t); i++) {
        const struct report_cell *row = &t->cells[i * COLUMNS];

        if (!str_eq(row[WHAT].text, "gone"))
            continue;
        json_open(j, NULL, '{');
        json_maybe(j, "ruleId", row[RULE].text);
        json_string(j, "baselineState", "absent");
        json_open(j, "message", '{');
        json_string(j, "text", row[MESSAGE].text == NULL ? "" : row[MESSAGE].text);
        json_close(j, '}');
        json_open(j, "locations", '[');
        json_open(j, NULL, '{');
        json_open(j, "logicalLocations", '[');
        json_open(j, NULL, '{');
        json_maybe(j, "fullyQualifiedName", row[RECORD].text);
        json_close(j, '}');
        json_close(j, ']');
        json_close(j, '}');
        json_close(j, ']');
        json_close(j, '}');
    }
}

static void put_corrections(struct json *j, const struct report *r)
{
    const struct report_table *t = report_table_find(r, "corrections");
    size_t rows = report_row_count(t);

    if (rows == 0)
        return;
    json_open(j, "corrections", '[');
    for (size_t i = 0; i < rows; i++) {
        json_open(j, NULL, '{');
        for (size_t c = 0; c < t->column_count; c++)
            json_maybe(j, t->columns[c].name, t->cells[i * t->column_count + c].text);
        json_close(j, '}');
    }
    json_close(j, ']');
}

static void put_run(struct json *j, const struct report *r)
{
    const struct findings *all = r->findings;
    char day[11];

    json_open(j, "tool", '{');
    json_open(j, "driver", '{');
    json_string(j, "name", PACKAGE_NAME);
    json_string(j, "version", PACKAGE_VERSION);
    json_open(j, "rules", '[');
    for (size_t i = 0; all != NULL && i < all->tally_count; i++)
        put_rule(j, all->tallies[i].rule);
    json_close(j, ']');
    json_close(j, '}');
    json_close(j, '}');
    put_invocation(j, r);
    json_string(j, "columnKind", "unicodeCodePoints");
    json_open(j, "results", '[');
    for (size_t i = 0; all != NULL && i < all->count; i++)
        if (report_shows(r, &all->items[i]))
            put_result(j, r, &all->items[i], index_of(all, all->items[i].rule));
    put_absent(j, r);
    json_close(j, ']');
    json_open(j, "properties", '{');
    json_maybe(j, "title", r->title);
    if (r->dated)
        json_string(j, "asOf", date_format(r->as_of, day));
    json_string(j, "deferral", report_deferral());
    put_corrections(j, r);
    json_close(j, '}');
}

void report_sarif(const struct report *r, const struct report_style *style, struct sbuf *out)
{
    struct json j;

    (void)style;
    json_init(&j, out);
    json_open(&j, NULL, '{');
    json_string(&j, "version", "2.1.0");
    json_open(&j, "runs", '[');
    json_open(&j, NULL, '{');
    put_run(&j, r);
    json_close(&j, '}');
    json_close(&j, ']');
    json_close(&j, '}');
}
