/* Units. Factors: NIST SP 811 (2008), Appendix B.8 (from memory, to the digits printed there); the SI brochure, 9th ed.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/num.h"
#include "base/random.h"
#include "base/units.h"
#include "english.h"

static double read_ok(const char *text, pw_dimension dimension)
{
    static pw_problems problems;
    double si = -12345.678;
    memset(&problems, 0, sizeof problems);
    if (pw_quantity_read(text, dimension, &si, &problems, "here") != PW_OK) {
        fail_msg("\"%s\" refused: %s", text, english(&problems.items[0].hint));
    }
    assert_int_equal(problems.count, 0);
    return si;
}

static const pw_problem *read_bad(const char *text, pw_dimension dimension, pw_status expected)
{
    static pw_problems problems;
    double si = 77;
    memset(&problems, 0, sizeof problems);
    pw_status status = pw_quantity_read(text, dimension, &si, &problems, "here");
    if (status != expected) {
        fail_msg("\"%s\": status %s, not %s", text, pw_status_id(status), pw_status_id(expected));
    }
    assert_int_equal(problems.count, 1);
    assert_int_equal(problems.items[0].status, expected);
    assert_string_equal(problems.items[0].path, "here");
    assert_true(si == 77);
    assert_int_equal(pw_quantity_read(text, dimension, &si, NULL, "here"), expected);
    return &problems.items[0];
}

static void near(double got, double want, double relative)
{
    if (!(pw_abs(got - want) <= relative * pw_abs(want))) {
        fail_msg("got %.17g, want %.17g", got, want);
    }
}

static void published_factors(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        pw_dimension dimension;
        double si, relative;
    } rows[] = {
        {"1 psi", PW_DIM_PRESSURE, 6.894757e3, 1e-7},
        {"1 bar", PW_DIM_PRESSURE, 1e5, 0},
        {"1 mbar", PW_DIM_PRESSURE, 100, 0},
        {"1 ft", PW_DIM_PRESSURE, 2.989067e3, 1e-7},
        {"1 m", PW_DIM_PRESSURE, 9806.65, 0},
        {"1 ft", PW_DIM_LENGTH, 0.3048, 0},
        {"1 in", PW_DIM_LENGTH, 0.0254, 0},
        {"1 gal", PW_DIM_VOLUME, 3.785412e-3, 1e-7},
        {"1 imp gal", PW_DIM_VOLUME, 4.54609e-3, 1e-15},
        {"1 gpm", PW_DIM_FLOW, 6.309020e-5, 1e-7},
        {"1 gal/d", PW_DIM_FLOW, 4.381264e-8, 1e-7},
        {"1 ha", PW_DIM_AREA, 1e4, 0},
        {"1 ft2", PW_DIM_AREA, 9.290304e-2, 1e-15},
        {"1 ft/s", PW_DIM_VELOCITY, 0.3048, 0},
        {"1 hp", PW_DIM_POWER, 7.456999e2, 1e-7},
        {"1 kWh", PW_DIM_ENERGY, 3.6e6, 0},
        {"32 degF", PW_DIM_TEMPERATURE, 0, 0},
        {"212 degF", PW_DIM_TEMPERATURE, 100, 1e-15},
        {"273.15 K", PW_DIM_TEMPERATURE, 0, 0},
        {"1 gpm per ft", PW_DIM_SPECIFIC_CAPACITY, 6.309020e-5 / 0.3048, 1e-7},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        near(read_ok(rows[i].text, rows[i].dimension), rows[i].si, rows[i].relative);
    }
}

/* psi, horsepower and water columns against their definitions: SI brochure, SP 811 footnotes (own derivation) */
static void derived_factors(void **state)
{
    (void)state;
    near(read_ok("1 psi", PW_DIM_PRESSURE), 0.45359237 * 9.80665 / (0.0254 * 0.0254), 1e-15);
    near(read_ok("1 hp", PW_DIM_POWER), 550 * 0.3048 * 0.45359237 * 9.80665, 1e-15);
    near(read_ok("1 ft", PW_DIM_PRESSURE), 0.3048 * 9806.65, 1e-15);
    near(read_ok("1 gal", PW_DIM_VOLUME), 231 * 0.0254 * 0.0254 * 0.0254, 1e-15);
    near(read_ok("1 imp gpm", PW_DIM_FLOW), 4.54609e-3 / 60, 1e-15);
    near(read_ok("1 gph", PW_DIM_FLOW), 3.785411784e-3 / 3600, 1e-15);
}

