/* filing.c - record files into the book, all or nothing, or the good ones with a list of the
 * others.
 *
 * XML files go from the reader straight to the book, a record at a time. A CSV file may hold child
 * rows of records that come later, so when there is one, everything is gathered in a store first.
 * So it is for a dry run, which must see two records of the same call that disagree. */
#include "text/base.h"

#include <unistd.h>

#include "command/filing.h"
#include "command/refused.h"
#include "record/csv_map.h"
#include "record/reader.h"
#include "text/date.h"
#include "text/file.h"
#include "text/mem.h"
#include "text/utf8.h"

enum { REFUSED_FILE_BYTES = 1 << 30 }; /* largest file whose refused records are listed */

struct filing {
    struct session *s;
    const struct filing_options *o;
    struct ledger *book; /* NULL: a dry run without a book */
    struct store *store; /* NULL: straight to the book */
    struct csv_map *map; /* NULL: none */
    unsigned long added, same, refused, unread;
    size_t file; /* the one being read */
    struct taken taken;
    bool broken; /* disk, lock or memory: nothing can be kept */
};

char *utc_stamp(char out[UTC_STAMP_BYTES])
{
    enum { DAY_S = 86400, HOUR_S = 3600, MINUTE_S = 60 };
    char day[11], text[64];
    long long now = (long long)time(NULL);
    int left = (int)(now % DAY_S);
    date_format((long)(now / DAY_S), day);
    snprintf(text, sizeof text, "%sT%02d:%02d:%02dZ", day, left / HOUR_S, left % HOUR_S / MINUTE_S,
             left % MINUTE_S);
    memcpy(out, text, UTC_STAMP_BYTES - 1);
    out[UTC_STAMP_BYTES - 1] = '\0';
    return out;
}

enum exit_status book_status(const struct session *s)
{
    static const char *const trouble[] = {"book-io", "book-busy", "book-permission"};
    if (diags_oom(s->diags))
        return STATUS_TROUBLE;
    for (size_t i = 0; i < diags_count(s->diags); i++)
        for (size_t k = 0; k < LW_COUNT(trouble); k++)
            if (str_eq(diags_at(s->diags, i)->code, trouble[k]))
                return STATUS_TROUBLE;
    return STATUS_INPUT;
}

struct ledger *open_book(struct session *s, enum ledger_mode mode, enum exit_status *status)
{
    const char *path = option_text(&s->options, "book");
    struct ledger *l = NULL;
    if (path == NULL) {
        *status = session_usage(s, "--book workroom.book", "name the book");
        return NULL;
    }
    l = ledger_open(path, mode, s->diags);
    *status = l == NULL ? book_status(s) : STATUS_CLEAN;
    return l;
}

/* ---- one record ---- */

static size_t file_number(const struct session *s, const char *path)
{
    size_t i = 0;
    while (i < s->file_count && !str_eq(s->files[i], path))
        i++;
    return i;
}

/* Remembers where a record that was taken stands, for the list of those that were not. */
static void took(struct filing *f, const struct record *r)
{
    if (f->o->keep_good == NULL)
        return;
    if (!taken_add(&f->taken, f->store == NULL ? f->file : file_number(f->s, r->file), r->line)) {
        diags_out_of_memory(f->s->diags);
        f->broken = true;
    }
}

static void show(struct filing *f, const struct record *r, const struct record_context *ctx,
                 const char *what)
{
    struct sbuf b = SBUF_INIT, xml = SBUF_INIT;
    record_canonical_xml(r, ctx, &xml);
    utf8_put_clean(&b, r->file ? r->file : "", false);
    sbuf_printf(&b, ":%ld: %s %s: %s\n    ", r->line, r->element->name, record_id(r), what);
    utf8_put_clean(&b, xml.s, false);
    sbuf_putc(&b, '\n');
    if (b.failed || xml.failed) {
        diags_out_of_memory(f->s->diags);
        f->broken = true;
    }
    session_write(f->s, b.s, b.len);
    sbuf_free(&b);
    sbuf_free(&xml);
}

static void put_in_book(struct filing *f, const struct record *r, const struct record_context *ctx)
{
    enum ledger_outcome outcome =
        f->book == NULL ? LEDGER_ADDED : ledger_add(f->book, r, ctx, f->s->diags);
    const char *what = "refused, see the message";
    switch (outcome) {
    case LEDGER_ADDED:
        f->added++;
        what = f->o->action == LEDGER_AMEND ? "would be amended" : "would be filed";
        took(f, r);
        break;
    case LEDGER_SAME:
        f->same++;
        what = "in the book already";
        took(f, r);
        break;
    case LEDGER_CHANGED:
    case LEDGER_UNKNOWN:
    case LEDGER_REFUSED:
        f->refused++;
        break;
    case LEDGER_FAILED:
        f->broken = true;
        return;
    }
    if (f->o->dry)
        show(f, r, ctx, what);
}

