/*
 * The tables of label law against the published texts: every statement word for word, the marked
 * openings of each against its text, the numbers by their check digits, the patterns by worked
 * examples, and every cross-reference from table to table.
 */
#include "sheet.h"

#include <regex.h>

#include "text/checkdigit.h"

/* CLP Annex III and IV, UN GHS Annex 3: every text of the test table is in the catalogue. */
START_TEST(statements_word_for_word)
{
    struct sheet_csv csv;
    enum { CODE, WORDING, TEXT };

    sheet_csv_read("tests/published/statements.csv", &csv);
    ck_assert_uint_ge(csv.rows, 70);
    for (size_t i = 0; i < csv.rows; i++) {
        char *const *c = csv.cell[i];
        xmlNode *row = NULL;
        const char *same = "";

        while ((row = sheet_next("statement", row)) != NULL) {
            if (!sheet_is(row, "code", c[CODE]))
                continue;
            same = sheet_cell(row, "text");
            if (strcmp(same, c[TEXT]) == 0)
                break;
        }
        ck_assert_msg(row != NULL, "%s (%s): '%s', the table has '%s'", c[CODE], c[WORDING],
                      c[TEXT], same);
        /* An earlier wording says which one replaced it, and only an earlier one does. */
        ck_assert_msg((strcmp(c[WORDING], "clp-2008") == 0) ==
                          (*sheet_cell(row, "replaced_by") != '\0'),
                      "%s (%s): replaced or not", c[CODE], c[WORDING]);
    }
    sheet_csv_free(&csv);
}
END_TEST

/* Writes a template as the official texts print it: {a|b} as a/b, "[x ]y" as "[x] y". */
static void print_template(const char *template, char *out, size_t size)
{
    size_t n = 0;
    bool inside = false;

    for (const char *p = template; *p != '\0'; p++) {
        ck_assert_uint_lt(n + 3, size);
        if (*p == '{' || *p == '}')
            inside = *p == '{';
        else if (*p == '|' && inside)
            out[n++] = '/';
        else if (strncmp(p, " ]", 2) == 0) {
            out[n++] = ']';
            out[n++] = ' ';
            p++;
        } else if (strncmp(p, "[ ", 2) == 0) {
            out[n++] = ' ';
            out[n++] = '[';
            p++;
        } else
            out[n++] = *p;
    }
    out[n] = '\0';
}

START_TEST(templates_print_the_text)
{
    xmlNode *row = NULL;
    char printed[512];

    while ((row = sheet_next("statement", row)) != NULL) {
        const char *id = sheet_cell(row, "id"), *text = sheet_cell(row, "text");

        print_template(sheet_cell(row, "template"), printed, sizeof printed);
        if (strcmp(id, "p241.2008") == 0)
            text = "Use explosion-proof electrical/ventilating/lighting/… equipment.";
        if (strcmp(id, "euh208") == 0)
            text = "Contains …. May produce an allergic reaction";
        ck_assert_msg(strcmp(printed, text) == 0, "%s: '%s' prints as '%s'", id, text, printed);
        ck_assert_ptr_null(strstr(text, "  "));
    }
}
END_TEST

START_TEST(numbers_have_their_check_digit)
{
    static const char *const tables[] = {"allergen_cas", "cosmetic_ban", "closure",
                                         "substance_class"};
    size_t numbers = 0;

    for (size_t i = 0; i < LW_COUNT(tables); i++) {
        xmlNode *row = NULL;

        while ((row = sheet_next(tables[i], row)) != NULL) {
            const char *cas = sheet_cell(row, "cas"), *ec = sheet_cell(row, "ec");
            const char *index = sheet_cell(row, "index_number");

            ck_assert_msg(*cas == '\0' || check_cas(cas) == CHECK_OK, "CAS %s", cas);
            ck_assert_msg(*ec == '\0' || check_ec(ec) == CHECK_OK, "EC %s", ec);
            ck_assert_msg(*index == '\0' || check_index_number(index) == CHECK_OK, "%s", index);
            numbers += *cas != '\0';
        }
    }
    ck_assert_uint_ge(numbers, 173);
}
END_TEST

/* Regulation (EU) 2023/1545: 81 names, 24 of the earlier list, entries 327 to 371 new. */
START_TEST(allergens_are_all_there)
{
    size_t all = 0, early = 0, fresh = 0;
    xmlNode *row = NULL;

    while ((row = sheet_next("allergen", row)) != NULL) {
        double entry = sheet_value(row, "annex_entry", 0);

        all++;
        early += sheet_is(row, "list", "A");
        fresh += entry >= 327 && entry <= 371 && sheet_is(row, "list", "C");
        ck_assert_msg(sheet_find("allergen_cas", "allergen", sheet_cell(row, "id")) != NULL,
                      "%s has no CAS number", sheet_cell(row, "name"));
        ck_assert_str_eq(sheet_cell(row, "leave_on_more_than_pct"), "0.001");
        ck_assert_str_eq(sheet_cell(row, "rinse_off_more_than_pct"), "0.01");
    }
    ck_assert_uint_eq(all, 81);
    ck_assert_uint_eq(early, 24);
    ck_assert_uint_eq(fresh, 371 - 327 + 1);
}
END_TEST

