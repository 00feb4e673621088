/* Sensors as they are: what the controller is told, and at which true value it is told something else.
 *
 * A pressure reading is the truth plus the sensor's error, held within its range, rounded to its resolution (half up).
 * It passes a threshold T downwards at (ceil(T/r) - 1/2) r and upwards at (floor(T/r) + 1/2) r: own derivation,
 * tests/unit/sim. A flow switch makes at one velocity and breaks at a lower one; a trickle between reads as it did
 * before.
 */
#include <assert.h>

#include "base/num.h"
#include "element/supply.h"
#include "sim/run_impl.h"
#include "formula/friction.h"
#include "site/topology.h"

/* A pump that cavitates counts so until its NPSH is this much over what it requires (own choice). */
#define CAVITATION_BAND_M 0.1
/* Less water than this in a pump over its water: its prime is gone (own choice). */
#define PRIME_GONE 0.05
/* A pump counts as running dry once a tenth of its intake takes in air. */
#define DRY_BELOW 0.9

/* ---- readings ---- */

static double rounded(double value, double resolution)
{
    return resolution > 0.0 ? pw_floor(value / resolution + 0.5) * resolution : value;
}

/* True value at which the reading passes the threshold; beyond the sensor's range it never does. */
static double true_threshold(const pw_sensor *sensor, double threshold, bool above)
{
    const double step = sensor->resolution.v;
    double edge = threshold;
    if (sensor->kind == PW_SENSOR_PRESSURE || sensor->kind == PW_SENSOR_DROP) {
        if (above && threshold >= rounded(sensor->high_pa.v, step)) {
            return PW_INF;
        }
        if (!above && threshold <= rounded(sensor->low_pa.v, step)) {
            return -PW_INF;
        }
    }
    if (step > 0.0) {
        edge = above ? (pw_floor(threshold / step) + 0.5) * step : (pw_ceil(threshold / step) - 0.5) * step;
    }
    return edge - sensor->error.v;
}

static int32_t bore_at(const pw_site *site, int32_t place)
{
    for (int32_t s = 0; s < site->source_count; s++) {
        if (site->sources[s].place == place && site->sources[s].kind == PW_SOURCE_BORE) {
            return s;
        }
    }
    return -1;
}

/* Water depth in a tank, or height of the water over a bore's intake. */
static double depth_at(const pw_sim *run, int32_t place, const double *y)
{
    const pw_site *site = run->plant->site;
    const int32_t tank = pw_site_tank_at(site, place);
    if (tank >= 0) {
        return pw_model_tank_m(run->plant->model, tank, y[pw_model_tank_state(run->plant->model, tank)]);
    }
    int32_t number = 0;
    const int32_t wanted = bore_at(site, place);
    for (int32_t s = 0; s < wanted; s++) {
        number += site->sources[s].kind == PW_SOURCE_BORE ? 1 : 0;
    }
    return wanted >= 0 ? pw_model_bore_m(run->plant->model, wanted, y[number]) : 0.0;
}

static double velocity_of(const pw_sensor *sensor, const pw_moment *moment)
{
    const double flow = sensor->pump >= 0 ? moment->pump_m3s[sensor->pump] : moment->line_m3s[sensor->line];
    return flow / pw_bore_area_m2(sensor->bore_m.v);
}

static double winding_c(const pw_sim *run, int32_t pump, const double *y)
{
    const pw_motor *motor = &run->plant->site->pumps[pump].motor;
    return pw_winding_c(&run->thermal[pump], y[run->storages + pump], run->plant->site->water_c.v,
                        motor->winding_rise_k.v);
}

static bool in_window(const pw_sensor *sensor, int64_t t_ms)
{
    const int64_t day_ms = t_ms % 86400000;
    for (int32_t w = 0; w < sensor->window_count; w++) {
        const int64_t from = (int64_t)sensor->window_from_s[w] * 1000;
        const int64_t to = (int64_t)sensor->window_to_s[w] * 1000;
        const bool inside = from <= to ? day_ms >= from && day_ms < to : day_ms >= from || day_ms < to;
        if (inside) {
            return true;
        }
    }
    return false;
}

