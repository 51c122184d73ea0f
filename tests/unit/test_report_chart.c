/* The chart writer: well-formed whatever it is given, accessible, grey, the same each time.
 * Checked with libxml2, which shares no code with it; what is accessible follows SVG 2, chapter 5
 * (title and desc) and WAI-ARIA 1.2 (role img, aria-labelledby). */
#include "text/base.h"

#include <libxml/parser.h>
#include <libxml/xpath.h>
#include <libxml/xpathInternals.h>

#include "report/chart.h"
#include "text/utf8.h"
#include "unit.h"

static const double line_x[] = {0, 1, 2, 3}, line_y[] = {0, 2, 1, 4};

static struct chart plain(void)
{
    struct chart c = {.title = "Title",
                      .desc = "What it shows",
                      .x = {.label = "time, min", .from = 0, .to = 3},
                      .y = {.label = "vapour, vol %", .from = 0, .to = 4},
                      .note = "A caution",
                      .id = "t"};

    c.series[c.series_count++] = (struct chart_series){"average", line_x, line_y, 4};
    c.levels[c.level_count++] = (struct chart_level){"LEL", 3.1};
    c.bands[c.band_count++] = (struct chart_band){"Class IB", 0, 2};
    c.bands[c.band_count++] = (struct chart_band){"Class IC", 2, 3};
    c.marks[c.mark_count++] = (struct chart_mark){"here", 1, 2, 0.5};
    return c;
}

/* The number of nodes that an XPath finds; fails the test when the text is no XML. */
static int nodes(const struct sbuf *svg, const char *path)
{
    xmlDocPtr doc = xmlReadMemory(svg->s, (int)svg->len, "chart.svg", NULL,
                                  XML_PARSE_NONET | XML_PARSE_NOERROR | XML_PARSE_NOWARNING);
    xmlXPathContextPtr ctx;
    xmlXPathObjectPtr found;
    int n;

    ck_assert_msg(doc != NULL, "not well-formed: %.200s", svg->s);
    ctx = xmlXPathNewContext(doc);
    xmlXPathRegisterNs(ctx, BAD_CAST "s", BAD_CAST "http://www.w3.org/2000/svg");
    found = xmlXPathEvalExpression(BAD_CAST path, ctx);
    ck_assert_msg(found != NULL, "bad path %s", path);
    n = found->nodesetval == NULL ? 0 : found->nodesetval->nodeNr;
    xmlXPathFreeObject(found);
    xmlXPathFreeContext(ctx);
    xmlFreeDoc(doc);
    return n;
}

START_TEST(has_text_alternative)
{
    struct chart c = plain();
    struct sbuf b = SBUF_INIT;

    chart_svg(&c, true, &b);
    ck_assert(str_starts(b.s, "<?xml"));
    ck_assert_int_eq(nodes(&b, "/s:svg[@role='img']/s:title[. = 'Title']"), 1);
    ck_assert_int_eq(nodes(&b, "/s:svg/s:desc[. = 'What it shows']"), 1);
    ck_assert_int_eq(nodes(&b, "/s:svg[@aria-labelledby = concat(s:title/@id, ' ', s:desc/@id)]"),
                     1);
    sbuf_free(&b);
}
END_TEST

/* Every line, level, band and mark carries its name; nothing depends on a colour. */
START_TEST(says_all_in_words)
{
    static const char *const names[] = {"average", "LEL",       "Class IB",     "Class IC",
                                        "here",    "A caution", "vapour, vol %"};
    struct chart c = plain();
    struct sbuf b = SBUF_INIT, path = SBUF_INIT;

    chart_svg(&c, false, &b);
    for (size_t i = 0; i < LW_COUNT(names); i++) {
        sbuf_clear(&path);
        sbuf_printf(&path, "//s:text[. = '%s']", names[i]);
        ck_assert_msg(nodes(&b, path.s) == 1, "'%s' is not printed once", names[i]);
    }
    ck_assert_int_eq(nodes(&b, "//s:pattern"), 4);
    for (const char *p = strchr(b.s, '#'); p != NULL; p = strchr(p + 1, '#')) {
        if (str_starts(p, "#t-")) /* a reference, url(#t-h0) */
            continue;
        ck_assert_msg(p[1] == p[2] && p[2] == p[3], "a colour that is no grey: %.7s", p);
    }
    ck_assert(strstr(b.s, "<style") == NULL);
    sbuf_free(&path);
    sbuf_free(&b);
}
END_TEST

