/* plan_table.c - planned batches put to the facts and rules, for the scripts beside it.
 *
 *   plan_table table SRCDIR TABLE   every row of plans.csv: the share of the lower explosive limit
 *                                   against the figure derived by hand, and exactly the rules that
 *                                   fail and that cannot be told
 *   plan_table worse SRCDIR         less air, a larger surface, a warmer liquid, a smaller room and
 * a longer time never improve a verdict or a number
 *
 * A plan is a base plan with some attributes changed: "room.height=2.5 m; step.lid=-" ('-': left
 * out). Elements without any attribute are not there. */
#include "csv_field.h"

#include "fact/fact.h"
#include "record/image.h"
#include "record/reader.h"
#include "rule/evaluate.h"
#include "text/date.h"
#include "text/file.h"
#include "text/mem.h"
#include "text/number.h"
#include "text/utf8.h"

#define AS_OF "2026-06-01"
enum { PAIRS_MOST = 96, LIST_BYTES = 2048, LINE_BYTES = 4096 };

struct pair {
    char key[48], value[96];
};

struct plan {
    struct pair pairs[PAIRS_MOST];
    size_t count;
};

/* In the order they are written out. */
static const struct {
    const char *part, *element;
    bool in_batch;
} parts[] = {
    {"premises", "premises", false}, {"room", "place", false},    {"hall", "place", false},
    {"fz", "place", false},          {"heat", "ignition", false}, {"solvent", "receipt", false},
    {"batch", "batch", false},       {"mat", "charge", true},     {"sol", "charge", true},
    {"step", "step", true},          {"step2", "step", true},
};

static const char base_plan[] =
    "premises.id=W; premises.code-sets=vapour-us; premises.storey=1;"
    "room.id=room; room.kind=room; room.premises=W; room.floor-area=10 m2; room.height=2 m;"
    "room.ventilation=natural; room.air-changes=0 per-hour; room.extinguisher=2A:10B:C;"
    "room.exits=2; room.spill-kit=yes; room.drain=no; room.no-smoking-sign=yes; room.warmest=25 "
    "degC;"
    "heat.id=H; heat.place=room; heat.kind=hot-plate; heat.state=off;"
    "batch.id=L1; batch.state=planned; batch.start=2026-06-01; batch.place=room;"
    "batch.vessel-size=1 L; batch.fill=800 mL; batch.fill-temperature=20 degC;"
    "batch.strength=95 %vol; batch.ratio=1:10; batch.ratio-basis=mass-volume;"
    "mat.material=vetiver; mat.purpose=extracted; mat.quantity=200 g; mat.water=0 %;"
    "sol.material=ethanol; sol.purpose=solvent; sol.quantity=2 L; sol.strength=95 %vol;"
    "step.kind=filter; step.date=2026-06-01; step.place=room; step.quantity=2 L;"
    "step.open-area=0.05 m2; step.duration=30 min; step.temperature=20 degC;"
    "step.air-speed=0.1 m/s; step.ventilation-on=yes; step.alone=no; step.lid=covered;"
    "step.from-material=glass; step.to-material=glass";

static struct diags *diags;
static struct fact_set *facts;
static struct rule_set *rules;
static struct store *store; /* the catalogue stays, the records of a plan are thrown away */

static void die(const char *what)
{
    fprintf(stderr, "plan_table: %s\n", what);
    for (size_t i = 0; diags != NULL && i < diags_count(diags); i++) {
        struct sbuf b = SBUF_INIT;
        diag_format(diags_at(diags, i), &b);
        fprintf(stderr, "%s\n", b.s);
        sbuf_free(&b);
    }
    exit(2);
}

static void set(struct plan *p, const char *key, const char *value)
{
    size_t i = 0;
    while (i < p->count && strcmp(p->pairs[i].key, key) != 0)
        i++;
    if (i == PAIRS_MOST)
        die("too many attributes");
    if (i == p->count)
        p->count++;
    snprintf(p->pairs[i].key, sizeof p->pairs[i].key, "%s", key);
    snprintf(p->pairs[i].value, sizeof p->pairs[i].value, "%s", value);
}

