/* inventory_tables.c - result rows to report cells, and the tables about the site. */
#include "text/base.h"

#include "command/inventory_tables.h"
#include "command/inventory_sql.h"

static void put_shown(struct session *s, struct report_table *t, sqlite3_stmt *st, int i,
                      const char *unit, const char *none, bool us_first, int digits)
{
    struct sbuf b = SBUF_INIT;

    if (sqlite3_column_type(st, i) == SQLITE_NULL) {
        report_cell(&s->report, t, none);
        return;
    }
    inventory_show(&b, sqlite3_column_double(st, i), unit, us_first, session_units(s), digits);
    if (b.failed)
        s->report.failed = true;
    report_cell_number(&s->report, t, sqlite3_column_double(st, i), 0, b.s);
    sbuf_free(&b);
}

static void put_number(struct session *s, struct report_table *t, sqlite3_stmt *st, int i,
                       int digits, const char *after)
{
    struct sbuf b = SBUF_INIT;

    if (sqlite3_column_type(st, i) == SQLITE_NULL) {
        report_cell(&s->report, t, NULL);
        return;
    }
    if (digits > 0)
        sbuf_number(&b, sqlite3_column_double(st, i), digits);
    else
        sbuf_fixed(&b, sqlite3_column_double(st, i), 1);
    sbuf_puts(&b, after);
    if (b.failed)
        s->report.failed = true;
    report_cell_number(&s->report, t, sqlite3_column_double(st, i), 1, b.s);
    sbuf_free(&b);
}

struct filling {
    const struct inventory_table *spec;
    struct report_table *table;
    bool us_first;
};

static void put_row(struct session *s, sqlite3_stmt *st, void *user)
{
    enum { DIGITS = 6 };
    const struct filling *f = user;
    int i = 0;

    for (size_t c = 0; c < f->spec->column_count; c++, i++) {
        switch (f->spec->columns[c].kind) {
        case CELL_TEXT:
            report_cell(&s->report, f->table, rows_text(st, i));
            break;
        case CELL_FILED:
            report_cell(&s->report, f->table,
                        rows_text(st, i) == NULL ? "not on file" : rows_text(st, i));
            break;
        case CELL_LITRES:
            put_shown(s, f->table, st, i, "L", "not known", f->us_first, INVENTORY_DIGITS);
            break;
        case CELL_AMOUNT:
            put_shown(s, f->table, st, i, rows_text(st, i + 1), "not known", f->us_first,
                      INVENTORY_DIGITS_BESIDE);
            i++;
            break;
        case CELL_COUNT:
            report_cell_count(&s->report, f->table, (unsigned long)sqlite3_column_int64(st, i));
            break;
        case CELL_PERCENT:
            put_number(s, f->table, st, i, 0, " %");
            break;
        case CELL_METRES:
            put_shown(s, f->table, st, i, "m", NULL, f->us_first, INVENTORY_DIGITS);
            break;
        case CELL_PLAIN:
            put_number(s, f->table, st, i, DIGITS, "");
            break;
        }
    }
}

bool inventory_start(struct session *s, const struct inventory_table *spec)
{
    struct report_table *t =
        report_add_table(&s->report, spec->name, spec->title, spec->note, TABLE_GRID);

    for (size_t c = 0; c < spec->column_count; c++) {
        enum inventory_cell kind = spec->columns[c].kind;
        bool right = kind == CELL_COUNT || kind == CELL_PERCENT || kind == CELL_PLAIN;

        report_column(&s->report, t, spec->columns[c].name, spec->columns[c].head, NULL,
                      right ? ALIGN_RIGHT : ALIGN_LEFT);
    }
    return !s->report.failed;
}

bool inventory_append(struct session *s, const struct inventory_table *spec)
{
    struct filling f = {.spec = spec, .us_first = inventory_us_first(s)};

    if (s->report.table_count == 0)
        return false;
    f.table = s->report.tables[s->report.table_count - 1];
    return rows_select(s, spec->sql, NULL, NULL, put_row, &f);
}

bool inventory_add(struct session *s, const struct inventory_table *spec)
{
    return inventory_start(s, spec) && inventory_append(s, spec);
}

#define COLUMNS(...)                                                                               \
    (const struct inventory_column[]){__VA_ARGS__},                                                \
        LW_COUNT(((const struct inventory_column[]){__VA_ARGS__}))

