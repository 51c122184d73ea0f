/* work_answer.c - one answer, as text for people or as JSON for programs. */
#include "text/base.h"

#include "command/work.h"
#include "physics/constants.h"
#include "report/json.h"
#include "text/mem.h"
#include "text/number.h"
#include "text/utf8.h"

enum { JSON_DIGITS = 10 }; /* more than any formula here holds; the same on every machine */

static struct answer_item *new_item(struct work *w, enum answer_kind kind, const char *key,
                                    const char *label)
{
    struct answer_item *item;

    assert(w->item_count < ANSWER_MOST);
    item = &w->items[w->item_count++];
    *item = (struct answer_item){.kind = kind, .key = key, .label = label, .value = (double)NAN};
    return item;
}

void answer_side(struct work *w, const char *key, const char *label, const char *unit,
                 struct phys_value v)
{
    struct answer_item *item = new_item(w, ANSWER_VALUE, key, label);

    item->unit = unit;
    item->reason = v.reason;
    if (phys_has(v)) {
        item->value = v.value;
        item->uncertainty = v.uncertainty;
    }
}

void answer_value(struct work *w, const char *key, const char *label, const char *unit,
                  struct phys_value v)
{
    answer_side(w, key, label, unit, v);
    if (!phys_has(v))
        w->untold = true;
}

void answer_number(struct work *w, const char *key, const char *label, const char *unit, double v)
{
    answer_side(w, key, label, unit, phys_ok(v));
}

void answer_text(struct work *w, const char *key, const char *label, const char *text)
{
    struct answer_item *item = new_item(w, ANSWER_TEXT, key, label);

    item->text = mem_strdup(text);
    if (text != NULL && item->text == NULL)
        w->failed = true;
}

struct report_table *answer_table(struct work *w, const char *key, const char *title,
                                  const char *note)
{
    struct answer_item *item = new_item(w, ANSWER_TABLE, key, title);

    item->table = report_add_table(&w->s->report, key, title, note, TABLE_GRID);
    return item->table;
}

void answer_formula(struct work *w, const char *name, const char *source, const char *range)
{
    assert(w->formula_count < FORMULAS_MOST);
    w->formulas[w->formula_count++] = (struct formula){name, source, range};
}

void answer_caution(struct work *w, const char *fmt, ...)
{
    struct sbuf b = SBUF_INIT;
    va_list ap;

    va_start(ap, fmt);
    sbuf_vprintf(&b, fmt, ap);
    va_end(ap);
    assert(w->caution_count < CAUTIONS_MOST);
    w->cautions[w->caution_count] = sbuf_take(&b);
    if (w->cautions[w->caution_count] == NULL)
        w->failed = true;
    else
        w->caution_count++;
}

void answer_free(struct work *w)
{
    for (size_t i = 0; i < w->item_count; i++)
        mem_free(w->items[i].text);
    for (size_t i = 0; i < w->caution_count; i++)
        mem_free(w->cautions[i]);
    w->item_count = w->caution_count = 0;
}

/* --- text --------------------------------------------------------------------------------------
 */

/* Where four significant digits are too few or too many; the counterpart is value * times + plus.
 */
static const struct {
    const char *unit;
    int decimals;
    const char *other; /* counterpart of the other system; NULL: none */
    int other_decimals;
    double times, plus;
} fixed[] = {
    {"%vol", 2, NULL, 0, 1, 0},
    {"%mas", 2, NULL, 0, 1, 0},
    {"proof", 2, NULL, 0, 1, 0},
    {"percent", 1, NULL, 0, 1, 0},
    {"mole fraction", 4, NULL, 0, 1, 0},
    {"degC", 1, "degF", 1, 1.8, 32},
    {"K", 1, "degF apart", 1, 1.8, 0},
    {"kg/m3", 2, "lb/US gal", 4, PHYS_US_GALLON_L / 1000.0 / PHYS_POUND_KG, 0},
    /* 1 psi = 6.894757 kPa (NIST SP 811, appendix B.8) */
    {"kPa", 3, "psi", 4, 1 / 6.894757, 0},
};

