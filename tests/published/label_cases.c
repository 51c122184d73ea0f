/*
 * Worked cases of label law, tests/published/label_cases.csv, each with its source: the topics that
 * the catalogue tables alone answer. Small packages, counts of statements, allergens, durability,
 * dual units, strength, carriage, excepted quantities and post need facts and rules:
 * tests/rules/label-cases judges those. Together they must know every topic of the table.
 */
#include "sheet.h"

#include "text/checkdigit.h"

enum { ID, TOPIC, GIVEN, EXPECT, TOLERANCE };

static struct sheet_csv cases;

/* Value of `name` in "a=1;b=2", copied to one of a few turning buffers; "" when absent. */
static const char *value_in(const char *pairs, const char *name)
{
    static char buffer[8][128];
    static unsigned turn;
    char *out = buffer[turn++ % 8];
    size_t n = strlen(name);

    out[0] = '\0';
    for (const char *p = pairs; *p != '\0'; p += *p == ';') {
        size_t length = strcspn(p, ";");

        if (strncmp(p, name, n) == 0 && p[n] == '=') {
            ck_assert_uint_lt(length, 128);
            snprintf(out, 128, "%.*s", (int)(length - n - 1), p + n + 1);
            return out;
        }
        p += length;
    }
    return out;
}

static double number_in(const char *pairs, const char *name)
{
    const char *text = value_in(pairs, name);

    ck_assert_msg(*text != '\0', "'%s' has no %s", pairs, name);
    return sheet_number(text, 0);
}

static bool near(double a, double b)
{
    return fabs(a - b) <= 1e-9 * fmax(fabs(a), fabs(b));
}

/* Calls `work` for each case of a topic; at least one must be there. */
static void each(const char *topic, void (*work)(char *const *c))
{
    size_t seen = 0;

    sheet_csv_read("tests/published/label_cases.csv", &cases);
    for (size_t i = 0; i < cases.rows; i++) {
        if (strcmp(cases.cell[i][TOPIC], topic) == 0) {
            work(cases.cell[i]);
            seen++;
        }
    }
    sheet_csv_free(&cases);
    ck_assert_msg(seen > 0, "no case of %s", topic);
}

static void check_number(char *const *c)
{
    static const struct {
        const char *topic;
        enum check_result (*check)(const char *text);
    } kinds[] = {{"cas", check_cas},
                 {"ec", check_ec},
                 {"index", check_index_number},
                 {"gtin", check_gtin},
                 {"ufi", check_ufi}};

    for (size_t i = 0; i < LW_COUNT(kinds); i++) {
        if (strcmp(kinds[i].topic, c[TOPIC]) == 0)
            ck_assert_msg(strcmp(check_result_name(kinds[i].check(value_in(c[GIVEN], "text"))),
                                 value_in(c[EXPECT], "result")) == 0,
                          "%s: %s", c[ID], c[GIVEN]);
    }
}

START_TEST(check_digits)
{
    each("cas", check_number);
    each("ec", check_number);
    each("index", check_number);
    each("gtin", check_number);
    each("ufi", check_number);
}
END_TEST

static bool within_class(const xmlNode *row, double flash, double boil)
{
    return flash >= sheet_value(row, "flash_at_least", -HUGE_VAL) &&
           flash > sheet_value(row, "flash_above", -HUGE_VAL) &&
           flash < sheet_value(row, "flash_below", HUGE_VAL) &&
           flash <= sheet_value(row, "flash_at_most", HUGE_VAL) &&
           boil >= sheet_value(row, "boil_at_least", -HUGE_VAL) &&
           boil > sheet_value(row, "boil_above", -HUGE_VAL) &&
           boil < sheet_value(row, "boil_below", HUGE_VAL) &&
           boil <= sheet_value(row, "boil_at_most", HUGE_VAL);
}

