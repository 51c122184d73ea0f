/* number.c - strict decimal numbers, the same in every locale. */
#include "text/base.h"

#include "text/number.h"
#include "text/utf8.h"

enum { DIGITS_MOST = 40, EXPONENT_MOST = 99, GROUP = 3 };

#define MINUS_SIGN "\xE2\x88\x92" /* U+2212 */

static const char *skip_space(const char *s)
{
    while (ascii_space(*s))
        s++;
    return s;
}

/* Case-folded `word` at the start of s? */
static bool starts_word(const char *s, const char *word)
{
    for (; *word != '\0'; s++, word++)
        if (ascii_tolower((unsigned char)*s) != (unsigned char)*word)
            return false;
    return true;
}

bool number_is_missing(const char *s)
{
    static const char *const words[] = {"-",           "--",           "n/a",     "na",
                                        "n.a.",        "trace",        "unknown", "not known",
                                        "?",           "\xE2\x80\x93", /* en dash */
                                        "\xE2\x80\x94" /* em dash */};
    if (s == NULL)
        return true;
    s = skip_space(s);
    if (*s == '\0')
        return true;
    if (ascii_digit(*s)) /* as most are: no word begins so */
        return false;
    for (size_t i = 0; i < LW_COUNT(words); i++)
        if (starts_word(s, words[i]) && *skip_space(s + strlen(words[i])) == '\0')
            return true;
    return false;
}

/* Bytes of a word that makes the number an approximate one, white space after it included; else 0.
 */
static size_t approx_word(const char *s)
{
    static const char *const words[] = {"approximately",
                                        "approx.",
                                        "approx",
                                        "roughly",
                                        "around",
                                        "about",
                                        "circa",
                                        "ca.",
                                        "ca",
                                        "c.",
                                        "<=",
                                        ">=",
                                        "<",
                                        ">",
                                        "~",
                                        "\xE2\x89\x88", /* almost equal to */
                                        "\xE2\x89\xA4", /* less than or equal to */
                                        "\xE2\x89\xA5" /* greater than or equal to */};
    if (ascii_digit(*s))
        return 0;
    for (size_t i = 0; i < LW_COUNT(words); i++)
        if (starts_word(s, words[i]) && !ascii_alpha(s[strlen(words[i])]))
            return (size_t)(skip_space(s + strlen(words[i])) - s);
    return 0;
}

static size_t digit_run(const char *s)
{
    size_t n = 0;
    while (ascii_digit(s[n]))
        n++;
    return n;
}

/* One glyph that is a fraction: U+00BC and others.  Bytes taken, 0 when it is none. */
static size_t glyph_fraction(const char *s, int *top, int *bottom)
{
    static const struct {
        const char *glyph;
        int top, bottom;
    } glyphs[] = {
        {"\xC2\xBC", 1, 4},     {"\xC2\xBD", 1, 2},     {"\xC2\xBE", 3, 4},
        {"\xE2\x85\x93", 1, 3}, {"\xE2\x85\x94", 2, 3}, {"\xE2\x85\x95", 1, 5},
        {"\xE2\x85\x96", 2, 5}, {"\xE2\x85\x97", 3, 5}, {"\xE2\x85\x98", 4, 5},
        {"\xE2\x85\x99", 1, 6}, {"\xE2\x85\x9A", 5, 6}, {"\xE2\x85\x9B", 1, 8},
        {"\xE2\x85\x9C", 3, 8}, {"\xE2\x85\x9D", 5, 8}, {"\xE2\x85\x9E", 7, 8},
    };
    if ((unsigned char)*s < 0x80) /* all begin above ASCII */
        return 0;
    for (size_t i = 0; i < LW_COUNT(glyphs); i++)
        if (str_starts(s, glyphs[i].glyph)) {
            *top = glyphs[i].top;
            *bottom = glyphs[i].bottom;
            return strlen(glyphs[i].glyph);
        }
    return 0;
}

