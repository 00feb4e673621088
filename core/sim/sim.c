/* A simulation under way: the loop that run_impl.h describes. */
#include "base/num.h"
#include "sim/run_impl.h"

/* ---- what is due ---- */

static void take_demand(pw_sim *run)
{
    while (pw_demand_next_ms(run->demand) <= run->t_ms) {
        const pw_demand_change change = pw_demand_take(run->plant->site, run->demand);
        run->drive.draw_m3s[change.outlet] = change.total_m3s;
        pw_sim_tell(run, change.begins ? PW_ENTRY_DRAW : PW_ENTRY_DRAW_END, change.outlet, -1, change.flow_m3s,
                    change.total_m3s);
    }
}

/* A chattering flow switch: while water really moves it, it reads the opposite every other time. */
static void shake(pw_sim *run)
{
    for (int32_t s = 0; s < run->plant->site->sensor_count; s++) {
        const double hz = run->condition.chatter_hz[s];
        if (hz <= 0.0 || !run->made[s]) {
            run->shaken[s] = false;
            run->toggle_ms[s] = INT64_MAX;
        } else if (run->toggle_ms[s] == INT64_MAX || run->toggle_ms[s] <= run->t_ms) {
            const double wait = pw_max(pw_floor(1e3 / hz + 0.5), 1.0);
            run->shaken[s] = run->toggle_ms[s] == INT64_MAX ? run->shaken[s] : !run->shaken[s];
            run->toggle_ms[s] = run->t_ms + (int64_t)wait;
        }
    }
}

/* A person releases what is locked out, and sees to the pumps. */
static void take_release(pw_sim *run)
{
    if (run->release_ms <= run->t_ms) {
        run->release_ms = INT64_MAX;
        pw_control_release(run->table, run->control, -1, (uint32_t)run->t_ms);
        pw_contactor_release(run); /* the controller tells of each pump that it releases */
    }
}

static int64_t reset_due(const pw_sim *run)
{
    const bool any = run->resets_done < run->options.reset_count;
    return any ? run->options.reset_ms[run->resets_done] : INT64_MAX;
}

/* A person resets the counters; without power they cannot be reached, and the person comes back when it is there. */
static void reset_counters(pw_sim *run)
{
    while (reset_due(run) <= run->t_ms && !run->powerless) {
        for (int32_t p = 0; p < run->plant->site->pump_count; p++) {
            pw_control_counts_reset(run->control, p, (uint32_t)run->t_ms);
        }
        pw_sim_tell(run, PW_ENTRY_RESET, -1, -1, 0.0, 0.0);
        run->resets_done++;
    }
}

int64_t pw_sim_next_due(const pw_sim *run, int64_t until_ms)
{
    int64_t next = until_ms;
    const int64_t others[] = {pw_demand_next_ms(run->demand),
                              run->control_due_ms,
                              run->release_ms,
                              pw_course_due(run),
                              pw_filters_due(run),
                              pw_contactor_due(run),
                              pw_air_due(run),
                              run->powerless ? INT64_MAX : reset_due(run)};
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        next = others[i] < next ? others[i] : next;
    }
    for (int32_t s = 0; s < run->plant->site->sensor_count; s++) {
        const pw_sensor *sensor = &run->plant->site->sensors[s];
        next = run->toggle_ms[s] < next ? run->toggle_ms[s] : next;
        if (sensor->kind == PW_SENSOR_CONTACT) {
            const int64_t edge = pw_contact_next(sensor, run->t_ms);
            next = edge < next ? edge : next;
        }
    }
    return next > run->t_ms ? next : run->t_ms + 1;
}

/* ---- the controller ---- */

void pw_sim_begin_control(pw_sim *run, const pw_table *table, const pw_settings *settings)
{
    run->table = table;
    run->settings_in_force = settings;
    pw_control_begin(run->table, run->control, (uint32_t)run->t_ms);
    pw_control_clock(run->control, (uint32_t)run->t_ms, (uint32_t)(run->t_ms % PW_WEEK_MS));
    run->control_due_ms = run->t_ms;
    pw_sensors_watch(run);
}

