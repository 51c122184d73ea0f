/* check.c - a record against the dictionary. */
#include "text/base.h"

#include "record/dict_near.h"
#include "record/value.h"
#include "text/utf8.h"

enum { SHOWN_BYTES = 60 };

/* The value as shown in a message: cut at a character boundary. */
static const char *shown(const char *text, char out[SHOWN_BYTES + 4])
{
    size_t n = strlen(text);

    if (n <= SHOWN_BYTES) {
        memcpy(out, text, n + 1);
        return out;
    }
    n = SHOWN_BYTES;
    while (n > 0 && ((unsigned char)text[n] & 0xC0) == 0x80) {
        n--;
    }
    memcpy(out, text, n);
    memcpy(out + n, "...", sizeof "...");
    return out;
}

/* "element 'receipt' R-12" or "row of 'receipt' R-12". */
static void name_record(const struct record *r, const struct record_context *ctx, struct sbuf *b)
{
    const char *id = r->values[0];

    sbuf_printf(b, "%s '%s'", ctx->table ? "row of" : "element", r->element->name);
    if (id != NULL && r->element->attrs[0].type == ATTR_TOKEN) {
        char cut[SHOWN_BYTES + 4];
        sbuf_printf(b, " '%s'", shown(id, cut));
    }
}

static void report_missing(const struct record *r, const struct dict_attr *a,
                           const struct record_context *ctx, struct diags *d)
{
    struct sbuf who = SBUF_INIT;
    struct sbuf hint = SBUF_INIT;

    name_record(r, ctx, &who);
    sbuf_printf(&hint, "add %s=\"...\": %s", a->name, a->meaning);
    diags_add(d, DIAG_ERROR, "missing-attribute", r->file, r->line, 0, hint.s,
              "%s: %s '%s' is missing", who.s, ctx->table ? "column" : "attribute", a->name);
    if (who.failed || hint.failed) {
        diags_out_of_memory(d);
    }
    sbuf_free(&who);
    sbuf_free(&hint);
}

static void report_value(const struct record *r, const struct dict_attr *a, const char *text,
                         const struct value *v, const struct record_context *ctx, struct diags *d)
{
    struct sbuf who = SBUF_INIT;
    char cut[SHOWN_BYTES + 4];

    name_record(r, ctx, &who);
    diags_add(d, DIAG_ERROR, "bad-value", r->file, r->line, 0, v->hint[0] != '\0' ? v->hint : NULL,
              "%s: %s '%s' is '%s': %s", who.s, ctx->table ? "column" : "attribute", a->name,
              shown(text, cut), v->why);
    if (who.failed) {
        diags_out_of_memory(d);
    }
    sbuf_free(&who);
}

/* Recursion is bounded by the dictionary's own depth. */
bool record_check(const struct record *r, const struct record_context *ctx, struct diags *d)
{
    const struct dict_element *e = r->element;
    struct value v;
    bool good = true;

    for (size_t i = 0; i < e->attr_count; i++) {
        const struct dict_attr *a = &e->attrs[i];
        const char *text = r->values[i];

        v.state = VALUE_ABSENT;
        if (text != NULL) {
            value_read(a, text, ctx, &v);
        }
        if (v.state == VALUE_BAD) {
            report_value(r, a, text, &v, ctx, d);
            good = false;
        } else if (v.state == VALUE_ABSENT && (a->flags & ATTR_REQUIRED) != 0) {
            report_missing(r, a, ctx, d);
            good = false;
        }
    }
    for (size_t i = 0; i < r->child_count; i++) {
        good = record_check(r->children[i], ctx, d) && good;
    }
    return good;
}
