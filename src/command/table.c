/* table.c - every command, in the order --help lists them. */
#include "text/base.h"

#include "command/command.h"
#include "text/utf8.h"

extern const struct command command_check;
extern const struct command command_audit;
extern const struct command command_form;
extern const struct command command_inventory;
extern const struct command command_sale;
extern const struct command command_label;
extern const struct command command_lot;
extern const struct command command_trace;
extern const struct command command_ethanol;
extern const struct command command_explain;
extern const struct command command_rules;
extern const struct command command_schema;
extern const struct command command_file;
extern const struct command command_amend;
extern const struct command command_waive;
extern const struct command command_book;
extern const struct command command_work;
extern const struct command command_card;
extern const struct command command_new;
extern const struct command command_help;
extern const struct command command_completion;

static const struct command *const commands[] = {
    &command_check,     /* a command a line, so that two can be added at once */
    &command_audit,     /* */
    &command_inventory, /* */
    &command_sale,      /* */
    &command_label,     /* */
    &command_lot,       /* */
    &command_trace,     /* */
    &command_ethanol,   /* */
    &command_explain,   /* */
    &command_rules,     /* */
    &command_form,      /* */
    &command_schema,    /* */
    &command_file,      /* */
    &command_amend,     /* */
    &command_waive,     /* */
    &command_book,      /* */
    &command_work,      /* */
    &command_card,      /* */
    &command_new,       /* */
    &command_help,      /* */
    &command_completion,
};

const struct command *const *command_table(size_t *count)
{
    *count = LW_COUNT(commands);
    return commands;
}

const struct command *command_find(const char *name)
{
    for (size_t i = 0; i < LW_COUNT(commands); i++)
        if (str_eq(commands[i]->name, name))
            return commands[i];
    return NULL;
}

const struct command *command_near(const char *name)
{
    enum { NEAR_MOST = 2 };
    const struct command *near = NULL;
    unsigned best = NEAR_MOST + 1;

    for (size_t i = 0; i < LW_COUNT(commands); i++) {
        unsigned distance = str_distance(name, commands[i]->name, NEAR_MOST);

        if (distance < best) {
            best = distance;
            near = commands[i];
        }
    }
    return near;
}
