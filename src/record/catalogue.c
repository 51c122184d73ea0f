/* catalogue.c - the shipped tables into the memory database. */
#include "text/base.h"

#include "record/catalogue_internal.h"
#include "record/country.h"
#include "record/dictionary.h"
#include "text/date.h"
#include "text/file.h"
#include "text/mem.h"
#include "text/number.h"
#include "text/utf8.h"

enum { COLUMNS_MAX = 64, NAME_BYTES = 64 };

struct column {
    const char *name; /* owned by the document */
    enum cell_type type;
    bool key;
};

struct table {
    struct sheet *sheet;
    const char *name, *key;
    struct column columns[COLUMNS_MAX];
    size_t count;
    sqlite3_stmt *insert;
};

/* ---- cells ---- */

static const struct {
    const char *name, *sql;
} cell_types[] = {
    [CELL_TOKEN] = {"token", "TEXT"},     [CELL_TEXT] = {"text", "TEXT"},
    [CELL_NUMBER] = {"number", "REAL"},   [CELL_INTEGER] = {"integer", "INTEGER"},
    [CELL_DATE] = {"date", "TEXT"},       [CELL_FLAG] = {"flag", "TEXT"},
    [CELL_COUNTRY] = {"country", "TEXT"}, [CELL_SURE] = {"sure", "TEXT"},
};

bool cell_type_from_name(const char *name, enum cell_type *type)
{
    for (size_t i = 0; i < LW_COUNT(cell_types); i++) {
        if (strcmp(cell_types[i].name, name) == 0) {
            *type = (enum cell_type)i;
            return true;
        }
    }
    return false;
}

const char *cell_sql_type(enum cell_type type)
{
    return cell_types[type].sql;
}

static bool is_token(const char *s)
{
    if (!ascii_lower(*s) && !ascii_digit(*s)) {
        return false;
    }
    for (; *s != '\0'; s++) {
        if (!ascii_lower(*s) && !ascii_digit(*s) && strchr("._-", *s) == NULL) {
            return false;
        }
    }
    return true;
}

static bool is_column_name(const char *s)
{
    if (!ascii_lower(*s) || strlen(s) >= NAME_BYTES) {
        return false;
    }
    for (; *s != '\0'; s++) {
        if (!ascii_lower(*s) && !ascii_digit(*s) && *s != '_') {
            return false;
        }
    }
    return true;
}

bool cell_bind(sqlite3_stmt *q, int at, enum cell_type type, const char *text, const char **why)
{
    double number = 0.0;
    long long integer = 0;
    long days = 0;
    bool ok = true;

    switch (type) {
    case CELL_NUMBER:
        *why = "a number with a decimal point";
        return number_exact(text, &number) && sqlite3_bind_double(q, at, number) == SQLITE_OK;
    case CELL_INTEGER:
        *why = "a whole number";
        return number_integer(text, &integer) && sqlite3_bind_int64(q, at, integer) == SQLITE_OK;
    case CELL_TOKEN:
        *why = "a short name: a-z, 0-9 and . _ -, beginning with a letter or digit";
        ok = is_token(text);
        break;
    case CELL_DATE:
        *why = "a date such as 2026-03-04";
        ok = date_iso_days(text, &days);
        break;
    case CELL_FLAG:
        *why = "yes or no";
        ok = strcmp(text, "yes") == 0 || strcmp(text, "no") == 0;
        break;
    case CELL_COUNTRY:
        *why = "two capital letters of ISO 3166-1";
        ok = country_status(text, strlen(text)) != COUNTRY_UNKNOWN;
        break;
    case CELL_SURE:
        *why = "one of: " SURE_WORDS;
        ok = dict_word(SURE_WORDS, text, strlen(text));
        break;
    case CELL_TEXT:
        break;
    }
    return ok && sqlite3_bind_text(q, at, text, -1, SQLITE_STATIC) == SQLITE_OK;
}

/* ---- messages ---- */

void sheet_error(struct sheet *s, const xmlNode *node, const char *hint, const char *fmt, ...)
{
    struct sbuf text = SBUF_INIT;
    va_list ap;

    va_start(ap, fmt);
    sbuf_vprintf(&text, fmt, ap);
    va_end(ap);
    diags_add(s->d, DIAG_ERROR, "sheet", s->path, xmldoc_line(node), 0, hint, "%s", text.s);
    sbuf_free(&text);
    s->good = false;
}

