/* pattern.h - the named regular expressions of DATADIR/patterns.xml, with limits that hold.
 *
 * Rules and facts name a pattern; none writes one. A match that hits a limit is "cannot tell". */
#ifndef LW_FACT_PATTERN_H
#define LW_FACT_PATTERN_H

#include "text/base.h"
#include "text/diag.h"

/* PCRE2's own defaults allow minutes of backtracking; these keep one match far below a millisecond
 * while every shipped pattern stays well inside them (tested). */
#define PATTERN_MATCH_LIMIT 20000u
#define PATTERN_DEPTH_LIMIT 500u
#define PATTERN_HEAP_KIB    512u
#define PATTERN_SUBJECT_MAX (64u * 1024u)

enum pattern_result { PATTERN_NO, PATTERN_YES, PATTERN_CANNOT_TELL };

struct pattern_set;

/* NULL with a diagnostic when the sheet or a pattern in it is wrong. */
struct pattern_set *pattern_set_read(const char *data_dir, struct diags *d);
void pattern_set_free(struct pattern_set *s);                     /* NULL-safe */
int pattern_index(const struct pattern_set *s, const char *name); /* -1: unknown */
/* Searches text for the pattern. Text longer than PATTERN_SUBJECT_MAX, ill-formed UTF-8, or a limit
 * reached: PATTERN_CANNOT_TELL. */
enum pattern_result pattern_match(const struct pattern_set *s, int index, const char *text,
                                  size_t n);

#endif
