/* schema.h - the record dictionary as a RELAX NG schema (XML syntax). */
#ifndef LW_RECORD_SCHEMA_H
#define LW_RECORD_SCHEMA_H

#include "text/sbuf.h"

/* Appends the schema. It says which elements and attributes there are, which must be there, and
 * the words, codes, ids and date forms; what a quantity means the reader alone can say. Whatever
 * the reader takes is valid; what is not valid the reader refuses. */
void schema_print(struct sbuf *out);

#endif
