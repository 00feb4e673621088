#include "adapt/sheet_edit.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Bytes [from, to) of the text give way to before, words, behind. */
typedef struct patch {
    size_t from, to;
    char before[PW_PATH_SIZE], behind[256];
    const char *words;
} patch;

static size_t offset_of(const pw_sheet *sheet, int32_t line, int32_t column)
{
    size_t length = 0;
    const char *at = pw_sheet_line(sheet, line, &length);
    /* the reader of YAML counts a byte order mark as nothing */
    const size_t mark = line == 1 && length >= 3 && memcmp(at, "\xef\xbb\xbf", 3) == 0 ? 3 : 0;
    return (size_t)(at - sheet->text) + mark + pw_sheet_byte(at + mark, length - mark, column);
}

/* Path without its last key, and that key; false: it ends with an index. */
static bool split_last(const char *path, char *parent, size_t size, const char **key)
{
    const char *dot = strrchr(path, '.');
    const size_t length = dot != NULL ? (size_t)(dot - path) : 0;
    if (path[strlen(path) - 1] == ']' || length >= size) {
        return false;
    }
    memcpy(parent, path, length);
    parent[length] = 0;
    *key = dot != NULL ? dot + 1 : path;
    return true;
}

/* ---- YAML ---- */

static bool yaml_patch(const pw_sheet *sheet, const pw_sheet_edit *edit, patch *out)
{
    char parent[PW_PATH_SIZE];
    const char *key;
    pw_yaml_span span;
    if (pw_yaml_value(&sheet->map, edit->path, &span) && span.scalar) {
        out->from = offset_of(sheet, span.line, span.column);
        out->to = offset_of(sheet, span.end_line, span.end_column);
        const char quote = sheet->text[out->from];
        if (quote == '"' || quote == '\'') {
            out->before[0] = out->behind[0] = quote;
            out->before[1] = out->behind[1] = 0;
        }
        return true;
    }
    if (pw_yaml_value(&sheet->map, edit->path, &span) || !split_last(edit->path, parent, sizeof parent, &key) ||
        !pw_yaml_value(&sheet->map, parent, &span) || !span.mapping || span.first_line == 0) {
        return false;
    }
    out->from = out->to = offset_of(sheet, span.first_line, span.first_column);
    snprintf(out->before, sizeof out->before, "%s: ", key);
    if (span.flow) {
        snprintf(out->behind, sizeof out->behind, ", ");
    } else { /* the first key moves to the next line, below the new one */
        snprintf(out->behind, sizeof out->behind, "\n%*s", (int)(span.first_column - 1), "");
    }
    return span.first_column < 200;
}

/* ---- JSON ---- */

static size_t json_end(const pw_sheet *sheet, size_t from)
{
    const char *text = sheet->text;
    size_t at = from;
    if (text[at] != '"') {
        return at + strcspn(text + at, ",]} \t\r\n");
    }
    for (at++; text[at] != '"' && text[at] != 0; at++) {
        at += text[at] == '\\' && text[at + 1] != 0 ? 1 : 0;
    }
    return at + 1;
}

static bool json_patch(const pw_sheet *sheet, const pw_sheet_edit *edit, patch *out)
{
    char parent[PW_PATH_SIZE];
    const char *key;
    const pw_json *value = pw_sheet_json(sheet, edit->path);
    snprintf(out->behind, sizeof out->behind, "\"");
    if (value != NULL && (value->kind == PW_JSON_STRING || value->kind == PW_JSON_NUMBER)) {
        out->from = offset_of(sheet, value->line, value->column);
        out->to = json_end(sheet, out->from);
        snprintf(out->before, sizeof out->before, "\"");
        return true;
    }
    if (value != NULL || !split_last(edit->path, parent, sizeof parent, &key)) {
        return false;
    }
    value = pw_sheet_json(sheet, parent);
    if (value == NULL || value->kind != PW_JSON_OBJECT) {
        return false;
    }
    out->from = out->to = offset_of(sheet, value->line, value->column) + 1;
    snprintf(out->before, sizeof out->before, "\"%s\": \"", key);
    snprintf(out->behind, sizeof out->behind, "\"%s", value->count > 0 ? ", " : "");
    return true;
}

/* ---- the text ---- */

static int by_place(const void *a, const void *b)
{
    const patch *one = (const patch *)a, *other = (const patch *)b;
    return one->from < other->from ? -1 : one->from > other->from ? 1 : 0;
}

static char *joined(const pw_sheet *sheet, const patch *list, int32_t count)
{
    size_t length = sheet->length + 1, at = 0, used = 0;
    for (int32_t i = 0; i < count; i++) {
        length += strlen(list[i].before) + strlen(list[i].words) + strlen(list[i].behind);
    }
    char *out = malloc(length);
    for (int32_t i = 0; out != NULL && i < count; i++) {
        memcpy(out + used, sheet->text + at, list[i].from - at);
        used += list[i].from - at;
        used += (size_t)snprintf(out + used, length - used, "%s%s%s", list[i].before, list[i].words, list[i].behind);
        at = list[i].to;
    }
    if (out != NULL) {
        memcpy(out + used, sheet->text + at, sheet->length - at);
        out[used + sheet->length - at] = 0;
    }
    return out;
}

char *pw_sheet_edited(const pw_sheet *sheet, pw_sheet_edit *edits, int32_t count)
{
    patch *list = calloc((size_t)count + 1, sizeof *list);
    int32_t used = 0;
    for (int32_t i = 0; list != NULL && i < count; i++) {
        patch *one = &list[used];
        one->words = edits[i].words;
        edits[i].done = sheet->tree ? json_patch(sheet, &edits[i], one) : yaml_patch(sheet, &edits[i], one);
        used += edits[i].done ? 1 : 0;
        if (!edits[i].done) {
            *one = (patch){.from = 0};
        }
    }
    char *out = NULL;
    if (list != NULL) {
        qsort(list, (size_t)used, sizeof *list, by_place);
        out = joined(sheet, list, used);
    }
    free(list);
    return out;
}
