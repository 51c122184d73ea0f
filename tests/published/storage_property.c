/*
 * What must hold of the storage rules whatever the records: adding a lot never takes a finding
 * away, moving a jar out of a place never adds one there, raising a limit never adds one, the
 * places add up to the premises, and what is there never passes what would be there with every
 * vessel full. Workrooms are made at random from a fixed seed.
 */
#include "origin_world.h"

#include "text/mem.h"

enum { ROUNDS = 16, RECEIPTS_MOST = 6, KEYS_MOST = 400 };

static unsigned long long state;

/* SplitMix64 (Steele, Lea and Flood, 2014). */
static unsigned next(unsigned below)
{
    unsigned long long z = state += 0x9e3779b97f4a7c15ULL;

    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
    return (unsigned)((z ^ (z >> 31)) % below);
}

static const char *pick(const char *const *words, size_t n)
{
    return words[next((unsigned)n)];
}

#define PICK(...)                                                                                  \
    pick((const char *const[]){__VA_ARGS__}, LW_COUNT(((const char *const[]){__VA_ARGS__})))

static const char *const spots[] = {"room", "cab", "cellar", "yard"};

static void put_receipt(struct sbuf *b, const char *id)
{
    sbuf_printf(
        b,
        "<receipt id='%s' date='2026-0%u-1%u' kind='solvent' material='ethanol'"
        " quantity='%u L' container-size='%s' container-count='%u'"
        " container-material='%s' place='%s'%s/>",
        id, 1 + next(5), next(10), 1 + next(200), PICK("1 L", "4 L", "18 L", "200 L"), 1 + next(9),
        PICK("glass", "metal", "plastic", "safety-can"), pick(spots, LW_COUNT(spots)),
        next(5) == 0 ? ""
                     : PICK(" strength='95 %vol'", " strength='60 %vol'", " strength='40 %vol'"));
}

/* A macerating lot in its jars, of the first receipt. */
static void put_lot(struct sbuf *b, const char *id)
{
    sbuf_printf(b,
                "<batch id='%s' state='steeping' start='2026-06-0%u' place='%s' vessel-size='%s'"
                " vessel-count='%u' vessel-material='glass' closure='%s'>"
                "<charge receipt='r0' purpose='solvent' quantity='%u00 mL'/></batch>",
                id, 1 + next(9), pick(spots, LW_COUNT(spots)), PICK("1 L", "1 qt-us", "4 L"),
                1 + next(12), PICK("sealed", "screw-cap", "covered", "open"), 1 + next(9));
}

/* A workroom without its closing tag; *receipts of them are named r0, r1, ... */
static void workroom_read(struct sbuf *b, unsigned *receipts, const char *reading)
{
    *receipts = 1 + next(RECEIPTS_MOST);
    sbuf_printf(b,
                "<records><premises id='W' code-sets='%s' use='%s'%s%s%s/>"
                "<place id='room' kind='room' premises='W' warmest='30 degC'/>"
                "<place id='cab' kind='cabinet' in='room'%s capacity='50 gal-us'/>"
                "<place id='cellar' kind='basement' premises='W'/>"
                "<place id='yard' kind='yard' premises='W'/>",
                PICK("ifc-2018 osha-1910.106", "nfpa-30", "uk-dsear germany-trgs-510",
                     "canada-nfc australia", "generic-cautious"),
                PICK("workshop", "dwelling", "attached-garage", "shop"),
                PICK("", " storey='1'", " storey='2'", " storey='4'"),
                PICK("", " sprinklers='yes'", " sprinklers='no'"), reading,
                PICK("", " approved='yes'", " approved='no'"));
    for (unsigned i = 0; i < *receipts; i++) {
        char id[16];

        snprintf(id, sizeof id, "r%u", i);
        put_receipt(b, id);
    }
    put_lot(b, "J0");
}

static void workroom(struct sbuf *b, unsigned *receipts)
{
    workroom_read(b, receipts, "");
}

/* --- failing findings as a sorted list of keys --------------------------------------------------
 */

struct keys {
    char *items[KEYS_MOST];
    size_t count;
};

