/* record_days.h - the day and the name of every record that has a day, read once. */
#ifndef LW_COMMAND_RECORD_DAYS_H
#define LW_COMMAND_RECORD_DAYS_H

#include "command/session.h"

struct record_days;

/* NULL with a diagnostic when the database or memory failed. */
struct record_days *record_days_read(struct session *s);
void record_days_free(struct record_days *d); /* NULL-safe */

struct record_day {
    const char *day;  /* ISO date: begun, received, sold, issued ...; NULL: not written down */
    const char *name; /* product or material; NULL: none */
};
/* false: no such record, or of a kind that has no day. */
bool record_days_find(const struct record_days *d, const char *kind, const char *id,
                      struct record_day *out);

#endif