static const struct inventory_table tables[] = {
    {"site", "Site", NULL, COLUMNS({"field", NULL, CELL_TEXT}, {"on-file", "on file", CELL_FILED}),
     inventory_site_sql},
    {"contacts", "Contacts", NULL,
     COLUMNS({"role", NULL, CELL_TEXT}, {"name", NULL, CELL_FILED}, {"function", NULL, CELL_FILED},
             {"day", "by day", CELL_FILED}, {"any-hour", "at any hour", CELL_FILED}),
     inventory_contacts_sql},
    {"amounts", "Amounts at a glance", "The year is the 365 days up to the day of the sheet.",
     COLUMNS({"what", NULL, CELL_TEXT}, {"amount", NULL, CELL_LITRES},
             {"detail", "where or when", CELL_TEXT}),
     inventory_amounts_sql},
    {"lines", "Totals against each figure",
     "Now: liquid there on the day. If full: every vessel at its capacity. A figure of 0 means "
     "that "
     "the text gives none at all. In open use: the greatest day of the "
     "year, as if all of it stood open at once. Of several class groups of one figure the one "
     "nearest to it is shown, and any that is passed.",
     COLUMNS({"where", NULL, CELL_TEXT}, {"figure-name", "what the figure is for", CELL_TEXT},
             {"code-set", "code", CELL_TEXT}, {"class", NULL, CELL_TEXT},
             {"now", NULL, CELL_AMOUNT}, {"full", "if full", CELL_AMOUNT},
             {"figure", NULL, CELL_AMOUNT}, {"share", NULL, CELL_PERCENT},
             {"state", NULL, CELL_TEXT}, {"unknown", "amounts not known", CELL_COUNT},
             {"reached", "how reached, and where printed", CELL_TEXT}),
     inventory_lines_sql},
    {"readings", "How closed macerating jars are read",
     "A fire code has one figure for what is stored and another for what is in use in closed "
     "vessels. Which holds for macerating jars the fire authority says.",
     COLUMNS({"reading", NULL, CELL_TEXT}, {"taken", NULL, CELL_TEXT},
             {"amount", "in jars and bulk", CELL_LITRES},
             {"passed", "figures of control areas passed", CELL_TEXT}, {"doubt", NULL, CELL_TEXT}),
     inventory_readings_sql},
    {"hazardous-materials", "Hazardous materials inventory",
     "The nine fields a fire code asks for, in their order, then what is useful beside them. In "
     "open use: the greatest day of the year, on the first line.",
     COLUMNS({"product", "1 product", CELL_TEXT}, {"component", "2 component", CELL_TEXT},
             {"cas", "3 CAS no.", CELL_TEXT}, {"location", "4 location", CELL_TEXT},
             {"container-size", "5 containers", CELL_TEXT},
             {"hazard-class", "6 hazard class", CELL_TEXT},
             {"storage", "7 in storage", CELL_LITRES},
             {"use-closed", "8 in closed use", CELL_LITRES},
             {"use-open", "9 in open use", CELL_LITRES}, {"full", "if full", CELL_LITRES},
             {"un", "UN no.", CELL_TEXT}, {"sds", "data sheet", CELL_FILED}),
     inventory_materials_sql},
    {"classes", "Each liquid under each scheme",
     "Flash points of ethanol-water are calculated at the strength, the lower of a model and a "
     "published list; two classes are named where the flash point is too near a boundary. NFPA "
     "704: "
     "sources disagree on the health figure; follow the supplier's data sheet.",
     COLUMNS({"liquid", NULL, CELL_TEXT}, {"strength", NULL, CELL_TEXT},
             {"flash", "flash point", CELL_TEXT}, {"flash-source", "from", CELL_TEXT},
             {"boiling", "boiling point", CELL_TEXT}, {"schemes", "class by scheme", CELL_TEXT},
             {"nfpa704", "NFPA 704", CELL_TEXT}),
     inventory_classes_sql},
    {"controls", "Controls", NULL,
     COLUMNS({"mark", NULL, CELL_TEXT}, {"place", NULL, CELL_TEXT}, {"kind", NULL, CELL_TEXT},
             {"rating", "approval or rating", CELL_FILED}, {"capacity", NULL, CELL_TEXT},
             {"held", NULL, CELL_LITRES}, {"ventilation", NULL, CELL_FILED},
             {"extinguisher", NULL, CELL_FILED}, {"serviced", NULL, CELL_FILED},
             {"signs", "no-smoking sign, spill kit", CELL_TEXT}),
     inventory_controls_sql},
    {"ignition", "Sources of ignition on the day", NULL,
     COLUMNS({"place", NULL, CELL_TEXT}, {"kind", NULL, CELL_FILED}, {"state", NULL, CELL_FILED},
             {"distance", NULL, CELL_METRES}),
     inventory_ignition_sql},
    {"waste", "Alcohol-wet waste held", NULL,
     COLUMNS({"place", NULL, CELL_TEXT}, {"kind", NULL, CELL_TEXT}, {"container", NULL, CELL_FILED},
             {"liquid", NULL, CELL_LITRES}, {"since", NULL, CELL_FILED},
             {"records", NULL, CELL_COUNT}),
     inventory_waste_sql},
    {"changes", "Changes since the last sheet",
     "An inspector wants a new sheet within 30 days of a new substance, a larger amount or another "
     "place.",
     COLUMNS({"what", NULL, CELL_TEXT}, {"detail", NULL, CELL_TEXT}), inventory_changes_sql},
    {"plan", "Storage plan",
     "Drawn from the records, not surveyed. Letters are this sheet's own and explained beside it.",
     COLUMNS({"mark", NULL, CELL_TEXT}, {"place", NULL, CELL_TEXT}, {"kind", NULL, CELL_TEXT},
             {"in", "inside", CELL_TEXT}, {"control-area", "control area", CELL_TEXT},
             {"class", NULL, CELL_TEXT}, {"left", NULL, CELL_METRES}, {"top", NULL, CELL_METRES},
             {"width", NULL, CELL_METRES}, {"depth", NULL, CELL_METRES},
             {"held", NULL, CELL_LITRES}),
     inventory_plan_sql},
    {"checklist", "Self-inspection",
     "What the records say about each item and when it was last looked at; 'not on file' where "
     "they say nothing.",
     COLUMNS({"item", NULL, CELL_TEXT}, {"figure", NULL, CELL_TEXT},
             {"on-file", "the records say", CELL_FILED},
             {"looked-at", "last looked at", CELL_FILED}, {"asked-by", "asked by", CELL_TEXT}),
     inventory_checklist_sql},
    {"stock-by-place", "Flammable liquid by place", NULL,
     COLUMNS({"place", NULL, CELL_TEXT}, {"held", NULL, CELL_LITRES},
             {"full", "if full", CELL_LITRES}, {"largest", "largest container", CELL_LITRES},
             {"holdings", NULL, CELL_COUNT}, {"unknown", "amounts not known", CELL_COUNT}),
     inventory_places_sql},
};

