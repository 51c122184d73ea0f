/* report.c - filling a report. */
#include "text/base.h"

#include "report/report.h"
#include "text/mem.h"
#include "text/utf8.h"

void report_init(struct report *r, const char *command, const char *title)
{
    *r = (struct report){.command = command};
    r->title = mem_strdup(title);
    r->failed = title != NULL && r->title == NULL;
}

static void free_strings(char **strings, size_t count)
{
    for (size_t i = 0; i < count; i++)
        mem_free(strings[i]);
    mem_free(strings);
}

static void table_free(struct report_table *t)
{
    for (size_t i = 0; i < t->column_count; i++) {
        mem_free(t->columns[i].name);
        mem_free(t->columns[i].head);
        mem_free(t->columns[i].unit);
    }
    for (size_t i = 0; i < t->cell_count; i++)
        mem_free(t->cells[i].text);
    mem_free(t->columns);
    mem_free(t->cells);
    mem_free(t->name);
    mem_free(t->title);
    mem_free(t->note);
    mem_free(t);
}

void report_release(struct report *r)
{
    if (r == NULL)
        return;
    mem_free(r->title);
    for (size_t i = 0; i < r->input_count; i++)
        mem_free(r->inputs[i].name);
    mem_free(r->inputs);
    for (size_t i = 0; i < r->code_set_count; i++) {
        mem_free(r->code_sets[i].id);
        mem_free(r->code_sets[i].title);
        mem_free(r->code_sets[i].edition);
    }
    mem_free(r->code_sets);
    free_strings(r->replacements, r->replacement_count);
    free_strings(r->notes, r->note_count);
    free_strings(r->incomplete, r->incomplete_count);
    for (size_t i = 0; i < r->table_count; i++)
        table_free(r->tables[i]);
    mem_free(r->tables);
    *r = (struct report){.command = r->command};
}

/* Room for one more item; the array is untouched on failure. */
static bool room(struct report *r, void **array, size_t *cap, size_t count, size_t size)
{
    void *p;

    if (r->failed)
        return false;
    if (count < *cap)
        return true;
    p = mem_grow(*array, cap, count + 1, size);
    if (p == NULL) {
        r->failed = true;
        return false;
    }
    *array = p;
    return true;
}

/* NULL stays NULL; a failed copy sets r->failed. */
static char *copy(struct report *r, const char *s)
{
    char *p = mem_strdup(s);

    if (s != NULL && p == NULL)
        r->failed = true;
    return p;
}

static void add_string(struct report *r, char ***array, size_t *count, size_t *cap, const char *s)
{
    void *p = *array;

    if (!room(r, &p, cap, *count, sizeof(char *)))
        return;
    *array = p;
    (*array)[*count] = copy(r, s);
    if ((*array)[*count] != NULL)
        (*count)++;
}

void report_set_title(struct report *r, const char *title)
{
    mem_free(r->title);
    r->title = copy(r, title);
}

void report_add_input(struct report *r, const char *name, bool book, unsigned long read,
                      unsigned long refused, bool whole)
{
    void *p = r->inputs;

    if (!room(r, &p, &r->input_cap, r->input_count, sizeof *r->inputs))
        return;
    r->inputs = p;
    r->inputs[r->input_count++] = (struct report_input){copy(r, name), book, read, refused, whole};
}

void report_add_code_set(struct report *r, const char *id, const char *title, const char *edition)
{
    void *p = r->code_sets;

    if (!room(r, &p, &r->code_set_cap, r->code_set_count, sizeof *r->code_sets))
        return;
    r->code_sets = p;
    r->code_sets[r->code_set_count++] =
        (struct report_code_set){copy(r, id), copy(r, title), copy(r, edition)};
}

void report_add_replacement(struct report *r, const char *text)
{
    add_string(r, &r->replacements, &r->replacement_count, &r->replacement_cap, text);
}

