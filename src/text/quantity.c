/* quantity.c - numbers with a unit: reading them, and saying what to type instead. */
#include "text/base.h"

#include "text/quantity.h"
#include "text/unit.h"
#include "text/utf8.h"

static const struct {
    const char *name, *unit, *examples;
} dimensions[] = {
    [DIM_NONE] = {"none", "", "12"},
    [DIM_MASS] = {"mass", "g", "400 g, 1.2 kg, 8 oz"},
    [DIM_VOLUME] = {"volume", "L", "500 mL, 1.5 L, 2 qt us"},
    [DIM_TEMPERATURE] = {"temperature", "degC", "20 degC, 68 degF"},
    [DIM_LENGTH] = {"length", "m", "3 m, 25 cm, 10 ft"},
    [DIM_AREA] = {"area", "m2", "12 m2, 130 ft2, 4 in2"},
    [DIM_SPACE] = {"space", "m3", "30 m3, 1000 ft3"},
    [DIM_TIME] = {"time", "min", "30 min, 2 h, 28 d, 6 wk"},
    [DIM_STRENGTH] = {"strength", "%vol", "95 %vol, 92.4 %mas, 190 proof"},
    [DIM_DENSITY] = {"density", "kg/m3", "811.4 kg/m3, 0.8114 g/mL"},
    [DIM_FLOW] = {"flow", "m3/h", "120 m3/h, 70 cfm, 30 L/s"},
    [DIM_AIR_CHANGES] = {"air-changes", "per-hour", "6 ach, 0.5 /h"},
    [DIM_SPEED] = {"speed", "m/s", "0.5 m/s, 100 ft/min"},
    [DIM_MONEY] = {"money", "", "12.50 USD, 9,90 EUR"},
    [DIM_COUNT] = {"count", "count", "12"},
    [DIM_AMOUNT] = {"amount", "g or L", "400 g, 500 mL, 2 qt us"},
};

const char *dimension_name(enum dimension dim)
{
    return dimensions[dim].name;
}

const char *dimension_unit(enum dimension dim)
{
    return dimensions[dim].unit;
}

const char *dimension_examples(enum dimension dim)
{
    return dimensions[dim].examples;
}

bool dimension_from_name(const char *name, enum dimension *dim)
{
    for (size_t i = 0; name != NULL && i < LW_COUNT(dimensions); i++)
        if (strcmp(dimensions[i].name, name) == 0) {
            *dim = (enum dimension)i;
            return true;
        }
    return false;
}

/* Cuts a text that filled its buffer back to a whole character, so that it stays valid UTF-8. */
static void keep_whole(char *s, size_t size)
{
    size_t n = strlen(s), bad;

    if (n + 1 == size && !utf8_valid(s, n, &bad) && n - bad < 4)
        s[bad] = '\0';
}

static void refuse(struct quantity *q, const char *why, ...) LW_PRINTF(2, 3);
static void refuse(struct quantity *q, const char *why, ...)
{
    va_list ap;

    q->status = QUANTITY_ERROR;
    va_start(ap, why);
    vsnprintf(q->why, sizeof q->why, why, ap);
    va_end(ap);
    keep_whole(q->why, sizeof q->why);
}

static void hint(struct quantity *q, const char *fmt, ...) LW_PRINTF(2, 3);
static void hint(struct quantity *q, const char *fmt, ...)
{
    va_list ap;

    va_start(ap, fmt);
    vsnprintf(q->hint, sizeof q->hint, fmt, ap);
    va_end(ap);
    keep_whole(q->hint, sizeof q->hint);
}

enum { QUOTE_SIZE = 44 };

/* A piece of the typed text for a message: short, whole characters, with dots when cut. */
static const char *quote(const char *s, size_t n, char out[QUOTE_SIZE])
{
    enum { SHOWN = QUOTE_SIZE - 4 };
    size_t keep = 0;
    uint32_t cp;

    while (keep < n) {
        size_t len = utf8_next(s + keep, n - keep, &cp);
        len = len > 0 ? len : 1;
        if (keep + len > SHOWN)
            break;
        keep += len;
    }
    memcpy(out, s, keep);
    snprintf(out + keep, QUOTE_SIZE - keep, "%s", keep < n ? "..." : "");
    return out;
}

/* The units of the dimension's examples behind the number that was typed: "500 g, 500 kg, 500 oz".
 */
static void hint_units(struct quantity *q, enum dimension dim, const char *number, size_t n)
{
    const char *e = dimensions[dim].examples;
    char typed[QUOTE_SIZE];
    size_t used;

    quote(number, n, typed);
    used = (size_t)snprintf(q->hint, sizeof q->hint, "type ");
    for (bool first = true; *e != '\0'; first = false) {
        e += strcspn(e, " ");
        e += *e == ' ';
        size_t unit = strcspn(e, ",");
        const char *joint = first ? "" : e[unit] == '\0' ? " or " : ", ";
        int more = snprintf(q->hint + used, sizeof q->hint - used, "%s%s %.*s", joint, typed,
                            (int)unit, e);
        if (more < 0 || (size_t)more >= sizeof q->hint - used) {
            q->hint[used] = '\0'; /* no half a unit */
            return;
        }
        used += (size_t)more;
        e += unit;
        e += strspn(e, ", ");
    }
}

