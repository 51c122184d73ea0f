/* completion.c - lotward completion: what a shell needs to complete the command line, made from the
 * command and option tables. */
#include "text/base.h"

#include "command/session.h"
#include "record/dict_near.h"
#include "text/utf8.h"

static const char topics[] = "records rules facts limits sources cautions";

/* The words that may stand first behind the command; nothing when it takes names or files. */
static void put_words(const struct command *c, struct sbuf *out)
{
    size_t count = 0;

    sbuf_puts(out, c->words);
    if (str_eq(c->name, "help")) {
        const struct command *const *table = command_table(&count);

        for (size_t i = 0; i < count; i++)
            sbuf_printf(out, "%s ", table[i]->name);
        sbuf_puts(out, topics);
    } else if (str_eq(c->name, "new")) {
        const struct dict_element *all = dict_elements(&count);

        for (size_t i = 0; i < count; i++)
            if (all[i].parent != NULL)
                sbuf_printf(out, "%s%s", i > 1 ? " " : "", all[i].name);
    }
}

static void put_option_names(const struct options *o, bool with_value, struct sbuf *out)
{
    size_t shown = 0;

    for (size_t i = 0; i < o->count; i++) {
        const struct option_spec *spec = o->values[i].spec;

        if (with_value && spec->kind == OPTION_FLAG)
            continue;
        sbuf_printf(out, "%s--%s", shown++ > 0 ? " " : "", spec->name);
        if (spec->letter != 0)
            sbuf_printf(out, " -%c", spec->letter);
    }
}

/* Text between single quotes, for sh, zsh and fish. */
static void put_quoted(const char *s, bool zsh_spec, struct sbuf *out)
{
    for (; *s != '\0'; s++) {
        if (*s == '\'')
            sbuf_puts(out, "'\\''");
        else if (zsh_spec && strchr("[]:\\", *s) != NULL)
            sbuf_printf(out, "\\%c", *s);
        else
            sbuf_putc(out, *s);
    }
}

/* --- bash --------------------------------------------------------------------------------------
 */

static void bash_command(const struct command *c, const struct options *o, struct sbuf *out)
{
    struct sbuf words = SBUF_INIT;

    sbuf_printf(out, "    %s)\n        case $previous in\n", c->name);
    for (size_t i = 0; i < o->count; i++) {
        const struct option_spec *spec = o->values[i].spec;

        if (spec->kind != OPTION_CHOICE)
            continue;
        sbuf_printf(out, "        --%s", spec->name);
        if (spec->letter != 0)
            sbuf_printf(out, "|-%c", spec->letter);
        sbuf_printf(out, ") choices='%s' ;;\n", spec->words);
    }
    sbuf_puts(out, "        esac\n        options='");
    put_option_names(o, false, out);
    sbuf_puts(out, "'\n        takes='");
    put_option_names(o, true, out);
    put_words(c, &words);
    sbuf_printf(out, "'\n        words='%s'\n        ;;\n", words.s);
    if (words.failed)
        out->failed = true;
    sbuf_free(&words);
}

static void bash_begin(struct sbuf *out)
{
    size_t count;
    const struct command *const *table = command_table(&count);

    sbuf_puts(out, "# Completion of lotward for bash: source this file, or put it into the folder\n"
                   "# bash-completion reads. Printed by `lotward completion bash`.\n"
                   "_lotward()\n{\n"
                   "    local word=${COMP_WORDS[COMP_CWORD]} previous= command= options= takes= "
                   "words= choices=\n"
                   "    COMPREPLY=()\n"
                   "    if [ \"$COMP_CWORD\" -le 1 ]; then\n"
                   "        COMPREPLY=($(compgen -W '");
    for (size_t i = 0; i < count; i++)
        sbuf_printf(out, "%s ", table[i]->name);
    sbuf_puts(out, "--help --version' -- \"$word\"))\n"
                   "        return\n"
                   "    fi\n"
                   "    command=${COMP_WORDS[1]}\n"
                   "    previous=${COMP_WORDS[COMP_CWORD - 1]}\n"
                   "    case $command in\n");
}

