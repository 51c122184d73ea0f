#include "text/base.h"

#include "rule/detail.h"
#include "record/dictionary.h"
#include "text/mem.h"
#include "text/show.h"
#include "text/utf8.h"

static const char *text_of(sqlite3_stmt *row, int i)
{
    return i < 0 ? NULL : (const char *)sqlite3_column_text(row, i);
}

static bool copy_text(char **out, const char *s)
{
    *out = s ? mem_strdup(s) : NULL;
    return !s || *out;
}

/* A column's value for people: number with its unit, text as it is. */
static void put_value(struct sbuf *b, const struct fact_column *c, sqlite3_stmt *row, int i,
                      enum show_units units)
{
    switch (sqlite3_column_type(row, i)) {
    case SQLITE_NULL:
        sbuf_puts(b, "(not recorded)");
        break;
    case SQLITE_INTEGER:
    case SQLITE_FLOAT:
        show_quantity(b, sqlite3_column_double(row, i), c->unit, units);
        break;
    default:
        sbuf_puts(b, (const char *)sqlite3_column_text(row, i));
    }
}

static void put_named(struct sbuf *b, const struct fact_sheet *sheet, sqlite3_stmt *row,
                      const struct finding *f, const char *name, enum show_units units)
{
    int i = fact_column_index(sheet, name);
    if (i >= 0)
        put_value(b, &sheet->columns[i], row, i, units);
    else if (str_eq(name, "limit"))
        sbuf_puts(b, f->limit ? f->limit : "(no limit)");
    else if (str_eq(name, "value"))
        sbuf_puts(b, f->value ? f->value : "(not known)");
    else
        sbuf_printf(b, "{%s}", name);
}

/* "{size_l} of {fire_class}" with the row's values filled in. */
static char *say(const struct fact_sheet *sheet, sqlite3_stmt *row, const struct finding *f,
                 enum show_units units)
{
    struct sbuf b = SBUF_INIT;
    char name[64];
    for (const char *p = f->rule->say; *p;) {
        const char *end = *p == '{' ? strchr(p, '}') : NULL;
        if (!end || (size_t)(end - p) > sizeof name) {
            size_t plain = 1 + strcspn(p + 1, "{");
            sbuf_putn(&b, p, plain);
            p += plain;
            continue;
        }
        memcpy(name, p + 1, (size_t)(end - p - 1));
        name[end - p - 1] = '\0';
        put_named(&b, sheet, row, f, name, units);
        p = end + 1;
    }
    return sbuf_take(&b);
}

/* Adds each "kind@attribute" of `from` as "kind attribute"; with `only`, those of that kind alone.
 * Returns how many. */
static int put_attributes(struct sbuf *b, const char *from, const char *only)
{
    int n = 0;
    for (const char *p = from; *p;) {
        size_t len = strcspn(p, " ");
        const char *at = memchr(p, '@', len);
        size_t kind = at ? (size_t)(at - p) : 0;
        if (at && (!only || (strlen(only) == kind && strncmp(only, p, kind) == 0))) {
            sbuf_puts(b, n++ ? ", " : "");
            sbuf_putn(b, p, kind);
            sbuf_putc(b, ' ');
            sbuf_putn(b, at + 1, len - kind - 1);
        }
        p += len + strspn(p + len, " ");
    }
    return n;
}

/* Where to write it: on the subject's own record when it can stand there. */
static void put_sources(struct sbuf *b, const char *from, const char *kind)
{
    struct sbuf list = SBUF_INIT;
    if (from && put_attributes(&list, from, kind) == 0)
        put_attributes(&list, from, NULL);
    if (list.len > 0)
        sbuf_printf(b, " (%s)", list.s);
    b->failed = b->failed || list.failed;
    sbuf_free(&list);
}

/* The empty inputs in words: "air changes of place 'bench' (place air-changes)". */
static char *needs(const struct fact_sheet *sheet, struct rule_program *rp, sqlite3_stmt *row,
                   const struct finding *f, const bool *unknown, bool where_untold)
{
    struct sbuf b = SBUF_INIT;
    const char *gap = "";
    for (size_t i = 0; i < sheet->column_count; i++) {
        bool read = where_untold ? rp->where_reads[i] : rp->must_reads[i];
        for (int c = 0; unknown && c < LIMIT_CONDITIONS; c++)
            read = read || (unknown[c] && str_eq(sheet->columns[i].name, limit_condition_names[c]));
        bool empty = sqlite3_column_type(row, (int)i) == SQLITE_NULL;
        if (!read || (!empty && (int)i != rp->partial_column))
            continue;
        if (!empty && sqlite3_column_double(row, (int)i) <= 0)
            continue;
        sbuf_puts(&b, gap);
        gap = "; ";
        if (empty)
            sbuf_printf(&b, "%s of %s '%s'", sheet->columns[i].label, f->subject_kind, f->subject);
        else
            sbuf_printf(&b, "%s (%d not known)", sheet->columns[i].label,
                        sqlite3_column_int(row, (int)i));
        put_sources(&b, sheet->columns[i].from, f->subject_kind);
    }
    if (b.len == 0 && !b.failed)
        sbuf_puts(&b, "the question could not be decided within its limits of time");
    return sbuf_take(&b);
}

