/* Every allocation of every ledger operation failed, once and from then on: SQLite's and libxml2's
 * too. The operation says so or succeeds, and the book is the old one or the new one. */
#include "ledger_support.h"

typedef bool operation(void);

static bool filing(void)
{
    struct ledger_stamp s = stamp(LEDGER_FILE);
    struct ledger_item items[3] = {
        {.ctx = RECORD_CANONICAL}, {.ctx = RECORD_CANONICAL}, {.ctx = RECORD_CANONICAL}};
    static const char *const ids[] = {"R-1", "N-1", "N-2"};
    bool ok = true;
    struct ledger *l = NULL;
    for (size_t i = 0; ok && i < 3; i++) {
        struct record *r = record_new(dict_find("receipt"), "records.xml", 7);
        ok = r != NULL && record_set(r, "id", ids[i]) && record_set(r, "material", "tolu-balsam") &&
             record_set(r, "quantity", "400 g");
        items[i].record = r;
    }
    if (!ok)
        diags_out_of_memory(said);
    else
        l = ledger_open(book, LEDGER_WRITE, said);
    ok = ok && l != NULL && ledger_append(l, &s, items, 3, said);
    ledger_close(l);
    for (size_t i = 0; i < 3; i++)
        record_free((struct record *)(uintptr_t)items[i].record);
    return ok;
}

static bool amending(void)
{
    struct ledger_stamp s = stamp(LEDGER_AMEND);
    struct ledger_item item = {.ctx = RECORD_CANONICAL};
    struct record *r = record_new(dict_find("receipt"), "records.xml", 7);
    bool ok = r != NULL && record_set(r, "id", "R-1") && record_set(r, "quantity", "450 g") &&
              record_set(r, "material", "tolu-balsam");
    struct ledger *l = NULL;
    item.record = r;
    if (!ok)
        diags_out_of_memory(said);
    else
        l = ledger_open(book, LEDGER_WRITE, said);
    ok = ok && l != NULL && ledger_append(l, &s, &item, 1, said);
    ledger_close(l);
    record_free(r);
    return ok;
}

/* Refused with all its explanations. */
static bool refusing(void)
{
    struct ledger_stamp s = stamp(LEDGER_FILE);
    struct ledger_item item = {.ctx = RECORD_CANONICAL};
    struct record *r = record_new(dict_find("receipt"), "records.xml", 7);
    bool ok = r != NULL && record_set(r, "id", "R-2") && record_set(r, "quantity", "450 g") &&
              record_set(r, "material", "tolu-balsam");
    struct ledger *l = NULL;
    item.record = r;
    if (!ok)
        diags_out_of_memory(said);
    else
        l = ledger_open(book, LEDGER_WRITE, said);
    ok = ok && l != NULL && !ledger_append(l, &s, &item, 1, said) &&
         item.outcome == LEDGER_CHANGED && !diags_oom(said);
    ledger_close(l);
    record_free(r);
    return ok;
}

static bool count_sink(struct record *r, const struct record_context *ctx, void *user)
{
    (void)ctx;
    ++*(int *)user;
    record_free(r);
    return true;
}

static bool loading(void)
{
    struct ledger_load_counts counts;
    int n = 0;
    struct ledger *l = ledger_open(book, LEDGER_READ, said);
    bool ok = l != NULL && ledger_load(l, count_sink, &n, &counts, said);
    ledger_close(l);
    /* Never a silent part of the book. */
    ck_assert(!ok || (n == 20 && counts.refused == 0));
    return ok;
}

static bool verifying(void)
{
    struct ledger_check c = {0};
    struct ledger *l = ledger_open(book, LEDGER_READ, said);
    bool ok = l != NULL && ledger_verify(l, NULL, &c, said);
    ledger_close(l);
    ck_assert_msg(!ok || c.whole, "lack of memory taken for a broken book: %s", c.why);
    return ok;
}

static bool making(void)
{
    char path[160];
    snprintf(path, sizeof path, "%s/new", folder);
    struct ledger *l = ledger_open(path, LEDGER_CREATE, said);
    ledger_close(l);
    if (access(path, F_OK) == 0)
        ck_assert_int_eq(remove(path), 0);
    return l != NULL;
}

static bool backing_up(void)
{
    char path[160];
    struct ledger_check c;
    snprintf(path, sizeof path, "%s/copy", folder);
    struct ledger *l = ledger_open(book, LEDGER_READ, said);
    bool ok = l != NULL && ledger_backup(l, path, &c, said);
    ledger_close(l);
    ck_assert(ok == (access(path, F_OK) == 0));
    if (ok)
        ck_assert_int_eq(remove(path), 0);
    return ok;
}

static struct sbuf pristine = SBUF_INIT; /* the bytes of a book of 20 */

static void read_pristine(void)
{
    fresh();
    make_book(20);
    FILE *f = fopen(book, "rb");
    ck_assert_ptr_nonnull(f);
    for (int c = fgetc(f); c != EOF; c = fgetc(f))
        sbuf_putc(&pristine, (char)c);
    ck_assert_int_eq(fclose(f), 0);
    TIDY("book.lotward");
}

/* Runs `op` on a fresh book of 20 with the n-th allocation failing, for every n until none fails;
 * without LW_THOROUGH for every n at first, then for every STRIDE-th. */
static void exhaust(operation *op, int sticky)
{
    enum { DENSE = 30, STRIDE = 37 };
    bool failed_at_all = false;
    bool thorough = getenv("LW_THOROUGH") != NULL;
    for (unsigned long n = 1;; n += thorough || n < DENSE ? 1 : STRIDE) {
        fresh();
        write_bytes(book, pristine.s, pristine.len);
        mem_fail_at(n, sticky);
        bool ok = op();
        unsigned long used = mem_count();
        mem_fail_at(0, 0);
        if (!ok) {
            failed_at_all = true;
            ck_assert_msg(diags_count_level(said, DIAG_ERROR) > 0 || diags_oom(said),
                          "allocation %lu failed and nothing was said", n);
        }
        struct ledger_check c = verify(NULL);
        ck_assert_msg(c.whole, "allocation %lu: %s", n, c.why);
        if (op == filing)
            ck_assert_int_eq(c.entries, ok ? 22 : 20);
        else if (op == amending)
            ck_assert_int_eq(c.entries, ok ? 21 : 20);
        else
            ck_assert_int_eq(c.entries, 20);
        TIDY("book.lotward");
        if (used < n) {
            ck_assert_msg(ok, "failed without an allocation failing");
            break;
        }
    }
    ck_assert(failed_at_all);
}

static operation *const operations[] = {filing,    amending, refusing,  loading,
                                        verifying, making,   backing_up};

START_TEST(one_failure)
{
    read_pristine();
    for (size_t i = 0; i < LW_COUNT(operations); i++)
        exhaust(operations[i], 0);
}
END_TEST

START_TEST(failures_from_then_on)
{
    for (size_t i = 0; i < LW_COUNT(operations); i++)
        exhaust(operations[i], 1);
    sbuf_free(&pristine);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {one_failure, failures_from_then_on};
    if (mem_install() != 0)
        return EXIT_FAILURE;
    return unit_run("ledger/alloc", tests, LW_COUNT(tests));
}
