/* reader.c - opens a record file and chooses its reader. */
#include "text/base.h"

#include <unistd.h>

#include "record/reader.h"
#include "record/text_guard.h"
#include "text/file.h"
#include "text/utf8.h"

enum { PIECE_BYTES = 64 * 1024 };

static const size_t CSV_BYTES = (size_t)256 * 1024 * 1024; /* a CSV file is held whole */

/* Bytes read, 0 at the end, -1 with a diagnostic. */
static ssize_t read_piece(int fd, const char *path, char *piece, struct diags *d)
{
    ssize_t n = 0;

    do {
        n = read(fd, piece, PIECE_BYTES);
    } while (n < 0 && errno == EINTR);
    if (n < 0) {
        diags_add(d, DIAG_FATAL, "cannot-read", path, 0, 0, NULL, "cannot be read: %s",
                  strerror(errno));
    }
    return n;
}

static bool ends_with(const char *s, const char *suffix)
{
    size_t n = strlen(s);
    size_t m = strlen(suffix);

    return n >= m && ascii_casecmp(s + n - m, suffix) == 0;
}

static bool looks_like_xml(const char *path, const char *piece, size_t n)
{
    size_t i = 0;

    if (ends_with(path, ".xml")) {
        return true;
    }
    if (ends_with(path, ".csv") || ends_with(path, ".tsv")) {
        return false;
    }
    if (n >= 3 && memcmp(piece, "\xEF\xBB\xBF", 3) == 0) {
        i = 3;
    }
    while (i < n && ascii_space((unsigned char)piece[i])) {
        i++;
    }
    return i < n && piece[i] == '<';
}

static bool xml_from_fd(int fd, const char *path, char *piece, ssize_t n, record_sink *sink,
                        void *user, struct reader_counts *counts, struct diags *d)
{
    struct xml_reader *x = xml_reader_new(path, sink, user, counts, d);
    unsigned long before = counts->read + counts->refused;
    bool whole = false;

    if (x == NULL) {
        diags_out_of_memory(d);
        return false;
    }
    while (n > 0 && xml_reader_push(x, piece, (size_t)n)) {
        n = read_piece(fd, path, piece, d);
    }
    if (n < 0) {
        counts->whole = false;
    } else {
        whole = xml_reader_end(x);
    }
    xml_reader_free(x);
    return whole || counts->read + counts->refused > before;
}

static bool csv_from_fd(int fd, const char *path, char *piece, ssize_t n, const struct csv_map *map,
                        record_sink *sink, void *user, struct reader_counts *counts,
                        struct diags *d)
{
    struct sbuf text = SBUF_INIT;
    bool usable = false;

    while (n > 0 && text.len + (size_t)n <= CSV_BYTES && !text.failed) {
        sbuf_putn(&text, piece, (size_t)n);
        n = read_piece(fd, path, piece, d);
    }
    counts->whole = false;
    if (text.failed) {
        diags_out_of_memory(d);
    } else if (n > 0) {
        diags_add(d, DIAG_FATAL, "too-large", path, 0, 0, "split the file", "larger than %zu bytes",
                  CSV_BYTES);
    } else if (n == 0) {
        usable = reader_csv_mapped(path, text.s, text.len, map, sink, user, counts, d);
    }
    sbuf_free(&text);
    return usable;
}

bool reader_file(const char *path, record_sink *sink, void *user, struct reader_counts *counts,
                 struct diags *d)
{
    return reader_file_mapped(path, NULL, sink, user, counts, d);
}

bool reader_file_mapped(const char *path, const struct csv_map *map, record_sink *sink, void *user,
                        struct reader_counts *counts, struct diags *d)
{
    char piece[PIECE_BYTES];
    int fd = file_open(path, d);
    ssize_t n = 0;
    bool usable = false;

    counts->whole = false;
    if (fd < 0) {
        return false;
    }
    n = read_piece(fd, path, piece, d);
    if (n == 0) {
        diags_add(d, DIAG_FATAL, "empty", path, 0, 0, "a record file holds at least <records/>",
                  "the file is empty");
    } else if (n > 0 && looks_like_xml(path, piece, (size_t)n)) {
        usable = xml_from_fd(fd, path, piece, n, sink, user, counts, d);
    } else if (n > 0) {
        usable = csv_from_fd(fd, path, piece, n, map, sink, user, counts, d);
    }
    (void)close(fd);
    return usable;
}

bool reader_xml(const char *name, const char *text, size_t n, record_sink *sink, void *user,
                struct reader_counts *counts, struct diags *d)
{
    struct xml_reader *x = xml_reader_new(name, sink, user, counts, d);
    unsigned long before = counts->read + counts->refused;
    bool whole = false;

    if (x == NULL) {
        diags_out_of_memory(d);
        return false;
    }
    for (size_t at = 0; at < n;) {
        size_t piece = n - at < PIECE_BYTES ? n - at : PIECE_BYTES;
        if (!xml_reader_push(x, text + at, piece)) {
            break;
        }
        at += piece;
    }
    whole = xml_reader_end(x);
    xml_reader_free(x);
    return whole || counts->read + counts->refused > before;
}
