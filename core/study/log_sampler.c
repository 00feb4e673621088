/* A simulation as a logger sees it. */
#include <string.h>

#include "study/log_judge.h"

static double rough(pw_log_sampler *s, pw_log_signal signal, double value)
{
    const double noise = s->noise[signal], step = s->resolution[signal];
    const double noisy = noise > 0.0 ? value + noise * pw_random_normal(&s->random) : value;
    return step > 0.0 ? step * pw_floor(noisy / step + 0.5) : noisy;
}

/* The level that a site has: of its level sensor, else of the first tank, else over the intake of the first bore. */
static double level_of(const pw_sim *sim)
{
    const pw_site *site = pw_sim_plant(sim)->site;
    for (int32_t i = 0; i < site->sensor_count; i++) {
        if (site->sensors[i].kind == PW_SENSOR_LEVEL) {
            return pw_sim_value(sim, (pw_watched){PW_OF_READING, i});
        }
    }
    if (site->tank_count > 0) {
        return pw_sim_tank_m(sim, 0);
    }
    for (int32_t i = 0; i < site->source_count; i++) {
        if (site->sources[i].kind == PW_SOURCE_BORE) {
            return pw_sim_bore_m(sim, i);
        }
    }
    return PW_LOG_MISSING;
}

/* As the first pressure sensor reads it, with what is wrong with the sensor. */
static double pressure_of(const pw_sim *sim)
{
    const pw_site *site = pw_sim_plant(sim)->site;
    for (int32_t i = 0; i < site->sensor_count; i++) {
        if (site->sensors[i].kind == PW_SENSOR_PRESSURE) {
            return pw_sim_value(sim, (pw_watched){PW_OF_READING, i});
        }
    }
    return pw_sim_pressure(sim);
}

/* ---- a moment, before the logger's noise ---- */

typedef struct pw_log_view view;

static void see(void *user, const pw_sim *sim)
{
    view *v = (view *)user;
    const pw_site *site = pw_sim_plant(sim)->site;
    const pw_moment *moment = pw_sim_moment(sim);
    double pumped = 0.0, drawn = 0.0;
    *v = (view){.there = true, .of_draw = v->of_draw};
    for (int32_t i = 0; i < site->pump_count; i++) {
        pumped += pw_max(moment->pump_m3s[i], 0.0);
        v->current_a += moment->current_a[i];
        v->power_w += moment->input_w[i];
        v->on = v->on || pw_sim_value(sim, (pw_watched){PW_OF_RUNNING, i}) > 0.5;
    }
    for (int32_t i = 0; i < site->outlet_count; i++) {
        drawn += moment->outlet_m3s[i];
    }
    v->flow_m3s = v->of_draw ? drawn : pumped;
    v->pressure_pa = pressure_of(sim);
    v->level_m = level_of(sim);
}

static double mix(double a, double b, double part)
{
    return a + part * (b - a);
}

/* Between two moments of one step, where all goes on smoothly. */
static view between(const view *a, const view *b, double part)
{
    view out = *a;
    out.there = a->there && b->there;
    out.pressure_pa = mix(a->pressure_pa, b->pressure_pa, part);
    out.flow_m3s = mix(a->flow_m3s, b->flow_m3s, part);
    out.current_a = mix(a->current_a, b->current_a, part);
    out.power_w = mix(a->power_w, b->power_w, part);
    out.level_m = mix(a->level_m, b->level_m, part);
    return out;
}

