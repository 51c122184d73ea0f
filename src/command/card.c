/* card.c - lotward card: everything known of one name, with its sources, on one screen. */
#include "text/base.h"

#include "command/card.h"
#include "text/quantity.h"
#include "text/utf8.h"

/* The operands as one name: `lotward card tea tree oil` needs no quotes. */
static bool join_name(struct session *s, struct sbuf *name)
{
    for (size_t i = 0; i < s->name_count; i++)
        sbuf_printf(name, "%s%s", i > 0 ? " " : "", s->names[i]);
    return !name->failed;
}

/* "70 %vol", "ethanol 70 %vol", "190 proof" */
static const char *as_strength(const char *name)
{
    static const char word[] = "ethanol ";
    const char *rest = name;
    struct quantity q;
    size_t n = 0;

    while (word[n] != '\0' && ascii_tolower((unsigned char)name[n]) == word[n])
        n++;
    if (word[n] == '\0' && name[n] != '\0')
        rest = name + n;
    q = quantity_parse(rest, DIM_STRENGTH, NULL);
    if (q.status == QUANTITY_OK)
        return rest;
    /* a number with a strength's unit that is refused is still meant as a strength */
    return q.unit != NULL && q.unit[0] != '\0' ? rest : NULL;
}

static bool print_card(struct session *s, const struct candidate *c)
{
    switch (c->kind) {
    case CARD_LIQUID:
        return card_liquid(s, c);
    case CARD_MATERIAL:
        return card_material(s, c);
    case CARD_STATEMENT:
        return card_statement(s, c);
    case CARD_FIRE_CLASS:
        return card_fire_class(s, c);
    case CARD_GRADE:
        return card_grade(s, c);
    case CARD_LIMIT:
        return card_limit(s, c);
    case CARD_STRENGTH:
    case CARD_KIND_COUNT:
        break;
    }
    return card_strength(s, c->id);
}

/* What to type for exactly this one. */
static void put_call(struct sbuf *b, const struct candidate *c)
{
    const char *quote = strchr(c->id, ' ') != NULL ? "'" : "";

    if (c->kind == CARD_FIRE_CLASS)
        sbuf_printf(b, "lotward card '%s %s'", c->id, c->part);
    else
        sbuf_printf(b, "lotward card --kind %s %s%s%s", card_kind_name(c->kind), quote, c->id,
                    quote);
}

static enum exit_status print_candidates(struct session *s, const char *name,
                                         const struct candidates *found)
{
    static const char *const columns[] = {"kind", "what", "type-this"};
    struct report_table *t;
    struct sbuf title = SBUF_INIT;

    sbuf_printf(&title, "'%s' can be %zu things", name, found->count);
    report_set_title(&s->report, title.s);
    if (title.failed)
        s->report.failed = true;
    sbuf_free(&title);
    t = report_add_table(&s->report, "candidates", NULL, NULL, TABLE_GRID);
    for (size_t i = 0; i < LW_COUNT(columns); i++)
        report_column(&s->report, t, columns[i], i == 2 ? "type this" : NULL, NULL, ALIGN_LEFT);
    for (size_t i = 0; i < found->count; i++) {
        struct sbuf call = SBUF_INIT;

        put_call(&call, &found->items[i]);
        report_cell(&s->report, t, card_kind_name(found->items[i].kind));
        report_cell(&s->report, t, found->items[i].title);
        report_cell(&s->report, t, call.s);
        if (call.failed)
            s->report.failed = true;
        sbuf_free(&call);
    }
    if (session_report(s) == STATUS_TROUBLE)
        return STATUS_TROUBLE;
    return STATUS_INPUT; /* no card was shown */
}

static enum exit_status unknown(struct session *s, const char *name)
{
    struct sbuf hint = SBUF_INIT;
    static struct candidates other;
    bool near;

    other.count = 0;
    if (option_text(&s->options, "kind") != NULL && !card_find(s, name, NULL, &other))
        return session_trouble(s);
    if (other.count > 0) {
        near = true;
        sbuf_printf(&hint, "there is a %s of that name: leave --kind out",
                    card_kind_name(other.items[0].kind));
    } else {
        near = card_near(s, name, &hint);
    }
    session_usage(s,
                  near ? hint.s
                       : "a strength (96 %vol), a liquid, a material, a statement code (H225), a "
                         "fire class (nfpa IB) or the name of a limit (container-size)",
                  "no card is called '%s'", name);
    sbuf_free(&hint);
    return diags_oom(s->diags) ? STATUS_TROUBLE : STATUS_INPUT;
}

static enum exit_status find_and_print(struct session *s, const char *name)
{
    const char *kind = option_text(&s->options, "kind");
    const char *strength = as_strength(name);
    static struct candidates found;
    bool ok;

    found.count = 0;
    if (strength != NULL && (kind == NULL || str_eq(kind, "strength")))
        return card_strength(s, strength) ? session_report(s)
               : diags_oom(s->diags)      ? STATUS_TROUBLE
                                          : STATUS_INPUT;
    if (!card_find(s, name, kind, &found))
        return session_trouble(s);
    if (found.count == 0)
        return unknown(s, name);
    if (!card_traps(s, name))
        return session_trouble(s);
    if (found.count > 1)
        return print_candidates(s, name, &found);
    report_set_title(&s->report, found.items[0].title);
    ok = print_card(s, &found.items[0]);
    if (!ok)
        return diags_count_level(s->diags, DIAG_FATAL) > 0 && !diags_oom(s->diags)
                   ? STATUS_INPUT
                   : session_trouble(s);
    return session_report(s);
}

static enum exit_status run(struct session *s)
{
    struct sbuf name = SBUF_INIT;
    enum exit_status status;

    if (s->name_count == 0)
        return session_usage(s, "lotward card '96 %vol', lotward card H225",
                             "card: say what to look up");
    status = join_name(s, &name) ? find_and_print(s, name.s) : session_trouble(s);
    sbuf_free(&name);
    return status;
}

static const struct option_spec options[] = {
    {"kind", 0, OPTION_CHOICE, "KIND", CARD_KINDS, "Look among things of this kind only", 0, 0},
    {"code-set", 0, OPTION_TEXT, "ID", NULL, "Of a limit: the figures of this code set only", 0, 0},
};

const struct command command_card = {
    .name = "card",
    .summary = "reference card: a strength, liquid, material, statement, class or limit",
    .operands = "NAME",
    .about =
        "Prints what the catalogue and the code sets hold about one name, each figure with its "
        "source and how sure it is: ethanol at a strength, a solvent or another liquid, a "
        "material, a hazard or precautionary statement by its code, a fire class, or a limit "
        "by its name. Letter case, blanks and hyphens do not matter. A name that can be "
        "several things lists them; an unknown one suggests names like it.",
    .examples = "  lotward card '70 %vol'\n"
                "  lotward card lavender oil\n"
                "  lotward card H225\n"
                "  lotward card nfpa IB\n"
                "  lotward card container-size --code-set osha-1910.106\n",
    .options = options,
    .option_count = LW_COUNT(options),
    .flags = NEEDS_CATALOGUE | MAKES_REPORT | SHOWS_UNITS,
    .run = run,
};
