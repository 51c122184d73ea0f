/* catalogue.h - the shipped tables: data/catalogue/NAME.xml to cat_NAME, data/limits/CODESET.xml to
 * lim. */
#ifndef LW_RECORD_CATALOGUE_H
#define LW_RECORD_CATALOGUE_H

#include "record/store.h"

/* Loads every sheet of DATADIR/catalogue and DATADIR/limits into db. Each column of a sheet is
 * checked against its declared type (token, text, number, integer, date, flag, country, sure); an
 * unknown attribute, a repeated key, or a row without source and sure is an error naming file and
 * line. cat_column(sheet, name, type, unit, meaning) describes the columns. codeset(id, title,
 * edition, scheme, region, units, about, always) and lim(codeset, name, class, container,
 * occupancy, situation, storey, sprinklers, cabinet, cond, value REAL, unit, words, cite, edition,
 * sure, note, file, line, replaced) hold the limits; an empty condition is NULL and means "any".
 * false when any sheet was refused. */
bool catalogue_load(sqlite3 *db, const char *data_dir, struct diags *d);

#endif
