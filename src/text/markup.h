/* markup.h - text into XML and HTML, so that no character of it is taken for markup. */
#ifndef LW_TEXT_MARKUP_H
#define LW_TEXT_MARKUP_H

#include "text/sbuf.h"

/* & < > and " as references; NULL: nothing. */
void markup_put_text(struct sbuf *out, const char *s);
/* The same for the value of an attribute: tab and line ends too, which an XML reader would turn
 * into blanks (XML 1.0, section 3.3.3). */
void markup_put_attribute(struct sbuf *out, const char *s);

#endif
