/* unit.h - what every unit test program starts from.
 *
 *     #include "unit.h"
 *     START_TEST(adds) { ck_assert_int_eq(1 + 1, 2); } END_TEST
 *     UNIT_MAIN("sums", adds, more)
 *
 * Tests run in the program's own process (quick, and sanitizers and valgrind see everything); set
 * CK_FORK=yes to run each in a child when hunting a crash. */
#ifndef LW_TESTS_UNIT_H
#define LW_TESTS_UNIT_H

#include "text/base.h"

#include <check.h>

static inline int unit_run(const char *name, const TTest *const *tests, size_t n)
{
    Suite *suite = suite_create(name);
    TCase *tcase = tcase_create(name);
    tcase_set_timeout(tcase, 0);
    for (size_t i = 0; i < n; i++)
        tcase_add_test(tcase, tests[i]);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    if (getenv("CK_FORK") == NULL)
        srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    int ran = srunner_ntests_run(runner);
    srunner_free(runner);
    return failed == 0 && ran > 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

#define UNIT_MAIN(name, ...)                                                                       \
    int main(void)                                                                                 \
    {                                                                                              \
        const TTest *const tests[] = {__VA_ARGS__};                                                \
        return unit_run(name, tests, LW_COUNT(tests));                                             \
    }

#endif
