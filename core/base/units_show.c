/* Quantities written for people, and exactly for orders. */
#include "base/units_inside.h"

#include <string.h>

#include "base/num.h"

pw_units pw_units_metric(void)
{
    return (pw_units){.pressure = PW_SHOW_KPA, .flow = PW_SHOW_LPM, .us = false};
}

/* What a person may name: which setting it changes. */
static const struct {
    const char *name;
    int32_t pressure, flow; /* -1 leaves it */
} choices[] = {
    {"kPa", PW_SHOW_KPA, -1},  {"bar", PW_SHOW_BAR, -1},    {"psi", PW_SHOW_PSI, -1},
    {"m", PW_SHOW_HEAD_M, -1}, {"ft", PW_SHOW_HEAD_FT, -1}, {"L/min", -1, PW_SHOW_LPM},
    {"L/s", -1, PW_SHOW_LPS},  {"m3/h", -1, PW_SHOW_M3H},   {"gpm", -1, PW_SHOW_GPM},
};

enum { CHOICE_COUNT = sizeof choices / sizeof choices[0] };

/* One name of the list; false when it is none. */
static bool take_choice(const char *name, pw_units *units)
{
    char canonical[PW_UNIT_NAME_SIZE];
    if (strcmp(name, "metric") == 0) {
        *units = pw_units_metric();
        return true;
    }
    if (strcmp(name, "us") == 0) {
        *units = (pw_units){.pressure = PW_SHOW_PSI, .flow = PW_SHOW_GPM, .us = true};
        return true;
    }
    if (!pw_unit_canonical(name, canonical, PW_UNIT_NAME_SIZE)) {
        return false;
    }
    for (int32_t i = 0; i < CHOICE_COUNT; i++) {
        if (strcmp(choices[i].name, canonical) == 0) {
            units->pressure = choices[i].pressure >= 0 ? (pw_pressure_unit)choices[i].pressure : units->pressure;
            units->flow = choices[i].flow >= 0 ? (pw_flow_unit)choices[i].flow : units->flow;
            return true;
        }
    }
    return false;
}

pw_status pw_units_read(const char *text, pw_units *out, pw_problems *problems)
{
    pw_units units = pw_units_metric();
    const char *p = text;
    if (strcmp(text, "psi") == 0) {
        p = "us";
    }
    bool more = true;
    while (more) {
        char name[PW_UNIT_NAME_SIZE];
        size_t n = 0;
        p += strspn(p, " ");
        while (p[n] && p[n] != ',' && n + 1 < sizeof name) {
            name[n] = p[n];
            n++;
        }
        size_t trimmed = n;
        while (trimmed > 0 && name[trimmed - 1] == ' ') {
            trimmed--;
        }
        name[trimmed] = '\0';
        if ((p[n] != ',' && p[n] != '\0') || !take_choice(name, &units)) {
            return pw_problem_tell(problems, PW_UNIT, "units", pw_verbatim(name), pw_fact_of("input.unit-list"),
                                   pw_fact_of("input.for-instance", pw_named("bar,m3/h")));
        }
        more = p[n] == ',';
        p += n + 1;
    }
    *out = units;
    return PW_OK;
}

/* Name shown and the row of the table that converts. */
typedef struct shown {
    const char *words, *row;
} shown;

static shown shown_flow(const pw_units *units)
{
    static const shown flows[] = {{"L/min", "L/min"}, {"L/s", "L/s"}, {"m3/h", "m3/h"}, {"gpm", "gpm"}};
    return flows[units->flow];
}

static shown shown_pressure(const pw_units *units)
{
    static const shown pressures[] = {{"kPa", "kPa"}, {"bar", "bar"}, {"psi", "psi"}, {"m", "mH2O"}, {"ft", "ftH2O"}};
    return pressures[units->pressure];
}

static shown shown_capacity(const pw_units *units)
{
    static const shown capacities[] = {
        {"L/min per m", "L/min/m"}, {"L/s per m", "L/s/m"}, {"m3/h per m", "m3/h/m"}, {"gpm per ft", "gpm/ft"}};
    return capacities[units->flow];
}

