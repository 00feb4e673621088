/* What one simulation showed to all watches at once, and when a sentence with some limit would have acted: first
 * passages over stretches in which conditions held. Own derivation from the rules of the step (control/step.c):
 *   starts reach N in W   at the N-th start that lies less than W behind the first of them; with "time between", in the
 *                         first moment inside those hours until the oldest of them is W old
 *   M times in a row      at a start, or when one leaves a window for the next, if each of the M windows that go back
 *                         from there holds so many
 *   running for T         T after a start, if the pump still runs then (a lock out goes before a stop)
 *   CONDITION for T       T after it began to hold (not before what is ignored after the start is over), if it holds
 *                         until then
 */
#include <string.h>

#include "base/num.h"
#include "study/advise_inside.h"

#define DAY_S ((int64_t)86400)

/* ---- looking on ---- */

static void *grown(advise_seen *seen, const void *old, int32_t count, int32_t capacity, size_t size)
{
    void *out = pw_alloc(seen->arena, (size_t)capacity, size);
    if (out == NULL) {
        seen->failed = true;
        seen->observer.stop = true;
    } else if (count > 0) {
        memcpy(out, old, (size_t)count * size);
    }
    return out;
}

/* Room for one more; NULL without. */
static advise_span *next_span(advise_seen *seen, advise_spans *spans)
{
    if (spans->count == spans->capacity) {
        const int32_t capacity = spans->capacity > 0 ? 2 * spans->capacity : 64;
        void *at = grown(seen, spans->at, spans->count, capacity, sizeof *spans->at);
        if (at == NULL) {
            return NULL;
        }
        spans->at = at;
        spans->capacity = capacity;
    }
    spans->count++;
    return &spans->at[spans->count - 1];
}

static void open_span(advise_seen *seen, int32_t probe, int32_t pump, int64_t t_ms)
{
    const advise_spans *runs = &seen->spans[seen->plan->probe_count][pump];
    advise_span *span = next_span(seen, &seen->spans[probe][pump]);
    if (span == NULL) {
        return;
    }
    *span = (advise_span){.from_ms = t_ms, .to_ms = INT64_MAX, .run_ms = t_ms};
    if (probe == seen->plan->probe_count) {
        span->anew = seen->anew[pump];
        seen->anew[pump] = false;
    } else if (runs->count > 0 && runs->at[runs->count - 1].to_ms == INT64_MAX) {
        span->run_ms = runs->at[runs->count - 1].from_ms;
    }
}

static void close_span(advise_seen *seen, int32_t probe, int32_t pump, int64_t t_ms, bool by_stop)
{
    advise_spans *spans = &seen->spans[probe][pump];
    if (spans->count > 0 && spans->at[spans->count - 1].to_ms == INT64_MAX) {
        spans->at[spans->count - 1].to_ms = t_ms;
        spans->at[spans->count - 1].by_stop = by_stop;
    }
}

static void look(advise_seen *seen, const pw_sim *sim, int64_t t_ms)
{
    const pw_advise_plan *plan = seen->plan;
    for (int32_t p = 0; p < plan->plant->site->pump_count; p++) {
        const int32_t running = plan->probe_count;
        const bool ran = seen->holds[running][p], runs = pw_sim_holds(sim, p, plan->first_probe + running);
        for (int32_t i = running; i >= 0; i--) { /* the run first: others ask when theirs began */
            const bool holds = pw_sim_holds(sim, p, plan->first_probe + i);
            if (holds && !seen->holds[i][p]) {
                open_span(seen, i, p, t_ms);
            } else if (!holds && seen->holds[i][p]) {
                close_span(seen, i, p, t_ms, ran && !runs);
            }
            seen->holds[i][p] = holds;
        }
    }
}

static void lose_power(advise_seen *seen, int64_t t_ms)
{
    for (int32_t i = 0; i <= seen->plan->probe_count; i++) {
        for (int32_t p = 0; p < seen->plan->plant->site->pump_count; p++) {
            close_span(seen, i, p, t_ms, false);
            seen->holds[i][p] = false;
            seen->anew[p] = !seen->plan->keeps_starts;
        }
    }
}

