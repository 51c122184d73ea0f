/* csv_field.h - one field of a line of a test table in CSV. */
#ifndef LW_TESTS_CSV_FIELD_H
#define LW_TESTS_CSV_FIELD_H

#include "text/base.h"

/* The field, quotes taken off, into out, cut to size; the rest of the line is returned. */
static inline char *field(char *s, char *out, size_t size)
{
    size_t n = 0;
    bool quoted = *s == '"';
    if (quoted)
        s++;
    for (; *s != '\0' && (quoted ? *s != '"' : *s != ','); s++)
        if (n + 1 < size)
            out[n++] = *s;
    out[n] = '\0';
    if (quoted && *s == '"')
        s++;
    return *s == ',' ? s + 1 : s;
}

#endif
