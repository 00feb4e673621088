#include "cli/complain.h"

#include <stdio.h>
#include <string.h>

#include "cli/voice.h"

static const char *text_of(const pw_json *object, const char *key)
{
    const pw_json *value = pw_json_get(object, key);
    return value && value->kind == PW_JSON_STRING ? value->string : "";
}

static int32_t number_of(const pw_json *object, const char *key)
{
    const pw_json *value = pw_json_get(object, key);
    return value && value->kind == PW_JSON_NUMBER ? (int32_t)value->number : 0;
}

/* Blanks as wide as the characters before the column. */
static void put_blanks(const char *line, size_t length, int32_t column)
{
    for (int32_t i = 1; i < column; i++) {
        size_t at = pw_sheet_byte(line, length, i);
        fputc(at < length && line[at] == '\t' ? '\t' : ' ', stderr);
    }
}

/* Text of a sheet as it may go to a terminal: bytes that could command it (C0 but the tab, DEL, and C1, which UTF-8
 * writes as C2 80 .. C2 9F) become a point. */
static void put_harmless(const char *text, size_t length)
{
    for (size_t i = 0; i < length; i++) {
        const unsigned char byte = (unsigned char)text[i], next = i + 1 < length ? (unsigned char)text[i + 1] : 0;
        const bool c1 = byte == 0xC2 && next >= 0x80 && next <= 0x9F;
        fputc((byte < 0x20 && byte != '\t') || byte == 0x7F || c1 ? '.' : byte, stderr);
        i += c1 ? 1 : 0;
    }
}

static void put_source_line(const cli_sheet *sheet, int32_t line, int32_t column, bool colour)
{
    size_t length = 0;
    const char *text = pw_sheet_line(sheet, line, &length);
    if (length > 400) {
        return; /* machine-written JSON on one line helps nobody */
    }
    fprintf(stderr, "%5d | ", (int)line);
    put_harmless(text, length);
    fprintf(stderr, "\n      | ");
    put_blanks(text, length, column);
    fprintf(stderr, "%s^%s\n", colour ? "\033[1;31m" : "", colour ? "\033[0m" : "");
}

void cli_note_at(const cli_sheet *sheet, const char *where, const char *first, const char *more)
{
    fprintf(stderr, "%s: %s %s: ", sheet->name, pw_say_word(cli_voice(), "cli.note"), where);
    put_harmless(first, strlen(first));
    fprintf(stderr, "%s", more[0] ? "; " : "");
    put_harmless(more, strlen(more));
    fprintf(stderr, "\n");
}

void cli_complain_at(const cli_sheet *sheet, int32_t line, int32_t column, const char *where, const char *found,
                     const char *expected, const char *hint, bool warning, bool colour)
{
    const char *bold = colour ? "\033[1m" : "";
    const char *tint = colour ? (warning ? "\033[1;33m" : "\033[1;31m") : "";
    const char *plain = colour ? "\033[0m" : "";
    if (sheet && line > 0) {
        fprintf(stderr, "%s%s:%d:%d:%s ", bold, cli_name(sheet->name), (int)line, (int)column, plain);
    } else {
        fprintf(stderr, "%s%s:%s ", bold, sheet ? cli_name(sheet->name) : "pumpwright", plain);
    }
    fprintf(stderr, "%s%s%s%s", tint, warning ? pw_say_word(cli_voice(), "cli.warning") : "", warning ? " " : "",
            plain);
    put_harmless(where, strlen(where));
    fprintf(stderr, "%s", where[0] ? ": " : "");
    if (found[0]) {
        fprintf(stderr, "%s ", pw_say_word(cli_voice(), "cli.found"));
        put_harmless(found, strlen(found));
        fprintf(stderr, "%s", expected[0] ? "; " : "");
    }
    if (expected[0]) {
        fprintf(stderr, "%s%s", found[0] ? pw_say_word(cli_voice(), "cli.right") : "", found[0] ? " " : "");
        put_harmless(expected, strlen(expected));
    }
    fprintf(stderr, "\n");
    if (sheet && line > 0) {
        put_source_line(sheet, line, column, colour);
    }
    if (hint[0]) {
        fprintf(stderr, "        ");
        put_harmless(hint, strlen(hint));
        fprintf(stderr, "\n");
    }
}

/* Keys of a request that came from an option of the command line. */
static const char *const option_keys[][2] = {
    {"units", "--units"},
    {"language", "--language"},
    {"length", "--length"},
    {"samples", "--every"},
    {"seed", "--seed"},
    {"horizon", "--horizon"},
    {"years", "--years"},
    {"sweep", "--sweep"},
    {"faults", "--fault"},
    {"states", "--state"},
    {"release after", "--release-after"},
    {"reset counters", "--reset-counters"},
};

const char *cli_option_of(const char *path)
{
    for (size_t i = 0; i < sizeof option_keys / sizeof option_keys[0]; i++) {
        size_t length = strlen(option_keys[i][0]);
        if (strncmp(path, option_keys[i][0], length) == 0 && (path[length] == 0 || path[length] == '[')) {
            return option_keys[i][1];
        }
    }
    return NULL;
}

/* "faults[0].severity" was written by the person as --fault. */
static void put_option_path(const char *path, char *out, size_t size)
{
    const char *option = cli_option_of(path);
    const char *rest = strrchr(path, '.');
    snprintf(out, size, "%s%s%s%s", option ? option : path, option && rest ? " (" : "", option && rest ? rest + 1 : "",
             option && rest ? ")" : "");
}

static const cli_sheet *readings_sheet; /* set once, before the question is asked */

void cli_complain_readings(const cli_sheet *sheet)
{
    readings_sheet = sheet;
}

/* A path within the list of readings: in its file, which may be the list itself. */
static bool place_of_reading(const char *path, int32_t *line, int32_t *column)
{
    static const char key[] = "readings";
    if (!readings_sheet || strncmp(path, key, sizeof key - 1) != 0) {
        return false;
    }
    return pw_sheet_place(readings_sheet, path, line, column) ||
           pw_sheet_place(readings_sheet, path + sizeof key - 1, line, column);
}

void cli_complain(const pw_json *problems, const cli_sheet *sheet, bool colour, bool errors_only)
{
    for (const pw_json *problem = problems ? problems->first : NULL; problem; problem = problem->next) {
        const pw_json *flag = pw_json_get(problem, "warning");
        bool warning = flag && flag->truth;
        if (warning && errors_only) {
            continue;
        }
        const char *path = text_of(problem, "path");
        bool of_site = strncmp(path, "site", 4) == 0 && (path[4] == '.' || path[4] == '[' || path[4] == 0);
        const char *where = of_site ? path + 4 + (path[4] == '.') : path;
        char option[PW_PATH_SIZE + 32];
        int32_t line = 0;
        int32_t column = 0;
        if (strncmp(path, "given.", 6) == 0) { /* an input of reckon: the person wrote NAME=VALUE */
            where = path + 6;
        } else if (!of_site) {
            put_option_path(path, option, sizeof option);
            where = option;
        }
        if (sheet && of_site && pw_sheet_place(sheet, where, &line, &column)) {
            int32_t inside = number_of(problem, "column");
            if (strncmp(where, "settings[", 9) == 0 && inside > 0) {
                column = pw_sheet_column_in_sentence(sheet, line, column, inside);
            }
        }
        const bool reading = !of_site && place_of_reading(path, &line, &column);
        cli_complain_at(of_site ? sheet : (reading ? readings_sheet : NULL), line, column, reading ? path : where,
                        text_of(problem, "found"), text_of(problem, "expected"), text_of(problem, "hint"), warning,
                        colour);
    }
}
