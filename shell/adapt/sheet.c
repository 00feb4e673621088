#include "adapt/sheet.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "adapt/csv_sheet.h"
#include "adapt/files.h"
#include "door/proofread.h"

static bool ends_with(const char *text, const char *end)
{
    size_t length = strlen(text);
    size_t end_length = strlen(end);
    return length >= end_length && strcmp(text + length - end_length, end) == 0;
}

/* Its name says so, or it begins like an object and reads as one: YAML may begin with a brace too. */
static bool read_json(pw_arena *arena, pw_sheet *sheet, pw_problems *problems)
{
    size_t start = strspn(sheet->text, " \t\r\n");
    bool named = ends_with(sheet->name, ".json");
    if (!named && sheet->text[start] != '{') {
        return false;
    }
    pw_status status = pw_json_read(arena, sheet->text, sheet->length, &sheet->tree, problems);
    if (status != PW_OK && !named) {
        memset(problems, 0, sizeof *problems);
        return false;
    }
    sheet->json = sheet->text;
    return true;
}

#define READ_AS "site"

/* A demand whose trace could not be read: the reason was told better already. */
static bool of_a_trace(const char *path)
{
    static const char demand[] = READ_AS ".demand[";
    const char *behind = strncmp(path, demand, sizeof demand - 1) == 0 ? strchr(path, ']') : NULL;
    return behind && (strncmp(behind, "].trace", 7) == 0 || strcmp(behind, "].times") == 0);
}

/* With a path as those of traces have it. */
static void add_as_of_sheet(pw_problem *one, pw_problems *problems)
{
    if (strncmp(one->path, READ_AS ".", sizeof READ_AS) == 0) {
        memmove(one->path, one->path + sizeof READ_AS, strlen(one->path) + 1 - sizeof READ_AS);
    }
    pw_problem_again(problems, one);
}

/* A trace that cannot be read hides no other slip: the core says what it finds in the rest of the sheet. */
static void look_at_the_rest(pw_arena *arena, const char *json, pw_problems *problems)
{
    pw_problems *found = calloc(1, sizeof *found);
    if (found) {
        pw_door_proofread(arena, json, READ_AS, found);
        for (int32_t i = 0; i < found->count; i++) {
            if (!of_a_trace(found->items[i].path)) {
                add_as_of_sheet(&found->items[i], problems);
            }
        }
    }
    free(found);
}

/* The core reads no files: measured traces go into the sheet here. */
static bool fill_traces(pw_arena *arena, const char *path, pw_sheet *sheet, pw_problems *problems)
{
    const pw_json *tree = sheet->tree;
    if (!tree && pw_json_read(arena, sheet->json, strlen(sheet->json), &tree, problems) != PW_OK) {
        return false;
    }
    sheet->read = tree;
    if (!pw_csv_sheet_needs(tree)) {
        return true;
    }
    pw_text filled;
    if (pw_csv_sheet_fill(arena, tree, path, &filled, problems) != PW_OK) {
        if (!filled.failed) {
            look_at_the_rest(arena, filled.data, problems);
        }
        return false;
    }
    sheet->json = filled.data;
    return true;
}

const char *pw_sheet_reads(const pw_sheet *sheet, const char *given, const char *path)
{
    if (pw_file_same(given, path)) {
        return sheet->name;
    }
    return sheet->read && pw_csv_sheet_reads(sheet->read, given, path) ? "adapt.trace-of-sheet" : NULL;
}

/* Problems of traces have paths: give them their places in the sheet. */
static void place_problems(const pw_sheet *sheet, pw_problems *problems)
{
    for (int32_t i = 0; i < problems->count; i++) {
        pw_problem *one = &problems->items[i];
        if (one->line == 0 && one->path[0]) {
            pw_sheet_place(sheet, one->path, &one->line, &one->column);
        }
    }
}

/* sheet->text and name are there; path: from where traces are looked for. */
static pw_sheet_end understand(const char *path, pw_sheet *sheet, pw_problems *problems)
{
    size_t size = 64 * sheet->length + ((size_t)96 << 20); /* a trace may hold 200,000 values */
    sheet->block = malloc(size);
    if (!sheet->block) {
        pw_problem_add(problems, PW_MEMORY, "", "", "", "");
        return PW_SHEET_NOT_UNDERSTOOD;
    }
    pw_arena arena;
    pw_arena_init(&arena, sheet->block, size);
    bool good = true;
    if (!read_json(&arena, sheet, problems)) {
        pw_text json;
        good = pw_yaml_to_json(&arena, sheet->text, sheet->length, &json, &sheet->map, problems) == PW_OK;
        sheet->json = good ? json.data : NULL;
    } else {
        good = problems->errors == 0;
    }
    good = good && fill_traces(&arena, path, sheet, problems);
    place_problems(sheet, problems);
    return good ? PW_SHEET_READ : PW_SHEET_NOT_UNDERSTOOD;
}

pw_sheet_end pw_sheet_load(const char *path, pw_sheet *out, pw_problems *problems, const char **why)
{
    *out = (pw_sheet){.name = path};
    out->text = pw_file_read(path, PW_MAX_INPUT, &out->length, why);
    return out->text ? understand(path, out, problems) : PW_SHEET_NO_FILE;
}

