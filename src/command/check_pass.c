#include "text/base.h"

#include "command/check_pass.h"
#include "command/rows.h"
#include "text/utf8.h"

enum { SQL_BYTES = 1600, RULES_MOST = 3 };

/* A group of rules that one lever may bring under their limits together. */
struct target {
    const char *words;
    const char *fact;
    const char *rules[RULES_MOST];
    bool alone; /* only the plan matters: the other lots may be left out while searching */
};

enum { QUARTER, TENTH }; /* places in targets[] */

static const struct target targets[] = {
    {"vapour, a quarter of LEL", "step_vapour", {"vapour-above-quarter-of-lel"}, true},
    {"vapour, a tenth of LEL",
     "step_vapour",
     {"vapour-above-quarter-of-lel", "vapour-above-tenth-of-lel"},
     true},
    {"vapour over a shift", "step_vapour", {"shift-vapour-above-limit"}, true},
    {"spill of the largest vessel", "step_vapour", {"spill-could-reach-lel"}, true},
    {"room to expand", "lot_vessel", {"vessel-too-full", "filled-cold-too-full"}, true},
    {"control area", "control_area", {"control-area-over-maximum"}, false},
};

/* One lever: the statements that set it, with %g for the value. Amounts are those of the plan. */
struct lever {
    const char *words; /* "batch of at most" */
    const char *unit;
    long steps;      /* of a fixed grid: from 0 (best) to steps (worst for the number) */
    double best;     /* value at grid 0, when it is fixed */
    double step;     /* width of a fixed grid */
    const char *own; /* SQL for the value as planned, the other end of the grid; NULL: fixed */
    const char *set;
    unsigned targets; /* bits of targets[] */
};

#define VAPOUR 7u /* the first three targets */
#define PLAN   "(select rid from temp.plan_batch)"

static const struct lever levers[] = {
    {"batch of at most, same trays", "L", 0, 0, 0,
     "select sum(solvent_l) from fact_batch where id in (select id from temp.plan_batch)",
     "update rec_charge set quantity_l = quantity_l * %1$.17g, quantity_g = quantity_g * %1$.17g"
     " where parent in " PLAN ";"
     "update rec_step set quantity_l = quantity_l * %1$.17g where parent in " PLAN ";"
     "update rec_batch set volume_l = volume_l * %1$.17g,"
     " vessel_count_n = max(1, cast(vessel_count_n * %1$.17g + 0.999999 as integer))"
     " where rid in " PLAN ";"
     "update rec_yield set quantity_l = quantity_l * %1$.17g, quantity_g = quantity_g * %1$.17g"
     " where parent in " PLAN,
     VAPOUR | 32u},
    {"fresh air while open, at least", "per hour", 600, 60, 0.1, NULL,
     "update rec_step set ventilation_on = 'yes' where parent in " PLAN ";"
     "update rec_place set air_changes_per_h = %2$.17g, ventilation = 'mechanical' where id in"
     " (select room from temp.plan_room)",
     VAPOUR},
    {"equal portions, room aired between, at least", "portions", 199, 200, 1, NULL,
     "update rec_step set quantity_l = quantity_l / %2$.17g, duration_min = duration_min / %2$.17g"
     " where parent in " PLAN,
     VAPOUR},
    {"open for at most", "min", 0, 0, 0,
     "select max(duration_min) from rec_step where parent in " PLAN,
     "update rec_step set duration_min = min(duration_min, %2$.17g) where parent in " PLAN, VAPOUR},
    {"open surface of at most", "m2", 0, 0, 0,
     "select max(open_area_m2) from rec_step where parent in " PLAN,
     "update rec_step set open_area_m2 = min(open_area_m2, %2$.17g) where parent in " PLAN, VAPOUR},
    {"vessels of at most", "L", 0, 0, 0,
     "select max(spill_l) from fact_step_vapour where lot in (select id from temp.plan_batch)",
     "update rec_batch set vessel_size_l = min(vessel_size_l, %2$.17g) where rid in " PLAN ";"
     "update rec_receipt set container_size_l = min(container_size_l, %2$.17g) where id in"
     " (select receipt from rec_charge where parent in " PLAN ")",
     8u},
    {"fill of at most", "L", 0, 0, 0, "select max(fill_l) from rec_batch where rid in " PLAN,
     "update rec_batch set fill_l = min(fill_l, %2$.17g) where rid in " PLAN, 16u},
};

