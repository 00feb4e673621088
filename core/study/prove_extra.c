/* What was tried beyond the usual: other places, other times, two at once; and what of it no watch sees. */
#include "study/prove_inside.h"

static bool unseen(const pw_proof *proof, int32_t i)
{
    return pw_outcome_finding(proof->plant, &proof->jobs->jobs[i], &proof->outcomes[i]) == PW_FINDING_UNSEEN;
}

/* One line for all places and times of a kind; the worst of the unseen trials, -1: nothing went unseen. */
static int32_t put_kind(const pw_proof *proof, pw_fault_kind kind, const pw_units *units, pw_text *text)
{
    int32_t tried = 0, missed = 0, worst = -1;
    for (int32_t i = 0; i < proof->jobs->count; i++) {
        const pw_job *job = &proof->jobs->jobs[i];
        if (job->kind != PW_JOB_FAULT || !job->extra || job->second.kind != PW_FAULT_NONE || job->fault.kind != kind)
            continue;
        tried++;
        if (!unseen(proof, i))
            continue;
        missed++;
        if (worst < 0 || proof->outcomes[i].lost_m3 > proof->outcomes[worst].lost_m3)
            worst = i;
    }
    if (missed == 0)
        return -1;
    pw_text_puts(text, pw_fault_title(kind), ", at other places or times: ", NULL);
    pw_text_int(text, missed);
    pw_text_put(text, " of ");
    pw_text_int(text, tried);
    pw_text_put(text, tried == 1 ? " trial goes unseen. The worst: " : " trials go unseen. The worst: ");
    pw_outcome_words(proof->plant, &proof->jobs->jobs[worst], &proof->outcomes[worst], units, text);
    return worst;
}

/* Keep the text as an entry, with what to do about job i; false without memory. */
static bool keep(pw_arena *arena, const pw_proof *proof, const pw_text *text, int32_t i, pw_unseen *out, int32_t *count)
{
    const pw_usual usual = pw_proof_usual(proof);
    if (text->failed)
        return false;
    out[*count].what = text->data;
    out[*count].next = prove_next_for(arena, proof->plant, &usual, &proof->jobs->jobs[i], &proof->outcomes[i]);
    (*count)++;
    return out[*count - 1].next != NULL;
}

int32_t prove_extra_unseen(pw_arena *arena, const pw_proof *proof, const pw_units *units, pw_unseen *out, int32_t count,
                           int32_t capacity)
{
    for (int32_t kind = PW_FAULT_NONE + 1; kind < PW_FAULT_COUNT && count < capacity; kind++) {
        pw_text text;
        pw_text_init(&text, arena);
        const int32_t worst = put_kind(proof, (pw_fault_kind)kind, units, &text);
        if (worst >= 0 && !keep(arena, proof, &text, worst, out, &count))
            return -1;
    }
    for (int32_t i = 0; i < proof->jobs->count && count < capacity; i++) {
        const pw_job *job = &proof->jobs->jobs[i];
        if (job->kind != PW_JOB_FAULT || job->second.kind == PW_FAULT_NONE || !unseen(proof, i))
            continue;
        pw_text text;
        pw_text_init(&text, arena);
        pw_text_put(&text, "Two at once. ");
        pw_outcome_words(proof->plant, job, &proof->outcomes[i], units, &text);
        if (!keep(arena, proof, &text, i, out, &count))
            return -1;
    }
    return count;
}
