/* manual_sources.c - every citation of rules, limits and tables, and who leans on it, in Markdown.
 */
#include "text/base.h"

#include "manual/manual.h"
#include "text/mem.h"
#include "text/utf8.h"

struct cited {
    const char *work, *section, *edition, *rule;
};

struct section {
    struct manual *m;
    struct sbuf *out;
    const char *sure, *table, *source;
    size_t shown;
};

static int by_citation(const void *a, const void *b)
{
    const struct cited *x = a, *y = b;
    int order = strcmp(x->work, y->work);

    order = order != 0 ? order : strcmp(x->section, y->section);
    order = order != 0 ? order : strcmp(x->edition, y->edition);
    return order != 0 ? order : strcmp(x->rule, y->rule);
}

static bool same_citation(const struct cited *x, const struct cited *y)
{
    return str_eq(x->work, y->work) && str_eq(x->section, y->section) &&
           str_eq(x->edition, y->edition);
}

static size_t collect(struct manual *m, const char *sure, struct cited *cited)
{
    size_t n = 0;

    for (size_t i = 0; i < rule_set_count(m->rules); i++) {
        const struct rule *r = rule_set_at(m->rules, i);

        for (size_t k = 0; k < r->source_count; k++) {
            const struct rule_source *s = &r->sources[k];

            if (!str_eq(s->sure, sure))
                continue;
            if (cited != NULL)
                cited[n] = (struct cited){s->work, s->section == NULL ? "" : s->section,
                                          s->edition == NULL ? "no edition" : s->edition, r->id};
            n++;
        }
    }
    return n;
}

static void put_rule_sources(struct section *s)
{
    size_t n = collect(s->m, s->sure, NULL);
    struct cited *cited = mem_calloc(n + 1, sizeof *cited);

    if (cited == NULL) {
        s->m->failed = true;
        return;
    }
    collect(s->m, s->sure, cited);
    qsort(cited, n, sizeof *cited, by_citation);
    sbuf_puts(s->out, n > 0 ? "\n### Cited by rules\n\n" : "");
    for (size_t i = 0; i < n; i++) {
        if (i == 0 || !same_citation(&cited[i - 1], &cited[i])) {
            sbuf_puts(s->out, "- ");
            md_text(s->out, cited[i].work);
            sbuf_puts(s->out, cited[i].section[0] != '\0' ? " " : "");
            md_text(s->out, cited[i].section);
            sbuf_puts(s->out, ", ");
            md_text(s->out, cited[i].edition);
            sbuf_puts(s->out, ". Rules: ");
        }
        sbuf_printf(s->out, "`%s`%s", cited[i].rule,
                    i + 1 < n && same_citation(&cited[i], &cited[i + 1]) ? ", " : "\n");
    }
    mem_free(cited);
}

/* ", rules a, b" for the limits named in `names`, blank separated. */
static void put_leaning(struct section *s, const char *names)
{
    size_t shown = 0;

    for (size_t i = 0; i < rule_set_count(s->m->rules); i++) {
        const struct rule *r = rule_set_at(s->m->rules, i);
        size_t n = r->against_limit && r->against != NULL ? strlen(r->against) : 0;

        for (const char *p = names; n > 0 && *p != '\0';) {
            size_t len = strcspn(p, " ");

            if (len == n && strncmp(p, r->against, n) == 0) {
                sbuf_printf(s->out, "%s`%s`", shown++ == 0 ? ". Rules: " : ", ", r->id);
                break;
            }
            p += len + (p[len] == ' ');
        }
    }
}

static void put_limit(sqlite3_stmt *st, void *user)
{
    struct section *s = user;
    const char *names = manual_column(st, 2);

    sbuf_puts(s->out, s->shown++ == 0 ? "\n### Cited by limits\n\n" : "");
    sbuf_printf(s->out, "- `%s`: ", manual_column(st, 0));
    md_text(s->out, manual_column(st, 1));
    sbuf_puts(s->out, ", ");
    md_text(s->out, manual_column(st, 3));
    sbuf_puts(s->out, ". Limits: ");
    for (const char *p = names; *p != '\0'; p++)
        sbuf_puts(s->out, *p == ' ' ? ", " : (char[2]){*p, '\0'});
    put_leaning(s, names);
    sbuf_putc(s->out, '\n');
}

static void put_row_source(sqlite3_stmt *st, void *user)
{
    struct section *s = user;

    sbuf_puts(s->out, s->shown++ == 0 ? "\n### Cited by tables\n\n" : "");
    sbuf_printf(s->out, "- `%s`", s->table);
    if (!str_eq(s->source, "source"))
        sbuf_printf(s->out, " (`%s`)", s->source);
    sbuf_puts(s->out, ": ");
    md_text(s->out, manual_column(st, 0));
    sbuf_printf(s->out, ". Rows: %s\n", manual_column(st, 1));
}

/* A column "flash_sure" speaks of "flash_source" where there is one, else of the row's source. */
static void put_table(sqlite3_stmt *st, void *user)
{
    struct section *s = user;
    struct sbuf sql = SBUF_INIT;

    s->table = manual_column(st, 0);
    s->source = manual_column(st, 2);
    sbuf_printf(&sql, "select \"%s\", count(*) from cat_%s where \"%s\" = ?1 group by 1 order by 1",
                s->source, s->table, manual_column(st, 1));
    manual_query(s->m, sql.s, s->sure, put_row_source, s);
    sbuf_free(&sql);
}

