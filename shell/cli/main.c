/* The command line: reads arguments and files, asks the door, prints what it says. Nothing is computed here.
 * Read in this order: main (which command), ask_and_print (one question), prove (the same question in parts).
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "adapt/doorway.h"
#include "adapt/files.h"
#include "cli/ask.h"
#include "cli/book.h"
#include "cli/catalogue.h"
#include "cli/complain.h"
#include "cli/fit.h"
#include "cli/follow.h"
#include "cli/given.h"
#include "cli/handover.h"
#include "cli/log.h"
#include "cli/options.h"
#include "cli/picture.h"
#include "cli/request.h"
#include "cli/show.h"
#include "cli/table.h"
#include "cli/terminal.h"
#include "cli/workers.h"
#include "cli/voice.h"
#include "server/server.h"

/* Room that is touched only when it is needed; AddressSanitizer writes an eighth of it at each start. */
#ifdef __SANITIZE_ADDRESS__
#define SPARE_ROOM ((size_t)64 << 20)
#else
#define SPARE_ROOM ((size_t)256 << 20)
#endif

/* Everything one command works with. */
typedef struct command_run {
    cli_options options;
    cli_sheet sheet, readings;
    bool has_sheet;
    bool colour_out, colour_err;
    cli_wish wish;
    pw_arena arena; /* of requests and of what is printed */
    cli_answer answer;
    const pw_record *log; /* of diagnose and fit, or NULL */
    const char *fitted;   /* the sheet's text as fitted, or NULL */
} command_run;

static bool has_papers(cli_command command)
{
    return ((CLI_PAPERS | CLI_BIT(HANDOVER)) & (1u << command)) != 0;
}

static cli_exit write_file(const char *path, const char *bytes, size_t length, bool quiet)
{
    const char *why = "";
    if (!pw_file_write(path, bytes, length, &why)) {
        cli_tell(pw_fact_of("cli.cannot-write", pw_named(path), pw_word(why)));
        return CLI_EXIT_FILE;
    }
    if (!quiet) {
        fprintf(stderr, "%s\n", cli_words(pw_fact_of("cli.written", pw_named(path))));
    }
    return CLI_EXIT_FINE;
}

enum { PIXELS_EACH = 2 }; /* of a PNG for each of the SVG: sharp on today's screens and on paper */

/* Files come before the words, whose reader may have gone by then (head); devices such as standard output after. */
typedef enum turn { BEFORE_WORDS, AFTER_WORDS } turn;

static bool is_turn(const char *path, turn now)
{
    return path && (pw_file_plain(path) ? BEFORE_WORDS : AFTER_WORDS) == now;
}

static cli_exit write_png(const cli_options *options, const pw_json *picture)
{
    size_t length = 0;
    const char *why = "";
    char *png = cli_png(picture->string, picture->length, PIXELS_EACH, &length, &why);
    if (!png) {
        cli_tell(pw_fact_of("cli.cannot-write", pw_named(options->png), pw_word(why)));
        return CLI_EXIT_FILE;
    }
    const cli_exit code = write_file(options->png, png, length, options->quiet);
    free(png);
    return code;
}

/* One of the answer's texts into a file. */
static cli_exit write_text(const command_run *run, const char *key, const char *path)
{
    const pw_json *text = pw_json_get(run->answer.tree, key);
    return text ? write_file(path, text->string, text->length, run->options.quiet) : CLI_EXIT_INTERNAL;
}

