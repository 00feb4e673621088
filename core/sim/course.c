/* Faults that begin, grow in parts and end: at each change the condition is made anew from all that go on. */
#include "base/num.h"
#include "sim/run_impl.h"

#include <string.h>

static double reference_of(const run_state *run)
{
    return run->options->reference_pa > 0.0 ? run->options->reference_pa : run->plant->reference_pa;
}

static bool is_any(const pw_fault *fault)
{
    return fault->kind != PW_FAULT_NONE;
}

/* A reading that lags needs a number in y; the sums come after it. */
static void number_lags(run_state *run)
{
    int32_t next = run->storages + run->thermals;
    run->lags = next;
    for (int32_t s = 0; s < PW_MAX_SENSORS; s++) {
        run->lag_of[s] = -1;
    }
    for (int32_t i = 0; i < run->options->fault_count; i++) {
        const pw_fault *fault = &run->options->faults[i];
        const int32_t where = pw_fault_where(run->plant->site, fault->kind, fault->where);
        if (fault->kind == PW_FAULT_TAPPING && where >= 0 && run->lag_of[where] < 0) {
            run->lag_of[where] = next;
            run->scale[next] = 1e6; /* Pa: what a reading can be */
            next++;
        }
    }
    run->sums = next;
    run->y_count = next + SUM_PUMPS + 2 * run->thermals;
}

void pw_course_set_up(run_state *run)
{
    number_lags(run);
    for (int32_t i = 0; i < MOST_FAULTS; i++) {
        fault_state *state = &run->faults[i];
        state->part_due_ms = INT64_MAX;
        state->over_ms = INT64_MAX;
        if (i < run->options->fault_count && is_any(&run->options->faults[i])) {
            state->course = pw_fault_course_of(&run->options->faults[i]);
            state->part_due_ms = run->options->faults[i].onset_ms;
        }
    }
    for (int32_t p = 0; p < PW_MAX_PUMPS; p++) {
        run->pumps[p].up_ms = INT64_MAX;
        run->pumps[p].surge_due_ms = INT64_MAX;
    }
}

int64_t pw_course_due(const run_state *run)
{
    int64_t next = INT64_MAX;
    for (int32_t i = 0; i < MOST_FAULTS; i++) {
        const fault_state *state = &run->faults[i];
        next = state->part_due_ms >= run->t_ms && state->part_due_ms < next ? state->part_due_ms : next;
        next = state->over_ms < next ? state->over_ms : next;
    }
    return next;
}

/* Totals from here on are those since the onset. */
static void mark_onset(run_state *run)
{
    run->begun = true;
    memcpy(run->y_onset, run->now.y, sizeof run->y_onset);
    run->book->at_fault = pw_book_totals(run, false);
    run->tally_onset = run->tally;
    for (int32_t p = 0; p < run->thermals; p++) {
        run->starts[p].since_first = run->starts[p].count;
    }
    run->since.most_starts_in_hour = 0;
    run->since.longest_run_s = 0.0;
    run->since.winding_max_c = run->plant->site->water_c.v;
    run->since.water_max_c = run->plant->site->water_c.v;
    run->since.pressure_min_pa = PW_INF;
    run->since.pressure_max_pa = -PW_INF;
    run->since.pressure_top_pa = -PW_INF;
}

/* The controller knows nothing of an order that was just typed: it begins anew under it. */
static void type_settings(run_state *run)
{
    if (run->book->typed_refused) {
        pw_book_entry(run, PW_ENTRY_TYPED, -1, -1, 0.0, 0.0);
        return;
    }
    run->table = run->typed_table;
    run->settings_in_force = run->typed_settings;
    pw_control_begin(run->table, run->control, (uint32_t)run->t_ms);
    pw_control_clock(run->control, (uint32_t)run->t_ms, (uint32_t)(run->t_ms % PW_WEEK_MS));
    run->control_due_ms = run->t_ms;
    pw_sensors_watch(run);
}

/* Sensors that are held from now on keep what they tell; a reading that begins to lag begins at the truth. */
static void take_over_sensors(run_state *run, const pw_condition *next)
{
    for (int32_t s = 0; s < run->plant->site->sensor_count; s++) {
        if (next->sensor_hold[s] == PW_HOLD_AS_IT_IS && run->condition.sensor_hold[s] != PW_HOLD_AS_IT_IS) {
            run->held[s] = pw_sensors_told(run, s);
        }
        if (next->sensor_lag_s[s] > 0.0 && run->condition.sensor_lag_s[s] <= 0.0 && run->lag_of[s] >= 0) {
            run->now.y[run->lag_of[s]] = pw_sensors_truth(run, s);
        }
    }
}

