/*
 * What the tests of label data read with: a catalogue table as XML, a test table as CSV, and plain
 * decimals. Written apart from the program's own readers, so that the two can be compared.
 */
#ifndef LW_TESTS_PUBLISHED_SHEET_H
#define LW_TESTS_PUBLISHED_SHEET_H

#include "../unit/unit.h"

#include <libxml/parser.h>
#include <libxml/tree.h>

enum { SHEET_FIELDS = 8, SHEET_ROWS = 1400, SHEET_TABLES = 80 };

struct sheet_csv {
    char *bytes;
    size_t rows; /* without the head */
    char *cell[SHEET_ROWS][SHEET_FIELDS];
};

static inline const char *sheet_path(const char *relative)
{
    static char path[4096];
    const char *root = getenv("LW_SRCDIR");

    snprintf(path, sizeof path, "%s/%s", root != NULL ? root : LW_SRCDIR, relative);
    return path;
}

/* Root element of a catalogue table, kept for the life of the program. */
static inline xmlNode *sheet_table(const char *name)
{
    static struct {
        char name[64];
        xmlDoc *doc;
    } seen[SHEET_TABLES];
    char relative[128];
    size_t i = 0;

    for (; i < SHEET_TABLES && seen[i].doc != NULL; i++) {
        if (strcmp(seen[i].name, name) == 0)
            return xmlDocGetRootElement(seen[i].doc);
    }
    ck_assert_uint_lt(i, SHEET_TABLES);
    snprintf(relative, sizeof relative, "data/catalogue/%s.xml", name);
    seen[i].doc = xmlReadFile(sheet_path(relative), NULL, XML_PARSE_NONET);
    ck_assert_msg(seen[i].doc != NULL, "cannot read table %s", name);
    snprintf(seen[i].name, sizeof seen[i].name, "%s", name);
    return xmlDocGetRootElement(seen[i].doc);
}

/* First row after `row`, or the first of the table when row is NULL. */
static inline xmlNode *sheet_next(const char *table, const xmlNode *row)
{
    xmlNode *n = row == NULL ? sheet_table(table)->children : row->next;

    while (n != NULL && !(n->type == XML_ELEMENT_NODE && strcmp((const char *)n->name, "row") == 0))
        n = n->next;
    return n;
}

/* Cell of a row, "" when left out. */
static inline const char *sheet_cell(const xmlNode *row, const char *column)
{
    const xmlAttr *a = xmlHasProp(row, (const xmlChar *)column);

    return a != NULL && a->children != NULL ? (const char *)a->children->content : "";
}

static inline bool sheet_is(const xmlNode *row, const char *column, const char *value)
{
    return strcmp(sheet_cell(row, column), value) == 0;
}

/* Row whose `column` is `value`, NULL if none. */
static inline xmlNode *sheet_find(const char *table, const char *column, const char *value)
{
    xmlNode *row = NULL;

    while ((row = sheet_next(table, row)) != NULL && !sheet_is(row, column, value))
        ;
    return row;
}

/* Plain decimal, "-18.0"; `empty` when the text is empty. */
static inline double sheet_number(const char *text, double empty)
{
    double value = 0, place = 1;
    bool minus = *text == '-', point = false;

    if (*text == '\0')
        return empty;
    for (text += minus; *text != '\0'; text++) {
        if (*text == '.' && !point) {
            point = true;
            continue;
        }
        ck_assert_msg(*text >= '0' && *text <= '9', "not a decimal: '%s'", text);
        value = value * 10 + (*text - '0');
        place *= point ? 10 : 1;
    }
    return (minus ? -value : value) / place;
}

static inline double sheet_value(const xmlNode *row, const char *column, double empty)
{
    return sheet_number(sheet_cell(row, column), empty);
}

/* One CSV field at *at, unquoted in place; *at moves past its separator. True at the end of a line.
 */
static inline bool sheet_field(char **at, char **field)
{
    char *p = *at, *out = *at;
    bool quoted = *p == '"', last;

    *field = out;
    for (p += quoted; *p != '\0'; *out++ = *p++) {
        if (quoted && *p == '"' && *++p != '"')
            quoted = false;
        if (!quoted && (*p == ',' || *p == '\n'))
            break;
    }
    last = *p != ',';
    *at = *p != '\0' ? p + 1 : p;
    *out = '\0';
    return last;
}

/* Reads a test table: lines that begin with # are remarks, the first other line is the head. */
static inline void sheet_csv_read(const char *relative, struct sheet_csv *csv)
{
    FILE *f = fopen(sheet_path(relative), "rb");
    long size;
    bool head = true;

    memset(csv, 0, sizeof *csv);
    ck_assert_msg(f != NULL, "cannot read %s", relative);
    ck_assert_int_eq(fseek(f, 0, SEEK_END), 0);
    size = ftell(f);
    ck_assert_int_ge(size, 0);
    rewind(f);
    csv->bytes = calloc((size_t)size + 1, 1);
    ck_assert_ptr_nonnull(csv->bytes);
    ck_assert_uint_eq(fread(csv->bytes, 1, (size_t)size, f), (size_t)size);
    fclose(f);
    for (char *at = csv->bytes; *at != '\0';) {
        char *scrap;
        size_t column = 0;

        if (*at == '#') {
            at += strcspn(at, "\n");
            at += *at == '\n';
            continue;
        }
        ck_assert_uint_lt(csv->rows, SHEET_ROWS);
        while (!sheet_field(&at, column < SHEET_FIELDS ? &csv->cell[csv->rows][column] : &scrap))
            column++;
        csv->rows += !head;
        head = false;
    }
    ck_assert_msg(csv->rows > 0, "%s has no rows", relative);
}

static inline void sheet_csv_free(struct sheet_csv *csv)
{
    free(csv->bytes);
    csv->bytes = NULL;
}

#endif
