#include "unit.h"

#include "text/utf8.h"

static const char *clean(const char *s, bool keep_nl)
{
    static char out[256];
    struct sbuf b = SBUF_INIT;
    utf8_put_clean(&b, s, keep_nl);
    snprintf(out, sizeof out, "%s", b.s);
    sbuf_free(&b);
    return out;
}

/* The Unicode Standard 15.0, table 3-7 "Well-Formed UTF-8 Byte Sequences": the first and last
 * sequence of every row, and the ones just outside. */
START_TEST(table_3_7)
{
    static const struct {
        const char *bytes;
        size_t n;
        uint32_t cp;
    } good[] = {
        {"\x00", 1, 0x0},
        {"\x7F", 1, 0x7F},
        {"\xC2\x80", 2, 0x80},
        {"\xDF\xBF", 2, 0x7FF},
        {"\xE0\xA0\x80", 3, 0x800},
        {"\xE0\xBF\xBF", 3, 0xFFF},
        {"\xE1\x80\x80", 3, 0x1000},
        {"\xEC\xBF\xBF", 3, 0xCFFF},
        {"\xED\x80\x80", 3, 0xD000},
        {"\xED\x9F\xBF", 3, 0xD7FF},
        {"\xEE\x80\x80", 3, 0xE000},
        {"\xEF\xBF\xBF", 3, 0xFFFF},
        {"\xF0\x90\x80\x80", 4, 0x10000},
        {"\xF0\xBF\xBF\xBF", 4, 0x3FFFF},
        {"\xF1\x80\x80\x80", 4, 0x40000},
        {"\xF3\xBF\xBF\xBF", 4, 0xFFFFF},
        {"\xF4\x80\x80\x80", 4, 0x100000},
        {"\xF4\x8F\xBF\xBF", 4, 0x10FFFF},
    };
    static const struct {
        const char *bytes;
        size_t n;
    } bad[] = {
        {"\x80", 1},             /* lone continuation byte */
        {"\xBF", 1},             /* lone continuation byte */
        {"\xC0\x80", 2},         /* overlong NUL */
        {"\xC1\xBF", 2},         /* overlong U+007F */
        {"\xC2", 1},             /* cut short */
        {"\xC2\x7F", 2},         /* second byte too low */
        {"\xC2\xC0", 2},         /* second byte too high */
        {"\xE0\x9F\xBF", 3},     /* overlong U+07FF */
        {"\xE0\xA0", 2},         /* cut short */
        {"\xE1\x80\x7F", 3},     /* third byte too low */
        {"\xED\xA0\x80", 3},     /* surrogate U+D800 */
        {"\xED\xBF\xBF", 3},     /* surrogate U+DFFF */
        {"\xF0\x8F\xBF\xBF", 4}, /* overlong U+FFFF */
        {"\xF0\x90\x80", 3},     /* cut short */
        {"\xF0\x90\x80\xC0", 4}, /* fourth byte too high */
        {"\xF4\x90\x80\x80", 4}, /* U+110000 */
        {"\xF5\x80\x80\x80", 4},
        {"\xFE", 1},
        {"\xFF", 1},
        {"", 0},
    };
    for (size_t i = 0; i < LW_COUNT(good); i++) {
        uint32_t cp = 1;
        ck_assert_uint_eq(utf8_next(good[i].bytes, good[i].n, &cp), good[i].n);
        ck_assert_uint_eq(cp, good[i].cp);
        ck_assert(utf8_valid(good[i].bytes, good[i].n, NULL));
    }
    for (size_t i = 0; i < LW_COUNT(bad); i++) {
        uint32_t cp = 1;
        ck_assert_msg(utf8_next(bad[i].bytes, bad[i].n, &cp) == 0, "bad sequence %zu", i);
    }
}
END_TEST

/* Every code point survives; every two-byte pair agrees with the rule for the rows of the table. */
START_TEST(every_code_point_round_trips)
{
    for (uint32_t c = 0; c <= 0x10FFFF; c++) {
        char s[4];
        size_t n;
        if (c < 0x80) {
            s[0] = (char)c, n = 1;
        } else if (c < 0x800) {
            s[0] = (char)(0xC0 | c >> 6), s[1] = (char)(0x80 | (c & 0x3F)), n = 2;
        } else if (c < 0x10000) {
            s[0] = (char)(0xE0 | c >> 12), s[1] = (char)(0x80 | (c >> 6 & 0x3F));
            s[2] = (char)(0x80 | (c & 0x3F)), n = 3;
        } else {
            s[0] = (char)(0xF0 | c >> 18), s[1] = (char)(0x80 | (c >> 12 & 0x3F));
            s[2] = (char)(0x80 | (c >> 6 & 0x3F)), s[3] = (char)(0x80 | (c & 0x3F)), n = 4;
        }
        bool surrogate = c >= 0xD800 && c <= 0xDFFF;
        uint32_t got = 0;
        size_t len = utf8_next(s, n, &got);
        if (len != (surrogate ? 0 : n) || (!surrogate && got != c))
            ck_abort_msg("U+%04X", (unsigned)c);
    }
}
END_TEST

START_TEST(first_bad_byte_is_named)
{
    size_t bad = 99;
    ck_assert(!utf8_valid("caf\xE9 au lait", 12, &bad)); /* Latin-1 */
    ck_assert_uint_eq(bad, 3);
    ck_assert(utf8_valid("caf\xC3\xA9", 5, &bad));
    ck_assert(utf8_valid("", 0, &bad));
}
END_TEST

