#include "text/base.h"

#include "record/image.h"
#include "rule/rule.h"
#include "rule/rule_read.h"
#include "text/file.h"
#include "text/mem.h"
#include "text/utf8.h"
#include "text/xmldoc.h"

/* An id that is no longer used, and the one that took its place ("" when none did). */
struct retired {
    char *id, *now;
};

struct rule_set {
    struct rule **items;
    size_t count, cap;
    struct retired *retired;
    size_t retired_count, retired_cap;
};

/* The topics are the folders of rules/. */
static const char *const topics[] = {"ethanol", "label",   "origin",
                                     "record",  "storage", "ventilation"};

void rule_set_free(struct rule_set *s)
{
    if (!s)
        return;
    for (size_t i = 0; i < s->count; i++)
        rule_free(s->items[i]);
    for (size_t i = 0; i < s->retired_count; i++) {
        mem_free(s->retired[i].id);
        mem_free(s->retired[i].now);
    }
    mem_free(s->items);
    mem_free(s->retired);
    mem_free(s);
}

static int by_id(const void *a, const void *b)
{
    const struct rule *x = *(struct rule *const *)a, *y = *(struct rule *const *)b;
    return strcmp(x->id, y->id);
}

static bool add_rule(struct rule_set *s, const char *dir, const char *topic, const char *file,
                     struct diags *d)
{
    static const char suffix[] = ".xml";
    struct sbuf path = SBUF_INIT, id = SBUF_INIT;
    struct rule *r = NULL;
    struct rule **grown = mem_grow(s->items, &s->cap, s->count + 1, sizeof *s->items);
    sbuf_printf(&path, "%s/%s", dir, file);
    sbuf_putn(&id, file, strlen(file) - (sizeof suffix - 1));
    if (grown)
        s->items = grown;
    if (!grown || path.failed || id.failed)
        diags_out_of_memory(d);
    else
        r = rule_read(path.s, topic, id.s, d);
    if (r)
        s->items[s->count++] = r;
    sbuf_free(&path);
    sbuf_free(&id);
    return r != NULL;
}

static bool read_topic(struct rule_set *s, const char *rules_dir, const char *topic,
                       struct diags *d)
{
    struct sbuf dir = SBUF_INIT;
    char **names = NULL;
    size_t count = 0;
    bool ok = true;
    sbuf_printf(&dir, "%s/%s", rules_dir, topic);
    if (dir.failed) {
        diags_out_of_memory(d);
        return false;
    }
    if (file_is_dir(dir.s)) {
        ok = file_list(dir.s, ".xml", &names, &count, d);
        for (size_t i = 0; i < count; i++) {
            ok = add_rule(s, dir.s, topic, names[i], d) && ok;
            mem_free(names[i]);
        }
        mem_free(names);
    }
    sbuf_free(&dir);
    return ok;
}

static bool read_retired(struct rule_set *s, const char *rules_dir, struct diags *d)
{
    struct sbuf path = SBUF_INIT;
    bool ok = false;
    sbuf_printf(&path, "%s/retired.xml", rules_dir);
    xmlDoc *doc = path.failed ? NULL : xmldoc_read(path.s, d);
    if (!doc)
        goto out;
    ok = true;
    const xmlNode *root = xmlDocGetRootElement(doc);
    for (const xmlNode *n = xmldoc_first(root, "rule"); n && ok; n = xmldoc_next(n, "rule")) {
        const char *id = xmldoc_attr(n, "id"), *now = xmldoc_attr(n, "now");
        struct retired *grown =
            mem_grow(s->retired, &s->retired_cap, s->retired_count + 1, sizeof *s->retired);
        if (grown)
            s->retired = grown;
        struct retired item = {mem_strdup(id), mem_strdup(now ? now : "")};
        ok = grown && item.id && item.now;
        if (ok) {
            s->retired[s->retired_count++] = item;
        } else {
            mem_free(item.id);
            mem_free(item.now);
            if (id)
                diags_out_of_memory(d);
            else
                diags_add(d, DIAG_ERROR, "bad-rule", path.s, xmldoc_line(n), 0, NULL,
                          "a retired rule has no id");
        }
    }
out:
    xmldoc_free(doc);
    sbuf_free(&path);
    return ok;
}

