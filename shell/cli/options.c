/* The arguments in their order: which is an option, which its value, which the command and its words; and whether they
 * fit together. */
#include "cli/options.h"

#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "cli/options_inside.h"
#include "cli/voice.h"

static const char *near_command(const char *word)
{
    const char *words[CLI_COMMAND_COUNT];
    for (int i = 0; i < CLI_COMMAND_COUNT; i++) {
        words[i] = cli_command_rows[i].word;
    }
    int32_t found = pw_near_match(word, words, CLI_COMMAND_COUNT);
    return found < 0 ? NULL : words[found];
}

static const char *near_option(const char *word)
{
    const char *words[CLI_OPTION_COUNT];
    for (int i = 0; i < CLI_OPTION_COUNT; i++) {
        words[i] = cli_option_rows[i].word;
    }
    int32_t found = pw_near_match(word, words, CLI_OPTION_COUNT);
    return found < 0 ? NULL : words[found];
}

static bool unknown_command(const char *word)
{
    const char *near = near_command(word);
    cli_tell(pw_fact_of("cli.unknown-command", pw_named(word), pw_named(near)));
    return false;
}

static bool unknown_option(const char *word, size_t length)
{
    char name[64];
    snprintf(name, sizeof name, "%.*s", (int)(length < 60 ? length : 60), word);
    const char *near = near_option(name);
    char shown[72];
    snprintf(shown, sizeof shown, "--%s", name);
    cli_tell(pw_fact_of("cli.unknown-option", pw_named(shown), pw_named(near)));
    return false;
}

static bool wants_value(const option_row *row)
{
    return row->value[0] != 0 && row->value[0] != '[';
}

/* The row of a letter: one may stand for two options, of different commands. Such two both want a value, or neither.
 * CLI_OPTION_COUNT: there is none. */
static cli_option option_of_letter(char letter, cli_command command)
{
    cli_option found = CLI_OPTION_COUNT;
    for (int i = 0; i < CLI_OPTION_COUNT; i++) {
        if (cli_option_rows[i].letter == 0 || cli_option_rows[i].letter != letter) {
            continue;
        }
        const bool fits = command != CLI_COMMAND_COUNT && (cli_option_rows[i].commands >> command & 1u) != 0;
        found = found == CLI_OPTION_COUNT || fits ? (cli_option)i : found;
    }
    return found;
}

static cli_option option_of_word(const char *word, size_t length)
{
    for (int i = 0; i < CLI_OPTION_COUNT; i++) {
        if (strlen(cli_option_rows[i].word) == length && strncmp(cli_option_rows[i].word, word, length) == 0) {
            return (cli_option)i;
        }
    }
    return CLI_OPTION_COUNT;
}

/* One option at arguments[*at]; takes its value from behind "=" or from the next argument. attached: value in the same
 * argument. */
static bool read_option(cli_option option, const char *attached, int count, char **arguments, int *at, bool *seen,
                        cli_options *out)
{
    const option_row *row = &cli_option_rows[option];
    const char *value = attached;
    const bool wants = wants_value(row);
    if (!wants && attached && row->value[0] == 0) {
        cli_tell(pw_fact_of("cli.no-value", pw_named(row->word), pw_named(attached)));
        return false;
    }
    if (wants && !attached) {
        if (*at + 1 >= count) {
            cli_tell(pw_fact_of("cli.needs-value", pw_named(row->word), pw_named(row->value), pw_word(row->words)));
            return false;
        }
        *at += 1;
        value = arguments[*at];
    }
    if (wants && value[0] == 0) {
        cli_tell(pw_fact_of("cli.empty-value", pw_named(row->word), pw_named(row->value)));
        return false;
    }
    seen[option] = true;
    return cli_option_take(option, value, out);
}

/* Words of earlier versions: still read, and told. */
static const char *present_word(const char *word, size_t length)
{
    static const struct {
        const char *was, *is;
    } old[] = {{"order", "settings"}, {"mishaps", "faults"}, {"mishap", "fault"}};
    for (size_t i = 0; i < sizeof old / sizeof *old; i++) {
        if (strlen(old[i].was) == length && strncmp(old[i].was, word, length) == 0) {
            cli_tell(pw_fact_of("cli.older-word", pw_named(old[i].was), pw_named(old[i].is)));
            return old[i].is;
        }
    }
    return NULL;
}

static bool read_long(int count, char **arguments, int *at, bool *seen, cli_options *out)
{
    const char *word = arguments[*at] + 2;
    size_t length = strcspn(word, "=");
    const char *attached = word[length] == '=' ? word + length + 1 : NULL;
    const char *present = present_word(word, length);
    if (present) {
        word = present;
        length = strlen(present);
    }
    const cli_option option = option_of_word(word, length);
    return option != CLI_OPTION_COUNT ? read_option(option, attached, count, arguments, at, seen, out)
                                      : unknown_option(word, length);
}

/* The command, wherever it stands: the first word that is neither an option nor the value of one. */
static cli_command command_ahead(int count, char **arguments)
{
    for (int i = 1; i < count; i++) {
        const char *word = arguments[i];
        if (word[0] != '-' || word[1] == 0) {
            return cli_command_find(word);
        }
        const bool is_long = word[1] == '-';
        const size_t length = strcspn(word, "=");
        const cli_option option =
            is_long ? option_of_word(word + 2, length - 2) : option_of_letter(word[1], CLI_COMMAND_COUNT);
        const bool attached = is_long ? word[length] != 0 : word[2] != 0;
        i += option != CLI_OPTION_COUNT && wants_value(&cli_option_rows[option]) && !attached ? 1 : 0;
    }
    return CLI_COMMAND_COUNT;
}

