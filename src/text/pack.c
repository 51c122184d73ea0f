#include "text/base.h"

#include "text/mem.h"
#include "text/number.h"
#include "text/pack.h"

/* ISO 646: unit separator ends a field, record separator stands for NULL. */
#define FIELD_END  "\x1f"
#define FIELD_NULL '\x1e'

void pack_text(struct sbuf *b, const char *s)
{
    if (s)
        sbuf_puts(b, s);
    else
        sbuf_putc(b, FIELD_NULL);
    sbuf_puts(b, FIELD_END);
}

void pack_number(struct sbuf *b, long v)
{
    sbuf_printf(b, "%ld%s", v, FIELD_END);
}

char *unpack_text(struct pack *in)
{
    size_t n = in->failed ? 0 : strcspn(in->p, FIELD_END);
    if (in->failed || !in->p[n]) {
        in->failed = true;
        return NULL;
    }
    bool null = n == 1 && in->p[0] == FIELD_NULL;
    char *s = null ? NULL : mem_strndup(in->p, n);
    in->failed = !null && !s;
    in->p += n + 1;
    return s;
}

long unpack_number(struct pack *in)
{
    char *s = unpack_text(in);
    long long v = 0;
    if (!s || !number_integer(s, &v))
        in->failed = true;
    mem_free(s);
    return in->failed ? 0 : (long)v;
}
