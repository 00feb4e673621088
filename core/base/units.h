/* Quantities as text with units, in and out. SI inside the core; conversion only here, from one table.
 * Sources: SI brochure 9th ed.; NIST SP 811 (2008) for foot, inch, psi, gallon, horsepower.
 */
#ifndef PW_BASE_UNITS_H
#define PW_BASE_UNITS_H

#include "base/status.h"
#include "base/text.h"

/* dimension, id, SI unit, words */
#define PW_DIMENSION_LIST(X)                                    \
    X(NONE, "number", "1", "a plain number")                    \
    X(PRESSURE, "pressure", "Pa", "a pressure")                 \
    X(LENGTH, "length", "m", "a length")                        \
    X(FLOW, "flow", "m3/s", "a flow")                           \
    X(TIME, "time", "s", "a time")                              \
    X(VOLUME, "volume", "m3", "a volume")                       \
    X(AREA, "area", "m2", "an area")                            \
    X(VELOCITY, "velocity", "m/s", "a velocity")                \
    X(TEMPERATURE, "temperature", "degC", "a temperature")      \
    X(POWER, "power", "W", "a power")                           \
    X(ENERGY, "energy", "J", "an energy")                       \
    X(VOLTAGE, "voltage", "V", "a voltage")                     \
    X(CURRENT, "current", "A", "a current")                     \
    X(FREQUENCY, "frequency", "Hz", "a frequency")              \
    X(SPEED, "speed", "rpm", "a speed of rotation")             \
    X(SPECIFIC_CAPACITY, "specific capacity", "m2/s", "a specific capacity (flow per length)") \
    X(FRACTION, "fraction", "1", "a fraction or percentage")    \
    X(RATE, "rate", "1/h", "a number per hour")

typedef enum pw_dimension {
#define PW_X(name, id, si, words) PW_DIM_##name,
    PW_DIMENSION_LIST(PW_X)
#undef PW_X
        PW_DIM_COUNT
} pw_dimension;

/* Read a quantity ("250 kPa", "2.5 bar", "36 psi", "18 m" (also as a pressure: metres of water at 1000 kg/m3 and standard g),
 * "45 L/min", "2.7 m3/h", "12 gpm", "90 mm", "1 h 30 min", "40 L/min per m", "60 %", "18 degC", "64 degF"). Pressures are gauge.
 * A bare number is refused with PW_UNIT except for NONE and FRACTION (and 0, which is 0 in every dimension but temperature).
 * NUL-terminated text. On failure adds one problem at path (problems may be NULL). */
pw_status pw_quantity_read(const char *text, pw_dimension dimension, double *out_si, pw_problems *problems, const char *path);

/* Read the longest quantity at the start of text, as sentences need: returns bytes used, 0 when there is none. A compound time
 * ("1 h 30 min") is one quantity. dimension_out says what was read; metres read as PW_DIM_LENGTH. */
size_t pw_quantity_scan(const char *text, double *out_si, pw_dimension *dimension_out);

/* How a person wants to see quantities. */
typedef enum pw_pressure_unit { PW_SHOW_KPA, PW_SHOW_BAR, PW_SHOW_PSI, PW_SHOW_HEAD_M, PW_SHOW_HEAD_FT } pw_pressure_unit;
typedef enum pw_flow_unit { PW_SHOW_LPM, PW_SHOW_LPS, PW_SHOW_M3H, PW_SHOW_GPM } pw_flow_unit;
typedef struct pw_units {
    pw_pressure_unit pressure;
    pw_flow_unit flow;
    bool us; /* feet, inches, US gallons, degrees Fahrenheit, horsepower instead of m, mm, litres, Celsius, kW */
} pw_units;

/* "metric" (kPa, L/min), "bar", "psi"/"us" (psi, gpm, ft), or a comma-separated list of unit names: "bar,m3/h". */
pw_status pw_units_read(const char *text, pw_units *out, pw_problems *problems);
pw_units pw_units_metric(void);

/* The unit a dimension is shown in, its name ("kPa") and value = si / factor - offset. */
const char *pw_unit_name(const pw_units *units, pw_dimension dimension);
double pw_unit_value(const pw_units *units, pw_dimension dimension, double si);
/* Write "250 kPa", "1 h 30 min", "45 L/min", with three to four significant digits and never an exponent. */
void pw_quantity_put(pw_text *text, const pw_units *units, pw_dimension dimension, double si);
/* Exact round trip in the base trade unit, for printing orders back: reads back as the same double. */
void pw_quantity_exact(pw_text *text, pw_dimension dimension, double si);

#endif
