/* mdoc_inline.c - the macros of mdoc that stand within a line, as plain words. */
#include "text/base.h"

#include "report/mdoc.h"
#include "text/utf8.h"

enum { WORDS_MOST = 64, NESTED_MOST = 8 };

struct word {
    char text[512];
    bool quoted; /* never a macro */
};

struct line {
    struct word words[WORDS_MOST];
    size_t count;
};

struct enclosure {
    const char *macro, *open, *close;
};

static const struct enclosure enclosures[] = {
    {"Op", "[", "]"}, {"Pq", "(", ")"}, {"Dq", "\"", "\""},
    {"Sq", "'", "'"}, {"Ql", "'", "'"}, {"Brq", "{", "}"},
};

/* Macros whose words stand as they are on a plain page. */
static const char *const plain[] = {"Ar", "Cm", "Em", "Ev", "Fl", "Li",
                                    "Nm", "Pa", "Sy", "Va", "Xr"};

static const struct enclosure *find_enclosure(const char *macro)
{
    for (size_t i = 0; i < LW_COUNT(enclosures); i++)
        if (str_eq(enclosures[i].macro, macro))
            return &enclosures[i];
    return NULL;
}

static bool is_plain(const char *macro)
{
    for (size_t i = 0; i < LW_COUNT(plain); i++)
        if (str_eq(plain[i], macro))
            return true;
    return false;
}

static void put_code_point(struct sbuf *out, uint32_t cp)
{
    if (cp < 0x80) {
        sbuf_putc(out, (char)cp);
    } else if (cp < 0x800) {
        sbuf_putc(out, (char)(0xC0 | cp >> 6));
        sbuf_putc(out, (char)(0x80 | (cp & 0x3F)));
    } else {
        if (cp >= 0x10000) {
            sbuf_putc(out, (char)(0xF0 | cp >> 18));
            sbuf_putc(out, (char)(0x80 | (cp >> 12 & 0x3F)));
        } else {
            sbuf_putc(out, (char)(0xE0 | cp >> 12));
        }
        sbuf_putc(out, (char)(0x80 | (cp >> 6 & 0x3F)));
        sbuf_putc(out, (char)(0x80 | (cp & 0x3F)));
    }
}

/* "[u20AC]" after a backslash; bytes taken, 0: not of that form. */
static size_t put_bracket(struct sbuf *out, const char *s, size_t n)
{
    uint32_t cp = 0;
    size_t i = 2;

    if (n < 2 || s[1] != 'u')
        return 0;
    for (; i < n && s[i] != ']'; i++) {
        char c = s[i];

        if (!ascii_digit(c) && (c < 'A' || c > 'F'))
            return 0;
        cp = cp * 16 + (uint32_t)(ascii_digit(c) ? c - '0' : c - 'A' + 10);
    }
    if (i == n || cp == 0 || cp > 0x10FFFF)
        return 0;
    put_code_point(out, cp);
    return i + 1;
}

void mdoc_unescape(struct sbuf *out, const char *s, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        size_t left = n - i - 1;
        size_t took = 0;

        if (s[i] != '\\' || left == 0) {
            sbuf_putc(out, s[i]);
            continue;
        }
        switch (s[i + 1]) {
        case '&':
            took = 1;
            break;
        case 'e':
            sbuf_putc(out, '\\');
            took = 1;
            break;
        case '(':
            if (left >= 3) {
                sbuf_puts(out, strncmp(s + i + 2, "aq", 2) == 0   ? "'"
                               : strncmp(s + i + 2, "dq", 2) == 0 ? "\""
                                                                  : "");
                took = 3;
            }
            break;
        case '[':
            took = put_bracket(out, s + i + 1, left);
            break;
        default: /* \- and the like: the character itself */
            sbuf_putc(out, s[i + 1]);
            took = 1;
        }
        i += took;
    }
}

static void put(struct mdoc_words *w, const char *text, bool before)
{
    if (before && !w->glue && w->para->len > 0 && w->para->s[w->para->len - 1] != '\n')
        sbuf_putc(w->para, ' ');
    sbuf_puts(w->para, text);
    w->glue = false;
}

