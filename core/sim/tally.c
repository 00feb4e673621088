/* Totals: what was pumped, drawn, lost and missed, how long and how hot; since the beginning and since the first
 * fault. */
#include "base/num.h"
#include "sim/extremes.h"
#include "sim/observers.h"

#include <string.h>

enum { STARTS_KEPT = 4096 };
_Static_assert(STARTS_KEPT > PW_HUNT_STARTS + 1, "the hour that hunting is judged by fits");

struct pw_start_ring {
    int64_t at_ms[STARTS_KEPT];             /* ring of start times */
    int64_t count, hour_first, since_first; /* numbers of starts: in all, first of the last hour, since onset */
};

static pw_sums sums_of(const pw_sim *run)
{
    const double *sum = run->now.y + run->sums;
    pw_sums out = {.source_m3 = sum[SUM_SOURCE],
                   .delivered_m3 = sum[SUM_DELIVERED],
                   .leaked_m3 = sum[SUM_LEAKED],
                   .spilled_m3 = sum[SUM_SPILLED]};
    for (int32_t i = 0; i < run->storages; i++) {
        out.stored_m3 += run->now.y[i];
    }
    for (int32_t p = 0; p < run->thermals; p++) {
        out.pumped_m3[p] = run->now.y[pw_pumped_at(run, p)];
        out.energy_j[p] = run->now.y[pw_energy_at(run, p)];
    }
    return out;
}

/* ---- the most ---- */

static void keep_warmest(pw_totals *totals, double winding_c, double water_c)
{
    totals->water_max_c = pw_max(totals->water_max_c, water_c);
    totals->winding_max_c = pw_max(totals->winding_max_c, winding_c);
}

/* The highest pressure anywhere. Before a valve that is partly shut the pump's own head stands, not the place's. */
static double top_pa(const pw_sim *run, const pw_moment *m)
{
    double most = -PW_INF;
    for (int32_t n = 0; n < run->plant->site->place_count; n++) {
        most = pw_max(most, m->place_pa[n]);
    }
    for (int32_t p = 0; p < run->thermals; p++) {
        if (run->drive.speed[p] > 0.0 && run->condition.pump_open[p] < 1.0) {
            const double inside_m =
                pw_model_inside_m(run->plant->model, &run->condition, p, run->drive.speed[p], m->pump_m3s[p]);
            const double more_pa = (m->pump_wet[p] * m->pump_keeps[p] * inside_m - m->pump_head_m[p]) *
                                   pw_model_pa_per_m(run->plant->model);
            most = pw_max(most, m->place_pa[run->plant->site->pumps[p].to] + more_pa);
        }
    }
    return most;
}

static void keep_pressures(pw_totals *totals, double least_pa, double most_pa, double highest_pa)
{
    totals->pressure_max_pa = pw_max(totals->pressure_max_pa, most_pa);
    totals->pressure_min_pa = pw_min(totals->pressure_min_pa, least_pa);
    totals->pressure_top_pa = pw_max(totals->pressure_top_pa, highest_pa);
}

static void look_at_pressures(pw_tally *tally, const pw_sim *run)
{
    const double pressure = pw_sim_pressure(run), top = top_pa(run, &run->now.moment);
    keep_pressures(&tally->whole, pressure, pressure, top);
    keep_pressures(&tally->since, pressure, pressure, top);
}

static void keep_peak(pw_totals *totals, double pressure_pa)
{
    totals->pressure_max_pa = pw_max(totals->pressure_max_pa, pressure_pa);
    totals->pressure_top_pa = pw_max(totals->pressure_top_pa, pressure_pa);
}

static void at(pw_observer *self, pw_sim *run, pw_at when)
{
    pw_tally *tally = (pw_tally *)(void *)self;
    if (when == PW_AT_SETTLED) {
        look_at_pressures(tally, run);
    } else if (when == PW_AT_SURGE) {
        keep_peak(&tally->whole, run->peak_pa);
        keep_peak(&tally->since, run->peak_pa);
    }
}

/* ---- the most within a step ---- */

enum { AT_PRESSURE, AT_TOP, AT_WINDINGS };

