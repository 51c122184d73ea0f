/* xml_records.c - the elements and attributes of an XML record file, to records. */
#include "text/base.h"

#include <libxml/parser.h>

#include "record/dict_near.h"
#include "record/xml_reader_internal.h"
#include "text/utf8.h"

static const char xinclude[] = "http://www.w3.org/2001/XInclude";

/* The line on which the tag at hand begins; the parser stands at its end. */
static long tag_line(const struct xml_reader *x)
{
    const xmlParserInput *in = x->parser->input;
    const xmlChar *p = in->cur;
    long line = in->line;

    while (p > in->base && *p != '<') {
        p--;
        if (*p == '\n') {
            line--;
        }
    }
    return line;
}

/* ---- attributes ---- */

/* The parser leaves an ampersand of a value as "&#38;" while entities are not resolved. */
static bool set_value(struct xml_reader *x, struct record *r, size_t attr, const char *s, size_t n)
{
    static const char amp[] = "&#38;";
    const size_t amp_len = sizeof amp - 1;

    if (memchr(s, '&', n) == NULL) {
        return record_set_at(r, attr, s, n);
    }
    sbuf_clear(&x->scratch);
    for (size_t i = 0; i < n;) {
        if (n - i >= amp_len && memcmp(s + i, amp, amp_len) == 0) {
            sbuf_putc(&x->scratch, '&');
            i += amp_len;
        } else {
            sbuf_putc(&x->scratch, s[i++]);
        }
    }
    return !x->scratch.failed && record_set_at(r, attr, x->scratch.s, x->scratch.len);
}

static void unknown_attribute(struct xml_reader *x, const struct record *r, const char *prefix,
                              const char *name)
{
    const struct dict_element *e = r->element;
    struct near near;
    const char *best = near_attr(&near, name, e);
    struct sbuf hint = SBUF_INIT;

    if (best != NULL) {
        sbuf_printf(&hint, "did you mean '%s'?", best);
    } else {
        sbuf_puts(&hint, "it may have:");
        for (size_t i = 0; i < e->attr_count; i++) {
            sbuf_printf(&hint, " %s", e->attrs[i].name);
        }
    }
    diags_add(xml_diags(x), DIAG_ERROR, "unknown-attribute", x->name, r->line, 0, hint.s,
              "element '%s': unknown attribute '%s%s%s'", e->name, prefix != NULL ? prefix : "",
              prefix != NULL ? ":" : "", name);
    sbuf_free(&hint);
}

/* false: the record is bad (told) or memory failed. SAX2 gives five pointers an attribute: local
 * name, prefix, URI, start and end of the value. */
static bool take_attributes(struct xml_reader *x, struct record *r, int count,
                            const xmlChar **attributes)
{
    bool good = true;

    for (int i = 0; i < count; i++) {
        const char *name = (const char *)attributes[5 * i];
        const char *prefix = (const char *)attributes[5 * i + 1];
        const char *value = (const char *)attributes[5 * i + 3];
        size_t n = (size_t)(attributes[5 * i + 4] - attributes[5 * i + 3]);
        int at = prefix == NULL ? dict_attr_index(r->element, name) : -1;

        if (at < 0) {
            unknown_attribute(x, r, prefix, name);
            good = false;
        } else if (n > READER_ATTR_BYTES) {
            diags_add(xml_diags(x), DIAG_ERROR, "too-large", x->name, r->line, 0,
                      "keep a long text in a document and name it here",
                      "element '%s': attribute '%s' is %zu bytes long; an attribute has at most %d",
                      r->element->name, name, n, READER_ATTR_BYTES);
            good = false;
        } else if (!set_value(x, r, (size_t)at, value, n)) {
            xml_out_of_memory(x);
            return false;
        }
    }
    return good;
}

/* ---- elements ---- */

static void open_root(struct xml_reader *x, const char *name, const char *prefix, int count,
                      const xmlChar **attributes)
{
    const struct dict_element *e = dict_find("records");
    struct record *root = NULL;
    const char *word = NULL;

    if (prefix != NULL || strcmp(name, "records") != 0) {
        xml_stop(x, "not-records", tag_line(x), "a record file begins with <records>",
                 "the outermost element is '%s', not 'records': this is not a record file", name);
        return;
    }
    root = record_new(e, x->name, tag_line(x));
    if (root == NULL) {
        xml_out_of_memory(x);
        return;
    }
    if (!take_attributes(x, root, count, attributes) ||
        !record_check(root, &RECORD_CANONICAL, x->d)) {
        xml_stop(x, "bad-declaration", root->line, "correct the attributes of <records>",
                 "nothing was read: what <records> declares is not understood");
    } else {
        word = record_get(root, "units");
        x->ctx.system = word == NULL              ? UNITS_UNDECLARED
                        : strcmp(word, "us") == 0 ? UNITS_US
                                                  : UNITS_IMPERIAL;
        word = record_get(root, "decimal");
        x->ctx.style = word == NULL                 ? NUMBER_EITHER
                       : strcmp(word, "comma") == 0 ? NUMBER_COMMA
                                                    : NUMBER_POINT;
    }
    record_free(root);
}

