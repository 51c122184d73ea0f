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
    double value;     /* NUMBER_OK and NUMBER_APPROX */
    size_t len;       /* bytes of the text taken, leading white space included */
    int decimals;     /* digits typed after the mark, less the exponent; 0 for a fraction */
    double half_step; /* half of the last typed place: 1.50 gives 0.005, 1/4 gives 0.125 */
};

/* Decimal mark the file declared; NUMBER_EITHER accepts "1,5" and "1.5" and refuses what could be a
 * thousands group ("1,500"; "1.500" is one and a half: a point is always a decimal mark). */
enum number_style { NUMBER_EITHER, NUMBER_POINT, NUMBER_COMMA };

/* Reads a number at the start of s (NULL: missing): sign, digits with one decimal mark, exponent
 * (1e-3), fractions (1/2, 1 1/2, U+00BD and friends). Digits are converted by correctly rounded
 * conversion of the decimal text. At most 40 digits and |exponent| <= 99.
 * A word for a missing value must be the whole of s. Digits grouped by commas, points or spaces
 * ("1,500", "1 500") are NUMBER_AMBIGUOUS, with `len` the bytes of the doubtful text. */
struct number number_parse(const char *s, enum number_style style);
/* NULL, white space only, or one of the words for a value that is not there. */
bool number_is_missing(const char *s);
/* The whole of s must be one plain number (NUMBER_POINT); true and *v on success. For sheets. */
bool number_exact(const char *s, double *v);
/* The whole of s must be a decimal integer that fits. */
bool number_integer(const char *s, long long *v);

/* digits[0..n) times ten to the power e, rounded to the nearest double, ties to even. n <= 40,
 * |e| <= 200; the digits are ASCII. The C library's conversion follows the locale, this does not.
 */
double number_from_digits(const char *digits, size_t n, int e);

#endif
