/* value.c - one typed text read by its declared type. */
#include "text/base.h"

#include "physics/ethanol_water.h"
#include "record/country.h"
#include "record/dict_near.h"
#include "record/reader.h"
#include "record/value.h"
#include "text/date.h"
#include "text/utf8.h"

enum { TOKEN_BYTES = 64, COUNTRY_LETTERS = 2 };

static const double ABSOLUTE_ZERO_C = -273.15; /* by definition of the kelvin, SI brochure */
static const double HUNDRED = 100.0;

static void bad(struct value *v, const char *hint, const char *fmt, ...) LW_PRINTF(3, 4);
static void bad(struct value *v, const char *hint, const char *fmt, ...)
{
    va_list ap;

    v->state = VALUE_BAD;
    va_start(ap, fmt);
    (void)vsnprintf(v->why, sizeof v->why, fmt, ap);
    va_end(ap);
    (void)snprintf(v->hint, sizeof v->hint, "%s", hint);
}

static bool token_byte(int c)
{
    return ascii_alnum(c) || (c != '\0' && strchr("._-/+", c) != NULL);
}

static bool token_ok(const char *s, size_t n, struct value *v)
{
    if (n > TOKEN_BYTES) {
        bad(v, "use a shorter id", "%zu bytes long; an id has at most %d", n, TOKEN_BYTES);
        return false;
    }
    if (!ascii_alnum((unsigned char)s[0])) {
        bad(v, "begin it with a letter A-Z a-z or a digit",
            "does not begin with a letter or digit");
        return false;
    }
    for (size_t i = 0; i < n; i++) {
        if (!token_byte((unsigned char)s[i])) {
            bad(v, "use letters A-Z a-z, digits and . _ - / + only, with no spaces",
                "has a character that an id cannot hold");
            return false;
        }
    }
    return true;
}

static void read_refs(const char *text, struct value *v)
{
    for (const char *s = text; *s != '\0';) {
        size_t n = 0;

        while (ascii_space((unsigned char)*s)) {
            s++;
        }
        while (s[n] != '\0' && !ascii_space((unsigned char)s[n])) {
            n++;
        }
        if (n > 0 && !token_ok(s, n, v)) {
            return;
        }
        s += n;
    }
    v->state = VALUE_TEXT;
}

/* XML 1.0, production 2: what no attribute can hold cannot be kept either. */
static void read_text(const char *text, struct value *v)
{
    size_t n = strlen(text);

    if (n > READER_ATTR_BYTES) {
        bad(v, "keep a long text in a document and name it here",
            "%zu bytes long; a text has at most %d", n, READER_ATTR_BYTES);
        return;
    }
    for (size_t i = 0; i < n; i++) {
        unsigned char c = (unsigned char)text[i];
        bool noncharacter =
            c == 0xEF && (unsigned char)text[i + 1] == 0xBF && (unsigned char)text[i + 2] >= 0xBE;
        if ((c < ' ' && c != '\t' && c != '\n' && c != '\r') || noncharacter) {
            bad(v, "type it again without the control character",
                "holds the control character U+%04X", noncharacter ? 0xFFFEu : (unsigned)c);
            return;
        }
    }
    v->state = VALUE_TEXT;
}

static void read_choice(const struct dict_attr *a, const char *text, struct value *v)
{
    struct near near;
    const char *best = NULL;

    if (dict_word(a->words, text, strlen(text))) {
        v->state = VALUE_TEXT;
        return;
    }
    best = near_word(&near, text, a->words);
    bad(v, "", "not one of the words it may be");
    if (best != NULL) {
        (void)snprintf(v->hint, sizeof v->hint, "did you mean '%s'? one of: %s", best, a->words);
    } else {
        (void)snprintf(v->hint, sizeof v->hint, "type one of: %s", a->words);
    }
}

