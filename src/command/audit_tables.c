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

/* Topics come in the order of the first rule that has them; there are few. */
void audit_by_topic(struct session *s)
{
    const struct findings *f = s->report.findings;
    struct report_table *t =
        report_add_table(&s->report, "by-topic", "By topic",
                         "Verdicts, one for each rule and record it looks at.", TABLE_GRID);

    report_column(&s->report, t, "topic", NULL, NULL, ALIGN_LEFT);
    count_column(s, t, "rules", NULL);
    verdict_columns(s, t);
    for (size_t i = 0; i < f->tally_count; i++) {
        const char *topic = f->tallies[i].rule->topic;
        unsigned long rules = 0, counts[4] = {0};
        bool seen = false;

        for (size_t k = 0; k < i && !seen; k++)
            seen = str_eq(f->tallies[k].rule->topic, topic);
        if (seen)
            continue;
        for (size_t k = i; k < f->tally_count; k++) {
            if (!str_eq(f->tallies[k].rule->topic, topic))
                continue;
            rules++;
            for (int v = 0; v < 4; v++)
                counts[v] += f->tallies[k].verdicts[v];
        }
        report_cell(&s->report, t, topic);
        report_cell_count(&s->report, t, rules);
        verdict_cells(s, t, counts);
    }
}

void audit_by_rule(struct session *s)
{
    const struct findings *f = s->report.findings;
    struct report_table *t =
        report_add_table(&s->report, "by-rule", "Rules with something open", NULL, TABLE_GRID);

    report_column(&s->report, t, "rule", NULL, NULL, ALIGN_LEFT);
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

static void put_product(struct session *s, sqlite3_stmt *st, void *user)
{
    struct report_table *t = user;

    report_cell(&s->report, t, rows_text(st, 0));
    report_cell(&s->report, t, rows_text(st, 1));
}

static bool put_lot(struct session *s, struct report_table *t, const struct finding *const *list,
                    size_t n)
{
    unsigned long fails[4] = {0}, untold = 0;
    bool ok;

    for (size_t i = 0; i < n; i++) {
        if (list[i]->verdict == VERDICT_FAILS)
            fails[list[i]->rule->severity]++;
        else
            untold++;
    }
    report_cell(&s->report, t, list[0]->lot);
    ok = rows_select(s,
                     "select max(product), max(day) from"
                     " (select product, start as day from rec_batch where id = ?1"
                     " union all select coalesce(name, material), date from rec_receipt"
                     " where id = ?1)",
                     list[0]->lot, NULL, put_product, t);
    for (int severity = SEVERITY_STOP; severity >= SEVERITY_NOTE; severity--)
        report_cell_count(&s->report, t, fails[severity]);
    report_cell_count(&s->report, t, untold);
    return ok;
}

bool audit_by_lot(struct session *s)
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
        ok = put_lot(s, t, list + i, k - i);
        i = k;
    }
    if (list == NULL)
        diags_out_of_memory(s->diags);
    mem_free(list);
    return ok;
}
