/* ethanol.c - lotward ethanol: the account of absolute alcohol over a period.
 *
 * Two accounts: spirit as it was received, and spirit in lots and in what was made of them. Each
 * has an opening, what came in, what went out, and a closing, in litres, in litres of absolute
 * alcohol and in US proof gallons; then the same by received lot and by lot. */
#include "text/base.h"

#include "command/rows.h"
#include "command/session.h"
#include "record/csv_split.h"
#include "text/date.h"
#include "text/quantity.h"
#include "text/utf8.h"

static const struct option_spec options[] = {
    {"from", 0, OPTION_DATE, "DATE", NULL, "First day (default: 1 January of the last day's year)",
     0, 0},
    {"until", 0, OPTION_DATE, "DATE", NULL, "Last day (default: the as-of day)", 0, 0},
    {"csv", 0, OPTION_FLAG, NULL, NULL, "Write every movement as CSV instead", 0, 0},
};

struct period {
    char from[11], until[11];
};

static enum exit_status choose_period(struct session *s, struct period *p)
{
    const struct option_value *from = option_get(&s->options, "from");
    const struct option_value *until = option_get(&s->options, "until");
    long last = until->given ? until->number : s->as_of;
    long first = last;

    date_format(last, p->until);
    memcpy(p->from, p->until, sizeof p->from);
    memcpy(p->from + 5, "01-01", 6);
    if (from->given)
        date_format(from->number, p->from);
    if (!date_iso_days(p->from, &first) || first > last)
        return session_usage(s, NULL, "the period ends (%s) before it begins (%s)", p->until,
                             p->from);
    return STATUS_CLEAN;
}

static const char *const amount_columns[] = {"volume", "absolute-alcohol", "proof-gallons"};
static const char proof[] = "proof-gallons", us_gallon[] = "US gal";

/* A column of numbers. Asked for US units, litres are shown as gallons; asked for metric ones, the
 * column of proof gallons, always the last, is left out. */
static void add_number_column(struct session *s, struct report_table *t, const char *name)
{
    enum show_units units = session_units(s);
    const char *litres = units == SHOW_US ? us_gallon : "L";

    if (str_eq(name, proof) && units == SHOW_METRIC)
        return;
    report_column(&s->report, t, name,
                  str_eq(name, proof)                ? "proof gallons"
                  : str_eq(name, "absolute-alcohol") ? "absolute alcohol"
                  : str_eq(name, "gap-percent")      ? "gap"
                                                     : NULL,
                  str_eq(name, proof)           ? "gal"
                  : str_eq(name, "gap-percent") ? "%"
                                                : litres,
                  ALIGN_RIGHT);
}

static void add_amount_columns(struct session *s, struct report_table *t)
{
    for (size_t i = 0; i < LW_COUNT(amount_columns); i++)
        add_number_column(s, t, amount_columns[i]);
}

struct fill {
    struct report_table *t;
    int texts; /* leading columns that are words */
};

static void add_row(struct session *s, sqlite3_stmt *st, void *user)
{
    enum { DECIMALS = 3 };
    struct fill *f = user;

    for (int i = 0; f->t != NULL && i < (int)f->t->column_count; i++) {
        double v = (double)NAN;

        if (i < f->texts) {
            report_cell(&s->report, f->t, rows_text(st, i));
            continue;
        }
        if (sqlite3_column_type(st, i) != SQLITE_NULL)
            v = sqlite3_column_double(st, i);
        if (str_eq(f->t->columns[i].unit, us_gallon) && !unit_convert(v, "L", "gal-us", &v))
            v = (double)NAN;
        report_cell_number(&s->report, f->t, v, DECIMALS, NULL);
    }
}

/* Movements by account and kind; the first day is ?1, the last ?2. A movement without a day is left
 * out and counted in a note. */
static const char account_sql[] =
    "with e as (select * from fact_alcohol_entry where date is not null and date <= ?2),"
    " lines(account, rank, line, sign, what) as (values"
    " ('received', 0, 'opening', 0, ''), ('received', 1, 'received', 1, 'received'),"
    " ('received', 2, 'used in lots', -1, 'charged'), ('received', 3, 'waste', -1, 'waste'),"
    " ('received', 4, 'sold as it was', -1, 'sold'), ('received', 9, 'closing', 0, ''),"
    " ('lots', 0, 'opening', 0, ''), ('lots', 1, 'from receipts', 1, 'charged'),"
    " ('lots', 2, 'charged with no receipt named', 1, 'charged-without-receipt'),"
    " ('lots', 3, 'sold', -1, 'sold'), ('lots', 4, 'waste', -1, 'waste'),"
    " ('lots', 5, 'spilt', -1, 'spilt'), ('lots', 9, 'closing', 0, ''))"
    " select case l.account when 'received' then 'as received' else 'in lots' end,"
    " l.line, coalesce(sum(e.sign * e.volume_l), 0), coalesce(sum(e.sign * e.laa_l), 0),"
    " coalesce(sum(e.sign * e.proof_gal), 0)"
    " from lines l left join e on e.account = l.account and case l.rank when 0 then e.date < ?1"
    " when 9 then 1 else e.what = l.what and e.date >= ?1 end"
    " group by l.account, l.rank order by l.account desc, l.rank";

