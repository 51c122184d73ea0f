/* new_ask.c - a record typed in by question and answer. Questions go to standard error, so that the
 * record alone goes to standard output. */
#include "text/base.h"

#include "command/new.h"
#include "record/dict_near.h"
#include "record/value.h"
#include "report/layout.h"
#include "text/markup.h"
#include "text/utf8.h"

enum { ANSWER_BYTES = 4096, LINE_WIDTH = 92 };

enum answer { ANSWER_TEXT, ANSWER_EMPTY, ANSWER_STOP, ANSWER_HELP, ANSWER_END };

struct asker {
    struct session *s;
    const struct new_record *n;
    char line[ANSWER_BYTES];
    int width;
};

static void say(struct asker *a, const char *first, int indent, const char *text)
{
    struct sbuf b = SBUF_INIT;

    layout_wrap(&b, a->width, first, indent, text);
    fputs(b.s, stderr);
    sbuf_free(&b);
}

/* The rest of a line that was too long. */
static void skip_line(void)
{
    int c;

    do
        c = getchar();
    while (c != '\n' && c != EOF);
}

static enum answer read_answer(struct asker *a)
{
    size_t n, start = 0, bad;

    for (;;) {
        fputs("> ", stderr);
        fflush(stderr);
        if (fgets(a->line, sizeof a->line, stdin) == NULL)
            return ANSWER_END;
        n = strlen(a->line);
        if (n + 1 == sizeof a->line && a->line[n - 1] != '\n') {
            skip_line();
            say(a, "  ", 2, "That line is too long: type a shorter one.");
        } else if (!utf8_valid(a->line, n, &bad)) {
            say(a, "  ", 2,
                "That line is not UTF-8 text: set the terminal to UTF-8 and type it "
                "again.");
        } else {
            break;
        }
    }
    while (n > 0 && ascii_space((unsigned char)a->line[n - 1]))
        n--;
    while (start < n && ascii_space((unsigned char)a->line[start]))
        start++;
    memmove(a->line, a->line + start, n - start);
    a->line[n - start] = '\0';
    if (n == start)
        return ANSWER_EMPTY;
    return str_eq(a->line, ".") ? ANSWER_STOP : str_eq(a->line, "?") ? ANSWER_HELP : ANSWER_TEXT;
}

static void put_question(struct asker *a, const struct dict_attr *attr)
{
    struct sbuf first = SBUF_INIT, text = SBUF_INIT;

    sbuf_printf(&first, "%s: ", attr->name);
    sbuf_printf(&text, "%s%s (", attr->meaning,
                (attr->flags & ATTR_REQUIRED) != 0 ? " Must be given." : "");
    new_kind_of_value(attr, &text);
    sbuf_putc(&text, ')');
    say(a, first.s, 2, text.s);
    sbuf_free(&first);
    sbuf_free(&text);
}

static void refuse(struct asker *a, const struct value *v)
{
    struct sbuf b = SBUF_INIT;

    sbuf_printf(&b, "'%s': %s%s%s", a->line, v->why, v->hint[0] == '\0' ? "" : "; ", v->hint);
    say(a, "  ", 2, b.s);
    sbuf_free(&b);
}

/* Asks for one attribute until it can be taken or is left out. */
static enum answer ask_attribute(struct asker *a, struct record *r, size_t index)
{
    const struct dict_attr *attr = &r->element->attrs[index];
    bool required = (attr->flags & ATTR_REQUIRED) != 0;

    put_question(a, attr);
    for (;;) {
        enum answer answer = read_answer(a);
        struct value v = {.state = VALUE_ABSENT};

        if (answer == ANSWER_END)
            return answer;
        if (answer == ANSWER_HELP) {
            put_question(a, attr);
            continue;
        }
        if (answer != ANSWER_TEXT) {
            if (!required)
                return answer;
            say(a, "  ", 2, "This must be given: the record cannot be placed without it.");
            continue;
        }
        value_read(attr, a->line, &a->n->context, &v);
        if (v.state == VALUE_BAD) {
            refuse(a, &v);
            continue;
        }
        if (v.state == VALUE_ABSENT && required) {
            say(a, "  ", 2, "This must be given: the record cannot be placed without it.");
            continue;
        }
        if (v.state != VALUE_ABSENT && !record_set_at(r, index, a->line, strlen(a->line)))
            diags_out_of_memory(a->s->diags);
        return ANSWER_TEXT;
    }
}

static bool has_required(const struct dict_element *e, size_t from)
{
    for (size_t i = from; i < e->attr_count; i++)
        if ((e->attrs[i].flags & ATTR_REQUIRED) != 0)
            return true;
    return false;
}

