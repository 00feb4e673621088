/* Runs and rests. Whether the pump runs is told by its contact, else by power or current, else by the turns of the
 * pressure: it rises only while a pump runs. */
#include "study/log_inside.h"

/* On is more than this part of the most seen, and more than what a meter shows of nothing (own choices). */
#define ON_PART  0.25
#define OFF_PART 0.08 /* and off below this one: noise of a meter is no stop */
#define ON_A     0.3
#define ON_W     30.0
/* The pressure has turned when it went back by so much. */
#define TURN_OF_SPAN  0.2
#define TURN_OF_NOISE 6.0
#define TURN_PA       4e3
/* The gauge is watched over so long a stretch of rest, from a while after the stop on. */
#define WINDOW_S       900.0
#define WINDOW_LEAST_S 60.0
#define CALM_S         30.0
#define SOON_S         15.0
#define SOON_MOST_S    90.0

typedef enum told { OFF, ON, UNTOLD } told;

static told level_told(double value, double *top, double least)
{
    if (!pw_log_there(value)) {
        return UNTOLD;
    }
    *top = pw_max(*top, value);
    return value > pw_max(ON_PART * *top, least) ? ON : value > pw_max(OFF_PART * *top, 0.3 * least) ? UNTOLD : OFF;
}

static told is_on(pw_record *log, const pw_log_row *row)
{
    const double value = row->value[PW_LOG_RUNNING];
    switch (log->told_by) {
    case PW_LOG_BY_CONTACT: return !pw_log_there(value) ? UNTOLD : value > 0.5 ? ON : OFF;
    case PW_LOG_BY_POWER: return level_told(row->value[PW_LOG_POWER], &log->top_power, ON_W);
    case PW_LOG_BY_CURRENT: return level_told(row->value[PW_LOG_CURRENT], &log->top_current, ON_A);
    default: return UNTOLD;
    }
}

static void close_window(pw_record *log, double t_s, double pa, double least_s)
{
    pw_log_state *state = &log->state;
    const double over_s = t_s - state->window_s;
    if (state->window && pw_log_there(pa) && over_s >= least_s) {
        pw_log_note(log, PW_LOG_FALL, pw_max(state->window_pa - pa, 0.0) / over_s);
    }
    state->window = false;
}

static void start(pw_record *log, double t_s, double pa)
{
    pw_log_state *state = &log->state;
    if (state->known && state->clean) {
        pw_log_note(log, PW_LOG_REST, t_s - state->since_s);
        if (pw_log_there(pa)) {
            pw_log_note(log, PW_LOG_AT_START, pa);
        }
    }
    close_window(log, t_s, pa, pw_max(WINDOW_LEAST_S, 3.0 * log->step_s));
    if (!log->has[PW_LOG_STARTS]) {
        pw_log_now(log)->starts += 1.0;
        log->hour_starts += 1.0;
    }
    state->on = state->known = state->clean = true;
    state->since_s = t_s;
    state->start_pa = pa;
    state->sum = state->square = state->n = 0.0;
    state->soon = false;
}

static void stop(pw_record *log, double t_s, double pa)
{
    pw_log_state *state = &log->state;
    const double run_s = t_s - state->since_s;
    if (state->known && state->clean && run_s > 0.0) {
        pw_log_now(log)->on_s += log->told_by == PW_LOG_BY_TURNS ? run_s : 0.0; /* known only now */
        pw_log_note(log, PW_LOG_RUN, run_s);
        if (pw_log_there(pa)) {
            pw_log_note(log, PW_LOG_AT_STOP, pa);
        }
        if (pw_log_there(pa) && pw_log_there(state->start_pa)) {
            pw_log_note(log, PW_LOG_RISE, pw_max(pa - state->start_pa, 0.0) / run_s);
        }
    }
    if (state->n >= 5.0 && state->sum > 0.0) {
        const double mean = state->sum / state->n, variance = state->square / state->n - mean * mean;
        pw_log_note(log, PW_LOG_UNSTEADY, pw_sqrt(pw_max(variance, 0.0)) / mean);
    }
    state->on = false;
    state->known = state->clean = true;
    state->since_s = t_s;
    state->stop_s = t_s;
    state->stop_pa = pa;
    state->soon = pw_log_there(pa);
    state->window = false;
}

/* Only the turns of the pressure are known: a turn is told when it is past. */
static void follow_turns(pw_record *log, const pw_log_row *row)
{
    pw_log_state *state = &log->state;
    const double pa = row->value[PW_LOG_PRESSURE];
    if (!pw_log_there(pa)) {
        return;
    }
    const double span = log->most[PW_LOG_PRESSURE] - log->least[PW_LOG_PRESSURE];
    const double turn = pw_max(pw_max(TURN_OF_SPAN * span, TURN_OF_NOISE * log->noise[PW_LOG_PRESSURE]), TURN_PA);
    if (!state->clean) {
        state->low_pa = state->high_pa = pa;
        state->low_s = state->high_s = row->t_s;
        state->clean = true;
    }
    if (pa <= state->low_pa) {
        state->low_pa = pa;
        state->low_s = row->t_s;
    }
    if (pa >= state->high_pa) {
        state->high_pa = pa;
        state->high_s = row->t_s;
    }
    if (!state->on && pa > state->low_pa + turn) {
        start(log, state->low_s, state->low_pa);
        state->high_pa = pa;
        state->high_s = row->t_s;
    } else if (state->on && pa < state->high_pa - turn) {
        stop(log, state->high_s, state->high_pa);
        state->soon = false; /* it is past */
        state->low_pa = pa;
        state->low_s = row->t_s;
    }
}

