/* book_export.c - records of the book as XML or CSV. */
#include "text/base.h"

#include <sys/stat.h>
#include <unistd.h>

#include "command/book_export.h"
#include "record/export.h"
#include "text/utf8.h"

enum { OWNER_ONLY = 0700 };

static void say_cannot(struct session *s, const char *path)
{
    diags_add(s->diags, DIAG_FATAL, "cannot-write", path, 0, 0,
              errno == EEXIST ? "name a folder without such files" : NULL, "cannot be written: %s",
              strerror(errno));
}

static bool print_record(const struct ledger_entry *e, void *user)
{
    struct session *s = user;
    struct sbuf line = SBUF_INIT;
    utf8_put_references(&line, e->xml, strlen(e->xml));
    sbuf_putc(&line, '\n');
    if (line.failed)
        diags_out_of_memory(s->diags);
    session_write(s, line.s, line.len);
    bool ok = s->write_errno == 0 && !line.failed;
    sbuf_free(&line);
    return ok;
}

bool book_export_xml(struct session *s, struct ledger *l)
{
    static const char head[] = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<records>\n";
    static const char tail[] = "</records>\n";
    session_write(s, head, sizeof head - 1);
    if (!ledger_current(l, print_record, s, s->diags))
        return false;
    session_write(s, tail, sizeof tail - 1);
    return true;
}

struct table_file {
    struct session *s;
    const char *path;
    FILE *f; /* opened with the first piece: a kind without rows makes no file */
    bool failed;
};

static bool write_piece(const char *text, size_t n, void *user)
{
    struct table_file *t = user;
    if (t->f == NULL && !t->failed)
        t->f = fopen(t->path, "wx");
    if (t->f == NULL || fwrite(text, 1, n, t->f) != n) {
        if (!t->failed)
            say_cannot(t->s, t->path);
        t->failed = true;
    }
    return !t->failed;
}

static bool export_kind(struct session *s, const char *kind, const char *folder)
{
    struct sbuf path = SBUF_INIT, line = SBUF_INIT;
    unsigned long rows = 0;
    sbuf_printf(&path, "%s/%s.csv", folder, kind);
    struct table_file t = {.s = s, .path = path.s};
    bool ok = !path.failed && export_csv(s->store, kind, write_piece, &t, &rows);
    if (t.f != NULL && fclose(t.f) != 0 && !t.failed) {
        say_cannot(s, path.s);
        t.failed = true;
    }
    if (ok && rows > 0) {
        utf8_put_clean(&line, path.s, false);
        sbuf_printf(&line, ": %lu row%s\n", rows, rows == 1 ? "" : "s");
        session_write(s, line.s, line.len);
    }
    if (path.failed || line.failed)
        diags_out_of_memory(s->diags);
    ok = ok && !t.failed && !path.failed && !line.failed;
    sbuf_free(&path);
    sbuf_free(&line);
    return ok;
}

bool book_export_csv(struct session *s, struct ledger *l, const char *folder)
{
    struct ledger_load_counts counts;
    size_t count;
    const struct dict_element *elements = dict_elements(&count);
    bool ok = true;
    s->store = store_new(s->diags);
    if (s->store == NULL)
        return false;
    store_set_origin(s->store, "book");
    if (!ledger_load(l, store_sink, s->store, &counts, s->diags) || counts.refused > 0)
        return false;
    if (mkdir(folder, OWNER_ONLY) != 0 && errno != EEXIST) {
        say_cannot(s, folder);
        return false;
    }
    for (size_t i = 0; ok && i < count; i++)
        if (elements[i].parent != NULL)
            ok = export_kind(s, elements[i].name, folder);
    return ok;
}
