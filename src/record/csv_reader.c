/* csv_reader.c - CSV record files: one kind a file, one record a row. */
#include "text/base.h"

#include "record/csv_map.h"
#include "record/csv_split.h"
#include "record/dict_near.h"
#include "record/reader.h"
#include "record/text_guard.h"
#include "text/mem.h"
#include "text/utf8.h"

enum { MESSAGES_MAX = 1000, NAME_BYTES = 80 };
enum { COLUMN_PARENT = -1, COLUMN_NONE = -2, COLUMN_SKIP = -3 };

struct csv_reader {
    const char *name;
    const struct dict_element *e;
    struct csv_split split;
    int columns[CSV_COLUMNS_MAX];       /* attribute of each column, or COLUMN_* */
    const char *units[CSV_COLUMNS_MAX]; /* of the map, for bare numbers; NULL: none */
    const struct csv_map *map;
    size_t column_count;
    struct record_context ctx;
    record_sink *sink;
    void *user;
    struct reader_counts *counts;
    struct diags *d;
    size_t messages_before;
};

/* NULL once the file has had its share of messages. */
static struct diags *row_diags(const struct csv_reader *c)
{
    bool enough = c->d != NULL && diags_count(c->d) - c->messages_before >= MESSAGES_MAX;

    return enough ? NULL : c->d;
}

/* "Name on document" and "name_on_document" are name-on-document. */
static void attribute_name(const char *cell, char out[NAME_BYTES])
{
    size_t n = 0;

    while (ascii_space((unsigned char)*cell)) {
        cell++;
    }
    for (; *cell != '\0' && n + 1 < NAME_BYTES; cell++) {
        char ch = (char)ascii_tolower((unsigned char)*cell);
        if (ch == '_' || ascii_space((unsigned char)ch)) {
            ch = '-';
        }
        if (ch != '-' || (n > 0 && out[n - 1] != '-')) {
            out[n++] = ch;
        }
    }
    while (n > 0 && out[n - 1] == '-') {
        n--;
    }
    out[n] = '\0';
}

/* ---- which kind, and what the leading rows declare ---- */

static const struct dict_element *kind_of_word(const char *word)
{
    char name[NAME_BYTES];
    const struct dict_element *e = NULL;

    attribute_name(word, name);
    e = dict_find(name);
    return e != NULL && e->parent != NULL ? e : NULL;
}

/* The first word of the file name; a kind of two words ("local-code-2026.csv") is tried first. */
static const struct dict_element *kind_of_file(const char *path)
{
    const char *base = strrchr(path, '/');
    const struct dict_element *found = NULL;
    char word[NAME_BYTES];

    base = base != NULL ? base + 1 : path;
    for (size_t n = 0; base[n] != '\0' && n + 1 < sizeof word; n++) {
        const struct dict_element *e = NULL;
        word[n] = base[n];
        word[n + 1] = '\0';
        if (!ascii_alnum((unsigned char)base[n + 1])) {
            e = kind_of_word(word);
            found = e != NULL ? e : found;
        }
    }
    return found;
}

static bool declare(struct csv_reader *c, const char *what, const char *value)
{
    if (ascii_casecmp(what, "kind") == 0) {
        c->e = kind_of_word(value);
        if (c->e != NULL) {
            return true;
        }
    } else if (ascii_casecmp(what, "units") == 0) {
        c->ctx.system = strcmp(value, "us") == 0 ? UNITS_US : UNITS_IMPERIAL;
        if (strcmp(value, "us") == 0 || strcmp(value, "imperial") == 0) {
            return true;
        }
    } else if (ascii_casecmp(what, "decimal") == 0) {
        c->ctx.style = strcmp(value, "comma") == 0 ? NUMBER_COMMA : NUMBER_POINT;
        if (strcmp(value, "comma") == 0 || strcmp(value, "point") == 0) {
            return true;
        }
    }
    diags_add(
        c->d, DIAG_FATAL, "bad-declaration", c->name, c->split.row_line, 1,
        "a leading row is #kind and a record kind, #units and us or imperial, or #decimal and "
        "point or comma",
        "'#%.40s' '%.40s' is not understood: nothing was read", what, value);
    return false;
}

