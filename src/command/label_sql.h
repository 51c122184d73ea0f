/* label_sql.h - the questions behind a label draft; ?1 is the id of the label. */
#ifndef LW_COMMAND_LABEL_SQL_H
#define LW_COMMAND_LABEL_SQL_H

#include <stddef.h>

/* Elements that are needed or cannot be told, one a row; those that several regimes name alike but
 * mean differently under a name of their own. */
extern const char label_sql_needs[];
/* Each gives rows (attribute, text); the first text of an attribute counts. */
extern const char *const label_sql_values[];
extern const size_t label_sql_count;

#endif
