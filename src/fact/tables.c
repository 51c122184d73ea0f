#include "text/base.h"

#include "fact/guard.h"
#include "fact/run.h"
#include "fact/sqlfunc.h"
#include "fact/tables.h"
#include "text/mem.h"
#include "text/utf8.h"

enum { NAME_BYTES = 96 };

struct table {
    sqlite3_stmt *fill;  /* NULL: not compiled yet */
    sqlite3_stmt *empty; /* the same */
    bool there;          /* made by us, or found and known to fit */
    bool filled;         /* was filled once: a rollback can bring back what was deleted since */
    bool followed;       /* reads is known */
    uint64_t *reads;     /* hashes of the tables and columns its statement reads, each once */
    size_t read_count, read_cap;
};

struct fact_tables {
    sqlite3 *db;
    const struct fact_set *set;
    unsigned long serial;
    struct table *items; /* one a sheet of set */
    size_t count;
    sqlite3_stmt *fits; /* is the table made from this very sheet? */
    bool follow;
};

/* Which sheet each table was made from: its columns and its SQL, word for word. */
static const char make_list[] =
    "create table if not exists lw_fact(name text primary key, sheet text)";

static bool trouble(struct fact_tables *t, struct diags *d)
{
    if (sqlite3_errcode(t->db) == SQLITE_NOMEM)
        diags_out_of_memory(d);
    else
        diags_add(d, DIAG_FATAL, "database", NULL, 0, 0, NULL, "memory database: %s",
                  sqlite3_errmsg(t->db));
    return false;
}

static void forget_sheets(struct fact_tables *t)
{
    for (size_t i = 0; i < t->count; i++) {
        sqlite3_finalize(t->items[i].fill);
        sqlite3_finalize(t->items[i].empty);
        mem_free(t->items[i].reads);
    }
    mem_free(t->items);
    t->items = NULL;
    t->count = 0;
}

static void tables_free(void *companion)
{
    struct fact_tables *t = companion;
    forget_sheets(t);
    sqlite3_finalize(t->fits);
    mem_free(t);
}

/* Other sheets than before: nothing is known of their tables, which may hold rows of the last. */
static bool take_sheets(struct fact_tables *t, const struct fact_set *set, struct diags *d)
{
    size_t n = fact_set_count(set);
    bool first = t->serial == 0;
    forget_sheets(t);
    t->items = mem_calloc(n ? n : 1, sizeof *t->items);
    if (!t->items || sqlfunc_register(t->db, fact_set_patterns(set)) != SQLITE_OK) {
        diags_out_of_memory(d);
        return false;
    }
    for (size_t i = 0; i < n; i++)
        t->items[i].filled = !first;
    t->count = n;
    t->set = set;
    t->serial = fact_set_serial(set);
    return true;
}

struct fact_tables *fact_tables_of(struct store *s, const struct fact_set *set, struct diags *d)
{
    struct fact_tables *t = store_companion(s);
    if (!t) {
        t = mem_calloc(1, sizeof *t);
        if (!t) {
            diags_out_of_memory(d);
            return NULL;
        }
        t->db = store_db(s);
        store_keep(s, t, tables_free);
    }
    if (!t->fits && (sqlite3_exec(t->db, make_list, NULL, NULL, NULL) != SQLITE_OK ||
                     sqlite3_prepare_v2(t->db, "select sheet from lw_fact where name = ?1", -1,
                                        &t->fits, NULL) != SQLITE_OK)) {
        trouble(t, d);
        return NULL;
    }
    return t->serial == fact_set_serial(set) || take_sheets(t, set, d) ? t : NULL;
}

static void put_sheet(const struct fact_sheet *s, struct sbuf *out)
{
    for (size_t i = 0; i < s->column_count; i++)
        sbuf_printf(out, "%s ", s->columns[i].name);
    sbuf_puts(out, s->sql);
}

static bool fits(struct fact_tables *t, const struct fact_sheet *s, const char *sheet)
{
    bool same = sqlite3_bind_text(t->fits, 1, s->name, -1, SQLITE_STATIC) == SQLITE_OK &&
                sqlite3_step(t->fits) == SQLITE_ROW &&
                str_eq((const char *)sqlite3_column_text(t->fits, 0), sheet);
    sqlite3_reset(t->fits);
    return same;
}

static bool columns_agree(sqlite3 *db, const struct fact_sheet *s, struct diags *d)
{
    char sql[NAME_BYTES + 32];
    sqlite3_stmt *st = NULL;
    snprintf(sql, sizeof sql, "select * from fact_%.80s", s->name);
    bool ok = sqlite3_prepare_v2(db, sql, -1, &st, NULL) == SQLITE_OK;
    int n = ok ? sqlite3_column_count(st) : 0;
    ok = ok && (size_t)n == s->column_count;
    for (int i = 0; ok && i < n; i++)
        ok = str_eq(sqlite3_column_name(st, i), s->columns[i].name);
    sqlite3_finalize(st);
    if (!ok)
        diags_add(d, DIAG_ERROR, "bad-fact", s->file, s->sql_line, 0,
                  "declare the columns in the order the SELECT gives them",
                  "fact '%s': the SELECT gives %d columns, %zu are declared, or their names differ",
                  s->name, n, s->column_count);
    return ok;
}

