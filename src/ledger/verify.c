/* verify.c - is the book what was filed, all of it and nothing else? */
#include "text/base.h"

#include "ledger/private.h"
#include "text/utf8.h"

struct walk {
    struct ledger *l;
    struct ledger_check *out;
    const char *expect; /* lower-case hexadecimal digits; NULL: none */
    size_t expect_len;
    sqlite3_stmt *first;  /* first row of one record */
    sqlite3_stmt *target; /* the row an amendment names */
    long long last_seq;
    int rc;
};

static void broken(struct walk *w, long long seq, const char *why)
{
    w->out->whole = false;
    w->out->broken_seq = seq;
    snprintf(w->out->why, sizeof w->out->why, "entry %lld: %s", seq, why);
}

/* NULL when the row may stand where it stands in its record's history. */
static const char *history_wrong(struct walk *w, const struct ledger_entry *e)
{
    const char *why = NULL;
    bool amends = strcmp(e->action, "amend") == 0;
    bool audit = strcmp(e->action, "audit") == 0;
    if (amends != (e->amends != 0))
        return "an amendment must name the entry it takes the place of, and nothing else may";
    if (!amends && !audit && strcmp(e->action, "file") != 0 && strcmp(e->action, "waive") != 0)
        return "its action is not one lotward knows";
    if ((amends || strcmp(e->action, "waive") == 0) && (e->who == NULL || e->why == NULL))
        return "it lacks the name or the reason it must have";
    if (audit)
        return NULL;
    sqlite3_stmt *s = amends ? w->target : w->first;
    int rc = sqlite3_bind_text(s, 1, e->kind, -1, SQLITE_STATIC);
    if (rc == SQLITE_OK)
        rc = sqlite3_bind_text(s, 2, e->id, -1, SQLITE_STATIC);
    if (rc == SQLITE_OK)
        rc = sqlite3_bind_int64(s, 3, e->seq);
    if (rc == SQLITE_OK)
        rc = sqlite3_step(s);
    if (rc != SQLITE_ROW && rc != SQLITE_DONE)
        w->rc = rc;
    else if (!amends && rc == SQLITE_ROW)
        why = "the same record was filed a second time";
    else if (amends && (rc != SQLITE_ROW || sqlite3_column_int64(s, 0) != e->amends))
        why = "it amends an entry that was not in force";
    sqlite3_reset(s);
    return why;
}

static void match_expected(struct walk *w, const struct ledger_entry *e)
{
    if (w->expect != NULL && w->out->expected_seq == 0 &&
        strncmp(e->hash, w->expect, w->expect_len) == 0)
        w->out->expected_seq = e->seq;
}

static bool verify_row(const struct ledger_entry *e, void *user)
{
    struct walk *w = user;
    const char *wrong = ledger_link_wrong(e, w->last_seq, w->out->head);
    if (wrong == NULL)
        wrong = history_wrong(w, e);
    if (w->rc != SQLITE_OK)
        return false;
    if (wrong != NULL) {
        broken(w, e->seq, wrong);
        return false;
    }
    w->last_seq = e->seq;
    w->out->entries++;
    if (e->amended_by == 0 && strcmp(e->action, "audit") != 0)
        w->out->records++;
    memcpy(w->out->head, e->hash, sizeof w->out->head);
    match_expected(w, e);
    return true;
}

/* Noted hash to bare lower-case digits. false: not such a hash. */
static bool read_expected(const char *text, char out[SHA256_HEX + 1], size_t *len)
{
    size_t n = 0;
    for (; *text != '\0'; text++) {
        if (*text == ' ' || *text == '-')
            continue;
        int c = ascii_tolower((unsigned char)*text);
        if (n == SHA256_HEX || !(ascii_digit(c) || (c >= 'a' && c <= 'f')))
            return false;
        out[n++] = (char)c;
    }
    out[n] = '\0';
    *len = n;
    return n >= LEDGER_HEAD_DIGITS;
}

