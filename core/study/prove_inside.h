/* Shared inside core/study only. */
#ifndef PW_STUDY_PROVE_INSIDE_H
#define PW_STUDY_PROVE_INSIDE_H

#include "study/prove.h"
#include "study/prove_words.h"

/* Under this much lost water, or less in a day (a tap that drips loses twenty times that), or this long dry, nobody
 * would call it a cost (own choices). */
#define PROVE_NOTHING_M3     1e-4
#define PROVE_NOTHING_DAY_M3 1e-3
#define PROVE_NOTHING_DRY_S  2.0
/* A pump that runs longer than this in all with next to no flow heats the water inside it (common practice: minutes,
 * not hours). */
#define PROVE_DEADHEAD_S 600.0

/* What one simulation of a proof found (prove_run.c). */
typedef struct prove_found {
    pw_ending ending;
    int64_t length_ms;          /* really simulated */
    pw_totals totals, at_fault; /* in all; up to the onset */
    int64_t burnt_ms;           /* -1: no motor burnt out */
    int32_t lock_count;
    bool typed_refused, typed_about_it; /* pw_retyped */
    pw_totals usual;                    /* what the healthy site had done from the onset until length_ms */
    bool unprotected;                   /* a watch no longer sees what it looks at, or stops nothing */
    double edge_part;                   /* of a margin: pw_outcome */
    double behind_m3;                   /* less in its stores than the healthy site has then */
    pw_firing firings[PW_MAX_SENTENCES];
    int32_t fired[PW_MAX_SENTENCES];
} prove_found;
/* Which moves (bits) the catch of this outcome does not outlast; only of a fault at its usual place and time. */
pw_status prove_edges(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                      const pw_proof_starts *starts, const pw_job *job, const pw_outcome *outcome, uint32_t *out,
                      pw_problems *problems);
/* The sentence of the first watch that fired after the onset, -1 none; at one moment a lock out goes first. */
int32_t prove_first_firing(const pw_plant *plant, const prove_found *found);
pw_status prove_simulate(pw_arena *arena, const pw_plant *plant, const pw_proof_options *options, const pw_jobs *jobs,
                         const pw_proof_starts *starts, const pw_job *job, prove_found *out, pw_problems *problems);

/* One trial of which is said what to do next. */
typedef struct prove_trial {
    pw_arena *arena;
    const pw_plant *plant;
    const pw_usual *usual; /* never NULL */
    const pw_job *job;
    const pw_outcome *outcome; /* NULL: of no one trial */
    int32_t where;             /* of the fault; -1 unknown */
    int32_t pump;              /* that it concerns */
    int32_t tank;              /* that it concerns, -1 none */
    int32_t sensor, other;     /* that it, and the second fault, befalls; -1 none */
    bool sentences;            /* what to do next tells sentences */
} prove_trial;
prove_trial prove_trial_of(pw_arena *arena, const pw_plant *plant, const pw_usual *usual, const pw_job *job,
                           const pw_outcome *outcome);

/* What to do next. outcome: what happened, NULL: of no one trial; usual NULL: not known. */
void prove_next_for(pw_arena *arena, const pw_plant *plant, const pw_usual *usual, const pw_job *job,
                    const pw_outcome *outcome, bool sentences, pw_facts *out);

/* Sentences that the order lacks, that this site's reader takes and that would see this trial (propose.c): at most two,
 * each with its reason. Nothing is written when there is none; true when something was. */
bool prove_propose(const prove_trial *t, pw_facts *out);
/* What a person does on site about this fault (by_hand.c). */
void prove_by_hand(const prove_trial *t, pw_facts *out);

/* How many sensors of that kind there are; does the order start and stop by pressure. */
int32_t prove_sensors(const pw_site *site, pw_sensor_kind kind);
bool prove_by_pressure(const pw_plant *plant);

/* Do users miss water that they had before the fault; does water run away. */
bool prove_misses_water(const pw_outcome *outcome);
bool prove_loses_water(const pw_outcome *outcome);
bool prove_overpressures(const pw_site *site, const pw_outcome *outcome);
/* Does it do harm to pump, pipes or water when the pump goes on? If not, users just lack water. */
bool prove_harms(const prove_trial *t);
/* A tank of this trial overflows. */
bool prove_spills(const prove_trial *t);

/* Entries for other places and times and for two at once, from number `count` on; the new count. */
int32_t prove_extra_unseen(pw_arena *arena, const pw_proof *proof, pw_unseen *out, int32_t count, int32_t capacity);

void prove_healthy(pw_proof *proof); /* fills in proof->healthy (prove_healthy.c) */
/* Of the healthy site with a move made, alone. */
void prove_healthy_moved(const pw_proof *proof, int32_t job, pw_healthy *out);

/* reference_pa: gauge, at which leaks are told, at the first vessel. */
pw_status prove_limits(pw_arena *arena, const pw_plant *plant, double pump_m3s, double reference_pa,
                       pw_limits_check *out);

#endif