static void read_country(const char *text, struct value *v)
{
    size_t n = strlen(text);
    char upper[COUNTRY_LETTERS + 1] = "";

    if (country_status(text, n) != COUNTRY_UNKNOWN) {
        v->state = VALUE_TEXT;
        return;
    }
    if (n == COUNTRY_LETTERS) {
        for (size_t i = 0; i < n; i++) {
            upper[i] = (char)(ascii_lower(text[i]) ? text[i] - 'a' + 'A' : text[i]);
        }
    }
    bad(v, "type the two capital letters of ISO 3166-1, such as FR, GB, US, IN; XX when not known",
        "not a country code");
    if (upper[0] != '\0' && country_instead(upper) != NULL) {
        (void)snprintf(v->hint, sizeof v->hint, "did you mean '%s'?", country_instead(upper));
    } else if (upper[0] != '\0' && country_status(upper, n) != COUNTRY_UNKNOWN) {
        (void)snprintf(v->hint, sizeof v->hint, "did you mean '%s'?", upper);
    }
}

static void read_date(const char *text, struct value *v)
{
    struct date d = date_parse(text);

    switch (d.status) {
    case DATE_OK:
        v->state = VALUE_DATE;
        (void)date_format(date_to_days(d.year, d.month, d.day), v->date);
        v->minute = d.minute;
        return;
    case DATE_MISSING:
        v->state = VALUE_ABSENT;
        return;
    default:
        bad(v, strstr(d.why, "type ") != NULL ? "" : "type the date as year-month-day: 2026-03-04",
            "%s", d.why[0] != '\0' ? d.why : "not a date");
    }
}

static const char *skip_space(const char *s)
{
    while (ascii_space((unsigned char)*s)) {
        s++;
    }
    return s;
}

static void read_percent(const char *text, const struct record_context *ctx, struct value *v)
{
    static const char type_it[] = "type a per cent from 0 to 100 with its sign: 28 %";
    struct number n = number_parse(text, ctx->style);
    const char *rest = skip_space(text + n.len);

    if (n.status == NUMBER_MISSING && *rest == '\0') {
        v->state = VALUE_WORD;
    } else if (n.status == NUMBER_AMBIGUOUS) {
        bad(v, type_it, "could be a decimal comma or a thousands mark");
    } else if (n.status != NUMBER_OK && n.status != NUMBER_APPROX) {
        bad(v, type_it, "not a per cent");
    } else if (strcmp(rest, "%") != 0) {
        bad(v, type_it, *rest == '\0' ? "has no per cent sign" : "not a per cent");
    } else if (n.value < 0.0 || n.value > HUNDRED) {
        bad(v, type_it, "outside 0 to 100 per cent");
    } else {
        v->state = n.status == NUMBER_OK ? VALUE_NUMBER : VALUE_WORD;
        v->number = n.value;
        v->resolution = n.half_step;
    }
}

static void read_ratio(const char *text, const struct record_context *ctx, struct value *v)
{
    static const char type_it[] = "type material to liquid as in 1:40";
    struct number a = number_parse(text, ctx->style);
    const char *rest = skip_space(text + a.len);
    struct number b;

    if (a.status == NUMBER_MISSING && *rest == '\0') {
        v->state = VALUE_WORD;
        return;
    }
    if ((a.status != NUMBER_OK && a.status != NUMBER_APPROX) || *rest != ':') {
        bad(v, type_it, "not a ratio");
        return;
    }
    b = number_parse(rest + 1, ctx->style);
    if (b.status != NUMBER_OK || *skip_space(rest + 1 + b.len) != '\0') {
        bad(v, type_it, "not a ratio");
        return;
    }
    if (a.value <= 0.0 || b.value <= 0.0) {
        bad(v, type_it, "a part of a ratio must be above 0");
        return;
    }
    v->state = a.status == NUMBER_OK ? VALUE_NUMBER : VALUE_WORD;
    v->number = b.value / a.value;
    v->resolution = b.half_step / a.value;
}

/* % vol at 20 degC of a strength in its typed basis. */
static struct phys_value to_vol_percent(double typed, const char *unit)
{
    struct phys_value w;

