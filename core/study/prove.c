/* Assemble: outcomes to a proof. Pure; the order in which the jobs were run does not matter. */
#include <assert.h>
#include <string.h>

#include "base/num.h"
#include "formula/rare.h"
#include "study/prove_inside.h"

/* The years that are seen, and the stops that fall to them, are what the bound stands on. Homes differ more than chance
 * makes years differ, so their count is taken as a Poisson count of heaps, each of as many stops as the variance of the
 * homes is of their mean (as in quasi-Poisson regression, McCullagh and Nelder 1989, 6.2; from memory). */
static double upper_per_year(const pw_proof *proof, double years, double squares)
{
    const double seen_years = pw_demand_years_seen(&proof->basis, years);
    double stops = (double)proof->false_stops, heap = 1.0;
    if (!(seen_years > 0.0)) {
        return PW_INF;
    }
    stops = seen_years < years ? pw_ceil(stops * seen_years / years - 1e-9) : stops;
    if (proof->basis.kind == PW_BASIS_HOMES && proof->years > 1 && stops > 0.0) {
        const double mean = stops / proof->years;
        heap = pw_max((squares - mean * stops) / (proof->years - 1) / mean, 1.0);
        stops = pw_ceil(stops / heap - 1e-9);
    }
    return heap * pw_poisson_upper((int32_t)stops, proof->options.confidence) / seen_years;
}

/* A year that ended early, because the site hunts, counts as far as it went; one whose motor burnt out, until then. */
static void count_false_stops(pw_proof *proof)
{
    double squares = 0.0;
    for (int32_t i = 0; i < proof->jobs->count; i++) {
        if (proof->jobs->jobs[i].kind != PW_JOB_HEALTHY) {
            continue;
        }
        const pw_outcome *year = &proof->outcomes[i];
        const double healthy_s = year->burnt_s > 0.0 ? year->burnt_s : year->seconds;
        proof->years++;
        proof->false_stops += year->false_stops;
        squares += (double)year->false_stops * (double)year->false_stops;
        proof->homes_stopped += year->false_stops > 0 ? 1 : 0;
        proof->most_in_home = year->false_stops > proof->most_in_home ? year->false_stops : proof->most_in_home;
        proof->healthy_years += healthy_s / PW_HEALTHY_YEAR_S;
    }
    if (!(proof->healthy_years > 0.0)) {
        return;
    }
    const double years = proof->healthy_years;
    proof->false_per_year = (double)proof->false_stops / years;
    proof->basis = pw_demand_basis_of(proof->plant->site);
    proof->false_upper_per_year = upper_per_year(proof, years, squares);
}

/* Where the true edge is taken to lie between two sizes tried: in the middle, by ratio. */
static double edge_m3s(double below_m3s, double above_m3s)
{
    return pw_sqrt(below_m3s * above_m3s);
}

/* Ends the open band at the job `last`; above is the size seen just above it, 0 when the sweep ends. */
static void close_band(pw_proof *proof, pw_band *band, int32_t last, double above_m3s)
{
    band->last_m3s = proof->jobs->jobs[last].fault.severity;
    band->lost_to_m3d = proof->outcomes[last].lost_per_day_m3;
    band->above_m3s = above_m3s;
    band->to_m3s = above_m3s > 0.0 ? edge_m3s(band->last_m3s, above_m3s) : band->last_m3s;
}

int32_t pw_proof_leaks(const pw_jobs *jobs, int32_t *out, int32_t capacity)
{
    int32_t count = 0;
    for (int32_t i = 0; i < jobs->count && count < capacity; i++) {
        const pw_job *job = &jobs->jobs[i];
        bool leaks = pw_fault_row_of(job->fault.kind)->hole;
        if (job->kind == PW_JOB_HEALTHY || job->extra || !leaks || job->fault.severity > jobs->pump_m3s) {
            continue;
        }
        int32_t at = count;
        for (; at > 0 && jobs->jobs[out[at - 1]].fault.severity > job->fault.severity; at--) {
            out[at] = out[at - 1];
        }
        out[at] = i;
        count++;
    }
    return count;
}

