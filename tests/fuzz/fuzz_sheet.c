/* fuzz_sheet.c - the sheets that may come from elsewhere: rules, facts, code sets, catalogue
 * tables, and local values in records.
 *
 * The first byte picks which. What must hold: a sheet taken or refused, the records and limits stay
 * as they were; another rule over the same fact gives the verdicts it gives alone; a local value
 * that loosens a limit says who set it, when and where; nothing runs for ever. */
#include "fuzz.h"

#include "fact/fact.h"
#include "record/catalogue.h"
#include "record/image.h"
#include "record/reader.h"
#include "rule/evaluate.h"
#include "text/date.h"
#include "text/mem.h"

enum { RULE, FACT, LIMITS, TABLE, LOCAL, SORTS };
enum { AS_OF_YEAR = 2026, AS_OF_MONTH = 6, AS_OF_DAY = 30, ROWS = 3, USES = 100 };

static const char patterns_text[] =
    "<patterns><pattern name=\"word\">\\b heat(ed|ing)? \\b</pattern></patterns>";
static const char fact_text[] =
    "<fact name=\"thing\" row=\"one receipt\" kind=\"receipt\" subject=\"id\">"
    "<column name=\"id\">Id.</column>"
    "<column name=\"date\">Day.<empty>Not known.</empty></column>"
    "<column name=\"size_l\" unit=\"L\" from=\"receipt@container-size\">Size."
    "<empty>Not known.</empty></column>"
    "<column name=\"class\">Class.<empty>Not known.</empty></column>"
    "<column name=\"note\">Words.<empty>None.</empty></column>"
    "<sql>select id, date, container_size_l as size_l, iif(kind = 'solvent', 'IB', null) as class, "
    "note"
    " from rec_receipt order by id</sql></fact>";
static const char limits_text[] =
    "<codeset id=\"generic-cautious\" title=\"T\" edition=\"1\" scheme=\"none\" region=\"INT\""
    " units=\"metric\" always=\"yes\">"
    "<limit name=\"container-size\" class=\"IB\" value=\"1\" unit=\"L\" words=\"not-more-than\""
    " cite=\"c\" sure=\"from-memory\"/>"
    "<limit name=\"container-size\" value=\"5\" unit=\"gal-us\" words=\"not-more-than\" cite=\"c\""
    " sure=\"from-memory\"/>"
    "<limit name=\"air-least\" value=\"6\" unit=\"per-hour\" words=\"not-less-than\" cite=\"c\""
    " sure=\"from-memory\"/></codeset>";
static const char other_text[] = "<codeset id=\"g\" title=\"T\" edition=\"1\" scheme=\"none\""
                                 " region=\"INT\" units=\"metric\"/>";
/* One large, one small, one of unknown size: what the rule below says of them is known. */
static const char records_text[] =
    "<records><receipt id=\"A\" date=\"2026-05-04\" material=\"ethanol\" kind=\"solvent\""
    " quantity=\"4 L\" container-size=\"4 L\" note=\"heated\"/>"
    "<receipt id=\"B\" date=\"2026-05-05\" material=\"ethanol\" quantity=\"500 mL\""
    " container-size=\"500 mL\"/><receipt id=\"C\" date=\"2026-05-06\" material=\"ethanol\""
    " quantity=\"1 L\"/></records>";
static const char rule_text[] =
    "<rule id=\"%s\" topic=\"storage\" severity=\"fix\" since=\"0.1\"><title>T</title>"
    "<over fact=\"thing\"/><must true=\"size_l &lt; 1\"/><say>{id} holds {size_l}</say>"
    "<why>W</why><do>D</do><decides>fire-authority</decides>"
    "<source work=\"w\" section=\"s\" edition=\"1\" sure=\"from-memory\"/><examples>"
    "<fails><receipt id=\"A\"/></fails><holds differs=\"receipt@note\" to=\"x\"/>"
    "<cannot-tell blank=\"receipt@note\"/></examples></rule>";

/* A folder of data like the shipped one, and one of rules, with nothing of the fuzzer's in them
 * yet. */
