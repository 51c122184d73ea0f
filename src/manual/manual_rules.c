/* manual_rules.c - the rules, the patterns and the cautions as mdoc lists. */
#include "text/base.h"

#include "manual/manual.h"
#include "text/show.h"
#include "text/utf8.h"
#include "text/xmldoc.h"

/* The topics in the order of the alphabet, each once; rules are few enough to look twice. */
static const char *next_topic(struct manual *m, const char *after)
{
    const char *best = NULL;

    for (size_t i = 0; i < rule_set_count(m->rules); i++) {
        const char *topic = rule_set_at(m->rules, i)->topic;

        if ((after == NULL || strcmp(topic, after) > 0) &&
            (best == NULL || strcmp(topic, best) < 0))
            best = topic;
    }
    return best;
}

void manual_rules(struct manual *m, struct sbuf *out)
{
    for (const char *topic = next_topic(m, NULL); topic != NULL; topic = next_topic(m, topic)) {
        mdoc_macro(out, "Ss", topic, NULL);
        sbuf_puts(out, ".Bl -tag -width Ds\n");
        for (size_t i = 0; i < rule_set_count(m->rules); i++) {
            const struct rule *r = rule_set_at(m->rules, i);
            struct sbuf text = SBUF_INIT;

            if (!str_eq(r->topic, topic))
                continue;
            mdoc_macro(out, "It Cm", r->id, NULL);
            sbuf_printf(&text, "%s. Severity %s; over the fact %s.", r->title,
                        severity_name(r->severity), r->fact);
            mdoc_text(out, text.s);
            sbuf_free(&text);
        }
        sbuf_puts(out, ".El\n");
    }
}

void manual_patterns(struct manual *m, struct sbuf *out)
{
    struct diags *d = diags_new();
    struct sbuf path = SBUF_INIT;
    xmlDoc *doc;

    sbuf_printf(&path, "%s/patterns.xml", m->data_dir);
    doc = d == NULL || path.failed ? NULL : xmldoc_read(path.s, d);
    m->failed = m->failed || doc == NULL;
    for (const xmlNode *n = doc == NULL ? NULL : xmldoc_first(xmlDocGetRootElement(doc), "pattern");
         n != NULL; n = xmldoc_next(n, "pattern")) {
        mdoc_macro(out, "It Cm", xmldoc_attr(n, "name"), NULL);
        mdoc_text(out, xmldoc_attr(n, "meaning"));
    }
    xmldoc_free(doc);
    sbuf_free(&path);
    diags_free(d);
}

static void put_decider(struct sbuf *out, const char *who)
{
    struct sbuf text = SBUF_INIT;

    sbuf_puts(&text, "Who decides: ");
    for (; *who != '\0'; who++)
        sbuf_putc(&text, *who == '-' ? ' ' : *who);
    sbuf_putc(&text, '.');
    mdoc_text(out, text.s);
    sbuf_free(&text);
}

static void put_caution(struct sbuf *out, const struct rule *r)
{
    mdoc_macro(out, "It Sy", r->title, NULL);
    mdoc_text(out, r->why);
    mdoc_text(out, r->todo);
    put_decider(out, r->decides);
    for (size_t i = 0; i < r->source_count; i++) {
        const struct rule_source *s = &r->sources[i];
        struct sbuf text = SBUF_INIT;

        sbuf_printf(&text, "Source: %s%s%s%s%s (%s).", s->work, s->section == NULL ? "" : " ",
                    s->section == NULL ? "" : s->section, s->edition == NULL ? "" : ", ",
                    s->edition == NULL ? "" : s->edition, show_sure(s->sure));
        mdoc_text(out, text.s);
        sbuf_free(&text);
    }
    sbuf_puts(out, "Rule:\n");
    mdoc_text(out, r->id);
}

static void put_cautions(struct manual *m, enum severity severity, struct sbuf *out)
{
    for (const char *topic = next_topic(m, NULL); topic != NULL; topic = next_topic(m, topic)) {
        size_t shown = 0;

        for (size_t i = 0; i < rule_set_count(m->rules); i++) {
            const struct rule *r = rule_set_at(m->rules, i);

            if (r->severity != severity || !str_eq(r->topic, topic))
                continue;
            if (shown++ == 0) {
                mdoc_macro(out, "Ss",
                           severity == SEVERITY_STOP ? "Before going on:" : "To read:", topic,
                           NULL);
                sbuf_puts(out, ".Bl -tag -width Ds\n");
            }
            put_caution(out, r);
        }
        sbuf_puts(out, shown > 0 ? ".El\n" : "");
    }
}

void manual_cautions(struct manual *m, struct sbuf *out)
{
    put_cautions(m, SEVERITY_STOP, out);
    put_cautions(m, SEVERITY_NOTE, out);
}