pw_sheet_end pw_sheet_take(const char *text, size_t length, const char *name, pw_sheet *out, pw_problems *problems)
{
    *out = (pw_sheet){.name = name};
    out->text = length <= PW_MAX_INPUT ? malloc(length + 1) : NULL;
    if (!out->text) {
        pw_problem_add(problems, length <= PW_MAX_INPUT ? PW_MEMORY : PW_LIMIT, "", "", "", "");
        return PW_SHEET_NOT_UNDERSTOOD;
    }
    memcpy(out->text, text, length);
    out->text[length] = 0;
    out->length = length;
    return understand(name, out, problems);
}

void pw_sheet_free(pw_sheet *sheet)
{
    free(sheet->text);
    free(sheet->block);
    *sheet = (pw_sheet){.name = sheet->name};
}

/* Bytes of a path that name this member; 0 when it is another. */
static size_t names_member(const char *path, const pw_json *member)
{
    size_t length = strlen(member->key);
    char next = strncmp(path, member->key, length) == 0 ? path[length] : 'x';
    return length > 0 && (next == 0 || next == '.' || next == '[') ? length : 0;
}

static const pw_json *inside(const pw_json *value, const char *path, size_t *used)
{
    const pw_json *found = NULL;
    *used = 0;
    if (value->kind == PW_JSON_ARRAY && path[0] == '[') {
        int32_t index = 0;
        size_t at = 1;
        while (path[at] >= '0' && path[at] <= '9' && index < 1000000) {
            index = index * 10 + (path[at] - '0');
            at++;
        }
        *used = at + (path[at] == ']');
        return pw_json_at(value, index);
    }
    for (const pw_json *member = value->kind == PW_JSON_OBJECT ? value->first : NULL; member; member = member->next) {
        size_t length = names_member(path, member); /* the longest: a key may hold a point */
        if (length > *used) {
            *used = length;
            found = member;
        }
    }
    return found;
}

/* As far as the path leads; what is left of it stays. */
static const pw_json *walk(const pw_json *value, const char **path)
{
    while (**path) {
        size_t used = 0;
        const char *at = *path + (**path == '.' ? 1 : 0);
        const pw_json *next = inside(value, at, &used);
        if (!next) {
            break;
        }
        value = next;
        *path = at + used;
    }
    return value;
}

const pw_json *pw_sheet_json(const pw_sheet *sheet, const char *path)
{
    const pw_json *value = walk(sheet->tree, &path);
    return path[0] ? NULL : value;
}

/* Does the sheet call its settings by their older key? Then the map knows no place for the new one. */
static bool says_order(const pw_sheet *sheet)
{
    if (sheet->tree) {
        return !pw_json_get(sheet->tree, "settings") && pw_json_get(sheet->tree, "order");
    }
    int32_t line = 0, column = 0, top_line = 0, top_column = 0;
    const bool known = pw_yaml_where(&sheet->map, "settings", &line, &column) &&
                       pw_yaml_where(&sheet->map, "", &top_line, &top_column);
    return known && line == top_line && column == top_column;
}

bool pw_sheet_place(const pw_sheet *sheet, const char *path, int32_t *line, int32_t *column)
{
    static const char key[] = "settings";
    char old[512];
    if (strncmp(path, key, sizeof key - 1) == 0 && strlen(path) < sizeof old - 8 && says_order(sheet)) {
        snprintf(old, sizeof old, "order%s", path + sizeof key - 1);
        path = old;
    }
    if (!sheet->tree) {
        return pw_yaml_where(&sheet->map, path, line, column);
    }
    const pw_json *value = walk(sheet->tree, &path);
    *line = value->line;
    *column = value->column;
    return true;
}

const char *pw_sheet_line(const pw_sheet *sheet, int32_t line, size_t *length)
{
    const char *at = sheet->text;
    const char *end = sheet->text + sheet->length;
    for (int32_t i = 1; i < line && at < end; i++) {
        const char *next = memchr(at, '\n', (size_t)(end - at));
        at = next ? next + 1 : end;
    }
    const char *stop = memchr(at, '\n', (size_t)(end - at));
    *length = (size_t)((stop ? stop : end) - at);
    if (*length > 0 && at[*length - 1] == '\r') {
        *length -= 1;
    }
    return at;
}

size_t pw_sheet_byte(const char *line, size_t length, int32_t column)
{
    size_t at = 0;
    for (int32_t i = 1; i < column && at < length; i++) {
        at++;
        while (at < length && ((unsigned char)line[at] & 0xC0) == 0x80) { /* inside a character */
            at++;
        }
    }
    return at;
}

/* A quotation mark in the file stands before the sentence. */
int32_t pw_sheet_column_in_sentence(const pw_sheet *sheet, int32_t line, int32_t column, int32_t inside_sentence)
{
    size_t length = 0;
    const char *text = pw_sheet_line(sheet, line, &length);
    size_t at = pw_sheet_byte(text, length, column);
    bool quoted = at < length && (text[at] == '"' || text[at] == '\'');
    return column + inside_sentence - 1 + quoted;
}
