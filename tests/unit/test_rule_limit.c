/* One value against the limits of one code set: boundaries, units, unknown conditions, partial
 * sums. */
#include "unit.h"

#include "rule/limit_judge.h"
#include "text/mem.h"

/* 5 US gallons in litres by definition: 231 in3 a gallon, 25.4 mm an inch (NIST SP 811, B.8). */
#define GAL5_L 18.92705892

enum { CLASS, CONTAINER, OCCUPANCY, SITUATION, STOREY, SPRINKLERS, CABINET };

static struct limit_rows rows_of(sqlite3 **db, const char *inserts, const char *unit)
{
    struct limit_rows rows;
    struct diags *d = diags_new();
    ck_assert_int_eq(sqlite3_open(":memory:", db), SQLITE_OK);
    ck_assert_int_eq(sqlite3_exec(*db,
                                  "create table lim_in_force(codeset, name, class, container,"
                                  " occupancy, situation, storey, sprinklers, cabinet, value, unit,"
                                  " words, cite, edition, sure, replaced, note)",
                                  NULL, NULL, NULL),
                     SQLITE_OK);
    ck_assert_int_eq(sqlite3_exec(*db, inserts, NULL, NULL, NULL), SQLITE_OK);
    ck_assert(limit_rows_read(*db, "q", unit, &rows, d));
    ck_assert_uint_eq(diags_count(d), 0);
    diags_free(d);
    return rows;
}

#define COLUMNS                                                                                    \
    "insert into lim_in_force(codeset, name, class, sprinklers, value, unit, words) values"

static const bool has_all[LIMIT_CONDITIONS] = {true, true, true, true, true, true, true};

static enum verdict judge(const struct limit_rows *rows, const char *class, const char *sprinklers,
                          double value, bool partial)
{
    const char *values[LIMIT_CONDITIONS] = {class, NULL, NULL, NULL, NULL, sprinklers, NULL};
    return limit_judge(rows, "c", values, has_all, value, partial, true).verdict;
}

START_TEST(boundary_in_the_native_unit)
{
    sqlite3 *db;
    struct limit_rows r =
        rows_of(&db, COLUMNS "('c','q',null,null,5,'gal-us','not-more-than')", "L");
    ck_assert_int_eq(judge(&r, "IB", "no", GAL5_L - 1e-6, false), VERDICT_HOLDS);
    ck_assert_int_eq(judge(&r, "IB", "no", GAL5_L, false), VERDICT_HOLDS);
    ck_assert_int_eq(judge(&r, "IB", "no", GAL5_L + 1e-6, false), VERDICT_FAILS);
    /* The code prints 19 L beside 5 gallons: the gallons count. */
    ck_assert_int_eq(judge(&r, "IB", "no", 19.0, false), VERDICT_FAILS);
    ck_assert_int_eq(judge(&r, "IB", "no", (double)NAN, false), VERDICT_CANNOT_TELL);
    limit_rows_free(&r);
    sqlite3_close(db);
}
END_TEST

START_TEST(words_decide_at_the_line)
{
    sqlite3 *db;
    struct limit_rows r = rows_of(&db, COLUMNS "('c','q',null,null,5,'L','less-than')", "L");
    ck_assert_int_eq(judge(&r, NULL, NULL, 5.0, false), VERDICT_FAILS);
    ck_assert_int_eq(judge(&r, NULL, NULL, 4.999999, false), VERDICT_HOLDS);
    limit_rows_free(&r);
    sqlite3_close(db);
}
END_TEST

START_TEST(a_partial_sum_settles_only_what_it_can)
{
    sqlite3 *db;
    struct limit_rows r = rows_of(&db, COLUMNS "('c','q',null,null,5,'L','not-more-than')", "L");
    ck_assert_int_eq(judge(&r, NULL, NULL, 6.0, true), VERDICT_FAILS);
    ck_assert_int_eq(judge(&r, NULL, NULL, 4.0, true), VERDICT_CANNOT_TELL);
    ck_assert_int_eq(judge(&r, NULL, NULL, 4.0, false), VERDICT_HOLDS);
    limit_rows_free(&r);
    sqlite3_close(db);
}
END_TEST

