/* refused.c - finds the records in a file's text, without reading them as records. */
#include "text/base.h"

#include "command/refused.h"
#include "text/mem.h"
#include "text/utf8.h"

/* One record in the text: a child of the root element, or a row. */
struct span {
    size_t from, to;
    long first_line, named_line, last_line; /* named_line: where its start tag ends */
};

struct scan {
    const char *s;
    size_t n, i;
    long line;
    int depth;
};

bool taken_add(struct taken *t, size_t file, long line)
{
    void *p = mem_grow(t->at, &t->cap, t->count + 1, sizeof *t->at);
    if (p == NULL)
        return false;
    t->at = p;
    t->at[t->count++] = (struct taken_at){.file = file, .line = line};
    return true;
}

void taken_free(struct taken *t)
{
    mem_free(t->at);
    *t = (struct taken){0};
}

static int by_place(const void *a, const void *b)
{
    const struct taken_at *x = a, *y = b;
    if (x->file != y->file)
        return x->file < y->file ? -1 : 1;
    return x->line < y->line ? -1 : x->line > y->line;
}

void taken_sort(struct taken *t)
{
    if (t->count > 1)
        qsort(t->at, t->count, sizeof *t->at, by_place);
}

/* How many records were taken from lines first to last of a file. */
static size_t taken_within(const struct taken *t, size_t file, long first, long last)
{
    size_t lo = 0, hi = t->count, n = 0;
    const struct taken_at from = {.file = file, .line = first};
    while (lo < hi) {
        size_t mid = lo + (hi - lo) / 2;
        if (by_place(&t->at[mid], &from) < 0)
            lo = mid + 1;
        else
            hi = mid;
    }
    while (lo < t->count && t->at[lo].file == file && t->at[lo].line <= last) {
        lo++;
        n++;
    }
    return n;
}

/* ---- finding the records ---- */

static void advance(struct scan *c, size_t to)
{
    for (; c->i < to && c->i < c->n; c->i++)
        if (c->s[c->i] == '\n')
            c->line++;
}

/* Moves past `end`, or to the end of the text. */
static void advance_past(struct scan *c, const char *end)
{
    size_t k = strlen(end);
    while (c->i < c->n && (c->n - c->i < k || memcmp(c->s + c->i, end, k) != 0))
        advance(c, c->i + 1);
    advance(c, c->i + k);
}

static bool at(const struct scan *c, const char *word)
{
    size_t k = strlen(word);
    return c->n - c->i >= k && memcmp(c->s + c->i, word, k) == 0;
}

/* Past one tag; true when it closed itself. */
static bool skip_tag(struct scan *c)
{
    char quote = 0, last = 0;
    while (c->i < c->n) {
        char x = c->s[c->i];
        advance(c, c->i + 1);
        if (quote != 0) {
            if (x == quote)
                quote = 0;
        } else if (x == '"' || x == '\'') {
            quote = x;
        } else if (x == '>') {
            break;
        }
        last = x;
    }
    return last == '/';
}

static bool next_xml(struct scan *c, struct span *out)
{
    bool open = false;
    while (c->i < c->n) {
        if (c->s[c->i] != '<') {
            advance(c, c->i + 1);
        } else if (at(c, "<!--")) {
            advance_past(c, "-->");
        } else if (at(c, "<![CDATA[")) {
            advance_past(c, "]]>");
        } else if (at(c, "<?") || at(c, "<!")) {
            advance_past(c, ">");
        } else if (at(c, "</")) {
            (void)skip_tag(c);
            c->depth--;
            if (open && c->depth <= 1)
                break;
        } else {
            bool record = c->depth == 1 && !open;
            if (record) {
                *out = (struct span){.from = c->i, .first_line = c->line};
                open = true;
            }
            bool closed = skip_tag(c);
            if (record)
                out->named_line = c->line;
            if (!closed)
                c->depth++;
            else if (record)
                break;
        }
    }
    out->to = c->i;
    out->last_line = c->line;
    return open;
}

/* A row of comma-separated text: a quoted cell may hold line ends. */
static bool next_row(struct scan *c, struct span *out)
{
    bool quoted = false;
    if (c->i >= c->n)
        return false;
    *out = (struct span){.from = c->i, .first_line = c->line, .last_line = c->line};
    while (c->i < c->n && (quoted || c->s[c->i] != '\n')) {
        if (c->s[c->i] == '"')
            quoted = !quoted;
        advance(c, c->i + 1);
    }
    out->to = c->i;
    out->named_line = out->last_line = c->line;
    advance(c, c->i + 1);
    return true;
}

static bool next_csv(struct scan *c, struct span *out)
{
    while (next_row(c, out)) {
        size_t k = out->from;
        while (k < out->to && strchr(",;\t\r \"", c->s[k]) != NULL)
            k++;
        if (k == out->to || c->s[out->from] == '#')
            continue; /* empty, or a declaration */
        if (c->depth++ > 0)
            return true; /* the first such row is the header */
    }
    return false;
}

/* ---- listing ---- */

static bool is_error_of(const struct diag *x, const char *path)
{
    return x->level >= DIAG_ERROR && str_eq(x->file, path);
}

static unsigned long reasons(const struct diags *d, const char *path, long first, long last,
                             struct sbuf *out)
{
    unsigned long n = 0;
    for (size_t i = 0; i < diags_count(d); i++) {
        const struct diag *x = diags_at(d, i);
        if (!is_error_of(x, path) || x->line < first || x->line > last)
            continue;
        n++;
        if (out != NULL) {
            sbuf_puts(out, "# ");
            diag_format(x, out);
            sbuf_putc(out, '\n');
        }
    }
    return n;
}

static void put_record(const char *text, const struct span *sp, struct sbuf *out)
{
    size_t to = sp->to;
    while (to > sp->from && (text[to - 1] == '\r' || text[to - 1] == '\n'))
        to--;
    sbuf_putn(out, text + sp->from, to - sp->from);
    sbuf_puts(out, "\n\n");
}

static bool looks_like_xml(const char *text, size_t n)
{
    size_t i = n >= 3 && memcmp(text, "\xef\xbb\xbf", 3) == 0 ? 3 : 0;
    while (i < n && ascii_space((unsigned char)text[i]))
        i++;
    return i < n && text[i] == '<';
}

unsigned long refused_list(const char *path, size_t file, const char *text, size_t n,
                           const struct taken *t, const struct diags *d, struct sbuf *out)
{
    bool (*next)(struct scan *, struct span *) = looks_like_xml(text, n) ? next_xml : next_csv;
    struct scan c = {.s = text, .n = n, .line = 1};
    struct span sp = {0};
    unsigned long listed = 0;
    (void)reasons(d, path, 0, 0, out);
    while (next(&c, &sp)) {
        bool took = taken_within(t, file, sp.first_line, sp.named_line) > 0;
        unsigned long said = reasons(d, path, sp.first_line, sp.last_line, NULL);
        if (took && said == 0)
            continue;
        if (said > 0)
            (void)reasons(d, path, sp.first_line, sp.last_line, out);
        else
            sbuf_printf(out, "# %s:%ld: not taken; its reason is beyond the number that is told\n",
                        path, sp.first_line);
        put_record(text, &sp, out);
        listed++;
    }
    return listed;
}
