/* The slow plain simulation: every step look at everything, then one step of Heun's method. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/num.h"
#include "plain_impl.h"
#include "plain_laws.h"

enum { LAWS_EVERY = 50 }; /* steps from one look at the laws to the next */

/* ---- faults ---- */

static void renew(plain *p)
{
    const double asked = p->options->reference_pa;
    const double reference = asked > 0.0 ? asked : p->plant->reference_pa;
    const pw_condition before = p->condition;
    double now[PW_MAX_SENSORS];
    for (int32_t i = 0; i < p->site->sensor_count; i++) {
        now[i] = plain_told(p, i);
    }
    pw_condition_healthy(p->plant->model, &p->condition);
    for (int32_t m = 0; m < p->options->fault_count; m++) {
        const pw_fault *fault = &p->options->faults[m];
        if (p->parts[m] > 0 && !p->over[m]) {
            const double done = (double)p->parts[m] / pw_fault_course_of(fault).parts;
            pw_fault_apply(p->plant->model, fault, done, reference, &p->condition);
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
        p->pulled_in[i] = p->condition.welded[i] && !before.welded[i] ? p->drive.speed[i] > 0.0 : p->pulled_in[i];
        p->rest_ms[i] = p->condition.drains_s[i] > 0.0 && !(before.drains_s[i] > 0.0) ? p->t_ms : p->rest_ms[i];
        if (p->drive.speed[i] > 0.0 && p->condition.supply != before.supply) {
            p->stuck[i] = pw_model_stalls(p->plant->model, i, p->condition.supply);
        }
    }
    if (!p->powerless && p->condition.supply_lost) {
        pw_control_lost(p->table, p->control, (uint32_t)p->t_ms);
    }
    if (p->powerless && !p->condition.supply_lost) {
        pw_control_power(p->table, p->control, (uint32_t)p->t_ms);
    }
    p->powerless = p->condition.supply_lost;
    if (p->powerless) {
        memset(&p->outputs, 0, sizeof p->outputs);
    }
}

/* Someone types the order anew; a controller that is given one begins with nothing in mind but the clock. */
static void type_settings(plain *p, pw_fault_kind kind)
{
    pw_table *table = NULL;
    p->out->refused = !plain_type(p, kind, &table);
    if (!p->out->refused) {
        p->table = table;
        pw_control_begin(table, p->control, (uint32_t)p->t_ms);
        pw_control_clock(p->control, (uint32_t)p->t_ms, (uint32_t)(p->t_ms % PW_WEEK_MS));
    }
}

/* True when anything changed. */
static bool take_faults(plain *p)
{
    bool any = false;
    for (int32_t m = 0; m < p->options->fault_count; m++) {
        const pw_fault_course course = pw_fault_course_of(&p->options->faults[m]);
        while (p->due_ms[m] <= p->t_ms) {
            p->over_ms[m] = p->parts[m] == 0 && course.lasts_ms > 0 ? p->due_ms[m] + course.lasts_ms : p->over_ms[m];
            if (p->parts[m] == 0 && pw_fault_of_settings(p->options->faults[m].kind)) {
                type_settings(p, p->options->faults[m].kind);
            }
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
    return any;
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
    p->out->pump_starts[pump]++;
}

static void start(plain *p, int32_t i)
{
    const pw_motor *motor = &p->site->pumps[i].motor;
    const pw_condition *c = &p->condition;
    p->empty[i] = p->empty[i] || (c->drains_s[i] > 0.0 && (double)(p->t_ms - p->rest_ms[i]) >= 1e3 * c->drains_s[i]);
    const bool one_phase = c->phase_lost && motor->phases == 3;
    const double cable = plain_start_part(p, i);
    if (c->supply >= 1.0 && c->sag[i] >= 1.0 && cable >= 1.0 && !one_phase) {
        p->inrush[i] = plain_start_heat(motor);
        p->heat[i] += p->inrush[i];
    } else {
        const double v = p->site->supply_v.v / motor->voltage_v.v * c->supply * c->sag[i] * cable;
        const double takes_s = plain_start_s(motor, v);
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

/* A pump over its water that its foot valve or casing does not keep full has lost it once next to none is left. */
static bool lose_primes(plain *p)
{
    bool any = false;
    for (int32_t i = 0; i < p->site->pump_count; i++) {
        const pw_pump *pump = &p->site->pumps[i];
        const bool could = pw_model_pump_lifts(p->plant->model, i) && !pump->primes_itself && pump->kind != PW_PUMP_JET;
        const bool gone = could && p->drive.speed[i] > 0.0 && p->moment.pump_wet[i] < 0.05;
        any = any || ((gone || p->steams[i]) && !p->empty[i]);
        p->empty[i] = p->empty[i] || gone || p->steams[i];
        p->steams[i] = false;
    }
    return any;
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
        if (runs == (p->drive.speed[i] > 0.0)) {
            continue;
        }
        any = true;
        p->drive.speed[i] = runs ? 1.0 : 0.0;
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

/* True when a motor came up to speed. */
static bool roll_waves(plain *p)
{
    bool up = false;
    for (int32_t i = 0; i < p->site->pump_count; i++) {
        up = up || p->up_ms[i] <= p->t_ms;
        p->up_ms[i] = p->up_ms[i] <= p->t_ms ? INT64_MAX : p->up_ms[i];
        if (p->wave_ms[i] > p->t_ms) {
            continue;
        }
        const bool over = fabs(p->wave_pa[i]) <= p->condition.slam_pa[i] * pow(0.6, 8.0) * (1.0 + 1e-9);
        const int32_t place = p->site->pumps[i].to;
        const double wave = p->wave_pa[i];
        for (int32_t s = 0; s < p->site->sensor_count; s++) {
            if (p->site->sensors[s].kind == PW_SENSOR_PRESSURE && p->site->sensors[s].place == place &&
                !vessel_beside(p, place)) {
                p->surge[s] = over ? 0.0 : p->wave_pa[i];
            }
        }
        p->wave_pa[i] *= -0.6;
        p->wave_ms[i] = over ? INT64_MAX : p->wave_ms[i] + (int64_t)fmax(1e3 * p->condition.slam_half_s[i], 1.0);
        p->out->pressure_max_pa = fmax(p->out->pressure_max_pa, p->moment.place_pa[place] + (over ? 0.0 : wave));
    }
    return up;
}

/* ---- water ---- */

static void look(plain *p, const double *y, pw_moment *out)
{
    for (int32_t i = 0; i < p->site->pump_count; i++) {
        p->condition.stalled[i] = p->stuck[i] || p->up_ms[i] != INT64_MAX;
        p->condition.pump_empty[i] = p->empty[i];
    }
    for (int32_t s = 0; s < PW_MAX_SPOTS; s++) {
        *(s < PW_MAX_PLACES ? &p->condition.place_air[s] : &p->condition.line_air[s - PW_MAX_PLACES]) = p->air[s];
    }
    if (pw_model_moment(p->plant->model, &p->condition, &p->drive, y, p->warm, out, NULL) != PW_OK) {
        p->out->lost = true;
    }
}

/* Air in the pipes, by the model's own edges: in at once, out after the time that its pipe takes to fill. */
static void settle_air(plain *p)
{
    bool any = false;
    for (int32_t n = 0; n < pw_model_spot_count(p->plant->model); n++) {
        const int32_t s = pw_model_spot_at(p->plant->model, n);
        bool *there = s < PW_MAX_PLACES ? &p->condition.place_air[s] : &p->condition.line_air[s - PW_MAX_PLACES];
        pw_spot spot;
        if (!p->air[s] && pw_model_spot_pa(p->plant->model, &p->moment, s) > 1.0) {
            continue;
        }
        pw_model_spot(p->plant->model, &p->condition, &p->drive, p->y, &p->moment, s, &spot);
        const bool goes = spot.clears && p->clear_ms[s] <= p->t_ms && p->clear_ms[s] > 0;
        p->clear_ms[s] = !spot.clears || goes || spot.enters ? 0
                         : p->clear_ms[s] > 0                ? p->clear_ms[s]
                                                             : p->t_ms + (int64_t)(1e3 * spot.clears_s);
        const bool before = p->air[s];
        p->air[s] = spot.enters || (p->air[s] && !goes);
        *there = p->air[s];
        any = any || p->air[s] != before;
    }
    if (any) {
        look(p, p->y, &p->moment);
    }
}

/* What flows in h seconds, half of it by this moment's rates. */
static void gather(plain *p, const pw_moment *m, double h_s)
{
    for (int32_t i = 0; i < p->site->pump_count; i++) {
        const double flow_m3s = p->drive.speed[i] > 0.0 ? m->pump_m3s[i] : 0.0;
        p->out->pumped_m3 += h_s * flow_m3s;
        p->out->flow_m3s[i] = fmax(p->out->flow_m3s[i], fabs(flow_m3s));
        p->out->energy_j += h_s * m->input_w[i];
        p->out->power_w[i] = fmax(p->out->power_w[i], m->input_w[i]);
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

/* Time of running without water, and with water that goes nowhere, as the day book defines them. */
static void time_pump(plain *p, int32_t i, double h_s)
{
    const pw_pump *pump = &p->site->pumps[i];
    const bool dry = p->moment.pump_wet[i] < 0.9;
    const bool up = p->up_ms[i] == INT64_MAX && !p->stuck[i];
    const double most_m3s = pump->curve[pump->point_count - 1].flow_m3s.v * pump->speed.v;
    p->out->run_s += h_s;
    p->out->pump_run_s[i] += h_s;
    p->out->dry_s += dry ? h_s : 0.0;
    p->out->deadhead_s += !dry && up && p->moment.pump_m3s[i] < 0.02 * most_m3s ? h_s : 0.0;
}

static double first_pressure(const plain *p, const pw_moment *m)
{
    for (int32_t s = 0; s < p->site->sensor_count; s++) {
        if (p->site->sensors[s].kind == PW_SENSOR_PRESSURE) {
            return m->place_pa[p->site->sensors[s].place];
        }
    }
    return m->place_pa[p->site->pumps[0].to];
}

/* Water in the pump: what the shaft gives less what the water carries away, mixing with what comes in, small steps. */
static void warm(plain *p, int32_t i, double h_s)
{
    const pw_moment *m = &p->moment;
    const double density = plain_density_kgm3(p->site->water_c.v);
    const pw_casing casing = pw_model_casing(p->plant->model, i);
    const double volume = casing.mass_kg / density, cp = density * 4185.0; /* J/kgK, within 0.3 % from 5 to 60 degC */
    const double flow = m->pump_m3s[i], over = p->inside_c[i] - p->site->water_c.v;
    double heat_w = 0.0;
    if (p->drive.speed[i] > 0.0 && m->pump_wet[i] >= 0.9 && !p->empty[i]) {
        const double head = pw_model_inside_m(p->plant->model, &p->condition, i, 1.0, flow);
        heat_w = fmax(m->shaft_w[i] - fmax(density * PW_G * flow * head, 0.0), 0.0);
        const double boils_c = pw_model_boiling_c(p->plant->model, head);
        const bool boils = p->inside_c[i] >= boils_c;
        p->steams[i] = p->steams[i] || (boils && !p->boiled[i] && pw_model_pump_lifts(p->plant->model, i));
        p->boiled[i] = boils || (p->boiled[i] && p->inside_c[i] >= 90.0);
        p->inside_c[i] = fmin(p->inside_c[i], boils_c);
    }
    p->inside_c[i] += h_s * (heat_w - cp * fabs(flow) * over - casing.ua_wk * over) / (cp * volume);
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
        const double current = 0.5 * (p->moment.current_a[i] + end.current_a[i]);
        const bool runs = p->drive.speed[i] > 0.0;
        p->heat[i] = plain_heat(motor, p->heat[i], runs ? current : 0.0, runs, h_s);
        const double winding = plain_winding_c(p, motor, p->heat[i]);
        p->out->winding_max_c = fmax(p->out->winding_max_c, winding);
        burn(p, i, winding);
        warm(p, i, h_s);
        if (p->drive.speed[i] > 0.0) {
            time_pump(p, i, h_s);
        }
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
        inputs[i] = plain_told(p, i);
    }
    for (int32_t i = 0; i < pumps; i++) {
        const pw_motor *motor = &p->site->pumps[i].motor;
        inputs[sensors + i] = p->moment.current_a[i];
        inputs[sensors + pumps + i] = plain_winding_c(p, motor, p->heat[i]);
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
    (void)pw_table_build(&p->arena, p->plant->settings, p->options->keep, &p->table, NULL);
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
        const bool any = m < p->options->fault_count && p->options->faults[m].kind != PW_FAULT_NONE;
        p->due_ms[m] = any ? p->options->faults[m].onset_ms : INT64_MAX;
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
    p->out->pressure_min_pa = INFINITY;
    p->out->pressure_max_pa = -INFINITY;
    look(p, p->y, &p->moment);
}

static void tick(plain *p)
{
    bool any = false;
    for (; pw_demand_next_ms(p->demand) <= p->t_ms; any = true) {
        const pw_demand_change change = pw_demand_take(p->site, p->demand);
        p->drive.draw_m3s[change.outlet] = change.total_m3s;
    }
    if (any) {
        look(p, p->y, &p->moment);
    }
    any = take_faults(p);
    if (roll_waves(p) || any) {
        look(p, p->y, &p->moment);
    }
    settle_air(p);
    plain_move_switches(p);
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
    const bool lost = lose_primes(p);
    if (follow(p) || lost) {
        look(p, p->y, &p->moment);
        settle_air(p);
        plain_move_switches(p);
    }
    if (p->t_ms / p->step_ms % LAWS_EVERY == 0) {
        plain_laws(p);
    }
    const double before_pa = first_pressure(p, &p->moment);
    advance(p, (double)p->step_ms * 1e-3, 0);
    const double after_pa = first_pressure(p, &p->moment);
    p->out->swing_pa = fmax(p->out->swing_pa, fabs(after_pa - before_pa));
    p->out->pressure_min_pa = fmin(p->out->pressure_min_pa, fmin(before_pa, after_pa));
    p->out->pressure_max_pa = fmax(p->out->pressure_max_pa, fmax(before_pa, after_pa));
    p->t_ms += p->step_ms;
}

void plain_run(const pw_plant *plant, const pw_run_options *options, int64_t step_ms, plain_result *out)
{
    const size_t room = (size_t)8 << 20;
    plain *p = calloc(1, sizeof *p);
    void *block = malloc(room);
    memset(out, 0, sizeof *out);
    p->plant = plant;
    p->step_ms = step_ms;
    p->site = plant->site;
    p->options = options;
    p->out = out;
    pw_arena_init(&p->arena, block, room);
    begin(p);
    while (p->t_ms < options->length_ms && !out->hunted && !out->lost) {
        tick(p);
    }
    free(p->control);
    free(p->demand);
    free(p);
    free(block);
}
