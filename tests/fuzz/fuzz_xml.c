/* fuzz_xml.c - record files in XML.
 *
 * The first byte is the size of the pieces the text arrives in (0: at once). What must hold: the
 * pieces make no difference to what is read; the canonical text of a record that was taken is taken
 * again and is its own canonical text; messages cannot drive a terminal. */
#include "fuzz.h"

#include "record/reader.h"

static bool collect(struct record *r, const struct record_context *ctx, void *user)
{
    record_canonical_xml(r, ctx, user);
    record_free(r);
    return true;
}

static bool read_pieces(const char *text, size_t n, size_t piece, struct reader_counts *c,
                        struct sbuf *out, struct diags *d)
{
    struct xml_reader *x = xml_reader_new("input.xml", collect, out, c, d);
    fuzz_must(x != NULL, "memory");
    for (size_t at = 0; at < n; at += piece)
        if (!xml_reader_push(x, text + at, n - at < piece ? n - at : piece))
            break;
    bool whole = xml_reader_end(x);
    xml_reader_free(x);
    return whole;
}

static void read_again(const struct sbuf *canonical, unsigned long records)
{
    struct sbuf doc = SBUF_INIT, again = SBUF_INIT;
    struct reader_counts c = {0};
    struct diags *d = diags_new();
    sbuf_printf(&doc, "<records>%s</records>", canonical->s);
    fuzz_must(!doc.failed && d, "memory");
    fuzz_must(reader_xml("again.xml", doc.s, doc.len, collect, &again, &c, d),
              "canonical text can be read");
    fuzz_must(c.refused == 0 && c.read == records && c.whole, "canonical text is taken");
    fuzz_must(diags_count_level(d, DIAG_ERROR) == 0, "canonical text has no errors");
    fuzz_must(strcmp(again.s, canonical->s) == 0, "canonical text is its own canonical text");
    diags_free(d);
    sbuf_free(&doc);
    sbuf_free(&again);
}

int LLVMFuzzerTestOneInput(const uint8_t *p, size_t n)
{
    if (n < 2)
        return 0;
    const char *text = (const char *)p + 1;
    struct sbuf one = SBUF_INIT, two = SBUF_INIT;
    struct reader_counts a = {0}, b = {0};
    struct diags *d = diags_new(), *e = diags_new();
    fuzz_must(d && e, "memory");
    bool whole = read_pieces(text, n - 1, n, &a, &one, d);
    fuzz_check_diags(d);
    fuzz_must(whole == a.whole, "whole is said alike");
    fuzz_must(whole || diags_count(d) > 0, "a file not read to its end is told");
    fuzz_must(a.refused == 0 || diags_count_level(d, DIAG_ERROR) > 0, "a refused record is told");
    if (p[0] > 0) {
        (void)read_pieces(text, n - 1, p[0], &b, &two, e);
        fuzz_must(a.read == b.read && a.refused == b.refused && a.whole == b.whole,
                  "pieces make no difference to the counts");
        fuzz_must(strcmp(one.s, two.s) == 0, "pieces make no difference to the records");
    }
    if (a.read > 0)
        read_again(&one, a.read);
    diags_free(d);
    diags_free(e);
    sbuf_free(&one);
    sbuf_free(&two);
    return 0;
}
