/* card_grade.c - the card of a grade of ethanol. */
#include "text/base.h"

#include "command/card.h"

static const char grade_sql[] =
    "select 'kind', null, null, null, null, kind || coalesce(', ' || country, ''), source, sure"
    "  from cat_ethanol_grade where id = ?1"
    " union all select 'strength', low_volpct, high_volpct,"
    "  case when high_volpct is null then 'yes' end, '%vol', strength_basis, source, sure"
    "  from cat_ethanol_grade where id = ?1 and low_volpct is not null"
    " union all select 'added', null, null, null, null, denaturant, source, sure"
    "  from cat_ethanol_grade where id = ?1"
    " union all select 'perfume among its uses', null, null, null, null, perfume, source, sure"
    "  from cat_ethanol_grade where id = ?1"
    " union all select 'needed first', null, null, null, null, permit, source, sure"
    "  from cat_ethanol_grade where id = ?1"
    " union all select 'note', null, null, null, null, note, source, sure from cat_ethanol_grade"
    "  where id = ?1";

bool card_grade(struct session *s, const struct candidate *c)
{
    report_add_note(&s->report, "What may be used for what, and with which permit, is for the "
                                "excise authority of the country: ask before buying.");
    return card_facts(s, "facts", NULL, grade_sql, c);
}
