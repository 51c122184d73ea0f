/*
 * tests/published/fire_limits.csv through the program's own judgement: every printed figure just
 * under, at and over it in its own unit; every figure after increases and storey percentage, worked
 * out by the facts from records; and the worked cases, by the rules from records.
 */
#include "fire_table.h"

#include "fact/sqlfunc.h"
#include "rule/limit_judge.h"
#include "text/quantity.h"

/* A millionth: far above rounding, far below any gauge. */
#define STEP 1e-6

static bool is_floor(const char *name)
{
    return sheet_is(sheet_find("limit_name", "name", name), "bound", "lower");
}

/* Conditions as given; those the row leaves unsaid are taken as unknown on a second try. */
static struct limit_verdict judge(const struct limit_rows *rows, char *const *c, double value)
{
    const char *values[LIMIT_CONDITIONS];
    bool has[LIMIT_CONDITIONS], all[LIMIT_CONDITIONS];

    for (int i = 0; i < LIMIT_CONDITIONS; i++) {
        values[i] = given(c[GIVEN], limit_condition_names[i]);
        has[i] = values[i] != NULL;
        all[i] = true;
    }
    bool at_most = !is_floor(c[LIMIT]);
    struct limit_verdict v = limit_judge(rows, c[CODESET], values, has, value, false, at_most);
    if (v.verdict == VERDICT_NOT_APPLICABLE && v.row == NULL)
        v = limit_judge(rows, c[CODESET], values, all, value, false, at_most);
    return v;
}

static struct limit_rows rows_in(const char *name, const char *unit)
{
    struct limit_rows rows;

    ck_assert(limit_rows_read(store_db(world.store), name, unit, &rows, world.d));
    ck_assert_msg(rows.count > 0, "no limit %s fits %s", name, unit);
    return rows;
}

/* Each printed figure: which row answers, and both sides of it. */
START_TEST(every_figure)
{
    unsigned long seen = 0;

    read_table();
    all_in_force();
    for (size_t i = 0; i < table.rows; i++) {
        char *const *c = table.cell[i];

        if (strcmp(c[KIND], "limit") != 0)
            continue;
        struct limit_rows rows = rows_in(c[LIMIT], c[UNIT]);
        bool none = strcmp(c[EXPECT], "no-limit") == 0;
        double x = none ? 1e12 : sheet_number(c[EXPECT], 0), step = STEP * fmax(fabs(x), 1);
        double inside = is_floor(c[LIMIT]) ? x + step : x - step;
        double outside = is_floor(c[LIMIT]) ? x - step : x + step;
        struct limit_verdict v = judge(&rows, c, inside);

        ck_assert_msg(v.row != NULL, "%s: no row answers", c[ID]);
        ck_assert_msg(none ? isinf(v.row->value) : compare_tolerant(v.row->value, x) == 0,
                      "%s: %s %s answers with %g", c[ID], c[LIMIT], c[GIVEN], v.row->value);
        ck_assert_msg(v.verdict == VERDICT_HOLDS, "%s: just inside", c[ID]);
        if (!none)
            ck_assert_msg(judge(&rows, c, outside).verdict == VERDICT_FAILS, "%s: just outside",
                          c[ID]);
        bool strict = v.row->words != NULL && (strcmp(v.row->words, "less-than") == 0 ||
                                               strcmp(v.row->words, "more-than") == 0);
        if (!none)
            ck_assert_msg(judge(&rows, c, x).verdict == (strict ? VERDICT_FAILS : VERDICT_HOLDS),
                          "%s: at the figure", c[ID]);
        limit_rows_free(&rows);
        seen++;
    }
    ck_assert_uint_ge(seen, 650);
}
END_TEST

/* "0.999999 pt-us", or "1 gal-us + 1 gal-us": the number and the unit. */
static double amount(const char *text, char *unit, size_t size)
{
    double sum = 0;

    unit[0] = '\0';
    for (const char *p = text; *p != '\0';) {
        char number[64];
        size_t n = strcspn(p, " "), u;

        ck_assert_uint_lt(n, sizeof number);
        snprintf(number, sizeof number, "%.*s", (int)n, p);
        sum += sheet_number(number, 0);
        p += n + (p[n] == ' ');
        u = strcspn(p, " ");
        ck_assert_msg(*unit == '\0' || (strlen(unit) == u && strncmp(unit, p, u) == 0),
                      "two units in '%s'", text);
        snprintf(unit, size, "%.*s", (int)u, p);
        p += u + strspn(p + u, " +");
    }
    return sum;
}