static const struct {
    const char *text;
    pw_dimension dimension;
    double si;
} spellings[] = {
    {"250 kPa", PW_DIM_PRESSURE, 250e3},
    {"250kPa", PW_DIM_PRESSURE, 250e3},
    {"  2.5 bar ", PW_DIM_PRESSURE, 250e3},
    {"0.25 MPa", PW_DIM_PRESSURE, 250e3},
    {"250 kpa", PW_DIM_PRESSURE, 250e3},
    {"250 KPA", PW_DIM_PRESSURE, 250e3},
    {"18 mH2O", PW_DIM_PRESSURE, 18 * 9806.65},
    {"-20 kPa", PW_DIM_PRESSURE, -20e3},
    {"45 L/min", PW_DIM_FLOW, 45.0 / 60000},
    {"45 l/min", PW_DIM_FLOW, 45.0 / 60000},
    {"45 L per min", PW_DIM_FLOW, 45.0 / 60000},
    {"45 litres per minute", PW_DIM_FLOW, 45.0 / 60000},
    {"45 lpm", PW_DIM_FLOW, 45.0 / 60000},
    {"2.7 m3/h", PW_DIM_FLOW, 2.7 / 3600},
    {"2.7 m³/h", PW_DIM_FLOW, 2.7 / 3600},
    {"2.7 m^3 / h", PW_DIM_FLOW, 2.7 / 3600},
    {"0.5 ML/d", PW_DIM_FLOW, 500.0 / 86400},
    {"10 m3/d", PW_DIM_FLOW, 10.0 / 86400},
    {"0.75 L/s", PW_DIM_FLOW, 0.75e-3},
    {"600 L/h", PW_DIM_FLOW, 600 / 3.6e6},
    {"90 mm", PW_DIM_LENGTH, 0.09},
    {"1.2 km", PW_DIM_LENGTH, 1200},
    {"6 feet", PW_DIM_LENGTH, 1.8288},
    {"90 min", PW_DIM_TIME, 5400},
    {"1 h 30 min", PW_DIM_TIME, 5400},
    {"1 hour 30 minutes", PW_DIM_TIME, 5400},
    {"1 d 6 h", PW_DIM_TIME, 108000},
    {"1 day 6 hours 5 min 4 s", PW_DIM_TIME, 108304},
    {"500 ms", PW_DIM_TIME, 0.5},
    {"100 L", PW_DIM_VOLUME, 0.1},
    {"100 ml", PW_DIM_VOLUME, 1e-4},
    {"3 ML", PW_DIM_VOLUME, 3000},
    {"3 Ml", PW_DIM_VOLUME, 3000},
    {"5 cm²", PW_DIM_AREA, 5e-4},
    {"16 °C", PW_DIM_TEMPERATURE, 16},
    {"16 degC", PW_DIM_TEMPERATURE, 16},
    {"16 C", PW_DIM_TEMPERATURE, 16},
    {"50 °F", PW_DIM_TEMPERATURE, 10},
    {"16 ° C", PW_DIM_TEMPERATURE, 16},
    {"1.1 kW", PW_DIM_POWER, 1100},
    {"1.1 kw", PW_DIM_POWER, 1100},
    {"2 MW", PW_DIM_POWER, 2e6},
    {"230 V", PW_DIM_VOLTAGE, 230},
    {"350 mA", PW_DIM_CURRENT, 0.35},
    {"50 Hz", PW_DIM_FREQUENCY, 50},
    {"50 per s", PW_DIM_FREQUENCY, 50},
    {"50 1/s", PW_DIM_FREQUENCY, 50},
    {"2850 rpm", PW_DIM_SPEED, 2850},
    {"60 %", PW_DIM_FRACTION, 0.6},
    {"60%", PW_DIM_FRACTION, 0.6},
    {"0.6", PW_DIM_FRACTION, 0.6},
    {"12", PW_DIM_NONE, 12},
    {"14 L/min per m", PW_DIM_SPECIFIC_CAPACITY, 14.0 / 60000},
    {"14 L/min/m", PW_DIM_SPECIFIC_CAPACITY, 14.0 / 60000},
    {"1 L/s per m", PW_DIM_SPECIFIC_CAPACITY, 1e-3},
    {"3.6 m3/h per m", PW_DIM_SPECIFIC_CAPACITY, 1e-3},
    {"15 per hour", PW_DIM_RATE, 15},
    {"15 /h", PW_DIM_RATE, 15},
    {"15/h", PW_DIM_RATE, 15},
    {"15 1/h", PW_DIM_RATE, 15},
    {"48 per day", PW_DIM_RATE, 2},
    {"0", PW_DIM_PRESSURE, 0},
    {"0", PW_DIM_TIME, 0},
    {"80 K", PW_DIM_TEMPERATURE_RISE, 80},
    {"144 degF", PW_DIM_TEMPERATURE_RISE, 80},
    {"1e3 Pa", PW_DIM_PRESSURE, 1000},
};

