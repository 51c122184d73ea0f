/* corrections.c - what stood in the book before an amendment, beside what stands there now. */
#include "text/base.h"

#include "command/corrections.h"
#include "command/rows.h"
#include "ledger/diff.h"
#include "text/mem.h"

/* A version that another took the place of, until that one comes. */
struct earlier {
    long long seq;
    char *xml;
};

struct entries {
    sqlite3_stmt *add;
    struct earlier *earlier; /* by seq, as the rows come */
    size_t count, cap;
};

static bool keep_earlier(struct entries *x, const struct ledger_entry *e)
{
    void *p = mem_grow(x->earlier, &x->cap, x->count + 1, sizeof *x->earlier);

    if (p == NULL)
        return false;
    x->earlier = p;
    x->earlier[x->count] = (struct earlier){e->seq, mem_strdup(e->xml)};
    return e->xml == NULL || x->earlier[x->count++].xml != NULL;
}

static int by_seq(const void *a, const void *b)
{
    const struct earlier *x = a, *y = b;

    return x->seq < y->seq ? -1 : x->seq > y->seq;
}

/* What an amendment put in place of what; the earlier version is not needed again. */
static void tell_change(struct entries *x, const struct ledger_entry *e, struct sbuf *out)
{
    const struct earlier key = {e->amends, NULL};
    struct earlier *was =
        x->count == 0 ? NULL : bsearch(&key, x->earlier, x->count, sizeof key, by_seq);

    if (was == NULL || was->xml == NULL || e->xml == NULL)
        return;
    ledger_diff(was->xml, e->xml, out);
    mem_free(was->xml);
    was->xml = NULL;
}

static bool take_entry(const struct ledger_entry *e, void *user)
{
    struct entries *x = user;
    const char *const texts[] = {e->kind, e->id, e->filed, e->action};
    struct sbuf change = SBUF_INIT;
    bool ok = e->amended_by == 0 || keep_earlier(x, e);

    if (e->amends != 0)
        tell_change(x, e, &change);
    sqlite3_reset(x->add);
    sqlite3_clear_bindings(x->add);
    sqlite3_bind_int64(x->add, 1, e->seq);
    for (int i = 0; i < (int)LW_COUNT(texts); i++)
        sqlite3_bind_text(x->add, i + 2, texts[i], -1, SQLITE_TRANSIENT);
    if (e->amends != 0)
        sqlite3_bind_int64(x->add, 6, e->amends);
    if (e->amended_by != 0)
        sqlite3_bind_int64(x->add, 7, e->amended_by);
    sqlite3_bind_text(x->add, 8, e->who, -1, SQLITE_TRANSIENT);
    sqlite3_bind_text(x->add, 9, e->why, -1, SQLITE_TRANSIENT);
    if (change.len > 0)
        sqlite3_bind_text(x->add, 10, change.s, -1, SQLITE_TRANSIENT);
    ok = ok && !change.failed && sqlite3_step(x->add) == SQLITE_DONE;
    sbuf_free(&change);
    return ok;
}

bool corrections_read(struct session *s, struct ledger *book)
{
    struct entries x = {0};
    bool ok = sqlite3_prepare_v2(store_db(s->store),
                                 "insert into rec_entry values (?1,?2,?3,?4,?5,?6,?7,?8,?9,?10)",
                                 -1, &x.add, NULL) == SQLITE_OK &&
              ledger_history(book, NULL, NULL, take_entry, &x, s->diags);

    sqlite3_finalize(x.add);
    for (size_t i = 0; i < x.count; i++)
        mem_free(x.earlier[i].xml);
    mem_free(x.earlier);
    return ok;
}

/* What the operands name, all that is behind it, and what was made, sold or thrown away of it. A
 * link says only the id it names. Persons and places are in every lot: what else they are in is not
 * followed. */
static const char related_sql[] =
    "create temp table correction_of as with recursive"
    " ahead(id) as (select id from temp.correction_named union select l.id from ahead a"
    "  join rec_link l on l.target = a.id and l.attr in ('receipt', 'from-batch', 'batch', "
    "'parent',"
    "  'documents', 'supplier', 'buyer')),"
    " behind(id) as (select id from ahead union select l.target from behind b"
    "  join rec_link l on l.id = b.id)"
    " select id from behind";

static bool name_related(struct session *s, const char *lot)
{
    sqlite3_stmt *st = NULL;
    bool ok =
        rows_run(s, "create temp table correction_named(id text)") &&
        sqlite3_prepare_v2(store_db(s->store), "insert into temp.correction_named values (?1)", -1,
                           &st, NULL) == SQLITE_OK;

    for (size_t i = 0; ok && i < s->name_count + (lot != NULL); i++) {
        const char *name = i < s->name_count ? s->names[i] : lot;

        sqlite3_reset(st);
        ok = sqlite3_bind_text(st, 1, name, -1, SQLITE_STATIC) == SQLITE_OK &&
             sqlite3_step(st) == SQLITE_DONE;
    }
    sqlite3_finalize(st);
    return ok && rows_run(s, related_sql);
}

static void put_correction(struct session *s, sqlite3_stmt *st, void *user)
{
    struct sbuf record = SBUF_INIT;

    sbuf_printf(&record, "%s %s", rows_text(st, 0), rows_text(st, 1));
    report_cell(&s->report, user, rows_text(st, 2));
    report_cell(&s->report, user, record.s);
    for (int i = 3; i <= 5; i++)
        report_cell(&s->report, user, rows_text(st, i));
    if (record.failed)
        s->report.failed = true;
    sbuf_free(&record);
}

bool corrections_add(struct session *s, const char *lot)
{
    static const char *const columns[] = {"day", "record", "change", "who", "why"};
    bool some = s->name_count > 0 || lot != NULL, ok = true;
    struct report_table *t;

    if (report_table_find(&s->report, "corrections") != NULL)
        return true; /* a command that hashes its report asks before */
    if (s->store == NULL ||
        rows_count(s, "select count(*) from rec_entry where amends is not null", NULL, &ok) == 0)
        return ok;
    if (some && !name_related(s, lot))
        return false;
    t = report_add_table(&s->report, "corrections", "Corrections in the book",
                         "What stood there before, and what stands there now.", TABLE_GRID);
    for (size_t i = 0; i < LW_COUNT(columns); i++)
        report_column(&s->report, t, columns[i], NULL, NULL, ALIGN_LEFT);
    return rows_select(
        s,
        some ? "select kind, id, substr(filed, 1, 10), change, who, why from rec_entry"
               " where amends is not null and kind is not null and id in"
               " (select id from temp.correction_of) order by seq"
             : "select kind, id, substr(filed, 1, 10), change, who, why from rec_entry"
               " where amends is not null and kind is not null order by seq",
        NULL, NULL, put_correction, t);
}
