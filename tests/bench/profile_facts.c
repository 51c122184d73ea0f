/* profile_facts SRCDIR AS-OF FILE... - where the time of an audit goes: reading, each fact, the
 * rules.
 *
 * For a person looking for the slow sheet; prints milliseconds of processor time, so that what else
 * the machine does is left out, and asserts nothing. */
#include "text/base.h"

#include "record/image.h"
#include "record/reader.h"
#include "rule/evaluate.h"
#include "text/date.h"
#include "text/mem.h"

/* Statements faster than this are not worth a line. */
#define SHOWN_MS 0.2

static double now_ms(void)
{
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec * 1e3 + (double)t.tv_nsec / 1e6;
}

/* A fact is one statement: its start, then its end. */
static int on_trace(unsigned kind, void *user, void *statement, void *detail)
{
    static const char made[] = "insert into fact_";
    double *begun = user;
    const char *sql = sqlite3_sql(statement);
    (void)detail;
    if (strncmp(sql, made, sizeof made - 1) != 0)
        return 0;
    sql += sizeof made - 1 - strlen("fact_");
    if (kind == SQLITE_TRACE_STMT)
        *begun = now_ms();
    else if (now_ms() - *begun > SHOWN_MS)
        printf("%10.1f ms  %.*s\n", now_ms() - *begun, (int)strcspn(sql, " "), sql);
    return 0;
}

/* What the rules cannot do without: every row of every fact they range over, read once; and how
 * often a rule meets a row. */
static void bare_scan(sqlite3 *db, const struct fact_set *facts, const struct rule_set *rules)
{
    double start = now_ms(), pairs = 0;
    for (size_t i = 0; i < fact_set_count(facts); i++) {
        const char *name = fact_set_at(facts, i)->name;
        size_t over = 0, rows = 0;
        char sql[160];
        sqlite3_stmt *st = NULL;
        for (size_t k = 0; k < rule_set_count(rules); k++)
            over += strcmp(rule_set_at(rules, k)->fact, name) == 0;
        snprintf(sql, sizeof sql, "select * from fact_%s", name);
        if (over == 0 || sqlite3_prepare_v2(db, sql, -1, &st, NULL) != SQLITE_OK)
            continue;
        int columns = sqlite3_column_count(st);
        for (; sqlite3_step(st) == SQLITE_ROW; rows++)
            for (int c = 0; c < columns; c++)
                (void)sqlite3_column_type(st, c);
        sqlite3_finalize(st);
        pairs += (double)over * (double)rows;
    }
    printf("bare scan %.1f ms, %.0f rule-rows\n", now_ms() - start, pairs);
}

static void show(const struct diags *d)
{
    struct sbuf b = SBUF_INIT;
    for (size_t i = 0; i < diags_count(d); i++) {
        sbuf_clear(&b);
        diag_format(diags_at(d, i), &b);
        fprintf(stderr, "%s\n", b.s);
    }
    sbuf_free(&b);
}

int main(int argc, char **argv)
{
    char path[512];
    struct reader_counts counts = {0, 0, true};
    struct fact_options fo = {0};
    struct fact_run *run = NULL;
    struct findings *found = NULL;
    if (argc < 4 || mem_install() != 0 || !date_iso_days(argv[2], &fo.as_of)) {
        fputs("usage: profile_facts SRCDIR AS-OF FILE...\n", stderr);
        return EXIT_FAILURE;
    }
    struct diags *d = diags_new();
    snprintf(path, sizeof path, "%s/data", argv[1]);
    double begun = 0, start = now_ms();
    struct store *store = store_with_catalogue(path, NULL, d);
    printf("catalogue %.1f ms\n", now_ms() - start);
    start = now_ms();
    struct fact_set *facts = fact_set_read(path, d);
    printf("sheets %.1f ms\n", now_ms() - start);
    snprintf(path, sizeof path, "%s/rules", argv[1]);
    start = now_ms();
    struct rule_set *rules = rule_set_read(path, d);
    printf("rule files %.1f ms\n", now_ms() - start);
    start = now_ms();
    for (int i = 3; store && i < argc; i++)
        reader_file(argv[i], store_sink, store, &counts, d);
    bool ok = store && facts && rules && store_finish(store, d);
    printf("%lu records %.1f ms\n", counts.read, now_ms() - start);
    start = now_ms();
    if (ok) {
        sqlite3_trace_v2(store_db(store), SQLITE_TRACE_STMT | SQLITE_TRACE_PROFILE, on_trace,
                         &begun);
        run = fact_materialise(store, facts, &fo, d);
    }
    printf("facts %.1f ms\n", now_ms() - start);
    start = now_ms();
    if (run)
        found = evaluate(run, rules, NULL, d);
    printf("rules %.1f ms, %zu findings\n", now_ms() - start, found ? found->count : 0);
    if (found)
        bare_scan(store_db(store), facts, rules);
    show(d);
    int status = found ? EXIT_SUCCESS : EXIT_FAILURE;
    findings_free(found);
    fact_run_free(run);
    rule_set_free(rules);
    fact_set_free(facts);
    store_free(store);
    diags_free(d);
    return status;
}