static void mark(advise_seen *seen, const pw_sim *sim, int64_t t_ms)
{
    if (seen->mark_count == seen->mark_capacity) {
        const int32_t capacity = seen->mark_capacity > 0 ? 2 * seen->mark_capacity : 1024;
        void *ms = grown(seen, seen->mark_ms, seen->mark_count, capacity, sizeof *seen->mark_ms);
        void *m3 = grown(seen, seen->mark_m3, seen->mark_count, capacity, sizeof *seen->mark_m3);
        if (ms == NULL || m3 == NULL) {
            return;
        }
        seen->mark_ms = ms;
        seen->mark_m3 = m3;
        seen->mark_capacity = capacity;
    }
    const pw_totals totals = pw_tally_totals(seen->tally, sim, false);
    const pw_totals *before = &seen->tally->at_fault;
    const double lost_m3 = totals.leaked_m3 + totals.spilled_m3 - before->leaked_m3 - before->spilled_m3;
    seen->mark_ms[seen->mark_count] = t_ms;
    seen->mark_m3[seen->mark_count] = pw_max(lost_m3, 0.0);
    seen->mark_count++;
    const bool dry = totals.dry_s - before->dry_s > seen->dry_limit_s;
    if (seen->harm_ms < 0 && (dry || seen->tally->burnt_ms >= 0)) {
        seen->harm_ms = t_ms;
    }
}

static void at(pw_observer *self, pw_sim *sim, pw_at when)
{
    advise_seen *seen = (advise_seen *)(void *)self;
    const int64_t t_ms = pw_sim_time_ms(sim);
    if (when != PW_AT_STEPPED || seen->failed) {
        return;
    }
    if (pw_sim_powered(sim)) {
        look(seen, sim, t_ms);
    } else {
        lose_power(seen, t_ms);
    }
    if (seen->mark_capacity > 0 && seen->tally->begun) {
        mark(seen, sim, t_ms);
        for (int32_t p = 0; p < seen->plan->plant->site->pump_count; p++) {
            const advise_spans *runs = &seen->spans[seen->plan->probe_count][p];
            const int32_t first = runs->count - ADVISE_MOST_STARTS;
            self->stop = self->stop || (first >= 0 && runs->at[first].from_ms >= seen->onset_ms);
        }
    }
}

/* A healthy year's stretches of one outlet, however many draws overlap in it. */
static void note_draw(advise_seen *seen, const pw_event *event)
{
    int64_t *from_ms = &seen->draw_ms[event->item];
    const bool drawn = event->b > 0.0;
    if (drawn && *from_ms < 0) {
        *from_ms = event->t_ms;
    } else if (!drawn && *from_ms >= 0) {
        advise_span *span = next_span(seen, &seen->draws);
        if (span != NULL) {
            *span = (advise_span){.from_ms = *from_ms, .to_ms = event->t_ms, .run_ms = *from_ms};
        }
        *from_ms = -1;
    }
}

static void told(pw_observer *self, pw_sim *sim, const pw_event *event)
{
    advise_seen *seen = (advise_seen *)(void *)self;
    (void)sim;
    if ((event->kind == PW_ENTRY_DRAW || event->kind == PW_ENTRY_DRAW_END) && seen->mark_capacity == 0) {
        note_draw(seen, event);
    }
    if (event->kind != PW_ENTRY_WARN || event->sentence < 0) {
        return;
    }
    if (event->t_ms < seen->onset_ms) {
        seen->early[event->sentence] = true;
    } else if (seen->trial_ms[event->sentence] < 0) {
        seen->trial_ms[event->sentence] = event->t_ms;
    }
}

void advise_seen_begin(advise_seen *seen, pw_arena *arena, const pw_advise_plan *plan, const pw_tally *tally,
                       int64_t onset_ms, bool marks)
{
    memset(seen, 0, sizeof *seen);
    seen->observer = (pw_observer){.event = told, .at = at};
    seen->arena = arena;
    seen->plan = plan;
    seen->tally = tally;
    seen->onset_ms = onset_ms;
    seen->dry_limit_s = plan->plant->site->limits.dry_run_s.v;
    seen->harm_ms = -1;
    for (int32_t i = 0; i < PW_MAX_SENTENCES; i++) {
        seen->trial_ms[i] = -1;
    }
    for (int32_t i = 0; i < PW_MAX_OUTLETS; i++) {
        seen->draw_ms[i] = -1;
    }
    if (marks) {
        seen->mark_capacity = 1024;
        seen->mark_ms = PW_NEW(arena, seen->mark_capacity, int64_t);
        seen->mark_m3 = PW_NEW(arena, seen->mark_capacity, double);
        seen->failed = seen->mark_ms == NULL || seen->mark_m3 == NULL;
    }
}

