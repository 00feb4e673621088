/* The two lists of the command line as tables, and the help that is made of them. */
#include "cli/options_inside.h"

#include <string.h>

#include "cli/voice.h"

const command_row cli_command_rows[CLI_COMMAND_COUNT] = {
#define CLI_X(name, word, operand, words) {word, operand, words},
    CLI_COMMANDS(CLI_X)
#undef CLI_X
};

const option_row cli_option_rows[CLI_OPTION_COUNT] = {
#define CLI_X(name, word, letter, value, commands, words) {word, letter, value, commands, words},
    CLI_OPTIONS(CLI_X)
#undef CLI_X
};

const char *cli_command_word(cli_command command)
{
    return command < CLI_COMMAND_COUNT ? cli_command_rows[command].word : "";
}

cli_command cli_command_find(const char *word)
{
    for (int i = 0; i < CLI_COMMAND_COUNT; i++) {
        if (strcmp(cli_command_rows[i].word, word) == 0) {
            return (cli_command)i;
        }
    }
    return CLI_COMMAND_COUNT;
}

static void print_option(FILE *out, const option_row *row)
{
    char left[48];
    const char *join = row->value[0] == 0 || row->value[0] == '[' ? "" : " ";
    if (row->letter) {
        snprintf(left, sizeof left, "-%c, --%s%s%s", row->letter, row->word, join, row->value);
    } else {
        snprintf(left, sizeof left, "    --%s%s%s", row->word, join, row->value);
    }
    fprintf(out, "  %-22s %s\n", left, pw_say_word(cli_voice(), row->words));
}

static void print_options(FILE *out, unsigned commands)
{
    for (int i = 0; i < CLI_OPTION_COUNT; i++) {
        if (cli_option_rows[i].commands & commands) {
            print_option(out, &cli_option_rows[i]);
        }
    }
}

static void print_codes(FILE *out)
{
    fprintf(out, "\n%s\n", pw_say_word(cli_voice(), "cli.codes"));
}

void cli_help(FILE *out, cli_command command)
{
    if (command != CLI_COMMAND_COUNT) {
        const command_row *row = &cli_command_rows[command];
        fprintf(out, "%s\n  %s\n\n", cli_words(pw_fact_of("cli.usage-of", pw_named(row->word), pw_named(row->operand))),
                pw_say_word(cli_voice(), row->words));
        if (row->operand[0] == 'S' || strncmp(row->operand, "[SITE]", 6) == 0) {
            fprintf(out, "%s\n\n", pw_say_word(cli_voice(), "cli.site-is"));
        }
        print_options(out, 1u << command);
        print_codes(out);
        return;
    }
    fprintf(out, "%s\n\n%s\n\n", pw_say_word(cli_voice(), "cli.about"), pw_say_word(cli_voice(), "cli.usage"));
    for (int i = 0; i < CLI_COMMAND_COUNT; i++) {
        char left[48];
        snprintf(left, sizeof left, "%s %s", cli_command_rows[i].word, cli_command_rows[i].operand);
        fprintf(out, "  %-31s %s\n", left, pw_say_word(cli_voice(), cli_command_rows[i].words));
    }
    fprintf(out, "\n%s\n\n", pw_say_word(cli_voice(), "cli.site-is-page"));
    print_options(out, CLI_ALL);
    print_codes(out);
}