/* The Unicode Character Database: U+0301 Mn, U+200B Cf, U+3042 and U+1F9EA East_Asian_Width W,
 * U+FF21 F, U+00E9 and U+00AD one column. */
START_TEST(columns)
{
    ck_assert_uint_eq(utf8_width(""), 0);
    ck_assert_uint_eq(utf8_width("rose"), 4);
    ck_assert_uint_eq(utf8_width("caf\xC3\xA9"), 4);
    ck_assert_uint_eq(utf8_width("cafe\xCC\x81"), 4);
    ck_assert_uint_eq(utf8_width("\xE3\x81\x82"), 2);
    ck_assert_uint_eq(utf8_width("\xEF\xBC\xA1"), 2);
    ck_assert_uint_eq(utf8_width("\xF0\x9F\xA7\xAA"), 2);
    ck_assert_uint_eq(utf8_width("a\xE2\x80\x8B"
                                 "b"),
                      2);
    ck_assert_uint_eq(utf8_width("\xC2\xAD"), 1);
    ck_assert_uint_eq(utf8_width("\xFF\xFE"), 2);
    ck_assert_uint_eq(utf8_width("\xC2\xB0"
                                 "C"),
                      2);
}
END_TEST

START_TEST(nothing_drives_the_terminal)
{
    ck_assert_str_eq(clean("plain \xC2\xB5L", false), "plain \xC2\xB5L");
    ck_assert_str_eq(clean("a\x1B[31mred", false), "a<U+001B>[31mred");
    ck_assert_str_eq(clean("a\nb\tc", false), "a<U+000A>b<U+0009>c");
    ck_assert_str_eq(clean("a\nb\r", true), "a\nb<U+000D>");
    ck_assert_str_eq(clean("\x7F", false), "<U+007F>");
    ck_assert_str_eq(clean("\xC2\x9B"
                           "1m",
                           false),
                     "<U+009B>1m"); /* CSI in C1 */
    ck_assert_str_eq(clean("\xE2\x80\xAE"
                           "gpj",
                           false),
                     "<U+202E>gpj"); /* RLO */
    ck_assert_str_eq(clean("\xE2\x81\xA6x\xE2\x81\xA9", true), "<U+2066>x<U+2069>");
    ck_assert_str_eq(clean("\xE2\x80\xA8", true), "<U+2028>");
    ck_assert_str_eq(clean("\xFF", false), "<0xFF>");
    ck_assert_str_eq(clean(NULL, false), "");
}
END_TEST

static const char *references(const char *s)
{
    static char out[128];
    struct sbuf b = SBUF_INIT;
    utf8_put_references(&b, s, strlen(s));
    snprintf(out, sizeof out, "%s", b.s);
    sbuf_free(&b);
    return out;
}

START_TEST(xml_keeps_what_drives_the_terminal_as_references)
{
    ck_assert_str_eq(references("<a b=\"\xC2\xB5 &lt;\"/>\n\t"), "<a b=\"\xC2\xB5 &lt;\"/>\n\t");
    ck_assert_str_eq(references("a\xC2\x9B"
                                "1m\x7F"),
                     "a&#x9B;1m&#x7F;");
    ck_assert_str_eq(references("\xE2\x80\xAE\xEF\xBB\xBF"), "&#x202E;&#xFEFF;");
    ck_assert_str_eq(references("\xE2\x80"), "\xE2\x80");
    ck_assert_str_eq(references(""), "");
}
END_TEST

START_TEST(words)
{
    ck_assert_int_eq(ascii_casecmp("Quart", "qUART"), 0);
    ck_assert_int_lt(ascii_casecmp("a", "B"), 0);
    ck_assert_int_gt(ascii_casecmp("ab", "a"), 0);
    ck_assert(str_starts("receipt", "rec"));
    ck_assert(str_starts("receipt", ""));
    ck_assert(!str_starts("re", "rec"));
    ck_assert(str_eq(NULL, NULL));
    ck_assert(!str_eq(NULL, "") && !str_eq("", NULL));
    ck_assert(str_eq("a", "a") && !str_eq("a", "A"));
    /* bytes above 127 are no letters and are not folded */
    ck_assert_int_ne(ascii_casecmp("\xC3\xA9", "\xC3\x89"), 0);
}
END_TEST

START_TEST(distances)
{
    ck_assert_uint_eq(str_distance("mass", "mass", 3), 0);
    ck_assert_uint_eq(str_distance("mass", "MASSS", 3), 1);
    ck_assert_uint_eq(str_distance("masss", "mass", 3), 1);
    ck_assert_uint_eq(str_distance("voulme", "volume", 3), 1);  /* neighbours swapped */
    ck_assert_uint_eq(str_distance("kitten", "sitting", 3), 3); /* Levenshtein's worked example */
    ck_assert_uint_eq(str_distance("kitten", "sitting", 2), 3); /* capped: most + 1 */
    ck_assert_uint_eq(str_distance("", "ab", 3), 2);
    ck_assert_uint_eq(str_distance("", "", 0), 0);
    ck_assert_uint_eq(str_distance("ca", "abc", 5), 3); /* optimal string alignment, not 2 */
    char long_word[80];
    memset(long_word, 'x', sizeof long_word - 1);
    long_word[79] = '\0';
    ck_assert_uint_eq(str_distance(long_word, long_word, 4), 5);
}
END_TEST

UNIT_MAIN("text/utf8", table_3_7, every_code_point_round_trips, first_bad_byte_is_named, columns,
          nothing_drives_the_terminal, xml_keeps_what_drives_the_terminal_as_references, words,
          distances)
