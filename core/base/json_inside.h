/* Shared by the three JSON files and by nobody else. */
#ifndef PW_BASE_JSON_INSIDE_H
#define PW_BASE_JSON_INSIDE_H

#include "base/json.h"

/* A checked text and what must be stored of it. */
typedef struct pw_json_check {
    const char *text;
    size_t length, at;
    pw_problems *problems;
    int32_t token_count, value_count;
    size_t string_bytes; /* keys, texts and raw numbers, decoded, with a NUL each */
    int32_t depth;
    char brackets[PW_MAX_JSON_DEPTH];
} pw_json_check;

/* Strict grammar of RFC 8259. text, length and problems are set, all else is zero. */
pw_status pw_json_check_text(pw_json_check *check);
/* Add a problem at a byte of the text; returns the status. */
pw_status pw_json_wrong(pw_json_check *check, pw_status status, size_t at, pw_fact found, pw_fact expected,
                        pw_fact hint);
/* The code point of a \uXXXX (or a surrogate pair of two) whose backslash is at p; used = bytes of it. -1 malformed. */
int32_t pw_json_unicode(const char *p, size_t left, size_t *used);
/* Bytes of the well-formed UTF-8 character at p, 0 when malformed (overlong, surrogate, over U+10FFFF, cut). */
size_t pw_utf8_length(const char *p, size_t left);
/* Bytes that a code point takes in UTF-8. */
size_t pw_utf8_size(int32_t code);

#endif
