#include "text/base.h"

#include "rule/expression.h"

/* The byte after the quoted text that begins at s; NULL when it never ends. A doubled quote stands
 * for itself and the text goes on, which looking for the next quote gets right by itself. */
static const char *after_quote(const char *s)
{
    const char *end = strchr(s + 1, *s == '[' ? ']' : *s);
    return end ? end + 1 : NULL;
}

const char *expression_trouble(const char *sql)
{
    int depth = 0;
    for (const char *p = sql; *p;) {
        switch (*p) {
        case '\'':
        case '"':
        case '`':
        case '[':
            p = after_quote(p);
            if (!p)
                return "a quote that is not closed";
            continue;
        case '(':
            depth++;
            break;
        case ')':
            if (--depth < 0)
                return "a bracket closed that was not opened";
            break;
        case ',':
            if (depth == 0)
                return "a comma outside brackets";
            break;
        case ';':
            return "a semicolon";
        case '-':
            if (p[1] == '-')
                return "a comment";
            break;
        case '/':
            if (p[1] == '*')
                return "a comment";
            break;
        default:
            break;
        }
        p++;
    }
    return depth > 0 ? "a bracket that is not closed" : NULL;
}
