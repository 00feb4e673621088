/* The slow plain simulation: every 10 ms look at everything, then one step of Heun's method. */
#include "plain.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "power/thermal.h"
#include "run/demand.h"
#include "base/num.h"

enum { MOST_SUBSTEPS = 64, HUNT_KEPT = PW_HUNT_STARTS + 1 };

typedef struct plain {
    const pw_plant *plant;
    const pw_site *site;
    const pw_run_options *options;
    pw_arena arena;
    const pw_order *order;
    pw_table *table;
    pw_control *control;
    pw_demand_state *demand;
    pw_warm *warm;
    int64_t t_ms;
    pw_condition condition;
    pw_drive drive;
    double y[PW_MAX_STATES], heat[PW_MAX_PUMPS], inside_c[PW_MAX_PUMPS];
    pw_moment moment;
    pw_outputs outputs;
    /* mishaps */
    int32_t parts[2];
    int64_t due_ms[2], over_ms[2];
    bool over[2], powerless;
    bool held[PW_MAX_SENSORS];
    double held_at[PW_MAX_SENSORS], lagging[PW_MAX_SENSORS], surge[PW_MAX_SENSORS];
    /* sensors */
    bool made[PW_MAX_SENSORS], shaken[PW_MAX_SENSORS];
    int64_t toggle_ms[PW_MAX_SENSORS];
    /* pumps */
    bool ordered[PW_MAX_PUMPS], refused[PW_MAX_PUMPS], pulled_in[PW_MAX_PUMPS], stuck[PW_MAX_PUMPS],
        empty[PW_MAX_PUMPS], burnt[PW_MAX_PUMPS];
    int64_t orders[PW_MAX_PUMPS], up_ms[PW_MAX_PUMPS], rest_ms[PW_MAX_PUMPS], wave_ms[PW_MAX_PUMPS];
    double wave_pa[PW_MAX_PUMPS];
    int64_t began_ms[PW_MAX_PUMPS];
    double inrush[PW_MAX_PUMPS]; /* heat of the start under way */
    int64_t release_ms, last_starts[PW_MAX_PUMPS][HUNT_KEPT], started[PW_MAX_PUMPS];
    plain_result *out;
} plain;

/* ---- what sensors tell ---- */

static double depth_of(const plain *p, int32_t place)
{
    int32_t bore = 0;
    for (int32_t s = 0; s < p->site->source_count; s++) {
        if (p->site->sources[s].kind == PW_SOURCE_BORE) {
            if (p->site->sources[s].place == place) {
                return pw_model_bore_m(p->plant->model, s, p->y[bore]);
            }
            bore++;
        }
    }
    for (int32_t t = 0; t < p->site->tank_count; t++) {
        if (p->site->tanks[t].place == place) {
            return pw_model_tank_m(p->plant->model, t, p->y[pw_model_tank_state(p->plant->model, t)]);
        }
    }
    return 0.0;
}

static double step_of(double value, double step)
{
    return step > 0.0 ? floor(value / step + 0.5) * step : value;
}

static double told(const plain *p, int32_t i)
{
    const pw_sensor *s = &p->site->sensors[i];
    const int hold = p->condition.sensor_hold[i];
    if (hold == PW_HOLD_ON || hold == PW_HOLD_OFF) {
        return hold == PW_HOLD_ON;
    }
    if (hold == PW_HOLD_AS_IT_IS) {
        return p->held_at[i];
    }
    if (s->kind == PW_SENSOR_PRESSURE) {
        const double truth = p->condition.sensor_lag_s[i] > 0.0 ? p->lagging[i] : p->moment.place_pa[s->place];
        const double value = truth + p->condition.sensor_bias[i] + p->surge[i] + s->error.v;
        return step_of(fmin(fmax(value, s->low_pa.v), s->high_pa.v), s->resolution.v);
    }
    if (s->kind == PW_SENSOR_LEVEL) {
        return step_of(depth_of(p, s->place) + p->condition.sensor_bias[i] + s->error.v, s->resolution.v);
    }
    if (s->kind == PW_SENSOR_PROBE) {
        return depth_of(p, s->place) > s->probe_m.v;
    }
    if (s->kind == PW_SENSOR_FLOW) {
        return p->made[i] && !p->shaken[i];
    }
    const int64_t day_s = p->t_ms / 1000 % 86400;
    for (int32_t w = 0; w < s->window_count; w++) {
        const int64_t from = s->window_from_s[w], to = s->window_to_s[w];
        if (from <= to ? day_s >= from && day_s < to : day_s >= from || day_s < to) {
            return 1.0;
        }
    }
    return 0.0;
}

