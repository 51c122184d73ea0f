/* fuzz_csv.c - record files as tables, with or without a map of the columns.
 *
 * The first byte picks the record kind the file is named after, the lowest bit of the second
 * whether a map stands in front of the table (up to an empty line). What must hold: a row that was
 * taken is taken again from its canonical XML; a cell guarded against spreadsheets comes back as it
 * was; messages cannot drive a terminal. */
#include "fuzz.h"

#include "record/csv_map.h"
#include "record/csv_split.h"
#include "record/reader.h"
#include "text/utf8.h"

static bool collect(struct record *r, const struct record_context *ctx, void *user)
{
    record_canonical_xml(r, ctx, user);
    record_free(r);
    return true;
}

static bool take(struct record *r, const struct record_context *ctx, void *user)
{
    struct sbuf one = SBUF_INIT, doc = SBUF_INIT, two = SBUF_INIT;
    struct reader_counts c = {0};
    (void)user;
    fuzz_must(r->checked, "a row handed on was checked");
    record_canonical_xml(r, ctx, &one);
    if (str_eq(r->element->parent, "records")) {
        sbuf_printf(&doc, "<records>%s</records>", one.s);
        fuzz_must(!doc.failed, "memory");
        fuzz_must(reader_xml("again.xml", doc.s, doc.len, collect, &two, &c, NULL) && c.read == 1 &&
                      c.refused == 0,
                  "canonical text is taken");
        fuzz_must(strcmp(one.s, two.s) == 0, "canonical text is its own canonical text");
    }
    record_free(r);
    sbuf_free(&one);
    sbuf_free(&doc);
    sbuf_free(&two);
    return true;
}

/* As the exporter writes a cell, and the reader reads it. */
static void guard_round_trip(const char *text, size_t n)
{
    struct sbuf cell = SBUF_INIT, guarded = SBUF_INIT;
    sbuf_putn(&cell, text, strnlen(text, n));
    fuzz_must(!cell.failed, "memory");
    if (csv_needs_guard(cell.s))
        sbuf_putc(&guarded, '\'');
    sbuf_puts(&guarded, cell.s);
    fuzz_must(strcmp(csv_unguarded(guarded.s), cell.s) == 0, "a guarded cell comes back");
    sbuf_free(&cell);
    sbuf_free(&guarded);
}

int LLVMFuzzerTestOneInput(const uint8_t *p, size_t n)
{
    if (n < 3)
        return 0;
    size_t kinds = 0;
    const struct dict_element *e = dict_elements(&kinds);
    const char *text = (const char *)p + 2, *end = (const char *)p + n;
    struct csv_map *map = NULL;
    struct diags *d = diags_new();
    struct reader_counts c = {0};
    char name[96];
    fuzz_must(d != NULL, "memory");
    snprintf(name, sizeof name, "%.80s.csv", e[p[0] % kinds].name);
    if (p[1] & 1) {
        const char *gap = text;
        while (gap + 1 < end && !(gap[0] == '\n' && gap[1] == '\n'))
            gap++;
        const char *path = fuzz_path("columns.map");
        fuzz_write(path, text, (size_t)(gap - text));
        map = csv_map_read(path, d);
        fuzz_must(map || diags_count(d) > 0, "a map not read is told");
        text = gap + 2 < end ? gap + 2 : end;
    }
    (void)reader_csv_mapped(name, text, (size_t)(end - text), map, take, NULL, &c, d);
    fuzz_must(c.whole || diags_count(d) > 0, "a file not read to its end is told");
    fuzz_must(c.refused == 0 || diags_count_level(d, DIAG_ERROR) > 0, "a refused row is told");
    fuzz_check_diags(d);
    guard_round_trip(text, (size_t)(end - text));
    csv_map_free(map);
    diags_free(d);
    return 0;
}
