/* check_trial.c - savepoint, lever, facts, rules, rollback. */
#include "text/base.h"

#include "command/check_trial.h"
#include "command/rows.h"
#include "fact/guard.h"
#include "text/mem.h"
#include "text/utf8.h"

enum { STATEMENTS_MOST = 6, CHANGES_MOST = 24, NAME_BYTES = 80 };

/* What statements change, for fact_refill. */
struct changes {
    char names[CHANGES_MOST][NAME_BYTES];
    const char *what[CHANGES_MOST];
    size_t count;
    bool full; /* more than fit: never with the levers there are */
};

struct trial {
    struct session *s;
    const struct target *target;
    struct evaluator *rules;
    sqlite3_stmt *number;
    sqlite3_stmt *set[STATEMENTS_MOST];
    size_t set_count;
    struct changes changes;
};

#define PLAN "(select rid from temp.plan_batch)"

static const char leave_plan[] =
    "delete from rec_charge where parent not in " PLAN ";"
    "delete from rec_step where parent not in " PLAN ";"
    "delete from rec_yield where parent not in " PLAN ";"
    "delete from rec_reading where parent not in " PLAN ";"
    "delete from rec_check where parent not in " PLAN ";"
    "delete from rec_batch where rid not in " PLAN ";"
    "delete from rec_line; delete from rec_sale; delete from rec_move; delete from rec_count;"
    "delete from rec_waste; delete from rec_label; delete from rec_incident; delete from rec_log";

static void note_change(const char *table, const char *column, void *user)
{
    struct changes *c = user;
    char name[NAME_BYTES];

    snprintf(name, sizeof name, "%.38s%s%.38s", table, *column == '\0' ? "" : ".", column);
    for (size_t i = 0; i < c->count; i++)
        if (str_eq(c->names[i], name))
            return;
    if (c->count == CHANGES_MOST) {
        c->full = true;
        return;
    }
    memcpy(c->names[c->count], name, sizeof name);
    c->what[c->count] = c->names[c->count];
    c->count++;
}

static bool broken(struct session *s)
{
    sqlite3 *db = store_db(s->store);

    if (sqlite3_errcode(db) == SQLITE_NOMEM)
        diags_out_of_memory(s->diags);
    else
        diags_add(s->diags, DIAG_FATAL, "database", NULL, 0, 0, NULL, "memory database: %s",
                  sqlite3_errmsg(db));
    return false;
}

static bool refill(struct session *s, const struct changes *c, const char *only)
{
    struct fact_change change = {.what = c->what, .count = c->count, .only = only};

    assert(!c->full);
    return fact_refill(s->run, &change, s->diags);
}

/* --- the journal -------------------------------------------------------------------------------
 */

/* The store keeps no journal; without one a savepoint cannot be rolled back. Rolling back after a
 * change of the layout makes SQLite read the whole layout again and compile every statement again:
 * so no table is made from here on, and a write that ends its own transaction closes the book on
 * the changes before. */
bool trial_open(struct session *s)
{
    return rows_run(s, "pragma journal_mode=memory; delete from temp.plan_room");
}

bool trial_close(struct session *s)
{
    return rows_run(s, "pragma journal_mode=off");
}

bool trial_leave_plan(struct session *s, const char *facts)
{
    struct changes changes = {.count = 0};
    const char *sql = leave_plan;
    bool ok = rows_run(s, "savepoint target");

    while (ok && *sql != '\0') {
        sqlite3_stmt *st = guard_watch(store_db(s->store), sql, &sql, note_change, &changes);

        ok = st != NULL && sqlite3_step(st) == SQLITE_DONE;
        if (!ok)
            broken(s);
        sqlite3_finalize(st);
    }
    return ok && refill(s, &changes, facts);
}

bool trial_rejoin(struct session *s)
{
    return rows_run(s, "rollback to target; release target");
}

/* --- judging -----------------------------------------------------------------------------------
 */

bool target_has(const struct target *t, const char *rule)
{
    for (size_t i = 0; i < TRIAL_RULES_MOST; i++)
        if (str_eq(t->rules[i], rule))
            return true;
    return false;
}

bool trial_concerns(struct session *s, const struct finding *f, bool *ok)
{
    return f->lot == NULL ||
           rows_count(s, "select count(*) from temp.plan_batch where id = ?1", f->lot, ok) > 0;
}

