#include "text/base.h"

#include "rule/rule.h"
#include "rule/waive.h"
#include "text/mem.h"
#include "text/utf8.h"

static const char in_force[] = "select id, rule, subject from rec_waiver, run"
                               " where reason is not null and by is not null and until is not null"
                               " and until >= run.as_of and (\"from\" is null or \"from\" <= "
                               "run.as_of) order by rec_waiver.rid";

static bool answers(const struct finding *f, const char *rule, const char *subject)
{
    return str_eq(f->rule->id, rule) &&
           (!subject || str_eq(subject, f->subject) || str_eq(subject, f->lot));
}

bool waivers_apply(sqlite3 *db, struct findings *f, struct diags *d)
{
    sqlite3_stmt *st = NULL;
    bool ok = true;
    int rc = sqlite3_prepare_v2(db, in_force, -1, &st, NULL);
    while (rc == SQLITE_OK && ok && (rc = sqlite3_step(st)) == SQLITE_ROW) {
        const char *id = (const char *)sqlite3_column_text(st, 0);
        const char *rule = (const char *)sqlite3_column_text(st, 1);
        const char *subject = (const char *)sqlite3_column_text(st, 2);
        for (size_t i = 0; ok && i < f->count; i++)
            if (!f->items[i].waiver && answers(&f->items[i], rule, subject)) {
                f->items[i].waiver = mem_strdup(id);
                ok = f->items[i].waiver != NULL;
            }
        rc = SQLITE_OK;
    }
    sqlite3_finalize(st);
    if (!ok)
        diags_out_of_memory(d);
    else if (rc != SQLITE_DONE) {
        diags_add(d, DIAG_FATAL, "database", NULL, 0, 0, NULL, "memory database: %s",
                  sqlite3_errmsg(db));
        ok = false;
    }
    return ok;
}
