/* One proposal: everything that a proof would have changed in the settings, merged into one list to type, and proved
 * again by the same means. Never two that contradict, never past a limit of the site, nothing that the healthy years or
 * the margins stop for: what stops them is taken out, and the rest proved once more.
 *
 * Two proofs at most. Where the present settings stop the healthy site, or stand on the edge of it, those sentences are
 * first taken out and a part of the jobs done without them, so that the draft knows what a healthy run and a healthy
 * hour are. The margins of catches are left to the present settings: a list must keep its distance from false stops.
 */
#ifndef PW_STUDY_PROPOSAL_H
#define PW_STUDY_PROPOSAL_H

#include "study/prove_words.h"

typedef struct pw_proposal {
    bool changes;   /* there was something to try */
    bool takes_out; /* it only takes sentences out, which stop the healthy site */
    bool better;    /* and its proof is better: then it is worth typing */
    int32_t count;
    const char *sentences[PW_MAX_SENTENCES]; /* the whole list */
    int32_t was[PW_MAX_SENTENCES];           /* the present sentence in its place, from 0; -1: a new one */
    bool differs[PW_MAX_SENTENCES];          /* from the present sentence in its place */
    bool kept[PW_MAX_SENTENCES];             /* of the present ones: false: taken out */
    const pw_proof *proof;                   /* of the list; NULL without changes */
    int32_t gained, given_up; /* faults that are seen now and were not, or in time and were not; and the reverse */
} pw_proposal;

/* What to try, from what a proof of these settings found; proof->plant may be that of an earlier list. */
pw_status pw_proposal_draft(pw_arena *arena, const pw_proof *proof, pw_proposal *out);
/* The present plant under the list. */
pw_status pw_proposal_plant(pw_arena *arena, const pw_plant *plant, const pw_proposal *list, pw_plant **out,
                            pw_problems *problems);
/* How the jobs of its proof are done: as in the proof, without the edges of catches. */
pw_proof_options pw_proposal_options(const pw_proof_options *options);
/* The list to prove: the draft, or that without what stops the healthy site now. Some jobs are done for that. */
pw_status pw_proposal_list(pw_arena *arena, const pw_proof *proof, pw_proposal *out, pw_problems *problems);
/* List, proof, take out what stops the healthy site, prove again, compare.
 *   first  outcomes of all jobs under the list, when shells shared them out; NULL: they are done here
 * Same proof, same proposal, whichever way. *out is never NULL with PW_OK. */
pw_status pw_proposal_find(pw_arena *arena, const pw_proof *proof, const pw_outcome *first, pw_proposal **out,
                           pw_problems *problems);

/* Whether the list is worth typing, from its proof beside the present one: gained, given_up and better. */
void pw_proposal_judge(const pw_proof *present, pw_proposal *list);

#endif
