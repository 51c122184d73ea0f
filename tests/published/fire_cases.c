/*
 * The remaining rows of tests/published/fire_limits.csv: fire classes of every scheme, unit
 * conversions, worked cases of one amount, and carriage and post replayed from sale records by the
 * rules. What is not known (strength, storey, sprinklers) is replayed too: the cautious reading,
 * marked, and "cannot tell" where it matters.
 */
#include "fire_table.h"

#include "physics/fireclass.h"
#include "rule/limit_judge.h"
#include "text/quantity.h"
#include "text/unit.h"

/* Half of the last printed digit. */
static double half_digit(const char *printed)
{
    const char *point = strchr(printed, '.');

    return 0.5000001 * (point == NULL ? 1 : pow(10, -(double)strlen(point + 1)));
}

/* The number and unit after `name` in "flash=73 degF;boil=80 degC", in degC. */
static double celsius(const char *pairs, const char *name)
{
    const char *p = strstr(pairs, name);
    char number[32], unit[16];
    double v = 0;

    ck_assert_msg(p != NULL, "no %s in %s", name, pairs);
    p += strlen(name) + 1;
    size_t n = strcspn(p, " ");
    snprintf(number, sizeof number, "%.*s", (int)n, p);
    p += n + 1;
    snprintf(unit, sizeof unit, "%.*s", (int)strcspn(p, ";"), p);
    ck_assert(unit_convert(sheet_number(number, 0), unit, "degC", &v));
    return v;
}

START_TEST(every_class)
{
    unsigned long seen = 0;

    read_table();
    for (size_t i = 0; i < table.rows; i++) {
        char *const *c = table.cell[i];
        const char *token = strcmp(c[CODESET], "nfpa704") == 0 ? "nfpa-704" : c[CODESET];
        enum fire_scheme scheme;

        if (strcmp(c[KIND], "class") != 0)
            continue;
        ck_assert_msg(fire_scheme_from_token(token, strlen(token), &scheme), "%s: no scheme %s",
                      c[ID], token);
        struct fire_class k =
            fireclass_of(scheme, celsius(c[INPUT], "flash"), celsius(c[INPUT], "boil"));
        ck_assert_msg(strcmp(k.token, c[EXPECT]) == 0, "%s: %s %s gives %s, not %s", c[ID], token,
                      c[INPUT], k.token, c[EXPECT]);
        seen++;
    }
    ck_assert_uint_ge(seen, 150);
}
END_TEST

START_TEST(every_conversion)
{
    unsigned long seen = 0;

    read_table();
    for (size_t i = 0; i < table.rows; i++) {
        char *const *c = table.cell[i];
        double want, got = 0;
        char number[32];
        size_t n;

        if (strcmp(c[KIND], "convert") != 0)
            continue;
        n = strcspn(c[INPUT], " ");
        snprintf(number, sizeof number, "%.*s", (int)n, c[INPUT]);
        want = sheet_number(c[EXPECT], 0);
        ck_assert(unit_convert(sheet_number(number, 0), c[INPUT] + n + 1, c[UNIT], &got));
        ck_assert_msg(fabs(got - want) <= half_digit(c[EXPECT]), "%s: %s is %.9g, not %s", c[ID],
                      c[INPUT], got, c[EXPECT]);
        seen++;
    }
    ck_assert_uint_ge(seen, 14);
}
END_TEST

/* --- carriage and post, from sale records ------------------------------------------------------
 */

#define LOT                                                                                        \
    "<batch id='L1' state='released' start='2026-03-01' strained='2026-04-01' "                    \
    "bottled='2026-04-10' released='2026-05-20'><charge material='ethanol' purpose='solvent' "     \
    "quantity='2 L' strength='95 %vol'/></batch>"
#define SALE(country, attrs, bottles, size)                                                        \
    "<records><premises id='W' country='" country "'/>" LOT "<sale id='S1' date='2026-06-10' "     \
    "parcels='1' " attrs "><line batch='L1' bottles='" bottles "' bottle-size='" size              \
    "'/></sale></records>"
