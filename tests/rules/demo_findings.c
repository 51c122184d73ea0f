/* demo_findings.c - what the rules say about the demo workroom, for the scripts beside it.
 *
 *   demo_findings findings SRCDIR             every finding but those of planned lots, as CSV
 *   demo_findings plan SRCDIR                 the findings that arise only with the planned lots
 *   demo_findings blank SRCDIR EXCEPTIONS     blanks each attribute each rule leans on, and says
 *                                             where the rule does not notice */
#include "text/base.h"

#include "fact/fact.h"
#include "record/image.h"
#include "record/reader.h"
#include "rule/evaluate.h"
#include "rule/program.h"
#include "text/date.h"
#include "text/file.h"
#include "text/mem.h"
#include "text/utf8.h"

#define AS_OF "2026-12-31"
/* Records tried one by one for a rule and attribute, those with a finding first; where none of them
 * is noticed the attribute is blanked in all records at once. */
enum { TRIES = 6, EVERY_RECORD = 0, EXCEPTIONS_MAX = 1 << 20 };

struct demo {
    struct diags *diags;
    struct store *store;
    struct fact_set *facts;
    struct rule_set *rules;
    long as_of;
};

static void complain(struct diags *d)
{
    struct sbuf b = SBUF_INIT;
    for (size_t i = 0; i < diags_count(d); i++) {
        if (diags_at(d, i)->level < DIAG_ERROR)
            continue;
        sbuf_clear(&b);
        diag_format(diags_at(d, i), &b);
        fprintf(stderr, "%s\n", b.s);
    }
    sbuf_free(&b);
}

static bool read_records(struct demo *x, const char *src, bool plan)
{
    char dir[4096], path[8192];
    char **names = NULL;
    size_t count = 0;
    struct reader_counts counts = {0, 0, false};
    snprintf(dir, sizeof dir, "%s/data/demo", src);
    bool ok = file_list(dir, ".xml", &names, &count, x->diags);
    for (size_t i = 0; i < count; i++) {
        snprintf(path, sizeof path, "%s/%s", dir, names[i]);
        if (ok && (plan || !str_eq(names[i], "plan.xml")))
            ok = reader_file(path, store_sink, x->store, &counts, x->diags) && counts.refused == 0;
        mem_free(names[i]);
    }
    mem_free(names);
    return ok && store_finish(x->store, x->diags);
}

static bool open_demo(struct demo *x, const char *src, bool plan)
{
    char dir[4096];
    *x = (struct demo){.diags = diags_new()};
    snprintf(dir, sizeof dir, "%s/data", src);
    x->store = store_with_catalogue(dir, NULL, x->diags);
    x->facts = fact_set_read(dir, x->diags);
    snprintf(dir, sizeof dir, "%s/rules", src);
    x->rules = rule_set_read(dir, x->diags);
    return x->store && x->facts && x->rules && date_iso_days(AS_OF, &x->as_of) &&
           read_records(x, src, plan);
}

static void close_demo(struct demo *x)
{
    complain(x->diags);
    rule_set_free(x->rules);
    fact_set_free(x->facts);
    store_free(x->store);
    diags_free(x->diags);
}

static struct findings *judge(struct demo *x, const char *fact, const char *rule)
{
    struct fact_options fo = {.as_of = x->as_of, .only = fact};
    struct evaluate_options eo = {.only = rule};
    struct fact_run *run = fact_materialise(x->store, x->facts, &fo, x->diags);
    struct findings *f = run ? evaluate(run, x->rules, &eo, x->diags) : NULL;
    fact_run_free(run);
    return f;
}

static void print_finding(const struct finding *f)
{
    printf("%s,%s,%s,%s\n", f->rule->id, f->subject_kind, f->subject, verdict_name(f->verdict));
}

static int say_findings(const char *src)
{
    struct demo x;
    struct findings *f = open_demo(&x, src, false) ? judge(&x, NULL, NULL) : NULL;
    int status = f ? 0 : 2;
    for (size_t i = 0; f && i < f->count; i++)
        print_finding(&f->items[i]);
    findings_free(f);
    close_demo(&x);
    return status;
}

