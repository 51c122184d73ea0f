/* unit.c - finding a unit by the way it was written, and converting. */
#include "text/base.h"

#include "text/unit.h"
#include "text/unit_table.h"
#include "text/utf8.h"

enum { KEY_SIZE = 32 }; /* the longest spelling, its NUL, and room to see that it is too long */

static const struct unit *find_unit(const char *name, enum dimension want)
{
    const struct unit *other = NULL;

    for (size_t i = 0; i < LW_COUNT(units); i++) {
        if (units[i].name[0] != name[0] || strcmp(units[i].name, name) != 0)
            continue;
        if (dimension_takes(want, units[i].dim))
            return &units[i];
        if (other == NULL)
            other = &units[i];
    }
    return other;
}

/* Code points that stand for ASCII in a unit: micro, degree, squared, cubed, fraction slashes, and
 * the spaces that do not break. NULL: none of them. */
static const char *ascii_form(uint32_t cp)
{
    static const struct {
        uint32_t cp;
        const char *text;
    } forms[] = {
        {0xB5, "u"}, {0x3BC, "u"},     {0xB0, "deg"},    {0xBA, "deg"}, {0xB2, "2"},
        {0xB3, "3"}, {0x2103, "degC"}, {0x2109, "degF"}, {0x2044, "/"}, {0x2215, "/"},
        {0xA0, " "}, {0x202F, " "},    {0x2009, " "},
    };
    for (size_t i = 0; i < LW_COUNT(forms); i++)
        if (forms[i].cp == cp)
            return forms[i].text;
    return NULL;
}

/* The unit in plain ASCII; false when it is too long or holds another character. */
static bool to_ascii(const char *s, char out[KEY_SIZE])
{
    size_t left = strlen(s), n = 0;
    uint32_t cp;

    while (left > 0) {
        size_t len = utf8_next(s, left, &cp);
        char one[2] = {*s, '\0'};
        const char *text = len == 1 ? one : len > 1 ? ascii_form(cp) : NULL;
        if (text == NULL)
            return false;
        if (*s == '^' && (s[1] == '2' || s[1] == '3')) /* m^2 */
            text = "";
        size_t add = strlen(text);
        if (n + add >= KEY_SIZE)
            return false;
        memcpy(out + n, text, add);
        n += add;
        s += len;
        left -= len;
    }
    out[n] = '\0';
    return true;
}

static bool word_is(const char *s, size_t n, const char *word)
{
    if (strlen(word) != n)
        return false;
    for (size_t i = 0; i < n; i++)
        if (ascii_tolower(s[i]) != word[i])
            return false;
    return true;
}

/* A word that names the system of a gallon. */
static bool system_word(const char *s, size_t n, enum unit_system *system)
{
    if (word_is(s, n, "us") || word_is(s, n, "usa")) {
        *system = UNITS_US;
        return true;
    }
    if (word_is(s, n, "imp") || word_is(s, n, "imperial") || word_is(s, n, "uk") ||
        word_is(s, n, "british")) {
        *system = UNITS_IMPERIAL;
        return true;
    }
    return false;
}

/* "U.S." at p: bytes taken, or 0. */
static size_t dotted_us(const char *p)
{
    return (p[0] == 'U' || p[0] == 'u') && p[1] == '.' && (p[2] == 'S' || p[2] == 's') &&
                   p[3] == '.'
               ? 4
               : 0;
}

/* "(US)" or "(U.S.)" at p: bytes taken; 0 when it is not a system in brackets. */
static size_t bracketed_system(const char *p, enum unit_system *system)
{
    size_t n = strcspn(p + 1, ")");

    if (p[n + 1] != ')')
        return 0;
    if (n > 0 && dotted_us(p + 1) == n)
        *system = UNITS_US;
    else if (!system_word(p + 1, n, system))
        return 0;
    return n + 2;
}

/* Words of the ASCII text joined by '-', those for a system taken out: "fl. oz. (US)" -> "fl-oz".
 * A word may end in one full stop, and one hyphen or white space parts words; nothing else goes. */
static bool to_key(const char *s, char key[KEY_SIZE], enum unit_system *system)
{
    char text[KEY_SIZE];
    size_t n = 0;

    if (!to_ascii(s, text))
        return false;
    for (const char *p = text; *p != '\0';) {
        enum unit_system here = UNITS_UNDECLARED;
        size_t taken = dotted_us(p);
        size_t word = strcspn(p, " \t\r\n-().");
        if (taken > 0) {
            here = UNITS_US;
        } else if (*p == '(') {
            taken = bracketed_system(p, &here);
        } else if (word > 0) {
            taken = word + (p[word] == '.');
            if (!system_word(p, word, &here)) {
                if (n > 0)
                    key[n++] = '-';
                memcpy(key + n, p, word);
                n += word;
            }
        }
        if (here != UNITS_UNDECLARED && *system != UNITS_UNDECLARED)
            return false; /* said twice */
        if (here != UNITS_UNDECLARED)
            *system = here;
        if (taken == 0)
            return false;
        p += taken;
        if (*p == '-' && p[1] != '\0')
            p++;
        else
            p += strspn(p, " \t\r\n");
    }
    key[n] = '\0';
    return n > 0;
}

static const struct alias *find_alias(const char *key)
{
    for (size_t i = 0; i < LW_COUNT(aliases); i++)
        if (aliases[i].word ? ascii_casecmp(aliases[i].text, key) == 0
                            : strcmp(aliases[i].text, key) == 0)
            return &aliases[i];
    return NULL;
}