/* "a.b=c; d.e=f" */
static void apply(struct plan *p, const char *text)
{
    while (*text != '\0') {
        char key[48], value[96];
        size_t n;
        text += strspn(text, "; ");
        n = strcspn(text, "=");
        if (*text == '\0')
            break;
        if (text[n] == '\0' || n >= sizeof key)
            die(text);
        snprintf(key, sizeof key, "%.*s", (int)n, text);
        text += n + 1;
        n = strcspn(text, ";");
        snprintf(value, sizeof value, "%.*s", (int)n, text);
        set(p, key, value);
        text += n;
    }
}

static bool put_element(struct sbuf *b, const struct plan *p, const char *part, const char *element)
{
    bool any = false;
    size_t n = strlen(part);
    for (size_t i = 0; i < p->count; i++) {
        const struct pair *pair = &p->pairs[i];
        if (strncmp(pair->key, part, n) != 0 || pair->key[n] != '.' ||
            strcmp(pair->value, "-") == 0)
            continue;
        if (!any)
            sbuf_printf(b, "<%s", element);
        any = true;
        sbuf_printf(b, " %s=\"%s\"", pair->key + n + 1, pair->value);
    }
    return any;
}

static void write_plan(struct sbuf *b, const struct plan *p)
{
    sbuf_puts(b, "<records>\n");
    for (size_t i = 0; i < LW_COUNT(parts); i++)
        if (put_element(b, p, parts[i].part, parts[i].element))
            sbuf_puts(b, strcmp(parts[i].part, "batch") == 0 ? ">\n" : "/>\n");
    sbuf_puts(b, "</batch>\n</records>\n");
}

struct outcome {
    double lel;                                 /* worst step, NaN: not told */
    double shift;                               /* the same, ppm over eight hours */
    int quarter;                                /* verdict of vapour-above-quarter-of-lel: 0 holds,
                                                 * 1 cannot tell, 2 fails */
    char fails[LIST_BYTES], untold[LIST_BYTES]; /* rule ids in order, one blank between */
};

static void list_add(char *list, const char *id)
{
    size_t n = strlen(list);
    const char *last = strrchr(list, ' ');
    if (strcmp(last == NULL ? list : last + 1, id) != 0)
        snprintf(list + n, LIST_BYTES - n, "%s%s", n > 0 ? " " : "", id);
}

static double number_of(const char *sql)
{
    sqlite3_stmt *st = NULL;
    double v = (double)NAN;
    if (sqlite3_prepare_v2(store_db(store), sql, -1, &st, NULL) != SQLITE_OK)
        die(sqlite3_errmsg(store_db(store)));
    if (sqlite3_step(st) == SQLITE_ROW && sqlite3_column_type(st, 0) != SQLITE_NULL)
        v = sqlite3_column_double(st, 0);
    sqlite3_finalize(st);
    return v;
}

static int by_id(const void *a, const void *b)
{
    const struct finding *const *x = a, *const *y = b;
    return strcmp((*x)->rule->id, (*y)->rule->id);
}

static bool handled(const struct finding *f)
{
    return strcmp(f->rule->topic, "ventilation") == 0 || strcmp(f->rule->topic, "ethanol") == 0;
}

static void list_findings(const struct findings *found, struct outcome *o)
{
    const struct finding **sorted = mem_calloc(found->count + 1, sizeof *sorted);
    if (sorted == NULL)
        die("out of memory");
    for (size_t i = 0; i < found->count; i++)
        sorted[i] = &found->items[i];
    qsort(sorted, found->count, sizeof(const struct finding *), by_id);
    for (size_t i = 0; i < found->count; i++) {
        const struct finding *f = sorted[i];
        int rank = f->verdict == VERDICT_FAILS ? 2 : 1;
        if (!handled(f))
            continue;
        list_add(f->verdict == VERDICT_FAILS ? o->fails : o->untold, f->rule->id);
        if (strcmp(f->rule->id, "vapour-above-quarter-of-lel") == 0 && rank > o->quarter)
            o->quarter = rank;
    }
    mem_free(sorted);
}

