/* read_records - what the reader alone says of record files; called by record-schema.
 *
 *     read_records FILE...     one line a file: good, bad (some record refused) or unread, and its
 * name read_records --sample    a record file that uses every attribute of the dictionary once
 *     read_records --schema    the schema; --exact: the exact schema */
#include "text/base.h"

#include "record/dict_near.h"
#include "record/reader.h"
#include "record/schema.h"
#include "text/mem.h"

static bool drop(struct record *r, const struct record_context *ctx, void *user)
{
    (void)ctx;
    (void)user;
    record_free(r);
    return true;
}

static void judge(const char *path)
{
    struct reader_counts counts = {0, 0, false};
    struct diags *d = diags_new();
    bool ok = reader_file(path, drop, NULL, &counts, d);

    printf("%s %s\n",
           !ok || !counts.whole                                         ? "unread"
           : counts.refused > 0 || diags_count_level(d, DIAG_ERROR) > 0 ? "bad"
                                                                        : "good",
           path);
    diags_free(d);
}

static const char *quantity_example(enum dimension dim)
{
    static char example[64];
    const char *all = dimension_examples(dim);

    snprintf(example, sizeof example, "%.*s", (int)strcspn(all, ","), all);
    return example;
}

static const char *example(const struct dict_attr *a)
{
    static char word[80];
    const char *words = a->words;
    const char *w = NULL;
    size_t n = 0;

    switch (a->type) {
    case ATTR_CHOICE:
        (void)dict_next_word(&words, &w, &n);
        snprintf(word, sizeof word, "%.*s", (int)n, w);
        return word;
    case ATTR_DATE:
        return "2026-03-04T14:30";
    case ATTR_QTY:
        return quantity_example(a->dim);
    case ATTR_PERCENT:
        return "28 %";
    case ATTR_RATIO:
        return "1:40";
    case ATTR_FLAG:
        return "yes";
    case ATTR_COUNTRY:
        return "ZZ";
    case ATTR_REFS:
        return " A-1  B-2 ";
    case ATTR_TOKEN:
    case ATTR_REF:
        return "A_1.b/c+d-e";
    case ATTR_TEXT:
        break;
    }
    return "caf\xC3\xA9 &lt;&#10;";
}

static void put_required(const struct dict_element *e, unsigned serial, const struct dict_attr *but)
{
    for (size_t i = 0; i < e->attr_count; i++) {
        if ((e->attrs[i].flags & ATTR_REQUIRED) != 0 && &e->attrs[i] != but) {
            printf(" %s=\"x%u\"", e->attrs[i].name, serial);
        }
    }
}

/* One record an attribute, then one with the attribute empty. */
static void put_samples(const struct dict_element *e)
{
    const struct dict_element *top = dict_top_level(e) ? NULL : dict_find(e->parent);
    static unsigned serial;

    for (size_t i = 0; i < e->attr_count; i++) {
        const struct dict_attr *a = &e->attrs[i];
        for (int empty = 0; empty < ((a->flags & ATTR_REQUIRED) != 0 ? 1 : 2); empty++) {
            serial++;
            if (top != NULL) {
                printf("<%s", top->name);
                put_required(top, serial, NULL);
                putchar('>');
            }
            printf("<%s", e->name);
            put_required(e, serial, a);
            printf(" %s=\"%s\"/>", a->name, empty ? "" : example(a));
            printf(top != NULL ? "</%s>\n" : "\n", top != NULL ? top->name : "");
        }
    }
}

static void sample(void)
{
    size_t count = 0;
    const struct dict_element *all = dict_elements(&count);

    puts("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<records units=\"us\" decimal=\"point\">");
    for (size_t i = 1; i < count; i++) {
        put_samples(&all[i]);
    }
    puts("</records>");
}

int main(int argc, char **argv)
{
    struct sbuf b = SBUF_INIT;

    for (int i = 1; i < argc; i++) {
        if (strcmp(argv[i], "--sample") == 0) {
            sample();
        } else if (strcmp(argv[i], "--schema") == 0 || strcmp(argv[i], "--exact") == 0) {
            (argv[i][2] == 's' ? schema_print : schema_print_exact)(&b);
            fputs(b.s, stdout);
            sbuf_free(&b);
        } else {
            judge(argv[i]);
        }
    }
    return 0;
}
