/* Faults: one thing going wrong physically. Each is a change of the physics or of a sensor, never a flag that the
 * controller can see. What each does, its scale and its sources: docs/faults.md.
 */
#ifndef PW_FAULT_FAULT_H
#define PW_FAULT_FAULT_H

#include "base/units.h"
#include "element/model.h"

/* name, id, dimension of the severity, what it befalls, words of the severity, title */
#define PW_FAULT_LIST(X)                                                                                               \
    X(NONE, "none", NONE, NOTHING, "", "nothing wrong")                                                                \
    X(SLOW_LEAK, "slow leak", FLOW, PLACE, "flow through the hole at the reference pressure", "Slow leak")             \
    X(BURST, "burst", FLOW, PLACE, "flow through the hole at the reference pressure", "Burst")                         \
    X(DRY_SOURCE, "dry source", FRACTION, SOURCE, "part of the yield that is left", "Source runs dry")                 \
    X(LOST_AIR, "lost air", FRACTION, VESSEL, "part of the gas charge that is lost", "Vessel lost its air")            \
    X(FLOAT_PASSING, "float valve passing", FRACTION, FLOAT, "opening that stays when it should be shut",              \
      "Float valve passing")                                                                                           \
    X(CHATTER, "chattering flow switch", FREQUENCY, FLOW_SWITCH, "changes per second while the pump runs",             \
      "Flow switch chatters")                                                                                          \
    X(VALVE_CLOSED, "closed delivery valve", FRACTION, VALVE, "part of the opening that is left",                      \
      "Delivery valve closed")                                                                                         \
    X(WELDED, "contactor welded", NONE, PUMP, "", "Contactor welded")                                                  \
    X(FALLING_LEVEL, "falling water level", LENGTH, LEVEL_SOURCE, "fall of the standing water level in ten days",      \
      "Water level falls")                                                                                             \
    X(BLOCKED_INTAKE, "blocked intake", FRACTION, PUMP, "part of the intake's area that is left",                      \
      "Intake or strainer blocked")                                                                                    \
    X(AIR_DRAWN_IN, "air drawn in", FRACTION, SUCTION_PUMP, "air by volume in what the pump takes in", "Air drawn in") \
    X(ENTRAINED_GAS, "entrained gas", FRACTION, BORE_PUMP, "gas by volume in what the pump takes in",                  \
      "Gas in the water")                                                                                              \
    X(LOST_PRIME, "lost prime", TIME, LIFTING_PUMP, "rest in which the suction pipe drains", "Prime lost")             \
    X(RUPTURED_CELL, "ruptured cell", TIME, VESSEL, "time in which the gas is gone", "Vessel's air cell ruptured")     \
    X(HIGH_PRECHARGE, "high precharge", PRESSURE, VESSEL, "precharge above that of the site sheet",                    \
      "Precharge too high")                                                                                            \
    X(BACKFLOW, "passing non-return valve", FRACTION, NON_RETURN, "opening that stays to water flowing back",          \
      "Non-return valve passing")                                                                                      \
    X(SLAM, "slamming non-return valve", VELOCITY, NON_RETURN_PUMP, "velocity of the water when the valve shuts",      \
      "Non-return valve slams")                                                                                        \
    X(FLOAT_OPEN, "float valve stuck open", NONE, FLOAT, "", "Float valve stuck open")                                 \
    X(FLOAT_SHUT, "float valve stuck shut", FRACTION, FLOAT, "opening that it still reaches",                          \
      "Float valve stuck shut")                                                                                        \
    X(WORN, "worn impeller", FRACTION, PUMP, "part of the head that is lost", "Impeller worn")                         \
    X(CLOGGED, "blocked impeller", FRACTION, PUMP, "part of the passages that is left", "Impeller blocked")            \
    X(SCALED, "scaled pipe", FRACTION, LINE, "part of the bore that is lost", "Pipe scaled")                           \
    X(BACKWARDS, "running backwards", NONE, THREE_PHASE_PUMP, "", "Pump runs backwards")                               \
    X(OVERLOAD, "motor overload", FRACTION, PUMP, "shaft power on top of what the water takes", "Motor overloaded")    \
    X(FLOW_ON, "flow switch stuck on", NONE, FLOW_SWITCH, "", "Flow switch stuck on")                                  \
    X(FLOW_OFF, "flow switch stuck off", NONE, FLOW_SWITCH, "", "Flow switch stuck off")                               \
    X(READS_HIGH, "pressure sensor reads high", PRESSURE, PRESSURE_SENSOR, "reading above the truth after ten days",   \
      "Pressure sensor drifts up")                                                                                     \
    X(READS_LOW, "pressure sensor reads low", PRESSURE, PRESSURE_SENSOR, "reading below the truth after ten days",     \
      "Pressure sensor drifts down")                                                                                   \
    X(SENSOR_STUCK, "stuck sensor", NONE, MEASURING_SENSOR, "", "Sensor stuck")                                        \
    X(TAPPING, "blocked tapping", TIME, PRESSURE_SENSOR, "time constant of the reading", "Pressure tapping blocked")   \
    X(FROZEN, "frozen sensing line", TIME, PRESSURE_SENSOR, "how long the frost lasts", "Sensing line frozen")         \
    X(PROBE_WET, "fouled level probe", NONE, PROBE, "", "Level probe fouled: always wet")                              \
    X(PROBE_DRY, "broken probe wire", NONE, PROBE, "", "Level probe's wire broken: always dry")                        \
    X(NOT_CLOSING, "contactor not closing", FRACTION, PUMP, "part of the orders to start that it fails",               \
      "Contactor fails to close")                                                                                      \
    X(SUPPLY_LOST, "supply lost", TIME, SUPPLY, "how long it is off", "Supply lost")                                   \
    X(BROWN_OUT, "brown-out", FRACTION, SUPPLY, "part of the voltage that is left", "Brown-out")                       \
    X(PHASE_LOSS, "phase loss", NONE, THREE_PHASES, "", "One phase lost")                                              \
    X(GENERATOR_SAG, "sagging generator", FRACTION, SUPPLY, "part of the voltage that is left while a motor starts",   \
      "Generator sags at start")                                                                                       \
    X(RELIEF, "relief valve lifting", PRESSURE, PUMP, "pressure at which it lifts", "Relief valve lifts too soon")     \
    X(SETTINGS_SWAPPED, "settings swapped", NONE, SETTINGS_PAIR, "", "Start and stop swapped")                         \
    X(PSI_TYPED, "mistaken unit", NONE, SETTINGS_PRESSURE, "", "Pressures typed in the wrong unit")                    \
    X(MINUTES_TYPED, "minutes for seconds", NONE, SETTINGS_SECONDS, "", "Seconds typed as minutes")

