/* One run: the loop that run_impl.h describes. */
#include "base/num.h"
#include "sim/run_impl.h"

#include <string.h>

/* ---- setting up ---- */

static void scales_of(run_state *run)
{
    for (int32_t i = 0; i < run->storages; i++) {
        run->scale[i] = pw_model_state_scale(run->plant->model, i);
    }
    for (int32_t p = 0; p < run->thermals; p++) {
        run->scale[run->storages + p] = 100.0; /* heat: 1 is the rated rise; it bears on nothing but a temperature */
    }
}

static void thermals_of(run_state *run)
{
    const pw_site *site = run->plant->site;
    for (int32_t p = 0; p < site->pump_count; p++) {
        const pw_motor *motor = &site->pumps[p].motor;
        run->thermal[p].basic_a = motor->full_load_a.v;
        run->thermal[p].k = motor->service_factor.v;
        run->thermal[p].heat_time_s = motor->heat_time_s.v;
        run->thermal[p].cool_time_s = motor->cool_time_s.v;
    }
}

static pw_status out_of_memory(pw_problems *problems)
{
    return pw_problem_add(problems, PW_MEMORY, "", "a simulation of this site", "more memory for the core", "");
}

static pw_status set_up(pw_arena *arena, run_state *run)
{
    const pw_plant *plant = run->plant;
    const pw_run_options *options = run->options;
    pw_table *table = NULL;
    const pw_status status = pw_table_build(arena, plant->settings, options->keep, &table, run->problems);
    if (status != PW_OK) {
        return status;
    }
    run->table = table;
    run->control = (pw_control *)pw_alloc(arena, 1, pw_control_size());
    run->demand = (pw_demand_state *)pw_alloc(arena, 1, pw_demand_size());
    run->warm = pw_warm_new(arena, plant->model);
    run->sample_warm = pw_warm_new(arena, plant->model);
    run->book = PW_NEW(arena, 1, pw_daybook);
    if (run->control == NULL || run->demand == NULL || run->warm == NULL || run->sample_warm == NULL ||
        run->book == NULL) {
        return out_of_memory(run->problems);
    }
    pw_sieve_open(&run->sieve);
    run->book->entries = PW_NEW(arena, options->entry_capacity + 1, pw_entry);
    run->arena = arena;
    if (run->book->entries == NULL || pw_book_columns(run) != PW_OK) {
        return out_of_memory(run->problems);
    }
    if (options->state_count > 0 || options->tell_locks) {
        run->book->told = PW_NEW(arena, PW_MAX_STATES_TOLD, pw_told);
        if (run->book->told == NULL) {
            return out_of_memory(run->problems);
        }
    }
    run->storages = pw_model_state_count(plant->model);
    run->thermals = plant->site->pump_count;
    pw_course_set_up(run);
    const double rest_pa = plant->cut_out_pa > 0.0 ? 0.5 * (plant->cut_in_pa + plant->cut_out_pa) : plant->cut_in_pa;
    pw_model_rest(plant->model, rest_pa, run->now.y, run->warm);
    memcpy(run->y_start, run->now.y, sizeof run->y_start);
    scales_of(run);
    thermals_of(run);
    pw_warmth_begin(run);
    run->book->burnt_ms = -1;
    run->entry_ms = -1;
    pw_condition_healthy(plant->model, &run->condition);
    pw_demand_begin(plant->site, options->seed, run->demand);
    run->t_ms = options->begin_ms;
    pw_control_begin(table, run->control, (uint32_t)run->t_ms);
    pw_sensors_watch(run);
    run->release_ms = INT64_MAX;
    run->control_due_ms = run->t_ms;
    run->sample_due_ms = options->sample_ms > 0 ? run->t_ms : INT64_MAX;
    run->step_hint_s[0] = 600.0;
    run->step_hint_s[1] = 20.0;
    run->tally.pressure_min_pa = PW_INF;
    run->tally.pressure_max_pa = -PW_INF;
    run->tally.pressure_top_pa = -PW_INF;
    for (int32_t s = 0; s < PW_MAX_SENSORS; s++) {
        run->toggle_ms[s] = INT64_MAX;
    }
    for (int32_t p = 0; p < run->thermals; p++) {
        run->pumps[p].rest_from_ms = run->t_ms;
    }
    for (int32_t s = 0; s < PW_MAX_SENTENCES; s++) {
        run->book->firings[s].t_ms = -1;
    }
    return pw_settings_type(arena, run) == PW_OK ? PW_OK : out_of_memory(run->problems);
}