/* "#kind,receipt" or "#kind receipt". */
static bool take_declaration(struct csv_reader *c)
{
    const char *cell = csv_cell(&c->split, 0) + 1;
    size_t n = strcspn(cell, " =:\t");
    char what[NAME_BYTES];
    char value[NAME_BYTES];
    const char *rest = cell + n;

    while (*rest == ' ' || *rest == '=' || *rest == ':' || *rest == '\t') {
        rest++;
    }
    if (*rest == '\0' && c->split.count > 1) {
        rest = csv_cell(&c->split, 1);
    }
    (void)snprintf(what, sizeof what, "%.*s", (int)n, cell);
    (void)snprintf(value, sizeof value, "%s", rest);
    n = strlen(value);
    while (n > 0 && ascii_space((unsigned char)value[n - 1])) {
        value[--n] = '\0';
    }
    return declare(c, what, value);
}

/* ---- the header ---- */

static bool header_error(struct csv_reader *c, size_t column, const char *hint, const char *fmt,
                         const char *word)
{
    struct sbuf text = SBUF_INIT;

    sbuf_printf(&text, fmt, word);
    diags_add(c->d, DIAG_FATAL, "bad-header", c->name, c->split.row_line, (long)column, hint,
              "header of '%s': %s; nothing was read", c->e->name, text.s);
    sbuf_free(&text);
    return false;
}

static bool header_cell(struct csv_reader *c, size_t i)
{
    char name[NAME_BYTES];
    struct near near;
    const char *best = NULL;
    char hint[120];
    int at = COLUMN_NONE;

    const char *mapped = NULL;

    c->units[i] = NULL;
    if (csv_map_find(c->map, csv_cell(&c->split, i), &mapped, &c->units[i])) {
        if (strcmp(mapped, "-") == 0) {
            c->columns[i] = COLUMN_SKIP;
            return true;
        }
        attribute_name(mapped, name);
    } else {
        attribute_name(csv_cell(&c->split, i), name);
    }
    if (name[0] != '\0') {
        at = dict_attr_index(c->e, name);
        if (at < 0 && !dict_top_level(c->e) && strcmp(name, c->e->parent) == 0) {
            at = COLUMN_PARENT;
        } else if (at < 0) {
            best = near_attr(&near, name, c->e);
            (void)snprintf(hint, sizeof hint, "did you mean '%s'?", best != NULL ? best : "");
            return header_error(c, i + 1, best != NULL ? hint : "take the column out",
                                "unknown column '%s'", name);
        }
    }
    for (size_t k = 0; at != COLUMN_NONE && k < i; k++) {
        if (c->columns[k] == at) {
            return header_error(c, i + 1, "take one out", "column '%s' stands twice", name);
        }
    }
    c->columns[i] = at;
    return true;
}

static bool has_column(const struct csv_reader *c, int at)
{
    for (size_t i = 0; i < c->column_count; i++) {
        if (c->columns[i] == at) {
            return true;
        }
    }
    return false;
}

static bool read_header(struct csv_reader *c)
{
    bool good = true;

    c->column_count = c->split.count;
    for (size_t i = 0; i < c->column_count; i++) {
        good = header_cell(c, i) && good;
    }
    for (size_t i = 0; good && i < c->e->attr_count; i++) {
        if ((c->e->attrs[i].flags & ATTR_REQUIRED) != 0 && !has_column(c, (int)i)) {
            good =
                header_error(c, 0, "add the column", "column '%s' is missing", c->e->attrs[i].name);
        }
    }
    if (good && !dict_top_level(c->e) && !has_column(c, COLUMN_PARENT)) {
        good = header_error(c, 0, "add the column: it names the record each row belongs to",
                            "column '%s' is missing", c->e->parent);
    }
    return good;
}

/* ---- rows ---- */

static bool row_blank(const struct csv_split *s)
{
    for (size_t i = 0; i < s->count; i++) {
        const char *p = csv_cell(s, i);
        while (ascii_space((unsigned char)*p)) {
            p++;
        }
        if (*p != '\0') {
            return false;
        }
    }
    return true;
}