/* record_sink, straight to the book. */
static bool to_book(struct record *r, const struct record_context *ctx, void *user)
{
    struct filing *f = user;
    put_in_book(f, r, ctx);
    record_free(r);
    return !f->broken;
}

/* record_sink, into the store. */
static bool to_store(struct record *r, const struct record_context *ctx, void *user)
{
    struct filing *f = user;
    switch (store_add(f->store, r, ctx, f->s->diags)) {
    case STORE_ADDED:
        if (r->parent_id != NULL)
            took(f, r);
        break;
    case STORE_SAME:
        f->same++;
        took(f, r);
        break;
    case STORE_CONFLICT:
    case STORE_REFUSED:
        f->refused++;
        break;
    case STORE_FAILED:
        f->broken = true;
        break;
    }
    record_free(r);
    return !f->broken;
}

static bool from_store(const struct record *r, void *user)
{
    struct filing *f = user;
    put_in_book(f, r, &RECORD_CANONICAL);
    return !f->broken;
}

/* ---- all files ---- */

static bool is_table(const char *path)
{
    size_t n = strlen(path);
    return n >= 4 && (strcmp(path + n - 4, ".csv") == 0 || strcmp(path + n - 4, ".tsv") == 0);
}

static bool needs_store(const struct filing *f)
{
    for (size_t i = 0; i < f->s->file_count; i++)
        if (is_table(f->s->files[i]))
            return true;
    return f->o->dry;
}

static void read_files(struct filing *f)
{
    struct session *s = f->s;
    for (f->file = 0; f->file < s->file_count && !f->broken; f->file++) {
        struct reader_counts counts = {.whole = true};
        bool usable = reader_file_mapped(
            s->files[f->file], f->map, f->store != NULL ? to_store : to_book, f, &counts, s->diags);
        f->refused += counts.refused;
        if ((!usable || !counts.whole) && !f->broken)
            f->unread++;
    }
    if (diags_oom(s->diags))
        f->broken = true;
}

/* Rows without their parents are refused; what a record refers to may be in the book, so that a
 * reference that dangles here is not told. */
static void settle_store(struct filing *f)
{
    struct diags *heard = diags_new();
    unsigned long before = store_counts(f->store).refused;
    if (heard == NULL || !store_finish(f->store, heard))
        f->broken = true;
    if (heard == NULL || diags_oom(heard))
        diags_out_of_memory(f->s->diags);
    for (size_t i = 0; heard != NULL && i < diags_count(heard); i++) {
        const struct diag *x = diags_at(heard, i);
        if (x->level >= DIAG_ERROR)
            diags_add(f->s->diags, x->level, x->code, x->file, x->line, x->column, x->hint, "%s",
                      x->message);
    }
    f->refused += store_counts(f->store).refused - before;
    diags_free(heard);
    if (!f->broken && !store_each(f->store, NULL, from_store, f))
        f->broken = true;
    if (f->broken && diags_count_level(f->s->diags, DIAG_FATAL) == 0)
        diags_out_of_memory(f->s->diags);
}

static bool take_in(struct filing *f)
{
    if (needs_store(f)) {
        f->store = store_new(f->s->diags);
        if (f->store == NULL)
            return false;
        store_set_origin(f->store, "file");
    }
    read_files(f);
    if (f->store != NULL && !f->broken)
        settle_store(f);
    return !f->broken;
}

/* ---- afterwards ---- */

static const char *plural(unsigned long n)
{
    return n == 1 ? "" : "s";
}

static bool write_whole(struct session *s, const char *path, const struct sbuf *b)
{
    FILE *f = b->failed ? NULL : fopen(path, "wx");
    bool ok = f != NULL && fwrite(b->s, 1, b->len, f) == b->len;
    int kept = errno;
    if (f != NULL && fclose(f) != 0) {
        kept = errno;
        ok = false;
    }
    if (b->failed)
        diags_out_of_memory(s->diags);
    else if (!ok)
        diags_add(s->diags, DIAG_FATAL, "cannot-write", path, 0, 0, NULL,
                  "the list of refused records could not be written: %s", strerror(kept));
    return ok;
}

/* Written before the good ones are made durable: a list that cannot be written loses nothing. */
static bool list_refused(struct filing *f)
{
    struct session *s = f->s;
    struct sbuf out = SBUF_INIT, text = SBUF_INIT;
    bool ok = true;
    sbuf_puts(&out, "# Records that were not filed, each with its reasons, as they stand in their "
                    "files.\n# Correct them there and file the whole again: what is in the book "
                    "already is left alone.\n\n");
    taken_sort(&f->taken);
    for (size_t i = 0; ok && i < s->file_count; i++) {
        sbuf_clear(&text);
        /* A file that could not even be read has said so already. */
        if (file_read(s->files[i], REFUSED_FILE_BYTES, &text, NULL))
            (void)refused_list(s->files[i], i, text.s, text.len, &f->taken, s->diags, &out);
        ok = !text.failed;
    }
    ok = write_whole(s, f->o->keep_good, &out) && ok;
    sbuf_free(&out);
    sbuf_free(&text);
    return ok;
}

