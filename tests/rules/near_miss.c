/* near_miss.c - looks for examples that would kill the mutants still alive: the rule's first
 * example with one attribute changed to another word of its choice, to a value seen elsewhere, to
 * figures and days near the place where the verdict changes. A proposal: read it before it goes
 * into the rule. */
#include "mutate_bench.h"
#include "rule/example_records.h"
#include "rule/selftest.h"
#include "text/date.h"
#include "text/mem.h"
#include "text/number.h"
#include "text/utf8.h"

enum { VALUES_MOST = 64, SEEN_MOST = 14, POOL_MOST = 4000, PATH_BYTES = 200, VALUE_BYTES = 160 };

/* Values seen in examples, by attribute. */
struct seen {
    const struct dict_attr *attr;
    char *values[SEEN_MOST];
    size_t count;
};

static struct seen pool[POOL_MOST];
static size_t pool_count;

static struct seen *seen_of(const struct dict_attr *a)
{
    for (size_t i = 0; i < pool_count; i++)
        if (pool[i].attr == a)
            return &pool[i];
    assert(pool_count < POOL_MOST);
    pool[pool_count].attr = a;
    return &pool[pool_count++];
}

static void note_record(const struct record *r)
{
    for (size_t i = 0; i < r->element->attr_count; i++) {
        struct seen *s = seen_of(&r->element->attrs[i]);
        bool known = !r->values[i] || s->count == SEEN_MOST;
        for (size_t k = 0; !known && k < s->count; k++)
            known = str_eq(s->values[k], r->values[i]);
        if (!known)
            s->values[s->count++] = mem_strdup(r->values[i]);
    }
    for (size_t i = 0; i < r->child_count; i++)
        note_record(r->children[i]);
}

static void fill_pool(struct bench *b)
{
    struct diags *d = diags_new();
    for (size_t i = 0; i < rule_set_count(b->rules); i++) {
        const struct rule *r = rule_set_at(b->rules, i);
        for (size_t k = 0; k < r->example_count; k++) {
            struct example_records x;
            if (!r->examples[k].records || !example_records_build(r, &r->examples[k], &x, d))
                continue;
            for (size_t n = 0; n < x.count; n++)
                note_record(x.items[n]);
            example_records_free(&x);
        }
    }
    diags_free(d);
}

/* ---- one attribute under trial ---- */

struct trial {
    struct bench *bench;
    const struct rule *rule;
    struct mutants *alive;
    char path[PATH_BYTES];
    const struct dict_attr *attr;
    struct miss *found;
    size_t count, cap;
};

/* An example that kills something. */
struct miss {
    enum verdict expect;
    char path[PATH_BYTES], value[VALUE_BYTES]; /* value "": left out */
    bool *killed;                              /* one a mutant */
};

static const char *class_of(const unsigned long v[4], enum verdict *out)
{
    for (int k = VERDICT_HOLDS; k <= VERDICT_NOT_APPLICABLE; k++)
        if (selftest_as_expected((enum verdict)k, v)) {
            *out = (enum verdict)k;
            return "";
        }
    return NULL;
}

/* Judges the first example with the attribute set to value (NULL: left out); what the rule says, or
 * -1. */
static int try_value(struct trial *t, const char *value)
{
    struct rule_example e = {.expect = VERDICT_HOLDS, .as_of = t->rule->examples[0].as_of};
    enum verdict expect;
    unsigned long v[4], w[4];
    size_t kills = 0;
    bool *killed = mem_calloc(t->alive->count + 1, sizeof *killed);
    int result = -1;
    e.differs = e.blank = t->path;
    if (value)
        e.blank = NULL;
    e.to = (char *)(uintptr_t)value;
    struct fact_run *run = bench_fill(t->bench, t->rule, &e);
    if (!run || !killed || !bench_judge(t->bench, run, t->rule, NULL, v) || !class_of(v, &expect))
        goto out;
    result = (int)expect;
    if (!value && expect != VERDICT_CANNOT_TELL && expect != VERDICT_NOT_APPLICABLE)
        goto out;
    for (size_t i = 0; i < t->alive->count; i++) {
        struct mutant *m = &t->alive->items[i];
        if (m->killed || m->stillborn || !bench_judge(t->bench, run, t->rule, m, w))
            continue;
        killed[i] = !selftest_as_expected(expect, w);
        kills += killed[i];
    }
    struct miss *grown =
        kills > 0 ? mem_grow(t->found, &t->cap, t->count + 1, sizeof *t->found) : NULL;
    if (grown && (!value || strlen(value) < VALUE_BYTES)) {
        struct miss *m = &grown[t->count++];
        t->found = grown;
        *m = (struct miss){.expect = expect, .killed = killed};
        killed = NULL;
        snprintf(m->path, sizeof m->path, "%s", t->path);
        snprintf(m->value, sizeof m->value, "%s", value ? value : "");
    }
out:
    fact_run_free(run);
    mem_free(killed);
    return result;
}

