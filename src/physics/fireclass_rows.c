/* The classes of every scheme, as data: bounds in the scheme's own unit and words. */
#include "text/base.h"

#include "physics/fireclass.h"

#define NO_LOW  (-HUGE_VAL)
#define NO_HIGH HUGE_VAL

/* Bounds read: from, from belongs, to, to belongs. "below 73" is {.., 73, false}. */
#define ANY_BOIL         NO_LOW, true, NO_HIGH, true
#define BELOW(x)         NO_LOW, true, x, false
#define AT_OR_BELOW(x)   NO_LOW, true, x, true
#define FROM(x)          x, true, NO_HIGH, true
#define ABOVE(x)         x, false, NO_HIGH, true
#define FROM_BELOW(x, y) x, true, y, false
#define FROM_TO(x, y)    x, true, y, true
#define ABOVE_TO(x, y)   x, false, y, true

#define WORDS_F_IA                                                                                 \
    "flash point below 73 degF (22.8 degC) and boiling point below 100 degF (37.8 degC)"
#define WORDS_F_IB                                                                                 \
    "flash point below 73 degF (22.8 degC) and boiling point at or above 100 degF (37.8 degC)"
#define WORDS_F_IC   "flash point at or above 73 degF (22.8 degC) and below 100 degF (37.8 degC)"
#define WORDS_F_II   "flash point at or above 100 degF (37.8 degC) and below 140 degF (60 degC)"
#define WORDS_F_IIIA "flash point at or above 140 degF (60 degC) and below 200 degF (93.3 degC)"
#define WORDS_F_IIIB "flash point at or above 200 degF (93.3 degC)"

#define WORDS_GHS_1 "flash point below 23 degC and initial boiling point at or below 35 degC"
#define WORDS_GHS_2 "flash point below 23 degC and initial boiling point above 35 degC"
#define WORDS_GHS_3 "flash point at or above 23 degC and at or below 60 degC"
#define WORDS_GHS_4 "flash point above 60 degC and at or below 93 degC"

#define WORDS_PG_I  "initial boiling point at or below 35 degC, any flash point"
#define WORDS_PG_II "flash point below 23 degC and initial boiling point above 35 degC"
#define WORDS_PG_III                                                                               \
    "flash point at or above 23 degC and at or below 60 degC, initial boiling point above 35 degC"

#define WORDS_OSHA_1                                                                               \
    "flash point below 73.4 degF (23 degC) and boiling point at or below 95 degF (35 degC)"
#define WORDS_OSHA_2                                                                               \
    "flash point below 73.4 degF (23 degC) and boiling point above 95 degF (35 degC)"
#define WORDS_OSHA_3                                                                               \
    "flash point at or above 73.4 degF (23 degC) and at or below 140 degF (60 degC)"
#define WORDS_OSHA_4 "flash point above 140 degF (60 degC) and at or below 199.4 degF (93 degC)"

#define CITE_NFPA "NFPA 30, classification of liquids"
#define CITE_IFC  "International Fire Code 2018, chapter 2, flammable liquid and combustible liquid"
#define CITE_OSHA "29 CFR 1910.106(a)(19)"
#define CITE_GHS  "UN GHS, chapter 2.6, table 2.6.1"
#define CITE_CLP  "Regulation (EC) No 1272/2008, Annex I, table 2.6.1"
#define CITE_NFC  "National Fire Code of Canada, Division B, 4.1.2.1"
#define CITE_UN   "UN Model Regulations 2.3.2.6; ADR 2.2.3.1.3; 49 CFR 173.121(a)"
#define CITE_TDG  "Canada, Transportation of Dangerous Goods Regulations, class 3"
#define CITE_AS   "AS 1940:2017, classes of flammable and combustible liquids"
#define CITE_704  "NFPA 704, flammability criteria"

static const struct fire_row NFPA[] = {
    {FIRE_NFPA, "IA", "Class IA", WORDS_F_IA, CITE_NFPA, "secondary", true, BELOW(73), BELOW(100)},
    {FIRE_NFPA, "IB", "Class IB", WORDS_F_IB, CITE_NFPA, "secondary", true, BELOW(73), FROM(100)},
    {FIRE_NFPA, "IC", "Class IC", WORDS_F_IC, CITE_NFPA, "secondary", true, FROM_BELOW(73, 100),
     ANY_BOIL},
    {FIRE_NFPA, "II", "Class II", WORDS_F_II, CITE_NFPA, "secondary", true, FROM_BELOW(100, 140),
     ANY_BOIL},
    {FIRE_NFPA, "IIIA", "Class IIIA", WORDS_F_IIIA, CITE_NFPA, "secondary", true,
     FROM_BELOW(140, 200), ANY_BOIL},
    {FIRE_NFPA, "IIIB", "Class IIIB", WORDS_F_IIIB, CITE_NFPA, "secondary", true, FROM(200),
     ANY_BOIL},
};

