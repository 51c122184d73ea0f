/* session.c - opening what a command needs, and writing what it says. */
#include "text/base.h"

#include <sys/ioctl.h>
#include <unistd.h>

#include "command/corrections.h"
#include "command/progress.h"
#include "command/session.h"
#include "record/image.h"
#include "text/date.h"
#include "text/mem.h"
#include "text/utf8.h"

enum exit_status session_usage(struct session *s, const char *hint, const char *fmt, ...)
{
    struct sbuf b = SBUF_INIT;
    va_list ap;

    va_start(ap, fmt);
    sbuf_vprintf(&b, fmt, ap);
    va_end(ap);
    diags_add(s->diags, DIAG_FATAL, "usage", NULL, 0, 0, hint, "%s", b.s);
    sbuf_free(&b);
    return STATUS_INPUT;
}

enum exit_status session_trouble(struct session *s)
{
    /* A sheet or rule that does not compile is wrong input: nothing was checked. */
    static const char *const input[] = {"bad-sql", "bad-fact", "bad-rule", "bad-example",
                                        "sql-too-long"};

    for (size_t i = 0; !diags_oom(s->diags) && i < diags_count(s->diags); i++)
        for (size_t k = 0; k < LW_COUNT(input); k++)
            if (str_eq(diags_at(s->diags, i)->code, input[k]))
                return STATUS_INPUT;
    if (diags_count_level(s->diags, DIAG_ERROR) == 0)
        diags_out_of_memory(s->diags);
    return STATUS_TROUBLE;
}

static bool wants(const struct session *s, unsigned flags)
{
    return (s->command->flags & flags) != 0;
}

/* Rules and sheets that do not load are wrong input, not a broken run. */
static enum exit_status open_rules(struct session *s)
{
    /* Who judges records needs no examples: then both may come from the image. */
    struct store *from = wants(s, NEEDS_RECORDS) ? s->store : NULL;

    if (wants(s, NEEDS_FACTS | NEEDS_SHEETS)) {
        s->sheets = fact_set_load(from, s->data_dir, s->diags);
        if (s->sheets == NULL)
            return diags_oom(s->diags) ? STATUS_TROUBLE : STATUS_INPUT;
    }
    if (wants(s, NEEDS_RULES)) {
        s->rules = from != NULL ? rule_set_load(from, s->rules_dir, s->diags)
                                : rule_set_read(s->rules_dir, s->diags);
        if (s->rules == NULL)
            return diags_oom(s->diags) ? STATUS_TROUBLE : STATUS_INPUT;
        if (rule_set_count(s->rules) == 0) {
            diags_add(s->diags, DIAG_FATAL, "no-rules", s->rules_dir, 0, 0, NULL,
                      "no rules here: nothing could be judged");
            return STATUS_INPUT;
        }
    }
    return STATUS_CLEAN;
}

static bool code_set_known(struct session *s, const char *id)
{
    sqlite3_stmt *st = NULL;
    bool known = false;

    if (sqlite3_prepare_v2(store_db(s->store), "select 1 from codeset where id = ?", -1, &st,
                           NULL) == SQLITE_OK &&
        sqlite3_bind_text(st, 1, id, -1, SQLITE_TRANSIENT) == SQLITE_OK)
        known = sqlite3_step(st) == SQLITE_ROW;
    sqlite3_finalize(st);
    return known;
}

/* A mistyped --code-sets must not fall back to other limits in silence. */
static enum exit_status check_code_sets(struct session *s)
{
    const char *p =
        option_known(&s->options, "code-sets") ? option_text(&s->options, "code-sets") : NULL;

    while (p != NULL && *p != '\0') {
        size_t n = strcspn(p, " ");
        char *id = mem_strndup(p, n);
        bool known = id != NULL && (n == 0 || code_set_known(s, id));

        if (!known)
            session_usage(s, "the files in the data folder limits/ are named after them",
                          "--code-sets: there is no code set '%s'", id == NULL ? "" : id);
        mem_free(id);
        if (!known)
            return STATUS_INPUT;
        p += n + (p[n] == ' ' ? 1 : 0);
    }
    return STATUS_CLEAN;
}

static enum exit_status open_store(struct session *s)
{
    s->store = store_with_catalogue(s->data_dir, s->image, s->diags);
    if (s->store == NULL)
        return diags_oom(s->diags) ? session_trouble(s) : STATUS_INPUT;
    return check_code_sets(s);
}

enum exit_status session_open(struct session *s)
{
    unsigned needs_data =
        NEEDS_RECORDS | NEEDS_FACTS | NEEDS_SHEETS | NEEDS_RULES | NEEDS_CATALOGUE;
    enum exit_status status = STATUS_CLEAN;

    s->as_of = date_today();
    if (option_known(&s->options, "as-of") && option_get(&s->options, "as-of")->given)
        s->as_of = option_get(&s->options, "as-of")->number;
    if (!session_split_operands(s))
        return session_trouble(s);
    if (wants(s, needs_data)) {
        if (!session_find_data(s))
            return STATUS_INPUT;
        if (wants(s, NEEDS_RECORDS | NEEDS_CATALOGUE))
            status = open_store(s);
        if (status == STATUS_CLEAN)
            status = open_rules(s);
    }
    if (status == STATUS_CLEAN && wants(s, NEEDS_RECORDS))
        status = session_read_inputs(s);
    return status;
}

