/* statement.c - an official statement in the words of a printed label. */
#include "text/base.h"

#include "fact/sqltext.h"
#include "text/mem.h"
#include "text/utf8.h"

/* "..." as one character, U+2026. */
#define BLANK "\xE2\x80\xA6"

enum {
    BLANK_MOST = 200,    /* bytes that a blank may be filled with */
    PLAIN_MOST = 400,    /* bytes of a template with its openings filled */
    NEAR_PERCENT = 40,   /* of the statement that may differ while it is still that statement */
    WORD_LEAST = 4,      /* letters of a word that tells statements apart */
    SHARED_PERCENT = 50, /* of those words that must stand in the printed text */
    DEPTH_MOST = 12      /* openings of a template, and choices joined in one */
};

static bool same(char a, char b)
{
    return ascii_tolower((unsigned char)a) == ascii_tolower((unsigned char)b);
}

static const char *skip_space(const char *p)
{
    while (ascii_space((unsigned char)*p))
        p++;
    return p;
}

/* The literal t[0..n) at p: its end, or NULL. Runs of blanks are one. */
static const char *literal(const char *t, size_t n, const char *p)
{
    for (size_t i = 0; i < n; i++) {
        if (t[i] == ' ') {
            if (!ascii_space((unsigned char)*p))
                return NULL;
            p = skip_space(p);
        } else if (!same(t[i], *p)) {
            return NULL;
        } else {
            p++;
        }
    }
    return p;
}

static const char *match(const char *t, const char *p, unsigned depth);

/* Any words, then the rest of the template. */
static const char *match_blank(const char *rest, const char *p, unsigned depth)
{
    for (size_t n = 1; n < BLANK_MOST && p[n - 1] != '\0'; n++) {
        const char *end = match(rest, p + n, depth + 1);

        if (end != NULL)
            return end;
    }
    return NULL;
}

static const char *joined(const char *p)
{
    static const char *const joints[] = {" / ", "/", ", ", " or ", " and ", " and/or "};
    const char *end = NULL;

    for (size_t i = 0; i < LW_COUNT(joints) && end == NULL; i++)
        end = literal(joints[i], strlen(joints[i]), p);
    return end;
}

/* t stands after the opening brace. */
static const char *match_choice(const char *t, const char *p, unsigned depth)
{
    const char *close = strchr(t, '}'), *end = NULL;

    if (close == NULL || depth > DEPTH_MOST)
        return NULL;
    for (const char *c = t; c < close && end == NULL;) {
        size_t n = strcspn(c, "|}");

        if (n == sizeof BLANK - 1 && strncmp(c, BLANK, n) == 0) {
            end = match_blank(close + 1, p, depth);
        } else {
            const char *after = literal(c, n, p);

            if (after != NULL)
                end = match(close + 1, after, depth + 1);
            if (after != NULL && end == NULL && joined(after) != NULL)
                end = match_choice(t, joined(after), depth + 1);
        }
        c += n + 1;
    }
    return end;
}

/* The statement ends here: nothing follows, or a mark, or the beginning of another. */
static const char *ending(const char *p)
{
    const char *q = p;

    if (*q == '.')
        return q + 1;
    if (*q == '\0' || strchr(",;|:", *q) != NULL)
        return q;
    if (!ascii_space((unsigned char)*q))
        return NULL;
    q = skip_space(q);
    return ascii_lower((unsigned char)*q) ? NULL : p;
}

static const char *match(const char *t, const char *p, unsigned depth)
{
    while (*t != '\0' && !(t[0] == '.' && t[1] == '\0')) {
        if (*t == '{')
            return match_choice(t + 1, p, depth);
        p = literal(t, 1, p);
        if (p == NULL)
            return NULL;
        t++;
    }
    return ending(p);
}

static bool beginning(const char *printed, const char *p)
{
    const char *b = p;

    if (p == printed)
        return true;
    while (b > printed && ascii_space((unsigned char)b[-1]))
        b--;
    if (b == printed || strchr(".;:|,/-", b[-1]) != NULL)
        return true;
    return b < p && !ascii_lower((unsigned char)*p);
}