static void trade_spellings(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof spellings / sizeof spellings[0]; i++) {
        near(read_ok(spellings[i].text, spellings[i].dimension), spellings[i].si, 4e-16);
    }
}

static void wrong_quantities(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        pw_dimension dimension;
        pw_status status;
        const char *hint;
    } rows[] = {
        {"250", PW_DIM_PRESSURE, PW_UNIT, "the unit is missing: write 250 kPa"},
        {"0", PW_DIM_TEMPERATURE, PW_UNIT, "the unit is missing: write 16 degC"},
        {"250 kPs", PW_DIM_PRESSURE, PW_UNIT, "did you mean kPa?"},
        {"40 L/mn", PW_DIM_FLOW, PW_UNIT, "did you mean L/min?"},
        {"1 mpa", PW_DIM_PRESSURE, PW_UNIT, "did you mean MPa?"},
        {"18 m", PW_DIM_FLOW, PW_UNIT, "m is a length"},
        {"40 L/min", PW_DIM_PRESSURE, PW_UNIT, "L/min is a flow"},
        {"60 %", PW_DIM_NONE, PW_UNIT, "% is a fraction or percentage"},
        {"250 mm", PW_DIM_PRESSURE, PW_UNIT, "mm is a length"},
        {"2,5 bar", PW_DIM_PRESSURE, PW_SYNTAX,
         "write decimals with a point (2.5) and thousands without a separator (1200)"},
        {"1,200 kPa", PW_DIM_PRESSURE, PW_SYNTAX,
         "write decimals with a point (2.5) and thousands without a separator (1200)"},
        {"1 200 kPa", PW_DIM_PRESSURE, PW_SYNTAX, "write one number only, thousands without a separator: 1200"},
        {"1'200 kPa", PW_DIM_PRESSURE, PW_SYNTAX, "write thousands without a separator: 1200"},
        {"05 s", PW_DIM_TIME, PW_SYNTAX, "leave out the zero in front"},
        {".5 bar", PW_DIM_PRESSURE, PW_SYNTAX, "write a zero before the point: 0.5"},
        {"5. bar", PW_DIM_PRESSURE, PW_SYNTAX, "a digit must follow the point"},
        {"+5 bar", PW_DIM_PRESSURE, PW_SYNTAX, "leave out the plus sign"},
        {"06:30", PW_DIM_TIME, PW_SYNTAX, "this is a time of day, not a length of time"},
        {"2 \"", PW_DIM_LENGTH, PW_UNIT, "write inches as in, feet as ft"},
        {"1 h 30", PW_DIM_TIME, PW_UNIT, "the unit is missing: write 90 s or 1 h 30 min"},
        {"30 min 1 h", PW_DIM_TIME, PW_SYNTAX, "parts of a time stand from the largest to the smallest"},
        {"1 h 1 h", PW_DIM_TIME, PW_SYNTAX, "parts of a time stand from the largest to the smallest"},
        {"1 h -5 min", PW_DIM_TIME, PW_SYNTAX, "parts of a time stand from the largest to the smallest"},
        {"1e308 km", PW_DIM_LENGTH, PW_RANGE, "this number is too large"},
        {"", PW_DIM_PRESSURE, PW_SYNTAX, ""},
        {"lots", PW_DIM_PRESSURE, PW_SYNTAX, ""},
        {"NaN kPa", PW_DIM_PRESSURE, PW_SYNTAX, ""},
        {"inf", PW_DIM_NONE, PW_SYNTAX, ""},
        {"0x10 kPa", PW_DIM_PRESSURE, PW_UNIT, NULL},
        {"250 kPa gauge", PW_DIM_PRESSURE, PW_UNIT, NULL},
        {"5 \xFF\xFF", PW_DIM_PRESSURE, PW_UNIT, NULL},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const pw_problem *problem = read_bad(rows[i].text, rows[i].dimension, rows[i].status);
        if (rows[i].hint && strcmp(english(&problem->hint), rows[i].hint) != 0) {
            fail_msg("\"%s\": hint \"%s\"", rows[i].text, english(&problem->hint));
        }
    }
    const pw_problem *problem = read_bad("250", PW_DIM_PRESSURE, PW_UNIT);
    assert_string_equal(english(&problem->found), "250");
    assert_string_equal(english(&problem->expected), "a pressure with its unit, for instance 250 kPa");
    char long_text[400];
    memset(long_text, '1', sizeof long_text);
    long_text[399] = '\0';
    read_bad(long_text, PW_DIM_NONE, PW_LIMIT);
    long_text[150] = '\0';
    read_bad(long_text, PW_DIM_NONE, PW_SYNTAX);
}

