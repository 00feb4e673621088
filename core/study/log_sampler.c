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

static void take(void *user, const pw_sim *sim)
{
    pw_log_sampler *s = (pw_log_sampler *)user;
    const pw_site *site = pw_sim_plant(sim)->site;
    const pw_moment *moment = pw_sim_moment(sim);
    double pumped = 0.0, drawn = 0.0, current = 0.0, power = 0.0;
    bool on = false;
    for (int32_t i = 0; i < site->pump_count; i++) {
        pumped += pw_max(moment->pump_m3s[i], 0.0);
        current += moment->current_a[i];
        power += moment->input_w[i];
        on = on || pw_sim_value(sim, (pw_watched){PW_OF_RUNNING, i}) > 0.5;
    }
    for (int32_t i = 0; i < site->outlet_count; i++) {
        drawn += moment->outlet_m3s[i];
    }
    const double flow = s->of_draw ? drawn : pumped;
    s->starts += on && !s->was_on ? 1.0 : 0.0;
    s->was_on = on;
    s->ran_s += on ? s->step_s : 0.0;
    s->volume_m3 += flow * s->step_s;
    pw_log_row row = {.t_s = s->next_s};
    row.value[PW_LOG_PRESSURE] = rough(s, PW_LOG_PRESSURE, pressure_of(sim));
    row.value[PW_LOG_FLOW] = pw_max(rough(s, PW_LOG_FLOW, flow), 0.0);
    row.value[PW_LOG_VOLUME] = s->volume_m3;
    row.value[PW_LOG_CURRENT] = pw_max(rough(s, PW_LOG_CURRENT, current), 0.0);
    row.value[PW_LOG_POWER] = pw_max(rough(s, PW_LOG_POWER, power), 0.0);
    row.value[PW_LOG_LEVEL] = rough(s, PW_LOG_LEVEL, level_of(sim));
    row.value[PW_LOG_VIBRATION] = PW_LOG_MISSING;
    row.value[PW_LOG_RUNNING] = on ? 1.0 : 0.0;
    row.value[PW_LOG_STARTS] = s->starts;
    row.value[PW_LOG_RAN] = s->ran_s;
    if (s->row != NULL) {
        s->row(s->user, &row);
    } else {
        pw_log_take(s->record, &row);
    }
    s->next_s += s->step_s;
}

static void within(pw_observer *self, pw_sim *sim, int64_t h_ms)
{
    pw_log_sampler *s = (pw_log_sampler *)(void *)self;
    const int64_t begin_ms = pw_sim_time_ms(sim);
    while (s->next_s * 1000.0 < (double)(begin_ms + h_ms)) {
        const int64_t at_ms = (int64_t)(s->next_s * 1000.0) - begin_ms;
        const double before_s = s->next_s;
        (void)pw_sim_look(sim, at_ms > 0 ? at_ms : 0, take, s);
        if (s->next_s == before_s) {
            s->next_s += s->step_s; /* no solution there: no row */
        }
    }
}

void pw_log_sampler_begin(pw_log_sampler *sampler, pw_record *record, double step_s, double first_s, uint64_t seed)
{
    memset(sampler, 0, sizeof *sampler);
    sampler->observer.within = within;
    sampler->record = record;
    sampler->step_s = step_s;
    sampler->next_s = first_s;
    pw_random_seed(&sampler->random, seed, 77);
}
