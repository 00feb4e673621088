/* Units: the one table, and finding a unit in text.
 *
 * Definitions (exact unless marked): SI brochure 9th ed. for bar, L, min, h, d, ha, degC; NIST SP 811 (2008), Appendix
 * B.8 and its definitions (from memory, factors re-computed from the definitions) for foot 0.3048 m, inch 0.0254 m,
 * pound 0.453 592 37 kg, psi = pound x g / inch2, US gallon 231 inch3 = 3.785 411 784 L, Imperial gallon 4.546 09 L,
 * horsepower 550 ft lbf/s. Metre and foot of water: 1000 kg/m3 and standard gravity 9.80665 m/s2 (SP 811:
 * "conventional" water).
 */
#include "base/units_inside.h"

#include <assert.h>
#include <string.h>

#include "base/num.h"

/* value * NUM / DEN with whole numbers rounds once for most trade values, which a rounded factor would not. */
#define PSI_NUM    44482216152605.0 /* 0.45359237 * 9.80665 / 0.0254^2 */
#define PSI_DEN    6451600000.0
#define US_GALLON  3785411784.0       /* 1e-12 m3 */
#define IMP_GALLON 454609.0           /* 1e-8 m3 */
#define HORSEPOWER 745.69987158227022 /* 550 * 0.3048 * 0.45359237 * 9.80665 W */