static void write_row(pw_log_sampler *s, double t_s, const view *v)
{
    s->starts += v->on && !s->was_on ? 1.0 : 0.0;
    s->was_on = v->on;
    s->ran_s += v->on ? s->step_s : 0.0;
    s->volume_m3 += v->flow_m3s * s->step_s;
    pw_log_row row = {.t_s = t_s};
    row.value[PW_LOG_PRESSURE] = rough(s, PW_LOG_PRESSURE, v->pressure_pa);
    row.value[PW_LOG_FLOW] = pw_max(rough(s, PW_LOG_FLOW, v->flow_m3s), 0.0);
    row.value[PW_LOG_VOLUME] = s->volume_m3;
    row.value[PW_LOG_CURRENT] = pw_max(rough(s, PW_LOG_CURRENT, v->current_a), 0.0);
    row.value[PW_LOG_POWER] = pw_max(rough(s, PW_LOG_POWER, v->power_w), 0.0);
    row.value[PW_LOG_LEVEL] = rough(s, PW_LOG_LEVEL, v->level_m);
    row.value[PW_LOG_VIBRATION] = PW_LOG_MISSING;
    row.value[PW_LOG_RUNNING] = v->on ? 1.0 : 0.0;
    row.value[PW_LOG_STARTS] = s->starts;
    row.value[PW_LOG_RAN] = s->ran_s;
    if (s->row != NULL) {
        s->row(s->user, &row);
    } else {
        pw_log_take(s->record, &row);
    }
}

/* ---- a step of the simulation ---- */

/* A step with many rows is looked at in so many places, and the rows lie on the straight lines between: a look solves
 * the whole network, and within a step all goes on smoothly. */
enum { PIECES = 5 };

static view look_at(const pw_log_sampler *s, pw_sim *sim, double at_ms)
{
    view v = {.of_draw = s->of_draw};
    if (!pw_sim_look(sim, (int64_t)pw_max(at_ms, 0.0), see, &v)) {
        v.there = false;
    }
    return v;
}

static void each_row(pw_log_sampler *s, pw_sim *sim, double begin_ms, double end_ms)
{
    for (; s->next_s * 1000.0 < end_ms; s->next_s += s->step_s) {
        const view v = look_at(s, sim, s->next_s * 1000.0 - begin_ms);
        if (v.there) { /* without a solution there is no row */
            write_row(s, s->next_s, &v);
        }
    }
}

static void within(pw_observer *self, pw_sim *sim, int64_t h_ms)
{
    pw_log_sampler *s = (pw_log_sampler *)(void *)self;
    const double begin_ms = (double)pw_sim_time_ms(sim), end_ms = begin_ms + (double)h_ms;
    if (end_ms - s->next_s * 1000.0 <= 1000.0 * s->step_s * (double)(PIECES + 1)) {
        each_row(s, sim, begin_ms, end_ms);
        if (s->at_switch) {
            s->end_s = end_ms / 1000.0;
            s->end = look_at(s, sim, (double)h_ms);
        }
        return;
    }
    view from = look_at(s, sim, 0.0);
    for (int32_t i = 0; i < PIECES; i++) {
        const int64_t at_ms = h_ms * i / PIECES, to_ms = h_ms * (i + 1) / PIECES;
        const double length_ms = (double)(to_ms - at_ms), start_ms = begin_ms + (double)at_ms;
        const view to = look_at(s, sim, (double)to_ms);
        for (; s->next_s * 1000.0 < start_ms + length_ms; s->next_s += s->step_s) {
            const view v = between(&from, &to, (s->next_s * 1000.0 - start_ms) / length_ms);
            if (v.there) {
                write_row(s, s->next_s, &v);
            }
        }
        from = to;
    }
    s->end_s = end_ms / 1000.0;
    s->end = from;
}

/* The moment before the pump starts or stops. */
static void at_event(pw_observer *self, pw_sim *sim, const pw_event *event)
{
    pw_log_sampler *s = (pw_log_sampler *)(void *)self;
    const double now_s = (double)pw_sim_time_ms(sim) / 1000.0;
    const bool switches = event->kind == PW_ENTRY_START || event->kind == PW_ENTRY_STOP;
    if (s->at_switch && switches && s->end.there && s->end_s == now_s && now_s < s->next_s) {
        write_row(s, now_s, &s->end);
    }
}

void pw_log_sampler_begin(pw_log_sampler *sampler, pw_record *record, double step_s, double first_s, uint64_t seed)
{
    memset(sampler, 0, sizeof *sampler);
    sampler->observer.within = within;
    sampler->observer.event = at_event;
    sampler->record = record;
    sampler->step_s = step_s;
    sampler->next_s = first_s;
    pw_random_seed(&sampler->random, seed, 77);
}
