/* A reading repeated: the same experiment on the simulated site, under one supposition. */
#include <string.h>

#include "base/num.h"
#include "sim/numbers.h"
#include "study/diagnose_inside.h"

/* Spread of what people draw around what the sheet says, as a standard deviation of its logarithm: between homes of one
 * size use differs by a factor of about two either way (own choice; docs/diagnosis.md). */
#define USE_SPREAD 0.35

/* exp(USE_SPREAD x) at the three nodes of Gauss and Hermite for the normal distribution: x = 0, +-sqrt(3), the roots of
 * He3 (Abramowitz and Stegun 25.4.46, from memory; moments tested). */
const double pw_use_factor[PW_USES] = {0.545409831, 1.0, 1.83348363};
const double pw_use_weight[PW_USES] = {1.0 / 6.0, 2.0 / 3.0, 1.0 / 6.0};

static const int64_t hour_ms = 3600000, day_ms = 24 * (int64_t)3600000;

enum { FEWEST_WINDOWS = 2, MOST_WINDOWS = 4 };

/* ---- the plants ---- */

/* More draws of the same kind, not larger ones: a household of more people opens the same taps more often. Draws at
 * stated times cannot become more, so they last longer. */
static void scale_demand(pw_site *site, double factor)
{
    for (int32_t i = 0; i < site->demand_count; i++) {
        pw_demand *demand = &site->demands[i];
        if (demand->kind == PW_DEMAND_RANDOM) {
            demand->per_day.v *= factor;
        } else if (demand->kind == PW_DEMAND_DRAW) {
            demand->duration_s.v *= factor;
        } else {
            demand->trace_scale.v *= factor;
        }
    }
}

pw_status pw_bench_plant(pw_arena *arena, const pw_site *site, double factor, const pw_plant **out,
                         pw_problems *problems)
{
    pw_site *scaled = PW_NEW(arena, 1, pw_site);
    pw_plant *plant = NULL;
    if (scaled == NULL) {
        return pw_problem_add(problems, PW_MEMORY, "", "", "", "");
    }
    *scaled = *site;
    if (factor == 0.0) {
        scaled->demand_count = 0;
    } else {
        scale_demand(scaled, factor);
    }
    const pw_status status = pw_plant_build(arena, scaled, false, &plant, problems);
    *out = plant;
    return status;
}

/* Does anything but the draws follow the clock? Then also a quiet time is told from midnight on. */
static pw_status find_clock(pw_arena *arena, const pw_site *site, bool *out)
{
    const size_t mark = pw_arena_mark(arena);
    pw_param *list = NULL;
    int32_t count = 0;
    const pw_status status = pw_numbers_list(arena, site, &list, &count);
    *out = false;
    for (int32_t i = 0; i < count && status == PW_OK; i++) {
        const bool supply = strncmp(list[i].path, "supply.", sizeof "supply." - 1) == 0;
        *out = *out || (list[i].form == PW_PARAM_CLOCK && supply) || list[i].form == PW_PARAM_WINDOW || list[i].clock;
    }
    pw_arena_back(arena, mark);
    return status;
}

pw_status pw_bench_make(pw_arena *arena, const pw_site *site, const pw_diagnose_options *options, pw_bench *out,
                        pw_problems *problems)
{
    memset(out, 0, sizeof *out);
    out->site = site;
    out->seed = options->seed;
    out->options = options;
    out->keep = PW_NEW(arena, PW_MAX_SENTENCES, bool);
    out->none = PW_NEW(arena, PW_MAX_SENTENCES, bool);
    if (out->keep == NULL || out->none == NULL) {
        return pw_problem_add(problems, PW_MEMORY, "", "", "", "");
    }
    pw_status status = find_clock(arena, site, &out->by_clock);
    status = status == PW_OK ? pw_bench_plant(arena, site, 0.0, &out->quiet, problems) : status;
    for (int32_t i = 0; i < PW_USES && status == PW_OK; i++) {
        status = pw_bench_plant(arena, site, pw_use_factor[i], &out->usual[i], problems);
    }
    for (int32_t i = 0; status == PW_OK && i < pw_settings_count(out->quiet->settings); i++) {
        out->keep[i] = !pw_settings_is_watch(out->quiet->settings, i);
    }
    return status;
}

