/* Quantities as text with units, in and out. SI inside the core; conversion only here, from one table.
 * Sources: SI brochure 9th ed.; NIST SP 811 (2008) for foot, inch, psi, gallon, horsepower.
 */
#ifndef PW_BASE_UNITS_H
#define PW_BASE_UNITS_H

#include "base/dimension.h"
#include "base/status.h"
#include "base/text.h"

/* One row of the table of units: si = (value - zero) * num / den. */
typedef struct pw_unit {
    const char *name; /* canonical spelling: no spaces around /, "per" written / */
    pw_dimension dimension;
    double num, den; /* whole numbers where the definition allows, so that most values round once */
    double zero;     /* reading where SI has 0: degF 32, K 273.15, else 0 */
} pw_unit;

/* The table, for documents and tests; the first row of a dimension is the one it is written in by us. */
const pw_unit *pw_unit_table(int32_t *count);

/* Read a quantity ("250 kPa", "2.5 bar", "36 psi", "18 m" (also as a pressure: metres of water at 1000 kg/m3 and
 * standard g), "45 L/min", "2.7 m3/h", "12 gpm", "90 mm", "1 h 30 min", "40 L/min per m", "60 %", "18 degC", "64
 * degF"). Pressures are gauge. A bare number is refused with PW_UNIT except for NONE and FRACTION (and 0, which is 0 in
 * every dimension but temperature). NUL-terminated text. On failure adds one problem at path (problems may be NULL). */
pw_status pw_quantity_read(const char *text, pw_dimension dimension, double *out_si, pw_problems *problems,
                           const char *path);

/* Spellings: kPa or kpa (but m and M are never confused), L or l, m3 or m³, L/min or L per min, h, hour or hours.
 * Not taken: 2,5 (decimal comma), 1,200 or 1 200 (separators), .5, 05, +5; each gets a hint. Units without a number in
 * front
 * ("per hour") are not quantities. */

/* Read the longest quantity at the start of text, as sentences need: returns bytes used, 0 when there is none. A
 * compound time
 * ("1 h 30 min") is one quantity. dimension_out says what was read; metres read as PW_DIM_LENGTH, a bare number as
 * PW_DIM_NONE. "in" before another number is a word of the sentence, not inches ("15 in 1 h" is the number 15). A time
 * of day ("06:30") is no quantity. */
size_t pw_quantity_scan(const char *text, double *out_si, pw_dimension *dimension_out);

/* Read a time of day on the 24-hour clock, HH:MM or HH:MM:SS (one digit for the hour will do; 24:00 is the end of the
 * day): seconds after midnight. False when it is none; then *out_s is untouched. */
bool pw_clock_read(const char *text, double *out_s);

/* Write it again: HH:MM, with seconds only where there are some. */
void pw_time_of_day_put(pw_text *text, uint32_t seconds);

/* How a person wants to see quantities. */
typedef enum pw_pressure_unit {
    PW_SHOW_KPA,
    PW_SHOW_BAR,
    PW_SHOW_PSI,
    PW_SHOW_HEAD_M,
    PW_SHOW_HEAD_FT
} pw_pressure_unit;
typedef enum pw_flow_unit { PW_SHOW_LPM, PW_SHOW_LPS, PW_SHOW_M3H, PW_SHOW_GPM } pw_flow_unit;
typedef struct pw_units {
    pw_pressure_unit pressure;
    pw_flow_unit flow;
    bool us; /* feet, inches, US gallons, degrees Fahrenheit, horsepower instead of m, mm, litres, Celsius, kW */
} pw_units;

/* "metric" (kPa, L/min), "bar", "psi"/"us" (psi, gpm, ft), or a comma-separated list of unit names: "bar,m3/h". */
pw_status pw_units_read(const char *text, pw_units *out, pw_problems *problems);
pw_units pw_units_metric(void);

/* Id of the message that says what a dimension is: "a pressure". */
const char *pw_dimension_message(pw_dimension dimension);

/* The unit a dimension is shown in, its name ("kPa") and value = si / factor - offset. */
const char *pw_unit_name(const pw_units *units, pw_dimension dimension);
double pw_unit_value(const pw_units *units, pw_dimension dimension, double si);
/* Write "250 kPa", "1 h 30 min", "45 L/min", with three to four significant digits and never an exponent. What
 * no meter shows is 0: under 0.5 mL, 0.5 mL/min, 0.00005 kWh. */
void pw_quantity_put(pw_text *text, const pw_units *units, pw_dimension dimension, double si);
/* A head of water: m or ft, never mm or in. */
void pw_head_put(pw_text *text, const pw_units *units, double head_m);
/* Exact round trip, for printing orders back: reads back as the same double through pw_quantity_read. Written in the
 * base trade unit (kPa, L/min, m, ...), or in the first unit of the table that takes at least two digits fewer: 36 psi
 * stays 36 psi. Metres of water are written mH2O, which needs no context. */
void pw_quantity_exact(pw_text *text, pw_dimension dimension, double si);

/* Cubic metres in 1,000 US gallons: energy for each volume has no dimension of its own. */
#define PW_M3_IN_1000_GAL 3.785411784

/* The nearest unit of this dimension by its spelling; NULL when none is near. */
const char *pw_unit_near(const char *name, pw_dimension dimension);

#endif
