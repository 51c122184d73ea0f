/* run.c - from argv to one command and its exit status. */
#include "config.h"

#include "text/base.h"

#include "command/help.h"
#include "command/progress.h"
#include "command/session.h"
#include "text/mem.h"
#include "text/utf8.h"

static const struct option_spec opt_help[] = {
    {"help", 'h', OPTION_FLAG, NULL, NULL, "Say what the command does and stop", 0, 0},
};
static const struct option_spec opt_data[] = {
    {"data", 0, OPTION_TEXT, "DIR", NULL,
     "Take rules and data from DIR (it holds the folders rules and data)", 0, 0},
};
static const struct option_spec opt_book[] = {
    {"book", 'b', OPTION_TEXT, "FILE", NULL, "Read the records of this book too", 0, 0},
};
static const struct option_spec opt_facts[] = {
    {"as-of", 0, OPTION_DATE, "DATE", NULL, "Judge as on this day, 2026-12-31; default: today", 0,
     0},
    {"code-sets", 0, OPTION_TEXT, "'ID ...'", NULL,
     "Take these code sets instead of those the premises record names", 0, 0},
};
static const struct option_spec opt_units[] = {
    {"units", 0, OPTION_CHOICE, "SYSTEM", "metric us both",
     "Units of the text format; default: both", 0, 0},
};
static const struct option_spec opt_report[] = {
    {"format", 'f', OPTION_CHOICE, "FORMAT", REPORT_FORMAT_NAMES, "Output format", 0, 0},
    {"width", 0, OPTION_INTEGER, "COLUMNS", NULL,
     "Line length of the text format, 60 to 200; default: the terminal's, else 80",
     REPORT_WIDTH_LEAST, REPORT_WIDTH_MOST},
    {"color", 0, OPTION_CHOICE, "WHEN", "auto never always",
     "Colour beside the words; auto: on a terminal, unless NO_COLOR is set", 0, 0},
};

void command_declare(const struct command *c, struct options *o)
{
    unsigned data = NEEDS_RECORDS | NEEDS_FACTS | NEEDS_SHEETS | NEEDS_RULES | NEEDS_CATALOGUE;

    options_declare(o, c->options, c->option_count);
    if (c->flags & NEEDS_FACTS)
        options_declare(o, opt_facts, LW_COUNT(opt_facts));
    if (c->flags & MAY_BOOK)
        options_declare(o, opt_book, LW_COUNT(opt_book));
    if (c->flags & SHOWS_UNITS)
        options_declare(o, opt_units, LW_COUNT(opt_units));
    if (c->flags & MAKES_REPORT)
        options_declare(o, opt_report, LW_COUNT(opt_report));
    if (c->flags & data)
        options_declare(o, opt_data, LW_COUNT(opt_data));
    options_declare(o, opt_help, LW_COUNT(opt_help));
}

static enum exit_status write_help(struct session *s, void (*fill)(struct sbuf *out, int width))
{
    struct sbuf b = SBUF_INIT;
    enum exit_status status;

    if (fill != NULL)
        fill(&b, session_width(s));
    else
        help_command(s->command, &s->options, session_width(s), &b);
    session_write(s, b.s, b.len);
    status = b.failed ? STATUS_TROUBLE : STATUS_CLEAN;
    sbuf_free(&b);
    return status;
}

static enum exit_status run_command(struct session *s, int argc, char **argv)
{
    enum exit_status status;

    command_declare(s->command, &s->options);
    report_init(&s->report, s->command->name, NULL);
    /* Asked for help among other things, help is the answer, whatever else is wrong. */
    for (int i = 0; i < argc && strcmp(argv[i], "--") != 0; i++)
        if (strcmp(argv[i], "--help") == 0 || strcmp(argv[i], "-h") == 0)
            return write_help(s, NULL);
    if (!options_parse(&s->options, argc, argv, s->diags)) {
        struct sbuf b = SBUF_INIT;

        session_show_diags(s);
        help_usage(s->command, &b);
        fputs(b.s, stderr);
        sbuf_free(&b);
        return diags_oom(s->diags) ? STATUS_TROUBLE : STATUS_INPUT;
    }
    if ((s->command->flags & NEEDS_RECORDS) != 0)
        progress_start();
    status = session_open(s);
    if (status == STATUS_CLEAN)
        status = s->command->run(s);
    progress_stop();
    return status;
}

static enum exit_status unknown_command(struct session *s, const char *name)
{
    enum { NEAR_OWN = 2 };
    static const char *const own[] = {"--help", "--version"};
    const struct command *near = command_near(name);
    char hint[64];

    if (near != NULL)
        snprintf(hint, sizeof hint, "did you mean '%s'?", near->name);
    for (size_t i = 0; i < LW_COUNT(own); i++)
        if (str_distance(name, own[i], NEAR_OWN) <= NEAR_OWN) {
            snprintf(hint, sizeof hint, "did you mean %s?", own[i]);
            return session_usage(s, hint, "unknown option '%s'", name);
        }
    if (name[0] == '-')
        return session_usage(s, "options follow the command: lotward COMMAND [OPTIONS]",
                             "unknown option '%s'", name);
    return session_usage(s, near == NULL ? "lotward --help lists them" : hint,
                         "there is no command '%s'", name);
}

static enum exit_status dispatch(struct session *s, int argc, char **argv)
{
    if (argc < 2)
        return write_help(s, help_intro);
    if (strcmp(argv[1], "--version") == 0) {
        session_write(s, PACKAGE_NAME " " PACKAGE_VERSION "\n",
                      strlen(PACKAGE_NAME " " PACKAGE_VERSION "\n"));
        return STATUS_CLEAN;
    }
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0 ||
        (strcmp(argv[1], "help") == 0 && argc == 2))
        return write_help(s, help_commands);
    s->command = command_find(argv[1]);
    if (s->command == NULL)
        return unknown_command(s, argv[1]);
    return run_command(s, argc - 2, argv + 2);
}

int command_main(int argc, char **argv)
{
    struct session s = {.files_whole = true};
    enum exit_status status;

    s.diags = diags_new();
    if (s.diags == NULL) {
        fputs("lotward: out of memory\n", stderr);
        return STATUS_TROUBLE;
    }
    status = dispatch(&s, argc, argv);
    /* Whatever was made of it on the way: with an allocation failed, the answer is not whole. */
    if (mem_ran_out()) {
        diags_out_of_memory(s.diags);
        status = STATUS_TROUBLE;
    }
    session_show_diags(&s);
    errno = 0;
    if (s.write_errno == 0 && fflush(stdout) != 0)
        s.write_errno = errno == 0 ? EIO : errno;
    if (s.write_errno != 0) {
        /* A reader that has seen enough (head, less) is no reason for a message. */
        if (s.write_errno != EPIPE)
            fprintf(stderr, "lotward: standard output: %s\n", strerror(s.write_errno));
        status = STATUS_TROUBLE;
    }
    session_close(&s);
    return (int)status;
}
