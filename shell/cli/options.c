#include "cli/options.h"

#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "cli/request.h"

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
    fprintf(stderr, "pumpwright: \"%s\" is not a command.", word);
    if (near) {
        fprintf(stderr, " Did you mean \"%s\"?\n", near);
    } else {
        fprintf(stderr, " \"pumpwright help\" lists them.\n");
    }
    return false;
}

static bool unknown_option(const char *word, size_t length)
{
    char name[64];
    snprintf(name, sizeof name, "%.*s", (int)(length < 60 ? length : 60), word);
    const char *near = near_option(name);
    fprintf(stderr, "pumpwright: there is no option \"--%s\".", name);
    if (near) {
        fprintf(stderr, " Did you mean \"--%s\"?\n", near);
    } else {
        fprintf(stderr, " \"pumpwright help\" lists them.\n");
    }
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
        fprintf(stderr, "pumpwright: --%s: found \"%s\"; a whole number from %lld to %lld would be right.\n", word,
                value, (long long)low, (long long)high);
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
    fprintf(stderr, "pumpwright: --%s: found \"%s\"; one of these would be right:", word, value);
    for (int i = 0; i < count; i++) {
        fprintf(stderr, "%s %s", i ? "," : "", choices[i]);
    }
    fprintf(stderr, ".\n");
    return false;
}

static bool add_fault(cli_options *out, const char *value)
{
    cli_fault parts;
    if (!cli_fault_split(value, &parts)) {
        fprintf(stderr,
                "pumpwright: --fault: found \"%s\"; WHAT SEVERITY [at NAME] [from TIME] would be right, for instance "
                "\"slow leak 2 L/min from 10 h\" or \"... from 12:10\".\n",
                value);
        return false;
    }
    if (out->fault_count == CLI_MAX_FAULTS) {
        fprintf(stderr, "pumpwright: --fault stands there more than twice; two at once is the most.\n");
        return false;
    }
    out->faults[out->fault_count] = value;
    out->fault_count++;
    return true;
}

/* PATH=VALUE, each path once. */
static bool add_set(cli_options *out, const char *value)
{
    const size_t length = strcspn(value, "=");
    if (length == 0 || value[length] == 0 || value[length + 1] == 0) {
        fprintf(stderr,
                "pumpwright: --set: found \"%s\"; PATH=VALUE would be right, for instance "
                "\"vessels[0].precharge=180 kPa\".\n",
                value);
        return false;
    }
    for (int32_t i = 0; i < out->set_count; i++) {
        if (strncmp(out->sets[i], value, length + 1) == 0) {
            fprintf(stderr, "pumpwright: --set: \"%.*s\" stands there twice.\n", (int)length, value);
            return false;
        }
    }
    if (out->set_count == CLI_MAX_SETS) {
        fprintf(stderr, "pumpwright: --set stands there more than %d times.\n", (int)CLI_MAX_SETS);
        return false;
    }
    out->sets[out->set_count] = value;
    out->set_count++;
    return true;
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
    case CLI_OPTION_PAIRS: out->pairs = true; return true;
    case CLI_OPTION_SEED: return read_number(word, value, 0, 9007199254740991, &out->seed);
    case CLI_OPTION_JOBS: return read_number(word, value, 1, CLI_MAX_JOBS, &out->jobs);
    case CLI_OPTION_ADDRESS: out->address = value; return true;
    case CLI_OPTION_PAGE: out->page = value; return true;
    case CLI_OPTION_PORT: return read_number(word, value, 0, 65535, &out->port);
    case CLI_OPTION_TIMEOUT: return read_number(word, value, 1, 3600, &out->timeout);
    case CLI_OPTION_NETWORK: out->open_to_network = true; return true;
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
    case CLI_OPTION_COUNT: break;
    }
    return false;
}

/* One option at arguments[*at]; takes its value from behind "=" or from the next argument. attached: value in the same
 * argument. */
static bool read_option(cli_option option, const char *attached, int count, char **arguments, int *at, uint64_t *seen,
                        cli_options *out)
{
    const option_row *row = &option_rows[option];
    const char *value = attached;
    bool wants = row->value[0] != 0 && row->value[0] != '[';
    if (!wants && attached && row->value[0] == 0) {
        fprintf(stderr, "pumpwright: --%s takes no value; found \"%s\".\n", row->word, attached);
        return false;
    }
    if (wants && !attached) {
        if (*at + 1 >= count) {
            fprintf(stderr, "pumpwright: --%s needs a value: --%s %s (%s).\n", row->word, row->word, row->value,
                    row->words);
            return false;
        }
        *at += 1;
        value = arguments[*at];
    }
    if (wants && value[0] == 0) {
        fprintf(stderr, "pumpwright: --%s: the value is empty; %s would be right.\n", row->word, row->value);
        return false;
    }
    *seen |= (uint64_t)1 << option;
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
            fprintf(stderr, "pumpwright: \"%s\" is the older word; it is called \"%s\" now.\n", old[i].was, old[i].is);
            return old[i].is;
        }
    }
    return NULL;
}

static bool read_long(int count, char **arguments, int *at, uint64_t *seen, cli_options *out)
{
    const char *word = arguments[*at] + 2;
    size_t length = strcspn(word, "=");
    const char *attached = word[length] == '=' ? word + length + 1 : NULL;
    const char *present = present_word(word, length);
    if (present) {
        word = present;
        length = strlen(present);
    }
    for (int i = 0; i < CLI_OPTION_COUNT; i++) {
        const char *name = option_rows[i].word;
        if (strlen(name) == length && strncmp(name, word, length) == 0) {
            return read_option((cli_option)i, attached, count, arguments, at, seen, out);
        }
    }
    return unknown_option(word, length);
}

