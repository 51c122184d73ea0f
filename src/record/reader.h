/* reader.h - record files to records.
 *
 * XML: <records units="us" decimal="comma"> ... </records>, read as a stream. Refused with a clear
 * message: DOCTYPE, entity references beyond the five, processing instructions, XInclude elements,
 * depth above READER_DEPTH, an attribute above READER_ATTR_BYTES, ill-formed UTF-8, other
 * encodings. CSV: one kind a file; the kind is the first word of the file name ("receipt-2026.csv")
 * or a first cell "#kind"; separator , ; or tab by the header line; BOM and CRLF accepted; quoted
 * new lines. Header cells are attribute names (case, spaces, _ and - alike); a child kind
 * ("charge") names its parent in a column of the parent's kind ("batch"). Leading rows may declare
 * "#kind,receipt", "#units,us" and "#decimal,comma". One bad record does not stop the rest: it is
 * refused with its reasons, counted, and the reader goes on. A file that cannot be read to its end
 * is a DIAG_FATAL diagnostic and counts->whole is false; what was whole before the trouble has been
 * handed on. */
#ifndef LW_RECORD_READER_H
#define LW_RECORD_READER_H

#include "record/record.h"

#define READER_DEPTH      64
#define READER_ATTR_BYTES (64 * 1024)

struct reader_counts {
    unsigned long read;    /* top-level records handed to the sink (CSV: rows) */
    unsigned long refused; /* records with errors, not handed on */
    bool whole; /* of the last file; false: it ended early or could not be parsed to its end */
};

/* The XML reader in pieces, for text that arrives in pieces (a file, the rows of the book). */
struct xml_reader;

/* NULL when out of memory. `name` is used in messages and as the records' file. */
struct xml_reader *xml_reader_new(const char *name, record_sink *sink, void *user,
                                  struct reader_counts *counts, struct diags *d);
/* false when the reader has stopped (refused, not well formed, sink said stop); more text is
 * ignored. */
bool xml_reader_push(struct xml_reader *x, const char *text, size_t n);
/* End of text. true when the document was whole. Sets counts->whole. */
bool xml_reader_end(struct xml_reader *x);
void xml_reader_free(struct xml_reader *x); /* NULL-safe */

/* Chooses by suffix (.xml, .csv, .tsv; anything else: by the first byte). Adds to *counts.
 * false when the file gave nothing usable (not readable, not a record file). */
bool reader_file(const char *path, record_sink *sink, void *user, struct reader_counts *counts,
                 struct diags *d);
/* The same from memory; `name` is used in messages. */
bool reader_xml(const char *name, const char *text, size_t n, record_sink *sink, void *user,
                struct reader_counts *counts, struct diags *d);
/* With the columns of a spreadsheet mapped (record/csv_map.h); map NULL: as they are. */
struct csv_map;
bool reader_file_mapped(const char *path, const struct csv_map *map, record_sink *sink, void *user,
                        struct reader_counts *counts, struct diags *d);
bool reader_csv_mapped(const char *name, const char *text, size_t n, const struct csv_map *map,
                       record_sink *sink, void *user, struct reader_counts *counts,
                       struct diags *d);
bool reader_csv(const char *name, const char *text, size_t n, record_sink *sink, void *user,
                struct reader_counts *counts, struct diags *d);

#endif