static bool show_fixed(struct sbuf *b, double value, const char *unit, enum show_units units)
{
    size_t i = 0;

    while (i < LW_COUNT(fixed) && !str_eq(fixed[i].unit, unit))
        i++;
    if (i == LW_COUNT(fixed))
        return false;
    if (units != SHOW_US || fixed[i].other == NULL) {
        sbuf_fixed(b, value, fixed[i].decimals);
        if (!str_eq(unit, "mole fraction"))
            sbuf_printf(b, " %s", show_unit(unit));
    }
    if (units == SHOW_METRIC || fixed[i].other == NULL)
        return true;
    sbuf_puts(b, units == SHOW_BOTH ? " (" : "");
    sbuf_fixed(b, value * fixed[i].times + fixed[i].plus, fixed[i].other_decimals);
    sbuf_printf(b, " %s%s", fixed[i].other, units == SHOW_BOTH ? ")" : "");
    return true;
}

void answer_show(struct sbuf *b, double value, const char *unit, enum show_units units)
{
    if (show_fixed(b, value, unit, units))
        return;
    if (str_eq(unit, WORK_RATE_ROUGH) || str_eq(unit, WORK_RATE)) {
        bool rough = str_eq(unit, WORK_RATE_ROUGH);

        sbuf_puts(b, rough ? "about " : "");
        sbuf_number(b, value, rough ? 1 : 2);
        sbuf_puts(b, " g/min");
        return;
    }
    show_quantity(b, value, unit, units);
}

/* "+/- 3 K": a width of a temperature is no temperature. */
void answer_show_uncertainty(struct sbuf *b, double uncertainty, const char *unit,
                             enum show_units units)
{
    const double f_per_k = 1.8;
    bool us = units == SHOW_US && str_eq(unit, "degC");

    if (uncertainty <= 0 || (units == SHOW_US && str_eq(unit, "kPa")))
        return;
    sbuf_puts(b, " +/- ");
    sbuf_number(b, uncertainty * (us ? f_per_k : 1.0), 2);
    sbuf_printf(b, " %s", us ? "degF" : str_eq(unit, "degC") ? "K" : show_unit(unit));
}

void answer_cell(struct work *w, struct report_table *t, struct phys_value v, const char *unit)
{
    struct sbuf b = SBUF_INIT;

    if (phys_has(v))
        answer_show(&b, v.value, unit, w->units);
    else
        sbuf_printf(&b, "no value: %s", v.reason);
    if (b.failed)
        w->failed = true;
    report_cell_number(&w->s->report, t, phys_has(v) ? v.value : (double)NAN, 0, b.s);
    sbuf_free(&b);
}

/* The values stand before the tables, whatever the order of the answer. */
static void put_values(struct work *w)
{
    struct report *r = &w->s->report;
    struct report_table *t = report_add_table(r, "values", NULL, NULL, TABLE_PAIRS);

    for (size_t i = 0; i < w->item_count; i++) {
        const struct answer_item *item = &w->items[i];
        struct sbuf b = SBUF_INIT;

        if (item->kind == ANSWER_TABLE || item->label == NULL)
            continue;
        if (item->kind == ANSWER_TEXT) {
            sbuf_puts(&b, item->text);
        } else if (item->reason == NULL) {
            answer_show(&b, item->value, item->unit, w->units);
            answer_show_uncertainty(&b, item->uncertainty, item->unit, w->units);
        } else { /* "never reached" is an answer, not a lack of one */
            sbuf_printf(&b, "%s%s",
                        str_starts(item->reason, "never ") ? "" : "no value: ", item->reason);
        }
        report_pair(r, t, item->label, b.s);
        if (b.failed)
            w->failed = true;
        sbuf_free(&b);
    }
    /* to the front: the tables were added while the values were worked out */
    if (t != NULL)
        for (size_t i = r->table_count - 1; i > 0; i--) {
            r->tables[i] = r->tables[i - 1];
            r->tables[i - 1] = t;
        }
}

static void put_grounds(struct work *w)
{
    struct report *r = &w->s->report;
    struct report_table *t =
        report_add_table(r, "grounds", "What this rests on", NULL, TABLE_PAIRS);

    for (size_t i = 0; i < w->formula_count; i++) {
        report_pair(r, t, "formula", w->formulas[i].name);
        report_pair(r, t, "  source", w->formulas[i].source);
        report_pair(r, t, "  range", w->formulas[i].range);
    }
    for (size_t i = 0; i < w->caution_count; i++)
        report_pair(r, t, "caution", w->cautions[i]);
}

/* --- JSON --------------------------------------------------------------------------------------
 */

