/* trace.c - lotward trace: where something came from, where it went, and who has it now. */
#include "text/base.h"

#include "command/rows.h"
#include "command/session.h"
#include "record/trace.h"
#include "report/trace_svg.h"
#include "text/mem.h"
#include "text/utf8.h"

static const struct option_spec options[] = {
    {"back", 0, OPTION_FLAG, NULL, NULL, "Only where it came from", 0, 0},
    {"forward", 0, OPTION_FLAG, NULL, NULL, "Only where it went", 0, 0},
    {"kind", 'k', OPTION_CHOICE, "KIND", "supplier document receipt lot sale buyer waste",
     "Which of several records of this name is meant", 0, 0},
    {"svg", 0, OPTION_FLAG, NULL, NULL, "Draw it: one SVG document instead of the report", 0, 0},
};

/* --- the tree: depth first; what was shown once is not opened again --- */

struct tree {
    struct session *s;
    const struct trace *t;
    struct report_table *table;
    bool back;
    bool *shown;
};

enum { DEPTH_MOST = 40 };

static void put_node(struct tree *w, size_t node, int depth, const char *amount)
{
    const struct trace_node *n = &w->t->nodes[node];
    struct sbuf b = SBUF_INIT;

    for (int i = 0; i < depth; i++)
        sbuf_puts(&b, w->back ? "< " : "> ");
    sbuf_printf(&b, "%s %s", trace_kind_name(n->kind), n->id);
    report_cell(&w->s->report, w->table, b.s);
    report_cell(&w->s->report, w->table, n->missing ? "(no such record)" : n->name);
    report_cell(&w->s->report, w->table, n->date);
    report_cell(&w->s->report, w->table, amount != NULL ? amount : depth == 0 ? n->amount : NULL);
    report_cell(&w->s->report, w->table, w->shown[node] ? "as above" : n->trouble);
    if (b.failed)
        w->s->report.failed = true;
    sbuf_free(&b);
}

static void put_tree(struct tree *w, size_t node, int depth, const char *amount)
{
    bool again = w->shown[node];

    put_node(w, node, depth, amount);
    w->shown[node] = true;
    if (again || depth >= DEPTH_MOST)
        return;
    for (size_t i = w->back ? w->t->first_in[node] : w->t->first_out[node]; i < w->t->edge_count;
         i = w->back ? w->t->next_in[i] : w->t->next_out[i]) {
        const struct trace_edge *e = &w->t->edges[i];
        size_t there = w->back ? e->from : e->to;

        if (there == node)
            continue;
        if (w->back ? w->t->nodes[there].back : w->t->nodes[there].forward)
            put_tree(w, there, depth + 1, e->amount);
    }
}

static bool add_tree(struct session *s, const struct trace *t, bool back)
{
    static const char *const heads[][2] = {{"step", "step"},
                                           {"what", "what"},
                                           {"date", "date"},
                                           {"amount", "amount"},
                                           {"note", "note"}};
    struct tree w = {s, t, NULL, back, mem_calloc(t->node_count + 1, sizeof(bool))};

    if (w.shown == NULL)
        return false;
    w.table = back ? report_add_table(&s->report, "back", "Where it came from", NULL, TABLE_GRID)
                   : report_add_table(&s->report, "forward", "Where it went", NULL, TABLE_GRID);
    for (size_t i = 0; i < LW_COUNT(heads); i++)
        report_column(&s->report, w.table, heads[i][0], heads[i][1], NULL, ALIGN_LEFT);
    for (size_t i = 0; i < t->start_count; i++)
        put_tree(&w, i, 0, NULL);
    mem_free(w.shown);
    return true;
}

/* Every line that hands the thing, or what was made of it, to a buyer. */
static void add_recall(struct session *s, const struct trace *t)
{
    static const char *const heads[][2] = {{"buyer", "buyer"},    {"name", "name"},
                                           {"sale", "sale"},      {"date", "date"},
                                           {"holds", "lot sold"}, {"amount", "amount"}};
    struct report_table *table = report_add_table(&s->report, "recall", "Who has it",
                                                  "Every buyer of every lot that holds it. Goods "
                                                  "sold without a buyer's name stand with none.",
                                                  TABLE_GRID);

    for (size_t i = 0; i < LW_COUNT(heads); i++)
        report_column(&s->report, table, heads[i][0], heads[i][1], NULL, ALIGN_LEFT);
    for (size_t i = 0; i < t->edge_count; i++) {
        const struct trace_edge *e = &t->edges[i];
        const struct trace_node *sale = &t->nodes[e->to], *from = &t->nodes[e->from], *buyer = NULL;

        if (sale->kind != TRACE_SALE || !sale->forward || !from->forward ||
            (from->kind != TRACE_BATCH && from->kind != TRACE_RECEIPT))
            continue;
        for (size_t k = t->first_out[e->to]; k < t->edge_count; k = t->next_out[k])
            if (t->nodes[t->edges[k].to].kind == TRACE_BUYER)
                buyer = &t->nodes[t->edges[k].to];
        report_cell(&s->report, table, buyer != NULL ? buyer->id : "(not recorded)");
        report_cell(&s->report, table, buyer != NULL ? buyer->name : NULL);
        report_cell(&s->report, table, sale->id);
        report_cell(&s->report, table, sale->date);
        report_cell(&s->report, table, from->id);
        report_cell(&s->report, table, e->amount);
    }
}