/* ---- figures ---- */

static void figure(char *out, double v, const char *unit)
{
    snprintf(out, VALUE_BYTES, "%.*f", v >= 100 ? 1 : v >= 1 ? 3 : 5, v);
    if (strchr(out, '.'))
        for (size_t n = strlen(out); n > 0 && (out[n - 1] == '0' || out[n - 1] == '.'); n--) {
            bool point = out[n - 1] == '.';
            out[n - 1] = '\0';
            if (point)
                break;
        }
    snprintf(out + strlen(out), VALUE_BYTES - strlen(out), "%s", unit);
}

static int try_figure(struct trial *t, double v, const char *unit)
{
    char text[VALUE_BYTES];
    figure(text, v, unit);
    return try_value(t, text);
}

/* The verdict changes between a and b: figures on both sides of the place. */
static void close_in(struct trial *t, double a, int at_a, double b, const char *unit)
{
    enum { HALVINGS = 26 };
    for (int i = 0; i < HALVINGS; i++) {
        double mid = (a + b) / 2;
        if (try_figure(t, mid, unit) == at_a)
            a = mid;
        else
            b = mid;
    }
    static const double near[] = {1, 0.98, 1.02, 0.95, 1.05, 0.93, 1.07};
    for (size_t i = 0; i < LW_COUNT(near); i++) {
        double v = b * near[i];
        double step = v >= 100 ? 1 : v >= 10 ? 0.1 : v >= 1 ? 0.01 : 0.0001;
        (void)try_figure(t, (double)(long long)(v / step + 0.5) * step, unit);
    }
}

static void try_figures(struct trial *t, const char *typed, const char *unit, double v)
{
    static const double factors[] = {0,    0.01, 0.1,  0.5, 0.8, 0.9, 0.96,
                                     1.04, 1.1,  1.25, 2,   4,   10,  100};
    double before = 0;
    int said = -2;
    (void)typed;
    for (size_t i = 0; i < LW_COUNT(factors); i++) {
        int now = try_figure(t, v * factors[i], unit);
        if (said >= 0 && now >= 0 && now != said)
            close_in(t, before, said, v * factors[i], unit);
        before = v * factors[i];
        said = now;
    }
}

/* The figures of the limit itself, in its own unit. */
static void try_limits(struct trial *t)
{
    sqlite3_stmt *st = NULL;
    static const double near[] = {1, 0.95, 1.05};
    double values[VALUES_MOST];
    char units[VALUES_MOST][24];
    size_t n = 0;
    if (!bench_is_limit(t->bench, t->rule) ||
        sqlite3_prepare_v2(store_db(t->bench->store),
                           "select distinct value, unit from lim_in_force where name = ?1", -1, &st,
                           NULL) != SQLITE_OK)
        return;
    sqlite3_bind_text(st, 1, t->rule->against, -1, SQLITE_TRANSIENT);
    while (n < VALUES_MOST && sqlite3_step(st) == SQLITE_ROW) {
        const char *unit = (const char *)sqlite3_column_text(st, 1);
        values[n] = sqlite3_column_double(st, 0);
        snprintf(units[n++], sizeof units[0], " %s", str_eq(unit, "percent") ? "%" : unit);
    }
    sqlite3_finalize(st);
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < LW_COUNT(near); k++)
            (void)try_figure(t, values[i] * near[k], units[i]);
}

/* ---- days ---- */

static int try_day(struct trial *t, long day)
{
    char text[11];
    return try_value(t, date_format(day, text));
}

