/* Quantities read from text, and what is wrong with them. */
#include "base/units_inside.h"

#include <string.h>

#include "base/num.h"

enum { LONGEST_NUMBER = 60, LONGEST_QUANTITY = 200, MOST_PARTS = 5 };

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

static size_t skip_spaces(const char *p)
{
    size_t n = 0;
    while (p[n] == ' ' || p[n] == '\t') {
        n++;
    }
    return n;
}

/* A plain number at p; 0 when there is none or when what follows shows that it is not one (05, 06:30, 2,5, 1.2.3). */
static size_t read_number(const char *p, double *out)
{
    size_t length = 0;
    while (p[length] && length < LONGEST_NUMBER) {
        length++;
    }
    size_t used = pw_num_read(p, length, out);
    if (used == 0 || used >= LONGEST_NUMBER) {
        return 0;
    }
    char next = p[used];
    bool clings =
        is_digit(next) || ((next == ':' || next == ',' || next == '.' || next == '\'') && is_digit(p[used + 1]));
    return clings ? 0 : used;
}

/* "in" before a number is a word of the sentence. */
static bool in_is_a_word(const pw_unit *unit, const char *after)
{
    size_t spaces = skip_spaces(after);
    return strcmp(unit->name, "in") == 0 && spaces > 0 && is_digit(after[spaces]);
}

/* One number with its unit; dimension NONE and *unit NULL for a bare number. */
static size_t scan_part(const char *text, double *value, const pw_unit **unit)
{
    size_t number = read_number(text, value);
    *unit = NULL;
    if (number == 0) {
        return 0;
    }
    const char *rest = text + number;
    size_t spaces = skip_spaces(rest);
    size_t used = pw_unit_scan(rest + spaces, rest[spaces] != 'a', unit); /* "8 a day" is no current */
    bool whole = used > 0 && (unsigned char)rest[spaces + used] < 0x80;
    if (!whole || in_is_a_word(*unit, rest + spaces + used)) {
        *unit = NULL;
        bool clings = is_letter(rest[0]) || (unsigned char)rest[0] >= 0x80;
        return clings ? 0 : number;
    }
    return number + spaces + used;
}

size_t pw_quantity_scan(const char *text, double *out_si, pw_dimension *dimension_out)
{
    double value;
    const pw_unit *unit;
    size_t used = scan_part(text, &value, &unit);
    if (used == 0) {
        return 0;
    }
    double si = unit ? pw_unit_si(unit, value) : value;
    pw_dimension dimension = unit ? unit->dimension : PW_DIM_NONE;
    /* a time goes on while smaller units follow: 1 h 30 min */
    for (int part = 1; dimension == PW_DIM_TIME && part < MOST_PARTS; part++) {
        const pw_unit *finer;
        size_t spaces = skip_spaces(text + used);
        size_t more = spaces > 0 ? scan_part(text + used + spaces, &value, &finer) : 0;
        if (more == 0 || !finer || finer->dimension != PW_DIM_TIME || value < 0 ||
            pw_unit_si(finer, 1) >= pw_unit_si(unit, 1)) {
            break;
        }
        si += pw_unit_si(finer, value);
        unit = finer;
        used += spaces + more;
    }
    if (!pw_is_finite(si)) {
        return 0;
    }
    *out_si = si;
    *dimension_out = dimension;
    return used;
}

/* ---- what is wrong ---- */

static pw_status wrong(pw_problems *problems, pw_status status, const char *path, const char *text,
                       pw_dimension dimension, pw_fact hint)
{
    const bool bare = dimension == PW_DIM_NONE || dimension == PW_DIM_FRACTION;
    const pw_value what = pw_word(pw_dimension_message(dimension));
    const pw_value example = pw_named(pw_dimension_example(dimension));
    return pw_problem_tell(problems, status, path, text[0] ? pw_verbatim(text) : pw_fact_of("input.empty-text"),
                           bare ? pw_fact_of("input.plain-number", what, example)
                                : pw_fact_of("input.number-with-unit", what, example),
                           hint);
}

