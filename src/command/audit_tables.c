/* audit_tables.c - the summaries of an audit. */
#include "text/base.h"

#include "command/audit_tables.h"
#include "command/rows.h"
#include "text/mem.h"
#include "text/utf8.h"

static void count_column(struct session *s, struct report_table *t, const char *name,
                         const char *head)
{
    report_column(&s->report, t, name, head, NULL, ALIGN_RIGHT);
}

static void verdict_columns(struct session *s, struct report_table *t)
{
    count_column(s, t, "failed", NULL);
    count_column(s, t, "could-not-be-told", "untold");
    count_column(s, t, "held", NULL);
    count_column(s, t, "did-not-apply", "n/a");
}

static void verdict_cells(struct session *s, struct report_table *t, const unsigned long counts[4])
{
    report_cell_count(&s->report, t, counts[VERDICT_FAILS]);
    report_cell_count(&s->report, t, counts[VERDICT_CANNOT_TELL]);
    report_cell_count(&s->report, t, counts[VERDICT_HOLDS]);
    report_cell_count(&s->report, t, counts[VERDICT_NOT_APPLICABLE]);
}

enum { TOPICS_MOST = 32 };

struct topic {
    const char *name;
    unsigned long rules, counts[4];
};

static int worst_first(const void *x, const void *y)
{
    const struct topic *a = x, *b = y;

    if (a->counts[VERDICT_FAILS] != b->counts[VERDICT_FAILS])
        return a->counts[VERDICT_FAILS] < b->counts[VERDICT_FAILS] ? 1 : -1;
    if (a->counts[VERDICT_CANNOT_TELL] != b->counts[VERDICT_CANNOT_TELL])
        return a->counts[VERDICT_CANNOT_TELL] < b->counts[VERDICT_CANNOT_TELL] ? 1 : -1;
    return strcmp(a->name, b->name);
}

static size_t gather_topics(const struct findings *f, struct topic topics[TOPICS_MOST])
{
    size_t n = 0;

    for (size_t i = 0; i < f->tally_count; i++) {
        size_t k = 0;

        while (k < n && !str_eq(topics[k].name, f->tallies[i].rule->topic))
            k++;
        assert(k < TOPICS_MOST); /* one a folder of rules */
        if (k == n)
            topics[n++] = (struct topic){.name = f->tallies[i].rule->topic};
        topics[k].rules++;
        for (int v = 0; v < 4; v++)
            topics[k].counts[v] += f->tallies[i].verdicts[v];
    }
    qsort(topics, n, sizeof topics[0], worst_first);
    return n;
}

void audit_by_topic(struct session *s)
{
    struct topic topics[TOPICS_MOST];
    size_t n = gather_topics(s->report.findings, topics);
    struct report_table *t = report_add_table(
        &s->report, "by-topic", "By topic",
        "Verdicts, one for each rule and record it looks at; worst first.", TABLE_GRID);

    report_column(&s->report, t, "topic", NULL, NULL, ALIGN_LEFT);
    count_column(s, t, "rules", NULL);
    verdict_columns(s, t);
    for (size_t i = 0; i < n; i++) {
        report_cell(&s->report, t, topics[i].name);
        report_cell_count(&s->report, t, topics[i].rules);
        verdict_cells(s, t, topics[i].counts);
    }
}

/* Counts of lots, by state. */
static void put_state(struct session *s, sqlite3_stmt *st, void *user)
{
    report_pair(&s->report, user, rows_text(st, 0), rows_text(st, 1));
}

bool audit_lots(struct session *s)
{
    struct report_table *t =
        report_add_table(&s->report, "lots", "Lots looked at", NULL, TABLE_PAIRS);

    return rows_select(
        s,
        "select coalesce(state, 'state not written down'), cast(count(*) as text) from rec_batch b"
        " where coalesce(state, '') <> 'planned'"
        " group by 1 order by max(case state when 'released' then 1 when 'bottled' then 2"
        " when 'strained' then 3 when 'steeping' then 4 when 'void' then 5 else 6 end)",
        NULL, NULL, put_state, t);
}

