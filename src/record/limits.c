/* limits.c - code sets: published limits into table lim. */
#include "text/base.h"

#include "record/catalogue_internal.h"
#include "record/dict_near.h"
#include "text/utf8.h"

/* Bind parameters of the insert into lim, in the order of its columns. */
enum {
    P_ID = 1,
    P_CODESET,
    P_NAME,
    P_CLASS,
    P_CONTAINER,
    P_OCCUPANCY,
    P_SITUATION,
    P_STOREY,
    P_SPRINKLERS,
    P_CABINET,
    P_COND,
    P_VALUE,
    P_UNIT,
    P_WORDS,
    P_CITE,
    P_EDITION,
    P_SURE,
    P_NOTE,
    P_FILE,
    P_LINE
};

static const char words_words[] = "not-more-than less-than not-less-than more-than no-limit";
static const char unit_words[] =
    "mL L m3 fl-oz-us pt-us qt-us gal-us gal-imp g kg lb t mm cm m in ft m2 ft2 degC degF K s min "
    "h "
    "day per-hour m3/h cfm ft/min cfm/ft2 ppm mg/m3 percent count gal-us/ft2 mm2/s m/s ohm "
    "ft3/gal-us";

static const struct {
    const char *attr;
    int at;
    enum cell_type type;
    bool required;
    const char *words; /* NULL: any */
} limit_attrs[] = {
    {"name", P_NAME, CELL_TOKEN, true, NULL},
    {"class", P_CLASS, CELL_TEXT, false, NULL},
    {"container", P_CONTAINER, CELL_TOKEN, false, NULL},
    {"occupancy", P_OCCUPANCY, CELL_TEXT, false, NULL},
    {"situation", P_SITUATION, CELL_TOKEN, false, NULL},
    {"storey", P_STOREY, CELL_INTEGER, false, NULL},
    {"sprinklers", P_SPRINKLERS, CELL_FLAG, false, NULL},
    {"cabinet", P_CABINET, CELL_FLAG, false, NULL},
    {"when", P_COND, CELL_TEXT, false, NULL},
    {"value", P_VALUE, CELL_NUMBER, false, NULL},
    {"unit", P_UNIT, CELL_TEXT, true, unit_words},
    {"words", P_WORDS, CELL_TEXT, true, words_words},
    {"cite", P_CITE, CELL_TEXT, true, NULL},
    {"edition", P_EDITION, CELL_TEXT, false, NULL},
    {"sure", P_SURE, CELL_SURE, true, NULL},
};

bool limits_create(sqlite3 *db)
{
    static const char sql[] =
        "CREATE TABLE codeset (id TEXT PRIMARY KEY, title TEXT, edition TEXT, scheme TEXT,"
        " region TEXT, units TEXT, about TEXT, always INTEGER) STRICT;"
        "CREATE TABLE lim (lid INTEGER PRIMARY KEY, codeset TEXT, name TEXT, class TEXT,"
        " container TEXT, occupancy TEXT, situation TEXT, storey INTEGER, sprinklers TEXT,"
        " cabinet TEXT, cond TEXT, value REAL, unit TEXT, words TEXT, cite TEXT, edition TEXT,"
        " sure TEXT, note TEXT, file TEXT, line INTEGER, replaced ANY) STRICT;"
        "CREATE INDEX lim_name ON lim (name, codeset);"
        "CREATE TABLE lim_class (lid INTEGER, class TEXT) STRICT;"
        "CREATE INDEX lim_class_lid ON lim_class (lid);";

    return sqlite3_exec(db, sql, NULL, NULL, NULL) == SQLITE_OK;
}

static bool load_codeset(struct sheet *s, const xmlNode *root)
{
    static const char *const names[] = {"id", "title", "edition", "scheme", "region", "units"};
    static const char sql[] = "INSERT INTO codeset VALUES (?1,?2,?3,?4,?5,?6,?7,?8)";
    const xmlNode *first = xmldoc_first(root, NULL);
    struct sbuf about = SBUF_INIT;
    sqlite3_stmt *q = NULL;
    int rc = sqlite3_prepare_v2(s->db, sql, -1, &q, NULL);

    for (size_t i = 0; rc == SQLITE_OK && i < LW_COUNT(names); i++) {
        rc = sqlite3_bind_text(q, (int)i + 1, sheet_attr(s, root, names[i]), -1, SQLITE_STATIC);
    }
    if (first != NULL && xmldoc_is(first, "about")) {
        xmldoc_put_text(first, &about);
    }
    if (rc == SQLITE_OK && s->good) {
        (void)sqlite3_bind_text(q, (int)LW_COUNT(names) + 1, about.s, -1, SQLITE_STATIC);
        (void)sqlite3_bind_int(q, (int)LW_COUNT(names) + 2,
                               str_eq(xmldoc_attr(root, "always"), "yes"));
        rc = sqlite3_step(q);
        if (rc == SQLITE_CONSTRAINT) {
            sheet_error(s, root, NULL, "code set '%s' stands in two files",
                        xmldoc_attr(root, "id"));
        } else if (rc != SQLITE_DONE) {
            sheet_trouble(s, "cannot keep a code set");
        }
    }
    (void)sqlite3_finalize(q);
    sbuf_free(&about);
    return s->good;
}