/* The files that were asked for and whose turn it is. */
static cli_exit write_files(command_run *run, turn now)
{
    const cli_options *options = &run->options;
    cli_exit code = CLI_EXIT_FINE;
    fflush(stdout); /* one of the files may be standard output */
    if (is_turn(options->html, now)) {
        code = write_text(run, "html", options->html);
    }
    if (code == CLI_EXIT_FINE && is_turn(options->svg, now)) {
        code = write_text(run, "svg", options->svg);
    }
    if (code == CLI_EXIT_FINE && is_turn(options->png, now)) {
        const pw_json *picture = pw_json_get(run->answer.tree, "svg");
        code = picture ? write_png(options, picture) : CLI_EXIT_INTERNAL;
    }
    if (code == CLI_EXIT_FINE && is_turn(options->write, now)) {
        const char *text = run->fitted ? run->fitted : run->sheet.text;
        code = write_file(options->write, text, strlen(text), options->quiet);
    }
    if (code == CLI_EXIT_FINE && is_turn(options->csv, now)) {
        pw_text table;
        cli_table_samples(&run->arena, pw_json_get(run->answer.tree, "samples"), options->units, &table);
        code = table.failed ? CLI_EXIT_INTERNAL : write_file(options->csv, table.data, table.length, options->quiet);
    }
    return code;
}

/* prove --strict: is there anything that no watch ever catches, or a healthy site that was stopped? */
static bool proof_is_clean(const pw_json *answer)
{
    const pw_json *unseen = pw_json_get(answer, "unseen");
    const pw_json *count = pw_json_get(pw_json_get(answer, "false_stops"), "count");
    return unseen && unseen->count == 0 && count && count->number < 1;
}

/* Print an answer that came, good or bad; returns the exit code. */
static cli_exit print_answer(command_run *run)
{
    const cli_options *options = &run->options;
    const cli_sheet *sheet = run->has_sheet ? &run->sheet : NULL;
    cli_exit code = CLI_EXIT_FINE;
    if (run->answer.ok) {
        cli_complain(pw_json_get(run->answer.tree, "warnings"), sheet, run->colour_err, false);
    } else {
        code = cli_refused(&run->answer, sheet, run->colour_err);
    }
    if (run->answer.ok && options->command == CLI_FIT) {
        run->fitted = cli_fit_text(&run->arena, sheet, run->answer.tree);
    }
    if (run->answer.ok) {
        code = options->folder ? cli_handover_write(options, run->answer.tree) : write_files(run, BEFORE_WORDS);
    }
    if (options->json != CLI_JSON_NO) {
        cli_show_json(&run->arena, run->answer.tree, options->json == CLI_JSON_LINE ? 0 : 2);
    } else if (run->answer.ok && !options->folder) {
        cli_show_words(&run->arena, options, run->answer.tree);
    }
    if (run->fitted && options->json == CLI_JSON_NO) {
        cli_fit_show(sheet, run->fitted, run->colour_out);
    }
    if (run->answer.ok && code == CLI_EXIT_FINE) {
        code = write_files(run, AFTER_WORDS);
    }
    if (run->answer.ok && code == CLI_EXIT_FINE && options->book) {
        fflush(stdout); /* the verdict is told before it is kept */
        code = cli_book_keep(options, sheet, run->answer.tree);
    }
    if (code == CLI_EXIT_FINE && options->strict && !proof_is_clean(run->answer.tree)) {
        code = CLI_EXIT_STRICT;
    }
    return code;
}

static char *make_request(command_run *run)
{
    const cli_sheet *sheet = run->has_sheet ? &run->sheet : NULL;
    char *request = cli_request(&run->arena, &run->options, sheet, &run->wish);
    if (!request) {
        cli_tell(pw_fact_of("cli.no-memory"));
        exit(CLI_EXIT_INTERNAL);
    }
    return request;
}

/* Outcomes of all parts in the order of their jobs, so that the request does not depend on the number of parts. */
static const char *join_outcomes(command_run *run, const cli_answer *parts, int count)
{
    const pw_json *next[CLI_MAX_JOBS];
    pw_text text;
    pw_json_writer writer;
    pw_text_init(&text, &run->arena);
    pw_json_writer_init(&writer, &text, 0);
    pw_json_open(&writer, NULL, '[');
    for (int i = 0; i < count; i++) {
        const pw_json *list = pw_json_get(parts[i].tree, "outcomes");
        next[i] = list ? list->first : NULL;
    }
    for (int i = 0; next[i]; i = (i + 1) % count) {
        pw_json_value(&writer, NULL, next[i]);
        next[i] = next[i]->next;
    }
    pw_json_close(&writer, ']');
    return text.failed ? NULL : text.data;
}