int64_t pw_contact_next(const pw_sensor *sensor, int64_t t_ms)
{
    const int64_t day = t_ms - t_ms % 86400000;
    int64_t next = INT64_MAX;
    for (int32_t w = 0; w < sensor->window_count; w++) {
        const int64_t edges[2] = {(int64_t)sensor->window_from_s[w] * 1000, (int64_t)sensor->window_to_s[w] * 1000};
        for (int32_t e = 0; e < 2; e++) {
            const int64_t at = day + edges[e] > t_ms ? day + edges[e] : day + edges[e] + 86400000;
            next = at < next ? at : next;
        }
    }
    return next;
}

/* ---- watches ---- */

static void add_watch(pw_sim *run, watch_kind kind, int32_t item, double threshold, bool above)
{
    if (run->watch_count < run->watch_capacity) {
        watch *w = &run->watches[run->watch_count];
        w->kind = kind;
        w->item = item;
        w->threshold = threshold;
        w->above = above;
        w->holds = false;
        run->watch_count++;
    }
}

void pw_sensors_watch(pw_sim *run)
{
    const pw_site *site = run->plant->site;
    pw_crossing crossings[MOST_CROSSINGS];
    run->watch_count = 0;
    const int32_t count = pw_table_crossings(run->table, crossings, MOST_CROSSINGS);
    assert(count <= MOST_CROSSINGS);
    for (int32_t i = 0; i < count; i++) {
        const int32_t signal = crossings[i].signal;
        const pw_signal_kind kind = run->plant->signals[signal].kind;
        double threshold = crossings[i].threshold;
        if (kind == PW_SIGNAL_FLOW || kind == PW_SIGNAL_CONTACT) {
            continue; /* flow switches have their own watch, contacts change by the clock */
        }
        const bool steady = kind == PW_SIGNAL_SUPPLY && !pw_supply_gives_way(site);
        if (steady || kind == PW_SIGNAL_PHASES) {
            continue; /* they change with the condition, and the controller is stepped then */
        }
        if (kind == PW_SIGNAL_PROBE) {
            threshold = site->sensors[signal].probe_m.v;
        } else if (signal < site->sensor_count) {
            threshold = true_threshold(&site->sensors[signal], threshold, crossings[i].above);
        }
        add_watch(run, WATCH_SIGNAL, signal, threshold, kind == PW_SIGNAL_PROBE || crossings[i].above);
    }
    for (int32_t s = 0; s < site->sensor_count; s++) {
        if (site->sensors[s].kind == PW_SENSOR_FLOW) {
            add_watch(run, WATCH_FLOW, s, 0.0, true);
        }
        if (site->sensors[s].kind == PW_SENSOR_SWITCH) {
            add_watch(run, WATCH_SWITCH, s, 0.0, true);
        }
    }
    for (int32_t p = 0; p < site->pump_count; p++) {
        add_watch(run, WATCH_DRY, p, DRY_BELOW, false);
        add_watch(run, WATCH_CAVITATES, p, 0.0, false);
        if (pw_model_pump_lifts(run->plant->model, p) && !site->pumps[p].primes_itself &&
            site->pumps[p].kind != PW_PUMP_JET) {
            add_watch(run, WATCH_PRIME, p, PRIME_GONE, false);
        }
        add_watch(run, WATCH_DEAD, p, 0.02, false);
        add_watch(run, WATCH_BURNT, p, site->pumps[p].motor.winding_limit_c.v + PW_BURNT_OVER_K, true);
    }
    for (int32_t o = 0; o < site->outlet_count; o++) {
        add_watch(run, WATCH_SHORT, o, 0.8, false);
    }
    for (int32_t f = 0; f < site->filter_count; f++) {
        add_watch(run, WATCH_FILTER, f, PW_INF, true);
    }
    for (int32_t t = 0; t < site->tank_count; t++) {
        add_watch(run, WATCH_SPILL, t, 1e-6, true);
    }
}