static void move_switches(plain *p)
{
    for (int32_t i = 0; i < p->site->sensor_count; i++) {
        const pw_sensor *s = &p->site->sensors[i];
        if (s->kind != PW_SENSOR_FLOW) {
            continue;
        }
        const double flow = s->pump >= 0 ? p->moment.pump_m3s[s->pump] : p->moment.line_m3s[s->line];
        const double velocity = flow / (PW_PI / 4.0 * s->bore_m.v * s->bore_m.v);
        p->made[i] = p->made[i] ? velocity > s->breaks_ms.v : velocity >= s->makes_ms.v;
        const double hz = p->condition.chatter_hz[i];
        if (!(hz > 0.0) || !p->made[i]) {
            p->shaken[i] = false;
            p->toggle_ms[i] = INT64_MAX;
        } else if (p->toggle_ms[i] == INT64_MAX || p->toggle_ms[i] <= p->t_ms) {
            p->shaken[i] = p->toggle_ms[i] == INT64_MAX ? p->shaken[i] : !p->shaken[i];
            p->toggle_ms[i] =
                (p->toggle_ms[i] == INT64_MAX ? p->t_ms : p->toggle_ms[i]) + (int64_t)floor(1e3 / hz + 0.5);
        }
    }
}

/* ---- mishaps ---- */

static void renew(plain *p)
{
    const double in = p->plant->cut_in_pa, out = p->plant->cut_out_pa;
    const double reference = p->options->reference_pa > 0.0 ? p->options->reference_pa
                             : out > 0.0                    ? 0.5 * (in + out)
                                                            : in;
    const pw_condition before = p->condition;
    double now[PW_MAX_SENSORS];
    for (int32_t i = 0; i < p->site->sensor_count; i++) {
        now[i] = told(p, i);
    }
    pw_condition_healthy(p->plant->model, &p->condition);
    for (int32_t m = 0; m < p->options->mishap_count; m++) {
        const pw_mishap *mishap = &p->options->mishaps[m];
        if (p->parts[m] > 0 && !p->over[m]) {
            const double done = (double)p->parts[m] / pw_mishap_course_of(mishap).parts;
            pw_mishap_apply(p->plant->model, mishap, done, reference, &p->condition);
        }
    }
    for (int32_t i = 0; i < p->site->sensor_count; i++) {
        if (p->condition.sensor_hold[i] != before.sensor_hold[i]) {
            p->held_at[i] = now[i];
        }
        if (p->condition.sensor_lag_s[i] > 0.0 && !(before.sensor_lag_s[i] > 0.0)) {
            p->lagging[i] = p->moment.place_pa[p->site->sensors[i].place];
        }
    }
    for (int32_t i = 0; i < p->site->pump_count; i++) {
        p->pulled_in[i] = p->condition.welded[i] && !before.welded[i] ? p->drive.run[i] : p->pulled_in[i];
        p->rest_ms[i] = p->condition.drains_s[i] > 0.0 && !(before.drains_s[i] > 0.0) ? p->t_ms : p->rest_ms[i];
        if (p->drive.run[i] && p->condition.supply != before.supply) {
            p->stuck[i] = pw_model_stalls(p->plant->model, i, p->condition.supply);
        }
    }
    if (p->powerless && !p->condition.supply_lost) {
        pw_control_power(p->table, p->control, (uint32_t)p->t_ms);
    }
    p->powerless = p->condition.supply_lost;
    if (p->powerless) {
        memset(&p->outputs, 0, sizeof p->outputs);
    }
}