static int say_plan(const char *src)
{
    struct demo with, without;
    bool ok = open_demo(&with, src, true);
    ok = open_demo(&without, src, false) && ok;
    struct findings *f = ok ? judge(&with, NULL, NULL) : NULL;
    struct findings *g = ok ? judge(&without, NULL, NULL) : NULL;
    ok = f && g;
    if (ok)
        findings_mark_new(f, g);
    for (size_t i = 0; ok && i < f->count; i++)
        if (f->items[i].is_new)
            print_finding(&f->items[i]);
    findings_free(f);
    findings_free(g);
    close_demo(&with);
    close_demo(&without);
    return ok ? 0 : 2;
}

/* ---- blanking ---- */

struct blanking {
    struct demo x;
    char *exceptions; /* the file, as text */
    unsigned long turned, excused, silent, lost;
};

static const struct finding *by_key(const struct findings *f, const char *key)
{
    for (size_t i = 0; i < f->count; i++)
        if (str_eq(f->items[i].key, key))
            return &f->items[i];
    return NULL;
}

/* Something that held cannot be told any more, or fails. */
static bool noticed(const struct findings *before, const struct findings *after)
{
    for (size_t i = 0; i < after->count; i++) {
        const struct finding *b = by_key(before, after->items[i].key);
        if (!b || (b->verdict == VERDICT_FAILS && after->items[i].verdict == VERDICT_CANNOT_TELL))
            return true;
    }
    return false;
}

/* Something that failed is no finding at all any more. */
static const char *lost(const struct findings *before, const struct findings *after)
{
    for (size_t i = 0; i < before->count; i++)
        if (before->items[i].verdict == VERDICT_FAILS && !by_key(after, before->items[i].key))
            return before->items[i].key;
    return NULL;
}

static bool run_sql(struct blanking *b, const char *sql)
{
    if (sqlite3_exec(store_db(b->x.store), sql, NULL, NULL, NULL) == SQLITE_OK)
        return true;
    fprintf(stderr, "%s: %s\n", sql, sqlite3_errmsg(store_db(b->x.store)));
    return false;
}

/* Every column that came from the attribute: NAME, NAME_suffix, NAME_res, NAME_minute. */
static void blank_sql(const struct dict_element *e, const struct dict_attr *a, sqlite3_int64 rid,
                      struct blanking *b, struct sbuf *out)
{
    char table[96], column[96], query[256];
    sqlite3_stmt *st = NULL;
    const char *gap = "";
    dict_column(e->name, table, sizeof table);
    dict_column(a->name, column, sizeof column);
    const char *const suffixes[] = {"", dict_suffix(a), "_g", "_l", "_res", "_minute", "_currency"};
    sbuf_clear(out);
    sbuf_printf(out, "update rec_%s set ", table);
    snprintf(query, sizeof query, "select name from pragma_table_info('rec_%s')", table);
    sqlite3_prepare_v2(store_db(b->x.store), query, -1, &st, NULL);
    while (st && sqlite3_step(st) == SQLITE_ROW) {
        const char *name = (const char *)sqlite3_column_text(st, 0);
        size_t n = strlen(column);
        if (strncmp(name, column, n) != 0)
            continue;
        for (size_t i = 0; i < LW_COUNT(suffixes); i++)
            if (str_eq(name + n, suffixes[i])) {
                sbuf_printf(out, "%s\"%s\" = null", gap, name);
                gap = ", ";
                break;
            }
    }
    sqlite3_finalize(st);
    sbuf_printf(
        out,
        " where %lld in (rid, %d); delete from rec_link where kind = '%s' and attr = '%s' and "
        "%lld in (rid, %d)",
        (long long)rid, EVERY_RECORD, e->name, a->name, (long long)rid, EVERY_RECORD);
}

static bool excepted(const struct blanking *b, const char *rule, const char *attr)
{
    char line[256];
    snprintf(line, sizeof line, "\n%s,%s,", rule, attr);
    const char *p = strstr(b->exceptions, line);
    return p && p[strlen(line)] != '\n' && p[strlen(line)] != '\0';
}

