/* chart.h - one line chart as SVG, for a page, a browser or grey print.
 *
 * Written by ourselves so that no dependency is needed. Nothing is told by colour: lines differ by
 * their dashes, bands by their hatching, and each carries its name in words. The text alternative
 * is in <title> and <desc>. Same input, same bytes. */
#ifndef LW_REPORT_CHART_H
#define LW_REPORT_CHART_H

#include "text/base.h"
#include "text/sbuf.h"

enum { CHART_SERIES_MOST = 4, CHART_LEVELS_MOST = 6, CHART_BANDS_MOST = 8, CHART_MARKS_MOST = 4 };

struct chart_axis {
    const char *label;        /* with the unit: "time, min" */
    double from, to;          /* from < to, both finite */
    const char *const *names; /* instead of numbers: one at from, from + 1, ...; NULL: numbers */
    size_t name_count;
};

struct chart_series {
    const char *name;
    const double *x, *y; /* count points; a NaN breaks the line */
    size_t count;
};

/* A horizontal line across the chart. */
struct chart_level {
    const char *name;
    double y;
};

/* A horizontal stripe; clipped to the axis. */
struct chart_band {
    const char *name;
    double from, to;
};

/* One point, with a bar of +/- uncertainty when that is more than 0. */
struct chart_mark {
    const char *name;
    double x, y, uncertainty;
};

struct chart {
    const char *title; /* plain text; escaped on writing */
    const char *desc;  /* what the chart shows, in words, with its numbers */
    struct chart_axis x, y;
    struct chart_series series[CHART_SERIES_MOST];
    size_t series_count;
    struct chart_level levels[CHART_LEVELS_MOST];
    size_t level_count;
    struct chart_band bands[CHART_BANDS_MOST];
    size_t band_count;
    struct chart_mark marks[CHART_MARKS_MOST];
    size_t mark_count;
    const char *note; /* a caution printed under the chart; NULL: none */
    const char *id;   /* prefix of the ids inside, so that two charts fit on one page */
};

/* Appends the <svg> element; standalone: with the XML declaration before it. out->failed tells of a
 * failed allocation. Axes that are not finite or empty are widened, so that the output is always
 * well-formed. */
void chart_svg(const struct chart *c, bool standalone, struct sbuf *out);

#endif