static const pw_unit table[] = {
    {"kPa", PW_DIM_PRESSURE, 1e3, 1, 0},
    {"bar", PW_DIM_PRESSURE, 1e5, 1, 0},
    {"psi", PW_DIM_PRESSURE, PSI_NUM, PSI_DEN, 0},
    {"mH2O", PW_DIM_PRESSURE, 980665, 100, 0},
    {"ftH2O", PW_DIM_PRESSURE, 298906692, 100000, 0},
    {"MPa", PW_DIM_PRESSURE, 1e6, 1, 0},
    {"GPa", PW_DIM_PRESSURE, 1e9, 1, 0},
    {"mbar", PW_DIM_PRESSURE, 100, 1, 0},
    {"hPa", PW_DIM_PRESSURE, 100, 1, 0},
    {"Pa", PW_DIM_PRESSURE, 1, 1, 0},

    {"m", PW_DIM_LENGTH, 1, 1, 0},
    {"mm", PW_DIM_LENGTH, 1, 1e3, 0},
    {"ft", PW_DIM_LENGTH, 3048, 1e4, 0},
    {"in", PW_DIM_LENGTH, 254, 1e4, 0},
    {"cm", PW_DIM_LENGTH, 1, 100, 0},
    {"km", PW_DIM_LENGTH, 1e3, 1, 0},

    {"L/min", PW_DIM_FLOW, 1, 60000, 0},
    {"L/s", PW_DIM_FLOW, 1, 1e3, 0},
    {"m3/h", PW_DIM_FLOW, 1, 3600, 0},
    {"gpm", PW_DIM_FLOW, US_GALLON, 6e13, 0},
    {"gal/min", PW_DIM_FLOW, US_GALLON, 6e13, 0},
    {"US gpm", PW_DIM_FLOW, US_GALLON, 6e13, 0},
    {"US gal/min", PW_DIM_FLOW, US_GALLON, 6e13, 0},
    {"gph", PW_DIM_FLOW, US_GALLON, 3.6e15, 0},
    {"gal/h", PW_DIM_FLOW, US_GALLON, 3.6e15, 0},
    {"gal/d", PW_DIM_FLOW, US_GALLON, 8.64e16, 0},
    {"imp gpm", PW_DIM_FLOW, IMP_GALLON, 6e9, 0},
    {"imp gal/min", PW_DIM_FLOW, IMP_GALLON, 6e9, 0},
    {"imp gph", PW_DIM_FLOW, IMP_GALLON, 3.6e11, 0},
    {"imp gal/h", PW_DIM_FLOW, IMP_GALLON, 3.6e11, 0},
    {"L/h", PW_DIM_FLOW, 1, 3.6e6, 0},
    {"L/d", PW_DIM_FLOW, 1, 8.64e7, 0},
    {"mL/min", PW_DIM_FLOW, 1, 6e7, 0},
    {"mL/s", PW_DIM_FLOW, 1, 1e6, 0},
    {"m3/min", PW_DIM_FLOW, 1, 60, 0},
    {"m3/d", PW_DIM_FLOW, 1, 86400, 0},
    {"ML/d", PW_DIM_FLOW, 1e3, 86400, 0},
    {"kL/d", PW_DIM_FLOW, 1, 86400, 0},
    {"kL/h", PW_DIM_FLOW, 1, 3600, 0},
    {"m3/s", PW_DIM_FLOW, 1, 1, 0},

    {"s", PW_DIM_TIME, 1, 1, 0},
    {"ms", PW_DIM_TIME, 1, 1e3, 0},
    {"min", PW_DIM_TIME, 60, 1, 0},
    {"h", PW_DIM_TIME, 3600, 1, 0},
    {"d", PW_DIM_TIME, 86400, 1, 0},
    {"week", PW_DIM_TIME, 604800, 1, 0},

    {"L", PW_DIM_VOLUME, 1, 1e3, 0},
    {"m3", PW_DIM_VOLUME, 1, 1, 0},
    {"gal", PW_DIM_VOLUME, US_GALLON, 1e12, 0},
    {"US gal", PW_DIM_VOLUME, US_GALLON, 1e12, 0},
    {"imp gal", PW_DIM_VOLUME, IMP_GALLON, 1e8, 0},
    {"mL", PW_DIM_VOLUME, 1, 1e6, 0},
    {"kL", PW_DIM_VOLUME, 1, 1, 0},
    {"ML", PW_DIM_VOLUME, 1e3, 1, 0},

    {"m2", PW_DIM_AREA, 1, 1, 0},
    {"cm2", PW_DIM_AREA, 1, 1e4, 0},
    {"mm2", PW_DIM_AREA, 1, 1e6, 0},
    {"ha", PW_DIM_AREA, 1e4, 1, 0},
    {"ft2", PW_DIM_AREA, 9290304, 1e8, 0},

    {"m/s", PW_DIM_VELOCITY, 1, 1, 0},
    {"mm/s", PW_DIM_VELOCITY, 1, 1e3, 0},
    {"cm/s", PW_DIM_VELOCITY, 1, 100, 0},
    {"ft/s", PW_DIM_VELOCITY, 3048, 1e4, 0},

    {"degC", PW_DIM_TEMPERATURE, 1, 1, 0},
    {"deg C", PW_DIM_TEMPERATURE, 1, 1, 0},
    {"C", PW_DIM_TEMPERATURE, 1, 1, 0},
    {"degF", PW_DIM_TEMPERATURE, 5, 9, 32},
    {"deg F", PW_DIM_TEMPERATURE, 5, 9, 32},
    {"F", PW_DIM_TEMPERATURE, 5, 9, 32},
    {"K", PW_DIM_TEMPERATURE, 1, 1, 273.15},

    {"kW", PW_DIM_POWER, 1e3, 1, 0},
    {"W", PW_DIM_POWER, 1, 1, 0},
    {"hp", PW_DIM_POWER, HORSEPOWER, 1, 0},
    {"MW", PW_DIM_POWER, 1e6, 1, 0},

    {"kWh", PW_DIM_ENERGY, 3.6e6, 1, 0},
    {"Wh", PW_DIM_ENERGY, 3600, 1, 0},
    {"MWh", PW_DIM_ENERGY, 3.6e9, 1, 0},
    {"MJ", PW_DIM_ENERGY, 1e6, 1, 0},
    {"kJ", PW_DIM_ENERGY, 1e3, 1, 0},
    {"J", PW_DIM_ENERGY, 1, 1, 0},

    {"V", PW_DIM_VOLTAGE, 1, 1, 0},
    {"kV", PW_DIM_VOLTAGE, 1e3, 1, 0},
    {"mV", PW_DIM_VOLTAGE, 1, 1e3, 0},

    {"A", PW_DIM_CURRENT, 1, 1, 0},
    {"mA", PW_DIM_CURRENT, 1, 1e3, 0},
    {"kA", PW_DIM_CURRENT, 1e3, 1, 0},

    {"Hz", PW_DIM_FREQUENCY, 1, 1, 0},
    {"/s", PW_DIM_FREQUENCY, 1, 1, 0},
    {"1/s", PW_DIM_FREQUENCY, 1, 1, 0},

    {"rpm", PW_DIM_SPEED, 1, 1, 0},
    {"r/min", PW_DIM_SPEED, 1, 1, 0},
    {"rev/min", PW_DIM_SPEED, 1, 1, 0},

    {"L/min/m", PW_DIM_SPECIFIC_CAPACITY, 1, 60000, 0},
    {"L/s/m", PW_DIM_SPECIFIC_CAPACITY, 1, 1e3, 0},
    {"m3/h/m", PW_DIM_SPECIFIC_CAPACITY, 1, 3600, 0},
    {"gpm/ft", PW_DIM_SPECIFIC_CAPACITY, US_GALLON, 1.8288e13, 0}, /* 6e13 * 0.3048 */
    {"gal/min/ft", PW_DIM_SPECIFIC_CAPACITY, US_GALLON, 1.8288e13, 0},
    {"m3/d/m", PW_DIM_SPECIFIC_CAPACITY, 1, 86400, 0},
    {"m3/s/m", PW_DIM_SPECIFIC_CAPACITY, 1, 1, 0},
    {"m2/s", PW_DIM_SPECIFIC_CAPACITY, 1, 1, 0},
    {"m2/d", PW_DIM_SPECIFIC_CAPACITY, 1, 86400, 0},

    {"%", PW_DIM_FRACTION, 1, 100, 0},

    {"/h", PW_DIM_RATE, 1, 1, 0},
    {"1/h", PW_DIM_RATE, 1, 1, 0},
    {"/d", PW_DIM_RATE, 1, 24, 0},
    {"1/d", PW_DIM_RATE, 1, 24, 0},
    {"/min", PW_DIM_RATE, 60, 1, 0},
    {"1/min", PW_DIM_RATE, 60, 1, 0},
};

