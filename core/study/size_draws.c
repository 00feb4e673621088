/* What the sheet's demand draws together: a year of it, by the share of the time. */
#include <string.h>

#include "sim/demand.h"
#include "study/size_inside.h"

enum { BINS = 640, DAYS = 365 };
#define LOW_M3S 1e-7
#define PER_BIN 1.03
#define PART    1e-3 /* of the time: about nine hours in a year */

/* Time by flow; each bin remembers its largest flow, so that a flow that occurs again and again stays exact. */
typedef struct histogram {
    double seconds[BINS], top[BINS], volume_m3;
} histogram;

static void add_time(histogram *h, double flow_m3s, double seconds)
{
    if (!(flow_m3s > LOW_M3S) || !(seconds > 0.0)) {
        return;
    }
    const double place = pw_log(flow_m3s / LOW_M3S) / pw_log(PER_BIN);
    const int32_t bin = (int32_t)pw_clamp(place, 0.0, BINS - 1.0);
    h->seconds[bin] += seconds;
    h->top[bin] = pw_max(h->top[bin], flow_m3s);
    h->volume_m3 += flow_m3s * seconds;
}

/* Flow that is exceeded for no more than PART of the time; the flow itself when it never draws so long. */
static double exceeded(const histogram *h)
{
    double tail = 0.0;
    for (int32_t bin = BINS - 1; bin >= 0; bin--) {
        tail += h->seconds[bin];
        if (tail > PART * DAYS * 86400.0) {
            return h->top[bin];
        }
    }
    for (int32_t bin = BINS - 1; bin >= 0; bin--) { /* drawn so seldom: the largest counts */
        if (h->seconds[bin] > 0.0) {
            return h->top[bin];
        }
    }
    return 0.0;
}

static bool has_use(const pw_site *site, int32_t outlet)
{
    for (int32_t u = 0; u < site->design.use_count; u++) {
        if (site->design.uses[u].outlet == outlet) {
            return true;
        }
    }
    return false;
}

pw_status size_draws_of(size_work *w, size_draws *out)
{
    const pw_site *site = w->site;
    const size_t mark = pw_arena_mark(w->arena);
    histogram *each = PW_NEW(w->arena, PW_MAX_OUTLETS, histogram);
    histogram *together = PW_NEW(w->arena, 1, histogram);
    pw_demand_state *state = pw_alloc(w->arena, 1, pw_demand_size());
    if (each == NULL || together == NULL || state == NULL) {
        return PW_MEMORY;
    }
    double flow[PW_MAX_OUTLETS] = {0};
    const int64_t end_ms = (int64_t)DAYS * 86400000;
    int64_t now_ms = 0;
    pw_demand_begin(site, w->options->seed, state);
    for (;;) {
        const int64_t next = pw_demand_next_ms(state);
        const int64_t until = next < end_ms ? next : end_ms;
        const double seconds = (double)(until - now_ms) * 1e-3;
        double sum = 0.0;
        for (int32_t o = 0; o < site->outlet_count; o++) {
            add_time(&each[o], flow[o], seconds);
            sum += w->pressured[o] && !has_use(site, o) ? flow[o] : 0.0;
        }
        add_time(together, sum, seconds);
        now_ms = until;
        if (next >= end_ms) {
            break;
        }
        const pw_demand_change change = pw_demand_take(site, state);
        flow[change.outlet] = pw_max(change.total_m3s, 0.0);
    }
    for (int32_t o = 0; o < site->outlet_count; o++) {
        out->peak_m3s[o] = exceeded(&each[o]);
        out->daily_m3[o] = each[o].volume_m3 / DAYS;
    }
    out->together_m3s = exceeded(together);
    pw_arena_back(w->arena, mark);
    return PW_OK;
}