static int by_text(const void *a, const void *b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

/* place NULL: all. Rules about the local value itself are left out. */
static struct keys failing(const char *records, const char *place)
{
    struct evaluate_options o = {.topic = "storage"};
    struct keys k = {.count = 0};

    world_fill(records, "2026-06-30", NULL);
    struct findings *f = evaluate(world.run, world.rules, &o, world.d);
    ck_assert_ptr_nonnull(f);
    for (size_t i = 0; i < f->count; i++) {
        const struct finding *x = &f->items[i];

        if (x->verdict != VERDICT_FAILS || strncmp(x->rule->id, "local-value", 11) == 0 ||
            (place != NULL && strcmp(x->subject, place) != 0))
            continue;
        ck_assert_uint_lt(k.count, KEYS_MOST);
        k.items[k.count++] = mem_strdup(x->key);
    }
    findings_free(f);
    if (k.count > 1)
        qsort(k.items, k.count, sizeof *k.items, by_text);
    return k;
}

static void keys_free(struct keys *k)
{
    for (size_t i = 0; i < k->count; i++)
        mem_free(k->items[i]);
    k->count = 0;
}

/* Every key of `small` must be in `large`. */
static void within(const struct keys *small, const struct keys *large, const char *what,
                   const char *records)
{
    for (size_t i = 0; i < small->count; i++) {
        bool found = large->count > 0 && bsearch(&small->items[i], large->items, large->count,
                                                 sizeof *large->items, by_text) != NULL;
        ck_assert_msg(found, "%s: %s\n%s", what, small->items[i], records);
    }
}

START_TEST(adding_a_lot_takes_nothing_away)
{
    unsigned long seen = 0;

    state = 20260630;
    for (int round = 0; round < ROUNDS; round++) {
        struct sbuf before = SBUF_INIT, after = SBUF_INIT;
        unsigned n;

        workroom(&before, &n);
        sbuf_puts(&after, before.s);
        sbuf_puts(&before, "</records>");
        if (next(2) == 0)
            put_receipt(&after, "more");
        else
            put_lot(&after, "J1");
        sbuf_puts(&after, "</records>");
        struct keys a = failing(before.s, NULL), b = failing(after.s, NULL);
        within(&a, &b, "gone after one more lot", after.s);
        seen += a.count;
        keys_free(&a);
        keys_free(&b);
        sbuf_free(&before);
        sbuf_free(&after);
    }
    ck_assert_uint_gt(seen, 20);
}
END_TEST

START_TEST(moving_out_adds_nothing_there)
{
    state = 42;
    for (int round = 0; round < ROUNDS; round++) {
        struct sbuf before = SBUF_INIT, after = SBUF_INIT;
        unsigned n;

        workroom(&before, &n);
        sbuf_puts(&after, before.s);
        sbuf_puts(&before, "</records>");
        world_fill(before.s, "2026-06-30", "stay");
        char from[32], id[16];
        snprintf(id, sizeof id, "r%u", next(n));
        char sql[96];
        snprintf(sql, sizeof sql, "select place from rec_receipt where id = '%s'", id);
        snprintf(from, sizeof from, "%s", world_text(sql));
        sbuf_printf(&after, "<move id='M' date='2026-06-20' receipt='%s' from='%s' to='%s'%s/>", id,
                    from, strcmp(from, "yard") == 0 ? "room" : "yard",
                    PICK("", " quantity='300 mL'", " quantity='1 L' vessels='1'"));
        sbuf_puts(&after, "</records>");
        struct keys a = failing(before.s, from), b = failing(after.s, from);
        within(&b, &a, "new after moving out", after.s);
        keys_free(&a);
        keys_free(&b);
        sbuf_free(&before);
        sbuf_free(&after);
    }
}
END_TEST

START_TEST(raising_a_limit_adds_nothing)
{
    static const struct {
        const char *limit, *value;
    } raised[] = {
        {"control-area-quantity", "9000 gal-us"}, {"permit-quantity-indoors", "900 gal-us"},
        {"container-size", "900 gal-us"},         {"cabinet-quantity", "9000 gal-us"},
        {"dwelling-quantity", "900 gal-us"},      {"workroom-quantity", "9000 L"}};
    state = 7;
    for (int round = 0; round < ROUNDS; round++) {
        struct sbuf before = SBUF_INIT, after = SBUF_INIT;
        size_t which = next(LW_COUNT(raised));
        unsigned n;

        workroom(&before, &n);
        sbuf_puts(&after, before.s);
        sbuf_puts(&before, "</records>");
        sbuf_printf(&after,
                    "<local-code id='L' limit='%s' value='%s' authority='Town' date='2026-01-01'"
                    " citation='Ordinance 1'/></records>",
                    raised[which].limit, raised[which].value);
        struct keys a = failing(before.s, NULL), b = failing(after.s, NULL);
        within(&b, &a, "new after raising a limit", after.s);
        keys_free(&a);
        keys_free(&b);
        sbuf_free(&before);
        sbuf_free(&after);
    }
}
END_TEST

/* Two ways to the same total: the holdings of the day, and the running sum of all changes. */
START_TEST(places_add_up)
{
    state = 99;
    for (int round = 0; round < 3 * ROUNDS; round++) {
        struct sbuf b = SBUF_INIT;
        unsigned n;

        workroom(&b, &n);
        sbuf_printf(&b, "<batch id='B' state='steeping' start='2026-06-01' place='room'"
                        " vessel-size='2 L' vessel-count='3' vessel-material='glass'>"
                        "<charge receipt='r0' purpose='solvent' quantity='500 mL'/></batch>"
                        "<move id='M1' date='2026-06-11' receipt='r0' to='yard' quantity='250 mL'/>"
                        "<move id='M2' date='2026-06-12' receipt='r0' to='cab'/></records>");
        world_fill(b.s, "2026-06-30", "stock_day");
        double running = world_number("select volume_l from fact_stock_day where day <="
                                      " '2026-06-30' order by day desc limit 1");
        world_fill(b.s, "2026-06-30", "control_area");
        double held = world_number("select sum(volume_l) from fact_holding");
        double by_place = world_number("select sum(l) from (select sum(volume_l) as l from"
                                       " fact_holding group by place)");
        ck_assert_double_eq_tol(held, running, 1e-6);
        ck_assert_double_eq_tol(by_place, held, 1e-9);
        ck_assert_double_eq_tol(world_number("select count(*) from fact_holding where volume_l >"
                                             " full_l + 1e-9"),
                                0, 0.5);
        ck_assert_double_eq_tol(world_number("select count(*) from fact_control_area where"
                                             " volume_l > full_l + 1e-9"),
                                0, 0.5);
        sbuf_free(&b);
    }
}
END_TEST

/* While nobody wrote how the jars are read both readings are judged: writing one down may take a
 * finding away, never add one. */
START_TEST(a_reading_on_file_adds_nothing)
{
    static const char *const readings[] = {" maceration-reading='storage'",
                                           " maceration-reading='use-closed'"};
    unsigned long seen = 0;

    for (int round = 0; round < ROUNDS; round++) {
        struct sbuf open = SBUF_INIT, said = SBUF_INIT;
        unsigned n;

        state = 500 + (unsigned)round;
        workroom_read(&open, &n, "");
        sbuf_puts(&open, "</records>");
        state = 500 + (unsigned)round;
        workroom_read(&said, &n, readings[round % 2]);
        sbuf_puts(&said, "</records>");
        struct keys a = failing(open.s, NULL), b = failing(said.s, NULL);
        within(&b, &a, "new once a reading is on file", said.s);
        seen += a.count;
        keys_free(&a);
        keys_free(&b);
        sbuf_free(&open);
        sbuf_free(&said);
    }
    ck_assert_uint_gt(seen, 20);
}
END_TEST

/* A part that is moved takes its vessels along: four cans are four cans wherever they stand. */
START_TEST(moving_a_part_keeps_the_vessels)
{
    static const struct {
        const char *move;      /* attributes */
        double main_l, part_l; /* capacity that stays and that went */
    } moves[] = {
        {"", 0, 20},                            /* all of it */
        {"quantity='5 L'", 15, 5},              /* one can, by the amount */
        {"quantity='250 mL'", 20, 5},           /* in a can; the rest still needs four */
        {"quantity='7 L'", 15, 10},             /* two cans by the amount; 11 L need three */
        {"quantity='9 L' vessels='2'", 10, 10}, /* as written */
        {"quantity='4 L' vessels='1'", 15, 5},
    };

    for (size_t i = 0; i < LW_COUNT(moves); i++) {
        struct sbuf b = SBUF_INIT;

        sbuf_printf(&b,
                    "<records><premises id='W' code-sets='ifc-2018' storey='1' sprinklers='no'/>"
                    "<place id='room' kind='room' premises='W'/>"
                    "<place id='shed' kind='shed' premises='W'/>"
                    "<receipt id='R' date='2026-01-02' kind='solvent' material='ethanol'"
                    " quantity='18 L' container-size='5 L' container-count='4' strength='95 %%vol'"
                    " place='room'/>"
                    "<move id='M' date='2026-02-02' receipt='R' from='room' to='shed' %s/>"
                    "</records>",
                    moves[i].move);
        world_fill(b.s, "2026-06-30", "holding");
        ck_assert_double_eq_tol(world_number("select total(full_l) from fact_holding where place ="
                                             " 'room'"),
                                moves[i].main_l, 1e-9);
        ck_assert_double_eq_tol(world_number("select total(full_l) from fact_holding where place ="
                                             " 'shed'"),
                                moves[i].part_l, 1e-9);
        ck_assert_double_eq_tol(world_number("select sum(volume_l) from fact_holding"), 18, 1e-9);
        sbuf_free(&b);
    }
}
END_TEST

/* The readings of jars: which column of the inventory they stand in, and what a jar left open is.
 */
START_TEST(jars_are_read_as_said)
{
    static const struct {
        const char *reading, *closure, *situation;
        int closed_lines; /* is there a line for use in closed vessels? */
    } jars[] = {
        {"", "sealed", "storage", 1},
        {" maceration-reading='storage'", "sealed", "storage", 0},
        {" maceration-reading='use-closed'", "screw-cap", "use-closed", 1},
        {"", "open", "use-open", 1},
        {" maceration-reading='use-closed'", "open", "use-open", 1},
    };

    for (size_t i = 0; i < LW_COUNT(jars); i++) {
        struct sbuf b = SBUF_INIT;

        sbuf_printf(
            &b,
            "<records><premises id='W' code-sets='ifc-2018' storey='1' sprinklers='no'%s/>"
            "<place id='room' kind='room' premises='W'/>"
            "<receipt id='R' date='2026-01-02' kind='solvent' material='ethanol'"
            " quantity='3 L' strength='95 %%vol' place='room'/>"
            "<batch id='J' state='steeping' start='2026-02-01' place='room' vessel-size='4 L'"
            " closure='%s'><charge receipt='R' purpose='solvent' quantity='3 L'/></batch>"
            "</records>",
            jars[i].reading, jars[i].closure);
        world_fill(b.s, "2026-06-30", "line");
        ck_assert_str_eq(world_text("select situation from fact_holding where what = 'vessel'"),
                         jars[i].situation);
        ck_assert_double_eq_tol(world_number("select count(*) > 0 from fact_line where part ="
                                             " 'closed'"),
                                jars[i].closed_lines, 0.1);
        /* left open it counts as open use, on a day without any step */
        ck_assert_double_eq_tol(world_number("select coalesce(max(amount), 0) from fact_line where"
                                             " limit_name = 'use-open-quantity'"),
                                strcmp(jars[i].closure, "open") == 0 ? 3 : 0, 1e-6);
        sbuf_free(&b);
    }
}
END_TEST

UNIT_MAIN("storage properties", adding_a_lot_takes_nothing_away, moving_out_adds_nothing_there,
          raising_a_limit_adds_nothing, places_add_up, a_reading_on_file_adds_nothing,
          moving_a_part_keeps_the_vessels, jars_are_read_as_said)