/* A terminal has room for the answer; the rest is on the page. */
static const struct inventory_table short_tables[] = {
    {"amounts", "Amounts at a glance", NULL,
     COLUMNS({"what", NULL, CELL_TEXT}, {"amount", NULL, CELL_LITRES},
             {"detail", "where or when", CELL_TEXT}),
     inventory_amounts_sql},
    {"stock-by-place", "Flammable liquid by place", NULL,
     COLUMNS({"place", NULL, CELL_TEXT}, {"held", NULL, CELL_LITRES},
             {"full", "if full", CELL_LITRES}, {"largest", "largest container", CELL_LITRES},
             {"holdings", NULL, CELL_COUNT}, {"unknown", NULL, CELL_COUNT}),
     inventory_places_sql},
    {"lines", "Totals against each figure",
     "Held: liquid there on the day. If full: every vessel at its capacity. A figure of 0 means "
     "that the text gives none at all.",
     COLUMNS({"where", NULL, CELL_TEXT}, {"figure-name", "figure for what is", CELL_TEXT},
             {"code", "code and class", CELL_TEXT}, {"now", "held", CELL_AMOUNT},
             {"full", "if full", CELL_AMOUNT}, {"figure", NULL, CELL_AMOUNT},
             {"share", NULL, CELL_PERCENT}, {"state", NULL, CELL_TEXT}),
     inventory_short_lines_sql},
    {"readings", "How closed macerating jars are read", NULL,
     COLUMNS({"reading", NULL, CELL_TEXT}, {"taken", NULL, CELL_TEXT},
             {"amount", "in jars and bulk", CELL_LITRES}, {"passed", "figures passed", CELL_TEXT},
             {"doubt", NULL, CELL_TEXT}),
     inventory_readings_sql},
    {"waste", "Alcohol-wet waste held", NULL,
     COLUMNS({"place", NULL, CELL_TEXT}, {"kind", NULL, CELL_TEXT}, {"container", NULL, CELL_FILED},
             {"liquid", NULL, CELL_LITRES}, {"since", NULL, CELL_FILED},
             {"records", NULL, CELL_COUNT}),
     inventory_waste_sql},
    {"changes", "Changes since the last sheet", NULL,
     COLUMNS({"what", NULL, CELL_TEXT}, {"detail", NULL, CELL_TEXT}), inventory_changes_sql},
};

bool inventory_add_all(struct session *s, bool whole)
{
    const struct inventory_table *all = whole ? tables : short_tables;
    size_t count = whole ? LW_COUNT(tables) : LW_COUNT(short_tables);
    bool ok = true;

    for (size_t i = 0; ok && i < count; i++)
        ok = inventory_add(s, &all[i]);
    if (!whole)
        report_add_note(&s->report,
                        "The page, JSON and CSV formats also hold site and contacts, the "
                        "hazardous materials inventory, controls, the storage plan and "
                        "the self-inspection list.");
    return ok;
}
