/* value.h - one typed text read by its declared type: what the tables hold, or what to type. */
#ifndef LW_RECORD_VALUE_H
#define LW_RECORD_VALUE_H

#include "record/record.h"

enum value_state {
    VALUE_BAD,    /* why and hint are set */
    VALUE_ABSENT, /* a word such as "n/a" where a date stands: the same as not given */
    VALUE_WORD,   /* approximate or missing in words: text only, no number */
    VALUE_TEXT,   /* text only */
    VALUE_NUMBER,
    VALUE_DATE
};

struct value {
    enum value_state state;
    double number;      /* VALUE_NUMBER: canonical unit of the attribute (dict_suffix) */
    double resolution;  /* half of the last typed digit, same unit */
    enum dimension dim; /* ATTR_QTY: DIM_MASS or DIM_VOLUME for an amount */
    const char *unit;   /* ATTR_QTY: canonical spelling of the typed unit; may be NULL */
    char date[11];      /* VALUE_DATE */
    int minute;         /* VALUE_DATE: minute of the day, -1: none */
    char why[200];
    char hint[400];
};

/* Reads text (not NULL, not empty, trimmed) as attribute a. `v->why` and `v->hint` are set only for
 * VALUE_BAD. Strengths become % vol at 20 degC. */
void value_read(const struct dict_attr *a, const char *text, const struct record_context *ctx,
                struct value *v);

/* Appends the canonical text of what value_read gave; nothing for VALUE_ABSENT and VALUE_BAD.
 * Reading the canonical text with RECORD_CANONICAL gives the same value and the same text. */
void value_canonical(const struct dict_attr *a, const char *text, const struct record_context *ctx,
                     const struct value *v, struct sbuf *out);

#endif
