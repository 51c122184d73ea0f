/* label_layout.h - words and symbols set into a label of a given size.
 *
 * Widths are those of the metric-compatible sans-serif faces (Helvetica's published metrics), and
 * each line is drawn to exactly the width it was reckoned at, so that another face cannot make it
 * run over. */
#ifndef LW_REPORT_LABEL_LAYOUT_H
#define LW_REPORT_LABEL_LAYOUT_H

#include "text/sbuf.h"

enum { LABEL_BLOCKS_MOST = 24, LABEL_SYMBOLS_MOST = 8 };

struct label_block {
    const char *text; /* borrowed; UTF-8 */
    double scale;     /* of the small text; at least 1 */
    double least_mm;  /* capital height never below this; 0: none */
    bool bold;
};

struct label_content {
    double width_mm, height_mm;
    const char *symbols[LABEL_SYMBOLS_MOST]; /* codes */
    size_t symbol_count;
    double symbol_least_mm, symbol_wished_mm; /* side; wished 0: none */
    double x_height_least_mm;
    struct label_block blocks[LABEL_BLOCKS_MOST];
    size_t block_count;
};

struct label_fit {
    bool fits;
    double symbol_mm;   /* side used */
    double x_height_mm; /* of the small text */
    double needed_mm;   /* height the words need at the least letter height; when it does not fit */
    bool across;        /* symbols in a row above the words; else beside them */
    uint32_t unmeasured; /* a character whose width or joining is not known here; 0: none */
};

struct label_fit label_layout_fit(const struct label_content *c);
/* The label as an SVG element of its true size in mm, drawn as `fit` says; taller than the label
 * when it does not fit: then height is fit->needed_mm. */
void label_layout_draw(struct sbuf *out, const struct label_content *c, const struct label_fit *fit,
                       const char *class);
/* A ruler of `length_mm`, a stroke a millimetre. */
void label_layout_ruler(struct sbuf *out, unsigned length_mm);

#endif