/* What a step may turn, by number. */
static double turning(const pw_sim *run, const point *at, int32_t number)
{
    switch (number) {
    case AT_PRESSURE: return at->moment.place_pa[pw_sim_pressure_place(run)];
    case AT_TOP: return top_pa(run, &at->moment);
    default: break;
    }
    const int32_t p = number - AT_WINDINGS;
    const pw_site *site = run->plant->site;
    return pw_winding_c(&run->thermal[p], at->y[run->storages + p], site->water_c.v,
                        site->pumps[p].motor.winding_rise_k.v);
}

static double turning_now(const pw_sim *run, int32_t number)
{
    return turning(run, &run->now, number);
}

static void on_the_way(pw_observer *self, pw_sim *run, double part)
{
    pw_tally *tally = (pw_tally *)(void *)self;
    double *value = pw_on_the_way_at(tally->way, part);
    for (int32_t i = 0; value != NULL && i < AT_WINDINGS + tally->pump_count; i++) {
        value[i] = turning(run, &run->trial, i);
    }
}

static double most_within(const pw_tally *tally, pw_sim *run, int64_t h_ms, int32_t number, double sign, double beat)
{
    return sign * pw_extreme_within(run, h_ms, tally->way, turning_now, number, sign, turning_now(run, number),
                                    turning(run, &run->trial, number), beat);
}

/* Both ends of the step are looked at by themselves: here what lies higher, or lower, between. */
static void within(pw_observer *self, pw_sim *run, int64_t h_ms)
{
    pw_tally *tally = (pw_tally *)(void *)self;
    const pw_totals *since = tally->begun ? &tally->since : &tally->whole;
    if (tally->way->count < 2) {
        return; /* a straight line */
    }
    const double most = most_within(tally, run, h_ms, AT_PRESSURE, 1.0, since->pressure_max_pa);
    const double least = most_within(tally, run, h_ms, AT_PRESSURE, -1.0, -since->pressure_min_pa);
    const double highest = most_within(tally, run, h_ms, AT_TOP, 1.0, since->pressure_top_pa);
    keep_pressures(&tally->whole, least, most, highest);
    keep_pressures(&tally->since, least, most, highest);
    for (int32_t p = 0; p < tally->pump_count; p++) {
        pw_pump_totals *each = &tally->each[p];
        const double beat = pw_min(since->winding_max_c, each->winding_max_c);
        const double hot = most_within(tally, run, h_ms, AT_WINDINGS + p, 1.0, beat);
        each->winding_max_c = pw_max(each->winding_max_c, hot);
        keep_warmest(&tally->whole, hot, run->plant->site->water_c.v);
        keep_warmest(&tally->since, hot, run->plant->site->water_c.v);
    }
}

/* ---- time that passes ---- */

static void pass_pump(pw_tally *tally, const pw_sim *run, int32_t p, double dt_s)
{
    pw_pump_totals *each = &tally->each[p];
    if (!(run->drive.speed[p] * run->now.moment.driven > 0.0)) { /* called, but at night a solar pump stands */
        tally->stood_ms[p] = run->t_ms;
        return;
    }
    const double dry_s = run->dry[p] ? dt_s : 0.0;
    const double dead_s = run->dead[p] && !run->dry[p] ? dt_s : 0.0;
    const int64_t from_ms = tally->stood_ms[p] > run->run_from_ms[p] ? tally->stood_ms[p] : run->run_from_ms[p];
    const double lasts = (double)(run->t_ms - from_ms) * 1e-3;
    tally->whole.run_s += dt_s;
    tally->whole.dry_s += dry_s;
    tally->whole.deadhead_s += dead_s;
    tally->whole.cavitates_s += run->cavitates[p] ? dt_s : 0.0;
    each->run_s += dt_s;
    each->dry_s += dry_s;
    each->deadhead_s += dead_s;
    each->longest_run_s = pw_max(each->longest_run_s, lasts);
    tally->whole.longest_run_s = pw_max(tally->whole.longest_run_s, lasts);
    tally->since.longest_run_s = pw_max(tally->since.longest_run_s, lasts);
}