static bool is_class(const char *verdict)
{
    return strcmp(verdict, "holds") == 0 || strcmp(verdict, "fails") == 0;
}

/* Boundaries and one-number cases, in the unit they are written in and in litres or kilograms too.
 */
START_TEST(every_boundary)
{
    unsigned long seen = 0;

    read_table();
    all_in_force();
    for (size_t i = 0; i < table.rows; i++) {
        char *const *c = table.cell[i];
        char unit[32];

        if (strcmp(c[KIND], "boundary") != 0)
            continue;
        double x = amount(c[INPUT], unit, sizeof unit);
        struct limit_rows rows = rows_in(c[LIMIT], unit);
        enum verdict want = strcmp(c[EXPECT], "holds") == 0 ? VERDICT_HOLDS : VERDICT_FAILS;

        ck_assert_msg(is_class(c[EXPECT]), "%s: expected %s", c[ID], c[EXPECT]);
        ck_assert_msg(judge(&rows, c, x).verdict == want, "%s: %s %s of %s", c[ID], c[LIMIT],
                      c[GIVEN], c[INPUT]);
        limit_rows_free(&rows);
        double l = 0;
        if (unit_convert(x, unit, "L", &l)) {
            rows = rows_in(c[LIMIT], "L");
            ck_assert_msg(judge(&rows, c, l).verdict == want, "%s: in litres", c[ID]);
            limit_rows_free(&rows);
        }
        seen++;
    }
    ck_assert_uint_ge(seen, 251);
}
END_TEST

/* --- increases first, then the storey percentage: by the facts, from records -------------------
 */

/* Flash and boiling points in the middle of each class of NFPA 30. */
static const char materials[] =
    "<material id='mIA' flash-point='0 degC' boiling-point='30 degC'/>"
    "<material id='mIB' flash-point='10 degC' boiling-point='80 degC'/>"
    "<material id='mIC' flash-point='30 degC' boiling-point='120 degC'/>"
    "<material id='mII' flash-point='48 degC' boiling-point='150 degC'/>"
    "<material id='mIIIA' flash-point='75 degC' boiling-point='180 degC'/>"
    "<material id='mIIIB' flash-point='110 degC' boiling-point='200 degC'/>";

static bool is_effective(char *const *c)
{
    return (strcmp(c[KIND], "effective") == 0 ||
            (strcmp(c[KIND], "case") == 0 && !is_class(c[EXPECT]))) &&
           strcmp(c[LIMIT], "control-area-quantity") == 0;
}

/* One premises a row; the class may be a group, then its first class stands for it. */
static void premises_of(struct sbuf *b, char *const *c, size_t n)
{
    char class[16];
    bool cabinet = strcmp(given(c[GIVEN], "cabinet"), "yes") == 0;

    snprintf(class, sizeof class, "%.*s", (int)strcspn(given(c[GIVEN], "class"), "+"),
             given(c[GIVEN], "class"));
    sbuf_printf(b,
                "<premises id='p%zu' code-sets='%s' storey='%s' sprinklers='%s'/>"
                "<place id='r%zu' kind='%s' premises='p%zu' approved='yes'/>"
                "<receipt id='x%zu' date='2026-01-02' kind='material' material='m%s'"
                " quantity='10 mL' place='r%zu'/>",
                n, c[CODESET], given(c[GIVEN], "storey"), given(c[GIVEN], "sprinklers"), n,
                cabinet ? "cabinet" : "room", n, n, class, n);
}

static double figure_l(size_t n, const char *class, bool cabinet)
{
    sqlite3_stmt *st = NULL;
    char id[24], like[32];
    double l = (double)NAN;

    snprintf(id, sizeof id, "p%zu", n);
    snprintf(like, sizeof like, "+%s+", class);
    ck_assert_int_eq(
        sqlite3_prepare_v2(store_db(world.store),
                           "select min(limit_l) from fact_control_area where premises = ?1"
                           " and part = ?2 and (class = ?4 or instr('+' || class || '+', ?3) > 0)",
                           -1, &st, NULL),
        SQLITE_OK);
    sqlite3_bind_text(st, 1, id, -1, SQLITE_TRANSIENT);
    sqlite3_bind_text(st, 2, cabinet ? "all" : "outside", -1, SQLITE_TRANSIENT);
    sqlite3_bind_text(st, 3, like, -1, SQLITE_TRANSIENT);
    sqlite3_bind_text(st, 4, class, -1, SQLITE_TRANSIENT);
    if (sqlite3_step(st) == SQLITE_ROW && sqlite3_column_type(st, 0) != SQLITE_NULL)
        l = sqlite3_column_double(st, 0);
    sqlite3_finalize(st);
    return l;
}

