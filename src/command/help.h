/* help.h - what the program says about itself, made from the command and option tables. */
#ifndef LW_COMMAND_HELP_H
#define LW_COMMAND_HELP_H

#include "command/command.h"
#include "text/sbuf.h"

/* What lotward is, its four uses, and the next thing to type. */
void help_intro(struct sbuf *out, int width);
/* Every command with its summary. */
void help_commands(struct sbuf *out, int width);
/* "usage: lotward audit [OPTIONS] [FILES...]" and a new line. */
void help_usage(const struct command *c, struct sbuf *out);
/* The whole --help of one command: o holds all its options, the common ones included. */
void help_command(const struct command *c, const struct options *o, int width, struct sbuf *out);

#endif