static void scanning_sentences(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        size_t used;
        pw_dimension dimension;
        double si;
    } rows[] = {
        {"250 kPa for 1 s", 7, PW_DIM_PRESSURE, 250e3},
        {"1 h 30 min after start", 10, PW_DIM_TIME, 5400},
        {"10 s after stop", 4, PW_DIM_TIME, 10},
        {"10 s 5 times", 4, PW_DIM_TIME, 10},
        {"15 in 1 h", 2, PW_DIM_NONE, 15},
        {"15 in", 5, PW_DIM_LENGTH, 0.381},
        {"15 in for 3 s", 5, PW_DIM_LENGTH, 0.381},
        {"2 m for 3 s", 3, PW_DIM_LENGTH, 2},
        {"40 L/min per m x", 14, PW_DIM_SPECIFIC_CAPACITY, 40.0 / 60000},
        {"40 L/min per person", 8, PW_DIM_FLOW, 40.0 / 60000},
        {"60 % of", 4, PW_DIM_FRACTION, 0.6},
        {"3 starts", 1, PW_DIM_NONE, 3},
        {"15 per hour,", 11, PW_DIM_RATE, 15},
        {"250 kPa, then", 7, PW_DIM_PRESSURE, 250e3},
        {"8 a day", 1, PW_DIM_NONE, 8},
        {"250KPA for", 6, PW_DIM_PRESSURE, 250e3},
        {"36 Psi", 6, PW_DIM_PRESSURE, 36.0 * 6894.757293168361},
        {"5 l/MIN", 7, PW_DIM_FLOW, 5.0 / 60000},
        {"10 S after", 4, PW_DIM_TIME, 10},
        {"2 mW", 1, PW_DIM_NONE, 2},
        {"2 MW", 4, PW_DIM_POWER, 2e6},
        {"2 MPA", 5, PW_DIM_PRESSURE, 2e6},
        {"2 mpa", 1, PW_DIM_NONE, 2},
        {"06:30", 0, PW_DIM_NONE, 0},
        {"2,5 bar", 0, PW_DIM_NONE, 0},
        {"15xyz", 0, PW_DIM_NONE, 0},
        {"pressure", 0, PW_DIM_NONE, 0},
        {"", 0, PW_DIM_NONE, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        double si = 0;
        pw_dimension dimension = PW_DIM_NONE;
        size_t used = pw_quantity_scan(rows[i].text, &si, &dimension);
        if (used != rows[i].used || dimension != rows[i].dimension) {
            fail_msg("\"%s\": %zu bytes, dimension %d", rows[i].text, used, (int)dimension);
        }
        assert_true(pw_abs(si - rows[i].si) <= 4e-16 * pw_abs(rows[i].si));
    }
}

