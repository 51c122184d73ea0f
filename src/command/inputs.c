/* inputs.c - record files and the book, into the store. */
#include "text/base.h"

#include <sys/stat.h>

#include "command/corrections.h"
#include "command/scans.h"
#include "command/session.h"
#include "ledger/ledger.h"
#include "record/reader.h"
#include "text/file.h"
#include "text/mem.h"
#include "text/utf8.h"

static const char *const suffixes[] = {".csv", ".tsv", ".xml"};

static bool ends_in(const char *name, const char *suffix)
{
    size_t n = strlen(name), m = strlen(suffix);

    return n >= m && strcmp(name + n - m, suffix) == 0;
}

static bool is_record_file(const char *name)
{
    struct stat st;

    for (size_t i = 0; i < LW_COUNT(suffixes); i++)
        if (ends_in(name, suffixes[i]))
            return true;
    return stat(name, &st) == 0;
}

/* Is it in the list already, under this name or another? */
static bool have_file(const struct session *s, const char *path)
{
    struct stat a, b;

    if (stat(path, &a) != 0)
        return false;
    for (size_t i = 0; i < s->file_count; i++)
        if (stat(s->files[i], &b) == 0 && a.st_dev == b.st_dev && a.st_ino == b.st_ino)
            return true;
    return false;
}

static bool add_file(struct session *s, const char *path)
{
    void *p;

    if (have_file(s, path))
        return true;
    p = mem_grow(s->files, &s->file_cap, s->file_count + 1, sizeof *s->files);
    if (p == NULL) {
        diags_out_of_memory(s->diags);
        return false;
    }
    s->files = p;
    s->files[s->file_count] = mem_strdup(path);
    if (s->files[s->file_count] == NULL) {
        diags_out_of_memory(s->diags);
        return false;
    }
    s->file_count++;
    return true;
}

