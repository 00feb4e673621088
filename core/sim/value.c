/* A simulation as a value: how its block is laid out, made and copied. */
#include "base/num.h"
#include "sim/run_impl.h"

#include <stddef.h>
#include <string.h>

/* The block: the structure, then these parts, each aligned to 16. The first four are copied. */
typedef struct parts {
    size_t control, demand, warm, watches; /* bytes */
    size_t sample_warm;
} parts;

static size_t rounded(size_t bytes)
{
    return (bytes + 15) / 16 * 16;
}

/* Eight conditions in a sentence at most (control/parts.h); typed otherwise a sentence has no more. */
static int32_t most_watches(const pw_site *site, int32_t sentences)
{
    return sentences * 8 + site->sensor_count + 3 * site->pump_count + site->outlet_count + site->tank_count;
}

static parts parts_of(int32_t watch_capacity)
{
    return (parts){.control = rounded(pw_control_size()),
                   .demand = rounded(pw_demand_size()),
                   .warm = rounded(pw_warm_size()),
                   .watches = rounded((size_t)watch_capacity * sizeof(watch)),
                   .sample_warm = rounded(pw_warm_size())};
}

/* Point into the block that `run` begins. */
static void lay_out(pw_sim *run, int32_t watch_capacity)
{
    const parts size = parts_of(watch_capacity);
    char *at = (char *)run + rounded(sizeof *run);
    run->watch_capacity = watch_capacity;
    run->parts_size = size.control + size.demand + size.warm + size.watches;
    run->block_size = rounded(sizeof *run) + run->parts_size + size.sample_warm;
    run->control = (pw_control *)(void *)at;
    at += size.control;
    run->demand = (pw_demand_state *)(void *)at;
    at += size.demand;
    run->warm = (pw_warm *)(void *)at;
    at += size.warm;
    run->watches = (watch *)(void *)at;
    at += size.watches;
    run->sample_warm = (pw_warm *)(void *)at;
}

static size_t block_size(int32_t watch_capacity)
{
    const parts size = parts_of(watch_capacity);
    return rounded(sizeof(pw_sim)) + size.control + size.demand + size.warm + size.watches + size.sample_warm;
}

static pw_status out_of_memory(pw_problems *problems)
{
    return pw_problem_tell(problems, PW_MEMORY, "", pw_no_fact(), pw_fact_of("input.more-memory"), pw_no_fact());
}

/* ---- create ---- */

static void scales_of(pw_sim *run)
{
    for (int32_t i = 0; i < run->storages; i++) {
        run->scale[i] = pw_model_state_scale(run->plant->model, i);
    }
    for (int32_t p = 0; p < run->thermals; p++) {
        run->scale[run->storages + p] = 100.0; /* heat: 1 is the rated rise; it bears on nothing but a temperature */
    }
}

static void thermals_of(pw_sim *run)
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

/* Everything at rest, nothing due but the first step of the controller. */
static void begin(pw_sim *run)
{
    const pw_plant *plant = run->plant;
    run->t_ms = run->options.begin_ms;
    run->storages = pw_model_state_count(plant->model);
    run->thermals = plant->site->pump_count;
    pw_course_set_up(run);
    const double rest_pa = plant->cut_out_pa > 0.0 ? 0.5 * (plant->cut_in_pa + plant->cut_out_pa) : plant->cut_in_pa;
    pw_model_rest(plant->model, rest_pa, run->now.y, run->warm);
    memcpy(run->rest_m3, run->now.y, sizeof run->rest_m3);
    scales_of(run);
    thermals_of(run);
    pw_warmth_begin(run);
    pw_air_begin(run);
    pw_condition_healthy(plant->model, &run->condition);
    pw_filters_begin(run);
    if (plant->site->supply.battery.full_v.given) {
        run->now.y[pw_charge_at(run)] = plant->site->supply.battery.charge.v;
    }
    pw_demand_begin(plant->site, run->options.seed, run->demand);
    pw_control_begin(run->table, run->control, (uint32_t)run->t_ms);
    pw_sensors_watch(run);
    run->release_ms = INT64_MAX;
    run->control_due_ms = run->t_ms;
    run->step_hint_s[0] = 600.0;
    run->step_hint_s[1] = 20.0;
    for (int32_t s = 0; s < PW_MAX_SENSORS; s++) {
        run->toggle_ms[s] = INT64_MAX;
    }
    for (int32_t p = 0; p < run->thermals; p++) {
        run->pumps[p].rest_from_ms = run->t_ms;
    }
}