static unsigned long add_troubles(struct session *s, const struct trace *t)
{
    struct report_table *table =
        report_add_table(&s->report, "does-not-add-up", "What does not add up", NULL, TABLE_GRID);
    unsigned long n = 0;

    report_column(&s->report, table, "record", "record", NULL, ALIGN_LEFT);
    report_column(&s->report, table, "what", "what", NULL, ALIGN_LEFT);
    for (size_t i = 0; i < t->node_count; i++) {
        const struct trace_node *node = &t->nodes[i];
        struct sbuf b = SBUF_INIT;

        if (node->trouble == NULL && !node->missing)
            continue;
        n++;
        sbuf_printf(&b, "%s %s", trace_kind_name(node->kind), node->id);
        report_cell(&s->report, table, b.s);
        report_cell(&s->report, table,
                    node->missing ? "it is named, and no such record was read" : node->trouble);
        if (b.failed)
            s->report.failed = true;
        sbuf_free(&b);
    }
    return n;
}

/* The graph itself, for programs: the trees repeat what several ways lead to. */
static void add_edges(struct session *s, const struct trace *t)
{
    static const char *const heads[] = {"from-kind", "from", "to-kind", "to", "amount"};
    struct report_table *table =
        report_add_table(&s->report, "hand-overs", "Every hand-over once", NULL, TABLE_GRID);

    for (size_t i = 0; i < LW_COUNT(heads); i++)
        report_column(&s->report, table, heads[i], NULL, NULL, ALIGN_LEFT);
    for (size_t i = 0; i < t->edge_count; i++) {
        const struct trace_node *a = &t->nodes[t->edges[i].from], *b = &t->nodes[t->edges[i].to];

        report_cell(&s->report, table, trace_kind_name(a->kind));
        report_cell(&s->report, table, a->id);
        report_cell(&s->report, table, trace_kind_name(b->kind));
        report_cell(&s->report, table, b->id);
        report_cell(&s->report, table, t->edges[i].amount);
    }
}

static void put_entry(struct session *s, sqlite3_stmt *st, void *user)
{
    for (int i = 0; i < 7; i++)
        report_cell(&s->report, user, rows_text(st, i));
}

static bool is_document(const struct trace *t)
{
    for (size_t i = 0; i < t->start_count; i++)
        if (t->nodes[i].kind == TRACE_DOCUMENT)
            return true;
    return false;
}

/* What was drawn on a permit, in date order. The facts are filled for this alone. */
static bool add_account(struct session *s, const char *permit, unsigned long *troubles)
{
    static const char *const heads[] = {"day",   "what",    "record", "amount",
                                        "drawn", "granted", "note"};
    struct report_table *table;
    bool ok = true;

    if (!session_facts(s, "permit_entry"))
        return false;
    if (rows_count(s, "select count(*) from fact_permit_entry where permit = ?1", permit, &ok) == 0)
        return ok;
    *troubles += (unsigned long)rows_count(s,
                                           "select count(*) from fact_permit_entry"
                                           " where permit = ?1 and first_over = 1",
                                           permit, &ok);
    table =
        report_add_table(&s->report, "account", "Drawn on it, in order of date", NULL, TABLE_GRID);
    for (size_t i = 0; i < LW_COUNT(heads); i++)
        report_column(&s->report, table, heads[i], NULL, NULL, ALIGN_LEFT);
    return rows_select(
        s,
        "select day, what, record,"
        " coalesce(round(lw_unit(amount, base, unit), 6) || ' ' || unit, 'not known'),"
        " coalesce(round(running_own, 6) || ' ' || unit, running || ' ' || base),"
        " granted_text, case when first_over = 1 then 'goes over here' when over = 1"
        " then 'over' when unknown > 0 then 'amounts not known before or here' end"
        " from fact_permit_entry where permit = ?1"
        " order by coalesce(day, '9999'), what = 'before' desc, what, record",
        permit, NULL, put_entry, table);
}

/* --- the command --- */

static void put_kinds(struct sbuf *b, int kinds)
{
    const char *gap = "";

    for (int k = 0; k < TRACE_KINDS; k++)
        if ((kinds & (1 << k)) != 0) {
            sbuf_printf(b, "%s--kind %s", gap, trace_kind_name((enum trace_kind)k));
            gap = ", ";
        }
}

