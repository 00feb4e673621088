/* The thresholds here part a slip from a choice: they are own choices, wide enough that no sound site is questioned. */
#include "study/doubts_inside.h"

#include <string.h>

#include "base/num.h"
#include "formula/pump.h"
#include "formula/atmosphere.h"
#include "formula/pipe.h"
#include "formula/vessel.h"
#include "study/verdict.h"
#include "site/topology.h"

/* A vessel that lets the pump start this many times as often as it may. */
#define FAR_TOO_SMALL 2.5

const char *doubt_path(doubt *d, const char *list, int32_t index, const char *key)
{
    pw_text text;
    pw_text_init(&text, d->arena);
    pw_text_puts(&text, "site.", list, "[", NULL);
    pw_text_int(&text, index);
    pw_text_puts(&text, "]", key[0] != '\0' ? "." : "", key, NULL);
    d->failed = d->failed || text.failed;
    return text.failed ? "" : text.data;
}

pw_value doubt_number(double value)
{
    return pw_number(value, value < 1000.0 ? 3 : 5);
}

/* ---- how high water can come ---- */

static bool raise_to(doubt *d, int32_t place, double head_m)
{
    double *known = pw_site_tank_at(d->site, place) >= 0 ? &d->arrives_m[place] : &d->head_m[place];
    if (head_m <= *known) {
        return false;
    }
    *known = head_m;
    return true;
}

/* Highest ground of a line between its ends. */
static double ground_m(const pw_line *line)
{
    double highest_m = line->over_m.given ? line->over_m.v : -PW_INF;
    for (int32_t i = 0; i < line->profile_count; i++) {
        highest_m = pw_max(highest_m, line->profile[i].height_m.v);
    }
    return highest_m;
}

/* Water comes to a place, and on from it, as high as its head; what a pump sucks up doubt_suction judges. */
static bool stands_at(const doubt *d, int32_t place)
{
    return d->sucked[place] || d->head_m[place] >= d->site->places[place].level_m.v;
}

static bool passes(const doubt *d, int32_t line, int32_t from, int32_t to)
{
    return d->head_m[from] > -PW_INF && stands_at(d, from) &&
           (d->sucked[to] || d->head_m[from] >= ground_m(&d->site->lines[line]));
}

static void find_sucked(doubt *d)
{
    static const pw_walk_rules one_water = {.way = PW_WALK_JOINED, .ends = PW_TANKS};
    for (int32_t i = 0; i < d->site->pump_count; i++) {
        pw_reach before = {0};
        pw_walk(d->site, &one_water, d->site->pumps[i].from, &before);
        for (int32_t p = 0; p < d->site->place_count; p++) {
            d->sucked[p] = d->sucked[p] || before.at[p];
        }
    }
}

/* Sources and full tanks stand at their heads; lines carry a head on, pumps add their shut-off head. A round trip of
 * pumps would rise for ever, so there are only as many rounds as places. */
static void find_heads(doubt *d)
{
    const pw_site *site = d->site;
    for (int32_t p = 0; p < site->place_count; p++) {
        const int32_t tank = pw_site_tank_at(site, p);
        d->head_m[p] = tank >= 0 ? site->places[p].level_m.v + site->tanks[tank].depth_m.v : -PW_INF;
        d->arrives_m[p] = -PW_INF;
    }
    for (int32_t s = 0; s < site->source_count; s++) {
        const pw_source *source = &site->sources[s];
        const double level_m = site->places[source->place].level_m.v;
        d->head_m[source->place] = source->kind == PW_SOURCE_MAINS ? level_m + source->pressure_pa.v / d->pa_per_m
                                                                   : level_m - source->standing_m.v;
    }
    static const pw_walk_rules with_water = {.way = PW_WALK_DOWN};
    bool more = true;
    for (int32_t round = 0; round < site->place_count && more; round++) {
        more = false;
        for (int32_t l = 0; l < site->line_count; l++) {
            const pw_line *line = &site->lines[l];
            if (passes(d, l, line->from, line->to)) {
                more = raise_to(d, line->to, d->head_m[line->from]) || more;
            }
            if (pw_line_leads(site, l, line->to, &with_water) >= 0 && passes(d, l, line->to, line->from)) {
                more = raise_to(d, line->from, d->head_m[line->to]) || more;
            }
        }
        for (int32_t i = 0; i < site->pump_count; i++) {
            const pw_pump *pump = &site->pumps[i];
            const double shut_off_m = pw_affinity_head_m(pump->curve[0].head_m.v, pump->speed.v);
            more = raise_to(d, pump->to, d->head_m[pump->from] + shut_off_m) || more;
        }
    }
}

