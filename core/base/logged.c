#include "base/logged.h"

typedef struct signal_row {
    const char *id;
    pw_dimension dimension;
    bool counter;
    double low, high; /* no reading lies beyond */
} signal_row;
static const signal_row signals[PW_LOG_SIGNALS] = {
    {"pressure", PW_DIM_PRESSURE, false, -1.1e5, 1e7}, {"flow", PW_DIM_FLOW, false, -1.0, 10.0},
    {"volume", PW_DIM_VOLUME, true, 0.0, 1e12},        {"current", PW_DIM_CURRENT, false, -1.0, 1e4},
    {"power", PW_DIM_POWER, false, -1e3, 1e7},         {"level", PW_DIM_LENGTH, false, -1e3, 1e4},
    {"vibration", PW_DIM_NONE, false, -1e6, 1e6},      {"running", PW_DIM_NONE, false, -0.01, 1.01},
    {"starts", PW_DIM_NONE, true, 0.0, 1e12},          {"running time", PW_DIM_TIME, true, 0.0, 1e12},
};

const char *pw_log_signal_id(pw_log_signal signal)
{
    return signals[signal].id;
}

pw_dimension pw_log_signal_dimension(pw_log_signal signal)
{
    return signals[signal].dimension;
}

bool pw_log_is_counter(pw_log_signal signal)
{
    return signals[signal].counter;
}

void pw_log_signal_range(pw_log_signal signal, double *low, double *high)
{
    *low = signals[signal].low;
    *high = signals[signal].high;
}
