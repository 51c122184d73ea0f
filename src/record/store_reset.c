/* store_reset.c - an empty store again, with its catalogue. */
#include "text/base.h"

#include "record/store_internal.h"
#include "text/mem.h"

bool store_reset(struct store *s)
{
    char table[64], sql[96];
    for (size_t i = 0; i < s->kind_count; i++) {
        struct store_kind *k = &s->kinds[i];
        k->last_rid = 0;
        if (k->e->parent == NULL)
            continue;
        dict_column(k->e->name, table, sizeof table);
        snprintf(sql, sizeof sql, "delete from rec_%s", table);
        if (sqlite3_exec(s->db, sql, NULL, NULL, NULL) != SQLITE_OK)
            return store_trouble(s, "cannot empty the memory tables", s->d);
    }
    for (size_t i = 0; i < s->pending_count; i++)
        record_free(s->pending[i].r);
    s->pending_count = 0;
    s->seq = 0;
    s->counts = (struct store_counts){0};
    if (sqlite3_exec(s->db, "delete from rec_link; delete from rec_conflict; delete from rec_entry",
                     NULL, NULL, NULL) != SQLITE_OK)
        return store_trouble(s, "cannot empty the memory tables", s->d);
    return true;
}
