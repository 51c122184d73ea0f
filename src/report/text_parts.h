/* text_parts.h - the pieces of the terminal report; only report_text.c and its parts include it. */
#ifndef LW_REPORT_TEXT_PARTS_H
#define LW_REPORT_TEXT_PARTS_H

#include "report/format.h"

enum {
    TEXT_MARGIN = 6,  /* where a finding's own text begins */
    TEXT_INDENT = 19, /* where the text after a label begins */
    TEXT_LABEL = 16   /* the same in the closing lines */
};

/* "file:line, batch L-1, lot L-1" */
void text_where(struct sbuf *b, const struct finding *f);
const char *text_severity(enum severity s); /* "STOP" */
void text_sources(struct sbuf *out, int width, const struct rule *rule);
/* The section of what could not be told; alike ones told together. */
void text_untold(struct sbuf *out, const struct report_style *style, const struct report *r);
/* With a plan: what failed before it too, an entry each. */
void text_already(struct sbuf *out, const struct report_style *style, const struct report *r);
/* What a waiver answers, an entry each. */
void text_waived(struct sbuf *out, const struct report_style *style, const struct report *r);
/* Counts, records, code sets, deferral, and last what is missing from the report. */
void text_closing(struct sbuf *out, const struct report_style *style, const struct report *r);

#endif