double pw_sensors_truth(const pw_sim *run, int32_t sensor)
{
    return run->now.moment.place_pa[run->plant->site->sensors[sensor].place];
}

/* What a measuring sensor is given to measure: the truth, late, shaken and with its drift; or what it is held at. */
static double felt(const pw_sim *run, int32_t i, const point *at)
{
    const pw_sensor *sensor = &run->plant->site->sensors[i];
    if (run->condition.sensor_hold[i] == PW_HOLD_AS_IT_IS) {
        return run->held[i];
    }
    if (sensor->kind == PW_SENSOR_DROP) {
        const pw_filter *filter = &run->plant->site->filters[sensor->filter];
        return pw_model_filter_pa(run->plant->model, &run->condition, sensor->filter,
                                  at->moment.line_m3s[filter->line]) +
               run->condition.sensor_bias[i];
    }
    if (sensor->kind == PW_SENSOR_SWITCH) { /* as its own scale says */
        const double over_pa = sensor->over_m.v * pw_model_pa_per_m(run->plant->model);
        return at->moment.place_pa[sensor->place] - over_pa - sensor->error.v + sensor->error_pa +
               run->condition.sensor_bias[i] + run->surge_pa[i];
    }
    if (sensor->kind != PW_SENSOR_PRESSURE) {
        return depth_at(run, sensor->place, at->y) + run->condition.sensor_bias[i];
    }
    const bool late = run->condition.sensor_lag_s[i] > 0.0 && run->lag_of[i] >= 0;
    const double pressure = late ? at->y[run->lag_of[i]] : at->moment.place_pa[sensor->place];
    return pressure + sensor->error_pa + run->condition.sensor_bias[i] + run->surge_pa[i];
}

double pw_watch_value(const pw_sim *run, const watch *w, const point *at)
{
    const pw_site *site = run->plant->site;
    switch (w->kind) {
    case WATCH_SIGNAL:
        if (w->item < site->sensor_count) {
            const pw_sensor *sensor = &site->sensors[w->item];
            return sensor->kind == PW_SENSOR_PROBE ? depth_at(run, sensor->place, at->y) : felt(run, w->item, at);
        }
        if (w->item < site->sensor_count + site->pump_count) {
            return at->moment.current_a[w->item - site->sensor_count];
        }
        if (w->item == site->sensor_count + 2 * site->pump_count) {
            return site->supply_v.v * at->moment.supply;
        }
        return winding_c(run, w->item - site->sensor_count - site->pump_count, at->y);
    case WATCH_SWITCH: return felt(run, w->item, at);
    case WATCH_FILTER: return pw_filters_passed_m3(run, w->item, at);
    case WATCH_FLOW: return velocity_of(&site->sensors[w->item], &at->moment);
    case WATCH_PRIME:
    case WATCH_DRY: return run->drive.speed[w->item] > 0.0 ? at->moment.pump_wet[w->item] : 1.0;
    case WATCH_CAVITATES: { /* from a little over it on it counts as over, so that nothing flickers */
        const bool turns = run->drive.speed[w->item] > 0.0 && at->moment.driven > 0.0;
        const bool counts = turns && at->moment.pump_wet[w->item] >= DRY_BELOW;
        const double left_m = at->moment.npsh_m[w->item] - at->moment.npsh_needs_m[w->item];
        return counts ? left_m - (run->cavitates[w->item] ? CAVITATION_BAND_M : 0.0) : 1.0;
    }
    case WATCH_DEAD: {
        const pw_pump *pump = &site->pumps[w->item];
        const double most = pump->curve[pump->point_count - 1].flow_m3s.v * pump->speed.v;
        /* not while it runs up or stands, and not where it is too little power that moves no water */
        const bool counts = run->drive.speed[w->item] > 0.0 && run->pumps[w->item].up_ms == INT64_MAX &&
                            !run->pumps[w->item].stuck && !(at->moment.driven < 1.0);
        return counts ? at->moment.pump_m3s[w->item] / most : 1.0;
    }
    case WATCH_BURNT: return winding_c(run, w->item, at->y);
    case WATCH_SHORT:
        return run->drive.draw_m3s[w->item] > 0.0 ? at->moment.outlet_m3s[w->item] / run->drive.draw_m3s[w->item] : 1.0;
    case WATCH_SPILL: break;
    }
    return at->moment.spill_m3s[w->item];
}

