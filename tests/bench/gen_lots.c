/* gen_lots LOTS [SEED] - a year (or many) of invented lots as one record file on standard output,
 * for the measurements. The same arguments always give the same bytes.
 *
 * About 700 bytes a lot: a batch with three charges and steps and its yields, a label and a sale; a
 * receipt of spirit and one of material every twenty lots. */
#include "text/base.h"

#include "text/date.h"
#include "text/number.h"

/* Numerical Recipes' 64-bit linear congruential step (Knuth's MMIX constants): plain and
 * repeatable. */
static uint64_t state = 1;

static unsigned next(unsigned below)
{
    state = state * 6364136223846793005u + 1442695040888963407u;
    return (unsigned)(state >> 33) % below;
}

static const char *const materials[] = {"tonka", "vanilla-planifolia", "orris-pallida", "vetiver",
                                        "castoreum-na"};

enum { LOTS_PER_RECEIPT = 20, YEAR_DAYS = 365 };

static char *day(long days, char out[11])
{
    return date_format(days, out);
}

static void receipts(unsigned long n, long start)
{
    char a[11];
    printf("<receipt id=\"S%lu\" date=\"%s\" kind=\"solvent\" material=\"ethanol\" "
           "quantity=\"20 L\" container-size=\"4 L\" container-count=\"5\" "
           "container-material=\"metal\" place=\"store\" strength=\"96 %%vol\" supplier=\"P1\"/>\n",
           n, day(start - 3, a));
    printf("<receipt id=\"M%lu\" date=\"%s\" kind=\"material\" material=\"%s\" quantity=\"2 kg\" "
           "water=\"12 %%\" place=\"store\" supplier=\"P2\" origin-country=\"FR\"/>\n",
           n, day(start - 2, a), materials[n % LW_COUNT(materials)]);
}

static void lot(unsigned long i, long start)
{
    char a[11], b[11], c[11];
    unsigned long r = i / LOTS_PER_RECEIPT;
    unsigned grams = 40 + next(40), solvent_ml = 700 + next(100), out_ml = solvent_ml - 40;
    printf(
        "<batch id=\"L%lu\" product=\"Tincture %lu\" state=\"released\" ratio=\"1:15\" "
        "ratio-basis=\"mass-volume\" strength=\"94.%u %%vol\" start=\"%s\" strained=\"%s\" "
        "bottled=\"%s\" released=\"%s\" released-by=\"AB\" place=\"bench\" vessel-size=\"900 mL\" "
        "vessel-count=\"1\" vessel-material=\"glass\" by=\"AB\" checker=\"CD\">\n",
        i, i, next(10), day(start, a), day(start + 35, b), day(start + 37, c), day(start + 38, c));
    printf("<charge receipt=\"M%lu\" quantity=\"%u g\" date=\"%s\" by=\"AB\" instrument=\"W1\"/>\n",
           r, grams, a);
    printf(
        "<charge receipt=\"S%lu\" purpose=\"solvent\" quantity=\"%u mL\" date=\"%s\" by=\"AB\"/>\n",
        r, solvent_ml, a);
    printf(
        "<step kind=\"macerate\" date=\"%s\" place=\"bench\" by=\"AB\" temperature=\"%u degC\"/>\n",
        a, 17 + next(5));
    printf("<step kind=\"filter\" date=\"%s\" place=\"bench\" by=\"AB\" quantity=\"%u mL\"/>\n", b,
           solvent_ml);
    printf("<yield stage=\"strained\" quantity=\"%u mL\" date=\"%s\" by=\"AB\"/>\n", out_ml, b);
    printf("<yield stage=\"bottled\" bottles=\"%u\" bottle-size=\"30 mL\" "
           "container-material=\"glass\" "
           "place=\"shelf\" date=\"%s\" by=\"AB\"/>\n</batch>\n",
           out_ml / 30, c);
    printf("<sale id=\"V%lu\" date=\"%s\" buyer=\"P3\" to=\"US\" mode=\"road\">"
           "<line batch=\"L%lu\" bottles=\"%u\" bottle-size=\"30 mL\"/></sale>\n",
           i, day(start + 45, a), i, out_ml / 30);
}

int main(int argc, char **argv)
{
    long long lots = 0, seed = 1;
    long start = date_to_days(2026, 1, 5);
    if (argc < 2 || !number_integer(argv[1], &lots) || lots < 1 ||
        (argc > 2 && !number_integer(argv[2], &seed))) {
        fputs("usage: gen_lots LOTS [SEED]\n", stderr);
        return EXIT_FAILURE;
    }
    state = (uint64_t)seed;
    puts("<records units=\"us\">\n"
         "<premises id=\"W\" name=\"Measured workroom\" country=\"US\" code-sets=\"ifc-2018\" "
         "storey=\"1\" sprinklers=\"no\" employees=\"1\" use=\"workshop\" occupancy=\"B\"/>\n"
         "<person id=\"AB\" name=\"A. B.\"/>\n<person id=\"CD\" name=\"C. D.\"/>\n"
         "<party id=\"P1\" name=\"Spirit\" role=\"supplier\" country=\"US\"/>\n"
         "<party id=\"P2\" name=\"Materials\" role=\"supplier\" country=\"FR\"/>\n"
         "<party id=\"P3\" name=\"Buyer\" role=\"buyer\" country=\"US\"/>\n"
         "<instrument id=\"W1\" kind=\"scale\" calibrated=\"2026-01-02\" interval=\"40 day\"/>\n"
         "<place id=\"bench\" kind=\"room\" premises=\"W\" floor-area=\"20 m2\" height=\"2.5 m\" "
         "ventilation=\"mechanical\" air-changes=\"6 /h\"/>\n"
         "<place id=\"store\" kind=\"cabinet\" premises=\"W\" in=\"bench\" approved=\"yes\"/>\n"
         "<place id=\"shelf\" kind=\"shelf\" premises=\"W\" in=\"bench\"/>");
    for (unsigned long i = 0; i < (unsigned long)lots; i++) {
        long begin = start + (long)(i * (YEAR_DAYS - 60) / (unsigned long)lots);
        if (i % LOTS_PER_RECEIPT == 0)
            receipts(i / LOTS_PER_RECEIPT, begin);
        lot(i, begin);
    }
    puts("</records>");
    return fflush(stdout) == 0 && !ferror(stdout) ? EXIT_SUCCESS : EXIT_FAILURE;
}
