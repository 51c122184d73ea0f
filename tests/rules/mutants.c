/* mutants.c - the mutants of one rule, made from the text of its expressions. */
#include "mutants.h"
#include "text/mem.h"
#include "text/sbuf.h"
#include "text/utf8.h"

const char *mutant_kind_name(enum mutant_kind k)
{
    static const char *const names[MUTANT_KINDS] = {"comparison", "limit", "conjunct"};
    return names[k];
}

void mutants_free(struct mutants *m)
{
    for (size_t i = 0; i < m->count; i++) {
        mem_free(m->items[i].what);
        mem_free(m->items[i].where);
        mem_free(m->items[i].value);
        mem_free(m->items[i].against);
        mem_free(m->items[i].limit_sql);
    }
    mem_free(m->items);
    *m = (struct mutants){0};
}

/* Takes over the texts of x, whatever comes. */
static bool add(struct mutants *m, struct mutant x, bool ok)
{
    struct mutant *grown =
        ok && x.what ? mem_grow(m->items, &m->cap, m->count + 1, sizeof x) : NULL;
    if (!grown) {
        mem_free(x.what);
        mem_free(x.where);
        mem_free(x.value);
        mem_free(x.against);
        mem_free(x.limit_sql);
        return false;
    }
    m->items = grown;
    m->items[m->count++] = x;
    return true;
}

static char *LW_PRINTF(1, 2) words(const char *fmt, ...)
{
    struct sbuf b = SBUF_INIT;
    va_list ap;
    va_start(ap, fmt);
    sbuf_vprintf(&b, fmt, ap);
    va_end(ap);
    return sbuf_take(&b);
}

/* ---- the text of an expression ---- */

enum token { TOKEN_END, TOKEN_WORD, TOKEN_SIGN, TOKEN_OPEN, TOKEN_SHUT, TOKEN_OTHER };

struct scan {
    const char *s;
    size_t at, len; /* the token found */
};

static bool word_byte(char c)
{
    return ascii_alpha(c) || ascii_digit(c) || c == '_' || c == '.';
}

static enum token next(struct scan *c)
{
    const char *s = c->s + c->at + c->len;
    while (ascii_space(*s))
        s++;
    c->at = (size_t)(s - c->s);
    c->len = 1;
    if (*s == '\0') {
        c->len = 0;
        return TOKEN_END;
    }
    if (*s == '\'' || *s == '"') {
        const char *end = strchr(s + 1, *s);
        c->len = end ? (size_t)(end - s) + 1 : strlen(s);
        return TOKEN_OTHER;
    }
    if (*s == '(' || *s == ')')
        return *s == '(' ? TOKEN_OPEN : TOKEN_SHUT;
    if (strchr("<>=!", *s)) {
        c->len = strspn(s, "<>=!");
        return TOKEN_SIGN;
    }
    if (!word_byte(*s))
        return TOKEN_OTHER;
    while (word_byte(s[c->len]))
        c->len++;
    return TOKEN_WORD;
}

static bool is(const struct scan *c, const char *word)
{
    size_t n = strlen(word);
    if (c->len != n)
        return false;
    for (size_t i = 0; i < n; i++)
        if (ascii_tolower(c->s[c->at + i]) != word[i])
            return false;
    return true;
}

/* s with len bytes at `at` replaced. */
static char *spliced(const char *s, size_t at, size_t len, const char *with)
{
    return words("%.*s%s%s", (int)at, s, with, s + at + len);
}

/* Which part of a rule an expression is. */
enum part { PART_WHERE, PART_VALUE };

static bool edit(struct mutants *m, const struct rule *r, enum part part, const char *s, size_t at,
                 size_t len, const char *with)
{
    char *changed = spliced(s, at, len, with);
    struct mutant x = {.kind = MUTANT_COMPARISON, .form = r->form};
    bool ok = changed != NULL;
    x.what = words("%s: at byte %zu '%.*s' made '%s'", part == PART_WHERE ? "where" : "must", at,
                   (int)len, s + at, *with ? with : "nothing");
    if (part == PART_WHERE) {
        x.has_where = true;
        x.where = changed;
    } else {
        x.has_must = true;
        x.value = changed;
        x.against = mem_strdup(r->against);
        ok = ok && (!r->against || x.against);
    }
    return add(m, x, ok);
}

