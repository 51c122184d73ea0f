/* One expression, or a text that would change the rules beside it. */
#include "unit.h"

#include "rule/expression.h"

START_TEST(expressions_are_taken)
{
    static const char *const whole[] = {
        "size_l",
        "size_l < 5 and class is not null",
        "class in ('IA', 'IB') or (a - -b) / c > 2",
        "iif(a > 0, b, c) = 1",
        "note = 'a, b) -- ; /* \xC3\xA9'",
        "note = 'it''s (' and \"to\" > [a)b] and `c;d` is null",
        "(select max(n) from fact_a where x = ')') > 1",
        "-a < - 1",
        "a / b * c",
        "",
    };
    for (size_t i = 0; i < LW_COUNT(whole); i++)
        ck_assert_msg(expression_trouble(whole[i]) == NULL, "'%s': %s", whole[i],
                      expression_trouble(whole[i]));
}
END_TEST

START_TEST(what_is_not_one_is_refused)
{
    static const struct {
        const char *sql, *why;
    } broken[] = {
        {"1), 3, (0", "bracket"},
        {"0) or (1", "bracket"},
        {"(a", "not closed"},
        {"a)", "bracket"},
        {"a, b", "comma"},
        {"0, 0, 3), 3, --", "comma"},
        {"a -- b", "comment"},
        {"a --", "comment"},
        {"a /* b */", "comment"},
        {"0 /*", "comment"},
        {"a; drop table rec_batch", "semicolon"},
        {"note = 'x", "quote"},
        {"\"a", "quote"},
        {"[a", "quote"},
        {"`a", "quote"},
        {"note = 'it''s", "quote"},
        {")(", "bracket"},
    };
    for (size_t i = 0; i < LW_COUNT(broken); i++) {
        const char *why = expression_trouble(broken[i].sql);
        ck_assert_msg(why != NULL, "taken: %s", broken[i].sql);
        ck_assert_msg(strstr(why, broken[i].why) != NULL, "'%s': %s", broken[i].sql, why);
    }
}
END_TEST

UNIT_MAIN("rule/expression", expressions_are_taken, what_is_not_one_is_refused)
