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
    bool ok = rows_run(s, "create temp table earlier(key text primary key, verdict text, rule text,"
                          " subject text, message text, seen integer default 0) without rowid") &&
              sqlite3_prepare_v2(
                  db,
                  "insert or ignore into temp.earlier(key, verdict, rule, subject, message)"
                  " select json_extract(value, '$.key'), json_extract(value, '$.verdict'),"
                  " json_extract(value, '$.rule'), json_extract(value, '$.subject.kind')"
                  " || ' ' || json_extract(value, '$.subject.id'),"
                  " json_extract(value, '$.message') from json_each(?1, '$.findings')"
                  " where json_extract(value, '$.waiver') is null",
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
    unsigned long fresh, same, other, gone;
};

static bool compare(struct session *s, struct report_table *t, struct tally *n)
{
    const struct findings *f = s->report.findings;
    sqlite3_stmt *find = NULL, *mark = NULL;
    bool ok =
        sqlite3_prepare_v2(store_db(s->store), "select verdict from temp.earlier where key = ?1",
                           -1, &find, NULL) == SQLITE_OK &&
        sqlite3_prepare_v2(store_db(s->store), "update temp.earlier set seen = 1 where key = ?1",
                           -1, &mark, NULL) == SQLITE_OK;

    for (size_t i = 0; ok && i < f->count; i++) {
        const struct finding *x = &f->items[i];
        struct sbuf subject = SBUF_INIT;
        bool there;
        bool same;

        if (x->waiver != NULL || !report_shows(&s->report, x))
            continue;
        sqlite3_reset(find);
        sqlite3_bind_text(find, 1, x->key, -1, SQLITE_TRANSIENT);
        there = sqlite3_step(find) == SQLITE_ROW;
        same =
            there && str_eq((const char *)sqlite3_column_text(find, 0), verdict_name(x->verdict));
        sqlite3_reset(mark);
        sqlite3_bind_text(mark, 1, x->key, -1, SQLITE_TRANSIENT);
        ok = sqlite3_step(mark) == SQLITE_DONE;
        sbuf_printf(&subject, "%s %s", x->subject_kind, x->subject);
        if (same)
            n->same++;
        else if (there)
            n->other++;
        else
            n->fresh++;
        if (!same)
            put_row(s, t, there ? "other verdict" : "new", x->rule->id, subject.s, x->message);
        ok = ok && !subject.failed;
        sbuf_free(&subject);
    }
    sqlite3_finalize(find);
    sqlite3_finalize(mark);
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

enum exit_status audit_since(struct session *s, const char *path)
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
                               "--since: that was '%s', this is '%s': they do not compare", h.title,
                               s->report.title);
        goto out;
    }
    t = report_add_table(&s->report, "since", NULL, NULL, TABLE_GRID);
    report_column(&s->report, t, "what", NULL, NULL, ALIGN_LEFT);
    report_column(&s->report, t, "record", NULL, NULL, ALIGN_LEFT);
    report_column(&s->report, t, "rule", NULL, NULL, ALIGN_LEFT);
    report_column(&s->report, t, "message", NULL, NULL, ALIGN_LEFT);
    if (!load(s, &text) || !compare(s, t, &n) ||
        !rows_select(s, "select count(*) from temp.earlier where seen = 0", NULL, NULL, count_gone,
                     &n) ||
        !rows_select(s,
                     "select rule, subject, message from temp.earlier where seen = 0 order by key",
                     NULL, NULL, put_cleared, t)) {
        status = session_trouble(s);
        goto out;
    }
    sbuf_printf(&note,
                "Since the audit as of %s: %lu new, %lu with another verdict, %lu unchanged (not "
                "listed), %lu gone. Gone means no longer found, not that anyone has looked.",
                h.as_of, n.fresh, n.other, n.same, n.gone);
    report_add_note(&s->report, note.s);
    report_table_title(&s->report, t, "Changes since the last audit", note.s);
    s->report.failed = s->report.failed || note.failed;
out:
    sbuf_free(&text);
    sbuf_free(&note);
    return status;
}