enum { FRACTION_DIGITS = 6 }; /* whole, top and bottom: all exact, so one division rounds */

static long small_int(const char *s, size_t n)
{
    long v = 0;
    for (size_t i = 0; i < n; i++)
        v = v * 10 + (s[i] - '0');
    return v;
}

/* "3/4" or a fraction glyph at s.  Bytes taken, 0 when there is none. */
static size_t fraction_part(const char *s, int *top, int *bottom)
{
    size_t n = glyph_fraction(s, top, bottom);
    if (n > 0)
        return n;
    size_t a = digit_run(s);
    if (a == 0 || a > FRACTION_DIGITS || s[a] != '/')
        return 0;
    size_t b = digit_run(s + a + 1);
    if (b == 0 || b > FRACTION_DIGITS)
        return 0;
    *top = (int)small_int(s, a);
    *bottom = (int)small_int(s + a + 1, b);
    return a + 1 + b;
}

/* "1/2", "1 1/2" or their glyph forms.  Bytes taken; 0: not a fraction. */
static size_t take_fraction(const char *s, struct number *r)
{
    int top = 0, bottom = 0;
    long whole = 0;

    size_t n = fraction_part(s, &top, &bottom);
    if (n == 0) {
        size_t w = digit_run(s);
        if (w == 0 || w > FRACTION_DIGITS)
            return 0;
        const char *rest = skip_space(s + w);
        size_t f = fraction_part(rest, &top, &bottom);
        if (f == 0)
            return 0;
        whole = small_int(s, w);
        n = (size_t)(rest - s) + f;
    }
    if (bottom == 0 || s[n] == '/' || ascii_digit(s[n]) || (whole > 0 && top >= bottom)) {
        r->status = NUMBER_BAD;
        return n;
    }
    r->value = (double)(whole * bottom + top) / (double)bottom;
    r->half_step = 0.5 / (double)bottom;
    return n;
}

/* Bytes of white space that people put between thousands: space, U+00A0, U+202F, U+2009; else 0. */
static size_t group_space(const char *s)
{
    static const char *const spaces[] = {" ", "\xC2\xA0", "\xE2\x80\xAF", "\xE2\x80\x89", "'"};
    for (size_t i = 0; i < LW_COUNT(spaces); i++)
        if (str_starts(s, spaces[i]))
            return strlen(spaces[i]);
    return 0;
}

/* "e-3" at s: bytes taken and the exponent; 0 when no digit follows (the e is a unit's). */
static size_t take_exponent(const char *s, int *e, bool *bad)
{
    if (*s != 'e' && *s != 'E')
        return 0;
    size_t sign = s[1] == '-' || s[1] == '+';
    size_t n = digit_run(s + 1 + sign);
    if (n == 0)
        return 0;
    long v = n > 4 ? EXPONENT_MOST + 1 : small_int(s + 1 + sign, n);
    if (v > EXPONENT_MOST)
        *bad = true;
    else
        *e = (int)(s[1] == '-' ? -v : v);
    return 1 + sign + n;
}

/* A decimal mark with digits behind it, by the style; AMBIGUOUS when it may group thousands. */
static enum number_status judge_mark(const char *s, size_t whole, size_t part,
                                     enum number_style style)
{
    bool comma = s[whole] == ',';
    char next = s[whole + 1 + part];

    if (comma ? style == NUMBER_POINT : style == NUMBER_COMMA)
        return NUMBER_AMBIGUOUS;
    if (((next == ',' || next == '.') && ascii_digit(s[whole + part + 2])))
        return NUMBER_AMBIGUOUS; /* two marks: one of them, or both, group thousands */
    if (comma && style == NUMBER_EITHER && part == GROUP && whole >= 1 && whole <= GROUP &&
        s[0] != '0')
        return NUMBER_AMBIGUOUS;
    return NUMBER_OK;
}