struct rule_set *rule_set_read(const char *rules_dir, struct diags *d)
{
    struct rule_set *s = mem_calloc(1, sizeof *s);
    if (!s) {
        diags_out_of_memory(d);
        return NULL;
    }
    bool ok = read_retired(s, rules_dir, d);
    for (size_t i = 0; i < LW_COUNT(topics); i++)
        ok = read_topic(s, rules_dir, topics[i], d) && ok;
    if (s->count > 0)
        qsort(s->items, s->count, sizeof *s->items, by_id);
    for (size_t i = 1; i < s->count; i++)
        if (str_eq(s->items[i - 1]->id, s->items[i]->id)) {
            diags_add(d, DIAG_ERROR, "bad-rule", s->items[i]->file, 1, 0, NULL,
                      "rule '%s' stands in two topics", s->items[i]->id);
            ok = false;
        }
    if (!ok) {
        rule_set_free(s);
        s = NULL;
    }
    return s;
}

static const char kept_rules[] = "rules";

bool rule_set_keep(struct store *s, const char *data_dir, struct diags *d)
{
    struct sbuf b = SBUF_INIT;
    sbuf_printf(&b, "%s/../rules", data_dir);
    struct rule_set *set = b.failed ? NULL : rule_set_read(b.s, d);
    bool ok = set != NULL;
    sbuf_clear(&b);
    if (ok) {
        pack_number(&b, (long)set->count);
        for (size_t i = 0; i < set->count; i++)
            rule_pack(set->items[i], &b);
        pack_number(&b, (long)set->retired_count);
        for (size_t i = 0; i < set->retired_count; i++) {
            pack_text(&b, set->retired[i].id);
            pack_text(&b, set->retired[i].now);
        }
        ok = !b.failed && image_keep(s, kept_rules, b.s, d);
    }
    rule_set_free(set);
    sbuf_free(&b);
    return ok;
}

static bool unpack_rules(struct rule_set *s, const char *text, const char *rules_dir)
{
    struct pack in = {text, false};
    size_t count = (size_t)unpack_number(&in);
    s->items = in.failed ? NULL : mem_calloc(count ? count : 1, sizeof *s->items);
    in.failed = in.failed || !s->items;
    while (!in.failed && s->count < count)
        if ((s->items[s->count] = rule_unpack(&in, rules_dir)) != NULL)
            s->count++;
    count = (size_t)unpack_number(&in);
    s->retired = in.failed ? NULL : mem_calloc(count ? count : 1, sizeof *s->retired);
    in.failed = in.failed || !s->retired;
    for (; !in.failed && s->retired_count < count; s->retired_count++) {
        s->retired[s->retired_count].id = unpack_text(&in);
        s->retired[s->retired_count].now = unpack_text(&in);
    }
    return !in.failed;
}

struct rule_set *rule_set_load(struct store *store, const char *rules_dir, struct diags *d)
{
    char *text = image_kept(store, kept_rules);
    struct rule_set *s = text ? mem_calloc(1, sizeof *s) : NULL;
    if (!text)
        return rule_set_read(rules_dir, d);
    if (!s || !unpack_rules(s, text, rules_dir)) {
        diags_out_of_memory(d); /* we packed it, so nothing else can be wrong with it */
        rule_set_free(s);
        s = NULL;
    }
    mem_free(text);
    return s;
}

size_t rule_set_count(const struct rule_set *s)
{
    return s->count;
}

const struct rule *rule_set_at(const struct rule_set *s, size_t i)
{
    assert(i < s->count);
    return s->items[i];
}

static const struct rule *find_current(const struct rule_set *s, const char *id)
{
    for (size_t i = 0; i < s->count; i++)
        if (strcmp(s->items[i]->id, id) == 0)
            return s->items[i];
    return NULL;
}

const struct rule *rule_set_find(const struct rule_set *s, const char *id)
{
    const struct rule *r = find_current(s, id);
    for (size_t i = 0; !r && i < s->retired_count; i++)
        if (strcmp(s->retired[i].id, id) == 0 && *s->retired[i].now)
            r = find_current(s, s->retired[i].now);
    return r;
}
