/* Private to the plain simulation: one under way. */
#ifndef PW_TEST_TWIN_PLAIN_IMPL_H
#define PW_TEST_TWIN_PLAIN_IMPL_H

#include "plain.h"
#include "sim/demand.h"

enum { HUNT_KEPT = PW_HUNT_STARTS + 1 };

typedef struct plain {
    const pw_plant *plant;
    int64_t step_ms;
    const pw_site *site;
    const pw_run_options *options;
    pw_arena arena;
    const pw_settings *settings;
    pw_table *table;
    pw_control *control;
    pw_demand_state *demand;
    pw_warm *warm;
    int64_t t_ms;
    pw_condition condition;
    pw_drive drive;
    double y[PW_MAX_STATES], heat[PW_MAX_PUMPS], inside_c[PW_MAX_PUMPS];
    pw_moment moment;
    pw_outputs outputs;
    /* faults */
    int32_t parts[2];
    int64_t due_ms[2], over_ms[2];
    bool over[2], powerless;
    bool held[PW_MAX_SENSORS];
    double held_at[PW_MAX_SENSORS], lagging[PW_MAX_SENSORS], surge[PW_MAX_SENSORS];
    bool air[PW_MAX_SPOTS]; /* in the pipes; clear_ms 0: it stays */
    int64_t clear_ms[PW_MAX_SPOTS];
    /* sensors */
    bool made[PW_MAX_SENSORS], shaken[PW_MAX_SENSORS];
    int64_t toggle_ms[PW_MAX_SENSORS];
    /* pumps */
    bool ordered[PW_MAX_PUMPS], refused[PW_MAX_PUMPS], pulled_in[PW_MAX_PUMPS], stuck[PW_MAX_PUMPS],
        empty[PW_MAX_PUMPS], burnt[PW_MAX_PUMPS], steams[PW_MAX_PUMPS], boiled[PW_MAX_PUMPS];
    int64_t orders[PW_MAX_PUMPS], up_ms[PW_MAX_PUMPS], rest_ms[PW_MAX_PUMPS], wave_ms[PW_MAX_PUMPS];
    double wave_pa[PW_MAX_PUMPS];
    int64_t began_ms[PW_MAX_PUMPS];
    double inrush[PW_MAX_PUMPS]; /* heat of the start under way */
    int64_t release_ms, last_starts[PW_MAX_PUMPS][HUNT_KEPT], started[PW_MAX_PUMPS];
    plain_result *out;
} plain;

/* plain_sensors.c */
double plain_told(const plain *p, int32_t sensor);
void plain_move_switches(plain *p);

/* plain_typed.c: the order as a fault of the settings has it typed; false when its reader refuses it. */
bool plain_type(plain *p, pw_fault_kind kind, pw_table **out);

#endif
