/* Assemble: outcomes to a proof. Pure; the order in which the jobs were run does not matter. */
#include <assert.h>
#include <string.h>

#include "base/num.h"
#include "judge/inside.h"

static void count_false_stops(pw_proof *proof) {
    for (int32_t i = 0; i < proof->jobs->count; i++) {
        if (proof->jobs->jobs[i].kind != PW_JOB_HEALTHY) continue;
        proof->years++;
        proof->false_stops += proof->outcomes[i].false_stops;
    }
    if (proof->years == 0) return;
    double years = (double)proof->years;
    proof->false_per_year = (double)proof->false_stops / years;
    proof->false_upper_per_year = pw_poisson_upper(proof->false_stops, proof->options.confidence) / years;
}

/* Ends the open band at the sweep job `last`; above is the size seen just above it, 0 when the sweep ends. */
static void close_band(pw_proof *proof, pw_band *band, int32_t last, double above_m3s) {
    band->last_m3s = proof->jobs->jobs[last].mishap.severity;
    band->lost_to_m3d = proof->outcomes[last].lost_per_day_m3;
    band->above_m3s = above_m3s;
    band->to_m3s = above_m3s > 0.0 ? pw_sqrt(band->last_m3s * above_m3s) : band->last_m3s;
}

/* The sweep jobs stand in the plan from the smallest leak to the largest. */
static void find_bands(pw_proof *proof) {
    pw_band *open = NULL;
    int32_t last = -1;
    double seen_m3s = 0.0;
    for (int32_t i = 0; i < proof->jobs->count; i++) {
        if (proof->jobs->jobs[i].kind != PW_JOB_SWEEP) continue;
        double leak_m3s = proof->jobs->jobs[i].mishap.severity;
        bool unseen = proof->outcomes[i].caught_by < 0;
        if (!unseen && open != NULL) {
            close_band(proof, open, last, leak_m3s);
            open = NULL;
        }
        if (unseen && open == NULL) {
            if (proof->band_count == PW_MAX_BANDS) break;
            open = &proof->bands[proof->band_count];
            proof->band_count++;
            open->first_m3s = leak_m3s;
            open->below_m3s = seen_m3s;
            open->from_m3s = seen_m3s > 0.0 ? pw_sqrt(seen_m3s * leak_m3s) : leak_m3s;
            open->lost_from_m3d = proof->outcomes[i].lost_per_day_m3;
        }
        if (unseen) {
            open->tried++;
            open->lost_most_m3d = pw_max(open->lost_most_m3d, proof->outcomes[i].lost_per_day_m3);
        } else {
            seen_m3s = leak_m3s;
        }
        last = i;
    }
    if (open != NULL) close_band(proof, open, last, 0.0);
}

pw_status pw_proof_assemble(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                            const pw_outcome *outcomes, pw_proof **out, pw_problems *problems) {
    *out = NULL;
    pw_proof *proof = PW_NEW(arena, 1, pw_proof);
    if (proof == NULL) return pw_problem_add(problems, PW_MEMORY, "", NULL, NULL, NULL);
    proof->plant = plant;
    proof->options = *options;
    proof->jobs = jobs;
    proof->outcomes = outcomes;
    for (int32_t i = 0; i < jobs->count; i++) assert(outcomes[i].job == i);
    count_false_stops(proof);
    find_bands(proof);
    pw_status status = judge_limits(arena, plant, jobs->pump_m3s, &proof->check);
    if (status != PW_OK) return pw_problem_add(problems, status, "", NULL, NULL, NULL);
    *out = proof;
    return PW_OK;
}