static void close_in_days(struct trial *t, long a, int at_a, long b)
{
    while (b - a > 1) {
        long mid = a + (b - a) / 2;
        if (try_day(t, mid) == at_a)
            a = mid;
        else
            b = mid;
    }
}

static void try_days(struct trial *t, const char *typed)
{
    static const long steps[] = {-1500, -400, -100, -30, -7, -1, 1, 7, 30, 100, 400, 1500};
    long day = 0, base = 0;
    int said = -2;
    if (!date_iso_days(typed, &base))
        return;
    for (size_t i = 0; i < LW_COUNT(steps); i++) {
        int now = try_day(t, base + steps[i]);
        if (said >= 0 && now >= 0 && now != said)
            close_in_days(t, day, said, base + steps[i]);
        day = base + steps[i];
        said = now;
    }
}

static void try_words(struct trial *t, const char *words)
{
    char word[80];
    for (const char *p = words; p && *p;) {
        size_t n = strcspn(p, " ");
        snprintf(word, sizeof word, "%.*s", (int)n, p);
        (void)try_value(t, word);
        p += n + (p[n] == ' ');
    }
}

static void try_attr(struct trial *t, const struct record *r, size_t at)
{
    const struct dict_attr *a = t->attr;
    const char *typed = r->values[at];
    const struct seen *s = seen_of(a);
    struct number x = number_parse(typed, NUMBER_POINT);
    if (typed)
        (void)try_value(t, NULL);
    if (a->type == ATTR_CHOICE)
        try_words(t, a->words);
    if (a->type == ATTR_FLAG)
        try_words(t, "yes no");
    for (size_t i = 0; i < s->count; i++)
        if (!str_eq(s->values[i], typed))
            (void)try_value(t, s->values[i]);
    if (a->type == ATTR_QTY || a->type == ATTR_PERCENT) {
        try_limits(t);
        if (typed && x.status == NUMBER_OK && x.value > 0)
            try_figures(t, typed, typed + x.len, x.value);
    }
    if (a->type == ATTR_DATE && typed)
        try_days(t, typed);
}

/* Is it the first of its kind? Then its path needs no id. */
static bool first_of_kind(const struct example_records *x, const struct record *r)
{
    for (size_t i = 0; i < x->count; i++)
        if (x->items[i]->element == r->element)
            return x->items[i] == r;
    return false;
}

static void try_record(struct trial *t, const struct record *r, bool child, bool first, long *nth)
{
    ++*nth;
    for (size_t i = 0; i < r->element->attr_count; i++) {
        t->attr = &r->element->attrs[i];
        if (child ? *nth == 1 : first)
            snprintf(t->path, sizeof t->path, "%s@%s", r->element->name, t->attr->name);
        else if (child)
            snprintf(t->path, sizeof t->path, "%s:%ld@%s", r->element->name, *nth, t->attr->name);
        else
            snprintf(t->path, sizeof t->path, "%s:%s@%s", r->element->name, record_id(r),
                     t->attr->name);
        if (child || i > 0)
            try_attr(t, r, i);
    }
}

/* Children of a kind are numbered through the whole example. */
static void try_tree(struct trial *t, const struct example_records *x, const struct record *r,
                     bool child)
{
    long nth = 0;
    if (child) {
        for (size_t i = 0; i < x->count; i++)
            for (size_t k = 0; k < x->items[i]->child_count; k++) {
                const struct record *c = x->items[i]->children[k];
                if (c->element != r->element)
                    continue;
                nth++;
                if (c == r) {
                    nth--;
                    try_record(t, r, true, false, &nth);
                    goto deeper;
                }
            }
        return; /* a child of a child */
    }
    try_record(t, r, false, first_of_kind(x, r), &nth);
deeper:
    for (size_t i = 0; i < r->child_count; i++)
        try_tree(t, x, r->children[i], true);
}

static void escaped(const char *s)
{
    for (; *s; s++)
        if (*s == '"' || *s == '&' || *s == '<')
            printf("&%s;", *s == '"' ? "quot" : *s == '&' ? "amp" : "lt");
        else
            putchar(*s);
}