static uint8_t block[1 << 16];

static const char *exact(pw_dimension dimension, double si)
{
    pw_arena arena;
    pw_text text;
    pw_arena_init(&arena, block, sizeof block);
    pw_text_init(&text, &arena);
    pw_quantity_exact(&text, dimension, si);
    assert_false(text.failed);
    return text.data;
}

static const char *shown(pw_units units, pw_dimension dimension, double si)
{
    pw_arena arena;
    pw_text text;
    pw_arena_init(&arena, block, sizeof block);
    pw_text_init(&text, &arena);
    pw_quantity_put(&text, &units, dimension, si);
    assert_false(text.failed);
    return text.data;
}

/* Every row of the table: written with that unit, read, written exactly, read again: the same double. */
static void every_unit_round_trips(void **state)
{
    (void)state;
    int32_t count;
    const pw_unit *table = pw_unit_table(&count);
    pw_random random;
    pw_random_seed(&random, 11, 0);
    assert_true(count > 90);
    for (int32_t i = 0; i < count; i++) {
        for (int trial = 0; trial < 60; trial++) {
            char text[80];
            double value = trial == 0 ? 1 : trial == 1 ? 250 : pw_random_unit(&random) * (trial % 2 ? 1000 : 1);
            size_t n = pw_num_text(value, text);
            text[n] = ' ';
            strcpy(text + n + 1, table[i].name);
            double si = read_ok(text, table[i].dimension);
            near(si, (value - table[i].zero) * table[i].num / table[i].den, 0);
            const char *again = exact(table[i].dimension, si);
            double back = read_ok(again, table[i].dimension);
            if (back != si) {
                fail_msg("\"%s\" -> \"%s\"", text, again);
            }
        }
    }
}

static void any_double_round_trips(void **state)
{
    (void)state;
    pw_random random;
    pw_random_seed(&random, 12, 0);
    for (int i = 0; i < 4000; i++) {
        pw_dimension dimension = (pw_dimension)(i % PW_DIM_COUNT);
        double si = pw_random_normal(&random) * pw_exp(20 * pw_random_normal(&random));
        const char *text = exact(dimension, si);
        if (read_ok(text, dimension) != si) {
            fail_msg("%.17g -> \"%s\"", si, text);
        }
    }
    for (int dimension = 0; dimension < PW_DIM_COUNT; dimension++) {
        const double ends[] = {0, 1.7e308, -1.7e308, 5e-324, 2.3e-308, 1e15, 1e-7, 1.0 / 3};
        for (size_t i = 0; i < sizeof ends / sizeof ends[0]; i++) {
            assert_true(read_ok(exact((pw_dimension)dimension, ends[i]), (pw_dimension)dimension) == ends[i]);
        }
    }
}

