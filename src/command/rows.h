/* rows.h - questions to the memory database, a callback a row. */
#ifndef LW_COMMAND_ROWS_H
#define LW_COMMAND_ROWS_H

#include "command/session.h"

typedef void rows_each(struct session *s, sqlite3_stmt *st, void *user);

/* Runs one SELECT with up to two text parameters (NULL binds nothing or NULL) and calls each for
 * every row. false with a diagnostic when the database failed. */
bool rows_select(struct session *s, const char *sql, const char *a, const char *b, rows_each *each,
                 void *user);
/* The first column of the first row as a count; 0 when there is no row. *ok false on failure. */
long rows_count(struct session *s, const char *sql, const char *a, bool *ok);
/* One statement or several without parameters or rows. */
bool rows_run(struct session *s, const char *sql);
const char *rows_text(sqlite3_stmt *st, int i); /* NULL for NULL */

#endif