/* A class of several joined by + covers each of them. */
static bool keep_classes(struct sheet *s, sqlite3_stmt *q, sqlite3_int64 lid, const char *classes)
{
    bool ok = true;

    while (ok && classes != NULL && *classes != '\0') {
        size_t n = strcspn(classes, "+");

        (void)sqlite3_bind_int64(q, 1, lid);
        (void)sqlite3_bind_text(q, 2, classes, (int)n, SQLITE_STATIC);
        ok = sqlite3_step(q) == SQLITE_DONE;
        (void)sqlite3_reset(q);
        classes += n;
        classes += *classes == '+' ? 1 : 0;
    }
    if (!ok) {
        sheet_trouble(s, "cannot keep the classes of a limit");
    }
    return ok;
}

static void unknown_limit_attrs(struct sheet *s, const xmlNode *node)
{
    for (const xmlAttr *a = node->properties; a != NULL; a = a->next) {
        struct near near;
        char hint[100];
        bool known = false;

        near_start(&near, (const char *)a->name);
        for (size_t i = 0; i < LW_COUNT(limit_attrs); i++) {
            known = known || strcmp((const char *)a->name, limit_attrs[i].attr) == 0;
            near_offer(&near, limit_attrs[i].attr, strlen(limit_attrs[i].attr));
        }
        (void)snprintf(hint, sizeof hint, "did you mean '%s'?", near.best);
        if (!known) {
            sheet_error(s, node, near.best[0] != '\0' ? hint : NULL,
                        "limit: unknown attribute '%s'", (const char *)a->name);
        }
    }
}

static bool bind_limit(struct sheet *s, sqlite3_stmt *q, const xmlNode *node)
{
    bool good = true;

    (void)sqlite3_clear_bindings(q);
    for (size_t i = 0; i < LW_COUNT(limit_attrs); i++) {
        const char *text = xmldoc_attr(node, limit_attrs[i].attr);
        const char *words = limit_attrs[i].words;
        const char *why = "";

        if (text == NULL) {
            good = (!limit_attrs[i].required || sheet_attr(s, node, limit_attrs[i].attr) != NULL) &&
                   good;
        } else if (words != NULL && !dict_word(words, text, strlen(text))) {
            sheet_error(s, node, NULL, "limit: '%s' is '%.60s': it must be one of: %s",
                        limit_attrs[i].attr, text, words);
            good = false;
        } else if (!cell_bind(q, limit_attrs[i].at, limit_attrs[i].type, text, &why)) {
            sheet_error(s, node, NULL, "limit: '%s' is '%.60s': it must be %s", limit_attrs[i].attr,
                        text, why);
            good = false;
        }
    }
    return good;
}

static void load_limit(struct sheet *s, const xmlNode *root, const xmlNode *node, sqlite3_stmt *q,
                       sqlite3_stmt *classes)
{
    struct sbuf note = SBUF_INIT;
    const char *words = xmldoc_attr(node, "words");
    bool open = words != NULL && strcmp(words, "no-limit") == 0;

    unknown_limit_attrs(s, node);
    if (!bind_limit(s, q, node)) {
        return;
    }
    if (open != (xmldoc_attr(node, "value") == NULL)) {
        sheet_error(s, node, NULL, "limit '%s': %s", xmldoc_attr(node, "name"),
                    open ? "no-limit has no value" : "a value is missing");
        return;
    }
    xmldoc_put_text(node, &note);
    (void)sqlite3_bind_text(q, P_CODESET, xmldoc_attr(root, "id"), -1, SQLITE_STATIC);
    if (xmldoc_attr(node, "edition") == NULL) {
        (void)sqlite3_bind_text(q, P_EDITION, xmldoc_attr(root, "edition"), -1, SQLITE_STATIC);
    }
    (void)sqlite3_bind_text(q, P_NOTE, note.len > 0 ? note.s : NULL, -1, SQLITE_STATIC);
    (void)sqlite3_bind_text(q, P_FILE, s->path, -1, SQLITE_STATIC);
    (void)sqlite3_bind_int64(q, P_LINE, xmldoc_line(node));
    if (sqlite3_step(q) != SQLITE_DONE || note.failed) {
        sheet_trouble(s, "cannot keep a limit");
    }
    (void)sqlite3_reset(q);
    (void)keep_classes(s, classes, sqlite3_last_insert_rowid(s->db), xmldoc_attr(node, "class"));
    sbuf_free(&note);
}

void limits_load(struct sheet *s, const xmlNode *root)
{
    static const char sql[] =
        "INSERT INTO lim VALUES (?1,?2,?3,?4,?5,?6,?7,?8,?9,?10,?11,?12,?13,?14,"
        "?15,?16,?17,?18,?19,?20,NULL)";
    sqlite3_stmt *q = NULL;
    sqlite3_stmt *classes = NULL;

    if (!load_codeset(s, root)) {
        return;
    }
    if (sqlite3_prepare_v2(s->db, sql, -1, &q, NULL) != SQLITE_OK ||
        sqlite3_prepare_v2(s->db, "INSERT INTO lim_class VALUES (?1,?2)", -1, &classes, NULL) !=
            SQLITE_OK) {
        sheet_trouble(s, "cannot prepare the limits");
    }
    for (const xmlNode *n = xmldoc_first(root, NULL);
         s->db != NULL && q != NULL && classes != NULL && n != NULL; n = xmldoc_next(n, NULL)) {
        if (xmldoc_is(n, "limit")) {
            load_limit(s, root, n, q, classes);
        } else if (!xmldoc_is(n, "about")) {
            sheet_error(s, n, NULL, "unexpected element '%s'", (const char *)n->name);
        }
    }
    (void)sqlite3_finalize(q);
    (void)sqlite3_finalize(classes);
}