static const char receipt_sql[] =
    "select receipt, coalesce(max(status), ''),"
    " coalesce(sum(iif(date < ?1, sign * laa_l, 0)), 0),"
    " coalesce(sum(iif(date >= ?1 and sign > 0, laa_l, 0)), 0),"
    " coalesce(sum(iif(date >= ?1 and sign < 0, laa_l, 0)), 0), coalesce(sum(sign * laa_l), 0),"
    " coalesce(sum(sign * proof_gal), 0)"
    " from fact_alcohol_entry where account = 'received' and date <= ?2"
    " group by receipt order by receipt";

static const char lot_sql[] =
    "select lot, coalesce(sum(iif(date < ?1, sign * laa_l, 0)), 0),"
    " coalesce(sum(iif(date >= ?1 and sign > 0, laa_l, 0)), 0),"
    " coalesce(sum(iif(date >= ?1 and what = 'sold', laa_l, 0)), 0),"
    " coalesce(sum(iif(date >= ?1 and what in ('waste', 'spilt'), laa_l, 0)), 0),"
    " coalesce(sum(sign * laa_l), 0), coalesce(sum(sign * proof_gal), 0)"
    " from fact_alcohol_entry where account = 'lots' and date <= ?2 group by lot order by lot";

static const char count_sql[] =
    "select receipt, count, date, received_l, used_l, counted_l, gap_l, gap_percent"
    " from fact_alcohol_count where date >= ?1 and date <= ?2 order by date, receipt";

static void columns(struct session *s, struct report_table *t, const char *words,
                    const char *const *numbers)
{
    struct sbuf b = SBUF_INIT;

    for (const char *p = words; *p != '\0';) {
        size_t n = strcspn(p, " ");

        sbuf_clear(&b);
        sbuf_printf(&b, "%.*s", (int)n, p);
        report_column(&s->report, t, b.s, NULL, NULL, ALIGN_LEFT);
        p += n + (p[n] == ' ' ? 1 : 0);
    }
    for (; *numbers != NULL; numbers++)
        add_number_column(s, t, *numbers);
    sbuf_free(&b);
}

static bool add_tables(struct session *s, const struct period *p)
{
    static const char *const receipt_numbers[] = {"opening", "received",      "out",
                                                  "closing", "proof-gallons", NULL};
    static const char *const lot_numbers[] = {"opening",       "in", "sold", "lost", "closing",
                                              "proof-gallons", NULL};
    static const char *const count_numbers[] = {"received", "used",        "counted",
                                                "gap",      "gap-percent", NULL};
    /* by enum show_units */
    static const char *const amounts[] = {
        [SHOW_BOTH] = "Litres of absolute alcohol; what is left also in proof gallons.",
        [SHOW_METRIC] = "Litres of absolute alcohol.",
        [SHOW_US] = "US gallons of absolute alcohol; what is left also in proof gallons.",
    };
    struct report *r = &s->report;
    struct fill f;

    f.t = report_add_table(
        r, "account", "Account of absolute alcohol",
        "Volumes taken to be at 20 degC; absolute alcohol by OIML R 22; proof gallons are "
        "US wine gallons at 60 degF times proof over 100.",
        TABLE_GRID);
    f.texts = 2;
    report_column(r, f.t, "account", NULL, NULL, ALIGN_LEFT);
    report_column(r, f.t, "line", NULL, NULL, ALIGN_LEFT);
    add_amount_columns(s, f.t);
    if (!rows_select(s, account_sql, p->from, p->until, add_row, &f))
        return false;
    f.t =
        report_add_table(r, "by-receipt", "By received lot", amounts[session_units(s)], TABLE_GRID);
    columns(s, f.t, "receipt status", receipt_numbers);
    if (!rows_select(s, receipt_sql, p->from, p->until, add_row, &f))
        return false;
    f.t = report_add_table(r, "by-lot", "By lot",
                           "Absolute alcohol; lost: waste and spills. What wet spent material "
                           "kept and what evaporated shows as closing until it is written down.",
                           TABLE_GRID);
    f.texts = 1;
    columns(s, f.t, "lot", lot_numbers);
    if (!rows_select(s, lot_sql, p->from, p->until, add_row, &f))
        return false;
    f.t = report_add_table(r, "counts", "Stock-takes of ethanol against the account", NULL,
                           TABLE_GRID);
    f.texts = 3;
    columns(s, f.t, "receipt count date", count_numbers);
    return rows_select(s, count_sql, p->from, p->until, add_row, &f);
}