void audit_by_rule(struct session *s)
{
    const struct findings *f = s->report.findings;
    struct report_table *t =
        report_add_table(&s->report, "by-rule", "Rules with something open", NULL, TABLE_GRID);

    report_column(&s->report, t, "rule", NULL, NULL, ALIGN_NAMES);
    report_column(&s->report, t, "severity", NULL, NULL, ALIGN_LEFT);
    verdict_columns(s, t);
    for (int severity = SEVERITY_STOP; severity >= SEVERITY_NOTE; severity--) {
        for (size_t i = 0; i < f->tally_count; i++) {
            const struct rule_tally *tally = &f->tallies[i];

            if ((int)tally->rule->severity != severity ||
                tally->verdicts[VERDICT_FAILS] + tally->verdicts[VERDICT_CANNOT_TELL] == 0)
                continue;
            report_cell(&s->report, t, tally->rule->id);
            report_cell(&s->report, t, severity_name(tally->rule->severity));
            verdict_cells(s, t, tally->verdicts);
        }
    }
}

static int by_lot(const void *x, const void *y)
{
    const struct finding *a = *(const struct finding *const *)x;
    const struct finding *b = *(const struct finding *const *)y;
    int c = strcmp(a->lot, b->lot);

    return c != 0 ? c : (a < b ? -1 : a > b);
}

static void put_lot(struct session *s, struct report_table *t, const struct record_days *days,
                    const struct finding *const *list, size_t n)
{
    unsigned long fails[4] = {0}, untold = 0;
    const char *lot = list[0]->lot;
    struct record_day d = {0};

    for (size_t i = 0; i < n; i++) {
        if (list[i]->verdict == VERDICT_FAILS)
            fails[list[i]->rule->severity]++;
        else
            untold++;
    }
    if (!record_days_find(days, "batch", lot, &d))
        record_days_find(days, "receipt", lot, &d);
    report_cell(&s->report, t, lot);
    report_cell(&s->report, t, d.name);
    report_cell(&s->report, t, d.day);
    for (int severity = SEVERITY_STOP; severity >= SEVERITY_NOTE; severity--)
        report_cell_count(&s->report, t, fails[severity]);
    report_cell_count(&s->report, t, untold);
}

bool audit_by_lot(struct session *s, const struct record_days *days)
{
    const struct findings *f = s->report.findings;
    const struct finding **list = mem_calloc(f->count + 1, sizeof *list);
    struct report_table *t =
        report_add_table(&s->report, "by-lot", "Lots with something open", NULL, TABLE_GRID);
    size_t n = 0;
    bool ok = list != NULL;

    report_column(&s->report, t, "lot", NULL, NULL, ALIGN_LEFT);
    report_column(&s->report, t, "product", NULL, NULL, ALIGN_LEFT);
    report_column(&s->report, t, "begun", NULL, NULL, ALIGN_LEFT);
    count_column(s, t, "stop", NULL);
    count_column(s, t, "fix", NULL);
    count_column(s, t, "query", NULL);
    count_column(s, t, "note", NULL);
    count_column(s, t, "could-not-be-told", "untold");
    for (size_t i = 0; ok && i < f->count; i++)
        if (f->items[i].lot != NULL && f->items[i].waiver == NULL &&
            report_shows(&s->report, &f->items[i]))
            list[n++] = &f->items[i];
    if (n > 0)
        qsort(list, n, sizeof *list, by_lot);
    for (size_t i = 0; ok && i < n;) {
        size_t k = i + 1;

        while (k < n && strcmp(list[i]->lot, list[k]->lot) == 0)
            k++;
        put_lot(s, t, days, list + i, k - i);
        i = k;
    }
    if (list == NULL)
        diags_out_of_memory(s->diags);
    mem_free(list);
    return ok;
}
