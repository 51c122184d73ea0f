/* A book of 10,000 lots: every lot leads forward to its ends and back again; what does not add up
 * is told; and what a trace costs. */
#include "unit.h"

#include "record_support.h"

#include "record/trace.h"
#include "text/sbuf.h"

#include <time.h>

enum { LOTS = 10000, RECEIPTS = 1000, DRUMS = 200, SALES = 6000, BUYERS = 150, SUPPLIERS = 20 };

static struct feed book;
static struct tracer *tracer;

static uint32_t state = 20261125;

/* xorshift, so that the book is the same everywhere. */
static unsigned pick(unsigned n)
{
    state ^= state << 13;
    state ^= state >> 17;
    state ^= state << 5;
    return state % n;
}

static void put_receipts(struct sbuf *b)
{
    for (unsigned i = 0; i < RECEIPTS; i++)
        sbuf_printf(
            b,
            "<document id=\"D%u\" kind=\"commercial-invoice\"/><receipt id=\"R%u\" "
            "date=\"2025-01-%02u\""
            " kind=\"material\" quantity=\"10 kg\" supplier=\"S%u\" documents=\"D%u P%u\"/>",
            i, i, 1 + i % 28, pick(SUPPLIERS), i, i / 10);
    for (unsigned i = 0; i < RECEIPTS / 10; i++)
        sbuf_printf(b, "<document id=\"P%u\" kind=\"cites-export-permit\"/>", i);
    for (unsigned i = 0; i < DRUMS; i++)
        sbuf_printf(b, "<receipt id=\"E%u\" kind=\"solvent\" quantity=\"200 L\" supplier=\"S0\"/>",
                    i);
}

static void put_lots(struct sbuf *b)
{
    for (unsigned i = 0; i < LOTS; i++) {
        sbuf_printf(b, "<batch id=\"L%u\" state=\"released\" start=\"2025-02-01\">", i);
        sbuf_printf(
            b,
            "<charge receipt=\"R%u\" quantity=\"40 g\"/><charge receipt=\"E%u\" quantity=\"1 L\"/>",
            pick(RECEIPTS), i / (LOTS / DRUMS));
        if (i % 7 == 3) /* made on from an earlier lot */
            sbuf_printf(b, "<charge from-batch=\"L%u\" quantity=\"50 mL\"/>",
                        i - 1 - pick(i < 50 ? i : 50));
        sbuf_puts(b, "<yield stage=\"bottled\" bottles=\"900\" bottle-size=\"30 mL\"/></batch>");
    }
}

static void put_sales(struct sbuf *b)
{
    for (unsigned i = 0; i < SALES; i++) {
        sbuf_printf(b, "<sale id=\"X%u\" date=\"2025-06-01\" buyer=\"B%u\" to=\"US\">", i,
                    pick(BUYERS));
        /* The first line walks through all lots, so that each is sold. */
        sbuf_printf(b, "<line batch=\"L%u\" bottles=\"3\" bottle-size=\"30 mL\"/>", i);
        sbuf_printf(b, "<line batch=\"L%u\" bottles=\"2\" bottle-size=\"30 mL\"/></sale>",
                    i < LOTS - SALES ? SALES + i : pick(LOTS));
    }
}

static void open_book(void)
{
    struct sbuf b = SBUF_INIT;

    if (tracer != NULL)
        return;
    book = feed_new();
    sbuf_puts(&b, "<records>");
    for (unsigned i = 0; i < SUPPLIERS; i++)
        sbuf_printf(&b, "<party id=\"S%u\" role=\"supplier\"/>", i);
    for (unsigned i = 0; i < BUYERS; i++)
        sbuf_printf(&b, "<party id=\"B%u\" role=\"buyer\"/>", i);
    put_receipts(&b);
    put_lots(&b);
    put_sales(&b);
    sbuf_puts(&b, "</records>");
    ck_assert(!b.failed && feed_xml_n(&book, b.s, b.len));
    ck_assert_uint_eq(book.counts.refused, 0);
    ck_assert(store_finish(book.s, book.d));
    tracer = tracer_new(book.s, book.d);
    ck_assert_ptr_nonnull(tracer);
    sbuf_free(&b);
}