#define LQ(un, pg)                                                                                 \
    "mode='road' to='US' un-number='" un "' packing-group='" pg "' carried-as='limited-quantity'"
#define EQ(un, pg)                                                                                 \
    "mode='road' to='US' un-number='" un "' packing-group='" pg "' carried-as='excepted-quantity'"

static const struct {
    const char *id, *rule, *records, *expect;
} carried[] = {
    {"check-39a", "bottle-over-limited-quantity", SALE("US", LQ("UN1170", "II"), "1", "1 L"),
     "holds"},
    {"check-39b", "bottle-over-limited-quantity", SALE("US", LQ("UN1170", "II"), "1", "1.5 L"),
     "fails"},
    {"UN 1170 PG II, just over 1 L", "bottle-over-limited-quantity",
     SALE("US", LQ("UN1170", "II"), "1", "1.000001 L"), "fails"},
    {"UN 1170 PG III, 5 L", "bottle-over-limited-quantity",
     SALE("US", LQ("UN1170", "III"), "1", "5 L"), "holds"},
    {"UN 1170 PG III, just over 5 L", "bottle-over-limited-quantity",
     SALE("US", LQ("UN1170", "III"), "1", "5.00001 L"), "fails"},
    {"UN 1197 PG III, 5 L", "bottle-over-limited-quantity",
     SALE("US", LQ("UN1197", "III"), "1", "5 L"), "holds"},
    {"UN 1266 PG III, just over 5 L", "bottle-over-limited-quantity",
     SALE("US", LQ("UN1266", "III"), "1", "5.00001 L"), "fails"},
    {"check-41a", "parcel-over-excepted-quantity", SALE("US", EQ("UN1266", "II"), "12", "30 mL"),
     "holds"},
    {"check-41b", "parcel-over-excepted-quantity", SALE("US", EQ("UN1266", "II"), "17", "30 mL"),
     "fails"},
    {"E2, inner just over 30 mL", "parcel-over-excepted-quantity",
     SALE("US", EQ("UN1266", "II"), "1", "30.0001 mL"), "fails"},
    {"E1, 1000 mL outer", "parcel-over-excepted-quantity",
     SALE("US", EQ("UN1266", "III"), "40", "25 mL"), "holds"},
    {"E1, over 1000 mL outer", "parcel-over-excepted-quantity",
     SALE("US", EQ("UN1266", "III"), "41", "25 mL"), "fails"},
    {"check-43a", "uk-post-over-limits", SALE("GB", "mode='post' to='GB'", "5", "50 mL"), "fails"},
    {"four bottles are not more than four", "uk-post-over-limits",
     SALE("GB", "mode='post' to='GB'", "4", "150 mL"), "holds"},
    {"check-43b", "uk-post-over-limits", SALE("GB", "mode='post' to='GB'", "1", "200 mL"), "fails"},
    {"150 mL and a little", "uk-post-over-limits",
     SALE("GB", "mode='post' to='GB'", "1", "150.001 mL"), "fails"},
    /* practice reference row 37: 60 mL bottles, US mail: 7 (420 mL) fit in 473 mL, 8 do not */
    {"US mail, 7 of 60 mL", "posted-parcel-over-total",
     SALE("US", "mode='post' to='US'", "7", "60 mL"), "holds"},
    {"US mail, 8 of 60 mL", "posted-parcel-over-total",
     SALE("US", "mode='post' to='US'", "8", "60 mL"), "fails"},
    {"US mail, not abroad", "posted-by-air-or-abroad",
     SALE("US", "mode='post' to='CA'", "1", "60 mL"), "fails"},
    {"US mail, by surface", "posted-by-air-or-abroad",
     SALE("US", "mode='post' to='US'", "1", "60 mL"), "holds"},
};

