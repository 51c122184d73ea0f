/* audit_since.c - what changed since an earlier audit, from its JSON report. */
#include "text/base.h"

#include "command/audit_more.h"
#include "command/rows.h"
#include "text/file.h"
#include "text/utf8.h"

enum { EARLIER_BYTES = 256 * 1024 * 1024 };

/* Bound once; rows of the earlier findings land in temp.earlier. */
static bool load(struct session *s, const struct sbuf *text)
{
    sqlite3_stmt *st = NULL;
    sqlite3 *db = store_db(s->store);
    bool ok =
        rows_run(
            s,
            "create temp table earlier(key text primary key, verdict text, rule text,"
            " subject text, message text, waived integer, seen integer default 0) without rowid") &&
        sqlite3_prepare_v2(
            db,
            "insert or ignore into temp.earlier(key, verdict, rule, subject, message, waived)"
            " select json_extract(value, '$.key'), json_extract(value, '$.verdict'),"
            " json_extract(value, '$.rule'), json_extract(value, '$.subject.kind')"
            " || ' ' || json_extract(value, '$.subject.id'),"
            " json_extract(value, '$.message'), json_extract(value, '$.waiver') is not null"
            " from json_each(?1, '$.findings')",
            -1, &st, NULL) == SQLITE_OK &&
        sqlite3_bind_text(st, 1, text->s, (int)text->len, SQLITE_STATIC) == SQLITE_OK &&
        sqlite3_step(st) == SQLITE_DONE;

    sqlite3_finalize(st);
    return ok;
}

struct head {
    char title[256], as_of[11];
    bool ours;
};

static void take_head(struct session *s, sqlite3_stmt *st, void *user)
{
    struct head *h = user;

    (void)s;
    h->ours = str_eq(rows_text(st, 0), "lotward-report") && str_eq(rows_text(st, 1), "audit");
    snprintf(h->title, sizeof h->title, "%s", rows_text(st, 2) ? rows_text(st, 2) : "");
    snprintf(h->as_of, sizeof h->as_of, "%s", rows_text(st, 3) ? rows_text(st, 3) : "");
}

static void put_row(struct session *s, struct report_table *t, const char *what, const char *rule,
                    const char *subject, const char *message)
{
    report_cell(&s->report, t, what);
    report_cell(&s->report, t, subject);
    report_cell(&s->report, t, rule);
    report_cell(&s->report, t, message);
}

static void put_cleared(struct session *s, sqlite3_stmt *st, void *user)
{
    put_row(s, user, "gone", rows_text(st, 0), rows_text(st, 1), rows_text(st, 2));
}

struct tally {
    unsigned long fresh, same, other, waived, gone;
};

struct comparison {
    sqlite3_stmt *find, *mark;
    struct report_table *t;
    struct tally *n;
};

/* The earlier finding of the same key is marked as seen again. false: the database failed. */
static bool look_up(struct comparison *c, const char *key, const char *verdict, bool *there,
                    bool *same, bool *waived)
{
    sqlite3_reset(c->find);
    sqlite3_bind_text(c->find, 1, key, -1, SQLITE_TRANSIENT);
    *there = sqlite3_step(c->find) == SQLITE_ROW;
    *same = *there && str_eq((const char *)sqlite3_column_text(c->find, 0), verdict);
    *waived = *there && sqlite3_column_int(c->find, 1) != 0;
    sqlite3_reset(c->mark);
    sqlite3_bind_text(c->mark, 1, key, -1, SQLITE_TRANSIENT);
    return sqlite3_step(c->mark) == SQLITE_DONE;
}

/* What to call the change; NULL: none, or one between two waived findings. */
static const char *name_change(struct tally *n, const struct finding *x, bool there, bool same,
                               bool waived)
{
    if (x->waiver != NULL) {
        if (!there || waived)
            return NULL;
        n->waived++;
        return "now waived";
    }
    if (same && !waived) {
        n->same++;
        return NULL;
    }
    if (there && !waived) {
        n->other++;
        return "other verdict";
    }
    n->fresh++;
    return there ? "new, waived before" : "new";
}

