/* Mishaps: names, places, severities, and the change each makes to the physical condition (docs/mishaps.md). */
#include "mishap/mishap.h"

#include <string.h>

#include "base/num.h"

#define LPM (1.0e-3 / 60.0) /* 1 L/min in m3/s */

/* Ends of the severity scales: common practice, no source; docs/mishaps.md says what each end means on site. */
#define LEAK_LEAST_M3S     (0.2 * LPM)
#define LEAK_MOST_OF_PUMP  0.3
#define BURST_MOST_OF_PUMP 1.5

/* ---- names ---- */

typedef struct kind_row {
    const char *id, *severity_words, *title;
    pw_dimension dimension;
} kind_row;

static const kind_row rows[PW_MISHAP_COUNT] = {
#define PW_X(name, id, dimension, severity, title) {id, severity, title, PW_DIM_##dimension},
    PW_MISHAP_LIST(PW_X)
#undef PW_X
};

static bool is_kind(pw_mishap_kind kind)
{
    return (int32_t)kind >= 0 && (int32_t)kind < PW_MISHAP_COUNT;
}

const char *pw_mishap_id(pw_mishap_kind kind)
{
    return is_kind(kind) ? rows[kind].id : "";
}

const char *pw_mishap_title(pw_mishap_kind kind)
{
    return is_kind(kind) ? rows[kind].title : "";
}

const char *pw_mishap_severity_words(pw_mishap_kind kind)
{
    return is_kind(kind) ? rows[kind].severity_words : "";
}

pw_dimension pw_mishap_dimension(pw_mishap_kind kind)
{
    return is_kind(kind) ? rows[kind].dimension : PW_DIM_NONE;
}

int32_t pw_mishap_find(const char *id)
{
    for (int32_t kind = 0; kind < PW_MISHAP_COUNT; kind++) {
        if (strcmp(rows[kind].id, id) == 0) {
            return kind;
        }
    }
    return -1;
}

/* ---- places ---- */

static int32_t vessel_at(const pw_site *site, int32_t place)
{
    for (int32_t i = 0; i < site->vessel_count; i++) {
        if (site->vessels[i].place == place) {
            return i;
        }
    }
    return -1;
}

static int32_t tank_at(const pw_site *site, int32_t place)
{
    for (int32_t i = 0; i < site->tank_count; i++) {
        if (site->tanks[i].place == place) {
            return i;
        }
    }
    return -1;
}

static bool outlet_at(const pw_site *site, int32_t place)
{
    for (int32_t i = 0; i < site->outlet_count; i++) {
        if (site->outlets[i].place == place) {
            return true;
        }
    }
    return false;
}

static int32_t usual_leak_place(const pw_site *site)
{
    if (site->vessel_count > 0) {
        return site->vessels[0].place;
    }
    return site->pump_count > 0 ? site->pumps[0].to : -1;
}

/* A bore first, since it is the one that runs dry; then an open water; the mains last: there it is the pressure that
 * fails. */
static int32_t usual_source(const pw_site *site)
{
    static const pw_source_kind order[] = {PW_SOURCE_BORE, PW_SOURCE_OPEN, PW_SOURCE_MAINS};
    for (int32_t k = 0; k < 3; k++) {
        for (int32_t i = 0; i < site->source_count; i++) {
            if (site->sources[i].kind == order[k]) {
                return i;
            }
        }
    }
    return -1;
}

static int32_t usual_float_tank(const pw_site *site)
{
    for (int32_t i = 0; i < site->tank_count; i++) {
        if (site->tanks[i].float_valve) {
            return i;
        }
    }
    return -1;
}

static int32_t usual_flow_switch(const pw_site *site)
{
    for (int32_t i = 0; i < site->sensor_count; i++) {
        if (site->sensors[i].kind == PW_SENSOR_FLOW) {
            return i;
        }
    }
    return -1;
}

/* The delivery valve is the one that shuts the first pump off from everything. That is the valve of the only line that
 * goes on from the pump's delivery place, when nothing else sits there; otherwise it is the valve at the pump's own
 * outlet. */
static int32_t usual_valve(const pw_site *site)
{
    if (site->pump_count == 0) {
        return -1;
    }
    int32_t place = site->pumps[0].to;
    int32_t at_pump = PW_MAX_LINES;
    int32_t lines_here = 0, line = -1;
    for (int32_t i = 0; i < site->line_count; i++) {
        if (site->lines[i].from == place || site->lines[i].to == place) {
            line = i;
            lines_here++;
        }
    }
    for (int32_t i = 1; i < site->pump_count; i++) {
        if (site->pumps[i].to == place || site->pumps[i].from == place) {
            return at_pump;
        }
    }
    bool bare = vessel_at(site, place) < 0 && tank_at(site, place) < 0 && !outlet_at(site, place);
    return lines_here == 1 && bare ? line : at_pump;
}

