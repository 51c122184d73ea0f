/* The catalogue through the program: every name finds its material or is refused with its
 * candidates; every row says where it comes from and how sure; what rests on memory says so in
 * every finding. */
#include "../published/origin_world.h"

#include "record/country.h"
#include "text/sbuf.h"

#include <sys/stat.h>
#include <unistd.h>

static void put_escaped(struct sbuf *b, const char *s)
{
    for (; *s != '\0'; s++) {
        if (*s == '&')
            sbuf_puts(b, "&amp;");
        else if (*s == '<')
            sbuf_puts(b, "&lt;");
        else if (*s == '"')
            sbuf_puts(b, "&quot;");
        else
            sbuf_putc(b, *s);
    }
}

/* One receipt an alias, in one file. */
START_TEST(every_alias_finds_its_material)
{
    struct sbuf b = SBUF_INIT;
    xmlNode *row = NULL;
    long n = 0;

    sbuf_puts(&b, "<records>");
    while ((row = sheet_next("material_alias", row)) != NULL) {
        sbuf_printf(&b, "<receipt id=\"R%ld\" kind=\"material\" name=\"", n++);
        put_escaped(&b, sheet_cell(row, "alias"));
        sbuf_puts(&b, "\"/>");
    }
    sbuf_puts(&b, "</records>");
    ck_assert(!b.failed);
    world_fill(b.s, "2026-06-30", "receipt_origin");
    sbuf_free(&b);
    row = NULL;
    for (long i = 0; (row = sheet_next("material_alias", row)) != NULL; i++) {
        char sql[256];
        const char *material;
        /* a solvent's alias is no matter of origin */
        if (sheet_is(sheet_find("material", "id", sheet_cell(row, "material")), "kind", "solvent"))
            continue;
        snprintf(sql, sizeof sql,
                 "select coalesce(material, '') from fact_receipt_origin where id = 'R%ld'", i);
        material = world_text(sql);
        if (sheet_is(row, "ambiguous", "no")) {
            ck_assert_msg(strcmp(material, sheet_cell(row, "material")) == 0,
                          "'%s' leads to '%s', not '%s'", sheet_cell(row, "alias"), material,
                          sheet_cell(row, "material"));
        } else {
            ck_assert_msg(*material == '\0', "'%s' means several things and leads to '%s'",
                          sheet_cell(row, "alias"), material);
            snprintf(sql, sizeof sql,
                     "select instr(', ' || candidates || ',', ', %s,') > 0 and ask <> '' from"
                     " fact_receipt_origin where id = 'R%ld'",
                     sheet_cell(row, "material"), i);
            ck_assert_msg(world_number(sql) > 0, "'%s' does not name %s", sheet_cell(row, "alias"),
                          sheet_cell(row, "material"));
        }
    }
    ck_assert_str_eq(world_verdict("material-name-ambiguous"), "fails");
}
END_TEST

START_TEST(every_taxon_and_synonym_is_found)
{
    static const char *const tables[][2] = {{"taxon", "scientific_name"},
                                            {"taxon_synonym", "name"}};
    struct sbuf b = SBUF_INIT;
    long n = 0;

    sbuf_puts(&b, "<records>");
    for (size_t t = 0; t < LW_COUNT(tables); t++)
        for (xmlNode *row = NULL; (row = sheet_next(tables[t][0], row)) != NULL; n++) {
            const xmlNode *taxon =
                t == 0 ? row : sheet_find("taxon", "id", sheet_cell(row, "taxon"));

            sbuf_printf(&b, "<material id=\"m%ld\" kind=\"%s\" scientific-name=\"", n,
                        sheet_cell(taxon, "kind"));
            put_escaped(&b, sheet_cell(row, tables[t][1]));
            sbuf_printf(&b, "\"/><receipt id=\"R%ld\" kind=\"material\" material=\"m%ld\"/>", n, n);
        }
    sbuf_puts(&b, "</records>");
    world_fill(b.s, "2026-06-30", "receipt_origin");
    sbuf_free(&b);
    ck_assert_double_eq(
        world_number("select count(*) from fact_receipt_origin where appendix is null"), 0);
    ck_assert_double_eq(world_number("select count(*) from fact_receipt_origin"), (double)n);
}
END_TEST

/* --- where it comes from and how sure --- */

START_TEST(every_listing_says_where_and_how_sure)
{
    static const char *const tables[] = {"taxon",           "taxon_population", "taxon_lister",
                                         "taxon_exception", "annotation",       "annotation_form",
                                         "paper_needed",    "national_rule",    "document_kind",
                                         "document_item",   "validity",         "retention"};

    for (size_t i = 0; i < LW_COUNT(tables); i++) {
        size_t rows = 0;

        for (xmlNode *row = NULL; (row = sheet_next(tables[i], row)) != NULL; rows++)
            ck_assert_msg(*sheet_cell(row, "source") != '\0' && *sheet_cell(row, "sure") != '\0',
                          "%s, line %ld: no source, or not said how sure", tables[i],
                          xmlGetLineNo(row));
        ck_assert_uint_gt(rows, 0);
    }
}
END_TEST