static bool turn_sign(struct mutants *m, const struct rule *r, enum part part, const struct scan *c)
{
    static const struct {
        const char *from, *near, *far;
    } turns[] = {{"<", "<=", ">="}, {"<=", "<", ">"},   {">", ">=", "<="}, {">=", ">", "<"},
                 {"=", NULL, "<>"}, {"==", NULL, "<>"}, {"<>", NULL, "="}, {"!=", NULL, "="}};
    for (size_t i = 0; i < LW_COUNT(turns); i++)
        if (is(c, turns[i].from))
            return (!turns[i].near || edit(m, r, part, c->s, c->at, c->len, turns[i].near)) &&
                   edit(m, r, part, c->s, c->at, c->len, turns[i].far);
    return true;
}

static bool is_test(const struct scan *c)
{
    return is(c, "in") || is(c, "like") || is(c, "glob") || is(c, "between") || is(c, "exists");
}

/* is / is not, in / not in, like / not like, not x / x. */
static bool turn_word(struct mutants *m, const struct rule *r, enum part part, struct scan *c)
{
    struct scan then = *c;
    if (is(c, "is")) {
        (void)next(&then);
        if (!is(&then, "not"))
            return edit(m, r, part, c->s, c->at, c->len, "is not");
        bool ok = edit(m, r, part, c->s, c->at, then.at + then.len - c->at, "is");
        *c = then;
        return ok;
    }
    if (is(c, "not")) {
        (void)next(&then);
        bool ok = edit(m, r, part, c->s, c->at, then.at - c->at, "");
        if (is_test(&then))
            *c = then;
        return ok;
    }
    return !is_test(c) || edit(m, r, part, c->s, c->at, 0, "not ");
}

static bool comparisons(struct mutants *m, const struct rule *r, enum part part, const char *s)
{
    struct scan c = {s, 0, 0};
    bool ok = true;
    for (enum token t = next(&c); ok && t != TOKEN_END; t = next(&c)) {
        if (t == TOKEN_SIGN)
            ok = turn_sign(m, r, part, &c);
        else if (t == TOKEN_WORD)
            ok = turn_word(m, r, part, &c);
    }
    return ok;
}

/* ---- conjuncts of the condition ---- */

enum { CONJUNCTS_MOST = 32 };

struct conjuncts {
    size_t from[CONJUNCTS_MOST], to[CONJUNCTS_MOST], count;
};

/* Splits at the outer ANDs; one conjunct when the outer word is OR. */
static void split(const char *s, struct conjuncts *out)
{
    struct scan c = {s, 0, 0};
    int depth = 0;
    bool between = false, either = false;
    *out = (struct conjuncts){.count = 1};
    for (enum token t = next(&c); t != TOKEN_END; t = next(&c)) {
        if (t == TOKEN_OPEN || (t == TOKEN_WORD && is(&c, "case")))
            depth++;
        else if (t == TOKEN_SHUT || (t == TOKEN_WORD && is(&c, "end")))
            depth--;
        else if (t == TOKEN_WORD && depth == 0 && is(&c, "between"))
            between = true;
        else if (t == TOKEN_WORD && depth == 0 && is(&c, "or"))
            either = true;
        else if (t == TOKEN_WORD && depth == 0 && is(&c, "and") && between)
            between = false;
        else if (t == TOKEN_WORD && depth == 0 && is(&c, "and") && out->count < CONJUNCTS_MOST) {
            out->to[out->count - 1] = c.at;
            out->from[out->count++] = c.at + c.len;
        }
    }
    out->to[out->count - 1] = strlen(s);
    if (either) {
        out->from[0] = 0;
        out->to[0] = strlen(s);
        out->count = 1;
    }
}

static char *join(const char *s, const struct conjuncts *c, size_t changed, bool negate)
{
    struct sbuf b = SBUF_INIT;
    for (size_t i = 0; i < c->count; i++) {
        if (i == changed && !negate)
            continue;
        sbuf_printf(&b, "%s%s(%.*s)", b.len > 0 ? " and " : "", i == changed ? "not " : "",
                    (int)(c->to[i] - c->from[i]), s + c->from[i]);
    }
    return sbuf_take(&b);
}

static bool conjuncts(struct mutants *m, const struct rule *r)
{
    struct conjuncts c;
    bool ok = true;
    split(r->where, &c);
    for (size_t i = 0; ok && i < c.count; i++)
        for (int negate = 0; ok && negate <= 1; negate++) {
            size_t from = c.from[i], to = c.to[i];
            while (from < to && ascii_space(r->where[from]))
                from++;
            while (to > from && ascii_space(r->where[to - 1]))
                to--;
            struct mutant x = {.kind = MUTANT_CONJUNCT, .has_where = true};
            x.what = words("where: %s: %.*s", negate ? "negated" : "dropped", (int)(to - from),
                           r->where + from);
            bool none = c.count == 1 && !negate;
            x.where = none ? NULL : join(r->where, &c, i, negate != 0);
            ok = add(m, x, none || x.where);
        }
    return ok;
}