void manual_citations(struct manual *m, struct sbuf *out)
{
    static const char *const titles[SURENESS_COUNT] = {"From memory: unconfirmed",
                                                       "Common practice, or no published source",
                                                       "Secondary: one reproduction was read",
                                                       "Computed from other figures",
                                                       "Two independent secondary sources agree",
                                                       "Verified: the primary text was read"};

    for (size_t i = 0; i < SURENESS_COUNT; i++) {
        struct section s = {.m = m, .out = out, .sure = sureness_order[i]};

        sbuf_printf(out, "\n## %s\n", titles[i]);
        put_rule_sources(&s);
        manual_query(
            m,
            "select l.codeset, l.cite, (select group_concat(name, ' ') from (select"
            " distinct name from lim where codeset = l.codeset and cite = l.cite and"
            " sure = ?1 order by name)), coalesce(max(l.edition), max(c.edition), 'no edition')"
            " from lim l join codeset c on c.id = l.codeset where l.sure = ?1"
            " group by l.codeset, l.cite order by l.codeset, l.cite",
            s.sure, put_limit, &s);
        s.shown = 0;
        manual_query(
            m,
            "select a.sheet, a.name, coalesce(b.name, 'source') from cat_column a left join"
            " cat_column b on b.sheet = a.sheet and b.name = substr(a.name, 1,"
            " length(a.name) - 4) || 'source' where a.type = 'sure' order by 1, 2",
            NULL, put_table, &s);
    }
}

static void put_count(sqlite3_stmt *st, void *user)
{
    *(long *)user += (long)sqlite3_column_int64(st, 0);
}

struct count {
    struct manual *m;
    const char *sure;
    long rows;
};

static void count_table(sqlite3_stmt *st, void *user)
{
    struct count *c = user;
    struct sbuf sql = SBUF_INIT;

    sbuf_printf(&sql, "select count(*) from cat_%s where \"%s\" = ?1", manual_column(st, 0),
                manual_column(st, 1));
    manual_query(c->m, sql.s, c->sure, put_count, &c->rows);
    sbuf_free(&sql);
}

void manual_counts(struct manual *m, struct sbuf *out)
{
    sbuf_puts(out, "| how sure | citations by rules | limits | table cells |\n|---|---|---|---|\n");
    for (size_t i = 0; i < SURENESS_COUNT; i++) {
        struct count c = {m, sureness_order[i], 0};
        long limits = 0;

        manual_query(m, "select count(*) from lim where sure = ?1", c.sure, put_count, &limits);
        manual_query(m, "select sheet, name from cat_column where type = 'sure'", NULL, count_table,
                     &c);
        sbuf_printf(out, "| %s | %zu | %ld | %ld |\n", c.sure, collect(m, c.sure, NULL), limits,
                    c.rows);
    }
}

/* Marks the facts that lean on a table, directly or through other facts; sheets come in the order
 * of dependence, so one pass is enough. */
static void mark_facts(struct manual *m, const char *table, bool *marked)
{
    for (size_t i = 0; i < fact_set_count(m->facts); i++) {
        const struct fact_sheet *f = fact_set_at(m->facts, i);

        marked[i] = manual_reads(f, table);
        for (size_t k = 0; k < i && !marked[i]; k++) {
            struct sbuf name = SBUF_INIT;

            sbuf_printf(&name, "fact_%s", fact_set_at(m->facts, k)->name);
            marked[i] = marked[k] && manual_reads(f, name.s);
            sbuf_free(&name);
        }
    }
}

static void put_users(sqlite3_stmt *st, void *user)
{
    struct section *s = user;
    struct sbuf table = SBUF_INIT;
    size_t facts = fact_set_count(s->m->facts), shown = 0;
    bool *marked = mem_calloc(facts + 1, sizeof *marked);

    sbuf_printf(&table, "cat_%s", manual_column(st, 0));
    if (marked == NULL)
        s->m->failed = true;
    else
        mark_facts(s->m, table.s, marked);
    sbuf_printf(s->out, "- `%s`", manual_column(st, 0));
    for (size_t i = 0; marked != NULL && i < rule_set_count(s->m->rules); i++) {
        const struct rule *r = rule_set_at(s->m->rules, i);

        for (size_t k = 0; k < facts; k++)
            if (marked[k] && str_eq(fact_set_at(s->m->facts, k)->name, r->fact))
                sbuf_printf(s->out, "%s`%s`", shown++ == 0 ? ": " : ", ", r->id);
    }
    sbuf_puts(s->out, shown == 0 ? ": no rule; reference cards and bench arithmetic only\n" : "\n");
    mem_free(marked);
    sbuf_free(&table);
}

void manual_table_users(struct manual *m, struct sbuf *out)
{
    struct section s = {.m = m, .out = out};

    manual_query(m, "select distinct sheet from cat_column order by sheet", NULL, put_users, &s);
}
