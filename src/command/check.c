/* check.c - lotward check: planned batches, as if made, on top of what is held.
 *
 * The records are judged twice: with the planned batches, and without them. What only the first
 * judgement finds is new because of the plan. */
#include "text/base.h"

#include "command/filters.h"
#include "command/check_page.h"
#include "command/check_pass.h"
#include "command/check_steps.h"
#include "command/lot_table.h"
#include "command/plan.h"
#include "command/rows.h"
#include "command/scope.h"
#include "text/mem.h"
#include "text/utf8.h"

static const struct option_spec options[] = {
    {"lot", 'l', OPTION_TEXT, "LOT", NULL, "Check this lot instead of all in state planned", 0, 0},
    FILTER_OPTIONS,
    {"all", 'a', OPTION_FLAG, NULL, NULL, "Show the findings about everything else too", 0, 0},
};

/* The lots under check, for the filter. */
struct lots {
    char **text; /* ids, owned */
    size_t count, cap;
    struct scope scope; /* what the plan reaches: received lots, their papers */
    const struct report *report;
    bool failed;
};

static void add_lot(struct session *s, sqlite3_stmt *st, void *user)
{
    struct lots *lots = user;
    void *p = mem_grow(lots->text, &lots->cap, lots->count + 1, sizeof *lots->text);

    (void)s;
    if (p != NULL)
        lots->text = p;
    if (p == NULL || (lots->text[lots->count] = mem_strdup(rows_text(st, 0))) == NULL)
        lots->failed = true;
    else
        lots->count++;
}

static void lots_free(struct lots *lots)
{
    for (size_t i = 0; i < lots->count; i++)
        mem_free(lots->text[i]);
    mem_free(lots->text);
    scope_close(&lots->scope);
}

static bool is_under_check(const struct lots *lots, const char *id)
{
    for (size_t i = 0; i < lots->count; i++)
        if (str_eq(lots->text[i], id))
            return true;
    return false;
}

/* A plan comes on top of the state of the place, wherever in it the trouble is. */
static bool is_of_the_place(const char *kind)
{
    return str_eq(kind, "premises") || str_eq(kind, "place") || str_eq(kind, "ignition");
}

/* Shown: what the plan brings or changes, what concerns its lots or anything they reach, and the
 * state of the place. */
static bool concerns_plan(const struct finding *f, const void *user)
{
    const struct lots *lots = user;

    return report_by_plan(lots->report, f) || is_under_check(lots, f->lot) ||
           scope_has(&lots->scope, f->subject) || is_of_the_place(f->subject_kind);
}

static unsigned long count_hidden(const struct report *r)
{
    unsigned long n = 0;

    for (size_t i = 0; i < r->findings->count; i++)
        if (!report_shows(r, &r->findings->items[i]))
            n++;
    return n;
}

/* Marks the lots to check; other plans leave the store before anything is judged. */
static enum exit_status choose_lots(struct session *s, const char *lot, struct lots *lots)
{
    long count = 0;

    if (lot != NULL) {
        bool ok = true;
        long known = rows_count(s, "select count(*) from rec_batch where id = ?1", lot, &ok);

        if (!ok)
            return session_trouble(s);
        if (known == 0)
            return session_usage(s, NULL, "there is no batch '%s' in these records", lot);
        if (!plan_mark(s, lot, &count) || (count > 0 && !plan_remove(s, NULL)))
            return session_trouble(s);
        if (!plan_mark_lot(s, lot, &count))
            return session_trouble(s);
    } else if (!plan_mark(s, NULL, &count)) {
        return session_trouble(s);
    }
    if (count == 0)
        return session_usage(s, "set state=\"planned\" on the batch, or name a lot with --lot",
                             "no batch is in state planned in these records");
    if (!rows_select(s, "select id from temp.plan_batch order by id", NULL, NULL, add_lot, lots))
        return session_trouble(s);
    if (lots->failed) {
        diags_out_of_memory(s->diags);
        return STATUS_TROUBLE;
    }
    return STATUS_CLEAN;
}

/* The numbers of each lot, its card, and for the page the chart of its worst step. */
static bool describe_steps(struct session *s, const struct lots *lots, struct sbuf *chart)
{
    bool ok = true;

    for (size_t i = 0; ok && i < lots->count; i++)
        ok = check_steps_tables(s, lots->text[i]) && check_steps_chart(s, lots->text[i], chart);
    return ok;
}

static void describe_plan(struct session *s, const struct lots *lots)
{
    struct sbuf title = SBUF_INIT;

    sbuf_puts(&title, lots->count == 1 ? "Check before making lot " : "Check before making lots ");
    for (size_t i = 0; i < lots->count; i++)
        sbuf_printf(&title, "%s%s", i > 0 ? ", " : "", lots->text[i]);
    report_set_title(&s->report, title.s);
    if (title.failed)
        s->report.failed = true;
    sbuf_free(&title);
    for (size_t i = 0; i < lots->count; i++)
        lot_table_short(s, lots->text[i]);
}

