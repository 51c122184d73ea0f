/* sale_what_if.h - sales that nobody has made, to ask what a destination would want. */
#ifndef LW_COMMAND_SALE_WHAT_IF_H
#define LW_COMMAND_SALE_WHAT_IF_H

#include "command/session.h"

/* Sends sale `name` to country `to`, in the memory database alone. When there is no such sale but a
 * lot or a received lot, a sale "what-if-NAME" of it is made up: one bottle as last filled, under
 * its label, or all of what came. *sale: the id of the sale to look at, in a buffer of `size`
 * bytes. STATUS_INPUT with a diagnostic when there is nothing called `name`. */
enum exit_status sale_what_if(struct session *s, const char *name, const char *to, char *sale,
                              size_t size);

#endif
