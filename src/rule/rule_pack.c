/* rule_pack.c - the rules as they were read at build time, without their examples. */
#include "text/base.h"

#include "rule/rule_read.h"
#include "text/mem.h"
#include "text/pack.h"

enum { RULE_TEXTS = 12, SOURCE_TEXTS = 4 };

static void rule_texts(struct rule *r, char **out[RULE_TEXTS])
{
    char **const all[RULE_TEXTS] = {&r->id,   &r->topic, &r->title, &r->since,
                                    &r->fact, &r->where, &r->value, &r->against,
                                    &r->say,  &r->why,   &r->todo,  &r->decides};
    memcpy(out, all, sizeof all);
}

static void source_texts(struct rule_source *s, char **out[SOURCE_TEXTS])
{
    char **const all[SOURCE_TEXTS] = {&s->work, &s->section, &s->edition, &s->sure};
    memcpy(out, all, sizeof all);
}

void rule_pack(struct rule *r, struct sbuf *b)
{
    char **texts[RULE_TEXTS], **source[SOURCE_TEXTS];
    rule_texts(r, texts);
    for (size_t i = 0; i < LW_COUNT(texts); i++)
        pack_text(b, *texts[i]);
    pack_number(b, (long)r->severity);
    pack_number(b, (long)r->form);
    pack_number(b, r->against_limit);
    pack_number(b, (long)r->source_count);
    for (size_t i = 0; i < r->source_count; i++) {
        source_texts(&r->sources[i], source);
        for (size_t k = 0; k < LW_COUNT(source); k++)
            pack_text(b, *source[k]);
    }
}

static void unpack_sources(struct rule *r, struct pack *in)
{
    char **source[SOURCE_TEXTS];
    size_t count = (size_t)unpack_number(in);
    r->sources = in->failed ? NULL : mem_calloc(count ? count : 1, sizeof *r->sources);
    in->failed = in->failed || !r->sources;
    for (; !in->failed && r->source_count < count; r->source_count++) {
        source_texts(&r->sources[r->source_count], source);
        for (size_t k = 0; k < LW_COUNT(source); k++)
            *source[k] = unpack_text(in);
    }
}

struct rule *rule_unpack(struct pack *in, const char *rules_dir)
{
    char **texts[RULE_TEXTS];
    struct sbuf path = SBUF_INIT;
    struct rule *r = mem_calloc(1, sizeof *r);
    if (!r) {
        in->failed = true;
        return NULL;
    }
    rule_texts(r, texts);
    for (size_t i = 0; i < LW_COUNT(texts); i++)
        *texts[i] = unpack_text(in);
    r->severity = (enum severity)unpack_number(in);
    r->form = (enum must_form)unpack_number(in);
    r->against_limit = unpack_number(in) != 0;
    unpack_sources(r, in);
    if (!in->failed) {
        sbuf_printf(&path, "%s/%s/%s.xml", rules_dir, r->topic, r->id);
        r->file = sbuf_take(&path);
        in->failed = !r->file;
    }
    if (in->failed) {
        rule_free(r);
        r = NULL;
    }
    return r;
}
