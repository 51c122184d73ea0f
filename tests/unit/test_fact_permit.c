/* The account of a permit: what must hold whatever the records. A plain second account is kept here
 * in C. */
#include "../published/origin_world.h"

#include "text/sbuf.h"

enum { PERMITS = 4, RECEIPTS = 12, ROUNDS = 24, DAYS = 20 };

struct receipt {
    int day, permit, second; /* second: another permit of the same kind, or -1 */
    long centigrams;
};

struct book {
    long granted[PERMITS], before[PERMITS];
    struct receipt receipts[RECEIPTS];
    int count;
};

static uint32_t state = 6;

static int pick(int n)
{
    state ^= state << 13;
    state ^= state >> 17;
    state ^= state << 5;
    return (int)(state % (uint32_t)n);
}

static struct book make(bool several)
{
    struct book b = {.count = 3 + pick(RECEIPTS - 3)};

    for (int i = 0; i < PERMITS; i++) {
        b.granted[i] = 1000 + pick(9000);
        b.before[i] = pick(3) == 0 ? pick(900) : 0;
    }
    for (int i = 0; i < b.count; i++) {
        b.receipts[i] = (struct receipt){1 + pick(DAYS), pick(PERMITS), -1, 1 + pick(4000)};
        if (several && pick(3) == 0)
            b.receipts[i].second = (b.receipts[i].permit + 1 + pick(PERMITS - 1)) % PERMITS;
    }
    return b;
}

static void put_receipt(struct sbuf *out, const char *id, const struct receipt *r, long centigrams)
{
    sbuf_printf(out,
                "<receipt id=\"%s\" date=\"2026-03-%02d\" material=\"civet-african\" "
                "quantity=\"%ld.%02ld g\"",
                id, r->day, centigrams / 100, centigrams % 100);
    if (r->second >= 0)
        sbuf_printf(out, " documents=\"P%d P%d\"/>", r->permit, r->second);
    else
        sbuf_printf(out, " documents=\"P%d\"/>", r->permit);
}

static void put_permit(struct sbuf *out, const struct book *b, int i)
{
    sbuf_printf(out,
                "<document id=\"P%d\" kind=\"cites-export-permit\" issued=\"2026-02-%02d\" "
                "quantity=\"%ld.%02ld g\"",
                i, 1 + i, b->granted[i] / 100, b->granted[i] % 100);
    if (b->before[i] > 0)
        sbuf_printf(out, " used-before=\"%ld.%02ld g\"", b->before[i] / 100, b->before[i] % 100);
    sbuf_puts(out, "/>");
}

/* order: the places of the records in the file. split: this receipt comes as two. */
static void fill(const struct book *b, bool reversed, int split)
{
    struct sbuf s = SBUF_INIT;
    char id[16];

    sbuf_puts(&s, "<records>");
    for (int i = 0; i < PERMITS; i++)
        put_permit(&s, b, reversed ? PERMITS - 1 - i : i);
    for (int i = 0; i < b->count; i++) {
        int k = reversed ? b->count - 1 - i : i;
        const struct receipt *r = &b->receipts[k];

        snprintf(id, sizeof id, "R%02d", k);
        if (k == split && r->centigrams > 1) {
            put_receipt(&s, id, r, r->centigrams / 3 + 1);
            snprintf(id, sizeof id, "R%02d-b", k);
            put_receipt(&s, id, r, r->centigrams - r->centigrams / 3 - 1);
        } else {
            put_receipt(&s, id, r, r->centigrams);
        }
    }
    sbuf_puts(&s, "</records>");
    ck_assert(!s.failed);
    world_fill(s.s, "2026-06-30", "permit_account");
    sbuf_free(&s);
}

/* Everything the account says, in one text; figures rounded far below a centigram. */
static const char *accounts(void)
{
    static char text[4][512];
    static unsigned turn;
    char *out = text[turn++ % 4];

    snprintf(
        out, sizeof text[0], "%s",
        world_text(
            "select group_concat(x, '; ') from (select permit || ' ' || round(drawn, 6) || ' ' ||"
            " round(\"left\", 6) || ' ' || coalesce(over_on, '-') as x from fact_permit_account "
            "order by permit)"));
    return out;
}

START_TEST(order_of_records_does_not_matter)
{
    for (int round = 0; round < ROUNDS; round++) {
        struct book b = make(round % 2 == 1);
        const char *first;

        fill(&b, false, -1);
        first = accounts();
        ck_assert_str_ne(first, "");
        fill(&b, true, -1);
        ck_assert_str_eq(accounts(), first);
    }
}
END_TEST

