/* Demand: the next change of what is drawn, generated lazily, one demand at a time.
 *
 * Each demand holds one pending change (its next begin, or the trace's next flow); open draws wait for their end in a
 * heap. A take costs a look at each demand and one heap step, so a year of draws costs far less than the simulation
 * that uses them.
 */
#include "sim/demand.h"

#include <assert.h>
#include <string.h>

#include "base/num.h"
#include "sim/household.h"

#define DAY_MS  INT64_C(86400000)
#define HOUR_MS INT64_C(3600000)
#define DAY_S   86400.0
#define HOUR_S  3600.0
#define NEVER   INT64_MAX
/* No single draw is longer: keeps the sum of times far from overflow whatever the spread. */
#define LONGEST_DRAW_S (366.0 * DAY_S)
/* A random demand rarer than one draw in this many weeks never draws. */
#define RAREST_WEEKS 1.0e6

enum { WEEK_HOURS = 168, HEAP_SIZE = PW_MAX_OPEN_DRAWS + PW_MAX_OUTLETS };

typedef struct open_draw {
    int64_t begin_ms, end_ms;
    int64_t number; /* of all draws, settles ties */
    double flow_m3s;
    int32_t outlet, demand;
} open_draw;

/* The next change of one demand. */
typedef struct pending {
    int64_t t_ms;      /* NEVER: none */
    int64_t length_ms; /* draw, random */
    double flow_m3s;   /* trace: the new flow; else of the draw */
    bool begins;
} pending;

typedef struct source_state {
    pending next;
    /* draw */
    int64_t day, step;
    /* random: exact position within the hour, so that no event is lost by rounding */
    int64_t hour;
    double in_hour_s;
    double week_mean; /* mean number of draws in a week */
    double pattern_mean;
    pw_random random;
    pw_household home;
    /* trace */
    int64_t round;
    int32_t row;
    bool by_day; /* the draws come from home, day by day */
    double now_m3s;
} source_state;

struct pw_demand_state {
    int32_t demand_count, open_count;
    int64_t draws, merged;
    int64_t next_ms;
    int32_t next_demand; /* -1: the next change is the end of heap[0] */
    source_state sources[PW_MAX_DEMANDS];
    open_draw heap[HEAP_SIZE];
};

size_t pw_demand_size(void)
{
    return sizeof(pw_demand_state);
}

static int64_t to_ms(double seconds)
{
    return (int64_t)pw_floor(seconds * 1000.0 + 0.5);
}

static int64_t draw_length_ms(double seconds)
{
    int64_t length_ms = to_ms(pw_min(seconds, LONGEST_DRAW_S));
    return length_ms < 1 ? 1 : length_ms;
}

static bool weekday_on(const pw_demand *demand, int64_t day)
{
    return (demand->weekdays >> (day % 7) & 1) != 0;
}

/* ---- explicit draws ---- */

/* Last moment of the day's chain of draws, ms after that day's midnight; a chain may run over the next midnight, but
 * always ends before its own next day's first draw. */
static int64_t chain_end_ms(const pw_demand *demand)
{
    int64_t at_ms = to_ms(demand->at_s.v);
    int64_t until_ms = to_ms(demand->until_s.v);
    if (demand->every_s.v <= 0.0) {
        return at_ms;
    }
    if (until_ms <= at_ms) {
        until_ms += DAY_MS;
    }
    if (until_ms >= at_ms + DAY_MS) {
        until_ms = at_ms + DAY_MS - 1;
    }
    return until_ms;
}

/* Pend the draw at (day, step) or the first that exists after it. */
static void pend_draw(const pw_demand *demand, source_state *source)
{
    int64_t at_ms = to_ms(demand->at_s.v);
    int64_t every_ms = draw_length_ms(demand->every_s.v);
    if (source->step > 0 && (demand->every_s.v <= 0.0 || at_ms + source->step * every_ms > chain_end_ms(demand))) {
        source->day++;
        source->step = 0;
    }
    while (!weekday_on(demand, source->day)) { /* begin() made sure that one of seven is on */
        source->day++;
    }
    source->next.t_ms = source->day * DAY_MS + at_ms + source->step * every_ms;
    source->next.length_ms = draw_length_ms(demand->duration_s.v);
    source->next.flow_m3s = demand->flow_m3s.v;
    source->next.begins = true;
}

static bool begin_draw(const pw_demand *demand, source_state *source)
{
    if ((demand->weekdays & 0x7f) == 0 || !(demand->flow_m3s.v > 0.0) || !(demand->duration_s.v > 0.0)) {
        return false;
    }
    pend_draw(demand, source);
    return true;
}

