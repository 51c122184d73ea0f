/* new.h - lotward new: a record to fill in, as a commented file or by questions. */
#ifndef LW_COMMAND_NEW_H
#define LW_COMMAND_NEW_H

#include "command/session.h"
#include "record/record.h"

struct new_record {
    const struct dict_element *element;
    const char *units, *decimal; /* what the file declares; NULL: nothing */
    struct record_context context;
};

/* The kind of value an attribute takes, with examples or its words: "a mass: 400 g, 1.2 kg". */
void new_kind_of_value(const struct dict_attr *a, struct sbuf *out);
/* <?xml ...?> and the opening tag of the file. */
void new_head(const struct new_record *n, struct sbuf *out);
/* Asks for every field on standard input, questions on standard error, checks each as it is typed,
 * and appends the file to out. */
enum exit_status new_ask(struct session *s, const struct new_record *n, struct sbuf *out);

#endif
