#include "text/base.h"

#include "text/quantity.h"
#include "text/show.h"
#include "text/utf8.h"

/* Digits shown by default: enough for a bench scale, few enough to read at arm's length. */
enum { DIGITS_SHOWN = 4, DIGITS_MOST = 9 };

struct pair {
    const char *unit;  /* as kept */
    const char *other; /* counterpart in the other system */
    bool us;           /* unit itself is the US one */
};

static const struct pair pairs[] = {
    {"L", "gal-us", false},   {"mL", "fl-oz-us", false}, {"g", "oz", false},
    {"kg", "lb", false},      {"degC", "degF", false},   {"m", "ft", false},
    {"cm", "in", false},      {"mm", "in", false},       {"m2", "ft2", false},
    {"m3", "ft3", false},     {"m3/h", "cfm", false},    {"m/s", "ft/min", false},
    {"gal-us", "L", true},    {"qt-us", "L", true},      {"pt-us", "mL", true},
    {"fl-oz-us", "mL", true}, {"gal-imp", "L", true},    {"oz", "g", true},
    {"lb", "kg", true},       {"degF", "degC", true},    {"ft", "m", true},
    {"in", "mm", true},       {"ft2", "m2", true},       {"ft3", "m3", true},
    {"cfm", "m3/h", true},    {"ft/min", "m/s", true},
};

struct plain {
    const char *unit, *text;
};

static const struct plain plains[] = {
    {"gal-us", "US gal"},    {"qt-us", "US qt"},
    {"pt-us", "US pt"},      {"fl-oz-us", "US fl oz"},
    {"gal-imp", "imp gal"},  {"qt-imp", "imp qt"},
    {"pt-imp", "imp pt"},    {"fl-oz-imp", "imp fl oz"},
    {"%vol", "% vol"},       {"%mas", "% by mass"},
    {"percent", "%"},        {"count", ""},
    {"per-hour", "an hour"}, {"day", "days"},
    {"month", "months"},     {"year", "years"},
    {"1/h", "an hour"},      {"m2", "m2"},
};

const char *show_unit(const char *unit)
{
    if (!unit)
        return "";
    for (size_t i = 0; i < LW_COUNT(plains); i++)
        if (str_eq(plains[i].unit, unit))
            return plains[i].text;
    return unit;
}

/* Litres and grams change their prefix so that no figure starts with a row of zeros. */
static const char *fit(double *value, const char *unit)
{
    double size = fabs(*value);
    if (str_eq(unit, "L") && size < 1.0 && size > 0.0) {
        *value *= 1000.0;
        return "mL";
    }
    if (str_eq(unit, "g") && size >= 1000.0) {
        *value /= 1000.0;
        return "kg";
    }
    if (str_eq(unit, "g") && size < 0.1 && size > 0.0) {
        *value *= 1000.0;
        return "mg";
    }
    return unit;
}

static const struct pair *pair_of(const char *unit)
{
    for (size_t i = 0; i < LW_COUNT(pairs); i++)
        if (str_eq(pairs[i].unit, unit))
            return &pairs[i];
    return NULL;
}

static void one(struct sbuf *b, double v, const char *unit, int digits)
{
    const char *name = show_unit(unit);
    sbuf_number(b, v, digits);
    if (*name)
        sbuf_printf(b, "%s%s", str_eq(unit, "percent") ? " " : " ", name);
}

static void show(struct sbuf *b, double value, const char *unit, enum show_units units, int digits)
{
    if (!unit || !*unit) {
        sbuf_number(b, value, digits);
        return;
    }
    unit = fit(&value, unit);
    const struct pair *p = pair_of(unit);
    double converted = 0.0;
    if (!p || !unit_convert(value, unit, p->other, &converted)) {
        one(b, value, unit, digits);
        return;
    }
    bool metric = !p->us;
    if (units == SHOW_BOTH || (units == SHOW_METRIC) == metric) {
        one(b, value, unit, digits);
        if (units == SHOW_BOTH) {
            sbuf_puts(b, " (");
            one(b, converted, p->other, digits < DIGITS_SHOWN ? digits : DIGITS_SHOWN - 1);
            sbuf_putc(b, ')');
        }
    } else {
        one(b, converted, p->other, digits);
    }
}

void show_quantity(struct sbuf *b, double value, const char *unit, enum show_units units)
{
    show(b, value, unit, units, DIGITS_SHOWN);
}

void show_digits(struct sbuf *b, double value, const char *unit, enum show_units units, int digits)
{
    show(b, value, unit, units, digits);
}

void show_apart(struct sbuf *b, double value, double other, const char *unit, enum show_units units)
{
    int digits = DIGITS_SHOWN;
    struct sbuf mine = SBUF_INIT;
    struct sbuf theirs = SBUF_INIT;
    for (; digits < DIGITS_MOST; digits++) {
        sbuf_clear(&mine);
        sbuf_clear(&theirs);
        sbuf_number(&mine, value, digits);
        sbuf_number(&theirs, other, digits);
        if (value == other || strcmp(mine.s, theirs.s) != 0)
            break;
    }
    sbuf_free(&mine);
    sbuf_free(&theirs);
    show(b, value, unit, units, digits);
}

const char *show_sure(const char *sure)
{
    static const struct plain words[] = {
        {"verified", "read in the text itself"},
        {"two-sources", "two sources agree"},
        {"secondary", "one secondary source"},
        {"computed", "computed"},
        {"common-practice", "common practice, no published source"},
        {"from-memory", "unconfirmed: from memory"},
    };
    for (size_t i = 0; i < LW_COUNT(words); i++)
        if (str_eq(sure, words[i].unit))
            return words[i].text;
    return sure ? sure : "not said how sure";
}
