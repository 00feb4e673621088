/* What a record of flow says about its draws, and the random demand that draws alike.
 *
 * An event is a stretch of flow; stretches nearer to each other than `gap_s` are one event (a meter that counts in
 * pulses pauses between them). Events of less than `least_m3`, and of `most_m3` or more when that is over 0, count in
 * m3_per_day, but not among the events: so dribble is left out, and one kind of draw can be looked at alone. Its length
 * runs from first to last flow, its flow is volume by length.
 */
#ifndef PW_SIM_DEMAND_STATS_H
#define PW_SIM_DEMAND_STATS_H

#include "sim/demand.h"

typedef struct pw_demand_stats {
    int64_t events;
    double days;
    double per_day;              /* events a day */
    double m3_per_day;           /* all water, also outside the events */
    double volume_m3, volume_cv; /* mean and coefficient of variation of one event; 0 without events */
    double duration_s, duration_cv;
    double flow_m3s, flow_cv; /* of the events' flows, each event alike */
    double event_m3_per_day;  /* water of the events */
    double busy;              /* part of the time that is within gap_s after some event's flow */
    double gap_s;
    double hour_share[24]; /* of the events, by the hour in which they begin; sums to 1 */
} pw_demand_stats;

/* Gathers statistics from steps of flow given in order. Zero it, set the first line, then add steps and finish. */
typedef struct pw_demand_meter {
    double gap_s, least_m3, most_m3;
    /* the event under way; length 0 when there is none */
    bool open;
    double begin_s, end_s, volume_m3;
    /* sums over the record */
    double length_s, all_m3, event_m3, busy_s;
    int64_t events, by_hour[24];
    double sum[3], squares[3]; /* volume, duration, flow */
} pw_demand_meter;

/* From from_s to to_s the flow was flow_m3s. Times since a midnight, in order, no gaps between the steps. */
void pw_demand_meter_add(pw_demand_meter *meter, double from_s, double to_s, double flow_m3s);
void pw_demand_meter_finish(pw_demand_meter *meter, pw_demand_stats *out);

/* Add a trace as in pw_demand (times from 0, the last row is the end). */
void pw_demand_meter_trace(pw_demand_meter *meter, const double *times_s, const double *flows_m3s, int32_t count);
/* Add what the demands of one outlet draw in so many days. state: pw_demand_size() bytes, overwritten. */
void pw_demand_meter_year(pw_demand_meter *meter, const pw_site *site, int32_t outlet, uint64_t seed, int32_t days,
                          pw_demand_state *state);

/* A random demand (everything but its outlet) whose events have these statistics.
 * Draws that overlap are seen as one event, so that draws are more and shorter than events. For a Poisson process of
 * rate r and mean length d that is on for the part b of the time: b = 1 - exp(-r d), and events begin at the rate r (1
 * - b) (busy periods of the M/G/infinity queue, own derivation from Poisson void probability). With d lengthened by the
 * gap, both are known from the record. The mean flow keeps the water; spreads of length and flow are those of the
 * events. The process knows no tie between flow and length. Where long draws are strong ones (watering), fit small and
 * large events apart (most_m3 of the one is least_m3 of the other) and let both draw at the outlet. */
void pw_demand_fit(const pw_demand_stats *stats, pw_demand *out);

#endif