static void passed(pw_observer *self, pw_sim *run, int64_t from_ms)
{
    pw_tally *tally = (pw_tally *)(void *)self;
    const pw_site *site = run->plant->site;
    const double dt_s = (double)(run->t_ms - from_ms) * 1e-3;
    bool shortage = false;
    double winding = site->water_c.v, water = site->water_c.v;
    for (int32_t p = 0; p < site->pump_count; p++) {
        pw_pump_totals *each = &tally->each[p];
        const double hot = pw_sim_winding_c(run, p);
        winding = pw_max(winding, hot);
        water = pw_max(water, run->warmth[p].water_c);
        each->winding_max_c = pw_max(each->winding_max_c, hot);
        each->water_max_c = pw_max(each->water_max_c, run->warmth[p].water_c);
        pass_pump(tally, run, p, dt_s);
    }
    for (int32_t o = 0; o < site->outlet_count; o++) {
        tally->whole.wanted_m3 += run->drive.draw_m3s[o] * dt_s;
        shortage = shortage || run->shortage[o];
    }
    tally->whole.short_s += shortage ? dt_s : 0.0;
    tally->whole.segments++;
    keep_warmest(&tally->whole, winding, water);
    keep_warmest(&tally->since, winding, water);
    look_at_pressures(tally, run);
}

/* ---- events ---- */

/* A pump starts: count it, and look for hunting. */
static void count_start(pw_tally *tally, pw_sim *run, int32_t pump)
{
    pw_start_ring *own = &tally->starts[pump];
    tally->whole.starts++;
    own->at_ms[own->count % STARTS_KEPT] = run->t_ms;
    own->count++;
    while (own->at_ms[own->hour_first % STARTS_KEPT] <= run->t_ms - 3600000) {
        own->hour_first++;
    }
    const int32_t in_hour = (int32_t)(own->count - own->hour_first);
    const int64_t first = own->hour_first > own->since_first ? own->hour_first : own->since_first;
    const int32_t since = (int32_t)(own->count - first);
    int32_t *most[] = {&tally->each[pump].most_starts_in_hour, &tally->whole.most_starts_in_hour};
    tally->each[pump].starts++;
    for (int32_t i = 0; i < 2; i++) {
        *most[i] = in_hour > *most[i] ? in_hour : *most[i];
    }
    if (since > tally->since.most_starts_in_hour) {
        tally->since.most_starts_in_hour = since;
    }
    if (in_hour > PW_HUNT_STARTS) {
        const pw_event hunting = {run->t_ms, PW_ENTRY_HUNTING, pump, -1, (double)in_hour, 0.0, run->settings_in_force};
        tally->hunts = true;
        tally->observer.stop = true;
        pw_sim_pass_on(run, &hunting);
    }
}

/* Totals from here on are those since the onset. */
static void mark_onset(pw_tally *tally, const pw_sim *run)
{
    tally->begun = true;
    tally->onset = sums_of(run);
    tally->at_fault = pw_tally_totals(tally, run, false);
    tally->before = tally->whole;
    for (int32_t p = 0; p < tally->pump_count; p++) {
        tally->starts[p].since_first = tally->starts[p].count;
    }
    tally->since.most_starts_in_hour = 0;
    tally->since.longest_run_s = 0.0;
    tally->since.winding_max_c = run->plant->site->water_c.v;
    tally->since.water_max_c = run->plant->site->water_c.v;
    tally->since.pressure_min_pa = PW_INF;
    tally->since.pressure_max_pa = -PW_INF;
    tally->since.pressure_top_pa = -PW_INF;
}

static void event(pw_observer *self, pw_sim *run, const pw_event *event)
{
    pw_tally *tally = (pw_tally *)(void *)self;
    if (event->kind == PW_ENTRY_START) {
        count_start(tally, run, event->item);
    } else if (event->kind == PW_ENTRY_FAULT && !tally->begun) {
        mark_onset(tally, run);
    } else if (event->kind == PW_ENTRY_BURNT && tally->burnt_ms < 0) {
        tally->burnt_ms = event->t_ms;
        tally->burnt_pump = event->item;
    }
}

/* ---- begin, copy, read ---- */

