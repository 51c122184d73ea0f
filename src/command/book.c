/* book.c - lotward book: verify, show, export and back up the book. */
#include "text/base.h"

#include "command/book_export.h"
#include "command/filing.h"
#include "ledger/diff.h"
#include "text/utf8.h"

static const struct option_spec options[] = {
    {"book", 'b', OPTION_TEXT, "FILE", NULL, "The book", 0, 0},
    {"expect", 0, OPTION_TEXT, "HEAD", NULL,
     "verify: a head noted earlier (16 digits or more), which must still be there", 0, 0},
    {"csv", 0, OPTION_TEXT, "DIR", NULL,
     "export: one CSV file a kind of record into DIR; default: XML on standard output", 0, 0},
    {"full", 0, OPTION_FLAG, NULL, NULL, "history: print every version whole", 0, 0},
};

static void put_text(struct sbuf *b, const char *text)
{
    if (text != NULL)
        utf8_put_clean(b, text, false);
}

static void flush(struct session *s, struct sbuf *b)
{
    if (b->failed)
        diags_out_of_memory(s->diags);
    session_write(s, b->s, b->len);
    sbuf_free(b);
}

/* ---- verify ---- */

static void tell_whole(struct session *s, const struct ledger_check *c)
{
    struct sbuf b = SBUF_INIT;
    put_text(&b, option_text(&s->options, "book"));
    sbuf_printf(&b, ": %lld entr%s, %lld record%s in force; every entry verifies\n", c->entries,
                c->entries == 1 ? "y" : "ies", c->records, c->records == 1 ? "" : "s");
    if (c->expected_seq != 0)
        sbuf_printf(&b, "the noted head is entry %lld: nothing up to there was changed or cut\n",
                    c->expected_seq);
    sbuf_printf(&b, "head: %s\n", c->head);
    flush(s, &b);
}

static enum exit_status verify(struct session *s, struct ledger *l)
{
    struct ledger_check c;
    if (!ledger_verify(l, option_text(&s->options, "expect"), &c, s->diags))
        return book_status(s);
    if (c.whole) {
        tell_whole(s, &c);
        return STATUS_CLEAN;
    }
    struct sbuf b = SBUF_INIT;
    put_text(&b, option_text(&s->options, "book"));
    sbuf_puts(&b, ": does not verify: ");
    put_text(&b, c.why);
    sbuf_printf(&b, "\n%lld entr%s before that verif%s; the last of them has the hash %s\n",
                c.entries, c.entries == 1 ? "y" : "ies", c.entries == 1 ? "ies" : "y", c.head);
    flush(s, &b);
    return STATUS_FINDINGS;
}

/* ---- history ---- */

struct telling {
    struct session *s;
    struct ledger *l;
    long long sought; /* seq of the version whose content is wanted */
    struct sbuf xml;  /* that content */
    unsigned long told;
};

static bool keep_sought(const struct ledger_entry *e, void *user)
{
    struct telling *t = user;
    if (e->seq != t->sought)
        return true;
    sbuf_puts(&t->xml, e->xml);
    return false;
}

static void put_change(struct telling *t, const struct ledger_entry *e, struct sbuf *b)
{
    struct sbuf diff = SBUF_INIT;
    sbuf_clear(&t->xml);
    t->sought = e->amends;
    if (ledger_history(t->l, e->kind, e->id, keep_sought, t, t->s->diags) && t->xml.len > 0)
        ledger_diff(t->xml.s, e->xml, &diff);
    if (diff.len > 0) {
        sbuf_puts(b, "    ");
        put_text(b, diff.s);
        sbuf_putc(b, '\n');
    }
    sbuf_free(&diff);
}

static bool tell_entry(const struct ledger_entry *e, void *user)
{
    struct telling *t = user;
    struct sbuf b = SBUF_INIT;
    t->told++;
    sbuf_printf(&b, "%lld  %s  %s  ", e->seq, e->filed, e->action);
    put_text(&b, e->kind);
    sbuf_putc(&b, ' ');
    put_text(&b, e->id);
    if (e->source_file != NULL) {
        sbuf_puts(&b, "  from ");
        put_text(&b, e->source_file);
        if (e->source_line > 0)
            sbuf_printf(&b, ":%ld", e->source_line);
    }
    if (e->amends > 0)
        sbuf_printf(&b, "  in place of %lld", e->amends);
    if (e->amended_by > 0)
        sbuf_printf(&b, "  until %lld", e->amended_by);
    sbuf_putc(&b, '\n');
    if (e->who != NULL || e->why != NULL) {
        sbuf_puts(&b, "    by ");
        put_text(&b, e->who != NULL ? e->who : "?");
        if (e->why != NULL) {
            sbuf_puts(&b, ": ");
            put_text(&b, e->why);
        }
        sbuf_putc(&b, '\n');
    }
    if (e->amends > 0)
        put_change(t, e, &b);
    if (option_flag(&t->s->options, "full")) {
        sbuf_puts(&b, "    ");
        put_text(&b, e->xml);
        sbuf_putc(&b, '\n');
    }
    flush(t->s, &b);
    return t->s->write_errno == 0;
}

