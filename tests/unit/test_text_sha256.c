/* SHA-256 against the published vectors: FIPS 180-4's worked examples (the one-block, two-block and
 * million 'a' messages, as in NIST's "Examples with Intermediate Values") and the empty message of
 * NIST's validation suite (SHAVS). The digests are quoted from memory; `sha256sum` of GNU
 * coreutils, an independent implementation, is asked for the lengths around the padding's edges. */
#define _POSIX_C_SOURCE 200809L
#include "unit.h"

#include "text/sha256.h"
#include <unistd.h>

static const char *hash_of(const void *data, size_t n, char out[SHA256_HEX + 1])
{
    struct sha256 h;
    unsigned char digest[SHA256_BYTES];
    sha256_init(&h);
    sha256_add(&h, data, n);
    sha256_end(&h, digest);
    return sha256_hex(digest, out);
}

START_TEST(published_vectors)
{
    static const struct {
        const char *message, *digest;
    } vectors[] = {
        {"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"},
        {"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"},
        {"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
         "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"},
        {"abcdefghbcdefghicdefghijdefghijkefghijklfghijklmghijklmn"
         "hijklmnoijklmnopjklmnopqklmnopqrlmnopqrsmnopqrstnopqrstu",
         "cf5b16a778af8380036ce59e7b0492370b249b11e8f07a51afac45037afee9d1"},
    };
    char out[SHA256_HEX + 1];
    for (size_t i = 0; i < LW_COUNT(vectors); i++)
        ck_assert_str_eq(hash_of(vectors[i].message, strlen(vectors[i].message), out),
                         vectors[i].digest);
}
END_TEST

/* Fed in uneven pieces, so that every fill of the block is passed through. */
START_TEST(million_a)
{
    enum { TOTAL = 1000000 };
    char piece[257], out[SHA256_HEX + 1];
    unsigned char digest[SHA256_BYTES];
    struct sha256 h;
    size_t done = 0, n = 1;
    memset(piece, 'a', sizeof piece);
    sha256_init(&h);
    while (done < TOTAL) {
        size_t take = n < TOTAL - done ? n : TOTAL - done;
        sha256_add(&h, piece, take);
        done += take;
        n = n % sizeof piece + 1;
    }
    sha256_end(&h, digest);
    ck_assert_str_eq(sha256_hex(digest, out),
                     "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}
END_TEST

START_TEST(pieces_do_not_matter)
{
    unsigned char data[300];
    char whole[SHA256_HEX + 1], parts[SHA256_HEX + 1];
    for (size_t i = 0; i < sizeof data; i++)
        data[i] = (unsigned char)(i * 7 + 3);
    for (size_t n = 0; n <= sizeof data; n++) {
        hash_of(data, n, whole);
        for (size_t cut = 0; cut <= n; cut += 13) {
            struct sha256 h;
            unsigned char digest[SHA256_BYTES];
            sha256_init(&h);
            sha256_add(&h, data, cut);
            sha256_add(&h, NULL, 0);
            sha256_add(&h, data + cut, n - cut);
            sha256_end(&h, digest);
            ck_assert_str_eq(sha256_hex(digest, parts), whole);
        }
    }
}
END_TEST

/* 55, 56, 63, 64 and 119, 120 bytes are where the padding needs another block or not. All the
 * messages are written to files, one sha256sum hashes them, and its list is compared with ours. */
START_TEST(agrees_with_sha256sum)
{
    enum { LONGEST = 130 };
    char folder[] = "/tmp/lw-sha256-XXXXXX", name[80], line[200], out[SHA256_HEX + 1];
    char data[LONGEST + 1];
    ck_assert_ptr_nonnull(mkdtemp(folder));
    memset(data, 'z', sizeof data);
    for (size_t n = 0; n <= LONGEST; n++) {
        snprintf(name, sizeof name, "%s/%03zu", folder, n);
        FILE *f = fopen(name, "w");
        ck_assert_ptr_nonnull(f);
        ck_assert_uint_eq(fwrite(data, 1, n, f), n);
        ck_assert_int_eq(fclose(f), 0);
    }
    snprintf(line, sizeof line, "sha256sum %s/* 2>/dev/null", folder);
#undef popen
    FILE *p = popen(line, "r");
    ck_assert_ptr_nonnull(p);
    size_t seen = 0;
    while (fgets(line, sizeof line, p) != NULL) {
        ck_assert_int_eq(strncmp(line, hash_of(data, seen, out), SHA256_HEX), 0);
        seen++;
    }
    bool present = pclose(p) == 0;
    for (size_t n = 0; n <= LONGEST; n++) {
        snprintf(name, sizeof name, "%s/%03zu", folder, n);
        ck_assert_int_eq(unlink(name), 0);
    }
    ck_assert_int_eq(rmdir(folder), 0);
    /* A machine without sha256sum has the published vectors. */
    if (present)
        ck_assert_uint_eq(seen, LONGEST + 1);
}
END_TEST

UNIT_MAIN("text/sha256", published_vectors, million_a, pieces_do_not_matter, agrees_with_sha256sum)