pw_tally *pw_tally_new(pw_arena *arena, const pw_sim *run)
{
    pw_tally *tally = PW_NEW(arena, 1, pw_tally);
    pw_start_ring *starts = PW_NEW(arena, run->thermals, pw_start_ring);
    pw_on_the_way *way = PW_NEW(arena, 1, pw_on_the_way);
    if (tally == NULL || starts == NULL || way == NULL) {
        return NULL;
    }
    tally->observer =
        (pw_observer){.event = event, .at = at, .on_the_way = on_the_way, .within = within, .passed = passed};
    tally->starts = starts;
    tally->way = way;
    tally->pump_count = run->thermals;
    tally->burnt_ms = -1;
    tally->whole.pressure_min_pa = PW_INF;
    tally->whole.pressure_max_pa = -PW_INF;
    tally->whole.pressure_top_pa = -PW_INF;
    tally->begin = sums_of(run);
    return tally;
}

pw_tally *pw_tally_copy(const pw_tally *tally, pw_arena *arena)
{
    pw_tally *copy = PW_NEW(arena, 1, pw_tally);
    pw_start_ring *starts = PW_NEW(arena, tally->pump_count, pw_start_ring);
    pw_on_the_way *way = PW_NEW(arena, 1, pw_on_the_way);
    if (copy == NULL || starts == NULL || way == NULL) {
        return NULL;
    }
    *copy = *tally;
    copy->starts = starts;
    copy->way = way; /* of each step anew */
    memcpy(starts, tally->starts, (size_t)tally->pump_count * sizeof *starts);
    return copy;
}

/* A drop in a million is the rounding of two sums that should be equal. */
static double missing(const pw_totals *totals)
{
    const double short_of_m3 = totals->wanted_m3 - totals->delivered_m3;
    return short_of_m3 > 1e-6 * totals->wanted_m3 ? short_of_m3 : 0.0;
}

/* What only adds up, without the part before the onset; extremes since it. */
static void take_off(pw_totals *out, const pw_totals *before, const pw_totals *since)
{
    out->run_s -= before->run_s;
    out->dry_s -= before->dry_s;
    out->deadhead_s -= before->deadhead_s;
    out->cavitates_s -= before->cavitates_s;
    out->short_s -= before->short_s;
    out->wanted_m3 -= before->wanted_m3;
    out->missing_m3 = missing(out);
    out->starts -= before->starts;
    out->segments -= before->segments;
    out->winding_max_c = since->winding_max_c;
    out->water_max_c = since->water_max_c;
    out->pressure_max_pa = since->pressure_max_pa;
    out->pressure_top_pa = since->pressure_top_pa;
    out->pressure_min_pa = since->pressure_min_pa;
    out->most_starts_in_hour = since->most_starts_in_hour;
    out->longest_run_s = since->longest_run_s;
}

pw_totals pw_tally_totals(const pw_tally *tally, const pw_sim *run, bool since_onset)
{
    const pw_sums now = sums_of(run);
    const pw_sums *from = since_onset ? &tally->onset : &tally->begin;
    pw_totals out = tally->whole;
    out.source_m3 = now.source_m3 - from->source_m3;
    out.delivered_m3 = now.delivered_m3 - from->delivered_m3;
    out.leaked_m3 = now.leaked_m3 - from->leaked_m3;
    out.spilled_m3 = now.spilled_m3 - from->spilled_m3;
    out.pumped_m3 = 0.0;
    out.energy_j = 0.0;
    for (int32_t p = 0; p < run->thermals; p++) {
        out.pumped_m3 += pw_sim_pumped(run, p, from->pumped_m3[p]);
        out.energy_j += now.energy_j[p] - from->energy_j[p];
    }
    out.stored_change_m3 = now.stored_m3 - from->stored_m3;
    out.balance_m3 = out.source_m3 - out.delivered_m3 - out.leaked_m3 - out.spilled_m3 - out.stored_change_m3;
    out.evaluations = run->evaluations;
    out.missing_m3 = missing(&out);
    if (since_onset) {
        take_off(&out, &tally->before, &tally->since);
    }
    return out;
}

void pw_tally_pumps(const pw_tally *tally, const pw_sim *run, pw_pump_totals *out)
{
    for (int32_t p = 0; p < run->thermals; p++) {
        out[p] = tally->each[p];
        out[p].pumped_m3 = pw_sim_pumped(run, p, tally->begin.pumped_m3[p]);
        out[p].energy_j = run->now.y[pw_energy_at(run, p)] - tally->begin.energy_j[p];
    }
}