START_TEST(every_effective_figure)
{
    struct sbuf b = SBUF_INIT;
    unsigned long seen = 0;

    read_table();
    sbuf_printf(&b, "<records>%s", materials);
    for (size_t i = 0; i < table.rows; i++)
        if (is_effective(table.cell[i]))
            premises_of(&b, table.cell[i], i);
    sbuf_puts(&b, "</records>");
    world_fill(b.s, "2026-06-30", "control_area");
    for (size_t i = 0; i < table.rows; i++) {
        char *const *c = table.cell[i];
        double want = 0;

        if (!is_effective(c))
            continue;
        ck_assert(unit_convert(sheet_number(c[EXPECT], 0), c[UNIT], "L", &want));
        double got =
            figure_l(i, given(c[GIVEN], "class"), strcmp(given(c[GIVEN], "cabinet"), "yes") == 0);
        /* 0.01 gal or 0.1 per cent, as the table says */
        ck_assert_msg(fabs(got - want) <= fmax(0.001 * want, 0.0379), "%s %s: %g L, expected %g",
                      c[ID], c[GIVEN], got, want);
        seen++;
    }
    ck_assert_uint_ge(seen, 110);
    sbuf_free(&b);
}
END_TEST

/* Open use and closed use: ethanol of 95 % (IB) and 60 % (IC) can be put into lots. */
START_TEST(use_figures)
{
    static const char sprinklers[2][4] = {"no", "yes"};
    unsigned long seen = 0;

    read_table();
    for (size_t i = 0; i < table.rows; i++) {
        char *const *c = table.cell[i];
        bool open = strcmp(c[LIMIT], "use-open-quantity") == 0;
        const char *class = given(c[GIVEN], "class");
        struct sbuf b = SBUF_INIT;
        sqlite3_stmt *st = NULL;
        double want = 0;

        if ((!open && strcmp(c[LIMIT], "use-closed-quantity") != 0) || class == NULL ||
            (strcmp(c[KIND], "effective") != 0 && strcmp(c[KIND], "case") != 0) ||
            is_class(c[EXPECT]) || strcmp(class, "IB") != 0)
            continue;
        const char *storey = given(c[GIVEN], "storey"), *spr = given(c[GIVEN], "sprinklers");
        sbuf_printf(&b,
                    "<records><premises id='W' code-sets='ifc-2018' storey='%s' sprinklers='%s'/>"
                    "<place id='r' kind='room' premises='W'/>"
                    "<receipt id='R' date='2026-01-02' kind='solvent' material='ethanol'"
                    " quantity='2 L' strength='95 %%vol' place='r'/>"
                    "<batch id='B' state='steeping' start='2026-02-01' place='r'>"
                    "<charge receipt='R' purpose='solvent' quantity='1 L'/>"
                    "<step kind='pour' date='2026-02-01' place='r' quantity='1 L'/></batch>"
                    "</records>",
                    storey == NULL ? "1" : storey, spr == NULL ? sprinklers[0] : spr);
        world_fill(b.s, "2026-06-30", open ? "open_use" : "control_area");
        ck_assert_int_eq(sqlite3_prepare_v2(store_db(world.store),
                                            open ? "select min(limit_l) from fact_open_use"
                                                 : "select min(limit_l) from fact_control_area"
                                                   " where part = 'closed'",
                                            -1, &st, NULL),
                         SQLITE_OK);
        ck_assert_int_eq(sqlite3_step(st), SQLITE_ROW);
        ck_assert(unit_convert(sheet_number(c[EXPECT], 0), c[UNIT], "L", &want));
        ck_assert_msg(fabs(sqlite3_column_double(st, 0) - want) <= fmax(0.001 * want, 0.0379),
                      "%s: %g L", c[ID], sqlite3_column_double(st, 0));
        sqlite3_finalize(st);
        sbuf_free(&b);
        seen++;
    }
    ck_assert_uint_ge(seen, 6);
}
END_TEST

/* --- worked cases by the rules, from records ----------------------------------------------------
 */