/* All parts, joined; NULL when something is wrong with one of them, which is then the answer. */
static cli_exit ask_for_parts(command_run *run, int count, const char **joined)
{
    char *requests[CLI_MAX_JOBS];
    char *texts[CLI_MAX_JOBS];
    cli_answer parts[CLI_MAX_JOBS];
    cli_progress progress;
    *joined = NULL;
    run->wish.part = CLI_PART_ONE;
    run->wish.part_count = count;
    for (int i = 0; i < count; i++) {
        run->wish.part_index = i;
        requests[i] = make_request(run);
    }
    cli_progress_begin(&progress, run->options.quiet);
    cli_work work = cli_workers_ask(count, requests, texts, &progress);
    cli_progress_end(&progress);
    for (int i = 0; i < count; i++) {
        cli_keep(work == CLI_WORK_DONE ? NULL : texts[i]); /* cli_take_answer keeps the others */
    }
    if (work == CLI_WORK_INTERRUPTED) {
        return CLI_EXIT_INTERRUPTED;
    }
    if (work == CLI_WORK_FAILED) {
        cli_tell(pw_fact_of("cli.worker-died"));
        return CLI_EXIT_INTERNAL;
    }
    cli_exit code = CLI_EXIT_FINE;
    int bad = -1;
    for (int i = 0; i < count && code == CLI_EXIT_FINE; i++) {
        code = cli_take_answer(texts[i], &parts[i]);
        bad = bad < 0 && !parts[i].ok ? i : bad;
    }
    if (code != CLI_EXIT_FINE || bad >= 0) {
        run->answer = parts[bad < 0 ? 0 : bad]; /* what is wrong with one part is wrong with the question */
        return code;
    }
    *joined = join_outcomes(run, parts, count);
    return *joined ? CLI_EXIT_FINE : CLI_EXIT_INTERNAL;
}

/* The same proof from several processes: ask for parts, then for parts of the proof of what would be proposed, then
 * have all assembled. */
static cli_exit prove_in_parts(command_run *run, int count)
{
    cli_exit code = ask_for_parts(run, count, &run->wish.outcomes);
    if (!run->wish.outcomes) {
        return code;
    }
    code = ask_for_parts(run, count, &run->wish.again);
    if (!run->wish.again) {
        return code;
    }
    run->wish.part = CLI_PART_ASSEMBLE;
    return cli_ask(make_request(run), true, &run->answer);
}

static cli_exit ask_and_print(command_run *run)
{
    int count = run->options.jobs > 0 ? (int)run->options.jobs : cli_cores();
    cli_exit code = CLI_EXIT_FINE;
    if ((run->options.command == CLI_PROVE || run->options.command == CLI_ADVISE) && count > 1) {
        code = prove_in_parts(run, count);
    } else {
        code = cli_ask_log(make_request(run), run->options.quiet, run->log, &run->answer);
    }
    if (code == CLI_EXIT_INTERRUPTED) {
        cli_tell(pw_fact_of("cli.interrupted"));
    }
    return code == CLI_EXIT_FINE ? print_answer(run) : code;
}

/* A raw request: for automation. The answer says itself whether it is good; so does the exit code. */
static cli_exit pass_through(void)
{
    const char *why = "";
    size_t length = 0;
    char *request = pw_file_read("-", PW_MAX_INPUT, &length, &why);
    if (!request) {
        cli_tell(pw_fact_of("cli.cannot-read", pw_word("cli.standard-input"), pw_word(why)));
        return CLI_EXIT_FILE;
    }
    char *text = pw_doorway(request, length, NULL);
    free(request);
    if (!text) {
        cli_tell(pw_fact_of("cli.no-memory"));
        return CLI_EXIT_INTERNAL;
    }
    puts(text);
    cli_exit code = pw_doorway_granted(text) ? CLI_EXIT_FINE : CLI_EXIT_PROBLEMS;
    free(text);
    return code;
}

