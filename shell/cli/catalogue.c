#include "cli/catalogue.h"

#include <stdio.h>
#include <string.h>

#include "adapt/csv_pumps.h"
#include "adapt/files.h"
#include "cli/ask.h"
#include "cli/complain.h"
#include "cli/voice.h"

static cli_loaded load_table(const char *path, bool colour, const char **out)
{
    const char *why = "";
    pw_arena arena;
    pw_text json;
    pw_problems problems = {0};
    cli_sheet sheet = {.name = path};
    sheet.text = cli_keep(pw_file_read(path, PW_MAX_INPUT, &sheet.length, &why));
    if (!sheet.text) {
        cli_tell(pw_fact_of("cli.cannot-read", pw_named(path), pw_word(why)));
        return CLI_NOT_READ;
    }
    cli_arena(&arena, 16 * sheet.length + ((size_t)16 << 20));
    if (pw_csv_pumps(&arena, sheet.text, sheet.length, &json, &problems) != PW_OK) {
        for (int32_t i = 0; i < problems.count; i++) {
            const pw_problem *one = &problems.items[i];
            cli_complain_at(&sheet, one->line, one->column, "catalogue", cli_found(one),
                            cli_words(pw_remark_fact(&one->expected)), cli_words(pw_remark_fact(&one->hint)), false,
                            colour);
        }
        return CLI_NOT_UNDERSTOOD;
    }
    *out = json.data;
    return CLI_LOADED;
}

cli_loaded cli_catalogue_load(const char *path, bool colour, const char **out)
{
    const size_t length = strlen(path);
    if (length > 4 && strcmp(path + length - 4, ".csv") == 0) {
        return load_table(path, colour, out);
    }
    cli_sheet sheet;
    const cli_loaded loaded = cli_sheet_load(path, colour, &sheet);
    if (loaded != CLI_LOADED) {
        return loaded;
    }
    *out = sheet.json;
    if (sheet.json[strspn(sheet.json, " \t\r\n")] != '{') {
        return CLI_LOADED;
    }
    /* an object: the list stands in it */
    pw_arena arena;
    pw_text text;
    pw_json_writer writer;
    const pw_json *tree = NULL;
    const size_t size = strlen(sheet.json);
    cli_arena(&arena, 64 * size + ((size_t)16 << 20));
    if (pw_json_read(&arena, sheet.json, size, &tree, NULL) != PW_OK || !pw_json_get(tree, "catalogue")) {
        cli_tell(pw_fact_of("cli.no-pump-list", pw_named(path)));
        return CLI_NOT_UNDERSTOOD;
    }
    pw_text_init(&text, &arena);
    pw_json_writer_init(&writer, &text, 0);
    pw_json_value(&writer, NULL, pw_json_get(tree, "catalogue"));
    *out = text.data;
    return text.failed ? CLI_NOT_UNDERSTOOD : CLI_LOADED;
}
