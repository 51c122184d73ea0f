/* mdoc_write.c - text made safe for manual pages and for Markdown, and questions to the catalogue.
 */
#include "text/base.h"

#include "manual/manual.h"
#include "text/utf8.h"

enum { MDOC_WIDTH = 76, ASCII_END = 0x80 };

const char *const sureness_order[SURENESS_COUNT] = {"from-memory", "common-practice", "secondary",
                                                    "computed",    "two-sources",     "verified"};

/* One character, escaped; returns how many bytes of s it took. */
static size_t put_char(struct sbuf *out, const char *s)
{
    uint32_t cp = 0;
    size_t n = utf8_next(s, strlen(s), &cp);

    if (s[0] == '\\')
        sbuf_puts(out, "\\e");
    else if (s[0] == '"')
        sbuf_puts(out, "\\(dq");
    else if (n > 1 && cp >= ASCII_END)
        sbuf_printf(out, "\\[u%04X]", (unsigned)cp);
    else
        sbuf_putc(out, s[0]);
    return n > 0 ? n : 1;
}

static bool ends_sentence(const char *word, size_t n)
{
    while (n > 0 && (word[n - 1] == ')' || word[n - 1] == '"' || word[n - 1] == '\''))
        n--;
    return n > 0 && strchr(".!?", word[n - 1]) != NULL;
}

void mdoc_text(struct sbuf *out, const char *s)
{
    size_t column = 0;
    bool fresh = true; /* a sentence has just ended */

    while (s != NULL && *s != '\0') {
        size_t n = 0;

        while (ascii_space((unsigned char)*s))
            s++;
        while (s[n] != '\0' && !ascii_space((unsigned char)s[n]))
            n++;
        if (n == 0)
            break;
        if (column > 0 && (fresh || column + 1 + n > MDOC_WIDTH)) {
            sbuf_putc(out, '\n');
            column = 0;
        }
        if (column > 0)
            sbuf_putc(out, ' ');
        else if (s[0] == '.' || s[0] == '\'')
            sbuf_puts(out, "\\&");
        for (size_t i = 0; i < n;)
            i += put_char(out, s + i);
        column += n + 1;
        fresh = ends_sentence(s, n);
        s += n;
    }
    if (column > 0)
        sbuf_putc(out, '\n');
}

static void put_argument(struct sbuf *out, const char *s)
{
    bool quote = strchr(s, ' ') != NULL || s[0] == '\0';

    sbuf_puts(out, quote ? " \"" : " ");
    while (*s != '\0')
        s += put_char(out, s);
    if (quote)
        sbuf_putc(out, '"');
}

void mdoc_macro(struct sbuf *out, const char *macro, ...)
{
    const char *word;
    va_list ap;

    sbuf_printf(out, ".%s", macro);
    va_start(ap, macro);
    while ((word = va_arg(ap, const char *)) != NULL)
        put_argument(out, word);
    va_end(ap);
    sbuf_putc(out, '\n');
}

void md_text(struct sbuf *out, const char *s)
{
    bool blank = false;

    while (ascii_space((unsigned char)*s))
        s++;
    for (; *s != '\0'; s++) {
        if (ascii_space((unsigned char)*s)) {
            blank = true;
            continue;
        }
        if (blank)
            sbuf_putc(out, ' ');
        blank = false;
        if (strchr("\\`*_[]<>|#", *s) != NULL)
            sbuf_putc(out, '\\');
        sbuf_putc(out, *s);
    }
}

void manual_query(struct manual *m, const char *sql, const char *one,
                  void (*row)(sqlite3_stmt *st, void *user), void *user)
{
    sqlite3_stmt *st = NULL;
    int rc = sqlite3_prepare_v2(m->db, sql, -1, &st, NULL);

    if (rc == SQLITE_OK && one != NULL)
        rc = sqlite3_bind_text(st, 1, one, -1, SQLITE_TRANSIENT);
    while (rc == SQLITE_OK || rc == SQLITE_ROW) {
        rc = sqlite3_step(st);
        if (rc == SQLITE_ROW)
            row(st, user);
    }
    if (rc != SQLITE_DONE) {
        fprintf(stderr, "mkpages: %s: %s\n", sqlite3_errmsg(m->db), sql);
        m->failed = true;
    }
    sqlite3_finalize(st);
}

const char *manual_column(sqlite3_stmt *st, int column)
{
    const unsigned char *text = sqlite3_column_text(st, column);

    return text == NULL ? "" : (const char *)text;
}

bool manual_reads(const struct fact_sheet *sheet, const char *table)
{
    size_t n = strlen(table);

    for (const char *p = strstr(sheet->sql, table); p != NULL; p = strstr(p + 1, table))
        if (!ascii_alnum(p[n]) && p[n] != '_' &&
            (p == sheet->sql || (!ascii_alnum(p[-1]) && p[-1] != '_')))
            return true;
    return false;
}