void session_close(struct session *s)
{
    report_release(&s->report);
    fact_run_free(s->run);
    store_free(s->store);
    fact_set_free(s->sheets);
    rule_set_free(s->rules);
    for (size_t i = 0; i < s->file_count; i++)
        mem_free(s->files[i]);
    mem_free(s->files);
    mem_free(s->names);
    mem_free(s->data_dir);
    mem_free(s->rules_dir);
    mem_free(s->image);
    options_free(&s->options);
    diags_free(s->diags);
    *s = (struct session){0};
}

bool session_facts(struct session *s, const char *only)
{
    struct fact_options o = {
        .as_of = s->as_of, .only = only, .once = !s->facts_again, .follow = s->facts_again};

    if (option_known(&s->options, "code-sets"))
        o.code_sets = option_text(&s->options, "code-sets");
    fact_run_free(s->run);
    s->run = fact_materialise(s->store, s->sheets, &o, s->diags);
    return s->run != NULL;
}

/* The facts the chosen rules range over, and those the command's own tables read. */
static bool fill_for_rules(struct session *s, const struct evaluate_options *o)
{
    struct sbuf only = SBUF_INIT;
    bool ok = false;

    if (s->command->facts == NULL)
        return session_facts(s, NULL);
    sbuf_puts(&only, s->command->facts);
    for (size_t i = 0; i < rule_set_count(s->rules); i++) {
        const struct rule *r = rule_set_at(s->rules, i);
        if ((o->topic == NULL || str_eq(o->topic, r->topic)) &&
            (o->only == NULL || str_eq(o->only, r->id)))
            sbuf_printf(&only, " %s", r->fact);
    }
    if (only.failed)
        diags_out_of_memory(s->diags);
    else
        ok = session_facts(s, only.s);
    sbuf_free(&only);
    return ok;
}

struct findings *session_evaluate(struct session *s, const struct evaluate_options *o)
{
    struct evaluate_options own = o == NULL ? (struct evaluate_options){.topic = NULL} : *o;

    own.units = session_units(s);
    return fill_for_rules(s, &own) ? evaluate(s->run, s->rules, &own, s->diags) : NULL;
}

/* --- writing -----------------------------------------------------------------------------------
 */

void session_show_diags(struct session *s)
{
    for (; s->diags != NULL && s->diags_shown < diags_count(s->diags); s->diags_shown++) {
        struct sbuf b = SBUF_INIT;

        diag_format(diags_at(s->diags, s->diags_shown), &b);
        if (b.failed) {
            /* Not even the words could be put together: these need no memory. */
            fputs("lotward: fatal: out of memory\n", stderr);
            diags_out_of_memory(s->diags);
            s->diags_shown = diags_count(s->diags) - 1;
        } else {
            fprintf(stderr, "lotward: %s\n", b.s);
        }
        sbuf_free(&b);
    }
}

void session_write(struct session *s, const char *text, size_t n)
{
    if (s->write_errno != 0 || n == 0)
        return;
    errno = 0;
    if (fwrite(text, 1, n, stdout) != n)
        s->write_errno = errno == 0 ? EIO : errno;
}

int session_width(const struct session *s)
{
    const struct option_value *given =
        option_known(&s->options, "width") ? option_get(&s->options, "width") : NULL;
    int width = REPORT_WIDTH_USUAL;
    struct winsize size;

    if (given != NULL && given->given)
        return (int)given->number;
    if (isatty(STDOUT_FILENO) == 1 && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 &&
        size.ws_col > 0)
        width = size.ws_col;
    if (width < REPORT_WIDTH_LEAST)
        return REPORT_WIDTH_LEAST;
    return width > REPORT_WIDTH_MOST ? REPORT_WIDTH_MOST : width;
}

enum show_units session_units(const struct session *s)
{
    const char *units =
        option_known(&s->options, "units") ? option_text(&s->options, "units") : NULL;
    const char *format = option_text(&s->options, "format");

    if (units == NULL || (format != NULL && !str_eq(format, "text")))
        return SHOW_BOTH;
    return str_eq(units, "metric") ? SHOW_METRIC : str_eq(units, "us") ? SHOW_US : SHOW_BOTH;
}

static struct report_style choose_style(const struct session *s)
{
    struct report_style style = {.width = session_width(s)};
    const char *color = option_text(&s->options, "color");
    const char *off = getenv("NO_COLOR"), *term = getenv("TERM");
    bool terminal = isatty(STDOUT_FILENO) == 1;

    style.color = terminal && (off == NULL || off[0] == '\0') && !str_eq(term, "dumb");
    if (color != NULL && !str_eq(color, "auto"))
        style.color = str_eq(color, "always");
    return style;
}

enum exit_status session_report(struct session *s)
{
    const char *name = option_text(&s->options, "format");
    const struct report_format *format = report_format_find(name == NULL ? "text" : name);
    struct report_style style = choose_style(s);
    struct sbuf out = SBUF_INIT;
    enum exit_status status = STATUS_CLEAN;

    assert(format != NULL);
    s->report.diags = s->diags;
    if (!corrections_add(s, NULL))
        return session_trouble(s);
    if (report_has_open(&s->report))
        status = STATUS_FINDINGS;
    if (s->report.incomplete_count > 0)
        status = STATUS_TROUBLE;
    if (!s->report.failed)
        format->render(&s->report, &style, &out);
    if (s->report.failed || out.failed) {
        diags_out_of_memory(s->diags);
        status = STATUS_TROUBLE;
    } else {
        progress_stop();
        session_show_diags(s); /* before the report, so that its last line is the last */
        session_write(s, out.s, out.len);
    }
    sbuf_free(&out);
    return status;
}
