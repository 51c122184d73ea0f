/* rule_read.h - one rule from its file. Inside rule/ only. */
#ifndef LW_RULE_RULE_READ_H
#define LW_RULE_RULE_READ_H

#include "rule/rule.h"
#include "text/pack.h"

/* NULL with diagnostics when the rule is not whole. `topic` is the folder it stands in: the rule's
 * own topic, and its file name its id. */
struct rule *rule_read(const char *path, const char *topic, const char *id, struct diags *d);
void rule_free(struct rule *r); /* NULL-safe */
void rule_pack(struct rule *r, struct sbuf *b);
/* Without its examples. rules_dir: the folder of the rules now. NULL with in->failed. */
struct rule *rule_unpack(struct pack *in, const char *rules_dir);

#endif
