/* fact_dump SRCDIR AS-OF FACT FILE... - one fact as tab-parted lines, its columns first; for
 * scripts that hold facts against tables of their own. NULL is written \N. */
#include "text/base.h"

#include "fact/fact.h"
#include "record/catalogue.h"
#include "record/image.h"
#include "record/reader.h"
#include "text/date.h"
#include "text/mem.h"

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

static bool dump(sqlite3 *db, const char *fact)
{
    struct sbuf sql = SBUF_INIT;
    sqlite3_stmt *st = NULL;
    int rc;

    sbuf_printf(&sql, "select * from fact_%s", fact);
    rc = sqlite3_prepare_v2(db, sql.s, -1, &st, NULL);
    sbuf_free(&sql);
    if (rc != SQLITE_OK) {
        fprintf(stderr, "%s\n", sqlite3_errmsg(db));
        return false;
    }
    for (int i = 0; i < sqlite3_column_count(st); i++)
        printf("%s%s", i > 0 ? "\t" : "", sqlite3_column_name(st, i));
    putchar('\n');
    while ((rc = sqlite3_step(st)) == SQLITE_ROW) {
        for (int i = 0; i < sqlite3_column_count(st); i++) {
            const char *text = (const char *)sqlite3_column_text(st, i);

            printf("%s%s", i > 0 ? "\t" : "", text == NULL ? "\\N" : text);
        }
        putchar('\n');
    }
    sqlite3_finalize(st);
    return rc == SQLITE_DONE;
}

int main(int argc, char **argv)
{
    char path[512];
    struct reader_counts counts = {0, 0, true};
    struct fact_options fo = {0};
    struct fact_run *run = NULL;
    bool ok;

    if (argc < 5 || mem_install() != 0 || !date_iso_days(argv[2], &fo.as_of)) {
        fputs("usage: fact_dump SRCDIR AS-OF FACT FILE...\n", stderr);
        return EXIT_FAILURE;
    }
    struct diags *d = diags_new();
    snprintf(path, sizeof path, "%s/data", argv[1]);
    struct store *store = store_with_catalogue(path, NULL, d);
    struct fact_set *facts = fact_set_read(path, d);

    for (int i = 4; store != NULL && i < argc; i++)
        reader_file(argv[i], store_sink, store, &counts, d);
    ok = store != NULL && facts != NULL && store_finish(store, d);
    if (ok)
        run = fact_materialise(store, facts, &fo, d);
    ok = run != NULL && dump(store_db(store), argv[3]);
    show(d);
    fact_run_free(run);
    fact_set_free(facts);
    store_free(store);
    diags_free(d);
    return ok ? EXIT_SUCCESS : EXIT_FAILURE;
}
