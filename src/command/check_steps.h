/* check_steps.h - the steps of a planned lot: their numbers, the worst of them against time, and a
 * card of cautions in the order of work. Reads the facts as they are filled now. */
#ifndef LW_COMMAND_CHECK_STEPS_H
#define LW_COMMAND_CHECK_STEPS_H

#include "command/session.h"

/* Adds the tables "steps", "vapour" and "caution-card" of one lot to the report. A number that
 * cannot be told is an empty cell. false with a diagnostic. */
bool check_steps_tables(struct session *s, const char *lot);

/* Appends the chart of the vapour in the room during the worst step of the lot, or one sentence
 * that says why there is none. false with a diagnostic. */
bool check_steps_chart(struct session *s, const char *lot, struct sbuf *out);

#endif