/* ---- one simulation ---- */

static bool ask_to_stop(void *user, double done)
{
    const pw_bench *bench = (const pw_bench *)user;
    (void)done;
    const double part = bench->planned > 0 ? (double)bench->made / (double)bench->planned : 0.0;
    return bench->options->cancelled != NULL && bench->options->cancelled(bench->options->user, pw_min(part, 1.0));
}

/* A simulation under the supposition, brought to where all of its fault has come about and the first fill is past. One
 * that hunts stops there: tally->hunts, and the present time is less than *now_ms. */
static pw_status settle(pw_bench *bench, pw_arena *arena, const pw_plant *plant, const pw_supposed *supposed,
                        pw_sim **out, pw_tally **tally, int64_t *now_ms, pw_problems *problems)
{
    const pw_sim_options how = {
        .seed = bench->seed, .keep = bench->keep, .cancelled = ask_to_stop, .user = bench, .reference_pa = 0.0};
    pw_status status = pw_sim_create(arena, plant, &how, out, problems);
    *now_ms = 6 * hour_ms;
    if (status == PW_OK && supposed->fault.kind != PW_FAULT_NONE) {
        const pw_fault_course course = pw_fault_course_of(&supposed->fault);
        *now_ms += course.parts * course.part_ms;
        status = pw_sim_befall(*out, arena, &supposed->fault, problems);
    }
    if (plant != bench->quiet || bench->by_clock) {
        *now_ms = (*now_ms + day_ms - 1) / day_ms * day_ms; /* windows begin at midnight */
    }
    *tally = status == PW_OK ? pw_tally_new(arena, *out) : NULL;
    if (status == PW_OK && *tally == NULL) {
        status = pw_problem_add(problems, PW_MEMORY, "", "", "", "");
    }
    if (status == PW_OK) {
        pw_sim_attach(*out, &(*tally)->observer);
        status = pw_sim_advance(*out, *now_ms, problems);
    }
    bench->simulated_ms += *now_ms;
    return status;
}

static void add_window(pw_windows *windows, const double y[2])
{
    windows->count++;
    const double part = 1.0 / (double)windows->count;
    const double before[2] = {y[0] - windows->mean[0], y[1] - windows->mean[1]};
    windows->mean[0] += before[0] * part;
    windows->mean[1] += before[1] * part;
    const double after[2] = {y[0] - windows->mean[0], y[1] - windows->mean[1]};
    windows->square[0] += before[0] * after[0];
    windows->square[1] += before[0] * after[1];
    windows->square[2] += before[1] * after[1];
}

/* ---- counters ---- */

static double of_starts(double starts)
{
    return pw_log(starts + 0.5);
}
static double of_running(double run_s)
{
    return pw_log(run_s + 5.0);
}

/* It would have gone on like that: the starts of its worst hour, in each hour. */
static void count_hunting(const pw_reading *reading, const pw_sim *sim, const pw_pump_totals *pump, pw_windows *out)
{
    const double share = pump->run_s / pw_max((double)pw_sim_time_ms(sim) / 1000.0, 1.0);
    const double y[2] = {of_starts((double)pump->most_starts_in_hour * reading->over_s / 3600.0),
                         of_running(share * reading->over_s)};
    add_window(out, y);
}

static pw_status count_windows(pw_bench *bench, const pw_reading *reading, pw_sim *sim, const pw_tally *tally,
                               int64_t now_ms, int32_t windows, pw_windows *out, pw_problems *problems)
{
    const int64_t length_ms = (int64_t)(reading->over_s * 1000.0);
    pw_pump_totals before[PW_MAX_PUMPS], after[PW_MAX_PUMPS];
    pw_tally_pumps(tally, sim, before);
    for (int32_t i = 0; i < windows && !tally->hunts; i++) {
        const pw_status status = pw_sim_advance(sim, now_ms + length_ms, problems);
        if (status != PW_OK) {
            return status;
        }
        pw_tally_pumps(tally, sim, after);
        const pw_pump_totals *a = &before[reading->pump], *b = &after[reading->pump];
        const double y[2] = {of_starts((double)(b->starts - a->starts)), of_running(b->run_s - a->run_s)};
        if (!tally->hunts) {
            add_window(out, y);
        }
        memcpy(before, after, sizeof before);
        now_ms += length_ms;
        bench->simulated_ms += length_ms;
    }
    if (out->count == 0) {
        pw_tally_pumps(tally, sim, after);
        count_hunting(reading, sim, &after[reading->pump], out);
    }
    return PW_OK;
}

