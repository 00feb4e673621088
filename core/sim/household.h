/* Days that differ: the draws of a home, one after the other, day by day.
 *
 * A day has a level: season, weekend, a slow part that lasts for weeks (guests, weather) and one of its own, and none
 * of it while nobody is at home. Within the day each sort of draw (taps, flushes, showers, machines, large ones) comes
 * as a Poisson process whose rate follows the level and the hour; its volume and flow have the sort's spread and its
 * length is the volume by the flow, so a long draw is a strong one or a large one, as its sort is. Machines fill
 * several times in one cycle. Long steady draws (hose, filling, watering, a cistern that runs on) keep their own
 * calendar.
 * Source of the numbers: docs/demand.md, which also says what they were compared with.
 */
#ifndef PW_SIM_HOUSEHOLD_H
#define PW_SIM_HOUSEHOLD_H

#include "base/random.h"
#include "site/site.h"

enum { PW_HOME_SORTS = 8 }; /* of draws */

/* One home: habits as given, and as drawn where they are not. */
typedef struct pw_home {
    double daily_m3;     /* of a day at home at level 1, without long draws */
    double day_cv;       /* of the level */
    double slow_share;   /* of the variance of its logarithm: the part that lasts */
    double slow_days;    /* for about so long */
    double weekend;      /* over a day of the week */
    double season;       /* summer over winter */
    double peak_day;     /* of the year: the height of summer */
    double away;         /* part of the days */
    double away_days;    /* mean length */
    double long_per_day; /* mean over the year */
    double long_m3s, long_s;
    double shift_h, sharp; /* of the day's pattern: later by, and raised to this power */
    double program_h;      /* time of day of a watering program; below 0: by hand, at any hour of daylight */
} pw_home;

typedef struct pw_household {
    pw_random days, draws;
    pw_home home;
    double sort_rate[PW_HOME_SORTS]; /* a day at level 1 */
    double pattern[2][24];           /* weekday, weekend: shares of a day, sum 1 */
    int64_t day;
    double slow, level; /* of this day */
    int32_t waterings;  /* of this day, still to come */
    int32_t away_left;  /* days */
    bool dry;
    double next_s[PW_HOME_SORTS]; /* in the day; over a day: no more today */
    double due[PW_HOME_SORTS];    /* of the wait for the next one, whose mean is 1: what is left */
    int32_t fills_left;
    int64_t fill_ms; /* the machine's next fill */
} pw_household;

typedef struct pw_home_draw {
    int64_t t_ms, length_ms;
    double flow_m3s;
} pw_home_draw;

/* The habits of a demand of kind household or random: given ones as they are; the others drawn (household), or plain
 * (random: days alike, never away). random: advanced by the same count for any demand. */
void pw_home_of(const pw_demand *demand, pw_random *random, pw_home *out);
/* Is there anything that makes one day of this random demand differ from another? */
bool pw_habits_known(const pw_habits *habits);
/* False: it never draws. index: place in the list, for its own stream of random numbers. */
bool pw_household_begin(const pw_demand *demand, uint64_t seed, int32_t index, pw_household *out);
/* The next draw; false: none any more. Times rise or stay. */
bool pw_household_next(const pw_demand *demand, pw_household *household, pw_home_draw *out);

#endif
