/* fuzz_pattern.c - regular expressions over the words of labels and notes.
 *
 * An even first byte: the second picks a shipped pattern, the rest is the text. An odd one: the
 * input up to an empty line is a pattern of its own. What must hold: the limits of pattern.h bound
 * the work of every match (SECONDS_MOST of processor time is far above them); a sheet refused is
 * told. */
#include "fuzz.h"

#include "fact/pattern.h"
#include "text/file.h"
#include "text/utf8.h"

enum { SECONDS_MOST = 2, SHEET_BYTES_MAX = 1024 * 1024 };

static struct pattern_set *shipped(int *count)
{
    static struct pattern_set *set;
    static int patterns;
    if (!set) {
        static const char tag[] = "<pattern ";
        struct sbuf text = SBUF_INIT;
        set = pattern_set_read(LW_SRCDIR "/data", NULL);
        fuzz_must(set && file_read(LW_SRCDIR "/data/patterns.xml", SHEET_BYTES_MAX, &text, NULL),
                  "the shipped patterns can be read");
        for (const char *s = text.s; (s = strstr(s, tag)) != NULL; s += sizeof tag - 1)
            patterns++;
        sbuf_free(&text);
    }
    *count = patterns;
    return set;
}

static void match(const struct pattern_set *set, int index, const char *text, size_t n)
{
    size_t bad = 0;
    clock_t before = clock();
    enum pattern_result r = pattern_match(set, index, text, n);
    fuzz_must((clock() - before) / CLOCKS_PER_SEC < SECONDS_MOST, "a match ends soon");
    if (!utf8_valid(text, n, &bad))
        fuzz_must(r == PATTERN_CANNOT_TELL, "ill-formed text cannot be told");
}

static void put_escaped(struct sbuf *b, const char *s, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        if (s[i] == '<')
            sbuf_puts(b, "&lt;");
        else if (s[i] == '&')
            sbuf_puts(b, "&amp;");
        else if (s[i] == '>')
            sbuf_puts(b, "&gt;");
        else
            sbuf_putc(b, s[i]);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *p, size_t n)
{
    if (n < 3)
        return 0;
    const char *text = (const char *)p + 2, *end = (const char *)p + n, *gap = text;
    if (!(p[0] & 1)) {
        int count = 0;
        const struct pattern_set *set = shipped(&count);
        match(set, p[1] % count, text, (size_t)(end - text));
        return 0;
    }
    struct sbuf sheet = SBUF_INIT;
    struct diags *d = diags_new();
    fuzz_must(d != NULL, "memory");
    while (gap + 1 < end && !(gap[0] == '\n' && gap[1] == '\n'))
        gap++;
    sbuf_puts(&sheet, "<patterns><pattern name=\"p\">");
    put_escaped(&sheet, text, strnlen(text, (size_t)(gap - text)));
    sbuf_puts(&sheet, "</pattern></patterns>");
    fuzz_must(!sheet.failed, "memory");
    static bool made;
    if (!made)
        fuzz_make_folder("data");
    made = true;
    fuzz_write(fuzz_path("data/patterns.xml"), sheet.s, sheet.len);
    struct pattern_set *set = pattern_set_read(fuzz_path("data"), d);
    fuzz_must(set || diags_count(d) > 0, "a refused pattern is told");
    text = gap + 2 < end ? gap + 2 : end;
    if (set && pattern_index(set, "p") == 0)
        match(set, 0, text, (size_t)(end - text));
    fuzz_check_diags(d);
    pattern_set_free(set);
    diags_free(d);
    sbuf_free(&sheet);
    return 0;
}
