/* Shared by the files that read the command line (options*.c), by nobody else. */
#ifndef PW_CLI_OPTIONS_INSIDE_H
#define PW_CLI_OPTIONS_INSIDE_H

#include "cli/options.h"

/* ---- the two lists as tables (options_rows.c) ---- */

typedef struct command_row {
    const char *word, *operand, *words;
} command_row;

extern const command_row cli_command_rows[CLI_COMMAND_COUNT];

typedef struct option_row {
    const char *word;
    char letter;
    const char *value;
    unsigned commands;
    const char *words;
} option_row;

extern const option_row cli_option_rows[CLI_OPTION_COUNT];

/* ---- what an option is given (options_take.c) ---- */

/* value: NULL when the option has none. What is wrong with it is told. */
bool cli_option_take(cli_option option, const char *value, cli_options *out);

#endif
