#include "cli/given.h"

#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/ask.h"
#include "cli/complain.h"
#include "cli/photo.h"
#include "cli/voice.h"

enum { PATH_SIZE = 4096 };
#define PHOTO_ROOM ((size_t)16 << 20) /* bytes of a photo's text, and of the copies while that grows */

/* ---- assumed values ---- */

/* A value of the sheet that carries this mark was not measured by anybody. */
static const char mark[] = "# assumed";

static bool is_marked(const cli_sheet *sheet, const char *path)
{
    pw_yaml_span span;
    size_t length = 0;
    if (!pw_yaml_value(&sheet->map, path, &span) || !span.scalar) {
        return false;
    }
    const char *line = pw_sheet_line(sheet, span.end_line, &length);
    size_t at = pw_sheet_byte(line, length, span.end_column);
    while (at < length && (line[at] == ' ' || line[at] == '\t')) {
        at++;
    }
    size_t end = length;
    while (end > at && strchr(" \t\r", line[end - 1])) {
        end--;
    }
    return end - at == sizeof mark - 1 && memcmp(line + at, mark, end - at) == 0;
}

/* All marked values within one, each as "vessels[0].volume: 100 L". */
static void put_marked(const cli_sheet *sheet, const pw_json *value, const char *path, pw_json_writer *writer)
{
    int32_t number = 0;
    if (value->kind != PW_JSON_OBJECT && value->kind != PW_JSON_ARRAY) {
        if (is_marked(sheet, path) && value->string) {
            char words[2 * PW_PATH_SIZE];
            snprintf(words, sizeof words, "%s: %s", path, value->string);
            pw_json_string(writer, NULL, words);
        }
        return;
    }
    for (const pw_json *part = value->first; part; part = part->next, number++) {
        char inside[PW_PATH_SIZE];
        if (value->kind == PW_JSON_ARRAY) {
            snprintf(inside, sizeof inside, "%s[%d]", path, (int)number);
        } else {
            snprintf(inside, sizeof inside, "%s%s%s", path, path[0] ? "." : "", part->key);
        }
        put_marked(sheet, part, inside, writer);
    }
}

/* ---- the settings as they were found ---- */

static cli_loaded put_found(const char *path, bool colour, pw_json_writer *writer)
{
    cli_sheet sheet;
    const cli_loaded loaded = cli_sheet_load(path, colour, &sheet);
    if (loaded != CLI_LOADED) {
        return loaded;
    }
    const pw_json *list = pw_json_get(sheet.read, "settings");
    if (!list || list->kind != PW_JSON_ARRAY) {
        cli_tell(pw_fact_of("cli.no-settings", pw_named(path)));
        return CLI_NOT_UNDERSTOOD;
    }
    pw_json_value(writer, "found", list);
    return CLI_LOADED;
}

/* ---- photos ---- */

/* FILE, or FILE=WORDS. */
static cli_loaded put_photo(const char *value, pw_json_writer *writer)
{
    const char *words = strchr(value, '=');
    char path[PATH_SIZE];
    const char *why = "";
    snprintf(path, sizeof path, "%.*s", (int)(words ? words - value : (ptrdiff_t)strlen(value)), value);
    char *picture = cli_photo(path, &why);
    if (!picture) {
        cli_tell(pw_fact_of("cli.cannot-read", pw_named(path), pw_word(why)));
        return CLI_NOT_READ;
    }
    pw_json_open(writer, NULL, '{');
    pw_json_string(writer, "words", words ? words + 1 : "");
    pw_json_string(writer, "picture", picture);
    pw_json_close(writer, '}');
    free(picture);
    return CLI_LOADED;
}

cli_loaded cli_given_load(const cli_options *options, const cli_sheet *sheet, bool colour, const char **out)
{
    pw_arena arena;
    pw_text text;
    pw_json_writer writer;
    cli_loaded loaded = CLI_LOADED;
    cli_arena(&arena, (size_t)options->photo_count * PHOTO_ROOM + 4 * sheet->length + ((size_t)1 << 20));
    pw_text_init(&text, &arena);
    pw_json_writer_init(&writer, &text, 0);
    pw_json_open(&writer, NULL, '{');
    pw_json_open(&writer, "assumed", '[');
    if (sheet->map.root) {
        put_marked(sheet, sheet->read, "", &writer);
    }
    pw_json_close(&writer, ']');
    if (options->found) {
        loaded = put_found(options->found, colour, &writer);
    }
    pw_json_open(&writer, "photos", '[');
    for (int32_t i = 0; i < options->photo_count && loaded == CLI_LOADED; i++) {
        loaded = put_photo(options->photos[i], &writer);
    }
    pw_json_close(&writer, ']');
    if (!text.failed) {
        text.data[0] = ','; /* the members go behind others: no brace, and none will come */
        *out = text.data;
    }
    return text.failed ? CLI_NOT_UNDERSTOOD : loaded;
}
