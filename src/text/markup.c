#include "text/base.h"

#include "text/markup.h"

static void put(struct sbuf *out, const char *s, bool attribute)
{
    for (; s != NULL && *s != '\0'; s++) {
        if (*s == '&')
            sbuf_puts(out, "&amp;");
        else if (*s == '<')
            sbuf_puts(out, "&lt;");
        else if (*s == '>')
            sbuf_puts(out, "&gt;");
        else if (*s == '"')
            sbuf_puts(out, "&quot;");
        else if (attribute && (*s == '\t' || *s == '\n' || *s == '\r'))
            sbuf_printf(out, "&#%d;", *s);
        else
            sbuf_putc(out, *s);
    }
}

void markup_put_text(struct sbuf *out, const char *s)
{
    put(out, s, false);
}

void markup_put_attribute(struct sbuf *out, const char *s)
{
    put(out, s, true);
}
