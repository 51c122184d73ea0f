/* xmldoc.h - small shipped sheets (rules, facts, patterns) read into a tree, with nothing let in.
 *
 * No network, no DTD, no entities beyond the five, no processing instructions, no XInclude, no huge
 * documents: a DOCTYPE, an entity reference or an instruction is an error. For record files, which
 * may be long, see record/reader.h. */
#ifndef LW_TEXT_XMLDOC_H
#define LW_TEXT_XMLDOC_H

#include "text/base.h"
#include "text/diag.h"
#include "text/sbuf.h"
#include <libxml/tree.h>

/* Greatest size of one sheet: far above any shipped one, far below what could hurt. */
#define XMLDOC_MAX_BYTES (4u * 1024u * 1024u)

/* Reads `path`; NULL with a diagnostic (file and line) when it cannot be read, is not well formed,
 * or holds something refused. The caller frees the document with xmldoc_free(). */
xmlDoc *xmldoc_read(const char *path, struct diags *d);
xmlDoc *xmldoc_parse(const char *name, const char *text, size_t n, struct diags *d);
void xmldoc_free(xmlDoc *doc); /* NULL-safe */

bool xmldoc_is(const xmlNode *n, const char *name);
const xmlNode *xmldoc_first(const xmlNode *parent, const char *name); /* NULL name: any element */
const xmlNode *xmldoc_next(const xmlNode *n, const char *name);
/* Attribute value, owned by the document; NULL when absent. */
const char *xmldoc_attr(const xmlNode *n, const char *name);
/* Text content with runs of white space folded to one blank and the ends trimmed; for mem_free.
 * NULL when out of memory; "" when empty. */
char *xmldoc_text(const xmlNode *n);
/* The same, appended to out. */
void xmldoc_put_text(const xmlNode *n, struct sbuf *out);
/* Text content as it stands, for SQL and patterns; for mem_free. */
char *xmldoc_raw_text(const xmlNode *n);
/* The serialised element, for mem_free. */
char *xmldoc_serialise(const xmlNode *n);
long xmldoc_line(const xmlNode *n);
/* Refuses attributes not in `names` (separated by one blank) and adds a diagnostic naming each. */
bool xmldoc_only_attrs(const xmlNode *n, const char *names, const char *file, struct diags *d);

#endif