/* only: one fact and its rules; NULL: all. */
static struct outcome judge(const struct plan *p, const char *only)
{
    struct outcome o = {.lel = (double)NAN};
    struct sbuf text = SBUF_INIT;
    struct reader_counts counts = {0, 0, false};
    long as_of = 0;
    write_plan(&text, p);
    if (!store_reset(store) || text.failed || !date_iso_days(AS_OF, &as_of) ||
        !reader_xml("plan", text.s, text.len, store_sink, store, &counts, diags) ||
        counts.refused > 0 || !store_finish(store, diags)) {
        fprintf(stderr, "%s\n", text.s);
        die("the plan cannot be read");
    }
    struct fact_options fo = {.as_of = as_of, .only = only};
    struct evaluate_options eo = {.only = only ? "vapour-above-quarter-of-lel" : NULL};
    struct fact_run *run = fact_materialise(store, facts, &fo, diags);
    struct findings *found = run ? evaluate(run, rules, &eo, diags) : NULL;
    if (found == NULL)
        die("the plan cannot be judged");
    o.lel = number_of("select max(lel_percent) from fact_step_vapour");
    o.shift = number_of("select max(shift_ppm) from fact_step_vapour");
    list_findings(found, &o);
    findings_free(found);
    fact_run_free(run);
    sbuf_free(&text);
    return o;
}

static void open_rules(const char *src)
{
    char dir[4096];
    snprintf(dir, sizeof dir, "%s/data", src);
    diags = diags_new();
    store = store_with_catalogue(dir, NULL, diags);
    facts = fact_set_read(dir, diags);
    snprintf(dir, sizeof dir, "%s/rules", src);
    rules = rule_set_read(dir, diags);
    if (store == NULL || facts == NULL || rules == NULL)
        die("facts or rules cannot be read");
}

/* ---- the table ---- */

/* id, changes, lel_percent, fails, untold, note */
static bool check_row(char *line)
{
    char id[64], changes[1024], lel[32], fails[LIST_BYTES], untold[LIST_BYTES], note[1024];
    double want = 0;
    struct plan p = {.count = 0};
    bool ok = true;
    line = field(line, id, sizeof id);
    line = field(line, changes, sizeof changes);
    line = field(line, lel, sizeof lel);
    line = field(line, fails, sizeof fails);
    line = field(line, untold, sizeof untold);
    field(line, note, sizeof note);
    apply(&p, base_plan);
    apply(&p, changes);
    struct outcome o = judge(&p, NULL);
    /* the partial pressures by hand come from a table of three figures */
    const double within = 0.006;
    if (lel[0] == '\0' ? !isnan(o.lel)
                       : !number_exact(lel, &want) || !(fabs(o.lel - want) <= within * want)) {
        printf("%s: %.3f %% of LEL, by hand %s\n", id, o.lel, lel[0] ? lel : "not to be told");
        ok = false;
    }
    if (strcmp(o.fails, fails) != 0) {
        printf("%s: fails '%s'\n    expected '%s'\n", id, o.fails, fails);
        ok = false;
    }
    if (strcmp(o.untold, untold) != 0) {
        printf("%s: untold '%s'\n    expected '%s'\n", id, o.untold, untold);
        ok = false;
    }
    if (note[0] == '\0') {
        printf("%s: no note\n", id);
        ok = false;
    }
    return ok;
}

