/* sqlaccount.c - what is left on several permits while receipts draw on them in turn.
 *
 * The state is a text of "permit=left" words. It travels through a recursive SELECT, so that the
 * order of drawing is the SELECT's to choose and nothing is remembered between calls. */
#include "text/base.h"

#include "fact/sqlfunc.h"
#include "text/number.h"
#include "text/sbuf.h"
#include "text/utf8.h"

#define PURE (SQLITE_UTF8 | SQLITE_DETERMINISTIC | SQLITE_DIRECTONLY)

struct word {
    const char *s;
    size_t n;
};

static bool next_word(const char **p, struct word *w)
{
    while (ascii_space(**p))
        (*p)++;
    w->s = *p;
    while (**p && !ascii_space(**p))
        (*p)++;
    w->n = (size_t)(*p - w->s);
    return w->n > 0;
}

static bool same(struct word a, struct word b)
{
    return a.n == b.n && strncmp(a.s, b.s, a.n) == 0;
}

/* Splits "permit=12.5"; the permit's own id may hold any character but a blank and '='. */
static bool split(struct word w, struct word *name, double *left)
{
    const char *eq = memchr(w.s, '=', w.n);
    char text[64];

    if (!eq)
        return false;
    *name = (struct word){w.s, (size_t)(eq - w.s)};
    size_t n = w.n - name->n - 1;
    if (n == 0 || n >= sizeof text)
        return false;
    memcpy(text, eq + 1, n);
    text[n] = '\0';
    return number_exact(text, left);
}

/* The permit after it has given `taken`; untouched ones keep their text. */
static void draw_one(struct sbuf *out, struct word w, struct word name, double left, double taken)
{
    if (out->len > 0)
        sbuf_putc(out, ' ');
    if (taken > 0 || taken < 0)
        sbuf_printf(out, "%.*s=%.17g", (int)name.n, name.s, left - taken);
    else
        sbuf_printf(out, "%.*s", (int)w.n, w.s);
}

/* lw_take(state, names, amount): each permit in the order of `names` gives what it has; what none
 * of them can give is booked on the last. Empty when an argument is empty or not well formed. */
static void fn_take(sqlite3_context *c, int n, sqlite3_value **v)
{
    const char *state = (const char *)sqlite3_value_text(v[0]);
    const char *names = (const char *)sqlite3_value_text(v[1]);
    double amount = 0;
    struct sbuf current = SBUF_INIT, next = SBUF_INIT;
    struct word permit;

    (void)n;
    if (!state || !names || !sqlfunc_number(v[2], &amount))
        return;
    sbuf_puts(&current, state);
    for (const char *p = names; next_word(&p, &permit);) {
        struct word w, name;
        const char *q = p;
        bool last = !next_word(&q, &w);

        sbuf_free(&next);
        for (const char *s = current.s ? current.s : ""; next_word(&s, &w);) {
            double left = 0, taken = 0;
            if (!split(w, &name, &left))
                goto out;
            if (same(name, permit)) {
                taken = last ? amount : fmin(amount, fmax(left, 0));
                amount -= taken;
            }
            draw_one(&next, w, name, left, taken);
        }
        struct sbuf swap = current;
        current = next;
        next = swap;
    }
    if (current.failed || next.failed)
        sqlite3_result_error_nomem(c);
    else
        sqlite3_result_text(c, current.s ? current.s : "", -1, SQLITE_TRANSIENT);
out:
    sbuf_free(&current);
    sbuf_free(&next);
}

/* lw_left(state, permit): what is left on it; empty when it is not there. */
static void fn_left(sqlite3_context *c, int n, sqlite3_value **v)
{
    const char *state = (const char *)sqlite3_value_text(v[0]);
    const char *permit = (const char *)sqlite3_value_text(v[1]);
    struct word w, name;
    double left = 0;

    (void)n;
    if (!state || !permit)
        return;
    for (const char *s = state; next_word(&s, &w);)
        if (split(w, &name, &left) && name.n == strlen(permit) &&
            strncmp(name.s, permit, name.n) == 0) {
            sqlite3_result_double(c, left);
            return;
        }
}

int sqlaccount_register(sqlite3 *db)
{
    int rc = sqlite3_create_function_v2(db, "lw_take", 3, PURE, NULL, fn_take, NULL, NULL, NULL);

    return rc != SQLITE_OK ? rc
                           : sqlite3_create_function_v2(db, "lw_left", 2, PURE, NULL, fn_left, NULL,
                                                        NULL, NULL);
}