START_TEST(uses_and_what_is_left_make_what_was_granted)
{
    for (int round = 0; round < ROUNDS; round++) {
        struct book b = make(round % 2 == 1);

        fill(&b, false, -1);
        for (int i = 0; i < PERMITS; i++) {
            char sql[160];

            snprintf(sql, sizeof sql,
                     "select drawn + \"left\" from fact_permit_account where permit = 'P%d'", i);
            ck_assert_double_eq_tol(world_number(sql), (double)b.granted[i] / 100, 1e-9);
            snprintf(sql, sizeof sql,
                     "select (select coalesce(sum(amount), 0) from fact_permit_entry where permit "
                     "= 'P%d') - drawn"
                     " from fact_permit_account where permit = 'P%d'",
                     i, i);
            ck_assert_double_eq_tol(world_number(sql), 0, 1e-9);
        }
        /* Nothing is lost or made between the permits of one receipt. */
        double sum = 0;
        for (int i = 0; i < b.count; i++)
            sum += (double)b.receipts[i].centigrams / 100;
        ck_assert_double_eq_tol(
            world_number("select sum(amount) from fact_permit_entry where what = 'received'"), sum,
            1e-9);
    }
}
END_TEST

START_TEST(splitting_a_receipt_changes_nothing)
{
    for (int round = 0; round < ROUNDS; round++) {
        struct book b = make(round % 2 == 1);
        const char *whole;

        fill(&b, false, -1);
        whole = accounts();
        fill(&b, false, pick(b.count));
        ck_assert_str_eq(accounts(), whole);
    }
}
END_TEST

/* The day the running total first goes over, by a plain account in whole centigrams. */
static int day_over(const struct book *b, int permit)
{
    long drawn = b->before[permit];

    if (drawn > b->granted[permit])
        return 0;
    for (int day = 1; day <= DAYS; day++)
        for (int i = 0; i < b->count; i++)
            if (b->receipts[i].permit == permit && b->receipts[i].day == day) {
                drawn += b->receipts[i].centigrams;
                if (drawn > b->granted[permit])
                    return day;
            }
    return -1;
}

START_TEST(the_day_it_goes_over_follows_the_dates)
{
    int over = 0;

    for (int round = 0; round < ROUNDS; round++) {
        struct book b = make(false);

        fill(&b, round % 2 == 1, -1);
        for (int i = 0; i < PERMITS; i++) {
            char sql[160], want[16] = "";
            int day = day_over(&b, i);

            if (day > 0)
                snprintf(want, sizeof want, "2026-03-%02d", day);
            snprintf(sql, sizeof sql,
                     "select over_on from fact_permit_account where permit = 'P%d'", i);
            ck_assert_str_eq(world_text(sql), want);
            over += day > 0;
        }
    }
    ck_assert_int_gt(over, 5); /* the rounds do overdraw */
    /* The same two receipts, their dates exchanged: the other one is the one too many. */
    world_fill(
        "<records><document id=\"P\" kind=\"cites-export-permit\" quantity=\"100 g\"/>"
        "<receipt id=\"A\" date=\"2026-03-01\" quantity=\"60 g\" documents=\"P\"/>"
        "<receipt id=\"B\" date=\"2026-03-02\" quantity=\"60 g\" documents=\"P\"/></records>",
        "2026-06-30", "permit_account");
    ck_assert_str_eq(world_text("select over_record || ' ' || over_on from fact_permit_account"),
                     "B 2026-03-02");
    world_fill(
        "<records><document id=\"P\" kind=\"cites-export-permit\" quantity=\"100 g\"/>"
        "<receipt id=\"A\" date=\"2026-03-02\" quantity=\"60 g\" documents=\"P\"/>"
        "<receipt id=\"B\" date=\"2026-03-01\" quantity=\"60 g\" documents=\"P\"/></records>",
        "2026-06-30", "permit_account");
    ck_assert_str_eq(world_text("select over_record || ' ' || over_on from fact_permit_account"),
                     "A 2026-03-02");
}
END_TEST

