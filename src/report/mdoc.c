/* mdoc.c - the sections, lists and displays of a manual page, laid out as plain text. */
#include "text/base.h"

#include "report/layout.h"
#include "report/mdoc.h"
#include "text/utf8.h"

enum { TAG_INDENT = 8, NAME_BYTES = 64 };

struct page {
    struct sbuf *out;
    int width, indent;
    struct sbuf para, tag;
    struct mdoc_words words;
    char name[NAME_BYTES];
    bool literal, synopsis, tagged, citing;
    int lists;
};

/* One empty line, never two. */
static void gap(struct page *p)
{
    size_t n = p->out->len;

    if (n > 1 && !(p->out->s[n - 1] == '\n' && p->out->s[n - 2] == '\n'))
        sbuf_putc(p->out, '\n');
}

static void put_tag(struct page *p)
{
    int used = p->indent - TAG_INDENT + (int)utf8_width(p->tag.s);
    struct sbuf first = SBUF_INIT;

    sbuf_pad(&first, ' ', (size_t)(p->indent - TAG_INDENT));
    sbuf_puts(&first, p->tag.s);
    if (used + 1 < p->indent && p->para.len > 0) {
        sbuf_pad(&first, ' ', (size_t)(p->indent - used));
        layout_wrap(p->out, p->width, first.s, p->indent, p->para.s);
        sbuf_clear(&p->para);
    } else {
        layout_wrap_from(p->out, p->width, 0, p->indent - TAG_INDENT, p->tag.s);
    }
    if (first.failed)
        p->out->failed = true;
    sbuf_free(&first);
    sbuf_clear(&p->tag);
    p->tagged = false;
}

/* Writes out what has been gathered of a paragraph. */
static void flush(struct page *p)
{
    if (p->tagged)
        put_tag(p);
    if (p->para.len > 0)
        layout_wrap_from(p->out, p->width, 0, p->indent, p->para.s);
    if (p->para.failed || p->tag.failed)
        p->out->failed = true;
    sbuf_clear(&p->para);
    p->words.glue = false;
}

static void heading(struct page *p, const char *args, size_t n, int indent)
{
    flush(p);
    gap(p);
    sbuf_pad(p->out, ' ', (size_t)indent);
    mdoc_put_macro(&p->words, "Sh", args, n);
    sbuf_puts(p->out, p->para.s);
    sbuf_putc(p->out, '\n');
    sbuf_clear(&p->para);
    p->synopsis = n == strlen("SYNOPSIS") && strncmp(args, "SYNOPSIS", n) == 0;
    p->indent = MDOC_INDENT;
}

static void item(struct page *p, const char *args, size_t n)
{
    flush(p);
    gap(p);
    p->words.para = &p->tag;
    mdoc_put_macro(&p->words, "It", args, n);
    p->words.para = &p->para;
    p->words.glue = false;
    p->tagged = true;
}

static void list(struct page *p, int step)
{
    flush(p);
    if (p->lists + step < 0)
        return;
    p->lists += step;
    p->indent += step * TAG_INDENT;
    if (step < 0)
        gap(p);
}

static void display(struct page *p, bool begin)
{
    if (begin) {
        flush(p);
        gap(p);
    }
    p->literal = begin;
}

static void set_name(struct page *p, const char *args, size_t n)
{
    if (p->name[0] == '\0' && n > 0)
        snprintf(p->name, sizeof p->name, "%.*s", (int)n, args);
}

static void name_macro(struct page *p, const char *args, size_t n)
{
    set_name(p, args, n);
    if (p->synopsis)
        flush(p);
    mdoc_put_macro(&p->words, "Nm", args, n);
}

/* A work cited between Rs and Re: its fields parted by commas. */
static void cite(struct page *p, const char *args, size_t n)
{
    if (p->citing)
        sbuf_putc(&p->para, ',');
    mdoc_put_line(&p->words, args, n);
    p->citing = true;
}

static void parenthesis(struct page *p, bool open, const char *args, size_t n)
{
    if (open) {
        mdoc_put_macro(&p->words, "It", "(", 1);
        p->words.glue = true;
    } else {
        sbuf_putc(&p->para, ')');
        p->words.glue = false;
        mdoc_put_macro(&p->words, "It", args, n);
    }
}

