/* session.h - what a running command has at hand.
 *
 * session_open() brings in what the command's flags ask for. Everything is freed by
 * session_close(). */
#ifndef LW_COMMAND_SESSION_H
#define LW_COMMAND_SESSION_H

#include "command/command.h"
#include "fact/fact.h"
#include "report/format.h"
#include "rule/evaluate.h"

struct session {
    const struct command *command;
    struct options options;
    const char **names; /* operands that are not files: lots, sales, rules; owned array */
    size_t name_count;
    char **files; /* record files, folders opened, each once; owned */
    size_t file_count, file_cap;
    struct diags *diags;
    size_t diags_shown; /* how many were printed already */
    char *data_dir;     /* folder with facts/, limits/, catalogue/ */
    char *rules_dir;
    char *image; /* the catalogue as one file (record/image.h); NULL: read the sheets */
    struct store *store;
    struct fact_set *sheets;
    struct fact_run *run;
    struct rule_set *rules;
    struct report report;
    long as_of;
    unsigned long records_read, records_refused;
    bool files_whole; /* every record file was read to its end */
    bool facts_again; /* the command fills the facts more than once */
    int write_errno;  /* 0: every write so far went through */
};

/* Opens what s->command->flags ask for. STATUS_CLEAN when the command may run. */
enum exit_status session_open(struct session *s);
void session_close(struct session *s);

/* Fills the facts of the records in the store: s->run. Frees an earlier run first. only: one fact
 * and those it leans on, NULL: all. false with a diagnostic. */
bool session_facts(struct session *s, const char *only);
/* Fills all facts, then judges them by the rules; the caller frees. NULL with a diagnostic. */
struct findings *session_evaluate(struct session *s, const struct evaluate_options *o);
/* Fills the report's date, code sets, replacements and incomplete reasons from the run. */
void session_describe(struct session *s);
/* Renders s->report in the chosen format to standard output; the exit status it deserves. */
enum exit_status session_report(struct session *s);
/* Columns of a line of text: --width, else the terminal's within bounds, else 80. */
int session_width(const struct session *s);
/* Units of the amounts in words: --units in the text format, both elsewhere. */
enum show_units session_units(const struct session *s);
/* Prints the diagnostics not yet printed to standard error. */
void session_show_diags(struct session *s);
/* Plain text to standard output; remembers a failed write. */
void session_write(struct session *s, const char *text, size_t n);
/* One error about the command line: a diagnostic "usage"; returns STATUS_INPUT. */
enum exit_status session_usage(struct session *s, const char *hint, const char *fmt, ...)
    LW_PRINTF(3, 4);
/* The run broke for a reason that is in the diagnostics; returns STATUS_TROUBLE. */
enum exit_status session_trouble(struct session *s);

/* --- pieces of session_open, in files of their own --- */

/* data_dir.c: sets data_dir and rules_dir, or says where it looked. */
bool session_find_data(struct session *s);
/* inputs.c: splits the operands into names and files (by suffix, or by being there). */
bool session_split_operands(struct session *s);
/* inputs.c: reads s->files and the book into the store. */
enum exit_status session_read_inputs(struct session *s);

#endif