static void watch_fall(pw_record *log, const pw_log_row *row)
{
    pw_log_state *state = &log->state;
    const double pa = row->value[PW_LOG_PRESSURE], after_s = row->t_s - state->stop_s;
    if (state->on || !pw_log_there(pa)) {
        return;
    }
    if (state->soon && after_s >= SOON_S) {
        if (after_s <= SOON_MOST_S) {
            pw_log_note(log, PW_LOG_FALL_AT_ONCE, pw_max(state->stop_pa - pa, 0.0) / after_s);
        }
        state->soon = false;
    }
    const double over_s = pw_max(WINDOW_S, 4.0 * log->step_s);
    if (state->window && row->t_s - state->window_s >= over_s) {
        close_window(log, row->t_s, pa, over_s);
    }
    if (!state->window && (!state->known || row->t_s - state->since_s >= CALM_S)) {
        state->window = true;
        state->window_s = row->t_s;
        state->window_pa = pa;
    }
}

static void note_running(pw_record *log, const pw_log_row *row)
{
    static const struct {
        pw_log_signal signal;
        pw_log_raw raw;
    } kinds[] = {{PW_LOG_FLOW, PW_LOG_FLOW_ON},
                 {PW_LOG_CURRENT, PW_LOG_CURRENT_ON},
                 {PW_LOG_POWER, PW_LOG_POWER_ON},
                 {PW_LOG_VIBRATION, PW_LOG_VIBRATION_ON}};
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        if (log->has[kinds[i].signal] && pw_log_there(row->value[kinds[i].signal])) {
            pw_log_note(log, kinds[i].raw, pw_abs(row->value[kinds[i].signal]));
        }
    }
    pw_log_state *state = &log->state;
    const double current = log->has[PW_LOG_CURRENT] ? row->value[PW_LOG_CURRENT] : row->value[PW_LOG_POWER];
    if (pw_log_there(current) && row->t_s - state->since_s > 3.0) { /* the inrush is past */
        state->sum += current;
        state->square += current * current;
        state->n += 1.0;
    }
}

static void hours(pw_record *log, double t_s, double step_s, bool gap)
{
    if (t_s - log->hour_s >= 3600.0 || t_s < log->hour_s) {
        if (log->hour_covered_s >= 3000.0) {
            pw_log_note(log, PW_LOG_STARTS_HOUR, log->hour_starts);
        }
        log->hour_s = 3600.0 * pw_floor(t_s / 3600.0);
        log->hour_covered_s = log->hour_starts = 0.0;
    }
    log->hour_covered_s += gap ? 0.0 : step_s;
}

/* Some loggers write when something switches, besides their usual rows. The row before the one that shows it tells. */
static void note_switch(pw_record *log, double step_s)
{
    log->switches++;
    log->switch_rows += step_s < 0.9 * log->step_s ? 1 : 0;
}

void pw_log_runs_take(pw_record *log, const pw_log_row *row, double step_s, bool gap)
{
    pw_log_state *state = &log->state;
    const bool was_on = state->on, turns = log->told_by == PW_LOG_BY_TURNS;
    if (gap) {
        state->known = state->clean = state->window = state->soon = false;
    }
    hours(log, row->t_s, step_s, gap);
    if (turns) {
        follow_turns(log, row);
    } else {
        const told now = is_on(log, row);
        if (gap || log->last_s == log->first_s) {
            state->on = now == ON;
            state->since_s = row->t_s;
        } else if (now == ON && !state->on) {
            note_switch(log, step_s);
            start(log, row->t_s, state->before_pa);
        } else if (now == OFF && state->on) {
            note_switch(log, step_s);
            stop(log, row->t_s, state->before_pa);
        }
    }
    if (!gap) {
        pw_log_now(log)->covered_s += step_s;
        pw_log_now(log)->on_s += was_on && !turns && !log->has[PW_LOG_RAN] ? step_s : 0.0;
    }
    watch_fall(log, row);
    const double flow = row->value[PW_LOG_FLOW];
    const bool untold = log->told_by == PW_LOG_BY_NOTHING || (turns && !state->known);
    if (state->on || (untold && pw_log_there(flow) && flow > 1e-9)) {
        note_running(log, row);
    } else if (pw_log_there(flow)) {
        log->rest_rows++;
        log->rest_flowing += flow > 4.0 * log->noise[PW_LOG_FLOW] + 1e-8 ? 1 : 0;
    }
    state->before_pa = row->value[PW_LOG_PRESSURE];
}