enum { TABLE_COUNT = sizeof table / sizeof table[0] };

const pw_unit *pw_unit_table(int32_t *count)
{
    *count = TABLE_COUNT;
    return table;
}

double pw_unit_si(const pw_unit *unit, double value)
{
    return (value - unit->zero) * unit->num / unit->den;
}

const char *pw_dimension_message(pw_dimension dimension)
{
    static const char *const messages[PW_DIM_COUNT] = {
#define PW_X(name, id, si, message) message,
        PW_DIMENSION_LIST(PW_X)
#undef PW_X
    };
    assert(dimension >= 0 && dimension < PW_DIM_COUNT);
    return messages[dimension];
}

const char *pw_dimension_example(pw_dimension dimension)
{
    static const char *const examples[PW_DIM_COUNT] = {
        [PW_DIM_NONE] = "12",
        [PW_DIM_PRESSURE] = "250 kPa",
        [PW_DIM_LENGTH] = "30 m",
        [PW_DIM_FLOW] = "45 L/min",
        [PW_DIM_TIME] = "90 s or 1 h 30 min",
        [PW_DIM_VOLUME] = "100 L",
        [PW_DIM_AREA] = "2.2 m2",
        [PW_DIM_VELOCITY] = "0.2 m/s",
        [PW_DIM_TEMPERATURE] = "16 degC",
        [PW_DIM_POWER] = "1.1 kW",
        [PW_DIM_ENERGY] = "3.5 kWh",
        [PW_DIM_VOLTAGE] = "230 V",
        [PW_DIM_CURRENT] = "7.9 A",
        [PW_DIM_FREQUENCY] = "50 Hz",
        [PW_DIM_SPEED] = "2850 rpm",
        [PW_DIM_SPECIFIC_CAPACITY] = "14 L/min per m",
        [PW_DIM_FRACTION] = "60 % or 0.6",
        [PW_DIM_RATE] = "15 per hour",
        [PW_DIM_TEMPERATURE_RISE] = "80 K",
    };
    assert(dimension >= 0 && dimension < PW_DIM_COUNT);
    return examples[dimension];
}

