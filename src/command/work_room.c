/* work_room.c - work room: the average vapour of a room against time, from a source or a spill. */
#include "text/base.h"

#include "command/work.h"
#include "command/work_room.h"
#include "physics/constants.h"
#include "physics/evaporation.h"
#include "physics/flash.h"
#include "physics/vapour.h"
#include "text/mem.h"
#include "text/utf8.h"

static const double grams_per_kg = 1000.0, ppm_per_percent = 10000.0;

static bool read_room(struct work *w, struct room_job *job)
{
    const char *mixing = option_text(&w->s->options, "mixing");

    job->room.mixing = ROOM_MIX_POOR;
    job->room.source_min = HUGE_VAL;
    if (mixing != NULL && !number_exact(mixing, &job->room.mixing))
        return arg_refuse(w, "type a number from 0.01 to 1: 1 is perfect, 0.1 to 0.5 real rooms",
                          "--mixing: '%s' is not a number", mixing);
    return arg_needed(w, "volume", DIM_SPACE, &job->room.volume_m3) &&
           arg_needed(w, "air-changes", DIM_AIR_CHANGES, &job->room.air_changes_h) &&
           arg_option(w, "at", DIM_TEMPERATURE, PHYS_REFERENCE_C, &job->temp_c) &&
           arg_option(w, "for", DIM_TIME, HUGE_VAL, &job->room.source_min);
}

/* The rate at which ethanol of this strength leaves job->area_m2. */
static bool surface_source(struct work *w, struct room_job *job, const struct strength *s)
{
    struct evap_source source = {
        .molar_mass_g = PHYS_ETHANOL_G_MOL, .temp_c = job->temp_c, .area_m2 = job->area_m2};
    struct phys_value partial = vap_ethanol_partial_kpa(s->mole_fraction, job->temp_c);
    struct evap_estimate e;

    if (!arg_option(w, "air-speed", DIM_SPEED, EVAP_INDOOR_AIR_M_S, &source.air_m_s))
        return false;
    source.partial_kpa = partial.value;
    e = evap_surface(&source);
    job->rate = !phys_has(partial) ? partial
                : e.reason != NULL ? phys_none(e.reason)
                                   : phys_ok(e.largest_g_min);
    job->saturation = vap_headspace_vol_percent(s->mole_fraction, job->temp_c, PHYS_ATM_KPA);
    job->models = e;
    job->has_models = true;
    answer_number(w, "area_m2", "evaporating area", "m2", job->area_m2);
    answer_number(w, "air_speed_m_s", "air speed over it", "m/s", source.air_m_s);
    if (!arg_given(w, "air-speed"))
        answer_caution(w, "air speed 0.508 m/s was taken (indoor default of EPA, from memory); "
                          "give yours with --air-speed");
    return true;
}

static bool ethanol_spill(struct work *w, struct room_job *job, const struct part *p)
{
    const struct strength *s = &p->strength;
    struct phys_value mass = p->amount.dim == DIM_MASS
                                 ? phys_ok(p->amount.value / grams_per_kg)
                                 : ew_mass_kg(p->amount.value, s->mass_fraction, job->temp_c);
    struct phys_value litres = p->amount.dim == DIM_VOLUME || !phys_has(mass)
                                   ? phys_ok(p->amount.value)
                                   : ew_volume_l(mass.value, s->mass_fraction, job->temp_c);
    struct phys_value pool =
        phys_has(litres) ? evap_spill_m2(litres.value, EVAP_SPILL_DEPTH_M) : litres;

    if (!phys_has(mass) || !phys_has(pool)) {
        job->rate = phys_has(mass) ? pool : mass;
        return true;
    }
    job->spilled_g = mass.value * s->mass_fraction * grams_per_kg;
    if (!arg_option(w, "area", DIM_AREA, pool.value, &job->area_m2))
        return false;
    if (!arg_given(w, "area"))
        answer_caution(w,
                       "the pool was taken as 1 cm deep (EPA RMP guidance); on a smooth floor it "
                       "spreads thinner and wider and goes faster: give its --area");
    return surface_source(w, job, s);
}

