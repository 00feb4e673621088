/* The command line as two lists: commands and options, expanded into the reader, the checks and the help.
 */
#ifndef PW_CLI_OPTIONS_H
#define PW_CLI_OPTIONS_H

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

/* name, word, what stands behind it, what it does */
#define CLI_COMMANDS(X)                                                                               \
    X(CHECK, "check", "SITE", "read a site sheet; say all that is wrong and all that was assumed")    \
    X(DUTY, "duty", "SITE", "where the pump works: flow, head, power, suction")                       \
    X(SIZE, "size", "SITE", "from demand and levels to pump, pipes, vessel and cable")                \
    X(RUN, "run", "SITE", "simulate the site, healthy or with a fault: the day book")                 \
    X(PROVE, "prove", "SITE", "which faults the order catches, how soon, and which it never sees")    \
    X(SETTINGS, "settings", "SITE", "the control sentences as the program understands them")          \
    X(PARAMETERS, "parameters", "SITE [PATH...]", "the numbers of a site by path, with their bounds") \
    X(FAULTS, "faults", "[SITE]", "the faults there are, and the severities tried on a site")         \
    X(RECKON, "reckon", "[FORMULA NAME=VALUE...]", "one formula by name, or the list of formulas")    \
    X(SCHEMA, "schema", "", "the JSON Schema of the site sheet, for editors")                         \
    X(DOOR, "door", "", "a raw request (JSON) from standard input, its answer to standard output")    \
    X(SERVE, "serve", "", "the page, and the door, for a browser on this machine")                    \
    X(HELP, "help", "[COMMAND]", "this help, or that of one command")

typedef enum cli_command {
#define CLI_X(name, word, operand, words) CLI_##name,
    CLI_COMMANDS(CLI_X)
#undef CLI_X
        CLI_COMMAND_COUNT
} cli_command;

/* Which commands an option belongs to, as bits. */
#define CLI_BIT(name) (1u << CLI_##name)
#define CLI_PAPERS    (CLI_BIT(CHECK) | CLI_BIT(DUTY) | CLI_BIT(SIZE) | CLI_BIT(RUN) | CLI_BIT(PROVE))
#define CLI_SITES     (CLI_PAPERS | CLI_BIT(SETTINGS) | CLI_BIT(FAULTS) | CLI_BIT(PARAMETERS))
#define CLI_ANSWERS   (CLI_SITES | CLI_BIT(RECKON))
#define CLI_ALL       0xffffu

