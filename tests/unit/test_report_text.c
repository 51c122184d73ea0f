/* The terminal report: the order in which a finding is told, what may not be lost, and the last
 * line.
 *
 * The findings are made here, so that every part of the report is met. */
#include "unit.h"

#include "report/format.h"
#include "text/mem.h"
#include "text/date.h"
#include "text/utf8.h"

static struct rule_source sure_source = {(char *)"Invented Code", (char *)"5.2", (char *)"2024",
                                         (char *)"two-sources"};
static struct rule_source memory_source = {(char *)"Another Code", NULL, NULL,
                                           (char *)"from-memory"};

static struct rule stop_rule = {
    .id = (char *)"room-too-full",
    .topic = (char *)"storage",
    .title = (char *)"More in the room than its limit",
    .severity = SEVERITY_STOP,
    .why = (char *)"Vapour from a spill of it all could not be carried away.",
    .todo = (char *)"Take some of it elsewhere first.",
    .decides = (char *)"fire-authority",
    .sources = &sure_source,
    .source_count = 1,
};
static struct rule fix_rule = {
    .id = (char *)"lid-open",
    .topic = (char *)"ventilation",
    .title = (char *)"Vessel left open",
    .severity = SEVERITY_FIX,
    .why = (char *)"An open vessel evaporates all day.",
    .todo = (char *)"Close it.",
    .decides = (char *)"insurer",
    .sources = &memory_source,
    .source_count = 1,
};
static struct rule note_rule = {
    .id = (char *)"name-it",
    .topic = (char *)"record",
    .title = (char *)"Name missing",
    .severity = SEVERITY_NOTE,
    .why = (char *)"So that it can be found again.",
    .todo = (char *)"Write it down.",
    .decides = (char *)"maker",
    .sources = &sure_source,
    .source_count = 1,
};

static struct finding items[] = {
    {.rule = &stop_rule,
     .verdict = VERDICT_FAILS,
     .subject_kind = (char *)"place",
     .subject = (char *)"bench",
     .file = (char *)"plan.xml",
     .line = 12,
     .message = (char *)"The bench would hold 134 L.",
     .value = (char *)"134 L",
     .limit = (char *)"not more than 113.6 L",
     .limit_source = (char *)"Invented Code 5.2",
     .key = (char *)"room-too-full|place|bench|",
     .is_new = true},
    {.rule = &fix_rule,
     .verdict = VERDICT_FAILS,
     .subject_kind = (char *)"batch",
     .subject = (char *)"L-1",
     .lot = (char *)"L-1",
     .file = (char *)"lots.xml",
     .line = 3,
     .message = (char *)"Vessel of L-1 stands open.",
     .key = (char *)"lid-open|batch|L-1|"},
    {.rule = &fix_rule,
     .verdict = VERDICT_CANNOT_TELL,
     .subject_kind = (char *)"batch",
     .subject = (char *)"L-2",
     .lot = (char *)"L-2",
     .needs = (char *)"closure of vessel of lot L-2",
     .key = (char *)"lid-open|batch|L-2|"},
    {.rule = &fix_rule,
     .verdict = VERDICT_FAILS,
     .subject_kind = (char *)"batch",
     .subject = (char *)"L-3",
     .lot = (char *)"L-3",
     .message = (char *)"Vessel of L-3 stands open.",
     .key = (char *)"lid-open|batch|L-3|",
     .waiver = "W-7"},
    {.rule = &note_rule,
     .verdict = VERDICT_CANNOT_TELL,
     .subject_kind = (char *)"batch",
     .subject = (char *)"L-2",
     .lot = (char *)"L-2",
     .needs = (char *)"name of the room",
     .key = (char *)"name-it|batch|L-2|"},
    {.rule = &note_rule,
     .verdict = VERDICT_CANNOT_TELL,
     .subject_kind = (char *)"batch",
     .subject = (char *)"L-4",
     .lot = (char *)"L-4",
     .needs = (char *)"name of the room",
     .key = (char *)"name-it|batch|L-4|"},
};
static struct rule_tally tallies[] = {
    {&fix_rule, {5, 2, 1, 0}},
    {&note_rule, {1, 0, 2, 9}},
    {&stop_rule, {0, 1, 0, 0}},
};
static const struct findings findings = {items, LW_COUNT(items), tallies, LW_COUNT(tallies)};
static const struct findings nothing_before = {NULL, 0, NULL, 0};

