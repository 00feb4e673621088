/* From a record of flow to the habits of the home behind it: the demand of kind household that lives alike.
 *
 * What a record can say depends on its length: the daily water from one day on; the spread of days, absences and
 * long draws from PW_DAYS_FOR_SPREAD days; weekends from PW_DAYS_FOR_WEEKEND; the season from PW_DAYS_FOR_SEASON.
 * What it cannot say stays open and is drawn from the population of homes, a home for each simulated year.
 *
 *  - Nobody at home: a day with under AWAY_PART of the mean day. How often somebody leaves, and for how long, and how
 *    many long draws there are, lean on those of any home, the less the longer the record is: a gamma distribution of
 *    the rate before the count, its mean after it (empirical Bayes). None in half a year is not never.
 *  - Long draws: stretches of hours that each hold over 200 L and over eight mean hours. Their water above the usual
 *    hour is not in `daily`. A record of steps over PW_FINE_STEP_S knows their volume, not their flow: the length is
 *    that volume at the population's flow.
 *  - Day spread: the variance of the days at home, after weekend and season, less that of the draws themselves.
 *  - Season: first harmonic of the year, (1 + a) / (1 - a).
 * All own derivation.
 */
#ifndef PW_SIM_HABITS_H
#define PW_SIM_HABITS_H

#include "site/site.h"

enum {
    PW_RECORD_DAYS = 3660, /* further days are not looked at */
    PW_DAYS_FOR_SPREAD = 14,
    PW_DAYS_FOR_WEEKEND = 42,
    PW_DAYS_FOR_SEASON = 330
};
#define PW_FINE_STEP_S 300.0

/* A record in whole days. Begin, add steps of flow in order, then fit. */
typedef struct pw_flow_record {
    int32_t days;          /* begun */
    int32_t first_weekday; /* of day 0: 0 Monday .. 6 Sunday; below 0: nobody knows */
    double step_s;         /* usual length of a step; 0: fine */
    double day_m3[PW_RECORD_DAYS], hour_m3[PW_RECORD_DAYS * 24];
    double weighted_m6s[PW_RECORD_DAYS]; /* sum of flow x volume, m6/s: the flow that a day's water had */
    bool unseen[PW_RECORD_DAYS];         /* a day that the meter did not cover: left out of everything */
} pw_flow_record;

void pw_record_begin(int32_t first_weekday, double step_s, pw_flow_record *out);
/* Seconds from the midnight of day 0, in order; from_s >= 0. */
void pw_record_add(pw_flow_record *record, double from_s, double to_s, double flow_m3s);
/* Times from 0, the last one the end, as in pw_demand. */
void pw_record_trace(pw_flow_record *record, const double *times_s, const double *flows_m3s, int32_t count);

/* A demand of kind household at the same outlet; people is the number that the daily water stands for, at least 1.
 * False: no water in it. */
bool pw_habits_fit(const pw_flow_record *record, pw_demand *out);

/* For a home's daily water the variance of a day's total that comes from its draws alone, m6 (own derivation: a Poisson
 * sum has the variance of rate times the mean square). */
double pw_home_draw_variance(double daily_m3);
/* Persons whose home uses this much on the median day of the population. */
double pw_home_people(double daily_m3);
/* Flow of a long draw, median of the population. */
double pw_home_long_m3s(void);

#endif