static const char *find_plain(const char *t, const char *printed, size_t *length)
{
    for (const char *p = printed; *p != '\0'; p++) {
        const char *end = NULL;

        if (!ascii_space((unsigned char)*p) && (*t == '{' || same(*t, *p)) && beginning(printed, p))
            end = match(t, p, 0);
        if (end != NULL) {
            *length = (size_t)(end - p);
            return p;
        }
    }
    return NULL;
}

const char *statement_find(const char *template, const char *printed, size_t *length)
{
    const char *open = strchr(template, '['), *close = open ? strchr(open, ']') : NULL;
    const char *found = NULL;
    struct sbuf b = SBUF_INIT;

    if (close == NULL)
        return find_plain(template, printed, length);
    for (int with = 1; with >= 0 && found == NULL; with--) {
        sbuf_clear(&b);
        sbuf_putn(&b, template, (size_t)(open - template));
        if (with)
            sbuf_putn(&b, open + 1, (size_t)(close - open - 1));
        sbuf_puts(&b, close + 1);
        if (!b.failed)
            found = statement_find(b.s, printed, length);
    }
    sbuf_free(&b);
    return found;
}

/* `fill` is one of the choices from t to the closing brace. */
static bool offers(const char *t, const char *fill)
{
    size_t want = fill == NULL ? 0 : strlen(fill);

    while (want > 0 && *t != '\0' && *t != '}') {
        size_t n = strcspn(t, "|}");

        if (n == want && strncmp(t, fill, n) == 0)
            return true;
        t += n + (t[n] == '|');
    }
    return false;
}

void statement_fill(const char *template, const char *fill, struct sbuf *out)
{
    for (const char *t = template; *t != '\0'; t++) {
        if (*t == '[') {
            const char *close = strchr(t, ']');

            t = close != NULL ? close : t;
        } else if (*t == '{') {
            size_t n = strcspn(t + 1, "|}");
            const char *close = strchr(t, '}');

            if (strncmp(t + 1, BLANK, n) == 0 || offers(t + 1, fill))
                sbuf_puts(out, fill != NULL ? fill : BLANK);
            else
                sbuf_putn(out, t + 1, n);
            if (close == NULL)
                return;
            t = close;
        } else {
            sbuf_putc(out, *t);
        }
    }
}

/* Lower case, blanks as one; where[i] is the place of byte i in s. */
static size_t fold(const char *s, char *out, const char **where, size_t most)
{
    size_t n = 0;

    for (const char *p = skip_space(s); *p != '\0' && n + 1 < most; p++) {
        if (ascii_space((unsigned char)*p) && n > 0 && out[n - 1] == ' ')
            continue;
        where[n] = p;
        out[n++] = ascii_space((unsigned char)*p) ? ' ' : (char)ascii_tolower((unsigned char)*p);
    }
    out[n] = '\0';
    return n;
}

/* Half or more of the telling words of `plain` stand in `text`; both folded. */
static bool shares_words(const char *plain, const char *text)
{
    size_t words = 0, there = 0;

    for (const char *p = plain; *p != '\0';) {
        size_t n = strcspn(p, " ./");
        char word[64];

        if (n >= WORD_LEAST && n < sizeof word) {
            memcpy(word, p, n);
            word[n] = '\0';
            words++;
            there += strstr(text, word) != NULL;
        }
        p += n;
        p += *p != '\0';
    }
    return words > 0 && there * 100 >= words * SHARED_PERCENT;
}

/* Edit distance of a[0..m) from the best beginning of b[0..n); *end is that beginning's length.
 * row has n + 1 places. */