bool pw_watch_truth(const watch *w, double value)
{
    return w->above ? value > w->threshold : value < w->threshold;
}

/* For good, whatever it cools to: the contactor follows (contactor.c). */
static void burn_out(pw_sim *run, int32_t pump, double winding)
{
    if (run->pumps[pump].burnt) {
        return;
    }
    run->pumps[pump].burnt = true;
    pw_sim_tell(run, PW_ENTRY_BURNT, pump, -1, winding, 0.0);
}

/* A marker of the day book changed: note it once. */
static void mark(pw_sim *run, bool *was, bool is, pw_entry_kind begins, pw_entry_kind ends, int32_t item)
{
    if (*was != is) {
        *was = is;
        pw_sim_tell(run, is ? begins : ends, item, -1, 0.0, 0.0);
    }
}

/* a of what begins: 1 where no water stands up to the pump, however well its intake is covered. */
static void mark_dry(pw_sim *run, int32_t pump, bool is)
{
    if (run->dry[pump] != is) {
        const bool too_high = pw_model_pump_lifts(run->plant->model, pump) && !run->pumps[pump].empty &&
                              run->now.moment.npsh_m[pump] < PW_COLUMN_BAND_M;
        run->dry[pump] = is;
        pw_sim_tell(run, is ? PW_ENTRY_DRY : PW_ENTRY_DRY_END, pump, -1, is && too_high ? 1.0 : 0.0, 0.0);
    }
}

/* Air in a pump and the vapour of its water come one after the other: only what begins is told with its figures. */
static void mark_cavitation(pw_sim *run, int32_t pump, bool is)
{
    if (run->cavitates[pump] != is) {
        const pw_moment *m = &run->now.moment;
        run->cavitates[pump] = is;
        pw_sim_tell(run, is ? PW_ENTRY_CAVITATES : PW_ENTRY_CAVITATES_END, pump, -1, m->npsh_m[pump],
                    m->npsh_needs_m[pump]);
    }
}

/* The end of a shortage tells how long it lasted. */
static void mark_short(pw_sim *run, int32_t outlet, bool is)
{
    if (run->shortage[outlet] == is) {
        return;
    }
    const double lasted_s = is ? 0.0 : (double)(run->t_ms - run->short_from_ms[outlet]) * 1e-3;
    run->shortage[outlet] = is;
    run->short_from_ms[outlet] = run->t_ms;
    pw_sim_tell(run, is ? PW_ENTRY_SHORT : PW_ENTRY_SHORT_END, outlet, -1, lasted_s, 0.0);
}

static void settle_flow(pw_sim *run, watch *w, double velocity)
{
    const pw_sensor *sensor = &run->plant->site->sensors[w->item];
    const bool was = run->made[w->item];
    const bool is = was ? velocity > sensor->breaks_ms.v : velocity >= sensor->makes_ms.v;
    if (is != was) {
        run->made[w->item] = is;
        const bool tells = run->condition.sensor_hold[w->item] == PW_HOLD_FREE;
        if (tells) {
            pw_sim_tell(run, is ? PW_ENTRY_FLOW : PW_ENTRY_NO_FLOW, w->item, -1, velocity, 0.0);
        }
    }
    /* From now on look for the other edge. */
    w->above = !is;
    w->threshold = is ? sensor->breaks_ms.v : sensor->makes_ms.v;
}