/* A liquid of the catalogue has no vapour pressure there: taken as gone into the air at once. */
static bool other_spill(struct work *w, struct room_job *job, const struct part *p)
{
    struct liquid l;
    double g = p->amount.value;

    if (!work_liquid(w, p->what, &l))
        return false;
    if (p->amount.dim == DIM_VOLUME)
        g = p->amount.value * l.density_kg_m3; /* L x kg/m3 = g */
    job->spilled_g = g;
    job->molar_mass_g = l.molar_mass_g_mol;
    job->lel_percent = l.lel_percent;
    job->rate = phys_none("the catalogue holds no vapour pressure of this liquid: all of it is "
                          "taken as in the air at once");
    answer_text(w, "liquid", "spilled liquid", l.name);
    if (isnan(g) || isnan(l.molar_mass_g_mol) || isnan(l.lel_percent))
        job->unknown = "the density, molar mass or lower explosive limit of this liquid is not in "
                       "the catalogue";
    job->room.start_g_m3 = isnan(g) ? 0.0 : g / job->room.volume_m3;
    job->at_once = true;
    answer_caution(w, "its lower explosive limit is the figure at 25 degC, from the catalogue");
    liquid_free(&l);
    return true;
}

static bool read_spill(struct work *w, struct room_job *job)
{
    struct part p;
    bool ok = arg_part(w, option_text(&w->s->options, "spill"), &p);

    if (ok && p.is_strength)
        ok = ethanol_spill(w, job, &p);
    else if (ok)
        ok = other_spill(w, job, &p);
    part_free(&p);
    if (ok && phys_has(job->rate) && job->rate.value > 0 && !arg_given(w, "for"))
        job->room.source_min = job->spilled_g / job->rate.value;
    return ok;
}

static bool read_source(struct work *w, struct room_job *job)
{
    bool source = arg_given(w, "source"), spill = arg_given(w, "spill");
    struct strength s;
    double rate = 0;

    if (spill && !source)
        return read_spill(w, job);
    if (source && !spill && !arg_given(w, "area")) {
        if (!arg_rate(w, "source", &rate))
            return false;
        job->rate = phys_ok(rate);
        return true;
    }
    if (!source && arg_given(w, "area"))
        return arg_strength_option(w, "strength", &s) &&
               arg_needed(w, "area", DIM_AREA, &job->area_m2) && surface_source(w, job, &s);
    return arg_refuse(w,
                      "type --source 5 g/min --for \"2 h\", or --spill \"500 mL@96 %vol\", or "
                      "--area \"0.1 m2\" --strength \"96 %vol\"",
                      "one source of vapour is needed");
}

/* --- what follows ------------------------------------------------------------------------------
 */

struct phys_value room_job_percent(const struct room_job *job, struct phys_value g_m3)
{
    return phys_has(g_m3) ? room_vol_percent_from_g_m3(g_m3.value, job->molar_mass_g, job->temp_c)
                          : g_m3;
}

static struct phys_value minutes_to(const struct room_job *job, double share)
{
    struct phys_value g =
        phys_has(job->lel)
            ? room_g_m3_from_vol_percent(job->lel.value * share, job->molar_mass_g, job->temp_c)
            : job->lel;

    return phys_has(g) ? room_minutes_to(&job->room, g.value) : g;
}

static struct phys_value air_for(const struct room_job *job, double vol_percent)
{
    struct phys_value g = room_g_m3_from_vol_percent(vol_percent, job->molar_mass_g, job->temp_c);

    return phys_has(g) ? room_air_needed_m3_h(job->room.source_g_min, g.value, job->room.mixing)
                       : g;
}

static struct phys_value share_of(struct phys_value v, struct phys_value whole)
{
    const double percent = 100.0;

    if (!phys_has(v) || !phys_has(whole))
        return phys_has(v) ? whole : v;
    return phys_ok(v.value / whole.value * percent);
}

static const double tenth = 0.10, quarter = 0.25, tlv_percent = 0.1; /* 1000 ppm */

