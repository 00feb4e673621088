/* The command line as two lists: commands and options, expanded into the reader, the checks and the help.
 */
#ifndef PW_CLI_OPTIONS_H
#define PW_CLI_OPTIONS_H

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

/* name, word, what stands behind it, what it does (id of a message) */
#define CLI_COMMANDS(X)                                                      \
    X(CHECK, "check", "SITE", "cli.command-check")                           \
    X(DUTY, "duty", "SITE", "cli.command-duty")                              \
    X(SIZE, "size", "SITE", "cli.command-size")                              \
    X(RUN, "run", "SITE", "cli.command-run")                                 \
    X(PROVE, "prove", "SITE", "cli.command-prove")                           \
    X(ADVISE, "advise", "SITE", "cli.command-advise")                        \
    X(HANDOVER, "handover", "SITE", "cli.command-handover")                  \
    X(COMMISSION, "commission", "SITE [READINGS]", "cli.command-commission") \
    X(LOGIC, "logic", "SITE", "cli.command-logic")                           \
    X(WORST, "worst", "SITE", "cli.command-worst")                           \
    X(DIAGNOSE, "diagnose", "[SITE] [LOG]", "cli.command-diagnose")          \
    X(FIT, "fit", "SITE LOG", "cli.command-fit")                             \
    X(SETTINGS, "settings", "SITE", "cli.command-settings")                  \
    X(PARAMETERS, "parameters", "SITE [PATH...]", "cli.command-parameters")  \
    X(FAULTS, "faults", "[SITE | NAME]", "cli.command-faults")               \
    X(HABITS, "habits", "SITE", "cli.command-habits")                        \
    X(PIPES, "pipes", "[WORDS...]", "cli.command-pipes")                     \
    X(RECKON, "reckon", "[FORMULA NAME=VALUE...]", "cli.command-reckon")     \
    X(SCHEMA, "schema", "", "cli.command-schema")                            \
    X(BOOK, "book", "ACTION BOOK [WORDS...]", "cli.command-book")            \
    X(DOOR, "door", "", "cli.command-door")                                  \
    X(SERVE, "serve", "", "cli.command-serve")                               \
    X(HELP, "help", "[COMMAND]", "cli.command-help")

typedef enum cli_command {
#define CLI_X(name, word, operand, words) CLI_##name,
    CLI_COMMANDS(CLI_X)
#undef CLI_X
        CLI_COMMAND_COUNT
} cli_command;

/* Which commands an option belongs to, as bits. */
#define CLI_BIT(name) (1u << CLI_##name)
#define CLI_PROOFS    (CLI_BIT(PROVE) | CLI_BIT(ADVISE))
#define CLI_PAPERS                                                                                                   \
    (CLI_BIT(CHECK) | CLI_BIT(DUTY) | CLI_BIT(SIZE) | CLI_BIT(RUN) | CLI_PROOFS | CLI_BIT(DIAGNOSE) | CLI_BIT(FIT) | \
     CLI_BIT(COMMISSION) | CLI_BIT(WORST))
#define CLI_SITES                                                                                                  \
    (CLI_PAPERS | CLI_BIT(HANDOVER) | CLI_BIT(LOGIC) | CLI_BIT(SETTINGS) | CLI_BIT(FAULTS) | CLI_BIT(PARAMETERS) | \
     CLI_BIT(HABITS))
#define CLI_LOGS    (CLI_BIT(DIAGNOSE) | CLI_BIT(FIT))
#define CLI_ANSWERS (CLI_SITES | CLI_BIT(RECKON) | CLI_BIT(PIPES))
#define CLI_ALL     ((1u << CLI_COMMAND_COUNT) - 1u)

