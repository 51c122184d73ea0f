/* work.c - lotward work: the bench arithmetic, one sub-command a question. */
#include "text/base.h"

#include "command/work.h"
#include "text/utf8.h"

static const struct sub {
    const char *name;
    const char *usage;   /* what stands behind the name */
    const char *options; /* of those below, the ones it takes; separated by one blank */
    size_t least, most;  /* operands */
    const char *title;
    work_run *run;
} subs[] = {
    {"strength", "STRENGTH [--at T] [--have QTY]", "at have", 1, 1, "Strength", work_strength},
    {"reading", "DENSITY --at T [--glass GLASS]", "at glass", 1, 1, "Strength from a reading",
     work_reading},
    {"mix", "QTY@STRENGTH ... [--at T]", "at", 1, 64, "Mixing", work_mix},
    {"dilute", "--from STRENGTH --to STRENGTH (--have QTY | --want QTY)", "from to have want", 0, 0,
     "Dilution with water", work_dilute},
    {"ratio", "--material QTY --ratio 1:N --basis BASIS --solvent STRENGTH [--moisture PERCENT]",
     "material ratio basis solvent moisture", 0, 0, "Solvent for a ratio", work_ratio},
    {"fill", "--strength STRENGTH --filled-at T --warmest T [--glass GLASS]",
     "strength filled-at warmest glass", 0, 0, "Greatest fill", work_fill},
    {"flash", "STRENGTH | LIQUID | QTY@WHAT ... [--altitude H] [--svg FILE]", "altitude svg", 1, 32,
     "Flash point and fire class", work_flash},
    {"vapour", "STRENGTH --at T [--altitude H] [--svg FILE]", "at altitude svg", 1, 1,
     "Vapour over the liquid", work_vapour},
    {"evaporate",
     "--strength STRENGTH --at T (--area A | --diameter D [--surface SURFACE]) --air-speed V",
     "strength at area diameter surface air-speed", 0, 0, "Evaporation", work_evaporate},
    {"room",
     "--volume V --air-changes N (--source RATE [--for TIME] | --spill QTY@WHAT [--area A] | "
     "--area A --strength STRENGTH) [--at T] [--air-speed V] [--mixing K] [--svg FILE]",
     "volume air-changes source for spill area strength at air-speed mixing svg", 0, 0,
     "Vapour in a room", work_room},
};

static const char common[] = "json units format width color data help";

static const struct option_spec options[] = {
    {"at", 0, OPTION_TEXT, "T", NULL, "Temperature: 20 degC, 68 degF", 0, 0},
    {"have", 0, OPTION_TEXT, "QTY", NULL, "What there is of it: 5 L, 1 gal us, 4 kg", 0, 0},
    {"want", 0, OPTION_TEXT, "QTY", NULL, "What is wanted of the weaker one", 0, 0},
    {"from", 0, OPTION_TEXT, "STRENGTH", NULL, "The stronger one: 96 %vol, 190 proof", 0, 0},
    {"to", 0, OPTION_TEXT, "STRENGTH", NULL, "The weaker one", 0, 0},
    {"strength", 0, OPTION_TEXT, "STRENGTH", NULL, "Strength of the liquid", 0, 0},
    {"solvent", 0, OPTION_TEXT, "STRENGTH", NULL, "Strength of the solvent", 0, 0},
    {"material", 0, OPTION_TEXT, "QTY", NULL, "Mass of the material", 0, 0},
    {"moisture", 0, OPTION_TEXT, "PERCENT", NULL, "Water in fresh material, by mass: 60 %", 0, 0},
    {"ratio", 0, OPTION_TEXT, "1:N", NULL, "Parts of solvent to one of material", 0, 0},
    {"basis", 0, OPTION_CHOICE, "BASIS", "mass mass-volume",
     "What the ratio counts: g to g, or g to mL", 0, 0},
    {"glass", 0, OPTION_CHOICE, "GLASS", "none soda-lime borosilicate",
     "Glass whose expansion is counted in", 0, 0},
    {"filled-at", 0, OPTION_TEXT, "T", NULL, "Temperature on filling", 0, 0},
    {"warmest", 0, OPTION_TEXT, "T", NULL, "Warmest it will get", 0, 0},
    {"altitude", 0, OPTION_TEXT, "H", NULL, "Height above the sea: 1500 m, 5000 ft", 0, 0},
    {"area", 0, OPTION_TEXT, "A", NULL, "Wet area: 80 cm2, 0.1 m2", 0, 0},
    {"diameter", 0, OPTION_TEXT, "D", NULL, "Diameter of the opening: 10 cm", 0, 0},
    {"surface", 0, OPTION_CHOICE, "SURFACE", "open funnel paper",
     "What the diameter is of; paper is wet on both faces", 0, 0},
    {"air-speed", 0, OPTION_TEXT, "V", NULL, "Air over the liquid: 0.25 m/s, 50 ft/min", 0, 0},
    {"volume", 0, OPTION_TEXT, "V", NULL, "Room: 30 m3, 1000 ft3", 0, 0},
    {"air-changes", 0, OPTION_TEXT, "N", NULL, "Air changes: 2 /h, 6 ach", 0, 0},
    {"mixing", 0, OPTION_TEXT, "K", NULL,
     "Mixing factor, 1 perfect, 0.1 to 0.5 real rooms; default: 0.1", 0, 0},
    {"source", 0, OPTION_TEXT, "RATE", NULL, "Ethanol vapour given off: 5 g/min", 0, 0},
    {"for", 0, OPTION_TEXT, "TIME", NULL, "How long: 2 h; default: without end", 0, 0},
    {"spill", 0, OPTION_TEXT, "QTY@WHAT", NULL, "A spill: '500 mL@96 %vol', '100 g@acetone'", 0, 0},
    {"svg", 0, OPTION_TEXT, "FILE", NULL, "Draw the chart into FILE, which must not be there", 0,
     0},
    {"json", 0, OPTION_FLAG, NULL, NULL, "Same as --format json", 0, 0},
};