static int32_t usual_where(const pw_site *site, pw_mishap_kind kind)
{
    switch (kind) {
    case PW_MISHAP_SLOW_LEAK:
    case PW_MISHAP_BURST: return usual_leak_place(site);
    case PW_MISHAP_DRY_SOURCE: return usual_source(site);
    case PW_MISHAP_LOST_AIR: return site->vessel_count > 0 ? 0 : -1;
    case PW_MISHAP_FLOAT_PASSING: return usual_float_tank(site);
    case PW_MISHAP_CHATTER: return usual_flow_switch(site);
    case PW_MISHAP_VALVE_CLOSED: return usual_valve(site);
    case PW_MISHAP_WELDED: return site->pump_count > 0 ? 0 : -1;
    case PW_MISHAP_NONE:
    case PW_MISHAP_COUNT: break;
    }
    return -1;
}

/* Does the thing that `where` points at exist, and can this happen to it? */
static bool can_happen_at(const pw_site *site, pw_mishap_kind kind, int32_t where)
{
    if (where < 0) {
        return false;
    }
    switch (kind) {
    case PW_MISHAP_SLOW_LEAK:
    case PW_MISHAP_BURST: return where < site->place_count;
    case PW_MISHAP_DRY_SOURCE: return where < site->source_count;
    case PW_MISHAP_LOST_AIR: return where < site->vessel_count;
    case PW_MISHAP_FLOAT_PASSING: return where < site->tank_count && site->tanks[where].float_valve;
    case PW_MISHAP_CHATTER: return where < site->sensor_count && site->sensors[where].kind == PW_SENSOR_FLOW;
    case PW_MISHAP_VALVE_CLOSED:
        return where < site->line_count || (where >= PW_MAX_LINES && where < PW_MAX_LINES + site->pump_count);
    case PW_MISHAP_WELDED: return where < site->pump_count;
    case PW_MISHAP_NONE:
    case PW_MISHAP_COUNT: break;
    }
    return false;
}

bool pw_mishap_possible(const pw_site *site, pw_mishap_kind kind)
{
    return kind == PW_MISHAP_NONE || usual_where(site, kind) >= 0;
}

int32_t pw_mishap_where(const pw_site *site, pw_mishap_kind kind, int32_t where)
{
    int32_t chosen = where >= 0 ? where : usual_where(site, kind);
    return can_happen_at(site, kind, chosen) ? chosen : -1;
}

/* Name of the thing that `where` points at; `where` fits. */
static const char *where_name(const pw_site *site, pw_mishap_kind kind, int32_t where)
{
    switch (kind) {
    case PW_MISHAP_SLOW_LEAK:
    case PW_MISHAP_BURST: return site->places[where].name;
    case PW_MISHAP_DRY_SOURCE: return site->sources[where].name;
    case PW_MISHAP_LOST_AIR: return site->vessels[where].name;
    case PW_MISHAP_FLOAT_PASSING: return site->tanks[where].name;
    case PW_MISHAP_CHATTER: return site->sensors[where].name;
    case PW_MISHAP_VALVE_CLOSED:
        return where >= PW_MAX_LINES ? site->pumps[where - PW_MAX_LINES].name : site->lines[where].name;
    case PW_MISHAP_WELDED: return site->pumps[where].name;
    case PW_MISHAP_NONE:
    case PW_MISHAP_COUNT: break;
    }
    return "";
}

int32_t pw_mishap_where_find(const pw_site *site, pw_mishap_kind kind, const char *name)
{
    for (int32_t where = 0; where < PW_MAX_LINES + PW_MAX_PUMPS; where++) {
        if (can_happen_at(site, kind, where) && strcmp(where_name(site, kind, where), name) == 0) {
            return where;
        }
    }
    return -1;
}