/* ---- random year ---- */

/* Mean number of draws within the given hour since the start. */
static double hour_mean(const pw_demand *demand, const source_state *source, int64_t hour)
{
    if (!weekday_on(demand, hour / 24)) {
        return 0.0;
    }
    double share = demand->has_pattern ? demand->pattern[hour % 24] / source->pattern_mean : 1.0;
    return demand->per_day.v / 24.0 * share;
}

/* A Poisson process of changing rate is one of rate 1 seen through the integral of the rate: draw one exponential and
 * walk that far along the integral, whole weeks first. */
static void pend_random(const pw_demand *demand, source_state *source)
{
    double left = pw_random_exponential(&source->random, 1.0);
    double weeks = pw_floor(left / source->week_mean);
    if (weeks > RAREST_WEEKS) {
        source->next.t_ms = NEVER;
        return;
    }
    left -= weeks * source->week_mean;
    source->hour += (int64_t)weeks * WEEK_HOURS;
    /* rounding may leave a crumb after the week's last hour: the bound only guards, the walk ends long before */
    for (int32_t guard = 0; guard < 3 * WEEK_HOURS; guard++) {
        double mean = hour_mean(demand, source, source->hour);
        double here = mean * (HOUR_S - source->in_hour_s) / HOUR_S;
        if (mean > 0.0 && left < here) {
            source->in_hour_s += left / mean * HOUR_S;
            break;
        }
        left = pw_max(left - here, 0.0);
        source->in_hour_s = 0.0;
        source->hour++;
    }
    if (source->in_hour_s >= HOUR_S) {
        source->in_hour_s = 0.0;
        source->hour++;
    }
    source->next.t_ms = source->hour * HOUR_MS + (int64_t)pw_floor(source->in_hour_s * 1000.0);
    source->next.flow_m3s = pw_random_lognormal(&source->random, demand->flow_m3s.v, demand->flow_cv.v);
    double length_s = pw_random_lognormal(&source->random, demand->duration_s.v, demand->duration_cv.v);
    source->next.length_ms = draw_length_ms(length_s);
    source->next.begins = true;
}

/* ---- days that differ ---- */

static void pend_home(const pw_demand *demand, source_state *source)
{
    pw_home_draw draw;
    source->next.t_ms = NEVER;
    if (pw_household_next(demand, &source->home, &draw)) {
        source->next =
            (pending){.t_ms = draw.t_ms, .length_ms = draw.length_ms, .flow_m3s = draw.flow_m3s, .begins = true};
    }
}

static bool begin_home(const pw_demand *demand, source_state *source, uint64_t seed, int32_t index)
{
    source->by_day = pw_household_begin(demand, seed, index, &source->home);
    if (source->by_day) {
        pend_home(demand, source);
    }
    return source->by_day;
}

static bool begin_random(const pw_demand *demand, source_state *source, uint64_t seed, int32_t index)
{
    if (!(demand->flow_m3s.v > 0.0) || !(demand->duration_s.v > 0.0) || !(demand->per_day.v > 0.0)) {
        return false;
    }
    source->pattern_mean = 1.0;
    if (demand->has_pattern) {
        double sum = 0.0;
        for (int32_t hour = 0; hour < 24; hour++) {
            sum += demand->pattern[hour];
        }
        if (!(sum > 0.0)) {
            return false;
        }
        source->pattern_mean = sum / 24.0;
    }
    for (int64_t hour = 0; hour < WEEK_HOURS; hour++) {
        source->week_mean += hour_mean(demand, source, hour);
    }
    if (!(source->week_mean > 0.0)) {
        return false;
    }
    if (pw_habits_known(&demand->habits)) {
        return begin_home(demand, source, seed, index);
    }
    pw_random_seed(&source->random, seed, (uint64_t)index + 1);
    pend_random(demand, source);
    return true;
}

/* ---- measured trace ---- */

static double trace_flow(const pw_demand *demand, int32_t row)
{
    return pw_max(demand->trace_m3s[row] * demand->trace_scale.v, 0.0);
}

/* Pend the first row after the present one whose flow differs from the present flow. Row -1 stands for the time before
 * the first row, when nothing flows. The last row only says when the trace starts over. */