static void exact_is_pleasant(void **state)
{
    (void)state;
    static const struct {
        const char *in, *out;
        pw_dimension dimension;
    } rows[] = {
        {"250 kPa", "250 kPa", PW_DIM_PRESSURE},
        {"2.5 bar", "250 kPa", PW_DIM_PRESSURE},
        {"36 psi", "36 psi", PW_DIM_PRESSURE},
        {"18.3 ft", "18.3 ftH2O", PW_DIM_PRESSURE},
        {"45 L/min", "45 L/min", PW_DIM_FLOW},
        {"2.7 m3/h", "45 L/min", PW_DIM_FLOW},
        {"12 gpm", "12 gpm", PW_DIM_FLOW},
        {"3 ft", "3 ft", PW_DIM_LENGTH},
        {"18 m", "18 mH2O", PW_DIM_PRESSURE},
        {"101.325 kPa", "101.325 kPa", PW_DIM_PRESSURE},
        {"90 min", "90 min", PW_DIM_TIME},
        {"1 h", "1 h", PW_DIM_TIME},
        {"1 s", "1 s", PW_DIM_TIME},
        {"500 ms", "0.5 s", PW_DIM_TIME},
        {"90 mm", "0.09 m", PW_DIM_LENGTH},
        {"64 degF", "64 degF", PW_DIM_TEMPERATURE},
        {"15 per hour", "15 per hour", PW_DIM_RATE},
        {"14 L/min per m", "14 L/min per m", PW_DIM_SPECIFIC_CAPACITY},
        {"60 %", "60 %", PW_DIM_FRACTION},
        {"80 K", "80 K", PW_DIM_TEMPERATURE_RISE},
        {"0", "0 kPa", PW_DIM_PRESSURE},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        assert_string_equal(exact(rows[i].dimension, read_ok(rows[i].in, rows[i].dimension)), rows[i].out);
    }
}

