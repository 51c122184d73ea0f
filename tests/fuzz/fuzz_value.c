/* fuzz_value.c - numbers, dates, quantities, check digits, and values of every declared type.
 *
 * Bytes one and two pick the attribute (one also the dimension), byte three decimal mark and units;
 * the rest is the text. What must hold: a number taken as exact is the one the C library reads (in
 * the C locale, where its conversion rounds correctly); a date exists; a canonical text is its own
 * canonical text and has the same value. */
#include "fuzz.h"

#include "record/value.h"
#include "text/checkdigit.h"
#include "text/date.h"
#include "text/mem.h"
#include "text/number.h"
#include "text/unit.h"
#include "text/utf8.h"

enum { DIGITS_MOST = 40 };

#undef strtod
extern double strtod(const char *restrict s, char **restrict end);

static void numbers(const char *s)
{
    double v = 0;
    long long i = 0;
    for (int style = NUMBER_EITHER; style <= NUMBER_COMMA; style++) {
        struct number x = number_parse(s, (enum number_style)style);
        fuzz_must(x.len <= strlen(s), "a number ends within its text");
        if (x.status == NUMBER_OK || x.status == NUMBER_APPROX)
            fuzz_must(isfinite(x.value) && isfinite(x.half_step) && x.half_step >= 0,
                      "a number is finite");
    }
    if (number_exact(s, &v) && s[strspn(s, "0123456789.+-eE")] == '\0') {
        char *end = NULL;
        double theirs = strtod(s, &end);
        fuzz_must(*end == '\0' && theirs == v, "an exact number is correctly rounded");
    }
    /* A number has at most 40 digits, an integer may have leading zeros beyond them. */
    if (strlen(s) <= DIGITS_MOST && number_integer(s, &i) && i > -(1LL << 52) && i < 1LL << 52)
        fuzz_must(number_exact(s, &v) && v == (double)i, "an integer is an exact number");
}

static void dates(const char *s)
{
    long days = 0;
    char out[11];
    struct date d = date_parse(s);
    fuzz_must(strlen(d.why) < sizeof d.why, "the reason ends");
    if (d.status == DATE_OK) {
        fuzz_must(date_valid(d.year, d.month, d.day), "a date exists");
        fuzz_must(d.minute >= -1 && d.minute < 24 * 60, "a time exists");
        days = date_to_days(d.year, d.month, d.day);
        struct date again = date_parse(date_format(days, out));
        fuzz_must(again.status == DATE_OK && again.year == d.year && again.month == d.month &&
                      again.day == d.day,
                  "a date comes back");
    }
    if (date_iso_days(s, &days))
        fuzz_must(strncmp(date_format(days, out), s, 10) == 0, "an ISO date comes back");
}

static void quantities(const char *s, uint8_t which, uint8_t how)
{
    enum dimension want = (enum dimension)(DIM_MASS + which % (DIM_AMOUNT - DIM_MASS + 1));
    struct quantity_context ctx = {.system = (enum unit_system)(how % 3),
                                   .style = (enum number_style)(how / 3 % 3),
                                   .liquid = (how & 64) != 0};
    enum dimension dim = DIM_NONE;
    struct quantity q = quantity_parse(s, want, &ctx);
    if (q.status == QUANTITY_OK)
        fuzz_must(isfinite(q.value) && isfinite(q.typed) && isfinite(q.resolution) &&
                      q.resolution >= 0,
                  "a quantity is finite");
    if (q.status == QUANTITY_ERROR)
        fuzz_must(q.why[0] != '\0', "a refusal has a reason");
    (void)unit_search(s, want, ctx.system);
    (void)unit_known(s, &dim);
    (void)check_cas(s);
    (void)check_ec(s);
    (void)check_index_number(s);
    (void)check_gtin(s);
    (void)check_ufi(s);
}

static const struct dict_attr *pick(size_t index)
{
    size_t kinds = 0, all = 0;
    const struct dict_element *e = dict_elements(&kinds);
    for (size_t i = 0; i < kinds; i++)
        all += e[i].attr_count;
    index %= all;
    size_t i = 0;
    for (; index >= e[i].attr_count; i++)
        index -= e[i].attr_count;
    return &e[i].attrs[index];
}

static void typed(const struct dict_attr *a, const char *s, const struct record_context *ctx)
{
    struct value one, two;
    struct sbuf first = SBUF_INIT, second = SBUF_INIT;
    value_read(a, s, ctx, &one);
    if (one.state == VALUE_BAD) {
        fuzz_must(one.why[0] != '\0', "a refusal has a reason");
        return;
    }
    if (one.state == VALUE_NUMBER)
        fuzz_must(isfinite(one.number) && isfinite(one.resolution), "a value is finite");
    value_canonical(a, s, ctx, &one, &first);
    fuzz_must(!first.failed, "memory");
    if (one.state != VALUE_ABSENT) {
        fuzz_must(first.len > 0, "a value has a canonical text");
        value_read(a, first.s, &RECORD_CANONICAL, &two);
        fuzz_must(one.state == two.state, "a canonical text is of the same sort");
        if (one.state == VALUE_NUMBER)
            fuzz_must(one.number == two.number && (a->type != ATTR_QTY || one.dim == two.dim),
                      "a canonical text has the same value");
        if (one.state == VALUE_DATE)
            fuzz_must(strcmp(one.date, two.date) == 0 && one.minute == two.minute,
                      "a canonical text has the same date");
        value_canonical(a, first.s, &RECORD_CANONICAL, &two, &second);
        fuzz_must(strcmp(first.s, second.s) == 0, "a canonical text is its own canonical text");
    }
    sbuf_free(&first);
    sbuf_free(&second);
}

int LLVMFuzzerTestOneInput(const uint8_t *p, size_t n)
{
    enum { HEAD = 3 };
    if (n <= HEAD)
        return 0;
    char *s = mem_strndup((const char *)p + HEAD, n - HEAD);
    fuzz_must(s != NULL, "memory");
    size_t len = strlen(s), bad = 0;
    numbers(s);
    dates(s);
    quantities(s, p[0], p[2]);
    /* value_read gets well-formed text without white space at its ends. */
    while (len > 0 && ascii_space(s[len - 1]))
        s[--len] = '\0';
    const char *text = s;
    while (ascii_space(*text))
        text++;
    if (*text && utf8_valid(text, strlen(text), &bad)) {
        struct record_context ctx = {.system = (enum unit_system)(p[2] % 3),
                                     .style = (enum number_style)(p[2] / 3 % 3),
                                     .table = (p[2] & 32) != 0};
        typed(pick((size_t)p[0] << 8 | p[1]), text, &ctx);
    }
    mem_free(s);
    return 0;
}
