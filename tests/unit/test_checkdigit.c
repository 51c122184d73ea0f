/*
 * Check digits: printed examples, and ten thousand seeded mutations of each number.
 *
 * The vectors are public numbers: CAS and EC numbers of common substances (ethanol 64-17-5 and
 * 200-578-6), index numbers of CLP Annex VI, GTINs from the GS1 general specifications' kind of
 * worked example, and UFIs from public test lists. The mutations are judged by what the theory of
 * the modulus says must change the sum, not by the functions under test.
 */
#include "unit.h"

#include "text/checkdigit.h"

enum { MUTATIONS = 10000, SIZE = 32 };

struct vector {
    const char *text;
    enum check_result want;
};

typedef enum check_result check_fn(const char *text);

static uint64_t seed_state;

/* splitmix64: the same run on every machine */
static uint64_t next_random(void)
{
    uint64_t z = (seed_state += UINT64_C(0x9E3779B97F4A7C15));

    z = (z ^ (z >> 30)) * UINT64_C(0xBF58476D1CE4E5B9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94D049BB133111EB);
    return z ^ (z >> 31);
}

static unsigned below(unsigned n)
{
    return (unsigned)(next_random() % n);
}

static void run_vectors(check_fn *check, const struct vector *v, size_t count)
{
    for (size_t i = 0; i < count; i++)
        ck_assert_msg(check(v[i].text) == v[i].want, "'%s': got '%s', want '%s'", v[i].text,
                      check_result_name(check(v[i].text)), check_result_name(v[i].want));
    ck_assert_int_eq(check(NULL), CHECK_BAD_FORM);
    ck_assert_int_eq(check(""), CHECK_BAD_FORM);
}

#define RUN_VECTORS(check, list) run_vectors(check, list, sizeof list / sizeof list[0])

static const struct vector cas_vectors[] = {
    {"64-17-5", CHECK_OK},
    {"5989-27-5", CHECK_OK},
    {"78-70-6", CHECK_OK},
    {"97-53-0", CHECK_OK},
    {"121-33-5", CHECK_OK},
    {"103694-68-4", CHECK_OK},
    {"7732-18-5", CHECK_OK},
    {"64-17-6", CHECK_BAD_DIGIT},
    {"5989-27-4", CHECK_BAD_DIGIT},
    {"064-17-5", CHECK_BAD_FORM},
    {"64-17-55", CHECK_BAD_FORM},
    {"64175", CHECK_BAD_FORM},
    {"6-17-5", CHECK_BAD_FORM},
    {"12345678-12-3", CHECK_BAD_FORM},
    {"64-17-5 ", CHECK_BAD_FORM},
    {"64-17-", CHECK_BAD_FORM},
    {"64-1a-5", CHECK_BAD_FORM},
    {" 64-17-5", CHECK_BAD_FORM},
    {"64\xE2\x80\x93"
     "17-5",
     CHECK_BAD_FORM},
};

static const struct vector ec_vectors[] = {
    {"200-578-6", CHECK_OK},        {"200-003-9", CHECK_OK},        {"500-001-0", CHECK_OK},
    {"400-010-9", CHECK_OK},        {"227-813-5", CHECK_OK},        {"931-893-3", CHECK_OK},
    {"200-578-5", CHECK_BAD_DIGIT}, {"200-5786", CHECK_BAD_FORM},   {"100-578-6", CHECK_BAD_FORM},
    {"200-578-X", CHECK_BAD_FORM},  {"200-578-66", CHECK_BAD_FORM},
};

static const struct vector index_vectors[] = {
    {"603-002-00-5", CHECK_OK},        {"601-029-00-7", CHECK_OK},
    {"603-001-00-X", CHECK_OK},        {"603-002-00-6", CHECK_BAD_DIGIT},
    {"603-002-00-X", CHECK_BAD_DIGIT}, {"603-001-00-0", CHECK_BAD_DIGIT},
    {"603-002-005", CHECK_BAD_FORM},   {"603-001-00-x", CHECK_BAD_FORM},
};