/* Why text, which ought to begin with a number, does not. */
static pw_fact number_hint(const char *p, pw_dimension dimension)
{
    if (p[0] == '-') {
        p++;
    }
    size_t digits = 0;
    while (is_digit(p[digits])) {
        digits++;
    }
    double clock;
    if (digits > 0 && p[digits] == ':' && is_digit(p[digits + 1])) {
        return pw_clock_read(p, &clock) && dimension == PW_DIM_TIME ? pw_fact_of("input.clock-not-time") : pw_no_fact();
    }
    if (digits > 0 && p[digits] == ',' && is_digit(p[digits + 1])) {
        return pw_fact_of("input.decimal-point");
    }
    if (digits > 0 && p[digits] == '\'') {
        return pw_fact_of("input.no-separator");
    }
    if (digits > 1 && p[0] == '0') {
        return pw_fact_of("input.no-leading-zero");
    }
    if (digits == 0 && (p[0] == '.' || p[0] == ',') && is_digit(p[1])) {
        return pw_fact_of("input.zero-before-point");
    }
    if (p[0] == '+') {
        return pw_fact_of("input.no-plus");
    }
    return pw_no_fact();
}

const char *pw_unit_near(const char *name, pw_dimension dimension)
{
    int32_t rows;
    const pw_unit *table = pw_unit_table(&rows);
    const char *names[160];
    int32_t count = 0;
    for (int32_t i = 0; i < rows && count < 160; i++) {
        pw_unit as;
        if (pw_unit_fits(&table[i], dimension, &as)) {
            names[count] = table[i].name;
            count++;
        }
    }
    int32_t near = strlen(name) > 2 ? pw_near_match(name, names, count) : -1;
    return near >= 0 ? names[near] : NULL;
}

/* The text behind the number is no unit: say so, as helpfully as can be. */
static pw_status unknown_unit(pw_problems *problems, const char *path, const char *text, const char *unit,
                              pw_dimension dimension)
{
    char canonical[PW_UNIT_NAME_SIZE];
    if (is_digit(unit[0])) {
        return wrong(problems, PW_SYNTAX, path, text, dimension, pw_fact_of("input.one-number"));
    }
    if (unit[0] == '.') {
        return wrong(problems, PW_SYNTAX, path, text, dimension, pw_fact_of("input.digit-after-point"));
    }
    if (unit[0] == '"' || strncmp(unit, "''", 2) == 0 || unit[0] == '\'') {
        return wrong(problems, PW_UNIT, path, text, dimension, pw_fact_of("input.inches-and-feet"));
    }
    const char *name = pw_unit_canonical(unit, canonical, PW_UNIT_NAME_SIZE) ? canonical : unit;
    const char *near = pw_unit_near(name, dimension);
    return wrong(problems, PW_UNIT, path, text, dimension,
                 near ? pw_fact_of("input.did-you-mean-unit", pw_named(near))
                      : pw_fact_of("input.unknown-unit", pw_named(unit)));
}

static pw_status other_dimension(pw_problems *problems, const char *path, const char *text, const pw_unit *unit,
                                 pw_dimension dimension)
{
    return wrong(problems, PW_UNIT, path, text, dimension,
                 pw_fact_of("input.unit-of", pw_named(unit->name), pw_word(pw_dimension_message(unit->dimension))));
}

static pw_status bare_number(pw_problems *problems, const char *path, const char *text, pw_dimension dimension,
                             double value, double *out_si)
{
    bool zero = value == 0 && dimension != PW_DIM_TEMPERATURE;
    if (dimension != PW_DIM_NONE && dimension != PW_DIM_FRACTION && !zero) {
        return wrong(problems, PW_UNIT, path, text, dimension,
                     pw_fact_of("input.unit-missing", pw_named(pw_dimension_example(dimension))));
    }
    *out_si = value;
    return PW_OK;
}