struct search {
    struct session *s;
    const struct target *target;
    const struct lever *lever;
    double own;      /* value as planned */
    double step;     /* width of the grid: 1, 2 or 5 in the last place */
    long steps;      /* the grid runs from 0 to steps */
    char seen[96];   /* the value of the worst finding of the last judgement, in its own words */
    char beyond[96]; /* the same, at the nearest grid point that fails */
    bool failed;     /* trouble, with a diagnostic */
};

static double value_at(const struct search *x, long grid)
{
    const struct lever *l = x->lever;

    if (l->own == NULL)
        return l->best - (double)grid * x->step;
    return fmin((double)grid * x->step, x->own);
}

static bool set_lever(struct search *x, long grid)
{
    char sql[SQL_BYTES];
    double value = value_at(x, grid);
    double share = x->own > 0 ? value / x->own : 1;
    struct sbuf b = SBUF_INIT;
    bool ok;

    /* %1$ is the share of what was planned, %2$ the value itself */
    snprintf(sql, sizeof sql, "%s", x->lever->set);
    for (const char *p = sql; *p != '\0';) {
        if (strncmp(p, "%1$.17g", 7) == 0 || strncmp(p, "%2$.17g", 7) == 0) {
            sbuf_printf(&b, "%.17g", p[1] == '1' ? share : value);
            p += 7;
        } else {
            sbuf_putc(&b, *p++);
        }
    }
    ok = !b.failed && rows_run(x->s, b.s);
    sbuf_free(&b);
    return ok;
}

static void first_number(struct session *s, sqlite3_stmt *st, void *user)
{
    double *v = user;

    (void)s;
    if (isnan(*v) && sqlite3_column_type(st, 0) != SQLITE_NULL)
        *v = sqlite3_column_double(st, 0);
}

static bool in_target(const struct target *t, const char *rule)
{
    for (size_t i = 0; i < RULES_MOST; i++)
        if (str_eq(t->rules[i], rule))
            return true;
    return false;
}

static void is_marked(struct session *s, sqlite3_stmt *st, void *user)
{
    (void)s;
    *(bool *)user = sqlite3_column_int(st, 0) > 0;
}

/* Does a finding of these concern the plan? Findings about places count for every plan. */
static bool concerns(struct search *x, const struct finding *f)
{
    bool marked = f->lot == NULL;

    if (!marked && !rows_select(x->s, "select count(*) from temp.plan_batch where id = ?1", f->lot,
                                NULL, is_marked, &marked))
        x->failed = true;
    return marked;
}

/* 1 all rules of the target hold for the plan, 0 one fails, -1 one cannot be told. */
static int look(struct search *x, const struct findings *found)
{
    int verdict = 1;

    x->seen[0] = '\0';
    for (size_t i = 0; i < found->count; i++) {
        const struct finding *f = &found->items[i];

        if (!in_target(x->target, f->rule->id) || !concerns(x, f))
            continue;
        if (f->verdict == VERDICT_CANNOT_TELL)
            return -1;
        if (f->verdict == VERDICT_FAILS && verdict == 1) {
            verdict = 0;
            snprintf(x->seen, sizeof x->seen, "%s", f->value == NULL ? "" : f->value);
        }
    }
    return verdict;
}

/* The run does not outlive a savepoint: rolling back changes the rows of its facts. */
static void drop_facts(struct session *s)
{
    fact_run_free(s->run);
    s->run = NULL;
}

/* Judges the plan with the lever at `grid`; the records are put back. */
static int judge_at(struct search *x, long grid)
{
    int verdict = -1;

    drop_facts(x->s);
    if (!rows_run(x->s, "savepoint lever")) {
        x->failed = true;
        return -1;
    }
    if (!set_lever(x, grid) || !session_facts(x->s, x->target->fact))
        x->failed = true;
    verdict = x->failed ? -1 : 1;
    for (size_t i = 0; i < RULES_MOST && verdict == 1 && x->target->rules[i] != NULL; i++) {
        struct evaluate_options o = {.only = x->target->rules[i], .units = session_units(x->s)};
        struct findings *found = evaluate(x->s->run, x->s->rules, &o, x->s->diags);

        if (found == NULL)
            x->failed = true;
        else
            verdict = look(x, found);
        findings_free(found);
    }
    drop_facts(x->s);
    if (!rows_run(x->s, "rollback to lever; release lever"))
        x->failed = true;
    return x->failed ? -1 : verdict;
}