typedef enum pw_fault_kind {
#define PW_X(name, id, dimension, befalls, severity, title) PW_FAULT_##name,
    PW_FAULT_LIST(PW_X)
#undef PW_X
        PW_FAULT_COUNT
} pw_fault_kind;

#define PW_FAULT_LOWEST_HEAD_M  1.0 /* own choices, see pw_fault_apply */
#define PW_FAULT_LOWEST_DEPTH_M 0.1

typedef struct pw_fault {
    pw_fault_kind kind;
    double severity; /* SI, in the dimension of the list */
    int32_t where; /* place (leak, burst), source, vessel, tank, sensor, pump, line; for a closed valve and a non-return
                      valve a line, or PW_MAX_LINES + pump for the valve at a pump's outlet; 0 for the supply and the
                      order; -1: the usual one for this site */
    int64_t onset_ms; /* since the start of the simulation */
} pw_fault;

const char *pw_fault_id(pw_fault_kind kind);
const char *pw_fault_title(pw_fault_kind kind);
const char *pw_fault_severity_words(pw_fault_kind kind);
pw_dimension pw_fault_dimension(pw_fault_kind kind);
/* -1 when the words are not a fault. */
int32_t pw_fault_find(const char *id);

/* Can it happen on this site at all? (No float valve, no float valve passing.) */
bool pw_fault_possible(const pw_site *site, pw_fault_kind kind);
/* What a site must have for it: "a tank with a float valve". */
const char *pw_fault_needs(pw_fault_kind kind);
/* Where it happens: `where` itself when it is 0 or more, else the usual one; -1 when it is not possible here.
 * And the words for it ("at shed", "header tank", "at the outlet of bore pump"); none for the supply and the order. */
