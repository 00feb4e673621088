#include "cli/handover.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "adapt/files.h"
#include "cli/complain.h"
#include "cli/print.h"
#include "cli/voice.h"

enum { PATH_SIZE = 4096 };

static cli_exit write_one(const cli_options *options, const char *name, const char *bytes, size_t length)
{
    char path[PATH_SIZE];
    const char *why = "";
    snprintf(path, sizeof path, "%s/%s", options->folder, name);
    if (!pw_file_write(path, bytes, length, &why)) {
        cli_tell(pw_fact_of("cli.cannot-write", pw_named(path), pw_word(why)));
        return CLI_EXIT_FILE;
    }
    if (!options->quiet) {
        fprintf(stderr, "%s\n", cli_words(pw_fact_of("cli.written", pw_named(path))));
    }
    return CLI_EXIT_FINE;
}

static cli_exit write_text(const cli_options *options, const pw_json *answer, const char *key, const char *name)
{
    const pw_json *text = pw_json_get(answer, key);
    return text ? write_one(options, name, text->string, text->length) : CLI_EXIT_INTERNAL;
}

static cli_exit write_sheets(const cli_options *options, const pw_json *answer)
{
    char identity[PATH_SIZE];
    const pw_json *document = pw_json_get(answer, "document"), *mark = pw_json_get(answer, "mark");
    const pw_json *name = pw_json_get(answer, "name");
    size_t length = 0;
    const char *why = "";
    if (!document || !mark || !name) {
        return CLI_EXIT_INTERNAL;
    }
    snprintf(identity, sizeof identity, "pumpwright %s %s", mark->string, name->string);
    char *file = cli_print(document, options->letter ? CLI_PAPER_LETTER : CLI_PAPER_A4, identity,
                           options->installer ? options->installer : "", cli_voice(), &length, &why);
    if (!file) {
        char path[PATH_SIZE];
        snprintf(path, sizeof path, "%s/handover.pdf", options->folder);
        cli_tell(pw_fact_of("cli.cannot-write", pw_named(path), pw_word(why)));
        return CLI_EXIT_FILE;
    }
    const cli_exit code = write_one(options, "handover.pdf", file, length);
    free(file);
    return code;
}

cli_exit cli_handover_write(const cli_options *options, const pw_json *answer)
{
    if (mkdir(options->folder, 0777) != 0 && errno != EEXIST) {
        cli_tell(pw_fact_of("cli.cannot-write", pw_named(options->folder), pw_word(pw_file_why(errno))));
        return CLI_EXIT_FILE;
    }
    cli_exit code = write_text(options, answer, "html", "handover.html");
    code = code == CLI_EXIT_FINE ? write_text(options, answer, "text", "handover.txt") : code;
    return code == CLI_EXIT_FINE ? write_sheets(options, answer) : code;
}

cli_loaded cli_readings_load(const char *path, bool colour, cli_sheet *sheet, const char **out)
{
    pw_arena arena;
    pw_text text;
    pw_json_writer writer;
    const pw_json *tree = NULL;
    const cli_loaded loaded = cli_sheet_load(path, colour, sheet);
    if (loaded != CLI_LOADED) {
        return loaded;
    }
    const size_t size = strlen(sheet->json);
    cli_arena(&arena, 64 * size + ((size_t)16 << 20));
    if (pw_json_read(&arena, sheet->json, size, &tree, NULL) != PW_OK) {
        return CLI_NOT_UNDERSTOOD;
    }
    const pw_json *list = tree->kind == PW_JSON_OBJECT ? pw_json_get(tree, "readings") : tree;
    if (!list || list->kind != PW_JSON_ARRAY) {
        cli_tell(pw_fact_of("cli.no-readings", pw_named(path)));
        return CLI_NOT_UNDERSTOOD;
    }
    pw_text_init(&text, &arena);
    pw_json_writer_init(&writer, &text, 0);
    pw_json_value(&writer, NULL, list);
    *out = text.data;
    cli_complain_readings(sheet);
    return text.failed ? CLI_NOT_UNDERSTOOD : CLI_LOADED;
}
