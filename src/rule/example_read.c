#include "text/base.h"

#include "rule/example_read.h"
#include "text/mem.h"
#include "text/utf8.h"

void examples_free(struct rule_example *items, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        mem_free(items[i].records);
        mem_free(items[i].differs);
        mem_free(items[i].to);
        mem_free(items[i].blank);
        mem_free(items[i].as_of);
    }
    mem_free(items);
}

/* The element's children as a record file of their own. */
static char *as_records(const xmlNode *n)
{
    struct sbuf b = SBUF_INIT;
    sbuf_puts(&b, "<records");
    const char *const declared[] = {"units", "decimal"};
    for (size_t i = 0; i < LW_COUNT(declared); i++)
        if (xmldoc_attr(n, declared[i]))
            sbuf_printf(&b, " %s=\"%s\"", declared[i], xmldoc_attr(n, declared[i]));
    sbuf_puts(&b, ">");
    for (const xmlNode *c = xmldoc_first(n, NULL); c; c = xmldoc_next(c, NULL)) {
        char *text = xmldoc_serialise(c);
        if (!text)
            b.failed = true;
        sbuf_puts(&b, text);
        mem_free(text);
    }
    sbuf_puts(&b, "</records>");
    return sbuf_take(&b);
}

static bool copy(char **out, const char *s)
{
    *out = s ? mem_strdup(s) : NULL;
    return !s || *out;
}

static bool kind_of(const xmlNode *n, enum verdict *v)
{
    static const struct {
        const char *name;
        enum verdict v;
    } kinds[] = {{"fails", VERDICT_FAILS},
                 {"holds", VERDICT_HOLDS},
                 {"cannot-tell", VERDICT_CANNOT_TELL},
                 {"does-not-apply", VERDICT_NOT_APPLICABLE}};
    for (size_t i = 0; i < LW_COUNT(kinds); i++)
        if (xmldoc_is(n, kinds[i].name)) {
            *v = kinds[i].v;
            return true;
        }
    return false;
}

static bool bad(const struct rule *r, const xmlNode *n, struct diags *d, const char *what)
{
    diags_add(d, DIAG_ERROR, "bad-rule", r->file, xmldoc_line(n), 0, NULL, "rule '%s': %s", r->id,
              what);
    return false;
}

static bool read_one(struct rule *r, const xmlNode *n, struct diags *d)
{
    struct rule_example *e = &r->examples[r->example_count];
    if (!kind_of(n, &e->expect))
        return bad(r, n, d, "an example is <fails>, <holds>, <cannot-tell> or <does-not-apply>");
    if (!xmldoc_only_attrs(n, "units decimal differs to blank as-of", r->file, d))
        return false;
    r->example_count++;
    e->line = xmldoc_line(n);
    bool own = xmldoc_first(n, NULL) != NULL;
    if (own)
        e->records = as_records(n);
    if ((own && !e->records) || !copy(&e->differs, xmldoc_attr(n, "differs")) ||
        !copy(&e->to, xmldoc_attr(n, "to")) || !copy(&e->blank, xmldoc_attr(n, "blank")) ||
        !copy(&e->as_of, xmldoc_attr(n, "as-of"))) {
        diags_out_of_memory(d);
        return false;
    }
    if (r->example_count == 1 && !own)
        return bad(r, n, d, "the first example needs records");
    if (e->expect == VERDICT_FAILS && !own && !(e->differs && e->to))
        return bad(r, n, d, "a further failing example needs records, or differs= and to=");
    if (e->expect == VERDICT_NOT_APPLICABLE && !own && !(e->differs && e->to) && !e->blank)
        return bad(r, n, d, "an example the rule does not apply to says what differs or is blank");
    if (e->expect == VERDICT_HOLDS && !e->differs)
        return bad(r, n, d, "a holding example says what differs from the failing one");
    if (e->expect == VERDICT_HOLDS && !own && !e->to)
        return bad(r, n, d, "a holding example without records needs to=");
    if (e->expect == VERDICT_CANNOT_TELL && !e->blank)
        return bad(r, n, d, "an untold example says what is blank");
    return true;
}

bool examples_read(struct rule *r, const xmlNode *root, struct diags *d)
{
    const xmlNode *list = xmldoc_first(root, "examples");
    size_t count = 0;
    bool seen[VERDICT_NOT_APPLICABLE + 1] = {false};
    for (const xmlNode *n = xmldoc_first(list, NULL); n; n = xmldoc_next(n, NULL))
        count++;
    r->examples = mem_calloc(count ? count : 1, sizeof *r->examples);
    if (!r->examples) {
        diags_out_of_memory(d);
        return false;
    }
    for (const xmlNode *n = xmldoc_first(list, NULL); n; n = xmldoc_next(n, NULL)) {
        if (!read_one(r, n, d))
            return false;
        seen[r->examples[r->example_count - 1].expect] = true;
    }
    if (!seen[VERDICT_FAILS] || !seen[VERDICT_HOLDS] || !seen[VERDICT_CANNOT_TELL])
        return bad(r, root, d, "it needs one example each that fails, holds and cannot be told");
    return r->examples[0].expect == VERDICT_FAILS
               ? true
               : bad(r, root, d, "the first example must be the failing one");
}