static bool row_shape(struct csv_reader *c)
{
    const struct csv_split *s = &c->split;

    if (s->count < c->column_count) {
        diags_add(row_diags(c), DIAG_ERROR, "short-row", c->name, s->row_line, 0,
                  "give every row as many cells as the header",
                  "row of '%s' has %zu cells, the header has %zu", c->e->name, s->count,
                  c->column_count);
        return false;
    }
    for (size_t i = 0; i < s->count; i++) {
        if (csv_cell(s, i)[0] != '\0' && (i >= c->column_count || c->columns[i] == COLUMN_NONE)) {
            diags_add(row_diags(c), DIAG_ERROR, "extra-cell", c->name, s->row_line, (long)i + 1,
                      "quote a cell that holds the separator, or name the column in the header",
                      "row of '%s': cell %zu, '%.40s', stands under no column name", c->e->name,
                      i + 1, csv_cell(s, i));
            return false;
        }
    }
    return true;
}

static bool take_parent(struct record *r, const char *cell)
{
    size_t n = strlen(cell);

    while (n > 0 && ascii_space((unsigned char)*cell)) {
        cell++;
        n--;
    }
    while (n > 0 && ascii_space((unsigned char)cell[n - 1])) {
        n--;
    }
    mem_free(r->parent_id);
    r->parent_id = n > 0 ? mem_strndup(cell, n) : NULL;
    return n == 0 || r->parent_id != NULL;
}

static bool set_with_unit(struct record *r, size_t attr, const char *cell, const char *unit)
{
    struct sbuf b = SBUF_INIT;
    bool ok = false;

    sbuf_puts(&b, cell);
    while (b.len > 0 && b.s[b.len - 1] == ' ') {
        b.s[--b.len] = '\0';
    }
    sbuf_printf(&b, " %s", unit);
    ok = !b.failed && record_set_at(r, attr, b.s, b.len);
    sbuf_free(&b);
    return ok;
}

/* NULL: out of memory. */
static struct record *row_record(struct csv_reader *c)
{
    struct record *r = record_new(c->e, c->name, c->split.row_line);
    bool ok = r != NULL;

    for (size_t i = 0; ok && i < c->column_count; i++) {
        const char *cell = csv_unguarded(csv_cell(&c->split, i));
        if (c->columns[i] >= 0 && c->units[i] != NULL && csv_map_bare(cell)) {
            ok = set_with_unit(r, (size_t)c->columns[i], cell, c->units[i]);
        } else if (c->columns[i] >= 0) {
            ok = record_set_at(r, (size_t)c->columns[i], cell, strlen(cell));
        } else if (c->columns[i] == COLUMN_PARENT) {
            ok = take_parent(r, cell);
        }
    }
    if (!ok) {
        record_free(r);
        diags_out_of_memory(c->d);
        return NULL;
    }
    return r;
}

static bool row_good(struct csv_reader *c, const struct record *r)
{
    if (!dict_top_level(c->e) && r->parent_id == NULL) {
        diags_add(row_diags(c), DIAG_ERROR, "missing-attribute", c->name, r->line, 0,
                  "write the id of the record the row belongs to",
                  "row of '%s': column '%s' is empty", c->e->name, c->e->parent);
        return false;
    }
    return record_check(r, &c->ctx, row_diags(c));
}

/* false: stop. */
static bool take_row(struct csv_reader *c)
{
    struct record *r = NULL;

    if (row_blank(&c->split)) {
        return true;
    }
    if (!row_shape(c)) {
        c->counts->refused++;
        return true;
    }
    r = row_record(c);
    if (r == NULL) {
        return false;
    }
    if (!row_good(c, r)) {
        record_free(r);
        c->counts->refused++;
        return true;
    }
    r->checked = true;
    c->counts->read++;
    return c->sink(r, &c->ctx, c->user);
}

static bool bad_row(struct csv_reader *c, enum csv_status status)
{
    const struct csv_split *s = &c->split;

    switch (status) {
    case CSV_BAD_QUOTE:
        diags_add(row_diags(c), DIAG_ERROR, "bad-quote", c->name, s->row_line, (long)s->column,
                  "write the whole cell in quotes, and a quote inside it twice: \"5 \"\" pipe\"",
                  "cell %zu has a quote where none may stand: the row is not read", s->column);
        c->counts->refused++;
        return true;
    case CSV_OPEN_QUOTE:
        diags_add(
            c->d, DIAG_FATAL, "cut-off", c->name, s->row_line, (long)s->column,
            "close the quote, or get the file again if it was cut off",
            "cell %zu of this row begins with a quote that never closes: nothing after it was read",
            s->column);
        return false;
    case CSV_TOO_LARGE:
        diags_add(c->d, DIAG_FATAL, "too-large", c->name, s->row_line, (long)s->column,
                  "is a closing quote missing?",
                  "cell %zu of this row is past the limits (%d bytes a cell, %d cells a row)",
                  s->column, READER_ATTR_BYTES, CSV_COLUMNS_MAX);
        return false;
    default:
        diags_out_of_memory(c->d);
        return false;
    }
}

