/* What was tried beyond the usual: other places, other times, two at once; and what of it no watch sees. */
#include "study/prove_inside.h"

static bool unseen(const pw_proof *proof, int32_t i)
{
    return pw_outcome_finding(proof->plant, &proof->jobs->jobs[i], &proof->outcomes[i]) == PW_FINDING_UNSEEN;
}

/* One line for all places and times of a kind; the worst of the unseen trials, -1: nothing went unseen. */
static int32_t find_kind(pw_arena *arena, const pw_proof *proof, pw_fault_kind kind, pw_fact *what)
{
    int32_t tried = 0, missed = 0, worst = -1;
    for (int32_t i = 0; i < proof->jobs->count; i++) {
        const pw_job *job = &proof->jobs->jobs[i];
        if (job->kind != PW_JOB_FAULT || !job->extra || job->second.kind != PW_FAULT_NONE || job->fault.kind != kind) {
            continue;
        }
        tried++;
        if (!unseen(proof, i)) {
            continue;
        }
        missed++;
        if (worst < 0 || proof->outcomes[i].lost_m3 > proof->outcomes[worst].lost_m3) {
            worst = i;
        }
    }
    if (missed == 0) {
        return -1;
    }
    const pw_fact outcome = pw_outcome_fact(arena, proof->plant, &proof->jobs->jobs[worst], &proof->outcomes[worst]);
    *what = pw_fact_of("prove.elsewhere-unseen", pw_word(pw_fault_title(kind)), pw_count(missed), pw_count(tried),
                       pw_fact_inside(arena, outcome));
    return worst;
}

/* Keep it as an entry, with what to do about job i. */
static void keep(pw_arena *arena, const pw_proof *proof, pw_fact what, int32_t i, pw_unseen *out)
{
    const pw_usual usual = pw_proof_usual(proof);
    out->what = what;
    pw_facts_init(&out->next, arena);
    prove_next_for(arena, proof->plant, &usual, &proof->jobs->jobs[i], &proof->outcomes[i], false, &out->next);
}

int32_t prove_extra_unseen(pw_arena *arena, const pw_proof *proof, pw_unseen *out, int32_t count, int32_t capacity)
{
    for (int32_t kind = PW_FAULT_NONE + 1; kind < PW_FAULT_COUNT && count < capacity; kind++) {
        pw_fact what;
        const int32_t worst = find_kind(arena, proof, (pw_fault_kind)kind, &what);
        if (worst < 0) {
            continue;
        }
        keep(arena, proof, what, worst, &out[count]);
        count++;
    }
    for (int32_t i = 0; i < proof->jobs->count && count < capacity; i++) {
        const pw_job *job = &proof->jobs->jobs[i];
        if (job->kind != PW_JOB_FAULT || job->second.kind == PW_FAULT_NONE || !unseen(proof, i)) {
            continue;
        }
        const pw_fact outcome = pw_outcome_fact(arena, proof->plant, job, &proof->outcomes[i]);
        keep(arena, proof, pw_fact_of("prove.two-at-once", pw_fact_inside(arena, outcome)), i, &out[count]);
        count++;
    }
    return count;
}
