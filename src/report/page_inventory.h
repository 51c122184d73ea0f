/* page_inventory.h - the fire inspector's sheet: one HTML page of two to four printed sides. */
#ifndef LW_REPORT_PAGE_INVENTORY_H
#define LW_REPORT_PAGE_INVENTORY_H

#include "report/report.h"

/* Made from the report's tables alone, so that every number on it is in the JSON too. Tables are
 * found by name: site, contacts, lines, hazardous-materials, classes, controls, ignition, waste,
 * changes, plan, checklist, ahead, expected; those that are missing are left out. */
void page_inventory(const struct report *r, struct sbuf *out);

/* site_plan.c: the storage plan as an <svg> drawn from the table "plan"; nothing when no place has
 * a position. */
void site_plan_svg(const struct report_table *plan, struct sbuf *out);

#endif