static void write_file(const char *path, const char *text)
{
    FILE *f = fopen(path, "wb");

    ck_assert_msg(f != NULL, "cannot write %s", path);
    ck_assert_int_ge(fputs(text, f), 0);
    ck_assert_int_eq(fclose(f), 0);
}

/* A catalogue with one taxon, with or without its sureness: does it load? */
static bool loads(const char *row)
{
    char dir[] = "/tmp/lw-origin-XXXXXX", path[128], folder[128], limits[128], text[1024];
    struct diags *d = diags_new();
    struct store *s = store_new(d);
    bool ok;

    ck_assert_ptr_nonnull(mkdtemp(dir));
    snprintf(folder, sizeof folder, "%s/catalogue", dir);
    snprintf(limits, sizeof limits, "%s/limits", dir);
    ck_assert_int_eq(mkdir(folder, 0700), 0);
    ck_assert_int_eq(mkdir(limits, 0700), 0);
    snprintf(path, sizeof path, "%s/catalogue/taxon.xml", dir);
    snprintf(text, sizeof text,
             "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<table name=\"taxon\" "
             "key=\"id\"><about>x</about>"
             "<column name=\"id\" type=\"token\">Id.</column>"
             "<column name=\"cites_appendix\" type=\"text\">Appendix.</column>"
             "<column name=\"source\" type=\"text\">Source.</column>"
             "<column name=\"sure\" type=\"sure\">Sure.</column>%s</table>",
             row);
    write_file(path, text);
    ok = catalogue_load(store_db(s), dir, d);
    store_free(s);
    diags_free(d);
    ck_assert(unlink(path) == 0 && rmdir(folder) == 0 && rmdir(limits) == 0 && rmdir(dir) == 0);
    return ok;
}

START_TEST(a_listing_without_source_or_sureness_is_refused)
{
    ck_assert(loads("<row id=\"t\" cites_appendix=\"II\" source=\"read\" sure=\"verified\"/>"));
    ck_assert(!loads("<row id=\"t\" cites_appendix=\"II\" source=\"read\"/>"));
    ck_assert(!loads("<row id=\"t\" cites_appendix=\"II\" sure=\"verified\"/>"));
    ck_assert(!loads("<row id=\"t\" cites_appendix=\"II\" source=\"read\" sure=\"certain\"/>"));
}
END_TEST

/* Every finding on a listing that a material record or the catalogue holds from memory says so. */
START_TEST(what_rests_on_memory_says_so)
{
    static const char *const rules[] = {"listed-material-crossed-without-permit",
                                        "origin-decides-listing",
                                        "unlisted-material-without-statement",
                                        "annotation-leaves-form-open",
                                        "appendix-i-wild-for-trade",
                                        "eu-import-paper-missing",
                                        "customs-certificate-for-cites-certificate",
                                        "sale-permit-missing",
                                        "sale-paper-cannot-be-had",
                                        "sale-cover-not-settled"};
    static const char *const forms[] = {"I\" annotation=\"none", "II\" annotation=\"#14",
                                        "II\" annotation=\"none", "III\" annotation=\"none",
                                        "none"};
    size_t told = 0;

    world_open();
    for (size_t a = 0; a < LW_COUNT(forms); a++)
        for (size_t i = 0; i < LW_COUNT(rules); i++) {
            const struct rule *r = rule_set_find(world.rules, rules[i]);
            char text[1024];

            ck_assert_msg(r != NULL, "no rule %s", rules[i]);
            snprintf(text, sizeof text,
                     "<records><premises id=\"W\" country=\"FR\"/><material id=\"m\" "
                     "kind=\"plant\" name=\"thing\""
                     " scientific-name=\"Res incognita\" appendix=\"%s\" sure=\"from-memory\"/>"
                     "<document id=\"D\" kind=\"customs-origin-certificate\"/>"
                     "<receipt id=\"R\" date=\"2026-05-01\" material=\"m\" form=\"other\" "
                     "origin-country=\"KE\""
                     " shipped-from=\"KE\" source-code=\"W\" documents=\"D\"/>"
                     "<sale id=\"S\" date=\"2026-06-01\" to=\"CH\"><line receipt=\"R\" "
                     "quantity=\"1 g\"/></sale></records>",
                     forms[a]);
            world_fill(text, "2026-06-30", r->fact);
            if (strcmp(world_verdict(rules[i]), "fails") != 0)
                continue;
            told++;
            ck_assert_msg(strstr(world_message(rules[i]), "unconfirmed: from memory") != NULL,
                          "%s: %s", rules[i], world_message(rules[i]));
        }
    ck_assert_uint_ge(told, 8);
}
END_TEST

