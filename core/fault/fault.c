/* Faults: names, severities, how they come about, and which come together (docs/faults.md). */
#include "fault/fault.h"

#include <string.h>

#include "base/num.h"
#include "fault/inside.h"
#include "formula/pump.h"
#include "formula/water.h"

#define LPM   (1.0e-3 / 60.0) /* 1 L/min in m3/s */
#define DAY_S 86400.0

/* ---- names ---- */

bool fault_is_kind(pw_fault_kind kind)
{
    return (int32_t)kind >= 0 && (int32_t)kind < PW_FAULT_COUNT;
}

const char *pw_fault_id(pw_fault_kind kind)
{
    return fault_is_kind(kind) ? pw_fault_row_of(kind)->id : "";
}

const char *pw_fault_title(pw_fault_kind kind)
{
    return fault_is_kind(kind) ? pw_fault_row_of(kind)->title : "";
}

const char *pw_fault_severity_words(pw_fault_kind kind)
{
    const char *words = pw_fault_row_of(kind)->severity;
    return words != NULL ? words : "";
}

pw_dimension pw_fault_dimension(pw_fault_kind kind)
{
    return pw_fault_row_of(kind)->dimension;
}

int32_t pw_fault_find(const char *id)
{
    for (int32_t kind = 0; kind < PW_FAULT_COUNT; kind++) {
        if (strcmp(pw_fault_row_of((pw_fault_kind)kind)->id, id) == 0) {
            return kind;
        }
    }
    return -1;
}

const char *pw_fault_name_at(int32_t i, char room[64])
{
    (void)room;
    return pw_fault_id((pw_fault_kind)(i + 1));
}

/* Holes are tried as a part of the pump's flow; a leak of 2 L/min is one that anybody may have, a burst takes more. */
double pw_fault_example(pw_fault_kind kind)
{
    const pw_fault_row *row = pw_fault_row_of(kind);
    const double hole_lpm = row->tried[0] > 0.0 ? 40.0 : 2.0;
    return row->scale == PW_SCALE_OF_PUMP ? hole_lpm * 1e-3 / 60.0 : row->tried[row->tried_count / 2];
}

double pw_fault_most(pw_fault_kind kind)
{
    const double most = pw_fault_row_of(kind)->most;
    return most > 0.0 ? most : 1.0;
}

bool pw_fault_of_settings(pw_fault_kind kind)
{
    return pw_fault_thing_of(kind) == PW_THING_SETTINGS;
}

bool pw_fault_heeds_stop(pw_fault_kind kind)
{
    return !pw_fault_row_of(kind)->runs_on;
}

/* ---- severities ---- */

static double curve_end_m3s(const pw_site *site)
{
    double most_m3s = 0.0;
    for (int32_t i = 0; i < site->pump_count; i++) {
        const pw_pump *pump = &site->pumps[i];
        if (pump->point_count > 0) {
            most_m3s = pw_max(most_m3s, pump->curve[pump->point_count - 1].flow_m3s.v * pump->speed.v);
        }
    }
    return most_m3s;
}

/* Head of the first pump at no flow as a pressure of cold water: for a scale it need not be exact. */
static double shut_off_pa(const pw_site *site)
{
    const pw_pump *pump = &site->pumps[0];
    const double head_m = pump->point_count > 0 ? pw_affinity_head_m(pump->curve[0].head_m.v, pump->speed.v) : 0.0;
    double from_m = 0.0;
    for (int32_t i = 0; i < site->source_count; i++) {
        if (site->sources[i].place == pump->from && site->sources[i].kind != PW_SOURCE_MAINS) {
            from_m = -site->sources[i].standing_m.v;
        }
    }
    const double rise_m = site->places[pump->to].level_m.v - site->places[pump->from].level_m.v;
    return pw_max(head_m + from_m - rise_m, 1.0) * pw_pa_per_m(PW_COLD_WATER_KGM3);
}

/* count values from mild to severe in equal ratios, both above 0; the ends exactly. */
static void spread_ratio(double mild, double severe, double *out, int32_t count)
{
    double ratio = pw_log(severe / mild);
    for (int32_t i = 0; i < count; i++) {
        out[i] = mild * pw_exp(ratio * i / pw_max(count - 1, 1));
    }
    out[count - 1] = severe;
    out[0] = count > 1 ? mild : severe;
}

/* Of a printed scale, the wanted number of values, evenly picked, always with the most severe. */
static int32_t pick(const double *values, int32_t length, double factor, double *out, int32_t capacity)
{
    int32_t count = length < capacity ? length : capacity;
    for (int32_t i = 0; i < count; i++) {
        out[i] = factor * values[count > 1 ? i * (length - 1) / (count - 1) : length - 1];
    }
    return count;
}

/* An end of a scale in parts of the pump's flow; a pump of drops still gets one. */
static double end_m3s(double part, double pump_m3s)
{
    const double least_m3s = FAULT_LEAST_LPM * LPM;
    const double most_m3s = pw_max(FAULT_LEAK_MOST_OF_PUMP * pump_m3s, 2.0 * least_m3s);
    if (part <= 0.0 || part == FAULT_LEAK_MOST_OF_PUMP) {
        return part <= 0.0 ? least_m3s : most_m3s;
    }
    return most_m3s * part / FAULT_LEAK_MOST_OF_PUMP;
}

