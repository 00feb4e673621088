/* Looking on: observers are told, and what can be asked of a simulation. Nothing here changes one. */
#include "base/num.h"
#include "sim/run_impl.h"

#include <string.h>

/* ---- observers ---- */

void pw_sim_attach(pw_sim *run, pw_observer *observer)
{
    pw_observer **end = &run->observers;
    while (*end != NULL) {
        end = &(*end)->next;
    }
    observer->next = NULL;
    observer->stop = false;
    *end = observer;
}

void pw_sim_detach(pw_sim *run, pw_observer *observer)
{
    for (pw_observer **at = &run->observers; *at != NULL; at = &(*at)->next) {
        if (*at == observer) {
            *at = observer->next;
            return;
        }
    }
}

void pw_sim_pass_on(pw_sim *run, const pw_event *event)
{
    for (pw_observer *one = run->observers; one != NULL; one = one->next) {
        if (one->event != NULL) {
            one->event(one, run, event);
        }
    }
}

void pw_sim_tell(pw_sim *run, pw_entry_kind kind, int32_t item, int32_t sentence, double a, double b)
{
    const pw_event event = {run->t_ms, kind, item, sentence, a, b, run->settings_in_force};
    pw_sim_pass_on(run, &event);
}

void pw_sim_tell_at(pw_sim *run, pw_at when)
{
    for (pw_observer *one = run->observers; one != NULL; one = one->next) {
        if (one->at != NULL) {
            one->at(one, run, when);
        }
    }
}

void pw_sim_tell_on_the_way(pw_sim *run, double part)
{
    for (pw_observer *one = run->observers; one != NULL; one = one->next) {
        if (one->on_the_way != NULL) {
            one->on_the_way(one, run, part);
        }
    }
}

void pw_sim_tell_within(pw_sim *run, int64_t h_ms)
{
    run->looked_h_ms = h_ms;
    for (pw_observer *one = run->observers; one != NULL; one = one->next) {
        if (one->within != NULL) {
            one->within(one, run, h_ms);
        }
    }
}

void pw_sim_tell_passed(pw_sim *run, int64_t from_ms)
{
    for (pw_observer *one = run->observers; one != NULL; one = one->next) {
        if (one->passed != NULL) {
            one->passed(one, run, from_ms);
        }
    }
}

bool pw_sim_look(pw_sim *run, int64_t at_ms, void (*show)(void *user, const pw_sim *sim), void *user)
{
    const point begin = run->now, end = run->trial;
    const int64_t begin_ms = run->t_ms, evaluations = run->evaluations, solves = run->solves;
    pw_warm *warm = run->warm;
    warmth water[PW_MAX_PUMPS];
    memcpy(water, run->warmth, sizeof water);
    pw_warm_copy(run->sample_warm, warm);
    run->warm = run->sample_warm;
    bool good = at_ms <= 0 || at_ms == run->looked_h_ms;
    if (!good) {
        good = pw_integrate_look(run, at_ms) == PW_OK;
    }
    if (good && at_ms > 0) {
        run->now = run->trial;
        pw_warmth_look(run, (double)at_ms * 1e-3);
    }
    run->t_ms = begin_ms + at_ms;
    if (good) {
        show(user, run);
    }
    run->t_ms = begin_ms;
    run->now = begin;
    run->trial = end;
    run->warm = warm;
    run->evaluations = evaluations;
    run->solves = solves;
    memcpy(run->warmth, water, sizeof water);
    return good;
}

/* ---- questions ---- */

const pw_retyped *pw_sim_retyped(const pw_sim *run)
{
    return run->retyped;
}

const pw_plant *pw_sim_plant(const pw_sim *run)
{
    return run->plant;
}

int64_t pw_sim_time_ms(const pw_sim *run)
{
    return run->t_ms;
}

const pw_moment *pw_sim_moment(const pw_sim *run)
{
    return &run->now.moment;
}

