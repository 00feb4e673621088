/* A slow plain simulation in steps of 10 ms, written apart from core/sim: what it shares with it is the solver of the
 * network, the controller and the reader of its orders, the draws and the list of faults, and nothing of how time is
 * spent. What the solver gives is held against laws of its own (plain_laws.h).
 */
#ifndef PW_TEST_TWIN_PLAIN_H
#define PW_TEST_TWIN_PLAIN_H

#include "sim/run.h"

enum { PLAIN_STEP_MS = 10 };

typedef struct plain_result {
    int64_t starts, locks, burnt_ms; /* the first motor burnt out; -1 none */
    double run_s, pumped_m3, delivered_m3, leaked_m3, spilled_m3, energy_j, winding_max_c, water_max_c, dry_s,
        deadhead_s;
    int64_t pump_starts[PW_MAX_PUMPS];
    double pump_run_s[PW_MAX_PUMPS], power_w[PW_MAX_PUMPS], flow_m3s[PW_MAX_PUMPS]; /* the most of each */
    double pressure_max_pa, pressure_min_pa, swing_pa; /* first pressure sensor's place; most change in one step */
    int64_t law_checks, law_breaches;                  /* plain_laws.h */
    char law[120];                                     /* the first that the core's model does not keep */
    bool refused; /* a fault of the settings: the order as typed could not be read */
    bool hunted;  /* more than PW_HUNT_STARTS starts in an hour: it ends there, as core/sim does */
    bool lost;    /* the network did not settle */
} plain_result;

/* The same options as pw_run: beginning, length, seed, faults, reference_pa and release_after_ms count. step_ms: how
 * far apart it looks. */
void plain_run(const pw_plant *plant, const pw_run_options *options, int64_t step_ms, plain_result *out);

#endif
