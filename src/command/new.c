/* new.c - lotward new: a commented record to fill in, made from the record dictionary. */
#include "text/base.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include "command/new.h"
#include "record/dict_near.h"
#include "report/layout.h"
#include "text/mem.h"
#include "text/utf8.h"

enum { COMMENT_WIDTH = 96, NAME_COLUMN = 24, NEW_FILE_MODE = 0644 };

void new_kind_of_value(const struct dict_attr *a, struct sbuf *out)
{
    switch (a->type) {
    case ATTR_TOKEN:
        sbuf_puts(out, "an id: letters, digits and . _ - / +");
        break;
    case ATTR_TEXT:
        sbuf_puts(out, "text");
        break;
    case ATTR_DATE:
        sbuf_puts(out, "a date: 2026-05-04");
        break;
    case ATTR_QTY:
        sbuf_printf(out, "%s: %s", dimension_name(a->dim), dimension_examples(a->dim));
        break;
    case ATTR_PERCENT:
        sbuf_puts(out, "a per cent: 28 %");
        break;
    case ATTR_RATIO:
        sbuf_puts(out, "a ratio: 1:40");
        break;
    case ATTR_CHOICE:
        sbuf_printf(out, "one of: %s", a->words);
        break;
    case ATTR_FLAG:
        sbuf_puts(out, "yes or no");
        break;
    case ATTR_COUNTRY:
        sbuf_puts(out, "a country: FR, GB, US, IN; XX when not known");
        break;
    case ATTR_REF:
        sbuf_printf(out, "the id of a record: %s%s", a->words,
                    (a->flags & ATTR_CATALOGUE) != 0 ? ", or a name of the catalogue" : "");
        break;
    case ATTR_REFS:
        sbuf_printf(out, "ids of records, separated by spaces: %s", a->words);
        break;
    }
}

