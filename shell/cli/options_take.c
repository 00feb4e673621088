/* What each option is given: numbers, choices, lists and prices, checked and kept. */
#include "cli/options_inside.h"

#include <assert.h>
#include <stddef.h>
#include <string.h>

#include "base/num.h"
#include "base/status.h"
#include "cli/request.h"
#include "cli/voice.h"

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

/* One more of those that may be given again; full: what is said when there are too many. */
static bool add_to(const char **list, int32_t *count, int32_t most, pw_fact full, const char *value)
{
    if (*count == most) {
        cli_tell(full);
        return false;
    }
    list[*count] = value;
    *count += 1;
    return true;
}

static bool add_word(const char **list, int32_t *count, int32_t most, const char *word, const char *value)
{
    return add_to(list, count, most, pw_fact_of("cli.too-many", pw_named(word), pw_count(most)), value);
}

static bool add_fault(cli_options *out, const char *value)
{
    cli_fault parts;
    if (!cli_fault_split(value, &parts)) {
        cli_tell(pw_fact_of("cli.wants-fault", pw_named(value)));
        return false;
    }
    return add_to(out->faults, &out->fault_count, CLI_MAX_FAULTS, pw_fact_of("cli.two-faults"), value);
}

static bool add_gauge(cli_options *out, const char *value, bool shut)
{
    cli_gauge parts;
    if (!cli_gauge_split(value, &parts)) {
        cli_tell(pw_fact_of("cli.wants-gauge", pw_named(value)));
        return false;
    }
    const pw_fact full = pw_fact_of("cli.too-many-gauges", pw_count(CLI_MAX_GAUGES));
    if (!add_to(out->gauges, &out->gauge_count, CLI_MAX_GAUGES, full, value)) {
        return false;
    }
    out->gauge_shut[out->gauge_count - 1] = shut;
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
    return add_to(out->sets, &out->set_count, CLI_MAX_SETS, pw_fact_of("cli.too-many-sets", pw_count(CLI_MAX_SETS)),
                  value);
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

/* How a value is kept, where that is all there is to it. */
typedef enum how { HOW_ELSE, HOW_TEXT, HOW_TRUTH, HOW_WHOLE, HOW_PRICE } how;

typedef struct keep_row {
    how how;
    size_t at; /* its member of cli_options */
    int64_t low, high;
} keep_row;

#define AT(member) offsetof(cli_options, member)

static const keep_row keep_rows[CLI_OPTION_COUNT] = {
    [CLI_OPTION_FOLDER] = {HOW_TEXT, AT(folder), 0, 0},
    [CLI_OPTION_UNPROVED] = {HOW_TRUTH, AT(unproved), 0, 0},
    [CLI_OPTION_AS] = {HOW_TEXT, AT(as), 0, 0},
    [CLI_OPTION_BY] = {HOW_TEXT, AT(by), 0, 0},
    [CLI_OPTION_WHY] = {HOW_TEXT, AT(why), 0, 0},
    [CLI_OPTION_MADE_FROM] = {HOW_TEXT, AT(made_from), 0, 0},
    [CLI_OPTION_DATE] = {HOW_TEXT, AT(date), 0, 0},
    [CLI_OPTION_INSTALLER] = {HOW_TEXT, AT(installer), 0, 0},
    [CLI_OPTION_OWNER] = {HOW_TEXT, AT(owner), 0, 0},
    [CLI_OPTION_CALL] = {HOW_TEXT, AT(call), 0, 0},
    [CLI_OPTION_SITE_ADDRESS] = {HOW_TEXT, AT(site_address), 0, 0},
    [CLI_OPTION_FOUND] = {HOW_TEXT, AT(found), 0, 0},
    [CLI_OPTION_SHORT] = {HOW_TRUTH, AT(short_paper), 0, 0},
    [CLI_OPTION_GRADE] = {HOW_TEXT, AT(grade), 0, 0},
    [CLI_OPTION_INTO_BOOK] = {HOW_TEXT, AT(book), 0, 0},
    [CLI_OPTION_COLUMNS] = {HOW_TEXT, AT(columns_file), 0, 0},
    [CLI_OPTION_SAVE_COLUMNS] = {HOW_TEXT, AT(save_columns), 0, 0},
    [CLI_OPTION_ONLY] = {HOW_TEXT, AT(only), 0, 0},
    [CLI_OPTION_FOLLOW] = {HOW_TRUTH, AT(follow), 0, 0},
    [CLI_OPTION_WRITE] = {HOW_TEXT, AT(write), 0, 0},
    [CLI_OPTION_STARTS] = {HOW_WHOLE, AT(starts), 0, 1000000000},
    [CLI_OPTION_RAN] = {HOW_TEXT, AT(ran), 0, 0},
    [CLI_OPTION_OVER] = {HOW_TEXT, AT(over), 0, 0},
    [CLI_OPTION_UNDRAWN] = {HOW_TRUTH, AT(undrawn), 0, 0},
    [CLI_OPTION_LENGTH] = {HOW_TEXT, AT(length), 0, 0},
    [CLI_OPTION_CSV] = {HOW_TEXT, AT(csv), 0, 0},
    [CLI_OPTION_SVG] = {HOW_TEXT, AT(svg), 0, 0},
    [CLI_OPTION_PNG] = {HOW_TEXT, AT(png), 0, 0},
    [CLI_OPTION_EVERY] = {HOW_TEXT, AT(every), 0, 0},
    [CLI_OPTION_STATE] = {HOW_TEXT, AT(state), 0, 0},
    [CLI_OPTION_RELEASE] = {HOW_TEXT, AT(release), 0, 0},
    [CLI_OPTION_RESET] = {HOW_TEXT, AT(reset), 0, 0},
    [CLI_OPTION_HORIZON] = {HOW_TEXT, AT(horizon), 0, 0},
    [CLI_OPTION_CATALOGUE] = {HOW_TEXT, AT(catalogue), 0, 0},
    [CLI_OPTION_PUMP] = {HOW_TEXT, AT(pump), 0, 0},
    [CLI_OPTION_EXPLAIN] = {HOW_TRUTH, AT(explain), 0, 0},
    [CLI_OPTION_HTML] = {HOW_TEXT, AT(html), 0, 0},
    [CLI_OPTION_UNITS] = {HOW_TEXT, AT(units), 0, 0},
    [CLI_OPTION_LANGUAGE] = {HOW_TEXT, AT(language), 0, 0},
    [CLI_OPTION_YEARS] = {HOW_WHOLE, AT(years), 0, 1000},
    [CLI_OPTION_SWEEP] = {HOW_WHOLE, AT(sweep), 0, 400},
    [CLI_OPTION_PLACES] = {HOW_WHOLE, AT(places), 1, 100},
    [CLI_OPTION_ONSETS] = {HOW_WHOLE, AT(onsets), 1, 24},
    [CLI_OPTION_ABLE] = {HOW_TEXT, AT(able), 0, 0},
    [CLI_OPTION_AT_MOST] = {HOW_TEXT, AT(at_most), 0, 0},
    [CLI_OPTION_WATER_PRICE] = {HOW_PRICE, AT(water_price), 0, 0},
    [CLI_OPTION_VISIT_PRICE] = {HOW_PRICE, AT(visit_price), 0, 0},
    [CLI_OPTION_PUMP_PRICE] = {HOW_PRICE, AT(pump_price), 0, 0},
    [CLI_OPTION_PAIRS] = {HOW_TRUTH, AT(pairs), 0, 0},
    [CLI_OPTION_FULL] = {HOW_TRUTH, AT(full), 0, 0},
    [CLI_OPTION_SEED] = {HOW_WHOLE, AT(seed), 0, 9007199254740991},
    [CLI_OPTION_JOBS] = {HOW_WHOLE, AT(jobs), 1, CLI_MAX_JOBS},
    [CLI_OPTION_ADDRESS] = {HOW_TEXT, AT(address), 0, 0},
    [CLI_OPTION_PAGE] = {HOW_TEXT, AT(page), 0, 0},
    [CLI_OPTION_PORT] = {HOW_WHOLE, AT(port), 0, 65535},
    [CLI_OPTION_TIMEOUT] = {HOW_WHOLE, AT(timeout), 1, 3600},
    [CLI_OPTION_HTTPS] = {HOW_TRUTH, AT(secure), 0, 0},
    [CLI_OPTION_NETWORK] = {HOW_TRUTH, AT(open_to_network), 0, 0},
    [CLI_OPTION_STRICT] = {HOW_TRUTH, AT(strict), 0, 0},
    [CLI_OPTION_QUIET] = {HOW_TRUTH, AT(quiet), 0, 0},
    [CLI_OPTION_HELP] = {HOW_TRUTH, AT(help), 0, 0},
    [CLI_OPTION_VERSION] = {HOW_TRUTH, AT(version), 0, 0},
};

#undef AT

/* Those of a few words of their own. */
static bool take_choice(cli_option option, const char *value, cli_options *out)
{
    static const char *const papers[] = {"A4", "letter"}, *const colours[] = {"auto", "always", "never"};
    static const char *const forms[] = {"pretty", "line"};
    const char *word = cli_option_rows[option].word;
    int choice = 0;
    bool good = false;
    switch (option) {
    case CLI_OPTION_SIZE_OF_PAPER:
        good = read_choice(word, value, papers, 2, &choice);
        out->letter = choice == 1;
        return good;
    case CLI_OPTION_COLOUR:
        good = read_choice(word, value, colours, 3, &choice);
        out->colour = (cli_colour)choice;
        return good;
    case CLI_OPTION_JSON: /* alone or with its form */
        good = value == NULL || read_choice(word, value, forms, 2, &choice);
        out->json = choice ? CLI_JSON_LINE : CLI_JSON_PRETTY;
        return good;
    default: break;
    }
    assert(false); /* each option is kept somewhere */
    return false;
}

/* Those that may be given again, and those of a few words. */
static bool take_else(cli_option option, const char *value, cli_options *out)
{
    const char *word = cli_option_rows[option].word;
    switch (option) {
    case CLI_OPTION_FAULT: return add_fault(out, value);
    case CLI_OPTION_SET: return add_set(out, value);
    case CLI_OPTION_GAUGE: return add_gauge(out, value, false);
    case CLI_OPTION_GAUGE_SHUT: return add_gauge(out, value, true);
    case CLI_OPTION_COLUMN:
        return add_to(out->columns, &out->column_count, CLI_MAX_COLUMNS,
                      pw_fact_of("cli.too-many-columns", pw_count(CLI_MAX_COLUMNS)), value);
    case CLI_OPTION_KEEP: return add_word(out->keep, &out->keep_count, CLI_MAX_KEPT, word, value);
    case CLI_OPTION_NO_SENSOR: return add_word(out->no_sensor, &out->no_sensor_count, CLI_MAX_KEPT, word, value);
    case CLI_OPTION_PHOTO: return add_word(out->photos, &out->photo_count, CLI_MAX_PHOTOS, word, value);
    case CLI_OPTION_NUMBER: return add_word(out->numbers, &out->number_count, CLI_MAX_NUMBERS, word, value);
    default: return take_choice(option, value, out);
    }
}

bool cli_option_take(cli_option option, const char *value, cli_options *out)
{
    const char *word = cli_option_rows[option].word;
    const keep_row *row = &keep_rows[option];
    void *member = (char *)out + row->at;
    switch (row->how) {
    case HOW_TEXT: *(const char **)member = value; return true;
    case HOW_TRUTH: *(bool *)member = true; return true;
    case HOW_WHOLE: return read_number(word, value, row->low, row->high, member);
    case HOW_PRICE: return take_price(word, value, member);
    case HOW_ELSE: break;
    }
    return take_else(option, value, out);
}
