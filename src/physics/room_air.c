/* Well-mixed room. */
#include "text/base.h"

#include "physics/constants.h"
#include "physics/room_air.h"
#include "physics/vapour.h"

#define MIN_PER_H       60.0
#define VOLUME_MIN_M3   0.001
#define VOLUME_MAX_M3   1e5
#define CHANGES_MAX_H   1000.0
#define MIXING_MIN      0.01
#define SOURCE_MAX      1e6
#define TIME_MAX_MIN    1e6
#define SPAN_MIN        0.001
#define SPAN_MAX        1e5
#define G_M3_MAX        1e5
#define MG_PER_G        1000.0
#define PPM_PER_VOL     1e4
#define PINT_VAPOUR_FT3 403.0 /* ACGIH: ft3 of vapour per US pint at SG 1, MW 1 and 70 degF */
#define OSHA_PARTS      4.0   /* 25 % of LEL: one part in four */
#define K_FACTOR_MAX    10.0
#define SAFETY_MIN      4.0
#define SAFETY_MAX      12.0
#define B_MIN           0.7

#define REASON_TIME  "a time is outside 0 to 1 000 000 min"
#define REASON_LEVEL "a concentration is outside 0 to 100 000 g/m3"

static bool within(double x, double low, double high)
{
    return x >= low && x <= high;
}

static const char *room_refusal(const struct room_air *room)
{
    if (room == NULL || !isfinite(room->volume_m3) || !isfinite(room->air_changes_h) ||
        !isfinite(room->mixing) || !isfinite(room->source_g_min) || isnan(room->source_min) ||
        !isfinite(room->start_g_m3))
        return PHYS_NOT_A_NUMBER;
    if (!within(room->volume_m3, VOLUME_MIN_M3, VOLUME_MAX_M3))
        return "the room is outside 0.001 to 100 000 m3";
    if (!within(room->air_changes_h, 0, CHANGES_MAX_H))
        return "the air changes are outside 0 to 1000 per hour";
    if (!within(room->mixing, MIXING_MIN, 1))
        return "the mixing factor is outside 0.01 to 1";
    if (!within(room->source_g_min, 0, SOURCE_MAX))
        return "the source is outside 0 to 1 000 000 g/min";
    if (room->source_min < 0)
        return REASON_TIME;
    return within(room->start_g_m3, 0, G_M3_MAX) ? NULL : REASON_LEVEL;
}

/* Effective air changes per minute, k Q / V. */
static double rate_per_min(const struct room_air *room)
{
    return room->mixing * room->air_changes_h / MIN_PER_H;
}

/* G / (k Q), g/m3; infinite without ventilation. */
static double limit_g_m3(const struct room_air *room)
{
    if (room->source_g_min == 0)
        return 0;
    return room->source_g_min / (rate_per_min(room) * room->volume_m3);
}

/* Concentration while the source runs. */
static double running_g_m3(const struct room_air *room, double time_min)
{
    const double rate = rate_per_min(room);
    if (rate == 0)
        return room->start_g_m3 + room->source_g_min * time_min / room->volume_m3;
    return room->start_g_m3 * exp(-rate * time_min) - limit_g_m3(room) * expm1(-rate * time_min);
}

struct phys_value room_g_m3(const struct room_air *room, double time_min)
{
    const char *refusal = room_refusal(room);
    if (refusal != NULL)
        return phys_none(refusal);
    if (!isfinite(time_min))
        return phys_none(PHYS_NOT_A_NUMBER);
    if (!within(time_min, 0, TIME_MAX_MIN))
        return phys_none(REASON_TIME);
    if (time_min <= room->source_min)
        return phys_ok(running_g_m3(room, time_min));
    return phys_ok(running_g_m3(room, room->source_min) *
                   exp(-rate_per_min(room) * (time_min - room->source_min)));
}

struct phys_value room_steady_g_m3(const struct room_air *room)
{
    const char *refusal = room_refusal(room);
    if (refusal != NULL)
        return phys_none(refusal);
    if (room->air_changes_h == 0)
        return phys_none("without ventilation there is no steady state: the vapour keeps rising");
    return phys_ok(limit_g_m3(room));
}

