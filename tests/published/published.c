/* Holds the physics against every table in this folder, prints a line a table, fails past a bar. */
#include "published.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void copy(char *to, size_t size, const char *from, size_t length)
{
    if (length >= size)
        length = size - 1;
    memcpy(to, from, length);
    to[length] = '\0';
}

static size_t split(char cells[PUB_COLUMNS][PUB_CELL], const char *line)
{
    size_t count = 0;
    while (count < PUB_COLUMNS) {
        size_t length = strcspn(line, ",\r\n");
        copy(cells[count++], PUB_CELL, line, length);
        if (line[length] != ',')
            break;
        line += length + 1;
    }
    return count;
}

static void read_comment(struct pub_table *table, const char *line)
{
    static const char source[] = "# source: ", sure[] = "# sure: ";
    size_t length = strcspn(line, "\r\n");
    if (strncmp(line, source, sizeof source - 1) == 0)
        copy(table->source, PUB_TEXT, line + sizeof source - 1, length - sizeof source + 1);
    else if (strncmp(line, sure, sizeof sure - 1) == 0)
        copy(table->sure, PUB_CELL, line + sizeof sure - 1, length - sizeof sure + 1);
}

/* true when the file was read whole and says where it comes from */
static bool read_table(struct pub_table *table, const char *file)
{
    char path[1024], line[1024];
    const char *top = getenv("LW_SRCDIR");
    memset(table, 0, sizeof *table);
    snprintf(path, sizeof path, "%s/tests/published/%s", top != NULL ? top : LW_SRCDIR, file);
    FILE *f = fopen(path, "r");
    if (f == NULL) {
        printf("%s: cannot be opened\n", path);
        return false;
    }
    bool good = true;
    while (good && fgets(line, sizeof line, f) != NULL) {
        if (line[0] == '#') {
            read_comment(table, line);
        } else if (table->columns == 0) {
            table->columns = split(table->head, line);
        } else {
            good =
                table->rows < PUB_ROWS && split(table->cell[table->rows], line) == table->columns;
            for (size_t c = 0; good && c < table->columns; c++) {
                char *end;
                double number = strtod(table->cell[table->rows][c], &end);
                bool whole = *end == '\0' && end != table->cell[table->rows][c];
                table->number[table->rows][c] = whole ? number : (double)NAN;
            }
            table->rows++;
        }
    }
    fclose(f);
    if (!good || table->rows == 0 || table->source[0] == '\0' || table->sure[0] == '\0') {
        printf("%s: a row has the wrong number of cells, or source or sureness is missing\n", path);
        return false;
    }
    return true;
}

double pub_example_value(const struct pub_example *examples, size_t count, const char *name)
{
    for (size_t i = 0; i < count; i++)
        if (strcmp(examples[i].name, name) == 0)
            return examples[i].compute();
    printf("no calculation for '%s'\n", name);
    return (double)NAN;
}

struct tally {
    double sum, largest;
    size_t worst_row, past_tolerance, to_the_digit;
};

static size_t decimals_of(const char *text)
{
    const char *mark = strchr(text, '.');
    return mark != NULL ? strlen(mark + 1) : 0;
}

static bool same_digits(const struct pub_table *table, size_t row, struct pub_point p)
{
    for (size_t c = 0; c < table->columns; c++)
        if (table->number[row][c] == p.published) {
            double unit = pow(10, -(double)decimals_of(table->cell[row][c]));
            return fabs(p.computed - p.published) <= unit * (0.5 + 1e-9);
        }
    return false;
}

static void weigh(const struct pub_check *check, const struct pub_table *table, size_t row,
                  struct tally *tally)
{
    struct pub_point p = check->point(table, row);
    double deviation = p.computed - p.published;
    if (strcmp(check->unit, "%") == 0)
        deviation = 100 * deviation / p.published;
    if (isnan(deviation) || isnan(p.published))
        deviation = HUGE_VAL;
    double allowed = p.allowed > 0 ? p.allowed : check->max_bar;
    if (fabs(deviation) > allowed * (1 + 1e-9)) {
        tally->past_tolerance++;
        printf("  PAST: %s row %zu (%s): published %g, computed %.6g, allowed %g\n", check->file,
               row + 1, table->cell[row][0], p.published, p.computed, allowed);
    } else if (check->show_each) {
        printf("  %s %-8s %+.2f %s (published %g, computed %.2f, allowed %g)\n", check->what,
               table->cell[row][0], deviation, check->unit, p.published, p.computed, allowed);
    }
    tally->to_the_digit += same_digits(table, row, p);
    tally->sum += fabs(deviation);
    if (fabs(deviation) > fabs(tally->largest) || row == 0) {
        tally->largest = deviation;
        tally->worst_row = row;
    }
}

static bool run(const struct pub_check *check)
{
    static struct pub_table table;
    if (!read_table(&table, check->file))
        return false;
    struct tally tally = {0, 0, 0, 0, 0};
    for (size_t row = 0; row < table.rows; row++)
        weigh(check, &table, row, &tally);
    double mean = tally.sum / (double)table.rows;
    bool good = tally.past_tolerance == 0 && (check->mean_bar == 0 || mean <= check->mean_bar);
    printf("%s %s: %s: %zu points, largest %+.3g %s (%s), mean %.3g", good ? "ok  " : "FAIL",
           check->file, check->what, table.rows, tally.largest, check->unit,
           table.cell[tally.worst_row][0], mean);
    if (check->max_bar > 0)
        printf(", bar %g", check->max_bar);
    else
        printf(", bar: each row's own");
    if (check->mean_bar > 0)
        printf(", mean bar %g", check->mean_bar);
    printf("; to the printed digit %zu; sure: %s\n", tally.to_the_digit, table.sure);
    return good;
}

int main(void)
{
    const struct pub_check *const lists[] = {pub_density_checks, pub_vapour_checks,
                                             pub_flash_checks, pub_air_checks};
    int failed = 0, ran = 0;
    for (size_t i = 0; i < sizeof lists / sizeof lists[0]; i++)
        for (const struct pub_check *check = lists[i]; check->file != NULL; check++, ran++)
            failed += !run(check);
    printf("%d comparisons, %d past a bar\n", ran, failed);
    return failed == 0 && ran > 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