/* Until someone ends it: that is how a server ends well. */
static cli_exit serve_page(const cli_options *options)
{
    const serve_options wish = {
        .address = options->address,
        .port = (int)options->port,
        .page = options->page,
        .timeout_s = (int)options->timeout,
        .open_to_network = options->open_to_network,
        .secure = options->secure,
        .quiet = options->quiet,
        .voice = cli_voice(),
    };
    switch (serve(&wish)) {
    case SERVE_ENDED: return CLI_EXIT_FINE;
    case SERVE_BAD_USAGE: return CLI_EXIT_USAGE;
    case SERVE_NOT_OPENED: return CLI_EXIT_FILE;
    case SERVE_FAULT: break;
    }
    return CLI_EXIT_INTERNAL;
}

static cli_exit not_loaded(cli_loaded loaded)
{
    if (cli_interrupted()) {
        cli_tell(pw_fact_of("cli.interrupted"));
        return CLI_EXIT_INTERRUPTED;
    }
    return loaded == CLI_NOT_READ ? CLI_EXIT_FILE : CLI_EXIT_PROBLEMS;
}

/* No output may take the place of what was read, or of another output. */
static bool outputs_fit(const command_run *run)
{
    const cli_options *options = &run->options;
    const struct {
        const char *option, *path;
    } outputs[] = {{"html", options->html}, {"svg", options->svg},     {"png", options->png},
                   {"csv", options->csv},   {"write", options->write}, {"save-columns", options->save_columns}};
    enum { OUTPUTS = sizeof outputs / sizeof *outputs };
    for (int i = 0; i < OUTPUTS; i++) {
        const char *path = outputs[i].path;
        if (!path) {
            continue;
        }
        const char *input = run->has_sheet ? pw_sheet_reads(&run->sheet, options->operands[0], path) : NULL;
        if (!input && options->log && pw_file_same(options->log, path)) {
            input = options->log;
        }
        if (!input && options->catalogue && pw_file_same(options->catalogue, path)) {
            input = options->catalogue;
        }
        if (input) {
            cli_tell(pw_fact_of("cli.output-is-input", pw_named(outputs[i].option), pw_named(path), pw_word(input)));
            return false;
        }
        for (int k = 0; k < i; k++) {
            if (outputs[k].path && pw_file_same(outputs[k].path, path)) {
                cli_tell(pw_fact_of("cli.output-twice", pw_named(outputs[k].option), pw_named(outputs[i].option),
                                    pw_named(path)));
                return false;
            }
        }
    }
    return true;
}

/* What stands behind "faults" is a sheet when it is one word that looks like a file or is one; else a fault's name. */
static bool names_fault(const cli_options *options)
{
    const char *word = options->operand_count > 0 ? options->operands[0] : "";
    FILE *file = NULL;
    if (options->command != CLI_FAULTS || options->operand_count == 0) {
        return false;
    }
    const bool looks = strcmp(word, "-") == 0 || strpbrk(word, "./") != NULL;
    if (options->operand_count == 1 && !looks) {
        file = fopen(word, "r");
    }
    if (file != NULL) {
        fclose(file);
    }
    return options->operand_count > 1 || (!looks && file == NULL);
}

