/* text_guard.c - what every record file must be before a parser sees it. */
#include "text/base.h"

#include "record/text_guard.h"
#include "text/utf8.h"

enum { ENCODING_BYTES = 40 };

static const char save_as[] = "save the file as UTF-8 (in a spreadsheet: 'CSV UTF-8')";

void text_guard_start(struct text_guard *g, const char *name)
{
    g->name = name;
    g->line = 1;
    g->cut_len = 0;
}

static bool starts(const char *text, size_t n, const char *with, size_t len)
{
    return n >= len && memcmp(text, with, len) == 0;
}

/* The value of encoding="..." in an XML declaration; "" when there is none. */
static void declared_encoding(const char *text, size_t n, char out[ENCODING_BYTES])
{
    static const char word[] = "encoding";
    size_t end = 0;

    out[0] = '\0';
    if (!starts(text, n, "<?xml", 5)) {
        return;
    }
    while (end < n && end < TEXT_GUARD_HEAD && text[end] != '>') {
        end++;
    }
    for (size_t i = 0; i + sizeof word <= end; i++) {
        size_t k = 0;

        if (memcmp(text + i, word, sizeof word - 1) != 0) {
            continue;
        }
        i += sizeof word - 1;
        while (i < end && (ascii_space((unsigned char)text[i]) || text[i] == '=')) {
            i++;
        }
        for (i++; i < end && text[i] != '"' && text[i] != '\'' && k + 1 < ENCODING_BYTES; i++) {
            out[k++] = text[i];
        }
        out[k] = '\0';
        return;
    }
}

bool text_guard_head(struct text_guard *g, const char *text, size_t n, struct diags *d)
{
    char encoding[ENCODING_BYTES];

    if (starts(text, n, "\xFE\xFF", 2) || starts(text, n, "\xFF\xFE", 2) ||
        starts(text, n, "<\0", 2) || starts(text, n, "\0<", 2)) {
        diags_add(d, DIAG_FATAL, "not-utf8", g->name, 1, 0, save_as,
                  "the file is in UTF-16 or UTF-32, not UTF-8");
        return false;
    }
    if (starts(text, n, "\xEF\xBB\xBF", 3)) {
        text += 3;
        n -= 3;
    }
    declared_encoding(text, n, encoding);
    if (encoding[0] != '\0' && ascii_casecmp(encoding, "UTF-8") != 0 &&
        ascii_casecmp(encoding, "US-ASCII") != 0) {
        diags_add(d, DIAG_FATAL, "not-utf8", g->name, 1, 0,
                  "save the file as UTF-8 and write encoding=\"UTF-8\" on its first line",
                  "the file declares the encoding '%s'; only UTF-8 is read", encoding);
        return false;
    }
    return true;
}

static void count_lines(struct text_guard *g, const char *text, size_t n)
{
    const char *end = text + n;

    while (text < end && (text = memchr(text, '\n', (size_t)(end - text))) != NULL) {
        g->line++;
        text++;
    }
}

static bool refuse(struct text_guard *g, const char *at, const char *text, struct diags *d)
{
    g->good += (size_t)(at - text);
    count_lines(g, text, (size_t)(at - text));
    diags_add(d, DIAG_FATAL, "not-utf8", g->name, g->line, 0, save_as,
              "the byte 0x%02X here is not UTF-8 text", (unsigned)(unsigned char)*at);
    return false;
}

/* Length of the sequence that `lead` begins; 0 when it begins none. */
static size_t sequence_length(unsigned char lead)
{
    return lead < 0x80   ? 1
           : lead < 0xC2 ? 0
           : lead < 0xE0 ? 2
           : lead < 0xF0 ? 3
           : lead < 0xF5 ? 4
                         : 0;
}

/* Completes the character kept in g->cut; *used bytes of text belong to it. */
static bool finish_cut(struct text_guard *g, const char *text, size_t n, size_t *used,
                       struct diags *d)
{
    size_t want = sequence_length((unsigned char)g->cut[0]);
    size_t bad_at = 0;

    *used = 0;
    while (g->cut_len < want && *used < n) {
        g->cut[g->cut_len++] = text[(*used)++];
    }
    if (g->cut_len < want) {
        return true;
    }
    if (!utf8_valid(g->cut, g->cut_len, &bad_at)) {
        return refuse(g, g->cut, g->cut, d);
    }
    g->cut_len = 0;
    return true;
}

bool text_guard_push(struct text_guard *g, const char *text, size_t n, struct diags *d)
{
    const char *zero = NULL;
    size_t used = 0;
    size_t bad_at = 0;

    g->good = 0;
    if (g->cut_len > 0) {
        if (!finish_cut(g, text, n, &used, d)) {
            return false;
        }
        text += used;
        n -= used;
        g->good = used;
    }
    zero = memchr(text, '\0', n);
    if (!utf8_valid(text, n, &bad_at) && (zero == NULL || text + bad_at < zero)) {
        size_t left = n - bad_at;
        if (left >= sequence_length((unsigned char)text[bad_at]) || left >= sizeof g->cut) {
            return refuse(g, text + bad_at, text, d);
        }
        memcpy(g->cut, text + bad_at, left);
        g->cut_len = left;
        n = bad_at;
    }
    if (zero != NULL) {
        g->good += (size_t)(zero - text);
        count_lines(g, text, (size_t)(zero - text));
        diags_add(d, DIAG_FATAL, "zero-byte", g->name, g->line, 0,
                  "this is not a text file, or it was damaged: look at it in an editor",
                  "the file holds a zero byte here");
        return false;
    }
    g->good += n;
    count_lines(g, text, n);
    return true;
}

bool text_guard_end(struct text_guard *g, struct diags *d)
{
    if (g->cut_len > 0) {
        return refuse(g, g->cut, g->cut, d);
    }
    return true;
}
