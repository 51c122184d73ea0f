/* origin_world.h - catalogue, facts and rules loaded once; records from text, judged. */
#ifndef LW_TESTS_PUBLISHED_ORIGIN_WORLD_H
#define LW_TESTS_PUBLISHED_ORIGIN_WORLD_H

#include "sheet.h"

#include "fact/fact.h"
#include "record/catalogue.h"
#include "record/reader.h"
#include "rule/evaluate.h"
#include "text/date.h"
#include "text/mem.h"

static struct {
    struct diags *d;
    struct store *store;
    struct fact_set *facts;
    struct rule_set *rules;
    struct fact_run *run;
} world;

static inline void world_open(void)
{
    char dir[4096];

    if (world.d != NULL)
        return;
    world.d = diags_new();
    world.store = store_new(world.d);
    snprintf(dir, sizeof dir, "%s", sheet_path("data"));
    ck_assert(catalogue_load(store_db(world.store), dir, world.d));
    world.facts = fact_set_read(dir, world.d);
    world.rules = rule_set_read(sheet_path("rules"), world.d);
    ck_assert_msg(world.facts != NULL && world.rules != NULL, "facts or rules do not load");
}

/* Throws away what was there, reads the records, fills one fact and those it leans on. */
static inline void world_fill(const char *records, const char *as_of, const char *fact)
{
    struct fact_options o = {.only = fact};
    struct reader_counts n = {0};

    world_open();
    fact_run_free(world.run);
    world.run = NULL;
    ck_assert(store_reset(world.store));
    ck_assert_msg(
        reader_xml("case", records, strlen(records), store_sink, world.store, &n, world.d) &&
            n.refused == 0,
        "not read: %s\n%s", records,
        diags_count(world.d) > 0 ? diags_at(world.d, diags_count(world.d) - 1)->message : "");
    ck_assert(store_finish(world.store, world.d));
    ck_assert(date_iso_days(as_of, &o.as_of));
    world.run = fact_materialise(world.store, world.facts, &o, world.d);
    ck_assert_msg(world.run != NULL, "facts: %s", fact);
}

/* How a rule stands on what was filled: the worst of its verdicts, "none" when it applies to no
 * row. */
static inline const char *world_verdict(const char *rule)
{
    struct evaluate_options o = {.only = rule};
    struct findings *f = evaluate(world.run, world.rules, &o, world.d);
    const char *word = "none";

    ck_assert_msg(f != NULL && f->tally_count == 1, "no rule %s", rule);
    if (f->tallies[0].verdicts[VERDICT_FAILS] > 0)
        word = "fails";
    else if (f->tallies[0].verdicts[VERDICT_CANNOT_TELL] > 0)
        word = "cannot tell";
    else if (f->tallies[0].verdicts[VERDICT_HOLDS] > 0)
        word = "holds";
    findings_free(f);
    return word;
}

/* The message of the first finding of a rule; "" when there is none. */
static inline const char *world_message(const char *rule)
{
    static char text[2048];
    struct evaluate_options o = {.only = rule};
    struct findings *f = evaluate(world.run, world.rules, &o, world.d);

    ck_assert_ptr_nonnull(f);
    snprintf(text, sizeof text, "%s",
             f->count > 0 && f->items[0].message != NULL ? f->items[0].message : "");
    findings_free(f);
    return text;
}

/* First column of the first row as text, "" for none or NULL. */
static inline const char *world_text(const char *sql)
{
    static char text[8][512];
    static unsigned turn;
    char *out = text[turn++ % 8];
    sqlite3_stmt *st = NULL;

    ck_assert_msg(sqlite3_prepare_v2(store_db(world.store), sql, -1, &st, NULL) == SQLITE_OK,
                  "%s: %s", sql, sqlite3_errmsg(store_db(world.store)));
    out[0] = '\0';
    if (sqlite3_step(st) == SQLITE_ROW && sqlite3_column_text(st, 0) != NULL)
        snprintf(out, sizeof text[0], "%s", (const char *)sqlite3_column_text(st, 0));
    sqlite3_finalize(st);
    return out;
}

static inline double world_number(const char *sql)
{
    sqlite3_stmt *st = NULL;
    double v = (double)NAN;

    ck_assert_msg(sqlite3_prepare_v2(store_db(world.store), sql, -1, &st, NULL) == SQLITE_OK,
                  "%s: %s", sql, sqlite3_errmsg(store_db(world.store)));
    if (sqlite3_step(st) == SQLITE_ROW && sqlite3_column_type(st, 0) != SQLITE_NULL)
        v = sqlite3_column_double(st, 0);
    sqlite3_finalize(st);
    return v;
}

/* --- wide CSV tables --- */

enum { WIDE_FIELDS = 32, WIDE_ROWS = 600 };

struct wide {
    char *bytes;
    char *head[WIDE_FIELDS];
    size_t columns, rows;
    char *cell[WIDE_ROWS][WIDE_FIELDS];
};

static inline void wide_read(const char *relative, struct wide *w)
{
    FILE *f = fopen(sheet_path(relative), "rb");
    long size;

    memset(w, 0, sizeof *w);
    ck_assert_msg(f != NULL, "cannot read %s", relative);
    ck_assert_int_eq(fseek(f, 0, SEEK_END), 0);
    size = ftell(f);
    ck_assert_int_ge(size, 0);
    rewind(f);
    w->bytes = calloc((size_t)size + 1, 1);
    ck_assert_ptr_nonnull(w->bytes);
    ck_assert_uint_eq(fread(w->bytes, 1, (size_t)size, f), (size_t)size);
    fclose(f);
    for (char *at = w->bytes; *at != '\0';) {
        char **row = w->columns == 0 ? w->head : w->cell[w->rows];
        size_t n = 0;
        char *field;
        bool last;

        if (*at == '#') {
            at += strcspn(at, "\n");
            at += *at != '\0';
            continue;
        }
        do {
            ck_assert_uint_lt(n, WIDE_FIELDS);
            last = sheet_field(&at, &field);
            row[n++] = field;
        } while (!last);
        if (w->columns == 0) {
            w->columns = n;
        } else {
            ck_assert_msg(n == w->columns, "%s: row %zu has %zu cells", relative, w->rows + 1, n);
            ck_assert_uint_lt(++w->rows, WIDE_ROWS);
        }
    }
}

static inline const char *wide_cell(const struct wide *w, size_t row, const char *column)
{
    for (size_t i = 0; i < w->columns; i++)
        if (strcmp(w->head[i], column) == 0)
            return w->cell[row][i];
    ck_abort_msg("no column %s", column);
    return "";
}

#endif
