/* What to do next about a fault, in English words. */
#ifndef PW_TEST_TESTS_TOLD_PROOF_H
#define PW_TEST_TESTS_TOLD_PROOF_H

#include "study/prove_words.h"
#include "told.h"

static inline const char *told_next(pw_arena *arena, const pw_plant *plant, const pw_usual *usual, const pw_job *job,
                                    const pw_outcome *outcome)
{
    pw_facts next;
    pw_facts_init(&next, arena);
    pw_outcome_next(arena, plant, usual, job, outcome, true, &next);
    return told_facts(arena, &next);
}

#endif