int32_t pw_fault_where(const pw_site *site, pw_fault_kind kind, int32_t where);
/* Index for `where` from the name of a place, source, vessel, tank, sensor, line or pump, as the kind needs it; -1: no
 * such name. */
int32_t pw_fault_where_find(const pw_site *site, pw_fault_kind kind, const char *name);
void pw_fault_where_words(const pw_site *site, pw_fault_kind kind, int32_t where, pw_text *text);
/* Every place where it can happen, the usual one first; returns how many were written. */
int32_t pw_fault_wheres(const pw_site *site, pw_fault_kind kind, int32_t *out, int32_t capacity);
/* Severities tried by default, mild to severe; returns how many (at most capacity). pump_m3s: largest flow the pump can
 * give. */
int32_t pw_fault_severities(const pw_site *site, pw_fault_kind kind, double pump_m3s, double *out, int32_t capacity);
/* Largest severity that can be meant, SI. */
double pw_fault_most(pw_fault_kind kind);

/* How it comes about: in `parts` equal parts, part_ms apart, the first at the onset (1: at once); over after lasts_ms
 * (0: it stays). */
typedef struct pw_fault_course {
    int32_t parts;
    int64_t part_ms, lasts_ms;
} pw_fault_course;
pw_fault_course pw_fault_course_of(const pw_fault *fault);

/* A fault of the settings changes the order and not the condition (core/sim reads it anew as it would be typed). */
bool pw_fault_of_settings(pw_fault_kind kind);

/* Words of a sentence: first byte and number of bytes. */
typedef struct pw_fault_words {
    size_t at, length;
} pw_fault_words;

/* What "settings swapped" exchanges: words of a start sentence and of a stop sentence (numbers in the sheet's order).
 */
typedef struct pw_fault_swap {
    int32_t start, stop;
    pw_fault_words in, out;
} pw_fault_swap;

/* The first start and stop that belong together: by two pressures, else by two levels of one sensor, else by a pair of
 * probes. False when the order has none. */
bool pw_fault_swap_find(const pw_site *site, pw_fault_swap *out);
/* False where stopping by the order stops nothing: a welded contactor. */
bool pw_fault_heeds_stop(pw_fault_kind kind);

/* Change the condition. done: how much of it has come about, 0 .. 1 (pw_fault_course). reference_pa: gauge pressure at
 * which a leak's severity is meant (middle of cut-in and cut-out), at the reference place: that of the first pressure
 * sensor, else of the first vessel, else the first pump's delivery place. At a leak's place the pressure differs from
 * it by the levels; there Cd A sqrt(2 g h) = severity (orifice, Torricelli 1644). h is at least
 * PW_FAULT_LOWEST_HEAD_M: a leak that stands too high for the reference pressure gets the hole that this head would
 * need. At a tank, h is the depth at the start (at least PW_FAULT_LOWEST_DEPTH_M). A fault that is not possible here,
 * or of kind NONE, changes nothing. Severities outside their scale count as its end. Two faults work together: factors
 * multiply. */
void pw_fault_apply(const pw_model *model, const pw_fault *fault, double done, double reference_pa,
                    pw_condition *condition);

/* Faults that come together in practice, with the reason. */
typedef struct pw_fault_pair {
    pw_fault_kind first, second;
    const char *reason;
} pw_fault_pair;
int32_t pw_fault_pair_count(void);
const pw_fault_pair *pw_fault_pair_at(int32_t index); /* NULL when out of range */

#endif
