/* csv_map.c - the mapping file of a spreadsheet. */
#include "text/base.h"

#include "record/csv_map.h"
#include "text/file.h"
#include "text/mem.h"
#include "text/sbuf.h"
#include "text/utf8.h"

enum { MAP_BYTES = 1024 * 1024 };

struct entry {
    char *heading, *attr, *unit; /* heading NULL: a setting, attr its name, unit its value */
    long line;
};

struct csv_map {
    struct entry *items;
    size_t count, cap;
};

void csv_map_free(struct csv_map *m)
{
    if (m == NULL)
        return;
    for (size_t i = 0; i < m->count; i++) {
        mem_free(m->items[i].heading);
        mem_free(m->items[i].attr);
        mem_free(m->items[i].unit);
    }
    mem_free(m->items);
    mem_free(m);
}

static char *trimmed(const char *s, size_t n)
{
    while (n > 0 && ascii_space((unsigned char)*s)) {
        s++;
        n--;
    }
    while (n > 0 && ascii_space((unsigned char)s[n - 1]))
        n--;
    return mem_strndup(s, n);
}

static bool add(struct csv_map *m, struct entry e)
{
    void *p = mem_grow(m->items, &m->cap, m->count + 1, sizeof *m->items);

    if (p == NULL || e.attr == NULL) {
        mem_free(e.heading);
        mem_free(e.attr);
        mem_free(e.unit);
        m->items = p != NULL ? p : m->items;
        return false;
    }
    m->items = p;
    m->items[m->count++] = e;
    return true;
}

static bool is_setting(const char *name)
{
    return str_eq(name, "kind") || str_eq(name, "units") || str_eq(name, "decimal");
}

static bool bad_line(struct diags *d, const char *path, long line)
{
    diags_add(d, DIAG_FATAL, "bad-mapping", path, line, 0,
              "write 'Heading = attribute', 'Heading = attribute, unit', 'Heading = -' or 'kind: "
              "receipt'",
              "this line of the mapping is not understood");
    return false;
}

/* One line without its line feed. */
static bool take_line(struct csv_map *m, const char *s, size_t n, const char *path, long line,
                      struct diags *d)
{
    struct entry e = {.line = line};
    const char *equals = memchr(s, '=', n), *colon = memchr(s, ':', n);
    const char *end = s + n, *comma;
    bool empty = true;

    for (size_t i = 0; i < n && empty; i++)
        empty = ascii_space((unsigned char)s[i]);
    if (empty || *s == '#')
        return true;
    if (equals == NULL && colon != NULL) {
        e.attr = trimmed(s, (size_t)(colon - s));
        e.unit = trimmed(colon + 1, (size_t)(end - colon - 1));
        if (e.attr != NULL && !is_setting(e.attr)) {
            mem_free(e.attr);
            mem_free(e.unit);
            return bad_line(d, path, line);
        }
    } else if (equals != NULL) {
        comma = memchr(equals, ',', (size_t)(end - equals));
        e.heading = trimmed(s, (size_t)(equals - s));
        e.attr = trimmed(equals + 1, (size_t)((comma != NULL ? comma : end) - equals - 1));
        if (comma != NULL)
            e.unit = trimmed(comma + 1, (size_t)(end - comma - 1));
        if (e.attr != NULL && e.attr[0] == '\0') {
            mem_free(e.heading);
            mem_free(e.attr);
            mem_free(e.unit);
            return bad_line(d, path, line);
        }
    } else {
        return bad_line(d, path, line);
    }
    if (!add(m, e)) {
        diags_out_of_memory(d);
        return false;
    }
    return true;
}

struct csv_map *csv_map_read(const char *path, struct diags *d)
{
    struct csv_map *m = mem_calloc(1, sizeof *m);
    struct sbuf text = SBUF_INIT;
    bool ok = m != NULL && file_read(path, MAP_BYTES, &text, d);
    const char *s = text.s;
    long line = 1;

    if (m == NULL)
        diags_out_of_memory(d);
    if (ok && strncmp(s, "\xEF\xBB\xBF", 3) == 0)
        s += 3;
    while (ok && *s != '\0') {
        size_t n = strcspn(s, "\n");

        ok = take_line(m, s, n, path, line++, d);
        s += n + (s[n] == '\n' ? 1 : 0);
    }
    sbuf_free(&text);
    if (!ok) {
        csv_map_free(m);
        m = NULL;
    }
    return m;
}

const char *csv_map_setting(const struct csv_map *m, const char *name)
{
    for (size_t i = 0; m != NULL && i < m->count; i++)
        if (m->items[i].heading == NULL && str_eq(m->items[i].attr, name))
            return m->items[i].unit;
    return NULL;
}

bool csv_map_find(const struct csv_map *m, const char *heading, const char **attr,
                  const char **unit)
{
    char *name = m != NULL ? trimmed(heading, strlen(heading)) : NULL;
    bool found = false;

    for (size_t i = 0; name != NULL && !found && i < m->count; i++) {
        if (m->items[i].heading == NULL || ascii_casecmp(m->items[i].heading, name) != 0)
            continue;
        *attr = m->items[i].attr;
        *unit = m->items[i].unit;
        found = true;
    }
    mem_free(name);
    return found;
}

bool csv_map_bare(const char *s)
{
    bool digit = false;

    for (; *s != '\0'; s++) {
        bool is_digit = *s >= '0' && *s <= '9';
        if (!is_digit && strchr(" +-.,", *s) == NULL) {
            return false;
        }
        digit = digit || is_digit;
    }
    return digit;
}