static shown shown_unit(const pw_units *units, pw_dimension dimension)
{
    switch (dimension) {
    case PW_DIM_NONE: return (shown){"", NULL};
    case PW_DIM_PRESSURE: return shown_pressure(units);
    case PW_DIM_LENGTH: return units->us ? (shown){"ft", "ft"} : (shown){"m", "m"};
    case PW_DIM_FLOW: return shown_flow(units);
    case PW_DIM_TIME: return (shown){"s", "s"};
    case PW_DIM_VOLUME: return units->us ? (shown){"gal", "gal"} : (shown){"L", "L"};
    case PW_DIM_AREA: return units->us ? (shown){"ft2", "ft2"} : (shown){"m2", "m2"};
    case PW_DIM_VELOCITY: return units->us ? (shown){"ft/s", "ft/s"} : (shown){"m/s", "m/s"};
    case PW_DIM_TEMPERATURE: return units->us ? (shown){"°F", "degF"} : (shown){"°C", "degC"};
    case PW_DIM_POWER: return units->us ? (shown){"hp", "hp"} : (shown){"kW", "kW"};
    case PW_DIM_ENERGY: return (shown){"kWh", "kWh"};
    case PW_DIM_VOLTAGE: return (shown){"V", "V"};
    case PW_DIM_CURRENT: return (shown){"A", "A"};
    case PW_DIM_FREQUENCY: return (shown){"Hz", "Hz"};
    case PW_DIM_SPEED: return (shown){"rpm", "rpm"};
    case PW_DIM_SPECIFIC_CAPACITY: return shown_capacity(units);
    case PW_DIM_FRACTION: return (shown){"%", "%"};
    case PW_DIM_RATE: return (shown){"per hour", "/h"};
    case PW_DIM_TEMPERATURE_RISE: return units->us ? (shown){"°F", "degF"} : (shown){"K", "K"};
    default: return (shown){"", NULL};
    }
}

const char *pw_unit_name(const pw_units *units, pw_dimension dimension)
{
    return shown_unit(units, dimension).words;
}

static double from_si(const pw_unit *unit, double si)
{
    return si * unit->den / unit->num + unit->zero;
}

static double value_in(const char *row, pw_dimension dimension, double si)
{
    pw_unit unit;
    if (!row) {
        return si;
    }
    pw_unit_fits(pw_unit_find(row, false), dimension, &unit);
    return from_si(&unit, si);
}

double pw_unit_value(const pw_units *units, pw_dimension dimension, double si)
{
    return value_in(shown_unit(units, dimension).row, dimension, si);
}

/* ---- for people ---- */

/* What digits each kind of quantity deserves, in SI; the one table of it. Common practice: what a meter on site shows,
 * or a person can act on.
 *   nothing  what is smaller is what rounding leaves of nothing, and shows as 0
 *   finest   no digit stands for less, but for the first digit of what is smaller still; 0: as all have */
static const struct {
    double nothing, finest;
} worth[PW_DIM_COUNT] = {
    [PW_DIM_PRESSURE] = {0.0, 1.0},
    [PW_DIM_LENGTH] = {5e-8, 1e-7}, /* roughness of a new pipe: 0.0015 mm */
    [PW_DIM_FLOW] = {5e-7 / 60.0, 1e-6 / 60.0},
    [PW_DIM_VOLUME] = {5e-7, 1e-6},
    [PW_DIM_VELOCITY] = {0.0, 0.01},
    [PW_DIM_TEMPERATURE] = {0.0, 0.1},
    [PW_DIM_TEMPERATURE_RISE] = {0.0, 0.1},
    [PW_DIM_POWER] = {0.0, 0.1},
    [PW_DIM_ENERGY] = {5e-5 * 3.6e6, 1e-3 * 3.6e6},
    [PW_DIM_VOLTAGE] = {0.0, 0.1},
    [PW_DIM_CURRENT] = {0.0, 0.01},
    [PW_DIM_FREQUENCY] = {0.0, 0.01},
    [PW_DIM_SPEED] = {0.0, 1.0},
    [PW_DIM_FRACTION] = {0.0, 1e-4}, /* 0.01 % */
};

/* Heads are levels, too: a level is read to the millimetre. */
#define FINEST_HEAD_M 1e-3

