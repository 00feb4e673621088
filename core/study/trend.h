/* Trends: readings of one thing over the years, and when it will cross the limit that a sound site keeps.
 *
 * A straight line by least squares (ordinary, unweighted). Its slope counts as a drift when it is more than twice its
 * standard error (own choice: about 95 % for many readings, less for few); then the line is followed to the limit that
 * it runs towards, and once more with the slope two standard errors steeper and shallower.
 */
#ifndef PW_STUDY_TREND_H
#define PW_STUDY_TREND_H

#include <stdint.h>

enum { PW_TREND_LEAST = 3 }; /* readings that a trend needs */

typedef enum pw_trend_finding {
    PW_TREND_FEW,    /* too few readings, or all of one day */
    PW_TREND_STEADY, /* no drift that stands out */
    PW_TREND_DRIFTS, /* it does, towards no limit that is known */
    PW_TREND_CROSSES /* it does, towards a limit: in so many days */
} pw_trend_finding;

typedef struct pw_trend {
    pw_trend_finding finding;
    int32_t count;
    double last_day, now;                   /* day of the last reading, and the line there */
    double slope, error;                    /* for each day, SI; its standard error */
    double limit;                           /* of CROSSES */
    double days, soonest_days, latest_days; /* from last_day on; 0: it is over it already; latest may be PW_INF */
} pw_trend;

/* day and value: count of each, days in any order. low, high: the limits, -PW_INF and PW_INF for none. */
void pw_trend_of(const double *day, const double *value, int32_t count, double low, double high, pw_trend *out);

#endif