void new_head(const struct new_record *n, struct sbuf *out)
{
    sbuf_puts(out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<records");
    if (n->units != NULL)
        sbuf_printf(out, " units=\"%s\"", n->units);
    if (n->decimal != NULL)
        sbuf_printf(out, " decimal=\"%s\"", n->decimal);
    sbuf_puts(out, ">\n");
}

static const char *article(const char *name)
{
    return strchr("aeiou", name[0]) != NULL ? "an" : "a";
}

/* What each attribute means. No two hyphens may stand side by side in a comment. */
static void put_comment(const struct dict_element *e, int indent, struct sbuf *out)
{
    struct sbuf b = SBUF_INIT, text = SBUF_INIT;

    sbuf_pad(&b, ' ', (size_t)indent);
    sbuf_puts(&b, "<!-- ");
    layout_wrap(&text, COMMENT_WIDTH, b.s, indent + 5, e->meaning);
    for (size_t i = 0; i < e->attr_count; i++) {
        const struct dict_attr *a = &e->attrs[i];

        sbuf_clear(&b);
        sbuf_printf(&b, "%s%s (", (a->flags & ATTR_REQUIRED) != 0 ? "Must be given. " : "",
                    a->meaning);
        new_kind_of_value(a, &b);
        sbuf_putc(&b, ')');
        layout_labelled(&text, COMMENT_WIDTH, indent + 5, indent + NAME_COLUMN, a->name, b.s);
    }
    if (text.len > 0 && text.s[text.len - 1] == '\n')
        text.s[text.len - 1] = ' ';
    for (char *p = text.s + (text.len > 0 ? indent + 4 : 0); p[0] != '\0' && p[1] != '\0'; p++)
        if (p[0] == '-' && p[1] == '-')
            p[1] = ' ';
    sbuf_puts(out, text.s);
    sbuf_puts(out, "-->\n");
    if (b.failed || text.failed)
        out->failed = true;
    sbuf_free(&text);
    sbuf_free(&b);
}

static void put_element(const struct dict_element *e, int indent, struct sbuf *out)
{
    size_t count = 0, children = 0;
    const struct dict_element *all = dict_elements(&count);

    put_comment(e, indent, out);
    sbuf_pad(out, ' ', (size_t)indent);
    sbuf_printf(out, "<%s", e->name);
    for (size_t i = 0; i < e->attr_count; i++) {
        sbuf_putc(out, '\n');
        sbuf_pad(out, ' ', (size_t)indent + 4);
        sbuf_printf(out, "%s=\"\"", e->attrs[i].name);
    }
    for (size_t i = 0; i < count; i++)
        if (str_eq(all[i].parent, e->name)) {
            sbuf_puts(out, children++ == 0 ? ">\n" : "");
            put_element(&all[i], indent + 2, out);
        }
    if (children > 0) {
        sbuf_pad(out, ' ', (size_t)indent);
        sbuf_printf(out, "</%s>\n", e->name);
    } else {
        sbuf_puts(out, "/>\n");
    }
}

static void put_skeleton(const struct new_record *n, struct sbuf *out)
{
    struct sbuf b = SBUF_INIT;

    new_head(n, out);
    sbuf_printf(
        &b,
        "Fill in what you know of %s %s, repeat or delete what stands inside it, and delete "
        "these comments when they are in the way. What stays empty counts as not written "
        "down. Check it with `lotward audit` and this file's name. -->",
        article(n->element->name), n->element->name);
    layout_wrap(out, COMMENT_WIDTH, "  <!-- ", 7, b.s);
    put_element(n->element, 2, out);
    sbuf_puts(out, "</records>\n");
    if (b.failed)
        out->failed = true;
    sbuf_free(&b);
}

/* The heading line of a table: "#kind,receipt", then the attribute names. */
static void put_table(const struct new_record *n, struct sbuf *out)
{
    const struct dict_element *e = n->element;

    sbuf_printf(out, "#kind,%s\n", e->name);
    if (n->units != NULL)
        sbuf_printf(out, "#units,%s\n", n->units);
    if (n->decimal != NULL)
        sbuf_printf(out, "#decimal,%s\n", n->decimal);
    if (!dict_top_level(e))
        sbuf_printf(out, "%s,", e->parent);
    for (size_t i = 0; i < e->attr_count; i++)
        sbuf_printf(out, "%s%s", i > 0 ? "," : "", e->attrs[i].name);
    sbuf_putc(out, '\n');
}

static enum exit_status unknown_kind(struct session *s, const char *typed)
{
    struct near near;
    const char *best = near_element(&near, typed);
    struct sbuf kinds = SBUF_INIT;
    enum exit_status status;
    size_t count = 0;
    const struct dict_element *all = dict_elements(&count);

    if (str_eq(best, typed)) /* "records" itself */
        best = NULL;
    if (best != NULL)
        sbuf_printf(&kinds, "did you mean '%s'?", best);
    else
        sbuf_puts(&kinds, "one of:");
    for (size_t i = 0; best == NULL && i < count; i++)
        if (dict_top_level(&all[i]))
            sbuf_printf(&kinds, " %s", all[i].name);
    status = session_usage(s, kinds.s, "there is no record kind '%s'", typed);
    sbuf_free(&kinds);
    return status;
}

static enum exit_status cannot_write(struct session *s, const char *path, int why)
{
    diags_add(s->diags, DIAG_FATAL, "cannot-write", path, 0, 0, NULL, "cannot be written: %s",
              strerror(why));
    return STATUS_TROUBLE;
}

/* Said before the first question, not after the last. Nothing is made yet: a run that is broken off
 * leaves no file. */
static enum exit_status check_path(struct session *s, const char *path)
{
    const char *slash = strrchr(path, '/');
    char *folder = slash == NULL   ? mem_strdup(".")
                   : slash == path ? mem_strdup("/")
                                   : mem_strndup(path, (size_t)(slash - path));
    enum exit_status status = STATUS_CLEAN;
    struct stat st;

    if (folder == NULL)
        return session_trouble(s);
    if (lstat(path, &st) == 0)
        status = session_usage(s, "name another file, or move that one away first",
                               "--out %s: there is a file of that name", path);
    else if (access(folder, W_OK | X_OK) != 0)
        status = cannot_write(s, path, errno);
    mem_free(folder);
    return status;
}

/* To a file that is not there yet: a record typed before is never lost. */
static enum exit_status write_file(struct session *s, const char *path, const struct sbuf *text)
{
    int fd = open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, NEW_FILE_MODE);
    size_t done = 0;
    bool ok = fd >= 0;
    int why;

    while (ok && done < text->len) {
        ssize_t n = write(fd, text->s + done, text->len - done);

        ok = n > 0 || (n < 0 && errno == EINTR);
        done += n > 0 ? (size_t)n : 0;
    }
    ok = ok && fsync(fd) == 0;
    why = errno;
    if (fd >= 0)
        close(fd);
    if (ok)
        return STATUS_CLEAN;
    if (fd >= 0)
        unlink(path);
    return cannot_write(s, path, why);
}

