#include "text/base.h"

#include "command/check_pass.h"
#include "command/check_trial.h"
#include "command/rows.h"
#include "text/utf8.h"

#define PLAN        "(select rid from temp.plan_batch)"
#define LOTS        "(select id from temp.plan_batch)"
#define LIMIT(name) "(select min(value) from lim_in_force where name = '" name "')"

enum { QUARTER, TENTH }; /* places in targets[] */

static const struct target targets[] = {
    {"vapour, a quarter of LEL",
     "step_vapour",
     {"vapour-above-quarter-of-lel"},
     "select max(lel_percent), " LIMIT("vapour-lel-percent") " from fact_step_vapour"
                                                             " where lot in " LOTS,
     true},
    {"vapour, a tenth of LEL",
     "step_vapour",
     {"vapour-above-quarter-of-lel", "vapour-above-tenth-of-lel"},
     "select max(lel_percent), " LIMIT("vapour-lel-percent-caution") " from fact_step_vapour"
                                                                     " where lot in " LOTS,
     true},
    {"vapour over a shift",
     "step_vapour",
     {"shift-vapour-above-limit"},
     "select max(shift_ppm), " LIMIT("exposure-8h") " from fact_step_vapour where lot in " LOTS,
     true},
    {"spill of the largest vessel",
     "step_vapour",
     {"spill-could-reach-lel"},
     "select max(spill_lel_percent), " LIMIT("spill-lel-percent") " from fact_step_vapour"
                                                                  " where lot in " LOTS,
     true},
    {"room to expand",
     "lot_vessel",
     {"vessel-too-full", "filled-cold-too-full"},
     "select max(fill_percent), min(most_percent) from fact_lot_vessel where id in " LOTS,
     true},
    {"control area",
     "control_area",
     {"control-area-over-maximum"},
     "select volume_l, limit_l from fact_control_area where limit_l > 0"
     " order by volume_l / limit_l desc limit 1",
     false},
};

/* One lever: the statements that set it, with ?1 for the share of what was planned and ?2 for the
 * value. Amounts are those of the plan. */
struct lever {
    const char *words; /* "batch of at most" */
    const char *unit;
    long steps;      /* of a fixed grid: from 0 (best) to steps (worst for the number) */
    double best;     /* value at grid 0, when it is fixed */
    double step;     /* width of a fixed grid */
    const char *own; /* SQL for the value as planned, the other end of the grid; NULL: fixed */
    const char *set;
    unsigned targets; /* bits of targets[] */
    bool inverse;     /* the number goes rather with one over the value */
};

#define VAPOUR 7u /* the first three targets */

static const struct lever levers[] = {
    {"batch of at most, same trays", "L", 0, 0, 0,
     "select sum(solvent_l) from fact_batch where id in (select id from temp.plan_batch)",
     "update rec_charge set quantity_l = quantity_l * ?1, quantity_g = quantity_g * ?1"
     " where parent in " PLAN ";"
     "update rec_step set quantity_l = quantity_l * ?1 where parent in " PLAN ";"
     "update rec_batch set volume_l = volume_l * ?1,"
     " vessel_count_n = max(1, cast(vessel_count_n * ?1 + 0.999999 as integer))"
     " where rid in " PLAN ";"
     "update rec_yield set quantity_l = quantity_l * ?1, quantity_g = quantity_g * ?1"
     " where parent in " PLAN,
     VAPOUR | 32u, false},
    {"fresh air while open, at least", "per hour", 600, 60, 0.1, NULL,
     "update rec_step set ventilation_on = 'yes' where parent in " PLAN ";"
     "update rec_place set air_changes_per_h = ?2, ventilation = 'mechanical' where id in"
     " (select room from temp.plan_room)",
     VAPOUR, true},
    {"equal portions, room aired between, at least", "portions", 199, 200, 1, NULL,
     "update rec_step set quantity_l = quantity_l / ?2, duration_min = duration_min / ?2"
     " where parent in " PLAN,
     VAPOUR, true},
    {"open for at most", "min", 0, 0, 0,
     "select max(duration_min) from rec_step where parent in " PLAN,
     "update rec_step set duration_min = min(duration_min, ?2) where parent in " PLAN, VAPOUR,
     false},
    {"open surface of at most", "m2", 0, 0, 0,
     "select max(open_area_m2) from rec_step where parent in " PLAN,
     "update rec_step set open_area_m2 = min(open_area_m2, ?2) where parent in " PLAN, VAPOUR,
     false},
    {"vessels of at most", "L", 0, 0, 0,
     "select max(spill_l) from fact_step_vapour where lot in (select id from temp.plan_batch)",
     "update rec_batch set vessel_size_l = min(vessel_size_l, ?2) where rid in " PLAN ";"
     "update rec_receipt set container_size_l = min(container_size_l, ?2) where id in"
     " (select receipt from rec_charge where parent in " PLAN ")",
     8u, false},
    {"fill of at most", "L", 0, 0, 0, "select max(fill_l) from rec_batch where rid in " PLAN,
     "update rec_batch set fill_l = min(fill_l, ?2) where rid in " PLAN, 16u, false},
};

