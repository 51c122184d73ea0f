/* text_untold.c - what could not be told, told shortly.
 *
 * One blank in one record can leave many verdicts open. So the section asks for what is missing,
 * not for each verdict: something that several records wait for is one entry; the rest is one entry
 * a record. */
#include "text/base.h"

#include "report/blanks.h"
#include "report/layout.h"
#include "report/text_parts.h"
#include "text/mem.h"
#include "text/utf8.h"

enum { NAMES_SHOWN = 6 }; /* names in an entry before "and N more" */

static int compare_text(const char *a, const char *b)
{
    return strcmp(a == NULL ? "" : a, b == NULL ? "" : b);
}

static int compare_place(const struct finding *a, const struct finding *b)
{
    return a < b ? -1 : a > b; /* order of the findings list, for a fixed result */
}

static int compare_subject(const struct finding *a, const struct finding *b)
{
    int c = compare_text(a->subject_kind, b->subject_kind);

    return c != 0 ? c : compare_text(a->subject, b->subject);
}

static bool same_subject(const struct finding *a, const struct finding *b)
{
    return compare_subject(a, b) == 0;
}

static int by_needs(const void *x, const void *y)
{
    const struct finding *a = *(const struct finding *const *)x;
    const struct finding *b = *(const struct finding *const *)y;
    int c = compare_text(a->needs, b->needs);

    if (c == 0)
        c = compare_subject(a, b);
    return c != 0 ? c : compare_place(a, b);
}

static int by_subject(const void *x, const void *y)
{
    const struct finding *a = *(const struct finding *const *)x;
    const struct finding *b = *(const struct finding *const *)y;
    int c = compare_subject(a, b);

    if (c == 0)
        c = compare_text(a->needs, b->needs);
    return c != 0 ? c : compare_place(a, b);
}

static const char *needs_of(const struct finding *f)
{
    return f->needs == NULL ? "something the rule does not name" : f->needs;
}

/* Names the different subjects of list[0..n), which stand together: the first few, then how many.
 */
static void put_subjects(struct sbuf *b, const struct finding *const *list, size_t n)
{
    unsigned long names = 0;

    for (size_t i = 0; i < n; i++) {
        if (i > 0 && same_subject(list[i - 1], list[i]))
            continue;
        if (names < NAMES_SHOWN)
            sbuf_printf(b, "%s%s", names > 0 ? ", " : "",
                        list[i]->subject == NULL ? "(no id)" : list[i]->subject);
        names++;
    }
    if (names > NAMES_SHOWN)
        sbuf_printf(b, " and %lu more", names - NAMES_SHOWN);
}

/* "rule a" or "rules a, b": the different rules of list[0..n), the first few, then "and others". */
static void put_rules(struct sbuf *b, const struct finding *const *list, size_t n)
{
    const struct rule *shown[NAMES_SHOWN];
    size_t count = 0;
    bool others = false;

    for (size_t i = 1; i < n && !others; i++)
        others = list[i]->rule != list[0]->rule;
    sbuf_puts(b, others ? "rules " : "rule ");
    others = false;
    for (size_t i = 0; i < n; i++) {
        size_t k = 0;

        while (k < count && shown[k] != list[i]->rule)
            k++;
        if (k < count)
            continue;
        if (count == NAMES_SHOWN) {
            others = true;
            break;
        }
        sbuf_printf(b, "%s%s", count > 0 ? ", " : "", list[i]->rule->id);
        shown[count++] = list[i]->rule;
    }
    if (others)
        sbuf_puts(b, " and others");
}

static void put_entry(struct sbuf *out, int width, struct sbuf *b)
{
    layout_wrap(out, width, "  - ", 4, b->s);
    if (b->failed)
        out->failed = true;
    sbuf_free(b);
}

/* Something several records wait for. */
static void put_shared(struct sbuf *out, int width, const struct finding *const *list, size_t n)
{
    struct sbuf b = SBUF_INIT;

    sbuf_printf(&b, "needs: %s. Open without it: %zu verdicts on ", needs_of(list[0]), n);
    put_subjects(&b, list, n);
    sbuf_puts(&b, " (");
    put_rules(&b, list, n);
    sbuf_puts(&b, ")");
    put_entry(out, width, &b);
}

/* What is needed, without " of batch 'B1'" where the entry names the record already. */
static void put_own_needs(struct sbuf *b, const struct finding *f)
{
    struct sbuf own = SBUF_INIT;
    const char *text = needs_of(f), *at;

    sbuf_printf(&own, " of %s '%s'", f->subject_kind == NULL ? "" : f->subject_kind,
                f->subject == NULL ? "" : f->subject);
    while (!own.failed && (at = strstr(text, own.s)) != NULL) {
        sbuf_putn(b, text, (size_t)(at - text));
        text = at + own.len;
    }
    sbuf_puts(b, text);
    if (own.failed)
        b->failed = true;
    sbuf_free(&own);
}

/* All that one record lacks. */
static void put_subject(struct sbuf *out, int width, const struct finding *const *list, size_t n)
{
    struct sbuf b = SBUF_INIT;

    text_where(&b, list[0]);
    sbuf_puts(&b, " needs: ");
    for (size_t i = 0; i < n;) {
        size_t k = i + 1;

        while (k < n && compare_text(list[i]->needs, list[k]->needs) == 0)
            k++;
        sbuf_puts(&b, i > 0 ? "; " : "");
        put_own_needs(&b, list[i]);
        sbuf_puts(&b, " (");
        put_rules(&b, list + i, k - i);
        sbuf_putc(&b, ')');
        i = k;
    }
    put_entry(out, width, &b);
}

