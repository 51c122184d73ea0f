/* schema.h - the record dictionary as a RELAX NG schema (XML syntax). */
#ifndef LW_RECORD_SCHEMA_H
#define LW_RECORD_SCHEMA_H

#include "text/sbuf.h"

/* Appends the schema: every element, where it may stand, the names of its attributes, and the form
 * of those that must be there. Fast in every validator.
 * Whatever the reader takes is valid; what is not valid the reader refuses. */
void schema_print(struct sbuf *out);

/* The same with the words, codes, ids and date forms of every attribute. For editors, and for
 * validators that take attributes without trying each set of them (libxml2 does try: its time
 * doubles with every attribute an element has). */
void schema_print_exact(struct sbuf *out);

#endif
