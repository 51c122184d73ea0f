/* append.c - filing: one transaction, each row hung on the one before. */
#include "text/base.h"

#include "ledger/diff.h"
#include "ledger/private.h"
#include "text/date.h"
#include "text/mem.h"
#include "text/utf8.h"

static const char find_sql[] =
    "SELECT " LEDGER_ROW " FROM entry e WHERE e.kind = ?1 AND e.id = ?2 AND e.action <> 'audit' "
    "ORDER BY e.seq DESC LIMIT 1";
static const char insert_sql[] =
    "INSERT INTO entry(seq, filed, kind, id, action, amends, who, why, source_file, source_line, "
    "xml, prev, hash) VALUES(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13)";

const char *ledger_action_name(enum ledger_action a)
{
    static const char *const names[] = {"file", "amend", "waive", "audit"};
    return names[a];
}

/* Two digits at s, at most `most`. */
static bool two_digits(const char *s, int most)
{
    return (s[0] - '0') * 10 + (s[1] - '0') <= most;
}

/* "YYYY-MM-DDThh:mm:ssZ" of a real day and time, and nothing else. */
static bool is_utc_stamp(const char *s)
{
    enum { DAY = 10, HOUR_AT = 11, MINUTE_AT = 14, SECOND_AT = 17 };
    static const char form[] = "dddd-dd-ddTdd:dd:ddZ";
    char day[DAY + 1];
    long days;
    if (s == NULL || strlen(s) != sizeof form - 1)
        return false;
    for (size_t i = 0; form[i] != '\0'; i++)
        if (form[i] == 'd' ? !ascii_digit(s[i]) : s[i] != form[i])
            return false;
    memcpy(day, s, DAY);
    day[DAY] = '\0';
    /* A leap second is a real one: 60 is taken. */
    return date_iso_days(day, &days) && two_digits(s + HOUR_AT, 23) &&
           two_digits(s + MINUTE_AT, 59) && two_digits(s + SECOND_AT, 60);
}

static bool stamp_ok(const struct ledger *l, const struct ledger_stamp *stamp, struct diags *d)
{
    bool must_say = stamp->action == LEDGER_AMEND || stamp->action == LEDGER_WAIVE;
    bool who = stamp->who != NULL && stamp->who[0] != '\0';
    bool why = stamp->why != NULL && stamp->why[0] != '\0';
    if (!l->writable && !l->dry) {
        diags_add(d, DIAG_FATAL, "book-permission", l->path, 0, 0, NULL,
                  "the book was opened for reading only");
        return false;
    }
    if (!is_utc_stamp(stamp->filed)) {
        diags_add(d, DIAG_FATAL, "bad-stamp", l->path, 0, 0, "2026-03-04T14:30:00Z",
                  "the time of filing is not a UTC time: '%s'", stamp->filed ? stamp->filed : "");
        return false;
    }
    if (must_say && (!who || !why)) {
        diags_add(d, DIAG_FATAL, "who-and-why", NULL, 0, 0, "say --who NAME and --why TEXT",
                  "%s needs a name and a reason: %s missing",
                  stamp->action == LEDGER_AMEND ? "an amendment" : "a waiver",
                  !who && !why ? "both are"
                  : !who       ? "the name is"
                               : "the reason is");
        return false;
    }
    const char *texts[] = {stamp->who, stamp->why};
    size_t bad;
    for (size_t i = 0; i < LW_COUNT(texts); i++)
        if (texts[i] != NULL && !utf8_valid(texts[i], strlen(texts[i]), &bad)) {
            diags_add(d, DIAG_FATAL, "bad-utf8", NULL, 0, 0, "type it as UTF-8 text",
                      "the %s is not valid UTF-8", i == 0 ? "name" : "reason");
            return false;
        }
    return true;
}

static bool copy_optional(char **to, const char *from)
{
    *to = NULL;
    if (from == NULL || from[0] == '\0')
        return true;
    *to = mem_strdup(from);
    return *to != NULL;
}

static void forget_filing(struct ledger *l)
{
    sqlite3_finalize(l->find);
    sqlite3_finalize(l->insert);
    mem_free(l->filed);
    mem_free(l->who);
    mem_free(l->why);
    l->find = l->insert = NULL;
    l->filed = l->who = l->why = NULL;
    l->filing = false;
}

