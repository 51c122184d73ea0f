/* diff.h - what changed between two versions of one record. */
#ifndef LW_LEDGER_DIFF_H
#define LW_LEDGER_DIFF_H

#include "text/sbuf.h"

/* Appends, on one line, the differences between two canonical XML texts of the same record:
 * "mass '400 g' now '450 g'; charge 2: lot now 'R-9'; charge 3 added". At most DIFF_MOST are
 * spelled out; then "and N more". Nothing when they are the same, or when either cannot be read. */
#define DIFF_MOST 6
void ledger_diff(const char *old_xml, const char *new_xml, struct sbuf *out);

#endif
