#include "text/base.h"

#include "text/file.h"
#include "text/mem.h"
#include "text/utf8.h"
#include "text/xmldoc.h"
#include <libxml/parser.h>
#include <libxml/xmlerror.h>

struct parse_state {
    const char *name;
    struct diags *d;
    bool refused;
};

static void on_error(void *user, const xmlError *e)
{
    struct parse_state *ps = user;
    if (ps->refused || !e || e->level < XML_ERR_ERROR)
        return;
    ps->refused = true;
    if (e->code == XML_ERR_NO_MEMORY) {
        diags_out_of_memory(ps->d);
        return;
    }
    struct sbuf text = SBUF_INIT;
    sbuf_puts(&text, "not well-formed XML");
    if (e->message)
        sbuf_printf(&text, ": %s", e->message);
    while (text.len > 0 && ascii_space(text.s[text.len - 1]))
        text.s[--text.len] = '\0';
    diags_add(ps->d, DIAG_ERROR, "bad-xml", ps->name, e->line, e->int2, NULL, "%s", text.s);
    sbuf_free(&text);
}

/* An entity reference or a processing instruction, anywhere. */
static bool holds_refused(const xmlNode *n)
{
    for (; n; n = n->next) {
        if (n->type == XML_ENTITY_REF_NODE || n->type == XML_PI_NODE)
            return true;
        if (n->type != XML_ELEMENT_NODE)
            continue;
        for (const xmlAttr *a = n->properties; a; a = a->next)
            if (holds_refused(a->children))
                return true;
        if (holds_refused(n->children))
            return true;
    }
    return false;
}

xmlDoc *xmldoc_parse(const char *name, const char *text, size_t n, struct diags *d)
{
    size_t bad = 0;
    if (n == 0 || n > XMLDOC_MAX_BYTES) {
        diags_add(d, DIAG_ERROR, n == 0 ? "empty" : "too-large", name, 0, 0, NULL,
                  n == 0 ? "the file is empty" : "the sheet is too large");
        return NULL;
    }
    const char *nul = memchr(text, '\0', n); /* would be taken for a sign of another encoding */
    if (nul)
        bad = (size_t)(nul - text);
    if (nul || !utf8_valid(text, n, &bad)) {
        long line = 1;

        for (size_t i = 0; i < bad; i++)
            line += text[i] == '\n';
        diags_add(d, DIAG_ERROR, "bad-utf8", name, line, 0, "save the file as UTF-8",
                  "byte %zu is not UTF-8", bad);
        return NULL;
    }
    xmlParserCtxt *ctxt = xmlNewParserCtxt();
    if (!ctxt) {
        diags_out_of_memory(d);
        return NULL;
    }
    struct parse_state ps = {name, d, false};
    xmlSetStructuredErrorFunc(&ps, (xmlStructuredErrorFunc)on_error);
    /* The text is UTF-8 whatever it declares. Telling the library so instead would make it convert,
     * and it does not survive a failed allocation there (2.9.14). */
    xmlDoc *doc = xmlCtxtReadMemory(ctxt, text, (int)n, name, NULL,
                                    XML_PARSE_NONET | XML_PARSE_NOCDATA | XML_PARSE_BIG_LINES |
                                        XML_PARSE_IGNORE_ENC);
    xmlSetStructuredErrorFunc(NULL, NULL);
    bool ok = doc && ctxt->wellFormed && !ps.refused;
    if (!ok && !ps.refused)
        diags_add(d, DIAG_ERROR, "bad-xml", name, 0, 0, NULL, "not well-formed XML");
    if (ok && (doc->intSubset || doc->extSubset || holds_refused(doc->children))) {
        diags_add(d, DIAG_ERROR, "doctype", name, 1, 0, "remove it",
                  "a DOCTYPE, an entity or a processing instruction is not read");
        ok = false;
    }
    xmlFreeParserCtxt(ctxt);
    if (!ok) {
        xmlFreeDoc(doc);
        doc = NULL;
    }
    return doc;
}

xmlDoc *xmldoc_read(const char *path, struct diags *d)
{
    struct sbuf b = SBUF_INIT;
    xmlDoc *doc = NULL;
    if (file_read(path, XMLDOC_MAX_BYTES, &b, d))
        doc = xmldoc_parse(path, b.s, b.len, d);
    sbuf_free(&b);
    return doc;
}

void xmldoc_free(xmlDoc *doc)
{
    if (doc)
        xmlFreeDoc(doc);
}

bool xmldoc_is(const xmlNode *n, const char *name)
{
    return n && n->type == XML_ELEMENT_NODE &&
           (!name || (!n->ns && strcmp((const char *)n->name, name) == 0));
}

static const xmlNode *seek(const xmlNode *n, const char *name)
{
    while (n && !xmldoc_is(n, name))
        n = n->next;
    return n;
}

const xmlNode *xmldoc_first(const xmlNode *parent, const char *name)
{
    return parent ? seek(parent->children, name) : NULL;
}

const xmlNode *xmldoc_next(const xmlNode *n, const char *name)
{
    return n ? seek(n->next, name) : NULL;
}

const char *xmldoc_attr(const xmlNode *n, const char *name)
{
    for (const xmlAttr *a = n ? n->properties : NULL; a; a = a->next)
        if (!a->ns && strcmp((const char *)a->name, name) == 0)
            return a->children ? (const char *)a->children->content : "";
    return NULL;
}

char *xmldoc_raw_text(const xmlNode *n)
{
    xmlChar *all = xmlNodeGetContent(n);
    char *copy = all ? mem_strdup((const char *)all) : NULL;
    xmlFree(all);
    return copy;
}

char *xmldoc_text(const xmlNode *n)
{
    char *raw = xmldoc_raw_text(n);
    if (!raw)
        return NULL;
    size_t len = 0;
    for (const char *p = raw; *p; p++) {
        if (!ascii_space(*p))
            raw[len++] = *p;
        else if (len > 0 && raw[len - 1] != ' ')
            raw[len++] = ' ';
    }
    while (len > 0 && raw[len - 1] == ' ')
        len--;
    raw[len] = '\0';
    return raw;
}

void xmldoc_put_text(const xmlNode *n, struct sbuf *out)
{
    char *text = xmldoc_text(n);

    if (!text)
        out->failed = true;
    sbuf_puts(out, text);
    mem_free(text);
}

char *xmldoc_serialise(const xmlNode *n)
{
    xmlBuffer *b = xmlBufferCreate();
    char *copy = NULL;
    if (b && xmlNodeDump(b, n->doc, (xmlNode *)n, 0, 0) >= 0)
        copy = mem_strdup((const char *)xmlBufferContent(b));
    if (b)
        xmlBufferFree(b);
    return copy;
}

long xmldoc_line(const xmlNode *n)
{
    return n ? xmlGetLineNo(n) : 0;
}

static bool listed(const char *names, const char *word)
{
    size_t n = strlen(word);
    for (const char *p = names; (p = strstr(p, word)) != NULL; p += n)
        if ((p == names || p[-1] == ' ') && (p[n] == ' ' || p[n] == '\0'))
            return true;
    return false;
}

bool xmldoc_only_attrs(const xmlNode *n, const char *names, const char *file, struct diags *d)
{
    bool ok = true;
    for (const xmlAttr *a = n->properties; a; a = a->next) {
        if (listed(names, (const char *)a->name))
            continue;
        diags_add(d, DIAG_ERROR, "unknown-attribute", file, xmldoc_line(n), 0, NULL,
                  "element '%s': unknown attribute '%s' (known: %s)", (const char *)n->name,
                  (const char *)a->name, names);
        ok = false;
    }
    return ok;
}
