/* catalogue_internal.h - shared by catalogue.c and limits.c only. */
#ifndef LW_RECORD_CATALOGUE_INTERNAL_H
#define LW_RECORD_CATALOGUE_INTERNAL_H

#include "record/catalogue.h"
#include "text/xmldoc.h"

enum cell_type {
    CELL_TOKEN,
    CELL_TEXT,
    CELL_NUMBER,
    CELL_INTEGER,
    CELL_DATE,
    CELL_FLAG,
    CELL_COUNTRY,
    CELL_SURE
};

#define SURE_WORDS "verified two-sources secondary computed common-practice from-memory"

bool cell_type_from_name(const char *name, enum cell_type *type);
const char *cell_sql_type(enum cell_type type);
/* Binds text to parameter `at`; false when it is not of that type (`*why` says what it should be).
 */
bool cell_bind(sqlite3_stmt *q, int at, enum cell_type type, const char *text, const char **why);

/* One sheet at a time: where it is, and whether anything was wrong with it. */
struct sheet {
    sqlite3 *db;
    const char *path;
    struct diags *d;
    bool good;
};

/* Adds an error at a node of the sheet and marks the sheet. */
void sheet_error(struct sheet *s, const xmlNode *node, const char *hint, const char *fmt, ...)
    LW_PRINTF(4, 5);
/* SQLite's own words. */
void sheet_trouble(struct sheet *s, const char *doing);
/* A required attribute; NULL after an error. */
const char *sheet_attr(struct sheet *s, const xmlNode *node, const char *name);

bool limits_create(sqlite3 *db);
void limits_load(struct sheet *s, const xmlNode *root);

#endif
