/* gen_lots LOTS [SEED] [--trouble RATE] - invented lots as one record file on standard output, for
 * the measurements. The same arguments always give the same bytes.
 *
 * About 300 lots a year, up to 25 years back; more lots than that make fuller years. Each lot is a
 * whole card as a careful workroom keeps it (two charges, nine steps, five yields, four checks),
 * with a label run and a waste record; each is sold. A receipt of spirit and one of
 * material, with invoice and statement, come every eight lots. About 7 KB of XML a lot.
 *
 * RATE, 0 to 1 (0 when not given), is the share of lots with one planted trouble: something left
 * out, or a figure that is off. */
#include "text/base.h"

#include "gen_workroom.h"
#include "text/date.h"
#include "text/number.h"
#include "text/utf8.h"

/* Knuth's MMIX constants of a 64-bit linear congruential step: plain and repeatable. */
static uint64_t state = 1;

static unsigned next(unsigned below)
{
    state = state * 6364136223846793005u + 1442695040888963407u;
    return (unsigned)(state >> 33) % below;
}

enum {
    LOTS_PER_RECEIPT = 8, /* 2.36 L each out of 18.9 L */
    LOTS_PER_YEAR = 300,
    SOLVENT_ML = 2360,
    BOTTLE_ML = 50,
    YEARS_MOST = 25,
    YEAR_DAYS = 365,
    CARD_DAYS = 70, /* from start to sale */
    FREEZER_DAYS = 3,
    PARTS_PER_ONE = 1000000
};

static const struct material {
    const char *id, *name, *latin, *form, *product, *water, *ratio, *country, *strength;
    unsigned grams, days, marc_g, strained_ml;
} materials[] = {
    {"vanilla-planifolia", "cured vanilla beans", "Vanilla planifolia", "pods", "Vanilla tincture",
     "28 %", "1:10", "MG", "92.8 %vol", 236, 56, 318, 2160},
    {"orris-pallida", "orris root, cut", "Iris pallida", "root", "Orris tincture", "9 %", "1:5",
     "IT", "93.6 %vol", 472, 42, 816, 1910},
};

/* What is planted: one of these a lot, or none. */
enum trouble {
    TROUBLE_NONE,
    TROUBLE_LID,        /* steeped without a lid on record */
    TROUBLE_CHECKER,    /* nobody looked at the release */
    TROUBLE_WASTE,      /* the spent material is nowhere */
    TROUBLE_BOTTLES,    /* a third of the bottles is not accounted for */
    TROUBLE_RATIO,      /* the card says another ratio */
    TROUBLE_LABEL,      /* the label lacks its signal word */
    TROUBLE_AREA,       /* an open tray: far too much vapour */
    TROUBLE_CLEANING,   /* no cleaning before the work */
    TROUBLE_SAMPLE,     /* no sample kept back */
    TROUBLE_SPECIMEN,   /* no label kept with the card */
    TROUBLE_INSTRUMENT, /* weighed on nothing in particular */
    TROUBLE_SIGNED,     /* released by nobody */
    TROUBLE_COUNT
};

/* The same for one receipt in eight lots. */
enum receipt_trouble { RECEIPT_GOOD, RECEIPT_NAME, RECEIPT_INVOICE, RECEIPT_COUNT };

static const char *day(long days, char out[11])
{
    return date_format(days, out);
}

