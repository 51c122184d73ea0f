/* trace_walk.c - the graph: breadth first from the start, backward and forward. */
#include "text/base.h"

#include "record/trace_internal.h"
#include "text/mem.h"
#include "text/utf8.h"

/* The starting point and each end of every hand-over; far more than any workroom makes. */
enum { NODES_MOST = 200000 };

const char *trace_kind_name(enum trace_kind k)
{
    static const char *const names[TRACE_KINDS] = {
        [TRACE_SUPPLIER] = "supplier", [TRACE_DOCUMENT] = "document", [TRACE_RECEIPT] = "receipt",
        [TRACE_BATCH] = "lot",         [TRACE_SALE] = "sale",         [TRACE_BUYER] = "buyer",
        [TRACE_WASTE] = "waste",
    };

    return names[k];
}

int trace_kinds_of(struct store *s, const char *id)
{
    static const char *const sql[TRACE_KINDS] = {
        [TRACE_SUPPLIER] = ("select exists (select 1 from rec_receipt where supplier = ?1)"
                            " or exists (select 1 from rec_party where id = ?1 and role in "
                            "('supplier', 'collector'))"),
        [TRACE_DOCUMENT] = "select exists (select 1 from rec_document where id = ?1)",
        [TRACE_RECEIPT] = "select exists (select 1 from rec_receipt where id = ?1)",
        [TRACE_BATCH] = "select exists (select 1 from rec_batch where id = ?1)",
        [TRACE_SALE] = "select exists (select 1 from rec_sale where id = ?1)",
        [TRACE_BUYER] = ("select exists (select 1 from rec_sale where buyer = ?1)"
                         " or exists (select 1 from rec_party where id = ?1 and role = 'buyer')"),
        [TRACE_WASTE] = "select exists (select 1 from rec_waste where id = ?1)",
    };
    int kinds = 0;

    for (int k = 0; k < TRACE_KINDS; k++) {
        sqlite3_stmt *st = NULL;
        bool ok = sqlite3_prepare_v2(store_db(s), sql[k], -1, &st, NULL) == SQLITE_OK &&
                  sqlite3_bind_text(st, 1, id, -1, SQLITE_STATIC) == SQLITE_OK &&
                  sqlite3_step(st) == SQLITE_ROW;

        if (ok && sqlite3_column_int(st, 0) != 0)
            kinds |= 1 << k;
        sqlite3_finalize(st);
        if (!ok)
            return -1;
    }
    return kinds;
}

void trace_free(struct trace *t)
{
    if (t == NULL)
        return;
    for (size_t i = 0; i < t->node_count; i++) {
        mem_free(t->nodes[i].id);
        mem_free(t->nodes[i].name);
        mem_free(t->nodes[i].date);
        mem_free(t->nodes[i].amount);
        mem_free(t->nodes[i].trouble);
    }
    for (size_t i = 0; i < t->edge_count; i++)
        mem_free(t->edges[i].amount);
    mem_free(t->nodes);
    mem_free(t->edges);
    mem_free(t->slots);
    mem_free(t->first_out);
    mem_free(t->next_out);
    mem_free(t->first_in);
    mem_free(t->next_in);
    *t = (struct trace){0};
}

/* --- look-up: open addressing over slots, each a position + 1 --- */

static size_t hash(enum trace_kind kind, const char *id)
{
    size_t h = 1469598103934665603u ^ (size_t)kind; /* FNV-1a */

    for (; *id; id++)
        h = (h ^ (unsigned char)*id) * 1099511628211u;
    return h;
}

static size_t probe(const struct trace *t, enum trace_kind kind, const char *id)
{
    size_t i = hash(kind, id) & (t->slot_count - 1);

    while (t->slots[i] != 0) {
        const struct trace_node *n = &t->nodes[t->slots[i] - 1];

        if (n->kind == kind && strcmp(n->id, id) == 0)
            break;
        i = (i + 1) & (t->slot_count - 1);
    }
    return i;
}

