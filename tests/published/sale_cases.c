/*
 * Sales with what decides each: tests/published/sale_cases.csv through facts and rules of origin.
 */
#include "origin_world.h"

#include "text/sbuf.h"

static struct wide cases;

static void put_attr(struct sbuf *b, const char *name, const char *value)
{
    if (*value != '\0')
        sbuf_printf(b, " %s=\"%s\"", name, value);
}

/* "kind issued expires|..." to document records; their ids to `ids`. */
static void put_papers(struct sbuf *b, const char *papers, const char *prefix, struct sbuf *ids)
{
    int n = 0;

    while (*papers != '\0') {
        char kind[64] = "", issued[16] = "", expires[16] = "";
        size_t k = strcspn(papers, " "), i, e;

        snprintf(kind, sizeof kind, "%.*s", (int)k, papers);
        papers += k + 1;
        i = strcspn(papers, " ");
        snprintf(issued, sizeof issued, "%.*s", (int)i, papers);
        papers += i + 1;
        e = strcspn(papers, "|");
        snprintf(expires, sizeof expires, "%.*s", (int)e, papers);
        papers += e + (papers[e] == '|');
        n++;
        sbuf_printf(ids, "%s%s%d", n > 1 ? " " : "", prefix, n);
        sbuf_printf(b, "<document id=\"%s%d\" kind=\"%s\"", prefix, n, kind);
        put_attr(b, "issued", strcmp(issued, "-") == 0 ? "" : issued);
        put_attr(b, "expires", strcmp(expires, "-") == 0 ? "" : expires);
        sbuf_puts(b, "/>\n");
    }
}

static void put_sold(struct sbuf *b, const char *as)
{
    if (strcmp(as, "raw") == 0) {
        sbuf_puts(b, "<line receipt=\"R\" quantity=\"10 g\"/>");
        return;
    }
    if (strcmp(as, "bulk") == 0) {
        sbuf_puts(b, "<line batch=\"L\" quantity=\"500 mL\"/>");
        return;
    }
    sbuf_puts(b, "<line batch=\"L\" label=\"B\" bottles=\"10\" bottle-size=\"30 mL\"/>");
}

static char *records_of(size_t row)
{
    struct sbuf b = SBUF_INIT, sale = SBUF_INIT, receipt = SBUF_INIT;
    const char *as = wide_cell(&cases, row, "sold_as");

    sbuf_puts(&b, "<records>\n<premises id=\"W\"");
    put_attr(&b, "country", wide_cell(&cases, row, "leaves"));
    sbuf_puts(&b, "/>\n");
    put_papers(&b, wide_cell(&cases, row, "sale_papers"), "S", &sale);
    put_papers(&b, wide_cell(&cases, row, "receipt_papers"), "D", &receipt);
    sbuf_puts(&b, "<receipt id=\"R\" date=\"2023-01-05\" kind=\"material\" quantity=\"100 g\"");
    put_attr(&b, "material", wide_cell(&cases, row, "material"));
    put_attr(&b, "scientific-name", wide_cell(&cases, row, "species"));
    put_attr(&b, "form", wide_cell(&cases, row, "form"));
    put_attr(&b, "origin-country", wide_cell(&cases, row, "origin"));
    put_attr(&b, "source-code", wide_cell(&cases, row, "source_code"));
    put_attr(&b, "documents", receipt.s);
    sbuf_printf(&b,
                "/>\n<batch id=\"L\" product-kind=\"%s\" start=\"2023-02-01\" state=\"bottled\">"
                "<charge receipt=\"R\" quantity=\"50 g\" purpose=\"extracted\"/>"
                "<yield stage=\"filtered\" quantity=\"900 mL\"/></batch>\n"
                "<label id=\"B\" batch=\"L\"/>\n<sale id=\"X\"",
                strcmp(as, "retail") == 0 ? "cosmetic" : "material");
    put_attr(&b, "date", wide_cell(&cases, row, "day"));
    put_attr(&b, "to", wide_cell(&cases, row, "goes_to"));
    put_attr(&b, "documents", sale.s);
    sbuf_puts(&b, ">");
    put_sold(&b, as);
    sbuf_puts(&b, "</sale>\n</records>\n");
    ck_assert(!b.failed);
    sbuf_free(&sale);
    sbuf_free(&receipt);
    return sbuf_take(&b);
}

static const char *fact_of(const char *rule)
{
    const struct rule *r = rule_set_find(world.rules, rule);

    ck_assert_msg(r != NULL, "no rule %s", rule);
    return r->fact;
}

static void judge_one(size_t row, const char *records, const char *expected)
{
    char name[80] = "", want[80] = "", sql[256];
    const char *eq = strchr(expected, '='), *id = wide_cell(&cases, row, "id");

    ck_assert_msg(eq != NULL, "%s: %s", id, expected);
    snprintf(name, sizeof name, "%.*s", (int)(eq - expected), expected);
    snprintf(want, sizeof want, "%.*s", (int)strcspn(eq + 1, ";"), eq + 1);
    if (strcmp(name, "paper") == 0) {
        world_fill(records, "2026-06-30", "sale_paper");
        snprintf(sql, sizeof sql,
                 "select count(*) from fact_sale_paper where instr(',' || paper || ',', ',%s,') > 0"
                 " and needed is not 0",
                 want);
        ck_assert_msg(world_number(sql) > 0, "%s: %s is not asked for; asked for: %s (%s)", id,
                      want, world_text("select group_concat(paper, ' ') from fact_sale_paper"),
                      wide_cell(&cases, row, "cite"));
        return;
    }
    world_fill(records, "2026-06-30", fact_of(name));
    ck_assert_msg(strcmp(world_verdict(name), want) == 0, "%s: %s: %s, expected %s (%s)", id, name,
                  world_verdict(name), want, wide_cell(&cases, row, "cite"));
}

START_TEST(every_case)
{
    world_open();
    wide_read("tests/published/sale_cases.csv", &cases);
    ck_assert_uint_ge(cases.rows, 40);
    for (size_t row = 0; row < cases.rows; row++) {
        char *records = records_of(row);

        for (const char *p = wide_cell(&cases, row, "expect"); *p != '\0';) {
            judge_one(row, records, p);
            p += strcspn(p, ";");
            p += *p == ';';
            p += strspn(p, " ");
        }
        mem_free(records);
    }
}
END_TEST

START_TEST(every_case_says_what_decides_it)
{
    for (size_t row = 0; row < cases.rows; row++) {
        const char *sure = wide_cell(&cases, row, "sure");

        ck_assert_msg(*wide_cell(&cases, row, "cite") != '\0' && *sure != '\0' &&
                          *wide_cell(&cases, row, "expect") != '\0',
                      "%s: no citation, sureness or expectation", wide_cell(&cases, row, "id"));
    }
}
END_TEST

UNIT_MAIN("sale cases", every_case, every_case_says_what_decides_it)
