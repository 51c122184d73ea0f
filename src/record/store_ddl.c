/* store_ddl.c - the memory tables, from the dictionary. */
#include "text/base.h"

#include "record/dict_near.h"
#include "record/store_internal.h"
#include "text/mem.h"

size_t store_attr_columns(const struct dict_attr *a, struct attr_column out[STORE_ATTR_COLUMNS])
{
    size_t n = 0;

    out[n++] = (struct attr_column){"", "TEXT"};
    switch (a->type) {
    case ATTR_DATE:
        out[n++] = (struct attr_column){"_minute", "INTEGER"};
        break;
    case ATTR_QTY:
    case ATTR_PERCENT:
    case ATTR_RATIO:
        out[n++] = (struct attr_column){dict_suffix(a), "REAL"};
        if (a->type == ATTR_QTY && a->dim == DIM_AMOUNT) {
            out[n++] = (struct attr_column){"_l", "REAL"};
        }
        out[n++] = (struct attr_column){"_res", "REAL"};
        if (a->type == ATTR_QTY && a->dim == DIM_MONEY) {
            out[n++] = (struct attr_column){"_currency", "TEXT"};
        }
        break;
    default:
        break;
    }
    return n;
}

static void put_name(struct sbuf *b, const char *name, const char *suffix)
{
    char column[80];

    dict_column(name, column, sizeof column);
    sbuf_printf(b, "\"%s%s\"", column, suffix);
}

static void put_table(struct sbuf *sql, const struct dict_element *e, bool child)
{
    char table[80];

    dict_column(e->name, table, sizeof table);
    sbuf_printf(sql, "CREATE TABLE rec_%s (rid INTEGER PRIMARY KEY", table);
    if (child) {
        sbuf_puts(sql, ", parent INTEGER NOT NULL, ");
        put_name(sql, e->parent, "");
        sbuf_puts(sql, " TEXT");
    }
    sbuf_puts(sql, ", file TEXT, line INTEGER, origin TEXT, seq INTEGER");
    if (child) {
        sbuf_puts(sql, ", n INTEGER");
    }
    for (size_t i = 0; i < e->attr_count; i++) {
        struct attr_column columns[STORE_ATTR_COLUMNS];
        size_t n = store_attr_columns(&e->attrs[i], columns);

        for (size_t k = 0; k < n; k++) {
            sbuf_puts(sql, ", ");
            put_name(sql, e->attrs[i].name, columns[k].suffix);
            sbuf_printf(sql, " %s", columns[k].type);
            if (i == 0 && !child) {
                sbuf_puts(sql, " NOT NULL UNIQUE");
            }
        }
    }
    sbuf_puts(sql, ") STRICT;\n");
    if (child) {
        sbuf_printf(sql, "CREATE INDEX rec_%s_parent ON rec_%s (parent);\n", table, table);
    }
}

/* Fills k->first; the fixed columns come before the attributes. */
static bool number_columns(struct store_kind *k)
{
    int next = k->parent >= 0 ? 9 : 6; /* rid [parent KIND] file line origin seq [n], from 1 */

    k->first = mem_calloc(k->e->attr_count + 1, sizeof *k->first);
    if (k->first == NULL) {
        return false;
    }
    for (size_t i = 0; i < k->e->attr_count; i++) {
        struct attr_column columns[STORE_ATTR_COLUMNS];

        k->first[i] = next;
        next += (int)store_attr_columns(&k->e->attrs[i], columns);
    }
    k->first[k->e->attr_count] = next;
    return true;
}

bool store_create_tables(struct store *s, bool create)
{
    const struct dict_element *all = dict_elements(&s->kind_count);
    struct sbuf sql = SBUF_INIT;
    bool ok = true;

    s->kinds = mem_calloc(s->kind_count, sizeof *s->kinds);
    if (s->kinds == NULL) {
        return false;
    }
    sbuf_puts(
        &sql,
        "CREATE TABLE rec_link (kind TEXT, rid INTEGER, id TEXT, attr TEXT, target TEXT) STRICT;\n"
        "CREATE TABLE rec_conflict (kind TEXT, id TEXT, file TEXT, line INTEGER,"
        " first_file TEXT, first_line INTEGER) STRICT;\n"
        "CREATE TABLE rec_entry (seq INTEGER PRIMARY KEY, kind TEXT, id TEXT, filed TEXT,"
        " action TEXT, amends INTEGER, amended_by INTEGER, who TEXT, why TEXT,"
        " change TEXT) STRICT;\n");
    for (size_t i = 0; ok && i < s->kind_count; i++) {
        struct store_kind *k = &s->kinds[i];

        k->e = &all[i];
        k->parent = -1;
        if (all[i].parent == NULL) {
            continue;
        }
        if (!dict_top_level(&all[i])) {
            k->parent = (int)(dict_find(all[i].parent) - all);
        }
        if (create) {
            put_table(&sql, &all[i], k->parent >= 0);
        }
        ok = number_columns(k);
    }
    ok =
        ok && !sql.failed && (!create || sqlite3_exec(s->db, sql.s, NULL, NULL, NULL) == SQLITE_OK);
    sbuf_free(&sql);
    return ok;
}
