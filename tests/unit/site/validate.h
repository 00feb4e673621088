/* A small validator for JSON Schema: the keywords that our schema uses, and a failure for any other. Slow and plain. */
#ifndef SHEET_VALIDATE_H
#define SHEET_VALIDATE_H

#include <regex.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/json.h"

typedef struct validation {
    char path[256]; /* of the first thing that does not fit */
    char why[128];
} validation;

static inline bool same_value(const pw_json *a, const pw_json *b)
{
    if (a->kind != b->kind) {
        return false;
    }
    switch (a->kind) {
    case PW_JSON_STRING: return strcmp(a->string, b->string) == 0;
    case PW_JSON_NUMBER: return a->number == b->number;
    case PW_JSON_BOOL: return a->truth == b->truth;
    default: return true;
    }
}

static inline bool is_type(const pw_json *value, const char *type)
{
    static const struct {
        const char *type;
        pw_json_kind kind;
    } types[] = {{"string", PW_JSON_STRING}, {"number", PW_JSON_NUMBER}, {"integer", PW_JSON_NUMBER},
                 {"boolean", PW_JSON_BOOL},  {"array", PW_JSON_ARRAY},   {"object", PW_JSON_OBJECT},
                 {"null", PW_JSON_NULL}};
    for (size_t i = 0; i < sizeof types / sizeof types[0]; i++) {
        if (strcmp(types[i].type, type) == 0) {
            bool whole = strcmp(type, "integer") != 0 || value->number == (double)(int64_t)value->number;
            return value->kind == types[i].kind && whole;
        }
    }
    fail_msg("the schema has the unknown type %s", type);
    return false;
}

/* JSON patterns are those of ECMA-262; ours use only what POSIX extended ones (with \s of the C library) have in
 * common. */
static inline bool fits_pattern(const char *text, const char *pattern)
{
    regex_t regex;
    if (regcomp(&regex, pattern, REG_EXTENDED | REG_NOSUB) != 0) {
        fail_msg("the schema has a pattern that cannot be read: %s", pattern);
    }
    bool fits = regexec(&regex, text, 0, NULL, 0) == 0;
    regfree(&regex);
    return fits;
}

static inline bool valid(const pw_json *schema, const pw_json *value, const char *path, validation *out);

static inline bool no(validation *out, const char *path, const char *why)
{
    if (out != NULL) {
        pw_copy(out->path, sizeof out->path, path);
        pw_copy(out->why, sizeof out->why, why);
    }
    return false;
}

/* Three pieces in 256 bytes, cut when they are longer. */
static inline void join(char *out, const char *a, const char *b, const char *c)
{
    pw_copy(out, 256, a);
    pw_copy(out + strlen(out), (int32_t)(256 - strlen(out)), b);
    pw_copy(out + strlen(out), (int32_t)(256 - strlen(out)), c);
}

static inline bool valid_object(const pw_json *schema, const pw_json *value, const char *path, validation *out)
{
    const pw_json *properties = pw_json_get(schema, "properties");
    const pw_json *others = pw_json_get(schema, "additionalProperties");
    const pw_json *required = pw_json_get(schema, "required");
    for (const pw_json *key = required ? required->first : NULL; key != NULL; key = key->next) {
        if (pw_json_get(value, key->string) == NULL) {
            return no(out, path, key->string);
        }
    }
    for (const pw_json *member = value->first; member != NULL; member = member->next) {
        char inner[256];
        join(inner, path, ".", member->key);
        const pw_json *rule = pw_json_get(properties, member->key);
        rule = rule != NULL ? rule : others;
        if (rule != NULL && !valid(rule, member, inner, out)) {
            return false;
        }
    }
    return true;
}