static void make_tree(const char *name)
{
    static const char *const folders[] = {
        "", "/data", "/data/facts", "/data/limits", "/data/catalogue", "/rules", "/rules/storage"};
    char path[96], rule[sizeof rule_text + 16];
    for (size_t i = 0; i < LW_COUNT(folders); i++) {
        snprintf(path, sizeof path, "%s%s", name, folders[i]);
        fuzz_make_folder(path);
    }
    const struct {
        const char *file, *text;
    } files[] = {{"data/patterns.xml", patterns_text},
                 {"data/facts/thing.xml", fact_text},
                 {"data/limits/generic.xml", limits_text},
                 {"rules/retired.xml", "<retired/>"}};
    for (size_t i = 0; i < LW_COUNT(files); i++) {
        snprintf(path, sizeof path, "%s/%s", name, files[i].file);
        fuzz_write(fuzz_path(path), files[i].text, strlen(files[i].text));
    }
    /* One before and one after the fuzzer's "m" in the order of rules. */
    for (const char *id = "az"; *id; id++) {
        char word[2] = {*id, '\0'};
        int len = snprintf(rule, sizeof rule, rule_text, word);
        snprintf(path, sizeof path, "%s/rules/storage/%s.xml", name, word);
        fuzz_write(fuzz_path(path), rule, (size_t)len);
    }
}

static struct store *make_store(const char *tree, const char *records, size_t n, struct diags *d)
{
    char path[64];
    struct reader_counts c = {0};
    snprintf(path, sizeof path, "%s/data", tree);
    struct store *s = store_with_catalogue(fuzz_path(path), NULL, d);
    fuzz_must(s != NULL, "the small catalogue can be read");
    (void)reader_xml("records.xml", records, n, store_sink, s, &c, d);
    (void)store_finish(s, d);
    return s;
}

static long long ask(struct store *s, const char *sql)
{
    sqlite3_stmt *st = NULL;
    fuzz_must(sqlite3_prepare_v2(store_db(s), sql, -1, &st, NULL) == SQLITE_OK, "our own question");
    fuzz_must(sqlite3_step(st) == SQLITE_ROW, "our own question has an answer");
    long long v = sqlite3_column_int64(st, 0);
    sqlite3_finalize(st);
    return v;
}

static void check_untouched(struct store *s)
{
    fuzz_must(ask(s, "select count(*) from rec_receipt where id in ('A', 'B', 'C')") == ROWS &&
                  ask(s, "select count(*) from rec_receipt") == ROWS,
              "the records stay");
    fuzz_must(ask(s, "select count(*) from lim where value in (1, 5, 6)") == 3 &&
                  ask(s, "select count(*) from lim") == 3,
              "the limits stay");
    fuzz_must(
        ask(s, "select count(*) from pragma_database_list where name not in ('main', 'temp')") == 0,
        "nothing is attached");
    fuzz_must(ask(s, "select count(*) from sqlite_schema where type in ('trigger', 'view')") == 0,
              "no trigger, no view");
}

static struct fact_options options(void)
{
    struct fact_options o = {.as_of = date_to_days(AS_OF_YEAR, AS_OF_MONTH, AS_OF_DAY)};
    return o;
}

/* The two trusted rules say of A that it fails, of B that it holds, of C that it cannot be told. */
static void check_trusted(const struct findings *f)
{
    size_t seen = 0;
    for (size_t i = 0; i < f->tally_count; i++) {
        const char *id = f->tallies[i].rule->id;
        const unsigned long *v = f->tallies[i].verdicts;
        if (strcmp(id, "a") != 0 && strcmp(id, "z") != 0)
            continue;
        seen++;
        fuzz_must(v[VERDICT_FAILS] == 1 && v[VERDICT_HOLDS] == 1 && v[VERDICT_CANNOT_TELL] == 1 &&
                      v[VERDICT_NOT_APPLICABLE] == 0,
                  "another rule changes no verdict");
    }
    fuzz_must(seen == 2, "no rule is lost");
}

static void try_rule(const char *text, size_t n)
{
    static struct store *s;
    static struct fact_set *facts;
    static struct fact_run *run;
    struct diags *d = diags_new();
    fuzz_must(d != NULL, "memory");
    if (!s) {
        struct fact_options o = options();
        make_tree("rule");
        s = make_store("rule", records_text, sizeof records_text - 1, NULL);
        facts = fact_set_read(fuzz_path("rule/data"), d);
        run = facts ? fact_materialise(s, facts, &o, d) : NULL;
        if (!run)
            fuzz_show(d);
        fuzz_must(run != NULL, "the small tree can be read");
    }
    fuzz_write(fuzz_path("rule/rules/storage/m.xml"), text, n);
    struct rule_set *rules = rule_set_read(fuzz_path("rule/rules"), d);
    fuzz_must(rules || diags_count_level(d, DIAG_ERROR) > 0, "a refused rule is told");
    struct findings *f = rules ? evaluate(run, rules, NULL, d) : NULL;
    if (f)
        check_trusted(f);
    fuzz_must(f || diags_count_level(d, DIAG_ERROR) > 0, "a rule that cannot run is told");
    if (rules)
        check_untouched(s);
    fuzz_check_diags(d);
    findings_free(f);
    rule_set_free(rules);
    diags_free(d);
}

