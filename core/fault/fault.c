/* Faults: names, severities, how they come about, and which come together (docs/faults.md). */
#include "fault/fault.h"

#include <string.h>

#include "base/num.h"
#include "fault/inside.h"
#include "formula/pump.h"
#include "formula/water.h"

#define LPM    (1.0e-3 / 60.0) /* 1 L/min in m3/s */
#define HOUR_S 3600.0
#define DAY_S  86400.0

/* Ends of the severity scales: common practice, no source; docs/faults.md says what each end means on site. */
#define LEAK_LEAST_M3S     (0.2 * LPM)
#define LEAK_MOST_OF_PUMP  0.3
#define BURST_MOST_OF_PUMP 1.5

/* ---- names ---- */

typedef struct kind_row {
    const char *id, *severity_words, *title;
    pw_dimension dimension;
    fault_befalls befalls;
} kind_row;

static const kind_row rows[PW_FAULT_COUNT] = {
#define PW_X(name, id, dimension, befalls, severity, title) \
    {id, severity, title, PW_DIM_##dimension, BEFALLS_##befalls},
    PW_FAULT_LIST(PW_X)
#undef PW_X
};

bool fault_is_kind(pw_fault_kind kind)
{
    return (int32_t)kind >= 0 && (int32_t)kind < PW_FAULT_COUNT;
}

fault_befalls fault_befalls_of(pw_fault_kind kind)
{
    return fault_is_kind(kind) ? rows[kind].befalls : BEFALLS_NOTHING;
}

const char *pw_fault_id(pw_fault_kind kind)
{
    return fault_is_kind(kind) ? rows[kind].id : "";
}

const char *pw_fault_title(pw_fault_kind kind)
{
    return fault_is_kind(kind) ? rows[kind].title : "";
}

const char *pw_fault_severity_words(pw_fault_kind kind)
{
    return fault_is_kind(kind) ? rows[kind].severity_words : "";
}

pw_dimension pw_fault_dimension(pw_fault_kind kind)
{
    return fault_is_kind(kind) ? rows[kind].dimension : PW_DIM_NONE;
}

const char *pw_fault_needs(pw_fault_kind kind)
{
    static const char *const words[] = {
        [BEFALLS_NOTHING] = "",
        [BEFALLS_PLACE] = "a place with water under pressure",
        [BEFALLS_SOURCE] = "a source",
        [BEFALLS_LEVEL_SOURCE] = "a bore or open water",
        [BEFALLS_VESSEL] = "a pressure vessel",
        [BEFALLS_FLOAT] = "a tank with a float valve",
        [BEFALLS_FLOW_SWITCH] = "a flow switch",
        [BEFALLS_PRESSURE_SENSOR] = "a pressure sensor",
        [BEFALLS_MEASURING_SENSOR] = "a sensor of pressure or level",
        [BEFALLS_PROBE] = "a level probe",
        [BEFALLS_VALVE] = "a line with a valve",
        [BEFALLS_LINE] = "a line",
        [BEFALLS_NON_RETURN] = "a non-return valve",
        [BEFALLS_PUMP] = "a pump",
        [BEFALLS_SUCTION_PUMP] = "a pump that sucks",
        [BEFALLS_BORE_PUMP] = "a pump in a bore",
        [BEFALLS_LIFTING_PUMP] = "a pump above open water",
        [BEFALLS_NON_RETURN_PUMP] = "a pump with a non-return valve",
        [BEFALLS_THREE_PHASE_PUMP] = "a pump with a three-phase motor",
        [BEFALLS_SUPPLY] = "a supply",
        [BEFALLS_THREE_PHASES] = "a three-phase motor",
        [BEFALLS_SETTINGS_PAIR] = "an order with a start and a stop by one pressure, one level or a pair of probes",
        [BEFALLS_SETTINGS_PRESSURE] = "an order with a pressure in it",
        [BEFALLS_SETTINGS_SECONDS] = "an order with seconds in it",
    };
    const fault_befalls befalls = fault_befalls_of(kind);
    return (size_t)befalls < sizeof words / sizeof words[0] ? words[befalls] : "";
}

int32_t pw_fault_find(const char *id)
{
    for (int32_t kind = 0; kind < PW_FAULT_COUNT; kind++) {
        if (strcmp(rows[kind].id, id) == 0) {
            return kind;
        }
    }
    return -1;
}

double pw_fault_most(pw_fault_kind kind)
{
    switch (pw_fault_dimension(kind)) {
    case PW_DIM_FLOW: return 1.0;
    case PW_DIM_FREQUENCY: return 100.0;
    case PW_DIM_LENGTH: return 600.0;
    case PW_DIM_TIME: return 366.0 * DAY_S;
    case PW_DIM_PRESSURE: return 10e6;
    case PW_DIM_VELOCITY: return 20.0;
    default: return 1.0; /* fractions */
    }
}

bool pw_fault_of_settings(pw_fault_kind kind)
{
    return kind == PW_FAULT_SETTINGS_SWAPPED || kind == PW_FAULT_PSI_TYPED || kind == PW_FAULT_MINUTES_TYPED;
}

bool pw_fault_heeds_stop(pw_fault_kind kind)
{
    return kind != PW_FAULT_WELDED;
}

/* ---- severities ---- */

/* Fixed scales, mild to severe. */
typedef struct scale {
    pw_fault_kind kind;
    int32_t count;
    double values[7];
} scale;

static const scale scales[] = {
    {PW_FAULT_DRY_SOURCE, 7, {0.5, 0.35, 0.25, 0.15, 0.1, 0.05, 0.0}},
    {PW_FAULT_LOST_AIR, 7, {0.3, 0.45, 0.6, 0.75, 0.85, 0.95, 1.0}},
    {PW_FAULT_FLOAT_PASSING, 6, {0.02, 0.05, 0.1, 0.2, 0.4, 0.7}},
    {PW_FAULT_CHATTER, 6, {0.5, 1.0, 2.0, 4.0, 7.0, 10.0}},
    {PW_FAULT_VALVE_CLOSED, 6, {0.3, 0.2, 0.1, 0.05, 0.02, 0.0}},
    {PW_FAULT_FALLING_LEVEL, 4, {2.0, 5.0, 12.0, 30.0}},
    {PW_FAULT_BLOCKED_INTAKE, 4, {0.3, 0.1, 0.05, 0.01}},
    {PW_FAULT_AIR_DRAWN_IN, 4, {0.01, 0.03, 0.06, 0.12}},
    {PW_FAULT_ENTRAINED_GAS, 4, {0.01, 0.03, 0.06, 0.12}},
    {PW_FAULT_LOST_PRIME, 3, {8.0 * HOUR_S, HOUR_S, 300.0}},
    {PW_FAULT_RUPTURED_CELL, 3, {6.0 * HOUR_S, HOUR_S, 300.0}},
    {PW_FAULT_HIGH_PRECHARGE, 4, {20e3, 60e3, 150e3, 300e3}},
    {PW_FAULT_BACKFLOW, 4, {0.002, 0.01, 0.05, 0.3}},
    {PW_FAULT_SLAM, 3, {0.1, 0.3, 1.0}},
    {PW_FAULT_FLOAT_SHUT, 3, {0.2, 0.05, 0.0}},
    {PW_FAULT_WORN, 4, {0.1, 0.2, 0.35, 0.6}},
    {PW_FAULT_CLOGGED, 4, {0.7, 0.4, 0.15, 0.03}},
    {PW_FAULT_SCALED, 4, {0.1, 0.25, 0.4, 0.6}},
    {PW_FAULT_OVERLOAD, 4, {0.15, 0.3, 0.6, 1.0}},
    {PW_FAULT_READS_HIGH, 4, {10e3, 40e3, 100e3, 200e3}},
    {PW_FAULT_READS_LOW, 4, {10e3, 40e3, 100e3, 200e3}},
    {PW_FAULT_TAPPING, 4, {5.0, 30.0, 180.0, HOUR_S}},
    {PW_FAULT_FROZEN, 3, {2.0 * HOUR_S, 12.0 * HOUR_S, 5.0 * DAY_S}},
    {PW_FAULT_NOT_CLOSING, 3, {0.1, 0.5, 1.0}},
    {PW_FAULT_SUPPLY_LOST, 4, {1.0, 60.0, 4.0 * HOUR_S, 2.0 * DAY_S}},
    {PW_FAULT_BROWN_OUT, 4, {0.9, 0.8, 0.7, 0.5}},
    {PW_FAULT_GENERATOR_SAG, 4, {0.85, 0.7, 0.55, 0.4}},
};

/* Of a relief valve: parts of the first pump's shut-off pressure. */
static const double lifts_at[] = {0.9, 0.7, 0.6, 0.5, 0.35};

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

int32_t pw_fault_severities(const pw_site *site, pw_fault_kind kind, double pump_m3s, double *out, int32_t capacity)
{
    enum { LEAKS = 8, BURSTS = 6, LIFTS = sizeof lifts_at / sizeof lifts_at[0] };
    if (capacity <= 0 || kind == PW_FAULT_NONE || !pw_fault_possible(site, kind)) {
        return 0;
    }
    double pump = pump_m3s > 0.0 && pw_is_finite(pump_m3s) ? pump_m3s : curve_end_m3s(site);
    double most_m3s = pw_max(LEAK_MOST_OF_PUMP * pump, 2.0 * LEAK_LEAST_M3S); /* a pump of drops still gets a scale */
    if (kind == PW_FAULT_SLOW_LEAK) {
        int32_t count = capacity < LEAKS ? capacity : LEAKS;
        spread_ratio(LEAK_LEAST_M3S, most_m3s, out, count);
        return count;
    }
    if (kind == PW_FAULT_BURST) {
        int32_t count = capacity < BURSTS ? capacity : BURSTS;
        spread_ratio(most_m3s, most_m3s * BURST_MOST_OF_PUMP / LEAK_MOST_OF_PUMP, out, count);
        return count;
    }
    if (kind == PW_FAULT_RELIEF) {
        return pick(lifts_at, LIFTS, shut_off_pa(site), out, capacity);
    }
    for (size_t i = 0; i < sizeof scales / sizeof scales[0]; i++) {
        if (scales[i].kind == kind) {
            return pick(scales[i].values, scales[i].count, 1.0, out, capacity);
        }
    }
    out[0] = 1.0; /* it has no severity */
    return 1;
}

/* ---- how it comes about ---- */

/* A vessel loses its air in 40 minutes, not in one bang, which no site does; a sensor drifts and a water level falls
 * over ten days (own choices: slow beside every timer of an order, fast enough to be seen within a proof's fortnight).
 */
enum { AIR_PARTS = 40, SLOW_PARTS = 120 };
#define AIR_PART_MS  60000
#define SLOW_PART_MS 7200000

static int64_t to_ms(double seconds)
{
    return (int64_t)pw_floor(pw_clamp(seconds, 0.0, 400.0 * DAY_S) * 1e3 + 0.5);
}

pw_fault_course pw_fault_course_of(const pw_fault *fault)
{
    pw_fault_course course = {1, 0, 0};
    switch (fault->kind) {
    case PW_FAULT_LOST_AIR:
    case PW_FAULT_HIGH_PRECHARGE:
        course.parts = AIR_PARTS;
        course.part_ms = AIR_PART_MS;
        break;
    case PW_FAULT_RUPTURED_CELL:
        course.parts = AIR_PARTS;
        course.part_ms = to_ms(fault->severity / AIR_PARTS);
        course.part_ms = course.part_ms < 1 ? 1 : course.part_ms;
        break;
    case PW_FAULT_FALLING_LEVEL:
    case PW_FAULT_READS_HIGH:
    case PW_FAULT_READS_LOW:
        course.parts = SLOW_PARTS;
        course.part_ms = SLOW_PART_MS;
        break;
    case PW_FAULT_FROZEN:
    case PW_FAULT_SUPPLY_LOST:
        course.lasts_ms = to_ms(fault->severity);
        course.lasts_ms = course.lasts_ms < 1 ? 1 : course.lasts_ms;
        break;
    default: break;
    }
    return course;
}

/* ---- which come together ---- */

static const pw_fault_pair pairs[] = {
    {PW_FAULT_LOST_AIR, PW_FAULT_WELDED, "many starts burn the contacts until they weld"},
    {PW_FAULT_RUPTURED_CELL, PW_FAULT_CHATTER, "short runs wear the flow switch, and bubbles shake it"},
    {PW_FAULT_BURST, PW_FAULT_DRY_SOURCE, "a burst draws a weak source dry"},
    {PW_FAULT_DRY_SOURCE, PW_FAULT_FLOW_ON, "sand from a failing bore jams the flow switch that should tell of it"},
    {PW_FAULT_FALLING_LEVEL, PW_FAULT_ENTRAINED_GAS, "falling water cascades into the bore and takes air along"},
    {PW_FAULT_BLOCKED_INTAKE, PW_FAULT_WORN, "the sand that blocks the strainer wears the impeller"},
    {PW_FAULT_SCALED, PW_FAULT_TAPPING, "iron and lime close the pipe and the small tapping alike"},
    {PW_FAULT_SLOW_LEAK, PW_FAULT_LOST_AIR, "both grow unseen where nobody comes by"},
    {PW_FAULT_SUPPLY_LOST, PW_FAULT_BACKFLOW, "a passing valve empties the system while the power is off"},
    {PW_FAULT_SUPPLY_LOST, PW_FAULT_LOST_PRIME, "the suction pipe drains while the power is off"},
    {PW_FAULT_FROZEN, PW_FAULT_BURST, "the frost that freezes the sensing line splits a pipe"},
    {PW_FAULT_BROWN_OUT, PW_FAULT_OVERLOAD, "a weak supply shows a motor that was near its limit"},
    {PW_FAULT_RELIEF, PW_FAULT_WELDED, "a pump that does not stop holds the relief valve open"},
    {PW_FAULT_HIGH_PRECHARGE, PW_FAULT_SLOW_LEAK, "a vessel empty at cut-in turns each drip into a start"},
    {PW_FAULT_FLOAT_OPEN, PW_FAULT_DRY_SOURCE, "an overflowing tank draws a weak source dry"},
};

int32_t pw_fault_pair_count(void)
{
    return (int32_t)(sizeof pairs / sizeof pairs[0]);
}

const pw_fault_pair *pw_fault_pair_at(int32_t index)
{
    return index >= 0 && index < pw_fault_pair_count() ? &pairs[index] : NULL;
}
