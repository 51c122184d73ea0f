/* xml_doc.c - a small XML file of our own data, whole. */
#include "text/base.h"

#include <libxml/parser.h>

#include "record/text_guard.h"
#include "record/xml_doc.h"
#include "text/file.h"
#include "text/utf8.h"

struct loading {
    const char *name;
    struct diags *d;
    xmlParserCtxtPtr parser;
    bool refused;
};

static void refuse(struct loading *l, const char *code, long line, const char *fmt, ...)
    LW_PRINTF(4, 5);
static void refuse(struct loading *l, const char *code, long line, const char *fmt, ...)
{
    struct sbuf text = SBUF_INIT;
    va_list ap;

    if (!l->refused) {
        va_start(ap, fmt);
        sbuf_vprintf(&text, fmt, ap);
        va_end(ap);
        diags_add(l->d, DIAG_ERROR, code, l->name, line, 0, NULL, "%s", text.s);
        sbuf_free(&text);
    }
    l->refused = true;
    xmlStopParser(l->parser);
}

static long line_of(const struct loading *l)
{
    return l->parser->input != NULL ? (long)l->parser->input->line : 0;
}

/* The parser builds its tree with itself as the callbacks' user; _private leads back here. */
static void on_doctype(void *user, const xmlChar *name, const xmlChar *public,
                       const xmlChar *system)
{
    struct loading *l = ((xmlParserCtxtPtr)user)->_private;

    (void)name;
    (void)public;
    (void)system;
    refuse(l, "doctype", line_of(l), "a DOCTYPE is refused");
}

static void on_instruction(void *user, const xmlChar *target, const xmlChar *data)
{
    struct loading *l = ((xmlParserCtxtPtr)user)->_private;

    (void)data;
    refuse(l, "processing-instruction", line_of(l), "the processing instruction '%s' is refused",
           (const char *)target);
}

#if LIBXML_VERSION >= 21200
static void on_error(void *user, const xmlError *e)
#else
static void on_error(void *user, xmlErrorPtr e)
#endif
{
    struct loading *l = ((xmlParserCtxtPtr)user)->_private;
    struct sbuf text = SBUF_INIT;

    if (e == NULL || e->level < XML_ERR_ERROR) {
        return;
    }
    sbuf_puts(&text, e->message != NULL ? e->message : "not well formed");
    while (text.len > 0 && ascii_space((unsigned char)text.s[text.len - 1])) {
        text.s[--text.len] = '\0';
    }
    refuse(l, "not-well-formed", e->line, "not well-formed XML: %s", text.s);
    sbuf_free(&text);
}

static bool guard(const char *name, const char *text, size_t n, struct diags *d)
{
    struct text_guard g;

    text_guard_start(&g, name);
    return text_guard_head(&g, text, n, d) && text_guard_push(&g, text, n, d) &&
           text_guard_end(&g, d);
}

xmlDoc *xml_doc_parse(const char *name, const char *text, size_t n, struct diags *d)
{
    struct loading l = {name, d, NULL, false};
    xmlDoc *doc = NULL;

    if (n == 0 || n > XML_DOC_BYTES) {
        diags_add(d, DIAG_ERROR, n == 0 ? "empty" : "too-large", name, 0, 0, NULL,
                  n == 0 ? "the file is empty" : "the file is too large");
        return NULL;
    }
    if (!guard(name, text, n, d)) {
        return NULL;
    }
    l.parser = xmlNewParserCtxt();
    if (l.parser == NULL) {
        diags_out_of_memory(d);
        return NULL;
    }
    l.parser->_private = &l;
    l.parser->sax->internalSubset = on_doctype;
    l.parser->sax->processingInstruction = on_instruction;
    l.parser->sax->serror = on_error;
    doc = xmlCtxtReadMemory(l.parser, text, (int)n, NULL, NULL,
                            XML_PARSE_NONET | XML_PARSE_BIG_LINES | XML_PARSE_COMPACT |
                                XML_PARSE_NOCDATA);
    if (doc == NULL && !l.refused) {
        diags_out_of_memory(d);
    }
    if (doc != NULL && (l.refused || xmlDocGetRootElement(doc) == NULL)) {
        xmlFreeDoc(doc);
        doc = NULL;
    }
    xmlFreeParserCtxt(l.parser);
    return doc;
}

xmlDoc *xml_doc_read(const char *path, struct diags *d)
{
    struct sbuf text = SBUF_INIT;
    xmlDoc *doc = NULL;

    if (file_read(path, XML_DOC_BYTES, &text, d)) {
        doc = xml_doc_parse(path, text.s, text.len, d);
    }
    sbuf_free(&text);
    return doc;
}

const char *xml_attr(const xmlNode *node, const char *name)
{
    for (const xmlAttr *a = node->properties; a != NULL; a = a->next) {
        if (a->ns == NULL && strcmp((const char *)a->name, name) == 0) {
            return a->children != NULL ? (const char *)a->children->content : "";
        }
    }
    return NULL;
}

static xmlNode *element_from(xmlNode *n)
{
    while (n != NULL && n->type != XML_ELEMENT_NODE) {
        n = n->next;
    }
    return n;
}

xmlNode *xml_first(const xmlNode *parent)
{
    return element_from(parent->children);
}

xmlNode *xml_next(const xmlNode *node)
{
    return element_from(node->next);
}

bool xml_is(const xmlNode *node, const char *name)
{
    return node != NULL && node->type == XML_ELEMENT_NODE && node->ns == NULL &&
           strcmp((const char *)node->name, name) == 0;
}

void xml_text(const xmlNode *node, struct sbuf *out)
{
    bool space = false;
    size_t start = out->len;

    for (const xmlNode *c = node->children; c != NULL; c = c->next) {
        if (c->type != XML_TEXT_NODE && c->type != XML_CDATA_SECTION_NODE) {
            continue;
        }
        for (const char *s = (const char *)c->content; s != NULL && *s != '\0'; s++) {
            if (ascii_space((unsigned char)*s)) {
                space = true;
            } else {
                if (space && out->len > start) {
                    sbuf_putc(out, ' ');
                }
                space = false;
                sbuf_putc(out, *s);
            }
        }
    }
}

long xml_node_line(const xmlNode *node)
{
    return xmlGetLineNo((xmlNode *)(uintptr_t)node);
}