static void try_fact(const char *text, size_t n)
{
    static bool made;
    struct fact_options o = options();
    struct diags *d = diags_new();
    fuzz_must(d != NULL, "memory");
    if (!made)
        make_tree("fact");
    made = true;
    fuzz_write(fuzz_path("fact/data/facts/f.xml"), text, n);
    struct fact_set *facts = fact_set_read(fuzz_path("fact/data"), d);
    fuzz_must(facts || diags_count_level(d, DIAG_ERROR) > 0, "a refused sheet is told");
    if (facts) {
        /* Tables of other names than the last stay behind: a fresh store now and then. */
        static struct store *s;
        static int uses;
        if (uses++ % USES == 0) {
            store_free(s);
            s = make_store("fact", records_text, sizeof records_text - 1, NULL);
        }
        struct fact_run *run = fact_materialise(s, facts, &o, d);
        fuzz_must(run || diags_count_level(d, DIAG_ERROR) > 0, "a sheet that cannot run is told");
        if (run)
            fuzz_must(ask(s, "select count(*) from fact_thing") == ROWS, "another fact stays");
        check_untouched(s);
        fact_run_free(run);
    }
    fuzz_check_diags(d);
    fact_set_free(facts);
    diags_free(d);
}

static void try_table(bool limits, const char *text, size_t n)
{
    static bool made;
    struct diags *d = diags_new();
    sqlite3 *db = NULL;
    fuzz_must(d != NULL && sqlite3_open(":memory:", &db) == SQLITE_OK, "memory");
    if (!made)
        make_tree("table");
    made = true;
    fuzz_write(fuzz_path("table/data/limits/x.xml"), limits ? text : limits_text,
               limits ? n : sizeof limits_text - 1);
    fuzz_write(fuzz_path("table/data/limits/generic.xml"), other_text, sizeof other_text - 1);
    const char *table = fuzz_path("table/data/catalogue/x.xml");
    if (limits)
        (void)remove(table);
    else
        fuzz_write(table, text, n);
    bool ok = catalogue_load(db, fuzz_path("table/data"), d);
    fuzz_must(ok || diags_count_level(d, DIAG_ERROR) > 0, "a refused sheet is told");
    fuzz_check_diags(d);
    sqlite3_close(db);
    diags_free(d);
}

static void try_local(const char *text, size_t n)
{
    static struct fact_set *facts;
    static struct store *s;
    struct reader_counts c = {0};
    struct fact_options o = options();
    struct diags *d = diags_new();
    fuzz_must(d != NULL, "memory");
    if (!facts) {
        make_tree("local");
        facts = fact_set_read(fuzz_path("local/data"), d);
        fuzz_must(facts != NULL, "the small tree can be read");
    }
    if (!s)
        s = make_store("local", "", 0, NULL);
    fuzz_must(store_reset(s), "the store can be emptied");
    (void)reader_xml("records.xml", text, n, store_sink, s, &c, d);
    (void)store_finish(s, d);
    if (ask(s, "select count(*) from rec_local_code") > 0) {
        struct fact_run *run = fact_materialise(s, facts, &o, d);
        if (!run)
            fuzz_show(d);
        fuzz_must(run != NULL, "a local value never stops the run");
        fuzz_must(ask(s, "select count(*) from lim_in_force f join lim l on l.lid = f.lid"
                         " left join rec_local_code c on c.id = f.replaced"
                         " where (f.replaced is null and f.value <> l.value)"
                         " or (iif(l.words = 'not-less-than', f.value < l.value * (1 - 1e-8),"
                         "         f.value > l.value * (1 + 1e-8))"
                         "     and (c.authority is null or c.date is null or c.citation is null))"
                         " or f.value is null") == 0,
                  "a looser value says who, when and where");
        fact_run_free(run);
    }
    fuzz_check_diags(d);
    diags_free(d);
}

int LLVMFuzzerTestOneInput(const uint8_t *p, size_t n)
{
    static bool installed;
    if (n < 2)
        return 0;
    /* The bound on the memory of a statement is in our allocator. */
    if (!installed)
        fuzz_must(mem_install() == 0, "the allocator is installed");
    installed = true;
    const char *text = (const char *)p + 1;
    switch (p[0] % SORTS) {
    case RULE:
        try_rule(text, n - 1);
        break;
    case FACT:
        try_fact(text, n - 1);
        break;
    case LIMITS:
    case TABLE:
        try_table(p[0] % SORTS == LIMITS, text, n - 1);
        break;
    default:
        try_local(text, n - 1);
        break;
    }
    return 0;
}
