/* book_export.h - the records in force as files again. */
#ifndef LW_COMMAND_BOOK_EXPORT_H
#define LW_COMMAND_BOOK_EXPORT_H

#include "command/session.h"
#include "ledger/ledger.h"

/* <records> with every record in force, a line each, to standard output. */
bool book_export_xml(struct session *s, struct ledger *l);
/* One file a kind into `folder`, which is made when missing; no file is ever overwritten. */
bool book_export_csv(struct session *s, struct ledger *l, const char *folder);

#endif