/* SQLite works out the columns and their affinities from the SELECT itself; the rows it finds on
 * the way are thrown away. */
static bool make_table(struct fact_tables *t, const struct fact_sheet *s, struct diags *d)
{
    char table[NAME_BYTES], drop[NAME_BYTES + 32];
    struct sbuf sql = SBUF_INIT;
    snprintf(table, sizeof table, "fact_%.80s", s->name);
    snprintf(drop, sizeof drop, "drop table if exists %s", table);
    if (sqlite3_exec(t->db, drop, NULL, NULL, NULL) != SQLITE_OK)
        return trouble(t, d);
    struct guard g = {.scope = GUARD_FACT, .creates = table};
    sbuf_printf(&sql, "create table %s as select * from (%s\n) limit 0", table, s->sql);
    sqlite3_stmt *st = NULL;
    if (sql.failed)
        diags_out_of_memory(d);
    else
        st = guard_prepare(t->db, sql.s, &g, s->file, s->sql_line, d);
    bool ok = st && (sqlite3_step(st) == SQLITE_DONE || trouble(t, d));
    sqlite3_finalize(st);
    sbuf_free(&sql);
    return ok && columns_agree(t->db, s, d);
}

static bool read_later(const struct fact_set *set, size_t i)
{
    for (size_t j = i + 1; j < fact_set_count(set); j++)
        if (fact_mentions(fact_set_at(set, j)->sql, fact_set_at(set, i)->name))
            return true;
    return false;
}

/* Sheets further on look facts up by subject and lot; without an index SQLite scans, or builds one
 * for each statement. */
static bool make_indexes(struct fact_tables *t, const struct fact_sheet *s, struct diags *d)
{
    char sql[400];
    const char *const columns[] = {s->subject,
                                   s->lot && !str_eq(s->lot, s->subject) ? s->lot : NULL};
    for (size_t i = 0; i < LW_COUNT(columns); i++) {
        if (!columns[i])
            continue;
        snprintf(sql, sizeof sql, "create index fact_%.80s_%zu on fact_%.80s(\"%.64s\")", s->name,
                 i, s->name, columns[i]);
        if (sqlite3_exec(t->db, sql, NULL, NULL, NULL) != SQLITE_OK)
            return trouble(t, d);
    }
    return true;
}

static bool list(struct fact_tables *t, const char *name, const char *sheet, struct diags *d)
{
    sqlite3_stmt *st = NULL;
    bool ok = sqlite3_prepare_v2(t->db, "insert or replace into lw_fact values(?1, ?2)", -1, &st,
                                 NULL) == SQLITE_OK &&
              sqlite3_bind_text(st, 1, name, -1, SQLITE_STATIC) == SQLITE_OK &&
              sqlite3_bind_text(st, 2, sheet, -1, SQLITE_STATIC) == SQLITE_OK &&
              sqlite3_step(st) == SQLITE_DONE;
    sqlite3_finalize(st);
    return ok || trouble(t, d);
}

bool fact_table_declare(struct fact_tables *t, size_t i, struct diags *d)
{
    const struct fact_sheet *s = fact_set_at(t->set, i);
    struct sbuf sheet = SBUF_INIT;
    bool ok = t->items[i].there;
    if (ok)
        return true;
    put_sheet(s, &sheet);
    if (sheet.failed)
        diags_out_of_memory(d);
    else
        ok = fits(t, s, sheet.s) ||
             (make_table(t, s, d) && (!read_later(t->set, i) || make_indexes(t, s, d)) &&
              list(t, s->name, sheet.s, d));
    sbuf_free(&sheet);
    t->items[i].there = ok;
    return ok;
}

bool fact_table_empty(struct fact_tables *t, size_t i, struct diags *d)
{
    char sql[NAME_BYTES + 32];
    sqlite3_stmt **empty = &t->items[i].empty;
    if (!t->items[i].there || !t->items[i].filled)
        return true;
    snprintf(sql, sizeof sql, "delete from fact_%.80s", fact_set_at(t->set, i)->name);
    bool ok = (*empty || sqlite3_prepare_v2(t->db, sql, -1, empty, NULL) == SQLITE_OK) &&
              sqlite3_step(*empty) == SQLITE_DONE;
    sqlite3_reset(*empty);
    return ok || trouble(t, d);
}

