#include "text/base.h"

#include "rule/detail.h"
#include "rule/finding.h"
#include "rule/rule.h"
#include "text/mem.h"

const char *verdict_name(enum verdict v)
{
    static const char *const names[] = {"holds", "fails", "cannot tell", "does not apply"};
    assert((size_t)v < LW_COUNT(names));
    return names[v];
}

const char *severity_name(enum severity s)
{
    static const char *const names[] = {"note", "query", "fix", "stop"};
    assert((size_t)s < LW_COUNT(names));
    return names[s];
}

const char *must_name(enum must_form f)
{
    static const char *const names[] = {"present", "matches",  "before", "not-before",
                                        "at-most", "at-least", "true"};
    assert((size_t)f < LW_COUNT(names));
    return names[f];
}

enum { FINDING_TEXTS = 12 };

static void texts_of(struct finding *f, char **out[FINDING_TEXTS])
{
    char **const all[FINDING_TEXTS] = {
        &f->subject_kind, &f->subject,      &f->lot,   &f->file, &f->message, &f->value,
        &f->limit,        &f->limit_source, &f->needs, &f->key,  &f->waiver,  &f->waiver_reason};
    memcpy(out, all, sizeof all);
}

void finding_clear(struct finding *f)
{
    char **texts[FINDING_TEXTS];
    texts_of(f, texts);
    for (size_t i = 0; i < LW_COUNT(texts); i++)
        mem_free(*texts[i]);
}

bool finding_copy(const struct finding *f, struct finding *to)
{
    char **texts[FINDING_TEXTS];
    bool ok = true;
    *to = *f;
    texts_of(to, texts);
    for (size_t i = 0; i < LW_COUNT(texts); i++) {
        const char *text = *texts[i];
        *texts[i] = text && ok ? mem_strdup(text) : NULL;
        ok = ok && (!text || *texts[i]);
    }
    if (!ok)
        finding_clear(to);
    return ok;
}

void findings_free(struct findings *f)
{
    if (!f)
        return;
    for (size_t i = 0; i < f->count; i++)
        finding_clear(&f->items[i]);
    mem_free(f->items);
    mem_free(f->tallies);
    mem_free(f);
}
