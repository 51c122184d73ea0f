/* form.c - lotward form: blank bench sheets, printed from the dictionary.
 *
 * A sheet has the fields of its records in the order they are typed in, words to tick where only
 * some words are taken, and the units that are taken printed beside each box. Boxes are 13 mm high:
 * for a thick pen in a wet glove. */
#include "text/base.h"

#include "command/session.h"
#include "record/dictionary.h"
#include "report/page.h"
#include "text/utf8.h"

enum { TABLE_COLUMNS_MOST = 9 }; /* more fields than these stand in blocks, not in a row */

struct part {
    const char *element;
    int copies; /* blocks, or rows of a table */
};

enum { PARTS_MOST = 6 };

static const struct form {
    const char *name, *title, *hint;
    struct part parts[PARTS_MOST];
} forms[] = {
    {"batch",
     "Batch card",
     "One card a lot. Every charge and every step on a block of its own, as it is done.",
     {{"batch", 1}, {"charge", 6}, {"step", 6}, {"reading", 2}, {"yield", 4}, {"check", 3}}},
    {"receipt", "Receipts", "One block for each thing that arrives.", {{"receipt", 2}}},
    {"stock-take",
     "Stock-take",
     "One line for each lot or received lot in its place.",
     {{"count", 14}}},
    {"waste", "Waste", "One block for each amount of waste, on the day it arises.", {{"waste", 4}}},
    {"freezer-log",
     "Freezer log",
     "One line for each reading, when a lot goes in or out, and daily.",
     {{"log", 15}}},
};

#define FORM_NAMES "batch receipt stock-take waste freezer-log"

static const char style[] =
    "@page{margin:12mm}*{box-sizing:border-box}"
    "body{font:11pt/1.25 system-ui,sans-serif;color:#000;background:#fff;max-width:186mm;"
    "margin:6mm auto}h1{font-size:16pt;margin:0}h2{font-size:12pt;margin:5mm 0 1.5mm;"
    "break-after:avoid}p{margin:1mm 0}.b{display:grid;grid-template-columns:1fr 1fr 1fr;"
    "margin-bottom:4mm;break-inside:auto}.f{border:1.2pt solid #000;margin:0 -1.2pt -1.2pt 0;"
    "min-height:13mm;padding:.6mm 1.2mm;break-inside:avoid}.w{grid-column:1/-1;min-height:19mm}"
    ".n{font-weight:600;font-size:9pt}.u{font-size:8.5pt;text-align:right;margin-top:4.5mm}"
    ".t{font-size:9pt;margin-top:1mm}.t span{white-space:nowrap;margin-right:2mm;line-height:5mm}"
    ".t i{display:inline-block;width:3.6mm;height:3.6mm;border:1pt solid #000;"
    "vertical-align:-.5mm;margin-right:1mm}table{border-collapse:collapse;width:100%}"
    "th,td{border:1.2pt solid #000;padding:.6mm 1mm;text-align:left;vertical-align:top;"
    "font-size:8.5pt}td{height:13mm}thead{display:table-header-group}tr{break-inside:avoid}"
    "footer{font-size:8.5pt;margin-top:4mm}";

/* The units people write, of those the reader takes. */
static const char *units_of(const struct dict_attr *a)
{
    if (a->type == ATTR_PERCENT)
        return "%";
    if (a->type == ATTR_DATE)
        return "YYYY-MM-DD";
    if (a->type == ATTR_RATIO)
        return "1 : __";
    if (a->type != ATTR_QTY)
        return NULL;
    switch (a->dim) {
    case DIM_MASS:
        return "g   kg";
    case DIM_VOLUME:
        return "mL   L";
    case DIM_AMOUNT:
        return "g   kg   mL   L";
    case DIM_TIME:
        return "min   h   day";
    case DIM_TEMPERATURE:
        return "degC   degF";
    case DIM_STRENGTH:
        return "%vol   proof";
    case DIM_AREA:
        return "cm2   m2";
    case DIM_LENGTH:
        return "cm   m";
    case DIM_DENSITY:
        return "kg/m3   g/mL";
    case DIM_SPEED:
        return "m/s";
    default:
        return NULL;
    }
}

static void put_name(struct sbuf *out, const char *name)
{
    struct sbuf b = SBUF_INIT;

    for (; *name != '\0'; name++)
        sbuf_putc(&b, *name == '-' ? ' ' : *name);
    page_text(out, b.s);
    if (b.failed)
        out->failed = true;
    sbuf_free(&b);
}

static void put_words(struct sbuf *out, const struct dict_attr *a)
{
    const char *p = a->type == ATTR_FLAG ? "yes no" : a->words;

    sbuf_puts(out, "<div class=\"t\">");
    while (*p != '\0') {
        size_t n = strcspn(p, " ");

        sbuf_printf(out, "<span><i></i>%.*s</span> ", (int)n, p);
        p += n + (p[n] == ' ' ? 1 : 0);
    }
    sbuf_puts(out, "</div>");
}