/* Prints what several records wait for and moves the rest to the front; returns how many. */
static size_t shared_first(struct sbuf *out, int width, const struct finding **list, size_t n)
{
    size_t kept = 0;

    for (size_t i = 0; i < n;) {
        size_t k = i + 1;
        bool one = true;

        while (k < n && compare_text(list[i]->needs, list[k]->needs) == 0) {
            one = one && same_subject(list[i], list[k]);
            k++;
        }
        if (one) {
            for (; i < k; i++)
                list[kept++] = list[i];
        } else {
            put_shared(out, width, list + i, k - i);
        }
        i = k;
    }
    return kept;
}

enum { ENTRIES_SHOWN = 15, LOT_COLUMN = 14 };

static void put_entries(struct sbuf *out, int width, const struct blanks *b)
{
    struct sbuf line = SBUF_INIT;

    for (size_t i = 0; i < b->entry_count && i < ENTRIES_SHOWN; i++) {
        const struct blank_entry *e = &b->entries[i];

        sbuf_clear(&line);
        sbuf_printf(&line, "%s: %lu verdict%s on %lu record%s", e->what, e->verdicts,
                    e->verdicts == 1 ? "" : "s", e->records, e->records == 1 ? "" : "s");
        layout_wrap(out, width, "  - ", 4, line.s);
    }
    if (b->entry_count > ENTRIES_SHOWN) {
        sbuf_clear(&line);
        sbuf_printf(&line, "and %zu more", b->entry_count - ENTRIES_SHOWN);
        layout_wrap(out, width, "  - ", 4, line.s);
    }
    sbuf_putc(out, '\n');
    if (line.failed)
        out->failed = true;
    sbuf_free(&line);
}

/* One line: as many labels as it holds, then how many more. */
static void put_lot(struct sbuf *out, int width, const struct blanks *b,
                    const struct blank_lot *lot)
{
    struct sbuf line = SBUF_INIT, name = SBUF_INIT, more = SBUF_INIT;

    sbuf_printf(&name, "%s %s", lot->kind, lot->id);
    utf8_put_clean(&line, name.s, false);
    sbuf_pad(&line, ' ', utf8_width(line.s) < LOT_COLUMN ? LOT_COLUMN - utf8_width(line.s) : 1);
    sbuf_printf(&line, "%lu open, %zu blank:", lot->verdicts, lot->count);
    for (size_t i = 0; i < lot->count; i++) {
        const char *label = b->of_lots[lot->first + i];
        size_t left = lot->count - i;

        sbuf_clear(&more);
        sbuf_printf(&more, ", and %zu more", left);
        if (utf8_width(line.s) + utf8_width(label) + (left > 1 ? utf8_width(more.s) : 0) + 2 >
            (size_t)width) {
            if (i == 0) /* no room for a single one: the count says it */
                line.s[line.len = line.len - 1] = '\0';
            else
                sbuf_puts(&line, more.s);
            break;
        }
        sbuf_printf(&line, "%s %s", i > 0 ? "," : "", label);
    }
    sbuf_printf(out, "%s\n", line.s);
    if (line.failed || name.failed || more.failed)
        out->failed = true;
    sbuf_free(&line);
    sbuf_free(&name);
    sbuf_free(&more);
}

static void put_blanks(struct sbuf *out, const struct report_style *style, const struct report *r)
{
    struct blanks *b = blanks_gather(r);
    struct sbuf head = SBUF_INIT;

    if (b == NULL) {
        out->failed = true;
        return;
    }
    sbuf_printf(&head,
                "What is not written down cannot be judged: %lu verdicts are open for want of %zu "
                "kinds of entry. Those that most wait for:",
                b->verdicts, b->entry_count);
    layout_heading(out, style, "Could not be told");
    layout_wrap(out, style->width, NULL, 0, head.s);
    sbuf_putc(out, '\n');
    put_entries(out, style->width, b);
    layout_wrap(out, style->width, NULL, 0,
                "Lot by lot; `lotward audit --lot LOT` names every entry, with its rules.");
    sbuf_putc(out, '\n');
    for (size_t i = 0; i < b->lot_count; i++)
        put_lot(out, style->width, b, &b->lots[i]);
    sbuf_putc(out, '\n');
    if (head.failed)
        out->failed = true;
    sbuf_free(&head);
    blanks_free(b);
}

void text_untold(struct sbuf *out, const struct report_style *style, const struct report *r)
{
    const struct finding **list;
    size_t n = 0;

    if (r->findings->count == 0)
        return;
    if (blanks_are_many(r)) {
        put_blanks(out, style, r);
        return;
    }
    list = mem_calloc(r->findings->count, sizeof *list);
    if (list == NULL) {
        out->failed = true;
        return;
    }
    for (size_t i = 0; i < r->findings->count; i++) {
        const struct finding *f = &r->findings->items[i];

        if (f->verdict == VERDICT_CANNOT_TELL && f->waiver == NULL && report_shows(r, f))
            list[n++] = f;
    }
    if (n > 0) {
        layout_heading(out, style, "Could not be told");
        layout_wrap(out, style->width, NULL, 0,
                    "What is not written down cannot be judged. Each entry names what to add.");
        sbuf_putc(out, '\n');
        qsort(list, n, sizeof *list, by_needs);
        n = shared_first(out, style->width, list, n);
        qsort(list, n, sizeof *list, by_subject);
        for (size_t i = 0; i < n;) {
            size_t k = i + 1;

            while (k < n && same_subject(list[i], list[k]))
                k++;
            put_subject(out, style->width, list + i, k - i);
            i = k;
        }
        sbuf_putc(out, '\n');
    }
    mem_free(list);
}