void pw_mishap_where_words(const pw_site *site, pw_mishap_kind kind, int32_t where, pw_text *text)
{
    int32_t chosen = pw_mishap_where(site, kind, where);
    if (chosen < 0) {
        return;
    }
    const char *before = "";
    if (kind == PW_MISHAP_SLOW_LEAK || kind == PW_MISHAP_BURST) {
        before = "at ";
    } else if (kind == PW_MISHAP_VALVE_CLOSED) {
        before = chosen >= PW_MAX_LINES ? "at the outlet of " : "in ";
    }
    pw_text_puts(text, before, where_name(site, kind, chosen), NULL);
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
static int32_t pick(const double *scale, int32_t length, double *out, int32_t capacity)
{
    int32_t count = length < capacity ? length : capacity;
    for (int32_t i = 0; i < count; i++) {
        out[i] = scale[count > 1 ? i * (length - 1) / (count - 1) : length - 1];
    }
    return count;
}

int32_t pw_mishap_severities(const pw_site *site, pw_mishap_kind kind, double pump_m3s, double *out, int32_t capacity)
{
    static const double yield_left[] = {0.5, 0.35, 0.25, 0.15, 0.1, 0.05, 0.0};
    static const double gas_lost[] = {0.3, 0.45, 0.6, 0.75, 0.85, 0.95, 1.0};
    static const double passing[] = {0.02, 0.05, 0.1, 0.2, 0.4, 0.7, 1.0};
    static const double changes_hz[] = {0.5, 1.0, 2.0, 4.0, 7.0, 10.0};
    static const double valve_left[] = {0.3, 0.2, 0.1, 0.05, 0.02, 0.0};
    static const double just_so[] = {1.0};
    enum { LEAKS = 8, BURSTS = 6 };
    if (capacity <= 0 || !pw_mishap_possible(site, kind)) {
        return 0;
    }
    double pump = pump_m3s > 0.0 && pw_is_finite(pump_m3s) ? pump_m3s : curve_end_m3s(site);
    double most_m3s = pw_max(LEAK_MOST_OF_PUMP * pump, 2.0 * LEAK_LEAST_M3S); /* a pump of drops still gets a scale */
    switch (kind) {
    case PW_MISHAP_SLOW_LEAK: {
        int32_t count = capacity < LEAKS ? capacity : LEAKS;
        spread_ratio(LEAK_LEAST_M3S, most_m3s, out, count);
        return count;
    }
    case PW_MISHAP_BURST: {
        int32_t count = capacity < BURSTS ? capacity : BURSTS;
        spread_ratio(most_m3s, most_m3s * BURST_MOST_OF_PUMP / LEAK_MOST_OF_PUMP, out, count);
        return count;
    }
    case PW_MISHAP_DRY_SOURCE: return pick(yield_left, 7, out, capacity);
    case PW_MISHAP_LOST_AIR: return pick(gas_lost, 7, out, capacity);
    case PW_MISHAP_FLOAT_PASSING: return pick(passing, 7, out, capacity);
    case PW_MISHAP_CHATTER: return pick(changes_hz, 6, out, capacity);
    case PW_MISHAP_VALVE_CLOSED: return pick(valve_left, 6, out, capacity);
    case PW_MISHAP_WELDED: return pick(just_so, 1, out, capacity);
    case PW_MISHAP_NONE:
    case PW_MISHAP_COUNT: break;
    }
    return 0;
}

/* ---- the change itself ---- */

static int32_t reference_place(const pw_site *site)
{
    for (int32_t i = 0; i < site->sensor_count; i++) {
        if (site->sensors[i].kind == PW_SENSOR_PRESSURE && site->sensors[i].place >= 0) {
            return site->sensors[i].place;
        }
    }
    return usual_leak_place(site);
}

/* Head at the leak's place that its severity is meant at. */
static double leak_head_m(const pw_model *model, int32_t place, double reference_pa)
{
    const pw_site *site = pw_model_site(model);
    int32_t tank = tank_at(site, place);
    if (tank >= 0) {
        return pw_max(site->tanks[tank].start_m.v, PW_MISHAP_LOWEST_DEPTH_M);
    }
    int32_t reference = reference_place(site);
    double fall_m = reference < 0 ? 0.0 : site->places[reference].level_m.v - site->places[place].level_m.v;
    return pw_max(reference_pa / pw_model_pa_per_m(model) + fall_m, PW_MISHAP_LOWEST_HEAD_M);
}

static void add_leak(pw_condition *condition, int32_t place, double area_m2)
{
    int32_t at = condition->leak_count;
    if (at >= PW_MAX_LEAKS) { /* more holes than the model holds: the last one grows */
        condition->leaks[PW_MAX_LEAKS - 1].area_m2 += area_m2;
        return;
    }
    condition->leaks[at].place = place;
    condition->leaks[at].area_m2 = area_m2;
    condition->leak_count++;
}

void pw_mishap_apply(const pw_model *model, const pw_mishap *mishap, double reference_pa, pw_condition *condition)
{
    int32_t where = pw_mishap_where(pw_model_site(model), mishap->kind, mishap->where);
    if (where < 0) {
        return;
    }
    double severity = pw_max(mishap->severity, 0.0);
    double part = pw_min(severity, 1.0);
    switch (mishap->kind) {
    case PW_MISHAP_SLOW_LEAK:
    case PW_MISHAP_BURST:
        add_leak(condition, where, severity / pw_sqrt(2.0 * PW_G * leak_head_m(model, where, reference_pa)));
        break;
    case PW_MISHAP_DRY_SOURCE: condition->source_yield[where] = part; break;
    case PW_MISHAP_LOST_AIR: condition->vessel_air[where] = 1.0 - part; break;
    case PW_MISHAP_FLOAT_PASSING: condition->float_passing[where] = part; break;
    case PW_MISHAP_CHATTER: condition->chatter_hz[where] = severity; break;
    case PW_MISHAP_VALVE_CLOSED:
        if (where >= PW_MAX_LINES) {
            condition->pump_open[where - PW_MAX_LINES] = part;
        } else {
            condition->line_open[where] = part;
        }
        break;
    case PW_MISHAP_WELDED: condition->welded[where] = true; break;
    case PW_MISHAP_NONE:
    case PW_MISHAP_COUNT: break;
    }
}