/* Takes one row for the head when it hangs on the last one as it must. */
static bool follow(struct ledger *l, sqlite3_stmt *s, struct diags *d)
{
    struct ledger_entry e;
    if (!ledger_row(s, &e)) {
        diags_out_of_memory(d);
        return false;
    }
    const char *wrong = ledger_link_wrong(&e, l->head_seq, l->head);
    if (wrong != NULL) {
        diags_add(d, DIAG_FATAL, "book-broken", l->path, (long)e.seq, 0,
                  "see 'lotward book verify'; put back a backup",
                  "nothing can be added: entry %lld does not verify (%s)", (long long)e.seq, wrong);
        return false;
    }
    l->head_seq = e.seq;
    memcpy(l->head, e.hash, sizeof l->head);
    return true;
}

static bool clock_told(struct ledger *l, struct diags *d)
{
    sqlite3_stmt *s = NULL;
    if (!ledger_prepare(l, "SELECT filed FROM entry ORDER BY seq DESC LIMIT 1", &s, d))
        return false;
    int rc = sqlite3_step(s);
    const char *filed = rc == SQLITE_ROW ? (const char *)sqlite3_column_text(s, 0) : NULL;
    if (filed != NULL && strcmp(filed, l->filed) > 0)
        diags_add(d, DIAG_WARNING, "clock-behind", l->path, (long)l->head_seq, 0,
                  "set the computer's clock",
                  "the clock says %s, but the last entry was filed at %s", l->filed, filed);
    if (rc != SQLITE_DONE && filed == NULL)
        ledger_error(l->path, l->db, rc == SQLITE_ROW ? SQLITE_NOMEM : rc,
                     "reading the book's last entry", d);
    sqlite3_finalize(s);
    return rc == SQLITE_DONE || filed != NULL;
}

/* Finds the last row, walking the chain to it: nothing is hung on a book that was changed anywhere.
 * A hundred thousand lots take about as long as reading them does. */
static bool read_head(struct ledger *l, struct diags *d)
{
    sqlite3_stmt *s = NULL;
    bool ok = true;
    l->head_seq = 0;
    memcpy(l->head, ledger_genesis, sizeof l->head);
    if (!ledger_prepare(l, "SELECT " LEDGER_STORED ", NULL FROM entry e ORDER BY e.seq", &s, d))
        return false;
    int rc = SQLITE_ROW;
    while (ok && (rc = sqlite3_step(s)) == SQLITE_ROW)
        ok = follow(l, s, d);
    if (ok && rc != SQLITE_DONE) {
        ledger_error(l->path, l->db, rc, "reading the book's entries", d);
        ok = false;
    }
    sqlite3_finalize(s);
    return ok && clock_told(l, d);
}

static bool begin(struct ledger *l, bool dry, const struct ledger_stamp *stamp, struct diags *d)
{
    l->dry = dry;
    if (!stamp_ok(l, stamp, d) || !ledger_exec(l, dry ? "BEGIN" : "BEGIN IMMEDIATE", "filing", d))
        return false;
    l->filing = true;
    l->action = stamp->action;
    if (!copy_optional(&l->filed, stamp->filed) || !copy_optional(&l->who, stamp->who) ||
        !copy_optional(&l->why, stamp->why)) {
        diags_out_of_memory(d);
        goto fail;
    }
    if (read_head(l, d) && ledger_prepare(l, find_sql, &l->find, d) &&
        ledger_prepare(l, insert_sql, &l->insert, d))
        return true;
fail:
    ledger_rollback(l);
    return false;
}

bool ledger_begin(struct ledger *l, const struct ledger_stamp *stamp, struct diags *d)
{
    return begin(l, false, stamp, d);
}

bool ledger_begin_dry(struct ledger *l, const struct ledger_stamp *stamp, struct diags *d)
{
    return begin(l, true, stamp, d);
}

void ledger_rollback(struct ledger *l)
{
    if (l == NULL || !l->filing)
        return;
    forget_filing(l);
    /* SQLite may have rolled back by itself after a full disk; then there is nothing to undo, and
     * an undo that fails leaves a hot journal that the next opening plays back. */
    if (sqlite3_get_autocommit(l->db) == 0)
        (void)sqlite3_exec(l->db, "ROLLBACK", NULL, NULL, NULL);
}

void ledger_head(const struct ledger *l, char out[SHA256_HEX + 1])
{
    memcpy(out, l->head, SHA256_HEX + 1);
}

bool ledger_commit(struct ledger *l, struct diags *d)
{
    if (!l->filing)
        return false;
    int rc = sqlite3_exec(l->db, "COMMIT", NULL, NULL, NULL);
    if (rc != SQLITE_OK) {
        ledger_error(l->path, l->db, rc, "writing the filing to disk", d);
        ledger_rollback(l);
        return false;
    }
    forget_filing(l);
    return true;
}