/* 49 CFR 173.121, GHS 2.6, CLP 2.6, HPR 7.6, 16 CFR 1500.3(c)(6), SOR/2001-269 s. 49. */
static void classify(char *const *c)
{
    const char *scheme = value_in(c[GIVEN], "scheme"), *found = "none";
    double flash = number_in(c[GIVEN], "flash"), boil = number_in(c[GIVEN], "boil");
    const char *table = sheet_find("label_fire_class", "scheme", scheme) != NULL
                            ? "label_fire_class"
                            : "fire_class";
    xmlNode *row = NULL;

    while ((row = sheet_next(table, row)) != NULL) {
        if (!sheet_is(row, "scheme", scheme) || !within_class(row, flash, boil))
            continue;
        ck_assert_str_eq(sheet_cell(row, "temp_unit"), value_in(c[GIVEN], "unit"));
        ck_assert_msg(strcmp(found, "none") == 0, "%s: in two classes", c[ID]);
        found = sheet_cell(row, "class");
    }
    ck_assert_msg(strcmp(found, value_in(c[EXPECT], "class")) == 0, "%s: %s gave %s", c[ID],
                  c[GIVEN], found);
    if (*value_in(c[EXPECT], "code") != '\0') {
        row = sheet_find("hazard_class", "fire_class", found);
        ck_assert_ptr_nonnull(row);
        ck_assert_str_eq(sheet_cell(row, "code"), value_in(c[EXPECT], "code"));
        ck_assert_str_eq(sheet_cell(row, "signal_word"), value_in(c[EXPECT], "signal"));
        row = sheet_find("pictogram", "id", sheet_cell(row, "pictogram"));
        ck_assert_ptr_nonnull(row);
        ck_assert_str_eq(sheet_cell(row, "code"), value_in(c[EXPECT], "pictogram"));
    }
}

START_TEST(flammable_classes)
{
    each("class", classify);
}
END_TEST

/* Tolerable negative error of one nominal quantity; percentages go up to the next step. */
static double tolerable_error(const char *market, double nominal)
{
    double found = -1;
    xmlNode *row = NULL;

    while ((row = sheet_next("tolerable_error", row)) != NULL) {
        double percent = sheet_value(row, "error_pct", 0),
               step = sheet_value(row, "round_up_to", 0);

        if (!sheet_is(row, "market", market) ||
            nominal <= sheet_value(row, "nominal_more_than", -HUGE_VAL) ||
            nominal < sheet_value(row, "nominal_at_least", -HUGE_VAL) ||
            nominal > sheet_value(row, "nominal_not_over", HUGE_VAL))
            continue;
        ck_assert_msg(found < 0, "two rows for %g", nominal);
        found = percent > 0 ? nominal * percent / 100 : sheet_value(row, "error_ml", -1);
        if (percent > 0 && step > 0)
            found = ceil(found / step - 1e-9) * step;
    }
    return found;
}

static void error_of(char *const *c)
{
    double error = tolerable_error(value_in(c[GIVEN], "market"), number_in(c[GIVEN], "nominal_ml"));

    ck_assert_msg(near(error, number_in(c[EXPECT], "error_ml")), "%s: %s gave %g", c[ID], c[GIVEN],
                  error);
}

static void fill_of(char *const *c)
{
    double nominal = number_in(c[GIVEN], "nominal_ml");
    double floor_ml = nominal - 2 * tolerable_error(value_in(c[GIVEN], "market"), nominal);
    bool below = number_in(c[GIVEN], "bottle_ml") < floor_ml * (1 - 1e-9);

    ck_assert_msg(near(floor_ml, number_in(c[EXPECT], "floor_ml")), "%s: floor %g", c[ID],
                  floor_ml);
    ck_assert_str_eq(below ? "yes" : "no", value_in(c[EXPECT], "below_two_errors"));
}

START_TEST(tolerable_errors)
{
    each("tolerable-error", error_of);
    each("fill", fill_of);
    /* Every quantity has exactly one row, with no gap at the joints. */
    for (double q = 5; q <= 16000; q += 0.5) {
        ck_assert(tolerable_error("eu", q) > 0);
        ck_assert(tolerable_error("gb", q) > 0);
        ck_assert(tolerable_error("ca", q) > 0);
    }
    ck_assert(tolerable_error("eu", 4.9) < 0);
    ck_assert(tolerable_error("ca", 4.9) > 0);
}
END_TEST

static void symbol_of(char *const *c)
{
    double area = number_in(c[GIVEN], "panel_cm2"), diameter = -1;
    xmlNode *row = NULL;

    while ((row = sheet_next("symbol_size", row)) != NULL) {
        if (area >= sheet_value(row, "panel_at_least_cm2", 0) &&
            area < sheet_value(row, "panel_below_cm2", HUGE_VAL))
            diameter = sheet_value(row, "diameter_mm",
                                   sheet_value(row, "diameter_per_root_cm2", 0) * sqrt(area));
    }
    ck_assert_msg(fabs(diameter - number_in(c[EXPECT], "diameter_mm")) <=
                      sheet_number(c[TOLERANCE], 0),
                  "%s: %g mm", c[ID], diameter);
}

