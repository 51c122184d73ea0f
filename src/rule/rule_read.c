#include "text/base.h"

#include "rule/rule_read.h"
#include "rule/example_read.h"
#include "rule/expression.h"
#include "text/mem.h"
#include "text/utf8.h"
#include "text/xmldoc.h"

static const char *const deciders[] = {
    "fire-authority",
    "excise-authority",
    "wildlife-authority",
    "customs",
    "product-safety",
    "waste-authority",
    "insurer",
    "carrier",
    "maker",
    "plant-health-authority",
    "work-safety-authority",
};
static const char *const sures[] = {
    "verified", "two-sources", "secondary", "computed", "common-practice", "from-memory",
};

static bool in_list(const char *const *list, size_t n, const char *word)
{
    for (size_t i = 0; word && i < n; i++)
        if (strcmp(list[i], word) == 0)
            return true;
    return false;
}

void rule_free(struct rule *r)
{
    if (!r)
        return;
    char *const texts[] = {r->id,    r->topic,   r->title, r->since, r->file, r->fact,   r->where,
                           r->value, r->against, r->say,   r->why,   r->todo, r->decides};
    for (size_t i = 0; i < LW_COUNT(texts); i++)
        mem_free(texts[i]);
    for (size_t i = 0; i < r->source_count; i++) {
        mem_free(r->sources[i].work);
        mem_free(r->sources[i].section);
        mem_free(r->sources[i].edition);
        mem_free(r->sources[i].sure);
    }
    mem_free(r->sources);
    examples_free(r->examples, r->example_count);
    mem_free(r);
}

static bool refuse(const struct rule *r, const xmlNode *n, struct diags *d, const char *what,
                   const char *which)
{
    diags_add(d, DIAG_ERROR, "bad-rule", r->file, xmldoc_line(n), 0, NULL, "rule '%s': %s%s%s%s",
              r->id ? r->id : "?", what, which ? " '" : "", which ? which : "", which ? "'" : "");
    return false;
}

static bool dup_into(char **out, const char *s, struct diags *d)
{
    if (!s || !*s)
        return true;
    *out = mem_strdup(s);
    if (!*out)
        diags_out_of_memory(d);
    return *out != NULL;
}

static bool read_text(struct rule *r, const xmlNode *root, const char *name, char **out,
                      struct diags *d)
{
    const xmlNode *n = xmldoc_first(root, name);
    if (!n)
        return refuse(r, root, d, "there is no element", name);
    *out = xmldoc_text(n);
    if (!*out) {
        diags_out_of_memory(d);
        return false;
    }
    return **out ? true : refuse(r, n, d, "this element is empty:", name);
}

static bool read_severity(struct rule *r, const xmlNode *root, struct diags *d)
{
    const char *word = xmldoc_attr(root, "severity");
    for (int i = SEVERITY_NOTE; i <= SEVERITY_STOP; i++)
        if (word && strcmp(word, severity_name((enum severity)i)) == 0) {
            r->severity = (enum severity)i;
            return true;
        }
    return refuse(r, root, d, "severity is stop, fix, query or note, not", word ? word : "");
}

static bool read_over(struct rule *r, const xmlNode *root, struct diags *d)
{
    const xmlNode *n = xmldoc_first(root, "over");
    if (!n || !xmldoc_attr(n, "fact"))
        return refuse(r, root, d, "there is no <over fact=...>", NULL);
    return xmldoc_only_attrs(n, "fact where", r->file, d) &&
           dup_into(&r->fact, xmldoc_attr(n, "fact"), d) &&
           dup_into(&r->where, xmldoc_attr(n, "where"), d);
}

static bool read_must(struct rule *r, const xmlNode *root, struct diags *d)
{
    static const struct {
        const char *attr;
        enum must_form form;
    } forms[] = {
        {"present", MUST_PRESENT}, {"matches", MUST_MATCHES},
        {"before", MUST_BEFORE},   {"not-before", MUST_NOT_BEFORE},
        {"at-most", MUST_AT_MOST}, {"at-least", MUST_AT_LEAST},
        {"true", MUST_TRUE},
    };
    const xmlNode *n = xmldoc_first(root, "must");
    const char *found = NULL;
    if (!n)
        return refuse(r, root, d, "there is no <must>", NULL);
    if (!xmldoc_only_attrs(n, "value present matches before not-before at-most at-least true",
                           r->file, d))
        return false;
    for (size_t i = 0; i < LW_COUNT(forms); i++) {
        const char *v = xmldoc_attr(n, forms[i].attr);
        if (!v)
            continue;
        if (found)
            return refuse(r, n, d, "one form of <must> is enough, there is also", forms[i].attr);
        found = v;
        r->form = forms[i].form;
    }
    if (!found || !*found)
        return refuse(r, n, d, "<must> has none of its forms", NULL);
    if (r->form == MUST_PRESENT || r->form == MUST_TRUE)
        return dup_into(&r->value, found, d);
    if (!xmldoc_attr(n, "value"))
        return refuse(r, n, d, "<must> has no value", NULL);
    return dup_into(&r->value, xmldoc_attr(n, "value"), d) && dup_into(&r->against, found, d);
}

