/* mkpages DATA-DIR RULES-DIR TEMPLATE - prints a page of the manual: the template with its parts
 * filled in from the dictionary, the sheets and the rules. See manual/manual.h. */
#include "text/base.h"

#include "manual/manual.h"
#include "record/catalogue.h"
#include "text/file.h"
#include "text/mem.h"

enum { TEMPLATE_BYTES = 1 << 20 };

static const struct {
    const char *name;
    manual_part *part;
} parts[] = {
    {"@elements@", manual_elements},   {"@values@", manual_values},
    {"@facts@", manual_facts},         {"@rules@", manual_rules},
    {"@patterns@", manual_patterns},   {"@cautions@", manual_cautions},
    {"@code-sets@", manual_code_sets}, {"@limit-names@", manual_limit_names},
    {"@works@", manual_works},         {"@set-sureness@", manual_set_sureness},
    {"@tables@", manual_tables},       {"@counts@", manual_counts},
    {"@citations@", manual_citations}, {"@table-users@", manual_table_users},
};

static bool fill_line(struct manual *m, const char *line, size_t n, struct sbuf *out)
{
    if (n < 3 || line[0] != '@' || line[n - 1] != '@') {
        sbuf_putn(out, line, n);
        sbuf_putc(out, '\n');
        return true;
    }
    for (size_t i = 0; i < LW_COUNT(parts); i++)
        if (strlen(parts[i].name) == n && strncmp(parts[i].name, line, n) == 0) {
            parts[i].part(m, out);
            return true;
        }
    fprintf(stderr, "mkpages: no part %.*s\n", (int)n, line);
    return false;
}

static bool fill(struct manual *m, const char *text, struct sbuf *out)
{
    while (*text != '\0') {
        size_t n = strcspn(text, "\n");

        if (!fill_line(m, text, n, out))
            return false;
        text += n + (text[n] == '\n');
    }
    return !out->failed && !m->failed;
}

static bool open_manual(struct manual *m, char **argv, struct diags *d)
{
    return sqlite3_open(":memory:", &m->db) == SQLITE_OK && catalogue_load(m->db, argv[1], d) &&
           (m->facts = fact_set_read(argv[1], d)) != NULL &&
           (m->rules = rule_set_read(argv[2], d)) != NULL;
}

int main(int argc, char **argv)
{
    struct manual m = {.data_dir = argc == 4 ? argv[1] : NULL};
    struct sbuf template = SBUF_INIT, out = SBUF_INIT, line = SBUF_INIT;
    struct diags *d = mem_install() == 0 ? diags_new() : NULL;
    bool ok = d != NULL && argc == 4 && open_manual(&m, argv, d) &&
              file_read(argv[3], TEMPLATE_BYTES, &template, d) && fill(&m, template.s, &out);

    if (argc != 4)
        fputs("usage: mkpages DATA-DIR RULES-DIR TEMPLATE\n", stderr);
    ok = ok && fwrite(out.s, 1, out.len, stdout) == out.len && fflush(stdout) == 0;
    for (size_t i = 0; d != NULL && i < diags_count(d); i++) {
        sbuf_clear(&line);
        diag_format(diags_at(d, i), &line);
        fprintf(stderr, "mkpages: %s\n", line.s);
    }
    rule_set_free(m.rules);
    fact_set_free(m.facts);
    sqlite3_close(m.db);
    diags_free(d);
    sbuf_free(&line);
    sbuf_free(&out);
    sbuf_free(&template);
    return ok ? EXIT_SUCCESS : EXIT_FAILURE;
}
