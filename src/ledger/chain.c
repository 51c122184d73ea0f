/* chain.c - one row's hash, and how a row hangs on the row before. */
#include "text/base.h"

#include "ledger/private.h"

#define CHAIN_TAG "lotward-entry-1\n"

const char ledger_genesis[SHA256_HEX + 1] =
    "0000000000000000000000000000000000000000000000000000000000000000";

/* Length first, so that no two rows can be written the same: moving a byte from one column to the
 * next changes the text. */
static void add_text(struct sha256 *h, const char *text)
{
    char length[24];
    if (text == NULL) {
        sha256_add(h, "-,", 2);
        return;
    }
    size_t n = strlen(text);
    int k = snprintf(length, sizeof length, "%zu:", n);
    sha256_add(h, length, (size_t)k);
    sha256_add(h, text, n);
    sha256_add(h, ",", 1);
}

static void add_number(struct sha256 *h, long long n, bool given)
{
    char digits[24];
    snprintf(digits, sizeof digits, "%lld", n);
    add_text(h, given ? digits : NULL);
}

void ledger_hash(const struct ledger_entry *e, char out[SHA256_HEX + 1])
{
    struct sha256 h;
    unsigned char digest[SHA256_BYTES];
    sha256_init(&h);
    sha256_add(&h, CHAIN_TAG, sizeof CHAIN_TAG - 1);
    add_text(&h, e->prev);
    add_number(&h, e->seq, true);
    add_text(&h, e->filed);
    add_text(&h, e->kind);
    add_text(&h, e->id);
    add_text(&h, e->action);
    add_number(&h, e->amends, e->amends != 0);
    add_text(&h, e->who);
    add_text(&h, e->why);
    add_text(&h, e->source_file);
    add_number(&h, e->source_line, e->source_line != 0);
    add_text(&h, e->xml);
    sha256_end(&h, digest);
    sha256_hex(digest, out);
}

/* A number column: 0 stands for NULL, so that a stored 0 must not read as one. */
static long long number_column(sqlite3_stmt *s, int i)
{
    long long n = sqlite3_column_int64(s, i);
    return n == 0 && sqlite3_column_type(s, i) != SQLITE_NULL ? -1 : n;
}

bool ledger_row(sqlite3_stmt *s, struct ledger_entry *e)
{
    static const int texts[] = {1, 2, 3, 4, 6, 7, 8, 10, 11, 12};
    const char **into[] = {&e->filed, &e->kind,        &e->id,  &e->action, &e->who,
                           &e->why,   &e->source_file, &e->xml, &e->prev,   &e->hash};
    for (size_t i = 0; i < LW_COUNT(texts); i++) {
        *into[i] = (const char *)sqlite3_column_text(s, texts[i]);
        if (*into[i] == NULL && sqlite3_column_type(s, texts[i]) != SQLITE_NULL)
            return false;
        /* A text with a NUL inside is nothing lotward wrote; empty, its hash cannot hold. */
        if (*into[i] != NULL && strlen(*into[i]) != (size_t)sqlite3_column_bytes(s, texts[i]))
            *into[i] = NULL;
    }
    e->seq = sqlite3_column_int64(s, 0);
    e->amends = number_column(s, 5);
    e->source_line = (long)number_column(s, 9);
    e->amended_by = sqlite3_column_int64(s, 13);
    return true;
}

const char *ledger_link_wrong(const struct ledger_entry *e, long long last_seq, const char *last)
{
    char hash[SHA256_HEX + 1];
    if (e->seq != last_seq + 1)
        return "one or more rows before it are gone";
    /* The table's NOT NULL holds only while SQLite keeps the file. */
    if (!e->filed || !e->kind || !e->id || !e->action || !e->xml || !e->prev || !e->hash)
        return "a column that must be filled is empty";
    if (strcmp(e->prev, last) != 0)
        return "it does not hang on the row before it";
    ledger_hash(e, hash);
    if (strcmp(hash, e->hash) != 0)
        return "its content was changed after it was filed";
    return NULL;
}
