/* record.h - one record as typed, with its children, before it is placed in the tables. */
#ifndef LW_RECORD_RECORD_H
#define LW_RECORD_RECORD_H

#include "record/dictionary.h"
#include "text/diag.h"
#include "text/sbuf.h"

struct record {
    const struct dict_element *element;
    char **values; /* attr_count typed texts, NULL where not given; owned */
    char *file;    /* owned copy; NULL when it comes from the book */
    long line;
    char *parent_id; /* a child kind read as a row of its own (CSV): its parent's id; else NULL */
    bool checked;    /* record_check has passed with the reader's context */
    struct record **children;
    size_t child_count;
    size_t child_cap;
};

/* NULL when out of memory. */
struct record *record_new(const struct dict_element *e, const char *file, long line);
void record_free(struct record *r); /* NULL-safe, children too */
/* Copies value, white space at both ends left out; "" counts as not given. false when out of memory
 * or the attribute is unknown. */
bool record_set(struct record *r, const char *attr, const char *value);
/* The same by position in the dictionary and length. false only when out of memory. */
bool record_set_at(struct record *r, size_t attr, const char *value, size_t n);
const char *record_get(const struct record *r, const char *attr); /* NULL: not given or unknown */
const char *record_id(const struct record *r);                    /* attrs[0] */
bool record_add_child(struct record *r, struct record *child);    /* takes ownership on success */

/* The settings a file declares on its <records> element (or the reader's options for CSV). */
struct record_context {
    enum unit_system system;
    enum number_style style;
    bool table; /* read from a CSV file: messages say column, not attribute */
};

/* The context of canonical text: nothing declared, decimal point. */
extern const struct record_context RECORD_CANONICAL;

/* Checks every value of r and its children against the dictionary: required, type, unit, choice.
 * Each trouble is an error diagnostic that names file, line, element, attribute, value and what to
 * type. true when there was none. */
bool record_check(const struct record *r, const struct record_context *ctx, struct diags *d);

/* Appends the record as canonical XML: attributes in dictionary order, children in the order given,
 * no white space between elements, UTF-8, every quantity made free of the file's declarations
 * ("2 qt" in a US file becomes "2 qt-us"). The same record always gives the same bytes. */
void record_canonical_xml(const struct record *r, const struct record_context *ctx,
                          struct sbuf *out);

/* What a reader calls for each whole top-level record. Takes ownership of r. Return false to stop.
 */
typedef bool record_sink(struct record *r, const struct record_context *ctx, void *user);

#endif
