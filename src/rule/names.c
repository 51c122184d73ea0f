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

void finding_clear(struct finding *f)
{
    char *const texts[] = {f->subject_kind, f->subject, f->lot,    f->file,
                           f->message,      f->value,   f->limit,  f->limit_source,
                           f->needs,        f->key,     f->waiver, f->waiver_reason};
    for (size_t i = 0; i < LW_COUNT(texts); i++)
        mem_free(texts[i]);
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
