/* card_codes.c - the cards of a statement code, a fire class and a limit. */
#include "text/base.h"

#include "command/card.h"
#include "command/rows.h"
#include "text/show.h"
#include "text/utf8.h"

/* --- statements --------------------------------------------------------------------------------
 */

static const char statement_sql[] =
    "select case when replaced_by is null then 'wording' else 'earlier wording' end, null, null,"
    " null, null, text, source, sure from cat_statement where code = ?1"
    " union all select 'kind', null, null, null, null, part || case when purpose <> part then ', '"
    "  || purpose else '' end, null, null from (select distinct part, purpose from cat_statement"
    "  where code = ?1)"
    " union all select 'words for the blank', null, null, null, null, fill, source, sure"
    "  from cat_statement_fill where code = ?1"
    " union all select 'of hazard class', null, null, null, null, name || coalesce(', ' ||"
    "  signal_word, '') || coalesce(', symbol ' || pictogram, ''), source, sure"
    "  from cat_hazard_class where code = ?1"
    " union all select 'goes with, ' || group_concat(distinct a.purpose), null, null, null, null,"
    "  replace(replace(group_concat(distinct h.name), ', ', ' '), ',', '; '), a.source, a.sure "
    "from cat_statement_allotment a"
    "  join cat_hazard_class h on h.id = a.hazard_class where a.code = ?1 group by a.source, "
    "a.sure";

bool card_statement(struct session *s, const struct candidate *c)
{
    return card_facts(s, "facts", NULL, statement_sql, c) &&
           card_rows(
               s, "use", "Where it is used", "regime status until source sure",
               "select distinct r.name, case when w.replaced_by is null then u.status else u.status"
               " || ' (earlier wording)' end, u.accepted_until, u.source,"
               " u.sure from cat_statement_use u"
               " join cat_statement w on w.id = u.statement"
               " left join cat_regime r on r.id = u.regime where w.code = ?1 order by 1, 2",
               c);
}

/* --- fire classes ------------------------------------------------------------------------------
 */

static const char class_sql[] =
    "select 'in words', null, null, null, null, words, source, sure from cat_fire_class"
    " where scheme = ?1 and class = ?2"
    " union all select 'flash point at least', flash_at_least, null, null, temp_unit, null, source,"
    "  sure from cat_fire_class where scheme = ?1 and class = ?2"
    " union all select 'flash point above', flash_above, null, null, temp_unit, null, source, sure"
    "  from cat_fire_class where scheme = ?1 and class = ?2"
    " union all select 'flash point below', flash_below, null, null, temp_unit, null, source, sure"
    "  from cat_fire_class where scheme = ?1 and class = ?2"
    " union all select 'flash point at most', flash_at_most, null, null, temp_unit, null, source,"
    "  sure from cat_fire_class where scheme = ?1 and class = ?2"
    " union all select 'boiling point at least', boil_at_least, null, null, temp_unit, null, "
    "source,"
    "  sure from cat_fire_class where scheme = ?1 and class = ?2"
    " union all select 'boiling point above', boil_above, null, null, temp_unit, null, source, sure"
    "  from cat_fire_class where scheme = ?1 and class = ?2"
    " union all select 'boiling point below', boil_below, null, null, temp_unit, null, source, sure"
    "  from cat_fire_class where scheme = ?1 and class = ?2"
    " union all select 'boiling point at most', boil_at_most, null, null, temp_unit, null, source,"
    "  sure from cat_fire_class where scheme = ?1 and class = ?2"
    " union all select 'only by test', null, null, null, null, by_test, source, sure"
    "  from cat_fire_class where scheme = ?1 and class = ?2 and by_test = 'yes'"
    " union all select 'hazard statement', null, null, null, null, statement ||"
    "  coalesce(', ' || signal_word, ''), source, sure from cat_fire_class where scheme = ?1 and"
    "  class = ?2"
    " union all select 'packing group', null, null, null, null, packing_group, source, sure"
    "  from cat_fire_class where scheme = ?1 and class = ?2"
    " union all select 'edition', null, null, null, null, edition, source, sure from cat_fire_class"
    " where scheme = ?1 and class = ?2";

bool card_fire_class(struct session *s, const struct candidate *c)
{
    report_add_note(&s->report, "Figures of a limit: lotward card LIMIT. The flash point of a "
                                "strength: lotward work flash.");
    return card_facts(s, "facts", NULL, class_sql, c) &&
           card_rows(
               s, "limits", "Limits that name this class, by code set", "code-set figures limits",
               "select codeset, n, names from (select l.codeset, count(*) n,"
               " replace(group_concat(distinct l.name), ',', ', ') names from lim l join codeset k"
               " on k.id = l.codeset where k.scheme = ?1"
               " and instr('+' || l.class || '+', '+' || ?2 || '+') group by l.codeset)"
               " order by codeset",
               c);
}