static void note_event(pw_sim *run, const pw_control_event *event)
{
    switch (event->kind) {
    case PW_CONTROL_STARTED:
    case PW_CONTROL_STOPPED: break; /* the day book follows the contactor: pw_contactor_switch */
    case PW_CONTROL_LOCKED:
        if (run->options.release_after_ms > 0 && run->release_ms == INT64_MAX) {
            run->release_ms = run->t_ms + run->options.release_after_ms;
        }
        pw_sim_tell(run, PW_ENTRY_LOCK, event->pump, event->sentence, 0.0, 0.0);
        break;
    case PW_CONTROL_WARNED: pw_sim_tell(run, PW_ENTRY_WARN, event->pump, event->sentence, 0.0, 0.0); break;
    case PW_CONTROL_HELD: break; /* noted after the stop that it follows */
    case PW_CONTROL_RELEASED: pw_sim_tell(run, PW_ENTRY_RELEASE, event->pump, event->sentence, 0.0, 0.0); break;
    case PW_CONTROL_RETRIED: pw_sim_tell(run, PW_ENTRY_RETRY, event->pump, event->sentence, 0.0, 0.0); break;
    }
}

static void note_held(pw_sim *run)
{
    for (int32_t i = 0; i < run->outputs.event_count; i++) {
        const pw_control_event *event = &run->outputs.events[i];
        if (event->kind == PW_CONTROL_HELD) {
            pw_sim_tell(run, PW_ENTRY_HELD, event->pump, event->sentence, (double)event->held_by, 0.0);
        }
    }
}

static void step_control(pw_sim *run)
{
    if (run->powerless) {
        run->control_due_ms = INT64_MAX;
        return;
    }
    pw_sensors_read(run);
    pw_control_step(run->table, run->control, run->inputs, (uint32_t)run->t_ms, &run->outputs);
    for (int32_t i = 0; i < run->outputs.event_count; i++) {
        note_event(run, &run->outputs.events[i]);
    }
    run->control_due_ms =
        run->outputs.next_due_ms == PW_NEVER_MS ? INT64_MAX : run->t_ms + (int64_t)run->outputs.next_due_ms;
}

/* ---- one round ---- */

#define LEAST_STEP_S 1e-3

/* Something of this site settles within a moment: it is told as it is a millisecond later. */
static bool settles_at_once(const pw_sim *run)
{
    return run->t_ms < run->stiff_until_ms || pw_model_runs_empty(run->plant->model, run->now.y);
}

static pw_status moment_now(pw_sim *run)
{
    run->drive.ahead_s = settles_at_once(run) ? LEAST_STEP_S : 0.0;
    pw_status status = pw_run_moment(run, &run->now);
    if (status != PW_OK && run->drive.ahead_s > 0.0) {
        run->drive.ahead_s = 0.0;
        status = pw_run_moment(run, &run->now);
    }
    run->drive.ahead_s = 0.0;
    return status;
}

pw_status pw_run_moment(pw_sim *run, point *at)
{
    run->evaluations++;
    if (run->plant->site->supply.battery.full_v.given) {
        run->condition.charge = pw_clamp(at->y[pw_charge_at(run)], 0.0, 1.0);
    }
    const pw_status status =
        pw_model_moment(run->plant->model, &run->condition, &run->drive, at->y, run->warm, &at->moment, NULL);
    run->solves += status == PW_OK ? at->moment.iterations : 0;
    return status;
}

static void settled(pw_sim *run)
{
    pw_sensors_settle(run);
    pw_warmth_mark(run);
    pw_sim_tell_at(run, PW_AT_SETTLED);
}

static pw_status settle(pw_sim *run)
{
    pw_status status = moment_now(run);
    if (status == PW_OK && pw_air_settle(run)) {
        status = moment_now(run);
        if (status == PW_OK) {
            pw_air_tell(run);
        }
    }
    if (status == PW_OK) {
        settled(run);
    }
    return status;
}

/* The first moment, solved when the simulation was created, is told once it goes on: observers are there by then. */
static void begin(pw_sim *run)
{
    settled(run);
    pw_sim_tell(run, PW_ENTRY_BEGIN, -1, -1, 0.0, 0.0);
}

