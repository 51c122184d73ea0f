#include "text/base.h"

#include "command/label_proof.h"
#include "command/rows.h"
#include "report/label_layout.h"
#include "report/label_symbol.h"
#include "report/page.h"
#include "text/number.h"
#include "text/utf8.h"

enum { COPIES_USUAL = 4, RULER_MM = 150, TEXTS_MOST = 16 };

/* Least sizes of a tag or leaflet that takes what the bottle cannot: the smallest EU label. */
#define TAG_WIDTH_MM    74.0
#define TAG_HEIGHT_MM   52.0
#define SYMBOL_USUAL_MM 10.0

static const char style[] =
    "<style>.sheet{margin:3mm 0;font-size:0;line-height:0}"
    ".label{margin:1mm 4mm 3mm 0;vertical-align:top}.label,.ruler{font-family:'Liberation "
    "Sans',Arial,Helvetica,"
    "sans-serif;overflow:visible}.label{clip-path:inset(-0.3mm)}.label text{fill:#111}.ruler "
    "text{fill:#111}"
    "@page{size:A4;margin:12mm}</style>\n";

struct sizes {
    double width, height, symbol_least, symbol_wished, x_height, letters;
};

static void take_sizes(struct session *s, sqlite3_stmt *st, void *user)
{
    struct sizes *z = user;

    (void)s;
    z->width = sqlite3_column_double(st, 0);
    z->height = sqlite3_column_double(st, 1);
    z->symbol_least = sqlite3_column_double(st, 2);
    z->symbol_wished = sqlite3_column_double(st, 3);
    z->x_height = sqlite3_column_double(st, 4);
    z->letters = sqlite3_column_double(st, 5);
}

/* Empty sizes come out as 0. */
static const char sizes_sql[] =
    "select coalesce(l.label_width_m, l.panel_width_m) * 1000, coalesce(l.label_height_m,"
    " l.panel_height_m) * 1000, max(iif(z.item = 'symbol', z.least_mm, null)),"
    " max(iif(z.item = 'symbol', z.wished_mm, null)),"
    " max(iif(z.item in ('text', 'hazard-statement'), z.least_mm, null)),"
    " max(iif(z.item = 'net-quantity', z.least_mm, null))"
    " from rec_label l left join fact_label_size z on z.id = l.id where l.id = ?1";

/* Lines run together in the small text, with what stands before each. */
static const struct {
    const char *attr, *before, *after;
} small[] = {
    {"identity", "", ". "},
    {"scientific-name", "", ". "},
    {"component-names", "Contains: ", ". "},
    {"statement-text", "", " "},
    {"warning", "", " "},
    {"use", "", " "},
    {"first-aid", "", " "},
    {"storage", "", " "},
    {"function", "", ". "},
    {"ingredients", "Ingredients: ", ". "},
    {"allergens", "Allergens: ", ". "},
    {"strength", "", ". "},
    {"solvent", "Solvent: ", ". "},
    {"ratio", "Ratio ", ". "},
    {"origin-text", "Origin: ", ". "},
    {"origin-country", "Country of origin: ", ". "},
    {"lot", "Lot ", ". "},
    {"date-made", "Made ", ". "},
    {"date-filtered", "Filtered ", ". "},
    {"best-before", "Best before ", ". "},
    {"period-after-opening", "After opening: ", ". "},
    {"party-name", "", ", "},
    {"party-address", "", ". "},
    {"party-phone", "Tel. ", ". "},
    {"contact", "Contact: ", ". "},
    {"ufi", "UFI: ", ". "},
    {"sds", "", ". "},
};

static const struct label_line *wanted(const struct label_draft *d, const char *attr)
{
    for (size_t i = 0; i < d->count; i++)
        if (str_eq(d->lines[i].attr, attr))
            return d->lines[i].demanded && d->lines[i].text != NULL ? &d->lines[i] : NULL;
    return NULL;
}

/* A telephone number stays on one line. */
static void put_unbroken(struct sbuf *out, const char *text)
{
    for (; *text != '\0'; text++) {
        if (*text == ' ')
            sbuf_puts(out, "\xC2\xA0");
        else
            sbuf_putc(out, *text);
    }
}

