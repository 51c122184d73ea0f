/* xml_reader.c - XML record files as a stream of records.
 *
 * libxml2's push parser finds the tags and checks well-formedness; nothing it reads is kept beyond
 * the record at hand.  Entities stay unresolved (only the five and character references exist
 * without a DOCTYPE, and a DOCTYPE stops the reader before its content is read). */
#include "text/base.h"

#include <libxml/parser.h>

#include "record/xml_reader_internal.h"
#include "text/mem.h"
#include "text/utf8.h"

/* A tag or comment longer than this never ends as far as we are concerned. */
static const size_t PENDING_BYTES = (size_t)16 * READER_ATTR_BYTES;
static const size_t MESSAGES_MAX = 1000; /* a file with more errors than this is told once */

struct diags *xml_diags(struct xml_reader *x)
{
    if (x->d != NULL && diags_count(x->d) - x->messages_before >= MESSAGES_MAX) {
        x->untold = true;
        return NULL;
    }
    return x->d;
}

void xml_stop(struct xml_reader *x, const char *code, long line, const char *hint, const char *fmt,
              ...)
{
    struct sbuf text = SBUF_INIT;
    va_list ap;

    if (x->stopped) {
        return;
    }
    x->stopped = true;
    va_start(ap, fmt);
    sbuf_vprintf(&text, fmt, ap);
    va_end(ap);
    diags_add(x->d, DIAG_FATAL, code, x->name, line, 0, hint, "%s", text.s);
    sbuf_free(&text);
    if (x->parser != NULL) {
        xmlStopParser(x->parser);
    }
}

void xml_out_of_memory(struct xml_reader *x)
{
    diags_out_of_memory(x->d);
    x->stopped = true;
    if (x->parser != NULL) {
        xmlStopParser(x->parser);
    }
}

long xml_line(const struct xml_reader *x)
{
    return x->parser->input != NULL ? (long)x->parser->input->line : x->guard.line;
}

/* ---- refusals ---- */

static void on_doctype(void *user, const xmlChar *name, const xmlChar *public,
                       const xmlChar *system)
{
    struct xml_reader *x = user;

    (void)name;
    (void)public;
    (void)system;
    xml_stop(x, "doctype", xml_line(x), "take the <!DOCTYPE ...> out",
             "a DOCTYPE is refused: record files declare no entities and load nothing");
}

static void on_instruction(void *user, const xmlChar *target, const xmlChar *data)
{
    struct xml_reader *x = user;

    (void)data;
    xml_stop(x, "processing-instruction", xml_line(x), "take it out",
             "the processing instruction '%s' is refused", (const char *)target);
}

static xmlEntityPtr on_entity(void *user, const xmlChar *name)
{
    struct xml_reader *x = user;

    xml_stop(x, "entity", xml_line(x),
             "write the character itself; only &lt; &gt; &amp; &quot; &apos; exist",
             "the entity reference '&%s;' is refused", (const char *)name);
    return NULL;
}

/* ---- trouble ---- */

#if LIBXML_VERSION >= 21200
static void on_error(void *user, const xmlError *e)
#else
static void on_error(void *user, xmlErrorPtr e)
#endif
{
    struct xml_reader *x = user;
    struct sbuf text = SBUF_INIT;

    if (x->stopped || e == NULL || e->level < XML_ERR_FATAL) {
        return;
    }
    if (e->code == XML_ERR_NO_MEMORY) {
        xml_out_of_memory(x);
        return;
    }
    if (x->ending && x->depth > 0) {
        xml_stop(x, "cut-off", x->guard.line,
                 "the file was cut off: get it again, or close the elements",
                 "the file ends early: %s is not closed",
                 x->open > 0 ? x->stack[x->open - 1]->element->name : "<records>");
        return;
    }
    sbuf_puts(&text, e->message != NULL ? e->message : "not well formed");
    while (text.len > 0 && ascii_space((unsigned char)text.s[text.len - 1])) {
        text.s[--text.len] = '\0';
    }
    xml_stop(x, "not-well-formed", e->line > 0 ? e->line : xml_line(x),
             "correct the XML here; what stands after it was not read", "not well-formed XML: %s",
             text.s);
    sbuf_free(&text);
}

/* The quote that opens the value the text s[0..n) ends in; NULL when it ends outside one. */
static const char *open_quote(const char *s, size_t n)
{
    const char *open = NULL;

    for (size_t i = 0; i < n; i++) {
        if (open == NULL && (s[i] == '"' || s[i] == '\'')) {
            open = s + i;
        } else if (open != NULL && s[i] == *open) {
            open = NULL;
        }
    }
    return open;
}