int32_t pw_fault_severities(const pw_site *site, pw_fault_kind kind, double pump_m3s, double *out, int32_t capacity)
{
    const pw_fault_row *row = pw_fault_row_of(kind);
    if (capacity <= 0 || kind == PW_FAULT_NONE || !pw_fault_possible(site, kind)) {
        return 0;
    }
    if (row->scale == PW_SCALE_OF_PUMP) {
        const double pump = pump_m3s > 0.0 && pw_is_finite(pump_m3s) ? pump_m3s : curve_end_m3s(site);
        const int32_t count = capacity < row->steps ? capacity : row->steps;
        spread_ratio(end_m3s(row->tried[0], pump), end_m3s(row->tried[1], pump), out, count);
        return count;
    }
    if (row->tried_count > 0) {
        const double factor = row->scale == PW_SCALE_OF_SHUT_OFF ? shut_off_pa(site) : 1.0;
        return pick(row->tried, row->tried_count, factor, out, capacity);
    }
    out[0] = 1.0; /* it has no severity */
    return 1;
}

pw_fact pw_fault_end_fact(pw_fault_kind kind, bool severe)
{
    const pw_fault_row *row = pw_fault_row_of(kind);
    if (row->tried_count == 0) {
        return pw_no_fact();
    }
    const double end = row->tried[severe ? row->tried_count - 1 : 0];
    const bool of_pump = row->scale == PW_SCALE_OF_PUMP;
    if (row->scale == PW_SCALE_FIXED || (of_pump && end <= 0.0)) {
        return pw_fact_of("base.value", pw_quantity(row->dimension, of_pump ? end_m3s(end, 0.0) : end));
    }
    return pw_fact_of(of_pump ? "faults.of-pump-flow" : "faults.of-shut-off", pw_number(end, 3));
}

/* ---- how it comes about ---- */

static int64_t to_ms(double seconds)
{
    return (int64_t)pw_floor(pw_clamp(seconds, 0.0, 400.0 * DAY_S) * 1e3 + 0.5);
}

static int64_t at_least_1(int64_t ms)
{
    return ms < 1 ? 1 : ms;
}

pw_fault_course pw_fault_course_of(const pw_fault *fault)
{
    const pw_fault_row *row = pw_fault_row_of(fault->kind);
    pw_fault_course course = {1, 0, 0};
    if (row->course.parts > 0) {
        course.parts = row->course.parts;
        course.part_ms =
            row->course.over_severity ? at_least_1(to_ms(fault->severity / course.parts)) : row->course.part_ms;
    }
    if (row->course.ends) {
        course.lasts_ms = at_least_1(to_ms(fault->severity));
    }
    return course;
}

/* ---- which come together ---- */

static const pw_fault_pair pairs[] = {
    {PW_FAULT_LOST_AIR, PW_FAULT_WELDED, "faults.pair-contacts"},
    {PW_FAULT_RUPTURED_CELL, PW_FAULT_CHATTER, "faults.pair-bubbles"},
    {PW_FAULT_BURST, PW_FAULT_DRY_SOURCE, "faults.pair-burst-dry"},
    {PW_FAULT_DRY_SOURCE, PW_FAULT_FLOW_ON, "faults.pair-sand-switch"},
    {PW_FAULT_FALLING_LEVEL, PW_FAULT_ENTRAINED_GAS, "faults.pair-cascade"},
    {PW_FAULT_BLOCKED_INTAKE, PW_FAULT_WORN, "faults.pair-sand-wear"},
    {PW_FAULT_SCALED, PW_FAULT_TAPPING, "faults.pair-iron"},
    {PW_FAULT_SLOW_LEAK, PW_FAULT_LOST_AIR, "faults.pair-unseen"},
    {PW_FAULT_SUPPLY_LOST, PW_FAULT_BACKFLOW, "faults.pair-empties"},
    {PW_FAULT_SUPPLY_LOST, PW_FAULT_LOST_PRIME, "faults.pair-drains"},
    {PW_FAULT_FROZEN, PW_FAULT_BURST, "faults.pair-frost"},
    {PW_FAULT_BROWN_OUT, PW_FAULT_OVERLOAD, "faults.pair-weak-supply"},
    {PW_FAULT_RELIEF, PW_FAULT_WELDED, "faults.pair-relief"},
    {PW_FAULT_HIGH_PRECHARGE, PW_FAULT_SLOW_LEAK, "faults.pair-drip"},
    {PW_FAULT_FLOAT_OPEN, PW_FAULT_DRY_SOURCE, "faults.pair-overflow"},
};

int32_t pw_fault_pair_count(void)
{
    return (int32_t)(sizeof pairs / sizeof pairs[0]);
}

const pw_fault_pair *pw_fault_pair_at(int32_t index)
{
    return index >= 0 && index < pw_fault_pair_count() ? &pairs[index] : NULL;
}

/* ---- what it does to the site ---- */

void pw_fault_apply(const pw_model *model, const pw_fault *fault, double done, double reference_pa,
                    pw_condition *condition)
{
    const pw_site *site = pw_model_site(model);
    const int32_t at = pw_fault_where(site, fault->kind, fault->where);
    if (at < 0 || done <= 0.0) {
        return;
    }
    const double severity = pw_max(done * fault->severity, 0.0);
    const pw_fault_with with = {model, site, at, severity, pw_min(severity, 1.0), done, reference_pa};
    pw_fault_row_of(fault->kind)->change(&with, condition);
}
