/* audit_book.c - lotward audit --file: that this audit was made, into the book.
 *
 * The entry holds the SHA-256 of the audit's JSON report and of the rules it was judged by, and the
 * counts. Anyone with the same records, rules and day can make the report again and compare. */
#include "text/base.h"

#include "command/audit_more.h"
#include "command/filing.h"
#include "text/date.h"
#include "text/file.h"
#include "text/sha256.h"
#include "text/utf8.h"

enum { RULE_BYTES = 1024 * 1024, ID_BYTES = 40, ID_DIGITS = 12 };

static bool hash_rules(struct session *s, char out[SHA256_HEX + 1])
{
    struct sha256 h;
    struct sbuf text = SBUF_INIT;
    unsigned char digest[SHA256_BYTES];
    bool ok = true;

    sha256_init(&h);
    for (size_t i = 0; ok && i < rule_set_count(s->rules); i++) {
        const struct rule *r = rule_set_at(s->rules, i);

        sbuf_clear(&text);
        ok = file_read(r->file, RULE_BYTES, &text, s->diags);
        sha256_add(&h, r->id, strlen(r->id) + 1);
        sha256_add(&h, text.s, text.len);
    }
    sha256_end(&h, digest);
    sha256_hex(digest, out);
    sbuf_free(&text);
    return ok;
}

static bool hash_report(struct session *s, char out[SHA256_HEX + 1])
{
    struct sbuf json = SBUF_INIT;
    struct report_style style = {.width = REPORT_WIDTH_USUAL};
    struct sha256 h;
    unsigned char digest[SHA256_BYTES];
    bool ok;

    s->report.diags = s->diags;
    report_json(&s->report, &style, &json);
    sha256_init(&h);
    sha256_add(&h, json.s, json.len);
    sha256_end(&h, digest);
    sha256_hex(digest, out);
    ok = !json.failed;
    sbuf_free(&json);
    return ok;
}

static void make_element(struct session *s, const char *report, const char *rules, struct sbuf *out)
{
    struct report_totals n = report_count(&s->report);
    char day[11];

    sbuf_printf(out,
                "<audit as-of=\"%s\" report-sha256=\"%s\" rules-sha256=\"%s\" rules=\"%lu\""
                " records=\"%lu\" holds=\"%lu\" fails=\"%lu\" could-not-be-told=\"%lu\""
                " stop=\"%lu\" fix=\"%lu\" query=\"%lu\" note=\"%lu\" untold-shown=\"%lu\""
                " waived=\"%lu\" whole=\"%s\"/>",
                date_format(s->as_of, day), report, rules, n.rules_run, n.read,
                n.rows[VERDICT_HOLDS], n.rows[VERDICT_FAILS], n.rows[VERDICT_CANNOT_TELL],
                n.fails[SEVERITY_STOP], n.fails[SEVERITY_FIX], n.fails[SEVERITY_QUERY],
                n.fails[SEVERITY_NOTE], n.untold, n.waived,
                s->report.incomplete_count == 0 ? "yes" : "no");
}

static enum exit_status write_entry(struct session *s, const char *xml, const char *id,
                                    struct sbuf *note)
{
    char filed[UTC_STAMP_BYTES], head[SHA256_HEX + 1];
    struct ledger_stamp stamp = {.action = LEDGER_AUDIT, .filed = utc_stamp(filed)};
    enum exit_status status = STATUS_CLEAN;
    struct ledger *book = open_book(s, LEDGER_WRITE, &status);

    if (book == NULL)
        return status;
    if (!ledger_begin(book, &stamp, s->diags) ||
        ledger_add_evidence(book, "audit", id, xml, s->diags) != LEDGER_ADDED) {
        status = book_status(s);
        goto out;
    }
    ledger_head(book, head);
    if (!ledger_commit(book, s->diags)) {
        status = session_trouble(s);
        goto out;
    }
    sbuf_printf(note, "lotward: %s: audit %s filed; head: %s\n", ledger_path(book), id, head);
out:
    ledger_close(book);
    return status;
}

enum exit_status audit_into_book(struct session *s)
{
    char report[SHA256_HEX + 1], rules[SHA256_HEX + 1], id[ID_BYTES], day[11];
    struct sbuf xml = SBUF_INIT, note = SBUF_INIT;
    enum exit_status status;

    if (s->report.failed || !hash_rules(s, rules) || !hash_report(s, report))
        return session_trouble(s);
    make_element(s, report, rules, &xml);
    snprintf(id, sizeof id, "%s-%.*s", date_format(s->as_of, day), ID_DIGITS, report);
    status = xml.failed ? session_trouble(s) : write_entry(s, xml.s, id, &note);
    /* Beside the report, not in it: the report is what was hashed. */
    if (status == STATUS_CLEAN && !note.failed)
        fputs(note.s, stderr);
    sbuf_free(&xml);
    sbuf_free(&note);
    return status;
}