static bool read_sources(struct rule *r, const xmlNode *root, struct diags *d)
{
    size_t count = 0;
    for (const xmlNode *n = xmldoc_first(root, "source"); n; n = xmldoc_next(n, "source"))
        count++;
    if (count == 0)
        return refuse(r, root, d, "there is no <source>", NULL);
    r->sources = mem_calloc(count, sizeof *r->sources);
    if (!r->sources) {
        diags_out_of_memory(d);
        return false;
    }
    for (const xmlNode *n = xmldoc_first(root, "source"); n; n = xmldoc_next(n, "source")) {
        struct rule_source *s = &r->sources[r->source_count++];
        if (!xmldoc_only_attrs(n, "work section edition sure", r->file, d) ||
            !dup_into(&s->work, xmldoc_attr(n, "work"), d) ||
            !dup_into(&s->section, xmldoc_attr(n, "section"), d) ||
            !dup_into(&s->edition, xmldoc_attr(n, "edition"), d) ||
            !dup_into(&s->sure, xmldoc_attr(n, "sure"), d))
            return false;
        if (!s->work || !s->edition)
            return refuse(r, n, d, "a source needs work and edition", NULL);
        if (!in_list(sures, LW_COUNT(sures), s->sure))
            return refuse(r, n, d,
                          "a source's sure is none of the known words:", s->sure ? s->sure : "");
    }
    return true;
}

/* Everything that is put into the SELECT of all rules over the fact. */
static bool whole_expressions(const struct rule *r, const xmlNode *root, struct diags *d)
{
    const char *const texts[] = {r->where, r->value, r->against};
    for (size_t i = 0; i < LW_COUNT(texts); i++) {
        const char *trouble = texts[i] ? expression_trouble(texts[i]) : NULL;
        if (trouble) {
            diags_add(d, DIAG_ERROR, "bad-rule", r->file, xmldoc_line(root), 0, NULL,
                      "rule '%s': %s in '%s'", r->id, trouble, texts[i]);
            return false;
        }
    }
    return true;
}

static bool read_rule(struct rule *r, const xmlNode *root, const char *topic, const char *id,
                      struct diags *d)
{
    if (!xmldoc_is(root, "rule") || !xmldoc_only_attrs(root, "id topic severity since", r->file, d))
        return refuse(r, root, d, "this is not a rule file", NULL);
    if (!dup_into(&r->id, xmldoc_attr(root, "id"), d) ||
        !dup_into(&r->topic, xmldoc_attr(root, "topic"), d) ||
        !dup_into(&r->since, xmldoc_attr(root, "since"), d))
        return false;
    if (!str_eq(r->id, id) || !str_eq(r->topic, topic))
        return refuse(r, root, d, "id and topic must be those of its file and folder:", id);
    if (!r->since)
        return refuse(r, root, d, "there is no since", NULL);
    if (!read_severity(r, root, d) || !read_text(r, root, "title", &r->title, d) ||
        !read_over(r, root, d) || !read_must(r, root, d) || !whole_expressions(r, root, d) ||
        !read_text(r, root, "say", &r->say, d) || !read_text(r, root, "why", &r->why, d) ||
        !read_text(r, root, "do", &r->todo, d) || !read_text(r, root, "decides", &r->decides, d) ||
        !read_sources(r, root, d))
        return false;
    if (!in_list(deciders, LW_COUNT(deciders), r->decides))
        return refuse(r, root, d, "decides is none of the known words:", r->decides);
    return examples_read(r, root, d);
}

struct rule *rule_read(const char *path, const char *topic, const char *id, struct diags *d)
{
    xmlDoc *doc = xmldoc_read(path, d);
    const xmlNode *root = doc ? xmlDocGetRootElement(doc) : NULL;
    struct rule *r = root ? mem_calloc(1, sizeof *r) : NULL;
    if (r)
        r->file = mem_strdup(path);
    if (root && (!r || !r->file)) {
        diags_out_of_memory(d);
        rule_free(r);
        r = NULL;
    }
    if (r && !read_rule(r, root, topic, id, d)) {
        rule_free(r);
        r = NULL;
    }
    xmldoc_free(doc);
    return r;
}