/* Where all permits of a receipt together hold enough, none is overdrawn. */
START_TEST(several_permits_for_one_receipt)
{
    world_fill(
        "<records><document id=\"P\" kind=\"cites-export-permit\" expires=\"2026-05-01\" "
        "quantity=\"0.1 kg\"/>"
        "<document id=\"Q\" kind=\"cites-export-permit\" expires=\"2026-06-01\" quantity=\"60 g\"/>"
        "<receipt id=\"A\" date=\"2026-03-01\" quantity=\"70 g\" documents=\"P Q\"/>"
        "<receipt id=\"B\" date=\"2026-03-02\" quantity=\"80 g\" documents=\"Q P\"/></records>",
        "2026-06-30", "permit_account");
    ck_assert_str_eq(world_text("select group_concat(permit || ' ' || drawn_own || unit, ' ') from "
                                "fact_permit_account"),
                     "P 0.1kg Q 50.0g");
    ck_assert_str_eq(world_verdict("permit-overdrawn"), "holds");
    world_fill(
        "<records><document id=\"P\" kind=\"cites-export-permit\" expires=\"2026-05-01\" "
        "quantity=\"0.1 kg\"/>"
        "<document id=\"Q\" kind=\"cites-export-permit\" expires=\"2026-06-01\" quantity=\"60 g\"/>"
        "<receipt id=\"A\" date=\"2026-03-01\" quantity=\"70 g\" documents=\"P Q\"/>"
        "<receipt id=\"B\" date=\"2026-03-02\" quantity=\"91 g\" documents=\"Q P\"/></records>",
        "2026-06-30", "permit_account");
    ck_assert_str_eq(
        world_text(
            "select permit || ' ' || over_own || unit || ' ' || over_on from fact_permit_account"
            " where over_on is not null"),
        "Q 1.0g 2026-03-02");
    /* An import permit beside an export permit is an account of its own, not a share. */
    world_fill(
        "<records><document id=\"P\" kind=\"cites-export-permit\" quantity=\"100 g\"/>"
        "<document id=\"Q\" kind=\"eu-import-permit\" quantity=\"100 g\"/>"
        "<receipt id=\"A\" date=\"2026-03-01\" quantity=\"70 g\" documents=\"P Q\"/></records>",
        "2026-06-30", "permit_account");
    ck_assert_str_eq(
        world_text("select group_concat(permit || ' ' || drawn_own, ' ') from fact_permit_account"),
        "P 70.0 Q 70.0");
}
END_TEST

/* Mass against volume counts only with a stated density; 120 mL at 0.95 g/mL are 114 g (arithmetic;
 * the density is an input). */
START_TEST(mass_and_volume)
{
    const char *records = "<records><material id=\"oud-oil\" kind=\"plant\" taxon=\"agarwood\"%s/>"
                          "<document id=\"P\" kind=\"cites-export-permit\" quantity=\"0.120 kg\"/>"
                          "<receipt id=\"A\" date=\"2026-03-01\" material=\"oud-oil\" "
                          "quantity=\"120 mL\" documents=\"P\"/></records>";
    char text[512];

    snprintf(text, sizeof text, records, " density=\"0.95 g/mL\"");
    world_fill(text, "2026-06-30", "permit_account");
    ck_assert_double_eq_tol(world_number("select drawn_own from fact_permit_account"), 0.114, 1e-9);
    ck_assert_str_eq(world_verdict("permit-overdrawn"), "holds");
    snprintf(text, sizeof text, records, "");
    world_fill(text, "2026-06-30", "permit_account");
    ck_assert_str_eq(world_verdict("permit-overdrawn"), "cannot tell");
}
END_TEST

/* Used by lots, sold as it came, thrown away, left: they close. */
START_TEST(stock_under_a_permit_closes)
{
    world_fill("<records><document id=\"P\" kind=\"cites-export-permit\" quantity=\"100 g\"/>"
               "<receipt id=\"A\" date=\"2026-03-01\" material=\"civet-african\" quantity=\"80 g\" "
               "documents=\"P\"/>"
               "<batch id=\"L\" start=\"2026-03-05\" state=\"steeping\"><charge receipt=\"A\" "
               "quantity=\"30 g\"/></batch>"
               "<batch id=\"V\" start=\"2026-03-05\" state=\"void\"><charge receipt=\"A\" "
               "quantity=\"7 g\"/></batch>"
               "<sale id=\"S\" date=\"2026-03-09\"><line receipt=\"A\" quantity=\"12 g\"/></sale>"
               "<waste id=\"W\" date=\"2026-03-10\" receipt=\"A\" quantity=\"3 g\"/></records>",
               "2026-06-30", "permit_account");
    ck_assert_str_eq(
        world_text(
            "select used || ' ' || sold_raw || ' ' || wasted || ' ' || stock || ' ' || \"left\""
            " from fact_permit_account"),
        "30.0 12.0 3.0 35.0 20.0");
}
END_TEST

UNIT_MAIN("permit account", order_of_records_does_not_matter,
          uses_and_what_is_left_make_what_was_granted, splitting_a_receipt_changes_nothing,
          the_day_it_goes_over_follows_the_dates, several_permits_for_one_receipt, mass_and_volume,
          stock_under_a_permit_closes)
