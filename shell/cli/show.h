/* Answers on standard output: as JSON, or in words.
 */
#ifndef PW_CLI_SHOW_H
#define PW_CLI_SHOW_H

#include "base/arena.h"
#include "base/json.h"
#include "cli/options.h"

/* indent 0: one line. The page ("html") is left out: it goes into its file. */
void cli_show_json(pw_arena *arena, const pw_json *answer, int32_t indent);

/* The paper of the answer where it has one, else a list or table. */
void cli_show_words(pw_arena *arena, const cli_options *options, const pw_json *answer);

#endif