static enum exit_status make(struct session *s, const struct new_record *n, struct sbuf *out)
{
    if (option_flag(&s->options, "ask"))
        return new_ask(s, n, out);
    if (option_flag(&s->options, "csv"))
        put_table(n, out);
    else
        put_skeleton(n, out);
    return STATUS_CLEAN;
}

static enum exit_status run(struct session *s)
{
    struct new_record n = {.units = option_text(&s->options, "units"),
                           .decimal = option_text(&s->options, "decimal")};
    const char *path = option_text(&s->options, "out");
    struct sbuf out = SBUF_INIT;
    enum exit_status status;

    if (s->name_count != 1)
        return session_usage(s, "lotward new receipt", "name one kind of record");
    n.element = dict_find(s->names[0]);
    if (n.element == NULL || n.element->parent == NULL)
        return unknown_kind(s, s->names[0]);
    if (option_flag(&s->options, "ask") && option_flag(&s->options, "csv"))
        return session_usage(s, NULL, "--ask writes XML: leave out --csv");
    if (!option_flag(&s->options, "csv") && !dict_top_level(n.element))
        return session_usage(s, "with --csv it can be had as a table",
                             "a %s stands inside a %s: lotward new %s", n.element->name,
                             n.element->parent, n.element->parent);
    n.context.system = n.units == NULL         ? UNITS_UNDECLARED
                       : str_eq(n.units, "us") ? UNITS_US
                                               : UNITS_IMPERIAL;
    n.context.style = str_eq(n.decimal, "comma") ? NUMBER_COMMA
                      : n.decimal != NULL        ? NUMBER_POINT
                                                 : NUMBER_EITHER;
    status = path == NULL ? STATUS_CLEAN : check_path(s, path);
    if (status == STATUS_CLEAN)
        status = make(s, &n, &out);
    if (out.failed)
        status = session_trouble(s);
    if (status != STATUS_CLEAN)
        goto done;
    if (path != NULL)
        status = write_file(s, path, &out);
    /* Answers that cannot go to their file go where they can still be copied from. */
    if (path == NULL || (status != STATUS_CLEAN && option_flag(&s->options, "ask")))
        session_write(s, out.s, out.len);
done:
    sbuf_free(&out);
    return status;
}

static const struct option_spec options[] = {
    {"ask", 'a', OPTION_FLAG, NULL, NULL,
     "Ask for each field, check it as it is typed, and write the record", 0, 0},
    {"csv", 0, OPTION_FLAG, NULL, NULL, "The heading lines of a table for a spreadsheet", 0, 0},
    {"out", 'o', OPTION_TEXT, "FILE", NULL, "Write to FILE, which must not be there yet", 0, 0},
    {"units", 0, OPTION_CHOICE, "SYSTEM", "us imperial",
     "Which gallon, quart, pint and fluid ounce are meant", 0, 0},
    {"decimal", 0, OPTION_CHOICE, "MARK", "point comma", "The decimal mark", 0, 0},
};

const struct command command_new = {
    .name = "new",
    .summary = "a record to fill in, or typed in by question and answer",
    .operands = "KIND",
    .about =
        "Prints a record of KIND (receipt, batch, sale, premises ...) to fill in: a comment "
        "says what each attribute means and how it is written. With --ask the fields are asked "
        "for one after the other; each is checked as it is typed; an empty line leaves a field "
        "out, and a full stop leaves out the rest of them. With --csv the heading lines of a "
        "table, one record a line.",
    .examples = "  lotward new receipt\n"
                "  lotward new batch --ask --out batch-26-014.xml\n"
                "  lotward new receipt --csv > receipt.csv\n",
    .options = options,
    .option_count = LW_COUNT(options),
    .run = run,
};
