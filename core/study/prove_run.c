/* The simulations of a proof: one healthy one to each onset, and from there a copy for each fault. */
#include "study/prove_inside.h"

/* Lock outs before the fault, and false stops of a healthy year, are released by a person after this long, so that the
 * rest of the time can be judged too. */
static const int64_t release_after_ms = (int64_t)3600 * 1000;

/* A healthy simulation that stands at an onset, with its totals. Where it hunts it ended before. */
typedef struct stand {
    int64_t onset_ms;
    pw_sim *sim;
    pw_tally *tally;
} stand;

struct pw_proof_starts {
    int32_t count;
    stand at[PW_MAX_ONSETS];
};

static pw_status out_of_memory(pw_problems *problems)
{
    return pw_problem_add(problems, PW_MEMORY, "", "a simulation of this site", "more memory for the core", "");
}

static pw_status create(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                        uint64_t seed, stand *out, pw_problems *problems)
{
    const pw_sim_options how = {.seed = seed,
                                .reference_pa = jobs->reference_pa,
                                .release_after_ms = release_after_ms,
                                .cancelled = options->cancelled,
                                .user = options->user};
    const pw_status status = pw_sim_create(arena, plant, &how, &out->sim, problems);
    if (status != PW_OK)
        return status;
    out->tally = pw_tally_new(arena, out->sim);
    if (out->tally == NULL)
        return out_of_memory(problems);
    pw_sim_attach(out->sim, &out->tally->observer);
    return PW_OK;
}

/* One seed for all faults: neighbours of a sweep then differ by their leak alone. */
static pw_status walk_to(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                         int64_t onset_ms, stand *out, pw_problems *problems)
{
    out->onset_ms = onset_ms;
    const pw_status status = create(arena, plant, options, jobs, options->seed, out, problems);
    return status == PW_OK ? pw_sim_advance(out->sim, onset_ms, problems) : status;
}

static const stand *find(const pw_proof_starts *starts, int64_t onset_ms)
{
    for (int32_t i = 0; starts != NULL && i < starts->count; i++) {
        if (starts->at[i].onset_ms == onset_ms)
            return &starts->at[i];
    }
    return NULL;
}

pw_status pw_proof_prepare(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                           int32_t index, int32_t every, pw_proof_starts **out, pw_problems *problems)
{
    pw_proof_starts *starts = PW_NEW(arena, 1, pw_proof_starts);
    *out = starts;
    if (starts == NULL)
        return out_of_memory(problems);
    for (int32_t i = index; i < jobs->count; i += every) {
        const int64_t onset_ms = jobs->jobs[i].fault.onset_ms;
        if (jobs->jobs[i].kind == PW_JOB_HEALTHY || find(starts, onset_ms) != NULL || starts->count >= PW_MAX_ONSETS)
            continue;
        const pw_status status = walk_to(arena, plant, options, jobs, onset_ms, &starts->at[starts->count], problems);
        if (status != PW_OK)
            return status;
        starts->count++;
    }
    return PW_OK;
}

static void collect(const stand *at, const pw_firings *firings, prove_found *out)
{
    const pw_retyped *typed = pw_sim_retyped(at->sim);
    out->ending = at->tally->hunts ? PW_END_HUNTING : firings->watched ? PW_END_WATCH : PW_END_TIME;
    out->length_ms = pw_sim_time_ms(at->sim);
    out->totals = pw_tally_totals(at->tally, at->sim, false);
    out->at_fault = at->tally->at_fault;
    out->burnt_ms = at->tally->burnt_ms;
    out->lock_count = firings->lock_count;
    out->typed_refused = typed == NULL || typed->refused;
    out->typed_about_it = typed != NULL && typed->about_it;
    for (int32_t i = 0; i < PW_MAX_SENTENCES; i++) {
        out->firings[i] = firings->first[i];
        out->fired[i] = firings->fired[i];
    }
}

static pw_status healthy(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                         const pw_job *job, prove_found *out, pw_problems *problems)
{
    stand year;
    pw_firings firings;
    pw_status status = create(arena, plant, options, jobs, options->seed + 1 + (uint64_t)job->year, &year, problems);
    if (status != PW_OK)
        return status;
    pw_firings_begin(&firings, year.tally);
    pw_sim_attach(year.sim, &firings.observer);
    status = pw_sim_advance(year.sim, (int64_t)PW_HEALTHY_YEAR_S * 1000, problems);
    if (status == PW_OK)
        collect(&year, &firings, out);
    return status;
}

static pw_status befall(pw_arena *arena, pw_sim *sim, const pw_job *job, pw_problems *problems)
{
    const pw_status status = pw_sim_befall(sim, arena, &job->fault, problems);
    return status == PW_OK && job->second.kind != PW_FAULT_NONE ? pw_sim_befall(sim, arena, &job->second, problems)
                                                                : status;
}

static pw_status faulty(pw_arena *arena, const stand *from, const pw_proof_options *options, const pw_job *job,
                        prove_found *out, pw_problems *problems)
{
    stand here = {.sim = pw_sim_copy(from->sim, arena), .tally = pw_tally_copy(from->tally, arena)};
    pw_firings firings;
    if (here.sim == NULL || here.tally == NULL)
        return out_of_memory(problems);
    pw_firings_begin(&firings, here.tally);
    firings.stop_at_watch = true;
    pw_sim_attach(here.sim, &here.tally->observer);
    pw_sim_attach(here.sim, &firings.observer);
    pw_status status = PW_OK;
    if (!here.tally->hunts) {
        status = befall(arena, here.sim, job, problems);
        if (status == PW_OK)
            status = pw_sim_advance(here.sim, job->fault.onset_ms + (int64_t)(options->horizon_s * 1000.0), problems);
    }
    if (status == PW_OK)
        collect(&here, &firings, out);
    return status;
}

pw_status prove_simulate(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                         const pw_proof_starts *starts, const pw_job *job, prove_found *out, pw_problems *problems)
{
    if (job->kind == PW_JOB_HEALTHY)
        return healthy(arena, plant, options, jobs, job, out, problems);
    const stand *from = find(starts, job->fault.onset_ms);
    stand own;
    if (from == NULL) {
        const pw_status status = walk_to(arena, plant, options, jobs, job->fault.onset_ms, &own, problems);
        if (status != PW_OK)
            return status;
        from = &own;
    }
    return faulty(arena, from, options, job, out, problems);
}