/* The last line says what is missing. */
static void tell_missing(struct filing *f, bool kept)
{
    struct sbuf b = SBUF_INIT;
    if (f->unread > 0)
        sbuf_printf(&b, "%lu file%s could not be read to the end", f->unread, plural(f->unread));
    if (f->refused > 0)
        sbuf_printf(&b, "%s%lu record%s refused", b.len > 0 ? ", " : "", f->refused,
                    plural(f->refused));
    sbuf_puts(&b, f->o->dry ? "; nothing was written (--try)"
                  : kept    ? "; listed in "
                            : "; nothing was filed");
    if (kept)
        utf8_put_clean(&b, f->o->keep_good, false);
    session_show_diags(f->s);
    sbuf_puts(&b, kept || f->o->dry || f->o->action != LEDGER_FILE
                      ? "\n"
                      : " (--keep-good FILE files the others and lists these)\n");
    session_write(f->s, b.s, b.len);
    sbuf_free(&b);
}

static void tell_done(struct filing *f, const char *head)
{
    struct sbuf b = SBUF_INIT;
    const char *verb = f->o->action == LEDGER_AMEND ? "amended" : "filed";
    if (option_text(&f->s->options, "book") != NULL) {
        utf8_put_clean(&b, option_text(&f->s->options, "book"), false);
        sbuf_puts(&b, ": ");
    }
    sbuf_printf(&b, "%lu record%s %s%s, %lu there already\n", f->added, plural(f->added),
                f->o->dry ? "would be " : "", verb, f->same);
    if (head != NULL)
        sbuf_printf(&b, "head: %s\n", head);
    session_write(f->s, b.s, b.len);
    sbuf_free(&b);
}

static enum exit_status finish(struct filing *f)
{
    struct session *s = f->s;
    bool short_of = f->refused > 0 || f->unread > 0;
    bool keep = f->o->keep_good != NULL && f->added + f->same > 0;
    char head[SHA256_HEX + 1] = "";
    if (short_of && !keep) {
        ledger_rollback(f->book);
        if (f->o->dry)
            tell_done(f, NULL);
        tell_missing(f, false);
        return STATUS_INPUT;
    }
    if (short_of && !f->o->dry && !list_refused(f))
        return STATUS_TROUBLE;
    if (f->book != NULL) {
        ledger_head(f->book, head);
        if (!ledger_commit(f->book, s->diags)) {
            if (short_of && !f->o->dry)
                (void)unlink(f->o->keep_good);
            return session_trouble(s);
        }
    }
    tell_done(f, f->o->dry || f->book == NULL ? NULL : head);
    if (short_of)
        tell_missing(f, !f->o->dry);
    return short_of ? STATUS_TROUBLE : STATUS_CLEAN;
}

static enum exit_status begin(struct filing *f)
{
    struct session *s = f->s;
    const struct filing_options *o = f->o;
    char stamp[UTC_STAMP_BYTES];
    enum exit_status status = STATUS_CLEAN;
    const char *path = option_text(&s->options, "book");
    struct ledger_stamp st = {
        .action = o->action, .filed = utc_stamp(stamp), .who = o->who, .why = o->why};
    if (s->file_count == 0)
        return session_usage(s, "lotward file --book workroom.book records.xml",
                             "name the record files");
    if (o->keep_good != NULL && access(o->keep_good, F_OK) == 0)
        return session_usage(s, "give a name that is not in use",
                             "--keep-good: '%s' exists and is not overwritten", o->keep_good);
    if (o->dry && o->action == LEDGER_FILE && (path == NULL || access(path, F_OK) != 0))
        return STATUS_CLEAN; /* every record would be new */
    f->book = open_book(s,
                        o->dry                     ? LEDGER_READ
                        : o->action == LEDGER_FILE ? LEDGER_CREATE
                                                   : LEDGER_WRITE,
                        &status);
    if (f->book == NULL)
        return status;
    if (!(o->dry ? ledger_begin_dry : ledger_begin)(f->book, &st, s->diags))
        return book_status(s);
    return STATUS_CLEAN;
}

enum exit_status filing_run(struct session *s, const struct filing_options *o)
{
    struct filing f = {.s = s, .o = o};
    enum exit_status status = STATUS_CLEAN;
    if (o->map != NULL && (f.map = csv_map_read(o->map, s->diags)) == NULL)
        return diags_oom(s->diags) ? STATUS_TROUBLE : STATUS_INPUT;
    status = begin(&f);
    if (status == STATUS_CLEAN && !take_in(&f))
        status = session_trouble(s);
    else if (status == STATUS_CLEAN)
        status = finish(&f);
    ledger_close(f.book);
    store_free(f.store);
    taken_free(&f.taken);
    csv_map_free(f.map);
    return status;
}