#define PREMISES(sets, more) "<premises id='W' code-sets='" sets "' " more "/>"
#define ROOM(more)           "<place id='r' kind='room' premises='W' " more "/>"
#define ETHANOL(id, quantity, more)                                                                \
    "<receipt id='" id "' date='2026-01-02' kind='solvent' material='ethanol' quantity='" quantity \
    "' strength='95 %vol' place='r' " more "/>"
#define OF(id, material, quantity)                                                                 \
    "<receipt id='" id "' date='2026-01-02' kind='material' material='" material                   \
    "' quantity='" quantity "' place='r'/>"
#define PLAIN "storey='1' sprinklers='no' use='workshop'"

static const struct {
    const char *id, *rule, *records, *expect;
} cases[] = {
    {"check-22", "control-area-over-maximum",
     PREMISES("ifc-2018", PLAIN) ROOM("") ETHANOL("A", "95 gal-us", "")
         ETHANOL("B", "30 gal-us", ""),
     "fails"},
    {"check-22a", "control-area-over-maximum",
     PREMISES("ifc-2018", PLAIN) ROOM("") ETHANOL("A", "95 gal-us", ""), "holds"},
    {"check-23a", "control-area-over-maximum",
     PREMISES("ifc-2018", PLAIN) ROOM("") OF("A", "mIA", "31 gal-us") OF("B", "mIB", "50 gal-us"),
     "fails"},
    {"check-23b", "control-area-over-maximum",
     PREMISES("ifc-2018", PLAIN) ROOM("") OF("A", "mIA", "30 gal-us") OF("B", "mIB", "51 gal-us"),
     "holds"},
    {"check-25", "permit-amount-without-permit",
     PREMISES("ifc-2018", PLAIN) ROOM("") ETHANOL("A", "20 L", ""), "fails"},
    {"five jugs of one gallon are not over five gallons", "permit-amount-without-permit",
     PREMISES("ifc-2018", PLAIN) ROOM("")
         ETHANOL("A", "5 gal-us", "container-size='1 gal-us' container-count='5'"),
     "holds"},
    {"check-26", "container-too-large-for-class",
     PREMISES("osha-1910.106", PLAIN) ROOM("")
         ETHANOL("A", "4 L", "container-size='4 L' container-material='glass'"),
     "fails"},
    {"check-26p", "container-too-large-for-purity",
     PREMISES("osha-1910.106", PLAIN) ROOM("") ETHANOL(
         "A", "4 L", "container-size='4 L' container-material='glass' size-exception='purity'"),
     "fails"},
    {"check-27", "container-too-large-for-class",
     PREMISES("osha-1910.106", PLAIN) ROOM("")
         ETHANOL("A", "1 L", "container-size='1.0 L' container-material='glass'"),
     "fails"},
    {"check-27p", "container-too-large-for-purity",
     PREMISES("osha-1910.106", PLAIN) ROOM("") ETHANOL(
         "A", "1 L", "container-size='1.0 L' container-material='glass' size-exception='purity'"),
     "holds"},
    {"check-29a", "cabinet-over-quantity",
     PREMISES(
         "osha-1910.106",
         PLAIN) "<place id='r' kind='cabinet' premises='W' approved='yes'/>" ETHANOL("A",
                                                                                     "61 gal-us",
                                                                                     ""),
     "fails"},
    {"check-29b", "cabinet-over-quantity",
     PREMISES(
         "ifc-2018",
         PLAIN) "<place id='r' kind='cabinet' premises='W' approved='yes'/>" ETHANOL("A",
                                                                                     "61 gal-us",
                                                                                     ""),
     "holds"},
    {"check-29c", "cabinet-over-quantity",
     PREMISES(
         "nfpa-30",
         PLAIN) "<place id='r' kind='cabinet' premises='W' approved='yes'/>" ETHANOL("A",
                                                                                     "61 gal-us",
                                                                                     ""),
     "holds"},
    {"check-33", "workroom-over-quantity",
     PREMISES("uk-dsear", PLAIN) ROOM("") ETHANOL("A", "60 L", ""), "fails"},
    {"check-34", "workroom-over-quantity",
     PREMISES("uk-dsear", PLAIN) ROOM("warmest='25 degC'") OF("A", "f15", "40 L")
         OF("B", "f40", "20 L"),
     "fails"},
    {"check-35", "workroom-over-quantity",
     PREMISES("uk-dsear", PLAIN) ROOM("warmest='30 degC'") OF("A", "f26", "30 L"), "holds"},
    {"check-37", "dwelling-over-quantity",
     PREMISES("canada-nfc", "storey='1' use='dwelling'") ROOM("") ETHANOL("A", "6 L", ""), "fails"},
    {"check-38", "attached-garage-over-quantity",
     PREMISES("canada-nfc", "storey='1' use='attached-garage'") ROOM("") ETHANOL("A", "30 L", ""),
     "holds"},
    {"trgs-cans-2", "outside-store-over-quantity",
     PREMISES("germany-trgs-510", PLAIN) ROOM("") ETHANOL("A", "10 kg", "")
         ETHANOL("B", "10 kg", ""),
     "holds"},
    {"trgs-cans-3", "outside-store-over-quantity",
     PREMISES("germany-trgs-510", PLAIN) ROOM("") ETHANOL("A", "10 kg", "")
         ETHANOL("B", "10 kg", "") ETHANOL("C", "10 kg", ""),
     "fails"},
    {"storey missing, 100 gal: it matters", "control-area-over-maximum",
     PREMISES("ifc-2018", "sprinklers='no'") ROOM("") ETHANOL("A", "100 gal-us", ""),
     "cannot tell"},
    {"storey missing, 500 gal: over whatever the storey", "control-area-over-maximum",
     PREMISES("ifc-2018", "sprinklers='no'") ROOM("") ETHANOL("A", "500 gal-us", ""), "fails"},
    {"storey missing, 5 gal: within whatever the storey", "control-area-over-maximum",
     PREMISES("ifc-2018", "sprinklers='no'") ROOM("") ETHANOL("A", "5 gal-us", ""), "holds"},
    {"sprinklers missing, 200 gal: it matters", "control-area-over-maximum",
     PREMISES("ifc-2018", "storey='1'") ROOM("") ETHANOL("A", "200 gal-us", ""), "cannot tell"},
};

