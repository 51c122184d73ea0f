/* format.c - the list of output formats. A new one is a file with its render function and a row. */
#include "text/base.h"

#include "report/format.h"
#include "text/utf8.h"

static const struct report_format formats[] = {
    {"text", "for reading on a terminal", report_text},
    {"json", "for programs", report_json},
    {"page", "for printing: one HTML page", report_page},
    {"csv", "for spreadsheets: the tables", report_csv},
    {"sarif", "for programs that gather findings: SARIF 2.1.0", report_sarif},
};

const struct report_format *report_formats(size_t *count)
{
    *count = LW_COUNT(formats);
    return formats;
}

const struct report_format *report_format_find(const char *name)
{
    for (size_t i = 0; i < LW_COUNT(formats); i++)
        if (str_eq(formats[i].name, name))
            return &formats[i];
    return NULL;
}
