#include "cli/options.h"

#include <stdlib.h>
#include <string.h>

#include "base/num.h"
#include "base/status.h"
#include "cli/request.h"
#include "cli/voice.h"

typedef struct command_row {
    const char *word, *operand, *words;
} command_row;

static const command_row command_rows[CLI_COMMAND_COUNT] = {
#define CLI_X(name, word, operand, words) {word, operand, words},
    CLI_COMMANDS(CLI_X)
#undef CLI_X
};

typedef struct option_row {
    const char *word;
    char letter;
    const char *value;
    unsigned commands;
    const char *words;
} option_row;

static const option_row option_rows[CLI_OPTION_COUNT] = {
#define CLI_X(name, word, letter, value, commands, words) {word, letter, value, commands, words},
    CLI_OPTIONS(CLI_X)
#undef CLI_X
};

const char *cli_command_word(cli_command command)
{
    return command < CLI_COMMAND_COUNT ? command_rows[command].word : "";
}

cli_command cli_command_find(const char *word)
{
    for (int i = 0; i < CLI_COMMAND_COUNT; i++) {
        if (strcmp(command_rows[i].word, word) == 0) {
            return (cli_command)i;
        }
    }
    return CLI_COMMAND_COUNT;
}

static const char *near_command(const char *word)
{
    const char *words[CLI_COMMAND_COUNT];
    for (int i = 0; i < CLI_COMMAND_COUNT; i++) {
        words[i] = command_rows[i].word;
    }
    int32_t found = pw_near_match(word, words, CLI_COMMAND_COUNT);
    return found < 0 ? NULL : words[found];
}

