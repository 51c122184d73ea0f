/* trace_svg.h - a trace as a drawing. */
#ifndef LW_REPORT_TRACE_SVG_H
#define LW_REPORT_TRACE_SVG_H

#include "record/trace.h"
#include "text/sbuf.h"

/* One SVG 1.1 document: a column a step, suppliers and papers on the left, buyers on the right; the
 * start has a heavy frame, what does not add up a dashed one and words. No script, nothing fetched.
 */
void trace_svg(const struct trace *t, const char *title, struct sbuf *out);

#endif