/* The bytes of all digits and marks from s on, for the message. */
static size_t doubtful_run(const char *s)
{
    size_t n = digit_run(s);
    while ((s[n] == ',' || s[n] == '.') && ascii_digit(s[n + 1]))
        n += 1 + digit_run(s + n + 1);
    for (size_t gap; (gap = group_space(s + n)) > 0 && digit_run(s + n + gap) == GROUP;)
        n += gap + GROUP;
    return n;
}

static size_t take_decimal(const char *s, enum number_style style, struct number *r)
{
    char digits[DIGITS_MOST];
    size_t whole = digit_run(s), part = 0, n = whole;
    int e = 0;
    bool bad = false;

    if ((s[n] == '.' || s[n] == ',') && ascii_digit(s[n + 1])) {
        part = digit_run(s + n + 1);
        r->status = judge_mark(s, whole, part, style);
        n += 1 + part;
    } else if (whole > 0 && group_space(s + n) > 0 &&
               digit_run(s + n + group_space(s + n)) == GROUP) {
        r->status = NUMBER_AMBIGUOUS;
    }
    if (r->status == NUMBER_AMBIGUOUS)
        return doubtful_run(s);
    n += take_exponent(s + n, &e, &bad);
    if (bad || whole + part == 0 || whole + part > DIGITS_MOST) {
        r->status = NUMBER_BAD;
        return 0;
    }
    memcpy(digits, s, whole);
    if (part > 0)
        memcpy(digits + whole, s + whole + 1, part);
    r->decimals = (int)part - e;
    r->value = number_from_digits(digits, whole + part, -r->decimals);
    r->half_step = number_from_digits("5", 1, -r->decimals - 1);
    return n;
}

/* -1, +1 and the bytes of the sign at s. */
static size_t take_sign(const char *s, bool *minus)
{
    *minus = *s == '-' || str_starts(s, MINUS_SIGN);
    return *s == '-' || *s == '+' ? 1 : *minus ? strlen(MINUS_SIGN) : 0;
}

struct number number_parse(const char *s, enum number_style style)
{
    struct number r = {NUMBER_OK, 0.0, 0, 0, 0.0};
    bool minus;

    if (number_is_missing(s)) {
        r.status = NUMBER_MISSING;
        r.len = s != NULL ? strlen(s) : 0;
        return r;
    }
    const char *at = skip_space(s);
    size_t word = approx_word(at);
    at += word;
    at += take_sign(at, &minus);
    size_t n = take_fraction(at, &r);
    if (n == 0)
        n = take_decimal(at, style, &r);
    if (r.status == NUMBER_BAD)
        return (struct number){NUMBER_BAD, 0.0, 0, 0, 0.0};
    r.len = (size_t)(at - s) + n;
    if (minus && r.value > 0)
        r.value = -r.value;
    if (r.status == NUMBER_OK && word > 0)
        r.status = NUMBER_APPROX;
    return r;
}

bool number_exact(const char *s, double *v)
{
    struct number r = {NUMBER_OK, 0.0, 0, 0, 0.0};
    bool minus;

    if (s == NULL)
        return false;
    size_t sign = *s == '-' || *s == '+';
    minus = *s == '-';
    if (!ascii_digit(s[sign]))
        return false;
    size_t n = take_decimal(s + sign, NUMBER_POINT, &r);
    if (r.status != NUMBER_OK || s[sign + n] != '\0')
        return false;
    *v = minus && r.value > 0 ? -r.value : r.value;
    return true;
}

bool number_integer(const char *s, long long *v)
{
    if (s == NULL)
        return false;
    bool minus = *s == '-';
    if (*s == '-' || *s == '+')
        s++;
    if (!ascii_digit(*s))
        return false;
    long long r = 0; /* counted down, since the negative side reaches one further */
    for (; ascii_digit(*s); s++) {
        int d = *s - '0';
        if (r < (LLONG_MIN + d) / 10)
            return false;
        r = r * 10 - d;
    }
    if (*s != '\0' || (!minus && r == LLONG_MIN))
        return false;
    *v = minus ? r : -r;
    return true;
}
