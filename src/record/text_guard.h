/* text_guard.h - what every record file must be before a parser sees it: UTF-8 text without zero
 * bytes. Works on a stream; keeps the line number and a character cut by the end of a piece. */
#ifndef LW_RECORD_TEXT_GUARD_H
#define LW_RECORD_TEXT_GUARD_H

#include "text/diag.h"

#define TEXT_GUARD_HEAD 256 /* an XML declaration ends within so many bytes */

struct text_guard {
    const char *name; /* of the file, for messages; not owned */
    long line;        /* of the next byte */
    char cut[4];      /* first bytes of a character whose end has not come yet */
    size_t cut_len;
    size_t good; /* bytes of the last piece before the first bad one */
};

void text_guard_start(struct text_guard *g, const char *name);
/* Looks at the start of a file (its first TEXT_GUARD_HEAD bytes, or up to a '>'): UTF-16 and UTF-32
 * marks, and an XML declaration that names another encoding. false with a fatal diagnostic. */
bool text_guard_head(struct text_guard *g, const char *text, size_t n, struct diags *d);
/* false with a fatal diagnostic (line, byte) at the first ill-formed sequence or zero byte. */
bool text_guard_push(struct text_guard *g, const char *text, size_t n, struct diags *d);
/* At the end of the text: no character may be half there. */
bool text_guard_end(struct text_guard *g, struct diags *d);

#endif