static const struct vector gtin_vectors[] = {
    {"96385074", CHECK_OK},
    {"036000291452", CHECK_OK},
    {"4006381333931", CHECK_OK},
    {"04006381333931", CHECK_OK},
    {"4006381333932", CHECK_BAD_DIGIT},
    {"12345", CHECK_BAD_FORM},
    {"400638133393X", CHECK_BAD_FORM},
    {"123456789", CHECK_BAD_FORM},
    {"004006381333931", CHECK_BAD_FORM},
};

static const struct vector ufi_vectors[] = {
    {"GMTT-2SQN-6FDD-6TV1", CHECK_OK},       {"KMTT-DSP3-7FD7-6RWY", CHECK_OK},
    {"F000-T0KH-V002-T4SM", CHECK_OK},       {"53NN-KKPX-SXSD-QJY7", CHECK_OK},
    {"7KW0-SMM5-2Q7N-4K8D", CHECK_OK},       {"GMTT-2SQN-6FDD-6TV2", CHECK_BAD_DIGIT},
    {"GMTT2SQN6FDD6TV1", CHECK_BAD_FORM},    {"GMTT-2SQN-6FDD-6TVI", CHECK_BAD_FORM},
    {"GMTB-2SQN-6FDD-6TV1", CHECK_BAD_FORM}, {"gmtt-2sqn-6fdd-6tv1", CHECK_BAD_FORM},
    {"GMTT-2SQN-6FDD-6TV", CHECK_BAD_FORM},  {"GMTT-2SQN-6FDD-6TV1-", CHECK_BAD_FORM},
    {"GMTT-2SQN-6FDD", CHECK_BAD_FORM},      {"UFI: GMTT-2SQN-6FDD-6TV1", CHECK_BAD_FORM},
};

START_TEST(cas_known)
{
    RUN_VECTORS(check_cas, cas_vectors);
}
END_TEST

START_TEST(ec_known)
{
    RUN_VECTORS(check_ec, ec_vectors);
    /* The sum of 400-001 and of 200-005 leaves ten: a number of the 4xx list only, written 1. */
    ck_assert_int_eq(check_ec("400-001-1"), CHECK_OK);
    ck_assert_int_eq(check_ec("400-001-0"), CHECK_BAD_DIGIT);
    ck_assert_int_eq(check_ec("200-005-1"), CHECK_BAD_DIGIT);
    ck_assert_int_eq(check_ec("200-005-0"), CHECK_BAD_DIGIT);
}
END_TEST

START_TEST(index_known)
{
    RUN_VECTORS(check_index_number, index_vectors);
}
END_TEST

START_TEST(gtin_known)
{
    RUN_VECTORS(check_gtin, gtin_vectors);
    ck_assert_int_eq(check_gtin_length("96385074", 8), CHECK_OK);
    ck_assert_int_eq(check_gtin_length("96385074", 13), CHECK_BAD_FORM);
    ck_assert_int_eq(check_gtin_length("4006381333931", 12), CHECK_BAD_FORM);
    ck_assert_int_eq(check_gtin_length("36000291452", 11), CHECK_BAD_FORM);
}
END_TEST

START_TEST(ufi_known)
{
    RUN_VECTORS(check_ufi, ufi_vectors);
}
END_TEST

/*
 * One kind of number for the mutation run. `form`: '9' any digit, 'U' any UFI character, '?' the
 * check character, the rest stands for itself; `first` restricts the first character. `weight[i]`
 * is the weight of the i-th counting character in the sum that must vanish modulo `modulus`.
 */
struct kind {
    const char *form;
    const char *alphabet;
    const char *first;
    int modulus;
    int weight[16];
    check_fn *check;
    uint64_t seed;
};

static const char DIGITS[] = "0123456789";
static const char UFI_CHARS[] = "0123456789ACDEFGHJKMNPQRSTUVWXY";