static bool compare_one(struct session *s, struct comparison *c, struct finding *x)
{
    struct sbuf subject = SBUF_INIT;
    bool there, same, waived, ok;
    const char *what;

    ok = look_up(c, x->key, verdict_name(x->verdict), &there, &same, &waived);
    x->baseline = !there ? "new" : same ? "unchanged" : "updated";
    what = name_change(c->n, x, there, same, waived);
    sbuf_printf(&subject, "%s %s", x->subject_kind, x->subject);
    if (what != NULL)
        put_row(s, c->t, what, x->rule->id, subject.s, x->message);
    ok = ok && !subject.failed;
    sbuf_free(&subject);
    return ok;
}

static bool compare(struct session *s, struct findings *f, struct report_table *t, struct tally *n)
{
    struct comparison c = {.t = t, .n = n};
    bool ok =
        sqlite3_prepare_v2(store_db(s->store),
                           "select verdict, waived from temp.earlier where key = ?1", -1, &c.find,
                           NULL) == SQLITE_OK &&
        sqlite3_prepare_v2(store_db(s->store), "update temp.earlier set seen = 1 where key = ?1",
                           -1, &c.mark, NULL) == SQLITE_OK;

    for (size_t i = 0; ok && i < f->count; i++)
        if (report_shows(&s->report, &f->items[i]))
            ok = compare_one(s, &c, &f->items[i]);
    sqlite3_finalize(c.find);
    sqlite3_finalize(c.mark);
    return ok;
}

static void count_gone(struct session *s, sqlite3_stmt *st, void *user)
{
    (void)s;
    ((struct tally *)user)->gone = (unsigned long)sqlite3_column_int64(st, 0);
}

static enum exit_status check_head(struct session *s, const char *path, struct head *h,
                                   const struct sbuf *text)
{
    bool ok = rows_select(s,
                          "select json_extract(?1, '$.format'), json_extract(?1, '$.command'),"
                          " json_extract(?1, '$.title'), json_extract(?1, '$.as_of')"
                          " where json_valid(?1)",
                          text->s, NULL, take_head, h);

    if (!ok)
        return session_trouble(s);
    if (h->ours)
        return STATUS_CLEAN;
    return session_usage(s, "lotward audit --format json ... > earlier.json makes one",
                         "--since: '%s' is not the JSON report of an audit", path);
}

enum exit_status audit_since(struct session *s, struct findings *findings, const char *path)
{
    struct sbuf text = SBUF_INIT, note = SBUF_INIT;
    struct head h = {0};
    struct tally n = {0};
    struct report_table *t = NULL;
    enum exit_status status = STATUS_INPUT;

    if (!file_read(path, EARLIER_BYTES, &text, s->diags))
        goto out;
    status = check_head(s, path, &h, &text);
    if (status != STATUS_CLEAN)
        goto out;
    if (!str_eq(h.title, s->report.title)) {
        status = session_usage(s, "give the same --lot, --topic, --rule, --from and --to as then",
                               "--since: that was '%s', this is '%s': they cannot be compared",
                               h.title, s->report.title);
        goto out;
    }
    t = report_add_table(&s->report, "since", NULL, NULL, TABLE_GRID);
    report_column(&s->report, t, "what", NULL, NULL, ALIGN_LEFT);
    report_column(&s->report, t, "record", NULL, NULL, ALIGN_LEFT);
    report_column(&s->report, t, "rule", NULL, NULL, ALIGN_NAMES);
    report_column(&s->report, t, "message", NULL, NULL, ALIGN_LEFT);
    if (!load(s, &text) || !compare(s, findings, t, &n) ||
        !rows_select(s, "select count(*) from temp.earlier where seen = 0 and waived = 0", NULL,
                     NULL, count_gone, &n) ||
        !rows_select(s,
                     "select rule, subject, message from temp.earlier where seen = 0 and waived = "
                     "0 order by key",
                     NULL, NULL, put_cleared, t)) {
        status = session_trouble(s);
        goto out;
    }
    sbuf_printf(&note,
                "Since the audit as of %s: %lu new, %lu with another verdict, %lu unchanged (not "
                "listed), %lu now answered by a waiver, %lu gone. Gone means no longer found, not "
                "that anyone has looked.",
                h.as_of, n.fresh, n.other, n.same, n.waived, n.gone);
    report_add_note(&s->report, note.s);
    report_table_title(&s->report, t, "Changes since the last audit", note.s);
    s->report.failed = s->report.failed || note.failed;
out:
    sbuf_free(&text);
    sbuf_free(&note);
    return status;
}
