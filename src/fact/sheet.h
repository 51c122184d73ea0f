/* sheet.h - one fact sheet from its file. Inside fact/ only. */
#ifndef LW_FACT_SHEET_H
#define LW_FACT_SHEET_H

#include "fact/fact.h"
#include "text/pack.h"

/* NULL with diagnostics when the sheet is not whole. Free with sheet_free (NULL-safe). */
struct fact_sheet *sheet_read(const char *path, struct diags *d);
void sheet_free(struct fact_sheet *s);
void sheet_pack(struct fact_sheet *s, struct sbuf *b);
/* dir: the folder of the sheets now. NULL with in->failed. */
struct fact_sheet *sheet_unpack(struct pack *in, const char *dir);

#endif