static struct trace follow(const char *id, enum trace_kind kind, int direction)
{
    struct trace t;

    ck_assert_msg(trace_build(tracer, id, 1 << kind, direction, &t, book.d), "%s", id);
    return t;
}

START_TEST(forward_then_back_returns)
{
    open_book();
    for (unsigned i = 0; i < LOTS; i++) {
        char lot[16];
        struct trace out;
        size_t ends = 0;

        snprintf(lot, sizeof lot, "L%u", i);
        out = follow(lot, TRACE_BATCH, TRACE_FORWARD);
        for (size_t k = 0; k < out.node_count && ends < 1; k++) {
            struct trace back;

            if (out.nodes[k].kind != TRACE_SALE)
                continue;
            ends++;
            back = follow(out.nodes[k].id, TRACE_SALE, TRACE_BACK);
            ck_assert_msg(trace_find(&back, TRACE_BATCH, lot) < back.node_count,
                          "%s is not behind %s", lot, out.nodes[k].id);
            trace_free(&back);
        }
        ck_assert_msg(ends > 0, "%s leads to no sale", lot);
        trace_free(&out);
    }
}
END_TEST

START_TEST(back_then_forward_returns)
{
    open_book();
    for (unsigned i = 0; i < LOTS; i += 997) {
        char lot[16];
        struct trace back;

        snprintf(lot, sizeof lot, "L%u", i);
        back = follow(lot, TRACE_BATCH, TRACE_BACK);
        for (size_t k = 0; k < back.node_count; k++) {
            struct trace out;

            if (back.nodes[k].kind == TRACE_SUPPLIER)
                continue; /* its forward graph is a twentieth of the book; looked at below */
            out = follow(back.nodes[k].id, back.nodes[k].kind, TRACE_FORWARD);
            ck_assert_msg(trace_find(&out, TRACE_BATCH, lot) < out.node_count,
                          "%s does not lead to %s", back.nodes[k].id, lot);
            trace_free(&out);
        }
        trace_free(&back);
    }
}
END_TEST

/* Edges point from an earlier level to a later one, and every node but the starts hangs on an edge.
 */
START_TEST(graph_is_sound)
{
    struct trace t;
    bool *touched;

    open_book();
    t = follow("S3", TRACE_SUPPLIER, TRACE_FORWARD);
    touched = calloc(t.node_count, sizeof *touched);
    ck_assert_ptr_nonnull(touched);
    ck_assert_uint_gt(t.node_count, 100);
    for (size_t i = 0; i < t.edge_count; i++) {
        ck_assert_int_lt(t.nodes[t.edges[i].from].level, t.nodes[t.edges[i].to].level);
        touched[t.edges[i].from] = touched[t.edges[i].to] = true;
    }
    for (size_t i = 0; i < t.node_count; i++) {
        size_t out = 0;

        ck_assert(touched[i]);
        for (size_t e = t.first_out[i]; e < t.edge_count; e = t.next_out[e]) {
            ck_assert_uint_eq(t.edges[e].from, i);
            out++;
        }
        ck_assert(out > 0 || t.nodes[i].kind == TRACE_BUYER || t.nodes[i].kind == TRACE_BATCH ||
                  t.nodes[i].kind == TRACE_RECEIPT);
    }
    free(touched);
    trace_free(&t);
}
END_TEST

/* The bar of the design: 20 ms a trace on this book, both ways. Measured in time of the processor.
 */
START_TEST(cost_of_a_trace)
{
    enum { TRACES = 500, MOST_MS = 20 };
    clock_t start;
    double ms;

    open_book();
    start = clock();
    for (unsigned i = 0; i < TRACES; i++) {
        char lot[16];
        struct trace t;

        snprintf(lot, sizeof lot, "L%u", pick(LOTS));
        t = follow(lot, TRACE_BATCH, TRACE_BACK | TRACE_FORWARD);
        trace_free(&t);
    }
    ms = (double)(clock() - start) * 1000.0 / CLOCKS_PER_SEC / TRACES;
    printf("trace: %.3f ms each over %d lots\n", ms, LOTS);
    ck_assert_double_lt(ms, MOST_MS);
}
END_TEST

