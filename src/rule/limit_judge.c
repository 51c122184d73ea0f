#include "text/base.h"

#include "fact/sqlfunc.h"
#include "rule/limit_judge.h"
#include "text/mem.h"
#include "text/quantity.h"
#include "text/show.h"
#include "text/utf8.h"

const char *const limit_condition_names[LIMIT_CONDITIONS] = {
    "class", "container", "occupancy", "situation", "storey", "sprinklers", "cabinet",
};

static void row_clear(struct limit_row *r)
{
    char *const texts[] = {r->codeset, r->unit, r->words,    r->cite,
                           r->edition, r->sure, r->replaced, r->note};
    for (size_t i = 0; i < LW_COUNT(texts); i++)
        mem_free(texts[i]);
    for (size_t i = 0; i < LIMIT_CONDITIONS; i++)
        mem_free(r->when[i]);
}

void limit_rows_free(struct limit_rows *rows)
{
    for (size_t i = 0; i < rows->count; i++)
        row_clear(&rows->items[i]);
    mem_free(rows->items);
    mem_free(rows->name);
    *rows = (struct limit_rows){0};
}

static bool dup_column(sqlite3_stmt *st, int i, char **out)
{
    const char *s = (const char *)sqlite3_column_text(st, i);
    *out = s && *s ? mem_strdup(s) : NULL;
    return !s || !*s || *out;
}

/* Both unit maps here are straight lines, so two points give the conversion. */
static bool conversion(struct limit_row *r, const char *unit)
{
    double at0 = 0, at1 = 0;
    r->scale = 1.0;
    r->offset = 0.0;
    if (!unit || str_eq(unit, r->unit))
        return true;
    if (!unit_convert(0.0, unit, r->unit, &at0) || !unit_convert(1.0, unit, r->unit, &at1))
        return false;
    r->scale = at1 - at0;
    r->offset = at0;
    return true;
}

enum {
    COL_CODESET,
    COL_VALUE,
    COL_UNIT,
    COL_WORDS,
    COL_CITE,
    COL_EDITION,
    COL_SURE,
    COL_REPLACED,
    COL_NOTE,
    COL_WHEN
};

static const char select_limits[] =
    "select codeset, value, unit, words, cite, edition, sure, replaced, note,"
    " class, container, occupancy, situation, storey, sprinklers, cabinet"
    " from lim_in_force where name = ?1 order by codeset, rowid";

static bool row_read(sqlite3_stmt *st, struct limit_row *r)
{
    bool ok = dup_column(st, COL_CODESET, &r->codeset) && dup_column(st, COL_UNIT, &r->unit) &&
              dup_column(st, COL_WORDS, &r->words) && dup_column(st, COL_CITE, &r->cite) &&
              dup_column(st, COL_EDITION, &r->edition) && dup_column(st, COL_SURE, &r->sure) &&
              dup_column(st, COL_REPLACED, &r->replaced) && dup_column(st, COL_NOTE, &r->note);
    for (int i = 0; ok && i < LIMIT_CONDITIONS; i++)
        ok = dup_column(st, COL_WHEN + i, &r->when[i]);
    /* "no-limit": the code names the case and caps nothing. */
    r->value = str_eq(r->words, "no-limit") ? HUGE_VAL : sqlite3_column_double(st, COL_VALUE);
    return ok;
}

bool limit_rows_read(sqlite3 *db, const char *name, const char *unit, struct limit_rows *out,
                     struct diags *d)
{
    sqlite3_stmt *st = NULL;
    bool ok = limit_rows_read_next(db, &st, name, unit, out, d);
    sqlite3_finalize(st);
    return ok;
}

