#include "text/base.h"

#include "fact/guard.h"
#include "rule/program.h"
#include "text/mem.h"
#include "text/utf8.h"

/* All rules over one fact in one SELECT: a few hundred bytes each. */
#define FUSED_SQL_MAX (1024u * 1024u)

void program_free(struct fact_program *p)
{
    if (!p)
        return;
    for (size_t i = 0; p->rules && i < p->count; i++) {
        limit_rows_free(&p->rules[i].limits);
        mem_free(p->rules[i].where_reads);
        mem_free(p->rules[i].must_reads);
        sqlite3_finalize(p->rules[i].untold);
    }
    mem_free(p->rules);
    sqlite3_finalize(p->scan);
    sqlite3_finalize(p->row);
    sqlite3_finalize(p->place);
    mem_free(p);
}

static bool bad(const struct rule *r, struct diags *d, const char *what, const char *which)
{
    diags_add(d, DIAG_ERROR, "bad-rule", r->file, 0, 0, NULL, "rule '%s': %s '%s'", r->id, what,
              which);
    return false;
}

struct reads {
    const struct fact_sheet *sheet;
    bool *marks;
};

static void on_read(const char *table, const char *column, void *user)
{
    struct reads *r = user;
    int i = fact_column_index(r->sheet, column);
    (void)table;
    if (i >= 0)
        r->marks[i] = true;
}

/* Compiles one expression alone, to vet it and to learn which columns it reads. */
static bool vet(sqlite3 *db, const struct rule *r, const struct fact_sheet *sheet, const char *expr,
                bool *marks, struct diags *d)
{
    struct sbuf table = SBUF_INIT, sql = SBUF_INIT;
    struct reads reads = {sheet, marks};
    sbuf_printf(&table, "fact_%s", sheet->name);
    sbuf_printf(&sql, "select (%s) from fact_%s", expr, sheet->name);
    struct guard g = {.scope = GUARD_RULE, .table = table.s, .on_read = on_read, .user = &reads};
    sqlite3_stmt *st = NULL;
    if (sql.failed || table.failed)
        diags_out_of_memory(d);
    else
        st = guard_prepare(db, sql.s, &g, r->file, 0, d);
    bool ok = st && sqlite3_column_count(st) == 1;
    if (st && !ok)
        bad(r, d, "this must be one expression:", expr);
    sqlite3_finalize(st);
    sbuf_free(&sql);
    sbuf_free(&table);
    return ok;
}

/* The requirement as one SQL expression that is true, false or null. */
static void must_sql(const struct rule *r, const char *partial, struct sbuf *b)
{
    switch (r->form) {
    case MUST_PRESENT:
        sbuf_printf(b, "((%s) is not null and (%s) <> '')", r->value, r->value);
        break;
    case MUST_MATCHES:
        sbuf_printf(b, "lw_matches('%s', %s)", r->against, r->value);
        break;
    case MUST_BEFORE:
        sbuf_printf(b, "((%s) < (%s))", r->value, r->against);
        break;
    case MUST_NOT_BEFORE:
        sbuf_printf(b, "((%s) >= (%s))", r->value, r->against);
        break;
    case MUST_AT_MOST:
        if (partial)
            sbuf_printf(b, "iif(%s > 0 and lw_at_most(%s, %s), null, lw_at_most(%s, %s))", partial,
                        r->value, r->against, r->value, r->against);
        else
            sbuf_printf(b, "lw_at_most(%s, %s)", r->value, r->against);
        break;
    case MUST_AT_LEAST:
        if (partial)
            sbuf_printf(b, "iif(%s > 0 and not lw_at_least(%s, %s), null, lw_at_least(%s, %s))",
                        partial, r->value, r->against, r->value, r->against);
        else
            sbuf_printf(b, "lw_at_least(%s, %s)", r->value, r->against);
        break;
    case MUST_TRUE:
        sbuf_printf(b, "(%s)", r->value);
        break;
    }
}

/* Compiles the rule's expressions one by one: marks what each reads, and says which one is wrong.
 */
static bool vet_rule(sqlite3 *db, const struct fact_sheet *sheet, struct rule_program *rp,
                     struct diags *d)
{
    const struct rule *r = rp->rule;
    bool compares = r->form == MUST_BEFORE || r->form == MUST_NOT_BEFORE ||
                    ((r->form == MUST_AT_MOST || r->form == MUST_AT_LEAST) && !rp->limit);
    rp->where_reads = mem_calloc(sheet->column_count, sizeof(bool));
    rp->must_reads = mem_calloc(sheet->column_count, sizeof(bool));
    if (!rp->where_reads || !rp->must_reads) {
        diags_out_of_memory(d);
        return false;
    }
    if (rp->partial_column >= 0)
        rp->must_reads[rp->partial_column] = true;
    return (!compares || vet(db, r, sheet, r->against, rp->must_reads, d)) &&
           vet(db, r, sheet, r->value, rp->must_reads, d) &&
           (!r->where || vet(db, r, sheet, r->where, rp->where_reads, d));
}