/* The leading declarations, then the header. false: nothing can be read. */
static bool begin(struct csv_reader *c)
{
    enum csv_status status = CSV_ROW;

    while ((status = csv_next(&c->split)) == CSV_ROW) {
        if (csv_cell(&c->split, 0)[0] == '#') {
            if (!take_declaration(c)) {
                return false;
            }
            c->split.separator =
                csv_guess_separator(c->split.s, (size_t)(c->split.end - c->split.s));
        } else if (!row_blank(&c->split)) {
            break;
        }
    }
    if (status == CSV_END) {
        diags_add(c->d, DIAG_FATAL, "empty", c->name, 0, 0, "begin with a line of column names",
                  "there is no header line");
        return false;
    }
    if (status != CSV_ROW) {
        (void)bad_row(c, status);
        if (status == CSV_BAD_QUOTE) {
            diags_add(c->d, DIAG_FATAL, "bad-header", c->name, c->split.row_line, 0, NULL,
                      "the header cannot be read: nothing was read");
        }
        return false;
    }
    if (c->e == NULL) {
        diags_add(c->d, DIAG_FATAL, "unknown-kind", c->name, 0, 0,
                  "begin the file's name with a record kind (receipt-2026.csv), or its text with "
                  "'#kind,receipt'",
                  "which kind of record the rows are is not said");
        return false;
    }
    return read_header(c);
}

/* What the mapping file says of kind, units and decimal mark; the file's own lines come after. */
static bool take_settings(struct csv_reader *c)
{
    static const char *const names[] = {"kind", "units", "decimal"};
    bool ok = true;

    for (size_t i = 0; ok && i < LW_COUNT(names); i++) {
        const char *value = csv_map_setting(c->map, names[i]);
        ok = value == NULL || declare(c, names[i], value);
    }
    return ok;
}

bool reader_csv(const char *name, const char *text, size_t n, record_sink *sink, void *user,
                struct reader_counts *counts, struct diags *d)
{
    return reader_csv_mapped(name, text, n, NULL, sink, user, counts, d);
}

bool reader_csv_mapped(const char *name, const char *text, size_t n, const struct csv_map *map,
                       record_sink *sink, void *user, struct reader_counts *counts, struct diags *d)
{
    struct csv_reader *c = mem_calloc(1, sizeof *c);
    struct text_guard guard;
    enum csv_status status = CSV_ROW;
    bool going = false;
    bool usable = false;

    counts->whole = false;
    if (c == NULL) {
        diags_out_of_memory(d);
        return false;
    }
    text_guard_start(&guard, name);
    if (text_guard_head(&guard, text, n, d) && text_guard_push(&guard, text, n, d) &&
        text_guard_end(&guard, d)) {
        going = true;
    }
    if (n >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0) {
        text += 3;
        n -= 3;
    }
    c->name = name;
    c->map = map;
    c->e = kind_of_file(name);
    c->ctx = (struct record_context){UNITS_UNDECLARED, NUMBER_EITHER, true};
    c->sink = sink;
    c->user = user;
    c->counts = counts;
    c->d = d;
    c->messages_before = d != NULL ? diags_count(d) : 0;
    csv_start(&c->split, text, n, csv_guess_separator(text, n));
    usable = going = going && take_settings(c) && begin(c);
    while (going && (status = csv_next(&c->split)) != CSV_END) {
        going = status == CSV_ROW ? take_row(c) : bad_row(c, status);
    }
    if (usable && d != NULL && row_diags(c) == NULL) {
        diags_add(d, DIAG_NOTE, "more-errors", name, 0, 0, NULL,
                  "more than %d messages: the others are not shown", MESSAGES_MAX);
    }
    counts->whole = going;
    csv_free(&c->split);
    mem_free(c);
    return usable;
}