/* --- limits ------------------------------------------------------------------------------------
 */

enum { LIMIT_ROWS_MOST = 24 }; /* more than a screen: by code set first */

static const char limit_sql[] =
    "select 'what is compared', null, null, null, null, meaning, source, sure from cat_limit_name"
    " where name = ?1"
    " union all select 'topic', null, null, null, null, topic || ', ' || dimension, null, null"
    "  from cat_limit_name where name = ?1"
    " union all select 'bounds', null, null, null, null, case bound when 'upper' then 'more is"
    " worse' when 'lower' then 'less is worse' else 'a figure used in arithmetic, or a boundary'"
    " end, null, null from cat_limit_name where name = ?1"
    " union all select 'compared with', null, null, null, null, case sum when 'yes' then 'the sum"
    " over everything its conditions cover' else 'one thing at a time' end, null, null"
    "  from cat_limit_name where name = ?1";

/* code set, class, conditions ..., words, value, unit, cite, sure, note */
static void limit_row(struct session *s, sqlite3_stmt *st, void *user)
{
    enum { CLASS = 1, CONDITION, CONDITIONS_END = 9, WORDS = 9, VALUE, UNIT, CITE, SURE };
    struct report_table *t = user;
    struct sbuf b = SBUF_INIT;

    report_cell(&s->report, t, rows_text(st, 0));
    report_cell(&s->report, t, rows_text(st, CLASS));
    for (int i = CONDITION; i < CONDITIONS_END; i++)
        if (rows_text(st, i) != NULL)
            sbuf_printf(&b, "%s%s", b.len > 0 ? ", " : "", rows_text(st, i));
    report_cell(&s->report, t, b.s);
    sbuf_clear(&b);
    sbuf_puts(&b, rows_text(st, WORDS));
    for (char *p = b.s; *p != '\0'; p++)
        if (*p == '-')
            *p = ' ';
    if (sqlite3_column_type(st, VALUE) != SQLITE_NULL) {
        sbuf_putc(&b, ' ');
        show_quantity(&b, sqlite3_column_double(st, VALUE), rows_text(st, UNIT), session_units(s));
    }
    report_cell(&s->report, t, b.s);
    sbuf_clear(&b);
    sbuf_printf(&b, "%s (%s)", rows_text(st, CITE), report_sureness(rows_text(st, SURE)));
    report_cell(&s->report, t, b.s);
    if (b.failed)
        s->report.failed = true;
    sbuf_free(&b);
}

static bool put_figures(struct session *s, const struct candidate *c, const char *code_set)
{
    static const char *const columns[] = {"code-set", "class", "where", "figure", "cited-from"};
    struct report_table *t = report_add_table(&s->report, "figures",
                                              "Figures, as the codes print them", NULL, TABLE_GRID);

    for (size_t i = 0; i < LW_COUNT(columns); i++)
        report_column(&s->report, t, columns[i], NULL, NULL, ALIGN_LEFT);
    return rows_select(s,
                       "select codeset, class, container, occupancy, situation, 'storey ' ||"
                       " storey, 'sprinklers ' || sprinklers, 'cabinet ' || cabinet, cond, words,"
                       " value, unit, cite, sure from lim where name = ?1"
                       " and (?2 is null or codeset = ?2) order by codeset, class, rowid",
                       c->id, code_set, limit_row, t);
}

bool card_limit(struct session *s, const struct candidate *c)
{
    const char *code_set = option_text(&s->options, "code-set");
    struct candidate of = *c;
    bool ok = true;
    long count;

    if (!card_facts(s, "facts", NULL, limit_sql, c))
        return false;
    count = rows_count(s, "select count(*) from lim where name = ?1", c->id, &ok);
    if (code_set != NULL) {
        snprintf(of.part, sizeof of.part, "%s", code_set);
        if (rows_count(s, "select count(*) from codeset where id = ?1", code_set, &ok) == 0 && ok) {
            session_usage(s, "the code sets are listed by lotward card and the limit's name",
                          "--code-set: there is no code set '%s'", code_set);
            return false;
        }
        return ok && put_figures(s, c, code_set);
    }
    if (!ok)
        return false;
    if (count <= LIMIT_ROWS_MOST)
        return put_figures(s, c, NULL);
    report_add_note(&s->report, "Too many figures for one screen: name one code set with "
                                "--code-set ID.");
    return card_rows(s, "code-sets", "Code sets that print figures of this name",
                     "code-set title figures",
                     "select k.id, k.title, count(*) from lim l join codeset k on k.id = l.codeset"
                     " where l.name = ?1 group by k.id order by k.id",
                     &of);
}
