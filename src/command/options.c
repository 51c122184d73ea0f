/* options.c - a strict option parser. */
#include "text/base.h"

#include "command/options.h"
#include "text/date.h"
#include "text/mem.h"
#include "text/number.h"
#include "text/utf8.h"

enum { NEAR_MOST = 3 }; /* edits within which a name is offered as "did you mean" */

void options_declare(struct options *o, const struct option_spec *specs, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        assert(o->count < OPTIONS_MOST);
        o->values[o->count++] = (struct option_value){.spec = &specs[i]};
    }
}

void options_free(struct options *o)
{
    if (o == NULL)
        return;
    mem_free(o->operands);
    *o = (struct options){0};
}

static struct option_value *find_name(struct options *o, const char *name, size_t n)
{
    for (size_t i = 0; i < o->count; i++) {
        const char *known = o->values[i].spec->name;

        if (strlen(known) == n && strncmp(known, name, n) == 0)
            return &o->values[i];
    }
    return NULL;
}

static struct option_value *find_letter(struct options *o, char letter)
{
    for (size_t i = 0; i < o->count; i++)
        if (o->values[i].spec->letter == letter)
            return &o->values[i];
    return NULL;
}

static bool unknown_option(const struct options *o, const char *typed, size_t n, struct diags *d)
{
    char *name = mem_strndup(typed, n);
    const char *near = NULL;
    unsigned best = NEAR_MOST + 1;
    char hint[80];

    for (size_t i = 0; name != NULL && i < o->count; i++) {
        unsigned distance = str_distance(name, o->values[i].spec->name, NEAR_MOST);

        if (distance < best) {
            best = distance;
            near = o->values[i].spec->name;
        }
    }
    if (near != NULL)
        snprintf(hint, sizeof hint, "did you mean --%s?", near);
    diags_add(d, DIAG_FATAL, "usage", NULL, 0, 0, near == NULL ? "--help lists the options" : hint,
              "unknown option '--%s'", name == NULL ? "" : name);
    mem_free(name);
    return false;
}

static bool bad_value(const struct option_spec *spec, const char *value, const char *hint,
                      struct diags *d)
{
    diags_add(d, DIAG_FATAL, "usage", NULL, 0, 0, hint, "option --%s: '%s' is not %s", spec->name,
              value,
              spec->kind == OPTION_DATE     ? "a date"
              : spec->kind == OPTION_CHOICE ? "one of its words"
                                            : "a number in its range");
    return false;
}

static bool is_word(const char *words, const char *value)
{
    size_t n = strlen(value);

    for (const char *p = words; *p != '\0';) {
        size_t len = strcspn(p, " ");

        if (len == n && strncmp(p, value, n) == 0)
            return true;
        p += len;
        while (*p == ' ')
            p++;
    }
    return false;
}

/* Reads the text of v by its kind. */
static bool read_value(struct option_value *v, struct diags *d)
{
    const struct option_spec *spec = v->spec;
    char hint[160];
    long long number;

    switch (spec->kind) {
    case OPTION_DATE:
        if (!date_iso_days(v->text, &v->number) || strlen(v->text) != strlen("2026-01-31"))
            return bad_value(spec, v->text, "write it as 2026-01-31", d);
        break;
    case OPTION_INTEGER:
        snprintf(hint, sizeof hint, "a whole number from %ld to %ld", spec->least, spec->most);
        if (!number_integer(v->text, &number) || number < spec->least || number > spec->most)
            return bad_value(spec, v->text, hint, d);
        v->number = (long)number;
        break;
    case OPTION_CHOICE:
        snprintf(hint, sizeof hint, "one of: %s", spec->words);
        if (!is_word(spec->words, v->text))
            return bad_value(spec, v->text, hint, d);
        break;
    case OPTION_TEXT:
    case OPTION_FLAG:
        break;
    }
    return true;
}

static bool set_value(struct option_value *v, const char *text, struct diags *d)
{
    if (v->given) {
        diags_add(d, DIAG_FATAL, "usage", NULL, 0, 0, NULL, "option --%s is given twice",
                  v->spec->name);
        return false;
    }
    if (v->spec->kind != OPTION_FLAG && text[0] == '\0') {
        diags_add(d, DIAG_FATAL, "usage", NULL, 0, 0, NULL, "option --%s: empty %s", v->spec->name,
                  v->spec->value);
        return false;
    }
    v->given = true;
    v->text = text;
    return v->spec->kind == OPTION_FLAG || read_value(v, d);
}

/* One argument that starts with a dash; *used is how many arguments it took. */
static bool parse_option(struct options *o, int left, char **argv, int *used, struct diags *d)
{
    const char *arg = argv[0];
    bool is_long = arg[1] == '-';
    const char *name = arg + (is_long ? 2 : 1);
    size_t n = is_long ? strcspn(name, "=") : 1;
    struct option_value *v = is_long ? find_name(o, name, n) : find_letter(o, name[0]);
    const char *attached = name[n] == '\0' ? NULL : name + n + (is_long ? 1 : 0);

    *used = 1;
    if (v == NULL && !is_long) {
        diags_add(d, DIAG_FATAL, "usage", NULL, 0, 0, "--help lists the options",
                  "unknown option '-%c'", name[0]);
        return false;
    }
    if (v == NULL)
        return unknown_option(o, name, n, d);
    if (v->spec->kind == OPTION_FLAG) {
        if (attached == NULL)
            return set_value(v, "", d);
        diags_add(d, DIAG_FATAL, "usage", NULL, 0, 0, NULL, "option --%s takes no value",
                  v->spec->name);
        return false;
    }
    if (attached != NULL)
        return set_value(v, attached, d);
    if (left < 2) {
        diags_add(d, DIAG_FATAL, "usage", NULL, 0, 0, NULL, "option --%s needs a value: %s",
                  v->spec->name, v->spec->value);
        return false;
    }
    *used = 2;
    return set_value(v, argv[1], d);
}

bool options_parse(struct options *o, int argc, char **argv, struct diags *d)
{
    bool only_operands = false, ok = true;

    o->operands = mem_calloc((size_t)argc + 1, sizeof *o->operands);
    if (o->operands == NULL) {
        diags_out_of_memory(d);
        return false;
    }
    for (int i = 0; i < argc;) {
        int used = 1;

        if (!only_operands && strcmp(argv[i], "--") == 0)
            only_operands = true;
        else if (only_operands || argv[i][0] != '-' || argv[i][1] == '\0' ||
                 ascii_digit(argv[i][1]))
            o->operands[o->operand_count++] = argv[i];
        else
            ok = parse_option(o, argc - i, argv + i, &used, d) && ok;
        i += used;
    }
    return ok;
}

bool option_known(const struct options *o, const char *name)
{
    for (size_t i = 0; i < o->count; i++)
        if (str_eq(o->values[i].spec->name, name))
            return true;
    return false;
}

const struct option_value *option_get(const struct options *o, const char *name)
{
    for (size_t i = 0; i < o->count; i++)
        if (str_eq(o->values[i].spec->name, name))
            return &o->values[i];
    assert(false); /* an option that the command did not declare */
    return NULL;
}

bool option_flag(const struct options *o, const char *name)
{
    return option_get(o, name)->given;
}

const char *option_text(const struct options *o, const char *name)
{
    return option_get(o, name)->text;
}
