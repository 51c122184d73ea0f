/* dictionary.h - the one table that says what a record may hold.
 *
 * From it come the memory tables, the reader and its messages, the CSV header mapping, the
 * exporter, the RELAX NG schema and the tables of lotward-records(5). Change a record here and
 * nowhere else. */
#ifndef LW_RECORD_DICTIONARY_H
#define LW_RECORD_DICTIONARY_H

#include "text/base.h"
#include "text/quantity.h"

enum attr_type {
    ATTR_TOKEN,   /* an id or code: letters, digits, . _ - / and +, no white space, at most 64 bytes
                   */
    ATTR_TEXT,    /* free text, one line or more */
    ATTR_DATE,    /* a date, with or without a time */
    ATTR_QTY,     /* number and unit of `dim` */
    ATTR_PERCENT, /* "28 %", 0 to 100; column NAME_percent */
    ATTR_RATIO,   /* "1:40": one part of material to so many of liquid; column NAME_parts */
    ATTR_CHOICE,  /* one word of `words` */
    ATTR_FLAG,    /* yes | no */
    ATTR_COUNTRY, /* ISO 3166-1 alpha-2 code, or one of the trade's extra codes */
    ATTR_REF,     /* the id of another record of one of the kinds in `words` */
    ATTR_REFS     /* several, separated by white space; also in table rec_link */
};

enum attr_flag {
    ATTR_REQUIRED = 1,  /* without it the record cannot be placed: refused */
    ATTR_LIQUID = 2,    /* an amount of liquid: a bare "oz" is refused */
    ATTR_CATALOGUE = 4, /* ATTR_REF that may also name a row of the shipped catalogue */
    ATTR_SIGNED = 8     /* a number that may be less than nothing: a storey below grade */
};

struct dict_attr {
    const char *name; /* as written in XML: lower case, hyphens */
    enum attr_type type;
    enum dimension dim; /* ATTR_QTY */
    const char *words;  /* choices or referred kinds, separated by one space; NULL otherwise */
    unsigned flags;
    const char *meaning; /* one sentence for the manual and the messages */
};

struct dict_element {
    const char *name;   /* "receipt" */
    const char *parent; /* "records", or the element it stands in ("batch") */
    const char *meaning;
    const struct dict_attr *attrs; /* attrs[0] of a top-level kind is always its id */
    size_t attr_count;
};

/* All elements, parents before children. The table is static and never freed. */
const struct dict_element *dict_elements(size_t *count);
const struct dict_element *dict_find(const char *name); /* NULL: unknown */
/* Index of the attribute, or -1. */
int dict_attr_index(const struct dict_element *e, const char *name);
bool dict_word(const char *words, const char *word, size_t n); /* is word[0..n) one of words? */

/* Column suffix of the converted value: "_g", "_l", "_c", "_volpct" ...; "" when there is none.
 * DIM_AMOUNT has two: "_g" and "_l"; exactly one of them is filled. */
const char *dict_suffix(const struct dict_attr *a);
/* XML name to SQL column: '-' becomes '_'. out must hold the name and its NUL. */
void dict_column(const char *name, char *out, size_t size);

#endif