/* One rule after the other: the first that fails or cannot be told decides. */
static bool look(struct trial *t, const struct findings *found, struct outcome *out)
{
    bool ok = true;

    out->verdict = 1;
    out->seen[0] = '\0';
    for (size_t r = 0; ok && r < TRIAL_RULES_MOST && out->verdict == 1; r++)
        for (size_t i = 0; ok && i < found->count && t->target->rules[r] != NULL; i++) {
            const struct finding *f = &found->items[i];

            if (!str_eq(f->rule->id, t->target->rules[r]) || !trial_concerns(t->s, f, &ok))
                continue;
            if (f->verdict == VERDICT_CANNOT_TELL) {
                out->verdict = -1;
                break;
            }
            if (f->verdict == VERDICT_FAILS && out->verdict == 1) {
                out->verdict = 0;
                snprintf(out->seen, sizeof out->seen, "%s", f->value == NULL ? "" : f->value);
            }
        }
    return ok;
}

static double number_at(sqlite3_stmt *st, int i)
{
    return sqlite3_column_type(st, i) == SQLITE_NULL ? (double)NAN : sqlite3_column_double(st, i);
}

bool trial_as_planned(struct trial *t, struct outcome *out)
{
    struct findings *found = evaluator_all(t->rules, false, t->s->diags);
    bool ok = found != NULL && look(t, found, out);

    findings_free(found);
    out->value = out->limit = (double)NAN;
    if (ok && sqlite3_step(t->number) == SQLITE_ROW) {
        out->value = number_at(t->number, 0);
        out->limit = number_at(t->number, 1);
    }
    sqlite3_reset(t->number);
    return ok;
}

static void forget_lever(struct trial *t)
{
    for (size_t i = 0; i < t->set_count; i++)
        sqlite3_finalize(t->set[i]);
    t->set_count = 0;
    t->changes.count = 0;
}

bool trial_lever(struct trial *t, const char *sql)
{
    forget_lever(t);
    while (*sql != '\0') {
        sqlite3_stmt *st = guard_watch(store_db(t->s->store), sql, &sql, note_change, &t->changes);

        assert(t->set_count < STATEMENTS_MOST);
        if (st == NULL)
            return broken(t->s);
        t->set[t->set_count++] = st;
    }
    return true;
}

static bool set_lever(struct trial *t, double share, double value)
{
    for (size_t i = 0; i < t->set_count; i++) {
        int wanted = sqlite3_bind_parameter_count(t->set[i]);
        bool ok = (wanted < 1 || sqlite3_bind_double(t->set[i], 1, share) == SQLITE_OK) &&
                  (wanted < 2 || sqlite3_bind_double(t->set[i], 2, value) == SQLITE_OK) &&
                  sqlite3_step(t->set[i]) == SQLITE_DONE;

        sqlite3_reset(t->set[i]);
        if (!ok)
            return broken(t->s);
    }
    return true;
}

bool trial_run(struct trial *t, double share, double value, struct outcome *out)
{
    bool ok = rows_run(t->s, "savepoint lever");

    if (!ok)
        return false;
    ok = set_lever(t, share, value) && refill(t->s, &t->changes, t->target->fact) &&
         trial_as_planned(t, out);
    return rows_run(t->s, "rollback to lever; release lever") && ok;
}

struct trial *trial_new(struct session *s, const struct target *target)
{
    struct evaluate_options o = {.over = target->fact, .units = session_units(s)};
    struct trial *t = mem_calloc(1, sizeof *t);

    if (t == NULL) {
        diags_out_of_memory(s->diags);
        return NULL;
    }
    t->s = s;
    t->target = target;
    t->rules = evaluator_new(s->run, s->rules, &o, s->diags);
    if (t->rules == NULL || (sqlite3_prepare_v2(store_db(s->store), target->number, -1, &t->number,
                                                NULL) != SQLITE_OK &&
                             !broken(s))) {
        trial_free(t);
        t = NULL;
    }
    return t;
}

void trial_free(struct trial *t)
{
    if (t == NULL)
        return;
    forget_lever(t);
    sqlite3_finalize(t->number);
    evaluator_free(t->rules);
    mem_free(t);
}