static void pend_trace(const pw_demand *demand, source_state *source)
{
    int32_t last = demand->trace_count - 1;
    int64_t period_ms = to_ms(demand->trace_s[last]);
    for (int32_t looked = 0; looked <= demand->trace_count + 1; looked++) {
        source->row++;
        if (source->row >= last) {
            source->row = to_ms(demand->trace_s[0]) > 0 ? -1 : 0;
            source->round++;
        }
        int64_t from_ms = source->row < 0 ? 0 : to_ms(demand->trace_s[source->row]);
        int64_t to_next_ms = to_ms(demand->trace_s[source->row + 1]);
        double flow_m3s = source->row < 0 ? 0.0 : trace_flow(demand, source->row);
        if (to_next_ms > from_ms && flow_m3s != source->now_m3s) {
            source->next.t_ms = source->round * period_ms + from_ms;
            source->next.flow_m3s = flow_m3s;
            source->next.begins = flow_m3s > 0.0;
            return;
        }
    }
    source->next.t_ms = NEVER;
}

static bool begin_trace(const pw_demand *demand, source_state *source)
{
    if (demand->trace_count < 2 || to_ms(demand->trace_s[demand->trace_count - 1]) < 1) {
        return false;
    }
    source->row = -1;
    pend_trace(demand, source);
    return true;
}

/* ---- heap of open draws: earliest end first, then demand, then number ---- */

static bool ends_before(const open_draw *a, const open_draw *b)
{
    if (a->end_ms != b->end_ms) {
        return a->end_ms < b->end_ms;
    }
    if (a->demand != b->demand) {
        return a->demand < b->demand;
    }
    return a->number < b->number;
}

static void swap_draws(open_draw *a, open_draw *b)
{
    open_draw kept = *a;
    *a = *b;
    *b = kept;
}

static void sift_up(open_draw *heap, int32_t at)
{
    while (at > 0 && ends_before(&heap[at], &heap[(at - 1) / 2])) {
        swap_draws(&heap[at], &heap[(at - 1) / 2]);
        at = (at - 1) / 2;
    }
}

static void sift_down(open_draw *heap, int32_t count, int32_t at)
{
    for (;;) {
        int32_t least = at;
        for (int32_t child = 2 * at + 1; child <= 2 * at + 2 && child < count; child++) {
            if (ends_before(&heap[child], &heap[least])) {
                least = child;
            }
        }
        if (least == at) {
            return;
        }
        swap_draws(&heap[at], &heap[least]);
        at = least;
    }
}

/* When the heap is full, the new draw joins the draw of the same outlet that ends last: together they last as long as
 * the longer of the two and draw the same volume. The room beyond PW_MAX_OPEN_DRAWS takes the first draw of each
 * outlet. */
static bool merge_draw(pw_demand_state *state, const open_draw *fresh)
{
    int32_t latest = -1;
    for (int32_t i = 0; i < state->open_count; i++) {
        if (state->heap[i].outlet == fresh->outlet &&
            (latest < 0 || ends_before(&state->heap[latest], &state->heap[i]))) {
            latest = i;
        }
    }
    if (latest < 0) {
        return false;
    }
    open_draw *old = &state->heap[latest];
    int64_t end_ms = fresh->end_ms > old->end_ms ? fresh->end_ms : old->end_ms;
    double old_ms = (double)(old->end_ms - fresh->begin_ms);
    double fresh_ms = (double)(fresh->end_ms - fresh->begin_ms);
    double both_ms = (double)(end_ms - fresh->begin_ms);
    old->flow_m3s = (old->flow_m3s * old_ms + fresh->flow_m3s * fresh_ms) / both_ms;
    old->end_ms = end_ms;
    state->merged++;
    sift_down(state->heap, state->open_count, latest);
    return true;
}

static void open_one(pw_demand_state *state, const open_draw *fresh)
{
    if (state->open_count >= PW_MAX_OPEN_DRAWS && merge_draw(state, fresh)) {
        return;
    }
    assert(state->open_count < HEAP_SIZE);
    state->heap[state->open_count] = *fresh;
    sift_up(state->heap, state->open_count);
    state->open_count++;
}

/* ---- all together ---- */

/* Is the pending change of `demand` due before the best found so far? Ends come before begins, then the lower demand.
 */
