/* trace.h - where something came from and where it went, along the references of the records.
 *
 * A graph with one node a record and one edge a hand-over, always pointing forward: supplier and
 * document to receipt, receipt to lot, lot to later lot, lot to sale or waste, sale to buyer. */
#ifndef LW_RECORD_TRACE_H
#define LW_RECORD_TRACE_H

#include "record/store.h"

enum trace_kind {
    TRACE_SUPPLIER,
    TRACE_DOCUMENT,
    TRACE_RECEIPT,
    TRACE_BATCH,
    TRACE_SALE,
    TRACE_BUYER,
    TRACE_WASTE
};
enum { TRACE_KINDS = 7 };

enum trace_direction { TRACE_BACK = 1, TRACE_FORWARD = 2 };

struct trace_node {
    enum trace_kind kind;
    char *id;
    char *name;         /* product, material, party's name, kind of document; NULL: none */
    char *date;         /* arrival, start, sale, issue; NULL: none */
    char *amount;       /* what came, was made, or was granted, as typed; NULL: none */
    char *trouble;      /* what does not add up here; NULL: nothing found */
    bool back, forward; /* reached backward or forward from a start */
    bool missing;       /* named, and no such record was read */
    int level;          /* longest way from a node without one before it, within this graph */
};

struct trace_edge {
    size_t from, to;
    char *amount; /* as typed; NULL: not recorded */
};

struct tracer;

struct trace {
    struct trace_node *nodes;
    size_t node_count, node_cap;
    struct trace_edge *edges;
    size_t edge_count, edge_cap;
    size_t
        start_count; /* the first nodes are where it began: one, or a party as supplier and buyer */
    /* Edges of a node in order: i = first_out[node]; i < edge_count; i = next_out[i]. Likewise in.
     */
    size_t *first_out, *next_out, *first_in, *next_in;
    size_t *slots; /* nodes by kind and id, for look-up */
    size_t slot_count;
};

const char *trace_kind_name(enum trace_kind k); /* "supplier" "document" ... */
/* Is there such a record? Kinds of the record called id, as bits 1 << kind. A party counts as
 * supplier when a receipt names it and as buyer when a sale does. -1: the database failed. */
int trace_kinds_of(struct store *s, const char *id);
/* What is asked again and again, prepared once; the store must outlive it and not change its
 * tables. NULL with a diagnostic. */
struct tracer *tracer_new(struct store *s, struct diags *d);
void tracer_free(struct tracer *r); /* NULL-safe */
/* Builds the graph from the record `id` of these kinds (bits). directions: TRACE_BACK |
 * TRACE_FORWARD. Nodes and edges come in a fixed order for the same records. false with a
 * diagnostic when memory or the database failed. */
bool trace_build(struct tracer *r, const char *id, int kinds, int directions, struct trace *t,
                 struct diags *d);
void trace_free(struct trace *t); /* NULL-safe; frees what t holds */
/* Position of a node, or node_count. */
size_t trace_find(const struct trace *t, enum trace_kind kind, const char *id);

#endif