const pw_drive *pw_sim_drive(const pw_sim *run)
{
    return &run->drive;
}

const pw_condition *pw_sim_condition(const pw_sim *run)
{
    return &run->condition;
}

bool pw_sim_powered(const pw_sim *run)
{
    return !run->powerless;
}

bool pw_sim_holds(const pw_sim *run, int32_t pump, int32_t sentence)
{
    return pw_control_holds(run->control, pump, sentence);
}

bool pw_sim_locked(const pw_sim *run, int32_t pump)
{
    return run->outputs.locked[pump];
}

int32_t pw_sim_pressure_place(const pw_sim *run)
{
    const pw_site *site = run->plant->site;
    for (int32_t s = 0; s < site->sensor_count; s++) {
        if (site->sensors[s].kind == PW_SENSOR_PRESSURE) {
            return site->sensors[s].place;
        }
    }
    return site->pumps[0].to;
}

double pw_sim_pressure(const pw_sim *run)
{
    return run->now.moment.place_pa[pw_sim_pressure_place(run)];
}

double pw_sim_surge_pa(const pw_sim *run)
{
    return run->peak_pa;
}

double pw_sim_winding_c(const pw_sim *run, int32_t pump)
{
    const pw_site *site = run->plant->site;
    return pw_winding_c(&run->thermal[pump], run->now.y[run->storages + pump], site->water_c.v,
                        site->pumps[pump].motor.winding_rise_k.v);
}

double pw_sim_water_c(const pw_sim *run, int32_t pump)
{
    return run->warmth[pump].water_c;
}

double pw_sim_tank_m(const pw_sim *run, int32_t tank)
{
    const pw_model *model = run->plant->model;
    return pw_model_tank_m(model, tank, run->now.y[pw_model_tank_state(model, tank)]);
}

double pw_sim_bore_m(const pw_sim *run, int32_t source)
{
    const pw_site *site = run->plant->site;
    int32_t bore = 0;
    for (int32_t s = 0; s < source; s++) {
        bore += site->sources[s].kind == PW_SOURCE_BORE ? 1 : 0;
    }
    return pw_model_bore_m(run->plant->model, source, run->now.y[bore]);
}

int64_t pw_sim_segments(const pw_sim *run)
{
    return run->segments;
}

int64_t pw_sim_evaluations(const pw_sim *run)
{
    return run->evaluations;
}

int64_t pw_sim_solves(const pw_sim *run)
{
    return run->solves;
}

double pw_sim_value(const pw_sim *run, pw_watched what)
{
    const pw_moment *m = &run->now.moment;
    const int32_t i = what.item;
    switch (what.of) {
    case PW_OF_PLACE_PRESSURE: return m->place_pa[i];
    case PW_OF_PUMP_FLOW: return m->pump_m3s[i];
    case PW_OF_LINE_FLOW: return m->line_m3s[i];
    case PW_OF_OUTLET_FLOW: return m->outlet_m3s[i];
    case PW_OF_TANK_DEPTH: return pw_sim_tank_m(run, i);
    case PW_OF_BORE_WATER: return pw_sim_bore_m(run, i);
    case PW_OF_CURRENT: return m->current_a[i];
    case PW_OF_POWER: return m->input_w[i];
    case PW_OF_WINDING: return pw_sim_winding_c(run, i);
    case PW_OF_WATER: return pw_sim_water_c(run, i);
    case PW_OF_RUNNING: return run->drive.speed[i] > 0.0 ? 1.0 : 0.0;
    case PW_OF_READING: break;
    }
    return pw_sensors_told(run, i);
}

/* What a shut valve lets through in the equations is no water. */
double pw_sim_pumped(const pw_sim *run, int32_t pump, double from_m3)
{
    const double pumped_m3 = run->now.y[pw_pumped_at(run, pump)] - from_m3;
    return pw_abs(pumped_m3) < 1e-7 ? 0.0 : pumped_m3;
}
