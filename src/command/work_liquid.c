/* work_liquid.c - one liquid of the catalogue, by any of its names. */
#include "text/base.h"

#include "command/rows.h"
#include "command/work.h"
#include "text/mem.h"
#include "text/utf8.h"

enum { NEAR_MOST = 3 };

static double number_at(sqlite3_stmt *st, int i)
{
    return sqlite3_column_type(st, i) == SQLITE_NULL ? (double)NAN : sqlite3_column_double(st, i);
}

static char *text_at(struct liquid *l, sqlite3_stmt *st, int i)
{
    const char *text = rows_text(st, i);
    char *copy = mem_strdup(text);

    if (text != NULL && copy == NULL)
        l->failed = true;
    return copy;
}

static void take(struct session *s, sqlite3_stmt *st, void *user)
{
    struct liquid *l = user;

    (void)s;
    if (l->id != NULL) /* a name leads to one liquid: the first by id */
        return;
    l->id = text_at(l, st, 0);
    l->name = text_at(l, st, 1);
    l->kind = text_at(l, st, 2);
    l->molar_mass_g_mol = number_at(st, 3);
    l->density_kg_m3 = number_at(st, 4);
    l->flash_c = number_at(st, 5);
    l->flash_high_c = number_at(st, 6);
    l->boil_c = number_at(st, 7);
    l->lel_percent = number_at(st, 8);
    l->lel_high_percent = number_at(st, 9);
    l->uel_percent = number_at(st, 10);
    l->flash_source = text_at(l, st, 11);
    l->flash_sure = text_at(l, st, 12);
    l->flash_method = text_at(l, st, 13);
    l->flash_floor = str_eq(rows_text(st, 14), "yes");
    l->note = text_at(l, st, 15);
}

struct nearest {
    const char *name;
    char best[64];
    unsigned distance;
};

static void compare(struct session *s, sqlite3_stmt *st, void *user)
{
    struct nearest *n = user;
    const char *known = rows_text(st, 0);
    unsigned d = str_distance(n->name, known, NEAR_MOST);

    (void)s;
    if (d < n->distance) {
        n->distance = d;
        snprintf(n->best, sizeof n->best, "%s", known);
    }
}

static bool unknown(struct work *w, const char *name)
{
    struct nearest n = {.name = name, .distance = NEAR_MOST + 1};
    char hint[128];

    if (!rows_select(w->s,
                     "select id from cat_liquid union select alias from cat_liquid_alias"
                     " union select lower(name) from cat_liquid",
                     NULL, NULL, compare, &n))
        return false;
    snprintf(hint, sizeof hint, "did you mean '%s'?", n.best);
    return arg_refuse(w,
                      n.distance <= NEAR_MOST ? hint
                                              : "type a strength such as 96 %vol, or a liquid of "
                                                "the catalogue such as acetone",
                      "there is no liquid '%s' in the catalogue", name);
}

bool work_liquid(struct work *w, const char *name, struct liquid *out)
{
    *out = (struct liquid){.molar_mass_g_mol = (double)NAN};
    if (!rows_select(w->s,
                     "select id, name, kind, molar_mass_g_mol, density_kg_m3, flash_c,"
                     " flash_high_c, boil_c, lel_percent, lel_high_percent, uel_percent,"
                     " flash_source, flash_sure, flash_method, flash_more, note from cat_liquid"
                     " where id = lower(?1) or id = replace(lower(?1), ' ', '-')"
                     " or lower(name) = lower(?1) or cas = ?1"
                     " or id in (select liquid from cat_liquid_alias where alias = lower(?1))"
                     " order by id",
                     name, NULL, take, out))
        return false;
    if (out->id == NULL && !out->failed)
        return unknown(w, name);
    if (out->failed) {
        diags_out_of_memory(w->s->diags);
        liquid_free(out);
        return false;
    }
    return true;
}

void liquid_free(struct liquid *l)
{
    mem_free(l->id);
    mem_free(l->name);
    mem_free(l->kind);
    mem_free(l->flash_source);
    mem_free(l->flash_sure);
    mem_free(l->flash_method);
    mem_free(l->note);
    *l = (struct liquid){0};
}
