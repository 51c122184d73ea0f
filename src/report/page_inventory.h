/* page_inventory.h - the fire inspector's sheet: one HTML page of two to four printed sides. */
#ifndef LW_REPORT_PAGE_INVENTORY_H
#define LW_REPORT_PAGE_INVENTORY_H

#include "report/report.h"

/* Made from the report's tables alone, so that every number on it is in the JSON too. Tables are
 * found by name: site, amounts, contacts, lines, readings, hazardous-materials, classes, controls,
 * ignition, waste, changes, plan, checklist, ahead, expected; those that are missing are left out.
 */
void page_inventory(const struct report *r, struct sbuf *out);

/* page_tables.c. A table or cell by name; NULL where there is none. */
const struct report_table *sheet_table(const struct report *r, const char *name);
const struct report_cell *sheet_cell(const struct report_table *t, size_t row, const char *column);
/* Opens a section with the title and the note of a table; the caller writes "</section>". */
void sheet_open(struct sbuf *out, const struct report_table *t);
/* The text of a cell, escaped. */
void sheet_put(struct sbuf *out, const struct report_table *t, size_t row, const char *column);
/* A section with a table whose columns are so many per cent wide, "11 10 + 79"; "+" puts a column
 * under the one before it. */
void sheet_wide_table(struct sbuf *out, const struct report_table *t, const char *widths);
/* The table "lines" with its bars. */
void sheet_totals(struct sbuf *out, const struct report *r);

/* site_plan.c: the storage plan as an <svg> drawn from the table "plan"; nothing when no place has
 * a position. `north`: up, right, down or left; NULL: not on file. */
void site_plan_svg(const struct report_table *plan, const char *north, struct sbuf *out);

#endif