static int bind_text(sqlite3_stmt *s, int i, const char *text)
{
    return text == NULL ? sqlite3_bind_null(s, i)
                        : sqlite3_bind_text(s, i, text, -1, SQLITE_STATIC);
}

static int bind_entry(sqlite3_stmt *s, const struct ledger_entry *e)
{
    const char *texts[] = {NULL,   e->filed,       e->kind, e->id,  e->action, NULL,   e->who,
                           e->why, e->source_file, NULL,    e->xml, e->prev,   e->hash};
    int rc = SQLITE_OK;
    for (int i = 0; rc == SQLITE_OK && i < (int)LW_COUNT(texts); i++)
        rc = bind_text(s, i + 1, texts[i]);
    if (rc == SQLITE_OK)
        rc = sqlite3_bind_int64(s, 1, e->seq);
    if (rc == SQLITE_OK && e->amends != 0)
        rc = sqlite3_bind_int64(s, 6, e->amends);
    if (rc == SQLITE_OK && e->source_line != 0)
        rc = sqlite3_bind_int64(s, 10, e->source_line);
    return rc;
}

/* Hangs e (kind, id, amends, source and xml filled) on the head. */
static enum ledger_outcome insert_row(struct ledger *l, struct ledger_entry *e, struct diags *d)
{
    e->seq = l->head_seq + 1;
    e->filed = l->filed;
    e->action = ledger_action_name(l->action);
    e->who = l->who;
    e->why = l->why;
    e->prev = l->head;
    ledger_hash(e, l->next);
    e->hash = l->next;
    if (l->dry)
        return LEDGER_ADDED;
    int rc = bind_entry(l->insert, e);
    if (rc == SQLITE_OK)
        rc = sqlite3_step(l->insert);
    sqlite3_reset(l->insert);
    sqlite3_clear_bindings(l->insert);
    if (rc != SQLITE_DONE) {
        ledger_error(l->path, l->db, rc, "filing", d);
        return LEDGER_FAILED;
    }
    l->head_seq = e->seq;
    memcpy(l->head, l->next, sizeof l->head);
    return LEDGER_ADDED;
}

/* Was exactly this filed before, in a version that is no longer in force? Its seq, or 0. */
static long long older_version(struct ledger *l, const struct ledger_entry *e)
{
    sqlite3_stmt *s = NULL;
    long long seq = 0;
    if (sqlite3_prepare_v2(l->db,
                           "SELECT seq FROM entry WHERE kind = ?1 AND id = ?2 AND xml = ?3 LIMIT 1",
                           -1, &s, NULL) == SQLITE_OK &&
        bind_text(s, 1, e->kind) == SQLITE_OK && bind_text(s, 2, e->id) == SQLITE_OK &&
        bind_text(s, 3, e->xml) == SQLITE_OK && sqlite3_step(s) == SQLITE_ROW)
        seq = sqlite3_column_int64(s, 0);
    sqlite3_finalize(s);
    return seq;
}

static enum ledger_outcome refuse_changed(struct ledger *l, const struct record *r,
                                          const struct ledger_entry *now,
                                          const struct ledger_entry *e, struct diags *d)
{
    struct sbuf diff = SBUF_INIT;
    long long older = older_version(l, e);
    if (older != 0) {
        diags_add(
            d, DIAG_ERROR, "already-amended", r->file, r->line, 0,
            "take the amended record into this file ('lotward book history' shows it)",
            "%s '%s' was amended after it was filed: this is entry %lld, in force is entry %lld",
            e->kind, e->id, older, now->seq);
    } else {
        ledger_diff(now->xml, e->xml, &diff);
        diags_add(d, DIAG_ERROR, "already-filed", r->file, r->line, 0,
                  "to change it: lotward amend --who NAME --why TEXT FILE",
                  "%s '%s' is in the book with other content (entry %lld, filed %s)%s%s", e->kind,
                  e->id, now->seq, now->filed, diff.len > 0 ? ": " : "", diff.s);
    }
    sbuf_free(&diff);
    return LEDGER_CHANGED;
}

/* Decides what a record is to the book, whose version in force is `now` (NULL: none). */
static enum ledger_outcome place(struct ledger *l, const struct record *r,
                                 const struct ledger_entry *now, struct ledger_entry *e,
                                 struct diags *d)
{
    if (now == NULL && l->action == LEDGER_AMEND) {
        diags_add(d, DIAG_ERROR, "not-filed", r->file, r->line, 0,
                  "lotward file FILE puts it there",
                  "%s '%s' is not in the book, so there is nothing to amend", e->kind, e->id);
        return LEDGER_UNKNOWN;
    }
    if (now != NULL && strcmp(now->xml, e->xml) == 0)
        return LEDGER_SAME;
    if (now != NULL && l->action != LEDGER_AMEND)
        return refuse_changed(l, r, now, e, d);
    e->amends = now != NULL ? now->seq : 0;
    return insert_row(l, e, d);
}

