/* The JSON writer: RFC 8259 strings and numbers, whatever comes in. */
#include "unit.h"

#include "report/json.h"

static char *quoted(const char *s)
{
    static char text[256];
    struct sbuf b = SBUF_INIT;

    json_quote(&b, s);
    snprintf(text, sizeof text, "%s", b.s);
    sbuf_free(&b);
    return text;
}

static char *number(double v)
{
    static char text[64];
    struct sbuf b = SBUF_INIT;
    struct json j;

    json_init(&j, &b);
    json_number(&j, NULL, v);
    snprintf(text, sizeof text, "%s", b.s);
    sbuf_free(&b);
    return text;
}

/* RFC 8259, section 7: quote, backslash and U+0000..U+001F must be escaped. */
START_TEST(escapes_what_must_be)
{
    ck_assert_str_eq(quoted("a\"b\\c/d"), "\"a\\\"b\\\\c/d\"");
    ck_assert_str_eq(quoted("\n\r\t"), "\"\\n\\r\\t\"");
    for (int c = 1; c < 0x20; c++) {
        char in[2] = {(char)c, '\0'};
        const char *out = quoted(in);

        ck_assert_msg(out[1] == '\\', "U+%04X is not escaped: %s", c, out);
    }
    ck_assert_str_eq(quoted("\x1b[31m"), "\"\\u001b[31m\"");
    ck_assert_str_eq(quoted("\x7f"), "\"\\u007f\"");
}
END_TEST

START_TEST(keeps_what_is_text)
{
    ck_assert_str_eq(quoted("caf\xc3\xa9 \xe9\xa6\x99 \xf0\x9f\x8c\xbf"),
                     "\"caf\xc3\xa9 \xe9\xa6\x99 \xf0\x9f\x8c\xbf\"");
    ck_assert_str_eq(quoted(""), "\"\"");
}
END_TEST

/* U+2028 and U+2029 end a line in JavaScript; C1 controls drive some terminals. */
START_TEST(escapes_line_separators_and_c1)
{
    ck_assert_str_eq(quoted("a\xe2\x80\xa8"
                            "b\xe2\x80\xa9"
                            "c\xc2\x9b"),
                     "\"a\\u2028b\\u2029c\\u009b\"");
    ck_assert_str_eq(quoted("\xE2\x80\xAE\xE2\x81\xA6\xEF\xBB\xBF\xD7\xA9"),
                     "\"\\u202e\\u2066\\ufeff\xD7\xA9\"");
}
END_TEST

/* Unicode 15, table 3-7: overlong forms, surrogates and cut sequences are ill-formed. */
START_TEST(replaces_ill_formed_bytes)
{
    ck_assert_str_eq(quoted("\xff"), "\"\\ufffd\"");
    ck_assert_str_eq(quoted("a\xc3"), "\"a\\ufffd\"");
    ck_assert_str_eq(quoted("\xc0\xaf"), "\"\\ufffd\\ufffd\"");
    ck_assert_str_eq(quoted("\xed\xa0\x80"), "\"\\ufffd\\ufffd\\ufffd\"");
}
END_TEST

START_TEST(numbers_are_shortest_and_read_back)
{
    ck_assert_str_eq(number(0), "0");
    ck_assert_str_eq(number(0.1), "0.1");
    ck_assert_str_eq(number(-21.5), "-21.5");
    ck_assert_str_eq(number(113.562353), "113.562353");
    ck_assert_str_eq(number(1.0 / 3), "0.3333333333333333");
    ck_assert_str_eq(number(0.1 + 0.2), "0.30000000000000004"); /* IEEE 754 binary64 */
    ck_assert_str_eq(number(999999999999999.0), "999999999999999");
    ck_assert_str_eq(number(NAN), "null");
    ck_assert_str_eq(number(INFINITY), "null");
    ck_assert_str_eq(number(-INFINITY), "null");
}
END_TEST

START_TEST(nests_and_separates)
{
    struct sbuf b = SBUF_INIT;
    struct json j;

    json_init(&j, &b);
    json_open(&j, NULL, '{');
    json_string(&j, "a", NULL);
    json_maybe(&j, "left out", NULL);
    json_open(&j, "list", '[');
    json_count(&j, NULL, 1);
    json_bool(&j, NULL, true);
    json_close(&j, ']');
    json_open(&j, "none", '[');
    json_close(&j, ']');
    json_close(&j, '}');
    ck_assert_str_eq(b.s, "{\n  \"a\": null,\n  \"list\": [\n    1,\n    true\n  ],\n"
                          "  \"none\": []\n}\n");
    sbuf_free(&b);
}
END_TEST

UNIT_MAIN("json", escapes_what_must_be, keeps_what_is_text, escapes_line_separators_and_c1,
          replaces_ill_formed_bytes, numbers_are_shortest_and_read_back, nests_and_separates)
