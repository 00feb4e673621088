/* Terms at one moment: do they hold, and when does time alone change them? Ages and the ring of starts behind them.
 * The invariants named here stand in step.c.
 */
#include "control/parts.h"

pw_moment pw_moment_now(uint32_t now_ms)
{
    return (pw_moment){.at_ms = now_ms, .long_ago = false};
}

uint32_t pw_moment_age(pw_moment moment_then, uint32_t now_ms)
{
    uint32_t age_ms = now_ms - moment_then.at_ms;
    return moment_then.long_ago || age_ms > PW_LONG_AGO_MS ? PW_LONG_AGO_MS : age_ms;
}

/* Ring of starts */

/* The start that lies `back` starts before the newest (0: the newest itself). */
uint32_t pw_start_before(const pw_pump_control *pump, int32_t back)
{
    int32_t i = pump->newest - back;
    return pump->starts_ms[i >= 0 ? i : i + PW_MAX_STARTS];
}

void pw_start_push(pw_pump_control *pump, uint32_t now_ms)
{
    pump->newest = pump->newest + 1 < PW_MAX_STARTS ? pump->newest + 1 : 0;
    pump->starts_ms[pump->newest] = now_ms;
    pump->start_count += pump->start_count < PW_MAX_STARTS ? 1 : 0;
}

void pw_starts_drop_old(pw_pump_control *pump, uint32_t now_ms)
{
    while (pump->start_count > 0 && now_ms - pw_start_before(pump, pump->start_count - 1) >= PW_LONG_AGO_MS) {
        pump->start_count--;
    }
}

/* Terms. `fresh` asks how the term would stand in the first moment of a run: invariant 6. */

/* In each of the last windows, going back from now. */
static bool starts_reach(const pw_moment_view *m, const pw_term *term)
{
    const pw_pump_control *pump = m->pump;
    int32_t at = 0;
    if (term->in_a_row == 1) { /* enough to look at one of them */
        return pump->start_count >= term->count && m->now_ms - pw_start_before(pump, term->count - 1) < term->time_ms;
    }
    for (uint32_t window = 1; window <= term->in_a_row; window++) {
        int32_t count = 0;
        while (at < pump->start_count && m->now_ms - pw_start_before(pump, at) < window * term->time_ms) {
            at++;
            count++;
        }
        if (count < term->count) {
            return false;
        }
    }
    return true;
}

static bool term_holds(const pw_moment_view *m, const pw_term *term, bool fresh)
{
    const pw_pump_control *pump = m->pump;
    bool running = pump->state == PW_PUMP_RUNNING || fresh;
    if (term->needs_run && (!running || fresh)) {
        return false;
    }
    if (term->ignore_ms > 0 && (fresh || pw_moment_age(pump->start, m->now_ms) < term->ignore_ms)) {
        return false;
    }
    if (term->of_pump >= 0) {
        pump = &m->control->pumps[term->of_pump];
        fresh = fresh && term->of_pump == m->number;
        running = pump->state == PW_PUMP_RUNNING || fresh;
    }
    switch (term->kind) {
    case PW_TERM_FLOW:
    case PW_TERM_PROBE:
    case PW_TERM_PHASES:
    case PW_TERM_CONTACT: return (m->inputs[term->signal] > 0.5) == term->above;
    case PW_TERM_STARTS: return starts_reach(m, term);
    case PW_TERM_RUNNING:
        return running && (term->time_ms == 0 || (!fresh && pw_moment_age(pump->start, m->now_ms) >= term->time_ms));
    case PW_TERM_STOPPED: return !running && pw_moment_age(pump->stop, m->now_ms) >= term->time_ms;
    case PW_TERM_LOCKED: return pump->state == PW_PUMP_LOCKED && pw_moment_age(pump->lock, m->now_ms) >= term->time_ms;
    case PW_TERM_CLOCK: return pw_clock_inside(term, m->control->week_ms) == term->above;
    default: {
        double value = m->inputs[term->signal];
        return term->above ? value > term->threshold : value < term->threshold;
    }
    }
}

bool pw_row_holds(const pw_moment_view *m, const pw_row *row, bool fresh)
{
    bool group = true;
    for (int32_t k = 0; k < row->term_count; k++) {
        if (row->terms[k].or_before) {
            if (group) {
                return !row->turned;
            }
            group = true;
        }
        group = group && term_holds(m, &row->terms[k], fresh);
    }
    return group != row->turned;
}

uint8_t pw_row_terms(const pw_moment_view *m, const pw_row *row)
{
    uint8_t held = 0, group = 0;
    bool holds = true;
    for (int32_t k = 0; k < row->term_count; k++) {
        if (row->terms[k].or_before) {
            held |= holds ? group : 0;
            group = 0;
            holds = true;
        }
        group |= (uint8_t)(1u << k);
        holds = holds && term_holds(m, &row->terms[k], false);
    }
    return (uint8_t)(held | (holds ? group : 0));
}

/* Next due */

void pw_sooner(uint32_t *due_ms, uint32_t left_ms)
{
    uint32_t at_least_ms = left_ms > 0 ? left_ms : 1;
    *due_ms = at_least_ms < *due_ms ? at_least_ms : *due_ms;
}

/* A start leaves one window of the row for the next. With one window only the N-th newest matters. */
static void starts_due(const pw_moment_view *m, const pw_term *term, uint32_t *due_ms)
{
    int32_t first = term->in_a_row == 1 ? term->count - 1 : 0;
    int32_t last = term->in_a_row == 1 ? term->count - 1 : m->pump->start_count - 1;
    for (int32_t i = first; i <= last; i++) {
        uint32_t age_ms = m->now_ms - pw_start_before(m->pump, i);
        if (age_ms >= term->in_a_row * term->time_ms) {
            break;
        }
        pw_sooner(due_ms, term->time_ms - age_ms % term->time_ms);
    }
}

void pw_term_due(const pw_moment_view *m, const pw_term *term, uint32_t *due_ms)
{
    const pw_pump_control *pump = m->pump;
    uint32_t ran_ms = pw_moment_age(pump->start, m->now_ms);
    uint32_t stood_ms = pw_moment_age(pump->stop, m->now_ms);
    if (ran_ms < term->ignore_ms) {
        pw_sooner(due_ms, term->ignore_ms - ran_ms);
    }
    if (term->kind == PW_TERM_CLOCK) {
        pw_sooner(due_ms, pw_clock_left(term, m->control->week_ms));
    }
    if (term->of_pump >= 0) {
        pump = &m->control->pumps[term->of_pump];
        ran_ms = pw_moment_age(pump->start, m->now_ms);
        stood_ms = pw_moment_age(pump->stop, m->now_ms);
    }
    uint32_t locked_ms = pw_moment_age(pump->lock, m->now_ms);
    if (term->kind == PW_TERM_LOCKED && pump->state == PW_PUMP_LOCKED && locked_ms < term->time_ms) {
        pw_sooner(due_ms, term->time_ms - locked_ms);
    }
    if (term->kind == PW_TERM_RUNNING && pump->state == PW_PUMP_RUNNING && ran_ms < term->time_ms) {
        pw_sooner(due_ms, term->time_ms - ran_ms);
    }
    if (term->kind == PW_TERM_STOPPED && pump->state != PW_PUMP_RUNNING && stood_ms < term->time_ms) {
        pw_sooner(due_ms, term->time_ms - stood_ms);
    }
    if (term->kind == PW_TERM_STARTS && pump->start_count >= term->count * term->in_a_row) {
        starts_due(m, term, due_ms);
    }
}