/* Three significant digits, four when the first is a 1, all digits before the point, and no finer than `finest`. */
static void put_rounded(pw_text *text, double value, double finest)
{
    double size = pw_abs(value);
    if (!(size >= 1e-6)) {
        pw_text_put(text, "0");
    } else if (size >= 999.5) {
        pw_text_fixed(text, value, 0);
    } else {
        double lead = size, step = 1.0; /* of the first digit */
        while (lead >= 10) {
            lead /= 10;
            step *= 10;
        }
        while (lead < 1) {
            lead *= 10;
            step /= 10;
        }
        int32_t digits = 1;
        while (digits < (lead < 2 ? 4 : 3) && step * 0.1 >= finest * (1 - 1e-9)) {
            step *= 0.1;
            digits++;
        }
        pw_text_digits(text, value, digits);
    }
}

static void put_with_unit(pw_text *text, double value, double finest, const char *unit)
{
    put_rounded(text, value, finest);
    if (unit[0]) {
        pw_text_puts(text, " ", unit, NULL);
    }
}

/* Two neighbouring units of a whole number of seconds: "1 h 30 min". */
static void put_pair(pw_text *text, int64_t seconds, int64_t big, const char *big_name, int64_t small,
                     const char *small_name)
{
    int64_t rest = seconds % big / small;
    pw_text_int(text, seconds / big);
    pw_text_puts(text, " ", big_name, NULL);
    if (rest > 0) {
        pw_text_put(text, " ");
        pw_text_int(text, rest);
        pw_text_puts(text, " ", small_name, NULL);
    }
}

static void put_time(pw_text *text, double si)
{
    double size = pw_abs(si);
    if (si <= -5e-7) { /* what shows as 0 has no sign */
        pw_text_put(text, "-");
    }
    if (size < 0.9995 && size >= 5e-7) {
        put_with_unit(text, size * 1e3, 0, "ms");
        return;
    }
    if (size < 59.95) {
        put_with_unit(text, size, 0, "s");
        return;
    }
    if (size > 1e15) {
        put_with_unit(text, size / 86400, 0, "d");
        return;
    }
    int64_t seconds = (int64_t)pw_floor(size + 0.5);
    int64_t minutes = (int64_t)pw_floor(size / 60 + 0.5) * 60;
    int64_t hours = (int64_t)pw_floor(size / 3600 + 0.5) * 3600;
    if (seconds < 3600) {
        put_pair(text, seconds, 60, "min", 1, "s");
    } else if (minutes < 86400) {
        put_pair(text, minutes, 3600, "h", 60, "min");
    } else {
        put_pair(text, hours, 86400, "d", 3600, "h");
    }
}

/* A better-sized unit of the same system, where the trade has one. */
static shown sized_unit(const pw_units *units, pw_dimension dimension, double si)
{
    double size = pw_abs(si);
    if (size > 0 && dimension == PW_DIM_LENGTH && size < 0.2995) {
        return units->us ? (shown){"in", "in"} : (shown){"mm", "mm"};
    }
    if (!units->us && dimension == PW_DIM_VOLUME && size >= 10) {
        return (shown){"m3", "m3"};
    }
    if (!units->us && size > 0 && dimension == PW_DIM_POWER && size < 999.5) {
        return (shown){"W", "W"};
    }
    return shown_unit(units, dimension);
}

void pw_quantity_put(pw_text *text, const pw_units *units, pw_dimension dimension, double si)
{
    if (!pw_is_finite(si)) {
        pw_text_put(text, "unknown");
        return;
    }
    if (dimension == PW_DIM_TIME) {
        put_time(text, si);
        return;
    }
    if (dimension == PW_DIM_PRESSURE && si < 0.0 && si > -50.0) {
        si = 0.0; /* a gauge stands at 0 there: rounding, not suction */
    }
    if (pw_abs(si) < worth[dimension].nothing) {
        si = 0.0;
    }
    shown unit = sized_unit(units, dimension, si);
    const double finest = value_in(unit.row, dimension, worth[dimension].finest) - value_in(unit.row, dimension, 0.0);
    put_with_unit(text, value_in(unit.row, dimension, si), finest, unit.words);
}

void pw_head_put(pw_text *text, const pw_units *units, double head_m)
{
    put_with_unit(text, pw_unit_value(units, PW_DIM_LENGTH, head_m), pw_unit_value(units, PW_DIM_LENGTH, FINEST_HEAD_M),
                  pw_unit_name(units, PW_DIM_LENGTH));
}