/* The worst grid point at which the rules still hold; -1: none, or they hold as planned. */
static long halve(struct search *x)
{
    long holds = 0, fails = x->steps;

    if (x->lever->own != NULL && !(x->own > 0))
        return -1;
    if (x->lever->own != NULL)
        holds = 1; /* nothing at all is no answer */
    if (judge_at(x, holds) != 1 || judge_at(x, fails) != 0)
        return -1;
    memcpy(x->beyond, x->seen, sizeof x->beyond);
    while (!x->failed && fails - holds > 1) {
        long middle = holds + (fails - holds) / 2;
        int verdict = judge_at(x, middle);

        if (verdict < 0)
            return -1;
        if (verdict == 1) {
            holds = middle;
        } else {
            fails = middle;
            memcpy(x->beyond, x->seen, sizeof x->beyond);
        }
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
    grid = halve(x);
    if (!x->failed && grid >= 0)
        add_row(x, t, grid);
    return !x->failed;
}

/* While only the plan matters, the other lots and what was done with them only cost time. */
static const char leave_plan[] =
    "delete from rec_charge where parent not in " PLAN ";"
    "delete from rec_step where parent not in " PLAN ";"
    "delete from rec_yield where parent not in " PLAN ";"
    "delete from rec_reading where parent not in " PLAN ";"
    "delete from rec_check where parent not in " PLAN ";"
    "delete from rec_batch where rid not in " PLAN ";"
    "delete from rec_line; delete from rec_sale; delete from rec_move; delete from rec_count;"
    "delete from rec_waste; delete from rec_label; delete from rec_incident; delete from rec_log";

static const char plan_rooms[] =
    "delete from temp.plan_room;"
    "insert into temp.plan_room select distinct room from fact_place where id in"
    " (select place from rec_step where parent in " PLAN ")";

/* The store keeps no journal; without one a savepoint cannot be rolled back. Rolling back after a
 * change of the layout makes SQLite read the whole layout again and compile every statement again:
 * so no table is made from here on, and a write that ends its own transaction closes the book on
 * the changes before. */
static const char open_savepoints[] = "pragma journal_mode=memory; delete from temp.plan_room";

static bool try_target(struct session *s, size_t index, struct report_table **t)
{
    struct search x = {.s = s, .target = &targets[index]};
    bool ok;

    drop_facts(s);
    ok = rows_run(s, "savepoint target");

    if (ok && targets[index].alone)
        ok = rows_run(s, leave_plan);
    ok = ok && session_facts(s, targets[index].fact) && rows_run(s, plan_rooms);
    for (size_t i = 0; ok && i < LW_COUNT(levers); i++) {
        if ((levers[i].targets & (1u << index)) == 0)
            continue;
        x.lever = &levers[i];
        /* the value as planned is read from facts of the plan as it stands */
        ok = session_facts(s, x.target->fact) && try_lever(&x, t);
    }
    drop_facts(s);
    return rows_run(s, "rollback to target; release target") && ok;
}

bool check_pass(struct session *s, const struct findings *found)
{
    struct report_table *t = NULL;
    bool ok = rows_run(s, open_savepoints), quarter = false;

    for (size_t i = 0; ok && i < LW_COUNT(targets); i++) {
        struct search x = {.s = s, .target = &targets[i]};
        int verdict = look(&x, found);

        if (x.failed)
            return false;
        /* where the wider bound fails the narrower one fails too: first things first */
        if (verdict == 0 && !(i == TENTH && quarter))
            ok = try_target(s, i, &t);
        quarter = quarter || (i == QUARTER && verdict == 0);
    }
    return rows_run(s, "pragma journal_mode=off") && ok;
}
