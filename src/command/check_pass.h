/* check_pass.h - what would make a planned lot pass: computed by search, held by judging again.
 *
 * A lever is one thing a person can change: the size of the batch, the air of the room, the
 * surface, the time, the number of portions, the vessel. Each number rises or falls one way with
 * its lever, so the bound is found by halving: the plan is changed in memory and judged again by
 * the rules themselves, until it holds at one figure and fails one step beyond it. Both are
 * printed. */
#ifndef LW_COMMAND_CHECK_PASS_H
#define LW_COMMAND_CHECK_PASS_H

#include "command/session.h"

/* Adds the table "what-would-pass" for the lots of temp.plan_batch to the report; nothing when no
 * rule that a lever can move fails. The records are as before afterwards; the facts are not: fill
 * them again. false with a diagnostic. */
bool check_pass(struct session *s, const struct findings *found);

#endif
