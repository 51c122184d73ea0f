/* report.h - one structure that every output format prints.
 *
 * A command fills a struct report; a format (report/format.h) turns it into bytes. Nothing here
 * prints. The report owns the strings and tables added to it and borrows findings, rules and
 * diagnostics, which must outlive it. The adders copy; a failed allocation sets `failed`, which the
 * caller looks at once before rendering. The same report always gives the same bytes. */
#ifndef LW_REPORT_REPORT_H
#define LW_REPORT_REPORT_H

#include "rule/finding.h"
#include "rule/rule.h"
#include "text/diag.h"
#include "text/sbuf.h"

/* --- tables ------------------------------------------------------------------------------------
 */

enum report_align {
    ALIGN_LEFT,
    ALIGN_RIGHT,
    ALIGN_NAMES /* left; names of words, such as rules', which may be broken after a hyphen */
};

enum report_table_style {
    TABLE_GRID, /* a heading line, then one line (or more, wrapped) a row */
    TABLE_PAIRS /* two columns, label and text, without a heading */
};

struct report_column {
    char *name; /* stable, lower case with hyphens: the key in JSON and the heading in CSV */
    char *head; /* what people read; NULL: name */
    char *unit; /* NULL: none */
    enum report_align align;
};

struct report_cell {
    char *text;    /* as printed for people; NULL: empty */
    double number; /* the value for machines, in the column's unit; NaN: none */
};

struct report_table {
    char *name;  /* stable, for machines: "stock-by-place" */
    char *title; /* for people; NULL: none */
    char *note;  /* paragraph under the title; NULL: none */
    enum report_table_style style;
    struct report_column *columns;
    size_t column_count, column_cap;
    struct report_cell *cells; /* row by row, column_count cells a row */
    size_t cell_count, cell_cap;
};

/* --- the report --------------------------------------------------------------------------------
 */

struct report_input {
    char *name;
    bool book; /* the book, not a record file */
    unsigned long read, refused;
    bool whole; /* false: could not be read to its end */
};

struct report_code_set {
    char *id, *title, *edition;
};

struct report {
    const char *command; /* static: "audit" */
    char *title;         /* "Audit of all records" */
    long as_of;          /* day number */
    bool dated;          /* as_of means something in this report */

    struct report_input *inputs;
    size_t input_count, input_cap;
    struct report_code_set *code_sets;
    size_t code_set_count, code_set_cap;
    bool code_sets_default; /* the premises name none: the cautious set was taken */
    char **replacements;    /* local limits in force, a sentence each */
    size_t replacement_count, replacement_cap;
    char **notes; /* what was left out or assumed, a sentence each */
    size_t note_count, note_cap;
    char **incomplete; /* why the report is not whole, a sentence each; none: whole */
    size_t incomplete_count, incomplete_cap;

    struct report_table **tables; /* printed before the findings, in order */
    size_t table_count, table_cap;

    const struct findings *findings; /* NULL: this report has none */
    const struct findings *before;   /* the same run without the plan; NULL: no plan */
    const struct diags *diags;       /* what the readers said; NULL: nothing */
    /* Which findings to show; NULL: all. The tallies always count everything. */
    bool (*shows)(const struct finding *f, const void *user);
    const void *shows_user;
    unsigned long hidden; /* findings not shown, for the closing lines */
    bool summary;         /* many blanks are told by entry and lot (blanks.h), not one by one */

    /* The body of the printable page, between its head and its closing lines; NULL: the tables,
     * then the findings. */
    void (*page_body)(const struct report *r, const void *user, struct sbuf *out);
    const void *page_user;
    /* A page of the command's own, out of the tables; NULL: the usual one. */
    void (*page)(const struct report *r, struct sbuf *out);

    bool failed; /* out of memory while filling */
};

void report_init(struct report *r, const char *command, const char *title);
void report_set_title(struct report *r, const char *title);
void report_release(struct report *r); /* frees what it owns; NULL-safe */

void report_add_input(struct report *r, const char *name, bool book, unsigned long read,
                      unsigned long refused, bool whole);
void report_add_code_set(struct report *r, const char *id, const char *title, const char *edition);
void report_add_replacement(struct report *r, const char *text);
void report_add_note(struct report *r, const char *text);
void report_add_incomplete(struct report *r, const char *reason);

/* A new empty table at the end, or NULL (and r->failed). title and note may be NULL. */
struct report_table *report_add_table(struct report *r, const char *name, const char *title,
                                      const char *note, enum report_table_style style);
/* Tables and cells: t may be NULL (nothing happens), so that a fill needs no checks; r->failed
 * tells. Columns first, then the cells row by row. */
void report_column(struct report *r, struct report_table *t, const char *name, const char *head,
                   const char *unit, enum report_align align);
void report_cell(struct report *r, struct report_table *t, const char *text);
/* text NULL: the number in `decimals` decimals; NaN: an empty cell. */
void report_cell_number(struct report *r, struct report_table *t, double number, int decimals,
                        const char *text);
void report_cell_count(struct report *r, struct report_table *t, unsigned long n);
/* A label and its text in a TABLE_PAIRS table (columns are made on first use). Empty text: no row.
 */
void report_pair(struct report *r, struct report_table *t, const char *label, const char *text);
/* Sets the title and note of a table made without. */
void report_table_title(struct report *r, struct report_table *t, const char *title,
                        const char *note);
size_t report_row_count(const struct report_table *t);
/* What people read over a column: its head, else its name with blanks for hyphens. */
void report_put_head(struct sbuf *out, const struct report_column *c);
/* The first table of this name; NULL: there is none. */
const struct report_table *report_table_find(const struct report *r, const char *name);

/* --- what the formats share --------------------------------------------------------------------
 */

struct report_totals {
    unsigned long rules_run;
    unsigned long
        rules[4]; /* rules by worst verdict: any failing row, else any untold, else any held */
    unsigned long rows[4]; /* rows by verdict */
    /* of the findings shown: */
    unsigned long fails[4]; /* failing ones by severity, waived ones left out */
    unsigned long untold;   /* cannot-tell ones, waived ones left out */
    unsigned long waived;
    unsigned long fresh; /* new because of the plan */
    /* of the inputs: */
    unsigned long read, refused;
};

/* Rules and rows are counted over everything judged, findings over those shown. */
struct report_totals report_count(const struct report *r);
bool report_shows(const struct report *r, const struct finding *f);
/* True when a shown, unwaived finding fails at fix or above, or could not be told. */
bool report_has_open(const struct report *r);
/* The finding of the same key before the plan; NULL when there was none. */
const struct finding *report_before(const struct report *r, const struct finding *f);
/* With a plan: is the finding new because of it, or another value than before? */
bool report_by_plan(const struct report *r, const struct finding *f);
/* "unconfirmed: from memory" for "from-memory", and so on; unknown words come back unchanged. */
const char *report_sureness(const char *sure);
bool report_unconfirmed(const char *sure);
/* "fire authority" for "fire-authority" into out; returns out. */
char *report_decider(const char *decides, char *out, size_t size);
/* The line that every report ends with: who decides, and that this program does not. */
const char *report_deferral(void);

#endif