START_TEST(carriage_and_post)
{
    world_open();
    for (size_t i = 0; i < LW_COUNT(carried); i++) {
        const struct rule *rule = rule_set_find(world.rules, carried[i].rule);

        ck_assert_msg(rule != NULL, "no rule %s", carried[i].rule);
        world_fill(carried[i].records, "2026-06-30", rule->fact);
        ck_assert_msg(strcmp(world_verdict(carried[i].rule), carried[i].expect) == 0,
                      "%s: %s gives '%s'", carried[i].id, carried[i].rule,
                      world_verdict(carried[i].rule));
    }
}
END_TEST

/* --- worked cases of one number ----------------------------------------------------------------
 */

/* Worked cases that are told elsewhere, by records: fire_limits.c, and carried[] above. */
static bool told_from_records(const char *id)
{
    static const char *const ids[] = {"check-1",  "check-21", "check-22", "check-23", "check-34",
                                      "check-35", "check-41", "check-43", "trgs-cans"};

    for (size_t i = 0; i < LW_COUNT(ids); i++)
        if (strncmp(id, ids[i], strlen(ids[i])) == 0)
            return true;
    return false;
}

static double figure(const char *set, const char *limit)
{
    char sql[160];

    snprintf(sql, sizeof sql, "select value from lim where codeset = '%s' and name = '%s'", set,
             limit);
    return world_number(sql);
}

/* Transport points: litres times the factor of the packing group (ADR 1.1.3.6). */
static double points_of(double litres, const char *class)
{
    char sql[160];

    snprintf(sql, sizeof sql,
             "select value from lim where codeset = 'adr' and name = 'transport-points-factor' and"
             " class = '%s'",
             class);
    return litres * world_number(sql);
}

START_TEST(every_case_of_one_number)
{
    unsigned long seen = 0, elsewhere = 0;

    read_table();
    all_in_force();
    for (size_t i = 0; i < table.rows; i++) {
        char *const *c = table.cell[i];
        double x, got;
        char number[32], unit[32];

        if (strcmp(c[KIND], "case") != 0)
            continue;
        if (told_from_records(c[ID])) {
            elsewhere++;
            continue;
        }
        seen++;
        size_t n = strcspn(c[INPUT], " ");
        snprintf(number, sizeof number, "%.*s", (int)n, c[INPUT]);
        snprintf(unit, sizeof unit, "%.*s", (int)strcspn(c[INPUT] + n + 1, " "), c[INPUT] + n + 1);
        x = sheet_number(number, 0);
        if (strcmp(c[ID], "check-42") == 0) {
            ck_assert(points_of(x, "II") <= figure("adr", "transport-points"));
        } else if (strcmp(c[ID], "check-42v") == 0) {
            ck_assert_double_eq_tol(points_of(x, "II"), sheet_number(c[EXPECT], 0), 1e-9);
        } else if (strstr(c[INPUT], " at ") != NULL) {
            /* mass at a density: "20 kg at 0.8074 kg/L" */
            const char *at = strstr(c[INPUT], " at ") + 4;
            double kg = 0, litres;

            snprintf(number, sizeof number, "%.*s", (int)strcspn(at, " "), at);
            ck_assert(unit_convert(x, unit, "kg", &kg));
            litres = kg / sheet_number(number, 0);
            ck_assert(unit_convert(litres, "L", c[UNIT], &got));
            ck_assert_msg(fabs(got - sheet_number(c[EXPECT], 0)) <= half_digit(c[EXPECT]),
                          "%s: %g %s", c[ID], got, c[UNIT]);
        } else if (*c[LIMIT] == '\0') {
            ck_assert(unit_convert(x, unit, c[UNIT], &got));
            ck_assert_double_eq_tol(got, sheet_number(c[EXPECT], 0), 0.0005);
        } else {
            const char *values[LIMIT_CONDITIONS] = {0};
            bool has[LIMIT_CONDITIONS] = {0};
            struct limit_rows rows;
            char class[32] = "", container[32] = "", situation[32] = "", occupancy[32] = "";
            struct {
                const char *name;
                char *to;
            } wanted[] = {{"class", class},
                          {"container", container},
                          {"situation", situation},
                          {"occupancy", occupancy}};

            for (size_t k = 0; k < LW_COUNT(wanted); k++) {
                const char *p = strstr(c[GIVEN], wanted[k].name);

                if (p == NULL || strcmp(c[LIMIT], "exempt-strength") == 0)
                    continue;
                p += strlen(wanted[k].name) + 1;
                snprintf(wanted[k].to, 32, "%.*s", (int)strcspn(p, ";"), p);
                for (int m = 0; m < LIMIT_CONDITIONS; m++)
                    if (strcmp(limit_condition_names[m], wanted[k].name) == 0) {
                        values[m] = wanted[k].to;
                        has[m] = true;
                    }
            }
            ck_assert(limit_rows_read(store_db(world.store), c[LIMIT], unit, &rows, world.d));
            struct limit_verdict v = limit_judge(&rows, c[CODESET], values, has, x, false, true);
            /* what the row leaves unsaid is not known */
            if (v.verdict == VERDICT_NOT_APPLICABLE && v.row == NULL) {
                for (int m = 0; m < LIMIT_CONDITIONS; m++)
                    has[m] = true;
                v = limit_judge(&rows, c[CODESET], values, has, x, false, true);
            }
            enum verdict want = strcmp(c[EXPECT], "holds") == 0 ? VERDICT_HOLDS : VERDICT_FAILS;
            ck_assert_msg(v.verdict == want, "%s: %s %s of %s: verdict %d", c[ID], c[LIMIT],
                          c[GIVEN], c[INPUT], (int)v.verdict);
            limit_rows_free(&rows);
        }
    }
    ck_assert_uint_ge(seen, 18);
    ck_assert_uint_ge(elsewhere, 29);
}
END_TEST