static double letter_height(const char *regime, const char *item, double size, const char *unit)
{
    double height = -1;
    xmlNode *row = NULL;

    while ((row = sheet_next("letter_height", row)) != NULL) {
        if (sheet_is(row, "regime", regime) && sheet_is(row, "item", item) &&
            size > sheet_value(row, "more_than", -1) &&
            size <= sheet_value(row, "not_over", HUGE_VAL) &&
            size >= sheet_value(row, "at_least", -1) &&
            size < sheet_value(row, "below", HUGE_VAL)) {
            ck_assert_str_eq(sheet_cell(row, "size_unit"), unit);
            ck_assert_msg(height < 0, "two heights for %s %s %g", regime, item, size);
            height = sheet_value(row, "height", -1);
        }
    }
    return height;
}

static void letters_of(char *const *c)
{
    static const char *const sizes[][2] = {
        {"panel_in2", "in2"}, {"surface_in2", "in2"}, {"panel_cm2", "cm2"}, {"quantity_ml", "mL"}};
    bool metric = *value_in(c[EXPECT], "height_mm") != '\0';

    for (size_t i = 0; i < LW_COUNT(sizes); i++) {
        if (*value_in(c[GIVEN], sizes[i][0]) == '\0')
            continue;
        ck_assert_msg(near(letter_height(value_in(c[GIVEN], "regime"), value_in(c[GIVEN], "item"),
                                         number_in(c[GIVEN], sizes[i][0]), sizes[i][1]),
                           number_in(c[EXPECT], metric ? "height_mm" : "height_in")),
                      "%s: %s", c[ID], c[GIVEN]);
        return;
    }
    ck_abort_msg("%s: no size", c[ID]);
}

static void panel_of(char *const *c)
{
    xmlNode *row = sheet_find("panel_area", "id", "us-fhsa-cylinder");
    double area;

    ck_assert_ptr_nonnull(row);
    area = sheet_value(row, "share", 0) * number_in(c[GIVEN], "height_in") *
           number_in(c[GIVEN], "circumference_in");
    ck_assert(near(area, number_in(c[EXPECT], "panel_in2")));
    ck_assert(near(letter_height("us-fhsa", "net-quantity", area, "in2"),
                   number_in(c[EXPECT], "net_quantity_in")));
}

static void label_of(char *const *c)
{
    double litres = number_in(c[GIVEN], "capacity_l");
    xmlNode *row = NULL;
    size_t found = 0;
    char label[64];

    while ((row = sheet_next("label_size", row)) != NULL) {
        if (!sheet_is(row, "regime", value_in(c[GIVEN], "regime")) ||
            litres <= sheet_value(row, "capacity_more_than_l", 0) ||
            litres > sheet_value(row, "capacity_not_over_l", HUGE_VAL))
            continue;
        found++;
        snprintf(label, sizeof label, "%sx%s", sheet_cell(row, "label_w_mm"),
                 sheet_cell(row, "label_h_mm"));
        ck_assert_str_eq(label, value_in(c[EXPECT], "label_mm"));
        ck_assert_str_eq(sheet_cell(row, "pictogram_min_mm"), value_in(c[EXPECT], "pictogram_mm"));
    }
    ck_assert_msg(found == 1, "%s: %zu rows", c[ID], found);
}

START_TEST(sizes)
{
    each("symbol-size", symbol_of);
    each("letter-height", letters_of);
    each("panel", panel_of);
    each("label-size", label_of);
}
END_TEST

static void tactile_of(char *const *c)
{
    xmlNode *row = sheet_find("closure", "hazard_class", value_in(c[GIVEN], "class"));

    ck_assert_ptr_nonnull(row);
    ck_assert_str_eq(sheet_cell(row, "tactile"), value_in(c[EXPECT], "tactile"));
    ck_assert_str_eq(sheet_cell(row, "child_resistant"), value_in(c[EXPECT], "child_resistant"));
}

static void closure_of(char *const *c)
{
    xmlNode *row = sheet_find("closure", "cas", value_in(c[GIVEN], "cas"));
    double share = number_in(c[GIVEN], "pct"), limit;
    bool called;

    ck_assert_ptr_nonnull(row);
    limit = sheet_value(row, "limit_pct", -1);
    called = sheet_is(row, "limit_words", "more-than") ? share > limit : share >= limit;
    ck_assert_msg(strcmp(called ? "yes" : "no", value_in(c[EXPECT], "child_resistant")) == 0, "%s",
                  c[ID]);
}

static void ban_of(char *const *c)
{
    xmlNode *row = sheet_find("cosmetic_ban", "cas", value_in(c[GIVEN], "cas"));

    ck_assert_msg(row != NULL && sheet_is(row, "market", "eu"), "%s", c[ID]);
}