/* One kind, or supplier and buyer together, which are one party. */
static enum exit_status choose(struct session *s, const char *id, int *kinds)
{
    const char *wanted = option_text(&s->options, "kind");
    const int party = (1 << TRACE_SUPPLIER) | (1 << TRACE_BUYER);

    *kinds = trace_kinds_of(s->store, id);
    if (*kinds < 0)
        return session_trouble(s);
    for (int k = 0; wanted != NULL && k < TRACE_KINDS; k++)
        if (str_eq(wanted, trace_kind_name((enum trace_kind)k)))
            *kinds &= 1 << k;
    if (*kinds == 0)
        return session_usage(
            s, NULL, "there is no %s '%s' in these records",
            wanted != NULL ? wanted : "supplier, document, received lot, lot, sale, buyer or waste",
            id);
    if ((*kinds & (*kinds - 1)) != 0 && (*kinds & ~party) != 0) {
        struct sbuf b = SBUF_INIT;
        enum exit_status status;

        put_kinds(&b, *kinds);
        status = session_usage(s, b.s, "'%s' is several records", id);
        sbuf_free(&b);
        return status;
    }
    return STATUS_CLEAN;
}

static void make_title(struct session *s, const struct trace *t)
{
    struct sbuf b = SBUF_INIT;

    sbuf_printf(&b, "Trace of %s %s", trace_kind_name(t->nodes[0].kind), t->nodes[0].id);
    if (t->nodes[0].name != NULL)
        sbuf_printf(&b, ", %s", t->nodes[0].name);
    report_set_title(&s->report, b.s);
    if (b.failed)
        s->report.failed = true;
    sbuf_free(&b);
}

static enum exit_status draw(struct session *s, const struct trace *t, unsigned long troubles)
{
    struct sbuf b = SBUF_INIT;
    enum exit_status status = troubles > 0 ? STATUS_FINDINGS : STATUS_CLEAN;

    trace_svg(t, s->report.title, &b);
    if (b.failed)
        status = session_trouble(s);
    else
        session_write(s, b.s, b.len);
    sbuf_free(&b);
    return status;
}

static enum exit_status run(struct session *s)
{
    bool back = option_flag(&s->options, "back"), forward = option_flag(&s->options, "forward");
    struct tracer *tracer;
    struct trace t = {0};
    enum exit_status status;
    unsigned long troubles = 0;
    int kinds = 0;

    if (s->name_count != 1)
        return session_usage(s, "lotward trace NAME FILES...", "name one record");
    status = choose(s, s->names[0], &kinds);
    if (status != STATUS_CLEAN)
        return status;
    if (!back && !forward)
        back = forward = true;
    tracer = tracer_new(s->store, s->diags);
    if (tracer == NULL ||
        !trace_build(tracer, s->names[0], kinds,
                     (back ? TRACE_BACK : 0) | (forward ? TRACE_FORWARD : 0), &t, s->diags)) {
        status = session_trouble(s);
        goto out;
    }
    make_title(s, &t);
    if ((back && !add_tree(s, &t, true)) || (forward && !add_tree(s, &t, false)))
        s->report.failed = true;
    if (is_document(&t) && !add_account(s, s->names[0], &troubles)) {
        status = session_trouble(s);
        goto out;
    }
    if (forward)
        add_recall(s, &t);
    troubles += add_troubles(s, &t);
    if (option_flag(&s->options, "svg")) {
        status = draw(s, &t, troubles);
    } else {
        if (!str_eq(option_text(&s->options, "format"), "text") &&
            option_text(&s->options, "format") != NULL)
            add_edges(s, &t);
        status = session_report(s);
        if (status == STATUS_CLEAN && troubles > 0)
            status = STATUS_FINDINGS;
    }
out:
    trace_free(&t);
    tracer_free(tracer);
    return status;
}

const struct command command_trace = {
    .name = "trace",
    .summary = "follow a lot, receipt, paper, supplier or buyer back and forward",
    .operands = "NAME FILES...",
    .about =
        "Follows a record to both ends: back to receipts, papers and suppliers, forward to later "
        "lots, sales, waste and buyers, with the amount handed over at each step, what does "
        "not add up, and a recall list: every buyer of every lot that holds it. An operand "
        "that is a file, or ends in .xml, .csv or .tsv, is read; the other names the record.",
    .examples = "  lotward trace CIV-26-01 records/\n"
                "  lotward trace --forward --format page R-2026-004 records/ > recall.html\n"
                "  lotward trace --svg L-2026-012 records/ > trace.svg\n",
    .options = options,
    .option_count = LW_COUNT(options),
    .flags = NEEDS_RECORDS | NEEDS_SHEETS | MAY_BOOK | MAKES_REPORT,
    .run = run,
};
