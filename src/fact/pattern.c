#include "text/base.h"

#define PCRE2_CODE_UNIT_WIDTH 8
#include <pcre2.h>

#include "fact/pattern.h"
#include "text/mem.h"
#include "text/utf8.h"
#include "text/xmldoc.h"

struct pattern {
    char *name;
    pcre2_code *code;
};

struct pattern_set {
    struct pattern *items;
    size_t count, cap;
    pcre2_general_context *general;
    pcre2_match_context *match;
    pcre2_match_data *data;
};

static void *pattern_alloc(size_t n, void *user)
{
    (void)user;
    return mem_alloc_for(MEM_PATTERN, n);
}

static void pattern_release(void *p, void *user)
{
    (void)user;
    mem_free(p);
}

void pattern_set_free(struct pattern_set *s)
{
    if (!s)
        return;
    for (size_t i = 0; i < s->count; i++) {
        mem_free(s->items[i].name);
        pcre2_code_free(s->items[i].code);
    }
    mem_free(s->items);
    pcre2_match_data_free(s->data);
    pcre2_match_context_free(s->match);
    pcre2_general_context_free(s->general);
    mem_free(s);
}

static struct pattern_set *set_new(void)
{
    struct pattern_set *s = mem_calloc(1, sizeof *s);
    if (!s)
        return NULL;
    s->general = pcre2_general_context_create(pattern_alloc, pattern_release, NULL);
    if (s->general)
        s->match = pcre2_match_context_create(s->general);
    /* One pair of offsets: only whether it matches is asked. */
    if (s->match)
        s->data = pcre2_match_data_create(1, s->general);
    if (!s->data) {
        pattern_set_free(s);
        return NULL;
    }
    pcre2_set_match_limit(s->match, PATTERN_MATCH_LIMIT);
    pcre2_set_depth_limit(s->match, PATTERN_DEPTH_LIMIT);
    pcre2_set_heap_limit(s->match, PATTERN_HEAP_KIB);
    return s;
}

static bool add_pattern(struct pattern_set *s, const xmlNode *n, const char *file, struct diags *d)
{
    const char *name = xmldoc_attr(n, "name");
    char *text = xmldoc_text(n);
    struct pattern *grown = NULL;
    bool ok = false;
    int error = 0;
    size_t at = 0;

    if (!text)
        goto oom;
    if (!xmldoc_only_attrs(n, "name meaning source sure yes no", file, d))
        goto out;
    /* A rule puts the name into SQL between quotes. */
    if (!name || strchr(name, '\'') || !*text || pattern_index(s, name) >= 0) {
        diags_add(d, DIAG_ERROR, "bad-pattern", file, xmldoc_line(n), 0, NULL,
                  "pattern '%s' has no name, no text, or stands twice", name ? name : "");
        goto out;
    }
    grown = mem_grow(s->items, &s->cap, s->count + 1, sizeof *s->items);
    if (!grown)
        goto oom;
    s->items = grown;
    pcre2_compile_context *cc = pcre2_compile_context_create(s->general);
    if (!cc)
        goto oom;
    pcre2_code *code = pcre2_compile(
        (PCRE2_SPTR)text, strlen(text),
        PCRE2_UTF | PCRE2_NEVER_BACKSLASH_C | PCRE2_EXTENDED | PCRE2_CASELESS, &error, &at, cc);
    pcre2_compile_context_free(cc);
    if (!code) {
        char why[128] = "";
        pcre2_get_error_message(error, (PCRE2_UCHAR *)why, sizeof why);
        diags_add(d, DIAG_ERROR, "bad-pattern", file, xmldoc_line(n), 0, NULL,
                  "pattern '%s': %s at byte %zu", name, why, at);
        goto out;
    }
    char *copy = mem_strdup(name);
    if (!copy) {
        pcre2_code_free(code);
        goto oom;
    }
    s->items[s->count++] = (struct pattern){copy, code};
    ok = true;
    goto out;
oom:
    diags_out_of_memory(d);
out:
    mem_free(text);
    return ok;
}

struct pattern_set *pattern_set_read(const char *data_dir, struct diags *d)
{
    struct sbuf path = SBUF_INIT;
    xmlDoc *doc = NULL;
    bool ok = false;
    struct pattern_set *s = set_new();
    sbuf_printf(&path, "%s/patterns.xml", data_dir);
    if (!s || path.failed) {
        diags_out_of_memory(d);
        goto out;
    }
    doc = xmldoc_read(path.s, d);
    const xmlNode *root = doc ? xmlDocGetRootElement(doc) : NULL;
    if (!root)
        goto out;
    ok = true;
    for (const xmlNode *n = xmldoc_first(root, "pattern"); n; n = xmldoc_next(n, "pattern"))
        ok = add_pattern(s, n, path.s, d) && ok;
out:
    xmldoc_free(doc);
    sbuf_free(&path);
    if (!ok) {
        pattern_set_free(s);
        s = NULL;
    }
    return s;
}

int pattern_index(const struct pattern_set *s, const char *name)
{
    for (size_t i = 0; i < s->count; i++)
        if (strcmp(s->items[i].name, name) == 0)
            return (int)i;
    return -1;
}

enum pattern_result pattern_match(const struct pattern_set *s, int index, const char *text,
                                  size_t n)
{
    assert(index >= 0 && (size_t)index < s->count);
    if (n > PATTERN_SUBJECT_MAX)
        return PATTERN_CANNOT_TELL;
    int rc = pcre2_match(s->items[index].code, (PCRE2_SPTR)text, n, 0, 0, s->data, s->match);
    if (rc >= 0)
        return PATTERN_YES;
    return rc == PCRE2_ERROR_NOMATCH ? PATTERN_NO : PATTERN_CANNOT_TELL;
}