bool program_reads(sqlite3 *db, const struct fact_program *p, struct rule_program *rp)
{
    struct diags *d = rp->must_reads ? NULL : diags_new();
    bool ok = rp->must_reads || (d && vet_rule(db, p->sheet, rp, d));
    diags_free(d);
    return ok;
}

static bool setup_rule(sqlite3 *db, sqlite3_stmt **limits, struct fact_program *p,
                       struct rule_program *rp, struct diags *d)
{
    const struct rule *r = rp->rule;
    const struct fact_sheet *sheet = p->sheet;
    int column = fact_column_index(sheet, r->value);
    bool compares = r->form == MUST_AT_MOST || r->form == MUST_AT_LEAST;
    rp->value_scan = rp->partial_scan = rp->partial_column = -1;
    rp->limit = compares && fact_column_index(sheet, r->against) < 0;
    if (column >= 0)
        rp->unit = sheet->columns[column].unit;
    if (column >= 0 && sheet->columns[column].partial)
        rp->partial_column = fact_column_index(sheet, sheet->columns[column].partial);
    if (compares && column < 0)
        return bad(r, d, "the value compared must be a column of the fact, not", r->value);
    if (!rp->limit)
        return true;
    if (!limit_rows_read_next(db, limits, r->against, rp->unit, &rp->limits, d))
        return false;
    if (rp->limits.count == 0 && !limit_exists(db, r->against))
        return bad(r, d, "there is no column and no limit called", r->against);
    return true;
}

static void state_sql(const struct fact_program *p, const struct rule_program *rp, struct sbuf *b)
{
    struct sbuf must = SBUF_INIT;
    const char *partial =
        rp->partial_column >= 0 ? p->sheet->columns[rp->partial_column].name : NULL;
    if (rp->limit)
        sbuf_printf(&must, "%d", STATE_JUDGE);
    else
        must_sql(rp->rule, partial, &must);
    const char *where = rp->rule->where;
    /* An operand of `case when` and `not` is left as soon as it is settled, one whose value is
     * wanted is worked out whole: hence twice the condition, and once the requirement. */
    if (where)
        sbuf_printf(b, "case when not (%s) then %d when (%s) then ", where, STATE_SKIP, where);
    if (rp->limit)
        sbuf_printf(b, "%d", STATE_JUDGE);
    else
        sbuf_printf(b, "coalesce(not (%s), %d)", must.s, STATE_CANNOT_TELL);
    if (where)
        sbuf_printf(b, " else %d end", STATE_CANNOT_TELL);
    b->failed = b->failed || must.failed;
    sbuf_free(&must);
}

/* Returns the number of columns asked for. */
static int scan_sql(struct fact_program *p, struct sbuf *b)
{
    int next = 1;
    sbuf_puts(b, "select rowid");
    for (size_t i = 0; i < p->count; i++) {
        sbuf_puts(b, ",\n ");
        state_sql(p, &p->rules[i], b);
        next++;
    }
    for (size_t i = 0; i < p->count; i++) {
        struct rule_program *rp = &p->rules[i];
        if (!rp->limit)
            continue;
        sbuf_printf(b, ",\n %s", rp->rule->value);
        rp->value_scan = next++;
        if (rp->partial_column >= 0) {
            sbuf_printf(b, ", %s", p->sheet->columns[rp->partial_column].name);
            rp->partial_scan = next++;
        }
    }
    for (int c = 0; c < LIMIT_CONDITIONS; c++) {
        p->condition_scan[c] = -1;
        if (fact_column_index(p->sheet, limit_condition_names[c]) >= 0) {
            sbuf_printf(b, ", %s", limit_condition_names[c]);
            p->condition_scan[c] = next++;
        }
    }
    p->codeset_scan = -1;
    if (fact_column_index(p->sheet, "code_set") >= 0) {
        sbuf_puts(b, ", code_set");
        p->codeset_scan = next++;
    }
    sbuf_printf(b, "\n from fact_%s", p->sheet->name);
    return next;
}

/* The whole is compiled under the guard at once. When it is refused the rules are tried one by one,
 * so that the message names the rule and not the heap. */
