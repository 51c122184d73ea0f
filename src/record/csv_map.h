/* csv_map.h - how the columns of somebody's spreadsheet are called here.
 *
 * A mapping file is plain text, a line each:
 *
 *   # a remark
 *   kind: receipt              which record kind the rows are
 *   units: us                  as "#units" in the file itself; also decimal: comma
 *   Our Lot No. = id           heading in the spreadsheet = attribute (or parent kind)
 *   Weight in g = quantity, g  numbers without a unit in this column get one
 *   Remarks = -                leave this column out
 *
 * Headings compare without regard to case (ASCII) and to blanks at the ends. */
#ifndef LW_RECORD_CSV_MAP_H
#define LW_RECORD_CSV_MAP_H

#include "text/diag.h"

struct csv_map;

/* NULL with diagnostics (file:line) when the file cannot be read or a line is not understood. */
struct csv_map *csv_map_read(const char *path, struct diags *d);
void csv_map_free(struct csv_map *m); /* NULL-safe */
/* "kind", "units", "decimal" as given; NULL: not given, or no map. */
const char *csv_map_setting(const struct csv_map *m, const char *name);
/* The attribute a heading stands for ("-": left out) and the unit of bare numbers (NULL: none).
 * false when the map does not name the heading. m may be NULL. */
bool csv_map_find(const struct csv_map *m, const char *heading, const char **attr,
                  const char **unit);
/* Digits, signs, marks and blanks only, with a digit among them: a number without a unit. */
bool csv_map_bare(const char *cell);

#endif
