/* sheet.h - one fact sheet from its file. Inside fact/ only. */
#ifndef LW_FACT_SHEET_H
#define LW_FACT_SHEET_H

#include "fact/fact.h"

/* NULL with diagnostics when the sheet is not whole. Free with sheet_free (NULL-safe). */
struct fact_sheet *sheet_read(const char *path, struct diags *d);
void sheet_free(struct fact_sheet *s);

#endif