static void gather(const struct label_draft *d, struct sbuf *out)
{
    for (size_t i = 0; i < LW_COUNT(small); i++) {
        const struct label_line *l = wanted(d, small[i].attr);

        if (l == NULL)
            continue;
        sbuf_puts(out, small[i].before);
        if (str_eq(l->attr, "party-phone"))
            put_unbroken(out, l->text);
        else
            sbuf_puts(out, l->text);
        sbuf_puts(out, small[i].after +
                           (l->text[strlen(l->text) - 1] == '.' && small[i].after[0] == '.'));
    }
}

static void put_signal(const struct label_draft *d, struct sbuf *out)
{
    const struct label_line *l = wanted(d, "signal-word");

    for (const char *p = l == NULL || str_eq(l->text, "none") ? "" : l->text; *p != '\0'; p++)
        sbuf_putc(out, *p == '-' ? ' ' : (char)(*p >= 'a' && *p <= 'z' ? *p - 'a' + 'A' : *p));
}

static void add(struct label_content *c, const char *text, double scale, double least, bool bold)
{
    if (text != NULL && *text != '\0' && c->block_count < LABEL_BLOCKS_MOST)
        c->blocks[c->block_count++] = (struct label_block){text, scale, least, bold};
}

/* Codes separated by spaces; `codes` is cut up in place. */
static void add_symbols(struct label_content *c, char *codes)
{
    for (char *p = codes; *p != '\0' && c->symbol_count < LABEL_SYMBOLS_MOST;) {
        c->symbols[c->symbol_count] = p;
        while (*p != '\0' && *p != ' ')
            p++;
        if (*p == ' ')
            *p++ = '\0';
        c->symbol_count += label_symbol_words(c->symbols[c->symbol_count]) != NULL;
    }
}

static void tell_fit(struct session *s, const struct label_content *c, const struct label_fit *f)
{
    struct report_table *t =
        report_add_table(&s->report, "fit", "Whether it fits", NULL, TABLE_PAIRS);
    struct sbuf b = SBUF_INIT;

    sbuf_fixed(&b, c->width_mm, 1);
    sbuf_puts(&b, " x ");
    sbuf_fixed(&b, c->height_mm, 1);
    sbuf_puts(&b, " mm");
    report_pair(&s->report, t, "Label", b.s);
    sbuf_clear(&b);
    if (f->fits) {
        sbuf_puts(&b, "All of it fits, the small letter x ");
        sbuf_fixed(&b, f->x_height_mm, 2);
        sbuf_puts(&b, " mm high");
    } else {
        sbuf_puts(&b, "It does not fit at the least sizes");
        if (isfinite(f->needed_mm)) {
            sbuf_puts(&b, ": ");
            sbuf_fixed(&b, f->needed_mm, 1);
            sbuf_puts(&b, " mm of height would be needed");
        }
        sbuf_puts(&b, ". A fold-out label, a tag or the outer package must carry the rest, where "
                      "the regime lets it; the proof shows a tag beside the bottle");
    }
    if (c->symbol_count > 0) {
        sbuf_puts(&b, ", symbols of ");
        sbuf_fixed(&b, f->symbol_mm, 1);
        sbuf_puts(&b, " mm a side");
    }
    sbuf_putc(&b, '.');
    report_pair(&s->report, t, "Fit", b.s);
    sbuf_clear(&b);
    if (f->unmeasured != 0) {
        sbuf_printf(&b,
                    "It holds letters that join or run the other way (U+%04X among them); their "
                    "width is not known here, look at the proof.",
                    (unsigned)f->unmeasured);
        report_pair(&s->report, t, "Characters", b.s);
    }
    s->report.failed = s->report.failed || b.failed;
    sbuf_free(&b);
}