static const struct kind kinds[] = {
    {"99-99-?", DIGITS, "123456789", 10, {4, 3, 2, 1, -1}, check_cas, 1},
    {"9999999-99-?", DIGITS, "123456789", 10, {9, 8, 7, 6, 5, 4, 3, 2, 1, -1}, check_cas, 2},
    {"999-999-?", DIGITS, "23456789", 11, {1, 2, 3, 4, 5, 6, -1}, check_ec, 3},
    {"999-999-99-?", DIGITS, DIGITS, 11, {1, 2, 3, 4, 5, 6, 7, 8, -1}, check_index_number, 4},
    {"9999999?", DIGITS, DIGITS, 10, {3, 1, 3, 1, 3, 1, 3, 1}, check_gtin, 5},
    {"99999999999?", DIGITS, DIGITS, 10, {3, 1, 3, 1, 3, 1, 3, 1, 3, 1, 3, 1}, check_gtin, 6},
    {"999999999999?", DIGITS, DIGITS, 10, {1, 3, 1, 3, 1, 3, 1, 3, 1, 3, 1, 3, 1}, check_gtin, 7},
    {"9999999999999?",
     DIGITS,
     DIGITS,
     10,
     {3, 1, 3, 1, 3, 1, 3, 1, 3, 1, 3, 1, 3, 1},
     check_gtin,
     8},
    {"?UUU-UUUU-UUUU-UUUU",
     UFI_CHARS,
     UFI_CHARS,
     31,
     {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16},
     check_ufi,
     9},
};

enum { KINDS = sizeof kinds / sizeof kinds[0] };

/* A random number of the kind, its check character found by trying all: at most one may pass. */
static void make_number(const struct kind *k, char out[SIZE])
{
    for (;;) {
        size_t n = strlen(k->form), check_at = 0;
        unsigned passing = 0;
        char good = 0;

        ck_assert_uint_lt(n, SIZE);
        for (size_t i = 0; i <= n; i++) {
            const char *from = i == 0 ? k->first : k->alphabet;

            out[i] = k->form[i] == '9' || k->form[i] == 'U' ? from[below((unsigned)strlen(from))]
                                                            : k->form[i];
            if (k->form[i] == '?')
                check_at = i;
        }
        for (const char *c = k->alphabet; *c != '\0'; c++) {
            out[check_at] = *c;
            if (k->check(out) == CHECK_OK) {
                passing++;
                good = *c;
            }
        }
        out[check_at] = good;
        ck_assert_uint_le(passing, 1);
        if (passing == 1)
            return;
        /* Only modulus 11 leaves numbers without a decimal check digit. */
        ck_assert_int_eq(k->modulus, 11);
    }
}

static int value_of(const struct kind *k, char c)
{
    const char *place = strchr(k->alphabet, c);

    ck_assert_ptr_nonnull(place);
    return (int)(place - k->alphabet);
}

/* Places of the counting characters in the text; returns how many. */
static unsigned places(const struct kind *k, unsigned place[16])
{
    unsigned count = 0;

    for (unsigned i = 0; k->form[i] != '\0'; i++) {
        if (k->form[i] != '-')
            place[count++] = i;
    }
    return count;
}

/* In the 4xx list a sum leaving ten is written 1, so there alone 1 does not name one remainder. */
static bool ambiguous(const struct kind *k, const char *text)
{
    return k->check == check_ec && text[0] == '4' && text[8] == '1';
}

static void judge(const struct kind *k, const char *from, const char *to, int change)
{
    enum check_result got = k->check(to);

    if (ambiguous(k, from) || ambiguous(k, to))
        return;
    if (change % k->modulus != 0)
        ck_assert_msg(got != CHECK_OK, "%s read as %s passed", from, to);
    else
        ck_assert_msg(got != CHECK_BAD_DIGIT, "%s as %s: the sum is the same", from, to);
}