static void take_mishaps(plain *p)
{
    bool any = false;
    for (int32_t m = 0; m < p->options->mishap_count; m++) {
        const pw_mishap_course course = pw_mishap_course_of(&p->options->mishaps[m]);
        while (p->due_ms[m] <= p->t_ms) {
            p->over_ms[m] = p->parts[m] == 0 && course.lasts_ms > 0 ? p->due_ms[m] + course.lasts_ms : p->over_ms[m];
            p->parts[m]++;
            p->due_ms[m] = p->parts[m] < course.parts ? p->due_ms[m] + course.part_ms : INT64_MAX;
            any = true;
        }
        if (p->over_ms[m] <= p->t_ms) {
            p->over[m] = true;
            p->over_ms[m] = INT64_MAX;
            any = true;
        }
    }
    if (any) {
        renew(p);
    }
}

/* ---- pumps ---- */

static void count_start(plain *p, int32_t pump)
{
    const int64_t slot = p->started[pump] % (PW_HUNT_STARTS + 1);
    if (p->started[pump] > PW_HUNT_STARTS && p->last_starts[pump][slot] > p->t_ms - 3600000) {
        p->out->hunted = true;
    }
    p->last_starts[pump][slot] = p->t_ms;
    p->started[pump]++;
    p->out->starts++;
}

static pw_thermal thermal_of(const pw_motor *motor)
{
    return (pw_thermal){motor->full_load_a.v, motor->service_factor.v, motor->heat_time_s.v, motor->cool_time_s.v};
}

static void start(plain *p, int32_t i)
{
    const pw_motor *motor = &p->site->pumps[i].motor;
    const pw_condition *c = &p->condition;
    const pw_thermal thermal = thermal_of(motor);
    p->empty[i] = p->empty[i] || (c->drains_s[i] > 0.0 && (double)(p->t_ms - p->rest_ms[i]) >= 1e3 * c->drains_s[i]);
    const bool one_phase = c->phase_lost && motor->phases == 3;
    if (c->supply >= 1.0 && c->sag[i] >= 1.0 && !one_phase) {
        p->inrush[i] = pw_thermal_start(&thermal, motor->locked_rotor_a.v, motor->start_time_s.v);
        p->heat[i] += p->inrush[i];
    } else {
        const double v = p->site->supply_v.v / motor->voltage_v.v * c->supply * c->sag[i];
        const double takes_s = pw_motor_start_s(motor->start_time_s.v, v);
        p->stuck[i] = one_phase || !(takes_s < 1e6) || pw_model_stalls(p->plant->model, i, c->supply);
        p->up_ms[i] = p->stuck[i] ? INT64_MAX : p->t_ms + 1 + (int64_t)(1e3 * takes_s);
    }
    p->began_ms[i] = p->t_ms;
    count_start(p, i);
}

/* The part of the start that a pump stopped too soon for did not come. */
static void cut_start(plain *p, int32_t i)
{
    const double whole_ms = 1e3 * p->site->pumps[i].motor.start_time_s.v;
    const double ran_ms = (double)(p->t_ms - p->began_ms[i]);
    p->heat[i] -= ran_ms < whole_ms ? p->inrush[i] * (whole_ms - ran_ms) / whole_ms : 0.0;
    p->heat[i] = p->heat[i] > 0.0 ? p->heat[i] : 0.0;
    p->inrush[i] = 0.0;
}

/* Contactors follow the outputs. True when any pump changed. */
static bool follow(plain *p)
{
    bool any = false;
    for (int32_t i = 0; i < p->site->pump_count; i++) {
        const bool wanted = p->outputs.run[i] && !p->powerless;
        const double fails = p->condition.not_closing[i];
        if (wanted && !p->ordered[i] && fails > 0.0) {
            p->orders[i]++;
            p->refused[i] = floor((double)p->orders[i] * fails) > floor((double)(p->orders[i] - 1) * fails);
        }
        p->refused[i] = p->refused[i] && wanted;
        p->ordered[i] = wanted;
        const bool closed = wanted && !p->refused[i];
        p->pulled_in[i] = p->condition.welded[i] && (p->pulled_in[i] || closed);
        const bool runs = !p->powerless && !p->burnt[i] && (closed || p->pulled_in[i]);
        if (runs == p->drive.run[i]) {
            continue;
        }
        any = true;
        p->drive.run[i] = runs;
        if (runs) {
            start(p, i);
        } else {
            cut_start(p, i);
            p->stuck[i] = false;
            p->up_ms[i] = INT64_MAX;
            p->rest_ms[i] = p->t_ms;
            p->wave_ms[i] = p->condition.slam_pa[i] > 0.0 ? p->t_ms : INT64_MAX;
            p->wave_pa[i] = p->condition.slam_pa[i];
        }
    }
    return any;
}

