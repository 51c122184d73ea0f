/* Exposure limits for ethanol vapour. */
#include "text/base.h"

#include "physics/constants.h"
#include "physics/exposure.h"
#include "physics/vapour.h"

#define NOT_PRINTED ((double)NAN)
#define SHIFT_H     8.0
#define NIOSH_H     10.0
#define SHORT_H     0.25
#define NIOSH94     "NIOSH, Documentation for IDLH, ethyl alcohol, May 1994"

static const struct exposure_limit LIMITS[] = {
    {"osha-pel", "US", "OSHA permissible exposure limit", EXPOSURE_LONG, SHIFT_H, 1000, 1900,
     "29 CFR 1910.1000, table Z-1, as given in " NIOSH94, "verified"},
    {"niosh-rel", "US", "NIOSH recommended exposure limit", EXPOSURE_LONG, NIOSH_H, 1000, 1900,
     NIOSH94, "verified"},
    {"niosh-idlh", "US", "NIOSH immediately dangerous to life or health", EXPOSURE_IDLH, 0, 3300,
     NOT_PRINTED, NIOSH94 " (10 % of the LEL)", "verified"},
    {"acgih-stel", "US", "ACGIH short-term threshold limit", EXPOSURE_SHORT, SHORT_H, 1000,
     NOT_PRINTED, "ACGIH TLVs, since 2009", "from-memory"},
    {"ontario-stel", "CA", "Ontario short-term exposure limit", EXPOSURE_SHORT, SHORT_H, 1000,
     NOT_PRINTED, "Ontario occupational exposure limits (open data set)", "verified"},
    {"uk-wel", "GB", "UK workplace exposure limit", EXPOSURE_LONG, SHIFT_H, 1000, 1920, "EH40",
     "from-memory"},
    {"de-agw", "DE", "German occupational exposure limit", EXPOSURE_LONG, SHIFT_H, 200, 380,
     "TRGS 900", "from-memory"},
    {"de-mak", "DE", "German MAK value", EXPOSURE_LONG, SHIFT_H, 200, 380,
     "DFG list of MAK and BAT values", "from-memory"},
    {"fr-8h", "FR", "French limit, 8 h", EXPOSURE_LONG, SHIFT_H, 1000, 1900,
     "French occupational exposure limits", "from-memory"},
    {"fr-short", "FR", "French limit, short term", EXPOSURE_SHORT, SHORT_H, 5000, 9500,
     "French occupational exposure limits", "from-memory"},
    {"ch-8h", "CH", "Swiss limit, 8 h", EXPOSURE_LONG, SHIFT_H, 500, 960,
     "Swiss occupational exposure limits", "from-memory"},
    {"ch-short", "CH", "Swiss limit, short term", EXPOSURE_SHORT, SHORT_H, 1000, 1920,
     "Swiss occupational exposure limits", "from-memory"},
    {"nl-8h", "NL", "Dutch limit, 8 h", EXPOSURE_LONG, SHIFT_H, NOT_PRINTED, 260,
     "Dutch legal exposure limits", "from-memory"},
    {"nl-short", "NL", "Dutch limit, 15 min", EXPOSURE_SHORT, SHORT_H, NOT_PRINTED, 1900,
     "Dutch legal exposure limits", "from-memory"},
    {"au-8h", "AU", "Australian exposure standard, 8 h", EXPOSURE_LONG, SHIFT_H, 1000, 1880,
     "Australian workplace exposure standards", "from-memory"},
};

const struct exposure_limit *exposure_limits(size_t *count)
{
    *count = LW_COUNT(LIMITS);
    return LIMITS;
}

const struct exposure_limit *exposure_find(const char *token, size_t length)
{
    for (size_t i = 0; token != NULL && i < LW_COUNT(LIMITS); i++)
        if (strlen(LIMITS[i].token) == length && memcmp(LIMITS[i].token, token, length) == 0)
            return &LIMITS[i];
    return NULL;
}

struct phys_value exposure_mg_m3(const struct exposure_limit *limit, double temp_c)
{
    if (limit == NULL)
        return phys_none("the exposure limit is not known");
    if (!isnan(limit->mg_m3))
        return phys_ok(limit->mg_m3);
    return vap_mg_m3_from_ppm(limit->ppm, PHYS_ETHANOL_G_MOL, temp_c);
}
