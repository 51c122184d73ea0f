/* published.h - tables with a published source, and the calculations held against them.
 *
 * A table is a CSV file whose first lines are comments, "# source: ..." and "# sure: ...", then a
 * line of column names, then rows. A check names a table, a calculation over a row and its bars. */
#ifndef LW_TESTS_PUBLISHED_H
#define LW_TESTS_PUBLISHED_H

#include <stdbool.h>
#include <stddef.h>

enum { PUB_COLUMNS = 8, PUB_ROWS = 200, PUB_CELL = 96, PUB_TEXT = 400 };

struct pub_table {
    char source[PUB_TEXT];
    char sure[PUB_CELL];
    size_t columns;
    size_t rows;
    char head[PUB_COLUMNS][PUB_CELL];
    char cell[PUB_ROWS][PUB_COLUMNS][PUB_CELL];
    double number[PUB_ROWS][PUB_COLUMNS]; /* NaN where the cell is no number */
};

/* One compared point. */
struct pub_point {
    double published;
    double computed;
    double allowed; /* tolerance of this row; 0 = the bar of the check */
};

struct pub_check {
    const char *file;
    const char *what; /* compared quantity */
    const char *unit; /* of the deviation; "%" = relative to the published value */
    struct pub_point (*point)(const struct pub_table *table, size_t row);
    double mean_bar; /* 0 = none */
    double max_bar;  /* 0 = each row has its own tolerance */
    bool show_each;
};

/* Lists of checks, each ended by a row with file NULL. */
extern const struct pub_check pub_density_checks[];
extern const struct pub_check pub_vapour_checks[];
extern const struct pub_check pub_flash_checks[];
extern const struct pub_check pub_air_checks[];

/* Row of mixing.csv; kept in a file of its own for its length. */
struct pub_point pub_mixing_point(const struct pub_table *table, size_t row);

/* For example tables: the calculation of each named row. NaN for an unknown name. */
struct pub_example {
    const char *name;
    double (*compute)(void);
};
double pub_example_value(const struct pub_example *examples, size_t count, const char *name);

#endif
