#include "text/base.h"

#include "command/label_draft.h"
#include "command/label_sql.h"
#include "command/rows.h"
#include "text/markup.h"
#include "text/mem.h"
#include "text/utf8.h"

/* Lines in the order they stand on a label: attribute, title, the elements that ask for it. The
 * last ones are not printed words. */
static const struct {
    const char *attr, *title, *elements;
    bool printed;
} lines[] = {
    {"product-name", "Product", "product-identifier maker-name ca-identity", true},
    {"identity", "What it is", "identity", true},
    {"scientific-name", "Scientific name", "scientific-name", true},
    {"component-names", "Contains", "component-names fhsa-name", true},
    {"signal-word", "Signal word", "signal-word hazard-elements", true},
    {"pictograms", "Symbols", "pictogram hazard-elements", true},
    {"statements", "Statement codes",
     "hazard-statement precautionary-statement euh208 p102 disposal-statement", true},
    {"statement-text", "Statements", "hazard-statement precautionary-statement euh208", true},
    {"warning", "Warnings",
     "consumer-hazard specific-statement negative-instruction positive-instruction "
     "cosmetic-precautions keep-out-of-reach not-for-consumption flame-warning hazard-words",
     true},
    {"use", "Directions", "fhsa-precautions directions", true},
    {"first-aid", "First aid", "first-aid", true},
    {"storage", "Storage", "handling storage", true},
    {"function", "Function", "function", true},
    {"ingredients", "Ingredients", "ingredients", true},
    {"allergens", "Allergens", "allergens", true},
    {"net-quantity", "Net quantity", "net-quantity net-quantity-both", true},
    {"net-quantity-us", "Net quantity, US units", "net-quantity-both", true},
    {"strength", "Strength", "solvent-strength", true},
    {"solvent", "Solvent", "solvent", true},
    {"ratio", "Ratio", "ratio", true},
    {"origin-text", "Origin", "origin", true},
    {"origin-country", "Country of origin", "country-of-origin", true},
    {"lot", "Lot", "lot", true},
    {"date-made", "Made", "date-made", true},
    {"date-filtered", "Filtered", "date-filtered", true},
    {"best-before", "Best before", "best-before", true},
    {"period-after-opening", "Period after opening", "period-after-opening", true},
    {"party-name", "Name", "supplier-name firm-name responsible-name", true},
    {"party-address", "Address", "supplier-address firm-place responsible-address", true},
    {"party-phone", "Telephone", "supplier-phone", true},
    {"contact", "Contact", "contact adverse-event-contact", true},
    {"ufi", "UFI", "ufi", true},
    {"sds", "Data sheet", "sds", true},
    {"transport-mark", "Outer package", "transport-mark", true},
    {"tactile-warning", "Tactile warning", "tactile-mark", true},
    {"child-resistant", "Child-resistant closure", "child-resistant-closure", true},
    {"grouped", "Symbol, signal word and statements together", "grouping", true},
    {"languages", "Languages", "french", true},
    {"party-country", "Country of the address", "", false},
    {"market", "Market", "", false},
    {"regime", "Regime", "", false},
    {"intended-use", "Sold as", "", false},
    {"sold-to", "Sold to", "", false},
    {"capacity", "Capacity", "", false},
    {"pictogram-side", "Side of a symbol", "", false},
    {"letter-height", "Letters of the net quantity", "", false},
    {"text-height", "Height of the small x", "", false},
    {"panel-width", "Width of the main panel", "", false},
    {"panel-height", "Height of the main panel", "", false},
    {"function-clear", "Function clear from the presentation", "", false},
    {"cautions-elsewhere", "Cautions elsewhere", "", false},
    {"rinse-off", "Rinsed off", "", false},
    {"first-sold", "First sold", "", false},
    {"papers", "Papers of the product", "", false},
    {"barred-kind", "Of a kind barred from the small-business relief", "", false},
    {"research-only", "For research or quality control only", "", false},
    {"label-interferes", "Any label would interfere with use", "", false},
    {"outer-label", "Full label on the outer package", "", false},
    {"tag-not-feasible", "Tags not usable", "", false},
    {"text-elsewhere", "Words elsewhere", "", false},
    {"claims", "Claims", "", false},
    {"printed", "Printed", "", false},
    {"batch", "Lot it is for", "", false},
    {"id", "Label", "", false},
};

struct filling {
    struct label_draft *draft;
    bool failed;
};

static struct label_line *line_of(const struct label_draft *d, const char *attr)
{
    for (size_t i = 0; i < d->count; i++)
        if (str_eq(d->lines[i].attr, attr))
            return &d->lines[i];
    return NULL;
}

const char *label_draft_text(const struct label_draft *d, const char *attr)
{
    const struct label_line *l = line_of(d, attr);

    return l == NULL ? NULL : l->text;
}

static void take_value(struct session *s, sqlite3_stmt *st, void *user)
{
    struct filling *f = user;
    struct label_line *l = line_of(f->draft, rows_text(st, 0));
    const char *text = rows_text(st, 1);

    (void)s;
    if (l == NULL || text == NULL || *text == '\0' || l->text != NULL)
        return;
    l->text = mem_strdup(text);
    f->failed |= l->text == NULL;
}

static bool has_word(const char *words, const char *word)
{
    size_t n = strlen(word);

    for (const char *p = words; (p = strstr(p, word)) != NULL; p += n)
        if ((p == words || p[-1] == ' ') && (p[n] == ' ' || p[n] == '\0'))
            return true;
    return false;
}

static void take_need(struct session *s, sqlite3_stmt *st, void *user)
{
    struct filling *f = user;

    (void)s;
    for (size_t i = 0; i < f->draft->count; i++)
        if (has_word(lines[i].elements, rows_text(st, 0)))
            f->draft->lines[i].demanded = true;
}

bool label_draft_make(struct session *s, const char *label, struct label_draft *d)
{
    struct filling f = {d, false};

    *d = (struct label_draft){mem_calloc(LW_COUNT(lines), sizeof *d->lines), LW_COUNT(lines)};
    if (d->lines == NULL) {
        d->count = 0;
        diags_out_of_memory(s->diags);
        return false;
    }
    for (size_t i = 0; i < d->count; i++)
        d->lines[i] =
            (struct label_line){lines[i].attr, lines[i].title, NULL, false, lines[i].printed};
    if (!rows_select(s, label_sql_needs, label, NULL, take_need, &f))
        return false;
    for (size_t i = 0; i < label_sql_count; i++)
        if (!rows_select(s, label_sql_values[i], label, NULL, take_value, &f))
            return false;
    if (f.failed)
        diags_out_of_memory(s->diags);
    return !f.failed;
}

void label_draft_free(struct label_draft *d)
{
    if (d == NULL)
        return;
    for (size_t i = 0; i < d->count; i++)
        mem_free(d->lines[i].text);
    mem_free(d->lines);
    *d = (struct label_draft){0};
}

void label_draft_record(const struct label_draft *d, struct sbuf *out)
{
    struct sbuf b = SBUF_INIT;

    sbuf_puts(&b, "<label");
    for (size_t i = d->count; i-- > 0;) {
        const struct label_line *l = &d->lines[i];

        if (l->text == NULL || (l->printed && !l->demanded))
            continue;
        sbuf_printf(&b, "\n  %s=\"", l->attr);
        markup_put_attribute(&b, l->text);
        sbuf_putc(&b, '"');
    }
    sbuf_puts(&b, "/>\n");
    utf8_put_references(out, b.s, b.len);
    out->failed = out->failed || b.failed;
    sbuf_free(&b);
}
