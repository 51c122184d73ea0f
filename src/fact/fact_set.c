#include "text/base.h"

#include "fact/fact.h"
#include "fact/run.h"
#include "fact/sheet.h"
#include "record/image.h"
#include "text/file.h"
#include "text/mem.h"
#include "text/utf8.h"

struct fact_set {
    struct fact_sheet **items;
    size_t count;
    struct pattern_set *patterns;
    unsigned long serial;
};

void fact_set_free(struct fact_set *s)
{
    if (!s)
        return;
    for (size_t i = 0; i < s->count; i++)
        sheet_free(s->items[i]);
    mem_free(s->items);
    pattern_set_free(s->patterns);
    mem_free(s);
}

size_t fact_set_count(const struct fact_set *s)
{
    return s->count;
}

const struct fact_sheet *fact_set_at(const struct fact_set *s, size_t i)
{
    assert(i < s->count);
    return s->items[i];
}

const struct fact_sheet *fact_set_find(const struct fact_set *s, const char *name)
{
    for (size_t i = 0; i < s->count; i++)
        if (str_eq(s->items[i]->name, name))
            return s->items[i];
    return NULL;
}

unsigned long fact_set_serial(const struct fact_set *s)
{
    return s->serial;
}

const struct pattern_set *fact_set_patterns(const struct fact_set *s)
{
    return s->patterns;
}

static bool word_char(char c)
{
    return ascii_alnum(c) || c == '_';
}

bool fact_mentions(const char *sql, const char *name)
{
    char word[96];
    snprintf(word, sizeof word, "fact_%s", name);
    size_t n = strlen(word);
    for (const char *p = sql; (p = strstr(p, word)) != NULL; p += n)
        if ((p == sql || !word_char(p[-1])) && !word_char(p[n]))
            return true;
    return false;
}

/* Puts each sheet behind those it reads; sheets arrive in name order, so the result is always the
 * same. A ring of sheets is an error. */
static bool sort_by_need(struct fact_set *s, struct diags *d)
{
    for (size_t done = 0; done < s->count; done++) {
        size_t pick = s->count;
        for (size_t i = done; i < s->count && pick == s->count; i++) {
            bool ready = true;
            for (size_t j = done; j < s->count && ready; j++)
                ready = j == i || !fact_mentions(s->items[i]->sql, s->items[j]->name);
            if (ready)
                pick = i;
        }
        if (pick == s->count) {
            diags_add(d, DIAG_ERROR, "fact-ring", s->items[done]->file, 1, 0, NULL,
                      "fact '%s' and others read each other in a circle", s->items[done]->name);
            return false;
        }
        struct fact_sheet *chosen = s->items[pick];
        memmove(&s->items[done + 1], &s->items[done], (pick - done) * sizeof *s->items);
        s->items[done] = chosen;
    }
    return true;
}

static bool read_sheets(struct fact_set *s, const char *dir, struct diags *d)
{
    char **names = NULL;
    size_t count = 0;
    bool ok = file_list(dir, ".xml", &names, &count, d);
    struct sbuf path = SBUF_INIT;
    if (ok) {
        s->items = mem_calloc(count ? count : 1, sizeof *s->items);
        if (!s->items) {
            diags_out_of_memory(d);
            ok = false;
        }
    }
    for (size_t i = 0; ok && i < count; i++) {
        sbuf_clear(&path);
        sbuf_printf(&path, "%s/%s", dir, names[i]);
        struct fact_sheet *sheet = sheet_read(path.s, d);
        if (sheet && fact_set_find(s, sheet->name)) {
            diags_add(d, DIAG_ERROR, "bad-fact", path.s, 1, 0, NULL, "fact '%s' stands twice",
                      sheet->name);
            sheet_free(sheet);
            sheet = NULL;
        }
        if (sheet)
            s->items[s->count++] = sheet;
        else
            ok = false;
    }
    for (size_t i = 0; i < count; i++)
        mem_free(names[i]);
    mem_free(names);
    sbuf_free(&path);
    return ok;
}

static const char kept_sheets[] = "facts";

bool fact_set_keep(const struct fact_set *set, struct store *s, struct diags *d)
{
    struct sbuf b = SBUF_INIT;
    pack_number(&b, (long)set->count);
    for (size_t i = 0; i < set->count; i++)
        sheet_pack(set->items[i], &b);
    bool ok = !b.failed && image_keep(s, kept_sheets, b.s, d);
    sbuf_free(&b);
    return ok;
}

/* They were sorted before they were packed. */
static bool unpack_sheets(struct fact_set *s, const char *text, const char *dir)
{
    struct pack in = {text, false};
    size_t count = (size_t)unpack_number(&in);
    s->items = in.failed ? NULL : mem_calloc(count ? count : 1, sizeof *s->items);
    in.failed = in.failed || !s->items;
    for (size_t i = 0; i < count && !in.failed; i++)
        if ((s->items[i] = sheet_unpack(&in, dir)) != NULL)
            s->count++;
    return !in.failed;
}

struct fact_set *fact_set_read(const char *data_dir, struct diags *d)
{
    return fact_set_load(NULL, data_dir, d);
}

struct fact_set *fact_set_load(struct store *store, const char *data_dir, struct diags *d)
{
    static unsigned long made; /* an address may be used again, a number is not */
    struct sbuf dir = SBUF_INIT;
    char *text = store ? image_kept(store, kept_sheets) : NULL;
    struct fact_set *s = mem_calloc(1, sizeof *s);
    sbuf_printf(&dir, "%s/facts", data_dir);
    if (!s || dir.failed) {
        diags_out_of_memory(d);
        goto fail;
    }
    s->serial = ++made;
    s->patterns = pattern_set_read(data_dir, d);
    if (!s->patterns)
        goto fail;
    if (text ? !unpack_sheets(s, text, dir.s) : !read_sheets(s, dir.s, d) || !sort_by_need(s, d)) {
        if (text)
            diags_out_of_memory(d); /* we packed it, so nothing else can be wrong with it */
        goto fail;
    }
    mem_free(text);
    sbuf_free(&dir);
    return s;
fail:
    mem_free(text);
    sbuf_free(&dir);
    fact_set_free(s);
    return NULL;
}