static bool vessel_beside(const plain *p, int32_t place)
{
    for (int32_t v = 0; v < p->site->vessel_count; v++) {
        if (p->site->vessels[v].place == place) {
            return true;
        }
    }
    return false;
}

static void roll_waves(plain *p)
{
    for (int32_t i = 0; i < p->site->pump_count; i++) {
        p->up_ms[i] = p->up_ms[i] <= p->t_ms ? INT64_MAX : p->up_ms[i];
        if (p->wave_ms[i] > p->t_ms) {
            continue;
        }
        const bool over = fabs(p->wave_pa[i]) <= p->condition.slam_pa[i] * pow(0.6, 8.0) * (1.0 + 1e-9);
        const int32_t place = p->site->pumps[i].to;
        for (int32_t s = 0; s < p->site->sensor_count; s++) {
            if (p->site->sensors[s].kind == PW_SENSOR_PRESSURE && p->site->sensors[s].place == place &&
                !vessel_beside(p, place)) {
                p->surge[s] = over ? 0.0 : p->wave_pa[i];
            }
        }
        p->wave_pa[i] *= -0.6;
        p->wave_ms[i] = over ? INT64_MAX : p->wave_ms[i] + (int64_t)fmax(1e3 * p->condition.slam_half_s[i], 1.0);
    }
}

/* ---- water ---- */

static void look(plain *p, const double *y, pw_moment *out)
{
    for (int32_t i = 0; i < p->site->pump_count; i++) {
        p->condition.stalled[i] = p->stuck[i] || p->up_ms[i] != INT64_MAX;
        p->condition.pump_empty[i] = p->empty[i];
    }
    if (pw_model_moment(p->plant->model, &p->condition, &p->drive, y, p->warm, out, NULL) != PW_OK) {
        p->out->lost = true;
    }
}

/* What flows in h seconds, half of it by this moment's rates. */
static void gather(plain *p, const pw_moment *m, double h_s)
{
    for (int32_t i = 0; i < p->site->pump_count; i++) {
        p->out->pumped_m3 += p->drive.run[i] ? h_s * m->pump_m3s[i] : 0.0;
        p->out->energy_j += h_s * m->input_w[i];
    }
    for (int32_t i = 0; i < p->site->outlet_count; i++) {
        p->out->delivered_m3 += h_s * m->outlet_m3s[i];
    }
    for (int32_t i = 0; i < p->condition.leak_count; i++) {
        p->out->leaked_m3 += h_s * m->leak_m3s[i];
    }
    for (int32_t i = 0; i < p->site->tank_count; i++) {
        p->out->spilled_m3 += h_s * m->spill_m3s[i];
    }
}

/* Water in the pump: what the shaft gives less what the water carries away, mixing with what comes in, small steps. */
static void warm(plain *p, int32_t i, double h_s)
{
    const pw_moment *m = &p->moment;
    pw_water water;
    (void)pw_water_at(p->site->water_c.v, &water);
    const double volume = p->site->design.casing_m3.v, cp = water.density_kgm3 * water.cp_jkgk;
    const double flow = m->pump_m3s[i], over = p->inside_c[i] - p->site->water_c.v;
    double heat_w = 0.0;
    if (p->drive.run[i] && m->pump_wet[i] >= 0.9 && !p->empty[i]) {
        const double head = pw_model_inside_m(p->plant->model, &p->condition, i, flow);
        heat_w = fmax(m->shaft_w[i] - fmax(water.density_kgm3 * PW_G * flow * head, 0.0), 0.0);
        const double boils_c = pw_model_boiling_c(p->plant->model, head);
        p->inside_c[i] = fmin(p->inside_c[i], boils_c);
    }
    p->inside_c[i] += h_s * (heat_w - cp * fabs(flow) * over - p->site->design.heat_loss_wk.v * over) / (cp * volume);
    p->out->water_max_c = fmax(p->out->water_max_c, p->inside_c[i]);
}