static void shown_to_people(void **state)
{
    (void)state;
    pw_units metric = pw_units_metric();
    pw_units us;
    assert_int_equal(pw_units_read("us", &us, NULL), PW_OK);
    assert_string_equal(shown(metric, PW_DIM_PRESSURE, 250e3), "250 kPa");
    assert_string_equal(shown(metric, PW_DIM_PRESSURE, 101325), "101.3 kPa");
    assert_string_equal(shown(metric, PW_DIM_PRESSURE, 1234567), "1235 kPa");
    assert_string_equal(shown(metric, PW_DIM_PRESSURE, -20e3), "-20 kPa");
    assert_string_equal(shown(metric, PW_DIM_PRESSURE, 0), "0 kPa");
    assert_string_equal(shown(metric, PW_DIM_FLOW, 45.0 / 60000), "45 L/min");
    assert_string_equal(shown(metric, PW_DIM_LENGTH, 0.0326), "32.6 mm");
    assert_string_equal(shown(metric, PW_DIM_LENGTH, 14), "14 m");
    assert_string_equal(shown(metric, PW_DIM_VOLUME, 0.1), "100 L");
    assert_string_equal(shown(metric, PW_DIM_VOLUME, 25), "25 m3");
    assert_string_equal(shown(metric, PW_DIM_POWER, 550), "550 W");
    assert_string_equal(shown(metric, PW_DIM_POWER, 1100), "1.1 kW");
    assert_string_equal(shown(metric, PW_DIM_TEMPERATURE, 16), "16 °C");
    assert_string_equal(shown(metric, PW_DIM_FRACTION, 0.456), "45.6 %");
    assert_string_equal(shown(metric, PW_DIM_RATE, 15), "15 per hour");
    /* digits by kind of quantity */
    assert_string_equal(shown(metric, PW_DIM_TEMPERATURE, 15.086), "15.1 °C");
    assert_string_equal(shown(metric, PW_DIM_FRACTION, 0.01717), "1.72 %");
    assert_string_equal(shown(metric, PW_DIM_FRACTION, 1.2041), "120.4 %");
    assert_string_equal(shown(metric, PW_DIM_VELOCITY, 0.241), "0.24 m/s");
    assert_string_equal(shown(metric, PW_DIM_VELOCITY, 0.0072), "0.007 m/s");
    assert_string_equal(shown(metric, PW_DIM_LENGTH, 1.5e-6), "0.0015 mm");
    assert_string_equal(shown(metric, PW_DIM_LENGTH, 6.76e-9), "0 m");
    assert_string_equal(shown(metric, PW_DIM_SPEED, 48.4), "48 rpm");
    assert_string_equal(shown(metric, PW_DIM_ENERGY, 0.12345 * 3.6e6), "0.123 kWh");
    assert_string_equal(shown(metric, PW_DIM_CURRENT, 0.1234), "0.12 A");
    assert_string_equal(shown(metric, PW_DIM_NONE, 3), "3");
    assert_string_equal(shown(metric, PW_DIM_FLOW, 1e-300), "0 L/min");
    assert_string_equal(shown(metric, PW_DIM_NONE, -0.0), "0"); /* what shows as 0 has no sign */
    assert_string_equal(shown(metric, PW_DIM_VOLUME, -1e-12), "0 L");
    assert_string_equal(shown(metric, PW_DIM_TIME, -0.0), "0 s");
    assert_string_equal(shown(metric, PW_DIM_TIME, -1e-9), "0 s");
    assert_string_equal(shown(metric, PW_DIM_TIME, -6e-7), "-0.0006 ms");
    assert_string_equal(shown(metric, PW_DIM_TEMPERATURE, -1e-14), "0 °C");
    assert_string_equal(shown(us, PW_DIM_PRESSURE, read_ok("36 psi", PW_DIM_PRESSURE)), "36 psi");
    assert_string_equal(shown(us, PW_DIM_FLOW, read_ok("12 gpm", PW_DIM_FLOW)), "12 gpm");
    assert_string_equal(shown(us, PW_DIM_LENGTH, 0.0254), "1 in");
    assert_string_equal(shown(us, PW_DIM_TEMPERATURE, 10), "50 °F");
    assert_string_equal(shown(us, PW_DIM_TEMPERATURE_RISE, 10), "18 °F");
    static const struct {
        double s;
        const char *text;
    } times[] = {
        {0, "0 s"},          {0.25, "250 ms"},     {1, "1 s"},          {12.34, "12.34 s"},   {59.97, "1 min"},
        {90, "1 min 30 s"},  {3599.7, "1 h"},      {3600, "1 h"},       {5400, "1 h 30 min"}, {86399, "1 d"},
        {108000, "1 d 6 h"}, {-90, "-1 min 30 s"}, {31536000, "365 d"}, {59.4, "59.4 s"},
    };
    for (size_t i = 0; i < sizeof times / sizeof times[0]; i++) {
        assert_string_equal(shown(metric, PW_DIM_TIME, times[i].s), times[i].text);
    }
    /* never an exponent, never NaN */
    for (int dimension = 0; dimension < PW_DIM_COUNT; dimension++) {
        const double values[] = {1.7e308, 1e-320, 1e22, -1e-9, 1e15};
        for (size_t i = 0; i < sizeof values / sizeof values[0]; i++) {
            const char *text = shown(metric, (pw_dimension)dimension, values[i]);
            assert_null(strstr(text, "e-"));
            assert_null(strstr(text, "e+"));
            assert_null(strstr(text, "nan"));
            assert_true(strlen(text) > 0);
        }
        assert_non_null(pw_unit_name(&metric, (pw_dimension)dimension));
    }
    near(pw_unit_value(&us, PW_DIM_TEMPERATURE, 10), 50, 1e-15);
    near(pw_unit_value(&metric, PW_DIM_FLOW, 45.0 / 60000), 45, 1e-15);
}

