/* Pumps follow the outputs, as far as contactor, supply, motor and prime let them. */
#include "base/num.h"
#include "element/supply.h"
#include "sim/run_impl.h"

/* A surge loses this part of itself at each end of the pipe (friction and give of the fittings; common practice), and
 * is followed for this many half periods. */
#define SURGE_KEPT 0.6
enum { SURGE_HALVES = 8 };

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

/* Time that a motor needs to run up with the voltage of this moment; PW_INF: it never does. */
static double runs_up_s(const pw_sim *run, int32_t p)
{
    const pw_motor *motor = &run->plant->site->pumps[p].motor;
    const pw_condition *condition = &run->condition;
    const double rated = run->plant->site->supply_v.v / motor->voltage_v.v;
    const double cable =
        pw_model_start_part(run->plant->model, p) * pw_supply_start_part(run->plant->model, condition, p);
    const double takes_s =
        pw_motor_start_s(motor->start_time_s.v, rated * condition->supply * condition->sag[p] * cable);
    const bool stays = (condition->phase_lost && motor->phases == 3) || !(takes_s < 1e6) ||
                       pw_model_stalls(run->plant->model, p, condition->supply);
    return stays ? PW_INF : takes_s;
}

/* The motor runs up: at once and with the heat of a start, unless the supply is weak. Then it draws its locked-rotor
 * current until it is up, or for good. One that a drive turns does neither. */
static void run_up(pw_sim *run, int32_t p)
{
    const pw_motor *motor = &run->plant->site->pumps[p].motor;
    const pw_condition *condition = &run->condition;
    pump_state *pump = &run->pumps[p];
    const bool single_phased = condition->phase_lost && motor->phases == 3;
    const bool weak = condition->supply < 1.0 || condition->sag[p] < 1.0 ||
                      pw_model_start_part(run->plant->model, p) < 1.0 ||
                      pw_supply_start_part(run->plant->model, condition, p) < 1.0;
    if (pw_supply_drives(run->plant->site)) {
        return;
    }
    if (!weak && !single_phased) {
        pump->start_heat = pw_thermal_start(&run->thermal[p], motor->locked_rotor_a.v, motor->start_time_s.v);
        run->now.y[run->storages + p] += pump->start_heat;
        return;
    }
    const double takes_s = runs_up_s(run, p);
    pump->stuck = !(takes_s < PW_INF);
    if (pump->stuck) {
        pw_sim_tell(run, PW_ENTRY_STALL, p, -1, 0.0, 0.0);
    } else {
        pump->up_ms = run->t_ms + 1 + (int64_t)(takes_s * 1e3);
    }
}

void pw_contactor_supply(pw_sim *run, int32_t p)
{
    pump_state *pump = &run->pumps[p];
    if (pw_supply_drives(run->plant->site)) {
        return;
    }
    if (pump->stuck) { /* it stands: only what starts a motor moves it */
        const double takes_s = runs_up_s(run, p);
        pump->stuck = !(takes_s < PW_INF);
        pump->up_ms = pump->stuck ? INT64_MAX : run->t_ms + 1 + (int64_t)(takes_s * 1e3);
    } else if (pw_model_stalls(run->plant->model, p, run->condition.supply)) {
        pump->stuck = true;
        pump->up_ms = INT64_MAX;
        pw_sim_tell(run, PW_ENTRY_STALL, p, -1, 0.0, 0.0);
    }
}

static void start(pw_sim *run, int32_t p)
{
    pump_state *pump = &run->pumps[p];
    const double drains_s = run->condition.drains_s[p];
    pw_sim_tell(run, PW_ENTRY_START, p, cause_of(&run->outputs, p, true), 0.0, 0.0);
    if (drains_s > 0.0 && (double)(run->t_ms - pump->rest_from_ms) * 1e-3 >= drains_s && !pump->empty) {
        pump->empty = true;
    }
    if (pump->empty) {
        pw_sim_tell(run, PW_ENTRY_NO_PRIME, p, -1, 0.0, 0.0);
    }
    run_up(run, p);
    run->run_from_ms[p] = run->t_ms;
    run->run_from_m3[p] = run->now.y[pw_pumped_at(run, p)];
}

/* Stopped before it was up: the heat of the rest of its start did not come. */
static void take_back(pw_sim *run, int32_t p, double lasted_s)
{
    const double start_s = run->plant->site->pumps[p].motor.start_time_s.v;
    double *heat = &run->now.y[run->storages + p];
    if (lasted_s < start_s) {
        *heat = pw_max(*heat - run->pumps[p].start_heat * (1.0 - lasted_s / start_s), 0.0);
    }
    run->pumps[p].start_heat = 0.0;
}

static void stop(pw_sim *run, int32_t p)
{
    pump_state *pump = &run->pumps[p];
    const double pumped = pw_sim_pumped(run, p, run->run_from_m3[p]);
    const double lasted = (double)(run->t_ms - run->run_from_ms[p]) * 1e-3;
    pw_sim_tell(run, PW_ENTRY_STOP, p, cause_of(&run->outputs, p, false), lasted, pumped);
    take_back(run, p, lasted);
    pump->stuck = false;
    pump->up_ms = INT64_MAX;
    pump->rest_from_ms = run->t_ms;
    if (run->condition.slam_pa[p] > 0.0) {
        pump->surge_pa = run->condition.slam_pa[p];
        pump->surge_due_ms = run->t_ms;
        pw_sim_tell(run, PW_ENTRY_SLAM, p, -1, pump->surge_pa, run->condition.slam_half_s[p]);
    }
}