/* All fields of one record. false: the input ended. */
static bool ask_fields(struct asker *a, struct record *r)
{
    bool rest = true;

    for (size_t i = 0; i < r->element->attr_count; i++) {
        enum answer answer;

        if (!rest && (r->element->attrs[i].flags & ATTR_REQUIRED) == 0)
            continue;
        answer = ask_attribute(a, r, i);
        if (answer == ANSWER_END)
            return false;
        if (answer == ANSWER_STOP) {
            rest = false;
            if (!has_required(r->element, i + 1))
                break;
        }
    }
    return true;
}

/* yes, no or the end of the input. */
static enum answer ask_another(struct asker *a, const struct dict_element *e, size_t have)
{
    struct sbuf b = SBUF_INIT;

    sbuf_printf(&b, "%s %s? yes or no. %s", have == 0 ? "Is there a" : "Another", e->name,
                have == 0 ? e->meaning : "");
    say(a, NULL, 2, b.s);
    sbuf_free(&b);
    for (;;) {
        enum answer answer = read_answer(a);

        if (answer == ANSWER_END || answer == ANSWER_EMPTY || answer == ANSWER_STOP)
            return answer == ANSWER_END ? answer : ANSWER_STOP;
        if (str_eq(a->line, "yes") || str_eq(a->line, "y"))
            return ANSWER_TEXT;
        if (str_eq(a->line, "no") || str_eq(a->line, "n"))
            return ANSWER_STOP;
        say(a, "  ", 2, "Type yes or no.");
    }
}

static bool ask_children(struct asker *a, struct record *r, const struct dict_element *e)
{
    for (size_t have = 0;; have++) {
        enum answer answer = ask_another(a, e, have);
        struct record *child;

        if (answer != ANSWER_TEXT)
            return answer == ANSWER_STOP;
        child = record_new(e, NULL, 0);
        if (child == NULL || !record_add_child(r, child)) {
            record_free(child);
            diags_out_of_memory(a->s->diags);
            return false;
        }
        if (!ask_fields(a, child))
            return false;
    }
}

static bool ask_record(struct asker *a, struct record *r)
{
    size_t count = 0;
    const struct dict_element *all = dict_elements(&count);

    if (!ask_fields(a, r))
        return false;
    for (size_t i = 0; i < count; i++)
        if (str_eq(all[i].parent, r->element->name) && !ask_children(a, r, &all[i]))
            return false;
    return true;
}

/* The record as typed, attributes filled into lines. */
static void put_record(const struct record *r, int indent, struct sbuf *out)
{
    size_t column;

    sbuf_pad(out, ' ', (size_t)indent);
    sbuf_printf(out, "<%s", r->element->name);
    column = (size_t)indent + 1 + strlen(r->element->name);
    for (size_t i = 0; i < r->element->attr_count; i++) {
        struct sbuf b = SBUF_INIT;

        if (r->values[i] == NULL)
            continue;
        sbuf_printf(&b, "%s=\"", r->element->attrs[i].name);
        markup_put_attribute(&b, r->values[i]);
        sbuf_putc(&b, '"');
        if (column + 1 + b.len > LINE_WIDTH) {
            sbuf_putc(out, '\n');
            sbuf_pad(out, ' ', (size_t)indent + 4);
            column = (size_t)indent + 4;
        } else {
            sbuf_putc(out, ' ');
            column++;
        }
        sbuf_puts(out, b.s);
        column += b.len;
        if (b.failed)
            out->failed = true;
        sbuf_free(&b);
    }
    if (r->child_count == 0) {
        sbuf_puts(out, "/>\n");
        return;
    }
    sbuf_puts(out, ">\n");
    for (size_t i = 0; i < r->child_count; i++)
        put_record(r->children[i], indent + 2, out);
    sbuf_pad(out, ' ', (size_t)indent);
    sbuf_printf(out, "</%s>\n", r->element->name);
}

enum exit_status new_ask(struct session *s, const struct new_record *n, struct sbuf *out)
{
    struct asker a = {.s = s, .n = n, .width = session_width(s)};
    struct record *r = record_new(n->element, NULL, 0);
    enum exit_status status = STATUS_CLEAN;

    if (r == NULL)
        return session_trouble(s);
    say(&a, NULL, 0,
        "An empty line leaves a field out, a full stop leaves out the rest, a question mark asks "
        "again. Nothing is written before the end.");
    if (!ask_record(&a, r)) {
        status = diags_oom(s->diags)
                     ? session_trouble(s)
                     : session_usage(s, "answer every question to the end, or type a full stop",
                                     "the answers ended early: nothing was written");
    } else if (!record_check(r, &n->context, s->diags)) {
        status = STATUS_INPUT;
    } else {
        new_head(n, out);
        put_record(r, 2, out);
        sbuf_puts(out, "</records>\n");
    }
    record_free(r);
    return status;
}
