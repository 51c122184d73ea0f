/* country.h - two-letter country codes. */
#ifndef LW_RECORD_COUNTRY_H
#define LW_RECORD_COUNTRY_H

#include "text/base.h"

enum country_status {
    COUNTRY_UNKNOWN, /* not a code */
    COUNTRY_ISO,     /* ISO 3166-1 alpha-2, in force */
    COUNTRY_TRADE,   /* wildlife trade papers only: XX unknown, ZZ introduction from the sea ... */
    COUNTRY_FORMER   /* withdrawn, still on old papers */
};

/* code[0..n): two capital letters. */
enum country_status country_status(const char *code, size_t n);
/* All accepted codes, sorted within each group, separated by one space. */
const char *country_codes(enum country_status group);
/* The code to write for one that is often typed instead ("UK": "GB"); NULL: none. */
const char *country_instead(const char *code);

#endif