static enum ledger_outcome find_and_place(struct ledger *l, const struct record *r,
                                          struct ledger_entry *e, struct diags *d)
{
    struct ledger_entry now;
    enum ledger_outcome outcome = LEDGER_FAILED;
    int rc = bind_text(l->find, 1, e->kind);
    if (rc == SQLITE_OK)
        rc = bind_text(l->find, 2, e->id);
    if (rc == SQLITE_OK)
        rc = sqlite3_step(l->find);
    if (rc == SQLITE_ROW && !ledger_row(l->find, &now))
        rc = SQLITE_NOMEM;
    if (rc == SQLITE_ROW && (now.xml == NULL || now.filed == NULL))
        rc = SQLITE_CORRUPT;
    if (rc == SQLITE_DONE || rc == SQLITE_ROW)
        outcome = place(l, r, rc == SQLITE_ROW ? &now : NULL, e, d);
    else
        ledger_error(l->path, l->db, rc, "looking up a record in the book", d);
    sqlite3_reset(l->find);
    return outcome;
}

enum ledger_outcome ledger_add(struct ledger *l, const struct record *r,
                               const struct record_context *ctx, struct diags *d)
{
    struct ledger_entry e = {.kind = r->element->name,
                             .id = record_id(r),
                             .source_file = r->file,
                             .source_line = r->line > 0 ? r->line : 0};
    if (!l->filing || l->action == LEDGER_AUDIT)
        return LEDGER_FAILED;
    if (e.id == NULL || !str_eq(r->element->parent, "records")) {
        diags_add(d, DIAG_ERROR, "no-id", r->file, r->line, 0, NULL,
                  "a '%s' without an id cannot be filed", e.kind);
        return LEDGER_REFUSED;
    }
    if (!r->checked && !record_check(r, ctx, d))
        return diags_oom(d) ? LEDGER_FAILED : LEDGER_REFUSED;
    sbuf_clear(&l->xml);
    record_canonical_xml(r, ctx, &l->xml);
    if (l->xml.failed) {
        diags_out_of_memory(d);
        return LEDGER_FAILED;
    }
    if (l->xml.len > LEDGER_XML_BYTES) {
        diags_add(d, DIAG_ERROR, "too-large", r->file, r->line, 0, "split it",
                  "%s '%s' is larger than a record may be (%d bytes)", e.kind, e.id,
                  LEDGER_XML_BYTES);
        return LEDGER_REFUSED;
    }
    e.xml = l->xml.s;
    return find_and_place(l, r, &e, d);
}

enum ledger_outcome ledger_add_evidence(struct ledger *l, const char *kind, const char *id,
                                        const char *xml, struct diags *d)
{
    struct ledger_entry e = {.kind = kind, .id = id, .xml = xml};
    if (!l->filing || l->action != LEDGER_AUDIT)
        return LEDGER_FAILED;
    if (dict_find(kind) != NULL || strlen(xml) > LEDGER_XML_BYTES) {
        diags_add(d, DIAG_ERROR, "bad-evidence", l->path, 0, 0, NULL,
                  "'%s' cannot be kept as evidence: it is a kind of record, or too large", kind);
        return LEDGER_REFUSED;
    }
    return insert_row(l, &e, d);
}

bool ledger_append(struct ledger *l, const struct ledger_stamp *stamp, struct ledger_item *items,
                   size_t count, struct diags *d)
{
    bool ok = true;
    for (size_t i = 0; i < count; i++)
        items[i].outcome = LEDGER_FAILED;
    if (!ledger_begin(l, stamp, d))
        return false;
    for (size_t i = 0; i < count; i++) {
        items[i].outcome = ledger_add(l, items[i].record, &items[i].ctx, d);
        if (items[i].outcome != LEDGER_ADDED && items[i].outcome != LEDGER_SAME)
            ok = false;
        if (items[i].outcome == LEDGER_FAILED)
            break;
    }
    if (ok && ledger_commit(l, d))
        return true;
    for (size_t i = 0; ok && i < count; i++) /* none was refused, and none was kept */
        items[i].outcome = LEDGER_FAILED;
    ledger_rollback(l);
    return false;
}