static void fill(struct report *r)
{
    report_init(r, "check", "Check of everything");
    r->dated = true;
    r->as_of = date_to_days(2026, 12, 31);
    report_add_input(r, "lots.xml", false, 40, 0, true);
    report_add_code_set(r, "invented-2024", "The invented code", "2024");
    r->findings = &findings;
}

static char *render(const struct report *r, int width, bool color)
{
    struct report_style style = {.width = width, .color = color};
    struct sbuf b = SBUF_INIT;
    char *text;

    ck_assert(!r->failed);
    report_text(r, &style, &b);
    text = sbuf_take(&b);
    ck_assert_ptr_nonnull(text);
    return text;
}

/* Each of the texts stands in the report, in this order. */
static void check_order(const char *text, const char *const *parts)
{
    const char *at = text;

    for (; *parts != NULL; parts++) {
        const char *found = strstr(at, *parts);

        ck_assert_msg(found != NULL, "'%s' is missing, or not in its place, in:\n%s", *parts, text);
        at = found + strlen(*parts);
    }
}

START_TEST(a_finding_is_told_in_order)
{
    static const char *const parts[] = {"STOP",
                                        "More in the room than its limit [room-too-full]",
                                        "The bench would hold 134 L.",
                                        "plan.xml:12, place bench",
                                        "134 L; limit: not more than 113.6 L [Invented Code 5.2]",
                                        "Vapour from a spill",
                                        "Take some of it elsewhere",
                                        "Invented Code 5.2, 2024 (two sources agree)",
                                        "fire authority",
                                        "FIX",
                                        "Vessel of L-1 stands open.",
                                        "unconfirmed: from memory",
                                        "insurer",
                                        NULL};
    struct report r;
    char *text;

    fill(&r);
    text = render(&r, 120, false);
    check_order(text, parts);
    mem_free(text);
    report_release(&r);
}
END_TEST

/* What two lots wait for is asked for once; what one lot lacks stands with that lot. */
START_TEST(what_cannot_be_told_is_told_shortly)
{
    static const char *const parts[] = {
        "Could not be told",
        "needs: name of the room. Open without it: 2 verdicts on L-2, L-4 (rule name-it)",
        "batch L-2 needs: closure of vessel of lot L-2 (rule lid-open)",
        "Answered by a waiver",
        "Vessel of L-3 stands open.",
        "waiver W-7",
        NULL};
    struct report r;
    char *text;

    fill(&r);
    text = render(&r, 200, false);
    check_order(text, parts);
    mem_free(text);
    report_release(&r);
}
END_TEST

START_TEST(the_counts_close_the_report)
{
    static const char *const parts[] = {
        "As of 2026-12-31.",
        "1 stop, 1 fix, 0 query, 0 note; 3 could not be told; 1 answered by a waiver.",
        "3 run: 0 held, 2 failed, 1 could not be told, 0 did not apply",
        "6 held, 3 failed, 3 could not be told, 9 did not apply",
        "40 read, 0 not read; 1 file",
        "invented-2024: The invented code, 2024",
        "none in force",
        "The local authority",
        "decide.\n",
        NULL};
    struct report r;
    char *text;

    fill(&r);
    text = render(&r, 160, false);
    check_order(text, parts);
    ck_assert_ptr_null(strstr(text, "INCOMPLETE"));
    ck_assert(strlen(text) > 8 && strcmp(text + strlen(text) - 8, "decide.\n") == 0);
    mem_free(text);
    report_release(&r);
}
END_TEST

START_TEST(an_incomplete_report_says_so_last)
{
    struct report r;
    char *text;
    const char *last;

    fill(&r);
    report_add_incomplete(&r, "2 records of lots.xml not read.");
    text = render(&r, 160, false);
    text[strlen(text) - 1] = '\0';
    last = strrchr(text, '\n');
    ck_assert_ptr_nonnull(last);
    ck_assert_str_eq(last + 1, "INCOMPLETE: 2 records of lots.xml not read.");
    mem_free(text);
    report_release(&r);
}
END_TEST

START_TEST(a_plan_says_what_it_brings)
{
    static const char *const parts[] = {
        "; 1 new with this plan",
        "What this plan brings",
        "NEW with this plan: The bench would hold 134 L.",
        "Could not be told",
        "Already so before this plan",
        "FIX Vessel left open [lid-open]: Vessel of L-1 stands open. (lots.xml:3, batch L-1)",
        "Answered by a waiver",
        NULL};
    struct report r;
    char *text;

    fill(&r);
    r.before = &nothing_before;
    text = render(&r, 160, false);
    check_order(text, parts);
    mem_free(text);
    report_release(&r);
}
END_TEST