/* Names the attribute that the pending, endless tag is in. */
static void refuse_pending(struct xml_reader *x)
{
    const char *s = (const char *)x->parser->input->cur;
    size_t n = (size_t)(x->parser->input->end - x->parser->input->cur);
    const char *name = *s == '<' && n > 1 && s[1] != '!' ? open_quote(s, n) : NULL;
    int len = 0;

    while (name != NULL && name > s && (name[-1] == '=' || ascii_space((unsigned char)name[-1]))) {
        name--;
    }
    while (name != NULL && name > s && (ascii_alnum((unsigned char)name[-1]) || name[-1] == '-')) {
        name--;
        len++;
    }
    if (len > 0 && len < 64) {
        xml_stop(x, "too-large", xml_line(x), "keep a long text in a document and name it here",
                 "attribute '%.*s' does not end within %zu bytes; an attribute has at most %d", len,
                 name, PENDING_BYTES, READER_ATTR_BYTES);
    } else {
        xml_stop(x, "too-large", xml_line(x), "is a closing quote or '>' missing?",
                 "a tag or comment does not end within %zu bytes", PENDING_BYTES);
    }
}

/* ---- the reader ---- */

struct xml_reader *xml_reader_new(const char *name, record_sink *sink, void *user,
                                  struct reader_counts *counts, struct diags *d)
{
    struct xml_reader *x = mem_calloc(1, sizeof *x);
    xmlSAXHandler sax;

    if (x == NULL || (x->name = mem_strdup(name)) == NULL) {
        mem_free(x);
        return NULL;
    }
    x->scratch = (struct sbuf)SBUF_INIT;
    x->head = (struct sbuf)SBUF_INIT;
    x->sink = sink;
    x->user = user;
    x->counts = counts;
    x->d = d;
    x->messages_before = d != NULL ? diags_count(d) : 0;
    x->ctx = (struct record_context){UNITS_UNDECLARED, NUMBER_EITHER, false};
    text_guard_start(&x->guard, x->name);
    memset(&sax, 0, sizeof sax);
    sax.initialized = XML_SAX2_MAGIC;
    sax.startElementNs = xml_on_start;
    sax.endElementNs = xml_on_end;
    sax.characters = xml_on_text;
    sax.cdataBlock = xml_on_text;
    sax.internalSubset = on_doctype;
    sax.processingInstruction = on_instruction;
    sax.getEntity = on_entity;
    sax.serror = on_error;
    x->parser = xmlCreatePushParserCtxt(&sax, x, NULL, 0, NULL);
    if (x->parser == NULL) {
        xml_reader_free(x);
        return NULL;
    }
    (void)xmlCtxtUseOptions(x->parser, XML_PARSE_NONET | XML_PARSE_BIG_LINES);
    return x;
}

static bool parse_piece(struct xml_reader *x, const char *text, size_t n)
{
    if (!text_guard_push(&x->guard, text, n, x->d)) {
        /* What is whole before the bad byte is handed on, however large the pieces are. */
        if (x->guard.good > 0) {
            (void)xmlParseChunk(x->parser, text, (int)x->guard.good, 0);
        }
        x->stopped = true;
        return false;
    }
    (void)xmlParseChunk(x->parser, text, (int)n, 0);
    if (!x->stopped && x->parser->input != NULL &&
        (size_t)(x->parser->input->end - x->parser->input->cur) > PENDING_BYTES) {
        refuse_pending(x);
    }
    return !x->stopped;
}

/* The declaration is looked at before the parser sees it, so the first pieces wait for its end. */
static bool begin(struct xml_reader *x)
{
    x->begun = true;
    if (x->head.failed) {
        xml_out_of_memory(x);
        return false;
    }
    if (!text_guard_head(&x->guard, x->head.s, x->head.len, x->d)) {
        x->stopped = true;
        return false;
    }
    return parse_piece(x, x->head.s, x->head.len);
}

bool xml_reader_push(struct xml_reader *x, const char *text, size_t n)
{
    if (x->stopped || n == 0) {
        return !x->stopped;
    }
    if (x->begun) {
        return parse_piece(x, text, n);
    }
    sbuf_putn(&x->head, text, n);
    if (!x->head.failed && x->head.len < TEXT_GUARD_HEAD &&
        memchr(x->head.s, '>', x->head.len) == NULL) {
        return true;
    }
    return begin(x);
}

bool xml_reader_end(struct xml_reader *x)
{
    if (!x->stopped && !x->begun && x->head.len > 0) {
        (void)begin(x);
    }
    x->ending = true;
    if (!x->stopped && !x->begun) {
        xml_stop(x, "empty", 0, "a record file holds at least <records/>", "the file is empty");
    }
    if (!x->stopped && !text_guard_end(&x->guard, x->d)) {
        x->stopped = true;
    }
    if (!x->stopped) {
        (void)xmlParseChunk(x->parser, NULL, 0, 1);
    }
    if (!x->stopped && (!x->parser->wellFormed || x->depth != 0)) {
        xml_stop(x, "cut-off", x->guard.line, NULL, "the file is not whole");
    }
    if (x->untold) {
        diags_add(x->d, DIAG_NOTE, "more-errors", x->name, 0, 0, NULL,
                  "more than %zu messages: the others are not shown", MESSAGES_MAX);
    }
    x->counts->whole = !x->stopped;
    return !x->stopped;
}

void xml_reader_free(struct xml_reader *x)
{
    if (x == NULL) {
        return;
    }
    record_free(x->stack[0]);
    if (x->parser != NULL) {
        xmlFreeParserCtxt(x->parser);
    }
    sbuf_free(&x->scratch);
    sbuf_free(&x->head);
    mem_free(x->name);
    mem_free(x);
}
