/* diff.c - two versions of a record, attribute by attribute. */
#include "text/base.h"

#include "ledger/diff.h"
#include "record/reader.h"
#include "text/utf8.h"

struct telling {
    struct sbuf *out;
    size_t said, more;
};

static bool keep_one(struct record *r, const struct record_context *ctx, void *user)
{
    struct record **kept = user;
    (void)ctx;
    if (*kept != NULL) {
        record_free(r);
        return false;
    }
    *kept = r;
    return true;
}

static struct record *parse(const char *xml)
{
    struct record *r = NULL;
    struct reader_counts counts = {0};
    struct sbuf b = SBUF_INIT;
    sbuf_printf(&b, "<records>%s</records>", xml);
    if (!b.failed)
        (void)reader_xml("book", b.s, b.len, keep_one, &r, &counts, NULL);
    sbuf_free(&b);
    return r;
}

/* Room for one more difference? Puts the separator before it. */
static bool start(struct telling *t)
{
    if (t->said == DIFF_MOST) {
        t->more++;
        return false;
    }
    if (t->said++ > 0)
        sbuf_puts(t->out, "; ");
    return true;
}

/* Which of its kind child i is, from 1: "charge 2" is the second charge whatever stands between. */
static size_t nth(const struct record *r, size_t i)
{
    size_t n = 1;
    for (size_t k = 0; k < i; k++)
        if (r->children[k]->element == r->children[i]->element)
            n++;
    return n;
}

static void attributes(struct telling *t, const struct record *a, const struct record *b,
                       size_t child)
{
    for (size_t i = 0; i < a->element->attr_count; i++) {
        const char *was = a->values[i], *now = b->values[i];
        if (str_eq(was, now) || !start(t))
            continue;
        if (child > 0)
            sbuf_printf(t->out, "%s %zu: ", a->element->name, child);
        sbuf_puts(t->out, a->element->attrs[i].name);
        if (was != NULL)
            sbuf_printf(t->out, " '%s'", was);
        if (now != NULL)
            sbuf_printf(t->out, " now '%s'", now);
        else
            sbuf_puts(t->out, " taken out");
    }
}

static void children(struct telling *t, const struct record *a, const struct record *b)
{
    size_t both = a->child_count < b->child_count ? a->child_count : b->child_count;
    for (size_t i = 0; i < both; i++) {
        const struct record *x = a->children[i], *y = b->children[i];
        if (x->element == y->element) {
            attributes(t, x, y, nth(a, i));
            children(t, x, y);
        } else if (start(t)) {
            sbuf_printf(t->out, "%s %zu now a %s", x->element->name, nth(a, i), y->element->name);
        }
    }
    for (size_t i = both; i < a->child_count; i++)
        if (start(t))
            sbuf_printf(t->out, "%s %zu taken out", a->children[i]->element->name, nth(a, i));
    for (size_t i = both; i < b->child_count; i++)
        if (start(t))
            sbuf_printf(t->out, "%s %zu added", b->children[i]->element->name, nth(b, i));
}

void ledger_diff(const char *old_xml, const char *new_xml, struct sbuf *out)
{
    struct telling t = {.out = out};
    struct record *a = parse(old_xml), *b = parse(new_xml);
    if (a != NULL && b != NULL && a->element == b->element) {
        attributes(&t, a, b, 0);
        children(&t, a, b);
        if (t.more > 0)
            sbuf_printf(out, "; and %zu more", t.more);
    }
    record_free(a);
    record_free(b);
}