static const struct fire_row IFC[] = {
    {FIRE_IFC, "IA", "Class IA", WORDS_F_IA, CITE_IFC, "verified", true, BELOW(73), BELOW(100)},
    {FIRE_IFC, "IB", "Class IB", WORDS_F_IB, CITE_IFC, "verified", true, BELOW(73), FROM(100)},
    {FIRE_IFC, "IC", "Class IC", WORDS_F_IC, CITE_IFC, "verified", true, FROM_BELOW(73, 100),
     ANY_BOIL},
    {FIRE_IFC, "II", "Class II", WORDS_F_II, CITE_IFC, "verified", true, FROM_BELOW(100, 140),
     ANY_BOIL},
    {FIRE_IFC, "IIIA", "Class IIIA", WORDS_F_IIIA, CITE_IFC, "verified", true, FROM_BELOW(140, 200),
     ANY_BOIL},
    {FIRE_IFC, "IIIB", "Class IIIB", WORDS_F_IIIB, CITE_IFC, "verified", true, FROM(200), ANY_BOIL},
};

static const struct fire_row OSHA[] = {
    {FIRE_OSHA, "1", "Category 1", WORDS_OSHA_1, CITE_OSHA, "two-sources", true, BELOW(73.4),
     AT_OR_BELOW(95)},
    {FIRE_OSHA, "2", "Category 2", WORDS_OSHA_2, CITE_OSHA, "two-sources", true, BELOW(73.4),
     ABOVE(95)},
    {FIRE_OSHA, "3", "Category 3", WORDS_OSHA_3, CITE_OSHA, "two-sources", true, FROM_TO(73.4, 140),
     ANY_BOIL},
    {FIRE_OSHA, "4", "Category 4", WORDS_OSHA_4, CITE_OSHA, "two-sources", true,
     ABOVE_TO(140, 199.4), ANY_BOIL},
};

static const struct fire_row GHS[] = {
    {FIRE_GHS, "1", "Category 1", WORDS_GHS_1, CITE_GHS, "verified", false, BELOW(23),
     AT_OR_BELOW(35)},
    {FIRE_GHS, "2", "Category 2", WORDS_GHS_2, CITE_GHS, "verified", false, BELOW(23), ABOVE(35)},
    {FIRE_GHS, "3", "Category 3", WORDS_GHS_3, CITE_GHS, "verified", false, FROM_TO(23, 60),
     ANY_BOIL},
    {FIRE_GHS, "4", "Category 4", WORDS_GHS_4, CITE_GHS, "verified", false, ABOVE_TO(60, 93),
     ANY_BOIL},
};

static const struct fire_row CLP[] = {
    {FIRE_CLP, "1", "Category 1", WORDS_GHS_1, CITE_CLP, "verified", false, BELOW(23),
     AT_OR_BELOW(35)},
    {FIRE_CLP, "2", "Category 2", WORDS_GHS_2, CITE_CLP, "verified", false, BELOW(23), ABOVE(35)},
    {FIRE_CLP, "3", "Category 3", WORDS_GHS_3, CITE_CLP, "verified", false, FROM_TO(23, 60),
     ANY_BOIL},
};

static const struct fire_row CANADA[] = {
    {FIRE_CANADA, "IA", "Class IA", "flash point below 22.8 degC and boiling point below 37.8 degC",
     CITE_NFC, "from-memory", false, BELOW(22.8), BELOW(37.8)},
    {FIRE_CANADA, "IB", "Class IB",
     "flash point below 22.8 degC and boiling point at or above 37.8 degC", CITE_NFC, "from-memory",
     false, BELOW(22.8), FROM(37.8)},
    {FIRE_CANADA, "IC", "Class IC", "flash point at or above 22.8 degC and below 37.8 degC",
     CITE_NFC, "from-memory", false, FROM_BELOW(22.8, 37.8), ANY_BOIL},
    {FIRE_CANADA, "II", "Class II", "flash point at or above 37.8 degC and below 60 degC", CITE_NFC,
     "from-memory", false, FROM_BELOW(37.8, 60), ANY_BOIL},
    {FIRE_CANADA, "IIIA", "Class IIIA", "flash point at or above 60 degC and below 93.3 degC",
     CITE_NFC, "from-memory", false, FROM_BELOW(60, 93.3), ANY_BOIL},
};

static const struct fire_row UN[] = {
    {FIRE_UN, "I", "Packing group I", WORDS_PG_I, CITE_UN, "verified", false, NO_LOW, true, NO_HIGH,
     true, AT_OR_BELOW(35)},
    {FIRE_UN, "II", "Packing group II", WORDS_PG_II, CITE_UN, "verified", false, BELOW(23),
     ABOVE(35)},
    {FIRE_UN, "III", "Packing group III", WORDS_PG_III, CITE_UN, "verified", false, FROM_TO(23, 60),
     ABOVE(35)},
};