static bool read_short(int count, char **arguments, int *at, uint64_t *seen, cli_options *out)
{
    const char *argument = arguments[*at];
    for (int i = 0; i < CLI_OPTION_COUNT; i++) {
        if (option_rows[i].letter != 0 && option_rows[i].letter == argument[1]) {
            const char *attached = argument[2] ? argument + 2 : NULL;
            return read_option((cli_option)i, attached, count, arguments, at, seen, out);
        }
    }
    fprintf(stderr, "pumpwright: there is no option \"%s\". \"pumpwright help\" lists them.\n", argument);
    return false;
}

static bool take_word(const char *word, cli_options *out)
{
    if (out->command == CLI_COMMAND_COUNT) {
        const char *present = present_word(word, strlen(word));
        out->command = cli_command_find(present ? present : word);
        return out->command != CLI_COMMAND_COUNT || unknown_command(word);
    }
    const bool several = out->command == CLI_RECKON || out->command == CLI_PARAMETERS;
    int most = several ? CLI_MAX_OPERANDS : command_rows[out->command].operand[0] != 0;
    if (out->operand_count == most) {
        fprintf(stderr, "pumpwright: \"%s\" is too much behind \"%s\". See \"pumpwright help %s\".\n", word,
                cli_command_word(out->command), cli_command_word(out->command));
        return false;
    }
    out->operands[out->operand_count] = word;
    out->operand_count++;
    return true;
}

static bool operands_fit(const cli_options *options)
{
    if (options->operand_count == 0 && command_rows[options->command].operand[0] == 'S') {
        fprintf(stderr,
                "pumpwright: \"%s\" needs a site sheet: pumpwright %s SITE (a YAML or JSON file, or - for standard "
                "input).\n",
                cli_command_word(options->command), cli_command_word(options->command));
        return false;
    }
    for (int32_t i = 1; options->command == CLI_RECKON && i < options->operand_count; i++) {
        size_t length = strcspn(options->operands[i], "=");
        if (options->operands[i][length] == 0 || length == 0 || length > 60) {
            fprintf(stderr,
                    "pumpwright: reckon: found \"%s\"; NAME=VALUE would be right, for instance \"flow=45 L/min\".\n",
                    options->operands[i]);
            return false;
        }
    }
    return true;
}

/* What was given must fit the command. */
static bool fits(const cli_options *options, uint64_t seen)
{
    if (options->help || options->version) {
        return true;
    }
    if (options->command == CLI_COMMAND_COUNT) {
        fprintf(stderr, "pumpwright: a command is missing. \"pumpwright help\" lists them.\n");
        return false;
    }
    for (int i = 0; i < CLI_OPTION_COUNT; i++) {
        if ((seen & ((uint64_t)1 << i)) && !(option_rows[i].commands & (1u << options->command))) {
            fprintf(stderr, "pumpwright: --%s does not belong to \"%s\". See \"pumpwright help %s\".\n",
                    option_rows[i].word, cli_command_word(options->command), cli_command_word(options->command));
            return false;
        }
    }
    return operands_fit(options);
}

bool cli_options_read(int count, char **arguments, cli_options *out)
{
    *out = (cli_options){.command = CLI_COMMAND_COUNT,
                         .years = -1,
                         .sweep = -1,
                         .places = -1,
                         .onsets = -1,
                         .seed = -1,
                         .jobs = -1,
                         .port = -1,
                         .timeout = -1};
    uint64_t seen = 0;
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
            good = read_long(count, arguments, &i, &seen, out);
        } else {
            good = read_short(count, arguments, &i, &seen, out);
        }
        if (!good) {
            return false;
        }
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
    fprintf(out, "  %-22s %s\n", left, row->words);
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
    fprintf(
        out,
        "\nExit codes: 0 fine; 1 the site, its order or the request has problems; 2 usage; 3 a file cannot be read or\n"
        "written, or a port not opened; 4 no solution, or an internal fault; 5 prove --strict: a fault is never\n"
        "seen, or a false stop was; 130 interrupted.\n");
}

void cli_help(FILE *out, cli_command command)
{
    if (command != CLI_COMMAND_COUNT) {
        const command_row *row = &command_rows[command];
        fprintf(out, "pumpwright %s%s%s [OPTIONS]\n  %s\n\n", row->word, row->operand[0] ? " " : "", row->operand,
                row->words);
        if (row->operand[0] == 'S' || strcmp(row->operand, "[SITE]") == 0) {
            fprintf(out, "SITE is a site sheet in YAML or JSON; - is standard input.\n\n");
        }
        print_options(out, 1u << command);
        print_codes(out);
        return;
    }
    fprintf(out, "pumpwright: what a pumping site does under its control settings, and which faults they never see.\n\n"
                 "usage: pumpwright COMMAND [SITE] [OPTIONS]\n\n");
    for (int i = 0; i < CLI_COMMAND_COUNT; i++) {
        char left[48];
        snprintf(left, sizeof left, "%s %s", command_rows[i].word, command_rows[i].operand);
        fprintf(out, "  %-31s %s\n", left, command_rows[i].words);
    }
    fprintf(out, "\nSITE is a site sheet in YAML or JSON (docs/site-sheet.md); - is standard input.\n\n");
    print_options(out, CLI_ALL);
    print_codes(out);
}