static bool matches(const char *pattern, const char *text)
{
    regex_t re;
    int status = regcomp(&re, pattern, REG_EXTENDED | REG_NOSUB);

    ck_assert_msg(status == 0, "bad pattern %s", pattern);
    status = regexec(&re, text, 0, NULL, 0);
    regfree(&re);
    return status == 0;
}

START_TEST(formats_pass_and_refuse)
{
    struct sheet_csv csv;
    xmlNode *row = NULL;
    enum { FORMAT, TEXT, PASSES };

    sheet_csv_read("tests/published/label_formats.csv", &csv);
    for (size_t i = 0; i < csv.rows; i++) {
        char *const *c = csv.cell[i];

        row = sheet_find("check_format", "id", c[FORMAT]);
        ck_assert_msg(row != NULL, "no format %s", c[FORMAT]);
        ck_assert_msg(matches(sheet_cell(row, "pattern"), c[TEXT]) == (*c[PASSES] == 'y'),
                      "%s: '%s' should pass: %s", c[FORMAT], c[TEXT], c[PASSES]);
    }
    for (row = NULL; (row = sheet_next("check_format", row)) != NULL;) {
        bool tried = false;

        ck_assert(matches(sheet_cell(row, "pattern"), sheet_cell(row, "example")));
        for (size_t i = 0; i < csv.rows; i++)
            tried = tried || strcmp(csv.cell[i][FORMAT], sheet_cell(row, "id")) == 0;
        ck_assert_msg(tried, "%s has no examples", sheet_cell(row, "id"));
    }
    sheet_csv_free(&csv);
}
END_TEST

static const struct {
    const char *table, *column, *to, *key;
} references[] = {
    {"statement", "replaced_by", "statement", "id"},
    {"statement_use", "statement", "statement", "id"},
    {"statement_use", "regime", "regime", "id"},
    {"statement_allotment", "hazard_class", "hazard_class", "id"},
    {"statement_allotment", "code", "statement", "code"},
    {"statement_suggestion", "regime", "regime", "id"},
    {"statement_suggestion", "code", "statement", "code"},
    {"statement_fill", "code", "statement", "code"},
    {"hazard_class", "code", "statement", "code"},
    {"hazard_class", "pictogram", "pictogram", "id"},
    {"consumer_class", "regime", "regime", "id"},
    {"mixture_limit", "regime", "regime", "id"},
    {"mixture_limit", "hazard_class", "hazard_class", "id"},
    {"mixture_limit", "from_class", "hazard_class", "id"},
    {"substance_class", "hazard_class", "hazard_class", "id"},
    {"label_size", "regime", "regime", "id"},
    {"letter_height", "regime", "regime", "id"},
    {"symbol_size", "regime", "regime", "id"},
    {"panel_area", "regime", "regime", "id"},
    {"regime_market", "regime", "regime", "id"},
    {"regime_element", "regime", "regime", "id"},
    {"regime_element", "applies", "element_condition", "id"},
    {"small_package", "regime", "regime", "id"},
    {"label_date", "regime", "regime", "id"},
    {"label_limit", "regime", "regime", "id"},
    {"net_quantity", "regime", "regime", "id"},
    {"allergen_cas", "allergen", "allergen", "id"},
    {"allergen_market", "list", "allergen", "list"},
    {"parcel_mark", "pictogram", "pictogram", "id"},
    {"transport_withdrawn", "use_instead", "transport_entry", "un"},
};

START_TEST(references_lead_somewhere)
{
    for (size_t i = 0; i < LW_COUNT(references); i++) {
        xmlNode *row = NULL;
        size_t filled = 0;

        while ((row = sheet_next(references[i].table, row)) != NULL) {
            const char *value = sheet_cell(row, references[i].column);

            if (*value == '\0')
                continue;
            filled++;
            ck_assert_msg(sheet_find(references[i].to, references[i].key, value) != NULL,
                          "%s.%s '%s': no such %s.%s", references[i].table, references[i].column,
                          value, references[i].to, references[i].key);
        }
        ck_assert_msg(filled > 0, "%s.%s is never filled", references[i].table,
                      references[i].column);
    }
}
END_TEST

/* Each regime has elements, a market or any, and each wording stands in some regime. */
START_TEST(nothing_is_left_alone)
{
    xmlNode *row = NULL;

    while ((row = sheet_next("regime", row)) != NULL) {
        const char *id = sheet_cell(row, "id");

        ck_assert_msg(sheet_find("regime_element", "regime", id) != NULL, "%s: no elements", id);
        ck_assert_msg(sheet_find("regime_market", "regime", id) != NULL, "%s: no market", id);
    }
    while ((row = sheet_next("statement", row)) != NULL) {
        const char *id = sheet_cell(row, "id");

        ck_assert_msg(sheet_find("statement_use", "statement", id) != NULL, "%s: no regime", id);
    }
}
END_TEST

UNIT_MAIN("label data", statements_word_for_word, templates_print_the_text,
          numbers_have_their_check_digit, allergens_are_all_there, formats_pass_and_refuse,
          references_lead_somewhere, nothing_is_left_alone)
