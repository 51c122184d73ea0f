/*
 * Check digits of the numbers that stand on labels and papers.
 *
 * Every function takes a NUL-terminated string and says whether it has the printed form of that
 * number and whether its check character agrees. Nothing is trimmed, folded or repaired: a space,
 * a lower-case letter or a missing hyphen is a bad form. NULL is a bad form. Pure functions: no
 * allocation, no state. A number that passes is well formed; it may still never have been issued.
 *
 * What a passing check rules out (d = a digit read wrongly, s = two neighbours exchanged):
 *
 *   CAS     d: all but some even-weighted and five-weighted positions; s: all, save the last pair
 *              when its digits differ by five
 *   EC      d: all; s: all, both save numbers of the 4xx list ending in 1 (see check_ec)
 *   index   d: all; s: all
 *   GTIN    d: all; s: all but digits that differ by five
 *   UFI     d: all; s: all
 */
#ifndef LW_TEXT_CHECKDIGIT_H
#define LW_TEXT_CHECKDIGIT_H

enum check_result {
    CHECK_OK,       /* right form, right check character */
    CHECK_BAD_FORM, /* not written as such a number is written */
    CHECK_BAD_DIGIT /* right form, the check character disagrees */
};

/*
 * CAS registry number, 2 to 7 digits, two digits, one check digit: "64-17-5". Digits before the
 * last are weighted 1, 2, 3 ... from the right; the sum modulo 10 is the last digit.
 */
enum check_result check_cas(const char *text);

/*
 * EC or list number "200-578-6", first digit 2 to 9. The six leading digits are weighted 1 to 6
 * from the left; the sum modulo 11 is the last digit. A sum that leaves 10 was skipped when numbers
 * were given out, but for 181 numbers of the ELINCS list (4xx-xxx-x) issued with the digit 1.
 */
enum check_result check_ec(const char *text);

/*
 * Index number of CLP Annex VI, "603-002-00-5" or "603-001-00-X". Eight leading digits weighted 1
 * to 8 from the left, modulo 11, ten written X.
 */
enum check_result check_index_number(const char *text);

/*
 * GTIN of 8, 12, 13 or 14 digits (GS1): weights 3, 1, 3, 1 ... from the digit left of the check
 * digit; the check digit brings the sum to a multiple of ten.
 */
enum check_result check_gtin(const char *text);

/* The same for one length only; `length` other than 8, 12, 13, 14 is always a bad form. */
enum check_result check_gtin_length(const char *text, unsigned length);

/*
 * Unique formula identifier "XXXX-XXXX-XXXX-XXXX" (CLP Annex VIII): 31 characters, the digits and
 * the capitals without B I L O Z. Position times value, summed over the sixteen characters from the
 * left, is a multiple of 31.
 */
enum check_result check_ufi(const char *text);

/* "ok", "bad form", "bad check digit". */
const char *check_result_name(enum check_result result);

#endif
