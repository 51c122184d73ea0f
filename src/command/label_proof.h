/* label_proof.h - the proof page of a label: true size, several to a sheet, with a ruler. */
#ifndef LW_COMMAND_LABEL_PROOF_H
#define LW_COMMAND_LABEL_PROOF_H

#include "command/label_draft.h"

/* Sets the draft into the label's panel, adds a table that says whether it fits and at what sizes,
 * and appends the drawing to out. */
bool label_proof(struct session *s, const char *label, const struct label_draft *d,
                 struct sbuf *out);
/* Body of the printable page: the drawing (user), the tables, the findings. */
void label_proof_page(const struct report *r, const void *user, struct sbuf *out);

#endif
