/* page.h - one printable HTML page: frame, tables, findings, the closing lines.
 *
 * Every byte is in the page itself: no script, no picture, no font, nothing fetched. Text from
 * records is escaped and cleaned of control characters. */
#ifndef LW_REPORT_PAGE_H
#define LW_REPORT_PAGE_H

#include "report/report.h"

/* Text of a record or a message, with & < > " written as references. NULL adds nothing. */
void page_text(struct sbuf *out, const char *s);
/* <p class="CLASS">text</p>; class NULL: none; text NULL or "": nothing. */
void page_paragraph(struct sbuf *out, const char *class, const char *text);
void page_table(struct sbuf *out, const struct report_table *t);

/* The pieces of a page in their order. A command with a page of its own calls them one by one. */
void page_open(struct sbuf *out, const struct report *r);
/* With style rules of the page's own after the usual ones; NULL: none. */
void page_open_styled(struct sbuf *out, const struct report *r, const char *own_style);
void page_findings(struct sbuf *out, const struct report *r);
/* Its two halves: the counts in one line; the findings themselves. */
void page_headline(struct sbuf *out, const struct report *r);
void page_findings_list(struct sbuf *out, const struct report *r);
/* The same as an open-items list, worst first, at most three findings of a rule written out and the
 * rest counted; what a waiver answers stands in a section of its own. */
void page_open_items(struct sbuf *out, const struct report *r);
void page_close(struct sbuf *out, const struct report *r);

#endif