/* name, word, short letter (0 none), value ("" none, "[..]" optional after "="), commands, what it does */
#define CLI_OPTIONS(X)                                                                                               \
    X(FAULT, "fault", 'm', "WORDS", CLI_BIT(RUN),                                                                    \
      "what goes wrong: 'slow leak 2 L/min [at NAME] [from 10 h or 12:10]'; twice at most")                          \
    X(CATALOGUE, "catalogue", 0, "FILE", CLI_BIT(SIZE), "pumps to choose from: YAML, JSON or CSV")                   \
    X(EXPLAIN, "explain", 0, "", CLI_BIT(SIZE), "the calculation line by line, with formulas and sources")           \
    X(PUMP, "pump", 0, "NAME", CLI_BIT(SIZE), "the pump to size for (default: the first one)")                       \
    X(LENGTH, "length", 'l', "TIME", CLI_BIT(RUN) | CLI_BIT(SIZE),                                                   \
      "how long to simulate (default 1 day; size: 365 days)")                                                        \
    X(CSV, "csv", 0, "FILE", CLI_BIT(RUN), "write the samples as a table")                                           \
    X(SVG, "svg", 0, "FILE", CLI_BIT(RUN), "write the plots as an SVG picture")                                      \
    X(PNG, "png", 0, "FILE", CLI_BIT(RUN), "write the plots as a PNG picture")                                       \
    X(EVERY, "every", 0, "TIME", CLI_BIT(RUN), "longest time between two samples (default 1 min)")                   \
    X(STATE, "state", 0, "TIMES", CLI_BIT(RUN), "ask the controller for its state at these times: '6 h, 30 h'")      \
    X(RELEASE, "release-after", 0, "TIME", CLI_BIT(RUN), "a person releases each lock out so long after it")         \
    X(RESET, "reset-counters", 0, "TIMES", CLI_BIT(RUN),                                                             \
      "a person resets the counters of starts and run time then: '6 h'")                                             \
    X(SET, "set", 0, "PATH=VALUE", CLI_PAPERS | CLI_BIT(PARAMETERS),                                                 \
      "change a number of the site first: 'vessels[0].precharge=180 kPa'; again for more")                           \
    X(YEARS, "years", 'y', "N", CLI_BIT(PROVE), "healthy years to look for false stops (default 10)")                \
    X(HORIZON, "horizon", 0, "TIME", CLI_BIT(PROVE), "a fault unseen for so long counts as never seen (14 days)")    \
    X(SWEEP, "sweep", 0, "N", CLI_BIT(PROVE), "leak sizes tried for the blind band (default 48)")                    \
    X(PLACES, "places", 0, "N", CLI_BIT(PROVE), "each fault at so many places (default 1)")                          \
    X(ONSETS, "onsets", 0, "N", CLI_BIT(PROVE), "each fault at so many times of the day (default 1)")                \
    X(PAIRS, "pairs", 0, "", CLI_BIT(PROVE), "also two faults at once, where they come together")                    \
    X(STRICT, "strict", 0, "", CLI_BIT(PROVE), "exit code 5 when a fault is never seen or a false stop was")         \
    X(JOBS, "jobs", 'j', "N", CLI_BIT(PROVE), "processes at work (default: one for each core)")                      \
    X(SEED, "seed", 's', "N", CLI_BIT(RUN) | CLI_BIT(PROVE) | CLI_BIT(SIZE), "seed of the random draws (default 1)") \
    X(HTML, "html", 'o', "FILE", CLI_PAPERS, "write a self-contained page as well")                                  \
    X(UNITS, "units", 'u', "LIST", CLI_SITES, "metric, bar, us, or unit names: bar,m3/h")                            \
    X(LANGUAGE, "language", 0, "en|de", CLI_ANSWERS, "language of the words (default en, or PUMPWRIGHT_LANGUAGE)")   \
    X(JSON, "json", 0, "[=line]", CLI_ANSWERS, "print the answer as JSON instead of words")                          \
    X(PORT, "port", 0, "N", CLI_BIT(SERVE), "port to listen on (default 8640; 0: any free one)")                     \
    X(ADDRESS, "address", 0, "A", CLI_BIT(SERVE), "address to listen on (default: this machine only)")               \
    X(PAGE, "page", 0, "DIR", CLI_BIT(SERVE), "folder with the page, when it is not beside the program")             \
    X(NETWORK, "open-to-network", 0, "", CLI_BIT(SERVE), "let other machines in")                                    \
    X(TIMEOUT, "timeout", 0, "N", CLI_BIT(SERVE), "seconds until a silent client is cut off (default 10)")           \
    X(QUIET, "quiet", 'q', "", CLI_ALL, "no progress, no words about files written")                                 \
    X(COLOUR, "colour", 0, "WHEN", CLI_ALL, "auto, always or never (NO_COLOR is respected)")                         \
    X(HELP, "help", 'h', "", CLI_ALL, "help; behind a command, its help")                                            \
    X(VERSION, "version", 'V', "", CLI_ALL, "the version")

typedef enum cli_option {
#define CLI_X(name, word, letter, value, commands, words) CLI_OPTION_##name,
    CLI_OPTIONS(CLI_X)
#undef CLI_X
        CLI_OPTION_COUNT
} cli_option;

enum { CLI_MAX_FAULTS = 2, CLI_MAX_JOBS = 64, CLI_MAX_OPERANDS = 24, CLI_MAX_SETS = 64 };

typedef enum cli_colour { CLI_COLOUR_AUTO, CLI_COLOUR_ALWAYS, CLI_COLOUR_NEVER } cli_colour;
typedef enum cli_json { CLI_JSON_NO, CLI_JSON_PRETTY, CLI_JSON_LINE } cli_json;

typedef struct cli_options {
    cli_command command; /* CLI_COMMAND_COUNT: none */
    int32_t operand_count;
    const char
        *operands[CLI_MAX_OPERANDS]; /* SITE and paths; the command that help is asked for; a formula and its values */
    bool help, version, quiet, strict, open_to_network, explain, pairs;
    cli_json json;
    cli_colour colour;
    const char *units, *language, *html, *csv, *svg, *png, *horizon, *length, *every, *state, *release,
        *reset;                                                      /* as written; NULL when absent */
    const char *catalogue, *pump;                                    /* of size, likewise */
    const char *address, *page;                                      /* of serve, likewise */
    int64_t years, sweep, places, onsets, seed, jobs, port, timeout; /* -1 when absent */
    int32_t fault_count;
    const char *faults[CLI_MAX_FAULTS];
    int32_t set_count;
    const char *sets[CLI_MAX_SETS]; /* PATH=VALUE */
} cli_options;

/* Read the arguments. false: what is wrong and what would be right was printed on stderr. */
bool cli_options_read(int count, char **arguments, cli_options *out);

/* Help of everything (CLI_COMMAND_COUNT), or of one command. */
void cli_help(FILE *out, cli_command command);

const char *cli_command_word(cli_command command);
/* CLI_COMMAND_COUNT when there is none of that name. */
cli_command cli_command_find(const char *word);

#endif
