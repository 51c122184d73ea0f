/* help.c - --help and its friends, from the tables, so that they cannot differ from the parser. */
#include "text/base.h"

#include "command/help.h"
#include "report/layout.h"

enum { SUMMARY_COLUMN = 14, USE_COLUMN = 30, OPTION_COLUMN = 24 };

void help_intro(struct sbuf *out, int width)
{
    static const char *const uses[][2] = {
        {"lotward check FILES...", "before a batch: the plan on top of what is held"},
        {"lotward audit FILES...", "a year's lot records, rule by rule"},
        {"lotward inventory FILES...", "storage and quantities for a fire inspector"},
        {"lotward sale SALE FILES...", "sourcing paperwork, label and carriage of a sale"},
    };
    static const char *const next[][2] = {
        {"lotward new receipt", "a record to fill in, with what each line means"},
        {"lotward help cautions", "before working with strong ethanol"},
        {"lotward --help", "all commands"},
    };

    layout_wrap(out, width, NULL, 0,
                "lotward checks the records of a small workroom that steeps aromatic materials in "
                "strong ethanol: what is held where, what it came from, how it is labelled and "
                "sold. It works offline on plain files. It points at what is out of line with a "
                "cited limit or cannot be told; the local authority and licensed practice decide.");
    sbuf_puts(out, "\nFour uses:\n");
    for (size_t i = 0; i < LW_COUNT(uses); i++)
        layout_labelled(out, width, 2, USE_COLUMN, uses[i][0], uses[i][1]);
    sbuf_puts(out, "\nNext:\n");
    for (size_t i = 0; i < LW_COUNT(next); i++)
        layout_labelled(out, width, 2, USE_COLUMN, next[i][0], next[i][1]);
}

void help_commands(struct sbuf *out, int width)
{
    size_t count;
    const struct command *const *table = command_table(&count);

    sbuf_puts(out, "usage: lotward COMMAND [OPTIONS] [OPERANDS]\n"
                   "       lotward COMMAND --help\n"
                   "       lotward --version\n\n");
    for (size_t i = 0; i < count; i++)
        layout_labelled(out, width, 2, SUMMARY_COLUMN, table[i]->name, table[i]->summary);
    sbuf_putc(out, '\n');
    layout_wrap(out, width, NULL, 0,
                "`lotward help COMMAND` prints the manual page of a command; `lotward help TOPIC` "
                "one of: records, rules (5), facts, limits, sources, cautions.");
    sbuf_putc(out, '\n');
    layout_wrap(out, width, NULL, 0,
                "Exit status: 0 nothing to correct and nothing untold; 1 findings, or rules that "
                "could not be told; 2 usage or input wrong, nothing was checked; 3 trouble, or "
                "some records were not read.");
}

void help_usage(const struct command *c, struct sbuf *out)
{
    sbuf_printf(out, "usage: lotward %s [OPTIONS]", c->name);
    if (c->operands != NULL)
        sbuf_printf(out, " %s", c->operands);
    sbuf_putc(out, '\n');
}

static void put_option(const struct option_spec *spec, int width, struct sbuf *out)
{
    struct sbuf label = SBUF_INIT, text = SBUF_INIT;

    if (spec->letter != 0)
        sbuf_printf(&label, "-%c, ", spec->letter);
    sbuf_printf(&label, "--%s", spec->name);
    if (spec->value != NULL)
        sbuf_printf(&label, " %s", spec->value);
    sbuf_puts(&text, spec->meaning);
    if (spec->kind == OPTION_CHOICE)
        sbuf_printf(&text, " (%s)", spec->words);
    layout_labelled(out, width, 2, OPTION_COLUMN, label.s, text.s);
    if (label.failed || text.failed)
        out->failed = true;
    sbuf_free(&label);
    sbuf_free(&text);
}

void help_command(const struct command *c, const struct options *o, int width, struct sbuf *out)
{
    help_usage(c, out);
    sbuf_putc(out, '\n');
    layout_wrap(out, width, NULL, 0, c->about);
    sbuf_puts(out, "\nOptions:\n");
    for (size_t i = 0; i < o->count; i++)
        put_option(o->values[i].spec, width, out);
    if (c->examples != NULL)
        sbuf_printf(out, "\nExamples:\n%s", c->examples);
}
