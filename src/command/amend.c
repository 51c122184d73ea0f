/* amend.c - lotward amend: a new version of records in the book. */
#include "text/base.h"

#include "command/filing.h"

static const struct option_spec options[] = {
    {"book", 'b', OPTION_TEXT, "FILE", NULL, "The book", 0, 0},
    {"who", 0, OPTION_TEXT, "NAME", NULL, "Who amends", 0, 0},
    {"why", 0, OPTION_TEXT, "TEXT", NULL, "Why the record was wrong, and how that is known", 0, 0},
    {"try", 'n', OPTION_FLAG, NULL, NULL,
     "Show record by record what would be amended, and write nothing", 0, 0},
};

static enum exit_status run(struct session *s)
{
    const struct filing_options o = {.action = LEDGER_AMEND,
                                     .who = option_text(&s->options, "who"),
                                     .why = option_text(&s->options, "why"),
                                     .dry = option_flag(&s->options, "try")};
    if (o.who == NULL || o.why == NULL)
        return session_usage(s, "--who anna --why 'scale read wrongly, weighed again'",
                             "an amendment needs %s",
                             o.who != NULL   ? "a reason: --why"
                             : o.why != NULL ? "a name: --who"
                                             : "a name and a reason: --who and --why");
    return filing_run(s, &o);
}

const struct command command_amend = {
    .name = "amend",
    .summary = "replace records in the book by corrected ones, with who and why",
    .operands = "FILES...",
    .about =
        "Reads record files and makes each record the version in force of the one with its id: "
        "all of them, or none when one is refused. Give the whole record, not only what "
        "changed. The earlier version stays in the book, and `lotward book history` shows "
        "every version with its time, person and reason. A record that is not in the book is "
        "refused; one that is the same as the version in force is left alone.",
    .examples =
        "  lotward amend --book workroom.book --who anna --why 'weighed again' receipt.xml\n",
    .options = options,
    .option_count = LW_COUNT(options),
    .flags = TAKES_FILES | WRITES_BOOK,
    .run = run,
};