/* All that is due at t_ms, and what the controller makes of it. */
static pw_status take(pw_sim *run)
{
    pw_course_take(run);
    pw_filters_take(run);
    pw_contactor_take(run);
    take_demand(run);
    pw_status status = settle(run);
    if (status != PW_OK) {
        return status;
    }
    shake(run);
    take_release(run);
    reset_counters(run);
    step_control(run);
    pw_sim_tell_at(run, PW_AT_STEPPED);
    if (pw_contactor_switch(run)) {
        status = settle(run);
        if (status != PW_OK) {
            return status;
        }
        shake(run);
        pw_sim_tell_at(run, PW_AT_SWITCHED);
        run->control_due_ms = run->t_ms + 1; /* R4 */
    }
    note_held(run);
    pw_sim_tell_at(run, PW_AT_ROUND_END);
    return PW_OK;
}

/* From where it was left through one phase: taking, or going on to the next crossing or moment that is due. */
static pw_status one_phase(pw_sim *run, int64_t until_ms)
{
    if (run->phase == PHASE_BEGIN) {
        run->phase = PHASE_TAKE;
        begin(run);
        return PW_OK;
    }
    if (run->phase == PHASE_TAKE) {
        run->phase = PHASE_LEAVE;
        return take(run);
    }
    if (run->phase == PHASE_LEAVE) {
        run->stretch_until_ms = pw_sim_next_due(run, until_ms);
        run->stiff = settles_at_once(run);
        run->short_steps = 0;
        run->stiff_hint_s = PW_INF;
    }
    run->phase = PHASE_TAKE;
    const int64_t end_ms = run->stretch_until_ms < until_ms ? run->stretch_until_ms : until_ms;
    return pw_integrate(run, end_ms);
}

void pw_sim_made(pw_sim *run, int64_t h_ms)
{
    const int64_t from_ms = run->t_ms;
    run->now = run->trial;
    run->segments++;
    pw_warmth_pass(run, (double)h_ms * 1e-3);
    run->t_ms += h_ms;
    pw_sim_tell_passed(run, from_ms);
}

bool pw_sim_stops(const pw_sim *run)
{
    bool stops = false;
    for (const pw_observer *one = run->observers; one != NULL; one = one->next) {
        stops = stops || one->stop;
    }
    return stops;
}

/* Said once, in words; tries with a step too long are silent. */
pw_status pw_sim_say(pw_sim *run, pw_status status, pw_problems *problems)
{
    if (status == PW_CANCELLED) {
        return pw_problem_tell(problems, PW_CANCELLED, "", pw_fact_of("input.under-way"), pw_no_fact(), pw_no_fact());
    }
    if (status == PW_NO_SOLUTION) {
        const pw_plant *plant = run->plant;
        return pw_model_moment(plant->model, &run->condition, &run->drive, run->now.y, run->warm, &run->now.moment,
                               problems) == PW_OK
                   ? pw_problem_tell(problems, PW_NO_SOLUTION, "", pw_verbatim(plant->site->name),
                                     pw_fact_of("input.flows-settle"), pw_no_fact())
                   : PW_NO_SOLUTION;
    }
    return status;
}

static void go_on(pw_sim *run, int64_t until_ms)
{
    for (pw_observer *one = run->observers; one != NULL; one = one->next) {
        one->stop = false;
    }
    run->advance_until_ms = (double)until_ms;
}

pw_status pw_sim_advance(pw_sim *run, int64_t until_ms, pw_problems *problems)
{
    pw_status status = PW_OK;
    go_on(run, until_ms);
    while (status == PW_OK && !pw_sim_stops(run) && run->t_ms < until_ms) {
        status = one_phase(run, until_ms);
    }
    return pw_sim_say(run, status, problems);
}

pw_status pw_sim_next(pw_sim *run, int64_t until_ms, pw_problems *problems)
{
    pw_status status = PW_OK;
    go_on(run, until_ms);
    while (status == PW_OK && !pw_sim_stops(run) && run->t_ms < until_ms) {
        const bool leaves = run->phase >= PHASE_LEAVE;
        status = one_phase(run, until_ms);
        if (leaves && run->phase == PHASE_TAKE) {
            break;
        }
    }
    return pw_sim_say(run, status, problems);
}
