/* manual.h - the parts of the manual that are printed from the dictionary, the sheets and the
 * rules.
 *
 * A template (src/manual/NAME.in) holds the prose; a line "@NAME@" in it is replaced by what the
 * part of that name appends. Used by mkpages alone: the pages are committed, and a test prints them
 * again. */
#ifndef LW_MANUAL_MANUAL_H
#define LW_MANUAL_MANUAL_H

#include "fact/fact.h"
#include "rule/rule.h"
#include "text/sbuf.h"
#include <sqlite3.h>

struct manual {
    const char *data_dir;
    sqlite3 *db; /* the catalogue and the limits */
    struct fact_set *facts;
    struct rule_set *rules;
    bool failed; /* a question to the catalogue broke */
};

typedef void manual_part(struct manual *m, struct sbuf *out);

manual_part manual_elements, manual_values;                      /* manual_records.c */
manual_part manual_facts;                                        /* manual_facts.c */
manual_part manual_rules, manual_patterns, manual_cautions;      /* manual_rules.c */
manual_part manual_code_sets, manual_limit_names;                /* manual_limits.c */
manual_part manual_works, manual_set_sureness, manual_tables;    /* manual_works.c */
manual_part manual_counts, manual_citations, manual_table_users; /* manual_sources.c */

/* --- mdoc (mdoc_write.c) --- */

/* Running text, a sentence a line, ended by a new line. NULL or empty: nothing. */
void mdoc_text(struct sbuf *out, const char *s);
/* ".It Cm word" and alike: `macro`, then each word as one argument; NULL ends them. */
void mdoc_macro(struct sbuf *out, const char *macro, ...);

/* --- Markdown --- */

void md_text(struct sbuf *out, const char *s); /* inline, no new line */

/* --- questions to the catalogue --- */

/* Calls row() for each row; text columns only, `?1` is bound to one when it is not NULL. */
void manual_query(struct manual *m, const char *sql, const char *one,
                  void (*row)(sqlite3_stmt *st, void *user), void *user);
const char *manual_column(sqlite3_stmt *st, int column); /* "" for NULL */

/* The words for how sure, the least sure first. */
enum { SURENESS_COUNT = 6 };
extern const char *const sureness_order[SURENESS_COUNT];

/* Does the SQL of a fact read this table ("cat_liquid", "fact_batch")? */
bool manual_reads(const struct fact_sheet *sheet, const char *table);

#endif
