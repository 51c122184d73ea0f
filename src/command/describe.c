/* describe.c - what a report rests on, read from the run's own tables. */
#include "text/base.h"

#include "command/rows.h"

static void code_set_row(struct session *s, sqlite3_stmt *st, void *user)
{
    (void)user;
    report_add_code_set(&s->report, rows_text(st, 0), rows_text(st, 1), rows_text(st, 2));
}

static void assumed_row(struct session *s, sqlite3_stmt *st, void *user)
{
    (void)user;
    s->report.code_sets_default = sqlite3_column_int(st, 0) != 0;
}

static void add_condition(struct sbuf *b, const char *value)
{
    if (value != NULL)
        sbuf_printf(b, ", %s", value);
}

/* "container-size (ifc-2021, IB, glass): 2 gal-us, set by ..., 2026-02-01: citation [local-code x]"
 */
static void replaced_row(struct session *s, sqlite3_stmt *st, void *user)
{
    struct sbuf b = SBUF_INIT;

    (void)user;
    sbuf_printf(&b, "%s (%s", rows_text(st, 0), rows_text(st, 1));
    add_condition(&b, rows_text(st, 2));
    add_condition(&b, rows_text(st, 3));
    add_condition(&b, rows_text(st, 4));
    sbuf_puts(&b, "): ");
    sbuf_number(&b, sqlite3_column_double(st, 5), 6);
    sbuf_printf(&b, " %s", rows_text(st, 6) == NULL ? "" : rows_text(st, 6));
    if (rows_text(st, 8) != NULL)
        sbuf_printf(&b, ", set by %s", rows_text(st, 8));
    if (rows_text(st, 9) != NULL)
        sbuf_printf(&b, ", %s", rows_text(st, 9));
    if (rows_text(st, 10) != NULL)
        sbuf_printf(&b, ": %s", rows_text(st, 10));
    sbuf_printf(&b, " [local-code %s]", rows_text(st, 7));
    if (b.failed)
        s->report.failed = true;
    report_add_replacement(&s->report, b.s);
    sbuf_free(&b);
}

static void idle_row(struct session *s, sqlite3_stmt *st, void *user)
{
    struct sbuf b = SBUF_INIT;

    (void)user;
    sbuf_printf(&b, "Waiver %s answers nothing: no finding of rule %s is left for it.",
                rows_text(st, 0), rows_text(st, 1));
    if (b.failed)
        s->report.failed = true;
    report_add_note(&s->report, b.s);
    sbuf_free(&b);
}

/* A waiver for a rule that does not exist is most likely a slip of the pen. */
static void unknown_rule_row(struct session *s, sqlite3_stmt *st, void *user)
{
    struct sbuf b = SBUF_INIT;

    (void)user;
    if (rule_set_find(s->rules, rows_text(st, 1)) != NULL)
        return;
    sbuf_printf(&b, "Waiver %s answers nothing: there is no rule %s.", rows_text(st, 0),
                rows_text(st, 1));
    if (b.failed)
        s->report.failed = true;
    report_add_note(&s->report, b.s);
    sbuf_free(&b);
}

void session_describe(struct session *s)
{
    s->report.as_of = s->as_of;
    s->report.dated = true;
    if (s->run == NULL)
        return;
    rows_select(s, "select assumed from temp.run", NULL, NULL, assumed_row, NULL);
    rows_select(s,
                "select r.id, r.title, c.edition from temp.run_code_set r"
                " left join codeset c on c.id = r.id order by r.id",
                NULL, NULL, code_set_row, NULL);
    rows_select(s,
                "select l.name, l.codeset, l.class, l.container, l.situation, l.value, l.unit,"
                " l.replaced, c.authority, c.date, c.citation from temp.lim_in_force l"
                " left join rec_local_code c on c.id = l.replaced where l.replaced is not null"
                " order by l.name, l.codeset, l.rowid",
                NULL, NULL, replaced_row, NULL);
    bool ok = true;
    if (rows_count(s, "select count(*) from sqlite_temp_master where name = 'waiver_idle'", NULL,
                   &ok) == 0)
        return;
    rows_select(s, "select id, rule from temp.waiver_idle order by rowid", NULL, NULL, idle_row,
                NULL);
    if (s->rules != NULL)
        rows_select(s,
                    "select id, rule from rec_waiver where rule is not null and id not in (select"
                    " id from temp.waiver_idle) order by rid",
                    NULL, NULL, unknown_rule_row, NULL);
}