size_t trace_find(const struct trace *t, enum trace_kind kind, const char *id)
{
    size_t slot = t->slot_count > 0 ? t->slots[probe(t, kind, id)] : 0;

    return slot > 0 ? slot - 1 : t->node_count;
}

static bool grow_slots(struct trace *t)
{
    size_t count = t->slot_count > 0 ? t->slot_count * 2 : 64;
    size_t *slots = mem_calloc(count, sizeof *slots);

    if (slots == NULL)
        return false;
    mem_free(t->slots);
    t->slots = slots;
    t->slot_count = count;
    for (size_t i = 0; i < t->node_count; i++)
        t->slots[probe(t, t->nodes[i].kind, t->nodes[i].id)] = i + 1;
    return true;
}

/* Position of the node, made when it is new. node_count on failure. */
static size_t add_node(struct trace *t, enum trace_kind kind, const char *id, size_t n)
{
    char *copy = mem_strndup(id, n);
    struct trace_node *nodes;
    size_t slot;

    if (copy == NULL)
        return SIZE_MAX;
    if (t->node_count * 2 >= t->slot_count && !grow_slots(t))
        goto fail;
    slot = probe(t, kind, copy);
    if (t->slots[slot] != 0) {
        mem_free(copy);
        return t->slots[slot] - 1;
    }
    nodes = mem_grow(t->nodes, &t->node_cap, t->node_count + 1, sizeof *nodes);
    if (nodes == NULL)
        goto fail;
    t->nodes = nodes;
    t->nodes[t->node_count] = (struct trace_node){.kind = kind, .id = copy};
    t->slots[slot] = ++t->node_count;
    return t->node_count - 1;
fail:
    mem_free(copy);
    return SIZE_MAX;
}

static bool add_edge(struct trace *t, size_t from, size_t to, const char *amount)
{
    struct trace_edge *edges = mem_grow(t->edges, &t->edge_cap, t->edge_count + 1, sizeof *edges);

    if (edges == NULL)
        return false;
    t->edges = edges;
    t->edges[t->edge_count] =
        (struct trace_edge){.from = from, .to = to, .amount = mem_strdup(amount)};
    t->edge_count++;
    return amount == NULL || t->edges[t->edge_count - 1].amount != NULL;
}

/* --- walking --- */

struct walk {
    struct trace *t;
    struct tracer *q;
    size_t *queue, head, tail, cap;
    int direction;
};

static bool push(struct walk *w, size_t node)
{
    struct trace_node *n = &w->t->nodes[node];
    bool *seen = w->direction == TRACE_BACK ? &n->back : &n->forward;
    size_t *queue;

    if (*seen)
        return true;
    *seen = true;
    queue = mem_grow(w->queue, &w->cap, w->tail + 1, sizeof *queue);
    if (queue == NULL || w->tail >= NODES_MOST)
        return false;
    w->queue = queue;
    w->queue[w->tail++] = node;
    return true;
}

static bool meet(struct walk *w, size_t here, enum trace_kind kind, const char *id, size_t n,
                 const char *amount)
{
    size_t there = add_node(w->t, kind, id, n);

    if (there == SIZE_MAX || !push(w, there))
        return false;
    return w->direction == TRACE_BACK ? add_edge(w->t, there, here, amount)
                                      : add_edge(w->t, here, there, amount);
}

static bool meet_list(struct walk *w, size_t here, enum trace_kind kind, const char *ids)
{
    while (*ids) {
        size_t n = strcspn(ids, " \t\n");

        if (n > 0 && !meet(w, here, kind, ids, n, NULL))
            return false;
        ids += n;
        while (ascii_space(*ids))
            ids++;
    }
    return true;
}

