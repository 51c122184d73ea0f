/* corrections.h - what stood in the book before an amendment, beside what stands there now.
 *
 * Who corrects a record leaves the first value readable (WHO TRS 986 annex 2, 15.9; ALCOA:
 * original). So every report made from a book ends its tables with the corrections of the records
 * it shows. */
#ifndef LW_COMMAND_CORRECTIONS_H
#define LW_COMMAND_CORRECTIONS_H

#include "command/session.h"
#include "ledger/ledger.h"

/* Fills rec_entry of the store: when each record was filed, by whom and why, and what an amendment
 * changed. false with a diagnostic. */
bool corrections_read(struct session *s, struct ledger *book);
/* Adds the table "corrections" to s->report: those of the records that the command's operands and
 * lot (NULL: none) name and of what hangs together with them; with no operands, all. No table where
 * there is none. false with a diagnostic. */
bool corrections_add(struct session *s, const char *lot);

#endif
