/* The kinds of quantities. */
#ifndef PW_BASE_DIMENSION_H
#define PW_BASE_DIMENSION_H

/* dimension, id, SI unit, what it is (id of a message) */
#define PW_DIMENSION_LIST(X)                                                       \
    X(NONE, "number", "1", "input.a-number")                                       \
    X(PRESSURE, "pressure", "Pa", "input.a-pressure")                              \
    X(LENGTH, "length", "m", "input.a-length")                                     \
    X(FLOW, "flow", "m3/s", "input.a-flow")                                        \
    X(TIME, "time", "s", "input.a-time")                                           \
    X(VOLUME, "volume", "m3", "input.a-volume")                                    \
    X(AREA, "area", "m2", "input.a-area")                                          \
    X(VELOCITY, "velocity", "m/s", "input.a-velocity")                             \
    X(TEMPERATURE, "temperature", "degC", "input.a-temperature")                   \
    X(POWER, "power", "W", "input.a-power")                                        \
    X(ENERGY, "energy", "J", "input.a-energy")                                     \
    X(VOLTAGE, "voltage", "V", "input.a-voltage")                                  \
    X(CURRENT, "current", "A", "input.a-current")                                  \
    X(FREQUENCY, "frequency", "Hz", "input.a-frequency")                           \
    X(SPEED, "speed", "rpm", "input.a-speed")                                      \
    X(SPECIFIC_CAPACITY, "specific capacity", "m2/s", "input.a-specific-capacity") \
    X(FRACTION, "fraction", "1", "input.a-fraction")                               \
    X(RATE, "rate", "1/h", "input.a-rate")                                         \
    X(TEMPERATURE_RISE, "temperature rise", "K", "input.a-temperature-rise")

typedef enum pw_dimension {
#define PW_X(name, id, si, words) PW_DIM_##name,
    PW_DIMENSION_LIST(PW_X)
#undef PW_X
        PW_DIM_COUNT
} pw_dimension;

#endif
