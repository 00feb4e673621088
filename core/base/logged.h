/* What a logger on a site may measure, and a row of it. */
#ifndef PW_BASE_LOGGED_H
#define PW_BASE_LOGGED_H

#include <stdbool.h>

#include "base/dimension.h"

typedef enum pw_log_signal {
    PW_LOG_PRESSURE, /* Pa gauge */
    PW_LOG_FLOW,     /* m3/s */
    PW_LOG_VOLUME,   /* m3, a counter */
    PW_LOG_CURRENT,  /* A */
    PW_LOG_POWER,    /* W */
    PW_LOG_LEVEL,    /* m */
    PW_LOG_VIBRATION,
    PW_LOG_RUNNING, /* 1 on, 0 off */
    PW_LOG_STARTS,  /* a counter */
    PW_LOG_RAN,     /* s, a counter */
    PW_LOG_SIGNALS
} pw_log_signal;
const char *pw_log_signal_id(pw_log_signal signal); /* "pressure" */
pw_dimension pw_log_signal_dimension(pw_log_signal signal);
bool pw_log_is_counter(pw_log_signal signal);
void pw_log_signal_range(pw_log_signal signal, double *low, double *high); /* no reading beyond is true (own choices) */

typedef struct pw_log_row {
    double t_s;
    double value[PW_LOG_SIGNALS]; /* not finite: not measured */
} pw_log_row;
#define PW_LOG_MISSING (1.0 / 0.0)

#endif