struct phys_value room_peak_g_m3(const struct room_air *room)
{
    const char *refusal = room_refusal(room);
    if (refusal != NULL)
        return phys_none(refusal);
    if (isfinite(room->source_min))
        return phys_ok(fmax(room->start_g_m3, running_g_m3(room, room->source_min)));
    if (room->source_g_min > 0 && room->air_changes_h == 0)
        return phys_none("without ventilation the vapour rises without limit");
    return phys_ok(fmax(room->start_g_m3, limit_g_m3(room)));
}

struct phys_value room_minutes_to(const struct room_air *room, double target_g_m3)
{
    const char *refusal = room_refusal(room);
    if (refusal != NULL)
        return phys_none(refusal);
    if (!isfinite(target_g_m3))
        return phys_none(PHYS_NOT_A_NUMBER);
    if (!within(target_g_m3, 0, G_M3_MAX))
        return phys_none(REASON_LEVEL);
    if (room->start_g_m3 >= target_g_m3)
        return phys_ok(0);
    const double rate = rate_per_min(room);
    const double limit = limit_g_m3(room);
    double time_min = HUGE_VAL;
    if (room->source_g_min > 0 && rate == 0)
        time_min = (target_g_m3 - room->start_g_m3) * room->volume_m3 / room->source_g_min;
    else if (limit > target_g_m3)
        time_min = log((limit - room->start_g_m3) / (limit - target_g_m3)) / rate;
    if (time_min > room->source_min || !isfinite(time_min))
        return phys_none("never reached by the room average");
    return phys_ok(time_min);
}

/* Integral of the concentration from 0 to time_min while the source runs, g min/m3. */
static double running_integral(const struct room_air *room, double time_min)
{
    const double rate = rate_per_min(room);
    if (rate == 0)
        return room->start_g_m3 * time_min +
               room->source_g_min * time_min * time_min / (2 * room->volume_m3);
    const double limit = limit_g_m3(room);
    return limit * time_min - (room->start_g_m3 - limit) * expm1(-rate * time_min) / rate;
}

struct phys_value room_mean_g_m3(const struct room_air *room, double span_min)
{
    const char *refusal = room_refusal(room);
    if (refusal != NULL)
        return phys_none(refusal);
    if (!isfinite(span_min) || !isfinite(room->source_min))
        return phys_none(PHYS_NOT_A_NUMBER);
    if (!within(span_min, SPAN_MIN, SPAN_MAX) || room->source_min > TIME_MAX_MIN)
        return phys_none(REASON_TIME);
    if (room->source_min >= span_min)
        return phys_ok((running_integral(room, room->source_min) -
                        running_integral(room, room->source_min - span_min)) /
                       span_min);
    const double rate = rate_per_min(room);
    const double after = span_min - room->source_min;
    const double end = running_g_m3(room, room->source_min);
    const double tail = rate == 0 ? end * after : -end * expm1(-rate * after) / rate;
    return phys_ok((running_integral(room, room->source_min) + tail) / span_min);
}

struct phys_value room_purge_min(const struct room_air *room, double from_g_m3, double to_g_m3)
{
    const char *refusal = room_refusal(room);
    if (refusal != NULL)
        return phys_none(refusal);
    if (!isfinite(from_g_m3) || !isfinite(to_g_m3))
        return phys_none(PHYS_NOT_A_NUMBER);
    if (!within(from_g_m3, 0, G_M3_MAX) || !within(to_g_m3, 0, G_M3_MAX))
        return phys_none(REASON_LEVEL);
    if (from_g_m3 <= to_g_m3)
        return phys_ok(0);
    if (room->air_changes_h == 0 || to_g_m3 == 0)
        return phys_none("never reached by ventilation");
    return phys_ok(log(from_g_m3 / to_g_m3) / rate_per_min(room));
}

struct phys_value room_air_needed_m3_h(double source_g_min, double target_g_m3, double mixing)
{
    if (!isfinite(source_g_min) || !isfinite(target_g_m3) || !isfinite(mixing))
        return phys_none(PHYS_NOT_A_NUMBER);
    if (!within(source_g_min, 0, SOURCE_MAX))
        return phys_none("the source is outside 0 to 1 000 000 g/min");
    if (!within(mixing, MIXING_MIN, 1))
        return phys_none("the mixing factor is outside 0.01 to 1");
    if (target_g_m3 <= 0 || target_g_m3 > G_M3_MAX)
        return phys_none("the target concentration is not above zero");
    return phys_ok(source_g_min * MIN_PER_H / (mixing * target_g_m3));
}