static bool follow(struct walk *w, size_t here, const struct trace_step *step, sqlite3_stmt *st)
{
    bool back = w->direction == TRACE_BACK;
    enum trace_kind kind = back ? step->from : step->to;
    bool ok = sqlite3_bind_text(st, 1, w->t->nodes[here].id, -1, SQLITE_TRANSIENT) == SQLITE_OK;
    int rc = SQLITE_DONE;

    while (ok && (rc = sqlite3_step(st)) == SQLITE_ROW) {
        const char *id = (const char *)sqlite3_column_text(st, 0);

        if (id == NULL)
            continue;
        ok = back && step->back_is_list
                 ? meet_list(w, here, kind, id)
                 : meet(w, here, kind, id, strlen(id), (const char *)sqlite3_column_text(st, 1));
    }
    sqlite3_reset(st);
    return ok && rc == SQLITE_DONE;
}

static bool walk(struct walk *w, int direction)
{
    bool ok = true;

    w->direction = direction;
    w->head = w->tail = 0;
    for (size_t i = 0; ok && i < w->t->start_count; i++)
        ok = push(w, i);
    while (ok && w->head < w->tail) {
        size_t here = w->queue[w->head++];

        for (size_t i = 0; ok && i < trace_step_count; i++) {
            const struct trace_step *step = &trace_steps[i];

            if (direction == TRACE_BACK && step->to == w->t->nodes[here].kind)
                ok = follow(w, here, step, w->q->back[i]);
            else if (direction == TRACE_FORWARD && step->from == w->t->nodes[here].kind)
                ok = follow(w, here, step, w->q->forward[i]);
        }
    }
    return ok;
}

/* Longest way from a node with none before it. Records that go round in a circle end after as many
 * rounds as there are nodes. */
static void set_levels(struct trace *t)
{
    bool changed = true;

    for (size_t round = 0; changed && round < t->node_count; round++) {
        changed = false;
        for (size_t i = 0; i < t->edge_count; i++) {
            const struct trace_edge *e = &t->edges[i];

            if (t->nodes[e->to].level <= t->nodes[e->from].level && e->from != e->to) {
                t->nodes[e->to].level = t->nodes[e->from].level + 1;
                changed = true;
            }
        }
    }
}

/* Chains the edges of each node; the last first, so that each chain comes out in order. */
static bool link_edges(struct trace *t)
{
    size_t n = t->node_count, m = t->edge_count;

    t->first_out = mem_calloc(n + 1, sizeof *t->first_out);
    t->first_in = mem_calloc(n + 1, sizeof *t->first_in);
    t->next_out = mem_calloc(m + 1, sizeof *t->next_out);
    t->next_in = mem_calloc(m + 1, sizeof *t->next_in);
    if (t->first_out == NULL || t->first_in == NULL || t->next_out == NULL || t->next_in == NULL)
        return false;
    for (size_t i = 0; i < n; i++)
        t->first_out[i] = t->first_in[i] = m;
    for (size_t i = m; i-- > 0;) {
        const struct trace_edge *e = &t->edges[i];

        t->next_out[i] = t->first_out[e->from];
        t->first_out[e->from] = i;
        t->next_in[i] = t->first_in[e->to];
        t->first_in[e->to] = i;
    }
    return true;
}

bool trace_build(struct tracer *r, const char *id, int kinds, int directions, struct trace *t,
                 struct diags *d)
{
    struct walk w = {.t = t, .q = r};
    bool ok = true;

    *t = (struct trace){0};
    for (int k = 0; ok && k < TRACE_KINDS; k++)
        if ((kinds & (1 << k)) != 0) {
            ok = add_node(t, (enum trace_kind)k, id, strlen(id)) != SIZE_MAX;
            t->start_count += ok;
        }
    if (ok && (directions & TRACE_BACK) != 0)
        ok = walk(&w, TRACE_BACK);
    if (ok && (directions & TRACE_FORWARD) != 0)
        ok = walk(&w, TRACE_FORWARD);
    for (size_t i = 0; ok && i < t->node_count; i++)
        ok = trace_describe(r, &t->nodes[i]);
    ok = ok && link_edges(t);
    if (ok)
        set_levels(t);
    else
        diags_add(d, DIAG_FATAL, "trace", NULL, 0, 0, NULL, "the trace broke off: %s",
                  sqlite3_errmsg(r->db));
    mem_free(w.queue);
    return ok;
}
