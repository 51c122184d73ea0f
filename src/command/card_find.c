/* card_find.c - which things a name can mean, and which names are like it. */
#include "text/base.h"

#include "command/card.h"
#include "command/rows.h"
#include "text/utf8.h"

static const char *const kinds[CARD_KIND_COUNT] = {
    [CARD_STRENGTH] = "strength",   [CARD_LIQUID] = "liquid",         [CARD_MATERIAL] = "material",
    [CARD_STATEMENT] = "statement", [CARD_FIRE_CLASS] = "fire-class", [CARD_LIMIT] = "limit",
    [CARD_GRADE] = "grade",
};

const char *card_kind_name(enum card_kind kind)
{
    return kinds[kind];
}

/* Lower case, single blanks; `joined`: hyphens for the blanks. */
static void normalise(const char *name, struct sbuf *plain, struct sbuf *joined)
{
    bool gap = false;

    for (const char *p = name; *p != '\0'; p++) {
        char c = (char)ascii_tolower((unsigned char)*p);

        if (ascii_space((unsigned char)c)) {
            gap = plain->len > 0;
            continue;
        }
        if (gap) {
            sbuf_putc(plain, ' ');
            sbuf_putc(joined, '-');
        }
        gap = false;
        sbuf_putc(plain, c);
        sbuf_putc(joined, c);
    }
}

/* ?1 the name in small letters, ?2 the same with hyphens. A solvent or oil that is a material too
 * is shown once, as the liquid. */
static const char find_sql[] =
    "select 'liquid', id, '', name from cat_liquid where id = ?2 or lower(name) = ?1 or cas = ?1"
    " or id in (select liquid from cat_liquid_alias where alias = ?1)"
    " union "
    "select 'material', m.id, '', m.name || coalesce(' (' || m.scientific_name || ')', '')"
    " from cat_material m where m.liquid is null and (m.id = ?2 or lower(m.name) = ?1"
    " or lower(m.scientific_name) = ?1"
    " or m.id in (select material from cat_material_alias where alias = ?1)"
    " or m.taxon in (select id from cat_taxon where lower(scientific_name) = ?1)"
    " or m.taxon in (select taxon from cat_taxon_synonym where lower(name) = ?1))"
    " union "
    "select 'liquid', l.id, '', l.name from cat_material m join cat_liquid l on l.id = m.liquid"
    " where m.id = ?2 or m.id in (select material from cat_material_alias where alias = ?1)"
    " union "
    "select 'statement', code, '', 'Statement ' || code from cat_statement"
    " where lower(code) = replace(?1, ' ', '')"
    " union "
    "select 'fire-class', scheme, class, label || ' (' || scheme || '): ' || words"
    " from cat_fire_class where part = 1 and (lower(class) = ?1 or lower(label) = ?1"
    " or 'class ' || lower(class) = ?1"
    " or 'pg ' || lower(class) = ?1 and scheme in ('un', 'australia')"
    " or lower(scheme || ' ' || class) = ?1 or lower(scheme || '-' || class) = ?2"
    " or lower(scheme || ' ' || label) = ?1)"
    " union "
    "select 'limit', name, '', 'Limit ' || name from cat_limit_name where name = ?2"
    " union "
    "select 'grade', id, '', name from cat_ethanol_grade where id = ?2 or lower(name) = ?1"
    " or replace(id, '-', '') = replace(?2, '-', '')"
    " order by 1, 2, 3";

struct finder {
    struct candidates *out;
    const char *kind;
};

static void take(struct session *s, sqlite3_stmt *st, void *user)
{
    struct finder *f = user;
    const char *kind = rows_text(st, 0);
    struct candidate *c;

    (void)s;
    if ((f->kind != NULL && !str_eq(f->kind, kind)) || f->out->count == CANDIDATES_MOST)
        return;
    c = &f->out->items[f->out->count++];
    *c = (struct candidate){.kind = CARD_STRENGTH};
    for (unsigned i = 0; i < CARD_KIND_COUNT; i++)
        if (str_eq(kinds[i], kind))
            c->kind = (enum card_kind)i;
    snprintf(c->id, sizeof c->id, "%s", rows_text(st, 1));
    snprintf(c->part, sizeof c->part, "%s", rows_text(st, 2));
    snprintf(c->title, sizeof c->title, "%s", rows_text(st, 3));
}

bool card_find(struct session *s, const char *name, const char *kind, struct candidates *out)
{
    struct sbuf plain = SBUF_INIT, joined = SBUF_INIT;
    struct finder f = {out, kind};
    bool ok;

    normalise(name, &plain, &joined);
    ok = !plain.failed && !joined.failed && rows_select(s, find_sql, plain.s, joined.s, take, &f);
    if (plain.failed || joined.failed)
        diags_out_of_memory(s->diags);
    sbuf_free(&plain);
    sbuf_free(&joined);
    return ok;
}