/* ---- the gauge at rest ---- */

static void at_stop(pw_observer *self, pw_sim *sim, const pw_event *event)
{
    (void)sim;
    self->stop = self->stop || event->kind == PW_ENTRY_STOP;
}

/* The pump is switched off when it has just stopped, or as things stand where it does not turn within two days. Then
 * the fall from the first moment on at which the gauge shows from_pa, or less. */
static pw_status watch_gauge(pw_bench *bench, pw_arena *arena, const pw_reading *reading, pw_sim *sim, int64_t now_ms,
                             pw_windows *out, pw_problems *problems)
{
    enum { PARTS = 8, MOST_PARTS = 800 };
    pw_observer seen = {.event = at_stop};
    pw_sim *off = NULL;
    now_ms = pw_sim_time_ms(sim); /* less when it hunts */
    pw_sim_attach(sim, &seen);
    pw_status status = pw_sim_advance(sim, now_ms + 2 * day_ms, problems);
    pw_sim_detach(sim, &seen);
    if (status == PW_OK) {
        status = pw_sim_copy_under(sim, arena, bench->quiet->settings, bench->none, &off, problems);
    }
    if (status == PW_OK && reading->kind == PW_READING_ISOLATED) {
        const pw_fault shut = {.kind = PW_FAULT_VALVE_CLOSED,
                               .severity = 0.0,
                               .where = PW_MAX_LINES + reading->pump,
                               .onset_ms = pw_sim_time_ms(off)};
        status = pw_sim_befall(off, arena, &shut, problems);
    }
    if (status != PW_OK) {
        return status;
    }
    int64_t t_ms = pw_sim_time_ms(off);
    const int64_t part_ms = (int64_t)pw_max(reading->over_s * 1000.0 / PARTS, 1.0);
    double pressure[PARTS + 1]; /* the last ones, newest at the end */
    for (int32_t i = 0; i <= PARTS; i++) {
        pressure[i] = pw_sim_pressure(off);
    }
    int32_t below = pressure[0] <= reading->from_pa ? 0 : -1; /* parts since it passed from_pa */
    for (int32_t i = 0; i < MOST_PARTS && below < PARTS; i++) {
        t_ms += part_ms;
        status = pw_sim_advance(off, t_ms, problems);
        if (status != PW_OK) {
            return status;
        }
        memmove(pressure, pressure + 1, PARTS * sizeof pressure[0]);
        pressure[PARTS] = pw_sim_pressure(off);
        below += below >= 0 || pressure[PARTS] <= reading->from_pa ? 1 : 0;
    }
    bench->simulated_ms += t_ms - now_ms;
    const double y[2] = {pw_max(pressure[0] - pressure[PARTS], 0.0), 0.0};
    add_window(out, y);
    return PW_OK;
}

