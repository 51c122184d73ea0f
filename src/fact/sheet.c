#include "text/base.h"

#include "fact/fact.h"
#include "fact/sheet.h"
#include "text/file.h"
#include "text/mem.h"
#include "text/utf8.h"
#include "text/xmldoc.h"

enum { FACT_NAME_BYTES = 64 };

static void column_clear(struct fact_column *c)
{
    mem_free(c->name);
    mem_free(c->label);
    mem_free(c->unit);
    mem_free(c->meaning);
    mem_free(c->empty);
    mem_free(c->from);
    mem_free(c->partial);
}

void sheet_free(struct fact_sheet *s)
{
    if (!s)
        return;
    for (size_t i = 0; i < s->column_count; i++)
        column_clear(&s->columns[i]);
    mem_free(s->columns);
    mem_free(s->name);
    mem_free(s->row);
    mem_free(s->file);
    mem_free(s->sql);
    mem_free(s->kind);
    mem_free(s->subject);
    mem_free(s->lot);
    mem_free(s->key);
    mem_free(s);
}

int fact_column_index(const struct fact_sheet *s, const char *name)
{
    for (size_t i = 0; name && i < s->column_count; i++)
        if (s->columns[i].name[0] == name[0] && strcmp(s->columns[i].name, name) == 0)
            return (int)i;
    return -1;
}

/* "air_changes_per_h" -> "air changes per h": better than nothing when no label was given. */
static char *label_from_name(const char *name)
{
    char *label = mem_strdup(name);
    for (char *p = label; p && *p; p++)
        if (*p == '_')
            *p = ' ';
    return label;
}

/* The text of the element without that of its <empty> child. */
static char *own_text(const xmlNode *n)
{
    struct sbuf b = SBUF_INIT;
    for (const xmlNode *c = n->children; c; c = c->next)
        if (c->type == XML_TEXT_NODE)
            sbuf_puts(&b, (const char *)c->content);
    char *text = sbuf_take(&b);
    size_t len = 0;
    for (const char *p = text; p && *p; p++) {
        if (!ascii_space(*p))
            text[len++] = *p;
        else if (len > 0 && text[len - 1] != ' ')
            text[len++] = ' ';
    }
    while (text && len > 0 && text[len - 1] == ' ')
        len--;
    if (text)
        text[len] = '\0';
    return text;
}

static bool copy_attr(const xmlNode *n, const char *name, char **out)
{
    const char *v = xmldoc_attr(n, name);
    if (!v || !*v)
        return true;
    *out = mem_strdup(v);
    return *out != NULL;
}

static bool read_column(struct fact_sheet *s, const xmlNode *n, struct diags *d)
{
    struct fact_column *c = &s->columns[s->column_count];
    const xmlNode *empty = xmldoc_first(n, "empty");
    if (!xmldoc_only_attrs(n, "name label unit from partial", s->file, d))
        return false;
    s->column_count++;
    bool ok = copy_attr(n, "name", &c->name) && copy_attr(n, "label", &c->label) &&
              copy_attr(n, "unit", &c->unit) && copy_attr(n, "from", &c->from) &&
              copy_attr(n, "partial", &c->partial);
    c->meaning = own_text(n);
    if (empty)
        c->empty = xmldoc_text(empty);
    if (ok && c->name && !c->label)
        c->label = label_from_name(c->name);
    if (!ok || !c->meaning || (empty && !c->empty) || (c->name && !c->label)) {
        diags_out_of_memory(d);
        return false;
    }
    if (!c->name || !*c->meaning) {
        diags_add(d, DIAG_ERROR, "bad-fact", s->file, xmldoc_line(n), 0, NULL,
                  "a column has no name or no meaning");
        return false;
    }
    return true;
}

/* Names become those of tables and columns, unquoted. */
static bool is_name(const char *s)
{
    bool ok = ascii_lower(*s) && strlen(s) < FACT_NAME_BYTES;
    for (; ok && *s; s++)
        ok = ascii_lower(*s) || ascii_digit(*s) || *s == '_';
    return ok;
}

