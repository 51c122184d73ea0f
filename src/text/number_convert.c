/* number_convert.c - decimal digits to the nearest double.
 *
 * strtod() follows LC_NUMERIC, so the conversion is done here, exactly: the decimal is the fraction
 * N / M of two whole numbers; binary long division gives 53 bits of N / M and what remains decides
 * the rounding.  Short numbers, which is nearly all, take the one correctly rounded operation that
 * IEEE 754 gives (W. D. Clinger, "How to read floating point numbers accurately", PLDI 1990). */
#include "text/base.h"

#include "text/number.h"

#if FLT_RADIX != 2 || DBL_MANT_DIG != 53
#error "IEEE 754 double precision is needed"
#endif

/* 40 digits times ten to the 200 have 798 bits; the shorter one is shifted to the same length. */
enum { LIMBS = 64, LIMB_BITS = 32 };

struct big {
    uint32_t limb[LIMBS]; /* least significant first */
    int n;                /* limbs in use; the top one is not zero */
};

static void big_multiply_add(struct big *b, uint32_t factor, uint32_t carry_in)
{
    uint64_t carry = carry_in;

    for (int i = 0; i < b->n; i++) {
        carry += (uint64_t)b->limb[i] * factor;
        b->limb[i] = (uint32_t)carry;
        carry >>= LIMB_BITS;
    }
    if (carry > 0 && b->n < LIMBS)
        b->limb[b->n++] = (uint32_t)carry;
}

static int big_bits(const struct big *b)
{
    int bits = b->n * LIMB_BITS;

    if (b->n == 0)
        return 0;
    for (uint32_t top = b->limb[b->n - 1]; (top & 0x80000000U) == 0; top <<= 1)
        bits--;
    return bits;
}

static void big_shift(struct big *b, int bits)
{
    for (; bits >= LIMB_BITS - 1; bits -= LIMB_BITS - 1)
        big_multiply_add(b, UINT32_C(1) << (LIMB_BITS - 1), 0);
    big_multiply_add(b, UINT32_C(1) << bits, 0);
}

static int big_compare(const struct big *a, const struct big *b)
{
    if (a->n != b->n)
        return a->n < b->n ? -1 : 1;
    for (int i = a->n - 1; i >= 0; i--)
        if (a->limb[i] != b->limb[i])
            return a->limb[i] < b->limb[i] ? -1 : 1;
    return 0;
}

/* a -= b, where a >= b */
static void big_subtract(struct big *a, const struct big *b)
{
    uint64_t borrow = 0;

    for (int i = 0; i < a->n; i++) {
        uint64_t take = (i < b->n ? b->limb[i] : 0) + borrow;
        borrow = a->limb[i] < take;
        a->limb[i] = (uint32_t)(a->limb[i] - take);
    }
    while (a->n > 0 && a->limb[a->n - 1] == 0)
        a->n--;
}

static double divide(struct big *n, struct big *m)
{
    int exponent = big_bits(n) - big_bits(m);
    uint64_t q = 0;

    if (exponent > 0)
        big_shift(m, exponent);
    else
        big_shift(n, -exponent);
    if (big_compare(n, m) < 0) {
        big_shift(n, 1);
        exponent--;
    }
    for (int i = 0; i < DBL_MANT_DIG; i++) { /* here m <= n < 2 m at the first round */
        q <<= 1;
        if (big_compare(n, m) >= 0) {
            big_subtract(n, m);
            q |= 1;
        }
        big_shift(n, 1);
    }
    int rest = big_compare(n, m); /* twice the remainder against the divisor */
    if (rest > 0 || (rest == 0 && (q & 1) == 1))
        q++;
    return ldexp((double)q, exponent - (DBL_MANT_DIG - 1));
}

double number_from_digits(const char *digits, size_t n, int e)
{
    static const double exact_powers[] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                          1e8,  1e9,  1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
                                          1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};
    enum { MOST_POWER = LW_COUNT(exact_powers) - 1, EXACT_DIGITS = 15 };
    struct big top = {{0}, 0}, bottom = {{1}, 1};

    while (n > 0 && *digits == '0') {
        digits++;
        n--;
    }
    if (n == 0)
        return 0.0;
    if (FLT_EVAL_METHOD == 0 && n <= EXACT_DIGITS && e >= -MOST_POWER && e <= MOST_POWER) {
        int64_t v = 0;
        for (size_t i = 0; i < n; i++)
            v = v * 10 + (digits[i] - '0');
        return e < 0 ? (double)v / exact_powers[-e] : (double)v * exact_powers[e];
    }
    for (size_t i = 0; i < n; i++)
        big_multiply_add(&top, 10, (uint32_t)(digits[i] - '0'));
    for (int i = 0; i < e; i++)
        big_multiply_add(&top, 10, 0);
    for (int i = 0; i < -e; i++)
        big_multiply_add(&bottom, 10, 0);
    return divide(&top, &bottom);
}