START_TEST(escapes_what_it_is_given)
{
    struct chart c = plain();
    struct sbuf b = SBUF_INIT;

    c.title = "a < b & \"c\" > 'd' \x01\x1b[31m";
    c.series[0].name = "</text><script>alert(1)</script>";
    c.id = "x\"><y";
    chart_svg(&c, true, &b);
    ck_assert_int_eq(nodes(&b, "//s:script"), 0);
    ck_assert_int_eq(nodes(&b, "//s:text[. = '</text><script>alert(1)</script>']"), 1);
    sbuf_free(&b);
}
END_TEST

/* Figures that are no figures: still a drawing, and never "nan" in it. */
START_TEST(survives_bad_numbers)
{
    static const double bad_y[] = {NAN, 1, INFINITY, 2}, empty[] = {0};
    struct chart c = plain();
    struct sbuf b = SBUF_INIT;

    c.series[0].y = bad_y;
    c.series[c.series_count++] = (struct chart_series){"none", empty, empty, 0};
    c.marks[0].x = NAN;
    c.levels[0].y = NAN;
    c.bands[0].to = NAN;
    c.x = (struct chart_axis){.label = "x", .from = NAN, .to = INFINITY};
    c.y = (struct chart_axis){.label = "y", .from = 5, .to = 5};
    chart_svg(&c, true, &b);
    ck_assert_int_eq(nodes(&b, "/s:svg"), 1);
    ck_assert(strstr(b.s, "nan") == NULL && strstr(b.s, "inf") == NULL);
    ck_assert(strstr(b.s, "=\"-\"") == NULL);
    sbuf_free(&b);
}
END_TEST

/* The mark stands where its numbers say: x 1 of 0..3, y 2 of 0..4, in a plot 490 by 348 at 70, 56.
 */
START_TEST(puts_a_point_in_its_place)
{
    struct chart c = plain();
    struct sbuf b = SBUF_INIT;

    chart_svg(&c, true, &b);
    ck_assert_int_eq(nodes(&b, "//s:circle[@cx = '233.3'][@cy = '230.0']"), 1);
    sbuf_free(&b);
}
END_TEST

START_TEST(names_stand_apart)
{
    struct chart c = plain();
    struct sbuf b = SBUF_INIT;

    c.band_count = 0;
    c.series_count = 0;
    c.level_count = 0;
    for (size_t i = 0; i < CHART_LEVELS_MOST; i++)
        c.levels[c.level_count++] = (struct chart_level){"level", 3.1};
    chart_svg(&c, true, &b);
    ck_assert_int_eq(nodes(&b, "//s:text[. = 'level']"), CHART_LEVELS_MOST);
    ck_assert_int_eq(nodes(&b, "//s:text[. = 'level'][@y = following::s:text/@y]"), 0);
    sbuf_free(&b);
}
END_TEST

START_TEST(same_bytes_each_time)
{
    struct chart c = plain();
    struct sbuf a = SBUF_INIT, b = SBUF_INIT;

    chart_svg(&c, true, &a);
    chart_svg(&c, true, &b);
    ck_assert_str_eq(a.s, b.s);
    sbuf_free(&a);
    sbuf_free(&b);
}
END_TEST

UNIT_MAIN("chart", has_text_alternative, says_all_in_words, escapes_what_it_is_given,
          survives_bad_numbers, puts_a_point_in_its_place, names_stand_apart, same_bytes_each_time)