static const char *near_option(const char *word)
{
    const char *words[CLI_OPTION_COUNT];
    for (int i = 0; i < CLI_OPTION_COUNT; i++) {
        words[i] = option_rows[i].word;
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

/* A whole number from low to high, nothing behind it. */
static bool read_number(const char *word, const char *value, int64_t low, int64_t high, int64_t *out)
{
    int64_t number = 0;
    const char *at = value;
    while (*at >= '0' && *at <= '9' && number <= high) {
        number = number * 10 + (*at - '0');
        at++;
    }
    if (at == value || *at != 0 || number < low || number > high) {
        cli_tell(pw_fact_of("cli.wants-number", pw_named(word), pw_named(value), pw_count(low), pw_count(high)));
        return false;
    }
    *out = number;
    return true;
}

static bool read_choice(const char *word, const char *value, const char *const *choices, int count, int *out)
{
    for (int i = 0; i < count; i++) {
        if (strcmp(choices[i], value) == 0) {
            *out = i;
            return true;
        }
    }
    pw_choices right = {{0}, 0, 0};
    for (int i = 0; i < count; i++) {
        pw_choices_add(&right, choices[i]);
    }
    cli_tell(pw_fact_of("cli.wants-choice", pw_named(word), pw_named(value), pw_named(right.names)));
    return false;
}

static bool add_fault(cli_options *out, const char *value)
{
    cli_fault parts;
    if (!cli_fault_split(value, &parts)) {
        cli_tell(pw_fact_of("cli.wants-fault", pw_named(value)));
        return false;
    }
    if (out->fault_count == CLI_MAX_FAULTS) {
        cli_tell(pw_fact_of("cli.two-faults"));
        return false;
    }
    out->faults[out->fault_count] = value;
    out->fault_count++;
    return true;
}

static bool add_gauge(cli_options *out, const char *value, bool shut)
{
    cli_gauge parts;
    if (!cli_gauge_split(value, &parts)) {
        cli_tell(pw_fact_of("cli.wants-gauge", pw_named(value)));
        return false;
    }
    if (out->gauge_count == CLI_MAX_GAUGES) {
        cli_tell(pw_fact_of("cli.too-many-gauges", pw_count(CLI_MAX_GAUGES)));
        return false;
    }
    out->gauges[out->gauge_count] = value;
    out->gauge_shut[out->gauge_count] = shut;
    out->gauge_count++;
    return true;
}

/* PATH=VALUE, each path once. */
static bool add_set(cli_options *out, const char *value)
{
    const size_t length = strcspn(value, "=");
    if (length == 0 || value[length] == 0 || value[length + 1] == 0) {
        cli_tell(pw_fact_of("cli.wants-set", pw_named(value)));
        return false;
    }
    for (int32_t i = 0; i < out->set_count; i++) {
        if (strncmp(out->sets[i], value, length + 1) == 0) {
            char path[PW_PATH_SIZE];
            snprintf(path, sizeof path, "%.*s", (int)(length < sizeof path ? length : sizeof path - 1), value);
            cli_tell(pw_fact_of("cli.set-twice", pw_named(path)));
            return false;
        }
    }
    if (out->set_count == CLI_MAX_SETS) {
        cli_tell(pw_fact_of("cli.too-many-sets", pw_count(CLI_MAX_SETS)));
        return false;
    }
    out->sets[out->set_count] = value;
    out->set_count++;
    return true;
}

/* Those of the papers that are left on site. */
static bool take_handover(cli_option option, const char *value, cli_options *out)
{
    static const char *const papers[] = {"A4", "letter"};
    int choice = 0;
    switch (option) {
    case CLI_OPTION_FOLDER: out->folder = value; return true;
    case CLI_OPTION_UNPROVED: out->unproved = true; return true;
    case CLI_OPTION_AS: out->as = value; return true;
    case CLI_OPTION_BY: out->by = value; return true;
    case CLI_OPTION_WHY: out->why = value; return true;
    case CLI_OPTION_MADE_FROM: out->made_from = value; return true;
    case CLI_OPTION_DATE: out->date = value; return true;
    case CLI_OPTION_INSTALLER: out->installer = value; return true;
    case CLI_OPTION_OWNER: out->owner = value; return true;
    case CLI_OPTION_CALL: out->call = value; return true;
    case CLI_OPTION_GRADE: out->grade = value; return true;
    default: break;
    }
    if (!read_choice(option_rows[option].word, value, papers, 2, &choice)) {
        return false;
    }
    out->letter = choice == 1;
    return true;
}

static bool add_kept(const char *value, const char **list, int32_t *count, const char *word)
{
    if (*count == CLI_MAX_KEPT) {
        cli_tell(pw_fact_of("cli.too-many", pw_named(word), pw_count(CLI_MAX_KEPT)));
        return false;
    }
    list[*count] = value;
    *count += 1;
    return true;
}

/* A price: a plain number. */
static bool take_price(const char *word, const char *value, const char **out)
{
    double number = 0.0;
    const size_t used = pw_num_read(value, strlen(value), &number);
    if (used == 0 || value[used] != 0 || !(number >= 0.0 && number <= 1e6)) {
        cli_tell(pw_fact_of("cli.wants-number", pw_named(word), pw_named(value), pw_count(0), pw_count(1000000)));
        return false;
    }
    *out = value;
    return true;
}

static bool add_column(cli_options *out, const char *value)
{
    if (out->column_count == CLI_MAX_COLUMNS) {
        cli_tell(pw_fact_of("cli.too-many-columns", pw_count(CLI_MAX_COLUMNS)));
        return false;
    }
    out->columns[out->column_count] = value;
    out->column_count++;
    return true;
}

/* Those of logs. */
static bool take_log(cli_option option, const char *value, cli_options *out)
{
    switch (option) {
    case CLI_OPTION_COLUMN: return add_column(out, value);
    case CLI_OPTION_COLUMNS: out->columns_file = value; return true;
    case CLI_OPTION_SAVE_COLUMNS: out->save_columns = value; return true;
    case CLI_OPTION_ONLY: out->only = value; return true;
    case CLI_OPTION_FOLLOW: out->follow = true; return true;
    case CLI_OPTION_WRITE: out->write = value; return true;
    case CLI_OPTION_NUMBER:
        if (out->number_count == CLI_MAX_NUMBERS) {
            cli_tell(pw_fact_of("cli.too-many", pw_named(option_rows[option].word), pw_count(CLI_MAX_NUMBERS)));
            return false;
        }
        out->numbers[out->number_count++] = value;
        return true;
    default: return take_handover(option, value, out);
    }
}

/* Those of what is read on site. */
static bool take_diagnose(cli_option option, const char *value, cli_options *out)
{
    switch (option) {
    case CLI_OPTION_STARTS: return read_number(option_rows[option].word, value, 0, 1000000000, &out->starts);
    case CLI_OPTION_RAN: out->ran = value; return true;
    case CLI_OPTION_OVER: out->over = value; return true;
    case CLI_OPTION_UNDRAWN: out->undrawn = true; return true;
    case CLI_OPTION_GAUGE: return add_gauge(out, value, false);
    case CLI_OPTION_GAUGE_SHUT: return add_gauge(out, value, true);
    default: return take_log(option, value, out);
    }
}

/* value: NULL when the option has none. */
static bool take_option(cli_option option, const char *value, cli_options *out)
{
    static const char *const colours[] = {"auto", "always", "never"};
    static const char *const forms[] = {"pretty", "line"};
    const char *word = option_rows[option].word;
    int choice = 0;
    switch (option) {
    case CLI_OPTION_FAULT: return add_fault(out, value);
    case CLI_OPTION_SET: return add_set(out, value);
    case CLI_OPTION_LENGTH: out->length = value; return true;
    case CLI_OPTION_CSV: out->csv = value; return true;
    case CLI_OPTION_SVG: out->svg = value; return true;
    case CLI_OPTION_PNG: out->png = value; return true;
    case CLI_OPTION_EVERY: out->every = value; return true;
    case CLI_OPTION_STATE: out->state = value; return true;
    case CLI_OPTION_RELEASE: out->release = value; return true;
    case CLI_OPTION_RESET: out->reset = value; return true;
    case CLI_OPTION_HORIZON: out->horizon = value; return true;
    case CLI_OPTION_CATALOGUE: out->catalogue = value; return true;
    case CLI_OPTION_PUMP: out->pump = value; return true;
    case CLI_OPTION_EXPLAIN: out->explain = true; return true;
    case CLI_OPTION_HTML: out->html = value; return true;
    case CLI_OPTION_UNITS: out->units = value; return true;
    case CLI_OPTION_LANGUAGE: out->language = value; return true;
    case CLI_OPTION_YEARS: return read_number(word, value, 0, 1000, &out->years);
    case CLI_OPTION_SWEEP: return read_number(word, value, 0, 400, &out->sweep);
    case CLI_OPTION_PLACES: return read_number(word, value, 1, 100, &out->places);
    case CLI_OPTION_ONSETS: return read_number(word, value, 1, 24, &out->onsets);
    case CLI_OPTION_KEEP: return add_kept(value, out->keep, &out->keep_count, word);
    case CLI_OPTION_NO_SENSOR: return add_kept(value, out->no_sensor, &out->no_sensor_count, word);
    case CLI_OPTION_ABLE: out->able = value; return true;
    case CLI_OPTION_AT_MOST: out->at_most = value; return true;
    case CLI_OPTION_WATER_PRICE: return take_price(word, value, &out->water_price);
    case CLI_OPTION_VISIT_PRICE: return take_price(word, value, &out->visit_price);
    case CLI_OPTION_PUMP_PRICE: return take_price(word, value, &out->pump_price);
    case CLI_OPTION_PAIRS: out->pairs = true; return true;
    case CLI_OPTION_FULL: out->full = true; return true;
    case CLI_OPTION_SEED: return read_number(word, value, 0, 9007199254740991, &out->seed);
    case CLI_OPTION_JOBS: return read_number(word, value, 1, CLI_MAX_JOBS, &out->jobs);
    case CLI_OPTION_ADDRESS: out->address = value; return true;
    case CLI_OPTION_PAGE: out->page = value; return true;
    case CLI_OPTION_PORT: return read_number(word, value, 0, 65535, &out->port);
    case CLI_OPTION_TIMEOUT: return read_number(word, value, 1, 3600, &out->timeout);
    case CLI_OPTION_NETWORK: out->open_to_network = true; return true;
    case CLI_OPTION_HTTPS: out->secure = true; return true;
    case CLI_OPTION_STRICT: out->strict = true; return true;
    case CLI_OPTION_QUIET: out->quiet = true; return true;
    case CLI_OPTION_HELP: out->help = true; return true;
    case CLI_OPTION_VERSION: out->version = true; return true;
    case CLI_OPTION_COLOUR:
        if (!read_choice(word, value, colours, 3, &choice)) {
            return false;
        }
        out->colour = (cli_colour)choice;
        return true;
    case CLI_OPTION_JSON:
        if (value && !read_choice(word, value, forms, 2, &choice)) {
            return false;
        }
        out->json = choice ? CLI_JSON_LINE : CLI_JSON_PRETTY;
        return true;
    default: return take_diagnose(option, value, out);
    }
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
        if (option_rows[i].letter == 0 || option_rows[i].letter != letter) {
            continue;
        }
        const bool fits = command != CLI_COMMAND_COUNT && (option_rows[i].commands >> command & 1u) != 0;
        found = found == CLI_OPTION_COUNT || fits ? (cli_option)i : found;
    }
    return found;
}

static cli_option option_of_word(const char *word, size_t length)
{
    for (int i = 0; i < CLI_OPTION_COUNT; i++) {
        if (strlen(option_rows[i].word) == length && strncmp(option_rows[i].word, word, length) == 0) {
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
    const option_row *row = &option_rows[option];
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
    return take_option(option, value, out);
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
        i += option != CLI_OPTION_COUNT && wants_value(&option_rows[option]) && !attached ? 1 : 0;
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
    int most = several ? CLI_MAX_OPERANDS : command_rows[out->command].operand[0] != 0;
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
    const bool sheet =
        command_rows[options->command].operand[0] == 'S' || (options->command == CLI_DIAGNOSE && options->log == NULL);
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
        if (seen[i] && !(option_rows[i].commands & (1u << options->command))) {
            cli_tell(pw_fact_of("cli.does-not-belong", pw_named(option_rows[i].word),
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
        if (option_rows[i].commands & commands) {
            print_option(out, &option_rows[i]);
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
        const command_row *row = &command_rows[command];
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
        snprintf(left, sizeof left, "%s %s", command_rows[i].word, command_rows[i].operand);
        fprintf(out, "  %-31s %s\n", left, pw_say_word(cli_voice(), command_rows[i].words));
    }
    fprintf(out, "\n%s\n\n", pw_say_word(cli_voice(), "cli.site-is-page"));
    print_options(out, CLI_ALL);
    print_codes(out);
}
