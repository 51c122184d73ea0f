/* scenario.h - the command lines of the campaign. */
#ifndef LW_TESTS_FAULT_SCENARIO_H
#define LW_TESTS_FAULT_SCENARIO_H

#include <stdbool.h>
#include <stddef.h>

enum { SCENARIO_WORDS = 24 };

struct scenario {
    const char *name;
    const char
        *argv[SCENARIO_WORDS]; /* after the program's name. "@F" stands for SRCDIR/tests/cli/F */
    bool writes; /* may change the folder it runs in, which holds a book "book" of three receipts */
    const char *made; /* a second book that is there after success; NULL: none */
};

extern const struct scenario scenarios[];
extern const size_t scenario_count;

#endif
