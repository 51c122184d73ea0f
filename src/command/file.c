/* file.c - lotward file: put records into the book. */
#include "text/base.h"

#include "command/compare.h"
#include "command/filing.h"

static const struct option_spec options[] = {
    {"book", 'b', OPTION_TEXT, "FILE", NULL, "The book; made when there is none", 0, 0},
    {"try", 'n', OPTION_FLAG, NULL, NULL,
     "Show record by record what would be filed, and write nothing", 0, 0},
    {"keep-good", 0, OPTION_TEXT, "LIST", NULL,
     "File what can be filed, and write the refused records to the new file LIST", 0, 0},
    {"map", 0, OPTION_TEXT, "MAPPING", NULL,
     "How the columns of the spreadsheet are called here: a small text file", 0, 0},
    {"compare", 0, OPTION_TEXT, "OTHER", NULL,
     "Compare the files with a second keying of the same cards, and write nothing", 0, 0},
    {"why", 0, OPTION_TEXT, "TEXT", NULL, "Why; asked for when cards are entered late", 0, 0},
    {"who", 0, OPTION_TEXT, "NAME", NULL, "Who files; kept with every record", 0, 0},
};

static enum exit_status run(struct session *s)
{
    const struct filing_options o = {.action = LEDGER_FILE,
                                     .who = option_text(&s->options, "who"),
                                     .why = option_text(&s->options, "why"),
                                     .map = option_text(&s->options, "map"),
                                     .dry = option_flag(&s->options, "try"),
                                     .keep_good = option_text(&s->options, "keep-good")};
    const char *other = option_text(&s->options, "compare");

    return other != NULL ? compare_keyings(s, other, o.map) : filing_run(s, &o);
}

const struct command command_file = {
    .name = "file",
    .summary = "put records into the book",
    .operands = "FILES...",
    .about =
        "Reads record files and files every record into the book: all of them, or none when one "
        "is refused. A record that is in the book already is left alone, so that a whole "
        "folder may be filed again and again. A record that differs from the one in the book "
        "is refused: amend is the way to change it.\n"
        "\n"
        "The book is one file that only grows. Each entry carries the SHA-256 of the entry "
        "before it, and the last one's is printed as the head: note it on paper, and "
        "`lotward book verify --expect HEAD` proves later that nothing was changed or cut.",
    .examples = "  lotward file --book workroom.book receipts.xml batches.csv charges.csv\n"
                "  lotward file --book workroom.book --try records.xml\n"
                "  lotward file --book workroom.book --keep-good refused.txt records.xml\n",
    .options = options,
    .option_count = LW_COUNT(options),
    .flags = TAKES_FILES | WRITES_BOOK,
    .run = run,
};
