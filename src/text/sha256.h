/* sha256.h - the secure hash of FIPS 180-4, section 6.2, over byte strings. */
#ifndef LW_TEXT_SHA256_H
#define LW_TEXT_SHA256_H

#include "text/base.h"

#define SHA256_BYTES 32 /* length of a digest */
#define SHA256_HEX   64 /* the same in hexadecimal digits, without the NUL */
#define SHA256_BLOCK 64 /* bytes hashed at a time */

struct sha256 {
    uint32_t state[8];
    uint64_t total; /* bytes taken so far; below 2^61 */
    unsigned char block[SHA256_BLOCK];
};

void sha256_init(struct sha256 *h);
/* data may be NULL when n is 0. */
void sha256_add(struct sha256 *h, const void *data, size_t n);
/* Ends the message; h must be initialised again before further use. */
void sha256_end(struct sha256 *h, unsigned char digest[SHA256_BYTES]);
/* Lower-case hexadecimal and a NUL; returns out. */
char *sha256_hex(const unsigned char digest[SHA256_BYTES], char out[SHA256_HEX + 1]);

#endif
