/* words - the patterns for words in free text, against texts that must and must not match.
 *
 *   words SRCDIR TABLE     (tests/rules/words.csv: pattern,text,match) */
#include "csv_field.h"

#include "fact/pattern.h"

enum { LINE_BYTES = 1024, WORD_BYTES = 512 };

int main(int argc, char **argv)
{
    char dir[4096], line[LINE_BYTES], name[WORD_BYTES], text[WORD_BYTES], match[WORD_BYTES];
    unsigned rows = 0, bad = 0;
    if (argc != 3)
        return 2;
    snprintf(dir, sizeof dir, "%s/data", argv[1]);
    struct diags *d = diags_new();
    struct pattern_set *set = pattern_set_read(dir, d);
    FILE *f = fopen(argv[2], "r");
    if (set == NULL || f == NULL) {
        fprintf(stderr, "words: the patterns or the table cannot be read\n");
        return 2;
    }
    while (fgets(line, sizeof line, f) != NULL) {
        line[strcspn(line, "\r\n")] = '\0';
        field(field(field(line, name, sizeof name), text, sizeof text), match, sizeof match);
        int index = pattern_index(set, name);
        if (rows++ == 0)
            continue; /* the heading */
        enum pattern_result want = strcmp(match, "yes") == 0 ? PATTERN_YES : PATTERN_NO;
        if (index < 0 || pattern_match(set, index, text, strlen(text)) != want) {
            printf("%s: '%s' should %smatch\n", name, text, want == PATTERN_YES ? "" : "not ");
            bad++;
        }
    }
    fclose(f);
    pattern_set_free(set);
    diags_free(d);
    printf("%u texts, %u wrong\n", rows - 1, bad);
    return bad > 0 || rows < 50;
}
