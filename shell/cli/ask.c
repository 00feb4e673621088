#include "cli/ask.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "adapt/doorway.h"
#include "cli/complain.h"
#include "cli/terminal.h"
#include "cli/voice.h"

/* Blocks that were taken, for the end. */
typedef struct kept {
    void *block;
    struct kept *next;
} kept;

static kept *all_kept;

static void give_back(void)
{
    while (all_kept) {
        kept *one = all_kept;
        all_kept = one->next;
        free(one->block);
        free(one);
    }
}

void *cli_keep(void *block)
{
    kept *one = block ? malloc(sizeof *one) : NULL;
    if (one) {
        if (!all_kept) {
            atexit(give_back);
        }
        *one = (kept){block, all_kept};
        all_kept = one;
    }
    return block;
}

void cli_arena(pw_arena *out, size_t bytes)
{
    void *block = cli_keep(malloc(bytes));
    if (!block) {
        cli_tell(pw_fact_of("cli.no-memory-mb", pw_count((int64_t)(bytes >> 20))));
        exit(CLI_EXIT_INTERNAL);
    }
    pw_arena_init(out, block, bytes);
}

static void show(void *user, double done, const char *words)
{
    cli_progress_show(user, done, words);
}

static bool stop(void *user)
{
    (void)user;
    return cli_interrupted();
}

cli_exit cli_take_answer(char *text, cli_answer *out)
{
    *out = (cli_answer){.text = cli_keep(text)};
    if (!text) {
        cli_tell(pw_fact_of("cli.no-memory"));
        return CLI_EXIT_INTERNAL;
    }
    size_t length = strlen(text);
    cli_arena(&out->arena, pw_json_room(text, length) + (1u << 20)); /* more is only for what is wrong with it */
    pw_problems problems = {0};
    if (pw_json_read(&out->arena, text, length, &out->tree, &problems) != PW_OK) {
        if (problems.items[0].status == PW_LIMIT && length > PW_MAX_INPUT) {
            cli_tell(pw_fact_of("cli.answer-too-large", pw_count((int64_t)(length >> 20))));
        } else {
            cli_tell(
                pw_fact_of("cli.answer-no-json", pw_count(problems.items[0].line), pw_count(problems.items[0].column)));
        }
        return CLI_EXIT_INTERNAL;
    }
    const pw_json *ok = pw_json_get(out->tree, "ok");
    out->ok = ok && ok->truth;
    return CLI_EXIT_FINE;
}

cli_exit cli_ask(const char *request, bool quiet, cli_answer *out)
{
    return cli_ask_log(request, quiet, NULL, out);
}

cli_exit cli_ask_log(const char *request, bool quiet, const pw_record *log, cli_answer *out)
{
    cli_progress progress;
    cli_progress_begin(&progress, quiet);
    pw_door_host host = {&progress, show, stop};
    char *text = pw_doorway_log(request, strlen(request), &host, log);
    cli_progress_end(&progress);
    if (cli_interrupted()) {
        free(text);
        return CLI_EXIT_INTERRUPTED;
    }
    return cli_take_answer(text, out);
}

static bool is_one_of(const pw_json *value, const char *first, const char *second)
{
    return value && value->string && (strcmp(value->string, first) == 0 || strcmp(value->string, second) == 0);
}

cli_exit cli_refused(const cli_answer *answer, const cli_sheet *sheet, bool colour)
{
    const pw_json *problems = pw_json_get(answer->tree, "problems");
    cli_exit code = CLI_EXIT_PROBLEMS;
    cli_complain(problems, sheet, colour, true);
    for (const pw_json *problem = problems ? problems->first : NULL; problem; problem = problem->next) {
        const pw_json *path = pw_json_get(problem, "path");
        if (is_one_of(pw_json_get(problem, "status"), "no-solution", "memory")) {
            return CLI_EXIT_INTERNAL;
        }
        if (path && path->string && cli_option_of(path->string)) {
            code = CLI_EXIT_USAGE;
        }
    }
    const pw_json *lost = pw_json_get(answer->tree, "lost");
    if (lost && lost->number > 0) {
        fprintf(stderr, "%s: %s\n", sheet ? cli_name(sheet->name) : "pumpwright",
                cli_words(pw_fact_of("cli.further-problems", pw_count((int64_t)lost->number))));
    }
    return code;
}
