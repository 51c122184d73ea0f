/* without_lot.c - facts brought up to date against facts filled from nothing, on the demo workroom.
 *
 * SRCDIR AS-OF [all]: every third lot (all: every one) is taken out, once with all that names it
 * and once after what names it had gone; then every figure that `check` moves is moved. Each time
 * fact_refill must leave every fact as fact_materialise fills it, row by row.
 *
 * SRCDIR AS-OF alone: lists the facts of which no lot here depends on another, whether they are
 * declared so or not; for who writes sheets. */
#include "text/base.h"

#include "command/plan.h"
#include "fact/fact.h"
#include "record/dictionary.h"
#include "record/image.h"
#include "record/reader.h"
#include "text/date.h"
#include "text/file.h"
#include "text/mem.h"
#include "text/utf8.h"

enum { FACTS_MOST = 256, LOTS_MOST = 512, NAME_BYTES = 80 };

static struct session session;
static struct diags *diags;
static struct store *store;
static struct fact_set *facts;
static struct fact_options options;
static bool broken[FACTS_MOST]; /* by sheet: a lot took rows of another with it */
static int mismatches, comparisons;
static struct fact_run *base; /* all lots in; a rollback brings its rows back */

static void die(const char *what)
{
    fprintf(stderr, "without_lot: %s\n", what);
    for (size_t i = 0; diags != NULL && i < diags_count(diags); i++)
        fprintf(stderr, "%s\n", diags_at(diags, i)->message);
    exit(2);
}

static void run(const char *sql)
{
    if (sqlite3_exec(store_db(store), sql, NULL, NULL, NULL) != SQLITE_OK)
        die(sqlite3_errmsg(store_db(store)));
}

/* The rows of a fact whatever their order: how many, and two sums over their bytes. */
struct digest {
    long rows;
    uint64_t sum, product;
};

static uint64_t hash_row(sqlite3_stmt *st)
{
    uint64_t h = 14695981039346656037u; /* FNV-1a, 64 bits */
    for (int i = 0; i < sqlite3_column_count(st); i++) {
        int type = sqlite3_column_type(st, i), n = 0;
        double number = 0;
        const unsigned char *p = (const unsigned char *)"";
        if (type == SQLITE_INTEGER || type == SQLITE_FLOAT) {
            number = sqlite3_column_double(st, i);
            p = (const unsigned char *)&number;
            n = (int)sizeof number;
        } else if (type != SQLITE_NULL) {
            p = sqlite3_column_text(st, i);
            n = sqlite3_column_bytes(st, i);
        }
        h = (h ^ (uint64_t)type) * 1099511628211u;
        for (int k = 0; k < n; k++)
            h = (h ^ p[k]) * 1099511628211u;
    }
    return h;
}

/* but: rows of this lot left out; NULL: none. */
static struct digest digest_of(const struct fact_sheet *s, const char *but)
{
    struct digest d = {0, 0, 1};
    char sql[256];
    sqlite3_stmt *st = NULL;
    if (but != NULL && s->lot != NULL)
        snprintf(sql, sizeof sql, "select * from fact_%s where \"%s\" is not ?1", s->name, s->lot);
    else
        snprintf(sql, sizeof sql, "select * from fact_%s", s->name);
    if (sqlite3_prepare_v2(store_db(store), sql, -1, &st, NULL) != SQLITE_OK)
        die(sqlite3_errmsg(store_db(store)));
    if (sqlite3_bind_parameter_count(st) > 0)
        sqlite3_bind_text(st, 1, but, -1, SQLITE_STATIC);
    while (sqlite3_step(st) == SQLITE_ROW) {
        uint64_t h = hash_row(st);
        d.rows++;
        d.sum += h;
        d.product *= h | 1;
    }
    sqlite3_finalize(st);
    return d;
}

static bool same(const struct digest *a, const struct digest *b)
{
    return a->rows == b->rows && a->sum == b->sum && a->product == b->product;
}

static struct fact_run *fill(void)
{
    struct fact_run *r = fact_materialise(store, facts, &options, diags);
    if (r == NULL)
        die("facts");
    return r;
}