static const struct unit_refusal *find_refusal(const char *key, enum dimension want)
{
    for (size_t i = 0; i < LW_COUNT(refusals); i++)
        if (strcmp(refusals[i].word, key) == 0 &&
            (refusals[i].dim == DIM_NONE || refusals[i].dim == want))
            return &refusals[i];
    return NULL;
}

static bool needs_system(const char *base)
{
    return strcmp(base, "gal") == 0 || strcmp(base, "qt") == 0 || strcmp(base, "pt") == 0 ||
           strcmp(base, "fl-oz") == 0;
}

/* The spelling that was meant: the same but for capitals, or one slip away. */
static const char *near_unit(const char *key)
{
    for (size_t i = 0; i < LW_COUNT(units); i++)
        if (ascii_casecmp(units[i].name, key) == 0)
            return units[i].name;
    /* Everything is one slip away from "g", so a slip counts in longer words only. */
    unsigned slips = strlen(key) > 2 ? 1 : 0;
    for (size_t i = 0; i < LW_COUNT(aliases); i++)
        if (str_distance(aliases[i].text, key, slips) <= (strlen(aliases[i].text) > 2 ? slips : 0))
            return aliases[i].unit;
    return NULL;
}

struct unit_search unit_search(const char *s, enum dimension want, enum unit_system declared)
{
    struct unit_search r = {UNIT_UNKNOWN, NULL, NULL, NULL, NULL};
    enum unit_system said = UNITS_UNDECLARED;
    char key[KEY_SIZE], full[KEY_SIZE + sizeof "-imp"];

    /* Written canonically, as most are: no other spelling need be thought of. */
    r.unit = find_unit(s, want);
    if (r.unit != NULL && r.unit->dim != DIM_NONE && dimension_takes(want, r.unit->dim)) {
        r.found = UNIT_FOUND;
        return r;
    }
    r.unit = NULL;
    if (!to_key(s, key, &said))
        return r;
    const char *imp =
        said == UNITS_IMPERIAL || (said == UNITS_UNDECLARED && declared == UNITS_IMPERIAL) ? "-imp"
                                                                                           : "";
    if (strcmp(key, "proof") == 0 && *imp != '\0')
        snprintf(key, sizeof key, "proof-imp");
    const struct alias *a = find_alias(key);
    const char *name = a != NULL ? a->unit : key;
    r.refusal = find_refusal(key, want);
    if (r.refusal == NULL)
        r.refusal = find_refusal(name, want);
    if (r.refusal != NULL) {
        r.found = UNIT_REFUSED;
        return r;
    }
    if (needs_system(name)) {
        enum unit_system system = said != UNITS_UNDECLARED ? said : declared;
        if (system == UNITS_UNDECLARED) {
            r.found = UNIT_UNDECLARED;
            r.base = strcmp(name, "gal") == 0  ? "gal"
                     : strcmp(name, "qt") == 0 ? "qt"
                     : strcmp(name, "pt") == 0 ? "pt"
                                               : "fl oz";
            return r;
        }
        snprintf(full, sizeof full, "%s-%s", name, system == UNITS_US ? "us" : "imp");
        name = full;
    } else if (said != UNITS_UNDECLARED && strcmp(name, "proof-us") != 0) {
        return r; /* "g us" is nothing */
    }
    r.unit = find_unit(name, want);
    if (r.unit != NULL)
        r.found = UNIT_FOUND;
    else
        r.near = near_unit(key);
    return r;
}

double unit_to_canonical(const struct unit *u, double v)
{
    return (v - u->offset) * u->times / u->over;
}

double unit_from_canonical(const struct unit *u, double v)
{
    return v * u->over / u->times + u->offset;
}

bool dimension_takes(enum dimension want, enum dimension have)
{
    return want == have || (want == DIM_AMOUNT && (have == DIM_MASS || have == DIM_VOLUME));
}

/* A unit in one dimension both spellings have, room space counted with volume. */
static bool same_kind(const struct unit *a, const struct unit *b)
{
    if (a->dim == DIM_STRENGTH || a->dim == DIM_NONE) /* no two of these convert by a factor */
        return a == b;
    return a->dim == b->dim;
}

static const struct unit *named_unit(const char *s, enum dimension want)
{
    struct unit_search r = unit_search(s, want, UNITS_UNDECLARED);
    return r.found == UNIT_FOUND ? r.unit : NULL;
}

bool unit_known(const char *unit, enum dimension *dim)
{
    const struct unit *u = unit != NULL ? named_unit(unit, DIM_AMOUNT) : NULL;

    if (u == NULL)
        return false;
    if (dim != NULL)
        *dim = u->dim;
    return true;
}

bool unit_convert(double v, const char *from, const char *to, double *out)
{
    enum { L_PER_M3 = 1000 };
    const struct unit *a = from != NULL ? named_unit(from, DIM_AMOUNT) : NULL;
    const struct unit *b = a != NULL && to != NULL ? named_unit(to, a->dim) : NULL;

    if (b == NULL)
        return false;
    if (a->dim != b->dim) {
        const struct unit *again = named_unit(from, b->dim);
        a = again != NULL ? again : a;
    }
    if (a == b) {
        *out = v;
        return true;
    }
    double canonical = unit_to_canonical(a, v);
    if (a->dim == DIM_VOLUME && b->dim == DIM_SPACE)
        canonical /= L_PER_M3;
    else if (a->dim == DIM_SPACE && b->dim == DIM_VOLUME)
        canonical *= L_PER_M3;
    else if (!same_kind(a, b))
        return false;
    *out = unit_from_canonical(b, canonical);
    return true;
}