static void choosing_units(void **state)
{
    (void)state;
    pw_units units;
    static pw_problems problems;
    assert_int_equal(pw_units_read("metric", &units, NULL), PW_OK);
    assert_int_equal(units.pressure, PW_SHOW_KPA);
    assert_int_equal(pw_units_read("bar, m3/h", &units, NULL), PW_OK);
    assert_int_equal(units.pressure, PW_SHOW_BAR);
    assert_int_equal(units.flow, PW_SHOW_M3H);
    assert_false(units.us);
    assert_int_equal(pw_units_read("psi", &units, NULL), PW_OK);
    assert_int_equal(units.flow, PW_SHOW_GPM);
    assert_true(units.us);
    assert_int_equal(pw_units_read("psi,L/s", &units, NULL), PW_OK);
    assert_int_equal(units.pressure, PW_SHOW_PSI);
    assert_int_equal(units.flow, PW_SHOW_LPS);
    assert_false(units.us);
    assert_int_equal(pw_units_read("furlong", &units, &problems), PW_UNIT);
    assert_string_equal(english(&problems.items[0].found), "furlong");
    assert_int_equal(pw_units_read("bar,", &units, NULL), PW_UNIT);
    assert_int_equal(pw_units_read("", &units, NULL), PW_UNIT);
    assert_int_equal(pw_units_read("a name that is much longer than any unit could be", &units, NULL), PW_UNIT);
}

/* What no meter shows is nothing; and an order that states it still states it exactly. */
static void next_to_nothing(void **state)
{
    (void)state;
    const pw_units metric = pw_units_metric();
    assert_string_equal(shown(metric, PW_DIM_VOLUME, 4.41e-9), "0 L");
    assert_string_equal(shown(metric, PW_DIM_VOLUME, -4.41e-9), "0 L");
    assert_string_equal(shown(metric, PW_DIM_VOLUME, 6e-7), "0.0006 L");
    assert_string_equal(shown(metric, PW_DIM_FLOW, 1e-9), "0 L/min");
    assert_string_equal(shown(metric, PW_DIM_FLOW, 1e-8), "0.0006 L/min");
    assert_string_equal(shown(metric, PW_DIM_ENERGY, 100.0), "0 kWh");
    assert_string_equal(shown(metric, PW_DIM_ENERGY, 216.0), "0.00006 kWh");
    assert_true(read_ok(exact(PW_DIM_VOLUME, 4.41e-9), PW_DIM_VOLUME) == 4.41e-9);
}

static void times_of_day_are_written(void **state)
{
    (void)state;
    static const char *const times[] = {"00:00", "06:05", "23:59:59", "24:00", "07:00:09"};
    for (size_t i = 0; i < sizeof times / sizeof times[0]; i++) {
        pw_arena arena;
        pw_text text;
        double s = -1;
        pw_arena_init(&arena, block, sizeof block);
        pw_text_init(&text, &arena);
        assert_true(pw_clock_read(times[i], &s));
        pw_time_of_day_put(&text, (uint32_t)s);
        assert_string_equal(text.data, times[i]);
    }
}

static void clocks(void **state)
{
    (void)state;
    double s = -1;
    assert_true(pw_clock_read("06:30", &s) && s == 23400);
    assert_true(pw_clock_read("6:30", &s) && s == 23400);
    assert_true(pw_clock_read("00:00", &s) && s == 0);
    assert_true(pw_clock_read("23:59:59", &s) && s == 86399);
    assert_true(pw_clock_read("24:00", &s) && s == 86400);
    s = -1;
    const char *const bad[] = {"24:01",   "25:00",    "12:60", "12:5",   "12",    "12:",   ":30",   "12:30:60",
                               "12:30:5", "12:30 pm", "",      "123:00", "-1:00", "12.30", "12:30:"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        if (pw_clock_read(bad[i], &s) || s != -1) {
            fail_msg("\"%s\" taken for a time of day", bad[i]);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(published_factors),
        cmocka_unit_test(derived_factors),
        cmocka_unit_test(trade_spellings),
        cmocka_unit_test(wrong_quantities),
        cmocka_unit_test(scanning_sentences),
        cmocka_unit_test(every_unit_round_trips),
        cmocka_unit_test(any_double_round_trips),
        cmocka_unit_test(exact_is_pleasant),
        cmocka_unit_test(shown_to_people),
        cmocka_unit_test(choosing_units),
        cmocka_unit_test(clocks),
        cmocka_unit_test(next_to_nothing),
        cmocka_unit_test(times_of_day_are_written),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
