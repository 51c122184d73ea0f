/* The dictionary is one table that five others are made from: what must be true of it. */
#include "unit.h"

#include "record/country.h"
#include "record/dict_near.h"
#include "record/store_internal.h"
#include "text/file.h"
#include "text/utf8.h"

static bool name_ok(const char *s)
{
    if (!ascii_lower(*s)) {
        return false;
    }
    for (; *s != '\0'; s++) {
        if (!ascii_lower(*s) && !ascii_digit(*s) && *s != '-') {
            return false;
        }
    }
    return true;
}

START_TEST(element_names_are_unique_and_parents_come_first)
{
    size_t count = 0;
    const struct dict_element *all = dict_elements(&count);

    ck_assert_uint_gt(count, 20);
    ck_assert_str_eq(all[0].name, "records");
    ck_assert_ptr_null(all[0].parent);
    for (size_t i = 0; i < count; i++) {
        ck_assert_ptr_eq(dict_find(all[i].name), &all[i]);
        ck_assert_msg(name_ok(all[i].name), "%s", all[i].name);
        ck_assert_msg(all[i].meaning != NULL && all[i].meaning[0] != '\0', "%s", all[i].name);
        if (i > 0) {
            ck_assert_ptr_nonnull(dict_find(all[i].parent));
            ck_assert(dict_find(all[i].parent) < &all[i]);
        }
    }
    ck_assert_ptr_null(dict_find("recipt"));
    ck_assert_ptr_null(dict_find(NULL));
    ck_assert_ptr_null(dict_find(""));
}
END_TEST

START_TEST(top_level_records_begin_with_their_id)
{
    size_t count = 0;
    const struct dict_element *all = dict_elements(&count);

    for (size_t i = 1; i < count; i++) {
        if (dict_top_level(&all[i])) {
            ck_assert_str_eq(all[i].attrs[0].name, "id");
            ck_assert_int_eq(all[i].attrs[0].type, ATTR_TOKEN);
            ck_assert_msg(all[i].attrs[0].flags & ATTR_REQUIRED, "%s", all[i].name);
        } else {
            ck_assert_int_lt(dict_attr_index(&all[i], "id"), 0);
        }
    }
}
END_TEST

static void check_attr(const struct dict_element *e, const struct dict_attr *a)
{
    const char *words = a->words;
    const char *w = NULL;
    size_t n = 0;

    ck_assert_msg(name_ok(a->name), "%s.%s", e->name, a->name);
    ck_assert_msg(a->meaning != NULL && a->meaning[0] != '\0', "%s.%s", e->name, a->name);
    ck_assert_msg((a->type == ATTR_QTY) == (a->dim != DIM_NONE), "%s.%s", e->name, a->name);
    if (a->type == ATTR_CHOICE || a->type == ATTR_REF || a->type == ATTR_REFS) {
        ck_assert_msg(words != NULL, "%s.%s", e->name, a->name);
        ck_assert_msg(strstr(words, "  ") == NULL && words[strlen(words) - 1] != ' ', "%s.%s",
                      e->name, a->name);
    } else {
        ck_assert_msg(words == NULL, "%s.%s", e->name, a->name);
    }
    while (a->type != ATTR_CHOICE && dict_next_word(&words, &w, &n)) {
        char kind[64];
        snprintf(kind, sizeof kind, "%.*s", (int)n, w);
        ck_assert_msg(dict_find(kind) != NULL && dict_top_level(dict_find(kind)), "%s.%s -> %s",
                      e->name, a->name, kind);
    }
    if (a->flags & ATTR_CATALOGUE) {
        ck_assert_int_eq(a->type, ATTR_REF);
    }
    if (a->flags & ATTR_LIQUID) {
        ck_assert_msg(a->dim == DIM_VOLUME || a->dim == DIM_AMOUNT, "%s.%s", e->name, a->name);
    }
}

START_TEST(attributes_are_whole_and_their_columns_unique)
{
    static const char *const fixed[] = {"rid", "parent", "file", "line", "origin", "seq"};
    size_t count = 0;
    const struct dict_element *all = dict_elements(&count);

    for (size_t i = 0; i < count; i++) {
        char names[400][80];
        size_t used = 0;

        for (size_t k = 0; k < LW_COUNT(fixed); k++) {
            if (k != 1 || !dict_top_level(&all[i])) {
                snprintf(names[used++], 80, "%s", fixed[k]);
            }
        }
        if (all[i].parent != NULL && !dict_top_level(&all[i])) {
            snprintf(names[used++], 80, "%s", all[i].parent);
        }
        for (size_t j = 0; j < all[i].attr_count; j++) {
            struct attr_column columns[STORE_ATTR_COLUMNS];
            size_t n = store_attr_columns(&all[i].attrs[j], columns);

            check_attr(&all[i], &all[i].attrs[j]);
            ck_assert_int_eq(dict_attr_index(&all[i], all[i].attrs[j].name), (int)j);
            for (size_t k = 0; k < n; k++) {
                char column[64];
                dict_column(all[i].attrs[j].name, column, sizeof column);
                snprintf(names[used], 80, "%s%s", column, columns[k].suffix);
                for (size_t m = 0; m < used; m++) {
                    ck_assert_msg(strcmp(names[m], names[used]) != 0, "%s: column %s twice",
                                  all[i].name, names[used]);
                }
                used++;
                ck_assert_uint_lt(used, LW_COUNT(names));
            }
        }
    }
}
END_TEST