static const char boundary_materials[] =
    "<material id='f15' flash-point='15 degC' boiling-point='80 degC'/>"
    "<material id='f26' flash-point='26 degC' boiling-point='120 degC'/>"
    "<material id='f40' flash-point='40 degC' boiling-point='150 degC'/>";

START_TEST(worked_cases)
{
    for (size_t i = 0; i < LW_COUNT(cases); i++) {
        struct sbuf b = SBUF_INIT;

        sbuf_printf(&b, "<records>%s%s%s</records>", materials, boundary_materials,
                    cases[i].records);
        world_fill(b.s, "2026-06-30", rule_set_find(world.rules, cases[i].rule)->fact);
        ck_assert_msg(strcmp(world_verdict(cases[i].rule), cases[i].expect) == 0,
                      "%s: %s gives '%s'", cases[i].id, cases[i].rule,
                      world_verdict(cases[i].rule));
        sbuf_free(&b);
    }
}
END_TEST

/* practice reference row 26: twelve quart jars 80 % full, a 5-gallon can half full, 60 bottles of
 * 50 mL: 21.55 L now, 33.28 L with every vessel full. */
START_TEST(now_and_full)
{
    sqlite3_stmt *st = NULL;

    world_fill("<records><premises id='W' code-sets='ifc-2018'/><place id='r' kind='room'"
               " premises='W'/>"
               "<receipt id='J' date='2026-01-02' kind='solvent' material='ethanol'"
               " quantity='9.084988 L' container-size='1 qt-us' container-count='12'"
               " strength='95 %vol' place='r'/>"
               "<receipt id='C' date='2026-01-02' kind='solvent' material='ethanol'"
               " quantity='2.5 gal-us' container-size='5 gal-us' container-count='1'"
               " strength='95 %vol' place='r'/>"
               "<receipt id='B' date='2026-01-02' kind='solvent' material='ethanol'"
               " quantity='3 L' container-size='50 mL' container-count='60' strength='95 %vol'"
               " place='r'/></records>",
               "2026-06-30", "holding");
    ck_assert_int_eq(sqlite3_prepare_v2(store_db(world.store),
                                        "select sum(volume_l), sum(full_l) from fact_holding", -1,
                                        &st, NULL),
                     SQLITE_OK);
    ck_assert_int_eq(sqlite3_step(st), SQLITE_ROW);
    ck_assert_double_eq_tol(sqlite3_column_double(st, 0), 21.55, 0.01);
    ck_assert_double_eq_tol(sqlite3_column_double(st, 1), 33.28, 0.01);
    sqlite3_finalize(st);
}
END_TEST

UNIT_MAIN("fire limits", every_figure, every_boundary, every_effective_figure, use_figures,
          worked_cases, now_and_full)