static bool read_short(int count, char **arguments, int *at, bool *seen, cli_command command, cli_options *out)
{
    const char *argument = arguments[*at];
    const cli_option option = option_of_letter(argument[1], command);
    if (option == CLI_OPTION_COUNT) {
        cli_tell(pw_fact_of("cli.unknown-option", pw_named(argument), pw_named("")));
        return false;
    }
    return read_option(option, argument[2] ? argument + 2 : NULL, count, arguments, at, seen, out);
}

/* A logger's file by its name; a sheet ends otherwise. */
static bool looks_like_log(const char *word)
{
    static const char *const ends[] = {".csv", ".tsv", ".txt", ".log", ".dat", ".gz", ".CSV", ".TXT", ".DAT"};
    for (size_t i = 0; i < sizeof ends / sizeof *ends; i++) {
        const size_t length = strlen(word), end = strlen(ends[i]);
        if (length > end && strcmp(word + length - end, ends[i]) == 0) {
            return true;
        }
    }
    return false;
}

static bool take_word(const char *word, cli_options *out)
{
    const bool logs = out->command == CLI_DIAGNOSE || out->command == CLI_FIT;
    if (logs && out->log == NULL && (out->operand_count == 1 || looks_like_log(word))) {
        out->log = word;
        return true;
    }
    if (out->command == CLI_COMMAND_COUNT) {
        const char *present = present_word(word, strlen(word));
        out->command = cli_command_find(present ? present : word);
        return out->command != CLI_COMMAND_COUNT || unknown_command(word);
    }
    const bool several = out->command == CLI_RECKON || out->command == CLI_PARAMETERS || out->command == CLI_PIPES ||
                         out->command == CLI_FAULTS;
    int most = several ? CLI_MAX_OPERANDS : cli_command_rows[out->command].operand[0] != 0;
    most = out->command == CLI_COMMISSION ? 2 : most;
    most = out->command == CLI_BOOK ? 5 : most;
    if (out->operand_count == most) {
        cli_tell(pw_fact_of("cli.too-much", pw_named(word), pw_named(cli_command_word(out->command))));
        return false;
    }
    out->operands[out->operand_count] = word;
    out->operand_count++;
    return true;
}

static bool operands_fit(const cli_options *options)
{
    const bool sheet = cli_command_rows[options->command].operand[0] == 'S' ||
                       (options->command == CLI_DIAGNOSE && options->log == NULL);
    if (options->operand_count == 0 && sheet) {
        cli_tell(pw_fact_of("cli.needs-sheet", pw_named(cli_command_word(options->command))));
        return false;
    }
    if (options->log == NULL && (options->command == CLI_FIT || options->follow)) {
        cli_tell(pw_fact_of("cli.needs-log", pw_named(cli_command_word(options->command))));
        return false;
    }
    for (int32_t i = 1; options->command == CLI_RECKON && i < options->operand_count; i++) {
        size_t length = strcspn(options->operands[i], "=");
        if (options->operands[i][length] == 0 || length == 0 || length > 60) {
            cli_tell(pw_fact_of("cli.wants-name-value", pw_named(options->operands[i])));
            return false;
        }
    }
    return true;
}

/* What was given must fit the command. */
static bool fits(const cli_options *options, const bool *seen)
{
    if (options->help || options->version) {
        return true;
    }
    if (options->command == CLI_COMMAND_COUNT) {
        cli_tell(pw_fact_of("cli.no-command"));
        return false;
    }
    for (int i = 0; i < CLI_OPTION_COUNT; i++) {
        if (seen[i] && !(cli_option_rows[i].commands & (1u << options->command))) {
            cli_tell(pw_fact_of("cli.does-not-belong", pw_named(cli_option_rows[i].word),
                                pw_named(cli_command_word(options->command))));
            return false;
        }
    }
    return operands_fit(options);
}

/* What is wrong with the other arguments is told in it, so it is looked for before they are read. */
static const char *asked_language(int count, char **arguments)
{
    static const char option[] = "--language";
    const size_t length = sizeof option - 1;
    const char *language = getenv("PUMPWRIGHT_LANGUAGE");
    for (int i = 1; i < count; i++) {
        if (strncmp(arguments[i], option, length) == 0 && arguments[i][length] == '=') {
            language = arguments[i] + length + 1;
        } else if (strcmp(arguments[i], option) == 0 && i + 1 < count) {
            language = arguments[i + 1];
        }
    }
    return language;
}

bool cli_options_read(int count, char **arguments, cli_options *out)
{
    cli_speak(asked_language(count, arguments), NULL);
    *out = (cli_options){.command = CLI_COMMAND_COUNT,
                         .years = -1,
                         .starts = -1,
                         .sweep = -1,
                         .places = -1,
                         .onsets = -1,
                         .seed = -1,
                         .jobs = -1,
                         .port = -1,
                         .timeout = -1};
    const cli_command command = command_ahead(count, arguments);
    bool seen[CLI_OPTION_COUNT] = {false};
    bool only_words = false;
    for (int i = 1; i < count; i++) {
        const char *argument = arguments[i];
        bool good = false;
        if (only_words || argument[0] != '-' || argument[1] == 0) {
            good = take_word(argument, out);
        } else if (strcmp(argument, "--") == 0) {
            only_words = true;
            good = true;
        } else if (argument[1] == '-') {
            good = read_long(count, arguments, &i, seen, out);
        } else {
            good = read_short(count, arguments, &i, seen, command, out);
        }
        if (!good) {
            return false;
        }
    }
    if (out->follow && out->log == NULL && out->operand_count == 1) { /* what is followed is a log, whatever its name */
        out->log = out->operands[0];
        out->operand_count = 0;
    }
    if (fits(out, seen)) {
        out->language = out->language != NULL ? out->language : getenv("PUMPWRIGHT_LANGUAGE");
        return true;
    }
    return false;
}