static void burn(plain *p, int32_t i, double winding_c)
{
    if (winding_c > p->site->pumps[i].motor.winding_limit_c.v + PW_BURNT_OVER_K && !p->burnt[i]) {
        p->burnt[i] = true;
        p->out->burnt_ms = p->out->burnt_ms < 0 ? p->t_ms : p->out->burnt_ms;
    }
}

static double largest_of(const double *values, int32_t count)
{
    double most = 0.0;
    for (int32_t i = 0; i < count; i++) {
        most = fmax(most, fabs(values[i]));
    }
    return most;
}

/* Heun's step; where both slopes part by more than a fiftieth something settles faster than the step: halve it. */
static void advance(plain *p, double h_s, int32_t depth)
{
    const int32_t n = pw_model_state_count(p->plant->model);
    static pw_moment end;
    double y[PW_MAX_STATES], apart[PW_MAX_STATES];
    for (int32_t i = 0; i < n; i++) {
        y[i] = p->y[i] + h_s * p->moment.rate_m3s[i];
    }
    look(p, y, &end);
    for (int32_t i = 0; i < n; i++) {
        apart[i] = end.rate_m3s[i] - p->moment.rate_m3s[i];
    }
    if (depth < 8 && largest_of(apart, n) > 0.02 * largest_of(p->moment.rate_m3s, n) + 2e-8) {
        look(p, p->y, &p->moment); /* back to where the guess began */
        advance(p, 0.5 * h_s, depth + 1);
        advance(p, 0.5 * h_s, depth + 1);
        return;
    }
    gather(p, &p->moment, 0.5 * h_s);
    for (int32_t i = 0; i < p->site->pump_count; i++) {
        const pw_motor *motor = &p->site->pumps[i].motor;
        const pw_thermal thermal = thermal_of(motor);
        const double current = 0.5 * (p->moment.current_a[i] + end.current_a[i]);
        p->heat[i] = pw_thermal_step(&thermal, p->heat[i], p->drive.run[i] ? current : 0.0, p->drive.run[i], h_s);
        const double winding = pw_winding_c(&thermal, p->heat[i], p->site->water_c.v, motor->winding_rise_k.v);
        p->out->winding_max_c = fmax(p->out->winding_max_c, winding);
        burn(p, i, winding);
        warm(p, i, h_s);
        p->out->run_s += p->drive.run[i] ? h_s : 0.0;
    }
    for (int32_t s = 0; s < p->site->sensor_count; s++) {
        if (p->condition.sensor_lag_s[s] > 0.0) {
            const int32_t place = p->site->sensors[s].place;
            const double truth = 0.5 * (p->moment.place_pa[place] + end.place_pa[place]);
            p->lagging[s] += (truth - p->lagging[s]) * (1.0 - exp(-h_s / p->condition.sensor_lag_s[s]));
        }
    }
    for (int32_t i = 0; i < n; i++) {
        p->y[i] += 0.5 * h_s * (p->moment.rate_m3s[i] + end.rate_m3s[i]);
    }
    look(p, p->y, &p->moment);
    gather(p, &p->moment, 0.5 * h_s);
}

/* ---- the day ---- */

static void control(plain *p)
{
    double inputs[PW_MAX_SIGNALS];
    const int32_t sensors = p->site->sensor_count, pumps = p->site->pump_count;
    for (int32_t i = 0; i < sensors; i++) {
        inputs[i] = told(p, i);
    }
    for (int32_t i = 0; i < pumps; i++) {
        const pw_motor *motor = &p->site->pumps[i].motor;
        const pw_thermal thermal = thermal_of(motor);
        inputs[sensors + i] = p->moment.current_a[i];
        inputs[sensors + pumps + i] = pw_winding_c(&thermal, p->heat[i], p->site->water_c.v, motor->winding_rise_k.v);
    }
    for (int32_t i = sensors + 2 * pumps; i < p->plant->signal_count; i++) {
        const bool volts = p->plant->signals[i].kind == PW_SIGNAL_SUPPLY;
        inputs[i] = volts ? p->site->supply_v.v * p->condition.supply : (p->condition.phase_lost ? 0.0 : 1.0);
    }
    pw_control_step(p->table, p->control, inputs, (uint32_t)p->t_ms, &p->outputs);
    for (int32_t e = 0; e < p->outputs.event_count; e++) {
        if (p->outputs.events[e].kind == PW_CONTROL_LOCKED) {
            p->out->locks++;
            if (p->options->release_after_ms > 0 && p->release_ms == INT64_MAX) {
                p->release_ms = p->t_ms + p->options->release_after_ms;
            }
        }
    }
}