/* name, word, short letter (0 none), value ("" none, "[..]" optional after "="), commands, what it does (a message) */
#define CLI_OPTIONS(X)                                                                                    \
    X(FAULT, "fault", 'm', "WORDS", CLI_BIT(RUN), "cli.option-fault")                                     \
    X(CATALOGUE, "catalogue", 0, "FILE", CLI_BIT(SIZE), "cli.option-catalogue")                           \
    X(EXPLAIN, "explain", 0, "", CLI_BIT(SIZE), "cli.option-explain")                                     \
    X(PUMP, "pump", 0, "NAME", CLI_BIT(SIZE) | CLI_BIT(DIAGNOSE) | CLI_BIT(LOGIC), "cli.option-pump")     \
    X(STARTS, "starts", 0, "N", CLI_BIT(DIAGNOSE), "cli.option-starts")                                   \
    X(RAN, "ran", 0, "TIME", CLI_BIT(DIAGNOSE), "cli.option-ran")                                         \
    X(OVER, "over", 0, "TIME", CLI_BIT(DIAGNOSE), "cli.option-over")                                      \
    X(UNDRAWN, "nothing-drawn", 0, "", CLI_BIT(DIAGNOSE), "cli.option-undrawn")                           \
    X(GAUGE, "gauge", 0, "WORDS", CLI_BIT(DIAGNOSE), "cli.option-gauge")                                  \
    X(GAUGE_SHUT, "gauge-pump-shut", 0, "WORDS", CLI_BIT(DIAGNOSE), "cli.option-gauge-shut")              \
    X(COLUMN, "column", 0, "NAME=WORDS", CLI_LOGS, "cli.option-column")                                   \
    X(COLUMNS, "columns", 0, "FILE", CLI_LOGS, "cli.option-columns")                                      \
    X(SAVE_COLUMNS, "save-columns", 0, "FILE", CLI_LOGS, "cli.option-save-columns")                       \
    X(ONLY, "only", 0, "NAME=TEXT", CLI_LOGS, "cli.option-only")                                          \
    X(FOLLOW, "follow", 0, "", CLI_BIT(DIAGNOSE), "cli.option-follow")                                    \
    X(INTO_BOOK, "book", 0, "BOOK", CLI_BIT(DIAGNOSE), "cli.option-book")                                 \
    X(NUMBER, "number", 0, "PATH", CLI_BIT(FIT), "cli.option-number")                                     \
    X(WRITE, "write", 0, "FILE", CLI_BIT(FIT), "cli.option-write")                                        \
    X(LENGTH, "length", 'l', "TIME", CLI_BIT(RUN) | CLI_BIT(SIZE), "cli.option-length")                   \
    X(CSV, "csv", 0, "FILE", CLI_BIT(RUN), "cli.option-csv")                                              \
    X(SVG, "svg", 0, "FILE", CLI_BIT(RUN), "cli.option-svg")                                              \
    X(PNG, "png", 0, "FILE", CLI_BIT(RUN), "cli.option-png")                                              \
    X(EVERY, "every", 0, "TIME", CLI_BIT(RUN), "cli.option-every")                                        \
    X(STATE, "state", 0, "TIMES", CLI_BIT(RUN), "cli.option-state")                                       \
    X(RELEASE, "release-after", 0, "TIME", CLI_BIT(RUN), "cli.option-release")                            \
    X(RESET, "reset-counters", 0, "TIMES", CLI_BIT(RUN), "cli.option-reset")                              \
    X(SET, "set", 0, "PATH=VALUE", CLI_PAPERS | CLI_BIT(PARAMETERS) | CLI_BIT(HANDOVER) | CLI_BIT(LOGIC), \
      "cli.option-set")                                                                                   \
    X(AS, "as", 0, "c|st", CLI_BIT(LOGIC), "cli.option-as")                                               \
    X(BY, "by", 0, "NAME", CLI_BIT(BOOK) | CLI_BIT(DIAGNOSE), "cli.option-by")                            \
    X(WHY, "why", 0, "WORDS", CLI_BIT(BOOK) | CLI_BIT(DIAGNOSE), "cli.option-why")                        \
    X(MADE_FROM, "made-from", 0, "MARKS", CLI_BIT(BOOK), "cli.option-made-from")                          \
    X(FOLDER, "folder", 'o', "DIR", CLI_BIT(HANDOVER), "cli.option-folder")                               \
    X(UNPROVED, "no-proof", 0, "", CLI_BIT(HANDOVER), "cli.option-no-proof")                              \
    X(SIZE_OF_PAPER, "paper", 0, "A4|letter", CLI_BIT(HANDOVER), "cli.option-paper")                      \
    X(DATE, "date", 0, "WORDS", CLI_BIT(HANDOVER) | CLI_BIT(BOOK) | CLI_BIT(DIAGNOSE), "cli.option-date") \
    X(INSTALLER, "installer", 0, "NAME", CLI_BIT(HANDOVER), "cli.option-installer")                       \
    X(OWNER, "owner", 0, "NAME", CLI_BIT(HANDOVER), "cli.option-owner")                                   \
    X(CALL, "call", 0, "WORDS", CLI_BIT(HANDOVER), "cli.option-call")                                     \
    X(SITE_ADDRESS, "site-address", 0, "WORDS", CLI_BIT(HANDOVER), "cli.option-site-address")             \
    X(FOUND, "found", 0, "SITE", CLI_BIT(HANDOVER), "cli.option-found")                                   \
    X(PHOTO, "photo", 0, "FILE[=WORDS]", CLI_BIT(HANDOVER), "cli.option-photo")                           \
    X(SHORT, "short", 0, "", CLI_BIT(HANDOVER), "cli.option-short")                                       \
    X(GRADE, "grade", 0, "GRADE", CLI_BIT(HANDOVER) | CLI_BIT(COMMISSION), "cli.option-grade")            \
    X(YEARS, "years", 'y', "N", CLI_PROOFS | CLI_BIT(HANDOVER), "cli.option-years")                       \
    X(HORIZON, "horizon", 0, "TIME", CLI_PROOFS | CLI_BIT(HANDOVER), "cli.option-horizon")                \
    X(SWEEP, "sweep", 0, "N", CLI_PROOFS | CLI_BIT(HANDOVER), "cli.option-sweep")                         \
    X(PLACES, "places", 0, "N", CLI_PROOFS, "cli.option-places")                                          \
    X(ONSETS, "onsets", 0, "N", CLI_PROOFS, "cli.option-onsets")                                          \
    X(KEEP, "keep", 0, "WORDS", CLI_BIT(ADVISE), "cli.option-keep")                                       \
    X(NO_SENSOR, "no-sensor", 0, "NAME", CLI_BIT(ADVISE), "cli.option-no-sensor")                         \
    X(ABLE, "able", 0, "LIST", CLI_BIT(ADVISE), "cli.option-able")                                        \
    X(AT_MOST, "at-most", 0, "WORDS", CLI_BIT(ADVISE), "cli.option-at-most")                              \
    X(WATER_PRICE, "water-price", 0, "N", CLI_BIT(ADVISE), "cli.option-water-price")                      \
    X(VISIT_PRICE, "call-out-price", 0, "N", CLI_BIT(ADVISE), "cli.option-call-out-price")                \
    X(PUMP_PRICE, "pump-price", 0, "N", CLI_BIT(ADVISE), "cli.option-pump-price")                         \
    X(PAIRS, "pairs", 0, "", CLI_BIT(PROVE), "cli.option-pairs")                                          \
    X(FULL, "full", 0, "", CLI_BIT(PROVE), "cli.option-full")                                             \
    X(STRICT, "strict", 0, "", CLI_BIT(PROVE), "cli.option-strict")                                       \
    X(JOBS, "jobs", 'j', "N", CLI_PROOFS, "cli.option-jobs")                                              \
    X(SEED, "seed", 's', "N", CLI_BIT(RUN) | CLI_PROOFS | CLI_BIT(SIZE) | CLI_LOGS | CLI_BIT(HANDOVER),   \
      "cli.option-seed")                                                                                  \
    X(HTML, "html", 'o', "FILE", CLI_PAPERS, "cli.option-html")                                           \
    X(UNITS, "units", 'u', "LIST", CLI_SITES, "cli.option-units")                                         \
    X(LANGUAGE, "language", 0, "en|de", CLI_ALL, "cli.option-language")                                   \
    X(JSON, "json", 0, "[=line]", CLI_ANSWERS, "cli.option-json")                                         \
    X(PORT, "port", 0, "N", CLI_BIT(SERVE), "cli.option-port")                                            \
    X(ADDRESS, "address", 0, "A", CLI_BIT(SERVE), "cli.option-address")                                   \
    X(PAGE, "page", 0, "DIR", CLI_BIT(SERVE), "cli.option-page")                                          \
    X(NETWORK, "open-to-network", 0, "", CLI_BIT(SERVE), "cli.option-network")                            \
    X(HTTPS, "https", 0, "", CLI_BIT(SERVE), "cli.option-https")                                          \
    X(TIMEOUT, "timeout", 0, "N", CLI_BIT(SERVE), "cli.option-timeout")                                   \
    X(QUIET, "quiet", 'q', "", CLI_ALL, "cli.option-quiet")                                               \
    X(COLOUR, "colour", 0, "WHEN", CLI_ALL, "cli.option-colour")                                          \
    X(HELP, "help", 'h', "", CLI_ALL, "cli.option-help")                                                  \
    X(VERSION, "version", 'V', "", CLI_ALL, "cli.option-version")

