/* Every allocation of reading, keeping and exporting failed, once and from then on, SQLite's and
 * libxml2's too: the records come out whole, or the list of diagnostics says that memory ran out.
 * A sample of them, unless LW_EVERY_ALLOCATION is set (a few minutes). */
#include "unit.h"

#include "record_support.h"

static const char xml[] =
    "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<records units=\"us\">\n"
    "<place id=\"bench\" note=\"a &amp; b\"/><document id=\"D-1\"/>\n"
    "<receipt id=\"R-1\" quantity=\"1 kg\" documents=\"D-1\" place=\"bench\" "
    "date=\"2026-01-05\"/>\n"
    "<batch id=\"B-1\" ratio=\"1:10\" fill=\"2 qt\"><charge receipt=\"R-1\" quantity=\"100 g\"/>"
    "<step kind=\"shake\" date=\"2026-01-07 08:00\" place=\"bench\"/></batch>\n"
    "<batch id=\"B-1\" ratio=\"1:10\" fill=\"2 qt\"><charge receipt=\"R-1\" quantity=\"100 g\"/>"
    "<step kind=\"shake\" date=\"2026-01-07 08:00\" place=\"bench\"/></batch>\n"
    "</records>\n";
static const char csv[] = "batch,material,quantity\nB-1,orris,\"4,5 g\"\n";
static const char want[] =
    "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<records>\n"
    "<place id=\"bench\" note=\"a &amp; b\"/>\n<document id=\"D-1\"/>\n"
    "<receipt id=\"R-1\" date=\"2026-01-05\" quantity=\"1 kg\" place=\"bench\" "
    "documents=\"D-1\"/>\n"
    "<batch id=\"B-1\" ratio=\"1:10\" fill=\"2 qt-us\"><charge receipt=\"R-1\" quantity=\"100 g\"/>"
    "<step kind=\"shake\" date=\"2026-01-07T08:00\" place=\"bench\"/>"
    "<charge material=\"orris\" quantity=\"4.5 g\"/></batch>\n</records>\n";

/* Bad records and their messages. */
static const char bad[] = "<records><place id=\"q\" in=\"bnech\" nmae=\"x\"/><plaice/>\n"
                          "<place id=\"bench\"/><place id=\"x y\">t</place></records>";

enum { SAMPLE = 211 }; /* prime, so that no loop of SQLite's is always met at the same place */

struct result {
    bool told;  /* memory ran out, and it was said */
    bool whole; /* every step succeeded */
    struct sbuf text;
};

static struct result run(void)
{
    struct result r = {false, false, SBUF_INIT};
    struct reader_counts counts = {0, 0, false};
    struct diags *d = diags_new();
    struct store *s = d != NULL ? store_new(d) : NULL;

    r.whole = s != NULL && reader_xml("a.xml", xml, sizeof xml - 1, store_sink, s, &counts, d) &&
              counts.whole;
    r.whole = r.whole && reader_csv("charge.csv", csv, sizeof csv - 1, store_sink, s, &counts, d) &&
              counts.whole;
    r.whole = r.whole && store_finish(s, d) && export_xml(s, NULL, feed_append, &r.text);
    if (r.whole) {
        (void)reader_xml("b.xml", bad, sizeof bad - 1, store_sink, s, &counts, d);
    }
    r.told = d == NULL || diags_oom(d) || diags_count_level(d, DIAG_FATAL) > 0;
    store_free(s);
    diags_free(d);
    return r;
}

/* Allocations up to this one make the empty tables: a sample of them is enough. */
static unsigned long opening(void)
{
    struct diags *d = diags_new();
    struct store *s = NULL;

    mem_fail_at(0, 0);
    s = store_new(d);
    ck_assert_ptr_nonnull(s);
    store_free(s);
    diags_free(d);
    return mem_count();
}

static void fail_each(int sticky, unsigned long step)
{
    struct result r;
    unsigned long total = 0;
    unsigned long made = opening();

    if (getenv("LW_EVERY_ALLOCATION") != NULL) {
        step = 1;
        made = 0;
    }

    mem_fail_at(0, 0);
    r = run();
    total = mem_count();
    ck_assert(r.whole && !r.told);
    ck_assert_str_eq(r.text.s, want);
    sbuf_free(&r.text);
    ck_assert_uint_gt(total, 500);
    for (unsigned long n = 1; n <= total; n += n < made ? SAMPLE : step) {
        mem_fail_at(n, sticky);
        r = run();
        mem_fail_at(0, 0);
        bool good = r.whole && !r.text.failed && strcmp(r.text.s, want) == 0;
        ck_assert_msg(good || r.told || r.text.failed,
                      "allocation %lu of %lu%s: lost in silence:\n%s", n, total,
                      sticky ? " and all after it" : "", r.text.s);
        sbuf_free(&r.text);
    }
}

START_TEST(one_allocation_fails)
{
    fail_each(0, 5);
}
END_TEST

START_TEST(all_allocations_from_one_on_fail)
{
    fail_each(1, 23);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {one_allocation_fails, all_allocations_from_one_on_fail};

    return mem_install() != 0 ? EXIT_FAILURE : unit_run("record alloc", tests, LW_COUNT(tests));
}