bool fact_tables_clear(struct fact_tables *t, struct diags *d)
{
    for (size_t i = 0; i < t->count; i++)
        if (!fact_table_empty(t, i, d))
            return false;
    return true;
}

void fact_tables_follow(struct fact_tables *t)
{
    t->follow = true;
}

/* FNV-1a, 64 bits (Fowler, Noll, Vo). */
#define FNV_OFFSET 14695981039346656037u
#define FNV_PRIME  1099511628211u

static uint64_t mix(uint64_t h, const void *bytes, size_t n)
{
    const unsigned char *p = bytes;
    for (size_t i = 0; i < n; i++)
        h = (h ^ p[i]) * FNV_PRIME;
    return h;
}

/* Of the words put together. Two names with one hash would only
 * have a fact filled once too often. */
static uint64_t hash_of(const char *a, const char *dot, const char *b)
{
    const char *const parts[] = {a, dot, b};
    uint64_t h = FNV_OFFSET;
    for (size_t i = 0; i < LW_COUNT(parts); i++)
        h = mix(h, parts[i], strlen(parts[i]));
    return h;
}

static bool has_read(const struct table *t, uint64_t hash)
{
    for (size_t i = 0; i < t->read_count; i++)
        if (t->reads[i] == hash)
            return true;
    return false;
}

/* Without memory for the note nothing is known of the statement. */
static void note_read(struct table *t, uint64_t hash)
{
    if (!t->followed || has_read(t, hash))
        return;
    uint64_t *grown = mem_grow(t->reads, &t->read_cap, t->read_count + 1, sizeof *grown);
    t->followed = grown != NULL;
    if (grown) {
        t->reads = grown;
        t->reads[t->read_count++] = hash;
    }
}

static void on_read(const char *table, const char *column, void *user)
{
    note_read(user, hash_of(table, "", ""));
    note_read(user, hash_of(table, ".", column));
}

static bool reads(const struct fact_tables *t, size_t i, uint64_t hash)
{
    return !t->items[i].followed || has_read(&t->items[i], hash);
}

bool fact_table_reads(const struct fact_tables *t, size_t i, const char *what)
{
    return reads(t, i, hash_of(what, "", ""));
}

bool fact_table_reads_fact(const struct fact_tables *t, size_t i, size_t j)
{
    return reads(t, i, hash_of("fact", "_", fact_set_at(t->set, j)->name));
}

static uint64_t mix_value(uint64_t h, sqlite3_stmt *st, int i)
{
    int type = sqlite3_column_type(st, i);
    h = mix(h, &type, sizeof type);
    if (type == SQLITE_INTEGER || type == SQLITE_FLOAT) {
        double number = sqlite3_column_double(st, i);
        return mix(h, &number, sizeof number);
    }
    const unsigned char *text = sqlite3_column_text(st, i);
    return text ? mix(h, text, (size_t)sqlite3_column_bytes(st, i) + 1) : h;
}

bool fact_table_hash(struct fact_tables *t, size_t i, uint64_t *out)
{
    char sql[NAME_BYTES + 32];
    sqlite3_stmt *st = NULL;
    int rc = SQLITE_ROW;
    *out = FNV_OFFSET;
    snprintf(sql, sizeof sql, "select * from fact_%.80s", fact_set_at(t->set, i)->name);
    if (sqlite3_prepare_v2(t->db, sql, -1, &st, NULL) != SQLITE_OK)
        return false;
    while ((rc = sqlite3_step(st)) == SQLITE_ROW)
        for (int c = 0; c < sqlite3_column_count(st); c++)
            *out = mix_value(*out, st, c);
    sqlite3_finalize(st);
    return rc == SQLITE_DONE;
}

sqlite3_stmt *fact_table_filler(struct fact_tables *t, size_t i, struct diags *d)
{
    const struct fact_sheet *s = fact_set_at(t->set, i);
    char table[NAME_BYTES];
    struct sbuf sql = SBUF_INIT;
    if (!t->items[i].fill) {
        snprintf(table, sizeof table, "fact_%.80s", s->name);
        struct guard g = {.scope = GUARD_FACT, .fills = table};
        if (t->follow) {
            t->items[i].followed = true;
            g.on_read = on_read;
            g.user = &t->items[i];
        }
        sbuf_printf(&sql, "insert into %s ", table);
        sbuf_puts(&sql, s->sql);
        if (sql.failed)
            diags_out_of_memory(d);
        else
            t->items[i].fill = guard_prepare(t->db, sql.s, &g, s->file, s->sql_line, d);
        sbuf_free(&sql);
    }
    t->items[i].filled = true;
    return t->items[i].fill;
}

void fact_table_filled(struct fact_tables *t, size_t i, bool once)
{
    struct table *table = &t->items[i];
    sqlite3_reset(table->fill);
    if (!once)
        return;
    sqlite3_finalize(table->fill);
    table->fill = NULL;
}
