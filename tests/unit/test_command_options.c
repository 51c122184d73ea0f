/* The option parser: strict, says what is wrong, and offers the near name. */
#include "unit.h"

#include "command/options.h"

static const struct option_spec specs[] = {
    {"as-of", 0, OPTION_DATE, "DATE", NULL, "Day", 0, 0},
    {"format", 'f', OPTION_CHOICE, "FORMAT", "text json", "Format", 0, 0},
    {"width", 0, OPTION_INTEGER, "COLUMNS", NULL, "Width", 60, 200},
    {"lot", 'l', OPTION_TEXT, "LOT", NULL, "Lot", 0, 0},
    {"all", 'a', OPTION_FLAG, NULL, NULL, "All", 0, 0},
};

enum { ARGUMENTS_MOST = 8 };

struct parsed {
    struct options o;
    struct diags *d;
    bool ok;
};

static struct parsed parse(const char *const *args)
{
    struct parsed p = {.d = diags_new()};
    static char text[ARGUMENTS_MOST][64];
    char *argv[ARGUMENTS_MOST];
    int argc = 0;

    ck_assert_ptr_nonnull(p.d);
    for (; args[argc] != NULL; argc++) {
        ck_assert_int_lt(argc, ARGUMENTS_MOST);
        snprintf(text[argc], sizeof text[argc], "%s", args[argc]);
        argv[argc] = text[argc];
    }
    options_declare(&p.o, specs, LW_COUNT(specs));
    p.ok = options_parse(&p.o, argc, argv, p.d);
    return p;
}

static void done(struct parsed *p)
{
    options_free(&p->o);
    diags_free(p->d);
}

#define PARSE(...) parse((const char *const[]){__VA_ARGS__, NULL})

START_TEST(takes_both_forms)
{
    struct parsed p = PARSE("--lot", "L-1", "--format=json", "a.xml", "-a", "b.xml");

    ck_assert(p.ok);
    ck_assert_str_eq(option_text(&p.o, "lot"), "L-1");
    ck_assert_str_eq(option_text(&p.o, "format"), "json");
    ck_assert(option_flag(&p.o, "all"));
    ck_assert_ptr_null(option_text(&p.o, "width"));
    ck_assert_uint_eq(p.o.operand_count, 2);
    ck_assert_str_eq(p.o.operands[1], "b.xml");
    done(&p);
}
END_TEST

START_TEST(letters_take_values)
{
    struct parsed p = PARSE("-fjson", "-l", "L-2");

    ck_assert(p.ok);
    ck_assert_str_eq(option_text(&p.o, "format"), "json");
    ck_assert_str_eq(option_text(&p.o, "lot"), "L-2");
    done(&p);
}
END_TEST

START_TEST(two_dashes_end_the_options)
{
    struct parsed p = PARSE("-a", "--", "--lot", "-");

    ck_assert(p.ok);
    ck_assert_uint_eq(p.o.operand_count, 2);
    ck_assert_str_eq(p.o.operands[0], "--lot");
    done(&p);
}
END_TEST

START_TEST(dates_and_numbers_are_read)
{
    struct parsed p = PARSE("--as-of", "1970-01-11", "--width=72");

    ck_assert(p.ok);
    ck_assert_int_eq(option_get(&p.o, "as-of")->number, 10); /* ten days after 1970-01-01 */
    ck_assert_int_eq(option_get(&p.o, "width")->number, 72);
    done(&p);
}
END_TEST

static void refuse(const char *message, const char *hint, const char *const *args)
{
    struct parsed p = parse(args);
    const struct diag *d;

    ck_assert(!p.ok);
    ck_assert_uint_ge(diags_count(p.d), 1);
    d = diags_at(p.d, 0);
    ck_assert_str_eq(d->code, "usage");
    ck_assert_str_eq(d->message, message);
    if (hint == NULL)
        ck_assert_ptr_null(d->hint);
    else
        ck_assert_str_eq(d->hint, hint);
    done(&p);
}

#define REFUSE(message, hint, ...) refuse(message, hint, (const char *const[]){__VA_ARGS__, NULL})

START_TEST(refuses_and_says_why)
{
    REFUSE("unknown option '--formt'", "did you mean --format?", "--formt", "json");
    REFUSE("unknown option '--form'", "did you mean --format?", "--form=json");
    REFUSE("unknown option '--quite-another'", "--help lists the options", "--quite-another");
    REFUSE("unknown option '-z'", "--help lists the options", "-z");
    REFUSE("option --lot needs a value: LOT", NULL, "--lot");
    REFUSE("option --lot: empty LOT", NULL, "--lot=");
    REFUSE("option --all takes no value", NULL, "--all=yes");
    REFUSE("option --lot is given twice", NULL, "--lot", "a", "--lot", "b");
    REFUSE("option --format: 'tex' is not one of its words", "one of: text json", "--format",
           "tex");
    REFUSE("option --width: '59' is not a number in its range", "a whole number from 60 to 200",
           "--width", "59");
    REFUSE("option --width: '80x' is not a number in its range", "a whole number from 60 to 200",
           "--width", "80x");
    REFUSE("option --as-of: '03/04/2026' is not a date", "write it as 2026-01-31", "--as-of",
           "03/04/2026");
    REFUSE("option --as-of: '2026-02-30' is not a date", "write it as 2026-01-31", "--as-of",
           "2026-02-30");
}
END_TEST

UNIT_MAIN("options", takes_both_forms, letters_take_values, two_dashes_end_the_options,
          dates_and_numbers_are_read, refuses_and_says_why)