static const struct fire_row CANADA_TDG[] = {
    {FIRE_CANADA_TDG, "I", "Packing group I", WORDS_PG_I, CITE_TDG, "secondary", false, NO_LOW,
     true, NO_HIGH, true, AT_OR_BELOW(35)},
    {FIRE_CANADA_TDG, "II", "Packing group II", WORDS_PG_II, CITE_TDG, "secondary", false,
     BELOW(23), ABOVE(35)},
    {FIRE_CANADA_TDG, "III", "Packing group III", WORDS_PG_III, CITE_TDG, "secondary", false,
     FROM_TO(23, 60), ABOVE(35)},
};

static const struct fire_row AUSTRALIA[] = {
    {FIRE_AUSTRALIA, "I", "Packing group I", WORDS_GHS_1, CITE_AS, "secondary", false, BELOW(23),
     AT_OR_BELOW(35)},
    {FIRE_AUSTRALIA, "II", "Packing group II", WORDS_GHS_2, CITE_AS, "secondary", false, BELOW(23),
     ABOVE(35)},
    {FIRE_AUSTRALIA, "III", "Packing group III", WORDS_GHS_3, CITE_AS, "secondary", false,
     FROM_TO(23, 60), ANY_BOIL},
    {FIRE_AUSTRALIA, "C1", "Combustible C1", WORDS_GHS_4, CITE_AS, "secondary", false,
     ABOVE_TO(60, 93), ANY_BOIL},
    {FIRE_AUSTRALIA, "C2", "Combustible C2", "flash point above 93 degC", CITE_AS, "from-memory",
     false, ABOVE(93), ANY_BOIL},
};

static const struct fire_row NFPA_704[] = {
    {FIRE_NFPA_704, "4", "Flammability 4", WORDS_F_IA, CITE_704, "two-sources", true, BELOW(73),
     BELOW(100)},
    {FIRE_NFPA_704, "3", "Flammability 3", WORDS_F_IB, CITE_704, "two-sources", true, BELOW(73),
     FROM(100)},
    {FIRE_NFPA_704, "3", "Flammability 3", WORDS_F_IC, CITE_704, "two-sources", true,
     FROM_BELOW(73, 100), ANY_BOIL},
    {FIRE_NFPA_704, "2", "Flammability 2",
     "flash point at or above 100 degF (37.8 degC) and below 200 degF (93.3 degC)", CITE_704,
     "two-sources", true, FROM_BELOW(100, 200), ANY_BOIL},
    {FIRE_NFPA_704, "1", "Flammability 1", WORDS_F_IIIB, CITE_704, "two-sources", true, FROM(200),
     ANY_BOIL},
};

struct scheme {
    const char *token;
    const char *title;
    const struct fire_row *rows;
    size_t count;
};

#define ROWS(table) table, LW_COUNT(table)

/* In the order of enum fire_scheme. */
static const struct scheme SCHEMES[FIRE_SCHEME_COUNT] = {
    {"nfpa", "NFPA 30", ROWS(NFPA)},
    {"ifc", "International Fire Code", ROWS(IFC)},
    {"osha", "OSHA 29 CFR 1910.106", ROWS(OSHA)},
    {"ghs", "UN GHS", ROWS(GHS)},
    {"clp", "EU and GB CLP", ROWS(CLP)},
    {"canada", "National Fire Code of Canada", ROWS(CANADA)},
    {"un", "UN packing group", ROWS(UN)},
    {"canada-tdg", "Canada TDG packing group", ROWS(CANADA_TDG)},
    {"australia", "Australia AS 1940", ROWS(AUSTRALIA)},
    {"nfpa-704", "NFPA 704 flammability", ROWS(NFPA_704)},
};

static bool known(enum fire_scheme scheme)
{
    return (unsigned)scheme < FIRE_SCHEME_COUNT;
}

const char *fire_scheme_token(enum fire_scheme scheme)
{
    return known(scheme) ? SCHEMES[scheme].token : NULL;
}

const char *fire_scheme_title(enum fire_scheme scheme)
{
    return known(scheme) ? SCHEMES[scheme].title : NULL;
}

bool fire_scheme_from_token(const char *token, size_t length, enum fire_scheme *scheme)
{
    for (unsigned i = 0; token != NULL && i < FIRE_SCHEME_COUNT; i++) {
        if (strlen(SCHEMES[i].token) == length && memcmp(SCHEMES[i].token, token, length) == 0) {
            *scheme = (enum fire_scheme)i;
            return true;
        }
    }
    return false;
}

const struct fire_row *fireclass_rows(enum fire_scheme scheme, size_t *count)
{
    *count = known(scheme) ? SCHEMES[scheme].count : 0;
    return known(scheme) ? SCHEMES[scheme].rows : NULL;
}