static unsigned distance(const char *a, size_t m, const char *b, size_t n, unsigned *row,
                         size_t *end)
{
    unsigned best = UINT_MAX;

    for (size_t j = 0; j <= n; j++)
        row[j] = (unsigned)j;
    for (size_t i = 1; i <= m; i++) {
        unsigned diagonal = row[0];

        row[0] = (unsigned)i;
        for (size_t j = 1; j <= n; j++) {
            unsigned change = diagonal + (a[i - 1] != b[j - 1]);
            unsigned less = row[j] < row[j - 1] ? row[j] : row[j - 1];

            diagonal = row[j];
            row[j] = change < less + 1 ? change : less + 1;
        }
    }
    for (size_t j = 0; j <= n; j++)
        if (row[j] < best) {
            best = row[j];
            *end = j;
        }
    return best;
}

struct near_search {
    char text[4096], plain[PLAIN_MOST];
    const char *where[4096], *plain_where[PLAIN_MOST];
    unsigned row[PLAIN_MOST * 2];
};

static void search(struct near_search *w, const char *printed, size_t m, size_t n, struct sbuf *out)
{
    unsigned best = UINT_MAX;
    size_t from = 0, length = 0;

    for (size_t i = 0; i < n; i++) {
        size_t left = n - i < m + m / 2 ? n - i : m + m / 2, end = 0;
        unsigned d;

        if (w->text[i] == ' ' || !beginning(printed, w->where[i]))
            continue;
        d = distance(w->plain, m, w->text + i, left, w->row, &end);
        if (d < best) {
            best = d;
            from = i;
            length = end;
        }
    }
    if (length == 0 || best * 100 > m * NEAR_PERCENT)
        return;
    while (from + length < n && w->text[from + length] != ' ' && w->text[from + length - 1] != ' ')
        length++;
    while (length > 0 && w->text[from + length - 1] == ' ')
        length--;
    sbuf_putn(out, w->where[from], (size_t)(w->where[from + length - 1] - w->where[from]) + 1);
}

/* The template with every choice printed, parted by strokes, as the lists print it. */
static void print_all(const char *template, struct sbuf *out)
{
    for (const char *t = template; *t != '\0'; t++) {
        if (*t == '|')
            sbuf_putc(out, '/');
        else if (strchr("{}[]", *t) == NULL)
            sbuf_putc(out, *t);
    }
}

/* Searches for one spelling of the statement. */
static void near_plain(struct near_search *w, const char *plain, const char *printed,
                       struct sbuf *out)
{
    size_t m = fold(plain, w->plain, w->plain_where, LW_COUNT(w->plain));
    size_t n = fold(printed, w->text, w->where, LW_COUNT(w->text));

    if (m > 0 && n > 0 && shares_words(w->plain, w->text))
        search(w, printed, m, n, out);
}

void statement_near(const char *template, const char *printed, struct sbuf *out)
{
    struct near_search *w = mem_alloc(sizeof *w);
    struct sbuf b = SBUF_INIT;
    size_t before = out->len;

    print_all(template, &b);
    if (w != NULL && !b.failed && b.len < PLAIN_MOST)
        near_plain(w, b.s, printed, out);
    sbuf_clear(&b);
    statement_fill(template, NULL, &b);
    if (w != NULL && !b.failed && b.len < PLAIN_MOST && out->len == before)
        near_plain(w, b.s, printed, out);
    out->failed |= w == NULL || b.failed;
    sbuf_free(&b);
    mem_free(w);
}

const char *list_item(const char *list, const char *separators, size_t n, size_t *length)
{
    const char *p = list;

    for (size_t i = 1; *p != '\0'; i++) {
        const char *start = skip_space(p), *end;
        int depth = 0;

        for (p = start; *p != '\0' && (depth > 0 || strchr(separators, *p) == NULL); p++) {
            depth += *p == '(';
            depth -= *p == ')' && depth > 0;
        }
        for (end = p; end > start && ascii_space((unsigned char)end[-1]);)
            end--;
        if (end == start && *p != '\0' && strchr(separators, ' ') != NULL)
            i--; /* several blanks part two words once */
        else if (i == n && end > start) {
            *length = (size_t)(end - start);
            return start;
        }
        p += *p != '\0';
    }
    return NULL;
}
