/* xml_doc.h - a small XML file of our own data, whole: sheets of the catalogue, limits, facts,
 * rules.
 *
 * The same refusals as for record files: UTF-8 only, no DOCTYPE, no entities beyond the five, no
 * processing instructions, no XInclude, nothing loaded from elsewhere. */
#ifndef LW_RECORD_XML_DOC_H
#define LW_RECORD_XML_DOC_H

#include <libxml/tree.h>

#include "text/diag.h"

#define XML_DOC_BYTES ((size_t)16 * 1024 * 1024)

/* NULL with a diagnostic (error, with file and line). The caller frees it with xmlFreeDoc. */
xmlDoc *xml_doc_read(const char *path, struct diags *d);
/* The same from memory; `name` is used in messages. */
xmlDoc *xml_doc_parse(const char *name, const char *text, size_t n, struct diags *d);

/* The attribute's text, valid while the document lives; NULL: not there. */
const char *xml_attr(const xmlNode *node, const char *name);
/* Element children one by one; NULL: no further one. */
xmlNode *xml_first(const xmlNode *parent);
xmlNode *xml_next(const xmlNode *node);
bool xml_is(const xmlNode *node, const char *name); /* an element of that name, without namespace */
/* Appends the text in the element, runs of white space as one space, ends trimmed. */
void xml_text(const xmlNode *node, struct sbuf *out);
long xml_node_line(const xmlNode *node);

#endif