static void doubt_level(doubt *d, int32_t place, double needs_m, double has_m, const char *what)
{
    if (has_m <= -PW_INF || needs_m <= has_m || pw_site_pump_into(d->site, place) >= 0) {
        return; /* a pump's own delivery place is told by the sheet */
    }
    pw_warning_tell(d->problems, PW_CONFLICT, doubt_path(d, "places", place, "level"),
                    pw_fact_of("check.water-must-rise", pw_quantity(PW_DIM_LENGTH, d->site->places[place].level_m.v),
                               pw_quantity(PW_DIM_LENGTH, needs_m)),
                    pw_fact_of("check.as-high-as-lifted", pw_quantity(PW_DIM_LENGTH, has_m)),
                    pw_fact_of("check.no-water-reaches", pw_named(what)));
}

/* Ground that water does not come over though what lies behind it is low enough: a line's own, or a place on the way.
 * What lies behind has no head then, and is not questioned again. */
static void doubt_summit(doubt *d, const char *where, double ground, double has_m, const char *beyond)
{
    pw_warning_tell(d->problems, PW_CONFLICT, where, pw_fact_of("check.ground-at", pw_head(ground)),
                    pw_fact_of("check.as-high-as-lifted", pw_head(has_m)),
                    pw_fact_of("check.not-over-summit", pw_named(beyond)));
}

static void doubt_summits(doubt *d)
{
    const pw_site *site = d->site;
    for (int32_t l = 0; l < site->line_count; l++) {
        const pw_line *line = &site->lines[l];
        const double from_m = d->head_m[line->from];
        const double there_m = pw_site_tank_at(site, line->to) >= 0 ? d->arrives_m[line->to] : d->head_m[line->to];
        if (from_m <= -PW_INF || d->sucked[line->to] || passes(d, l, line->from, line->to) || there_m > -PW_INF) {
            continue;
        }
        const bool at_place = !stands_at(d, line->from);
        const double level_m = site->places[line->from].level_m.v;
        const char *beyond = site->places[line->to].name;
        if (at_place && pw_site_pump_into(site, line->from) < 0) {
            doubt_summit(d, doubt_path(d, "places", line->from, "level"), level_m, from_m, beyond);
        } else if (!at_place) {
            doubt_summit(d, doubt_path(d, "lines", l, line->over_m.given ? "over" : "profile"), ground_m(line), from_m,
                         beyond);
        }
    }
}

/* The most that stands at the lowest ground of a line against a shut valve, beside the pressure class of its pipe. */
static void doubt_classes(doubt *d)
{
    const pw_site *site = d->site;
    for (int32_t l = 0; l < site->line_count; l++) {
        const pw_line *line = &site->lines[l];
        pw_pipe_size pipe;
        if (line->pipe[0] == '\0' || !pw_pipe_find(line->pipe, &pipe) || !(pipe.class_pa > 0.0)) {
            continue;
        }
        const double most_m =
            pw_max(d->head_m[line->from], pw_site_tank_at(site, line->to) < 0 ? d->head_m[line->to] : -PW_INF);
        double lowest_m = pw_min(site->places[line->from].level_m.v, site->places[line->to].level_m.v);
        for (int32_t i = 0; i < line->profile_count; i++) {
            lowest_m = pw_min(lowest_m, line->profile[i].height_m.v);
        }
        const double most_pa = (most_m - lowest_m) * d->pa_per_m;
        if (most_m > -PW_INF && most_pa > pipe.class_pa) {
            pw_warning_tell(
                d->problems, PW_CONFLICT, doubt_path(d, "lines", l, "pipe"),
                pw_fact_of("check.pipe-class", pw_named(line->pipe), pw_quantity(PW_DIM_PRESSURE, pipe.class_pa)),
                pw_fact_of("check.pipe-stands", pw_quantity(PW_DIM_PRESSURE, most_pa)),
                pw_fact_of("check.pipe-bursts"));
        }
    }
}