/* "1,500": the two numbers it may be. */
static void refuse_ambiguous(struct quantity *q, const char *s, const struct number *n,
                             enum number_style style)
{
    char typed[QUOTE_SIZE], whole[QUOTE_SIZE], part[QUOTE_SIZE];
    size_t w, p, marks = 0, after = 0;
    char mark = style == NUMBER_COMMA ? ',' : '.';

    while (ascii_space(*s))
        s++;
    quote(s, n->len, typed);
    refuse(q,
           "'%s' can be read two ways: is that mark a decimal mark, or does it separate thousands?",
           typed);
    size_t lead = strcspn(typed, "0123456789"); /* "about ", a sign */
    memcpy(whole, typed, lead);
    memcpy(part, typed, lead);
    w = p = lead;
    for (size_t i = lead; typed[i] != '\0'; i++) {
        if (ascii_digit(typed[i])) {
            whole[w++] = part[p++] = typed[i];
            after++;
        } else if (typed[i] == ',' || typed[i] == '.') {
            part[p++] = mark;
            marks++;
            after = 0;
        }
    }
    whole[w] = part[p] = '\0';
    if (marks == 1 && after == 3)
        hint(q, "type %s or %s", whole, part);
    else if (marks == 1)
        hint(q, "type %s", part);
    else
        hint(q, "type the thousands without a mark or a space");
}

static void refuse_number(struct quantity *q, const char *s, enum dimension dim)
{
    static const char *const signs[] = {"$", "\xC2\xA3", "\xE2\x82\xAC", "\xC2\xA5"};
    char typed[QUOTE_SIZE];

    while (ascii_space(*s))
        s++;
    for (size_t i = 0; i < LW_COUNT(signs); i++)
        if (str_starts(s, signs[i])) {
            refuse(q, "'%s' does not say which currency", signs[i]);
            hint(q, "type the amount and its code: %s", dimensions[DIM_MONEY].examples);
            return;
        }
    refuse(q, "'%s' does not start with a number", quote(s, strlen(s), typed));
    hint(q, "type a number and a unit: %s", dimensions[dim].examples);
    if (dim == DIM_COUNT || dim == DIM_NONE)
        hint(q, "type a number, such as %s", dimensions[dim].examples);
}

/* Is the rest a second value ("-10 g", "to 10 g", "+/- 1 g", "lb 3 oz") and not a unit? */
static bool second_value(const char *rest)
{
    static const char *const starts[] = {"-", "\xE2\x80\x93", "to ", "or ", "+", "\xC2\xB1", "x "};

    for (size_t i = 0; i < LW_COUNT(starts); i++)
        if (str_starts(rest, starts[i]))
            return true;
    const char *gap = strchr(rest, ' ');
    return gap != NULL && ascii_digit(gap[1]);
}

static void refuse_unit(struct quantity *q, const char *s, const char *rest, size_t number_len,
                        enum dimension dim, const struct unit_search *u)
{
    char typed[QUOTE_SIZE], number[QUOTE_SIZE];

    quote(rest, strlen(rest), typed);
    quote(s, number_len, number);
    switch (u->found) {
    case UNIT_REFUSED:
        refuse(q, "'%s': %s", typed, u->refusal->why);
        hint(q, "%s", u->refusal->hint);
        return;
    case UNIT_UNDECLARED:
        if (!dimension_takes(dim, DIM_VOLUME)) {
            refuse(q, "'%s' is a unit of volume, and %s is wanted here", typed,
                   dimension_name(dim));
            break;
        }
        refuse(q, "'%s': the US and the imperial %s differ in size", typed, u->base);
        hint(q, "type %s %s us or %s %s imp, or declare the file's units", number, u->base, number,
             u->base);
        return;
    case UNIT_FOUND:
        refuse(q, "'%s' is a unit of %s, and %s is wanted here", typed,
               u->unit->dim == DIM_NONE ? "proportion" : dimension_name(u->unit->dim),
               dim == DIM_NONE ? "a number alone" : dimension_name(dim));
        break;
    case UNIT_UNKNOWN:
        if (second_value(rest)) {
            refuse(q, "'%s' holds more than one value", quote(s, strlen(s), typed));
            hint(q, "give one number and one unit: %s", dimensions[dim].examples);
            return;
        }
        refuse(q, "'%s' is not a known unit", typed);
        break;
    }
    enum dimension near_dim;
    if (u->near != NULL && unit_known(u->near, &near_dim) && dimension_takes(dim, near_dim))
        hint(q, "did you mean %s %s?", number, u->near);
    else if (dim == DIM_COUNT || dim == DIM_NONE)
        hint(q, "type the number alone: %s", number);
    else
        hint_units(q, dim, s, number_len);
}

