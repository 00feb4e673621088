/* JSON in and out (RFC 8259), strict: jsmn splits the text, own checks reject what it lets pass (missing or doubled
 * commas, bare words, bad escapes, bad UTF-8, numbers that are not JSON or not finite, doubled keys, text after the
 * value, depth over PW_MAX_JSON_DEPTH, size over PW_MAX_INPUT).
 */
#ifndef PW_BASE_JSON_H
#define PW_BASE_JSON_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/status.h"
#include "base/text.h"

typedef enum pw_json_kind {
    PW_JSON_NULL,
    PW_JSON_BOOL,
    PW_JSON_NUMBER,
    PW_JSON_STRING,
    PW_JSON_ARRAY,
    PW_JSON_OBJECT
} pw_json_kind;

/* One value; members of an object and items of an array hang in order on first -> next. */
typedef struct pw_json {
    pw_json_kind kind;
    int32_t line, column; /* of its first byte, 1-based */
    const char *key;      /* decoded, NULL outside objects; no NUL inside */
    const char
        *string;   /* decoded, NUL-terminated; of a string (which never holds a NUL), or the raw text of a number */
    size_t length; /* bytes of string */
    double number;
    bool truth;
    int32_t count; /* members or items */
    const struct pw_json *first, *next;
} pw_json;

/* Read a whole text. On failure one problem with line and column is added and *out is NULL. */
pw_status pw_json_read(pw_arena *arena, const char *text, size_t length, const pw_json **out, pw_problems *problems);
/* Bytes of arena that reading this text takes at most; 0 when it cannot be read. */
size_t pw_json_room(const char *text, size_t length);
/* Member by key, NULL when absent or when value is NULL or no object. */
const pw_json *pw_json_get(const pw_json *value, const char *key);
/* Item by index, NULL when out of range. */
const pw_json *pw_json_at(const pw_json *value, int32_t index);
const char *pw_json_kind_message(pw_json_kind kind); /* "a number", "a list", ... */

/* Writer: commas and escapes are its affair. key is NULL inside arrays and for the outermost value. A number that is
 * not finite is written as null. `indent` 0 writes one line; 2 writes readable text. */
typedef struct pw_json_writer {
    pw_text *text;
    int32_t depth, indent;
    bool first[PW_MAX_JSON_DEPTH + 1];
} pw_json_writer;

void pw_json_writer_init(pw_json_writer *writer, pw_text *text, int32_t indent);
void pw_json_open(pw_json_writer *writer, const char *key, char bracket);        /* '{' or '[' */
void pw_json_close(pw_json_writer *writer, char bracket);                        /* '}' or ']' */
void pw_json_string(pw_json_writer *writer, const char *key, const char *value); /* NULL writes null */
void pw_json_number(pw_json_writer *writer, const char *key, double value);
void pw_json_int(pw_json_writer *writer, const char *key, int64_t value);
void pw_json_bool(pw_json_writer *writer, const char *key, bool value);
void pw_json_null(pw_json_writer *writer, const char *key);
/* A value read before, written again. */
void pw_json_value(pw_json_writer *writer, const char *key, const pw_json *value);

#endif
