/* number.h - strict decimal numbers, the same in every locale. */
#ifndef LW_TEXT_NUMBER_H
#define LW_TEXT_NUMBER_H

#include "text/base.h"

enum number_status {
    NUMBER_OK,
    NUMBER_APPROX,  /* "about 200", "~200", "ca. 200", "<1", ">5": value kept, not for arithmetic */
    NUMBER_MISSING, /* "", "-", "n/a", "na", "trace", "?", "unknown": present as a word, no value */
    NUMBER_AMBIGUOUS, /* "1,500" or "1.500,0": a thousands separator or a decimal comma? */
    NUMBER_BAD        /* not a number */
};

struct number {
    enum number_status status;
    double value; /* NUMBER_OK and NUMBER_APPROX */
    size_t len;   /* bytes of the text taken, leading white space included */
    int decimals; /* digits typed after the mark; for rounding bands */
};

/* Decimal mark the file declared; NUMBER_EITHER accepts "1,5" and "1.5" and refuses what could be a
 * thousands group ("1,500"; "1.500" is one and a half: a point is always a decimal mark). */
enum number_style { NUMBER_EITHER, NUMBER_POINT, NUMBER_COMMA };

/* Reads a number at the start of s: sign, digits with one decimal mark, exponent (1e-3), fractions
 * (1/2, 1 1/2, U+00BD and friends). Digits are converted by correctly rounded conversion of the
 * decimal text. At most 40 digits and |exponent| <= 99. */
struct number number_parse(const char *s, enum number_style style);
/* The whole of s must be one plain number (NUMBER_POINT); true and *v on success. For sheets. */
bool number_exact(const char *s, double *v);
bool number_integer(const char *s, long long *v);

#endif