START_TEST(what_does_not_add_up)
{
    struct feed f = feed_new();
    struct tracer *r;
    struct trace t;

    ck_assert(feed_xml(
        &f,
        "<records><receipt id=\"R\" quantity=\"10 g\" documents=\"D9\"/>"
        "<batch id=\"L\" state=\"bottled\"><charge receipt=\"R\" quantity=\"11 g\"/>"
        "<yield stage=\"bottled\" bottles=\"3\" bottle-size=\"30 mL\"/></batch>"
        "<batch id=\"V\" state=\"void\"><charge receipt=\"R\" quantity=\"5 g\"/></batch>"
        "<sale id=\"X\" buyer=\"B\"><line batch=\"L\" bottles=\"4\" bottle-size=\"30 mL\"/></sale>"
        "<party id=\"B\" name=\"The buyer\"/></records>"));
    ck_assert(store_finish(f.s, f.d));
    r = tracer_new(f.s, f.d);
    ck_assert(trace_build(r, "L", 1 << TRACE_BATCH, TRACE_BACK | TRACE_FORWARD, &t, f.d));
    ck_assert_str_eq(t.nodes[trace_find(&t, TRACE_RECEIPT, "R")].trouble,
                     "1 g more went out than came in");
    ck_assert_str_eq(t.nodes[trace_find(&t, TRACE_BATCH, "L")].trouble,
                     "0.03 L more went out than was bottled");
    ck_assert(t.nodes[trace_find(&t, TRACE_DOCUMENT, "D9")].missing);
    ck_assert_str_eq(t.nodes[trace_find(&t, TRACE_BUYER, "B")].name, "The buyer");
    trace_free(&t);
    ck_assert_int_eq(trace_kinds_of(f.s, "nobody"), 0);
    tracer_free(r);
    feed_free(&f);
}
END_TEST

/* Records that name one another in a circle end. */
START_TEST(a_circle_ends)
{
    struct feed f = feed_new();
    struct tracer *r;
    struct trace t;

    ck_assert(feed_xml(
        &f, "<records><batch id=\"A\"><charge from-batch=\"B\" quantity=\"1 mL\"/></batch>"
            "<batch id=\"B\"><charge from-batch=\"A\" quantity=\"1 mL\"/></batch>"
            "<batch id=\"C\"><charge from-batch=\"C\" quantity=\"1 mL\"/></batch></records>"));
    ck_assert(store_finish(f.s, f.d));
    r = tracer_new(f.s, f.d);
    ck_assert(trace_build(r, "A", 1 << TRACE_BATCH, TRACE_BACK | TRACE_FORWARD, &t, f.d));
    ck_assert_uint_eq(t.node_count, 2);
    trace_free(&t);
    ck_assert(trace_build(r, "C", 1 << TRACE_BATCH, TRACE_BACK | TRACE_FORWARD, &t, f.d));
    ck_assert_uint_eq(t.node_count, 1);
    trace_free(&t);
    tracer_free(r);
    feed_free(&f);
}
END_TEST

/* Whichever allocation fails, the trace says so and gives everything back. */
START_TEST(out_of_memory)
{
    struct trace t;
    unsigned long n = 0;
    bool ok = false;

    open_book();
    for (n = 1; !ok && n < 10000; n++) {
        struct diags *d = diags_new();

        mem_fail_at(n, 1);
        ok = trace_build(tracer, "L17", 1 << TRACE_BATCH, TRACE_BACK | TRACE_FORWARD, &t, d);
        mem_fail_at(0, 0);
        if (ok)
            ck_assert_uint_gt(t.node_count, 5);
        trace_free(&t);
        diags_free(d);
    }
    ck_assert(ok);
    ck_assert_uint_gt(n, 20);
}
END_TEST

UNIT_MAIN("trace", forward_then_back_returns, back_then_forward_returns, graph_is_sound,
          cost_of_a_trace, what_does_not_add_up, a_circle_ends, out_of_memory)