/* ---- what is due ---- */

static void take_demand(run_state *run)
{
    while (pw_demand_next_ms(run->demand) <= run->t_ms) {
        const pw_demand_change change = pw_demand_take(run->plant->site, run->demand);
        run->drive.draw_m3s[change.outlet] = change.total_m3s;
        pw_book_entry(run, change.begins ? PW_ENTRY_DRAW : PW_ENTRY_DRAW_END, change.outlet, -1, change.flow_m3s,
                      change.total_m3s);
    }
}

/* A chattering flow switch: while water really moves it, it reads the opposite every other time. */
static void shake(run_state *run)
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

static int64_t state_due(const run_state *run)
{
    const bool any = run->states_told < run->options->state_count;
    return any ? run->options->state_ms[run->states_told] : INT64_MAX;
}

/* What the controller tells at the moments asked for. */
static void tell_states(run_state *run)
{
    while (state_due(run) <= run->t_ms) {
        for (int32_t p = 0; p < run->plant->site->pump_count; p++) {
            pw_book_state(run, p, false);
        }
        run->states_told++;
    }
}

static int64_t reset_due(const run_state *run)
{
    const bool any = run->resets_done < run->options->reset_count;
    return any ? run->options->reset_ms[run->resets_done] : INT64_MAX;
}

/* A person resets the counters; without power they cannot be reached, and the person comes back when it is there. */
static void reset_counters(run_state *run)
{
    while (reset_due(run) <= run->t_ms && !run->powerless) {
        for (int32_t p = 0; p < run->plant->site->pump_count; p++) {
            pw_control_counts_reset(run->control, p, (uint32_t)run->t_ms);
        }
        pw_book_entry(run, PW_ENTRY_RESET, -1, -1, 0.0, 0.0);
        run->resets_done++;
    }
}