static void put_rounded(struct json *j, const char *key, double value)
{
    struct sbuf b = SBUF_INIT;
    double rounded = value;

    if (isfinite(value)) {
        sbuf_number(&b, value, JSON_DIGITS);
        if (b.failed || !number_exact(b.s, &rounded))
            j->out->failed = true;
        sbuf_free(&b);
    }
    json_number(j, key, rounded);
}

static void put_json_table(struct json *j, const char *key, const struct report_table *t)
{
    size_t rows = report_row_count(t);

    json_open(j, key, '[');
    for (size_t i = 0; i < rows; i++) {
        json_open(j, NULL, '{');
        for (size_t c = 0; c < t->column_count; c++) {
            const struct report_cell *cell = &t->cells[i * t->column_count + c];
            const char *name = t->columns[c].name;

            if (!isnan(cell->number))
                put_rounded(j, name, cell->number);
            else if (cell->text != NULL && str_starts(cell->text, "no value: "))
                json_string(j, name, NULL);
            else
                json_string(j, name, cell->text);
        }
        json_close(j, '}');
    }
    json_close(j, ']');
}

static void put_items(struct json *j, const struct work *w)
{
    for (size_t i = 0; i < w->item_count; i++) {
        const struct answer_item *item = &w->items[i];

        if (item->kind == ANSWER_VALUE)
            put_rounded(j, item->key, item->value);
        else if (item->kind == ANSWER_TEXT)
            json_string(j, item->key, item->text);
        else
            put_json_table(j, item->key, item->table);
    }
}

/* "reason": that of the first value missing; "reasons": all, by key. */
static void put_reasons(struct json *j, const struct work *w)
{
    const char *first = NULL;

    for (size_t i = 0; i < w->item_count && first == NULL; i++)
        first = w->items[i].reason;
    json_string(j, "reason", first);
    json_open(j, "reasons", '{');
    for (size_t i = 0; i < w->item_count; i++)
        json_maybe(j, w->items[i].key, w->items[i].reason);
    json_close(j, '}');
}

static void put_json(struct sbuf *out, const struct work *w)
{
    struct json j;

    json_init(&j, out);
    json_open(&j, NULL, '{');
    json_string(&j, "work", w->name);
    put_items(&j, w);
    put_reasons(&j, w);
    json_open(&j, "formulas", '[');
    for (size_t i = 0; i < w->formula_count; i++) {
        json_open(&j, NULL, '{');
        json_string(&j, "name", w->formulas[i].name);
        json_string(&j, "source", w->formulas[i].source);
        json_string(&j, "range", w->formulas[i].range);
        json_close(&j, '}');
    }
    json_close(&j, ']');
    json_open(&j, "cautions", '[');
    for (size_t i = 0; i < w->caution_count; i++)
        json_string(&j, NULL, w->cautions[i]);
    json_close(&j, ']');
    json_string(&j, "deferral", report_deferral());
    json_close(&j, '}');
}

enum exit_status answer_print(struct work *w)
{
    struct session *s = w->s;
    enum exit_status status = STATUS_CLEAN;

    if (w->json) {
        struct sbuf out = SBUF_INIT;

        put_json(&out, w);
        if (out.failed || w->failed || s->report.failed) {
            diags_out_of_memory(s->diags);
            status = STATUS_TROUBLE;
        } else {
            session_show_diags(s);
            session_write(s, out.s, out.len);
        }
        sbuf_free(&out);
    } else {
        put_values(w);
        put_grounds(w);
        if (w->failed)
            s->report.failed = true;
        status = session_report(s);
    }
    return status == STATUS_CLEAN && w->untold ? STATUS_FINDINGS : status;
}

void answer_refusal(struct work *w)
{
    size_t count = diags_count(w->s->diags);
    const struct diag *d = count == 0 ? NULL : diags_at(w->s->diags, count - 1);
    struct sbuf out = SBUF_INIT;
    struct json j;

    json_init(&j, &out);
    json_open(&j, NULL, '{');
    json_string(&j, "work", w->name);
    json_string(&j, "reason", d == NULL ? NULL : d->message);
    json_string(&j, "hint", d == NULL ? NULL : d->hint);
    json_close(&j, '}');
    if (!out.failed)
        session_write(w->s, out.s, out.len);
    sbuf_free(&out);
}