bool pw_unit_fits(const pw_unit *unit, pw_dimension dimension, pw_unit *out)
{
    *out = *unit;
    if (unit->dimension == dimension) {
        return true;
    }
    if (dimension == PW_DIM_PRESSURE && strcmp(unit->name, "m") == 0) {
        *out = *pw_unit_find("mH2O", false);
        return true;
    }
    if (dimension == PW_DIM_PRESSURE && strcmp(unit->name, "ft") == 0) {
        *out = *pw_unit_find("ftH2O", false);
        return true;
    }
    if (dimension == PW_DIM_TEMPERATURE_RISE && unit->dimension == PW_DIM_TEMPERATURE) {
        out->zero = 0; /* a difference: 80 K is 80 degC is 144 degF */
        return true;
    }
    return false;
}

/* ---- finding ---- */

static bool same_any_case(const char *a, const char *b)
{
    while (*a && pw_lower(*a) == pw_lower(*b)) {
        a++;
        b++;
    }
    return *a == *b;
}

const pw_unit *pw_unit_find(const char *canonical, bool any_case)
{
    for (int32_t i = 0; i < TABLE_COUNT; i++) {
        if (strcmp(table[i].name, canonical) == 0) {
            return &table[i];
        }
    }
    const pw_unit *found = NULL;
    for (int32_t i = 0; any_case && i < TABLE_COUNT; i++) {
        const pw_unit *row = &table[i];
        bool prefix_differs = pw_lower(row->name[0]) == 'm' && row->name[0] != canonical[0]; /* milli is not mega */
        if (prefix_differs || !same_any_case(row->name, canonical)) {
            continue;
        }
        if (found) {
            return NULL; /* could be either */
        }
        found = row;
    }
    return found;
}

/* Written-out words, any case, for the table's spelling. */
static const struct {
    const char *word, *unit;
} synonyms[] = {
    {"l", "L"},
    {"litre", "L"},
    {"litres", "L"},
    {"liter", "L"},
    {"liters", "L"},
    {"ml", "mL"},
    {"kl", "kL"},
    {"metre", "m"},
    {"metres", "m"},
    {"meter", "m"},
    {"meters", "m"},
    {"foot", "ft"},
    {"feet", "ft"},
    {"inch", "in"},
    {"inches", "in"},
    {"sec", "s"},
    {"secs", "s"},
    {"second", "s"},
    {"seconds", "s"},
    {"mins", "min"},
    {"minute", "min"},
    {"minutes", "min"},
    {"hr", "h"},
    {"hrs", "h"},
    {"hour", "h"},
    {"hours", "h"},
    {"day", "d"},
    {"days", "d"},
    {"weeks", "week"},
    {"gallon", "gal"},
    {"gallons", "gal"},
    {"percent", "%"},
    {"celsius", "C"},
    {"fahrenheit", "F"},
    {"volt", "V"},
    {"volts", "V"},
    {"amp", "A"},
    {"amps", "A"},
    {"ampere", "A"},
    {"amperes", "A"},
    {"watt", "W"},
    {"watts", "W"},
    {"lpm", "L/min"},
    {"lps", "L/s"},
    {"imperial", "imp"},
    {"millisecond", "ms"},
    {"milliseconds", "ms"},
    {"usgpm", "US gpm"},
    {"igpm", "imp gpm"},
};

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* One word of a unit at p in table spelling: letters, digits behind them, superscripts, the degree sign, %, or the 1 of
 * 1/h. Returns bytes used, 0 when there is no such word. */