static int table(const char *path)
{
    char line[LINE_BYTES];
    unsigned rows = 0, bad = 0;
    FILE *f = fopen(path, "r");
    if (f == NULL)
        die(path);
    while (fgets(line, sizeof line, f) != NULL) {
        line[strcspn(line, "\r\n")] = '\0';
        if (line[0] == '\0' || line[0] == '#' || strncmp(line, "id,", 3) == 0)
            continue;
        rows++;
        bad += !check_row(line);
    }
    fclose(f);
    printf("%u planned batches, %u wrong\n", rows, bad);
    return bad > 0 || rows < 25;
}

/* ---- never better ---- */

/* Each series goes from better to worse. */
static const struct {
    const char *what, *key;
    const char *values[9];
} series[] = {
    {"less air",
     "room.air-changes",
     {"60 per-hour", "20 per-hour", "8 per-hour", "4 per-hour", "2 per-hour", "1 per-hour",
      "0.3 per-hour", "0 per-hour"}},
    {"larger surface",
     "step.open-area",
     {"0.001 m2", "0.005 m2", "0.02 m2", "0.05 m2", "0.1 m2", "0.3 m2", "1 m2", "4 m2"}},
    {"warmer liquid",
     "step.temperature",
     {"-15 degC", "0 degC", "5 degC", "12 degC", "18 degC", "25 degC", "35 degC", "55 degC"}},
    {"smaller room", "room.height", {"6 m", "4 m", "3 m", "2.5 m", "2 m", "1.5 m", "1 m", "0.5 m"}},
    {"longer time",
     "step.duration",
     {"1 min", "5 min", "15 min", "30 min", "60 min", "120 min", "300 min", "600 min"}},
};

static const char *const grounds[] = {
    "",
    "room.air-changes=4 per-hour",
    "step.open-area=0.2 m2; step.duration=90 min",
    "step.kind=pour; step.quantity=20 L; sol.quantity=20 L",
    "step.quantity=100 mL; step.open-area=0.1 m2; step.duration=240 min",
    "sol.strength=40 %vol; step.open-area=0.3 m2; room.air-changes=1 per-hour",
    "step.air-speed=2 m/s; room.floor-area=6 m2; step.duration=60 min",
};

static int worse(void)
{
    unsigned steps = 0, bad = 0;
    for (size_t g = 0; g < LW_COUNT(grounds); g++)
        for (size_t i = 0; i < LW_COUNT(series); i++) {
            struct outcome last = {.lel = 0};
            for (size_t k = 0; series[i].values[k] != NULL && k < 8; k++) {
                struct plan p = {.count = 0};
                apply(&p, base_plan);
                apply(&p, grounds[g]);
                set(&p, series[i].key, series[i].values[k]);
                struct outcome o = judge(&p, "step_vapour");
                const double slack = 1e-9;
                steps++;
                if (isnan(o.lel) || o.quarter < last.quarter || o.lel < last.lel * (1 - slack) ||
                    o.shift < last.shift * (1 - slack)) {
                    printf("%s to %s on '%s': %.6f %% after %.6f %%, %.3f ppm after %.3f ppm\n",
                           series[i].what, series[i].values[k], grounds[g], o.lel, last.lel,
                           o.shift, last.shift);
                    bad++;
                }
                last = o;
            }
        }
    printf("%u steps to the worse, %u made something better\n", steps, bad);
    return bad > 0;
}

int main(int argc, char **argv)
{
    int status = 2;
    if (argc == 4 && strcmp(argv[1], "table") == 0) {
        open_rules(argv[2]);
        status = table(argv[3]);
    } else if (argc == 3 && strcmp(argv[1], "worse") == 0) {
        open_rules(argv[2]);
        status = worse();
    } else {
        fprintf(stderr, "usage: plan_table table SRCDIR TABLE | worse SRCDIR\n");
        return 2;
    }
    rule_set_free(rules);
    fact_set_free(facts);
    store_free(store);
    diags_free(diags);
    return status;
}
