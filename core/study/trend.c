#include "study/trend.h"

#include "base/num.h"

typedef struct line {
    double mean_day, mean, slope, error;
} line;

/* false: all readings are of one day. */
static bool fit(const double *day, const double *value, int32_t count, line *out)
{
    double sum_day = 0.0, sum = 0.0, xx = 0.0, xy = 0.0, rest = 0.0;
    for (int32_t i = 0; i < count; i++) {
        sum_day += day[i];
        sum += value[i];
    }
    out->mean_day = sum_day / (double)count;
    out->mean = sum / (double)count;
    for (int32_t i = 0; i < count; i++) {
        const double x = day[i] - out->mean_day;
        xx += x * x;
        xy += x * (value[i] - out->mean);
    }
    if (!(xx > 0.0)) {
        return false;
    }
    out->slope = xy / xx;
    for (int32_t i = 0; i < count; i++) {
        const double off = value[i] - out->mean - out->slope * (day[i] - out->mean_day);
        rest += off * off;
    }
    out->error = pw_sqrt(rest / (double)(count - 2) / xx);
    return true;
}

/* Days until a line that stands at `now` reaches the limit; PW_INF never. */
static double days_to(double now, double slope, double limit)
{
    const double left = limit - now;
    if ((slope > 0.0 && left <= 0.0) || (slope < 0.0 && left >= 0.0)) {
        return 0.0;
    }
    return left * slope > 0.0 ? left / slope : PW_INF;
}

void pw_trend_of(const double *day, const double *value, int32_t count, double low, double high, pw_trend *out)
{
    line l;
    *out = (pw_trend){.finding = PW_TREND_FEW, .count = count};
    if (count < PW_TREND_LEAST || !fit(day, value, count, &l)) {
        return;
    }
    out->last_day = day[0];
    for (int32_t i = 1; i < count; i++) {
        out->last_day = pw_max(out->last_day, day[i]);
    }
    out->now = l.mean + l.slope * (out->last_day - l.mean_day);
    out->slope = l.slope;
    out->error = l.error;
    out->finding = PW_TREND_STEADY;
    if (pw_abs(l.slope) <= 2.0 * l.error) {
        return;
    }
    out->limit = l.slope > 0.0 ? high : low;
    out->finding = pw_abs(out->limit) < PW_INF ? PW_TREND_CROSSES : PW_TREND_DRIFTS;
    if (out->finding == PW_TREND_CROSSES) {
        const double way = l.slope > 0.0 ? 2.0 * l.error : -2.0 * l.error;
        out->days = days_to(out->now, l.slope, out->limit);
        out->soonest_days = days_to(out->now, l.slope + way, out->limit);
        out->latest_days = days_to(out->now, l.slope - way, out->limit);
    }
}