static bool plain_names(const struct fact_sheet *s, struct diags *d)
{
    const char *bad = is_name(s->name) ? NULL : s->name;
    for (size_t i = 0; i < s->column_count && !bad; i++)
        if (!is_name(s->columns[i].name))
            bad = s->columns[i].name;
    if (bad)
        diags_add(d, DIAG_ERROR, "bad-fact", s->file, 1, 0,
                  "write it in small letters, digits and _, a letter first",
                  "'%s' is no name for a fact or a column", bad);
    return !bad;
}

static bool check_names(const struct fact_sheet *s, struct diags *d)
{
    bool ok = true;
    if (s->alone && !s->lot) {
        diags_add(d, DIAG_ERROR, "bad-fact", s->file, 1, 0, NULL,
                  "fact '%s': alone=\"yes\" needs a lot", s->name);
        ok = false;
    }
    const char *const wanted[] = {s->subject, s->lot};
    for (size_t i = 0; i < LW_COUNT(wanted); i++)
        if (wanted[i] && fact_column_index(s, wanted[i]) < 0) {
            diags_add(d, DIAG_ERROR, "bad-fact", s->file, 1, 0, NULL, "fact '%s': no column '%s'",
                      s->name, wanted[i]);
            ok = false;
        }
    for (size_t i = 0; i < s->column_count; i++)
        if (s->columns[i].partial && fact_column_index(s, s->columns[i].partial) < 0) {
            diags_add(d, DIAG_ERROR, "bad-fact", s->file, 1, 0, NULL, "fact '%s': no column '%s'",
                      s->name, s->columns[i].partial);
            ok = false;
        }
    return ok;
}

static bool read_body(struct fact_sheet *s, const xmlNode *root, struct diags *d)
{
    bool ok = true;
    size_t count = 0;
    for (const xmlNode *n = xmldoc_first(root, "column"); n; n = xmldoc_next(n, "column"))
        count++;
    s->columns = mem_calloc(count ? count : 1, sizeof *s->columns);
    if (!s->columns || !copy_attr(root, "name", &s->name) || !copy_attr(root, "row", &s->row) ||
        !copy_attr(root, "kind", &s->kind) || !copy_attr(root, "subject", &s->subject) ||
        !copy_attr(root, "lot", &s->lot) || !copy_attr(root, "key", &s->key)) {
        diags_out_of_memory(d);
        return false;
    }
    s->alone = str_eq(xmldoc_attr(root, "alone"), "yes");
    for (const xmlNode *n = xmldoc_first(root, "column"); n; n = xmldoc_next(n, "column"))
        ok = read_column(s, n, d) && ok;
    const xmlNode *sql = xmldoc_first(root, "sql");
    if (sql) {
        s->sql = xmldoc_raw_text(sql);
        s->sql_line = xmldoc_line(sql);
    }
    if (ok && (!s->name || !s->row || !s->kind || !s->subject || !s->sql || count == 0)) {
        diags_add(d, DIAG_ERROR, "bad-fact", s->file, 1, 0, NULL,
                  "a fact needs name, row, kind, subject, columns and sql");
        ok = false;
    }
    return ok && plain_names(s, d) && check_names(s, d);
}

struct fact_sheet *sheet_read(const char *path, struct diags *d)
{
    struct fact_sheet *s = NULL;
    xmlDoc *doc = xmldoc_read(path, d);
    const xmlNode *root = doc ? xmlDocGetRootElement(doc) : NULL;
    if (!root)
        goto out;
    if (!xmldoc_is(root, "fact")) {
        diags_add(d, DIAG_ERROR, "bad-fact", path, xmldoc_line(root), 0, NULL,
                  "the outermost element is '%s', not 'fact'", (const char *)root->name);
        goto out;
    }
    s = mem_calloc(1, sizeof *s);
    if (s)
        s->file = mem_strdup(path);
    if (!s || !s->file) {
        diags_out_of_memory(d);
        sheet_free(s);
        s = NULL;
        goto out;
    }
    if (!xmldoc_only_attrs(root, "name row kind subject lot key alone", path, d) ||
        !read_body(s, root, d)) {
        sheet_free(s);
        s = NULL;
    }
out:
    xmldoc_free(doc);
    return s;
}
