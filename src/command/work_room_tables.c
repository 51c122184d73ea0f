/* work_room_tables.c - the room against time, under other mixing, against exposure limits. */
#include "text/base.h"

#include "command/work_room.h"
#include "physics/exposure.h"

static const double ppm_per_percent = 10000.0, percent = 100.0;

static struct phys_value at_time(const struct room_job *job, double minutes)
{
    return room_job_percent(job, room_g_m3(&job->room, minutes));
}

static void put_time_row(struct work *w, struct report_table *t, const struct room_job *job,
                         double minutes)
{
    struct phys_value v = at_time(job, minutes), part = v, ppm = v;

    if (phys_has(v))
        ppm = phys_ok(v.value * ppm_per_percent);
    if (phys_has(v))
        part = phys_has(job->lel) ? phys_ok(v.value / job->lel.value * percent) : job->lel;
    answer_cell(w, t, phys_ok(minutes), "min");
    answer_cell(w, t, room_g_m3(&job->room, minutes), "g/m3");
    answer_cell(w, t, v, "vol %");
    answer_cell(w, t, ppm, "ppm");
    answer_cell(w, t, part, "percent");
}

static void put_times(struct work *w, const struct room_job *job)
{
    static const double minutes[] = {5, 10, 15, 30, 60, 120, 240, 480};
    static const char *const columns[][2] = {{"minutes", "after"},
                                             {"g_m3", "average"},
                                             {"vol_percent", "by volume"},
                                             {"ppm", "ppm"},
                                             {"lel_percent_of_limit", "of the LEL"}};
    struct report_table *t = answer_table(w, "time_course", "Room average against time", NULL);
    double stop = job->room.source_min;
    bool told = isinf(stop) || stop <= 0;

    for (size_t i = 0; i < LW_COUNT(columns); i++)
        report_column(&w->s->report, t, columns[i][0], columns[i][1], NULL, ALIGN_LEFT);
    for (size_t i = 0; i < LW_COUNT(minutes); i++) {
        if (!told && stop <= minutes[i]) {
            told = true;
            if (stop < minutes[i])
                put_time_row(w, t, job, stop);
        }
        put_time_row(w, t, job, minutes[i]);
    }
    if (!told)
        put_time_row(w, t, job, stop);
}

/* The mixing of a real room is not known: what the steady state would be at its ends. */
static void put_mixing(struct work *w, const struct room_job *job)
{
    static const double factors[] = {ROOM_MIX_PERFECT, ROOM_MIX_GOOD, ROOM_MIX_POOR};
    static const char *const words[] = {"perfect", "good for a real room", "poor"};
    struct report_table *t = answer_table(w, "mixing", "The same room under other mixing",
                                          "How well a real room mixes is not known beforehand.");

    report_column(&w->s->report, t, "mixing_factor", "mixing factor", NULL, ALIGN_LEFT);
    report_column(&w->s->report, t, "words", "mixing", NULL, ALIGN_LEFT);
    report_column(&w->s->report, t, "peak_vol_percent", "highest average", NULL, ALIGN_LEFT);
    report_column(&w->s->report, t, "lel_percent_of_limit", "of the LEL", NULL, ALIGN_LEFT);
    for (size_t i = 0; i < LW_COUNT(factors); i++) {
        struct room_air room = job->room;
        struct phys_value v;

        room.mixing = factors[i];
        v = room_job_percent(job, room_peak_g_m3(&room));
        answer_cell(w, t, phys_ok(factors[i]), "");
        report_cell(&w->s->report, t, words[i]);
        answer_cell(w, t, v, "vol %");
        answer_cell(w, t,
                    phys_has(v) && phys_has(job->lel)
                        ? phys_ok(v.value / job->lel.value * percent)
                        : phys_none(phys_has(v) ? job->lel.reason : v.reason),
                    "percent");
    }
}