/* --- what is not known -------------------------------------------------------------------------
 */

#define SITE(more) "<records><premises id='W' code-sets='ifc-2018' use='workshop' " more "/>"
#define IN_ROOM    "<place id='r' kind='room' premises='W'/>"
#define SPIRIT(id, quantity, strength)                                                             \
    "<receipt id='" id "' date='2026-01-02' kind='solvent' material='ethanol' quantity='" quantity \
    "' place='r' " strength "/>"
#define POURED(quantity)                                                                           \
    "<batch id='B' state='steeping' start='2026-02-01' place='r'><charge receipt='A' "             \
    "purpose='solvent' quantity='1 L'/><step kind='pour' date='2026-02-01' place='r' "             \
    "quantity='" quantity "'/></batch>"

static const struct {
    const char *what, *rule, *records, *expect;
} unknown[] = {
    {"strength missing: judged as 95 % vol, over", "permit-amount-without-permit",
     SITE("storey='1' sprinklers='no'") IN_ROOM SPIRIT("A", "20 L", "") "</records>", "fails"},
    {"strength missing: and said so", "strength-not-known-taken-as-strong",
     SITE("storey='1' sprinklers='no'") IN_ROOM SPIRIT("A", "20 L", "") "</records>", "fails"},
    {"strength known: nothing to say", "strength-not-known-taken-as-strong",
     SITE("storey='1' sprinklers='no'")
         IN_ROOM SPIRIT("A", "20 L", "strength='95 %vol'") "</records>",
     "holds"},
    {"sprinklers missing, 120 gal: within either way", "control-area-over-maximum",
     SITE("storey='1'") IN_ROOM SPIRIT("A", "120 gal-us", "strength='95 %vol'") "</records>",
     "holds"},
    {"sprinklers missing, just over 120 gal: it matters", "control-area-over-maximum",
     SITE("storey='1'") IN_ROOM SPIRIT("A", "120.001 gal-us", "strength='95 %vol'") "</records>",
     "cannot tell"},
    {"sprinklers missing, 240 gal: it matters", "control-area-over-maximum",
     SITE("storey='1'") IN_ROOM SPIRIT("A", "240 gal-us", "strength='95 %vol'") "</records>",
     "cannot tell"},
    {"sprinklers missing, just over 240 gal: over either way", "control-area-over-maximum",
     SITE("storey='1'") IN_ROOM SPIRIT("A", "240.001 gal-us", "strength='95 %vol'") "</records>",
     "fails"},
    /* least share of a storey that allows any: 5 %, 6 gal */
    {"storey missing, 6 gal: within on every storey", "control-area-over-maximum",
     SITE("sprinklers='no'") IN_ROOM SPIRIT("A", "6 gal-us", "strength='95 %vol'") "</records>",
     "holds"},
    {"storey missing, just over 6 gal: it matters", "control-area-over-maximum",
     SITE("sprinklers='no'")
         IN_ROOM SPIRIT("A", "6.0001 gal-us", "strength='95 %vol'") "</records>",
     "cannot tell"},
    {"storey missing, just over 120 gal: over on every storey", "control-area-over-maximum",
     SITE("sprinklers='no'")
         IN_ROOM SPIRIT("A", "120.001 gal-us", "strength='95 %vol'") "</records>",
     "fails"},
    {"open use, sprinklers missing, 30 gal: within", "open-use-over-maximum",
     SITE("storey='1'") IN_ROOM SPIRIT("A", "2 L", "strength='95 %vol'")
         POURED("30 gal-us") "</records>",
     "holds"},
    {"open use, sprinklers missing, 45 gal: it matters", "open-use-over-maximum",
     SITE("storey='1'") IN_ROOM SPIRIT("A", "2 L", "strength='95 %vol'")
         POURED("45 gal-us") "</records>",
     "cannot tell"},
    {"open use, sprinklers missing, 61 gal: over", "open-use-over-maximum",
     SITE("storey='1'") IN_ROOM SPIRIT("A", "2 L", "strength='95 %vol'")
         POURED("61 gal-us") "</records>",
     "fails"},
    {"below grade is not known", "flammables-below-grade",
     "<records><premises id='W' code-sets='osha-1910.106' use='workshop'/>" IN_ROOM SPIRIT(
         "A", "1 L", "strength='95 %vol'") "</records>",
     "cannot tell"},
};