static void print_miss(const struct trial *t, const struct miss *b)
{
    static const char *const elements[] = {"holds", "fails", "cannot-tell", "does-not-apply"};
    printf("SUGGEST\t%s\t    <%s %s=\"%s\"", t->rule->file, elements[b->expect],
           *b->value ? "differs" : "blank", b->path);
    if (*b->value) {
        printf(" to=\"");
        escaped(b->value);
        printf("\"");
    }
    printf("/>\n");
    for (size_t i = 0; i < t->alive->count; i++)
        if (b->killed[i] && !t->alive->items[i].killed) {
            t->alive->items[i].killed = true;
            printf("    kills\t%s\n", t->alive->items[i].what);
        }
    fflush(stdout);
}

static size_t kills_left(const struct trial *t, const struct miss *b)
{
    size_t n = 0;
    for (size_t i = 0; i < t->alive->count; i++)
        n += b->killed[i] && !t->alive->items[i].killed;
    return n;
}

/* The example that kills most first, until none kills any more. */
static void choose(const struct trial *t)
{
    const struct miss *best = NULL;
    do {
        size_t most = 0;
        best = NULL;
        for (size_t i = 0; i < t->count; i++) {
            size_t n = kills_left(t, &t->found[i]);
            if (n > most || (n == most && n > 0 && !*best->value && *t->found[i].value)) {
                most = n;
                best = &t->found[i];
            }
        }
        if (best)
            print_miss(t, best);
    } while (best);
}

/* The examples of the other rules over the same fact, whole: what they say of this one's mutants.
 */
static void try_example(struct bench *b, const struct rule *r, struct mutants *m,
                        const struct rule *other, const struct rule_example *e)
{
    unsigned long v[4], w[4];
    enum verdict expect;
    size_t kills = 0;
    struct example_records x;
    struct diags *d = diags_new();
    struct fact_run *run = bench_fill(b, other, e);
    if (!run || !bench_judge(b, run, r, NULL, v) || !class_of(v, &expect) ||
        (expect != VERDICT_FAILS && expect != VERDICT_NOT_APPLICABLE))
        goto out;
    for (size_t i = 0; i < m->count; i++)
        if (!m->items[i].killed && !m->items[i].stillborn &&
            bench_judge(b, run, r, &m->items[i], w) && !selftest_as_expected(expect, w)) {
            m->items[i].killed = true;
            if (kills++ == 0)
                printf("RECORDS\t%s\t%s\t%s\t", r->file,
                       expect == VERDICT_FAILS ? "fails" : "does-not-apply",
                       e->as_of ? e->as_of : "");
        }
    if (kills > 0 && example_records_build(other, e, &x, d)) {
        struct sbuf xml = SBUF_INIT;
        for (size_t i = 0; i < x.count; i++)
            record_canonical_xml(x.items[i], &x.ctx, &xml);
        printf("%s\n", xml.s);
        sbuf_free(&xml);
        example_records_free(&x);
    }
out:
    fact_run_free(run);
    diags_free(d);
}

static void try_siblings(struct bench *b, const struct rule *r, struct mutants *m)
{
    for (size_t i = 0; i < rule_set_count(b->rules); i++) {
        const struct rule *other = rule_set_at(b->rules, i);
        size_t alive = 0;
        for (size_t k = 0; k < m->count; k++)
            alive += !m->items[k].killed && !m->items[k].stillborn;
        for (size_t k = 0;
             alive > 0 && other != r && str_eq(other->fact, r->fact) && k < other->example_count;
             k++)
            try_example(b, r, m, other, &other->examples[k]);
    }
}

void near_miss_suggest(struct bench *b, const struct rule *r, struct mutants *m)
{
    size_t alive = 0;
    struct example_records x;
    struct diags *d = diags_new();
    if (pool_count == 0)
        fill_pool(b);
    for (size_t i = 0; i < m->count; i++)
        alive += !m->items[i].killed && !m->items[i].stillborn;
    if (alive > 0 && !getenv("LW_SIBLINGS_ONLY") &&
        example_records_build(r, &r->examples[0], &x, d)) {
        struct trial t = {.bench = b, .rule = r, .alive = m};
        for (size_t i = 0; i < x.count; i++)
            try_tree(&t, &x, x.items[i], false);
        choose(&t);
        for (size_t i = 0; i < t.count; i++)
            mem_free(t.found[i].killed);
        mem_free(t.found);
        example_records_free(&x);
    }
    try_siblings(b, r, m);
    diags_free(d);
}
