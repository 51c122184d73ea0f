/* plan.c - taking planned batches out of the store. */
#include "text/base.h"

#include "command/plan.h"
#include "command/rows.h"
#include "text/utf8.h"

enum { COLUMN_BYTES = 80 };

static void ignore_row(struct session *s, sqlite3_stmt *st, void *user)
{
    (void)s;
    (void)st;
    (void)user;
}

static bool new_marks(struct session *s)
{
    return rows_run(s, "drop table if exists temp.plan_batch;"
                       "create temp table plan_batch(rid integer primary key, id text);"
                       "create temp table if not exists plan_room(room text)");
}

static bool count_marks(struct session *s, long *count)
{
    bool ok = true;

    *count = rows_count(s, "select count(*) from temp.plan_batch", NULL, &ok);
    return ok;
}

bool plan_mark(struct session *s, const char *except, long *count)
{
    return new_marks(s) &&
           rows_select(s,
                       "insert into temp.plan_batch select rid, id from rec_batch"
                       " where state = 'planned' and id is not ?1",
                       except, NULL, ignore_row, NULL) &&
           count_marks(s, count);
}

bool plan_mark_lot(struct session *s, const char *lot, long *count)
{
    return new_marks(s) &&
           rows_select(s, "insert into temp.plan_batch select rid, id from rec_batch where id = ?1",
                       lot, NULL, ignore_row, NULL) &&
           count_marks(s, count);
}

static bool remove_rows(struct session *s, const char *table, const char *condition)
{
    struct sbuf b = SBUF_INIT;
    bool ok;

    sbuf_printf(&b, "delete from rec_%s where %s", table, condition);
    ok = !b.failed && rows_run(s, b.s);
    sbuf_free(&b);
    return ok;
}

/* Rows of e that stand in a marked batch, or are about one. */
static bool remove_from(struct session *s, const struct dict_element *e)
{
    char table[COLUMN_BYTES], column[COLUMN_BYTES];
    bool ok = true;

    dict_column(e->name, table, sizeof table);
    if (str_eq(e->parent, "batch"))
        return remove_rows(s, table, "parent in (select rid from temp.plan_batch)");
    for (size_t i = 0; ok && i < e->attr_count; i++) {
        struct sbuf b = SBUF_INIT;

        if (e->attrs[i].type != ATTR_REF || !dict_word(e->attrs[i].words, "batch", strlen("batch")))
            continue;
        dict_column(e->attrs[i].name, column, sizeof column);
        sbuf_printf(&b, "\"%s\" in (select id from temp.plan_batch)", column);
        ok = !b.failed && remove_rows(s, table, b.s);
        sbuf_free(&b);
    }
    return ok;
}

/* References of rows of e that are gone. */
static bool remove_links(struct session *s, const struct dict_element *e)
{
    char table[COLUMN_BYTES];
    struct sbuf b = SBUF_INIT;
    bool ok;

    dict_column(e->name, table, sizeof table);
    sbuf_printf(&b,
                "delete from rec_link where kind = '%s' and rid not in (select rid from rec_%s)",
                e->name, table);
    ok = !b.failed && rows_run(s, b.s);
    sbuf_free(&b);
    return ok;
}

static void note_change(struct plan_changes *changes, const char *kind)
{
    char table[COLUMN_BYTES];
    size_t n;

    if (changes == NULL || changes->count == PLAN_TABLES_MOST)
        return;
    n = changes->count++;
    dict_column(kind, table, sizeof table);
    snprintf(changes->names[n], PLAN_NAME_BYTES, "rec_%.50s", table);
    changes->what[n] = changes->names[n];
}

static bool begin_changes(struct session *s, struct plan_changes *changes)
{
    bool ok = true;

    if (changes == NULL)
        return true;
    changes->count = 0;
    note_change(changes, "batch");
    note_change(changes, "link");
    changes->apart =
        rows_count(s,
                   "select count(*) from rec_link where target in (select id from temp.plan_batch)"
                   " and id not in (select id from temp.plan_batch)",
                   NULL, &ok) == 0;
    return ok;
}

/* Rows first, then the references of the kinds that lost any, and those to the batches. */
bool plan_remove(struct session *s, struct plan_changes *changes)
{
    size_t count;
    const struct dict_element *elements = dict_elements(&count);
    bool ok = begin_changes(s, changes);

    assert(count + 1 < PLAN_TABLES_MOST);
    for (size_t i = 0; ok && i < count; i++) {
        int before = sqlite3_total_changes(store_db(s->store));

        if (elements[i].parent == NULL || str_eq(elements[i].name, "batch"))
            continue;
        ok = remove_from(s, &elements[i]);
        if (ok && sqlite3_total_changes(store_db(s->store)) != before) {
            note_change(changes, elements[i].name);
            ok = remove_links(s, &elements[i]);
        }
    }
    return ok &&
           rows_run(s, "delete from rec_batch where rid in (select rid from temp.plan_batch);"
                       "delete from rec_link where kind = 'batch' and rid not in"
                       " (select rid from rec_batch);"
                       "delete from rec_link where target in (select id from temp.plan_batch)");
}

bool plan_leave_out(struct session *s, const char *except)
{
    struct sbuf b = SBUF_INIT;
    long count = 0;

    if (!plan_mark(s, except, &count))
        return false;
    if (count == 0)
        return true;
    sbuf_printf(&b,
                "%ld planned lot%s left out: nothing of a plan is there yet. `lotward check` "
                "judges plans.",
                count, count == 1 ? "" : "s");
    report_add_note(&s->report, b.s);
    sbuf_free(&b);
    return plan_remove(s, NULL);
}