/* Does the contactor close? One that fails now and then misses its part of the orders, evenly spread. */
static bool closes(pw_sim *run, int32_t p)
{
    pump_state *pump = &run->pumps[p];
    const bool ordered = run->outputs.run[p] && !run->powerless;
    const double fails = run->condition.not_closing[p];
    if (ordered && !pump->ordered && fails > 0.0) {
        pump->orders++;
        pump->refused = pw_floor((double)pump->orders * fails) > pw_floor((double)(pump->orders - 1) * fails);
        if (pump->refused) {
            pw_sim_tell(run, PW_ENTRY_NO_CLOSE, p, -1, 0.0, 0.0);
        }
    }
    pump->refused = pump->refused && ordered;
    pump->ordered = ordered;
    return ordered && !pump->refused;
}

/* Pumps whose water is gone stand empty from now on. */
static bool lose_primes(pw_sim *run)
{
    bool any = false;
    for (int32_t p = 0; p < run->plant->site->pump_count; p++) {
        pump_state *pump = &run->pumps[p];
        if (pump->loses_prime && !pump->empty) {
            pump->empty = true;
            any = true;
            pw_sim_tell(run, PW_ENTRY_PRIME_LOST, p, -1, 0.0, 0.0);
        }
        pump->loses_prime = false;
    }
    return any;
}

bool pw_contactor_switch(pw_sim *run)
{
    bool any = false;
    for (int32_t p = 0; p < run->plant->site->pump_count; p++) {
        pump_state *pump = &run->pumps[p];
        const bool closed = closes(run, p);
        pump->pulled_in = run->condition.welded[p] && (pump->pulled_in || closed);
        /* a burnt winding is a short circuit: the breaker of this motor has opened */
        const bool runs = !run->powerless && !pump->burnt && (closed || pump->pulled_in);
        if (runs == (run->drive.speed[p] > 0.0)) {
            continue;
        }
        if (!any) { /* as it was until now: with the sample after it a sharp edge */
            pw_sim_tell_at(run, PW_AT_SWITCHING);
        }
        any = true;
        run->drive.speed[p] = runs ? 1.0 : 0.0;
        if (runs) {
            start(run, p);
        } else {
            stop(run, p);
        }
    }
    any = lose_primes(run) || any;
    if (any) {
        pw_course_impose(run);
    }
    return any;
}

/* A pressure sensor feels the surge unless a vessel or a tank stands beside it and takes it up. */
static bool feels(const pw_sim *run, int32_t sensor, int32_t pump)
{
    const pw_site *site = run->plant->site;
    const int32_t place = site->pumps[pump].to;
    const pw_sensor_kind kind = site->sensors[sensor].kind;
    if ((kind != PW_SENSOR_PRESSURE && kind != PW_SENSOR_SWITCH) || site->sensors[sensor].place != place) {
        return false;
    }
    for (int32_t v = 0; v < site->vessel_count; v++) {
        if (site->vessels[v].place == place) {
            return false;
        }
    }
    return true;
}

/* The wave runs up and down the pipe: pressure high for half a period, then low, weaker each time. */
static void turn_surge(pw_sim *run, int32_t p)
{
    pump_state *pump = &run->pumps[p];
    const double half_ms = pw_max(1e3 * run->condition.slam_half_s[p], 1.0);
    double least = run->condition.slam_pa[p];
    for (int32_t i = 0; i < SURGE_HALVES; i++) {
        least *= SURGE_KEPT;
    }
    const bool over = !(pw_abs(pump->surge_pa) > least);
    const double now_pa = over ? 0.0 : pump->surge_pa;
    for (int32_t s = 0; s < run->plant->site->sensor_count; s++) {
        if (feels(run, s, p)) {
            run->surge_pa[s] = now_pa;
        }
    }
    run->peak_pa = run->now.moment.place_pa[run->plant->site->pumps[p].to] + now_pa;
    pw_sim_tell_at(run, PW_AT_SURGE);
    pump->surge_pa *= -SURGE_KEPT;
    pump->surge_due_ms = over ? INT64_MAX : run->t_ms + (int64_t)half_ms;
}

int64_t pw_contactor_due(const pw_sim *run)
{
    int64_t next = INT64_MAX;
    for (int32_t p = 0; p < run->plant->site->pump_count; p++) {
        const pump_state *pump = &run->pumps[p];
        next = pump->up_ms < next ? pump->up_ms : next;
        next = pump->surge_due_ms < next ? pump->surge_due_ms : next;
    }
    return next;
}

void pw_contactor_take(pw_sim *run)
{
    for (int32_t p = 0; p < run->plant->site->pump_count; p++) {
        pump_state *pump = &run->pumps[p];
        if (pump->up_ms <= run->t_ms) {
            pump->up_ms = INT64_MAX;
            pw_course_impose(run);
        }
        if (pump->surge_due_ms <= run->t_ms) {
            turn_surge(run, p);
        }
    }
}

void pw_contactor_release(pw_sim *run)
{
    for (int32_t p = 0; p < run->plant->site->pump_count; p++) {
        run->pumps[p].empty = false;
        run->pumps[p].rest_from_ms = run->t_ms;
    }
    pw_course_impose(run);
}
