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
    struct diags *diags;
    size_t diags_shown; /* how many were printed already */
    char *data_dir;     /* folder with facts/, limits/, catalogue/ */
    char *rules_dir;
    struct store *store;
    struct fact_set *sheets;
    struct fact_run *run;
    struct rule_set *rules;
    struct report report;
    long as_of;
    unsigned long records_read, records_refused;
    bool inputs_whole;
    bool write_failed;
};

/* Opens what s->command->flags ask for. STATUS_CLEAN when the command may run. */
enum exit_status session_open(struct session *s);
void session_close(struct session *s);

/* Fills the facts of the records in the store: s->run. Frees an earlier run first. */
enum exit_status session_facts(struct session *s);
/* Facts and rules to findings; the caller frees them. NULL: *status says why. */
struct findings *session_evaluate(struct session *s, const struct evaluate_options *o,
                                  enum exit_status *status);
/* Fills the report's inputs, code sets, replacements and incomplete reasons from the run. */
void session_describe(struct session *s);
/* Renders s->report in the chosen format to standard output; the exit status it deserves. */
enum exit_status session_report(struct session *s);
/* Prints the diagnostics not yet printed to standard error. */
void session_show_diags(struct session *s);
/* Plain text to standard output; remembers a failed write. */
void session_write(struct session *s, const char *text, size_t n);
/* One error on standard error: code "usage" and STATUS_INPUT. */
enum exit_status session_usage(struct session *s, const char *hint, const char *fmt, ...)
    LW_PRINTF(3, 4);

#endif