/* The same finding with another value is the plan's doing too. */
START_TEST(a_plan_says_what_it_changes)
{
    static struct finding smaller[1];
    static const struct findings was = {smaller, 1, NULL, 0};
    struct report r;
    char *text;

    smaller[0] = items[0];
    smaller[0].value = (char *)"20 L";
    items[0].is_new = false;
    fill(&r);
    r.before = &was;
    text = render(&r, 160, false);
    items[0].is_new = true;
    ck_assert_ptr_nonnull(strstr(text, "CHANGED by this plan: The bench would hold 134 L."));
    ck_assert_ptr_nonnull(strstr(text, "134 L (before this plan: 20 L); limit: not more"));
    mem_free(text);
    report_release(&r);
}
END_TEST

START_TEST(no_line_is_too_wide)
{
    for (int width = REPORT_WIDTH_LEAST; width <= REPORT_WIDTH_MOST; width += 7) {
        struct report r;
        char *text, *line;

        fill(&r);
        text = render(&r, width, false);
        for (line = text; *line != '\0';) {
            size_t n = strcspn(line, "\n");
            bool last = line[n] == '\0';

            line[n] = '\0';
            ck_assert_msg(utf8_width(line) <= (size_t)width, "wider than %d: %s", width, line);
            line += n + (last ? 0 : 1);
        }
        mem_free(text);
        report_release(&r);
    }
}
END_TEST

/* ECMA-48 sequences appear when asked for and never else; without them the words are the same. */
START_TEST(colour_carries_no_meaning)
{
    struct report r;
    char *plain, *colored;
    size_t n = 0;

    fill(&r);
    plain = render(&r, 100, false);
    colored = render(&r, 100, true);
    ck_assert_ptr_null(strchr(plain, 0x1b));
    ck_assert_ptr_nonnull(strchr(colored, 0x1b));
    for (const char *p = colored; *p != '\0'; p++) {
        if (*p == 0x1b)
            p += strcspn(p, "m");
        else
            colored[n++] = *p;
    }
    colored[n] = '\0';
    ck_assert_str_eq(plain, colored);
    mem_free(plain);
    mem_free(colored);
    report_release(&r);
}
END_TEST

START_TEST(json_carries_the_same)
{
    static const char *const parts[] = {"\"as_of\": \"2026-12-31\"",
                                        "\"complete\": true",
                                        "\"fails_by_severity\"",
                                        "\"stop\": 1",
                                        "\"key\": \"room-too-full|place|bench|\"",
                                        "\"limit\": \"not more than 113.6 L\"",
                                        "\"needs\": \"closure of vessel of lot L-2\"",
                                        "\"waiver\": \"W-7\"",
                                        "\"confirmed\": false",
                                        "\"deferral\"",
                                        NULL};
    struct report_style style = {.width = REPORT_WIDTH_USUAL};
    struct sbuf b = SBUF_INIT;
    struct report r;

    fill(&r);
    report_json(&r, &style, &b);
    ck_assert(!b.failed);
    check_order(b.s, parts);
    sbuf_free(&b);
    report_release(&r);
}
END_TEST

START_TEST(every_format_can_be_asked_for)
{
    struct sbuf names = SBUF_INIT;
    size_t count;
    const struct report_format *formats = report_formats(&count);

    for (size_t i = 0; i < count; i++) {
        sbuf_printf(&names, "%s%s", i > 0 ? " " : "", formats[i].name);
        ck_assert_ptr_eq(report_format_find(formats[i].name), &formats[i]);
    }
    ck_assert_str_eq(names.s, REPORT_FORMAT_NAMES);
    ck_assert_ptr_null(report_format_find("no such format"));
    sbuf_free(&names);
}
END_TEST

UNIT_MAIN("report", a_finding_is_told_in_order, what_cannot_be_told_is_told_shortly,
          the_counts_close_the_report, an_incomplete_report_says_so_last,
          a_plan_says_what_it_brings, a_plan_says_what_it_changes, no_line_is_too_wide,
          colour_carries_no_meaning, json_carries_the_same, every_format_can_be_asked_for)