static cli_exit run_command(command_run *run)
{
    cli_options *options = &run->options;
    bool wants_sheet = options->command != CLI_RECKON && options->command != CLI_SCHEMA &&
                       options->command != CLI_PIPES && options->operand_count > 0 && !names_fault(options);
    if (wants_sheet) {
        cli_loaded loaded = cli_sheet_load(options->operands[0], run->colour_err, &run->sheet);
        if (loaded != CLI_LOADED) {
            return not_loaded(loaded);
        }
        run->has_sheet = true;
    }
    if (!outputs_fit(run)) {
        return CLI_EXIT_USAGE;
    }
    if (options->book && (!run->has_sheet || options->follow || (options->log && strcmp(options->log, "-") == 0))) {
        cli_tell(pw_fact_of("book.keeps-what"));
        return CLI_EXIT_USAGE;
    }
    if (options->log && !options->follow) {
        cli_loaded loaded = cli_log_load(options, run->colour_err, &run->log);
        if (loaded != CLI_LOADED) {
            return not_loaded(loaded);
        }
    }
    const char *catalogue = NULL;
    if (options->catalogue) {
        cli_loaded loaded = cli_catalogue_load(options->catalogue, run->colour_err, &catalogue);
        if (loaded != CLI_LOADED) {
            return not_loaded(loaded);
        }
    }
    const char *readings = NULL;
    if (options->command == CLI_COMMISSION && options->operand_count > 1) {
        cli_loaded loaded = cli_readings_load(options->operands[1], run->colour_err, &run->readings, &readings);
        if (loaded != CLI_LOADED) {
            return not_loaded(loaded);
        }
    }
    const char *given = NULL;
    if (options->command == CLI_HANDOVER) {
        cli_loaded loaded = cli_given_load(options, &run->sheet, run->colour_err, &given);
        if (loaded != CLI_LOADED) {
            return not_loaded(loaded);
        }
    }
    size_t json_length = (readings ? strlen(readings) : 0) + (run->has_sheet ? strlen(run->sheet.json) : 0) +
                         (catalogue ? strlen(catalogue) : 0);
    cli_arena(&run->arena, (CLI_MAX_JOBS + 4) * (json_length + 4096) + (given ? 4 * strlen(given) : 0) + SPARE_ROOM);
    run->wish = (cli_wish){
        .what = cli_command_word(options->command),
        .catalogue = catalogue,
        .readings = readings,
        .given = given,
        .document = options->folder != NULL,
        .papers = has_papers(options->command),
        .text = options->json == CLI_JSON_NO || options->folder || options->book,
        .html = options->html != NULL || options->folder,
        .colour = run->colour_out && !options->folder && !options->book,
        .width = cli_width(),
    };
    if (options->follow) {
        return cli_follow(options, make_request(run), run->colour_err);
    }
    return ask_and_print(run);
}

static cli_exit show_help(const cli_options *options)
{
    cli_command about = options->command;
    if (options->command == CLI_HELP && options->operand_count > 0) {
        about = cli_command_find(options->operands[0]);
        if (about == CLI_COMMAND_COUNT) {
            cli_tell(pw_fact_of("cli.unknown-command", pw_named(options->operands[0]), pw_named("")));
            return CLI_EXIT_USAGE;
        }
    } else if (options->command == CLI_HELP) {
        about = CLI_COMMAND_COUNT;
    }
    cli_help(stdout, about);
    return CLI_EXIT_FINE;
}

/* Was everything printed? A full disk must not look like success. */
static int finish(cli_exit code)
{
    if ((fflush(stdout) != 0 || ferror(stdout)) && code == CLI_EXIT_FINE) {
        cli_tell(pw_fact_of("cli.cannot-write-output"));
        return CLI_EXIT_FILE;
    }
    return code;
}

int main(int count, char **arguments)
{
    static command_run run;
    if (!cli_options_read(count, arguments, &run.options)) {
        return CLI_EXIT_USAGE;
    }
    if (run.options.version) {
        puts("pumpwright " PW_VERSION);
        return finish(CLI_EXIT_FINE);
    }
    if (run.options.help || run.options.command == CLI_HELP) {
        return finish(show_help(&run.options));
    }
    if (run.options.command == CLI_DOOR) {
        return finish(pass_through());
    }
    if (run.options.command == CLI_SERVE) {
        return finish(serve_page(&run.options));
    }
    if (run.options.command == CLI_BOOK) {
        return finish(cli_book(&run.options));
    }
    run.colour_out = cli_colour_on(run.options.colour, stdout);
    run.colour_err = cli_colour_on(run.options.colour, stderr);
    cli_watch_interrupt();
    return finish(run_command(&run));
}