static void standard_exit(struct page *p, const char *args, size_t n)
{
    static const char option[] = "-std ";
    struct sbuf b = SBUF_INIT;

    if (n > strlen(option) && strncmp(args, option, strlen(option)) == 0) {
        sbuf_printf(&b, "The %.*s utility exits 0 on success, and >0 if an error occurs.",
                    (int)(n - strlen(option)), args + strlen(option));
        mdoc_put_line(&p->words, b.s, b.len);
    }
    if (b.failed)
        p->out->failed = true;
    sbuf_free(&b);
}

static void one_literal(struct page *p, const char *args, size_t n)
{
    flush(p);
    sbuf_pad(p->out, ' ', (size_t)p->indent + MDOC_INDENT);
    mdoc_put_macro(&p->words, "Li", args, n);
    sbuf_puts(p->out, p->para.s);
    sbuf_putc(p->out, '\n');
    sbuf_clear(&p->para);
}

static void macro_line(struct page *p, const char *macro, const char *args, size_t n)
{
    if (str_eq(macro, "Sh") || str_eq(macro, "Ss")) {
        heading(p, args, n, macro[1] == 'h' ? 0 : MDOC_INDENT / 2);
    } else if (str_eq(macro, "Pp")) {
        flush(p);
        gap(p);
    } else if (str_eq(macro, "It")) {
        item(p, args, n);
    } else if (str_eq(macro, "Bl") || str_eq(macro, "El")) {
        list(p, macro[0] == 'B' ? 1 : -1);
    } else if (str_eq(macro, "Bd") || str_eq(macro, "Ed")) {
        display(p, macro[0] == 'B');
    } else if (str_eq(macro, "Nm")) {
        name_macro(p, args, n);
    } else if (str_eq(macro, "Nd")) {
        mdoc_put_line(&p->words, "-", 1);
        mdoc_put_line(&p->words, args, n);
    } else if (str_eq(macro, "Po") || str_eq(macro, "Pc")) {
        parenthesis(p, macro[1] == 'o', args, n);
    } else if (str_eq(macro, "Ex")) {
        standard_exit(p, args, n);
    } else if (str_eq(macro, "Dl")) {
        one_literal(p, args, n);
    } else if (macro[0] == '%') {
        cite(p, args, n);
    } else if (str_eq(macro, "Re")) {
        sbuf_puts(&p->para, p->citing ? "." : "");
        p->citing = false;
    } else if (!str_eq(macro, "Dd") && !str_eq(macro, "Dt") && !str_eq(macro, "Os") &&
               !str_eq(macro, "Rs")) {
        mdoc_put_macro(&p->words, macro, args, n);
    }
}

static void literal_line(struct page *p, const char *line, size_t n)
{
    if (n == 0) {
        sbuf_putc(p->out, '\n');
        return;
    }
    sbuf_pad(p->out, ' ', (size_t)p->indent + MDOC_INDENT);
    mdoc_unescape(p->out, line, n);
    sbuf_putc(p->out, '\n');
}

static void one_line(struct page *p, const char *line, size_t n)
{
    char macro[4] = "";
    size_t len = 0;

    if (n == 0 || line[0] != '.') {
        if (p->literal)
            literal_line(p, line, n);
        else if (n > 0)
            mdoc_put_line(&p->words, line, n);
        return;
    }
    while (1 + len < n && line[1 + len] != ' ')
        len++;
    if (line[1] == '\\') /* a comment */
        return;
    snprintf(macro, sizeof macro, "%.*s", (int)len, line + 1);
    line += 1 + len;
    n -= 1 + len;
    while (n > 0 && *line == ' ') {
        line++;
        n--;
    }
    macro_line(p, macro, line, n);
}

void mdoc_text_page(const char *page, int width, struct sbuf *out)
{
    struct page p = {
        .out = out, .width = width, .indent = MDOC_INDENT, .para = SBUF_INIT, .tag = SBUF_INIT};

    p.words = (struct mdoc_words){.para = &p.para, .name = p.name};
    while (*page != '\0') {
        size_t n = strcspn(page, "\n");

        one_line(&p, page, n);
        page += n + (page[n] == '\n');
    }
    flush(&p);
    sbuf_free(&p.para);
    sbuf_free(&p.tag);
}
