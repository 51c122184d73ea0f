/* read.c - questions: history, the versions in force, and loading them as records. */
#include "text/base.h"

#include "ledger/private.h"
#include "record/reader.h"
#include "text/mem.h"

/* Rows are parsed together, many to one XML document, for the speed of it. */
#define BATCH_BYTES ((size_t)256 * 1024)
#define BATCH_ROWS  ((size_t)1024)

static bool walk(struct ledger *l, const char *sql, const char *kind, const char *id,
                 ledger_each *each, void *user, struct diags *d)
{
    sqlite3_stmt *s = NULL;
    struct ledger_entry e;
    if (!ledger_prepare(l, sql, &s, d))
        return false;
    int rc = SQLITE_OK;
    if (kind != NULL)
        rc = sqlite3_bind_text(s, 1, kind, -1, SQLITE_STATIC);
    if (rc == SQLITE_OK && id != NULL)
        rc = sqlite3_bind_text(s, 2, id, -1, SQLITE_STATIC);
    while (rc == SQLITE_OK || rc == SQLITE_ROW) {
        rc = sqlite3_step(s);
        if (rc != SQLITE_ROW)
            break;
        if (!ledger_row(s, &e))
            rc = SQLITE_NOMEM;
        else if (!each(&e, user))
            rc = SQLITE_DONE;
    }
    if (rc != SQLITE_DONE)
        ledger_error(l->path, l->db, rc, "reading the book", d);
    sqlite3_finalize(s);
    return rc == SQLITE_DONE;
}

bool ledger_history(struct ledger *l, const char *kind, const char *id, ledger_each *each,
                    void *user, struct diags *d)
{
    /* One text each, so that the index on (kind, id) serves whenever it can. */
    static const char all[] = "SELECT " LEDGER_ROW " FROM entry e ORDER BY e.seq";
    static const char of_kind[] =
        "SELECT " LEDGER_ROW " FROM entry e WHERE +e.kind = ?1 ORDER BY e.seq";
    static const char of_record[] =
        "SELECT " LEDGER_ROW " FROM entry e WHERE e.kind = ?1 AND e.id = ?2 ORDER BY e.seq";
    static const char of_id[] = "SELECT " LEDGER_ROW " FROM entry e WHERE e.id = ?2 ORDER BY e.seq";
    const char *sql = kind != NULL ? (id != NULL ? of_record : of_kind) : id != NULL ? of_id : all;
    return walk(l, sql, kind, id, each, user, d);
}

bool ledger_current(struct ledger *l, ledger_each *each, void *user, struct diags *d)
{
    return walk(l,
                "SELECT " LEDGER_ROW " FROM entry e WHERE e.action <> 'audit' AND NOT EXISTS "
                "(SELECT 1 FROM entry a WHERE a.amends = e.seq) ORDER BY e.seq",
                NULL, NULL, each, user, d);
}

/* One row waiting to be parsed. */
struct waiting {
    long first_line; /* in the batch's text */
    long long seq;
    bool seen; /* a record came out of it */
    char *kind, *id;
};

struct load {
    struct ledger *l;
    record_sink *sink;
    void *user;
    struct ledger_load_counts *counts;
    struct diags *d;
    struct sbuf text;
    long line; /* of the next byte of text */
    struct waiting rows[BATCH_ROWS];
    size_t row_count;
    long long last_seq;
    char last[SHA256_HEX + 1];
    long long *amended; /* rows that are no longer in force, ascending */
    size_t amended_count, amended_cap;
    bool broken, failed, stopped;
};

static int by_seq(const void *a, const void *b)
{
    long long x = *(const long long *)a, y = *(const long long *)b;
    return x < y ? -1 : x > y;
}

static bool is_amended(const struct load *ld, long long seq)
{
    return ld->amended_count > 0 &&
           bsearch(&seq, ld->amended, ld->amended_count, sizeof seq, by_seq) != NULL;
}

/* From the rows themselves, which the chain holds: an index is no part of it, and one that was
 * tampered with could bring an amended version back. */