static void begin(plain *p)
{
    const double in = p->plant->cut_in_pa, out = p->plant->cut_out_pa;
    (void)pw_table_build(&p->arena, p->plant->order, p->options->keep, &p->table, NULL);
    p->control = calloc(1, pw_control_size());
    p->demand = calloc(1, pw_demand_size());
    p->warm = pw_warm_new(&p->arena, p->plant->model);
    pw_demand_begin(p->site, p->options->seed, p->demand);
    p->t_ms = p->options->begin_ms;
    pw_control_begin(p->table, p->control, (uint32_t)p->t_ms);
    pw_model_rest(p->plant->model, out > 0.0 ? 0.5 * (in + out) : in, p->y, p->warm);
    pw_condition_healthy(p->plant->model, &p->condition);
    p->release_ms = INT64_MAX;
    p->out->winding_max_c = p->site->water_c.v;
    p->out->water_max_c = p->site->water_c.v;
    p->out->burnt_ms = -1;
    for (int32_t i = 0; i < p->site->pump_count; i++) {
        p->inside_c[i] = p->site->water_c.v;
    }
    for (int32_t m = 0; m < 2; m++) {
        const bool any = m < p->options->mishap_count && p->options->mishaps[m].kind != PW_MISHAP_NONE;
        p->due_ms[m] = any ? p->options->mishaps[m].onset_ms : INT64_MAX;
        p->over_ms[m] = INT64_MAX;
    }
    for (int32_t i = 0; i < PW_MAX_PUMPS; i++) {
        p->up_ms[i] = INT64_MAX;
        p->rest_ms[i] = p->t_ms;
        p->wave_ms[i] = INT64_MAX;
    }
    for (int32_t i = 0; i < PW_MAX_SENSORS; i++) {
        p->toggle_ms[i] = INT64_MAX;
    }
}

static void tick(plain *p)
{
    while (pw_demand_next_ms(p->demand) <= p->t_ms) {
        const pw_demand_change change = pw_demand_take(p->site, p->demand);
        p->drive.draw_m3s[change.outlet] = change.total_m3s;
    }
    look(p, p->y, &p->moment);
    take_mishaps(p);
    roll_waves(p);
    look(p, p->y, &p->moment);
    move_switches(p);
    if (p->release_ms <= p->t_ms) {
        p->release_ms = INT64_MAX;
        pw_control_release(p->table, p->control, -1, (uint32_t)p->t_ms);
        for (int32_t i = 0; i < p->site->pump_count; i++) {
            p->empty[i] = false; /* that person primes the pumps */
            p->rest_ms[i] = p->t_ms;
        }
    }
    if (!p->powerless) {
        control(p);
    }
    if (follow(p)) {
        look(p, p->y, &p->moment);
        move_switches(p);
    }
    advance(p, PLAIN_STEP_MS * 1e-3, 0);
    p->t_ms += PLAIN_STEP_MS;
}

void plain_run(const pw_plant *plant, const pw_run_options *options, plain_result *out)
{
    const size_t room = (size_t)8 << 20;
    plain *p = calloc(1, sizeof *p);
    void *block = malloc(room);
    memset(out, 0, sizeof *out);
    p->plant = plant;
    p->site = plant->site;
    p->options = options;
    p->out = out;
    pw_arena_init(&p->arena, block, room);
    begin(p);
    while (p->t_ms < options->length_ms && !out->hunted && !out->lost) {
        tick(p);
    }
    out->pressure_pa = p->moment.place_pa[p->site->pumps[0].to];
    free(p->control);
    free(p->demand);
    free(p);
    free(block);
}