static void precedence_of(char *const *c)
{
    xmlNode *row = sheet_find("label_precedence", "other", value_in(c[EXPECT], "redundant"));

    ck_assert_ptr_nonnull(row);
    ck_assert_ptr_nonnull(strstr(c[GIVEN], sheet_cell(row, "present")));
    ck_assert_str_eq(sheet_cell(row, "effect"), "omit");
}

START_TEST(closures_bans_precedence)
{
    each("tactile", tactile_of);
    each("closure", closure_of);
    each("ban", ban_of);
    each("precedence", precedence_of);
}
END_TEST

/* One ingredient at its share: the statement it gives, or the mere naming of a sensitiser. */
static void mixture_of(char *const *c)
{
    const char *result = "none";
    double share = number_in(c[GIVEN], "pct");
    xmlNode *row = NULL;

    while ((row = sheet_next("mixture_limit", row)) != NULL) {
        bool named = sheet_is(row, "effect", "euh208");

        if (!sheet_is(row, "regime", value_in(c[GIVEN], "regime")) ||
            !sheet_is(row, "from_class", value_in(c[GIVEN], "from")) ||
            share * sheet_value(row, "factor", 1) < sheet_value(row, "at_least_pct", HUGE_VAL))
            continue;
        if (!named)
            result = sheet_cell(sheet_find("hazard_class", "id", sheet_cell(row, "hazard_class")),
                                "code");
        else if (strcmp(result, "none") == 0)
            result = "euh208";
    }
    ck_assert_msg(strcmp(result, value_in(c[EXPECT], "result")) == 0, "%s: %s gave %s", c[ID],
                  c[GIVEN], result);
}

static void entry_of(char *const *c)
{
    xmlNode *row = NULL;

    if (*value_in(c[EXPECT], "withdrawn") != '\0') {
        row = sheet_find("transport_withdrawn", "un", value_in(c[GIVEN], "un"));
        ck_assert_ptr_nonnull(row);
        ck_assert_str_eq(sheet_cell(row, "use_instead"), value_in(c[EXPECT], "use_instead"));
        ck_assert_ptr_null(sheet_find("transport_entry", "un", value_in(c[GIVEN], "un")));
        return;
    }
    while ((row = sheet_next("transport_entry", row)) != NULL) {
        if (sheet_is(row, "un", value_in(c[GIVEN], "un")) &&
            sheet_is(row, "packing_group", value_in(c[GIVEN], "packing_group")))
            break;
    }
    ck_assert_msg(row != NULL, "%s: no entry", c[ID]);
    ck_assert_str_eq(sheet_cell(row, "lq_inner_l"), value_in(c[EXPECT], "limited_inner_l"));
    ck_assert_str_eq(sheet_cell(row, "eq_code"), value_in(c[EXPECT], "excepted_code"));
}

START_TEST(mixtures_and_entries)
{
    each("mixture", mixture_of);
    each("entry", entry_of);
}
END_TEST

/* No case goes unjudged: a topic is judged here or named as one of tests/rules/label-cases. */
START_TEST(every_topic)
{
    static const char *const topics[] = {"cas",
                                         "ec",
                                         "index",
                                         "gtin",
                                         "ufi",
                                         "class",
                                         "panel",
                                         "fill",
                                         "precedence",
                                         "symbol-size",
                                         "label-size",
                                         "letter-height",
                                         "entry",
                                         "mixture",
                                         "tactile",
                                         "closure",
                                         "ban",
                                         "tolerable-error",
                                         "small",
                                         "allergen",
                                         "durability",
                                         "dual-units",
                                         "strength",
                                         "precaution-count",
                                         "acute",
                                         "post",
                                         "carriage",
                                         "excepted",
                                         "statement-count"};

    sheet_csv_read("tests/published/label_cases.csv", &cases);
    for (size_t i = 0; i < cases.rows; i++) {
        bool known = false;

        for (size_t k = 0; k < LW_COUNT(topics); k++)
            known = known || strcmp(topics[k], cases.cell[i][TOPIC]) == 0;
        ck_assert_msg(known, "nobody judges %s of topic %s", cases.cell[i][ID],
                      cases.cell[i][TOPIC]);
    }
    sheet_csv_free(&cases);
}
END_TEST

UNIT_MAIN("label cases", check_digits, flammable_classes, tolerable_errors, sizes,
          closures_bans_precedence, mixtures_and_entries, every_topic)