bool limit_rows_read_next(sqlite3 *db, sqlite3_stmt **kept, const char *name, const char *unit,
                          struct limit_rows *out, struct diags *d)
{
    size_t cap = 0;
    *out = (struct limit_rows){.name = mem_strdup(name)};
    int rc = !out->name ? SQLITE_NOMEM
             : *kept    ? SQLITE_OK
                        : sqlite3_prepare_v2(db, select_limits, -1, kept, NULL);
    sqlite3_stmt *st = *kept;
    if (rc == SQLITE_OK)
        rc = sqlite3_bind_text(st, 1, name, -1, SQLITE_TRANSIENT);
    while (rc == SQLITE_OK && (rc = sqlite3_step(st)) == SQLITE_ROW) {
        struct limit_row r = {0};
        struct limit_row *grown = mem_grow(out->items, &cap, out->count + 1, sizeof *grown);
        if (grown)
            out->items = grown;
        if (!grown || !row_read(st, &r)) {
            row_clear(&r);
            rc = SQLITE_NOMEM;
            break;
        }
        rc = SQLITE_OK;
        if (!conversion(&r, unit)) {
            row_clear(&r);
            continue;
        }
        out->items[out->count++] = r;
        for (int i = 0; i < LIMIT_CONDITIONS; i++)
            out->uses[i] = out->uses[i] || r.when[i];
    }
    sqlite3_reset(st);
    if (rc == SQLITE_DONE)
        return true;
    if (rc == SQLITE_NOMEM)
        diags_out_of_memory(d);
    else
        diags_add(d, DIAG_FATAL, "database", NULL, 0, 0, NULL, "memory database: %s",
                  sqlite3_errmsg(db));
    limit_rows_free(out);
    return false;
}

bool limit_exists(sqlite3 *db, const char *name)
{
    sqlite3_stmt *st = NULL;
    bool found = false;
    if (sqlite3_prepare_v2(db, "select 1 from lim where name = ?1 limit 1", -1, &st, NULL) ==
            SQLITE_OK &&
        sqlite3_bind_text(st, 1, name, -1, SQLITE_TRANSIENT) == SQLITE_OK)
        found = sqlite3_step(st) == SQLITE_ROW;
    sqlite3_finalize(st);
    return found;
}

/* 2: the very word; 1: one of "A+B+C"; 0: neither. "3" takes in "3.low", a part of it. */
static int met(const char *when, const char *value)
{
    if (strcmp(when, value) == 0)
        return 2;
    size_t whole = strlen(value), base = strcspn(value, ".");
    for (const char *p = when; *p; p += strcspn(p, "+"), p += *p == '+') {
        size_t n = strcspn(p, "+");
        if (n > 0 && (n == whole || n == base) && memcmp(p, value, n) == 0)
            return 1;
    }
    return 0;
}

struct fit {
    bool possible; /* nothing known speaks against it */
    bool certain;  /* every condition is known and met */
    int rank;      /* how many conditions, exact ones counting double */
};

static struct fit fit_of(const struct limit_row *r, const char *const values[], const bool has[],
                         bool unknown[])
{
    struct fit f = {true, true, 0};
    for (int i = 0; i < LIMIT_CONDITIONS; i++) {
        if (!r->when[i])
            continue;
        if (!has[i])
            return (struct fit){false, false, 0};
        if (!values[i]) {
            f.certain = false;
            unknown[i] = true;
            f.rank += 2;
            continue;
        }
        int m = met(r->when[i], values[i]);
        if (m == 0)
            return (struct fit){false, false, 0};
        f.rank += m;
    }
    return f;
}

static enum verdict compare(const struct limit_row *r, double value, bool partial, bool at_most)
{
    if (isinf(r->value))
        return at_most ? VERDICT_HOLDS : VERDICT_NOT_APPLICABLE;
    if (isnan(value))
        return VERDICT_CANNOT_TELL;
    int order = compare_tolerant(value * r->scale + r->offset, r->value);
    const char *w = r->words ? r->words : "";
    bool inclusive = at_most ? !str_eq(w, "less-than") && !str_eq(w, "not-less-than")
                             : !str_eq(w, "more-than") && !str_eq(w, "not-more-than");
    bool holds = order == 0 ? inclusive : (order < 0) == at_most;
    /* What was left out can only add to a sum. */
    if (partial && holds == at_most)
        return VERDICT_CANNOT_TELL;
    return holds ? VERDICT_HOLDS : VERDICT_FAILS;
}