static bool ticks(const struct dict_attr *a)
{
    return a->type == ATTR_CHOICE || a->type == ATTR_FLAG;
}

static void put_block(struct sbuf *out, const struct dict_element *e)
{
    enum { WORDS_WIDE = 48 };

    sbuf_puts(out, "<div class=\"b\">\n");
    for (size_t i = 0; i < e->attr_count; i++) {
        const struct dict_attr *a = &e->attrs[i];
        bool wide =
            a->type == ATTR_TEXT || (a->type == ATTR_CHOICE && strlen(a->words) > WORDS_WIDE);
        const char *units = units_of(a);

        sbuf_printf(out, "<div class=\"f%s\" data-field=\"%s@%s\"><div class=\"n\">",
                    wide ? " w" : "", e->name, a->name);
        put_name(out, a->name);
        sbuf_puts(out, (a->flags & ATTR_REQUIRED) != 0 ? " *</div>" : "</div>");
        if (ticks(a))
            put_words(out, a);
        else if (units != NULL)
            sbuf_printf(out, "<div class=\"u\">%s</div>", units);
        sbuf_puts(out, "</div>\n");
    }
    sbuf_puts(out, "</div>\n");
}

static void put_rows(struct sbuf *out, const struct dict_element *e, int rows)
{
    sbuf_puts(out, "<table><thead><tr>");
    for (size_t i = 0; i < e->attr_count; i++) {
        const char *units = units_of(&e->attrs[i]);

        sbuf_printf(out, "<th data-field=\"%s@%s\">", e->name, e->attrs[i].name);
        put_name(out, e->attrs[i].name);
        if (units != NULL)
            sbuf_printf(out, "<br>%s", units);
        sbuf_puts(out, "</th>");
    }
    sbuf_puts(out, "</tr></thead><tbody>\n");
    for (int r = 0; r < rows; r++) {
        sbuf_puts(out, "<tr>");
        for (size_t i = 0; i < e->attr_count; i++) {
            sbuf_puts(out, "<td>");
            if (ticks(&e->attrs[i]))
                put_words(out, &e->attrs[i]);
            sbuf_puts(out, "</td>");
        }
        sbuf_puts(out, "</tr>\n");
    }
    sbuf_puts(out, "</tbody></table>\n");
}

static void put_part(struct sbuf *out, const struct part *part)
{
    const struct dict_element *e = dict_find(part->element);

    assert(e != NULL);
    if (e->attr_count <= TABLE_COLUMNS_MOST) {
        sbuf_puts(out, "<h2>");
        put_name(out, e->name);
        sbuf_puts(out, "</h2>\n");
        put_rows(out, e, part->copies);
        return;
    }
    for (int i = 0; i < part->copies; i++) {
        sbuf_puts(out, "<h2>");
        put_name(out, e->name);
        if (part->copies > 1)
            sbuf_printf(out, " %d", i + 1);
        sbuf_puts(out, "</h2>\n");
        put_block(out, e);
    }
}

static void put_form(struct sbuf *out, const struct form *f)
{
    sbuf_puts(out, "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\n<title>");
    page_text(out, f->title);
    sbuf_printf(out, "</title>\n<style>%s</style></head>\n<body>\n<h1>", style);
    page_text(out, f->title);
    sbuf_puts(out, "</h1>\n");
    page_paragraph(out, NULL, f->hint);
    page_paragraph(
        out, NULL,
        "Fields stand in the order they are typed in. * must be filled. Circle the unit. "
        "Leave open what is not known; a wrong entry is struck through once, with "
        "initials and day.");
    for (size_t i = 0; i < PARTS_MOST && f->parts[i].element != NULL; i++)
        put_part(out, &f->parts[i]);
    sbuf_puts(out, "<footer>");
    page_text(out, report_deferral());
    sbuf_puts(out, "</footer>\n</body></html>\n");
}

static enum exit_status run(struct session *s)
{
    struct sbuf b = SBUF_INIT;
    enum exit_status status = STATUS_CLEAN;
    const struct form *form = NULL;

    for (size_t i = 0; s->name_count == 1 && i < LW_COUNT(forms); i++)
        if (str_eq(forms[i].name, s->names[0]))
            form = &forms[i];
    if (form == NULL)
        return session_usage(s, "there are: " FORM_NAMES, "form: say which sheet");
    put_form(&b, form);
    if (b.failed)
        status = session_trouble(s);
    else
        session_write(s, b.s, b.len);
    sbuf_free(&b);
    return status;
}

const struct command command_form = {
    .name = "form",
    .summary = "print a blank bench sheet",
    .operands = "SHEET",
    .about =
        "Writes a blank sheet as one HTML page, for printing: batch, receipt, stock-take, waste "
        "or freezer-log. The fields stand in the order of the record's attributes, which is the "
        "order of typing them in; words are boxes to tick and units are printed beside the box.",
    .examples = "  lotward form batch > batch.html\n"
                "  lotward form freezer-log > log.html\n",
    .run = run,
};
