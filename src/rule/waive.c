#include "text/base.h"

#include "rule/rule.h"
#include "rule/waive.h"
#include "text/mem.h"
#include "text/utf8.h"

static const char in_force[] = "select id, rule, subject, reason || ' (' || by || ', until '"
                               " || until || ')' from rec_waiver, run"
                               " where reason is not null and by is not null and until is not null"
                               " and until >= run.as_of and (\"from\" is null or \"from\" <= "
                               "run.as_of) order by rec_waiver.rid";

static bool answers(const struct finding *f, const char *rule, const char *subject)
{
    return str_eq(f->rule->id, rule) &&
           (!subject || str_eq(subject, f->subject) || str_eq(subject, f->lot));
}

static bool was_judged(const struct findings *f, const char *rule)
{
    for (size_t i = 0; i < f->tally_count; i++)
        if (str_eq(f->tallies[i].rule->id, rule))
            return true;
    return false;
}

static int note_idle(sqlite3 *db, const char *id, const char *rule)
{
    sqlite3_stmt *st = NULL;
    int rc = sqlite3_prepare_v2(db, "insert into temp.waiver_idle values(?1, ?2)", -1, &st, NULL);
    if (rc == SQLITE_OK) {
        sqlite3_bind_text(st, 1, id, -1, SQLITE_TRANSIENT);
        sqlite3_bind_text(st, 2, rule, -1, SQLITE_TRANSIENT);
        rc = sqlite3_step(st);
    }
    sqlite3_finalize(st);
    return rc == SQLITE_DONE ? SQLITE_OK : rc;
}

/* Marks what the waiver answers; *ok false when memory failed. */
static size_t mark(struct findings *f, const char *id, const char *rule, const char *subject,
                   const char *reason, bool *ok)
{
    size_t n = 0;
    for (size_t i = 0; *ok && i < f->count; i++) {
        if (!answers(&f->items[i], rule, subject))
            continue;
        n++;
        if (f->items[i].waiver)
            continue;
        f->items[i].waiver = mem_strdup(id);
        f->items[i].waiver_reason = mem_strdup(reason);
        *ok = f->items[i].waiver != NULL && f->items[i].waiver_reason != NULL;
    }
    return n;
}

bool waivers_apply(sqlite3 *db, struct findings *f, enum waiver_reach reach, struct diags *d)
{
    sqlite3_stmt *st = NULL;
    bool ok = true;
    int rc = sqlite3_exec(db, "delete from temp.waiver_idle", NULL, NULL, NULL);
    if (rc == SQLITE_OK)
        rc = sqlite3_prepare_v2(db, in_force, -1, &st, NULL);
    while (rc == SQLITE_OK && ok && (rc = sqlite3_step(st)) == SQLITE_ROW) {
        const char *id = (const char *)sqlite3_column_text(st, 0);
        const char *rule = (const char *)sqlite3_column_text(st, 1);
        const char *subject = (const char *)sqlite3_column_text(st, 2);
        const char *reason = (const char *)sqlite3_column_text(st, 3);
        size_t n = mark(f, id, rule, subject, reason, &ok);
        rc = SQLITE_OK;
        if (ok && n == 0 && reach != WAIVER_SOME_RECORDS &&
            (reach == WAIVER_ALL_RULES || was_judged(f, rule)))
            rc = note_idle(db, id, rule);
    }
    if (!ok)
        diags_out_of_memory(d);
    else if (rc != SQLITE_DONE) {
        diags_add(d, DIAG_FATAL, "database", NULL, 0, 0, NULL, "memory database: %s",
                  sqlite3_errmsg(db));
        ok = false;
    }
    sqlite3_finalize(st);
    return ok;
}
