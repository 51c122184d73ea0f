#include "text/base.h"

#include "fact/memo.h"
#include "text/mem.h"

struct memo *memo_new(const void *what)
{
    struct memo *m = mem_calloc(1, sizeof *m);
    if (m)
        m->what = what;
    return m;
}

void memo_free(void *memo)
{
    mem_free(memo);
}

struct phys_value *memo_place(struct memo *m, const double *args, size_t n, bool *known)
{
    /* Multiplier of Knuth's MMIX congruential generator: spreads the high bits of a double. */
    const uint64_t spread = 6364136223846793005u;
    enum { TOP = 32 };
    double key[MEMO_ARGS] = {0};
    uint64_t h = 0, word;
    memcpy(key, args, n * sizeof *args);
    for (size_t i = 0; i < n; i++) {
        memcpy(&word, &key[i], sizeof word);
        h = (h ^ word) * spread;
        h ^= h >> TOP;
    }
    struct memo_slot *s = &m->slots[h & (MEMO_SLOTS - 1)];
    /* By their bits: -0 and 0 are two keys. */
    *known = s->filled && memcmp(s->args, key, sizeof key) == 0;
    if (!*known) {
        memcpy(s->args, key, sizeof key);
        s->filled = true;
    }
    return &s->value;
}