START_TEST(unknown_condition)
{
    sqlite3 *db;
    struct limit_rows r = rows_of(&db,
                                  COLUMNS "('c','q','IB','no',100,'L','not-more-than'),"
                                          "('c','q','IB','yes',200,'L','not-more-than')",
                                  "L");
    ck_assert_int_eq(judge(&r, "IB", "yes", 150, false), VERDICT_HOLDS);
    ck_assert_int_eq(judge(&r, "IB", "no", 150, false), VERDICT_FAILS);
    ck_assert_int_eq(judge(&r, "IB", NULL, 90, false), VERDICT_HOLDS);
    ck_assert_int_eq(judge(&r, "IB", NULL, 150, false), VERDICT_CANNOT_TELL);
    ck_assert_int_eq(judge(&r, "IB", NULL, 250, false), VERDICT_FAILS);
    ck_assert_int_eq(judge(&r, "II", "no", 1e6, false), VERDICT_NOT_APPLICABLE);
    const char *values[LIMIT_CONDITIONS] = {"IB"};
    struct limit_verdict v = limit_judge(&r, "c", values, has_all, 150, false, true);
    ck_assert(v.unknown[SPRINKLERS] && !v.unknown[CLASS]);
    ck_assert_double_eq(v.row->value, 100);
    limit_rows_free(&r);
    sqlite3_close(db);
}
END_TEST

START_TEST(the_closest_description_speaks)
{
    sqlite3 *db;
    struct limit_rows r = rows_of(&db,
                                  COLUMNS "('c','q','IA+IB+IC',null,120,'L','not-more-than'),"
                                          "('c','q','IB',null,60,'L','not-more-than'),"
                                          "('c','q',null,null,500,'L','not-more-than'),"
                                          "('d','q','IB',null,1,'L','not-more-than')",
                                  "L");
    ck_assert_int_eq(judge(&r, "IB", NULL, 61, false), VERDICT_FAILS);
    ck_assert_int_eq(judge(&r, "IC", NULL, 61, false), VERDICT_HOLDS);
    ck_assert_int_eq(judge(&r, "IC", NULL, 121, false), VERDICT_FAILS);
    ck_assert_int_eq(judge(&r, "II", NULL, 499, false), VERDICT_HOLDS);
    ck_assert_int_eq(judge(&r, "I", NULL, 501, false), VERDICT_FAILS);
    limit_rows_free(&r);
    sqlite3_close(db);
}
END_TEST

START_TEST(no_limit_is_not_silence)
{
    sqlite3 *db;
    struct limit_rows r = rows_of(&db, COLUMNS "('c','q','IIIB',null,null,'L','no-limit')", "L");
    ck_assert_int_eq(judge(&r, "IIIB", NULL, 1e9, false), VERDICT_HOLDS);
    ck_assert_int_eq(judge(&r, "IB", NULL, 1e9, false), VERDICT_NOT_APPLICABLE);
    limit_rows_free(&r);
    sqlite3_close(db);
}
END_TEST

START_TEST(degrees_are_not_differences)
{
    sqlite3 *db;
    struct limit_rows r = rows_of(&db, COLUMNS "('c','q',null,null,73,'degF','less-than')", "degC");
    /* 73 degF is 22.777... degC. */
    ck_assert_int_eq(judge(&r, NULL, NULL, 22.7, false), VERDICT_HOLDS);
    ck_assert_int_eq(judge(&r, NULL, NULL, 22.8, false), VERDICT_FAILS);
    limit_rows_free(&r);
    sqlite3_close(db);
}
END_TEST

START_TEST(words_for_people)
{
    sqlite3 *db;
    struct limit_rows r =
        rows_of(&db, COLUMNS "('c','q',null,null,5,'gal-us','not-more-than')", "L");
    static const char *const expected[] = {
        [SHOW_BOTH] = "not more than 5 US gal (18.9 L)",
        [SHOW_METRIC] = "not more than 18.93 L", /* 5 x 3.785411784 L, NIST SP 811 appendix B */
        [SHOW_US] = "not more than 5 US gal",
    };
    for (size_t i = 0; i < LW_COUNT(expected); i++) {
        char *words = limit_words(&r.items[0], (enum show_units)i);
        ck_assert_str_eq(words, expected[i]);
        mem_free(words);
    }
    limit_rows_free(&r);
    sqlite3_close(db);
}
END_TEST

UNIT_MAIN("rule/limits", boundary_in_the_native_unit, words_decide_at_the_line,
          a_partial_sum_settles_only_what_it_can, unknown_condition, the_closest_description_speaks,
          no_limit_is_not_silence, degrees_are_not_differences, words_for_people)
