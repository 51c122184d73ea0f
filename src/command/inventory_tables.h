/* inventory_tables.h - the tables of the fire inspector's sheet, each from one SELECT. */
#ifndef LW_COMMAND_INVENTORY_TABLES_H
#define LW_COMMAND_INVENTORY_TABLES_H

#include "command/rows.h"

/* How a result column becomes a cell. */
enum inventory_cell {
    CELL_TEXT,    /* as it is; nothing: an empty cell */
    CELL_FILED,   /* as it is; nothing: "not on file" */
    CELL_LITRES,  /* litres, shown in the units asked for; nothing: "not known" */
    CELL_AMOUNT,  /* a number whose unit stands in the next result column */
    CELL_COUNT,   /* a whole number */
    CELL_PERCENT, /* one decimal */
    CELL_METRES,  /* metres, shown in the units asked for; nothing: an empty cell */
    CELL_PLAIN    /* a bare number, up to three decimals; nothing: an empty cell */
};

struct inventory_column {
    const char *name, *head; /* head NULL: name */
    enum inventory_cell kind;
};

struct inventory_table {
    const char *name, *title, *note;
    const struct inventory_column *columns;
    size_t column_count;
    const char *sql; /* its columns in order; CELL_AMOUNT takes two */
};

/* Adds one table to the report. false with a diagnostic. */
bool inventory_add(struct session *s, const struct inventory_table *t);
/* The same in two steps: the empty table, and rows at the end of the table added last. */
bool inventory_start(struct session *s, const struct inventory_table *t);
bool inventory_append(struct session *s, const struct inventory_table *t);
/* Every table of the sheet, in order, or (not whole) those for a terminal. The facts must be
 * filled. */
bool inventory_add_all(struct session *s, bool whole);
/* Significant digits: of an amount held; of one that stands beside a figure. */
enum { INVENTORY_DIGITS = 3, INVENTORY_DIGITS_BESIDE = 4 };

/* inventory_shown.c: an amount in words, US units first or metric first where both are shown; and
 * whether the premises are in the United States. inventory_shown_register gives the database
 * lw_shown(value, unit), for this session. */
void inventory_show(struct sbuf *b, double value, const char *unit, bool us_first,
                    enum show_units units, int digits);
bool inventory_us_first(struct session *s);
bool inventory_shown_register(struct session *s);

/* inventory_ahead.c: which lines are crossed within so many days, and what is expected. The facts
 * are filled again and again; plans must still be in the store. */
bool inventory_ahead(struct session *s, long days);

#endif