static void single_errors_of(const struct kind *k)
{
    unsigned place[16], count = places(k, place), size = (unsigned)strlen(k->alphabet);
    unsigned judged = 0, must_catch = 0;

    seed_state = k->seed;
    for (int i = 0; i < MUTATIONS; i++) {
        char good[SIZE], bad[SIZE];
        unsigned at = below(count);
        int change;

        make_number(k, good);
        memcpy(bad, good, SIZE);
        while (bad[place[at]] == good[place[at]])
            bad[place[at]] = k->alphabet[below(size)];
        change = k->weight[at] * (value_of(k, bad[place[at]]) - value_of(k, good[place[at]]));
        judge(k, good, bad, change);
        judged++;
        if (change % k->modulus != 0)
            must_catch++;
    }
    ck_assert_uint_eq(judged, MUTATIONS);
    /* Prime moduli, and weights 1 and 3 modulo ten, miss nothing at all. */
    if (k->check != check_cas)
        ck_assert_uint_eq(must_catch, MUTATIONS);
    else
        ck_assert_uint_gt(must_catch, MUTATIONS * 8 / 10);
}

START_TEST(single_errors)
{
    for (size_t i = 0; i < KINDS; i++)
        single_errors_of(&kinds[i]);
}
END_TEST

static void neighbours_exchanged_of(const struct kind *k)
{
    unsigned place[16], count = places(k, place), must_catch = 0;

    seed_state = k->seed + 100;
    for (int i = 0; i < MUTATIONS; i++) {
        char good[SIZE], bad[SIZE];
        unsigned at = below(count - 1);
        char left, right;
        int change;

        do {
            make_number(k, good);
            left = good[place[at]];
            right = good[place[at + 1]];
        } while (left == right);
        memcpy(bad, good, SIZE);
        bad[place[at]] = right;
        bad[place[at + 1]] = left;
        change = (k->weight[at] - k->weight[at + 1]) * (value_of(k, right) - value_of(k, left));
        judge(k, good, bad, change);
        if (change % k->modulus != 0)
            must_catch++;
    }
    if (k->modulus == 10)
        ck_assert_uint_gt(must_catch, MUTATIONS * 8 / 10);
    else
        ck_assert_uint_eq(must_catch, MUTATIONS);
}

START_TEST(neighbours_exchanged)
{
    for (size_t i = 0; i < KINDS; i++)
        neighbours_exchanged_of(&kinds[i]);
}
END_TEST

/* Every string one byte away from a good number is judged without a crash, and never passes. */
static void any_byte_of(const struct kind *k)
{
    char good[SIZE], bad[SIZE];

    seed_state = k->seed + 200;
    make_number(k, good);
    for (size_t at = 0; at <= strlen(good); at++) {
        for (int byte = 0; byte < 256; byte++) {
            bool same_sort = byte != 0 && strchr(k->alphabet, byte) != NULL;

            memset(bad, 0, SIZE);
            memcpy(bad, good, strlen(good));
            bad[at] = (char)byte;
            if (same_sort && k->form[at] != '-' && k->form[at] != '\0')
                continue; /* a digit for a digit: the other tests */
            if ((same_sort || byte == 0) && k->check == check_gtin)
                continue; /* a digit more or less makes a GTIN of another length */
            if (strcmp(bad, good) == 0)
                continue;
            if (k->check == check_index_number && k->form[at] == '?' && byte == 'X')
                ck_assert_int_eq(k->check(bad), CHECK_BAD_DIGIT);
            else
                ck_assert_int_eq(k->check(bad), CHECK_BAD_FORM);
        }
    }
}

START_TEST(any_byte)
{
    for (size_t i = 0; i < KINDS; i++)
        any_byte_of(&kinds[i]);
}
END_TEST

START_TEST(result_names)
{
    ck_assert_str_eq(check_result_name(CHECK_OK), "ok");
    ck_assert_str_eq(check_result_name(CHECK_BAD_FORM), "bad form");
    ck_assert_str_eq(check_result_name(CHECK_BAD_DIGIT), "bad check digit");
}
END_TEST

UNIT_MAIN("checkdigit", cas_known, ec_known, index_known, gtin_known, ufi_known, single_errors,
          neighbours_exchanged, any_byte, result_names)