void sheet_trouble(struct sheet *s, const char *doing)
{
    diags_add(s->d, DIAG_FATAL, "store", s->path, 0, 0, NULL, "%s: %s", doing,
              sqlite3_errmsg(s->db));
    s->good = false;
}

const char *sheet_attr(struct sheet *s, const xmlNode *node, const char *name)
{
    const char *text = xmldoc_attr(node, name);

    if (text == NULL || *text == '\0') {
        sheet_error(s, node, NULL, "element '%s': attribute '%s' is missing",
                    (const char *)node->name, name);
        return NULL;
    }
    return text;
}

/* ---- one table ---- */

static bool describe_column(struct table *t, const xmlNode *node, const struct column *c)
{
    static const char sql[] = "INSERT INTO cat_column VALUES (?1,?2,?3,?4,?5)";
    struct sbuf meaning = SBUF_INIT;
    sqlite3_stmt *q = NULL;
    bool ok = sqlite3_prepare_v2(t->sheet->db, sql, -1, &q, NULL) == SQLITE_OK;

    xmldoc_put_text(node, &meaning);
    if (meaning.len == 0) {
        sheet_error(t->sheet, node, NULL, "column '%s' has no meaning written", c->name);
    }
    if (ok) {
        (void)sqlite3_bind_text(q, 1, t->name, -1, SQLITE_STATIC);
        (void)sqlite3_bind_text(q, 2, c->name, -1, SQLITE_STATIC);
        (void)sqlite3_bind_text(q, 3, cell_types[c->type].name, -1, SQLITE_STATIC);
        (void)sqlite3_bind_text(q, 4, xmldoc_attr(node, "unit"), -1, SQLITE_STATIC);
        (void)sqlite3_bind_text(q, 5, meaning.s, -1, SQLITE_STATIC);
        ok = sqlite3_step(q) == SQLITE_DONE && !meaning.failed;
    }
    (void)sqlite3_finalize(q);
    sbuf_free(&meaning);
    return ok;
}

static size_t column_index(const struct table *t, const char *name)
{
    size_t i = 0;

    while (i < t->count && strcmp(t->columns[i].name, name) != 0) {
        i++;
    }
    return i;
}

static void read_column(struct table *t, const xmlNode *node)
{
    const char *name = sheet_attr(t->sheet, node, "name");
    const char *type = sheet_attr(t->sheet, node, "type");
    struct column c = {name, CELL_TEXT, false};

    if (name == NULL || type == NULL) {
        return;
    }
    if (!is_column_name(name)) {
        sheet_error(t->sheet, node, NULL, "'%s' is no column name: a-z, 0-9 and _", name);
    } else if (!cell_type_from_name(type, &c.type)) {
        sheet_error(t->sheet, node, "one of: token text number integer date flag country sure",
                    "column '%s': unknown type '%s'", name, type);
    } else if (column_index(t, name) < t->count) {
        sheet_error(t->sheet, node, NULL, "column '%s' is declared twice", name);
    } else if (t->count == COLUMNS_MAX) {
        sheet_error(t->sheet, node, NULL, "more than %d columns", COLUMNS_MAX);
    } else {
        c.key = dict_word(t->key, name, strlen(name));
        t->columns[t->count++] = c;
        if (!describe_column(t, node, &c)) {
            sheet_trouble(t->sheet, "cannot describe a column");
        }
    }
}

static bool create_table(struct table *t)
{
    struct sbuf sql = SBUF_INIT;
    struct sbuf insert = SBUF_INIT;
    bool one = strchr(t->key, ' ') == NULL;
    bool ok = false;
    const char *comma = "";

    sbuf_printf(&sql, "CREATE TABLE cat_%s (", t->name);
    sbuf_printf(&insert, "INSERT INTO cat_%s VALUES (", t->name);
    for (size_t i = 0; i < t->count; i++) {
        const struct column *c = &t->columns[i];
        sbuf_printf(&sql, "%s\"%s\" %s%s", i > 0 ? "," : "", c->name, cell_sql_type(c->type),
                    one && c->key ? " NOT NULL UNIQUE" : "");
        sbuf_printf(&insert, "%s?%zu", i > 0 ? "," : "", i + 1);
    }
    sbuf_puts(&sql, ") STRICT;");
    sbuf_putc(&insert, ')');
    if (!one) {
        sbuf_printf(&sql, "CREATE UNIQUE INDEX cat_%s_key ON cat_%s (", t->name, t->name);
        for (size_t i = 0; i < t->count; i++) {
            if (t->columns[i].key) {
                sbuf_printf(&sql, "%sifnull(\"%s\",'')", comma, t->columns[i].name);
                comma = ",";
            }
        }
        sbuf_puts(&sql, ");");
    }
    ok = !sql.failed && !insert.failed &&
         sqlite3_exec(t->sheet->db, sql.s, NULL, NULL, NULL) == SQLITE_OK &&
         sqlite3_prepare_v2(t->sheet->db, insert.s, -1, &t->insert, NULL) == SQLITE_OK;
    if (!ok) {
        sheet_trouble(t->sheet, "cannot make the table");
    }
    sbuf_free(&sql);
    sbuf_free(&insert);
    return ok;
}