    if (unit == NULL || strcmp(unit, "%vol") == 0) {
        if (!(typed >= 0.0 && typed <= HUNDRED)) {
            return phys_none("outside 0 to 100 % vol");
        }
        return phys_ok(typed);
    }
    w = strcmp(unit, "%mas") == 0 ? phys_ok(typed / HUNDRED)
                                  : ew_mass_fraction_from_us_proof(typed);
    return phys_has(w) ? ew_vol_percent_from_mass_fraction(w.value) : w;
}

static void convert_strength(struct value *v)
{
    struct phys_value mid = to_vol_percent(v->number, v->unit);
    struct phys_value low = to_vol_percent(v->number - v->resolution, v->unit);
    struct phys_value high = to_vol_percent(v->number + v->resolution, v->unit);

    if (!phys_has(mid)) {
        bad(v, "type a strength such as 96 %vol, 94 %mas or 190 proof", "no such strength: %s",
            mid.reason);
        return;
    }
    if (phys_has(low) && phys_has(high)) {
        v->resolution = (high.value - low.value) / 2.0;
    } else if (phys_has(low)) {
        v->resolution = mid.value - low.value;
    } else if (phys_has(high)) {
        v->resolution = high.value - mid.value;
    }
    v->number = mid.value;
}

static void check_sign(const struct dict_attr *a, struct value *v)
{
    if (a->dim == DIM_TEMPERATURE) {
        if (v->number < ABSOLUTE_ZERO_C) {
            bad(v, "look at the unit: degC or degF", "colder than absolute zero");
        }
    } else if (v->number < 0.0 && a->dim != DIM_MONEY && !(a->flags & ATTR_SIGNED)) {
        bad(v, dimension_examples(a->dim), "below 0");
    }
}

static void read_quantity(const struct dict_attr *a, const char *text,
                          const struct record_context *ctx, struct value *v)
{
    struct quantity_context qc = {ctx->system, ctx->style, (a->flags & ATTR_LIQUID) != 0};
    struct quantity q = quantity_parse(text, a->dim, &qc);

    v->unit = q.unit;
    v->dim = q.dim;
    v->number = q.value;
    v->resolution = q.resolution;
    switch (q.status) {
    case QUANTITY_OK:
        v->state = VALUE_NUMBER;
        if (a->dim == DIM_STRENGTH) {
            convert_strength(v);
        }
        if (v->state == VALUE_NUMBER) {
            check_sign(a, v);
        }
        return;
    case QUANTITY_APPROX:
    case QUANTITY_MISSING:
        v->state = VALUE_WORD;
        return;
    case QUANTITY_ERROR:
        bad(v, q.hint[0] != '\0' ? q.hint : dimension_examples(a->dim), "%s", q.why);
        return;
    }
}

void value_read(const struct dict_attr *a, const char *text, const struct record_context *ctx,
                struct value *v)
{
    size_t n = 0;

    v->unit = NULL;
    v->minute = -1;
    switch (a->type) {
    case ATTR_TOKEN:
    case ATTR_REF:
        n = strlen(text);
        if (token_ok(text, n, v)) {
            v->state = VALUE_TEXT;
        }
        return;
    case ATTR_REFS:
        read_refs(text, v);
        return;
    case ATTR_TEXT:
        read_text(text, v);
        return;
    case ATTR_DATE:
        read_date(text, v);
        return;
    case ATTR_QTY:
        read_quantity(a, text, ctx, v);
        return;
    case ATTR_PERCENT:
        read_percent(text, ctx, v);
        return;
    case ATTR_RATIO:
        read_ratio(text, ctx, v);
        return;
    case ATTR_CHOICE:
        read_choice(a, text, v);
        return;
    case ATTR_FLAG:
        v->state = VALUE_TEXT;
        if (strcmp(text, "yes") != 0 && strcmp(text, "no") != 0) {
            bad(v, "type yes or no", "neither yes nor no");
        }
        return;
    case ATTR_COUNTRY:
        read_country(text, v);
        return;
    }
}
