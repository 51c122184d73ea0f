/* sqltext.c - words and numbers of labels as SQL functions.
 *
 *   lw_check_cas(text) lw_check_ec(text) lw_check_index(text) lw_check_gtin(text)
 *   lw_check_ufi(text)                'ok', 'bad form' or 'bad check digit'
 *   lw_item(list, separators, n)      item n of a list, from 1; empty past its end
 *   lw_statement(template, text)      1 when the statement stands in the text as it must, else 0
 *   lw_statement_near(template, text) words of the text that come near it; empty when none do
 *   lw_statement_fill(template, fill) the statement ready to print; fill may be empty
 *   lw_phrase(text, phrase)           1 when the phrase stands in the text between blanks, else 0
 *   lw_root(x)                        square root: the side of an area; empty below zero */
#include "text/base.h"

#include "fact/sqlfunc.h"
#include "fact/sqltext.h"
#include "text/checkdigit.h"

#define PURE (SQLITE_UTF8 | SQLITE_DETERMINISTIC | SQLITE_DIRECTONLY)

static const char *text_arg(sqlite3_value *arg)
{
    return sqlite3_value_type(arg) == SQLITE_TEXT ? (const char *)sqlite3_value_text(arg) : NULL;
}

static void give(sqlite3_context *c, struct sbuf *b)
{
    if (b->failed)
        sqlite3_result_error_nomem(c);
    else if (b->len > 0)
        sqlite3_result_text(c, b->s, (int)b->len, SQLITE_TRANSIENT);
    sbuf_free(b);
}

typedef enum check_result check_fn(const char *text);

struct check {
    const char *name;
    check_fn *fn;
};

static const struct check checks[] = {{"lw_check_cas", check_cas},
                                      {"lw_check_ec", check_ec},
                                      {"lw_check_index", check_index_number},
                                      {"lw_check_gtin", check_gtin},
                                      {"lw_check_ufi", check_ufi}};

static void fn_check(sqlite3_context *c, int n, sqlite3_value **v)
{
    const struct check *check = sqlite3_user_data(c);
    const char *s = text_arg(v[0]);

    (void)n;
    if (s != NULL)
        sqlite3_result_text(c, check_result_name(check->fn(s)), -1, SQLITE_STATIC);
}

static void fn_phrase(sqlite3_context *c, int n, sqlite3_value **v)
{
    const char *text = text_arg(v[0]), *phrase = text_arg(v[1]);

    (void)n;
    if (text == NULL || phrase == NULL)
        return;
    size_t length = strlen(phrase);
    const char *p = length > 0 ? strstr(text, phrase) : NULL;
    while (p != NULL && ((p > text && p[-1] != ' ') || (p[length] != ' ' && p[length] != '\0')))
        p = strstr(p + 1, phrase);
    sqlite3_result_int(c, p != NULL);
}

static void fn_item(sqlite3_context *c, int n, sqlite3_value **v)
{
    const char *list = text_arg(v[0]), *separators = text_arg(v[1]), *item;
    double number = 0;
    size_t length = 0;

    (void)n;
    if (list == NULL || separators == NULL || !sqlfunc_number(v[2], &number) || number < 1)
        return;
    item = list_item(list, separators, (size_t)number, &length);
    if (item != NULL)
        sqlite3_result_text(c, item, (int)length, SQLITE_TRANSIENT);
}

static void fn_statement(sqlite3_context *c, int n, sqlite3_value **v)
{
    const char *template = text_arg(v[0]), *printed = text_arg(v[1]);
    size_t length = 0;

    (void)n;
    if (template != NULL && printed != NULL)
        sqlite3_result_int(c, statement_find(template, printed, &length) != NULL);
}

static void fn_near(sqlite3_context *c, int n, sqlite3_value **v)
{
    const char *template = text_arg(v[0]), *printed = text_arg(v[1]);
    struct sbuf b = SBUF_INIT;

    (void)n;
    if (template != NULL && printed != NULL) {
        statement_near(template, printed, &b);
        give(c, &b);
    }
}

static void fn_fill(sqlite3_context *c, int n, sqlite3_value **v)
{
    const char *template = text_arg(v[0]);
    struct sbuf b = SBUF_INIT;

    (void)n;
    if (template != NULL) {
        statement_fill(template, text_arg(v[1]), &b);
        give(c, &b);
    }
}

static void fn_root(sqlite3_context *c, int n, sqlite3_value **v)
{
    double x = 0;

    (void)n;
    if (sqlfunc_number(v[0], &x) && x >= 0)
        sqlite3_result_double(c, sqrt(x));
}

int sqltext_register(sqlite3 *db)
{
    static const struct {
        const char *name;
        int args;
        void (*fn)(sqlite3_context *, int, sqlite3_value **);
    } table[] = {{"lw_item", 3, fn_item},           {"lw_phrase", 2, fn_phrase},
                 {"lw_statement", 2, fn_statement}, {"lw_statement_near", 2, fn_near},
                 {"lw_statement_fill", 2, fn_fill}, {"lw_root", 1, fn_root}};
    int rc = SQLITE_OK;

    for (size_t i = 0; i < LW_COUNT(table) && rc == SQLITE_OK; i++)
        rc = sqlite3_create_function_v2(db, table[i].name, table[i].args, PURE, NULL, table[i].fn,
                                        NULL, NULL, NULL);
    for (size_t i = 0; i < LW_COUNT(checks) && rc == SQLITE_OK; i++)
        rc = sqlite3_create_function_v2(db, checks[i].name, 1, PURE, (void *)&checks[i], fn_check,
                                        NULL, NULL, NULL);
    return rc;
}
