/* The one proposal, proved. */
#include "study/proposal.h"

#include <string.h>

#include "study/prove_inside.h"

pw_status pw_proposal_plant(pw_arena *arena, const pw_plant *plant, const pw_proposal *list, pw_plant **out,
                            pw_problems *problems)
{
    pw_site *site = PW_NEW(arena, 1, pw_site);
    pw_problems *told = PW_NEW(arena, 1, pw_problems);
    if (site == NULL || told == NULL) {
        return pw_problem_add(problems, PW_MEMORY, "", NULL, NULL, NULL);
    }
    *site = *plant->site;
    site->sentence_count = list->count;
    for (int32_t i = 0; i < list->count; i++) {
        site->sentences[i] = list->sentences[i];
    }
    const pw_status status = pw_plant_build(arena, site, false, out, told);
    return status == PW_OK ? status : pw_problem_add(problems, status, "", NULL, NULL, NULL);
}

/* Which jobs a proof of a list does anew. */
typedef enum anew {
    ANEW_ALL,
    ANEW_TO_DRAFT /* to know health without what was taken out: a healthy year, the margins, and what it had caught */
} anew;

static bool does(const pw_proof *from, const pw_proposal *list, anew which, int32_t i)
{
    const pw_job *job = &from->jobs->jobs[i];
    if (which == ANEW_ALL || job->kind == PW_JOB_MARGIN) {
        return true;
    }
    const int32_t by = from->outcomes[i].caught_by;
    return job->kind == PW_JOB_HEALTHY ? job->year < 1 : by >= 0 && !list->kept[by];
}

/* Where a sentence of the present settings stands in the list; -1: none, or it was taken out. */
static int32_t now_at(const pw_proposal *list, int32_t sentence)
{
    for (int32_t i = 0; i < list->count && sentence >= 0; i++) {
        if (list->was[i] == sentence) {
            return i;
        }
    }
    return -1;
}

static pw_status do_jobs(pw_arena *arena, const pw_proof *from, const pw_plant *plant, const pw_proposal *list,
                         anew which, pw_outcome *out, pw_problems *problems)
{
    pw_proof_starts *starts = NULL;
    const pw_proof_options options = pw_proposal_options(&from->options);
    pw_status status = pw_proof_prepare(arena, plant, &options, from->jobs, 0, 1, &starts, problems);
    for (int32_t i = 0; i < from->jobs->count && status == PW_OK; i++) {
        if (does(from, list, which, i)) {
            status = pw_proof_job(arena, plant, &options, from->jobs, starts, i, &out[i], problems);
        } else {
            out[i] = from->jobs->jobs[i].kind == PW_JOB_HEALTHY ? out[0] : from->outcomes[i];
            out[i].job = i;
            out[i].caught_by = now_at(list, out[i].caught_by);
        }
    }
    return status;
}

/* Is it seen, and in time where a lock out has to come in time? */
static int32_t rank_of(const pw_proof *proof, int32_t i)
{
    switch (pw_outcome_finding(proof->plant, &proof->jobs->jobs[i], &proof->outcomes[i])) {
    case PW_FINDING_UNSEEN: return 0;
    case PW_FINDING_TOO_LATE: return 1;
    case PW_FINDING_TOLD: return 2;
    default: return 3;
    }
}

/* Ailments that no stop causes where they stay without it: then the stop was right, and fewer of them are no merit. */
#define SICK                                                                                                     \
    (1u << PW_AIL_HUNTS | 1u << PW_AIL_BURNS | 1u << PW_AIL_MISSING | 1u << PW_AIL_DRY | 1u << PW_AIL_DEADHEAD | \
     1u << PW_AIL_HOT_WATER | 1u << PW_AIL_WINDING | 1u << PW_AIL_PRESSURE)

void pw_proposal_judge(const pw_proof *present, pw_proposal *list)
{
    for (int32_t i = 0; i < present->jobs->count; i++) {
        if (present->jobs->jobs[i].kind != PW_JOB_FAULT) {
            continue;
        }
        const int32_t was = rank_of(present, i), by = list->proof->outcomes[i].caught_by;
        int32_t is = rank_of(list->proof, i);
        /* a new warning that comes first leaves the lock out that came, and still comes */
        const bool warned = is == 2 && by >= 0 && (list->was[by] < 0 || list->differs[by]);
        is = warned && was > is ? was : is;
        list->gained += is > was ? 1 : 0;
        list->given_up += is < was ? 1 : 0;
    }
    const pw_proof *is = list->proof;
    const bool sick = (is->healthy.fails & SICK) != 0;
    const bool calmer = !sick && is->false_stops < present->false_stops;
    const bool farther = !sick && pw_proof_edge_stops(is) < pw_proof_edge_stops(present);
    const bool worse = is->false_stops > present->false_stops || (is->healthy.fails & ~present->healthy.fails) != 0 ||
                       pw_proof_edge_stops(is) > pw_proof_edge_stops(present);
    /* a site that no longer stops for nothing may give up catches, which were that stop; one that only stands farther
     * from the edge of it must catch as many as before */
    list->better =
        !worse && (calmer || (farther && list->gained >= list->given_up) || (list->gained > 0 && list->given_up == 0));
}

