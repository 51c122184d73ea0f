/* waive.c - lotward waive: answer a finding, with a reason, a name and an end. */
#include "text/base.h"

#include "command/filing.h"
#include "text/utf8.h"

enum { NEAR_MOST = 6, ID_BYTES = 24 };

static const struct option_spec options[] = {
    {"book", 'b', OPTION_TEXT, "FILE", NULL, "The book", 0, 0},
    {"rule", 0, OPTION_TEXT, "RULE", NULL, "The rule whose finding is answered", 0, 0},
    {"subject", 0, OPTION_TEXT, "ID", NULL,
     "The record it is answered for; default: every subject of the rule", 0, 0},
    {"reason", 0, OPTION_TEXT, "TEXT", NULL, "Why the finding may stand", 0, 0},
    {"by", 0, OPTION_TEXT, "PERSON", NULL, "Who answers for it: the id of a person", 0, 0},
    {"from", 0, OPTION_DATE, "DATE", NULL, "First day; default: no beginning", 0, 0},
    {"until", 0, OPTION_DATE, "DATE", NULL, "Last day", 0, 0},
    {"id", 0, OPTION_TEXT, "ID", NULL, "Id of the waiver; default: the next free number", 0, 0},
};

/* A waiver of a rule that does not exist would answer nothing. */
static bool rule_known(struct session *s, const char *id)
{
    const struct rule *near = NULL;
    unsigned best = NEAR_MOST + 1;
    char hint[120];
    if (rule_set_find(s->rules, id) != NULL)
        return true;
    for (size_t i = 0; i < rule_set_count(s->rules); i++) {
        unsigned distance = str_distance(id, rule_set_at(s->rules, i)->id, NEAR_MOST);
        if (distance < best) {
            best = distance;
            near = rule_set_at(s->rules, i);
        }
    }
    snprintf(hint, sizeof hint,
             near == NULL ? "`lotward rules` lists them%s" : "did you mean '%s'?",
             near == NULL ? "" : near->id);
    session_usage(s, hint, "--rule: there is no rule '%s'", id);
    return false;
}

struct numbers {
    unsigned long waivers;
    const char *wanted;
    bool taken;
};

static bool count_waiver(const struct ledger_entry *e, void *user)
{
    struct numbers *n = user;
    if (e->amends == 0)
        n->waivers++;
    if (str_eq(e->id, n->wanted))
        n->taken = true;
    return true;
}

/* "W-3" for the third waiver of the book, or the next number that is free. */
static bool next_id(struct session *s, struct ledger *l, char id[ID_BYTES])
{
    struct numbers n = {0};
    if (!ledger_history(l, "waiver", NULL, count_waiver, &n, s->diags))
        return false;
    for (unsigned long k = n.waivers + 1;; k++) {
        snprintf(id, ID_BYTES, "W-%lu", k);
        n = (struct numbers){.wanted = id};
        if (!ledger_history(l, "waiver", id, count_waiver, &n, s->diags))
            return false;
        if (!n.taken)
            return true;
    }
}

static struct record *make_waiver(struct session *s, const char *id)
{
    static const char *const names[] = {"rule", "subject", "reason", "by", "from", "until"};
    struct record *r = record_new(dict_find("waiver"), "command line", 0);
    bool ok = r != NULL && record_set(r, "id", id);
    for (size_t i = 0; ok && i < LW_COUNT(names); i++) {
        const char *value = option_text(&s->options, names[i]);
        ok = value == NULL || record_set(r, names[i], value);
    }
    if (!ok) {
        diags_out_of_memory(s->diags);
        record_free(r);
        return NULL;
    }
    return r;
}

static enum exit_status file_waiver(struct session *s, struct ledger *l, const struct record *r)
{
    char stamp[UTC_STAMP_BYTES];
    struct sbuf b = SBUF_INIT;
    const char *subject = record_get(r, "subject");
    struct ledger_stamp st = {.action = LEDGER_WAIVE,
                              .filed = utc_stamp(stamp),
                              .who = record_get(r, "by"),
                              .why = record_get(r, "reason")};
    struct ledger_item item = {.record = r, .ctx = RECORD_CANONICAL};
    if (!ledger_append(l, &st, &item, 1, s->diags))
        return item.outcome == LEDGER_FAILED ? book_status(s) : STATUS_INPUT;
    utf8_put_clean(&b, ledger_path(l), false);
    sbuf_printf(&b, ": waiver %s %s: %s for ", record_id(r),
                item.outcome == LEDGER_SAME ? "was there already" : "filed", record_get(r, "rule"));
    if (subject == NULL)
        sbuf_puts(&b, "every subject");
    else
        utf8_put_clean(&b, subject, false);
    sbuf_printf(&b, ", until %s\n", record_get(r, "until"));
    session_write(s, b.s, b.len);
    sbuf_free(&b);
    return STATUS_CLEAN;
}

static enum exit_status run(struct session *s)
{
    static const char *const needed[] = {"rule", "reason", "by", "until"};
    enum exit_status status = STATUS_CLEAN;
    const char *id = option_text(&s->options, "id");
    char made[ID_BYTES];
    for (size_t i = 0; i < LW_COUNT(needed); i++)
        if (option_text(&s->options, needed[i]) == NULL)
            return session_usage(s, "lotward waive --help", "a waiver needs --%s", needed[i]);
    if (s->name_count > 0)
        return session_usage(s, "lotward waive --help", "'%s': waive takes options only",
                             s->names[0]);
    if (!rule_known(s, option_text(&s->options, "rule")))
        return STATUS_INPUT;
    struct ledger *l = open_book(s, LEDGER_WRITE, &status);
    if (l == NULL)
        return status;
    if (id == NULL && !next_id(s, l, made))
        status = session_trouble(s);
    struct record *r = status == STATUS_CLEAN ? make_waiver(s, id != NULL ? id : made) : NULL;
    if (r != NULL)
        status = file_waiver(s, l, r);
    else if (status == STATUS_CLEAN)
        status = STATUS_TROUBLE;
    record_free(r);
    ledger_close(l);
    return status;
}

const struct command command_waive = {
    .name = "waive",
    .summary = "answer a finding, with a reason, a person and an end date",
    .operands = NULL,
    .about =
        "Files a waiver into the book: from then on the finding of that rule about that record "
        "is printed in a section of its own, with the reason, the person and the last day, and "
        "no longer changes the exit status. A waiver that answers nothing, or whose last day is "
        "past, is itself reported. Waiving is a person's decision on their own authority; "
        "where an authority decides, its word is needed first.",
    .examples = "  lotward waive --book workroom.book --rule container-too-large-for-class \\\n"
                "      --subject B-2026-07 --reason 'fire officer agreed in writing, 3 March' \\\n"
                "      --by anna --until 2026-12-31\n",
    .options = options,
    .option_count = LW_COUNT(options),
    .flags = NEEDS_RULES | WRITES_BOOK,
    .run = run,
};