/* The leaks that were tried; none without a sweep: a handful of faults is no range. */
static int32_t swept_leaks(const pw_jobs *jobs, int32_t *out)
{
    bool swept = false;
    for (int32_t i = 0; i < jobs->count; i++) {
        swept = swept || jobs->jobs[i].kind == PW_JOB_SWEEP;
    }
    return swept ? pw_proof_leaks(jobs, out, PW_MAX_TRIED_LEAKS) : 0;
}

int32_t pw_proof_stretches(const pw_proof *proof, pw_leak_stretch *out, int32_t capacity)
{
    int32_t leaks[PW_MAX_TRIED_LEAKS];
    const int32_t tried = swept_leaks(proof->jobs, leaks);
    int32_t count = 0;
    double before_m3s = 0.0;
    int32_t before = -1;
    for (int32_t k = 0; k < tried; k++) {
        const double leak_m3s = proof->jobs->jobs[leaks[k]].fault.severity;
        const int32_t caught = proof->outcomes[leaks[k]].caught_by;
        const int32_t by = caught >= 0 ? caught : -1;
        if (k == 0 || by != before) {
            const double from_m3s = k > 0 ? edge_m3s(before_m3s, leak_m3s) : leak_m3s;
            if (k > 0 && count <= capacity) {
                out[count - 1].to_m3s = from_m3s;
            }
            if (count < capacity) {
                out[count] = (pw_leak_stretch){.from_m3s = from_m3s, .caught_by = by};
            }
            count++;
        }
        if (count <= capacity) {
            out[count - 1].to_m3s = leak_m3s;
            out[count - 1].tried++;
        }
        before_m3s = leak_m3s;
        before = by;
    }
    return count;
}

static void find_bands(pw_proof *proof)
{
    int32_t leaks[PW_MAX_TRIED_LEAKS];
    const int32_t count = swept_leaks(proof->jobs, leaks);
    pw_band *open = NULL;
    double seen_m3s = 0.0;
    for (int32_t k = 0; k < count; k++) {
        const pw_outcome *outcome = &proof->outcomes[leaks[k]];
        double leak_m3s = proof->jobs->jobs[leaks[k]].fault.severity;
        bool unseen = outcome->caught_by < 0;
        if (!unseen && open != NULL) {
            close_band(proof, open, leaks[k - 1], leak_m3s);
            open = NULL;
        }
        if (unseen && open == NULL) {
            if (proof->band_count == PW_MAX_BANDS) {
                break;
            }
            open = &proof->bands[proof->band_count];
            proof->band_count++;
            open->first_m3s = leak_m3s;
            open->below_m3s = seen_m3s;
            open->from_m3s = seen_m3s > 0.0 ? edge_m3s(seen_m3s, leak_m3s) : leak_m3s;
            open->lost_from_m3d = outcome->lost_per_day_m3;
        }
        if (unseen) {
            open->tried++;
            open->lost_most_m3d = pw_max(open->lost_most_m3d, outcome->lost_per_day_m3);
        } else {
            seen_m3s = leak_m3s;
        }
    }
    if (open != NULL) {
        close_band(proof, open, leaks[count - 1], 0.0);
    }
}

pw_status pw_proof_assemble(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options,
                            const pw_jobs *jobs, const pw_outcome *outcomes, pw_proof **out, pw_problems *problems)
{
    *out = NULL;
    pw_proof *proof = PW_NEW(arena, 1, pw_proof);
    if (proof == NULL) {
        return pw_problem_add(problems, PW_MEMORY, "", NULL, NULL, NULL);
    }
    proof->plant = plant;
    proof->options = *options;
    proof->jobs = jobs;
    proof->outcomes = outcomes;
    for (int32_t i = 0; i < jobs->count; i++) {
        assert(outcomes[i].job == i);
    }
    count_false_stops(proof);
    prove_healthy(proof);
    find_bands(proof);
    pw_status status = prove_limits(arena, plant, jobs->pump_m3s, jobs->reference_pa, &proof->check);
    if (status != PW_OK) {
        return pw_problem_add(problems, status, "", NULL, NULL, NULL);
    }
    *out = proof;
    return PW_OK;
}