void report_add_note(struct report *r, const char *text)
{
    add_string(r, &r->notes, &r->note_count, &r->note_cap, text);
}

void report_add_incomplete(struct report *r, const char *reason)
{
    add_string(r, &r->incomplete, &r->incomplete_count, &r->incomplete_cap, reason);
}

/* --- tables ------------------------------------------------------------------------------------
 */

struct report_table *report_add_table(struct report *r, const char *name, const char *title,
                                      const char *note, enum report_table_style style)
{
    struct report_table *t;
    void *p = r->tables;

    if (!room(r, &p, &r->table_cap, r->table_count, sizeof(struct report_table *)))
        return NULL;
    r->tables = p;
    t = mem_calloc(1, sizeof *t);
    if (t == NULL) {
        r->failed = true;
        return NULL;
    }
    t->name = copy(r, name);
    t->title = copy(r, title);
    t->note = copy(r, note);
    t->style = style;
    r->tables[r->table_count++] = t;
    return t;
}

void report_table_title(struct report *r, struct report_table *t, const char *title,
                        const char *note)
{
    if (t == NULL)
        return;
    mem_free(t->title);
    mem_free(t->note);
    t->title = copy(r, title);
    t->note = copy(r, note);
}

void report_column(struct report *r, struct report_table *t, const char *name, const char *head,
                   const char *unit, enum report_align align)
{
    void *p;

    if (t == NULL)
        return;
    assert(t->cell_count == 0);
    p = t->columns;
    if (!room(r, &p, &t->column_cap, t->column_count, sizeof *t->columns))
        return;
    t->columns = p;
    t->columns[t->column_count++] =
        (struct report_column){copy(r, name), copy(r, head), copy(r, unit), align};
}

static void add_cell(struct report *r, struct report_table *t, const char *text, double number)
{
    void *p;

    if (t == NULL)
        return;
    p = t->cells;
    if (!room(r, &p, &t->cell_cap, t->cell_count, sizeof *t->cells))
        return;
    t->cells = p;
    t->cells[t->cell_count++] = (struct report_cell){copy(r, text), number};
}

void report_cell(struct report *r, struct report_table *t, const char *text)
{
    add_cell(r, t, text, NAN);
}

void report_cell_number(struct report *r, struct report_table *t, double number, int decimals,
                        const char *text)
{
    struct sbuf b = SBUF_INIT;

    if (text != NULL || isnan(number)) {
        add_cell(r, t, text, number);
        return;
    }
    sbuf_fixed(&b, number, decimals);
    if (b.failed)
        r->failed = true;
    add_cell(r, t, b.s, number);
    sbuf_free(&b);
}

void report_cell_count(struct report *r, struct report_table *t, unsigned long n)
{
    report_cell_number(r, t, (double)n, 0, NULL);
}

void report_pair(struct report *r, struct report_table *t, const char *label, const char *text)
{
    if (t == NULL || text == NULL || text[0] == '\0')
        return;
    assert(t->style == TABLE_PAIRS);
    if (t->column_count == 0) {
        report_column(r, t, "label", NULL, NULL, ALIGN_LEFT);
        report_column(r, t, "text", NULL, NULL, ALIGN_LEFT);
    }
    report_cell(r, t, label);
    report_cell(r, t, text);
}

void report_put_head(struct sbuf *out, const struct report_column *c)
{
    if (c->head != NULL)
        sbuf_puts(out, c->head);
    for (const char *p = c->head == NULL ? c->name : ""; p != NULL && *p != '\0'; p++)
        sbuf_putc(out, *p == '-' ? ' ' : *p);
}

size_t report_row_count(const struct report_table *t)
{
    return t == NULL || t->column_count == 0 ? 0 : t->cell_count / t->column_count;
}

const struct report_table *report_table_find(const struct report *r, const char *name)
{
    for (size_t i = 0; i < r->table_count; i++)
        if (str_eq(r->tables[i]->name, name))
            return r->tables[i];
    return NULL;
}