static void note_counts(struct session *s, sqlite3_stmt *st, void *user)
{
    long undated = (long)sqlite3_column_int64(st, 0), unknown = (long)sqlite3_column_int64(st, 1);
    struct sbuf b = SBUF_INIT;

    (void)user;
    if (undated > 0) {
        sbuf_printf(&b, "%ld movements have no day and are in no period.", undated);
        report_add_incomplete(&s->report, b.s);
    }
    sbuf_clear(&b);
    if (unknown > 0) {
        sbuf_printf(&b,
                    "%ld movements have no amount or no strength on record and count as nothing.",
                    unknown);
        report_add_incomplete(&s->report, b.s);
    }
    if (b.failed)
        s->report.failed = true;
    sbuf_free(&b);
}

static void csv_row(struct session *s, sqlite3_stmt *st, void *user)
{
    enum { DIGITS = 9 };
    struct sbuf *b = user;
    int count = sqlite3_column_count(st);

    (void)s;
    for (int i = 0; i < count; i++) {
        if (sqlite3_column_type(st, i) == SQLITE_FLOAT) {
            sbuf_number(b, sqlite3_column_double(st, i), DIGITS);
            sbuf_puts(b, i + 1 == count ? "\r\n" : ",");
        } else {
            report_csv_field(b, rows_text(st, i));
            sbuf_puts(b, i + 1 == count ? "\r\n" : ",");
        }
    }
}

/* RFC 4180: comma, CRLF, quotes doubled. */
static enum exit_status write_csv(struct session *s, const struct period *p)
{
    struct sbuf b = SBUF_INIT;
    enum exit_status status = STATUS_CLEAN;

    sbuf_puts(&b, "account,what,date,record,id,receipt,lot,status,volume_l,strength_volpct,"
                  "absolute_alcohol_l,proof_gallons\r\n");
    if (!rows_select(s,
                     "select account, what, date, kind, id, receipt, lot, status,"
                     " sign * volume_l, strength_volpct, sign * laa_l, sign * proof_gal"
                     " from fact_alcohol_entry where date is null or (date >= ?1 and date <= ?2)",
                     p->from, p->until, csv_row, &b))
        status = session_trouble(s);
    else if (b.failed)
        status = session_trouble(s);
    else
        session_write(s, b.s, b.len);
    sbuf_free(&b);
    return status;
}

static enum exit_status run(struct session *s)
{
    struct period p;
    struct sbuf title = SBUF_INIT;
    enum exit_status status = choose_period(s, &p);

    if (status != STATUS_CLEAN)
        return status;
    if (!session_facts(s, "alcohol_entry alcohol_count"))
        return session_trouble(s);
    if (option_flag(&s->options, "csv"))
        return write_csv(s, &p);
    session_describe(s);
    sbuf_printf(&title, "Ethanol from %s to %s", p.from, p.until);
    report_set_title(&s->report, title.s);
    s->report.failed = s->report.failed || title.failed;
    sbuf_free(&title);
    report_add_note(&s->report,
                    "These are the maker's own figures. Duty, permits, allowed losses and the form "
                    "of the return are for the excise authority.");
    if (!add_tables(s, &p) ||
        !rows_select(s,
                     "select sum(date is null), sum(laa_l is null) from fact_alcohol_entry"
                     " where date is null or date <= ?2",
                     p.from, p.until, note_counts, NULL))
        return session_trouble(s);
    return session_report(s);
}

const struct command command_ethanol = {
    .name = "ethanol",
    .summary = "account of absolute alcohol over a period",
    .operands = "FILES...",
    .about = "Adds up the ethanol of the records over a period: opening, received, used in lots, "
             "waste, sold, closing; as received and in lots; in litres, litres of absolute alcohol "
             "and US proof gallons; by received lot and by lot, with the stock-takes beside it.",
    .examples = "  lotward ethanol --from 2026-01-01 --until 2026-06-30 records/\n"
                "  lotward ethanol --csv --book workroom.book > alcohol.csv\n",
    .options = options,
    .option_count = LW_COUNT(options),
    .flags = NEEDS_RECORDS | NEEDS_FACTS | MAY_BOOK | TAKES_FILES | MAKES_REPORT | SHOWS_UNITS,
    .run = run,
};
