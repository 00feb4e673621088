/* Job: one simulation, and what it found. Nothing here depends on any other job. */
#include <assert.h>
#include <string.h>

#include "base/num.h"
#include "study/prove_inside.h"

#define DAY_S 86400.0

int32_t prove_first_firing(const pw_plant *plant, const prove_found *found)
{
    int32_t best = -1;
    bool best_locks = false;
    int32_t count = pw_settings_count(plant->settings);
    for (int32_t i = 0; i < count && i < PW_MAX_SENTENCES; i++) {
        if (!pw_settings_is_watch(plant->settings, i)) {
            continue;
        }
        int64_t t_ms = found->firings[i].t_ms;
        if (t_ms < 0) {
            continue;
        }
        bool locks = pw_settings_kind(plant->settings, i) == PW_SENTENCE_LOCK;
        bool sooner = best < 0 || t_ms < found->firings[best].t_ms;
        bool same_but_locks = best >= 0 && t_ms == found->firings[best].t_ms && locks && !best_locks;
        if (sooner || same_but_locks) {
            best = i;
            best_locks = locks;
        }
    }
    return best;
}

/* What happened between the onset and the end of the run. Highest and longest values cannot be taken apart: they are
 * those of the whole run, whose healthy part is short. */
static pw_totals since_onset(const prove_found *found)
{
    pw_totals t = found->totals;
    const pw_totals *before = &found->at_fault;
    t.leaked_m3 -= before->leaked_m3;
    t.spilled_m3 -= before->spilled_m3;
    t.run_s -= before->run_s;
    t.dry_s -= before->dry_s;
    t.deadhead_s -= before->deadhead_s;
    t.cavitates_s -= before->cavitates_s;
    t.short_s -= before->short_s;
    t.wanted_m3 -= before->wanted_m3;
    t.missing_m3 = pw_max(0.0, t.missing_m3 - before->missing_m3);
    t.starts -= before->starts;
    return t;
}

static void fill_totals(const pw_totals *totals, pw_outcome *out)
{
    out->lost_m3 = pw_max(0.0, totals->leaked_m3 + totals->spilled_m3);
    out->starts = (double)totals->starts;
    out->run_s = totals->run_s;
    out->dry_s = totals->dry_s;
    out->deadhead_s = totals->deadhead_s;
    out->cavitates_s = totals->cavitates_s;
    out->short_s = totals->short_s;
    out->wanted_m3 = totals->wanted_m3;
    out->missing_m3 = totals->missing_m3;
    out->winding_max_c = totals->winding_max_c;
    out->water_max_c = totals->water_max_c;
    out->pressure_max_pa = totals->pressure_max_pa;
    out->pressure_top_pa = totals->pressure_top_pa;
    out->longest_run_s = totals->longest_run_s;
    out->most_starts_in_hour = (double)totals->most_starts_in_hour;
}

/* From a moment until a motor burnt out, within so many seconds; below 0: it had burnt out so long before; 0: none did.
 */
static double burnt_s(const prove_found *found, int64_t from_ms, double within_s)
{
    if (found->burnt_ms < 0 || found->burnt_ms > from_ms + (int64_t)(within_s * 1e3)) {
        return 0.0;
    }
    const double after_s = (double)(found->burnt_ms - from_ms) * 1e-3;
    return after_s < 0.0 ? after_s : pw_max(after_s, 1e-3);
}

/* What the healthy site does in the same time, and did before. */
static void fill_usual(const prove_found *found, const pw_totals *before, pw_outcome *out)
{
    const pw_totals *usual = &found->usual;
    out->usual_top_pa = pw_max(before->pressure_top_pa, usual->pressure_top_pa);
    out->usual_starts_in_hour = pw_max((double)before->most_starts_in_hour, (double)usual->most_starts_in_hour);
    out->usual_m3 = usual->missing_m3;
    out->usual_lost_m3 = usual->leaked_m3 + usual->spilled_m3;
    out->usual_dry_s = usual->dry_s;
    out->usual_deadhead_s = usual->deadhead_s;
    out->usual_winding_c = pw_max(before->winding_max_c, usual->winding_max_c);
    out->usual_water_c = pw_max(before->water_max_c, usual->water_max_c);
    out->behind_m3 = found->behind_m3;
    out->unprotected = found->unprotected;
}