struct phys_value room_vol_percent_from_g_m3(double g_m3, double molar_mass_g, double temp_c)
{
    struct phys_value ppm = vap_ppm_from_mg_m3(g_m3 * MG_PER_G, molar_mass_g, temp_c);
    if (phys_has(ppm) && ppm.value > 100 * PPM_PER_VOL)
        return phys_none("more vapour than the gas can hold");
    return phys_has(ppm) ? phys_ok(ppm.value / PPM_PER_VOL) : ppm;
}

struct phys_value room_g_m3_from_vol_percent(double vol_percent, double molar_mass_g, double temp_c)
{
    struct phys_value mg = vap_mg_m3_from_ppm(vol_percent * PPM_PER_VOL, molar_mass_g, temp_c);
    return phys_has(mg) ? phys_ok(mg.value / MG_PER_G) : mg;
}

struct phys_value room_closed_g_m3(double mass_g, double volume_m3)
{
    if (!isfinite(mass_g) || !isfinite(volume_m3))
        return phys_none(PHYS_NOT_A_NUMBER);
    if (mass_g < 0)
        return phys_none("a mass is below zero");
    if (!within(volume_m3, VOLUME_MIN_M3, VOLUME_MAX_M3))
        return phys_none("the room is outside 0.001 to 100 000 m3");
    return phys_ok(mass_g / volume_m3);
}

/* --- published hand formulas ------------------------------------------------------------------ */

static const char *hand_refusal(double gravity, double pints_min, double molar_mass_g)
{
    if (!isfinite(gravity) || !isfinite(pints_min) || !isfinite(molar_mass_g))
        return PHYS_NOT_A_NUMBER;
    if (gravity <= 0 || pints_min < 0 || molar_mass_g <= 0)
        return "a specific gravity, a rate or a molar mass is not above zero";
    return NULL;
}

struct phys_value room_acgih_health_cfm(double specific_gravity, double pints_min,
                                        double molar_mass_g, double limit_ppm, double k_factor)
{
    const char *refusal = hand_refusal(specific_gravity, pints_min, molar_mass_g);
    if (refusal != NULL)
        return phys_none(refusal);
    if (!isfinite(limit_ppm) || !isfinite(k_factor))
        return phys_none(PHYS_NOT_A_NUMBER);
    if (limit_ppm <= 0)
        return phys_none("the exposure limit is not above zero");
    if (!within(k_factor, 1, K_FACTOR_MAX))
        return phys_none("the mixing factor K is outside 1 to 10");
    return phys_ok(PINT_VAPOUR_FT3 * 1e6 * specific_gravity * pints_min * k_factor /
                   (molar_mass_g * limit_ppm));
}

struct phys_value room_acgih_fire_cfm(double specific_gravity, double pints_min,
                                      double molar_mass_g, double lel_vol_percent,
                                      double safety_factor, double b_factor)
{
    const char *refusal = hand_refusal(specific_gravity, pints_min, molar_mass_g);
    if (refusal != NULL)
        return phys_none(refusal);
    if (!isfinite(lel_vol_percent) || !isfinite(safety_factor) || !isfinite(b_factor))
        return phys_none(PHYS_NOT_A_NUMBER);
    if (lel_vol_percent <= 0 || lel_vol_percent > 100)
        return phys_none("the lower explosive limit is outside 0 to 100 vol %");
    if (!within(safety_factor, SAFETY_MIN, SAFETY_MAX))
        return phys_none("the safety factor is outside 4 to 12");
    if (!within(b_factor, B_MIN, 1))
        return phys_none("the temperature factor B is outside 0.7 to 1");
    return phys_ok(PINT_VAPOUR_FT3 * 100 * specific_gravity * pints_min * safety_factor /
                   (molar_mass_g * lel_vol_percent * b_factor));
}

struct phys_value room_osha_ft3_per_gallon(double vapour_ft3_per_gallon, double lel_vol_percent)
{
    if (!isfinite(vapour_ft3_per_gallon) || !isfinite(lel_vol_percent))
        return phys_none(PHYS_NOT_A_NUMBER);
    if (vapour_ft3_per_gallon < 0 || lel_vol_percent <= 0 || lel_vol_percent > 100)
        return phys_none("a vapour volume is below zero or a limit outside 0 to 100 vol %");
    return phys_ok(OSHA_PARTS * (100 - lel_vol_percent) * vapour_ft3_per_gallon / lel_vol_percent);
}