/* Rows that hold the attribute, those of records with a finding first. */
static sqlite3_stmt *candidates(struct blanking *b, const struct dict_element *e,
                                const struct dict_attr *a, const struct findings *before)
{
    struct sbuf sql = SBUF_INIT;
    sqlite3_stmt *st = NULL;
    char table[96], column[96], parent[96];
    bool child = !str_eq(e->parent, "records");
    dict_column(e->name, table, sizeof table);
    dict_column(a->name, column, sizeof column);
    dict_column(child ? e->parent : "id", parent, sizeof parent);
    sbuf_printf(&sql, "select rid from rec_%s where \"%s\" is not null order by \"%s\" in (''",
                table, column, parent);
    for (size_t i = 0; i < before->count; i++) {
        sbuf_printf(&sql, ", '%s'", before->items[i].subject);
        if (before->items[i].lot)
            sbuf_printf(&sql, ", '%s'", before->items[i].lot);
    }
    sbuf_printf(&sql, ") desc, (rid * 7919) %% 101, rid limit %d", TRIES);
    if (!sql.failed && sqlite3_prepare_v2(store_db(b->x.store), sql.s, -1, &st, NULL) != SQLITE_OK)
        fprintf(stderr, "%s: %s\n", sql.s, sqlite3_errmsg(store_db(b->x.store)));
    sbuf_free(&sql);
    return st;
}

static bool try_attribute(struct blanking *b, const struct rule *r, const struct dict_element *e,
                          const struct dict_attr *a, const char *name,
                          const struct findings *before)
{
    struct sbuf sql = SBUF_INIT;
    sqlite3_int64 rids[TRIES + 1];
    size_t count = 0;
    bool ok = true, turned = false;
    sqlite3_stmt *st = candidates(b, e, a, before);
    while (st && count < TRIES && sqlite3_step(st) == SQLITE_ROW)
        rids[count++] = sqlite3_column_int64(st, 0);
    sqlite3_finalize(st);
    if (count > 0)
        rids[count++] = EVERY_RECORD;
    for (size_t i = 0; ok && !turned && i < count; i++) {
        blank_sql(e, a, rids[i], b, &sql);
        ok = run_sql(b, "savepoint blank") && run_sql(b, sql.s);
        struct findings *after = ok ? judge(&b->x, r->fact, r->id) : NULL;
        ok = after && run_sql(b, "rollback to blank; release blank");
        const char *gone = ok ? lost(before, after) : NULL;
        turned = ok && noticed(before, after);
        if (gone && !turned && rids[i] != EVERY_RECORD && !excepted(b, r->id, name)) {
            b->lost++;
            printf("%s: blank %s (rid %lld) and the finding %s is gone\n", r->id, name,
                   (long long)rids[i], gone);
        }
        findings_free(after);
    }
    sbuf_free(&sql);
    if (turned && excepted(b, r->id, name))
        printf("%s: %s needs no exception any more\n", r->id, name);
    if (turned)
        b->turned++;
    else if (excepted(b, r->id, name))
        b->excused++;
    else if (count > 0) {
        b->silent++;
        printf("%s: blank %s, and nothing is untold\n", r->id, name);
    }
    return ok;
}

/* Marks each attribute named by "receipt@quantity batch@place" once. */
static bool try_words(struct blanking *b, const struct rule *r, const char *from, struct sbuf *seen,
                      const struct findings *before)
{
    char name[128], mark[136], kind[64];
    bool ok = true;
    for (const char *p = from; ok && p && *p;) {
        size_t n = strcspn(p, " ");
        if (n > 0 && n < sizeof name) {
            snprintf(name, sizeof name, "%.*s", (int)n, p);
            snprintf(mark, sizeof mark, " %s ", name);
            const char *at = strchr(name, '@');
            if (at && !strstr(seen->s, mark)) {
                sbuf_puts(seen, mark);
                snprintf(kind, sizeof kind, "%.*s", (int)(at - name), name);
                const struct dict_element *e = dict_find(kind);
                int i = e ? dict_attr_index(e, at + 1) : -1;
                if (i < 0) {
                    printf("%s: there is no attribute %s\n", r->fact, name);
                    b->silent++;
                } else {
                    ok = try_attribute(b, r, e, &e->attrs[i], name, before);
                }
            }
        }
        p += n;
        p += strspn(p, " ");
    }
    return ok;
}