START_TEST(what_is_not_known)
{
    world_open();
    for (size_t i = 0; i < LW_COUNT(unknown); i++) {
        world_fill(unknown[i].records, "2026-06-30",
                   rule_set_find(world.rules, unknown[i].rule)->fact);
        ck_assert_msg(strcmp(world_verdict(unknown[i].rule), unknown[i].expect) == 0,
                      "%s: %s gives '%s'", unknown[i].what, unknown[i].rule,
                      world_verdict(unknown[i].rule));
    }
}
END_TEST

/* The sheet's lines show the lowest figure it could be, and say when it cannot be told. */
START_TEST(lines_show_the_cautious_figure)
{
    world_fill(SITE("storey='1'") IN_ROOM SPIRIT("A", "200 gal-us", "") "</records>", "2026-06-30",
               "line");
    ck_assert_str_eq(world_text("select state from fact_line where limit_name ="
                                " 'control-area-quantity' and class = 'IB+IC' and part = 'all'"),
                     "within"); /* in no cabinet, yet the sum may have both increases */
    ck_assert_str_eq(
        world_text("select state from fact_line where limit_name ="
                   " 'control-area-quantity' and class = 'IB+IC' and part = 'outside'"),
        "cannot tell");
    ck_assert_double_eq_tol(world_number("select lw_unit(cautious, 'L', 'gal-us') from fact_line"
                                         " where class = 'IB+IC' and part = 'outside'"),
                            120, 1e-6);
    ck_assert(world_number("select max(assumed) from fact_holding") > 0.5);
}
END_TEST

UNIT_MAIN("fire cases", every_class, every_conversion, carriage_and_post, every_case_of_one_number,
          what_is_not_known, lines_show_the_cautious_figure)