static void digests(struct digest *out, const char *but)
{
    for (size_t i = 0; i < fact_set_count(facts); i++)
        out[i] = digest_of(fact_set_at(facts, i), but);
}

/* The facts as a refill left them against the same filled from nothing. */
static void compare(const struct digest *refilled, const char *what, const char *which)
{
    for (size_t i = 0; i < fact_set_count(facts); i++) {
        const struct fact_sheet *s = fact_set_at(facts, i);
        struct digest d = digest_of(s, NULL);
        comparisons++;
        if (same(&d, &refilled[i]))
            continue;
        mismatches++;
        fprintf(stderr, "%s %s: fact %s has other rows when it is brought up to date%s\n", what,
                which, s->name, s->alone ? " (it is declared alone)" : "");
    }
}

/* Takes out every record that names the lot, but leaves the lot. */
static void leave_alone(const char *lot)
{
    size_t count;
    const struct dict_element *elements = dict_elements(&count);
    for (size_t i = 0; i < count; i++)
        for (size_t k = 0; k < elements[i].attr_count; k++) {
            const struct dict_attr *a = &elements[i].attrs[k];
            char table[NAME_BYTES], column[NAME_BYTES], sql[400];
            if (a->type != ATTR_REF || !dict_word(a->words, "batch", strlen("batch")))
                continue;
            dict_column(elements[i].name, table, sizeof table);
            dict_column(a->name, column, sizeof column);
            snprintf(sql, sizeof sql, "delete from rec_%s where \"%s\" = '%s'", table, column, lot);
            run(sql);
        }
    char sql[200];
    snprintf(sql, sizeof sql, "delete from rec_link where target = '%s' and id <> '%s'", lot, lot);
    run(sql);
}

static void take_out(const char *lot, bool apart)
{
    static struct digest before[FACTS_MOST], after[FACTS_MOST];
    struct plan_changes changes;
    long marked = 0;
    run("savepoint lot");
    if (apart)
        leave_alone(lot);
    struct fact_run *r = apart ? fill() : base;
    if (apart)
        digests(before, lot);
    if (!plan_mark_lot(&session, lot, &marked) || marked != 1 || !plan_remove(&session, &changes))
        die(lot);
    if (apart && !changes.apart)
        die("a lot that nothing names is not apart");
    struct fact_change c = {.what = changes.what,
                            .count = changes.count,
                            .lots_gone = changes.apart ? "select id from temp.plan_batch" : NULL};
    if (!fact_refill(r, &c, diags))
        die("refill");
    digests(after, NULL);
    if (apart)
        fact_run_free(r);
    fact_run_free(fill());
    compare(after, apart ? "apart" : "lot", lot);
    for (size_t i = 0; apart && i < fact_set_count(facts); i++) {
        struct digest d = digest_of(fact_set_at(facts, i), NULL);
        broken[i] = broken[i] || !same(&d, &before[i]);
    }
    run("rollback to lot; release lot");
}

/* What the levers of `check` move, and one of another kind. */
static const struct {
    const char *what, *set;
} moves[] = {
    {"rec_charge.quantity_l", "update rec_charge set quantity_l = quantity_l * 0.5"},
    {"rec_charge.quantity_g", "update rec_charge set quantity_g = quantity_g * 0.5"},
    {"rec_step.quantity_l", "update rec_step set quantity_l = quantity_l * 0.5"},
    {"rec_step.duration_min", "update rec_step set duration_min = duration_min * 3"},
    {"rec_step.open_area_m2", "update rec_step set open_area_m2 = open_area_m2 * 0.25"},
    {"rec_step.ventilation_on", "update rec_step set ventilation_on = 'yes'"},
    {"rec_batch.volume_l", "update rec_batch set volume_l = volume_l * 0.5"},
    {"rec_batch.vessel_count_n", "update rec_batch set vessel_count_n = vessel_count_n + 1"},
    {"rec_batch.vessel_size_l", "update rec_batch set vessel_size_l = vessel_size_l * 0.5"},
    {"rec_batch.fill_l", "update rec_batch set fill_l = fill_l * 0.5"},
    {"rec_yield.quantity_l", "update rec_yield set quantity_l = quantity_l * 0.5"},
    {"rec_receipt.container_size_l", "update rec_receipt set container_size_l = 30"},
    {"rec_place.air_changes_per_h", "update rec_place set air_changes_per_h = 1"},
    {"rec_document.expires", "update rec_document set expires = '2026-01-01'"},
};