static const char bash_end[] = "    esac\n"
                               "    if [ -n \"$choices\" ]; then\n"
                               "        COMPREPLY=($(compgen -W \"$choices\" -- \"$word\"))\n"
                               "    elif [[ \" $takes \" == *\" $previous \"* ]]; then\n"
                               "        COMPREPLY=($(compgen -f -- \"$word\"))\n"
                               "    elif [[ $word == -* ]]; then\n"
                               "        COMPREPLY=($(compgen -W \"$options\" -- \"$word\"))\n"
                               "    elif [ -n \"$words\" ] && [ \"$COMP_CWORD\" -eq 2 ]; then\n"
                               "        COMPREPLY=($(compgen -W \"$words\" -- \"$word\"))\n"
                               "    else\n"
                               "        COMPREPLY=($(compgen -f -- \"$word\"))\n"
                               "    fi\n"
                               "}\n"
                               "complete -o filenames -F _lotward lotward\n";

/* --- zsh ---------------------------------------------------------------------------------------
 */

static void zsh_option(const struct option_spec *spec, struct sbuf *out)
{
    char letter[] = {'-', spec->letter, '\0'};

    for (int form = spec->letter != 0 ? 0 : 1; form < 2; form++) {
        sbuf_puts(out, " \\\n            '");
        if (spec->letter != 0)
            sbuf_printf(out, "(-%c --%s)", spec->letter, spec->name);
        sbuf_printf(out, "%s%s", form == 0 ? letter : "--", form == 0 ? "" : spec->name);
        if (spec->kind != OPTION_FLAG)
            sbuf_puts(out, form == 0 ? "+" : "=");
        sbuf_putc(out, '[');
        put_quoted(spec->meaning, true, out);
        sbuf_putc(out, ']');
        if (spec->kind == OPTION_CHOICE)
            sbuf_printf(out, ":word:(%s)", spec->words);
        else if (spec->kind != OPTION_FLAG)
            sbuf_puts(out, ":value:_files");
        sbuf_putc(out, '\'');
    }
}

static void zsh_command(const struct command *c, const struct options *o, struct sbuf *out)
{
    struct sbuf words = SBUF_INIT;

    sbuf_printf(out, "    %s)\n        _arguments", c->name);
    for (size_t i = 0; i < o->count; i++)
        zsh_option(o->values[i].spec, out);
    put_words(c, &words);
    if (words.len > 0)
        sbuf_printf(out, " \\\n            '1:word:(%s)'", words.s);
    sbuf_puts(out, " \\\n            '*:file:_files'\n        ;;\n");
    if (words.failed)
        out->failed = true;
    sbuf_free(&words);
}

static void zsh_begin(struct sbuf *out)
{
    size_t count;
    const struct command *const *table = command_table(&count);

    sbuf_puts(out, "#compdef lotward\n"
                   "# Completion of lotward for zsh: put this file as _lotward into a folder of "
                   "fpath.\n"
                   "# Printed by `lotward completion zsh`.\n"
                   "_lotward() {\n"
                   "    local -a commands\n"
                   "    commands=(\n");
    for (size_t i = 0; i < count; i++) {
        sbuf_printf(out, "        '%s:", table[i]->name);
        put_quoted(table[i]->summary, true, out);
        sbuf_puts(out, "'\n");
    }
    sbuf_puts(out, "    )\n"
                   "    if (( CURRENT == 2 )); then\n"
                   "        _describe command commands\n"
                   "        return\n"
                   "    fi\n"
                   "    local command=$words[2]\n"
                   "    shift words\n"
                   "    (( CURRENT-- ))\n"
                   "    case $command in\n");
}

static const char zsh_end[] = "    esac\n"
                              "}\n"
                              "if [[ $zsh_eval_context[-1] == loadautofunc ]]; then\n"
                              "    _lotward \"$@\"\n"
                              "else\n"
                              "    compdef _lotward lotward\n"
                              "fi\n";

