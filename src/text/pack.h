/* pack.h - a flat text of many fields, for what is worked out at build time and read back whole.
 *
 * A field ends in the control character US and may hold none, which XML does not let in anyway. */
#ifndef LW_TEXT_PACK_H
#define LW_TEXT_PACK_H

#include "text/sbuf.h"

void pack_text(struct sbuf *b, const char *s); /* NULL comes back as NULL */
void pack_number(struct sbuf *b, long v);

struct pack {
    const char *p; /* what is left */
    bool failed;   /* sticky: the text ended early, or memory failed */
};

char *unpack_text(struct pack *in);  /* owned by the caller; NULL: packed as NULL, or failed */
long unpack_number(struct pack *in); /* 0 when failed */

#endif
