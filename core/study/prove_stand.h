/* Shared inside core/study only: healthy simulations that stand at an onset (prove_starts.c). */
#ifndef PW_STUDY_PROVE_STAND_H
#define PW_STUDY_PROVE_STAND_H

#include "study/prove_inside.h"

enum { PROVE_MARKS = 240, PROVE_MOST_USUAL = 2048 };

/* What the healthy site does from an onset to the horizon. */
typedef struct prove_usual_firing {
    int32_t sentence;
    int64_t t_ms;
} prove_usual_firing;
typedef struct prove_course {
    pw_observer observer;
    int64_t from_ms, every_ms;
    pw_totals marks[PROVE_MARKS + 1]; /* since the onset, every_ms apart */
    int32_t fired;
    prove_usual_firing firings[PROVE_MOST_USUAL]; /* the first of them */
} prove_course;

/* A healthy simulation that stands at an onset, with its totals. Where it hunts it ended before. */
typedef struct prove_stand {
    int64_t onset_ms;
    pw_sim *sim;
    pw_tally *tally;
    prove_course *healthy;
} prove_stand;

struct pw_proof_starts {
    int32_t count;
    prove_stand at[PW_MAX_ONSETS];
    const pw_plant *moved_plants[PW_MOVES]; /* NULL: not prepared */
    prove_stand moved[PW_MOVES];            /* at the onset of faults at their usual time */
};

pw_status prove_no_memory(pw_problems *problems);
/* A healthy simulation at its beginning, with its totals. */
pw_status prove_stand_new(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                          uint64_t seed, prove_stand *out, pw_problems *problems);
/* At the onset, and what it does from there on in health. One seed for all faults: neighbours of a sweep then differ by
 * their leak alone. */
pw_status prove_walk_to(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                        int64_t onset_ms, prove_stand *out, pw_problems *problems);
/* The one at this onset; NULL: none is prepared, or starts is NULL. */
const prove_stand *prove_stand_at(const pw_proof_starts *starts, int64_t onset_ms);
/* The stand of a moved site at an onset: made when it is first asked for. `starts` keeps it for the jobs to
 * come, or is the caller's own. */
pw_status prove_stand_moved(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options,
                            const pw_jobs *jobs, pw_move move, int64_t onset_ms, pw_proof_starts *starts,
                            pw_problems *problems);
/* user: a prove_course. Does it fire this sentence in health within an hour of this time? */
bool prove_fires_in_health(const void *user, int32_t sentence, int64_t t_ms);
/* Its totals since the onset. Sums between two marks along a straight line; extremes as far as the later one. */
pw_totals prove_usual_at(const prove_course *course, int64_t t_ms);

#endif
