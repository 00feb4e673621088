/* Faults that begin, grow in parts and end, and the supply through the day: at each change the condition is made anew,
 * from the supply that the sheet gives at that moment and all faults that go on. */
#include "base/num.h"
#include "element/supply.h"
#include "sim/run_impl.h"

#include <string.h>

static double reference_of(const pw_sim *run)
{
    return run->options.reference_pa > 0.0 ? run->options.reference_pa : run->plant->reference_pa;
}

void pw_course_set_up(pw_sim *run)
{
    const bool any = run->plant->site->supply.point_count > 0 || run->plant->site->supply.solar.point_count > 0;
    run->supply_due_ms = any ? 0 : INT64_MAX;
    run->lags = run->storages + run->thermals;
    run->sums = run->lags;
    run->y_count = run->sums + SUM_PUMPS + 2 * run->thermals + run->plant->site->filter_count +
                   (run->plant->site->supply.battery.full_v.given ? 1 : 0);
    for (int32_t s = 0; s < PW_MAX_SENSORS; s++) {
        run->lag_of[s] = -1;
    }
    for (int32_t i = 0; i < MOST_FAULTS; i++) {
        run->faults[i].part_due_ms = INT64_MAX;
        run->faults[i].over_ms = INT64_MAX;
    }
    for (int32_t p = 0; p < PW_MAX_PUMPS; p++) {
        run->pumps[p].up_ms = INT64_MAX;
        run->pumps[p].surge_due_ms = INT64_MAX;
    }
}

/* A reading that may come to lag needs a number in y: the sums move up by one. */
static void number_lag(pw_sim *run, int32_t sensor)
{
    const int32_t lag = run->sums;
    memmove(&run->now.y[lag + 1], &run->now.y[lag], (size_t)(run->y_count - lag) * sizeof run->now.y[0]);
    run->now.y[lag] = 0.0;
    run->lag_of[sensor] = lag;
    run->scale[lag] = 1e6; /* Pa: what a reading can be */
    run->sums++;
    run->y_count++;
}

void pw_course_add(pw_sim *run, const pw_fault *fault)
{
    fault_state *state = &run->faults[run->fault_count];
    run->fault_count++;
    state->fault = *fault;
    if (fault->kind == PW_FAULT_NONE) {
        return;
    }
    state->course = pw_fault_course_of(fault);
    state->part_due_ms = fault->onset_ms;
    pw_condition whole; /* as this fault alone leaves it at its end */
    pw_condition_healthy(run->plant->model, &whole);
    pw_fault_apply(run->plant->model, fault, 1.0, reference_of(run), &whole);
    for (int32_t s = 0; s < run->plant->site->sensor_count; s++) {
        if (whole.sensor_lag_s[s] > 0.0 && run->lag_of[s] < 0) {
            number_lag(run, s);
        }
    }
}

int64_t pw_course_due(const pw_sim *run)
{
    int64_t next = run->supply_due_ms;
    for (int32_t i = 0; i < MOST_FAULTS; i++) {
        const fault_state *state = &run->faults[i];
        next = state->part_due_ms >= run->t_ms && state->part_due_ms < next ? state->part_due_ms : next;
        next = state->over_ms < next ? state->over_ms : next;
    }
    return next;
}

/* The controller knows nothing of settings that were just typed: it begins anew under them. */
static void type_settings(pw_sim *run)
{
    if (run->retyped->refused) {
        pw_sim_tell(run, PW_ENTRY_TYPED, -1, -1, 0.0, 0.0);
        return;
    }
    pw_sim_begin_control(run, run->typed_table, run->typed_settings);
}

/* Sensors that are held from now on keep what they tell; a reading that begins to lag begins at the truth. */
static void take_over_sensors(pw_sim *run, const pw_condition *next)
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

static void take_over_pumps(pw_sim *run, const pw_condition *next)
{
    for (int32_t p = 0; p < run->plant->site->pump_count; p++) {
        pump_state *pump = &run->pumps[p];
        if (next->welded[p] && !run->condition.welded[p]) {
            pump->pulled_in = run->drive.speed[p] > 0.0;
        }
        if (next->drains_s[p] > 0.0 && run->condition.drains_s[p] <= 0.0) {
            pump->rest_from_ms = run->t_ms;
        }
    }
}

/* After the condition is made anew: motors that are switched on feel the other voltage. */
static void feel_supply(pw_sim *run, double before)
{
    for (int32_t p = 0; p < run->plant->site->pump_count; p++) {
        if (run->drive.speed[p] > 0.0 && run->condition.supply != before) {
            pw_contactor_supply(run, p);
        }
    }
}

/* The supply goes, or comes back to a controller that has forgotten what its order does not keep. */
static void take_over_supply(pw_sim *run, const pw_condition *next)
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

void pw_course_impose(pw_sim *run)
{
    for (int32_t p = 0; p < run->plant->site->pump_count; p++) {
        const pump_state *pump = &run->pumps[p];
        run->condition.stalled[p] = pump->stuck || pump->up_ms != INT64_MAX;
        run->condition.pump_empty[p] = pump->empty;
    }
}

static void renew_condition(pw_sim *run)
{
    pw_condition next;
    const double before = run->condition.supply;
    pw_condition_healthy(run->plant->model, &next);
    pw_supply_impose(run->plant->model, run->t_ms, &next);
    for (int32_t i = 0; i < run->fault_count; i++) {
        const fault_state *state = &run->faults[i];
        if (state->parts > 0 && !state->over) {
            const double done = (double)state->parts / (double)state->course.parts;
            pw_fault_apply(run->plant->model, &state->fault, done, reference_of(run), &next);
        }
    }
    take_over_sensors(run, &next);
    take_over_pumps(run, &next);
    take_over_supply(run, &next);
    run->condition = next;
    pw_filters_impose(run, &run->condition);
    feel_supply(run, before);
    pw_air_impose(run);
    pw_course_impose(run);
}

static void take_one(pw_sim *run, int32_t i)
{
    fault_state *state = &run->faults[i];
    const pw_fault *fault = &state->fault;
    if (state->part_due_ms <= run->t_ms) {
        if (state->parts == 0) {
            pw_sim_tell(run, PW_ENTRY_FAULT, i, -1, fault->severity, (double)fault->kind);
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
        pw_sim_tell(run, PW_ENTRY_FAULT_END, i, -1, fault->severity, (double)fault->kind);
    }
}

bool pw_course_take(pw_sim *run)
{
    bool any = run->supply_due_ms <= run->t_ms;
    for (int32_t i = 0; i < MOST_FAULTS; i++) {
        const fault_state *state = &run->faults[i];
        any = any || state->part_due_ms <= run->t_ms || state->over_ms <= run->t_ms;
    }
    if (!any) {
        return false;
    }
    for (int32_t i = 0; i < run->fault_count; i++) {
        take_one(run, i);
    }
    if (run->supply_due_ms <= run->t_ms) {
        run->supply_due_ms = pw_supply_next_ms(run->plant->site, run->t_ms);
    }
    renew_condition(run);
    return true;
}