static bool tighter(const struct limit_row *a, const struct limit_row *b, bool at_most)
{
    double x = a->value, y = b->value;
    /* Rows of one limit may be in different units; compare in the fact's. */
    x = (x - a->offset) / a->scale;
    y = (y - b->offset) / b->scale;
    return at_most ? x < y : x > y;
}

struct limit_verdict limit_judge(const struct limit_rows *rows, const char *codeset,
                                 const char *const values[LIMIT_CONDITIONS],
                                 const bool has[LIMIT_CONDITIONS], double value, bool partial,
                                 bool at_most)
{
    struct limit_verdict out = {VERDICT_NOT_APPLICABLE, NULL, {false}};
    const struct limit_row *best = NULL, *tightest = NULL;
    int best_rank = -1;
    bool ignored[LIMIT_CONDITIONS] = {false};
    for (size_t i = 0; i < rows->count; i++) {
        const struct limit_row *r = &rows->items[i];
        struct fit f = str_eq(r->codeset, codeset) ? fit_of(r, values, has, ignored)
                                                   : (struct fit){false, false, 0};
        if (!f.possible || !f.certain)
            continue;
        if (f.rank > best_rank || (f.rank == best_rank && tighter(r, best, at_most))) {
            best = r;
            best_rank = f.rank;
        }
    }
    /* What is possible beside it: a row that would outrank the certain one if the unknown were
     * known. */
    bool holds = false, fails = false, untold = false;
    for (size_t i = 0; i < rows->count; i++) {
        const struct limit_row *r = &rows->items[i];
        bool unknown[LIMIT_CONDITIONS] = {false};
        struct fit f = str_eq(r->codeset, codeset) ? fit_of(r, values, has, unknown)
                                                   : (struct fit){false, false, 0};
        if (!f.possible || (r != best && (f.certain || f.rank <= best_rank)))
            continue;
        enum verdict v = compare(r, value, partial, at_most);
        holds = holds || v == VERDICT_HOLDS;
        fails = fails || v == VERDICT_FAILS;
        untold = untold || v == VERDICT_CANNOT_TELL;
        if (!tightest || tighter(r, tightest, at_most))
            tightest = r;
        for (int c = 0; c < LIMIT_CONDITIONS; c++)
            out.unknown[c] = out.unknown[c] || unknown[c];
    }
    if (!tightest)
        return out;
    out.row = tightest;
    if (untold || (holds && fails))
        out.verdict = VERDICT_CANNOT_TELL;
    else
        out.verdict = fails ? VERDICT_FAILS : VERDICT_HOLDS;
    return out;
}

char *limit_words(const struct limit_row *row, enum show_units units)
{
    static const struct {
        const char *token, *text;
    } words[] = {{"not-more-than", "not more than"},
                 {"less-than", "less than"},
                 {"not-less-than", "not less than"},
                 {"more-than", "more than"}};
    struct sbuf b = SBUF_INIT;
    if (isinf(row->value)) {
        sbuf_puts(&b, "no limit");
        return sbuf_take(&b);
    }
    for (size_t i = 0; i < LW_COUNT(words); i++)
        if (str_eq(words[i].token, row->words))
            sbuf_printf(&b, "%s ", words[i].text);
    show_quantity(&b, row->value, row->unit, units);
    return sbuf_take(&b);
}

char *limit_cite(const struct limit_row *row)
{
    struct sbuf b = SBUF_INIT;
    sbuf_puts(&b, row->cite ? row->cite : row->codeset);
    if (row->edition)
        sbuf_printf(&b, ", %s", row->edition);
    if (row->replaced)
        sbuf_printf(&b, " (local value, record %s)", row->replaced);
    else if (row->sure)
        sbuf_printf(&b, " (%s)", show_sure(row->sure));
    return sbuf_take(&b);
}
