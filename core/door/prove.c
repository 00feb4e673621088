/* "prove" and "report": the jobs of a proof, in one piece or in parts, and the proof assembled from their outcomes. */
#include "door/inside.h"
#include "study/guarantee.h"
#include "study/proposal.h"

/* Do the jobs whose number leaves part.index; outcomes are stored at their job's number. Memory that a job took is
 * given back after it. */
static pw_status do_jobs(door *d, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                         door_part which, pw_outcome *outcomes)
{
    pw_proof_starts *starts = NULL;
    door_at_work(d, 0.0, "door.simulating-healthy");
    const pw_status ready =
        pw_proof_prepare(d->arena, plant, options, jobs, which.index, which.count, &starts, d->problems);
    if (ready != PW_OK) {
        return ready;
    }
    for (int32_t job = which.index; job < jobs->count; job += which.count) {
        const size_t mark = pw_arena_mark(d->arena);
        const int32_t told = d->problems->count, lost = d->problems->lost;
        pw_status status = door_begin_job(d, plant, jobs, job);
        if (status == PW_OK) {
            status = pw_proof_job(d->arena, plant, options, jobs, starts, job, &outcomes[job], d->problems);
        }
        pw_arena_back(d->arena, mark);
        if (status != PW_OK) {
            return status;
        }
        door_forget_errors(d, told, lost);
    }
    door_at_work(d, 1.0, "door.assembling");
    return PW_OK;
}

pw_status door_prove_here(door *d, const pw_plant *plant, const pw_proof_options *options, const pw_json *given,
                          pw_proof **out)
{
    pw_jobs *jobs;
    pw_status status = pw_proof_plan(d->arena, plant, options, &jobs, d->problems);
    if (status != PW_OK) {
        return status;
    }
    pw_outcome *outcomes =
        given ? door_read_outcomes(d, given, plant, jobs) : PW_NEW(d->arena, jobs->count, pw_outcome);
    if (!outcomes) {
        return given ? door_problem(d) : PW_MEMORY;
    }
    status = given ? PW_OK : do_jobs(d, plant, options, jobs, door_all_jobs(), outcomes);
    return status == PW_OK ? pw_proof_assemble(d->arena, plant, options, jobs, outcomes, out, d->problems) : status;
}

static pw_status answer_part(door *d, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                             door_part which, pw_outcome *outcomes)
{
    pw_status status = do_jobs(d, plant, options, jobs, which, outcomes);
    if (status != PW_OK) {
        return status;
    }
    pw_json_int(d->answer, "jobs", jobs->count);
    pw_json_open(d->answer, "outcomes", '[');
    for (int32_t job = which.index; job < jobs->count; job += which.count) {
        door_put_outcome(d, NULL, plant, jobs, &outcomes[job]);
    }
    pw_json_close(d->answer, ']');
    return PW_OK;
}

/* The list that would be typed, from all outcomes under the present settings; a part of the jobs under it. No outcomes:
 * there is nothing to try. */
static pw_status answer_part_again(door *d, const pw_proof *proof, door_part which)
{
    pw_proposal *list = PW_NEW(d->arena, 1, pw_proposal);
    pw_outcome *outcomes = PW_NEW(d->arena, proof->jobs->count, pw_outcome);
    if (!list || !outcomes) {
        return PW_MEMORY;
    }
    pw_status status = pw_proposal_list(d->arena, proof, list, d->problems);
    if (status != PW_OK) {
        return status;
    }
    if (!list->changes) {
        pw_json_int(d->answer, "jobs", proof->jobs->count);
        pw_json_open(d->answer, "outcomes", '[');
        pw_json_close(d->answer, ']');
        return PW_OK;
    }
    pw_plant *plant = NULL;
    const pw_proof_options options = pw_proposal_options(&proof->options);
    status = pw_proposal_plant(d->arena, proof->plant, list, &plant, d->problems);
    return status == PW_OK ? answer_part(d, plant, &options, proof->jobs, which, outcomes) : status;
}

pw_status door_find_proposal(door *d, pw_proof *proof, const pw_json *again)
{
    pw_proposal *list = PW_NEW(d->arena, 1, pw_proposal), *proposal = NULL;
    pw_outcome *outcomes = NULL;
    if (list == NULL) {
        return PW_MEMORY;
    }
    door_at_work(d, 1.0, "door.proving-proposal");
    if (again && again->count > 0) {
        pw_plant *plant = NULL;
        pw_status status = pw_proposal_list(d->arena, proof, list, d->problems);
        if (status == PW_OK) {
            status = pw_proposal_plant(d->arena, proof->plant, list, &plant, d->problems);
        }
        outcomes = status == PW_OK ? door_read_outcomes(d, again, plant, proof->jobs) : NULL;
        if (!outcomes) {
            return status == PW_OK ? door_problem(d) : status;
        }
    }
    const pw_status status = pw_proposal_find(d->arena, proof, outcomes, &proposal, d->problems);
    proof->proposal = proposal;
    return status;
}

/* A part of the jobs under the present settings. */
static pw_status answer_part_first(door *d, const pw_plant *plant, const pw_proof_options *options, door_part which)
{
    pw_jobs *jobs;
    const pw_status status = pw_proof_plan(d->arena, plant, options, &jobs, d->problems);
    if (status != PW_OK) {
        return status;
    }
    pw_outcome *outcomes = PW_NEW(d->arena, jobs->count, pw_outcome);
    return outcomes ? answer_part(d, plant, options, jobs, which, outcomes) : PW_MEMORY;
}

static pw_status prove(door *d, const door_papers *wanted)
{
    pw_proof_options options;
    pw_proof_defaults(&options);
    door_read_proof(d, 0, 1000, 1000, &options);
    const door_part which = door_read_part(d);
    const pw_json *given = door_list(d, "outcomes");
    const pw_json *again = door_list(d, "outcomes again");
    if (again && (which.given || !given)) {
        pw_problem_tell(d->problems, PW_CONFLICT, "outcomes again", pw_fact_of("door.part-and-outcomes"),
                        pw_fact_of("door.one-of-them"), pw_fact_of("door.parts-first"));
    }
    pw_plant *plant = door_plant(d);
    if (!plant || door_problem(d) != PW_OK) {
        return door_problem(d);
    }
    if (which.given && !given) {
        return answer_part_first(d, plant, &options, which);
    }
    pw_proof *proof = NULL;
    pw_status status = door_prove_here(d, plant, &options, given, &proof);
    if (status == PW_OK && which.given) {
        return answer_part_again(d, proof, which);
    }
    if (status == PW_OK && door_truth(d, d->request, "", "propose", true)) {
        status = door_find_proposal(d, proof, again);
    }
    pw_guarantees *guarantees = NULL;
    status = status == PW_OK ? pw_guarantees_of(d->arena, plant, &guarantees, d->problems) : status;
    if (status != PW_OK) {
        return status;
    }
    proof->guarantees = guarantees;
    return door_put_proof(d, proof, wanted);
}

pw_status door_prove(door *d)
{
    door_papers wanted = door_papers_wanted(d, false, false);
    return prove(d, &wanted);
}

pw_status door_report(door *d)
{
    door_papers wanted = door_papers_wanted(d, true, true);
    return prove(d, &wanted);
}
