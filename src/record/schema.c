/* schema.c - the record dictionary as a RELAX NG schema. */
#include "text/base.h"

#include "record/country.h"
#include "record/dict_near.h"
#include "record/reader.h"
#include "record/schema.h"
#include "text/markup.h"

/* Values the reader takes for "not given" are valid wherever a value may be left out, so the types
 * of optional attributes allow the empty text. White space at both ends does not count: xsd:token.
 */
static const char plain_head[] = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                                 "<!-- Schema of record files, printed from the record dictionary: "
                                 "the elements, where each may\n"
                                 "     stand, and the names of their attributes. What a value may "
                                 "be is said in the exact schema\n"
                                 "     and by the reader. -->\n";
static const char exact_head[] =
    "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
    "<!-- Exact schema of record files, printed from the record dictionary: with the words, "
    "codes,\n"
    "     ids and date forms of every attribute. What a number and its unit mean only the reader\n"
    "     can say. Some validators slow down with every optional attribute of one element. -->\n";
static const char head[] =
    "<grammar xmlns=\"http://relaxng.org/ns/structure/1.0\"\n"
    "         xmlns:a=\"http://relaxng.org/ns/compatibility/annotations/1.0\"\n"
    "         datatypeLibrary=\"http://www.w3.org/2001/XMLSchema-datatypes\">\n"
    "  <start><ref name=\"records\"/></start>\n";

#define TOKEN_PATTERN "[A-Za-z0-9][A-Za-z0-9._/+\\-]{0,63}"
#define TIME_PATTERN  "([T ][0-9]{2}:[0-9]{2}(:[0-9]{2})?)?"
/* The words the reader takes for a missing value (text/number.h), and the dates it takes. */
#define DATE_PATTERN                                                                               \
    "([0-9]{4}-[0-9]{2}-[0-9]{2}" TIME_PATTERN "|[0-9]{1,2}\\s+[A-Za-z]+\\s+[0-9]{4}"              \
    "|[A-Za-z]+\\s+[0-9]{1,2}(,\\s*|\\s+)[0-9]{4}|[^0-9]*)"

static void define_pattern(struct sbuf *out, const char *name, const char *pattern)
{
    sbuf_printf(
        out,
        "  <define name=\"%s\"><data type=\"token\"><param name=\"pattern\">%s</param></data>"
        "</define>\n",
        name, pattern);
}

static void define_countries(struct sbuf *out)
{
    static const enum country_status groups[] = {COUNTRY_ISO, COUNTRY_TRADE, COUNTRY_FORMER};
    const char *w = NULL;
    size_t n = 0;

    sbuf_puts(out, "  <define name=\"country\">\n    <choice>\n      <value/>");
    for (size_t g = 0; g < LW_COUNT(groups); g++) {
        const char *codes = country_codes(groups[g]);
        for (size_t i = 0; dict_next_word(&codes, &w, &n); i++) {
            sbuf_printf(out, "%s<value>%.*s</value>", i % 6 == 0 ? "\n      " : "", (int)n, w);
        }
    }
    sbuf_puts(out, "\n    </choice>\n  </define>\n");
}

static void define_types(struct sbuf *out)
{
    define_pattern(out, "token", "(" TOKEN_PATTERN ")?");
    define_pattern(out, "date", DATE_PATTERN);
    sbuf_puts(out,
              "  <define name=\"tokens\"><list><zeroOrMore><ref name=\"id\"/></zeroOrMore></list>"
              "</define>\n"
              "  <define name=\"flag\"><choice><value/><value>yes</value><value>no</value>"
              "</choice></define>\n");
    sbuf_puts(out, "  <define name=\"quantity\"><data type=\"token\"/></define>\n");
    define_countries(out);
}

static void put_choice(struct sbuf *out, const struct dict_attr *a, const char *indent)
{
    const char *words = a->words;
    const char *w = NULL;
    size_t n = 0;

    sbuf_printf(out, "%s  <choice>", indent);
    if ((a->flags & ATTR_REQUIRED) == 0) {
        sbuf_puts(out, "<value/>");
    }
    while (dict_next_word(&words, &w, &n)) {
        sbuf_printf(out, "<value>%.*s</value>", (int)n, w);
    }
    sbuf_puts(out, "</choice>\n");
}

static const char *type_name(const struct dict_attr *a)
{
    bool required = (a->flags & ATTR_REQUIRED) != 0;

    switch (a->type) {
    case ATTR_TOKEN:
    case ATTR_REF:
        return required ? "id" : "token";
    case ATTR_REFS:
        return "tokens";
    case ATTR_DATE:
        return "date";
    case ATTR_QTY:
    case ATTR_PERCENT:
    case ATTR_RATIO:
        return "quantity";
    case ATTR_FLAG:
        return "flag";
    case ATTR_COUNTRY:
        return "country";
    case ATTR_TEXT:
    case ATTR_CHOICE:
        break;
    }
    return "text";
}