static int by_name(const void *a, const void *b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

/* The record files of a folder, in order of their names; folders inside it are not entered. */
static bool add_folder(struct session *s, const char *dir)
{
    size_t first = s->file_count, found = 0;
    bool ok = true;

    for (size_t i = 0; ok && i < LW_COUNT(suffixes); i++) {
        char **names = NULL;
        size_t count = 0;

        ok = file_list(dir, suffixes[i], &names, &count, s->diags);
        found += count;
        for (size_t k = 0; k < count; k++) {
            struct sbuf path = SBUF_INIT;

            sbuf_printf(&path, "%s%s%s", dir, ends_in(dir, "/") ? "" : "/", names[k]);
            ok = ok && !path.failed && add_file(s, path.s);
            sbuf_free(&path);
            mem_free(names[k]);
        }
        mem_free(names);
    }
    if (ok && s->file_count > first)
        qsort(s->files + first, s->file_count - first, sizeof *s->files, by_name);
    if (ok && found == 0) {
        struct sbuf b = SBUF_INIT;

        diags_add(s->diags, DIAG_ERROR, "no-records", dir, 0, 0, NULL,
                  "no .xml, .csv or .tsv file in this folder");
        sbuf_printf(&b, "the folder %s holds no record file.", dir);
        report_add_incomplete(&s->report, b.s);
        ok = !b.failed;
        sbuf_free(&b);
    }
    return ok;
}

bool session_split_operands(struct session *s)
{
    const struct options *o = &s->options;
    bool all_files = (s->command->flags & TAKES_FILES) != 0;
    bool any_files = (s->command->flags & NEEDS_RECORDS) != 0;

    s->names = mem_calloc(o->operand_count + 1, sizeof *s->names);
    if (s->names == NULL) {
        diags_out_of_memory(s->diags);
        return false;
    }
    for (size_t i = 0; i < o->operand_count; i++) {
        const char *operand = o->operands[i];

        if (!all_files && !(any_files && is_record_file(operand)))
            s->names[s->name_count++] = operand;
        else if (!(file_is_dir(operand) ? add_folder(s, operand) : add_file(s, operand)))
            return false;
    }
    return true;
}

/* --- reading -----------------------------------------------------------------------------------
 */

struct intake {
    struct session *s;
    const char *origin; /* "file" or "book" */
    unsigned long read, refused;
    bool failed; /* the store broke */
};

static bool is_planned(const struct record *r)
{
    return str_eq(r->element->name, "batch") && str_eq(record_get(r, "state"), "planned");
}

/* record_sink: into the store, counting what was kept out. */
static bool take(struct record *r, const struct record_context *ctx, void *user)
{
    struct intake *in = user;

    store_set_origin(in->s->store, is_planned(r) ? "plan" : in->origin);
    switch (store_add(in->s->store, r, ctx, in->s->diags)) {
    case STORE_ADDED:
        in->read++;
        break;
    case STORE_SAME:
        break;
    case STORE_CONFLICT:
    case STORE_REFUSED:
        in->refused++;
        break;
    case STORE_FAILED:
        in->failed = true;
        break;
    }
    record_free(r);
    return !in->failed;
}

static bool read_file(struct session *s, const char *path)
{
    struct intake in = {.s = s, .origin = "file"};
    struct reader_counts counts = {.whole = true};
    bool usable = reader_file(path, take, &in, &counts, s->diags);
    bool whole = usable && counts.whole;

    in.refused += counts.refused;
    s->records_read += in.read;
    s->records_refused += in.refused;
    s->files_whole = s->files_whole && whole;
    report_add_input(&s->report, path, false, in.read, in.refused, whole);
    return !in.failed;
}

static enum exit_status read_book(struct session *s, const char *path)
{
    struct intake in = {.s = s, .origin = "book"};
    struct ledger_load_counts counts = {0};
    struct ledger *book = ledger_open(path, LEDGER_READ, s->diags);
    bool whole;

    if (book == NULL)
        return diags_oom(s->diags) ? STATUS_TROUBLE : STATUS_INPUT;
    whole = ledger_load(book, take, &in, &counts, s->diags);
    if (!in.failed && !corrections_read(s, book))
        in.failed = true;
    ledger_close(book);
    in.refused += counts.refused;
    s->records_read += in.read;
    s->records_refused += in.refused;
    report_add_input(&s->report, path, true, in.read, in.refused, whole);
    return in.failed ? session_trouble(s) : STATUS_CLEAN;
}

/* What was not read is said in the report's last lines. */
static void note_missing(struct session *s)
{
    for (size_t i = 0; i < s->report.input_count; i++) {
        const struct report_input *in = &s->report.inputs[i];
        struct sbuf b = SBUF_INIT;

        if (in->refused > 0)
            sbuf_printf(&b, "%lu record%s of %s not read", in->refused, in->refused == 1 ? "" : "s",
                        in->name);
        if (!in->whole)
            sbuf_printf(&b, "%s%s could not be read to its end", b.len > 0 ? "; " : "", in->name);
        if (b.len > 0) {
            sbuf_puts(&b, ". The messages above say why.");
            report_add_incomplete(&s->report, b.s);
        }
        if (b.failed)
            s->report.failed = true;
        sbuf_free(&b);
    }
}

/* Rows of a child kind whose parent never came are known only at the end. */
static void note_orphans(struct session *s)
{
    struct store_counts n = store_counts(s->store);
    unsigned long known = 0, kept_out = n.conflict + n.refused;

    for (size_t i = 0; i < s->report.input_count; i++)
        known += s->report.inputs[i].refused;
    if (kept_out > known) {
        struct sbuf b = SBUF_INIT;

        sbuf_printf(&b, "%lu rows name a record that was not read, and were left out.",
                    kept_out - known);
        report_add_incomplete(&s->report, b.s);
        s->records_refused += kept_out - known;
        sbuf_free(&b);
    }
}

/* A file that stops short may lack any number of records: stock would be counted too low and
 * papers held missing. Nothing is checked on such a part. */
static enum exit_status refuse_part_files(struct session *s)
{
    for (size_t i = 0; i < s->report.input_count; i++)
        if (!s->report.inputs[i].book && !s->report.inputs[i].whole)
            diags_add(s->diags, DIAG_FATAL, "part-file", s->report.inputs[i].name, 0, 0,
                      "correct it as said above, or leave it off the command line",
                      "was not read to its end: nothing was checked");
    return STATUS_INPUT;
}

enum exit_status session_read_inputs(struct session *s)
{
    const char *book = option_known(&s->options, "book") ? option_text(&s->options, "book") : NULL;
    enum exit_status status;

    s->files_whole = true;
    if (s->file_count == 0 && book == NULL) {
        if (diags_count_level(s->diags, DIAG_ERROR) > 0)
            return STATUS_INPUT;
        return session_usage(s, "lotward --help shows how", "no records: name record files%s",
                             option_known(&s->options, "book") ? ", or a book with --book" : "");
    }
    if (book != NULL && (status = read_book(s, book)) != STATUS_CLEAN)
        return status;
    for (size_t i = 0; i < s->file_count; i++)
        if (!read_file(s, s->files[i]))
            return session_trouble(s);
    if (!s->files_whole)
        return refuse_part_files(s);
    if (s->records_read == 0) {
        if (diags_count_level(s->diags, DIAG_ERROR) == 0)
            diags_add(s->diags, DIAG_FATAL, "no-records", NULL, 0, 0, NULL,
                      "no record was read: nothing to check");
        return STATUS_INPUT;
    }
    if (!store_finish(s->store, s->diags))
        return session_trouble(s);
    if (!session_check_scans(s))
        return session_trouble(s);
    note_orphans(s);
    note_missing(s);
    return STATUS_CLEAN;
}
