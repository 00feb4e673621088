/* A slow plain simulation in steps of 10 ms, written apart from core/run: what it shares with it is the model of the
 * water, the controller, the draws and the list of mishaps, and nothing of how time is spent.
 */
#ifndef PW_TEST_TWIN_PLAIN_H
#define PW_TEST_TWIN_PLAIN_H

#include "run/run.h"

enum { PLAIN_STEP_MS = 10 };

typedef struct plain_result {
    int64_t starts, locks, burnt_ms; /* the first motor burnt out; -1 none */
    double run_s, pumped_m3, delivered_m3, leaked_m3, spilled_m3, energy_j, winding_max_c, water_max_c,
        pressure_pa; /* the last at the end */
    bool hunted;     /* more than PW_HUNT_STARTS starts in an hour: it ends there, as core/run does */
    bool lost;       /* the network did not settle */
} plain_result;

/* The same options as pw_run: length, seed, mishaps, reference_pa and release_after_ms count. */
void plain_run(const pw_plant *plant, const pw_run_options *options, plain_result *out);

#endif