static void refuse_element(struct xml_reader *x, const char *name, const char *prefix)
{
    const struct dict_element *e = prefix == NULL ? dict_find(name) : NULL;
    const char *inside = x->open > 0 ? x->stack[x->open - 1]->element->name : "records";
    struct near near;
    const char *best = e == NULL ? near_element(&near, name) : NULL;
    char hint[120] = "";

    x->bad = true;
    x->skip = x->depth;
    if (e != NULL) {
        (void)snprintf(hint, sizeof hint, "'%s' stands in '%s'", name,
                       e->parent != NULL ? e->parent : "nothing: it is the outermost element");
    } else if (best != NULL) {
        (void)snprintf(hint, sizeof hint, "did you mean '%s'?", best);
    }
    diags_add(xml_diags(x), DIAG_ERROR, e != NULL ? "misplaced-element" : "unknown-element",
              x->name, tag_line(x), 0, hint[0] != '\0' ? hint : NULL, "%s '%s%s%s' in '%s'",
              e != NULL ? "misplaced element" : "unknown element", prefix != NULL ? prefix : "",
              prefix != NULL ? ":" : "", name, inside);
}

static void open_record(struct xml_reader *x, const char *name, const char *prefix, int count,
                        const xmlChar **attributes)
{
    const struct dict_element *e = prefix == NULL ? dict_find(name) : NULL;
    struct record *above = x->open > 0 ? x->stack[x->open - 1] : NULL;
    const char *inside = above != NULL ? above->element->name : "records";
    struct record *r = NULL;

    if (e == NULL || e->parent == NULL || strcmp(e->parent, inside) != 0) {
        refuse_element(x, name, prefix);
        return;
    }
    r = record_new(e, x->name, tag_line(x));
    if (r == NULL || (above != NULL && !record_add_child(above, r))) {
        record_free(r);
        xml_out_of_memory(x);
        return;
    }
    x->stack[x->open++] = r;
    if (!take_attributes(x, r, count, attributes)) {
        x->bad = true;
    }
}

void xml_on_start(void *user, const xmlChar *local, const xmlChar *prefix, const xmlChar *uri,
                  int namespaces, const xmlChar **ns, int count, int defaulted,
                  const xmlChar **attributes)
{
    struct xml_reader *x = user;
    const char *name = (const char *)local;

    (void)ns;
    (void)defaulted;
    x->depth++;
    if (x->stopped) {
        return;
    }
    if (x->depth > READER_DEPTH) {
        xml_stop(x, "too-deep", tag_line(x), "records are at most three elements deep",
                 "elements are nested more than %d deep", READER_DEPTH);
    } else if (uri != NULL && strcmp((const char *)uri, xinclude) == 0) {
        xml_stop(x, "xinclude", tag_line(x), "name the other file on the command line instead",
                 "element '%s' would include another file: refused", name);
    } else if (namespaces > 0) {
        xml_stop(x, "namespace", tag_line(x), "take the xmlns attribute out",
                 "element '%s' declares a namespace: records have none", name);
    } else if (x->depth == 1) {
        open_root(x, name, (const char *)prefix, count, attributes);
    } else if (x->skip == 0) {
        open_record(x, name, (const char *)prefix, count, attributes);
    }
}

static void hand_on(struct xml_reader *x)
{
    struct record *r = x->stack[0];

    x->stack[0] = NULL;
    if (r != NULL && record_check(r, &x->ctx, xml_diags(x)) && !x->bad) {
        r->checked = true;
        x->counts->read++;
        if (!x->sink(r, &x->ctx, x->user)) {
            x->stopped = true;
            xmlStopParser(x->parser);
        }
    } else {
        x->counts->refused++;
        record_free(r);
    }
    x->bad = false;
}

void xml_on_end(void *user, const xmlChar *local, const xmlChar *prefix, const xmlChar *uri)
{
    struct xml_reader *x = user;
    unsigned closing = x->depth--;

    (void)local;
    (void)prefix;
    (void)uri;
    if (x->stopped) {
        return;
    }
    if (x->skip == closing) {
        x->skip = 0;
    } else if (x->skip == 0 && x->open > 0) {
        x->open--;
    }
    if (closing == 2) {
        hand_on(x);
    }
}

void xml_on_text(void *user, const xmlChar *text, int n)
{
    struct xml_reader *x = user;
    int i = 0;

    while (i < n && ascii_space(text[i])) {
        i++;
    }
    if (i == n || x->stopped || x->skip != 0) {
        return;
    }
    if (x->open == 0) {
        if (!x->loose_text) {
            diags_add(xml_diags(x), DIAG_ERROR, "loose-text", x->name, xml_line(x), 0,
                      "records are elements with attributes; notes go in <!-- comments -->",
                      "text between the records: it is not read");
        }
        x->loose_text = true;
    } else if (!x->bad) {
        x->bad = true;
        diags_add(xml_diags(x), DIAG_ERROR, "loose-text", x->name, xml_line(x), 0,
                  "write it in an attribute, such as note=\"...\"",
                  "element '%s' holds text: records are written in attributes",
                  x->stack[x->open - 1]->element->name);
    }
}