/* What no quantity of its dimension can be. */
static void check_range(struct quantity *q)
{
    static const double percent_most = 100, proof_most = 200, absolute_zero_c = -273.15;

    switch (q->dim) {
    case DIM_STRENGTH: {
        double most = strcmp(q->unit, "proof-us") == 0 ? proof_most : percent_most;
        if (q->value < 0 || q->value > most) {
            refuse(q, "a strength lies between 0 and %g %s", most, q->unit);
            hint(q, "type %s", dimensions[DIM_STRENGTH].examples);
        }
        return;
    }
    case DIM_TEMPERATURE:
        if (q->value < absolute_zero_c) {
            refuse(q, "that is below absolute zero");
            hint(q, "type %s", dimensions[DIM_TEMPERATURE].examples);
        }
        return;
    case DIM_NONE:
    case DIM_COUNT:
    case DIM_MONEY:
        return;
    default:
        if (q->value < 0) {
            refuse(q, "a %s cannot be below zero", dimension_name(q->dim));
            hint(q, "type %s", dimensions[q->dim].examples);
        }
        return;
    }
}

/* The end of the text, white space there left out. */
static size_t trimmed(const char *s)
{
    size_t n = strlen(s);
    while (n > 0 && ascii_space(s[n - 1]))
        n--;
    return n;
}

const char *quantity_skip_spaces(const char *s)
{
    for (;;) {
        if (ascii_space(*s))
            s++;
        else if (str_starts(s, "\xC2\xA0"))
            s += 2;
        else if (str_starts(s, "\xE2\x80\xAF") || str_starts(s, "\xE2\x80\x89"))
            s += 3;
        else
            return s;
    }
}

static void take_money(struct quantity *q, const char *rest)
{
    char typed[QUOTE_SIZE];

    q->unit = strlen(rest) == 3 ? currency_code(rest) : NULL;
    if (q->unit != NULL)
        return;
    refuse(q,
           *rest == '\0' ? "an amount of money needs its currency"
                         : "'%s' is no ISO 4217 currency code",
           quote(rest, strlen(rest), typed));
    hint(q, "type the amount and its code: %s", dimensions[DIM_MONEY].examples);
}

static bool bare_ounce(const char *unit)
{
    return ascii_casecmp(unit, "oz") == 0 || ascii_casecmp(unit, "oz.") == 0 ||
           ascii_casecmp(unit, "ounce") == 0 || ascii_casecmp(unit, "ounces") == 0;
}

static void take_unit(struct quantity *q, const char *s, size_t number_len, const char *rest,
                      const struct quantity_context *ctx)
{
    enum dimension dim = q->dim;
    char typed[QUOTE_SIZE];

    if (*rest == '\0') {
        if (dim == DIM_COUNT || dim == DIM_NONE) {
            q->unit = dimensions[dim].unit;
            return;
        }
        refuse(q, "'%s' has no unit", quote(s, number_len, typed));
        hint_units(q, dim, s, number_len);
        return;
    }
    struct unit_search u = unit_search(rest, dim, ctx->system);
    if (ctx->liquid && bare_ounce(rest)) /* of a liquid, an ounce may be a weight or a volume */
        u = unit_search("oz", DIM_VOLUME, ctx->system);
    bool fits =
        u.found == UNIT_FOUND && u.unit->dim != DIM_NONE && dimension_takes(dim, u.unit->dim);
    if (!fits) {
        refuse_unit(q, s, rest, number_len, dim, &u);
        return;
    }
    q->dim = u.unit->dim;
    q->unit = u.unit->name;
    q->value = unit_to_canonical(u.unit, q->typed);
    q->resolution = q->resolution * u.unit->times / u.unit->over;
    check_range(q);
}

struct quantity quantity_parse(const char *s, enum dimension dim,
                               const struct quantity_context *ctx)
{
    static const struct quantity_context plain = {UNITS_UNDECLARED, NUMBER_EITHER, false};
    enum { LONGEST = 120 };
    struct quantity q = {QUANTITY_OK, dim, 0, 0, "", 0, "", ""};
    char text[LONGEST + 1], number[QUOTE_SIZE];

    if (ctx == NULL)
        ctx = &plain;
    if (number_is_missing(s)) {
        q.status = QUANTITY_MISSING;
        return q;
    }
    s = quantity_skip_spaces(s);
    size_t len = trimmed(s);
    if (len > LONGEST) {
        refuse(&q, "'%s' is too long for a quantity", quote(s, len, number));
        hint(&q, "type a number and a unit: %s", dimensions[dim].examples);
        return q;
    }
    memcpy(text, s, len);
    text[len] = '\0';
    struct number n = number_parse(text, ctx->style);
    if (n.status == NUMBER_AMBIGUOUS) {
        refuse_ambiguous(&q, text, &n, ctx->style);
        return q;
    }
    if (n.status != NUMBER_OK && n.status != NUMBER_APPROX) {
        refuse_number(&q, text, dim);
        return q;
    }
    q.status = n.status == NUMBER_APPROX ? QUANTITY_APPROX : QUANTITY_OK;
    q.typed = q.value = n.value;
    q.resolution = n.half_step;
    const char *rest = quantity_skip_spaces(text + n.len);
    if (dim == DIM_MONEY)
        take_money(&q, rest);
    else
        take_unit(&q, text, n.len, rest, ctx);
    return q;
}