advise_seen *advise_seen_copy(const advise_seen *seen, pw_arena *arena, const pw_tally *tally)
{
    advise_seen *out = PW_NEW(arena, 1, advise_seen);
    if (out == NULL) {
        return NULL;
    }
    *out = *seen;
    out->arena = arena;
    out->tally = tally;
    for (int32_t i = 0; i <= seen->plan->probe_count; i++) {
        for (int32_t p = 0; p < seen->plan->plant->site->pump_count; p++) {
            advise_spans *spans = &out->spans[i][p];
            const advise_spans *from = &seen->spans[i][p];
            spans->at = PW_NEW(arena, from->capacity, advise_span);
            if (spans->at == NULL) {
                return NULL;
            }
            if (from->count > 0) {
                memcpy(spans->at, from->at, (size_t)from->count * sizeof *from->at);
            }
        }
    }
    out->mark_ms = PW_NEW(arena, out->mark_capacity, int64_t);
    out->mark_m3 = PW_NEW(arena, out->mark_capacity, double);
    if (out->mark_ms == NULL || out->mark_m3 == NULL) {
        return NULL;
    }
    memcpy(out->mark_ms, seen->mark_ms, (size_t)seen->mark_count * sizeof *seen->mark_ms);
    memcpy(out->mark_m3, seen->mark_m3, (size_t)seen->mark_count * sizeof *seen->mark_m3);
    return out;
}

/* Along a straight line between two steps of the controller. */
double advise_lost_m3(const advise_seen *seen, int64_t t_ms)
{
    int32_t low = 0, high = seen->mark_count - 1;
    if (high < 0 || t_ms <= seen->mark_ms[0]) {
        return 0.0;
    }
    if (t_ms >= seen->mark_ms[high]) {
        return seen->mark_m3[high];
    }
    while (high - low > 1) {
        const int32_t middle = low + (high - low) / 2;
        if (seen->mark_ms[middle] <= t_ms) {
            low = middle;
        } else {
            high = middle;
        }
    }
    const double part = (double)(t_ms - seen->mark_ms[low]) / (double)(seen->mark_ms[high] - seen->mark_ms[low]);
    return seen->mark_m3[low] + part * (seen->mark_m3[high] - seen->mark_m3[low]);
}

/* ---- passages ---- */

/* First moment from t_ms on within these hours of the day. */
static int64_t inside_from(int32_t night, int64_t t_ms)
{
    if (night < 0) {
        return t_ms;
    }
    const int64_t day_ms = DAY_S * 1000, of_day = t_ms % day_ms;
    const int64_t from = (int64_t)advise_nights[night][0] * 1000, to = (int64_t)advise_nights[night][1] * 1000;
    const bool inside = from < to ? of_day >= from && of_day < to : of_day >= from || of_day < to;
    if (inside) {
        return t_ms;
    }
    return of_day < from ? t_ms - of_day + from : t_ms - of_day + day_ms + from;
}

/* The earlier of two moments, the second if it lies in from .. end. */
static int64_t sooner(int64_t best_ms, int64_t t_ms, int64_t from_ms, int64_t end_ms)
{
    return t_ms >= from_ms && t_ms <= end_ms && (best_ms < 0 || t_ms < best_ms) ? t_ms : best_ms;
}

static int64_t first_by_starts(const advise_spans *runs, const pw_limit *limit, int32_t slack, int64_t from_ms,
                               int64_t end_ms)
{
    const int32_t wanted = (int32_t)pw_floor((double)limit->count / advise_slacks[slack]);
    const int32_t count = wanted < 1 ? 1 : wanted;
    int32_t first = 0; /* since which they are remembered */
    int64_t best_ms = -1;
    for (int32_t i = 0; i < runs->count; i++) {
        first = runs->at[i].anew ? i : first;
        if (i - first + 1 < count) {
            continue;
        }
        const int64_t until_ms = runs->at[i - count + 1].from_ms + (int64_t)limit->time_ms;
        const int64_t t_ms = inside_from(limit->night, runs->at[i].from_ms);
        if (t_ms < until_ms) {
            best_ms = sooner(best_ms, t_ms, from_ms, end_ms);
        }
        if (best_ms >= 0) {
            break;
        }
    }
    return best_ms;
}

/* Which of the windows in a row that go back from t_ms holds too few of the starts first .. last, from 1; 0 none.
 * *next_ms: when a start comes into it from the window before; INT64_MAX: only with a new one. */
static int32_t short_window(const advise_spans *runs, int32_t first, int32_t last, const pw_limit *limit, int32_t row,
                            int64_t t_ms, int64_t *next_ms)
{
    const int64_t window_ms = (int64_t)limit->time_ms;
    int32_t at = last;
    for (int32_t window = 1; window <= row; window++) {
        const int32_t newest = at;
        while (at >= first && t_ms - runs->at[at].from_ms < window * window_ms) {
            at--;
        }
        if (newest - at < limit->count) {
            *next_ms = newest < last ? runs->at[newest + 1].from_ms + (window - 1) * window_ms : INT64_MAX;
            return window;
        }
    }
    return 0;
}

