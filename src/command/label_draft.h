/* label_draft.h - the text of a label that would be complete, line by line. */
#ifndef LW_COMMAND_LABEL_DRAFT_H
#define LW_COMMAND_LABEL_DRAFT_H

#include "command/session.h"

struct label_line {
    const char *attr;  /* attribute of the label record: "signal-word" */
    const char *title; /* for people: "Signal word" */
    char *text;        /* owned; NULL: the records do not say, a person must */
    bool demanded;     /* a regime of the label asks for it */
    bool printed;      /* words or symbols on the label, not a size or a note about it */
};

struct label_draft {
    struct label_line *lines; /* owned */
    size_t count;
};

/* Fills the draft of the label with that id from the facts; free with label_draft_free. false with
 * a diagnostic. */
bool label_draft_make(struct session *s, const char *label, struct label_draft *d);
void label_draft_free(struct label_draft *d); /* NULL-safe */
/* The text of one line; NULL when it has none. */
const char *label_draft_text(const struct label_draft *d, const char *attr);
/* <label .../> as it would be recorded. */
void label_draft_record(const struct label_draft *d, struct sbuf *out);

#endif