static void put_levels(struct work *w, struct room_job *job)
{
    const char *none = job->unknown != NULL                    ? job->unknown
                       : !phys_has(job->rate) && !job->at_once ? job->rate.reason
                                                               : NULL;
    struct phys_value steady, peak, closed;

#define UNLESS(call) (none == NULL ? (call) : phys_none(none))
    steady = UNLESS(room_job_percent(job, room_steady_g_m3(&job->room)));
    peak = UNLESS(room_job_percent(job, room_peak_g_m3(&job->room)));
    closed =
        UNLESS(job->spilled_g > 0
                   ? room_job_percent(job, room_closed_g_m3(job->spilled_g, job->room.volume_m3))
                   : phys_none("asked for with a spill only"));
    answer_side(w, "steady_vol_percent", job->at_once ? NULL : "average, never stopped", "vol %",
                steady);
    answer_side(w, "steady_ppm", NULL, "ppm",
                phys_has(steady) ? phys_ok(steady.value * ppm_per_percent) : steady);
    answer_side(w, "peak_vol_percent", "highest average reached", "vol %", peak);
    answer_side(w, "lel_percent_of_limit", "  of the LEL", "percent", share_of(peak, job->lel));
    if (job->spilled_g > 0)
        answer_side(w, "closed_room_vol_percent", "all of it in the air", "vol %", closed);
    if (job->has_models) {
        answer_side(w, "saturation_vol_percent", "most the air can hold", "vol %", job->saturation);
        if (phys_has(peak) && phys_has(job->saturation) && peak.value > job->saturation.value)
            answer_caution(w, "the highest average is more than the air can take up from this "
                              "liquid at that temperature: the model overstates it from there on");
    }
    answer_side(w, "lel_vol_percent", "LEL there", "vol %", job->lel);
    answer_side(w, "minutes_to_10_percent_lel", "10 % of the LEL after", "min",
                UNLESS(minutes_to(job, tenth)));
    answer_side(w, "minutes_to_25_percent_lel", "25 % of the LEL after", "min",
                UNLESS(minutes_to(job, quarter)));
    answer_side(w, "minutes_to_lel", "the LEL after", "min", UNLESS(minutes_to(job, 1.0)));
    if (!job->at_once) {
        answer_side(w, "air_needed_m3_h", "air for 25 % of the LEL", "m3/h",
                    UNLESS(air_for(job, job->lel.value * quarter)));
        answer_side(w, "air_needed_10_percent_lel_m3_h", "  for 10 % of the LEL", "m3/h",
                    UNLESS(air_for(job, job->lel.value * tenth)));
        answer_side(w, "air_needed_1000_ppm_m3_h", "  for 1000 ppm", "m3/h",
                    UNLESS(air_for(job, tlv_percent)));
    }
    w->untold = w->untold || none != NULL || !phys_has(job->lel) ||
                (!phys_has(peak) && job->room.air_changes_h > 0);
#undef UNLESS
    if (none == NULL)
        room_job_tables(w, job, peak);
}

static void put_grounds(struct work *w, const struct room_job *job)
{
    answer_formula(w, "V dC/dt = G - k Q C, well-mixed room with mixing factor k",
                   "Crowl & Louvar, chapter 3; ACGIH Industrial Ventilation (K = 1/k)",
                   "0.001 to 100 000 m3, 0 to 1000 air changes an hour, k 0.01 to 1");
    if (!job->at_once)
        answer_formula(w, "LEL 3.1 vol %, corrected for temperature",
                       "IEC 60079-20-1:2010; modified Burgess-Wheeler law", "-20 to 100 degC");
    if (job->has_models)
        work_models(w, &job->models);
    answer_caution(w, "%s", ROOM_CAUTION);
    if (!arg_given(w, "mixing"))
        answer_caution(w, "mixing factor 0.1 was taken, the poor end of real rooms; 1 is perfect "
                          "mixing: set it with --mixing");
}

bool work_room(struct work *w)
{
    struct room_job job = {.molar_mass_g = PHYS_ETHANOL_G_MOL, .lel_percent = FLASH_LEL_CAUTIOUS};

    if (!read_room(w, &job))
        return false;
    answer_number(w, "room_m3", "room", "m3", job.room.volume_m3);
    answer_number(w, "air_changes_per_hour", "air changes an hour", "", job.room.air_changes_h);
    answer_number(w, "mixing_factor", "mixing factor", "", job.room.mixing);
    answer_number(w, "temperature_c", "temperature", "degC", job.temp_c);
    if (!read_source(w, &job))
        return false;
    job.room.source_g_min = phys_has(job.rate) ? job.rate.value : 0.0;
    if (job.at_once)
        job.room.source_min = 0.0;
    job.lel = job.at_once
                  ? isnan(job.lel_percent) ? phys_none(job.unknown) : phys_ok(job.lel_percent)
                  : flash_lel_vol_percent(job.lel_percent, job.temp_c);
    answer_side(w, "rate_g_min", "vapour given off", job.has_models ? WORK_RATE_ROUGH : "g/min",
                job.rate);
    if (job.spilled_g > 0)
        answer_number(w, "spilled_g", job.at_once ? "spilled" : "ethanol spilled", "g",
                      job.spilled_g);
    answer_side(w, "source_minutes", isinf(job.room.source_min) || job.at_once ? NULL : "for",
                "min",
                isinf(job.room.source_min) ? phys_none("the source does not stop")
                                           : phys_ok(job.room.source_min));
    put_levels(w, &job);
    put_grounds(w, &job);
    return room_job_draw(w, &job);
}