static void put_exposure(struct work *w, const struct room_job *job, struct phys_value peak)
{
    size_t count;
    const struct exposure_limit *limits = exposure_limits(&count);
    struct report_table *t = answer_table(
        w, "exposure_limits", "Exposure limits for ethanol vapour",
        "The highest room average as a multiple of each. Limits change with editions: look up the "
        "one in force.");

    report_column(&w->s->report, t, "limit", NULL, NULL, ALIGN_LEFT);
    report_column(&w->s->report, t, "mg_m3", "figure", NULL, ALIGN_LEFT);
    report_column(&w->s->report, t, "times", "average is", NULL, ALIGN_LEFT);
    report_column(&w->s->report, t, "cited_from", "cited from", NULL, ALIGN_LEFT);
    for (size_t i = 0; i < count; i++) {
        struct phys_value mg = exposure_mg_m3(&limits[i], job->temp_c), times = mg;
        struct phys_value g = peak;
        struct sbuf b = SBUF_INIT;
        const double mg_per_g = 1000.0;

        if (phys_has(peak))
            g = room_g_m3_from_vol_percent(peak.value, job->molar_mass_g, job->temp_c);
        if (phys_has(mg))
            times = phys_has(g) ? phys_ok(g.value * mg_per_g / mg.value) : g;
        report_cell(&w->s->report, t, limits[i].name);
        answer_cell(w, t, mg, "mg/m3");
        answer_cell(w, t, times, "times");
        sbuf_printf(&b, "%s (%s)", limits[i].source, report_sureness(limits[i].sure));
        report_cell(&w->s->report, t, b.s);
        if (b.failed)
            w->failed = true;
        sbuf_free(&b);
    }
}

void room_job_tables(struct work *w, const struct room_job *job, struct phys_value peak)
{
    put_times(w, job);
    put_mixing(w, job);
    if (!job->at_once)
        put_exposure(w, job, peak);
}

bool room_job_draw(struct work *w, const struct room_job *job)
{
    enum { POINTS = 241 };
    const double span_least = 60.0, span_most = 1440.0, beyond = 1.6, headroom = 1.15, tenth = 0.10,
                 quarter = 0.25;
    static double x[POINTS], y[POINTS];
    double stop = job->room.source_min, lel = phys_has(job->lel) ? job->lel.value : 1.0, most = 0;
    double span = isinf(stop) ? 2 * span_least : stop * beyond;
    struct sbuf desc = SBUF_INIT;
    struct chart c = {.title = "Average vapour in the room",
                      .x = {.label = "time, min"},
                      .y = {.label = "vapour in the air, vol %"},
                      .note = "A room average: near the floor and the source it can be flammable "
                              "all the same.",
                      .id = "room"};
    bool ok;

    if (job->unknown != NULL || (!phys_has(job->rate) && !job->at_once))
        return true;
    c.x.to = span < span_least ? span_least : span > span_most ? span_most : span;
    for (size_t i = 0; i < POINTS; i++) {
        x[i] = c.x.to * (double)i / (POINTS - 1);
        y[i] = at_time(job, x[i]).value;
        if (y[i] > most)
            most = y[i];
    }
    c.y.to = (most > lel ? most : lel) * headroom;
    c.series[c.series_count++] = (struct chart_series){"room average", x, y, POINTS};
    if (phys_has(job->lel)) {
        c.levels[c.level_count++] = (struct chart_level){"100 % of the LEL", job->lel.value};
        c.levels[c.level_count++] =
            (struct chart_level){"25 % of the LEL", job->lel.value * quarter};
        c.levels[c.level_count++] = (struct chart_level){"10 % of the LEL", job->lel.value * tenth};
    }
    sbuf_puts(&desc, "Line chart of the room average against time, with lines at 10, 25 and 100 % "
                     "of the lower explosive limit. Highest value drawn: ");
    sbuf_fixed(&desc, most, 3);
    sbuf_puts(&desc, " vol %.");
    c.desc = desc.s;
    if (desc.failed)
        w->failed = true;
    ok = work_chart_write(w, &c);
    sbuf_free(&desc);
    return ok;
}