struct search {
    struct session *s;
    const struct target *target;
    const struct lever *lever;
    struct trial *trial;
    struct outcome planned; /* as it stands */
    double own;             /* value as planned */
    double step;            /* width of the grid: 1, 2 or 5 in the last place */
    long steps;             /* the grid runs from 0 to steps */
    char beyond[96];        /* the number at the nearest grid point that fails, in words */
    bool failed;            /* trouble, with a diagnostic */
};

static double value_at(const struct search *x, long grid)
{
    const struct lever *l = x->lever;

    if (l->own == NULL)
        return l->best - (double)grid * x->step;
    return fmin((double)grid * x->step, x->own);
}

static void first_number(struct session *s, sqlite3_stmt *st, void *user)
{
    double *v = user;

    (void)s;
    if (isnan(*v) && sqlite3_column_type(st, 0) != SQLITE_NULL)
        *v = sqlite3_column_double(st, 0);
}

/* 1 all rules of the target hold for the plan, 0 one fails, -1 one cannot be told. */
static int look(struct search *x, const struct findings *found)
{
    bool ok = true, fails = false;

    for (size_t i = 0; i < found->count; i++) {
        const struct finding *f = &found->items[i];

        if (!target_has(x->target, f->rule->id) || !trial_concerns(x->s, f, &ok))
            continue;
        if (f->verdict == VERDICT_CANNOT_TELL)
            return -1;
        fails = fails || f->verdict == VERDICT_FAILS;
    }
    x->failed = x->failed || !ok;
    return fails ? 0 : 1;
}

static void judge_at(struct search *x, long grid, struct outcome *out)
{
    double value = value_at(x, grid);

    /* the whole of what was planned is the plan itself, which was judged already */
    if (x->lever->own != NULL && value >= x->own)
        *out = x->planned;
    else if (!trial_run(x->trial, x->own > 0 ? value / x->own : 1, value, out))
        x->failed = true;
    if (x->failed)
        out->verdict = -1;
}

/* How far the number is beyond its limit, in a measure that goes about straight with the grid. */
static double excess(const struct search *x, const struct outcome *o)
{
    if (x->lever->inverse)
        return o->value > 0 && o->limit > 0 ? 1 / o->limit - 1 / o->value : (double)NAN;
    return o->value - o->limit;
}

/* Where between the two to look next: on the straight line through what is known at both, at the
 * grid point on the holding side of where it crosses; halfway when nothing is known or when such
 * guesses leave more than half of what they were to narrow. Only the number of trials depends on
 * it, never the answer. */
static long between(long holds, long fails, double at_holds, double at_fails, bool straight)
{
    double share = at_holds / (at_holds - at_fails);
    long width = fails - holds, at = width / 2;

    if (straight && isfinite(share) && at_holds <= 0 && at_fails > 0)
        at = (long)floor(share * (double)width);
    if (at < 1)
        at = 1;
    return holds + (at >= width ? width - 1 : at);
}

/* The worst grid point at which the rules still hold; -1: none, or they hold as planned. */
static long narrow(struct search *x)
{
    enum { SLOW_MOST = 2 };
    long holds = x->lever->own != NULL ? 1 : 0, fails = x->steps; /* nothing at all is no answer */
    double at_holds, at_fails;
    struct outcome o;
    int slow = 0;

    if (x->lever->own != NULL && !(x->own > 0))
        return -1;
    judge_at(x, holds, &o);
    if (o.verdict != 1)
        return -1;
    at_holds = excess(x, &o);
    judge_at(x, fails, &o);
    if (o.verdict != 0)
        return -1;
    at_fails = excess(x, &o);
    memcpy(x->beyond, o.seen, sizeof x->beyond);
    while (!x->failed && fails - holds > 1) {
        long width = fails - holds;
        long at = between(holds, fails, at_holds, at_fails, slow < SLOW_MOST);

        judge_at(x, at, &o);
        if (o.verdict < 0)
            return -1;
        if (o.verdict == 1) {
            holds = at;
            at_holds = excess(x, &o);
        } else {
            fails = at;
            at_fails = excess(x, &o);
            memcpy(x->beyond, o.seen, sizeof x->beyond);
        }
        slow = (fails - holds) * 2 > width ? slow + 1 : 0;
    }
    return x->failed ? -1 : holds;
}

static void say_value(const struct search *x, long grid, char *out, size_t size)
{
    enum { DIGITS = 6 };
    struct sbuf b = SBUF_INIT;

    sbuf_number(&b, value_at(x, grid), DIGITS);
    snprintf(out, size, "%s %s", b.failed ? "" : b.s, x->lever->unit);
    sbuf_free(&b);
}