static inline bool valid_array(const pw_json *schema, const pw_json *value, const char *path, validation *out)
{
    const pw_json *least = pw_json_get(schema, "minItems");
    const pw_json *most = pw_json_get(schema, "maxItems");
    const pw_json *items = pw_json_get(schema, "items");
    if ((least != NULL && value->count < least->number) || (most != NULL && value->count > most->number)) {
        return no(out, path, "number of items");
    }
    int index = 0;
    for (const pw_json *item = value->first; item != NULL && items != NULL; item = item->next) {
        char number[16];
        char inner[256];
        snprintf(number, sizeof number, "[%d]", index++);
        join(inner, path, number, "");
        if (!valid(items, item, inner, out)) {
            return false;
        }
    }
    return true;
}

/* How many of the list the value fits. */
static inline int fits_of(const pw_json *list, const pw_json *value, const char *path)
{
    int fits = 0;
    for (const pw_json *one = list->first; one != NULL; one = one->next) {
        fits += valid(one, value, path, NULL);
    }
    return fits;
}

static inline bool valid_word(const pw_json *rule, const pw_json *schema, const pw_json *value, const char *path,
                              validation *out)
{
    const char *word = rule->key;
    const bool text = value->kind == PW_JSON_STRING;
    if (strcmp(word, "type") == 0) {
        bool fits = rule->kind == PW_JSON_STRING && is_type(value, rule->string);
        for (const pw_json *one = rule->kind == PW_JSON_ARRAY ? rule->first : NULL; one != NULL; one = one->next) {
            fits = fits || is_type(value, one->string);
        }
        return fits || no(out, path, "type");
    }
    if (strcmp(word, "enum") == 0) {
        bool fits = false;
        for (const pw_json *one = rule->first; one != NULL; one = one->next) {
            fits = fits || same_value(one, value);
        }
        return fits || no(out, path, "enum");
    }
    if (strcmp(word, "const") == 0) {
        return same_value(rule, value) || no(out, path, "const");
    }
    if (strcmp(word, "pattern") == 0) {
        return !text || fits_pattern(value->string, rule->string) || no(out, path, "pattern");
    }
    if (strcmp(word, "maxLength") == 0) {
        return !text || value->length <= 4 * rule->number || no(out, path, word); /* bytes, at most four a character */
    }
    if (strcmp(word, "minLength") == 0) {
        return !text || value->length >= rule->number || no(out, path, word);
    }
    if (strcmp(word, "minimum") == 0) {
        return value->kind != PW_JSON_NUMBER || value->number >= rule->number || no(out, path, word);
    }
    if (strcmp(word, "anyOf") == 0) {
        return fits_of(rule, value, path) > 0 || no(out, path, word);
    }
    if (strcmp(word, "allOf") == 0) {
        for (const pw_json *one = rule->first; one != NULL; one = one->next) {
            if (!valid(one, value, path, out)) {
                return false;
            }
        }
        return true;
    }
    if (strcmp(word, "if") == 0) {
        return !valid(rule, value, path, NULL) || valid(pw_json_get(schema, "then"), value, path, out);
    }
    static const char *const elsewhere[] = {"then",      "$schema",  "title",      "description",
                                            "dimension", "examples", "properties", "additionalProperties",
                                            "required",  "minItems", "maxItems",   "items"};
    for (size_t i = 0; i < sizeof elsewhere / sizeof elsewhere[0]; i++) {
        if (strcmp(word, elsewhere[i]) == 0) {
            return true;
        }
    }
    fail_msg("the schema has the unknown keyword %s", word);
    return false;
}

static inline bool valid(const pw_json *schema, const pw_json *value, const char *path, validation *out)
{
    if (schema->kind == PW_JSON_BOOL) {
        return schema->truth || no(out, path, "not known here");
    }
    for (const pw_json *rule = schema->first; rule != NULL; rule = rule->next) {
        if (!valid_word(rule, schema, value, path, out)) {
            return false;
        }
    }
    if (value->kind == PW_JSON_OBJECT) {
        return valid_object(schema, value, path, out);
    }
    return value->kind != PW_JSON_ARRAY || valid_array(schema, value, path, out);
}

#endif