void pw_time_of_day_put(pw_text *text, uint32_t seconds)
{
    const uint32_t parts[3] = {seconds / 3600, seconds / 60 % 60, seconds % 60};
    const int32_t count = parts[2] != 0 ? 3 : 2;
    for (int32_t i = 0; i < count; i++) {
        pw_text_put(text, i > 0 ? ":" : "");
        pw_text_put(text, parts[i] < 10 ? "0" : "");
        pw_text_int(text, parts[i]);
    }
}

/* ---- exactly ---- */

static int32_t digits_of(const char *number)
{
    int32_t digits = 0, zeros = 0;
    for (; *number && *number != 'e'; number++) {
        if (*number == '0') {
            zeros++;
        } else if (*number >= '1' && *number <= '9') {
            digits += digits > 0 ? zeros + 1 : 1;
            zeros = 0;
        }
    }
    return digits;
}

/* The shortest number that, read in this unit, gives exactly si; false when no double does. out as pw_num_text. */
static bool exact_number(const pw_unit *unit, double si, char *out)
{
    double value = from_si(unit, si);
    if (!pw_is_finite(value)) {
        return false;
    }
    /* fewest digits first: 36 psi, not its neighbour 36.000000000000004 */
    for (int digits = 1; digits <= 17; digits++) {
        double back;
        size_t length = pw_num_digits(value, digits, out);
        if (pw_num_read(out, length, &back) == length && pw_unit_si(unit, back) == si) {
            return true;
        }
    }
    return false;
}

/* Number and unit; the last divider is written out where the unit begins with one or has two: "per hour", "L/min per
 * m". */
static void put_exact(pw_text *text, const char *number, const char *unit)
{
    static const char *const words[][2] = {{"h", "hour"}, {"d", "day"}, {"s", "second"}, {"min", "minute"}};
    const char *first = strchr(unit, '/');
    const char *last = strrchr(unit, '/');
    pw_text_puts(text, number, unit[0] ? " " : NULL, NULL);
    if (!last || (last == first && last != unit)) {
        pw_text_put(text, unit);
        return;
    }
    const char *below = last + 1;
    for (int i = 0; i < 4 && last == unit; i++) {
        below = strcmp(last + 1, words[i][0]) == 0 ? words[i][1] : below;
    }
    pw_text_put_n(text, unit, (size_t)(last - unit));
    pw_text_puts(text, last == unit ? "per " : " per ", below, NULL);
}

/* Whole days, hours or minutes, else seconds. */
static const char *time_unit(double si)
{
    static const struct {
        const char *name;
        double s;
    } units[] = {{"d", 86400}, {"h", 3600}, {"min", 60}};
    for (int i = 0; i < 3; i++) {
        double count = si / units[i].s;
        if (count == pw_floor(count) && count * units[i].s == si && si != 0) {
            return units[i].name;
        }
    }
    return "s";
}

void pw_quantity_exact(pw_text *text, pw_dimension dimension, double si)
{
    enum { WORTH = 2 }; /* so many digits fewer make another unit better than the base trade unit */
    char best[40] = "", number[40];
    const char *best_unit = NULL;
    int32_t best_digits = 99;
    int32_t rows;
    const pw_unit *table = pw_unit_table(&rows);
    if (dimension == PW_DIM_TIME) {
        const char *name = time_unit(si);
        if (exact_number(pw_unit_find(name, false), si, number)) {
            put_exact(text, number, name);
            return;
        }
    }
    bool base = true; /* the first row of the dimension */
    for (int32_t i = 0; i < rows; i++) {
        pw_unit unit;
        bool own = pw_unit_fits(&table[i], dimension, &unit) && strcmp(unit.name, table[i].name) == 0 &&
                   (dimension != PW_DIM_TEMPERATURE_RISE || strcmp(unit.name, "K") == 0);
        if (!own) {
            continue;
        }
        if (exact_number(&unit, si, number) && digits_of(number) < best_digits) {
            pw_copy(best, sizeof best, number);
            best_unit = table[i].name;
            best_digits = digits_of(number) - (base ? WORTH - 1 : 0);
        }
        base = false;
    }
    if (!best_unit) { /* a plain number or fraction: its own shortest text */
        pw_num_text(si, best);
        best_unit = "";
    }
    put_exact(text, best, best_unit);
}