static bool find_amended(struct load *ld)
{
    sqlite3_stmt *s = NULL;
    if (!ledger_prepare(ld->l, "SELECT amends FROM entry NOT INDEXED WHERE amends IS NOT NULL", &s,
                        ld->d))
        return false;
    int rc = SQLITE_ROW;
    while (rc == SQLITE_ROW && (rc = sqlite3_step(s)) == SQLITE_ROW) {
        void *p =
            mem_grow(ld->amended, &ld->amended_cap, ld->amended_count + 1, sizeof *ld->amended);
        if (p == NULL) {
            rc = SQLITE_NOMEM;
            break;
        }
        ld->amended = p;
        ld->amended[ld->amended_count++] = sqlite3_column_int64(s, 0);
    }
    if (rc != SQLITE_DONE)
        ledger_error(ld->l->path, ld->l->db, rc, "reading the book", ld->d);
    sqlite3_finalize(s);
    if (ld->amended_count > 1)
        qsort(ld->amended, ld->amended_count, sizeof *ld->amended, by_seq);
    return rc == SQLITE_DONE;
}

/* The row whose text holds this line of the batch; NULL: none. */
static struct waiting *row_at(struct load *ld, long line)
{
    size_t lo = 0, hi = ld->row_count;
    while (lo < hi) {
        size_t mid = lo + (hi - lo) / 2;
        if (ld->rows[mid].first_line <= line)
            lo = mid + 1;
        else
            hi = mid;
    }
    return lo > 0 ? &ld->rows[lo - 1] : NULL;
}

static void set_line(struct record *r, long line)
{
    r->line = line;
    for (size_t i = 0; i < r->child_count; i++)
        set_line(r->children[i], line);
}

/* Gives the record its place in the book, when it is what its row says it is. */
static bool batch_sink(struct record *r, const struct record_context *ctx, void *user)
{
    struct load *ld = user;
    struct waiting *row = row_at(ld, r->line);
    const char *id = record_id(r);
    if (row == NULL || row->seen || strcmp(row->kind, r->element->name) != 0 || id == NULL ||
        strcmp(row->id, id) != 0) {
        diags_add(ld->d, DIAG_FATAL, "book-broken", ld->l->path, row ? (long)row->seq : 0, 0,
                  "see 'lotward book history'", "the entry's content is not the record it names");
        ld->broken = true;
        record_free(r);
        return true;
    }
    row->seen = true;
    set_line(r, (long)row->seq);
    ld->counts->records++;
    if (ld->sink(r, ctx, ld->user))
        return true;
    ld->stopped = true;
    return false;
}

/* The reader's words about the batch, said about the book's rows. */
static void retell(struct load *ld, const struct diags *from)
{
    for (size_t i = 0; i < diags_count(from); i++) {
        const struct diag *x = diags_at(from, i);
        const struct waiting *row = row_at(ld, x->line);
        diags_add(ld->d, x->level, x->code, ld->l->path, row ? (long)row->seq : 0, 0, x->hint, "%s",
                  x->message);
    }
    if (diags_oom(from))
        diags_out_of_memory(ld->d);
}

static void clear_batch(struct load *ld)
{
    for (size_t i = 0; i < ld->row_count; i++) {
        mem_free(ld->rows[i].kind);
        mem_free(ld->rows[i].id);
    }
    ld->row_count = 0;
    sbuf_clear(&ld->text);
    sbuf_puts(&ld->text, "<records>\n");
    ld->line = 2;
}

static void parse_batch(struct load *ld)
{
    struct reader_counts rc = {0};
    struct diags *heard = diags_new();
    sbuf_puts(&ld->text, "</records>\n");
    if (heard == NULL || ld->text.failed) {
        diags_out_of_memory(ld->d);
        ld->failed = true;
        goto out;
    }
    (void)reader_xml(ld->l->path, ld->text.s, ld->text.len, batch_sink, ld, &rc, heard);
    retell(ld, heard);
    if (diags_oom(heard))
        ld->failed = true;
    for (size_t i = 0; i < ld->row_count && !ld->stopped && !ld->failed; i++) {
        if (ld->rows[i].seen)
            continue;
        ld->counts->refused++;
        diags_add(ld->d, DIAG_ERROR, "book-unread", ld->l->path, (long)ld->rows[i].seq, 0,
                  "'lotward book history' shows it; amend it",
                  "%s '%s' could not be read from the book", ld->rows[i].kind, ld->rows[i].id);
    }
out:
    diags_free(heard);
    clear_batch(ld);
}