typedef enum cli_option {
#define CLI_X(name, word, letter, value, commands, words) CLI_OPTION_##name,
    CLI_OPTIONS(CLI_X)
#undef CLI_X
        CLI_OPTION_COUNT
} cli_option;

enum {
    CLI_MAX_FAULTS = 2,
    CLI_MAX_JOBS = 64,
    CLI_MAX_OPERANDS = 24,
    CLI_MAX_SETS = 64,
    CLI_MAX_GAUGES = 4,
    CLI_MAX_KEPT = 32,
    CLI_MAX_COLUMNS = 32,
    CLI_MAX_NUMBERS = 8,
    CLI_MAX_PHOTOS = 12
};

typedef enum cli_colour { CLI_COLOUR_AUTO, CLI_COLOUR_ALWAYS, CLI_COLOUR_NEVER } cli_colour;
typedef enum cli_json { CLI_JSON_NO, CLI_JSON_PRETTY, CLI_JSON_LINE } cli_json;

typedef struct cli_options {
    cli_command command; /* CLI_COMMAND_COUNT: none */
    int32_t operand_count;
    const char
        *operands[CLI_MAX_OPERANDS]; /* SITE and paths; the command that help is asked for; a formula and its values */
    bool help, version, quiet, strict, open_to_network, secure, explain, pairs, full;
    cli_json json;
    cli_colour colour;
    const char *units, *language, *html, *csv, *svg, *png, *horizon, *length, *every, *state, *release,
        *reset;                   /* as written; NULL when absent */
    const char *catalogue, *pump; /* of size, likewise */
    const char *address, *page;   /* of serve, likewise */
    const char *ran, *over;       /* of diagnose, likewise */
    const char *folder, *date, *installer, *owner, *call, *grade, *as, *by, *why,
        *made_from; /* of handover, commission and book, likewise */
    bool unproved, letter, short_paper;
    const char *site_address, *found; /* of handover, likewise */
    int32_t photo_count;
    const char *photos[CLI_MAX_PHOTOS]; /* FILE or FILE=WORDS */
    bool undrawn;
    int32_t gauge_count;
    bool gauge_shut[CLI_MAX_GAUGES];    /* with the valve behind the pump shut, too */
    const char *gauges[CLI_MAX_GAUGES]; /* "380 kPa to 330 kPa in 6 min" */
    const char *log, *only;             /* of diagnose; log: one of the operands */
    int32_t column_count;
    const char *columns[CLI_MAX_COLUMNS];    /* NAME=signal unit */
    const char *columns_file, *save_columns; /* a file of such lines: to read, to write */
    bool follow;
    const char *book; /* diagnose: where it is kept; NULL when absent */
    int32_t number_count;
    const char *numbers[CLI_MAX_NUMBERS]; /* fit: what may be off */
    const char *write;                    /* fit: the changed sheet; NULL when absent */
    int64_t years, sweep, places, onsets, seed, jobs, port, timeout, starts; /* -1 when absent */
    int32_t fault_count;
    const char *faults[CLI_MAX_FAULTS];
    int32_t set_count;
    const char *sets[CLI_MAX_SETS]; /* PATH=VALUE */
    int32_t keep_count, no_sensor_count;
    const char *keep[CLI_MAX_KEPT], *no_sensor[CLI_MAX_KEPT]; /* advise */
    const char *able, *at_most, *water_price, *visit_price, *pump_price;
} cli_options;

/* Read the arguments. false: what is wrong and what would be right was printed on stderr. */
bool cli_options_read(int count, char **arguments, cli_options *out);

/* Help of everything (CLI_COMMAND_COUNT), or of one command. */
void cli_help(FILE *out, cli_command command);

const char *cli_command_word(cli_command command);
/* CLI_COMMAND_COUNT when there is none of that name. */
cli_command cli_command_find(const char *word);

#endif