pw_status pw_bench_repeat(pw_bench *bench, pw_arena *arena, const pw_reading *reading, const pw_supposed *supposed,
                          int32_t use, pw_windows *out, pw_problems *problems)
{
    const size_t mark = pw_arena_mark(arena);
    const pw_plant *plant = reading->kind == PW_READING_COUNTERS ? bench->usual[use] : bench->quiet;
    pw_sim *sim = NULL;
    pw_tally *tally = NULL;
    int64_t now_ms = 0;
    memset(out, 0, sizeof *out);
    bench->made++;
    pw_status status = PW_OK;
    if (supposed->more_use != 1.0 && reading->kind == PW_READING_COUNTERS) {
        status = pw_bench_plant(arena, bench->site, pw_use_factor[use] * supposed->more_use, &plant, problems);
    }
    if (status == PW_OK) {
        status = settle(bench, arena, plant, supposed, &sim, &tally, &now_ms, problems);
    }
    if (status == PW_OK && pw_reading_is_gauge(reading->kind)) {
        status = watch_gauge(bench, arena, reading, sim, now_ms, out, problems);
    } else if (status == PW_OK) {
        const double fit = 4.0 * 86400.0 / reading->over_s;
        const int32_t windows =
            reading->kind == PW_READING_QUIET ? FEWEST_WINDOWS : (int32_t)pw_clamp(fit, FEWEST_WINDOWS, MOST_WINDOWS);
        status = count_windows(bench, reading, sim, tally, now_ms, windows, out, problems);
    }
    pw_arena_back(arena, mark);
    return status;
}

pw_status pw_bench_drawdown(pw_bench *bench, pw_arena *arena, int32_t pump, double *out_m3, pw_problems *problems)
{
    const size_t mark = pw_arena_mark(arena);
    const pw_supposed little = {
        .fault = {.kind = PW_FAULT_SLOW_LEAK, .severity = 0.01 * bench->quiet->full_m3s, .where = -1}, .more_use = 1.0};
    pw_sim *sim = NULL;
    pw_tally *warm = NULL;
    int64_t now_ms = 0;
    *out_m3 = 0.0;
    pw_status status = settle(bench, arena, bench->quiet, &little, &sim, &warm, &now_ms, problems);
    pw_observer seen = {.event = at_stop};
    if (status != PW_OK) {
        return status;
    }
    pw_sim_attach(sim, &seen);
    status = pw_sim_advance(sim, now_ms + 2 * day_ms, problems); /* from stop ... */
    pw_sim_detach(sim, &seen);
    pw_tally *tally = status == PW_OK ? pw_tally_new(arena, sim) : NULL;
    if (tally != NULL) {
        pw_pump_totals pumps[PW_MAX_PUMPS];
        pw_sim_attach(sim, &tally->observer);
        pw_sim_attach(sim, &seen);
        status = pw_sim_advance(sim, pw_sim_time_ms(sim) + 2 * day_ms, problems); /* ... to stop */
        pw_tally_pumps(tally, sim, pumps);
        const pw_totals totals = pw_tally_totals(tally, sim, false);
        if (status == PW_OK && pumps[pump].starts > 0) {
            *out_m3 = totals.leaked_m3 - little.fault.severity * pumps[pump].run_s;
        }
    }
    pw_arena_back(arena, mark);
    return status;
}

/* ---- what was read ---- */

bool pw_reading_is_gauge(pw_reading_kind kind)
{
    return kind == PW_READING_REST || kind == PW_READING_ISOLATED;
}

pw_outcome_of_reading pw_reading_outcome(const pw_reading *reading)
{
    if (pw_reading_is_gauge(reading->kind)) {
        return (pw_outcome_of_reading){{reading->from_pa - reading->to_pa, 0.0}};
    }
    return (pw_outcome_of_reading){{of_starts((double)reading->starts), of_running(reading->ran_s)}};
}

/* Counting: a window cuts a turn anywhere, so a count is uncertain by half a start, the running time by as much of a
 * run. Pump curve: 9 % of flow at two standard deviations (ISO 9906 grade 3B, from memory); models: 5 %. Gauge: 2 kPa
 * and half a per cent of the reading, each of two readings (own choice), and 15 % of the fall foretold for the vessel
 * (own choice). */
void pw_reading_error(const pw_reading *reading, const double foretold[2], double out[2])
{
    if (pw_reading_is_gauge(reading->kind)) {
        const double gauge = 2e3 + 0.005 * reading->from_pa, model = 0.15 * foretold[0];
        out[0] = 2.0 * gauge * gauge + model * model;
        out[1] = 1.0;
        return;
    }
    const double starts = pw_max(pw_exp(foretold[0]), 0.5), count = 0.5 / starts;
    out[0] = count * count + 0.05 * 0.05;
    out[1] = count * count + 0.045 * 0.045 + 0.05 * 0.05;
}