static void doubt_levels(doubt *d)
{
    const pw_site *site = d->site;
    for (int32_t t = 0; t < site->tank_count; t++) {
        const pw_tank *tank = &site->tanks[t];
        doubt_level(d, tank->place, site->places[tank->place].level_m.v + tank->inlet_m.v, d->arrives_m[tank->place],
                    tank->name);
    }
    for (int32_t o = 0; o < site->outlet_count; o++) {
        const pw_outlet *outlet = &site->outlets[o];
        if (pw_site_tank_at(site, outlet->place) < 0) {
            doubt_level(d, outlet->place, site->places[outlet->place].level_m.v, d->head_m[outlet->place],
                        outlet->name);
        }
    }
}

/* ---- pressures of the order ---- */

static void doubt_cut_out(doubt *d)
{
    pw_acts_at acts;
    if (!pw_plant_acts_at(d->plant, PW_SENTENCE_STOP, -1, &acts) || !(acts.pa > 0.0)) {
        return;
    }
    const double head_m = d->head_m[d->site->sensors[acts.sensor].place];
    const double most_pa = (head_m - pw_plant_acts_m(d->plant, &acts)) * d->pa_per_m;
    if (head_m > -PW_INF && acts.pa > most_pa) {
        pw_warning_tell(d->problems, PW_CONFLICT, doubt_path(d, "settings", acts.sentence, ""),
                        pw_fact_of("check.cut-out-of", pw_quantity(PW_DIM_PRESSURE, acts.pa)),
                        pw_fact_of("check.less-than-shut", pw_quantity(PW_DIM_PRESSURE, pw_max(most_pa, 0.0))),
                        pw_fact_of("check.never-stops"));
    }
}

/* A reading sticks at the ends of its sensor's range. */
static void doubt_range(doubt *d, int32_t sentence, const pw_sensor *sensor, double pa, bool above)
{
    const double low_pa = sensor->low_pa.v;
    const double high_pa = sensor->high_pa.v;
    const bool too_high = pa >= high_pa;
    if (!too_high && pa > low_pa) {
        return;
    }
    const bool never = above == too_high;
    const bool at_the_end = pa == (too_high ? high_pa : low_pa);
    if (at_the_end && !never) {
        return; /* "below" the upper end holds everywhere but at that end: a sound way to say "not full" */
    }
    pw_warning_tell(
        d->problems, PW_CONFLICT, doubt_path(d, "settings", sentence, ""),
        pw_fact_of(above ? "check.pressure-above" : "check.pressure-below", pw_quantity(PW_DIM_PRESSURE, pa)),
        pw_fact_of("check.inside-range", pw_named(sensor->name), pw_quantity(PW_DIM_PRESSURE, low_pa),
                   pw_quantity(PW_DIM_PRESSURE, high_pa)),
        pw_fact_of(never ? "check.never-holds" : "check.always-holds"));
}

static void doubt_ranges(doubt *d)
{
    for (int32_t i = 0; i < pw_settings_count(d->plant->settings); i++) {
        int32_t signal;
        double pa;
        bool above;
        for (int32_t k = 0; pw_settings_pressure(d->plant->settings, i, k, &signal, &pa, &above); k++) {
            if (signal >= 0 && signal < d->site->sensor_count) {
                doubt_range(d, i, &d->site->sensors[signal], pa, above);
            }
        }
    }
}

