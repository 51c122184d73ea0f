/* sha256.c - FIPS 180-4, sections 4.1.2, 4.2.2, 5.1.1, 5.3.3 and 6.2. */
#include "text/base.h"

#include "text/sha256.h"

#define ROUNDS        64
#define LENGTH_OFFSET 56 /* the message length in bits fills the last eight bytes of a block */

/* The first thirty-two bits of the fractional parts of the cube roots of the first 64 primes. */
static const uint32_t round_constant[ROUNDS] = {
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
    0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
    0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
    0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
    0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
    0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
    0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
    0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2};

/* The same of the square roots of the first eight primes. */
static const uint32_t initial_state[8] = {0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a,
                                          0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19};

static inline uint32_t rotr(uint32_t x, unsigned n)
{
    return (x >> n) | (x << (32 - n));
}

static inline uint32_t load_be(const unsigned char *p)
{
    return (uint32_t)p[0] << 24 | (uint32_t)p[1] << 16 | (uint32_t)p[2] << 8 | (uint32_t)p[3];
}

static void compress(uint32_t state[8], const unsigned char *p)
{
    uint32_t w[ROUNDS];
    for (int t = 0; t < 16; t++)
        w[t] = load_be(p + (size_t)t * 4);
    for (int t = 16; t < ROUNDS; t++) {
        uint32_t s0 = rotr(w[t - 15], 7) ^ rotr(w[t - 15], 18) ^ (w[t - 15] >> 3);
        uint32_t s1 = rotr(w[t - 2], 17) ^ rotr(w[t - 2], 19) ^ (w[t - 2] >> 10);
        w[t] = w[t - 16] + s0 + w[t - 7] + s1;
    }
    uint32_t a = state[0], b = state[1], c = state[2], d = state[3];
    uint32_t e = state[4], f = state[5], g = state[6], h = state[7];
    for (int t = 0; t < ROUNDS; t++) {
        uint32_t sum1 = rotr(e, 6) ^ rotr(e, 11) ^ rotr(e, 25);
        uint32_t choose = (e & f) ^ (~e & g);
        uint32_t t1 = h + sum1 + choose + round_constant[t] + w[t];
        uint32_t sum0 = rotr(a, 2) ^ rotr(a, 13) ^ rotr(a, 22);
        uint32_t majority = (a & b) ^ (a & c) ^ (b & c);
        h = g;
        g = f;
        f = e;
        e = d + t1;
        d = c;
        c = b;
        b = a;
        a = t1 + sum0 + majority;
    }
    state[0] += a;
    state[1] += b;
    state[2] += c;
    state[3] += d;
    state[4] += e;
    state[5] += f;
    state[6] += g;
    state[7] += h;
}

void sha256_init(struct sha256 *h)
{
    memcpy(h->state, initial_state, sizeof h->state);
    h->total = 0;
    memset(h->block, 0, sizeof h->block);
}

void sha256_add(struct sha256 *h, const void *data, size_t n)
{
    if (n == 0)
        return;
    const unsigned char *p = data;
    size_t held = (size_t)(h->total % SHA256_BLOCK);
    h->total += n;
    if (held > 0) {
        size_t take = SHA256_BLOCK - held < n ? SHA256_BLOCK - held : n;
        memcpy(h->block + held, p, take);
        p += take;
        n -= take;
        if (held + take < SHA256_BLOCK)
            return;
        compress(h->state, h->block);
    }
    for (; n >= SHA256_BLOCK; p += SHA256_BLOCK, n -= SHA256_BLOCK)
        compress(h->state, p);
    if (n > 0)
        memcpy(h->block, p, n);
}

void sha256_end(struct sha256 *h, unsigned char digest[SHA256_BYTES])
{
    uint64_t bits = h->total * 8;
    size_t held = (size_t)(h->total % SHA256_BLOCK);
    h->block[held++] = 0x80;
    if (held > LENGTH_OFFSET) {
        memset(h->block + held, 0, SHA256_BLOCK - held);
        compress(h->state, h->block);
        held = 0;
    }
    memset(h->block + held, 0, LENGTH_OFFSET - held);
    for (unsigned i = 0; i < 8; i++)
        h->block[LENGTH_OFFSET + i] = (unsigned char)(bits >> (56 - 8 * i));
    compress(h->state, h->block);
    for (unsigned i = 0; i < SHA256_BYTES; i++)
        digest[i] = (unsigned char)(h->state[i / 4] >> (24 - 8 * (i % 4)));
}

char *sha256_hex(const unsigned char digest[SHA256_BYTES], char out[SHA256_HEX + 1])
{
    static const char hex[] = "0123456789abcdef";
    for (size_t i = 0; i < SHA256_BYTES; i++) {
        out[2 * i] = hex[digest[i] >> 4];
        out[2 * i + 1] = hex[digest[i] & 15];
    }
    out[SHA256_HEX] = '\0';
    return out;
}
