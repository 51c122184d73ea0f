/* json.h - writes one JSON document (RFC 8259) into a string buffer.
 *
 * Strings are escaped so that the output is valid whatever the input: control characters, the line
 * separators U+2028 and U+2029, and ill-formed UTF-8 (each bad byte becomes U+FFFD). Numbers print
 * in the shortest form that reads back as the same double; NaN and infinity print as null. */
#ifndef LW_REPORT_JSON_H
#define LW_REPORT_JSON_H

#include "text/base.h"
#include "text/sbuf.h"

enum { JSON_DEPTH = 32 };

struct json {
    struct sbuf *out;
    int depth;
    bool filled[JSON_DEPTH]; /* does the level hold something already? */
};

void json_init(struct json *j, struct sbuf *out);
/* key is NULL inside an array and at the top. */
void json_open(struct json *j, const char *key, char bracket);        /* '{' or '[' */
void json_close(struct json *j, char bracket);                        /* '}' or ']' */
void json_string(struct json *j, const char *key, const char *value); /* NULL prints null */
void json_number(struct json *j, const char *key, double value);
void json_count(struct json *j, const char *key, unsigned long value);
void json_bool(struct json *j, const char *key, bool value);
/* As json_string, but nothing at all for NULL. */
void json_maybe(struct json *j, const char *key, const char *value);
/* Appends s as a quoted JSON string. */
void json_quote(struct sbuf *out, const char *s);

#endif