static bool bind_row(struct table *t, const xmlNode *row)
{
    bool good = true;

    (void)sqlite3_clear_bindings(t->insert);
    for (const xmlAttr *a = row->properties; a != NULL; a = a->next) {
        const char *name = (const char *)a->name;
        const char *text = xmldoc_attr(row, name);
        size_t i = column_index(t, name);
        const char *why = "";

        if (i == t->count || text == NULL) {
            sheet_error(t->sheet, row, NULL, "row: '%s' is no column of this table", name);
            good = false;
        } else if (*text == '\0') {
            sheet_error(t->sheet, row, "leave an empty attribute out", "row: '%s' is empty", name);
            good = false;
        } else if (!cell_bind(t->insert, (int)i + 1, t->columns[i].type, text, &why)) {
            sheet_error(t->sheet, row, NULL, "row: '%s' is '%.60s': it must be %s", name, text,
                        why);
            good = false;
        }
    }
    good = sheet_attr(t->sheet, row, "source") != NULL && good;
    return sheet_attr(t->sheet, row, "sure") != NULL && good;
}

static void put_key(const struct table *t, const xmlNode *row, struct sbuf *out)
{
    for (size_t i = 0; i < t->count; i++) {
        const char *text = t->columns[i].key ? xmldoc_attr(row, t->columns[i].name) : NULL;
        if (t->columns[i].key) {
            sbuf_printf(out, "%s%s", out->len > 0 ? " " : "", text != NULL ? text : "-");
        }
    }
}

static void read_row(struct table *t, const xmlNode *row)
{
    struct sbuf key = SBUF_INIT;
    int rc = SQLITE_OK;

    if (!bind_row(t, row)) {
        return;
    }
    rc = sqlite3_step(t->insert);
    (void)sqlite3_reset(t->insert);
    if (rc == SQLITE_CONSTRAINT) {
        put_key(t, row, &key);
        sheet_error(t->sheet, row, NULL, "row: the key (%s) '%s' is missing or stands twice",
                    t->key, key.s);
    } else if (rc != SQLITE_DONE) {
        sheet_trouble(t->sheet, "cannot keep a row");
    }
    sbuf_free(&key);
}

static bool key_declared(struct table *t, const xmlNode *root)
{
    for (const char *k = t->key; *k != '\0';) {
        char name[NAME_BYTES];
        size_t n = strcspn(k, " ");

        (void)snprintf(name, sizeof name, "%.*s", (int)n, k);
        if (column_index(t, name) == t->count) {
            sheet_error(t->sheet, root, NULL, "the key column '%s' is not declared", name);
            return false;
        }
        k += n;
        k += strspn(k, " ");
    }
    if (column_index(t, "source") == t->count || column_index(t, "sure") == t->count) {
        sheet_error(t->sheet, root, NULL, "a table declares the columns 'source' and 'sure'");
        return false;
    }
    return true;
}

static void load_table(struct sheet *s, const xmlNode *root)
{
    struct table t = {.sheet = s};
    bool made = false;

    t.name = sheet_attr(s, root, "name");
    t.key = sheet_attr(s, root, "key");
    if (t.name == NULL || t.key == NULL || !is_column_name(t.name)) {
        if (t.name != NULL && t.key != NULL) {
            sheet_error(s, root, NULL, "'%s' is no table name", t.name);
        }
        return;
    }
    for (const xmlNode *n = xmldoc_first(root, NULL); n != NULL; n = xmldoc_next(n, NULL)) {
        if (xmldoc_is(n, "column") && !made) {
            read_column(&t, n);
        } else if (xmldoc_is(n, "row")) {
            made = made || (s->good && key_declared(&t, root) && create_table(&t));
            if (!made) {
                break;
            }
            read_row(&t, n);
        } else if (!xmldoc_is(n, "about")) {
            sheet_error(s, n, NULL, "unexpected element '%s'", (const char *)n->name);
        }
    }
    if (!made && s->good) {
        (void)(key_declared(&t, root) && create_table(&t));
    }
    (void)sqlite3_finalize(t.insert);
}

