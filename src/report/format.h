/* format.h - the output formats, one row each. */
#ifndef LW_REPORT_FORMAT_H
#define LW_REPORT_FORMAT_H

#include "report/report.h"

enum { REPORT_WIDTH_LEAST = 60, REPORT_WIDTH_MOST = 200, REPORT_WIDTH_USUAL = 80 };

/* The names of the formats, for the option table; a test holds it against report_formats(). */
#define REPORT_FORMAT_NAMES "text json page csv sarif"

struct report_style {
    int width;  /* columns, 60 to 200 */
    bool color; /* terminal colour beside the words, never instead of them */
};

struct report_format {
    const char *name; /* as typed after --format */
    const char *summary;
    /* Appends the whole report to out; out->failed tells of a failed allocation. */
    void (*render)(const struct report *r, const struct report_style *style, struct sbuf *out);
};

const struct report_format *report_formats(size_t *count);
const struct report_format *report_format_find(const char *name); /* NULL: unknown */

void report_text(const struct report *r, const struct report_style *style, struct sbuf *out);
void report_page(const struct report *r, const struct report_style *style, struct sbuf *out);
/* One cell: quoted where it must be (RFC 4180), never a formula, nothing that drives a terminal.
 * NULL adds nothing. */
void report_csv_field(struct sbuf *out, const char *s);
void report_csv(const struct report *r, const struct report_style *style, struct sbuf *out);
void report_sarif(const struct report *r, const struct report_style *style, struct sbuf *out);
void report_json(const struct report *r, const struct report_style *style, struct sbuf *out);

#endif
