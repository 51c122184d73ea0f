/* options.h - strict command line options, described by tables.
 *
 * "--name VALUE" and "--name=VALUE", a few one-letter forms, "--" ends the options. A minus and a
 * digit ("-5 degC") is an operand. No
 * abbreviations: a script that works today must not change its meaning when an option is added. */
#ifndef LW_COMMAND_OPTIONS_H
#define LW_COMMAND_OPTIONS_H

#include "text/base.h"
#include "text/diag.h"

enum option_kind {
    OPTION_FLAG,    /* no value */
    OPTION_TEXT,    /* any value that is not empty */
    OPTION_DATE,    /* ISO date; kept as a day number too */
    OPTION_INTEGER, /* between `least` and `most` */
    OPTION_CHOICE   /* one word of `words` */
};

struct option_spec {
    const char *name; /* without the dashes */
    char letter;      /* one-letter form; 0: none */
    enum option_kind kind;
    const char *value;   /* what --help calls the value: "DATE"; NULL for flags */
    const char *words;   /* OPTION_CHOICE: separated by one space */
    const char *meaning; /* one sentence, no full stop */
    long least, most;    /* OPTION_INTEGER */
};

struct option_value {
    const struct option_spec *spec;
    const char *text; /* points into argv; NULL: not given */
    long number;      /* OPTION_DATE: day number; OPTION_INTEGER */
    bool given;
};

enum { OPTIONS_MOST = 48 };

struct options {
    struct option_value values[OPTIONS_MOST];
    size_t count;
    const char **operands; /* owned array of pointers into argv */
    size_t operand_count;
};

/* Declares options before parsing; at most OPTIONS_MOST in all (asserted). */
void options_declare(struct options *o, const struct option_spec *specs, size_t count);
/* Reads argv[0..argc). false with diagnostics (code "usage", with a hint) when anything is wrong.
 */
bool options_parse(struct options *o, int argc, char **argv, struct diags *d);
void options_free(struct options *o); /* NULL-safe */

/* The value by name; asserts that the option was declared. */
const struct option_value *option_get(const struct options *o, const char *name);
bool option_known(const struct options *o, const char *name); /* was it declared? */
bool option_flag(const struct options *o, const char *name);
const char *option_text(const struct options *o, const char *name); /* NULL: not given */

#endif
