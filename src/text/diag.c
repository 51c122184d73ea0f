/* diag.c - what went wrong, where, and what to type instead. */
#include "text/base.h"

#include "text/diag.h"
#include "text/mem.h"
#include "text/utf8.h"

struct diags {
    struct diag *list;
    size_t count, cap;
    bool oom;
};

/* Shown as the last diagnostic when one could not be kept; needs no memory. */
static char oom_message[] = "out of memory: some messages are missing";
static const struct diag oom_diag = {DIAG_FATAL, "out-of-memory", NULL, 0, 0, oom_message, NULL};

struct diags *diags_new(void)
{
    return mem_calloc(1, sizeof(struct diags));
}

static void diag_clear(struct diag *g)
{
    mem_free(g->file);
    mem_free(g->message);
    mem_free(g->hint);
}

void diags_free(struct diags *d)
{
    if (d == NULL)
        return;
    for (size_t i = 0; i < d->count; i++)
        diag_clear(&d->list[i]);
    mem_free(d->list);
    mem_free(d);
}

void diags_out_of_memory(struct diags *d)
{
    if (d != NULL)
        d->oom = true;
}

void diags_add(struct diags *d, enum diag_level level, const char *code, const char *file,
               long line, long column, const char *hint, const char *fmt, ...)
{
    struct diag g = {level, code, NULL, line, column, NULL, NULL};
    struct sbuf message = SBUF_INIT;
    va_list ap;

    if (d == NULL)
        return;
    va_start(ap, fmt);
    sbuf_vprintf(&message, fmt, ap);
    va_end(ap);
    g.message = sbuf_take(&message);
    g.file = mem_strdup(file);
    g.hint = mem_strdup(hint);
    if (g.message == NULL || (file != NULL && g.file == NULL) || (hint != NULL && g.hint == NULL))
        goto out;
    struct diag *list = mem_grow(d->list, &d->cap, d->count + 1, sizeof *list);
    if (list == NULL)
        goto out;
    d->list = list;
    d->list[d->count++] = g;
    return;
out:
    diag_clear(&g);
    diags_out_of_memory(d);
}

bool diags_oom(const struct diags *d)
{
    return d != NULL && d->oom;
}

size_t diags_count(const struct diags *d)
{
    return d != NULL ? d->count + (d->oom ? 1 : 0) : 0;
}

size_t diags_count_level(const struct diags *d, enum diag_level at_least)
{
    size_t n = 0;

    for (size_t i = 0; i < diags_count(d); i++)
        n += diags_at(d, i)->level >= at_least;
    return n;
}

const struct diag *diags_at(const struct diags *d, size_t i)
{
    return i < d->count ? &d->list[i] : &oom_diag;
}

void diag_format(const struct diag *g, struct sbuf *out)
{
    static const char *const words[] = {"note", "warning", "error", "fatal"};

    if (g->file != NULL) {
        utf8_put_clean(out, g->file, false);
        if (g->line > 0)
            sbuf_printf(out, ":%ld", g->line);
        if (g->line > 0 && g->column > 0)
            sbuf_printf(out, ":%ld", g->column);
        sbuf_puts(out, ": ");
    }
    sbuf_printf(out, "%s: ", words[g->level]);
    utf8_put_clean(out, g->message, false);
    if (g->hint != NULL) {
        sbuf_puts(out, " (");
        utf8_put_clean(out, g->hint, false);
        sbuf_putc(out, ')');
    }
}