static void put_meaning(struct sbuf *out, const struct dict_attr *a, const char *indent)
{
    sbuf_printf(out, "%s  <a:documentation>", indent);
    markup_put_text(out, a->meaning);
    if (a->type == ATTR_QTY && a->dim != DIM_NONE) {
        sbuf_printf(out, " A %s: %s.", dimension_name(a->dim), dimension_examples(a->dim));
    } else if (a->type == ATTR_PERCENT) {
        sbuf_puts(out, " A per cent: 28 %.");
    } else if (a->type == ATTR_RATIO) {
        sbuf_puts(out, " A ratio: 1:40.");
    } else if (a->type == ATTR_REF || a->type == ATTR_REFS) {
        sbuf_printf(out, " Names: %s.", a->words);
    }
    sbuf_puts(out, "</a:documentation>\n");
}

static void put_attribute(struct sbuf *out, const struct dict_attr *a)
{
    bool required = (a->flags & ATTR_REQUIRED) != 0;
    const char *indent = required ? "      " : "        ";

    if (!required) {
        sbuf_puts(out, "      <optional>\n");
    }
    sbuf_printf(out, "%s<attribute name=\"%s\">\n", indent, a->name);
    put_meaning(out, a, indent);
    if (a->type == ATTR_CHOICE) {
        put_choice(out, a, indent);
    } else {
        sbuf_printf(out, "%s  <ref name=\"%s\"/>\n", indent, type_name(a));
    }
    sbuf_printf(out, "%s</attribute>\n", indent);
    if (!required) {
        sbuf_puts(out, "      </optional>\n");
    }
}

static void put_children(struct sbuf *out, const struct dict_element *e)
{
    size_t count = 0;
    const struct dict_element *all = dict_elements(&count);
    bool any = false;

    for (size_t i = 0; i < count; i++) {
        if (all[i].parent != NULL && strcmp(all[i].parent, e->name) == 0) {
            sbuf_puts(out, any ? "" : "      <zeroOrMore>\n        <choice>\n");
            sbuf_printf(out, "          <ref name=\"record-%s\"/>\n", all[i].name);
            any = true;
        }
    }
    sbuf_puts(out, any ? "        </choice>\n      </zeroOrMore>\n" : "");
    if (!any && e->attr_count == 0) {
        sbuf_puts(out, "      <empty/>\n");
    }
}

/* The optional attributes of an element as one loop over a set of names. Written one by one, each
 * <optional> of a record that uses it doubles the states of the validator in libxml2: sixteen
 * attributes, 65,536 states. The loop is exact about names, and needs a state an attribute. */
static void put_names(struct sbuf *out, const struct dict_element *e)
{
    bool any = false;

    for (size_t i = 0; i < e->attr_count; i++) {
        const struct dict_attr *a = &e->attrs[i];

        if ((a->flags & ATTR_REQUIRED) != 0) {
            continue;
        }
        if (!any) {
            sbuf_puts(out, "      <zeroOrMore>\n        <attribute>\n          <choice>\n");
        }
        any = true;
        sbuf_printf(out, "            <name>%s</name>\n", a->name);
    }
    if (any) {
        sbuf_puts(out, "          </choice>\n          <ref name=\"text\"/>\n        </attribute>\n"
                       "      </zeroOrMore>\n");
    }
}

static void put_element(struct sbuf *out, const struct dict_element *e, bool exact)
{
    sbuf_printf(out, "  <define name=\"%s%s\">\n    <element name=\"%s\">\n      <a:documentation>",
                e->parent != NULL ? "record-" : "", e->name, e->name);
    markup_put_text(out, e->meaning);
    sbuf_puts(out, "</a:documentation>\n");
    for (size_t i = 0; i < e->attr_count; i++) {
        if (exact || (e->attrs[i].flags & ATTR_REQUIRED) != 0) {
            put_attribute(out, &e->attrs[i]);
        }
    }
    if (!exact) {
        put_names(out, e);
    }
    put_children(out, e);
    sbuf_puts(out, "    </element>\n  </define>\n");
}

static void print(struct sbuf *out, bool exact)
{
    size_t count = 0;
    const struct dict_element *all = dict_elements(&count);

    sbuf_puts(out, exact ? exact_head : plain_head);
    sbuf_puts(out, head);
    for (size_t i = 0; i < count; i++) {
        put_element(out, &all[i], exact);
    }
    define_pattern(out, "id", TOKEN_PATTERN);
    sbuf_printf(out,
                "  <define name=\"text\"><data type=\"string\"><param name=\"maxLength\">%d</param>"
                "</data></define>\n",
                READER_ATTR_BYTES);
    if (exact) {
        define_types(out);
    }
    sbuf_puts(out, "</grammar>\n");
}

void schema_print(struct sbuf *out)
{
    print(out, false);
}

void schema_print_exact(struct sbuf *out)
{
    print(out, true);
}
