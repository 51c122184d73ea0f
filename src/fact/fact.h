/* fact.h - facts computed from records: sheets in DATADIR/facts, one view each. */
#ifndef LW_FACT_FACT_H
#define LW_FACT_FACT_H

#include "fact/pattern.h"
#include "record/store.h"

/* <column name= label= unit= from= partial=>Meaning.<empty>What no value means.</empty></column> */
struct fact_column {
    char *name;
    char *label; /* plain words for messages; the name with blanks when not given */
    char *unit;  /* NULL: none */
    char *meaning;
    char *empty;   /* what NULL means; NULL: it is never empty */
    char *from;    /* record attributes it leans on, "receipt@quantity batch@place"; NULL: none */
    char *partial; /* for a sum: the column that counts the values the sum had to leave out */
};

struct fact_sheet {
    char *name, *row; /* row: what one row is */
    char *file;
    struct fact_column *columns;
    size_t column_count;
    char *sql; /* the SELECT; its columns are exactly those declared */
    long sql_line;
    char *kind;    /* record kind of the subject, else the column that says it */
    char *subject; /* column with the subject's id */
    char *lot;     /* column with the lot; NULL: none */
    char *key;     /* further columns that make the row unique, blank separated; NULL: none */
    bool alone;    /* no row of one lot depends on another lot's records: without the lot, its rows
                      are gone and all others stay as they are (tests/rules/without-lot) */
};

struct fact_set; /* sheets in dependency order; owns them */

struct fact_set *fact_set_read(const char *data_dir, struct diags *d);
/* From the image the store came from, when it did; else as above. */
struct fact_set *fact_set_load(struct store *s, const char *data_dir, struct diags *d);
void fact_set_free(struct fact_set *s);
size_t fact_set_count(const struct fact_set *s);
const struct fact_sheet *fact_set_at(const struct fact_set *s, size_t i);
const struct fact_sheet *fact_set_find(const struct fact_set *s, const char *name);
const struct pattern_set *fact_set_patterns(const struct fact_set *s);
int fact_column_index(const struct fact_sheet *s, const char *name); /* -1: unknown */

struct fact_run; /* a store with its facts filled in, one table fact_NAME a sheet */

struct fact_options {
    long as_of;            /* day number */
    const char *code_sets; /* overrides the premises' own; NULL: what the records say */
    const char *only; /* only these facts, blank between, and those they lean on; NULL: all (run
                         tables always) */
    bool once;        /* not filled again for this store: what was compiled is given back at once */
    bool follow; /* note what each fact reads, so that fact_refill can spare what did not change */
};

/* Registers the SQL functions, builds the `run` table, applies local-code records to lim, and fills
 * every fact table named fact_NAME in order. NULL with a diagnostic on failure. The store must
 * outlive it. */
/* run(as_of TEXT, as_of_day INTEGER, premises TEXT, code_sets TEXT, assumed INTEGER: 1 when no code
 * set was named and the cautious generic one stands in); run_code_set(id, title, scheme, units,
 * always): always 1 for the sets that hold whatever the town; lim_in_force: the rows of lim for
 * those sets, local replacements applied. */
struct fact_run *fact_materialise(struct store *s, const struct fact_set *set,
                                  const struct fact_options *o, struct diags *d);
/* The rows stay until facts are filled again for the same store; nobody should read them. */
void fact_run_free(struct fact_run *r);
/* Makes the empty tables of all facts, for an image of the store (record/image.h). */
bool fact_prepare(struct store *s, const char *data_dir, struct diags *d);
struct store *fact_run_store(struct fact_run *r);
const struct fact_set *fact_run_set(struct fact_run *r);
bool fact_run_has(const struct fact_run *r, const char *name); /* was this fact filled? */

/* What changed in the records since the facts of a run were filled. */
struct fact_change {
    const char *const *what; /* "rec_step.duration_min"; "rec_step": rows came or went */
    size_t count;
    const char *only; /* these facts and those they lean on; the others may be out of date. NULL:
                         all that were filled */
    const char *lots_gone; /* SELECT of the lots that left with every record about them, and with
                              nothing of any other lot; NULL: none, or not so */
};

enum fact_state { FACT_KEPT, FACT_LESS, FACT_ANEW }; /* LESS: the rows of the lots gone went */

/* Brings the facts of r up to date: fills anew those that read what changed, directly or through
 * another fact, and leaves the rest alone. The run tables stay: the change may not touch premises,
 * limits or local codes. false with a diagnostic; then the rows are of no use. */
bool fact_refill(struct fact_run *r, const struct fact_change *c, struct diags *d);
/* What the last fact_refill did to sheet i; KEPT also when it was filled anew and came out the
 * same. */
enum fact_state fact_run_state(const struct fact_run *r, size_t i);

#endif