static void copy_diags(struct diags *to, const struct diags *from)
{
    for (size_t i = 0; i < diags_count(from); i++) {
        const struct diag *d = diags_at(from, i);

        diags_add(to, d->level, d->code, d->file, d->line, d->column, d->hint, "%s", d->message);
    }
}

/* The same judgement without the plan: what does not depend on it stands as it was. What there is
 * to say of the records was said the first time, so messages are kept only when it fails. */
static struct findings *evaluate_without(struct session *s, struct evaluator *e,
                                         const struct findings *with, const struct lots *lots)
{
    struct diags *all = s->diags, *own = diags_new();
    struct plan_changes changes = {.count = 0};
    struct findings *findings = NULL;

    if (own == NULL) {
        diags_out_of_memory(all);
        return NULL;
    }
    s->diags = own;
    if (plan_remove(s, &changes)) {
        struct fact_change c = {.what = changes.what,
                                .count = changes.count,
                                .lots_gone =
                                    changes.apart ? "select id from temp.plan_batch" : NULL};

        if (fact_refill(s->run, &c, own))
            findings = evaluator_after(e, with, (const char *const *)lots->text, lots->count, own);
    }
    s->diags = all;
    if (findings == NULL)
        copy_diags(all, own);
    diags_free(own);
    return findings;
}

/* Facts that nothing below reads are not filled: a name for each that a rule is over, and those
 * that the tables of a plan are made from. */
static bool name_facts(const struct session *s, const struct evaluate_options *o, struct sbuf *b)
{
    sbuf_puts(b, "batch place step step_vapour lot_vessel control_area");
    for (size_t i = 0; i < rule_set_count(s->rules); i++) {
        const struct rule *r = rule_set_at(s->rules, i);

        if ((o->only == NULL || str_eq(o->only, r->id)) &&
            (o->topic == NULL || str_eq(o->topic, r->topic)))
            sbuf_printf(b, " %s", r->fact);
    }
    return !b->failed;
}

static struct evaluator *prepare(struct session *s, const struct evaluate_options *o)
{
    struct sbuf facts = SBUF_INIT;
    struct evaluator *e = NULL;

    if (!name_facts(s, o, &facts))
        diags_out_of_memory(s->diags);
    else if (session_facts(s, facts.s))
        e = evaluator_new(s->run, s->rules, o, s->diags);
    sbuf_free(&facts);
    return e;
}

static enum exit_status run(struct session *s)
{
    struct evaluate_options o = {0};
    struct evaluator *e = NULL;
    struct findings *with = NULL, *without = NULL;
    struct lots lots = {.report = &s->report};
    struct sbuf chart = SBUF_INIT;
    enum exit_status status = filter_rules(s, &o);

    o.units = session_units(s);
    if (status == STATUS_CLEAN)
        status = choose_lots(s, option_text(&s->options, "lot"), &lots);
    if (status != STATUS_CLEAN)
        goto out;
    status = STATUS_TROUBLE;
    s->facts_again = true;
    /* Tables first: one more table means that every statement of the facts is compiled again. */
    if (!scope_open(s, &lots.scope))
        goto out;
    for (size_t i = 0; i < lots.count; i++)
        if (!scope_add(s, lots.text[i], true))
            goto out;
    e = prepare(s, &o);
    with = e == NULL ? NULL : evaluator_all(e, true, s->diags);
    if (with == NULL) {
        session_trouble(s);
        goto out;
    }
    session_describe(s);
    describe_plan(s, &lots);
    if (!describe_steps(s, &lots, &chart) || !check_pass(s, with)) {
        session_trouble(s);
        goto out;
    }
    s->report.failed = s->report.failed || chart.failed;
    s->report.page_body = check_page;
    s->report.page_user = chart.s;
    without = evaluate_without(s, e, with, &lots);
    if (without == NULL) {
        session_trouble(s);
        goto out;
    }
    findings_mark_new(with, without);
    s->report.findings = with;
    s->report.before = without;
    if (!option_flag(&s->options, "all")) {
        s->report.shows = concerns_plan;
        s->report.shows_user = &lots;
        s->report.hidden = count_hidden(&s->report);
    }
    status = session_report(s);
out:
    s->report.findings = s->report.before = NULL;
    findings_free(with);
    findings_free(without);
    evaluator_free(e);
    s->report.page_user = NULL;
    sbuf_free(&chart);
    lots_free(&lots);
    return status;
}

const struct command command_check = {
    .name = "check",
    .summary = "check a planned batch on top of what is held",
    .operands = "FILES...",
    .about =
        "Reads record files (and the book, with --book) and judges every batch in state planned "
        "as if it were made today, together with what the other records say is held. Says which "
        "findings are new because of the plan, and which were there before it.\n\n"
        "A folder stands for the .xml, .csv and .tsv files in it.",
    .examples = "  lotward check plan.xml records.xml\n"
                "  lotward check --book workroom.book plan.xml\n"
                "  lotward check --lot L-2026-051 records/\n",
    .options = options,
    .option_count = LW_COUNT(options),
    .flags = NEEDS_RECORDS | NEEDS_FACTS | NEEDS_RULES | MAY_BOOK | TAKES_FILES | MAKES_REPORT |
             SHOWS_UNITS,
    .run = run,
};