pw_status pw_sim_create(pw_arena *arena, const pw_plant *plant, const pw_sim_options *options, pw_sim **out,
                        pw_problems *problems)
{
    *out = NULL;
    pw_table *table = NULL;
    const pw_status status = pw_table_build(arena, plant->settings, options->keep, &table, problems);
    if (status != PW_OK) {
        return status;
    }
    const int32_t watches = most_watches(plant->site, pw_settings_count(plant->settings));
    pw_sim *run = (pw_sim *)pw_alloc(arena, 1, block_size(watches));
    if (run == NULL) {
        return out_of_memory(problems);
    }
    lay_out(run, watches);
    run->plant = plant;
    run->options = *options;
    run->table = table;
    begin(run);
    const pw_status solved = pw_run_moment(run, &run->now);
    *out = solved == PW_OK ? run : NULL;
    return pw_sim_say(run, solved, problems);
}

pw_status pw_sim_befall(pw_sim *run, pw_arena *arena, const pw_fault *fault, pw_problems *problems)
{
    if (run->fault_count >= MOST_FAULTS) {
        return pw_problem_tell(problems, PW_LIMIT, "faults", pw_fact_of("door.more-than-two"),
                               pw_fact_of("door.two-faults"), pw_no_fact());
    }
    if (fault->onset_ms < run->t_ms) {
        return pw_problem_tell(problems, PW_RANGE, "fault.onset", pw_fact_of("input.time-passed"),
                               pw_fact_of("input.present-or-later"), pw_no_fact());
    }
    if (pw_fault_of_settings(fault->kind) && pw_settings_type(arena, run, fault) != PW_OK) {
        return out_of_memory(problems);
    }
    pw_course_add(run, fault);
    return PW_OK;
}

/* ---- copy ---- */

size_t pw_sim_size(const pw_sim *run)
{
    return run->block_size;
}

/* The state of `from` into a block for so many watches; what is behind the structure is left to the caller. */
static void copy_state(pw_sim *to, const pw_sim *from, int32_t watch_capacity)
{
    const size_t state = offsetof(pw_sim, trial);
    memcpy(to, from, state);
    memset((char *)to + state, 0, sizeof *to - state);
    to->observers = NULL;
    lay_out(to, watch_capacity);
}

pw_sim *pw_sim_copy_into(const pw_sim *run, void *memory)
{
    pw_sim *copy = memory;
    copy_state(copy, run, run->watch_capacity);
    memcpy(copy->control, run->control, run->parts_size);
    return copy;
}

pw_sim *pw_sim_copy(const pw_sim *run, pw_arena *arena)
{
    void *memory = pw_alloc(arena, 1, run->block_size);
    return memory != NULL ? pw_sim_copy_into(run, memory) : NULL;
}

pw_status pw_sim_copy_under(const pw_sim *run, pw_arena *arena, const pw_settings *settings, const bool *keep,
                            pw_sim **out, pw_problems *problems)
{
    *out = NULL;
    pw_table *table = NULL;
    const pw_status status = pw_table_build(arena, settings, keep, &table, problems);
    if (status != PW_OK) {
        return status;
    }
    const int32_t watches = most_watches(run->plant->site, pw_settings_count(settings));
    pw_sim *copy = (pw_sim *)pw_alloc(arena, 1, block_size(watches));
    if (copy == NULL) {
        return out_of_memory(problems);
    }
    copy_state(copy, run, watches);
    memcpy(copy->demand, run->demand, pw_demand_size());
    pw_warm_copy(copy->warm, run->warm);
    copy->options.keep = keep;
    pw_sim_begin_control(copy, table, settings);
    copy->phase = PHASE_TAKE;
    *out = copy;
    return PW_OK;
}

bool pw_sim_same(const pw_sim *a, const pw_sim *b)
{
    const size_t from = offsetof(pw_sim, t_ms), state = offsetof(pw_sim, trial) - from;
    return a->plant == b->plant && a->table == b->table && a->settings_in_force == b->settings_in_force &&
           a->typed_table == b->typed_table && memcmp((const char *)a + from, (const char *)b + from, state) == 0 &&
           memcmp(a->control, b->control, pw_control_size()) == 0 &&
           memcmp(a->demand, b->demand, pw_demand_size()) == 0 && memcmp(a->warm, b->warm, pw_warm_size()) == 0 &&
           memcmp(a->watches, b->watches, (size_t)a->watch_count * sizeof(watch)) == 0;
}