static void receipts(unsigned long n, long start, enum receipt_trouble t)
{
    const struct material *m = &materials[n % LW_COUNT(materials)];
    char a[11], b[11], latin[80] = "", invoice[24] = "";

    if (t != RECEIPT_NAME)
        snprintf(latin, sizeof latin, " scientific-name=\"%s\"", m->latin);
    if (t != RECEIPT_INVOICE)
        snprintf(invoice, sizeof invoice, "IM%lu ", n);
    day(start - 4, a);
    printf("<receipt id=\"S%lu\" date=\"%s\" kind=\"solvent\" material=\"ethanol\" name=\"ethanol "
           "190 proof\""
           " form=\"liquid\" supplier=\"P1\" supplier-lot=\"V%lu\" quantity=\"5 gal\" "
           "container-size=\"5 gal\""
           " container-count=\"1\" container-material=\"safety-can\" place=\"cabinet\" "
           "strength=\"190 proof\""
           " grade=\"rectified\" alcohol-status=\"duty-paid\" origin-country=\"US\" "
           "shipped-from=\"US\""
           " acquisition=\"bought\" documents=\"IS%lu SDS1\" by=\"AB\"/>\n",
           n, a, n, n);
    printf(
        "<document id=\"IS%lu\" kind=\"commercial-invoice\" number=\"V%lu\" issuer=\"Spirit works\""
        " party=\"P1\" issued=\"%s\" received=\"%s\" material=\"ethanol\""
        " name-on-document=\"ethanol 190 proof\" quantity=\"5 gal\" copy-kept=\"yes\"/>\n",
        n, n, a, a);
    day(start - 3, b);
    printf("<receipt id=\"M%lu\" date=\"%s\" kind=\"material\" material=\"%s\" name=\"%s\""
           "%s form=\"%s\" supplier=\"P2\" supplier-lot=\"B%lu\" "
           "quantity=\"%u g\""
           " container-count=\"1\" container-material=\"paper\" place=\"dryshelf\" water=\"%s\""
           " origin-country=\"%s\" shipped-from=\"US\" source-code=\"A\" acquisition=\"bought\""
           " documents=\"%sST%lu\" best-before=\"2051-01-01\" by=\"AB\"/>\n",
           n, b, m->id, m->name, latin, m->form, n, m->grams * LOTS_PER_RECEIPT, m->water,
           m->country, invoice, n);
    printf(
        "<document id=\"IM%lu\" kind=\"commercial-invoice\" number=\"B%lu\" issuer=\"Botanicals\""
        " party=\"P2\" issued=\"%s\" received=\"%s\" material=\"%s\" name-on-document=\"%s\""
        " scientific-name=\"%s\" quantity=\"%u g\" origin-country=\"%s\" copy-kept=\"yes\"/>\n",
        n, n, b, b, m->id, m->name, m->latin, m->grams * LOTS_PER_RECEIPT, m->country);
    printf("<document id=\"ST%lu\" kind=\"supplier-statement\" issuer=\"Botanicals\" party=\"P2\""
           " issued=\"%s\" received=\"%s\" material=\"%s\" scientific-name=\"%s\" source-code=\"A\""
           " origin-country=\"%s\" signature=\"yes\" states=\"Grown or gathered lawfully; first "
           "imported"
           " by the supplier.\" copy-kept=\"yes\" note=\"Given for lot M%lu.\"/>\n",
           n, b, b, m->id, m->latin, m->country, n);
}

#define BY " by=\"AB\" checker=\"CD\""
#define GLASS                                                                                      \
    " from-material=\"glass\" to-material=\"glass\" bonded=\"not-needed\" ventilation-on=\"yes\" " \
    "alone=\"no\""

/* What came out of one lot. */
struct out {
    unsigned strained_ml, filtered_ml, marc_g, lost_ml, bottles;
};

