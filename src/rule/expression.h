/* expression.h - is the text of a rule one SQL expression, to its end? Inside rule/ only.
 *
 * The expressions of all rules over a fact stand in one SELECT. One that closed a bracket it never
 * opened, or began a comment, would change the meaning of the rules beside it. */
#ifndef LW_RULE_EXPRESSION_H
#define LW_RULE_EXPRESSION_H

/* NULL when it is; else what is wrong with it, in words. Looks at brackets, quotes, comments,
 * commas and semicolons only: the rest is for SQLite to say. */
const char *expression_trouble(const char *sql);

#endif
