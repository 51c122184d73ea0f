#include "text/base.h"

#include "text/checkdigit.h"

enum {
    DECIMAL = 10,
    EC_MODULUS = 11,
    EC_BODY = 6,
    EC_TEN_STANDS_AS = 1, /* in the ELINCS list only */
    INDEX_BODY = 8,
    UFI_MODULUS = 31,
    UFI_LENGTH = 16,
    CAS_MAX_DIGITS = 10,
    GTIN_ODD_WEIGHT = 3
};

/* Value of a character is its place in this string (CLP Annex VIII, developers' manual). */
static const char UFI_ALPHABET[] = "0123456789ACDEFGHJKMNPQRSTUVWXY";

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static unsigned digit_value(char c)
{
    return (unsigned)(c - '0');
}

/* Does `text` follow `form`, in which '9' stands for any digit and the rest for itself? */
static bool has_form(const char *text, const char *form)
{
    for (; *form != '\0'; form++, text++) {
        if (*form == '9' ? !is_digit(*text) : *text != *form)
            return false;
    }
    return *text == '\0';
}

/* First `count` digits of `text`, weighted 1, 2, 3 ... from the left, other characters passed over.
 * The caller has checked that there are that many. */
static unsigned rising_sum(const char *text, unsigned count)
{
    unsigned sum = 0;

    for (unsigned weight = 1; weight <= count; text++) {
        if (is_digit(*text))
            sum += weight++ * digit_value(*text);
    }
    return sum;
}

enum check_result check_cas(const char *text)
{
    char digits[CAS_MAX_DIGITS];
    size_t count = 0, head = 0;
    unsigned sum = 0;

    if (text == NULL)
        return CHECK_BAD_FORM;
    while (head < CAS_MAX_DIGITS && is_digit(text[head]))
        head++;
    if (head < 2 || head > 7 || text[0] == '0' || !has_form(text + head, "-99-9"))
        return CHECK_BAD_FORM;
    for (const char *p = text; *p != '\0'; p++) {
        if (is_digit(*p))
            digits[count++] = *p;
    }
    for (size_t weight = 1; weight < count; weight++)
        sum += (unsigned)weight * digit_value(digits[count - 1 - weight]);
    return sum % DECIMAL == digit_value(digits[count - 1]) ? CHECK_OK : CHECK_BAD_DIGIT;
}

enum check_result check_ec(const char *text)
{
    unsigned remainder, check;

    if (text == NULL || !has_form(text, "999-999-9") || text[0] < '2')
        return CHECK_BAD_FORM;
    remainder = rising_sum(text, EC_BODY) % EC_MODULUS;
    check = digit_value(text[strlen(text) - 1]);
    if (remainder == DECIMAL)
        return text[0] == '4' && check == EC_TEN_STANDS_AS ? CHECK_OK : CHECK_BAD_DIGIT;
    return remainder == check ? CHECK_OK : CHECK_BAD_DIGIT;
}

enum check_result check_index_number(const char *text)
{
    unsigned remainder;
    char check;

    if (text == NULL || !(has_form(text, "999-999-99-9") || has_form(text, "999-999-99-X")))
        return CHECK_BAD_FORM;
    remainder = rising_sum(text, INDEX_BODY) % EC_MODULUS;
    check = text[strlen(text) - 1];
    if (check == 'X')
        return remainder == DECIMAL ? CHECK_OK : CHECK_BAD_DIGIT;
    return remainder == digit_value(check) ? CHECK_OK : CHECK_BAD_DIGIT;
}

enum check_result check_gtin_length(const char *text, unsigned length)
{
    unsigned sum = 0;

    if (text == NULL || !(length == 8 || (length >= 12 && length <= 14)))
        return CHECK_BAD_FORM;
    for (unsigned i = 0; i < length; i++) {
        if (!is_digit(text[i]))
            return CHECK_BAD_FORM;
        /* The check digit itself has weight 1, its neighbour 3, and so on leftwards. */
        sum += ((length - i) % 2 == 0 ? GTIN_ODD_WEIGHT : 1) * digit_value(text[i]);
    }
    if (text[length] != '\0')
        return CHECK_BAD_FORM;
    return sum % DECIMAL == 0 ? CHECK_OK : CHECK_BAD_DIGIT;
}

enum check_result check_gtin(const char *text)
{
    size_t length = 0;

    if (text == NULL)
        return CHECK_BAD_FORM;
    while (length <= 14 && text[length] != '\0')
        length++;
    return check_gtin_length(text, (unsigned)length);
}

enum check_result check_ufi(const char *text)
{
    unsigned sum = 0, position = 0;

    if (text == NULL)
        return CHECK_BAD_FORM;
    while (position < UFI_LENGTH) {
        const char *place;

        if (position > 0 && position % 4 == 0 && *text++ != '-')
            return CHECK_BAD_FORM;
        place = *text != '\0' ? strchr(UFI_ALPHABET, *text) : NULL;
        if (place == NULL)
            return CHECK_BAD_FORM;
        sum += ++position * (unsigned)(place - UFI_ALPHABET);
        text++;
    }
    if (*text != '\0')
        return CHECK_BAD_FORM;
    return sum % UFI_MODULUS == 0 ? CHECK_OK : CHECK_BAD_DIGIT;
}

const char *check_result_name(enum check_result result)
{
    switch (result) {
    case CHECK_OK:
        return "ok";
    case CHECK_BAD_FORM:
        return "bad form";
    case CHECK_BAD_DIGIT:
        return "bad check digit";
    }
    return "bad form";
}
