/* xml_reader_internal.h - the state of the XML reader; for xml_reader*.c only. */
#ifndef LW_RECORD_XML_READER_INTERNAL_H
#define LW_RECORD_XML_READER_INTERNAL_H

#include <libxml/parser.h>

#include "record/reader.h"
#include "record/text_guard.h"

struct xml_reader {
    char *name;
    record_sink *sink;
    void *user;
    struct reader_counts *counts;
    struct diags *d;
    size_t messages_before; /* diagnostics in d when the reader began */
    bool untold;            /* messages were left out */
    xmlParserCtxtPtr parser;
    struct text_guard guard;
    struct record_context ctx;
    struct sbuf scratch;
    struct sbuf head;                   /* the first pieces, until the XML declaration is whole */
    struct record *stack[READER_DEPTH]; /* stack[0] owns the rest */
    size_t open;                        /* records open */
    unsigned depth;                     /* elements open */
    unsigned skip;                      /* depth of the refused element; 0: none */
    bool bad;                           /* the open top-level record has errors */
    bool loose_text;                    /* text between records was told of */
    bool begun, ending, stopped;
};

/* x->d, or NULL once the file has had its share of messages. */
struct diags *xml_diags(struct xml_reader *x);
/* Adds a fatal diagnostic and stops; only the first one counts. */
void xml_stop(struct xml_reader *x, const char *code, long line, const char *hint, const char *fmt,
              ...) LW_PRINTF(5, 6);
void xml_out_of_memory(struct xml_reader *x);
long xml_line(const struct xml_reader *x); /* where the parser stands */

/* SAX2 callbacks, in xml_records.c. */
void xml_on_start(void *user, const xmlChar *local, const xmlChar *prefix, const xmlChar *uri,
                  int namespaces, const xmlChar **ns, int count, int defaulted,
                  const xmlChar **attributes);
void xml_on_end(void *user, const xmlChar *local, const xmlChar *prefix, const xmlChar *uri);
void xml_on_text(void *user, const xmlChar *text, int n);

#endif
