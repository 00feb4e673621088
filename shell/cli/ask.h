/* Asking the door: memory, progress, interrupt.
 */
#ifndef PW_CLI_ASK_H
#define PW_CLI_ASK_H

#include "base/arena.h"
#include "base/json.h"
#include "door/log.h"
#include "cli/options.h"
#include "cli/sheet.h"

/* The documented exit codes. */
typedef enum cli_exit {
    CLI_EXIT_FINE = 0,
    CLI_EXIT_PROBLEMS = 1,
    CLI_EXIT_USAGE = 2,
    CLI_EXIT_FILE = 3,
    CLI_EXIT_INTERNAL = 4,
    CLI_EXIT_STRICT = 5,
    CLI_EXIT_INTERRUPTED = 130
} cli_exit;

/* What comes from the system stays until the program ends; then all of it is given back. */
void *cli_keep(void *block);
/* Memory for so many bytes, kept; a message and exit code 4 when there is none. */
void cli_arena(pw_arena *out, size_t bytes);

typedef struct cli_answer {
    char *text;          /* as the door gave it, kept */
    const pw_json *tree; /* the same, read */
    pw_arena arena;      /* of the tree */
    bool ok;
} cli_answer;

/* Ask one request in this process. quiet: no progress. Returns FINE, INTERRUPTED or INTERNAL; whether the answer is a
 * good one stands in out->ok. */
cli_exit cli_ask(const char *request, bool quiet, cli_answer *out);
/* The same with a log that was taken; NULL: without. */
cli_exit cli_ask_log(const char *request, bool quiet, const pw_record *log, cli_answer *out);
/* Take malloc'd text that came another way as the answer; it is kept. */
cli_exit cli_take_answer(char *text, cli_answer *out);

/* Print the problems of an answer that is not ok, and say the exit code that belongs to them. */
cli_exit cli_refused(const cli_answer *answer, const cli_sheet *sheet, bool colour);

#endif