static void steps(const char dates[][11], unsigned vessel, const struct out *o, enum trouble t)
{
    const char *start = dates[0], *strained = dates[1], *chilled = dates[2], *filtered = dates[3],
               *bottled = dates[4];

    if (t != TROUBLE_CLEANING)
        printf("<step kind=\"clean\" date=\"%s\" place=\"workshop\" equipment=\"J%u\" by=\"AB\" "
               "text=\"Jars and"
               " funnel washed, rinsed and dried.\"/>\n",
               start, vessel);
    printf("<step kind=\"weigh\" date=\"%s\" place=\"workshop\"" BY " instrument=\"SC1\"/>\n",
           start);
    printf("<step kind=\"pour\" date=\"%s\" duration=\"%s\" place=\"workshop\" quantity=\"2.36 L\""
           " open-area=\"%s\" temperature=\"20 degC\" lid=\"open\" from-material=\"safety-can\""
           " to-material=\"glass\" bonded=\"not-needed\" ventilation-on=\"yes\" alone=\"no\"" BY
           "/>\n",
           start, t == TROUBLE_AREA ? "180 min" : "15 min",
           t == TROUBLE_AREA ? "2.5 m2" : "0.0135 m2");
    printf("<step kind=\"macerate\" date=\"%s\" until=\"%s\" place=\"shelf\" quantity=\"2.36 L\""
           " temperature=\"20 degC\"%s by=\"AB\" text=\"Turned by hand once a day.\"/>\n",
           start, strained, t == TROUBLE_LID ? "" : " lid=\"screw-cap\"");
    printf("<step kind=\"strain\" date=\"%s\" duration=\"30 min\" place=\"workshop\" "
           "quantity=\"%u mL\""
           " open-area=\"0.05 m2\" temperature=\"20 degC\" lid=\"open\"" GLASS BY "/>\n",
           strained, o->strained_ml);
    printf("<step kind=\"chill\" date=\"%s\" until=\"%s\" place=\"fz1\" quantity=\"%u mL\""
           " temperature=\"-18 degC\" lid=\"screw-cap\" by=\"AB\"/>\n",
           strained, chilled, o->strained_ml);
    printf("<step kind=\"filter\" date=\"%s\" duration=\"60 min\" place=\"workshop\" "
           "quantity=\"%u mL\""
           " open-area=\"0.03 m2\" temperature=\"18 degC\" lid=\"covered\"" GLASS
           " warm-up=\"4 h\"" BY "/>\n",
           filtered, o->filtered_ml);
    printf("<step kind=\"bottle\" date=\"%s\" duration=\"45 min\" place=\"workshop\" "
           "quantity=\"%u mL\""
           " open-area=\"0.004 m2\" temperature=\"20 degC\" lid=\"covered\"" GLASS BY "/>\n",
           bottled, o->bottles * BOTTLE_ML);
    printf("<step kind=\"label\" date=\"%s\" place=\"workshop\" by=\"CD\" checker=\"AB\"/>\n",
           bottled);
}

static void yields(const char dates[][11], const struct out *o, enum trouble t)
{
    unsigned bottles = t == TROUBLE_BOTTLES ? o->bottles * 2 / 3 : o->bottles;

    printf("<reading kind=\"temperature\" date=\"%s\" temperature=\"18 degC\" instrument=\"TH1\" "
           "by=\"AB\"/>\n",
           dates[3]);
    printf(
        "<yield stage=\"strained\" quantity=\"%u mL\" container-material=\"glass\" place=\"shelf\""
        " date=\"%s\"" BY "/>\n",
        o->strained_ml, dates[1]);
    if (t != TROUBLE_WASTE)
        printf(
            "<yield stage=\"marc\" quantity=\"%u g\" container-material=\"metal\" place=\"yardcan\""
            " date=\"%s\"" BY "/>\n",
            o->marc_g, dates[1]);
    printf(
        "<yield stage=\"filtered\" quantity=\"%u mL\" container-material=\"glass\" place=\"shelf\""
        " date=\"%s\"" BY "/>\n",
        o->filtered_ml, dates[3]);
    printf("<yield stage=\"bottled\" quantity=\"%u mL\" bottles=\"%u\" bottle-size=\"50 mL\""
           " container-material=\"glass\" place=\"cabinet\" date=\"%s\"" BY "/>\n",
           bottles * BOTTLE_ML, bottles, dates[4]);
    if (t != TROUBLE_SAMPLE)
        printf("<yield stage=\"sample\" quantity=\"%u mL\" container-material=\"glass\" "
               "place=\"cabinet\""
               " date=\"%s\"" BY "/>\n",
               o->filtered_ml - o->bottles * BOTTLE_ML - 10, dates[4]);
}