static bool has_word(const char *words, const char *word)
{
    size_t n = strlen(word);

    for (const char *p = words; *p != '\0'; p += strcspn(p, " "), p += *p == ' ')
        if (strcspn(p, " ") == n && strncmp(p, word, n) == 0)
            return true;
    return false;
}

static const struct sub *find_sub(const char *name)
{
    for (size_t i = 0; i < LW_COUNT(subs); i++)
        if (str_eq(subs[i].name, name))
            return &subs[i];
    return NULL;
}

static enum exit_status no_sub(struct session *s, const char *name)
{
    enum { NEAR_MOST = 2 };
    const char *near = NULL;
    unsigned best = NEAR_MOST + 1;
    struct sbuf list = SBUF_INIT;
    char hint[64];

    for (size_t i = 0; i < LW_COUNT(subs); i++) {
        unsigned d = name == NULL ? best : str_distance(name, subs[i].name, NEAR_MOST);

        if (d < best) {
            best = d;
            near = subs[i].name;
        }
        sbuf_printf(&list, "%s%s", i == 0 ? "" : ", ", subs[i].name);
    }
    if (near != NULL)
        snprintf(hint, sizeof hint, "did you mean 'work %s'?", near);
    session_usage(s, near == NULL ? list.s : hint,
                  name == NULL ? "work: say what to calculate" : "there is no 'work %s'", name);
    sbuf_free(&list);
    return STATUS_INPUT;
}

/* Its own options and operands only, so that a slip is not passed over. */
static bool check_arguments(struct work *w, const struct sub *sub)
{
    const struct options *o = &w->s->options;
    struct sbuf usage = SBUF_INIT;
    size_t operands = w->s->name_count - 1;
    bool ok = true;

    sbuf_printf(&usage, "usage: lotward work %s %s", sub->name, sub->usage);
    for (size_t i = 0; i < o->count && ok; i++) {
        const char *name = o->values[i].spec->name;

        if (o->values[i].given && !has_word(common, name) && !has_word(sub->options, name))
            ok = arg_refuse(w, usage.s, "takes no option --%s", name);
    }
    if (ok && operands < sub->least)
        ok = arg_refuse(w, usage.s, "something to work on is missing");
    if (ok && operands > sub->most)
        ok = arg_refuse(w, usage.s, "'%s' is one operand too many", w->s->names[1 + sub->most]);
    sbuf_free(&usage);
    return ok;
}

static enum exit_status run(struct session *s)
{
    const struct sub *sub = s->name_count == 0 ? NULL : find_sub(s->names[0]);
    struct work w = {.s = s};
    enum exit_status status;

    if (sub == NULL)
        return no_sub(s, s->name_count == 0 ? NULL : s->names[0]);
    w.name = sub->name;
    w.json = option_flag(&s->options, "json") || str_eq(option_text(&s->options, "format"), "json");
    w.units = session_units(s);
    report_set_title(&s->report, sub->title);
    if (check_arguments(&w, sub) && sub->run(&w)) {
        status = answer_print(&w);
    } else {
        status = diags_oom(s->diags) || w.failed ? session_trouble(s) : STATUS_INPUT;
        if (w.json && status == STATUS_INPUT)
            answer_refusal(&w);
    }
    answer_free(&w);
    return status;
}

const struct command command_work = {
    .name = "work",
    .summary = "bench arithmetic: strengths, dilutions, flash points, vapour, rooms",
    .words = "strength reading mix dilute ratio fill flash vapour evaporate room",
    .operands = "strength|reading|mix|dilute|ratio|fill|flash|vapour|evaporate|room ...",
    .about =
        "strength: one strength in every scale, and what an amount of it holds. reading: the "
        "strength from a density or an alcohol hydrometer. mix, dilute, ratio: amounts by mass "
        "balance. fill: how full a vessel may be. flash: flash point and fire classes of a "
        "strength, a liquid of the catalogue, or a mixture. vapour: what is over the liquid in a "
        "closed jar. evaporate: how fast it goes. room: the average vapour of a room.\n"
        "\n"
        "Every amount carries its unit. Each answer names its formulas, their source and range, "
        "and its cautions. A value outside the range of its formula is not given; the reason is. "
        "In JSON it is null, and \"reasons\" says why.",
    .examples = "  lotward work dilute --from '96 %vol' --to '70 %vol' --want '1 L'\n"
                "  lotward work flash '55 %vol'\n"
                "  lotward work flash '400 mL@96 %vol' '20 g@limonene'\n"
                "  lotward work room --volume '30 m3' --air-changes '2 /h' --spill '500 mL@96 "
                "%vol'\n",
    .options = options,
    .option_count = LW_COUNT(options),
    .flags = NEEDS_CATALOGUE | MAKES_REPORT | SHOWS_UNITS,
    .run = run,
};