static bool add_to_batch(struct load *ld, const struct ledger_entry *e)
{
    struct waiting *row = &ld->rows[ld->row_count++];
    *row = (struct waiting){.first_line = ld->line,
                            .seq = e->seq,
                            .kind = mem_strdup(e->kind),
                            .id = mem_strdup(e->id)};
    if (row->kind == NULL || row->id == NULL) {
        diags_out_of_memory(ld->d);
        ld->failed = true;
        return false;
    }
    for (const char *p = strchr(e->xml, '\n'); p != NULL; p = strchr(p + 1, '\n'))
        ld->line++;
    sbuf_puts(&ld->text, e->xml);
    sbuf_putc(&ld->text, '\n');
    ld->line++;
    if (ld->text.len >= BATCH_BYTES || ld->row_count == BATCH_ROWS)
        parse_batch(ld);
    return !ld->stopped && !ld->failed;
}

static bool load_row(const struct ledger_entry *e, void *user)
{
    struct load *ld = user;
    const char *wrong = ledger_link_wrong(e, ld->last_seq, ld->last);
    ld->counts->rows++;
    if (wrong != NULL) {
        diags_add(ld->d, DIAG_FATAL, "book-broken", ld->l->path, (long)e->seq, 0,
                  "nothing in this book can be relied on from here; put back a backup",
                  "the book does not verify at entry %lld: %s", e->seq, wrong);
        ld->broken = true;
        return false;
    }
    ld->last_seq = e->seq;
    memcpy(ld->last, e->hash, sizeof ld->last);
    if (is_amended(ld, e->seq) || strcmp(e->action, "audit") == 0)
        return true;
    return add_to_batch(ld, e);
}

/* Rows lost to damage of the file, as against rows cut off by a hand that knows SQLite, are still
 * in the index; counting it costs little. */
static bool count_agrees(struct load *ld)
{
    sqlite3_stmt *s = NULL;
    if (!ledger_prepare(ld->l, "SELECT count(*) FROM entry INDEXED BY entry_record", &s, ld->d))
        return false;
    int rc = sqlite3_step(s);
    bool agrees = rc == SQLITE_ROW && sqlite3_column_int64(s, 0) == ld->last_seq;
    if (rc == SQLITE_ROW && !agrees)
        rc = SQLITE_CORRUPT;
    if (!agrees)
        ledger_error(ld->l->path, ld->l->db, rc, "reading the book", ld->d);
    sqlite3_finalize(s);
    return agrees;
}

bool ledger_load(struct ledger *l, record_sink *sink, void *user, struct ledger_load_counts *counts,
                 struct diags *d)
{
    struct ledger_load_counts mine = {0};
    struct load *ld = mem_calloc(1, sizeof *ld);
    if (ld == NULL) {
        diags_out_of_memory(d);
        return false;
    }
    *counts = mine;
    ld->l = l;
    ld->sink = sink;
    ld->user = user;
    ld->counts = counts;
    ld->d = d;
    ld->text = (struct sbuf)SBUF_INIT;
    memcpy(ld->last, ledger_genesis, sizeof ld->last);
    clear_batch(ld);
    bool begun = sqlite3_get_autocommit(l->db) != 0; /* one snapshot for both passes */
    bool ok = !begun || ledger_exec(l, "BEGIN", "reading the book", d);
    ok = ok && find_amended(ld) &&
         walk(l, "SELECT " LEDGER_STORED ", NULL FROM entry e NOT INDEXED ORDER BY e.seq", NULL,
              NULL, load_row, ld, d);
    ok = ok && (ld->broken || ld->failed || ld->stopped || count_agrees(ld));
    if (begun)
        (void)sqlite3_exec(l->db, "COMMIT", NULL, NULL, NULL);
    if (ok && !ld->broken && !ld->failed && !ld->stopped && ld->row_count > 0)
        parse_batch(ld);
    ok = ok && !ld->broken && !ld->failed;
    clear_batch(ld);
    sbuf_free(&ld->text);
    mem_free(ld->amended);
    mem_free(ld);
    return ok;
}