/* The bottle's own label when not all fits: name, symbols, signal word, firm; the rest on a tag. */
static void draw(struct session *s, const struct label_content *c, const struct label_fit *f,
                 const char *firm, struct sbuf *out)
{
    const struct option_value *copies = option_get(&s->options, "copies");
    long n = copies->given ? copies->number : COPIES_USUAL;
    struct label_content bottle = *c, tag = *c;
    struct label_fit bottle_fit = *f, tag_fit = *f;

    if (!f->fits) {
        bottle.block_count = 2;
        bottle.block_count -= c->block_count < 2;
        add(&bottle, firm, 1, 0, false);
        bottle_fit = label_layout_fit(&bottle);
        if (!bottle_fit.fits) { /* not even that, and it is said */
            bottle.symbol_count = 0;
            bottle_fit = label_layout_fit(&bottle);
            report_add_note(&s->report, "Not even the symbols fit the bottle at their least side; "
                                        "the proof of the bottle shows words alone.");
        }
        while (!bottle_fit.fits && bottle.block_count > 1) {
            bottle.block_count--;
            bottle_fit = label_layout_fit(&bottle);
            report_add_note(&s->report, bottle.block_count > 1
                                            ? "The name of the firm does not fit the bottle; its "
                                              "proof leaves it out."
                                            : "Of the words only the name of the product stands on "
                                              "the proof of the bottle.");
        }
        if (!bottle_fit.fits)
            report_add_note(&s->report, "Not even the name of the product fits the bottle: the "
                                        "proof of the bottle is cut at its edge.");
        tag.width_mm = TAG_WIDTH_MM;
        tag.height_mm = TAG_HEIGHT_MM;
        tag_fit = label_layout_fit(&tag);
    }
    sbuf_puts(out, style);
    sbuf_puts(out, "<h2>Proof at true size</h2>\n<p class=\"m\">Print at 100 per cent and lay a "
                   "ruler on it.</p>\n");
    label_layout_ruler(out, RULER_MM);
    sbuf_puts(out, "<div class=\"sheet\">\n");
    for (long i = 0; i < n; i++) {
        label_layout_draw(out, &bottle, &bottle_fit, "bottle");
        if (!f->fits)
            label_layout_draw(out, &tag, &tag_fit, "tag");
    }
    sbuf_puts(out, "</div>\n");
}

bool label_proof(struct session *s, const char *label, const struct label_draft *d,
                 struct sbuf *out)
{
    struct sizes z = {0};
    struct sbuf text = SBUF_INIT, signal = SBUF_INIT, net = SBUF_INIT, codes = SBUF_INIT,
                firm = SBUF_INIT;
    const struct label_line *name = wanted(d, "product-name"), *l;
    struct label_content c = {0};
    struct label_fit fit;
    bool ok = rows_select(s, sizes_sql, label, NULL, take_sizes, &z);

    if (!ok || z.width <= 0 || z.height <= 0) {
        if (ok)
            report_add_note(&s->report, "Neither the size of the label nor of the bottle is "
                                        "known: there is no proof and no word on whether it fits.");
        return ok;
    }
    if ((l = wanted(d, "pictograms")) != NULL)
        sbuf_puts(&codes, l->text);
    put_signal(d, &signal);
    gather(d, &text);
    if ((l = wanted(d, "net-quantity")) != NULL)
        sbuf_puts(&net, l->text);
    if ((l = wanted(d, "net-quantity-us")) != NULL)
        sbuf_printf(&net, " (%.*s)", (int)(strlen(l->text) - (strlen(l->text) > 3 ? 3 : 0)),
                    l->text); /* without the "us" that tells records the gallon */
    if ((l = wanted(d, "party-name")) != NULL)
        sbuf_puts(&firm, l->text);
    if ((l = wanted(d, "party-phone")) != NULL) {
        sbuf_puts(&firm, ", ");
        put_unbroken(&firm, l->text);
    }
    c.width_mm = z.width;
    c.height_mm = z.height;
    c.symbol_least_mm = z.symbol_least > 0 ? z.symbol_least : SYMBOL_USUAL_MM;
    c.symbol_wished_mm = z.symbol_wished;
    c.x_height_least_mm = z.x_height;
    add_symbols(&c, codes.s);
    add(&c, name != NULL ? name->text : label_draft_text(d, "product-name"), 1.3, 0, true);
    add(&c, signal.s, 1.2, 0, true);
    add(&c, text.s, 1, 0, false);
    add(&c, net.s, 1, z.letters, true);
    fit = label_layout_fit(&c);
    tell_fit(s, &c, &fit);
    draw(s, &c, &fit, firm.s, out);
    out->failed |= text.failed || signal.failed || net.failed || codes.failed || firm.failed;
    sbuf_free(&text);
    sbuf_free(&signal);
    sbuf_free(&net);
    sbuf_free(&codes);
    sbuf_free(&firm);
    return ok;
}

void label_proof_page(const struct report *r, const void *user, struct sbuf *out)
{
    sbuf_puts(out, user);
    for (size_t i = 0; i < r->table_count; i++)
        page_table(out, r->tables[i]);
    page_findings(out, r);
}