static enum exit_status history(struct session *s, struct ledger *l)
{
    struct telling t = {.s = s, .l = l, .xml = SBUF_INIT};
    const char *kind = s->name_count > 1 ? s->names[1] : NULL;
    const char *id = s->name_count > 2 ? s->names[2] : NULL;
    struct ledger_check c;
    bool ok = ledger_history(l, kind, id, tell_entry, &t, s->diags);
    sbuf_free(&t.xml);
    if (ok && t.told > 0 && ledger_verify(l, NULL, &c, s->diags) && !c.whole) {
        diags_add(s->diags, DIAG_ERROR, "book-broken", ledger_path(l), (long)c.broken_seq, 0,
                  "lotward book verify", "what is shown cannot be relied on: %s", c.why);
        return STATUS_TROUBLE;
    }
    if (!ok || diags_oom(s->diags))
        return session_trouble(s);
    if (t.told > 0)
        return STATUS_CLEAN;
    diags_add(s->diags, DIAG_ERROR, "not-filed", ledger_path(l), 0, 0,
              "lotward book history shows everything", "nothing of that name is in the book");
    return STATUS_INPUT;
}

/* ---- export, backup ---- */

static enum exit_status export(struct session *s, struct ledger *l) {
    struct ledger_check c; const char *folder = option_text(&s->options, "csv");
    if (!ledger_verify(l, NULL, &c, s->diags)) return book_status(s);
    if (!c.whole)
        diags_add(s->diags, DIAG_ERROR, "book-broken", ledger_path(l), (long)c.broken_seq, 0,
                  "lotward book verify", "what is exported cannot be relied on: %s", c.why);
    if (!(folder != NULL ? book_export_csv(s, l, folder)
                         : book_export_xml(s, l))) return session_trouble(s);
    return c.whole ? STATUS_CLEAN : STATUS_TROUBLE;
}

static enum exit_status backup(struct session *s, struct ledger *l)
{
    struct ledger_check c;
    struct sbuf b = SBUF_INIT;
    if (s->name_count < 2)
        return session_usage(s,
                             "lotward book backup --book workroom.book /media/stick/2026-11.book",
                             "name the file to back up to");
    if (!ledger_backup(l, s->names[1], &c, s->diags))
        return book_status(s) == STATUS_TROUBLE ? STATUS_TROUBLE : STATUS_INPUT;
    put_text(&b, s->names[1]);
    sbuf_printf(&b, ": %lld entr%s copied, read back and verified\nhead: %s\n", c.entries,
                c.entries == 1 ? "y" : "ies", c.head);
    flush(s, &b);
    return STATUS_CLEAN;
}

static const struct action {
    const char *name;
    enum exit_status (*run)(struct session *s, struct ledger *l);
    size_t most_operands; /* after the action's own name */
} actions[] = {
    {"verify", verify, 0}, {"history", history, 2}, {"export", export, 0}, {"backup", backup, 1}};

static enum exit_status run(struct session *s)
{
    const struct action *a = NULL;
    enum exit_status status;
    for (size_t i = 0; s->name_count > 0 && i < LW_COUNT(actions); i++)
        if (str_eq(actions[i].name, s->names[0]))
            a = &actions[i];
    if (a == NULL)
        return session_usage(s, "verify, history, export or backup",
                             "say what to do with the book%s%s%s",
                             s->name_count > 0 ? ", not '" : "",
                             s->name_count > 0 ? s->names[0] : "", s->name_count > 0 ? "'" : "");
    if (s->name_count - 1 > a->most_operands)
        return session_usage(s, "lotward book --help", "book %s: '%s' is one operand too many",
                             a->name, s->names[1 + a->most_operands]);
    struct ledger *l = open_book(s, LEDGER_READ, &status);
    if (l == NULL)
        return status;
    status = a->run(s, l);
    ledger_close(l);
    return status;
}

const struct command command_book = {
    .name = "book",
    .summary = "verify, show, export or back up the book",
    .words = "verify history export backup",
    .operands = "verify | history [KIND [ID]] | export | backup FILE",
    .about =
        "verify walks the book from its first entry and says which is the first that was changed, "
        "or that none was; with --expect, also whether anything was cut off or rewritten since "
        "the head was noted. history lists every version of every record, of one kind, or of "
        "one record. export prints the records in force as a record file. backup copies the "
        "book to a new file and verifies the copy.\n"
        "\n"
        "The book is only read here, with one exception: when a filing was cut off by a crash or "
        "a power cut, the half-written part is taken back.",
    .examples = "  lotward book verify --book workroom.book --expect '3f2a 91bc 07de 5a16'\n"
                "  lotward book history receipt R-2026-014 --book workroom.book\n"
                "  lotward book export --book workroom.book > records.xml\n"
                "  lotward book backup /media/stick/workroom-2026-11.book --book workroom.book\n",
    .options = options,
    .option_count = LW_COUNT(options),
    .flags = 0,
    .run = run,
};
