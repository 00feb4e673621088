/* Filters clog in hundredths of the volume that fills them, each at the mean of its part; a watch on the water that
 * passed ends a step where the next part begins. */
#include "base/num.h"
#include "formula/filter.h"
#include "sim/run_impl.h"

enum { PARTS = 100, MOST_PARTS = 1000000, DAY_MS = 86400000 };

static bool clogs(const pw_filter *filter)
{
    return filter->full_m3.given && filter->full_pa.given;
}

static int32_t part_of(const pw_filter *filter, double passed_m3)
{
    const double parts = pw_floor(passed_m3 / filter->full_m3.v * (double)PARTS);
    return (int32_t)pw_clamp(parts, 0.0, (double)MOST_PARTS);
}

void pw_filters_begin(pw_sim *run)
{
    const pw_site *site = run->plant->site;
    const int64_t midnight_ms = run->t_ms - run->t_ms % DAY_MS;
    for (int32_t f = 0; f < site->filter_count; f++) {
        const pw_filter *filter = &site->filters[f];
        filter_state *state = &run->filters[f];
        const double every_ms = filter->every_s.given ? filter->every_s.v * 1e3 : 0.0;
        state->clean_m3 = -filter->passed_m3.v;
        state->part = clogs(filter) ? part_of(filter, filter->passed_m3.v) : 0;
        state->cleaned_ms = every_ms > 0.0 ? midnight_ms + (int64_t)(every_ms + filter->cleaned_s.v * 1e3) : INT64_MAX;
    }
    pw_filters_impose(run, &run->condition);
}

void pw_filters_impose(const pw_sim *run, pw_condition *condition)
{
    const pw_site *site = run->plant->site;
    for (int32_t f = 0; f < site->filter_count; f++) {
        const pw_filter *filter = &site->filters[f];
        if (clogs(filter)) {
            const double x = ((double)run->filters[f].part + 0.5) / (double)PARTS;
            condition->filter_rise[f] = pw_filter_rise(filter->clogs, filter->full_pa.v / filter->clean_pa.v, x);
        }
    }
}

int64_t pw_filters_due(const pw_sim *run)
{
    int64_t next = INT64_MAX;
    for (int32_t f = 0; f < run->plant->site->filter_count; f++) {
        next = run->filters[f].cleaned_ms < next ? run->filters[f].cleaned_ms : next;
    }
    return next;
}

double pw_filters_passed_m3(const pw_sim *run, int32_t filter, const point *at)
{
    return at->y[pw_filtered_at(run, filter)] - run->filters[filter].clean_m3;
}

double pw_filters_next_m3(const pw_sim *run, int32_t filter)
{
    const pw_filter *made = &run->plant->site->filters[filter];
    const int32_t part = run->filters[filter].part;
    return clogs(made) && part < MOST_PARTS ? (double)(part + 1) / (double)PARTS * made->full_m3.v : PW_INF;
}

bool pw_filters_take(pw_sim *run)
{
    const pw_site *site = run->plant->site;
    bool any = false;
    for (int32_t f = 0; f < site->filter_count; f++) {
        filter_state *state = &run->filters[f];
        const pw_filter *filter = &site->filters[f];
        if (state->cleaned_ms <= run->t_ms) {
            state->clean_m3 = run->now.y[pw_filtered_at(run, f)];
            state->cleaned_ms += (int64_t)(filter->every_s.v * 1e3);
            pw_sim_tell(run, PW_ENTRY_CLEANED, f, -1, 0.0, 0.0);
        }
        const int32_t part = clogs(filter) ? part_of(filter, pw_filters_passed_m3(run, f, &run->now)) : 0;
        any = any || part != state->part;
        state->part = part;
    }
    if (any) {
        pw_filters_impose(run, &run->condition);
    }
    return any;
}