/* SQLite's own check of pages, indexes and constraints. */
static int file_whole(struct ledger *l, struct ledger_check *out)
{
    sqlite3_stmt *s = NULL;
    int rc = sqlite3_prepare_v2(l->db, "PRAGMA integrity_check(1)", -1, &s, NULL);
    if (rc == SQLITE_OK && (rc = sqlite3_step(s)) == SQLITE_ROW) {
        const char *said = (const char *)sqlite3_column_text(s, 0);
        if (said == NULL) {
            rc = SQLITE_NOMEM;
        } else {
            rc = SQLITE_OK;
            if (strcmp(said, "ok") != 0) {
                out->whole = false;
                snprintf(out->why, sizeof out->why, "the file is damaged: %s", said);
            }
        }
    }
    sqlite3_finalize(s);
    return rc;
}

static int verify_rows(struct walk *w, struct diags *d)
{
    struct ledger *l = w->l;
    int rc = sqlite3_prepare_v2(l->db,
                                "SELECT 1 FROM entry WHERE kind = ?1 AND id = ?2 AND seq < ?3 AND "
                                "action <> 'audit' LIMIT 1",
                                -1, &w->first, NULL);
    if (rc == SQLITE_OK)
        rc =
            sqlite3_prepare_v2(l->db,
                               "SELECT seq FROM entry WHERE kind = ?1 AND id = ?2 AND seq < ?3 AND "
                               "action <> 'audit' ORDER BY seq DESC LIMIT 1",
                               -1, &w->target, NULL);
    if (rc != SQLITE_OK)
        ledger_error(l->path, l->db, rc, "verifying the book", d);
    else if (!ledger_history(l, NULL, NULL, verify_row, w, d))
        rc = SQLITE_ERROR;
    else if (w->rc != SQLITE_OK)
        ledger_error(l->path, l->db, rc = w->rc, "verifying the book", d);
    sqlite3_finalize(w->first);
    sqlite3_finalize(w->target);
    return rc;
}

static void judge_expected(struct walk *w)
{
    struct ledger_check *out = w->out;
    if (w->expect == NULL || !out->whole || out->expected_seq != 0)
        return;
    if (strncmp(out->head, w->expect, w->expect_len) == 0)
        return; /* an empty book, noted as empty */
    out->whole = false;
    snprintf(
        out->why, sizeof out->why,
        "no entry carries the noted hash: entries were cut off or rewritten since it was noted");
}

bool ledger_verify(struct ledger *l, const char *expect, struct ledger_check *out, struct diags *d)
{
    char digits[SHA256_HEX + 1];
    struct walk w = {.l = l, .out = out, .rc = SQLITE_OK};
    *out = (struct ledger_check){.whole = true};
    memcpy(out->head, ledger_genesis, sizeof out->head);
    if (expect != NULL) {
        if (!read_expected(expect, digits, &w.expect_len)) {
            diags_add(
                d, DIAG_FATAL, "bad-hash", NULL, 0, 0,
                "type the hash that 'lotward book verify' printed, at least its first 16 digits",
                "not a noted hash: '%s'", expect);
            return false;
        }
        w.expect = digits;
    }
    /* One snapshot for both checks. */
    if (!ledger_exec(l, "BEGIN", "verifying the book", d))
        return false;
    int rc = file_whole(l, out);
    if (rc == SQLITE_CORRUPT || rc == SQLITE_NOTADB) {
        out->whole = false;
        snprintf(out->why, sizeof out->why, "the file is damaged or cut short");
        rc = SQLITE_OK;
    } else if (rc != SQLITE_OK) {
        ledger_error(l->path, l->db, rc, "verifying the book", d);
    }
    if (rc == SQLITE_OK && out->whole)
        rc = verify_rows(&w, d);
    (void)sqlite3_exec(l->db, "COMMIT", NULL, NULL, NULL);
    if (rc == SQLITE_OK)
        judge_expected(&w);
    return rc == SQLITE_OK;
}