START_TEST(suffixes_name_the_canonical_unit)
{
    static const struct {
        const char *kind, *attr, *suffix;
    } want[] = {{"receipt", "quantity", "_g"},    {"receipt", "strength", "_volpct"},
                {"batch", "vessel-size", "_l"},   {"batch", "ratio", "_parts"},
                {"receipt", "water", "_percent"}, {"step", "temperature", "_c"},
                {"step", "duration", "_min"},     {"batch", "start", ""},
                {"batch", "place", ""},           {"yield", "bottles", "_n"}};

    for (size_t i = 0; i < LW_COUNT(want); i++) {
        const struct dict_element *e = dict_find(want[i].kind);
        int at = dict_attr_index(e, want[i].attr);
        ck_assert_int_ge(at, 0);
        ck_assert_str_eq(dict_suffix(&e->attrs[at]), want[i].suffix);
    }
}
END_TEST

START_TEST(near_names)
{
    struct near n;

    ck_assert_str_eq(near_element(&n, "recipt"), "receipt");
    ck_assert_str_eq(near_element(&n, "Batch"), "batch");
    ck_assert_ptr_null(near_element(&n, "xyzzyplugh"));
    ck_assert_str_eq(near_attr(&n, "quanttiy", dict_find("receipt")), "quantity");
    ck_assert_str_eq(near_word(&n, "steping", "planned steeping strained"), "steeping");
    ck_assert_ptr_null(near_word(&n, "q", "planned steeping strained"));
}
END_TEST

START_TEST(words)
{
    ck_assert(dict_word("a bc d", "bc", 2));
    ck_assert(dict_word("a bc d", "d", 1));
    ck_assert(!dict_word("a bc d", "b", 1));
    ck_assert(!dict_word("a bc d", "c", 1));
    ck_assert(!dict_word("a bc d", "a b", 3));
    ck_assert(!dict_word(NULL, "a", 1));
    ck_assert(!dict_word("", "", 0));
}
END_TEST

/* ISO 3166-1 as in the IANA time zone database: 249 codes. */
START_TEST(country_codes_agree_with_the_shipped_table)
{
    struct sbuf path = SBUF_INIT;
    struct sbuf text = SBUF_INIT;
    struct diags *d = diags_new();
    size_t iso = 0;
    size_t others = 0;

    sbuf_printf(&path, "%s/data/catalogue/country.xml", getenv("LW_SRCDIR"));
    ck_assert(file_read(path.s, (size_t)1 << 20, &text, d));
    for (const char *p = text.s; (p = strstr(p, "<row code=\"")) != NULL;) {
        const char *code = p + strlen("<row code=\"");
        const char *end = strstr(code, "/>");
        const char *status = strstr(code, "status=\"");
        ck_assert_ptr_nonnull(status);
        ck_assert(status < end);
        status += strlen("status=\"");
        enum country_status want = str_starts(status, "iso\"")      ? COUNTRY_ISO
                                   : str_starts(status, "trade\"")  ? COUNTRY_TRADE
                                   : str_starts(status, "former\"") ? COUNTRY_FORMER
                                                                    : COUNTRY_UNKNOWN;
        ck_assert_msg(country_status(code, 2) == want, "%.2s", code);
        iso += want == COUNTRY_ISO;
        others += want != COUNTRY_ISO;
        p = end;
    }
    ck_assert_uint_eq(iso, 249);
    ck_assert_uint_gt(others, 10);
    ck_assert_int_eq(country_status("fr", 2), COUNTRY_UNKNOWN);
    ck_assert_int_eq(country_status("FRA", 3), COUNTRY_UNKNOWN);
    ck_assert_int_eq(country_status("F", 1), COUNTRY_UNKNOWN);
    ck_assert_str_eq(country_instead("UK"), "GB");
    diags_free(d);
    sbuf_free(&text);
    sbuf_free(&path);
}
END_TEST

UNIT_MAIN("record dictionary", element_names_are_unique_and_parents_come_first,
          top_level_records_begin_with_their_id, attributes_are_whole_and_their_columns_unique,
          suffixes_name_the_canonical_unit, near_names, words,
          country_codes_agree_with_the_shipped_table)
