/* local_code.c - local-code records in place of the limits they name.
 *
 * A tighter value stands as soon as it is written down. A looser one needs who set it, when, and
 * where it is written; without all three it is refused with a warning and the shipped value stays.
 */
#include "text/base.h"

#include "fact/run.h"
#include "fact/sqlfunc.h"
#include "text/mem.h"
#include "text/number.h"
#include "text/quantity.h"
#include "text/utf8.h"

struct local_value {
    double value;
    const char *unit; /* inside the record's own text */
};

/* "10 gal-us" -> 10 and "gal-us". Limits are plain decimals with a unit of text/quantity.h. */
static bool parse_value(const char *text, struct local_value *out)
{
    struct number n = number_parse(text, NUMBER_POINT);
    if (n.status != NUMBER_OK)
        return false;
    const char *unit = text + n.len;
    while (ascii_space(*unit))
        unit++;
    out->value = n.value;
    out->unit = unit;
    return true;
}

static const char *col(sqlite3_stmt *st, int i)
{
    return (const char *)sqlite3_column_text(st, i);
}

/* Words that mark a limit as a floor: there, a smaller value is the looser one. */
static bool is_floor(const char *words)
{
    return words && (str_eq(words, "not-less-than") || str_eq(words, "more-than"));
}

enum {
    C_ID,
    C_VALUE,
    C_AUTHORITY,
    C_DATE,
    C_CITATION,
    C_FILE,
    C_LINE,
    L_ROWID,
    L_VALUE,
    L_UNIT,
    L_WORDS
};

static const char matching[] =
    "select c.id, c.value, c.authority, c.date, c.citation, c.file, c.line,"
    " l.rowid, l.value, l.unit, l.words"
    " from rec_local_code c left join lim_in_force l on l.name = c.\"limit\""
    " and (c.code_set is null or c.code_set = l.codeset)"
    " and (c.class is null or c.class is l.class)"
    " and (c.container is null or c.container is l.container)"
    " and (c.occupancy is null or c.occupancy is l.occupancy)"
    " and (c.situation is null or c.situation is l.situation)"
    " and (c.storey is null or c.storey is l.storey)"
    " and (c.sprinklers is null or c.sprinklers is l.sprinklers)"
    " and (c.cabinet is null or c.cabinet is l.cabinet)"
    " where c.until is null or c.until >= (select as_of from run)"
    " order by c.rid, l.rowid";

static void warn(sqlite3_stmt *st, struct diags *d, const char *hint, const char *what)
{
    diags_add(d, DIAG_WARNING, "local-code", col(st, C_FILE), sqlite3_column_int(st, C_LINE), 0,
              hint, "local-code '%s': %s", col(st, C_ID), what);
}

static bool replace(sqlite3 *db, sqlite3_stmt *st, double value, struct diags *d)
{
    sqlite3_stmt *up = NULL;
    int rc = sqlite3_prepare_v2(db,
                                "update lim_in_force set value = ?1, replaced = ?2,"
                                " cite = coalesce(?3, 'local-code ' || ?2), sure = 'verified',"
                                " edition = coalesce(?4, edition) where rowid = ?5",
                                -1, &up, NULL);
    if (rc == SQLITE_OK) {
        sqlite3_bind_double(up, 1, value);
        sqlite3_bind_text(up, 2, col(st, C_ID), -1, SQLITE_TRANSIENT);
        sqlite3_bind_text(up, 3, col(st, C_CITATION), -1, SQLITE_TRANSIENT);
        sqlite3_bind_text(up, 4, col(st, C_DATE), -1, SQLITE_TRANSIENT);
        sqlite3_bind_int64(up, 5, sqlite3_column_int64(st, L_ROWID));
        rc = sqlite3_step(up);
    }
    sqlite3_finalize(up);
    if (rc == SQLITE_DONE)
        return true;
    diags_add(d, DIAG_FATAL, "database", NULL, 0, 0, NULL, "memory database: %s",
              sqlite3_errmsg(db));
    return false;
}

static bool apply(sqlite3 *db, sqlite3_stmt *st, struct diags *d)
{
    struct local_value local;
    double value = 0;
    if (!col(st, C_VALUE) || !parse_value(col(st, C_VALUE), &local)) {
        warn(st, d, "write the value with its unit, e.g. 10 gal-us", "no value could be read");
        return true;
    }
    if (sqlite3_column_type(st, L_ROWID) == SQLITE_NULL) {
        warn(st, d, "'lotward card LIMIT' shows a limit's conditions",
             "it matches no limit in force");
        return true;
    }
    if (!unit_convert(local.value, local.unit, col(st, L_UNIT), &value) &&
        !str_eq(local.unit, col(st, L_UNIT))) {
        warn(st, d, "use a unit of the same kind as the limit's", "its unit does not fit");
        return true;
    }
    if (str_eq(local.unit, col(st, L_UNIT)))
        value = local.value;
    int order = compare_tolerant(value, sqlite3_column_double(st, L_VALUE));
    bool looser = is_floor(col(st, L_WORDS)) ? order < 0 : order > 0;
    if (looser && (!col(st, C_AUTHORITY) || !col(st, C_DATE) || !col(st, C_CITATION))) {
        warn(st, d, "add authority, date and citation",
             "it loosens a limit and does not say who set it, when and where it is written; "
             "the shipped value stays");
        return true;
    }
    return replace(db, st, value, d);
}

bool local_codes_apply(sqlite3 *db, const struct fact_options *o, struct diags *d)
{
    sqlite3_stmt *st = NULL;
    (void)o;
    bool ok = true;
    int rc = sqlite3_prepare_v2(db, matching, -1, &st, NULL);
    while (rc == SQLITE_OK && ok && (rc = sqlite3_step(st)) == SQLITE_ROW) {
        ok = apply(db, st, d);
        rc = SQLITE_OK;
    }
    if (ok && rc != SQLITE_DONE) {
        diags_add(d, DIAG_FATAL, "database", NULL, 0, 0, NULL, "memory database: %s",
                  sqlite3_errmsg(db));
        ok = false;
    }
    sqlite3_finalize(st);
    return ok;
}