/* The list is of sentences of `before`; number them by the present ones. */
static void number_by_present(const pw_proposal *before, pw_proposal *list)
{
    bool kept[PW_MAX_SENTENCES] = {false};
    for (int32_t i = 0; i < list->count; i++) {
        const int32_t middle = list->was[i];
        list->was[i] = middle >= 0 ? before->was[middle] : -1;
        list->differs[i] = list->differs[i] || (middle >= 0 && before->differs[middle]);
        if (list->was[i] >= 0) {
            kept[list->was[i]] = true;
        }
    }
    memcpy(list->kept, kept, sizeof kept);
}

/* The outcomes under the list, by their proof. */
static pw_status prove_list(pw_arena *arena, const pw_proof *present, const pw_outcome *given, anew which,
                            pw_proposal *list, pw_problems *problems)
{
    pw_plant *plant = NULL;
    pw_proof *proof = NULL;
    pw_outcome *outcomes = PW_NEW(arena, present->jobs->count, pw_outcome);
    if (outcomes == NULL) {
        return pw_problem_add(problems, PW_MEMORY, "", NULL, NULL, NULL);
    }
    pw_status status = pw_proposal_plant(arena, present->plant, list, &plant, problems);
    const size_t mark = pw_arena_mark(arena);
    if (status == PW_OK && given == NULL) {
        status = do_jobs(arena, present, plant, list, which, outcomes, problems);
    }
    pw_arena_back(arena, mark);
    if (status == PW_OK) {
        status = pw_proof_assemble(arena, plant, &present->options, present->jobs, given != NULL ? given : outcomes,
                                   &proof, problems);
    }
    list->proof = proof;
    return status;
}

pw_proof_options pw_proposal_options(const pw_proof_options *options)
{
    pw_proof_options out = *options;
    out.edges = false;
    return out;
}

pw_status pw_proposal_list(pw_arena *arena, const pw_proof *proof, pw_proposal *out, pw_problems *problems)
{
    pw_proposal *before = PW_NEW(arena, 1, pw_proposal);
    pw_status status = before != NULL ? pw_proposal_draft(arena, proof, out) : PW_MEMORY;
    if (status != PW_OK) {
        return pw_problem_add(problems, status, "", NULL, NULL, NULL);
    }
    if (!out->takes_out) {
        return PW_OK;
    }
    *before = *out;
    status = prove_list(arena, proof, NULL, ANEW_TO_DRAFT, before, problems);
    if (status != PW_OK) {
        return status;
    }
    if (pw_proposal_draft(arena, before->proof, out) != PW_OK) {
        return pw_problem_add(problems, PW_MEMORY, "", NULL, NULL, NULL);
    }
    number_by_present(before, out);
    out->changes = true;
    out->proof = NULL;
    return PW_OK;
}

pw_status pw_proposal_find(pw_arena *arena, const pw_proof *proof, const pw_outcome *first, pw_proposal **out,
                           pw_problems *problems)
{
    pw_proposal *list = PW_NEW(arena, 1, pw_proposal), *rest = PW_NEW(arena, 1, pw_proposal);
    *out = list;
    if (list == NULL || rest == NULL) {
        return pw_problem_add(problems, PW_MEMORY, "", NULL, NULL, NULL);
    }
    pw_status status = pw_proposal_list(arena, proof, list, problems);
    if (status != PW_OK || !list->changes) {
        return status;
    }
    status = prove_list(arena, proof, first, ANEW_ALL, list, problems);
    if (status != PW_OK) {
        return status;
    }
    /* what stops the healthy site under the new list goes again, and that is all */
    if (pw_proposal_draft(arena, list->proof, rest) != PW_OK) {
        return pw_problem_add(problems, PW_MEMORY, "", NULL, NULL, NULL);
    }
    if (rest->takes_out) {
        number_by_present(list, rest);
        status = prove_list(arena, proof, NULL, ANEW_ALL, rest, problems);
        if (status != PW_OK) {
            return status;
        }
        *list = *rest;
    }
    pw_proposal_judge(proof, list);
    return PW_OK;
}
