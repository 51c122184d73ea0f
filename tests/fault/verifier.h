/* verifier.h - a process of its own that opens books and verifies them; the run under test is in
 * the middle of a call and may not be asked. */
#ifndef LW_TESTS_FAULT_VERIFIER_H
#define LW_TESTS_FAULT_VERIFIER_H

#include <stdbool.h>

struct verified {
    bool whole;
    long long entries;
    char why[200];
};

bool verifier_start(void);
void verifier_stop(void);
/* The book of that name in the current folder of verifier_start. */
struct verified verify_book(const char *name);

#endif
