/* profile_facts [-i IMAGE] SRCDIR AS-OF FILE... - where the time of an audit goes: reading, each
 * fact, the rules. IMAGE: catalogue.db of the build folder, as the program itself starts.
 *
 * For a person looking for the slow sheet; prints milliseconds of processor time, so that what else
 * the machine does is left out, and asserts nothing. With an image each fact's line also says what
 * came before it, which is compiling its statement, then the machine's steps, the rows scanned
 * without an index, the automatic index rows, and the rows it has. */
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

struct stopwatch {
    double begun, ended, compiled, ran;
    bool compiles; /* the tables came with the image: between two facts lies only compiling */
};

static int counter(sqlite3_stmt *st, int which)
{
    return sqlite3_stmt_status(st, which, 1);
}

/* A fact is one statement: its start, then its end. */
static int on_trace(unsigned kind, void *user, void *statement, void *detail)
{
    static const char made[] = "insert into fact_";
    struct stopwatch *w = user;
    const char *sql = sqlite3_sql(statement);
    (void)detail;
    if (strncmp(sql, made, sizeof made - 1) != 0)
        return 0;
    sql += sizeof made - 1 - strlen("fact_");
    if (kind == SQLITE_TRACE_STMT) {
        w->begun = now_ms();
        return 0;
    }
    double ran = now_ms() - w->begun, compiled = w->begun - w->ended;
    w->ran += ran;
    w->compiled += compiled;
    if (ran > SHOWN_MS || w->compiles) {
        int name = (int)strcspn(sql, " ");
        printf("%10.1f ms  %-*.*s", ran, w->compiles ? 26 : name, name, sql);
        if (w->compiles)
            printf(" %6.2f ms compiled %9d steps %7d scanned %6d indexed %6lld rows", compiled,
                   counter(statement, SQLITE_STMTSTATUS_VM_STEP),
                   counter(statement, SQLITE_STMTSTATUS_FULLSCAN_STEP),
                   counter(statement, SQLITE_STMTSTATUS_AUTOINDEX),
                   (long long)sqlite3_changes64(sqlite3_db_handle(statement)));
        putchar('\n');
    }
    w->ended = now_ms();
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
    const char *image = NULL;
    struct stopwatch watch = {0};
    if (argc > 2 && strcmp(argv[1], "-i") == 0) {
        image = argv[2];
        argv += 2;
        argc -= 2;
    }
    if (argc < 4 || mem_install() != 0 || !date_iso_days(argv[2], &fo.as_of)) {
        fputs("usage: profile_facts [-i IMAGE] SRCDIR AS-OF FILE...\n", stderr);
        return EXIT_FAILURE;
    }
    struct diags *d = diags_new();
    snprintf(path, sizeof path, "%s/data", argv[1]);
    double start = now_ms();
    struct store *store = store_with_catalogue(path, image, d);
    printf("catalogue %.1f ms\n", now_ms() - start);
    start = now_ms();
    struct fact_set *facts = store ? fact_set_load(store, path, d) : NULL;
    printf("sheets %.1f ms\n", now_ms() - start);
    snprintf(path, sizeof path, "%s/rules", argv[1]);
    start = now_ms();
    struct rule_set *rules = store ? rule_set_load(store, path, d) : NULL;
    printf("rule files %.1f ms\n", now_ms() - start);
    start = now_ms();
    for (int i = 3; store && i < argc; i++)
        reader_file(argv[i], store_sink, store, &counts, d);
    bool ok = store && facts && rules && store_finish(store, d);
    printf("%lu records %.1f ms\n", counts.read, now_ms() - start);
    start = now_ms();
    if (ok) {
        sqlite3_trace_v2(store_db(store), SQLITE_TRACE_STMT | SQLITE_TRACE_PROFILE, on_trace,
                         &watch);
        watch.compiles = image != NULL;
        watch.ended = now_ms();
        run = fact_materialise(store, facts, &fo, d);
    }
    printf("facts %.1f ms\n", now_ms() - start);
    if (image)
        printf("of which compiled %.1f ms, run %.1f ms\n", watch.compiled, watch.ran);
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
