/* report_csv.c - the tables of a report as CSV (RFC 4180): a line "#table,NAME" before each, an
 * empty line after it. Numbers stand bare, with a column of their own for the words beside them.
 * The findings are the last table, a row each. */
#include "text/base.h"

#include "record/csv_split.h"
#include "report/format.h"
#include "text/utf8.h"

void report_csv_field(struct sbuf *out, const char *s)
{
    struct sbuf clean = SBUF_INIT;

    if (s == NULL)
        return;
    utf8_put_clean(&clean, s, true);
    csv_put_cell(out, clean.s);
    out->failed = out->failed || clean.failed;
    sbuf_free(&clean);
}

/* A column with a number in it: the bare number, then the words. */
static bool is_number(const struct report_table *t, size_t column)
{
    for (size_t i = column; i < t->cell_count; i += t->column_count)
        if (isfinite(t->cells[i].number))
            return true;
    return false;
}

static void put_head(struct sbuf *out, const struct report_table *t)
{
    for (size_t i = 0; i < t->column_count; i++) {
        if (i > 0)
            sbuf_putc(out, ',');
        report_csv_field(out, t->columns[i].name);
        if (is_number(t, i)) {
            sbuf_putc(out, ',');
            report_csv_field(out, t->columns[i].name);
            sbuf_puts(out, "-shown");
        }
    }
    sbuf_puts(out, "\r\n");
}

static void put_cell(struct sbuf *out, const struct report_table *t, size_t i)
{
    enum { DIGITS = 15 };
    const struct report_cell *cell = &t->cells[i];

    if (is_number(t, i % t->column_count)) {
        if (isfinite(cell->number))
            sbuf_number(out, cell->number, DIGITS);
        sbuf_putc(out, ',');
    }
    report_csv_field(out, cell->text);
}

static void put_finding(struct sbuf *out, const struct finding *f)
{
    char line[24] = "";
    const char *const cells[] = {severity_name(f->rule->severity),
                                 verdict_name(f->verdict),
                                 f->rule->topic,
                                 f->rule->id,
                                 f->subject_kind,
                                 f->subject,
                                 f->lot,
                                 f->message,
                                 f->value,
                                 f->limit,
                                 f->limit_source,
                                 f->needs,
                                 f->waiver,
                                 f->rule->todo,
                                 f->rule->decides,
                                 f->file,
                                 line,
                                 f->key};

    if (f->file != NULL && f->line > 0)
        snprintf(line, sizeof line, "%ld", f->line);
    for (size_t i = 0; i < LW_COUNT(cells); i++) {
        if (i > 0)
            sbuf_putc(out, ',');
        report_csv_field(out, cells[i]);
    }
    sbuf_puts(out, "\r\n");
}

static void put_findings(struct sbuf *out, const struct report *r)
{
    sbuf_puts(out, "#table,findings\r\nseverity,verdict,topic,rule,kind,record,lot,message,value,"
                   "limit,limit-source,needs,waiver,do,decides,file,line,key\r\n");
    for (size_t i = 0; i < r->findings->count; i++)
        if (report_shows(r, &r->findings->items[i]))
            put_finding(out, &r->findings->items[i]);
    sbuf_puts(out, "\r\n");
}

void report_csv(const struct report *r, const struct report_style *style, struct sbuf *out)
{
    (void)style;
    for (size_t n = 0; n < r->table_count; n++) {
        const struct report_table *t = r->tables[n];

        if (t->column_count == 0)
            continue;
        sbuf_puts(out, "#table,");
        report_csv_field(out, t->name);
        sbuf_puts(out, "\r\n");
        put_head(out, t);
        for (size_t i = 0; i < t->cell_count; i++) {
            size_t column = i % t->column_count;

            if (column > 0)
                sbuf_putc(out, ',');
            put_cell(out, t, i);
            if (column + 1 == t->column_count)
                sbuf_puts(out, "\r\n");
        }
        sbuf_puts(out, "\r\n");
    }
    if (r->findings != NULL)
        put_findings(out, r);
}
