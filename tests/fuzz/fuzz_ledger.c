/* fuzz_ledger.c - the bytes of a book's file: opened, loaded, verified, its history told.
 *
 * The first byte of the input says whether the rest is the whole file, or a list of patches to a
 * good book (a two-byte offset and a byte each), which gets past the header far more often. A book
 * that loads after patches must give the very records that it held at some time. */
#include "fuzz.h"

#include "ledger/ledger.h"
#include "text/mem.h"

static char book[256], patched[256];
enum { ROWS = 4 };
static struct sbuf good = SBUF_INIT;
static struct sbuf lists[ROWS + 1]; /* what the book gave after each row */

static bool list_sink(struct record *r, const struct record_context *ctx, void *user)
{
    record_canonical_xml(r, ctx, user);
    record_free(r);
    return true;
}

static bool skip_entry(const struct ledger_entry *e, void *user)
{
    size_t *bytes = user;
    *bytes += strlen(e->xml ? e->xml : "");
    return true;
}

static void must(bool ok)
{
    fuzz_must(ok, "see the line of the call");
}

static void make_good(void)
{
    struct ledger_load_counts counts;
    snprintf(book, sizeof book, "%s", fuzz_path("book"));
    snprintf(patched, sizeof patched, "%s", fuzz_path("patched"));
    struct ledger *l = ledger_open(book, LEDGER_CREATE, NULL);
    must(l != NULL);
    for (int i = 0; i <= ROWS; i++)
        lists[i] = (struct sbuf)SBUF_INIT;
    for (int i = 0; i < ROWS; i++) {
        struct ledger_stamp s = {.action = i == ROWS - 1 ? LEDGER_AMEND : LEDGER_FILE,
                                 .filed = "2026-03-04T12:00:00Z",
                                 .who = "a",
                                 .why = "b"};
        struct record *r = record_new(dict_find("person"), "f", i + 1);
        struct ledger_item item = {.record = r, .ctx = RECORD_CANONICAL};
        char id[2] = {(char)('a' + i % 3), '\0'}, name[2] = {(char)('p' + i), '\0'};
        must(record_set(r, "id", id) && record_set(r, "name", name));
        must(ledger_append(l, &s, &item, 1, NULL));
        record_free(r);
        must(ledger_load(l, list_sink, &lists[i + 1], &counts, NULL));
    }
    ledger_close(l);
    FILE *f = fopen(book, "rb");
    must(f != NULL);
    for (int c = fgetc(f); c != EOF; c = fgetc(f))
        sbuf_putc(&good, (char)c);
    must(fclose(f) == 0);
    (void)remove(book);
}

/* The chain cannot show that its end was cut off, only the noted head can; so what loads must be
 * what the book held at some time. */
static bool was_once(const char *list)
{
    for (int i = 0; i <= ROWS; i++)
        if (strcmp(list, lists[i].s) == 0)
            return true;
    return false;
}

static void look(bool patch)
{
    struct sbuf got = SBUF_INIT;
    struct ledger_load_counts counts;
    struct ledger_check c;
    size_t bytes = 0;
    struct diags *d = diags_new();
    struct ledger *l = ledger_open(patched, LEDGER_READ, d);
    if (l != NULL) {
        bool loaded = ledger_load(l, list_sink, &got, &counts, d);
        if (loaded && counts.refused == 0 && patch)
            must(was_once(got.s));
        (void)ledger_verify(l, NULL, &c, d);
        (void)ledger_history(l, NULL, NULL, skip_entry, &bytes, d);
        ledger_close(l);
    } else {
        must(diags_count(d) > 0);
    }
    diags_free(d);
    sbuf_free(&got);
}

int LLVMFuzzerTestOneInput(const uint8_t *p, size_t n)
{
    if (good.len == 0)
        make_good();
    if (n == 0)
        return 0;
    bool patch = (p[0] & 1) != 0;
    FILE *f = fopen(patched, "wb");
    must(f != NULL);
    if (patch) {
        char *copy = mem_alloc(good.len);
        must(copy != NULL);
        memcpy(copy, good.s, good.len);
        for (size_t i = 1; i + 2 < n; i += 3)
            copy[((size_t)p[i] << 8 | p[i + 1]) % good.len] = (char)p[i + 2];
        must(fwrite(copy, 1, good.len, f) == good.len);
        mem_free(copy);
    } else {
        must(fwrite(p + 1, 1, n - 1, f) == n - 1);
    }
    must(fclose(f) == 0);
    look(patch);
    (void)remove(patched);
    return 0;
}