static void take_over_pumps(run_state *run, const pw_condition *next)
{
    for (int32_t p = 0; p < run->plant->site->pump_count; p++) {
        pump_state *pump = &run->pumps[p];
        if (next->welded[p] && !run->condition.welded[p]) {
            pump->pulled_in = run->drive.run[p];
        }
        if (next->drains_s[p] > 0.0 && run->condition.drains_s[p] <= 0.0) {
            pump->rest_from_ms = run->t_ms;
        }
        if (run->drive.run[p] && next->supply != run->condition.supply) {
            const bool stalls = pw_model_stalls(run->plant->model, p, next->supply);
            if (stalls && !pump->stuck) {
                pw_book_entry(run, PW_ENTRY_STALL, p, -1, 0.0, 0.0);
            }
            pump->stuck = stalls;
        }
    }
}

/* The supply goes, or comes back to a controller that has forgotten what its order does not keep. */
static void take_over_supply(run_state *run, const pw_condition *next)
{
    if (next->supply_lost && !run->powerless) {
        run->powerless = true;
        pw_control_lost(run->table, run->control, (uint32_t)run->t_ms);
        run->control_due_ms = INT64_MAX;
        memset(&run->outputs, 0, sizeof run->outputs);
    }
    if (!next->supply_lost && run->powerless) {
        run->powerless = false;
        pw_control_power(run->table, run->control, (uint32_t)run->t_ms);
        run->control_due_ms = run->t_ms;
    }
}

void pw_course_impose(run_state *run)
{
    for (int32_t p = 0; p < run->plant->site->pump_count; p++) {
        const pump_state *pump = &run->pumps[p];
        run->condition.stalled[p] = pump->stuck || pump->up_ms != INT64_MAX;
        run->condition.pump_empty[p] = pump->empty;
    }
}

static void renew_condition(run_state *run)
{
    pw_condition next;
    pw_condition_healthy(run->plant->model, &next);
    for (int32_t i = 0; i < run->options->fault_count; i++) {
        const fault_state *state = &run->faults[i];
        if (state->parts > 0 && !state->over) {
            const double done = (double)state->parts / (double)state->course.parts;
            pw_fault_apply(run->plant->model, &run->options->faults[i], done, reference_of(run), &next);
        }
    }
    take_over_sensors(run, &next);
    take_over_pumps(run, &next);
    take_over_supply(run, &next);
    run->condition = next;
    pw_course_impose(run);
}

static void take_one(run_state *run, int32_t i)
{
    fault_state *state = &run->faults[i];
    const pw_fault *fault = &run->options->faults[i];
    if (state->part_due_ms <= run->t_ms) {
        if (state->parts == 0) {
            pw_book_entry(run, PW_ENTRY_FAULT, i, -1, fault->severity, (double)fault->kind);
            state->over_ms = state->course.lasts_ms > 0 ? run->t_ms + state->course.lasts_ms : INT64_MAX;
            if (pw_fault_of_settings(fault->kind)) {
                type_settings(run);
            }
        }
        state->parts++;
        state->part_due_ms = state->parts < state->course.parts ? run->t_ms + state->course.part_ms : INT64_MAX;
    }
    if (state->over_ms <= run->t_ms) {
        state->over = true;
        state->over_ms = INT64_MAX;
        state->part_due_ms = INT64_MAX;
        pw_book_entry(run, PW_ENTRY_FAULT_END, i, -1, fault->severity, (double)fault->kind);
    }
}

bool pw_course_take(run_state *run)
{
    bool any = false;
    for (int32_t i = 0; i < MOST_FAULTS; i++) {
        const fault_state *state = &run->faults[i];
        any = any || state->part_due_ms <= run->t_ms || state->over_ms <= run->t_ms;
    }
    if (!any) {
        return false;
    }
    const bool first = !run->begun;
    for (int32_t i = 0; i < run->options->fault_count; i++) {
        take_one(run, i);
    }
    renew_condition(run);
    if (first) {
        mark_onset(run);
    }
    return true;
}
