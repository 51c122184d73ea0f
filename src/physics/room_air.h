/* Well-mixed room: vapour against time, steady state, air needed.
 *
 * V dC/dt = G - k Q C. k is the mixing factor: 1 perfect, 0.1 to 0.5 in real rooms (Crowl &
 * Louvar ch. 3; the ACGIH manual's K is 1/k). The result is an average: near the floor and near
 * the source the layer can be flammable in any room. ROOM_CAUTION is printed with every value.
 *
 * Ranges: volume 0.001..100000 m3 (a cabinet to a hall), air changes 0..1000 per hour, mixing
 * 0.01..1, source 0..1e6 g/min, times 0..1e6 min. temp_c -20..60 for unit changes.
 */
#ifndef LW_PHYSICS_ROOM_AIR_H
#define LW_PHYSICS_ROOM_AIR_H

#include "physics/value.h"

#define ROOM_CAUTION                                                                               \
    "a room average hides the layer near the floor and around the source, which can be flammable " \
    "while the average is low"
#define ROOM_MIX_PERFECT 1.0
#define ROOM_MIX_GOOD    0.5 /* Crowl & Louvar: upper end for real rooms */
#define ROOM_MIX_POOR    0.1 /* Crowl & Louvar: lower end for real rooms */

struct room_air {
    double volume_m3;
    double air_changes_h; /* 0 = no ventilation */
    double mixing;        /* k */
    double source_g_min;
    double source_min; /* how long the source runs; HUGE_VAL = for ever */
    double start_g_m3; /* at time 0 */
};

/* Concentration at time_min, g/m3; after the source has stopped, the decay. */
struct phys_value room_g_m3(const struct room_air *room, double time_min);
/* Limit for a source that never stops; no value without ventilation. */
struct phys_value room_steady_g_m3(const struct room_air *room);
/* Largest concentration ever reached, g/m3; no value if it grows without limit. */
struct phys_value room_peak_g_m3(const struct room_air *room);
/* First time, min, at which target_g_m3 is reached; no value "never reached" if it is not. */
struct phys_value room_minutes_to(const struct room_air *room, double target_g_m3);
/* Time, min, to purge from from_g_m3 to to_g_m3 with no source. */
struct phys_value room_purge_min(const struct room_air *room, double from_g_m3, double to_g_m3);
/* Average, g/m3, over the worst span_min (0.001..100000): the span that starts with the source, or,
 * when the source outlasts it, the last span of the source. The integral of the same solution. */
struct phys_value room_mean_g_m3(const struct room_air *room, double span_min);
/* Air flow, m3/h, that keeps the steady state of source_g_min at or below target_g_m3. */
struct phys_value room_air_needed_m3_h(double source_g_min, double target_g_m3, double mixing);

/* Units, at 101.325 kPa. */
struct phys_value room_vol_percent_from_g_m3(double g_m3, double molar_mass_g, double temp_c);
struct phys_value room_g_m3_from_vol_percent(double vol_percent, double molar_mass_g,
                                             double temp_c);

/* Concentration, g/m3, if mass_g evaporates whole into volume_m3 of closed room. */
struct phys_value room_closed_g_m3(double mass_g, double volume_m3);

/* ACGIH Industrial Ventilation, dilution for health: air, ft3/min =
 * 403e6 SG ER K/(MW C); pints_min US pints per minute, limit_ppm, k_factor 1..10. */
struct phys_value room_acgih_health_cfm(double specific_gravity, double pints_min,
                                        double molar_mass_g, double limit_ppm, double k_factor);
/* ACGIH dilution for fire: 403*100 SG ER Sf/(MW LEL B); safety_factor 4..12; B = 1 up to 250 degF,
 * 0.7 above; air at 70 degF. */
struct phys_value room_acgih_fire_cfm(double specific_gravity, double pints_min,
                                      double molar_mass_g, double lel_vol_percent,
                                      double safety_factor, double b_factor);
/* 29 CFR 1910.94(c)(6)(ii): air, ft3 per US gallon evaporated, for 25 % of LEL:
 * 4 (100 - LEL) v / LEL, v = ft3 of vapour per gallon. Never with the printed LEL 4.3 of ethanol.
 */
struct phys_value room_osha_ft3_per_gallon(double vapour_ft3_per_gallon, double lel_vol_percent);

#endif
