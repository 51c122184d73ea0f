/* command.h - what a command is; command/table.c lists them all.
 *
 * To add one: write command/NAME.c with a `const struct command command_NAME`, add it to table.c
 * and to local.mk, and write man/lotward-NAME.1. */
#ifndef LW_COMMAND_COMMAND_H
#define LW_COMMAND_COMMAND_H

#include "command/options.h"

enum exit_status {
    STATUS_CLEAN = 0,    /* nothing at fix or above, and nothing untold */
    STATUS_FINDINGS = 1, /* findings, or rules that could not be told */
    STATUS_INPUT = 2,    /* usage, input or rules wrong: nothing was checked */
    STATUS_TROUBLE = 3   /* trouble during the run, or records not read: the answer is not whole */
};

enum command_flag {
    NEEDS_RECORDS = 1,    /* reads record files (or the book) into a store with the catalogue */
    NEEDS_FACTS = 2,      /* reads the fact sheets; session_facts() fills them */
    NEEDS_RULES = 4,      /* reads the rules */
    MAY_BOOK = 8,         /* takes --book */
    WRITES_BOOK = 16,     /* changes the book: never opened by the session itself */
    NEEDS_CATALOGUE = 32, /* a store with the catalogue, even without records */
    TAKES_FILES = 64,     /* every operand is a record file or a folder of them */
    NEEDS_SHEETS = 256,   /* reads the fact sheets */
    SHOWS_UNITS = 512,    /* takes --units: prints amounts in words */
    MAKES_REPORT = 128    /* takes --format, --width and --color */
};

struct session;

struct command {
    const char *name;
    const char *summary;  /* one line, no full stop */
    const char *operands; /* "FILES..." ; NULL: none */
    const char *words;    /* what may stand first, separated by one blank; NULL: names or files */
    const char *about;    /* paragraphs for --help, separated by a blank line */
    const char *examples; /* lines for --help, each a command; NULL: none */
    const struct option_spec *options;
    size_t option_count;
    const char *facts; /* what its tables read beside the facts of the rules; NULL: fill all */
    unsigned flags;
    enum exit_status (*run)(struct session *s);
};

const struct command *const *command_table(size_t *count);
const struct command *command_find(const char *name); /* NULL: unknown */
/* The command whose name is nearest to `name`; NULL when none is near. */
const struct command *command_near(const char *name);

/* Every option of the command, the common ones its flags ask for included. */
void command_declare(const struct command *c, struct options *o);

/* The whole program: parses argv, runs one command, writes what it says. For main() and tests. */
int command_main(int argc, char **argv);

#endif