static void fill_fault(const pw_plant *plant, const pw_job *job, const pw_proof_options *options,
                       const prove_found *found, pw_outcome *out)
{
    out->caught_by = prove_first_firing(plant, found);
    bool caught = out->caught_by >= 0;
    pw_totals totals = caught ? found->firings[out->caught_by].totals : since_onset(found);
    double simulated_s = (double)(found->length_ms - job->fault.onset_ms) / 1000.0;
    out->seconds = options->horizon_s;
    if (caught) {
        out->seconds = (double)(found->firings[out->caught_by].t_ms - job->fault.onset_ms) / 1000.0;
        out->stopped = pw_settings_kind(plant->settings, out->caught_by) == PW_SENTENCE_LOCK &&
                       pw_fault_heeds_stop(job->fault.kind) && pw_fault_heeds_stop(job->second.kind);
        simulated_s = out->seconds;
    }
    if (pw_fault_of_settings(job->fault.kind) || pw_fault_of_settings(job->second.kind)) {
        const pw_typed warned = found->typed_about_it ? PW_TYPED_WARNED : PW_TYPED_SILENT;
        out->typed = (uint8_t)(found->typed_refused ? PW_TYPED_REFUSED : warned);
    }
    if (out->typed != PW_TYPED_SILENT) { /* a person sees it before the pump does */
        out->caught_by = -1;
        out->stopped = false;
        out->seconds = 0.0;
        memset(&totals, 0, sizeof totals);
    }
    fill_totals(&totals, out);
    out->burnt_s = burnt_s(found, job->fault.onset_ms, out->seconds);
    const pw_totals *before = &found->at_fault;
    fill_usual(found, before, out);
    /* A fault that was seen within a minute has no rate that would mean anything a day long. */
    if (simulated_s >= 60.0) {
        out->lost_per_day_m3 = out->lost_m3 * DAY_S / simulated_s;
        out->starts_per_hour = out->starts * 3600.0 / simulated_s;
    }
}

static void fill_healthy(const pw_plant *plant, const prove_found *found, pw_outcome *out)
{
    out->caught_by = -1;
    out->seconds = (double)found->length_ms / 1000.0;
    out->false_stops = found->lock_count;
    for (int32_t i = 0; i < pw_settings_count(plant->settings) && i < PW_MAX_SENTENCES; i++) {
        if (pw_settings_kind(plant->settings, i) == PW_SENTENCE_LOCK) {
            out->false_by[i] = found->fired[i];
        }
    }
    fill_totals(&found->totals, out);
    out->burnt_s = burnt_s(found, 0, out->seconds);
    if (out->seconds > 0.0) {
        out->lost_per_day_m3 = out->lost_m3 * DAY_S / out->seconds;
        out->starts_per_hour = out->starts * 3600.0 / out->seconds;
    }
}

pw_status pw_proof_job(pw_arena *scratch, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                       const pw_proof_starts *starts, int32_t job, pw_outcome *out, pw_problems *problems)
{
    assert(job >= 0 && job < jobs->count);
    const pw_job *what = &jobs->jobs[job];
    const size_t mark = pw_arena_mark(scratch);
    memset(out, 0, sizeof *out);
    out->job = job;
    out->caught_by = -1;
    if (what->kind == PW_JOB_SWEEP && !options->edges) {
        out->seconds = options->horizon_s;
        return PW_OK;
    }
    prove_found *found = PW_NEW(scratch, 1, prove_found);
    if (found == NULL) {
        return pw_problem_add(problems, PW_MEMORY, "", NULL, NULL, NULL);
    }
    const pw_status status = prove_simulate(scratch, plant, options, jobs, starts, what, found, problems);
    if (status == PW_OK) {
        out->ending = found->ending;
        out->balance_m3 = found->totals.balance_m3;
        if (what->kind == PW_JOB_HEALTHY || what->kind == PW_JOB_MARGIN) {
            fill_healthy(plant, found, out);
        } else {
            fill_fault(plant, what, options, found, out);
        }
    }
    out->edge_part = status == PW_OK ? found->edge_part : 0.0;
    pw_arena_back(scratch, mark);
    if (status != PW_OK || what->kind != PW_JOB_FAULT || what->extra || out->caught_by < 0 || !options->margins ||
        !options->edges) {
        return status;
    }
    const pw_status moved = prove_edges(scratch, plant, options, jobs, starts, what, out, &out->edge, problems);
    pw_arena_back(scratch, mark);
    return moved;
}