/* The shipped rows marked from memory: national rules and papers, each asked for by a sale. */
START_TEST(shipped_rows_from_memory_say_so)
{
    size_t told = 0;

    for (xmlNode *row = NULL; (row = sheet_next("national_rule", row)) != NULL;) {
        char text[1024];
        const char *country;

        if (!sheet_is(row, "outcome", "banned") || *sheet_cell(row, "taxon") == '\0' ||
            !sheet_is(row, "form", "any") || sheet_is(row, "layer", "treaty"))
            continue;
        country = sheet_cell(sheet_find("layer", "id", sheet_cell(row, "layer")), "country");
        snprintf(text, sizeof text,
                 "<records><premises id=\"W\" country=\"%s\"/><receipt id=\"R\" material=\"%s\"/>"
                 "<sale id=\"S\" date=\"2026-06-01\" to=\"ZA\"><line receipt=\"R\" quantity=\"1 "
                 "g\"/></sale></records>",
                 country, sheet_cell(row, "material"));
        world_fill(text, "2026-06-30", "sale_national");
        for (size_t i = 0; i < 3; i++) {
            static const char *const rules[] = {"sale-whale-product-barred", "sale-musk-barred",
                                                "sale-material-barred"};
            bool memory = sheet_is(row, "sure", "from-memory");

            if (strcmp(world_verdict(rules[i]), "fails") != 0)
                continue;
            told++;
            ck_assert_msg((strstr(world_message(rules[i]), "unconfirmed: from memory") != NULL) ==
                              memory,
                          "%s: %s", sheet_cell(row, "id"), world_message(rules[i]));
        }
    }
    ck_assert_uint_ge(told, 8);
}
END_TEST

/* --- the shapes of papers, as the program matches them --- */

START_TEST(patterns_are_those_of_the_catalogue)
{
    size_t n = 0;

    world_fill("<records/>", "2026-06-30", "paper");
    for (xmlNode *row = NULL; (row = sheet_next("format_example", row)) != NULL; n++) {
        char sql[512];

        snprintf(sql, sizeof sql, "select lw_matches('%s', '%s')", sheet_cell(row, "format"),
                 sheet_cell(row, "text"));
        ck_assert_msg(strcmp(world_text(sql), sheet_is(row, "fits", "yes") ? "1" : "0") == 0,
                      "%s: '%s'", sheet_cell(row, "format"), sheet_cell(row, "text"));
    }
    ck_assert_uint_gt(n, 100);
}
END_TEST

/* --- the account of several permits, function by function --- */

START_TEST(drawing_on_permits)
{
    world_fill("<records/>", "2026-06-30", "paper");
    ck_assert_str_eq(world_text("select lw_take('A=5 B=10', 'A B', 7)"), "A=0 B=8");
    ck_assert_str_eq(world_text("select lw_take('A=5 B=10', 'B A', 7)"), "A=5 B=3");
    ck_assert_str_eq(world_text("select lw_take('A=5 B=10', 'A B', 20)"), "A=0 B=-5");
    ck_assert_str_eq(world_text("select lw_take('A=-2 B=10', 'A B', 1)"), "A=-2 B=9");
    ck_assert_str_eq(world_text("select lw_take('A=5', 'A', null)"), "");
    ck_assert_str_eq(world_text("select lw_take('A:5', 'A', 1)"), "");
    ck_assert_double_eq(world_number("select lw_left('A=5 B=1e-3', 'B')"), 0.001);
    ck_assert_str_eq(world_text("select lw_left('A=5', 'B')"), "");
}
END_TEST

/* The codes the readers take are those of the country table, which tests/consistency/origin-data
 * holds against iso-codes. */
START_TEST(country_codes_are_those_of_the_table)
{
    static const enum country_status groups[] = {COUNTRY_ISO, COUNTRY_TRADE, COUNTRY_FORMER};
    size_t rows = 0, codes = 0;

    for (xmlNode *row = NULL; (row = sheet_next("country", row)) != NULL;) {
        const char *code = sheet_cell(row, "code");
        enum country_status got = country_status(code, 2);

        if (sheet_is(row, "status", "iso"))
            ck_assert_msg(got == COUNTRY_ISO, "%s", code);
        else if (sheet_is(row, "status", "trade"))
            ck_assert_msg(got == COUNTRY_TRADE, "%s", code);
        else if (sheet_is(row, "status", "former"))
            ck_assert_msg(got == COUNTRY_FORMER, "%s", code);
        else
            ck_assert_msg(got == COUNTRY_UNKNOWN, "%s", code);
        if (sheet_is(row, "status", "alias"))
            ck_assert_msg(country_instead(code) != NULL &&
                              sheet_is(row, "use_instead", country_instead(code)),
                          "%s", code);
        rows += got != COUNTRY_UNKNOWN;
    }
    for (size_t i = 0; i < LW_COUNT(groups); i++)
        for (const char *p = country_codes(groups[i]); *p != '\0'; p++)
            codes += *p == ' ' || p[1] == '\0';
    ck_assert_uint_eq(codes, rows);
}
END_TEST

UNIT_MAIN("origin", every_alias_finds_its_material, every_taxon_and_synonym_is_found,
          every_listing_says_where_and_how_sure, a_listing_without_source_or_sureness_is_refused,
          what_rests_on_memory_says_so, shipped_rows_from_memory_say_so,
          patterns_are_those_of_the_catalogue, drawing_on_permits,
          country_codes_are_those_of_the_table)