/* Between its two pressures a pressure switch stays as it is; from there on look for the one that moves it. */
static void settle_switch(pw_sim *run, watch *w, double pressure)
{
    const pw_sensor *sensor = &run->plant->site->sensors[w->item];
    const bool falling = sensor->closes_pa.v < sensor->opens_pa.v;
    bool *closed = &run->made[w->item];
    const double moves_at = *closed ? sensor->opens_pa.v : sensor->closes_pa.v;
    const bool rises = falling == *closed; /* to be moved */
    if (rises ? pressure >= moves_at : pressure <= moves_at) {
        *closed = !*closed;
    }
    w->above = falling == *closed;
    w->threshold = *closed ? sensor->opens_pa.v : sensor->closes_pa.v;
}

void pw_sensors_settle(pw_sim *run)
{
    for (int32_t i = 0; i < run->watch_count; i++) {
        watch *w = &run->watches[i];
        const double value = pw_watch_value(run, w, &run->now);
        if (w->kind == WATCH_FLOW) {
            settle_flow(run, w, value);
        } else if (w->kind == WATCH_SWITCH) {
            settle_switch(run, w, value);
        } else if (w->kind == WATCH_FILTER) {
            w->threshold = pw_filters_next_m3(run, w->item);
        }
        w->holds = pw_watch_truth(w, value);
        switch (w->kind) {
        case WATCH_DRY: mark_dry(run, w->item, w->holds); break;
        case WATCH_PRIME: run->pumps[w->item].loses_prime = run->pumps[w->item].loses_prime || w->holds; break;
        case WATCH_CAVITATES: mark_cavitation(run, w->item, w->holds); break;
        case WATCH_DEAD: run->dead[w->item] = w->holds; break;
        case WATCH_BURNT:
            if (w->holds) {
                burn_out(run, w->item, value);
            }
            break;
        case WATCH_SHORT: mark_short(run, w->item, w->holds); break;
        case WATCH_SPILL:
            mark(run, &run->spilling[w->item], w->holds, PW_ENTRY_SPILL, PW_ENTRY_SPILL_END, w->item);
            break;
        case WATCH_SIGNAL:
        case WATCH_SWITCH:
        case WATCH_FILTER:
        case WATCH_FLOW: break;
        }
    }
}

double pw_sensors_told(const pw_sim *run, int32_t i)
{
    const pw_sensor *sensor = &run->plant->site->sensors[i];
    const uint8_t hold = run->condition.sensor_hold[i];
    if (hold != PW_HOLD_FREE) {
        return hold == PW_HOLD_AS_IT_IS ? run->held[i] : hold == PW_HOLD_ON ? 1.0 : 0.0;
    }
    switch (sensor->kind) {
    case PW_SENSOR_SWITCH: return run->made[i] ? 1.0 : 0.0;
    case PW_SENSOR_DROP:
    case PW_SENSOR_PRESSURE: {
        const double told = felt(run, i, &run->now) + sensor->error.v;
        return rounded(pw_clamp(told, sensor->low_pa.v, sensor->high_pa.v), sensor->resolution.v);
    }
    case PW_SENSOR_FLOW: return run->made[i] && !run->shaken[i] ? 1.0 : 0.0;
    case PW_SENSOR_LEVEL: return rounded(felt(run, i, &run->now) + sensor->error.v, sensor->resolution.v);
    case PW_SENSOR_PROBE: return depth_at(run, sensor->place, run->now.y) > sensor->probe_m.v ? 1.0 : 0.0;
    case PW_SENSOR_CONTACT: break;
    }
    return in_window(sensor, run->t_ms) ? 1.0 : 0.0;
}

void pw_sensors_read(pw_sim *run)
{
    const pw_site *site = run->plant->site;
    for (int32_t i = 0; i < site->sensor_count; i++) {
        run->inputs[i] = pw_sensors_told(run, i);
    }
    for (int32_t p = 0; p < site->pump_count; p++) {
        run->inputs[site->sensor_count + p] = run->now.moment.current_a[p];
        run->inputs[site->sensor_count + site->pump_count + p] = winding_c(run, p, run->now.y);
    }
    double *supply = &run->inputs[site->sensor_count + 2 * site->pump_count];
    supply[0] = site->supply_v.v * run->now.moment.supply;
    supply[1] = run->condition.phase_lost ? 0.0 : 1.0;
}