static void checks(const char dates[][11], enum trouble t)
{
    if (t != TROUBLE_CLEANING)
        printf("<check kind=\"cleaning\" opened=\"%s\" closed=\"%s\" result=\"pass\" by=\"AB\" "
               "text=\"Jars, funnel"
               " and bench looked over before the start.\"/>\n",
               dates[0], dates[0]);
    printf("<check kind=\"second-check\" opened=\"%s\" closed=\"%s\" result=\"pass\" by=\"CD\" "
           "text=\"Weights"
           " and lot numbers read back.\"/>\n",
           dates[0], dates[0]);
    if (t != TROUBLE_SPECIMEN)
        printf(
            "<check kind=\"label-specimen\" opened=\"%s\" closed=\"%s\" result=\"pass\" by=\"CD\" "
            "text=\"One"
            " label kept with the card.\"/>\n",
            dates[4], dates[4]);
    if (t != TROUBLE_CHECKER)
        printf("<check kind=\"release\" opened=\"%s\" closed=\"%s\" result=\"pass\" by=\"CD\" "
               "text=\"Card read"
               " through, clear and bright, label right.\"/>\n",
               dates[5], dates[5]);
}

static void label(unsigned long i, const struct material *m, const char dates[][11],
                  const struct out *o, enum trouble t)
{
    printf(
        "<label id=\"B%lu\" batch=\"L%lu\" market=\"US\" regime=\"us-hcs\" product-name=\"%s\""
        " capacity=\"54 mL\" net-quantity=\"50 mL\" net-quantity-us=\"1.69 fl oz\" strength=\"%s\""
        " lot=\"L%lu\"",
        i, i, m->product, m->strength, i);
    printf(label_words, t == TROUBLE_LABEL ? "none" : "danger");
    printf(
        " ingredients=\"ethanol, water, extract of %s\" party-name=\"Measured workroom\""
        " party-address=\"1 Row, Ostler Quay, VT 05099\" party-phone=\"802-555-0199\" "
        "party-country=\"US\""
        " origin-text=\"%s, origin %s\" best-before=\"%s\" period-after-opening=\"24M\""
        " use=\"For blending by perfumers. Not for skin undiluted. Not for food.\""
        " claims=\"For perfumery. For professional use.\" cas=\"64-17-5\" languages=\"en\""
        " tactile-warning=\"no\" child-resistant=\"no\" panel-width=\"42 mm\" panel-height=\"60 "
        "mm\""
        " letter-height=\"3.2 mm\" text-height=\"1.5 mm\" pictogram-side=\"12 mm\" revision=\"r3\""
        " revision-from=\"1999-01-01\" issued=\"%u\" used=\"%u\" spoiled=\"2\" returned=\"2\" "
        "printed=\"%s\""
        " intended-use=\"maker-material\" scientific-name=\"%s\" origin-country=\"%s\""
        " solvent=\"undenatured ethanol, 190 proof\" ratio=\"%s w/v\" date-made=\"%s\""
        " date-filtered=\"%s\" sds=\"on request from the maker\" storage=\"Cool, dark, closed, "
        "away from"
        " ignition.\" warning=\"Not for consumption. Contains alcohol - keep away from flame.\""
        " transport-mark=\"UN1197, limited quantity\"/>\n",
        m->latin, m->name, m->country, dates[7],
        (t == TROUBLE_BOTTLES ? o->bottles * 2 / 3 : o->bottles) + 4,
        t == TROUBLE_BOTTLES ? o->bottles * 2 / 3 : o->bottles, dates[4], m->latin, m->country,
        m->ratio, dates[0], dates[1]);
}