static void move_all(void)
{
    static struct digest after[FACTS_MOST];
    for (size_t i = 0; i < LW_COUNT(moves); i++) {
        const char *what[] = {moves[i].what};
        struct fact_change c = {.what = what, .count = 1};
        run("savepoint lot");
        run(moves[i].set);
        if (!fact_refill(base, &c, diags))
            die("refill");
        digests(after, NULL);
        fact_run_free(fill());
        compare(after, "moved", moves[i].what);
        run("rollback to lot; release lot");
    }
}

static size_t read_lots(char lots[][NAME_BYTES])
{
    sqlite3_stmt *st = NULL;
    size_t n = 0;
    if (sqlite3_prepare_v2(store_db(store), "select id from rec_batch order by id", -1, &st,
                           NULL) != SQLITE_OK)
        die(sqlite3_errmsg(store_db(store)));
    while (n < LOTS_MOST && sqlite3_step(st) == SQLITE_ROW)
        snprintf(lots[n++], NAME_BYTES, "%s", (const char *)sqlite3_column_text(st, 0));
    sqlite3_finalize(st);
    return n;
}

static void read_demo(const char *source)
{
    struct reader_counts counts = {0, 0, true};
    char path[1024], folder[800];
    char **names = NULL;
    size_t count = 0;
    snprintf(folder, sizeof folder, "%s/data/demo", source);
    if (!file_list(folder, ".xml", &names, &count, diags))
        die(folder);
    for (size_t i = 0; i < count; i++) {
        snprintf(path, sizeof path, "%s/%s", folder, names[i]);
        reader_file(path, store_sink, store, &counts, diags);
        mem_free(names[i]);
    }
    mem_free(names);
    if (!store_finish(store, diags) || counts.read == 0)
        die("the demo records");
}

int main(int argc, char **argv)
{
    static char lots[LOTS_MOST][NAME_BYTES];
    char path[800];
    bool list = argc == 4 && strcmp(argv[3], "alone") == 0;
    bool all = list || (argc == 4 && strcmp(argv[3], "all") == 0);
    if ((argc != 3 && !all) || mem_install() != 0 || !date_iso_days(argv[2], &options.as_of)) {
        fputs("usage: without_lot SRCDIR AS-OF [all | alone]\n", stderr);
        return 2;
    }
    options.follow = true;
    diags = diags_new();
    snprintf(path, sizeof path, "%s/data", argv[1]);
    store = store_with_catalogue(path, NULL, diags);
    facts = fact_set_read(path, diags);
    if (store == NULL || facts == NULL || fact_set_count(facts) > FACTS_MOST)
        die("the shipped data");
    session.store = store;
    session.diags = diags;
    read_demo(argv[1]);
    size_t count = read_lots(lots);
    /* every table there is, before the first savepoint: see src/command/check_trial.c */
    fact_run_free(fill());
    long marked = 0;
    if (!plan_mark_lot(&session, lots[0], &marked))
        die("marks");
    run("pragma journal_mode=memory");
    base = fill();
    for (size_t i = 0; i < count; i += all ? 1 : 3) {
        if (!list)
            take_out(lots[i], false);
        take_out(lots[i], true);
    }
    if (!list)
        move_all();
    for (size_t i = 0; list && i < fact_set_count(facts); i++)
        if (!broken[i] && fact_set_at(facts, i)->lot != NULL)
            printf("%s%s\n", fact_set_at(facts, i)->name,
                   fact_set_at(facts, i)->alone ? " (declared)" : "");
    printf("%zu lots, %d comparisons, %d facts with other rows\n", count, comparisons, mismatches);
    fact_run_free(base);
    fact_set_free(facts);
    store_free(store);
    diags_free(diags);
    return mismatches > 0 ? 1 : 0;
}