/* The condition can come true at a start, or when one leaves a window for the next. */
static int64_t first_by_row(const advise_spans *runs, const pw_limit *limit, int32_t slack, int64_t from_ms,
                            int64_t end_ms)
{
    const int32_t wanted = (int32_t)pw_floor((double)limit->row / advise_slacks[slack]), row = wanted < 1 ? 1 : wanted;
    const int64_t window_ms = (int64_t)limit->time_ms;
    int32_t first = 0, chain = 0; /* since which they are remembered; since which none lie two windows apart */
    for (int32_t i = 0; i < runs->count; i++) {
        const int64_t start_ms = runs->at[i].from_ms;
        const int64_t later_ms = i + 1 < runs->count ? runs->at[i + 1].from_ms : INT64_MAX;
        first = runs->at[i].anew ? i : first;
        chain = first > chain || (i > 0 && start_ms - runs->at[i - 1].from_ms >= 2 * window_ms) ? i : chain;
        if (start_ms + window_ms - runs->at[chain].from_ms <= (row - 1) * window_ms) {
            continue; /* the oldest window is empty for as long as the newest is not */
        }
        int64_t t_ms = start_ms > from_ms ? start_ms : from_ms;
        while (t_ms < later_ms && t_ms <= end_ms && t_ms < start_ms + window_ms) {
            int64_t next_ms = INT64_MAX;
            if (short_window(runs, first, i, limit, row, t_ms, &next_ms) == 0) {
                return t_ms;
            }
            t_ms = next_ms;
        }
    }
    return -1;
}

static int64_t first_by_time(const advise_spans *spans, const pw_limit *limit, int32_t slack, int64_t from_ms,
                             int64_t end_ms)
{
    const int64_t time_ms = (int64_t)((double)limit->time_ms / advise_slacks[slack]);
    for (int32_t i = 0; i < spans->count; i++) {
        const advise_span *span = &spans->at[i];
        const int64_t free_ms = span->run_ms + (int64_t)limit->ignore_ms;
        const int64_t begin_ms = free_ms > span->from_ms ? free_ms : span->from_ms;
        const int64_t t_ms = inside_from(limit->night, begin_ms + time_ms);
        if ((t_ms < span->to_ms || (t_ms == span->to_ms && span->by_stop)) && t_ms >= from_ms) {
            return t_ms <= end_ms ? t_ms : -1;
        }
    }
    return -1;
}

/* The probe of that much stricter a level; -1: it was not looked at. */
static int32_t stricter_probe(const pw_family *family, const pw_limit *limit, int32_t slack)
{
    if (limit->probe < 0 || family->probe_count == 1) {
        return limit->probe;
    }
    const int32_t probe = limit->probe + slack, last = family->first_probe + family->probe_count - 1;
    return probe <= last ? probe : -1;
}

int64_t advise_first_ms(const advise_seen *seen, int32_t number, int32_t slack, int64_t from_ms, int64_t end_ms)
{
    const pw_advise_plan *plan = seen->plan;
    const pw_limit *limit = &plan->limits[number];
    const pw_family *family = &plan->families[limit->family];
    const int32_t pumps = plan->plant->site->pump_count;
    const bool by_level = family->probe_count > 1;
    const int32_t probe = by_level ? stricter_probe(family, limit, slack) : limit->probe;
    int64_t best_ms = -1;
    if (by_level && probe < 0) {
        return from_ms; /* nothing is known of so strict a level: it counts as one that acts */
    }
    for (int32_t p = 0; p < pumps; p++) {
        int64_t t_ms = -1;
        if (family->pump >= 0 && family->pump != p) {
            continue;
        }
        if (limit->row > 0) {
            t_ms = first_by_row(&seen->spans[plan->probe_count][p], limit, slack, from_ms, end_ms);
        } else if (limit->count > 0) {
            t_ms = first_by_starts(&seen->spans[plan->probe_count][p], limit, slack, from_ms, end_ms);
        } else {
            const int32_t which = probe < 0 ? plan->probe_count : probe;
            t_ms = first_by_time(&seen->spans[which][p], limit, by_level ? 0 : slack, from_ms, end_ms);
        }
        best_ms = t_ms >= 0 && (best_ms < 0 || t_ms < best_ms) ? t_ms : best_ms;
    }
    return best_ms;
}

int64_t advise_drawn_ms(const advise_seen *seen, int32_t limit, int32_t slack, int64_t end_ms)
{
    return first_by_time(&seen->draws, &seen->plan->limits[limit], slack, 0, end_ms);
}