void mdoc_put_line(struct mdoc_words *w, const char *line, size_t n)
{
    struct sbuf b = SBUF_INIT;

    mdoc_unescape(&b, line, n);
    put(w, b.s, true);
    if (b.failed)
        w->para->failed = true;
    sbuf_free(&b);
}

static void split(struct line *l, const char *s, size_t n)
{
    l->count = 0;
    for (size_t i = 0; i < n && l->count < WORDS_MOST;) {
        struct word *word = &l->words[l->count];
        struct sbuf b = SBUF_INIT;
        size_t from;

        while (i < n && s[i] == ' ')
            i++;
        if (i == n)
            break;
        word->quoted = s[i] == '"';
        from = i += word->quoted;
        while (i < n && s[i] != (word->quoted ? '"' : ' '))
            i++;
        mdoc_unescape(&b, s + from, i - from);
        /* "\&." is a full stop of the text, not one that ends the line. */
        if (i - from >= 2 && s[from] == '\\' && s[from + 1] == '&')
            word->quoted = true;
        i += i < n && word->quoted && s[i] == '"';
        snprintf(word->text, sizeof word->text, "%s", b.s);
        l->count++;
        sbuf_free(&b);
    }
}

static bool closes(const struct word *word)
{
    return !word->quoted && word->text[0] != '\0' && word->text[1] == '\0' &&
           strchr(".,:;)]?!", word->text[0]) != NULL;
}

static bool opens(const struct word *word)
{
    return !word->quoted && (str_eq(word->text, "(") || str_eq(word->text, "["));
}

static void put_word(struct mdoc_words *w, const char *macro, const struct word *word)
{
    char text[sizeof word->text + 2];

    snprintf(text, sizeof text, "%s%s", str_eq(macro, "Fl") ? "-" : "", word->text);
    put(w, text, true);
}

/* What a macro without words prints: the name of the page. */
static void put_bare(struct mdoc_words *w, const char *macro)
{
    if (str_eq(macro, "Nm"))
        put(w, w->name, true);
    else if (str_eq(macro, "Ar"))
        put(w, "file ...", true);
}

static void put_reference(struct mdoc_words *w, const struct line *l, size_t *i)
{
    char text[2 * sizeof l->words[0].text];

    if (*i + 1 < l->count && !closes(&l->words[*i + 1])) {
        snprintf(text, sizeof text, "%s(%s)", l->words[*i].text, l->words[*i + 1].text);
        put(w, text, true);
        *i += 1;
    } else {
        put(w, l->words[*i].text, true);
    }
}

void mdoc_put_macro(struct mdoc_words *w, const char *macro, const char *args, size_t n)
{
    const char *closers[NESTED_MOST];
    size_t nested = 0, end, since = 0;
    struct line l;

    split(&l, args, n);
    for (end = l.count; end > 0 && closes(&l.words[end - 1]);)
        end--;
    for (size_t i = 0; i <= end; i++) {
        const struct enclosure *e = find_enclosure(macro);
        bool next;

        if (e != NULL && nested < NESTED_MOST) {
            put(w, e->open, true);
            w->glue = true;
            closers[nested++] = e->close;
            macro = "";
        }
        next = i < end && !l.words[i].quoted &&
               (is_plain(l.words[i].text) || find_enclosure(l.words[i].text) != NULL);
        if ((i == end || next) && since == 0)
            put_bare(w, macro);
        if (i == end)
            break;
        since++;
        if (next) {
            macro = l.words[i].text;
            since = 0;
        } else if (closes(&l.words[i])) {
            put(w, l.words[i].text, false);
        } else if (opens(&l.words[i])) {
            put(w, l.words[i].text, true);
            w->glue = true;
        } else if (str_eq(macro, "Xr")) {
            put_reference(w, &l, &i);
        } else {
            put_word(w, macro, &l.words[i]);
        }
    }
    while (nested > 0)
        put(w, closers[--nested], false);
    for (; end < l.count; end++)
        put(w, l.words[end].text, false);
}
