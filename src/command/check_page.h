/* check_page.h - the page a careful person reads before uncorking: one page, and the caution card.
 */
#ifndef LW_COMMAND_CHECK_PAGE_H
#define LW_COMMAND_CHECK_PAGE_H

#include "report/report.h"

/* For report.page_body; user: the chart as SVG, a NUL terminated string, or NULL. Reads the tables
 * "vapour", "what-would-pass", "steps" and "caution-card" of the report and its findings. */
void check_page(const struct report *r, const void *user, struct sbuf *out);

#endif