static char *key_of(const struct fact_sheet *sheet, sqlite3_stmt *row, const struct finding *f,
                    const char *codeset)
{
    struct sbuf b = SBUF_INIT;
    char name[64];
    const char *const who[] = {f->rule->id, f->subject_kind, f->subject};
    for (size_t i = 0; i < LW_COUNT(who); i++) {
        sbuf_puts(&b, i > 0 ? "|" : "");
        sbuf_puts(&b, who[i]);
    }
    for (const char *p = sheet->key; p && *p;) {
        size_t n = strcspn(p, " ");
        if (n > 0 && n < sizeof name) {
            memcpy(name, p, n);
            name[n] = '\0';
            int i = fact_column_index(sheet, name);
            const char *v = text_of(row, i);
            sbuf_puts(&b, "|");
            sbuf_puts(&b, v ? v : "");
        }
        p += n;
        while (*p == ' ')
            p++;
    }
    if (codeset)
        sbuf_printf(&b, "|%s", codeset);
    return sbuf_take(&b);
}

static bool place_of(sqlite3_stmt *place, struct finding *f)
{
    f->line = sqlite3_column_int(place, 1);
    return copy_text(&f->file, (const char *)sqlite3_column_text(place, 0));
}

/* Where the record stands: the fact's own file and line columns, or the record table's. */
static bool locate(sqlite3 *db, struct fact_program *p, sqlite3_stmt *row, struct finding *f)
{
    if (p->file >= 0 && p->line >= 0) {
        f->line = sqlite3_column_int(row, p->line);
        return copy_text(&f->file, text_of(row, p->file));
    }
    if (p->placed_row == p->at_row) /* another rule said something of this very row */
        return !p->placed || place_of(p->place, f);
    const struct dict_element *e = dict_find(f->subject_kind);
    char table[64], sql[160];
    p->placed = false;
    p->placed_row = p->at_row;
    if (!e || !str_eq(e->parent, "records"))
        return true;
    if (p->placed_kind != e) {
        sqlite3_finalize(p->place);
        p->place = NULL;
        p->placed_kind = e;
    }
    if (!p->place) {
        dict_column(e->name, table, sizeof table);
        snprintf(sql, sizeof sql, "select file, line from rec_%s where id = ?1", table);
        (void)sqlite3_prepare_v2(db, sql, -1, &p->place, NULL);
    }
    sqlite3_reset(p->place);
    bool ok =
        p->place && sqlite3_bind_text(p->place, 1, f->subject, -1, SQLITE_TRANSIENT) == SQLITE_OK;
    p->placed = ok && sqlite3_step(p->place) == SQLITE_ROW;
    return ok && (!p->placed || place_of(p->place, f));
}

static bool compared(const struct fact_sheet *sheet, struct rule_program *rp, sqlite3_stmt *row,
                     const struct limit_row *limit, enum show_units units, struct finding *f)
{
    const struct rule *r = rp->rule;
    struct sbuf b = SBUF_INIT;
    int v = fact_column_index(sheet, r->value), a = fact_column_index(sheet, r->against);
    bool ok = true;
    if (v >= 0 && r->form != MUST_TRUE && r->form != MUST_PRESENT) {
        if (limit && sqlite3_column_type(row, v) != SQLITE_NULL && limit->scale != 0.0)
            show_apart(&b, sqlite3_column_double(row, v),
                       (limit->value - limit->offset) / limit->scale, sheet->columns[v].unit,
                       units);
        else
            put_value(&b, &sheet->columns[v], row, v, units);
        f->value = sbuf_take(&b);
        ok = f->value != NULL;
    }
    if (limit) {
        f->limit = limit_words(limit, units);
        f->limit_source = limit_cite(limit);
        ok = ok && f->limit && f->limit_source;
    } else if (a >= 0 && r->form != MUST_MATCHES) {
        sbuf_printf(&b, "%s ",
                    r->form == MUST_AT_MOST    ? "not more than"
                    : r->form == MUST_AT_LEAST ? "not less than"
                    : r->form == MUST_BEFORE   ? "before"
                                               : "not before");
        put_value(&b, &sheet->columns[a], row, a, units);
        f->limit = sbuf_take(&b);
        ok = ok && f->limit;
    }
    return ok;
}

bool detail_fill(sqlite3 *db, struct fact_program *p, struct rule_program *rp, sqlite3_int64 rowid,
                 const struct limit_row *limit, const bool *unknown, bool where_untold,
                 enum show_units units, struct finding *f)
{
    const struct fact_sheet *sheet = p->sheet;
    sqlite3_stmt *row = program_row(db, p, rowid);
    if (!row)
        return false;
    const char *subject = text_of(row, p->subject);
    const char *kind = p->kind >= 0 ? text_of(row, p->kind) : sheet->kind;
    bool ok = copy_text(&f->subject_kind, kind ? kind : "record") &&
              copy_text(&f->subject, subject ? subject : "(no id)") &&
              copy_text(&f->lot, text_of(row, p->lot)) && locate(db, p, row, f) &&
              compared(sheet, rp, row, limit, units, f);
    if (!ok)
        return false;
    f->key = key_of(sheet, row, f, limit ? limit->codeset : NULL);
    f->message = say(sheet, row, f, units);
    if (f->verdict == VERDICT_CANNOT_TELL && program_reads(db, p, rp))
        f->needs = needs(sheet, rp, row, f, unknown, where_untold);
    return f->key && f->message && (f->verdict != VERDICT_CANNOT_TELL || f->needs);
}