static void add_row(struct search *x, struct report_table **t, long grid)
{
    struct report *r = &x->s->report;
    char at[64], beyond[64];

    if (*t == NULL) {
        *t = report_add_table(r, "what-would-pass", "What would make it pass",
                              "Each line alone, the rest as planned; LEL is the lower explosive "
                              "limit. Found by judging the changed "
                              "plan again and again "
                              "with the same rules: at the figure they hold, one step beyond they "
                              "fail. A room average hides the "
                              "layer at the floor; these figures are no proof of safety.",
                              TABLE_GRID);
        report_column(r, *t, "for", NULL, NULL, ALIGN_LEFT);
        report_column(r, *t, "change", NULL, NULL, ALIGN_LEFT);
        report_column(r, *t, "holds-at", "holds at", NULL, ALIGN_LEFT);
        report_column(r, *t, "fails-at", "fails at", NULL, ALIGN_LEFT);
        report_column(r, *t, "number-there", "number then", NULL, ALIGN_LEFT);
    }
    say_value(x, grid, at, sizeof at);
    say_value(x, grid + 1, beyond, sizeof beyond);
    report_cell(r, *t, x->target->words);
    report_cell(r, *t, x->lever->words);
    report_cell(r, *t, at);
    report_cell(r, *t, beyond);
    report_cell(r, *t, x->beyond);
}

/* Two hundred steps or more, each 1, 2 or 5 in one decimal place, so that the figure printed is the
 * figure judged. */
static void choose_grid(struct search *x)
{
    const double fine = 200, ten = 10;
    double unit;

    x->step = x->lever->step;
    x->steps = x->lever->steps;
    if (x->lever->own == NULL || !(x->own > 0))
        return;
    unit = pow(ten, floor(log10(x->own / fine)));
    x->step = unit;
    if (x->own / (2 * unit) >= fine)
        x->step = 2 * unit;
    if (x->own / (5 * unit) >= fine)
        x->step = 5 * unit;
    x->steps = (long)ceil(x->own / x->step);
}

static bool try_lever(struct search *x, struct report_table **t)
{
    long grid;

    x->own = (double)NAN;
    if (x->lever->own != NULL &&
        !rows_select(x->s, x->lever->own, NULL, NULL, first_number, &x->own))
        return false;
    choose_grid(x);
    if (!trial_lever(x->trial, x->lever->set))
        return false;
    grid = narrow(x);
    if (!x->failed && grid >= 0)
        add_row(x, t, grid);
    return !x->failed;
}

static const char plan_rooms[] =
    "delete from temp.plan_room;"
    "insert into temp.plan_room select distinct room from fact_place where id in"
    " (select place from rec_step where parent in " PLAN ")";

static bool try_target(struct session *s, size_t index, struct report_table **t)
{
    struct search x = {.s = s, .target = &targets[index]};
    bool ok;

    x.trial = trial_new(s, x.target);
    ok = x.trial != NULL && trial_as_planned(x.trial, &x.planned);
    for (size_t i = 0; ok && i < LW_COUNT(levers); i++) {
        if ((levers[i].targets & (1u << index)) == 0)
            continue;
        x.lever = &levers[i];
        ok = try_lever(&x, t);
    }
    trial_free(x.trial);
    return ok;
}

/* The targets that the plan fails, as bits: where the wider bound fails the narrower one fails too,
 * and first things come first. */
static bool choose_targets(struct session *s, const struct findings *found, unsigned *chosen)
{
    for (size_t i = 0; i < LW_COUNT(targets); i++) {
        struct search x = {.s = s, .target = &targets[i]};

        if (look(&x, found) == 0 && !(i == TENTH && (*chosen & (1u << QUARTER)) != 0))
            *chosen |= 1u << i;
        if (x.failed)
            return false;
    }
    return true;
}

/* Those for which only the plan matters, then the others. */
static bool try_group(struct session *s, unsigned chosen, bool alone, struct report_table **t)
{
    struct sbuf facts = SBUF_INIT;
    bool ok = true;

    for (size_t i = 0; i < LW_COUNT(targets); i++)
        if ((chosen & (1u << i)) != 0 && targets[i].alone == alone)
            sbuf_printf(&facts, "%s ", targets[i].fact);
    if (facts.len == 0)
        return true;
    sbuf_puts(&facts, "batch place");
    if (facts.failed)
        diags_out_of_memory(s->diags);
    ok = !facts.failed && (!alone || trial_leave_plan(s, facts.s)) && rows_run(s, plan_rooms);
    for (size_t i = 0; ok && i < LW_COUNT(targets); i++)
        if ((chosen & (1u << i)) != 0 && targets[i].alone == alone)
            ok = try_target(s, i, t);
    sbuf_free(&facts);
    return (!alone || trial_rejoin(s)) && ok;
}

bool check_pass(struct session *s, const struct findings *found)
{
    struct report_table *t = NULL;
    unsigned chosen = 0;
    bool ok;

    if (!choose_targets(s, found, &chosen))
        return false;
    if (chosen == 0)
        return true;
    ok = trial_open(s) && try_group(s, chosen, true, &t) && try_group(s, chosen, false, &t);
    return trial_close(s) && ok;
}
