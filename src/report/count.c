/* count.c - what every format says the same way: totals, who decides, how sure. */
#include "text/base.h"

#include "report/report.h"
#include "text/show.h"
#include "text/utf8.h"

static enum verdict worst_verdict(const struct rule_tally *t)
{
    if (t->verdicts[VERDICT_FAILS] > 0)
        return VERDICT_FAILS;
    if (t->verdicts[VERDICT_CANNOT_TELL] > 0)
        return VERDICT_CANNOT_TELL;
    if (t->verdicts[VERDICT_HOLDS] > 0)
        return VERDICT_HOLDS;
    return VERDICT_NOT_APPLICABLE;
}

static void count_finding(struct report_totals *n, const struct finding *f)
{
    if (f->is_new)
        n->fresh++;
    if (f->waiver != NULL)
        n->waived++;
    else if (f->verdict == VERDICT_FAILS)
        n->fails[f->rule->severity]++;
    else if (f->verdict == VERDICT_CANNOT_TELL)
        n->untold++;
}

struct report_totals report_count(const struct report *r)
{
    struct report_totals n = {0};

    for (size_t i = 0; i < r->input_count; i++) {
        n.read += r->inputs[i].read;
        n.refused += r->inputs[i].refused;
    }
    if (r->findings == NULL)
        return n;
    n.rules_run = r->findings->tally_count;
    for (size_t i = 0; i < r->findings->tally_count; i++) {
        const struct rule_tally *t = &r->findings->tallies[i];

        n.rules[worst_verdict(t)]++;
        for (int v = 0; v < 4; v++)
            n.rows[v] += t->verdicts[v];
    }
    for (size_t i = 0; i < r->findings->count; i++)
        if (report_shows(r, &r->findings->items[i]))
            count_finding(&n, &r->findings->items[i]);
    return n;
}

bool report_shows(const struct report *r, const struct finding *f)
{
    return r->shows == NULL || r->shows(f, r->shows_user);
}

bool report_has_open(const struct report *r)
{
    if (r->findings == NULL)
        return false;
    for (size_t i = 0; i < r->findings->count; i++) {
        const struct finding *f = &r->findings->items[i];

        if (f->waiver != NULL || !report_shows(r, f))
            continue;
        if (f->verdict == VERDICT_CANNOT_TELL)
            return true;
        if (f->verdict == VERDICT_FAILS && f->rule->severity >= SEVERITY_FIX)
            return true;
    }
    return false;
}

static int compare_findings(const struct finding *a, const struct finding *b)
{
    int c;

    if (a->rule->severity != b->rule->severity)
        return a->rule->severity > b->rule->severity ? -1 : 1;
    c = strcmp(a->rule->id, b->rule->id);
    if (c == 0 && a->subject != NULL && b->subject != NULL)
        c = strcmp(a->subject, b->subject);
    if (c == 0 && a->key != NULL && b->key != NULL)
        c = strcmp(a->key, b->key);
    return c;
}

/* The lists are sorted (see finding.h), so the same key is found by halving. */
const struct finding *report_before(const struct report *r, const struct finding *f)
{
    size_t low = 0, high;

    if (r->before == NULL)
        return NULL;
    high = r->before->count;
    while (low < high) {
        size_t mid = low + (high - low) / 2;
        int c = compare_findings(&r->before->items[mid], f);

        if (c == 0)
            return &r->before->items[mid];
        if (c < 0)
            low = mid + 1;
        else
            high = mid;
    }
    return NULL;
}

bool report_by_plan(const struct report *r, const struct finding *f)
{
    const struct finding *before = f->is_new ? NULL : report_before(r, f);

    return f->is_new || (before != NULL && !str_eq(before->value, f->value));
}

bool report_unconfirmed(const char *sure)
{
    return str_eq(sure, "from-memory");
}

const char *report_sureness(const char *sure)
{
    return show_sure(sure);
}

char *report_decider(const char *decides, char *out, size_t size)
{
    size_t n = 0;

    for (const char *p = decides == NULL ? "not said" : decides; *p != '\0' && n + 1 < size; p++)
        out[n++] = *p == '-' ? ' ' : *p;
    out[n] = '\0';
    return out;
}

const char *report_deferral(void)
{
    return "This report points; it does not rule. The local authority named with each finding, and "
           "people licensed to practise, decide.";
}