/* ---- the requirement as a whole, and its limit ---- */

static bool form(struct mutants *m, const struct rule *r, const char *what, enum must_form f,
                 char *value, const char *against)
{
    struct mutant x = {.kind = MUTANT_COMPARISON, .has_must = true, .form = f, .value = value};
    x.what = words("must: %s", what);
    x.against = mem_strdup(against);
    (void)r;
    return add(m, x, value && (!against || x.against));
}

static bool forms(struct mutants *m, const struct rule *r, bool limit)
{
    const char *v = r->value, *a = r->against;
    switch (r->form) {
    case MUST_PRESENT:
        return form(m, r, "present made absent", MUST_TRUE,
                    words("((%s) is null or (%s) = '')", v, v), NULL);
    case MUST_MATCHES:
        return form(m, r, "matches made matches not", MUST_TRUE,
                    words("not lw_matches('%s', %s)", a, v), NULL);
    case MUST_BEFORE:
        return form(m, r, "before made not-before", MUST_NOT_BEFORE, mem_strdup(v), a) &&
               form(m, r, "before made on or before", MUST_TRUE, words("(%s) <= (%s)", v, a), NULL);
    case MUST_NOT_BEFORE:
        return form(m, r, "not-before made before", MUST_BEFORE, mem_strdup(v), a) &&
               form(m, r, "not-before made after", MUST_TRUE, words("(%s) > (%s)", v, a), NULL);
    case MUST_AT_MOST:
        return form(m, r, "at-most made at-least", MUST_AT_LEAST, mem_strdup(v), a) &&
               (limit || form(m, r, "at-most made less than", MUST_TRUE,
                              words("(%s) < (%s) * (1 - 1e-6)", v, a), NULL));
    case MUST_AT_LEAST:
        return form(m, r, "at-least made at-most", MUST_AT_MOST, mem_strdup(v), a) &&
               (limit || form(m, r, "at-least made more than", MUST_TRUE,
                              words("(%s) > (%s) * (1 + 1e-6)", v, a), NULL));
    case MUST_TRUE:
        return form(m, r, "negated", MUST_TRUE, words("not (%s)", v), NULL);
    }
    return false;
}

/* A limit moved by a tenth either way (a temperature by 2 degrees, a count by one), and its words
 * ("not more than" or "less than") exchanged. */
static bool limits(struct mutants *m, const struct rule *r, const char *other)
{
    static const struct {
        const char *what, *sql;
    } changes[] = {
        {"limit raised by a tenth",
         "update lim_in_force set value = case when unit in ('degC', 'degF') then value + 2"
         " when unit = 'count' or abs(value) < 1e-9 then value + 1"
         " else value + abs(value) * 0.1 end where name = ?1"},
        {"limit lowered by a tenth",
         "update lim_in_force set value = case when unit in ('degC', 'degF') then value - 2"
         " when unit = 'count' or abs(value) < 1e-9 then value - 1"
         " else value - abs(value) * 0.1 end where name = ?1"},
        {"limit's own value counted otherwise",
         "update lim_in_force set words = case words when 'not-more-than' then 'less-than'"
         " when 'less-than' then 'not-more-than' when 'not-less-than' then 'more-than'"
         " when 'more-than' then 'not-less-than' else words end where name = ?1"},
    };
    bool ok = true;
    for (size_t i = 0; ok && i < LW_COUNT(changes); i++) {
        struct mutant x = {.kind = MUTANT_LIMIT};
        x.what = words("%s: %s", changes[i].what, r->against);
        x.limit_sql = mem_strdup(changes[i].sql);
        ok = add(m, x, x.limit_sql != NULL);
    }
    if (ok && other) {
        struct mutant x = {.kind = MUTANT_LIMIT, .has_must = true, .form = r->form};
        x.what = words("limit %s made %s", r->against, other);
        x.value = mem_strdup(r->value);
        x.against = mem_strdup(other);
        ok = add(m, x, x.value && x.against);
    }
    return ok;
}

bool mutants_make(const struct rule *r, bool limit, const char *other, struct mutants *out)
{
    *out = (struct mutants){0};
    return (!r->where || (comparisons(out, r, PART_WHERE, r->where) && conjuncts(out, r))) &&
           (r->form != MUST_TRUE || comparisons(out, r, PART_VALUE, r->value)) &&
           forms(out, r, limit) && (!limit || limits(out, r, other));
}