static size_t read_word(const char *p, char *out)
{
    size_t i = 0, n = 0;
    if (p[0] == '%') {
        memcpy(out, "%", 2);
        return 1;
    }
    if (p[0] == '1' && p[1] == '/') {
        memcpy(out, "1", 2);
        return 1;
    }
    while (n + 4 < PW_UNIT_NAME_SIZE) {
        bool letter = is_letter(p[i]) || (n > 0 && is_digit(p[i]));
        if (letter) {
            out[n] = p[i];
            n++;
            i++;
        } else if (n > 0 && p[i] == '^' && is_digit(p[i + 1])) {
            i++;
        } else if (n > 0 && p[i] == '\xC2' && (p[i + 1] == '\xB2' || p[i + 1] == '\xB3')) {
            out[n] = p[i + 1] == '\xB2' ? '2' : '3';
            n++;
            i += 2;
        } else if (n == 0 && p[i] == '\xC2' && p[i + 1] == '\xB0') {
            memcpy(out, "deg", 3);
            n = 3;
            i += 2;
        } else {
            break;
        }
    }
    out[n] = '\0';
    for (size_t k = 0; k < sizeof synonyms / sizeof synonyms[0]; k++) {
        bool mega = out[0] == 'M' && synonyms[k].unit[0] == 'm' && n == 2; /* ML is not mL */
        if (!mega && same_any_case(synonyms[k].word, out)) {
            pw_copy(out, PW_UNIT_NAME_SIZE, synonyms[k].unit);
            break;
        }
    }
    return i;
}

static size_t skip_spaces(const char *p)
{
    size_t n = 0;
    while (p[n] == ' ' || p[n] == '\t') {
        n++;
    }
    return n;
}

/* A divider at p: "/" or the word "per". Bytes used, 0 for none. */
static size_t read_divider(const char *p)
{
    if (p[0] == '/') {
        return 1;
    }
    bool per = pw_lower(p[0]) == 'p' && pw_lower(p[1]) == 'e' && pw_lower(p[2]) == 'r';
    return per && !is_letter(p[3]) && !is_digit(p[3]) ? 3 : 0;
}

typedef struct spelling {
    char name[PW_UNIT_NAME_SIZE];
    size_t end; /* bytes of the text it covers */
} spelling;

enum { MOST_PIECES = 6 }; /* "imp gal / min / ft" */

/* The text's beginning in table spelling, piece by piece; out[i] covers the first i + 1 pieces. Returns how many. */
static int32_t spell(const char *text, spelling *out)
{
    char name[PW_UNIT_NAME_SIZE] = "";
    size_t at = 0;
    int32_t count = 0;
    while (count < MOST_PIECES) {
        size_t begin = at + skip_spaces(text + at);
        size_t length = strlen(name);
        char piece[PW_UNIT_NAME_SIZE];
        size_t used = read_divider(text + begin);
        bool divider = used > 0;
        if (divider) {
            memcpy(piece, "/", 2);
        } else {
            used = read_word(text + begin, piece);
        }
        bool space = !divider && length > 0 && name[length - 1] != '/';
        if (used == 0 || length + strlen(piece) + 2 > PW_UNIT_NAME_SIZE) {
            break;
        }
        if (space) {
            name[length] = ' ';
            length++;
        }
        memcpy(name + length, piece, strlen(piece) + 1);
        at = begin + used;
        memcpy(out[count].name, name, sizeof name);
        out[count].end = at;
        count++;
    }
    return count;
}

size_t pw_unit_scan(const char *text, bool any_case, const pw_unit **out)
{
    spelling spellings[MOST_PIECES];
    int32_t count = spell(text, spellings);
    for (int32_t i = count - 1; i >= 0; i--) {
        const pw_unit *row = pw_unit_find(spellings[i].name, any_case);
        if (row) {
            *out = row;
            return spellings[i].end;
        }
    }
    *out = NULL;
    return 0;
}

bool pw_unit_canonical(const char *text, char *out, int32_t out_size)
{
    spelling spellings[MOST_PIECES];
    int32_t count = spell(text, spellings);
    if (count == 0 || text[spellings[count - 1].end] != '\0') {
        return false;
    }
    pw_copy(out, out_size, spellings[count - 1].name);
    return true;
}