static int64_t next_due(const run_state *run)
{
    int64_t next = run->options->length_ms;
    const int64_t others[] = {pw_demand_next_ms(run->demand),
                              run->control_due_ms,
                              run->release_ms,
                              pw_course_due(run),
                              pw_contactor_due(run),
                              state_due(run),
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

static void fired(run_state *run, int32_t sentence)
{
    pw_firing *firing = &run->book->firings[sentence];
    run->book->fired[sentence]++;
    if (run->begun && firing->t_ms < 0) {
        firing->t_ms = run->t_ms;
        firing->totals = pw_book_totals(run, true);
    }
    if (run->begun && run->options->stop_at_watch) {
        run->book->ending = PW_END_WATCH;
        run->ended = true;
    }
}

static void note_event(run_state *run, const pw_control_event *event)
{
    switch (event->kind) {
    case PW_CONTROL_STARTED:
    case PW_CONTROL_STOPPED: break; /* the day book follows the contactor: switch_pumps */
    case PW_CONTROL_LOCKED:
        pw_book_entry(run, PW_ENTRY_LOCK, event->pump, event->sentence, 0.0, 0.0);
        if (run->options->tell_locks) {
            pw_book_state(run, event->pump, true);
        }
        run->book->lock_count++;
        fired(run, event->sentence);
        if (run->options->release_after_ms > 0 && run->release_ms == INT64_MAX) {
            run->release_ms = run->t_ms + run->options->release_after_ms;
        }
        if (run->options->stop_at_lock) {
            run->book->ending = PW_END_LOCK;
            run->ended = true;
        }
        break;
    case PW_CONTROL_WARNED:
        pw_book_entry(run, PW_ENTRY_WARN, event->pump, event->sentence, 0.0, 0.0);
        fired(run, event->sentence);
        break;
    case PW_CONTROL_HELD: break; /* noted after the stop that it follows */
    case PW_CONTROL_RELEASED: pw_book_entry(run, PW_ENTRY_RELEASE, event->pump, event->sentence, 0.0, 0.0); break;
    case PW_CONTROL_RETRIED: pw_book_entry(run, PW_ENTRY_RETRY, event->pump, event->sentence, 0.0, 0.0); break;
    }
}

static void note_held(run_state *run)
{
    for (int32_t i = 0; i < run->outputs.event_count; i++) {
        const pw_control_event *event = &run->outputs.events[i];
        if (event->kind == PW_CONTROL_HELD) {
            pw_book_entry(run, PW_ENTRY_HELD, event->pump, event->sentence, (double)event->wait, 0.0);
        }
    }
}

static void step_control(run_state *run)
{
    if (run->powerless) {
        run->control_due_ms = INT64_MAX;
        return;
    }
    pw_sensors_read(run);
    pw_control_step(run->table, run->control, run->inputs, (uint32_t)run->t_ms, &run->outputs);
    for (int32_t i = 0; i < run->outputs.event_count && !run->ended; i++) {
        note_event(run, &run->outputs.events[i]);
    }
    run->control_due_ms =
        run->outputs.next_due_ms == PW_NEVER_MS ? INT64_MAX : run->t_ms + (int64_t)run->outputs.next_due_ms;
}

/* ---- one round ---- */

pw_status pw_run_moment(run_state *run, point *at)
{
    run->book->totals.evaluations++;
    return pw_model_moment(run->plant->model, &run->condition, &run->drive, at->y, run->warm, &at->moment, NULL);
}

static pw_status settle(run_state *run)
{
    const pw_status status = pw_run_moment(run, &run->now);
    if (status == PW_OK) {
        pw_sensors_settle(run);
        pw_warmth_mark(run);
        pw_book_settled(run);
    }
    return status;
}

static pw_status one_round(run_state *run)
{
    pw_course_take(run);
    pw_contactor_take(run);
    take_demand(run);
    pw_status status = settle(run);
    if (status != PW_OK) {
        return status;
    }
    shake(run);
    if (run->release_ms <= run->t_ms) {
        run->release_ms = INT64_MAX;
        pw_control_release(run->table, run->control, -1, (uint32_t)run->t_ms);
        pw_contactor_release(run); /* the controller tells of each pump that it releases */
    }
    reset_counters(run);
    step_control(run);
    if (run->sample_due_ms <= run->t_ms) {
        pw_book_sample(run);
        run->sample_due_ms = pw_book_sample_due(run);
    }
    if (pw_contactor_switch(run)) {
        status = settle(run);
        if (status != PW_OK) {
            return status;
        }
        shake(run);
        pw_book_sample(run);
        run->control_due_ms = run->t_ms + 1; /* R4 */
    }
    note_held(run);
    tell_states(run);
    return run->ended ? PW_OK : pw_integrate(run, next_due(run));
}

pw_status pw_run(pw_arena *arena, const pw_plant *plant, const pw_run_options *options, pw_daybook **out,
                 pw_problems *problems)
{
    *out = NULL;
    run_state *run = PW_NEW(arena, 1, run_state);
    if (run == NULL) {
        return out_of_memory(problems);
    }
    run->plant = plant;
    run->options = options;
    run->problems = problems;
    pw_status status = set_up(arena, run);
    if (status != PW_OK) {
        return status;
    }
    run->book->ending = PW_END_TIME;
    status = settle(run);
    pw_book_entry(run, PW_ENTRY_BEGIN, -1, -1, 0.0, 0.0);
    while (status == PW_OK && !run->ended && run->t_ms < options->length_ms) {
        status = one_round(run);
    }
    if (status == PW_CANCELLED) {
        return pw_problem_add(problems, PW_CANCELLED, "", "a simulation under way", "", "");
    }
    if (status == PW_NO_SOLUTION) { /* say it once, in words; tries with a step too long are silent */
        return pw_model_moment(plant->model, &run->condition, &run->drive, run->now.y, run->warm, &run->now.moment,
                               problems) == PW_OK
                   ? pw_problem_add(problems, PW_NO_SOLUTION, "", plant->site->name,
                                    "flows that settle within a millisecond", "")
                   : PW_NO_SOLUTION;
    }
    if (status != PW_OK) {
        return status;
    }
    pw_book_entry(run, PW_ENTRY_END, -1, -1, 0.0, 0.0);
    run->book->length_ms = run->t_ms;
    run->book->totals = pw_book_totals(run, false);
    pw_book_pumps(run);
    for (int32_t p = 0; p < plant->site->pump_count; p++) {
        run->book->locked_at_end = run->book->locked_at_end || run->outputs.locked[p];
    }
    *out = run->book;
    return PW_OK;
}
