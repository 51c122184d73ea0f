/* record.c - a record as typed. */
#include "text/base.h"

#include "record/record.h"
#include "text/mem.h"
#include "text/utf8.h"

const struct record_context RECORD_CANONICAL = {UNITS_UNDECLARED, NUMBER_POINT, false};

struct record *record_new(const struct dict_element *e, const char *file, long line)
{
    struct record *r = mem_calloc(1, sizeof *r);

    if (r == NULL) {
        return NULL;
    }
    r->element = e;
    r->line = line;
    r->values = mem_calloc(e->attr_count + 1, sizeof *r->values);
    if (file != NULL) {
        r->file = mem_strdup(file);
    }
    if (r->values == NULL || (file != NULL && r->file == NULL)) {
        record_free(r);
        return NULL;
    }
    return r;
}

/* Recursion is bounded by the dictionary's own depth. */
void record_free(struct record *r)
{
    if (r == NULL) {
        return;
    }
    for (size_t i = 0; r->values != NULL && i < r->element->attr_count; i++) {
        mem_free(r->values[i]);
    }
    for (size_t i = 0; i < r->child_count; i++) {
        record_free(r->children[i]);
    }
    mem_free(r->children);
    mem_free(r->values);
    mem_free(r->file);
    mem_free(r->parent_id);
    mem_free(r);
}

bool record_set_at(struct record *r, size_t attr, const char *value, size_t n)
{
    char *copy = NULL;

    while (n > 0 && ascii_space((unsigned char)value[0])) {
        value++;
        n--;
    }
    while (n > 0 && ascii_space((unsigned char)value[n - 1])) {
        n--;
    }
    if (n > 0 && (copy = mem_strndup(value, n)) == NULL) {
        return false;
    }
    mem_free(r->values[attr]);
    r->values[attr] = copy;
    return true;
}

bool record_set(struct record *r, const char *attr, const char *value)
{
    int i = dict_attr_index(r->element, attr);

    if (i < 0) {
        return false;
    }
    return record_set_at(r, (size_t)i, value != NULL ? value : "",
                         value != NULL ? strlen(value) : 0);
}

const char *record_get(const struct record *r, const char *attr)
{
    int i = dict_attr_index(r->element, attr);

    return i < 0 ? NULL : r->values[i];
}

const char *record_id(const struct record *r)
{
    return r->values[0];
}

bool record_add_child(struct record *r, struct record *child)
{
    struct record **grown = r->children;

    if (r->child_count == r->child_cap) {
        grown = mem_grow(r->children, &r->child_cap, r->child_count + 1, sizeof *grown);
        if (grown == NULL) {
            return false;
        }
        r->children = grown;
    }
    r->children[r->child_count++] = child;
    return true;
}
