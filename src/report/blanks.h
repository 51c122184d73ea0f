/* blanks.h - what is missing, over a whole report: by entry and by lot.
 *
 * A year of cards leaves the same boxes empty on lot after lot. So an audit says once what is
 * missing, and one line a lot how much that leaves open. */
#ifndef LW_REPORT_BLANKS_H
#define LW_REPORT_BLANKS_H

#include "report/report.h"

struct blank_entry {
    char *what; /* "container material (batch vessel-material)"; owned */
    unsigned long verdicts, records;
};

struct blank_lot {
    const char *kind,
        *id; /* "lot", or the kind of a record of no lot; borrowed from the findings */
    unsigned long verdicts;
    size_t first, count; /* its entries: blanks->of_lots[first], ... */
};

struct blanks {
    struct blank_entry *entries; /* most verdicts first */
    size_t entry_count;
    struct blank_lot *lots; /* lots in the order of their numbers, then the other records */
    size_t lot_count;
    char **of_lots; /* labels, "container material"; each owned */
    size_t of_lot_count;
    unsigned long verdicts;
};

/* Verdicts from here on are told by entry and lot where the report is a summary. */
#define BLANKS_FROM 20

/* Is this report one that tells them so? */
bool blanks_are_many(const struct report *r);
/* From the findings shown and not waived; NULL: out of memory. */
struct blanks *blanks_gather(const struct report *r);
void blanks_free(struct blanks *b); /* NULL-safe */

#endif
