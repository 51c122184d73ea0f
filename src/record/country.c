/* country.c - two-letter country codes.
 *
 * ISO 3166-1 alpha-2 as in the IANA time zone database (iso3166.tab, 249 codes). The trade and
 * former codes are those of wildlife trade papers (guide to using the CITES trade database). The
 * shipped table data/catalogue/country.xml says what each code means; a test holds the two
 * together. */
#include "text/base.h"

#include "record/country.h"
#include "record/dictionary.h"

static const char iso[] = "AD AE AF AG AI AL AM AO AQ AR AS AT AU AW AX AZ BA BB BD BE BF BG BH BI "
                          "BJ BL BM BN BO BQ BR BS BT BV BW BY BZ CA CC CD CF CG CH CI CK CL CM CN "
                          "CO CR CU CV CW CX CY CZ DE DJ DK DM DO DZ EC EE EG EH ER ES ET FI FJ FK "
                          "FM FO FR GA GB GD GE GF GG GH GI GL GM GN GP GQ GR GS GT GU GW GY HK HM "
                          "HN HR HT HU ID IE IL IM IN IO IQ IR IS IT JE JM JO JP KE KG KH KI KM KN "
                          "KP KR KW KY KZ LA LB LC LI LK LR LS LT LU LV LY MA MC MD ME MF MG MH MK "
                          "ML MM MN MO MP MQ MR MS MT MU MV MW MX MY MZ NA NC NE NF NG NI NL NO NP "
                          "NR NU NZ OM PA PE PF PG PH PK PL PM PN PR PS PT PW PY QA RE RO RS RU RW "
                          "SA SB SC SD SE SG SH SI SJ SK SL SM SN SO SR SS ST SV SX SY SZ TC TD TF "
                          "TG TH TJ TK TL TM TN TO TR TT TV TW TZ UA UG UM US UY UZ VA VC VE VG VI "
                          "VN VU WF WS YE YT ZA ZM ZW";
static const char trade[] = "XA XC XE XF XM XS XV XX ZZ CP KV";
static const char former[] = "AN CS DD NT PC SU YD YU ZC";

enum country_status country_status(const char *code, size_t n)
{
    if (n != 2) {
        return COUNTRY_UNKNOWN;
    }
    if (dict_word(iso, code, n)) {
        return COUNTRY_ISO;
    }
    if (dict_word(trade, code, n)) {
        return COUNTRY_TRADE;
    }
    return dict_word(former, code, n) ? COUNTRY_FORMER : COUNTRY_UNKNOWN;
}

const char *country_codes(enum country_status group)
{
    switch (group) {
    case COUNTRY_ISO:
        return iso;
    case COUNTRY_TRADE:
        return trade;
    case COUNTRY_FORMER:
        return former;
    case COUNTRY_UNKNOWN:
        break;
    }
    return "";
}

const char *country_instead(const char *code)
{
    static const char *const pairs[][2] = {{"UK", "GB"}, {"EL", "GR"}, {"XI", "GB"}, {"HS", "ZZ"}};

    for (size_t i = 0; i < LW_COUNT(pairs); i++) {
        if (strcmp(pairs[i][0], code) == 0) {
            return pairs[i][1];
        }
    }
    return NULL;
}