static bool reads(struct blanking *b, const struct rule *r, bool **marks)
{
    struct fact_options fo = {.as_of = b->x.as_of, .only = r->fact};
    const struct fact_sheet *sheet = fact_set_find(b->x.facts, r->fact);
    const size_t tally = 0;
    struct fact_run *run = fact_materialise(b->x.store, b->x.facts, &fo, b->x.diags);
    sqlite3 *db = store_db(b->x.store);
    sqlite3_stmt *limits = NULL;
    struct fact_program *p =
        run ? program_compile(db, &limits, sheet, &r, &tally, 1, b->x.diags) : NULL;
    bool ok = p && program_reads(db, p, &p->rules[0]);
    *marks = ok ? mem_calloc(sheet->column_count, sizeof **marks) : NULL;
    for (size_t i = 0; ok && *marks && i < sheet->column_count; i++)
        (*marks)[i] = p->rules[0].where_reads[i] || p->rules[0].must_reads[i];
    program_free(p);
    sqlite3_finalize(limits);
    fact_run_free(run);
    return ok && *marks;
}

static bool try_rule(struct blanking *b, const struct rule *r)
{
    const struct fact_sheet *sheet = fact_set_find(b->x.facts, r->fact);
    struct sbuf seen = SBUF_INIT;
    bool *marks = NULL;
    struct findings *before = judge(&b->x, r->fact, r->id);
    bool ok = before && reads(b, r, &marks);
    bool applies =
        ok &&
        before->tallies[0].verdicts[VERDICT_HOLDS] + before->tallies[0].verdicts[VERDICT_FAILS] > 0;
    sbuf_puts(&seen, " ");
    for (size_t i = 0; applies && ok && i < sheet->column_count; i++)
        if (marks[i])
            ok = try_words(b, r, sheet->columns[i].from, &seen, before);
    sbuf_free(&seen);
    mem_free(marks);
    findings_free(before);
    return ok;
}

static int blank(const char *src, const char *exceptions, const char *only)
{
    struct blanking b = {0};
    struct sbuf text = SBUF_INIT;
    bool ok = open_demo(&b.x, src, true);
    sbuf_puts(&text, "\n");
    ok = file_read(exceptions, EXCEPTIONS_MAX, &text, b.x.diags) && ok;
    b.exceptions = text.s;
    /* The store keeps no journal; without one nothing can be rolled back. */
    ok = ok && run_sql(&b, "pragma journal_mode = memory");
    for (size_t i = 0; ok && i < rule_set_count(b.x.rules); i++) {
        const struct rule *r = rule_set_at(b.x.rules, i);
        if (!only || str_eq(only, r->id) || str_eq(only, r->topic))
            ok = try_rule(&b, r);
        else
            continue;
    }
    printf("%lu attributes noticed when blank, %lu excused, %lu not noticed, %lu findings lost\n",
           b.turned, b.excused, b.silent, b.lost);
    sbuf_free(&text);
    close_demo(&b.x);
    return !ok ? 2 : b.silent > 0 || b.lost > 0 || b.turned == 0 ? 1 : 0;
}

int main(int argc, char **argv)
{
    if (argc == 3 && str_eq(argv[1], "findings"))
        return say_findings(argv[2]);
    if (argc == 3 && str_eq(argv[1], "plan"))
        return say_plan(argv[2]);
    if ((argc == 4 || argc == 5) && str_eq(argv[1], "blank"))
        return blank(argv[2], argv[3], argc == 5 ? argv[4] : NULL);
    fprintf(stderr, "usage: demo_findings findings|plan SRCDIR\n"
                    "       demo_findings blank SRCDIR EXCEPTIONS [RULE|TOPIC]\n");
    return 2;
}