static void trade(unsigned long i, const struct material *m, const char dates[][11],
                  const struct out *o, enum trouble t)
{
    label(i, m, dates, o, t);
    if (t != TROUBLE_WASTE)
        printf("<waste id=\"W%lu\" date=\"%s\" batch=\"L%lu\" kind=\"marc\" quantity=\"%u g\" "
               "liquid=\"%u mL\""
               " strength=\"%s\" container=\"covered-metal\" place=\"yardcan\" removed=\"%s\""
               " route=\"licensed-collector\" by=\"AB\"/>\n",
               i, dates[1], i, o->marc_g, o->lost_ml, m->strength, dates[2]);
    printf(
        "<sale id=\"V%lu\" date=\"%s\" shipped=\"%s\" buyer=\"P3\" from=\"US\" to=\"US\" "
        "mode=\"road\""
        " carrier=\"P4\" parcels=\"2\" inner-sealed=\"yes\" absorbent=\"yes\" orientation=\"yes\""
        " hazard-mark=\"limited quantity\" un-number=\"UN1197\" shipping-name=\"EXTRACTS, LIQUID\""
        " packing-group=\"II\" carried-as=\"limited-quantity\" gross-mass=\"9 kg\">"
        "<line batch=\"L%lu\" label=\"B%lu\" bottles=\"%u\" bottle-size=\"50 mL\""
        " description=\"%s, %s in ethanol\" hs-code=\"3302.90\"/></sale>\n",
        i, dates[6], dates[6], i, i, t == TROUBLE_BOTTLES ? o->bottles * 2 / 3 : o->bottles,
        m->product, m->latin);
}

static void lot(unsigned long i, long start, enum trouble t)
{
    const struct material *m = &materials[i / LOTS_PER_RECEIPT % LW_COUNT(materials)];
    unsigned long r = i / LOTS_PER_RECEIPT;
    unsigned vessel = (unsigned)(i % 100000), tenths = 10 * m->grams - next(40);
    struct out o;
    char dates[8][11];

    o.strained_ml = m->strained_ml + next(40);
    o.filtered_ml = o.strained_ml - 50 - next(15);
    o.bottles = (o.filtered_ml - 60) / BOTTLE_ML; /* a sample is kept, some stays in the funnel */
    o.lost_ml = SOLVENT_ML - o.strained_ml;
    o.marc_g =
        m->marc_g + next(7) - (o.strained_ml - m->strained_ml) * 4 / 5; /* 0.8 g a millilitre */
    day(start, dates[0]);
    day(start + (long)m->days, dates[1]);
    day(start + (long)m->days + FREEZER_DAYS - 1, dates[2]);
    day(start + (long)m->days + FREEZER_DAYS, dates[3]);
    day(start + (long)m->days + 5, dates[4]);
    day(start + (long)m->days + 7, dates[5]);
    day(start + (long)m->days + 9, dates[6]);
    day(start + (long)m->days + 3 * YEAR_DAYS, dates[7]);
    printf(
        "<batch id=\"L%lu\" product=\"%s\" product-kind=\"material\" state=\"released\" "
        "formula=\"F-%s\""
        " ratio=\"%s\" ratio-basis=\"mass-volume\" strength=\"%s\" start=\"%s\" days=\"%u day\""
        " stated-days=\"%u day\" strained=\"%s\" bottled=\"%s\" released=\"%s\"%s"
        " place=\"shelf\" vessel=\"J%u\" vessel-size=\"1 qt\" vessel-count=\"3\" "
        "vessel-material=\"glass\""
        " closure=\"screw-cap\" fill-temperature=\"20 degC\" fill=\"800 mL\" volume=\"2.36 L\""
        " vessel-label=\"%s L%lu, %s ethanol, highly flammable, started %s\" hold-time=\"90 day\""
        " best-before=\"%s\"" BY " composition=\"complete\">\n",
        i, m->product, m->id, t == TROUBLE_RATIO ? "1:20" : m->ratio, m->strength, dates[0],
        m->days, m->days, dates[1], dates[4], dates[5],
        t == TROUBLE_SIGNED ? "" : " released-by=\"CD\"", vessel, m->product, i, m->strength,
        dates[0], dates[7]);
    printf("<charge receipt=\"M%lu\" purpose=\"extracted\" quantity=\"%u.%u g\" date=\"%s\"" BY
           "%s/>\n",
           r, tenths / 10, tenths % 10, dates[0],
           t == TROUBLE_INSTRUMENT ? "" : " instrument=\"SC1\"");
    printf("<charge receipt=\"S%lu\" purpose=\"solvent\" quantity=\"%u mL\" temperature=\"20 degC\""
           " date=\"%s\"" BY " instrument=\"CY1\"/>\n",
           r, (unsigned)SOLVENT_ML, dates[0]);
    steps((const char(*)[11])dates, vessel, &o, t);
    yields((const char(*)[11])dates, &o, t);
    checks((const char(*)[11])dates, t);
    puts("</batch>");
    trade(i, m, (const char(*)[11])dates, &o, t);
}