/* ---- folders ---- */

static bool load_sheet(sqlite3 *db, const char *path, struct diags *d)
{
    struct sheet s = {db, path, d, true};
    xmlDoc *doc = xmldoc_read(path, d);
    const xmlNode *root = NULL;

    if (doc == NULL) {
        return false;
    }
    root = xmlDocGetRootElement(doc);
    if (xmldoc_is(root, "table")) {
        load_table(&s, root);
    } else if (xmldoc_is(root, "codeset")) {
        limits_load(&s, root);
    } else {
        sheet_error(&s, root, NULL, "the outermost element is '%s', not 'table' or 'codeset'",
                    (const char *)root->name);
    }
    xmlFreeDoc(doc);
    return s.good;
}

static bool load_folder(sqlite3 *db, const char *data_dir, const char *folder, struct diags *d)
{
    struct sbuf path = SBUF_INIT;
    char **names = NULL;
    size_t count = 0;
    bool good = false;

    sbuf_printf(&path, "%s/%s", data_dir, folder);
    good = !path.failed && file_list(path.s, ".xml", &names, &count, d);
    for (size_t i = 0; i < count; i++) {
        sbuf_clear(&path);
        sbuf_printf(&path, "%s/%s/%s", data_dir, folder, names[i]);
        good = !path.failed && load_sheet(db, path.s, d) && good;
        mem_free(names[i]);
    }
    mem_free(names);
    sbuf_free(&path);
    return good;
}

/* Asked for by these columns in many facts. Made once, with the image; without them SQLite makes
 * one of its own for each statement. */
static bool index_sheets(sqlite3 *db)
{
    static const struct {
        const char *table, *columns;
    } wanted[] = {
        {"cat_annotation_form", "annotation, form"},
        {"cat_document_item", "kind"},
        {"cat_form_class", "form, part_class"},
        {"cat_hs_material", "material"},
        {"cat_material_alias", "alias"},
        {"cat_region_member", "region, country"},
        {"cat_taxon_population", "taxon"},
    };
    char sql[160];
    bool ok = true;

    for (size_t i = 0; ok && i < LW_COUNT(wanted); i++) {
        if (sqlite3_table_column_metadata(db, "main", wanted[i].table, NULL, NULL, NULL, NULL, NULL,
                                          NULL) != SQLITE_OK) {
            continue; /* a folder without that sheet */
        }
        (void)snprintf(sql, sizeof sql, "CREATE INDEX %s_by ON %s (%s)", wanted[i].table,
                       wanted[i].table, wanted[i].columns);
        ok = sqlite3_exec(db, sql, NULL, NULL, NULL) == SQLITE_OK;
    }
    return ok;
}

bool catalogue_load(sqlite3 *db, const char *data_dir, struct diags *d)
{
    static const char sql[] = "CREATE TABLE cat_column (sheet TEXT, name TEXT, type TEXT, unit "
                              "TEXT, meaning TEXT) STRICT";
    bool own = sqlite3_get_autocommit(db) != 0;
    bool good = false;

    if (sqlite3_exec(db, sql, NULL, NULL, NULL) != SQLITE_OK || !limits_create(db) ||
        (own && sqlite3_exec(db, "BEGIN", NULL, NULL, NULL) != SQLITE_OK)) {
        diags_add(d, DIAG_FATAL, "store", NULL, 0, 0, NULL, "cannot make the catalogue tables: %s",
                  sqlite3_errmsg(db));
        return false;
    }
    good = load_folder(db, data_dir, "catalogue", d);
    good = load_folder(db, data_dir, "limits", d) && good;
    if (good && !index_sheets(db)) {
        diags_add(d, DIAG_FATAL, "store", NULL, 0, 0, NULL, "cannot index the catalogue: %s",
                  sqlite3_errmsg(db));
        good = false;
    }
    if (own && sqlite3_exec(db, "COMMIT", NULL, NULL, NULL) != SQLITE_OK) {
        diags_add(d, DIAG_FATAL, "store", NULL, 0, 0, NULL, "cannot keep the catalogue: %s",
                  sqlite3_errmsg(db));
        good = false;
    }
    return good;
}
