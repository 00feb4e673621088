/* Statistics of draws, see demand_stats.h. */
#include "sim/demand_stats.h"

#include <string.h>

#include "base/num.h"

#define DAY_S 86400.0

enum { VOLUME, DURATION, FLOW };

/* Busy for more of the time than this is not a matter of draws any more. */
#define MOST_BUSY 0.95

static void close_event(pw_demand_meter *meter)
{
    if (!meter->open) {
        return;
    }
    meter->open = false;
    if (meter->volume_m3 < meter->least_m3 || (meter->most_m3 > 0.0 && meter->volume_m3 >= meter->most_m3)) {
        return;
    }
    double length_s = meter->end_s - meter->begin_s;
    double of[3] = {meter->volume_m3, length_s, meter->volume_m3 / length_s};
    for (int32_t i = 0; i < 3; i++) {
        meter->sum[i] += of[i];
        meter->squares[i] += of[i] * of[i];
    }
    meter->events++;
    meter->event_m3 += meter->volume_m3;
    meter->busy_s += length_s + meter->gap_s;
    int32_t hour = (int32_t)(meter->begin_s / 3600.0 - 24.0 * pw_floor(meter->begin_s / DAY_S));
    meter->by_hour[hour < 0 ? 0 : hour > 23 ? 23 : hour]++;
}

void pw_demand_meter_add(pw_demand_meter *meter, double from_s, double to_s, double flow_m3s)
{
    meter->length_s += to_s - from_s;
    if (!(flow_m3s > 0.0) || !(to_s > from_s)) {
        return;
    }
    if (meter->open && from_s - meter->end_s > meter->gap_s) {
        close_event(meter);
    }
    if (!meter->open) {
        meter->open = true;
        meter->begin_s = from_s;
        meter->volume_m3 = 0.0;
    }
    double volume_m3 = flow_m3s * (to_s - from_s);
    meter->end_s = to_s;
    meter->volume_m3 += volume_m3;
    meter->all_m3 += volume_m3;
}

static double spread(double mean, double squares, double n)
{
    double variance = squares / n - mean * mean;
    return mean > 0.0 && variance > 0.0 ? pw_sqrt(variance) / mean : 0.0;
}

void pw_demand_meter_finish(pw_demand_meter *meter, pw_demand_stats *out)
{
    close_event(meter);
    memset(out, 0, sizeof *out);
    out->gap_s = meter->gap_s;
    out->events = meter->events;
    out->days = meter->length_s / DAY_S;
    if (!(meter->length_s > 0.0)) {
        return;
    }
    out->m3_per_day = meter->all_m3 / out->days;
    if (meter->events == 0) {
        return;
    }
    double n = (double)meter->events;
    out->per_day = n / out->days;
    out->event_m3_per_day = meter->event_m3 / out->days;
    out->busy = pw_min(meter->busy_s / meter->length_s, 1.0);
    out->volume_m3 = meter->sum[VOLUME] / n;
    out->volume_cv = spread(out->volume_m3, meter->squares[VOLUME], n);
    out->duration_s = meter->sum[DURATION] / n;
    out->duration_cv = spread(out->duration_s, meter->squares[DURATION], n);
    out->flow_m3s = meter->sum[FLOW] / n;
    out->flow_cv = spread(out->flow_m3s, meter->squares[FLOW], n);
    for (int32_t hour = 0; hour < 24; hour++) {
        out->hour_share[hour] = (double)meter->by_hour[hour] / n;
    }
}

void pw_demand_meter_trace(pw_demand_meter *meter, const double *times_s, const double *flows_m3s, int32_t count)
{
    for (int32_t i = 0; i + 1 < count; i++) {
        pw_demand_meter_add(meter, times_s[i], times_s[i + 1], flows_m3s[i]);
    }
}

void pw_demand_meter_year(pw_demand_meter *meter, const pw_site *site, int32_t outlet, uint64_t seed, int32_t days,
                          pw_demand_state *state)
{
    double from_s = 0.0, flow_m3s = 0.0, end_s = days * DAY_S;
    pw_demand_begin(site, seed, state);
    while ((double)pw_demand_next_ms(state) / 1000.0 < end_s) {
        pw_demand_change change = pw_demand_take(site, state);
        if (change.outlet == outlet) {
            double t_s = (double)change.t_ms / 1000.0;
            pw_demand_meter_add(meter, from_s, t_s, flow_m3s);
            from_s = t_s;
            flow_m3s = change.total_m3s;
        }
    }
    pw_demand_meter_add(meter, from_s, end_s, flow_m3s);
}

void pw_demand_fit(const pw_demand_stats *stats, pw_demand *out)
{
    pw_demand demand = {.kind = PW_DEMAND_RANDOM, .weekdays = 0x7f, .outlet = out->outlet};
    if (stats->events > 0) {
        double busy = pw_min(stats->busy, MOST_BUSY);
        double per_day = stats->per_day / (1.0 - busy);
        double length_s = -pw_log(1.0 - busy) * DAY_S / per_day - stats->gap_s;
        demand.per_day.v = per_day;
        demand.duration_s.v = pw_max(length_s, 0.001);
        demand.duration_cv.v = stats->duration_cv;
        demand.flow_m3s.v = stats->event_m3_per_day / (per_day * demand.duration_s.v);
        demand.flow_cv.v = stats->flow_cv;
        demand.has_pattern = true;
        memcpy(demand.pattern, stats->hour_share, sizeof demand.pattern);
    }
    *out = demand;
}