static bool compile_scan(sqlite3 *db, struct fact_program *p, const char *sql, struct diags *d)
{
    char table[96];
    struct diags *quiet = diags_new();
    snprintf(table, sizeof table, "fact_%.80s", p->sheet->name);
    struct guard g = {.scope = GUARD_RULE, .table = table, .sql_max = FUSED_SQL_MAX};
    p->scan = quiet ? guard_prepare(db, sql, &g, p->sheet->file, 0, quiet) : NULL;
    bool oom = !quiet || diags_oom(quiet);
    diags_free(quiet);
    if (p->scan)
        return true;
    bool told = false;
    for (size_t i = 0; !oom && i < p->count; i++)
        told = !vet_rule(db, p->sheet, &p->rules[i], d) || told;
    if (oom)
        diags_out_of_memory(d);
    else if (!told)
        (void)guard_prepare(db, sql, &g, p->sheet->file, 0, d);
    return false;
}

struct fact_program *program_compile(sqlite3 *db, sqlite3_stmt **limits,
                                     const struct fact_sheet *sheet,
                                     const struct rule *const *rules, const size_t *tallies,
                                     size_t count, struct diags *d)
{
    struct sbuf sql = SBUF_INIT;
    bool ok = true;
    int columns = 0;
    struct fact_program *p = mem_calloc(1, sizeof *p);
    if (p)
        p->rules = mem_calloc(count, sizeof *p->rules);
    if (!p || !p->rules) {
        diags_out_of_memory(d);
        program_free(p);
        return NULL;
    }
    p->sheet = sheet;
    p->count = count;
    /* A sheet may have a column named like its subject's kind, such as "sale": the kind wins. */
    p->kind = dict_find(sheet->kind) ? -1 : fact_column_index(sheet, sheet->kind);
    p->subject = fact_column_index(sheet, sheet->subject);
    p->lot = sheet->lot ? fact_column_index(sheet, sheet->lot) : -1;
    p->file = fact_column_index(sheet, "file");
    p->line = fact_column_index(sheet, "line");
    for (size_t i = 0; i < count; i++) {
        p->rules[i].rule = rules[i];
        p->rules[i].tally = tallies[i];
        ok = setup_rule(db, limits, p, &p->rules[i], d) && ok;
    }
    if (ok) {
        columns = scan_sql(p, &sql);
        ok = !sql.failed;
        if (!ok)
            diags_out_of_memory(d);
    }
    ok = ok && compile_scan(db, p, sql.s, d);
    if (ok && sqlite3_column_count(p->scan) != columns) { /* verdicts would go to other rules */
        diags_add(d, DIAG_ERROR, "bad-rule", sheet->file, 0, 0, NULL,
                  "a rule over fact '%s' is more than one expression", sheet->name);
        ok = false;
    }
    sbuf_free(&sql);
    if (!ok) {
        program_free(p);
        p = NULL;
    }
    return p;
}

sqlite3_stmt *program_row(sqlite3 *db, struct fact_program *p, sqlite3_int64 rowid)
{
    char sql[128];
    if (p->at_row == rowid)
        return p->row;
    snprintf(sql, sizeof sql, "select * from fact_%.80s where rowid = ?1", p->sheet->name);
    if (!p->row && sqlite3_prepare_v2(db, sql, -1, &p->row, NULL) != SQLITE_OK)
        return NULL;
    sqlite3_reset(p->row);
    p->at_row = 0;
    if (sqlite3_bind_int64(p->row, 1, rowid) != SQLITE_OK || sqlite3_step(p->row) != SQLITE_ROW)
        return NULL;
    p->at_row = rowid;
    return p->row;
}

void program_rest(struct fact_program *p)
{
    sqlite3_reset(p->row);
    sqlite3_reset(p->place);
    p->at_row = p->placed_row = 0;
    p->placed = false;
}

bool program_where_untold(sqlite3 *db, const struct fact_program *p, struct rule_program *rp,
                          sqlite3_int64 rowid)
{
    struct sbuf sql = SBUF_INIT;
    bool untold = false;
    if (!rp->untold) {
        sbuf_printf(&sql, "select (%s) is null from fact_%s where rowid = ?1", rp->rule->where,
                    p->sheet->name);
        if (!sql.failed)
            (void)sqlite3_prepare_v2(db, sql.s, -1, &rp->untold, NULL);
        sbuf_free(&sql);
    }
    if (rp->untold && sqlite3_bind_int64(rp->untold, 1, rowid) == SQLITE_OK &&
        sqlite3_step(rp->untold) == SQLITE_ROW)
        untold = sqlite3_column_int(rp->untold, 0) != 0;
    sqlite3_reset(rp->untold);
    return untold;
}
