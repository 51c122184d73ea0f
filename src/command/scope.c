/* scope.c - what a record reaches. */
#include "text/base.h"

#include "command/rows.h"
#include "command/scope.h"

/* Which references are followed from record to record. */
static const char fill[] =
    "insert into temp.scope"
    " with recursive reach(id) as (select ?1"
    "  union select l.target from rec_link l join reach r on l.id = r.id"
    "   where l.attr in ('batch', 'receipt', 'label', 'documents', 'licence-copy', 'buyer',"
    "    'carrier', 'from-batch', 'parent', 'material', 'supplier', 'excise-permit', 'extends')"
    "   and l.kind not in ('move', 'count', 'waste', 'incident')"
    "  union select l.id from rec_link l join reach r on l.target = r.id"
    "   where l.kind = 'label' and l.attr = 'batch')"
    " select id from reach where true on conflict do nothing";

static void ignore_row(struct session *s, sqlite3_stmt *st, void *user)
{
    (void)s;
    (void)st;
    (void)user;
}

bool scope_open(struct session *s, struct scope *scope)
{
    return rows_run(s, "drop table if exists temp.scope;"
                       "create temp table scope(id text primary key) without rowid") &&
           sqlite3_prepare_v2(store_db(s->store), "select 1 from temp.scope where id = ?1", -1,
                              &scope->has, NULL) == SQLITE_OK;
}

bool scope_add(struct session *s, const char *id, bool direct)
{
    if (direct && !rows_select(s,
                               "insert into temp.scope select distinct target from rec_link"
                               " where id = ?1 and target is not null on conflict do nothing",
                               id, NULL, ignore_row, NULL))
        return false;
    return rows_select(s, fill, id, NULL, ignore_row, NULL);
}

bool scope_has(const struct scope *scope, const char *id)
{
    bool found;

    if (id == NULL || scope->has == NULL)
        return false;
    sqlite3_reset(scope->has);
    sqlite3_bind_text(scope->has, 1, id, -1, SQLITE_TRANSIENT);
    found = sqlite3_step(scope->has) == SQLITE_ROW;
    sqlite3_reset(scope->has);
    return found;
}

void scope_close(struct scope *scope)
{
    sqlite3_finalize(scope->has);
    *scope = (struct scope){0};
}