static void formulas(void)
{
    for (size_t i = 0; i < LW_COUNT(materials); i++)
        printf("<formula id=\"F-%s\" product=\"%s\" ratio=\"%s\" ratio-basis=\"mass-volume\""
               " strength=\"95 %%vol\" days=\"%u day\" from=\"1999-01-01\"><part material=\"%s\""
               " purpose=\"extracted\" quantity=\"%u g\"/><part material=\"ethanol\" "
               "purpose=\"solvent\""
               " quantity=\"2.36 L\"/></formula>\n",
               materials[i].id, materials[i].product, materials[i].ratio, materials[i].days,
               materials[i].id, materials[i].grams);
}

/* The freezer is read every day. */
static void logs(long from, long to)
{
    char a[11];

    for (long d = from; d <= to; d++)
        printf("<log id=\"T%ld\" date=\"%s\" place=\"fz1\" temperature=\"-%ld degC\" by=\"AB\"/>\n",
               d, day(d, a), 17 + d % 3);
}

/* "0.05" as parts of a million. */
static bool rate(const char *text, unsigned *out)
{
    double v = 0;

    if (!number_exact(text, &v) || !(v >= 0) || v > 1)
        return false;
    *out = (unsigned)(v * PARTS_PER_ONE + 0.5);
    return true;
}

int main(int argc, char **argv)
{
    long long lots = 0, seed = 1;
    unsigned trouble = 0;
    bool ok = argc >= 2 && number_integer(argv[1], &lots) && lots >= 1;

    for (int i = 2; ok && i < argc; i++) {
        if (str_eq(argv[i], "--trouble"))
            ok = ++i < argc && rate(argv[i], &trouble);
        else
            ok = number_integer(argv[i], &seed);
    }
    if (!ok) {
        fputs("usage: gen_lots LOTS [SEED] [--trouble RATE]\n", stderr);
        return EXIT_FAILURE;
    }
    state = (uint64_t)seed;

    unsigned long n = (unsigned long)lots;
    unsigned long years = (n + LOTS_PER_YEAR - 1) / LOTS_PER_YEAR;
    long span = (long)(years > YEARS_MOST ? YEARS_MOST : years) * YEAR_DAYS - CARD_DAYS;
    long begin = date_to_days(2026, 12, 28) - CARD_DAYS - span;

    fputs(workroom, stdout);
    formulas();
    logs(begin, begin + span + CARD_DAYS);
    for (unsigned long i = 0; i < n; i++) {
        long start = begin + (long)((double)i * (double)span / (double)n);
        bool planted = next(PARTS_PER_ONE) < trouble;

        if (i % LOTS_PER_RECEIPT == 0)
            receipts(i / LOTS_PER_RECEIPT, start,
                     next(PARTS_PER_ONE) < trouble
                         ? (enum receipt_trouble)(1 + next(RECEIPT_COUNT - 1))
                         : RECEIPT_GOOD);
        lot(i, start, planted ? (enum trouble)(1 + next(TROUBLE_COUNT - 1)) : TROUBLE_NONE);
    }
    puts("</records>");
    return fflush(stdout) == 0 && !ferror(stdout) ? EXIT_SUCCESS : EXIT_FAILURE;
}