static void doubt_charge(doubt *d, int32_t v, double on_pa, double off_pa)
{
    const pw_vessel *vessel = &d->site->vessels[v];
    const double charge_pa = vessel->precharge_pa.v;
    const bool full = off_pa > 0.0 && charge_pa >= off_pa;
    if (pw_charge_judge(charge_pa, on_pa) != PW_CHARGE_HIGH) {
        return;
    }
    const double gap_pa = d->site->design.charge_gap_pa.v;
    pw_warning_tell(d->problems, PW_CONFLICT, doubt_path(d, "vessels", v, "precharge"),
                    pw_fact_of(full ? "check.above-cut-out" : "check.above-cut-in",
                               pw_quantity(PW_DIM_PRESSURE, charge_pa),
                               pw_quantity(PW_DIM_PRESSURE, full ? off_pa : on_pa)),
                    pw_fact_of("check.below-cut-in", pw_quantity(PW_DIM_PRESSURE, pw_max(on_pa - gap_pa, 0.0))),
                    pw_fact_of(full ? "check.vessel-never-fills" : "check.vessel-runs-empty"));
}

/* Q/(4V): most starts an hour of a vessel at a steady draw of half the flow; less where the settings make each run
 * or rest long, or pumps take turns. Each pump at the pressures of its own sentences. */
static double starts_h_of(doubt *d, int32_t v, int32_t pump, double on_pa, double off_pa)
{
    const pw_vessel *vessel = &d->site->vessels[v];
    pw_duty duty;
    const double right_pa = pw_max(on_pa - d->site->design.charge_gap_pa.v, 0.0);
    const double charge_pa = pw_min(vessel->precharge_pa.v, right_pa); /* a charge too high is told by itself */
    const double share =
        pw_vessel_drawdown(charge_pa, on_pa, off_pa, vessel->polytropic.v, pw_atmosphere_pa(d->site->altitude_m.v));
    if (!(share > 0.0) || pw_model_duty(d->plant->model, d->arena, pump, on_pa, &duty, NULL) != PW_OK ||
        !(duty.flow_m3s > 0.0)) {
        return 0.0;
    }
    const double least_s = pw_settings_least_cycle_s(d->plant->settings, pump);
    const double by_vessel_h = 3600.0 * pw_cycle_most_hz(share * vessel->volume_m3.v, duty.flow_m3s);
    const double each_h = least_s > 0.0 ? pw_min(by_vessel_h, 3600.0 / least_s) : by_vessel_h;
    return each_h / pw_settings_turns(d->plant->settings, pump);
}

static void doubt_volume(doubt *d, int32_t v, double starts_h)
{
    const pw_vessel *vessel = &d->site->vessels[v];
    int32_t starts = 0;
    double window_s;
    const double told_h = pw_settings_starts_limit_h(d->plant->settings, &starts, &window_s);
    const double limit_h = pw_min(d->site->limits.starts_per_hour.v, starts == 1 ? PW_INF : told_h);
    if (starts_h > FAR_TOO_SMALL * limit_h) {
        pw_warning_tell(
            d->problems, PW_CONFLICT, doubt_path(d, "vessels", v, "volume"),
            pw_fact_of("check.starts-in-hour", pw_quantity(PW_DIM_VOLUME, vessel->volume_m3.v), doubt_number(starts_h)),
            pw_fact_of("check.volume-for", pw_quantity(PW_DIM_VOLUME, vessel->volume_m3.v * starts_h / limit_h),
                       doubt_number(limit_h)),
            pw_fact_of("check.vessel-too-small"));
    }
}

/* What sentences of a pump say of pressure, as it stands at a vessel; 0: nothing. */
static double told_at_pa(const doubt *d, pw_sentence_kind kind, int32_t pump, int32_t vessel)
{
    const pw_site *site = d->site;
    pw_acts_at acts;
    if (!pw_plant_acts_at(d->plant, kind, pump, &acts)) {
        return 0.0;
    }
    const double up_m = pw_plant_acts_m(d->plant, &acts) - site->places[site->vessels[vessel].place].level_m.v;
    return pw_max(acts.pa + up_m * d->pa_per_m, 0.0);
}

