/* manual_records.c - the record dictionary as mdoc lists. */
#include "text/base.h"

#include "manual/manual.h"
#include "record/dict_near.h"

/* "A mass: 400 g, 1.2 kg." */
static void put_type(struct sbuf *out, const struct dict_attr *a)
{
    switch (a->type) {
    case ATTR_TOKEN:
        sbuf_puts(out, "An id or code");
        break;
    case ATTR_TEXT:
        sbuf_puts(out, "Text");
        break;
    case ATTR_DATE:
        sbuf_puts(out, "A date");
        break;
    case ATTR_QTY:
        sbuf_printf(out, "A quantity: %s", dimension_name(a->dim));
        if ((a->flags & ATTR_LIQUID) != 0)
            sbuf_puts(out, " of liquid");
        if ((a->flags & ATTR_SIGNED) != 0)
            sbuf_puts(out, ", may be below zero");
        break;
    case ATTR_PERCENT:
        sbuf_puts(out, "A per cent, such as 28 %");
        break;
    case ATTR_RATIO:
        sbuf_puts(out, "A ratio, such as 1:40");
        break;
    case ATTR_CHOICE:
        sbuf_puts(out, "One of the words below");
        break;
    case ATTR_FLAG:
        sbuf_puts(out, "yes or no");
        break;
    case ATTR_COUNTRY:
        sbuf_puts(out, "A country code");
        break;
    case ATTR_REF:
    case ATTR_REFS:
        sbuf_puts(out, a->type == ATTR_REF ? "The id of a" : "The ids, separated by spaces, of a");
        sbuf_puts(out, strchr("aeiou", a->words[0]) != NULL ? "n " : " ");
        for (const char *p = a->words; *p != '\0'; p++)
            sbuf_puts(out, *p == ' ' ? " or " : (char[2]){*p, '\0'});
        if ((a->flags & ATTR_CATALOGUE) != 0)
            sbuf_puts(out, ", or a name of the shipped catalogue");
        break;
    }
    sbuf_putc(out, '.');
}

static void put_words(struct sbuf *out, const char *words)
{
    const char *w = NULL;
    size_t n = 0;

    sbuf_puts(out, "Words:\n");
    while (dict_next_word(&words, &w, &n))
        sbuf_printf(out, ".Cm %.*s%s\n", (int)n, w, words == NULL || *words == '\0' ? " ." : " ,");
}

static void put_attribute(struct sbuf *out, const struct dict_attr *a)
{
    struct sbuf type = SBUF_INIT;

    mdoc_macro(out, (a->flags & ATTR_REQUIRED) != 0 ? "It Sy" : "It Cm", a->name, NULL);
    mdoc_text(out, a->meaning);
    put_type(&type, a);
    mdoc_text(out, type.s);
    if ((a->flags & ATTR_REQUIRED) != 0)
        sbuf_puts(out, "Must be given.\n");
    if (a->type == ATTR_CHOICE)
        put_words(out, a->words);
    sbuf_free(&type);
}

void manual_elements(struct manual *m, struct sbuf *out)
{
    size_t count = 0;
    const struct dict_element *all = dict_elements(&count);

    (void)m;
    for (size_t i = 0; i < count; i++) {
        const struct dict_element *e = &all[i];

        mdoc_macro(out, "Ss", e->name, NULL);
        mdoc_text(out, e->meaning);
        if (e->parent != NULL && !dict_top_level(e)) {
            sbuf_puts(out, "Stands inside\n");
            sbuf_printf(out, ".Cm %s .\n", e->parent);
        }
        if (e->attr_count == 0)
            continue;
        sbuf_puts(out, ".Bl -tag -width Ds\n");
        for (size_t k = 0; k < e->attr_count; k++)
            put_attribute(out, &e->attrs[k]);
        sbuf_puts(out, ".El\n");
    }
}

void manual_values(struct manual *m, struct sbuf *out)
{
    (void)m;
    for (int dim = DIM_MASS; dim <= DIM_AMOUNT; dim++) {
        struct sbuf text = SBUF_INIT;

        sbuf_printf(&text, "For example %s.", dimension_examples((enum dimension)dim));
        if (dim != DIM_AMOUNT && dim != DIM_MONEY && dim != DIM_COUNT)
            sbuf_printf(&text, " Kept in %s.", dimension_unit((enum dimension)dim));
        mdoc_macro(out, "It Cm", dimension_name((enum dimension)dim), NULL);
        mdoc_text(out, text.s);
        sbuf_free(&text);
    }
}