static void find_next(pw_demand_state *state)
{
    int64_t best_ms = NEVER;
    int32_t best_demand = -1, best_owner = -1;
    bool best_begins = false;
    if (state->open_count > 0) {
        best_ms = state->heap[0].end_ms;
        best_owner = state->heap[0].demand;
    }
    for (int32_t i = 0; i < state->demand_count; i++) {
        const pending *next = &state->sources[i].next;
        if (next->t_ms > best_ms || next->t_ms == NEVER) {
            continue;
        }
        bool sooner = next->t_ms < best_ms;
        bool same_sort = next->begins == best_begins;
        if (sooner || (!next->begins && best_begins) || (same_sort && i < best_owner)) {
            best_ms = next->t_ms;
            best_demand = i;
            best_owner = i;
            best_begins = next->begins;
        }
    }
    state->next_ms = best_ms;
    state->next_demand = best_demand;
}

void pw_demand_begin(const pw_site *site, uint64_t seed, pw_demand_state *state)
{
    memset(state, 0, sizeof *state);
    state->demand_count = site->demand_count;
    for (int32_t i = 0; i < site->demand_count; i++) {
        const pw_demand *demand = &site->demands[i];
        source_state *source = &state->sources[i];
        bool any = false;
        switch (demand->kind) {
        case PW_DEMAND_DRAW: any = begin_draw(demand, source); break;
        case PW_DEMAND_RANDOM: any = begin_random(demand, source, seed, i); break;
        case PW_DEMAND_TRACE: any = begin_trace(demand, source); break;
        case PW_DEMAND_HOUSEHOLD: any = begin_home(demand, source, seed, i); break;
        }
        if (!any) {
            source->next.t_ms = NEVER;
        }
    }
    find_next(state);
}

int64_t pw_demand_next_ms(const pw_demand_state *state)
{
    return state->next_ms;
}

int64_t pw_demand_merged(const pw_demand_state *state)
{
    return state->merged;
}

/* Summed afresh each time, so that no rounding piles up over a year. */
static double outlet_total(const pw_site *site, const pw_demand_state *state, int32_t outlet)
{
    double total_m3s = 0.0;
    for (int32_t i = 0; i < state->demand_count; i++) {
        if (site->demands[i].outlet == outlet) {
            total_m3s += state->sources[i].now_m3s;
        }
    }
    for (int32_t i = 0; i < state->open_count; i++) {
        if (state->heap[i].outlet == outlet) {
            total_m3s += state->heap[i].flow_m3s;
        }
    }
    return total_m3s;
}

static pw_demand_change take_end(pw_demand_state *state)
{
    open_draw ended = state->heap[0];
    state->open_count--;
    state->heap[0] = state->heap[state->open_count];
    sift_down(state->heap, state->open_count, 0);
    pw_demand_change change = {
        .t_ms = ended.end_ms, .outlet = ended.outlet, .begins = false, .flow_m3s = ended.flow_m3s};
    return change;
}

static pw_demand_change take_trace(const pw_demand *demand, source_state *source)
{
    pending next = source->next;
    double shown_m3s = next.begins ? next.flow_m3s : source->now_m3s;
    pw_demand_change change = {
        .t_ms = next.t_ms, .outlet = demand->outlet, .begins = next.begins, .flow_m3s = shown_m3s};
    source->now_m3s = next.flow_m3s;
    pend_trace(demand, source);
    return change;
}

static pw_demand_change take_begin(const pw_demand *demand, int32_t index, pw_demand_state *state)
{
    source_state *source = &state->sources[index];
    pending next = source->next;
    open_draw fresh = {.begin_ms = next.t_ms,
                       .end_ms = next.t_ms + next.length_ms,
                       .number = state->draws,
                       .flow_m3s = next.flow_m3s,
                       .outlet = demand->outlet,
                       .demand = index};
    state->draws++;
    open_one(state, &fresh);
    if (demand->kind == PW_DEMAND_DRAW) {
        source->step++;
        pend_draw(demand, source);
    } else if (source->by_day) {
        pend_home(demand, source);
    } else {
        pend_random(demand, source);
    }
    pw_demand_change change = {.t_ms = next.t_ms, .outlet = demand->outlet, .begins = true, .flow_m3s = next.flow_m3s};
    return change;
}

pw_demand_change pw_demand_take(const pw_site *site, pw_demand_state *state)
{
    assert(state->next_ms != NEVER);
    int32_t index = state->next_demand;
    pw_demand_change change;
    if (index < 0) {
        change = take_end(state);
    } else if (site->demands[index].kind == PW_DEMAND_TRACE) {
        change = take_trace(&site->demands[index], &state->sources[index]);
    } else {
        change = take_begin(&site->demands[index], index, state);
    }
    change.total_m3s = outlet_total(site, state, change.outlet);
    find_next(state);
    return change;
}