/* --- fish --------------------------------------------------------------------------------------
 */

static void fish_command(const struct command *c, const struct options *o, struct sbuf *out)
{
    struct sbuf words = SBUF_INIT;

    for (size_t i = 0; i < o->count; i++) {
        const struct option_spec *spec = o->values[i].spec;

        sbuf_printf(out, "complete -c lotward -n '__fish_seen_subcommand_from %s' -l %s", c->name,
                    spec->name);
        if (spec->letter != 0)
            sbuf_printf(out, " -s %c", spec->letter);
        if (spec->kind == OPTION_CHOICE)
            sbuf_printf(out, " -x -a '%s'", spec->words);
        else if (spec->kind != OPTION_FLAG)
            sbuf_puts(out, " -r");
        sbuf_puts(out, " -d '");
        put_quoted(spec->meaning, false, out);
        sbuf_puts(out, "'\n");
    }
    put_words(c, &words);
    if (words.len > 0)
        sbuf_printf(out,
                    "complete -c lotward -n '__fish_seen_subcommand_from %s; and test (count "
                    "(commandline -opc)) -eq 2' -f -a '%s'\n",
                    c->name, words.s);
    if (words.failed)
        out->failed = true;
    sbuf_free(&words);
}

static void fish_begin(struct sbuf *out)
{
    size_t count;
    const struct command *const *table = command_table(&count);

    sbuf_puts(out, "# Completion of lotward for fish: put this file into "
                   "~/.config/fish/completions/lotward.fish.\n"
                   "# Printed by `lotward completion fish`.\n"
                   "complete -c lotward -n '__fish_use_subcommand' -f -l help -d 'List the "
                   "commands'\n"
                   "complete -c lotward -n '__fish_use_subcommand' -f -l version -d 'Print the "
                   "version'\n");
    for (size_t i = 0; i < count; i++) {
        sbuf_printf(out, "complete -c lotward -n '__fish_use_subcommand' -f -a %s -d '",
                    table[i]->name);
        put_quoted(table[i]->summary, false, out);
        sbuf_puts(out, "'\n");
    }
}

/* --- the command -------------------------------------------------------------------------------
 */

static const struct shell {
    const char *name;
    void (*begin)(struct sbuf *out);
    void (*command)(const struct command *c, const struct options *o, struct sbuf *out);
    const char *end;
} shells[] = {
    {"bash", bash_begin, bash_command, bash_end},
    {"zsh", zsh_begin, zsh_command, zsh_end},
    {"fish", fish_begin, fish_command, ""},
};

static enum exit_status run(struct session *s)
{
    const struct shell *shell = NULL;
    struct sbuf out = SBUF_INIT;
    enum exit_status status = STATUS_CLEAN;
    size_t count;
    const struct command *const *table = command_table(&count);

    for (size_t i = 0; s->name_count == 1 && i < LW_COUNT(shells); i++)
        if (str_eq(shells[i].name, s->names[0]))
            shell = &shells[i];
    if (shell == NULL)
        return session_usage(s, "bash, zsh or fish", "name the shell to complete for");
    shell->begin(&out);
    for (size_t i = 0; i < count; i++) {
        struct options o = {0};

        command_declare(table[i], &o);
        shell->command(table[i], &o, &out);
        options_free(&o);
    }
    sbuf_puts(&out, shell->end);
    if (out.failed)
        status = session_trouble(s);
    else
        session_write(s, out.s, out.len);
    sbuf_free(&out);
    return status;
}

const struct command command_completion = {
    .name = "completion",
    .summary = "print the completion of commands and options for a shell",
    .operands = "bash|zsh|fish",
    .about = "Prints what bash, zsh or fish need to complete the commands, the options, and the "
             "words an option takes. Made from the same tables as the parser, so it fits this very "
             "program.",
    .examples = "  lotward completion bash > ~/.lotward-completion.bash\n",
    .words = "bash zsh fish",
    .run = run,
};