/* A compound time or any one number with its unit: reads one part, returns the bytes used, 0 after adding a problem. */
static size_t read_part(const char *at, const char *text, pw_dimension dimension, double *si, pw_unit *unit,
                        pw_status *status, pw_problems *problems, const char *path)
{
    double value;
    const pw_unit *row;
    size_t number = read_number(at, &value);
    if (number == 0) {
        *status = wrong(problems, PW_SYNTAX, path, text, dimension, number_hint(at, dimension));
        return 0;
    }
    size_t spaces = skip_spaces(at + number);
    const char *name = at + number + spaces;
    if (*name == '\0') {
        *unit = (pw_unit){.name = "", .dimension = dimension, .num = 1, .den = 1};
        *status = bare_number(problems, path, text, dimension, value, si);
        return *status == PW_OK ? number + spaces : 0;
    }
    size_t used = pw_unit_scan(name, true, &row);
    bool time_goes_on = row && row->dimension == PW_DIM_TIME && name[used] == ' ';
    if (used == 0 || (name[used + skip_spaces(name + used)] != '\0' && !time_goes_on)) {
        *status = unknown_unit(problems, path, text, name, dimension);
        return 0;
    }
    if (!pw_unit_fits(row, dimension, unit)) {
        *status = other_dimension(problems, path, text, row, dimension);
        return 0;
    }
    *si = pw_unit_si(unit, value);
    return number + spaces + used + skip_spaces(name + used);
}

pw_status pw_quantity_read(const char *text, pw_dimension dimension, double *out_si, pw_problems *problems,
                           const char *path)
{
    size_t length = strlen(text);
    if (length > LONGEST_QUANTITY) {
        return wrong(problems, PW_LIMIT, path, text, dimension, pw_fact_of("input.too-long-quantity"));
    }
    const char *at = text + skip_spaces(text);
    double sum = 0;
    double coarser = PW_INF; /* seconds of the unit before */
    for (int part = 0; part == 0 || *at; part++) {
        double si = 0;
        pw_unit unit;
        pw_status status = PW_OK;
        size_t used = read_part(at, text, dimension, &si, &unit, &status, problems, path);
        if (used == 0) {
            return status;
        }
        double size = pw_unit_si(&unit, 1);
        if (part > 0 && (size >= coarser || *at == '-' || part >= MOST_PARTS)) {
            return wrong(problems, PW_SYNTAX, path, text, dimension, pw_fact_of("input.time-parts"));
        }
        coarser = size;
        sum += si;
        at += used;
    }
    if (!pw_is_finite(sum)) {
        return wrong(problems, PW_RANGE, path, text, dimension, pw_fact_of("input.too-large"));
    }
    *out_si = sum;
    return PW_OK;
}

/* Up to two digits at p, a number below limit. */
static size_t clock_part(const char *p, int32_t limit, int32_t *out)
{
    size_t n = 0;
    int32_t value = 0;
    while (n < 2 && is_digit(p[n])) {
        value = value * 10 + (p[n] - '0');
        n++;
    }
    *out = value;
    return value < limit ? n : 0;
}

bool pw_clock_read(const char *text, double *out_s)
{
    int32_t hour, minute, second = 0;
    size_t used = clock_part(text, 25, &hour);
    if (used == 0 || text[used] != ':') {
        return false;
    }
    const char *p = text + used + 1;
    if (clock_part(p, 60, &minute) != 2) {
        return false;
    }
    p += 2;
    if (*p == ':') {
        if (clock_part(p + 1, 60, &second) != 2) {
            return false;
        }
        p += 3;
    }
    int32_t seconds = hour * 3600 + minute * 60 + second;
    if (*p != '\0' || seconds > 86400) {
        return false;
    }
    *out_s = seconds;
    return true;
}
