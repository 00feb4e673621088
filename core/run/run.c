/* One run: the loop that run_impl.h describes. */
#include "base/num.h"
#include "run/run_impl.h"

#include <string.h>

/* ---- setting up ---- */

static void scales_of(run_state *run)
{
    const pw_site *site = run->plant->site;
    int32_t i = 0;
    for (int32_t s = 0; s < site->source_count; s++) {
        if (site->sources[s].kind == PW_SOURCE_BORE) {
            run->scale[i] = pw_max(run->now.y[i], 1e-3);
            i++;
        }
    }
    for (int32_t v = 0; v < site->vessel_count; v++) {
        run->scale[i] = site->vessels[v].volume_m3.v;
        i++;
    }
    for (int32_t t = 0; t < site->tank_count; t++) {
        run->scale[i] = site->tanks[t].area_m2.v * site->tanks[t].depth_m.v;
        i++;
    }
    for (int32_t p = 0; p < site->pump_count; p++) {
        run->scale[i] = 100.0; /* heat: 1 is the rated rise; it bears on nothing but a temperature */
        i++;
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

static int64_t first_onset(const pw_run_options *options)
{
    int64_t onset = INT64_MAX;
    for (int32_t i = 0; i < options->mishap_count; i++) {
        if (options->mishaps[i].kind != PW_MISHAP_NONE && options->mishaps[i].onset_ms < onset) {
            onset = options->mishaps[i].onset_ms;
        }
    }
    return onset;
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
    const pw_status status = pw_table_build(arena, plant->order, options->keep, &table, run->problems);
    if (status != PW_OK) {
        return status;
    }
    run->table = table;
    run->control = (pw_control *)pw_alloc(arena, 1, pw_control_size());
    run->demand = (pw_demand_state *)pw_alloc(arena, 1, pw_demand_size());
    run->warm = pw_warm_new(arena, plant->model);
    run->book = PW_NEW(arena, 1, pw_daybook);
    if (run->control == NULL || run->demand == NULL || run->warm == NULL || run->book == NULL) {
        return out_of_memory(run->problems);
    }
    run->book->entries = PW_NEW(arena, options->entry_capacity + 1, pw_entry);
    run->book->samples = PW_NEW(arena, options->sample_capacity + 1, pw_sample);
    if (run->book->entries == NULL || run->book->samples == NULL) {
        return out_of_memory(run->problems);
    }
    run->storages = pw_model_state_count(plant->model);
    run->thermals = plant->site->pump_count;
    run->sums = run->storages + run->thermals;
    run->y_count = run->sums + SUM_COUNT;
    const double rest_pa = plant->cut_out_pa > 0.0 ? 0.5 * (plant->cut_in_pa + plant->cut_out_pa) : plant->cut_in_pa;
    pw_model_start(plant->model, rest_pa, run->now.y);
    memcpy(run->y_start, run->now.y, sizeof run->y_start);
    scales_of(run);
    thermals_of(run);
    pw_condition_healthy(plant->model, &run->condition);
    pw_demand_begin(plant->site, options->seed, run->demand);
    pw_control_begin(table, run->control, 0);
    pw_sensors_watch(run);
    run->onset_ms = first_onset(options);
    run->release_ms = INT64_MAX;
    run->air_due_ms = INT64_MAX;
    run->control_due_ms = 0;
    run->sample_due_ms = options->sample_ms > 0 ? 0 : INT64_MAX;
    run->step_hint_s[0] = 600.0;
    run->step_hint_s[1] = 20.0;
    run->tally.pressure_min_pa = PW_INF;
    run->tally.pressure_max_pa = -PW_INF;
    for (int32_t s = 0; s < PW_MAX_SENSORS; s++) {
        run->toggle_ms[s] = INT64_MAX;
    }
    for (int32_t s = 0; s < PW_MAX_SENTENCES; s++) {
        run->book->firings[s].t_ms = -1;
    }
    return PW_OK;
}

/* ---- what is due ---- */

/* A vessel loses its air over this time, in this many parts: not in one bang, which no site does. */
enum { AIR_PARTS = 40, AIR_PART_MS = 60000 };

/* The next part of lost air is due: the charge goes down in equal parts towards what the mishap leaves. */
static void lose_air(run_state *run)
{
    run->air_parts++;
    const double part = (double)run->air_parts / (double)AIR_PARTS;
    for (int32_t v = 0; v < run->plant->site->vessel_count; v++) {
        run->condition.vessel_air[v] = 1.0 - part * (1.0 - run->air_left[v]);
    }
    run->air_due_ms = run->air_parts < AIR_PARTS ? run->t_ms + AIR_PART_MS : INT64_MAX;
}

static void begin_air_loss(run_state *run)
{
    bool any = false;
    for (int32_t v = 0; v < run->plant->site->vessel_count; v++) {
        run->air_left[v] = run->condition.vessel_air[v];
        any = any || run->air_left[v] < 1.0;
        run->condition.vessel_air[v] = 1.0;
    }
    if (any) {
        run->air_parts = 0;
        lose_air(run);
    }
}

static void begin_mishaps(run_state *run)
{
    const pw_run_options *options = run->options;
    const pw_plant *plant = run->plant;
    const double middle = plant->cut_out_pa > 0.0 ? 0.5 * (plant->cut_in_pa + plant->cut_out_pa) : plant->cut_in_pa;
    const double reference = options->reference_pa > 0.0 ? options->reference_pa : middle;
    for (int32_t i = 0; i < options->mishap_count; i++) {
        if (options->mishaps[i].kind != PW_MISHAP_NONE && options->mishaps[i].onset_ms == run->t_ms) {
            pw_mishap_apply(plant->model, &options->mishaps[i], reference, &run->condition);
            pw_book_entry(run, PW_ENTRY_MISHAP, i, -1, options->mishaps[i].severity, 0.0);
        }
    }
    begin_air_loss(run);
    for (int32_t p = 0; p < plant->site->pump_count; p++) {
        run->pulled_in[p] = run->condition.welded[p] && run->drive.run[p];
    }
    if (!run->begun) {
        run->begun = true;
        memcpy(run->y_onset, run->now.y, sizeof run->y_onset);
        run->book->at_mishap = pw_book_totals(run, false);
        run->tally_onset = run->tally;
        run->since_first = run->start_count;
        run->since.most_starts_in_hour = 0;
        run->since.longest_run_s = 0.0;
        run->since.winding_max_c = run->plant->site->water_c.v;
        run->since.pressure_min_pa = PW_INF;
        run->since.pressure_max_pa = -PW_INF;
    }
}

static int64_t next_onset(const run_state *run)
{
    int64_t next = INT64_MAX;
    for (int32_t i = 0; i < run->options->mishap_count; i++) {
        const pw_mishap *mishap = &run->options->mishaps[i];
        if (mishap->kind != PW_MISHAP_NONE && mishap->onset_ms >= run->t_ms && mishap->onset_ms < next) {
            next = mishap->onset_ms;
        }
    }
    return next;
}

static void take_demand(run_state *run)
{
    while (pw_demand_next_ms(run->demand) <= run->t_ms) {
        const pw_demand_change change = pw_demand_take(run->plant->site, run->demand);
        run->drive.draw_m3s[change.outlet] = change.total_m3s;
        pw_book_entry(run, change.begins ? PW_ENTRY_DRAW : PW_ENTRY_DRAW_END, change.outlet, -1, change.flow_m3s, change.total_m3s);
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

static int64_t next_due(const run_state *run)
{
    int64_t next = run->options->length_ms;
    const int64_t others[] = {pw_demand_next_ms(run->demand), run->control_due_ms, run->release_ms, run->sample_due_ms,
                              run->air_due_ms, next_onset(run)};
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
    case PW_CONTROL_STOPPED:
        break; /* the day book follows the contactor: switch_pumps */
    case PW_CONTROL_LOCKED:
        pw_book_entry(run, PW_ENTRY_LOCK, event->pump, event->sentence, 0.0, 0.0);
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
    case PW_CONTROL_HELD:
        break; /* noted after the stop that it follows */
    case PW_CONTROL_RELEASED:
        pw_book_entry(run, PW_ENTRY_RELEASE, event->pump, event->sentence, 0.0, 0.0);
        break;
    case PW_CONTROL_RETRIED:
        pw_book_entry(run, PW_ENTRY_RETRY, event->pump, event->sentence, 0.0, 0.0);
        break;
    }
}

/* Sentence that started or stopped a pump in this step, -1 when it was none. */
static int32_t cause_of(const pw_outputs *outputs, int32_t pump, bool started)
{
    for (int32_t i = 0; i < outputs->event_count; i++) {
        const pw_control_event *event = &outputs->events[i];
        const bool fits = started ? event->kind == PW_CONTROL_STARTED
                                  : event->kind == PW_CONTROL_STOPPED || event->kind == PW_CONTROL_LOCKED;
        if (event->pump == pump && fits) {
            return event->sentence;
        }
    }
    return -1;
}

static void start_heat(run_state *run, int32_t pump)
{
    const pw_motor *motor = &run->plant->site->pumps[pump].motor;
    run->now.y[run->storages + pump] += pw_thermal_start(&run->thermal[pump], motor->locked_rotor_a.v, motor->start_time_s.v);
}

/* Make the pumps follow the outputs (or a welded contactor). Returns whether any changed. */
static bool switch_pumps(run_state *run)
{
    bool any = false;
    for (int32_t p = 0; p < run->plant->site->pump_count; p++) {
        const bool ordered = run->outputs.run[p];
        run->pulled_in[p] = run->condition.welded[p] && (run->pulled_in[p] || ordered);
        const bool runs = ordered || run->pulled_in[p];
        if (runs == run->drive.run[p]) {
            continue;
        }
        any = true;
        const double pumped = run->now.y[run->sums + SUM_PUMPED] - run->run_from_m3[p];
        const double lasted = (double)(run->t_ms - run->run_from_ms[p]) * 1e-3;
        run->drive.run[p] = runs;
        if (runs) {
            pw_book_entry(run, PW_ENTRY_START, p, cause_of(&run->outputs, p, true), 0.0, 0.0);
            start_heat(run, p);
            pw_book_start(run, p);
        } else {
            pw_book_entry(run, PW_ENTRY_STOP, p, cause_of(&run->outputs, p, false), lasted, pumped);
        }
    }
    return any;
}

static void note_held(run_state *run)
{
    for (int32_t i = 0; i < run->outputs.event_count; i++) {
        const pw_control_event *event = &run->outputs.events[i];
        if (event->kind == PW_CONTROL_HELD) {
            pw_book_entry(run, PW_ENTRY_HELD, event->pump, event->sentence, 0.0, 0.0);
        }
    }
}

static void step_control(run_state *run)
{
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
    }
    return status;
}

static pw_status one_round(run_state *run)
{
    if (next_onset(run) == run->t_ms) {
        begin_mishaps(run);
    }
    if (run->air_due_ms <= run->t_ms) {
        lose_air(run);
    }
    take_demand(run);
    pw_status status = settle(run);
    if (status != PW_OK) {
        return status;
    }
    shake(run);
    if (run->release_ms <= run->t_ms) {
        run->release_ms = INT64_MAX;
        pw_control_release(run->table, run->control, -1, (uint32_t)run->t_ms);
        pw_book_entry(run, PW_ENTRY_RELEASE, -1, -1, 0.0, 0.0);
    }
    step_control(run);
    const bool keeps = run->options->sample_ms > 0;
    if (keeps && run->sample_due_ms <= run->t_ms) {
        pw_book_sample(run);
        run->sample_due_ms = run->t_ms + run->options->sample_ms;
    }
    if (switch_pumps(run)) {
        if (keeps) {
            pw_book_sample(run);
        }
        status = settle(run);
        if (status != PW_OK) {
            return status;
        }
        shake(run);
        if (keeps) {
            pw_book_sample(run);
        }
        run->control_due_ms = run->t_ms + 1; /* R4 */
    }
    note_held(run);
    return run->ended ? PW_OK : pw_integrate(run, next_due(run));
}

static bool stop_asked(const run_state *run)
{
    return run->options->cancelled != NULL && run->options->cancelled(run->options->user);
}

pw_status pw_run(pw_arena *arena, const pw_plant *plant, const pw_run_options *options, pw_daybook **out, pw_problems *problems)
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
    for (int64_t round = 0; status == PW_OK && !run->ended && run->t_ms < options->length_ms; round++) {
        status = one_round(run);
        if (round % 256 == 255 && stop_asked(run)) {
            run->book->ending = PW_END_CANCELLED;
            return pw_problem_add(problems, PW_CANCELLED, "", "a simulation under way", "", "");
        }
    }
    if (status == PW_NO_SOLUTION) { /* say it once, in words; tries with a step too long are silent */
        return pw_model_moment(plant->model, &run->condition, &run->drive, run->now.y, run->warm, &run->now.moment, problems) == PW_OK
                   ? pw_problem_add(problems, PW_NO_SOLUTION, "", plant->site->name, "flows that settle within a millisecond", "")
                   : PW_NO_SOLUTION;
    }
    if (status != PW_OK) {
        return status;
    }
    pw_book_entry(run, PW_ENTRY_END, -1, -1, 0.0, 0.0);
    run->book->length_ms = run->t_ms;
    run->book->totals = pw_book_totals(run, false);
    for (int32_t p = 0; p < plant->site->pump_count; p++) {
        run->book->locked_at_end = run->book->locked_at_end || run->outputs.locked[p];
    }
    *out = run->book;
    return PW_OK;
}