/* --- names like it -----------------------------------------------------------------------------
 */

enum { NEAR_MOST = 3, NEAR_LISTED = 5, INSIDE_LEAST = 4 };

struct near {
    const char *name;
    struct near_name {
        char text[CARD_ID_SIZE];
        unsigned distance;
    } names[NEAR_LISTED];
    size_t count;
};

static void insert(struct near *n, const char *text, unsigned distance)
{
    size_t at = n->count;

    for (size_t i = 0; i < n->count; i++)
        if (ascii_casecmp(n->names[i].text, text) == 0)
            return;
    while (at > 0 && n->names[at - 1].distance > distance)
        at--;
    if (at >= NEAR_LISTED)
        return;
    if (n->count < NEAR_LISTED)
        n->count++;
    for (size_t i = n->count - 1; i > at; i--)
        n->names[i] = n->names[i - 1];
    n->names[at].distance = distance;
    snprintf(n->names[at].text, sizeof n->names[at].text, "%s", text);
}

static bool is_inside(const char *longer, const char *word)
{
    size_t n = strlen(word);

    for (const char *p = longer; strlen(p) >= n; p++) {
        size_t i = 0;

        while (i < n && ascii_tolower((unsigned char)p[i]) == ascii_tolower((unsigned char)word[i]))
            i++;
        if (i == n)
            return true;
    }
    return false;
}

/* A slip of few letters counts most; a name that holds the typed one comes after. */
static void compare(struct session *s, sqlite3_stmt *st, void *user)
{
    struct near *n = user;
    const char *known = rows_text(st, 0);
    size_t length = strlen(n->name);
    unsigned most = length < NEAR_MOST * 2 ? 1 : length < NEAR_MOST * 3 ? 2 : NEAR_MOST;
    unsigned d = str_distance(n->name, known, most);

    (void)s;
    if (d <= most)
        insert(n, known, d);
    else if (length >= INSIDE_LEAST && is_inside(known, n->name))
        insert(n, known, NEAR_MOST + 1);
}

bool card_near(struct session *s, const char *name, struct sbuf *hint)
{
    static struct near n;

    n = (struct near){.name = name};
    if (!rows_select(s,
                     "select id from cat_liquid union select alias from cat_liquid_alias"
                     " union select id from cat_material union select lower(name) from cat_material"
                     " union select lower(scientific_name) from cat_material"
                     " where scientific_name is not null"
                     " union select alias from cat_material_alias"
                     " union select code from cat_statement"
                     " union select scheme || ' ' || class from cat_fire_class"
                     " union select name from cat_limit_name union select id from "
                     "cat_ethanol_grade order by 1",
                     NULL, NULL, compare, &n))
        return false;
    for (size_t i = 0; i < n.count; i++)
        sbuf_printf(hint, "%s'%s'",
                    i == 0             ? "did you mean "
                    : i + 1 == n.count ? " or "
                                       : ", ",
                    n.names[i].text);
    if (n.count > 0)
        sbuf_putc(hint, '?');
    return n.count > 0 && !hint->failed;
}

/* --- names that mislead ------------------------------------------------------------------------
 */

static void put_trap(struct session *s, sqlite3_stmt *st, void *user)
{
    struct sbuf b = SBUF_INIT;

    (void)user;
    sbuf_printf(&b, "Ask: %s", rows_text(st, 0) == NULL ? "which is meant?" : rows_text(st, 0));
    if (rows_text(st, 1) != NULL)
        sbuf_printf(&b, " Not to be taken for: %s.", rows_text(st, 1));
    if (b.failed)
        s->report.failed = true;
    report_add_note(&s->report, b.s);
    sbuf_free(&b);
}

bool card_traps(struct session *s, const char *name)
{
    struct sbuf plain = SBUF_INIT, joined = SBUF_INIT;
    bool ok;

    normalise(name, &plain, &joined);
    ok = rows_select(s,
                     "select distinct ask, null from cat_material_alias where alias = ?1"
                     " and ambiguous = 'yes' and ask is not null"
                     " union select ask, must_not_match from cat_name_trap"
                     " where instr(', ' || lower(typed) || ', ', ', ' || ?1 || ', ') > 0",
                     plain.s, NULL, put_trap, NULL);
    if (plain.failed || joined.failed) {
        diags_out_of_memory(s->diags);
        ok = false;
    }
    sbuf_free(&plain);
    sbuf_free(&joined);
    return ok;
}