/* The vessels under the pressure of a pump's sentences, that pipe joins to its delivery. */
static void doubt_vessels(doubt *d)
{
    const pw_site *site = d->site;
    static const pw_walk_rules under_pressure = {.way = PW_WALK_JOINED, .barred = PW_TANKS};
    for (int32_t v = 0; v < site->vessel_count; v++) {
        pw_reach joined = {0};
        double on_pa = PW_INF;
        double off_pa = 0.0;
        double starts_h = 0.0;
        bool alone = true;
        pw_walk(site, &under_pressure, site->vessels[v].place, &joined);
        for (int32_t o = 0; o < site->vessel_count; o++) {
            alone = alone && (o == v || !joined.at[site->vessels[o].place]);
        }
        for (int32_t i = 0; i < site->pump_count; i++) {
            const double start_pa = told_at_pa(d, PW_SENTENCE_START, i, v);
            const double stop_pa = told_at_pa(d, PW_SENTENCE_STOP, i, v);
            if (!joined.at[site->pumps[i].to] || !(start_pa > 0.0)) {
                continue;
            }
            on_pa = pw_min(on_pa, start_pa); /* it has water down to the lowest of them */
            off_pa = pw_max(off_pa, stop_pa);
            starts_h = stop_pa > start_pa ? pw_max(starts_h, starts_h_of(d, v, i, start_pa, stop_pa)) : starts_h;
        }
        if (on_pa < PW_INF) {
            doubt_charge(d, v, on_pa, off_pa);
        }
        if (alone) {
            doubt_volume(d, v, starts_h);
        }
    }
}

/* ---- outlets ---- */

/* What an outlet wants beside the most that can stand there: an outlet at a tank has its water's depth. */
static void doubt_outlets(doubt *d)
{
    const pw_site *site = d->site;
    for (int32_t o = 0; o < site->outlet_count; o++) {
        const pw_outlet *outlet = &site->outlets[o];
        const double has_pa = (d->head_m[outlet->place] - site->places[outlet->place].level_m.v) * d->pa_per_m;
        if (d->head_m[outlet->place] <= -PW_INF || has_pa < 0.0 || outlet->needs_pa.v <= has_pa) {
            continue;
        }
        const bool tank = pw_site_tank_at(site, outlet->place) >= 0;
        pw_warning_tell(d->problems, PW_CONFLICT, doubt_path(d, "outlets", o, "needs"),
                        pw_fact_of("check.outlet-needs", pw_quantity(PW_DIM_PRESSURE, outlet->needs_pa.v),
                                   pw_truth(!outlet->needs_pa.given)),
                        tank ? pw_fact_of("check.outlet-of-tank", pw_quantity(PW_DIM_PRESSURE, has_pa),
                                          pw_quantity(PW_DIM_PRESSURE, 0.0))
                             : pw_fact_of("check.outlet-at-most", pw_quantity(PW_DIM_PRESSURE, has_pa)),
                        pw_fact_of("check.outlet-short"));
    }
}

pw_status pw_size_doubts(pw_arena *arena, const pw_plant *plant, pw_problems *problems)
{
    doubt *d = PW_NEW(arena, 1, doubt);
    if (d == NULL) {
        return PW_MEMORY;
    }
    d->arena = arena;
    d->plant = plant;
    d->site = plant->site;
    d->problems = problems;
    d->pa_per_m = pw_model_pa_per_m(plant->model);
    find_sucked(d);
    find_heads(d);
    doubt_find_duties(d);
    doubt_levels(d);
    doubt_summits(d);
    doubt_classes(d);
    doubt_rating(d);
    doubt_outlets(d);
    doubt_bores(d);
    doubt_suction(d);
    doubt_vessels(d);
    doubt_switches(d);
    doubt_least_flows(d);
    doubt_cut_out(d);
    doubt_ranges(d);
    doubt_tank_levels(d);
    doubt_starts(d);
    return d->failed ? PW_MEMORY : PW_OK;
}
