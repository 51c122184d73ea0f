#include "text/base.h"

#include "record/reader.h"
#include "rule/example_records.h"
#include "text/mem.h"
#include "text/number.h"
#include "text/utf8.h"

void example_records_free(struct example_records *x)
{
    for (size_t i = 0; i < x->count; i++)
        record_free(x->items[i]);
    mem_free(x->items);
    *x = (struct example_records){0};
}

static bool collect(struct record *r, const struct record_context *ctx, void *user)
{
    struct example_records *x = user;
    struct record **grown = mem_grow(x->items, &x->cap, x->count + 1, sizeof *x->items);
    if (!grown) {
        x->failed = true;
        record_free(r);
        return false;
    }
    x->items = grown;
    x->items[x->count++] = r;
    x->ctx = *ctx;
    return true;
}

/* "batch@strength", "batch:L1@strength", "charge:2@quantity" (the second charge), taken apart. */
struct path {
    char kind[64], id[64], attr[64];
};

static bool path_part(char *out, size_t size, const char *s, size_t n)
{
    if (n >= size)
        return false;
    memcpy(out, s, n);
    out[n] = '\0';
    return true;
}

static bool path_parse(const char *s, struct path *p)
{
    const char *at = strchr(s, '@');
    if (!at)
        return false;
    const char *colon = memchr(s, ':', (size_t)(at - s));
    const char *kind_end = colon ? colon : at;
    p->id[0] = '\0';
    return path_part(p->kind, sizeof p->kind, s, (size_t)(kind_end - s)) &&
           (!colon || path_part(p->id, sizeof p->id, colon + 1, (size_t)(at - colon - 1))) &&
           path_part(p->attr, sizeof p->attr, at + 1, strlen(at + 1));
}

struct search {
    const struct path *path;
    long long nth; /* for children, which have no id: counts down */
};

static struct record *seek(struct record *r, struct search *s)
{
    bool child = !str_eq(r->element->parent, "records");
    if (str_eq(r->element->name, s->path->kind)) {
        if (!*s->path->id || (!child && str_eq(record_id(r), s->path->id)))
            return r;
        if (child && --s->nth == 0)
            return r;
    }
    for (size_t i = 0; i < r->child_count; i++) {
        struct record *found = seek(r->children[i], s);
        if (found)
            return found;
    }
    return NULL;
}

static bool change(const struct rule *r, const struct rule_example *e, struct example_records *x,
                   const char *where, const char *value, struct diags *d)
{
    struct path p;
    struct record *found = NULL;
    bool parsed = path_parse(where, &p);
    struct search s = {&p, 0};
    if (parsed && *p.id && !number_integer(p.id, &s.nth))
        s.nth = 0;
    for (size_t i = 0; parsed && !found && i < x->count; i++)
        found = seek(x->items[i], &s);
    if (!found || dict_attr_index(found->element, p.attr) < 0) {
        diags_add(d, DIAG_ERROR, "bad-example", r->file, e->line, 0, NULL,
                  "rule '%s': no record and attribute '%s' in its first example", r->id, where);
        return false;
    }
    if (!value && !record_get(found, p.attr)) {
        diags_add(d, DIAG_ERROR, "bad-example", r->file, e->line, 0, NULL,
                  "rule '%s': '%s' is blank already", r->id, where);
        return false;
    }
    if (!record_set(found, p.attr, value ? value : "")) {
        diags_out_of_memory(d);
        return false;
    }
    return true;
}

bool example_records_build(const struct rule *r, const struct rule_example *e,
                           struct example_records *out, struct diags *d)
{
    const char *text = e->records ? e->records : r->examples[0].records;
    struct reader_counts counts = {0, 0, false};
    *out = (struct example_records){0};
    size_t before = diags_count_level(d, DIAG_ERROR);
    bool ok = reader_xml(r->file, text, strlen(text), collect, out, &counts, d) && !out->failed &&
              counts.refused == 0 && counts.whole && diags_count_level(d, DIAG_ERROR) == before;
    if (!ok)
        diags_add(d, DIAG_ERROR, "bad-example", r->file, e->line, 0, NULL,
                  "rule '%s': the records of this example cannot be read", r->id);
    if (ok && !e->records)
        ok = e->blank ? change(r, e, out, e->blank, NULL, d)
                      : change(r, e, out, e->differs, e->to, d);
    if (!ok)
        example_records_free(out);
    return ok;
}

static size_t differ(const struct record *a, const struct record *b)
{
    size_t n = 0, children = a->child_count < b->child_count ? a->child_count : b->child_count;
    if (a->element != b->element)
        return a->element->attr_count;
    for (size_t i = 0; i < a->element->attr_count; i++)
        n += str_eq(a->values[i], b->values[i]) ? 0 : 1;
    for (size_t i = 0; i < children; i++)
        n += differ(a->children[i], b->children[i]);
    return n + a->child_count + b->child_count - 2 * children;
}

size_t example_records_differ(const struct example_records *a, const struct example_records *b)
{
    size_t n = 0, both = a->count < b->count ? a->count : b->count;
    for (size_t i = 0; i < both; i++)
        n += differ(a->items[i], b->items[i]);
    return n + a->count + b->count - 2 * both;
}
